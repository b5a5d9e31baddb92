"""A refused choice lists the words that people know; an id where it is what one types, with its words."""

from __future__ import annotations

import pytest

from ventwright.errors import Refused, refuse_word
from ventwright.readings.fault_finding import measurement_named
from ventwright.readings.step_seen import Repaired
from ventwright.tables.fault_prior import fault_prior
from ventwright.tables.kit import Kit
from ventwright.tables.point import point, points
from ventwright.tables.procedure import step_named, step_words, steps
from ventwright.tables.sensor_curve import curves, sensor_curve
from ventwright.tables.shelf import find, names


def accepted(refused: Refused) -> str:
    """Return what a refusal says is accepted."""
    (one,) = refused.refusals
    return one.accepted


def test_a_repair_is_refused_with_the_words_of_faults_and_steps() -> None:
    """What is listed is what one types; every word of it is taken, and no id is listed."""
    entry = {"what": "repaired", "id": "r1", "at": "2026-03-01T10:00:00Z"}
    with pytest.raises(ValueError, match="is not a fault or a step") as caught:
        Repaired.model_validate(entry | {"of": "damper struck"})
    said = str(caught.value)
    assert "outdoor-air damper stuck" in said
    assert "high limit, damper" in said
    assert not any(row.id in said.split("accepted: ")[1].split(", ") for row in fault_prior().faults if row.id != row.words)  # fmt: skip
    assert "high_limit.damper" not in said
    for words in ("outdoor-air damper stuck", *map(step_words, steps())):
        Repaired.model_validate(entry | {"of": words})


def test_ids_come_with_their_words() -> None:
    """Kits, steps, points, measurements, sensor curves."""
    with pytest.raises(Refused) as caught:
        find("kits", "none", Kit)
    assert accepted(caught.value) == "; ".join(
        f"{one}: {find('kits', one, Kit).name}" for one in names("kits")
    )
    with pytest.raises(Refused) as caught:
        step_named("none")
    assert "high_limit.damper: high limit, damper" in accepted(caught.value)
    with pytest.raises(Refused) as caught:
        point("none")
    assert f"outdoor_temperature: {points()['outdoor_temperature'].name}" in accepted(caught.value)
    with pytest.raises(Refused) as caught:
        measurement_named("none")
    assert "run.cool_1: unit watched" in accepted(caught.value)
    with pytest.raises(Refused) as caught:
        sensor_curve("none")
    assert f"{curves()[0].id}: {curves()[0].name}" in accepted(caught.value)


def test_words_lead_to_the_id() -> None:
    """Whoever typed the words is told which id is meant by them."""
    refused = refuse_word("two speed kit", {"kit-2": "Two-speed kit", "kit-1": "Single-speed kit"}, "a kit")
    assert str(refused) == '"two speed kit" is not a kit (did you mean kit-2?); accepted: kit-2: Two-speed kit; kit-1: Single-speed kit.'  # fmt: skip
    assert "accepted: one, two." in str(refuse_word("three", ["one", "two"], "a number"))
