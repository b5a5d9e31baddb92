"""Entries of the ledger, of a unit left safe and of a recheck that are refused: the exact sentences."""

from __future__ import annotations

from importlib.resources import files
from pathlib import Path
from typing import Any, Final

import pytest

from ventwright import cli
from ventwright.cli import REFUSED
from ventwright.entry import validated
from ventwright.errors import Refused
from ventwright.readings import LeftSafe, Readings, TemporaryChange

DEMO: Final = Path(str(files("ventwright.cli"))) / "demo_job" / "larkspur-row-r-2.yaml"

CHANGE: dict[str, Any] = {
    "what": "temporary change", "id": "c", "at": "2026-11-25T09:00-08:00", "point": "sensor", "was": "on", "changed_to": "off",
}  # fmt: skip

CHANGES = {
    "a resistor of no sensor": (
        {"kind": "resistor"},
        ["sensor: is missing for a change of kind resistor; accepted: the sensor whose input it stands in for, such as outdoor air."],
    ),
    "a pack at no sensor": (
        {"kind": "pack"},
        ["sensor: is missing for a change of kind pack; accepted: the sensor that it is held to, such as outdoor air."],
    ),
    "a change that changes nothing": (
        {"kind": "setting", "label": "high limit", "was": "75 F", "changed_to": "75 f"},
        ['changed_to: "75 f" changes nothing; accepted: how it is for the test.'],
    ),
    "a setting without its label": (
        {"kind": "setting"},
        ["label: is missing for a change of kind setting; accepted: the kit's label of the setting."],
    ),
    "ohms of a jumper": (
        {"kind": "jumper", "resistance": "12 kohm"},
        ['resistance: "12 kohm" belongs to a change of kind resistor; accepted: kind: resistor beside it, or no resistance.'],
    ),
    "a call of no kind": (
        {"call": "first cooling"},
        ['call: "first cooling" belongs to a change of kind jumper or override; accepted: kind: jumper or override beside it, or no call.'],
    ),
    "two things at once": (
        {"kind": "lead", "label": "x", "imitates": "66 F"},
        [
            'imitates: "66 F" belongs to a change of kind resistor or pack; accepted: kind: resistor or pack beside it, or no imitates.',
            'label: "x" belongs to a change of kind setting; accepted: kind: setting beside it, or no label.',
        ],
    ),
    "a kind that is none": (
        {"kind": "resistr"},
        ['kind: "resistr" is not one of the words for this (did you mean resistor?); accepted: resistor, pack, jumper, override, setting, lead.'],
    ),
    "a resistor in volts": (
        {"kind": "resistor", "sensor": "outdoor air", "resistance": "12 V"},
        ['resistance: "12 V" is a voltage, and a resistance is wanted; accepted: "10k ohm" or "9870 ohm".'],
    ),
}  # fmt: skip


@pytest.mark.parametrize(("more", "sentences"), CHANGES.values(), ids=CHANGES)
def test_what_does_not_go_together_is_refused(more: dict[str, Any], sentences: list[str]) -> None:
    """Each field that belongs to another kind of change is named, and what a kind cannot do without."""
    with pytest.raises(Refused) as caught:
        validated(TemporaryChange, CHANGE | more)
    assert [one.sentence for one in caught.value.refusals] == sentences


INSTEAD = {
    "a tick": {"what": "tick", "item": "nothing_left"},
    "a setting read back": {"what": "setting", "label": "high limit", "value": "75 F"},
}


@pytest.mark.parametrize("entry", INSTEAD.values(), ids=INSTEAD)
def test_nothing_but_its_like_stands_for_a_change(entry: dict[str, Any]) -> None:
    """An entry of another kind that "corrects" a change would take its line out of the ledger without a word."""
    later = entry | {"id": "d", "at": "2026-11-25T09:10-08:00", "corrects": "c"}
    with pytest.raises(Refused) as caught:
        validated(Readings, {"entries": [CHANGE, later]})
    assert [one.sentence for one in caught.value.refusals] == [
        'entries[2].corrects: "c" is a temporary change, and nothing else stands for one: it may still be there; accepted: a temporary change in its place, or withdrawn with a note.'
    ]  # fmt: skip


@pytest.mark.parametrize("damper", ["shut", "open", "where it failed"])
def test_a_damper_is_not_shut_by_habit(damper: str) -> None:
    """Away from ventilation it stands for a reason."""
    entry = {"what": "left safe", "id": "l", "at": "2026-11-25T09:00-08:00", "damper": damper}
    with pytest.raises(Refused) as caught:
        validated(LeftSafe, entry)
    assert [one.sentence for one in caught.value.refusals] == [
        f"why: is missing for a damper left {damper}: people breathe meanwhile; accepted: the reason, or damper: at ventilation."
    ]
    assert validated(LeftSafe, entry | {"why": "the coil would freeze"}).damper == damper


COMMANDS = {
    "a setting that the kit cannot have had": (
        (
            *("read", "JOB", "change", "--kind", "setting", "--label", "Outdoor air too warm above"),
            *("--point", "high limit", "--was", "20 F", "--to", "55 F"),
        ),
        '--was: "20 F" is outside the range of "Outdoor air too warm above"; accepted: 48 F to 80 F.',
    ),
    "a label that is none": (
        (
            *("read", "JOB", "change", "--kind", "setting", "--label", "Outdoor air too warm abov"),
            *("--point", "high limit", "--was", "75 F", "--to", "55 F"),
        ),
        None,
    ),
    "left on no visit": (
        ("leave", "JOB", "--visit", "third"),
        '--visit: "third" is not a visit of this job; accepted: cold-morning, first-fit.',
    ),
    "left shut by habit": (
        ("leave", "JOB", "--damper", "shut"),
        "--why: is missing for a damper left shut: people breathe meanwhile; accepted: the reason, or damper: at ventilation.",
    ),
    "left at more than the kit sends": (
        ("leave", "JOB", "--signal", "15 V"),
        '--signal: "15 V" is outside the kit\'s range of signal; accepted: 2 V to 10 V, or 0 % to 100 %.',
    ),
    "left at less than the kit sends": (
        ("leave", "JOB", "--signal", "1 V"),
        '--signal: "1 V" is outside the kit\'s range of signal; accepted: 2 V to 10 V, or 0 % to 100 %.',
    ),
    "left at ventilation, and shut": (
        ("leave", "JOB", "--signal", "2 V"),
        '--signal: "2 V" is a shut damper, and it is said to stand at ventilation; accepted: the signal at which outdoor air comes in, or damper: shut, with why.',
    ),
    "left shut, and open": (
        ("leave", "JOB", "--damper", "shut", "--why", "frost", "--signal", "50 %"),
        '--signal: "50 %" is no shut damper, and it is said to stand shut; accepted: the signal of a shut damper, or where it stands: at ventilation, open, where it failed.',
    ),
    "a change taken back without a word": (
        ("read", "JOB", "withdraw", "--corrects", "c1"),
        "--note: is missing for a temporary change that is taken back: it may still be there; accepted: why this line does not count.",
    ),
    "a recheck with a probe that is not there": (
        ("recheck", "JOB", "--instrument", "prob"),
        '--instrument: "prob" is not an instrument of this job (facts.instruments) (did you mean probe?); accepted: probe: Hand-held thermistor probe; meter: Clamp meter; flow-plate: Flow plate with manometer.',
    ),
    "a recheck at no speed of the unit": (
        ("recheck", "JOB", "--speed", "hig"),
        '--speed: "hig" is not a fan speed of this unit (did you mean high?); accepted: high, low.',
    ),
    "a high limit that the kit cannot have": (
        ("recheck", "JOB", "--high-limit", "20 F"),
        '--high-limit: "20 F" is outside the range of "Outdoor air too warm above"; accepted: 48 F to 80 F.',
    ),
    "a signal beyond the kit's": (
        ("recheck", "JOB", "--signal", "40 V"),
        '--signal: "40 V" is outside the kit\'s range of signal; accepted: 2 V to 10 V, or 0 % to 100 %.',
    ),
    "a reading without its unit": (
        ("recheck", "JOB", "--outdoor", "28", "--return", "73 F", "--mixed", "60 F"),
        '--outdoor: "28" has no unit, and a temperature needs one; accepted: "72 F" or "22 °C".',
    ),
}  # fmt: skip


@pytest.mark.parametrize(("words", "sentence"), COMMANDS.values(), ids=COMMANDS)
def test_a_command_names_the_option(
    capsys: pytest.CaptureFixture[str], tmp_path: Path, words: tuple[str, ...], sentence: str | None
) -> None:
    """One mistake, one sentence, and the job stays as it is."""
    job = tmp_path / "job.yaml"
    job.write_bytes(DEMO.read_bytes())
    code = cli.main([str(job) if word == "JOB" else word for word in words])
    said = capsys.readouterr().err.splitlines()
    assert code == REFUSED
    assert job.read_bytes() == DEMO.read_bytes()
    if sentence is None:
        assert (
            '--label: "Outdoor air too warm abov" is not a setting of this kit (did you mean Outdoor air too warm above?)'
            in said[0]
        )
    else:
        assert said == [f"ventwright: {sentence}"]
