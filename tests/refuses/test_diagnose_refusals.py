"""What fault finding refuses, each in the one sentence that a person reads."""

from __future__ import annotations

from dataclasses import replace
from importlib.resources import files
from pathlib import Path
from typing import Any

import pytest
from tests import rooftop_units

from ventwright import cli
from ventwright.cli import REFUSED
from ventwright.entry import validated
from ventwright.errors import Refused
from ventwright.readings import FaultFinding
from ventwright.tables.fault_prior import fault_prior
from ventwright.tables.measurement import measurements
from ventwright.tables.unit_variation import unit_variation
from ventwright.verdict.diagnose import variation
from ventwright.verdict.diagnose.variation import varied

DEMO = Path(str(files("ventwright.cli"))) / "demo_job" / "larkspur-row-r-2.yaml"
NO_WEATHER = ("  weather:\n    outdoor_air: 58 F\n    return_air: 74 F\n", "")


def refused(measurement: str, *found: dict[str, str]) -> list[str]:
    """Every sentence that an entry is refused with."""
    entry: dict[str, Any] = {
        "what": "fault finding",
        "id": "f1",
        "at": "2026-11-25T09:40-08:00",
        "measurement": measurement,
        "found": list(found),
    }
    with pytest.raises(Refused) as caught:
        validated(FaultFinding, entry)
    return [refusal.sentence for refusal in caught.value.refusals]


@pytest.mark.parametrize(
    ("measurement", "found", "sentence"),
    [
        ("strok", {"value": "free"}, 'measurement: "strok" is not a measurement that is known here (did you mean stroke?); accepted: '),
        ("free_blades", {"value": "loose"}, 'found[1].value: "loose" is not a word for "free blades"; accepted: free, held.'),
        ("run.cool_1", {"value": "1"}, 'found[1].reads: "nothing" is not a part of this measurement'),
        ("run.cool_1", {"reads": "damper signal", "value": "42"}, 'found[1].value: "42" has no unit, and '),
        ("complaint", {"value": "stufy"}, 'found[1].value: "stufy" is not a complaint that is known here (did you mean stuffy?); accepted: stuffy: '),
        ("settings", {"value": "high limit low + odd"}, 'found[1].value: "odd" is not a word for "settings"'),
    ],
    ids=["measurement", "word", "part", "unit", "complaint", "joined"],
)  # fmt: skip
def test_a_finding_that_is_not_on_the_list(measurement: str, found: dict[str, str], sentence: str) -> None:
    """The place, what was given, and what is accepted instead."""
    (first, *_) = refused(measurement, found)
    assert first.startswith(sentence)


def test_every_mistake_at_once() -> None:
    """Two wrong parts are two sentences."""
    sentences = refused(
        "run.cool_1", {"reads": "compressors", "value": "many"}, {"reads": "heating", "value": "warm"}
    )
    assert len(sentences) == 2


def test_no_air_of_today(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Without today's air no reading can be foreseen."""
    text = DEMO.read_text(encoding="utf-8")
    path = tmp_path / "job.yaml"
    path.write_text(text[: text.index("\nreadings:")].replace(*NO_WEATHER) + "\n", encoding="utf-8")
    assert cli.main(["diagnose", str(path)]) == REFUSED
    assert (
        "facts.weather: is missing; accepted: outdoor_air and return_air of today, the visit's outdoor_air, or a reading of mixed "
        "air." in capsys.readouterr().err
    )


def test_a_fault_nobody_knows() -> None:
    """The nearest fault is named."""
    with pytest.raises(Refused) as caught:
        fault_prior().fault("outdoor_air_damper_stick")
    assert '"outdoor_air_damper_stick" is not a fault that is known here (did you mean outdoor_air_damper_stuck?)' in str(caught.value)  # fmt: skip


def test_every_number_has_the_range_that_a_mistake_lies_in() -> None:
    """Else a number that somebody reads would have no likelihood; a word has none."""
    entered = measurements().entered
    parts = [part for one in measurements().offered for part in one.parts]
    for part in parts:
        span = entered[part.reads].span
        assert (span is not None) == (part.u is not None), part.reads
        assert span is None or span[0] < span[1]


def test_what_nobody_measured_of_a_unit_differs_by_the_data(monkeypatch: pytest.MonkeyPatch) -> None:
    """With no spread of the airflow in the file every unit moves the air that the facts say."""
    unit = rooftop_units.unit()
    assert varied(unit, 3).fan.airflow != unit.fan.airflow
    known = unit_variation()
    still = replace(known, spread=replace(known.spread, airflow=0.0))
    monkeypatch.setattr(variation, "unit_variation", lambda: still)
    assert varied(unit, 3).fan.airflow == unit.fan.airflow
    assert varied(unit, 0) is unit
