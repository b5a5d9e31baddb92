"""Whether the settings and damper signals of an entry are ones that the kit has."""

from __future__ import annotations

from collections.abc import Iterator

from ventwright.errors import Refusal, Refused
from ventwright.readings.changes import TemporaryChange
from ventwright.readings.entries import MixedAir, SettingRead
from ventwright.readings.streams import AtDamper
from ventwright.tables.kit import Kit


def value_mistakes(kit: Kit, entry: SettingRead | TemporaryChange, where: str) -> Iterator[Refusal]:
    """Values of a setting that the kit cannot have."""
    fields = ("value",) if isinstance(entry, SettingRead) else ("was", "changed_to")
    if entry.label is not None:
        for field in fields:
            yield from setting_mistakes(kit, entry.label, getattr(entry, field), where, field)


def setting_mistakes(kit: Kit, label: str, value: str, where: str, field: str = "value") -> Iterator[Refusal]:
    """Yield what is wrong with one setting and its value."""
    try:
        setting = kit.setting(label)
    except Refused as refused:
        yield refused.refusals[0].at(f"{where}.label")
        return
    try:
        setting.read(value)
    except Refused as refused:
        yield refused.refusals[0].at(f"{where}.{field}")


def signal_mistakes(kit: Kit, entry: MixedAir | AtDamper, where: str) -> Iterator[Refusal]:
    """Yield what is wrong with the damper signal of a reading."""
    try:
        share = kit.share_of_stroke(entry.damper_signal)
    except Refused as refused:
        yield refused.refusals[0].at(f"{where}.damper_signal")
        return
    if not 0.0 <= share <= 1.0:
        accepted = f"{kit.damper_signal.closed} to {kit.damper_signal.open}, or 0 % to 100 %"
        yield Refusal(
            "is outside the kit's range of signal",
            accepted,
            f"{where}.damper_signal",
            entry.damper_signal.typed,
        )
