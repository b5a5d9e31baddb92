"""Whether the settings and damper signals of an entry are ones that the kit has."""

from __future__ import annotations

from collections.abc import Iterator

from ventwright.errors import Refusal, Refused
from ventwright.readings.changes import DamperStands, LeftSafe, TemporaryChange
from ventwright.readings.entries import MixedAir, SettingRead
from ventwright.readings.streams import AtDamper
from ventwright.tables.kit import Kit
from ventwright.tables.unit_prior import accepted as accepted_of_tests


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


def signal_mistakes(kit: Kit, entry: MixedAir | AtDamper | LeftSafe, where: str) -> Iterator[Refusal]:
    """Yield what is wrong with the damper signal of an entry."""
    signal, place = entry.damper_signal, f"{where}.damper_signal"
    if signal is None:
        return
    try:
        share = kit.share_of_stroke(signal)
    except Refused as refused:
        yield refused.refusals[0].at(place)
        return
    if not 0.0 <= share <= 1.0:
        yield Refusal(
            "is outside the kit's range of signal", kit.damper_signal.range_words, place, signal.typed
        )
    elif isinstance(entry, LeftSafe):
        yield from _stands_otherwise(entry.damper, share, place, signal.typed)


def _stands_otherwise(damper: DamperStands, share: float, where: str, typed: str) -> Iterator[Refusal]:
    """Yield that a damper cannot stand where it is said to with this signal."""
    shut = share <= accepted_of_tests().shut
    if shut and damper in {DamperStands.AT_VENTILATION, DamperStands.OPEN}:
        accepted = "the signal at which outdoor air comes in, or damper: shut, with why"
        yield Refusal(f"is a shut damper, and it is said to stand {damper}", accepted, where, typed)
    if not shut and damper is DamperStands.SHUT:
        accepted = "the signal of a shut damper, or where it stands: at ventilation, open, where it failed"
        yield Refusal("is no shut damper, and it is said to stand shut", accepted, where, typed)
