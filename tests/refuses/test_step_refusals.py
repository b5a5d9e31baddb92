"""Entries of functional tests, things at hand and sensors of a kit that are refused, each in its exact sentence."""

from __future__ import annotations

from typing import Any

import pytest
from tests.invented import facts, readings

from ventwright.entry import validated
from ventwright.errors import Refused
from ventwright.tables.kit_sensor import KitSensor
from ventwright.tables.procedure import step_named


def refused(*entries: dict[str, Any]) -> str:
    """The sentences in which entries are refused."""
    with pytest.raises(ValueError, match="accepted") as caught:
        readings(*entries)
    return str(caught.value)


def seen(step: str, **other: Any) -> dict[str, Any]:
    """One step as it was entered."""
    return {"what": "test step", "step": step, **other}


@pytest.mark.parametrize(
    ("entry", "sentence"),
    [
        (seen("stroke.opend", seen="yes"), '"stroke.opend" is not a step of the functional tests (did you mean stroke.opens?)'),
        (seen("stroke.opens"), "is missing; accepted: yes, no, not fitted or not looked at"),
        (seen("stroke.opens", read_value="100 %"), '"100 %" is a value, and this step is answered by what was seen'),
        (seen("stroke.time", seen="yes"), "is a step at which duration is read, and no value is given"),
        (seen("stroke.time", read_value="60 F"), '"60 F" is a temperature, and duration is read at this step'),
        (seen("unoccupied.shut", read_value="0 %", seen="yes"), '"yes" stands beside a value that was read'),
        (seen("stroke.opens", seen="not fitted"), "is no answer to this step, since every unit that it is for has it"),
        (seen("minimum_position.high", seen="yes"), "is judged by readings of its own kind; accepted: readings of supply air and mixed air"),
        (seen("sensors.side_by_side", seen="yes"), "accepted: a sensor check for each sensor"),
        (seen("stroke.opens", seen="yes", changes=["c9"]), '"c9" is no temporary change'),
        ({"what": "repaired", "of": "damper struck"}, '"damper struck" is not a fault or a step of the functional tests (did you mean damper stuck?)'),
    ],
)  # fmt: skip
def test_an_entry_that_fits_no_step_is_refused(entry: dict[str, Any], sentence: str) -> None:
    """Unknown steps, answers of another kind, changes that nobody entered, faults that are none."""
    assert sentence in refused(entry)


def test_an_unknown_step_is_named_with_its_place() -> None:
    """Whoever asks for a step by its id learns where the id stood."""
    with pytest.raises(Refused, match=r'^step: "x" is not a step of the functional tests'):
        step_named("x", "step")


@pytest.mark.parametrize(
    ("at_hand", "sentence"),
    [
        ({"resistors": ["12"]}, "has no unit, and a resistance needs one"),
        ({"resistors": ["0 ohm"]}, "is not possible for a resistance here"),
        ({"people": 0}, "people"),
    ],
)
def test_what_nobody_carries_is_refused(at_hand: dict[str, Any], sentence: str) -> None:
    """A resistor has ohms above nothing, and somebody comes."""
    with pytest.raises(ValueError, match=sentence):
        facts(at_hand=at_hand)


def test_a_sensor_of_a_kit_has_a_known_curve_or_signal() -> None:
    """Ohms alone name no curve; the refusal lists those that have them."""
    with pytest.raises(Refused, match="names no curve: its ohms fit") as caught:
        validated(KitSensor, {"at": "outdoor air", "kind": "10k"})
    assert "thermistor-10k-type-2" in str(caught.value)
