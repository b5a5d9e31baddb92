"""What is offered as one types: places, uses of a space, and the kit to begin with."""

from __future__ import annotations

import random
from typing import Any

import pytest

from ventwright.tables import ventilation
from ventwright.tables.climate import places, states
from ventwright.tables.fitting_kits import fitting_kits
from ventwright.tables.suggested_use import suggested_uses
from ventwright.tables.typed_place import place_from, suggested_places

SALES = "Retail / Sales"
OFFICE = "Office / Office space"


@pytest.mark.parametrize(
    ("typed", "fields"),
    [
        ("Cook, IL", {"county": "Cook County", "state": "IL"}),
        ("Cook County, Illinois", {"county": "Cook County", "state": "IL"}),
        ("IL Cook", {"county": "Cook County", "state": "IL"}),
        ("cook il, usa", {"county": "Cook County", "state": "IL"}),
        ("Washington Oregon", {"county": "Washington County", "state": "OR"}),
        ("NY, New York", {"county": "New York County", "state": "NY"}),
        ("saint louis city mo", {"county": "St. Louis City", "state": "MO"}),
        ("5a", {"climate_zone": "5A"}),
        ("zone 7", {"climate_zone": "7"}),
        ("Climate zone 5A", {"climate_zone": "5A"}),
        ("5 A", {"climate_zone": "5A"}),
        ("CA 12", {"climate_zone": "CA 12"}),
        ("California climate zone 3", {"climate_zone": "CA 3"}),
    ],
)
def test_a_place_in_one_field(typed: str, fields: dict[str, str]) -> None:
    """County and state in either order, or a zone, as the fields of a site."""
    assert place_from(typed) == fields


def test_whatever_is_offered_can_be_typed() -> None:
    """Counties of the whole map: offered when their name is typed, and read in either order of county and state."""
    chance = random.Random(7)  # noqa: S311 - repeatable, not secret
    for place in chance.sample(places(), 60):
        county, _, state = place.rpartition(", ")
        assert place in suggested_places(place)
        for text in (place, f"{states()[state]} {county}", f"{county} {state}"):
            assert place_from(text) == {"county": county, "state": state}


@pytest.mark.parametrize(
    ("typed", "first"),
    [
        ("cook i", "Cook County, IL"),
        ("los ang", "Los Angeles County, CA"),
        ("saint lou", "St. Louis City, MO"),
        ("Los Angelas CA", "Los Angeles County, CA"),
        ("5", "5A"),
        ("ca 1", "CA 1"),
        ("il", "Adams County, IL"),
    ],
)
def test_the_likeliest_place_is_first(typed: str, first: str) -> None:
    """Beginnings, a state of which two letters are typed, Saint, a slip, a zone, a state alone."""
    found = suggested_places(typed)
    assert found[0] == first
    assert len(found) <= 8


def test_nothing_typed_offers_nothing() -> None:
    """No place and no use comes before the first letter."""
    assert suggested_places(" ") == ()
    assert suggested_uses("62.1-2019", " ") == ()


@pytest.mark.parametrize(
    ("typed", "first"),
    [
        ("shop", SALES),
        ("stores", SALES),
        ("gym", "Sports and entertainment / Health club/aerobics room"),
        ("classroom", "Education / Classroom, ages 5 to 8"),
        ("call center", "Office / Telephone/data entry"),
        ("call ce", "Office / Telephone/data entry"),
        ("restaurant", "Food and beverage / Restaurant dining rooms"),
        ("off", OFFICE),
        ("church", "Public assembly / Places of religious worship"),
        ("warehouse", "Miscellaneous / Warehouses"),
        ("meeting", "General / Conference/meeting"),
        ("ofice", OFFICE),
        ("sales", SALES),
    ],
)
def test_a_use_is_found_by_the_word_people_have_for_it(typed: str, first: str) -> None:
    """Whole words, plurals, beginnings, words of the category itself, a slip."""
    assert suggested_uses("62.1-2019", typed)[0] == first


@pytest.mark.parametrize("edition", ventilation.editions())
def test_common_words_are_found_in_every_edition(edition: str) -> None:
    """A shop, an office, a classroom and a restaurant are known to each, and what is offered is one of its categories."""
    for typed in ("shop", "office", "classroom", "restaurant", "gym", "call center"):
        for name in suggested_uses(edition, typed):
            assert ventilation.rate(edition, name).name == name
        assert suggested_uses(edition, typed)


@pytest.mark.parametrize(
    ("unit", "first"),
    [
        ({"fan_speeds": 1}, "single-speed-enthalpy"),
        ({"fan_speeds": 2}, "two-speed-dry-bulb"),
        ({"fan_speeds": 2, "variable": True}, "variable-enthalpy-with-demand-control"),
        ({"fan_speeds": 1, "heating": "heat pump"}, "heat-pump-differential"),
        ({"fan_speeds": 2, "heating": "heat pump"}, "damper-for-a-unit-that-decides"),
    ],
)
def test_the_kit_to_begin_with(unit: dict[str, Any], first: str) -> None:
    """As many speeds as the unit has, for its heating."""
    assert fitting_kits(**unit)[0].id == first


def test_a_kit_says_why_it_fits() -> None:
    """What decides its place stands beside it."""
    assert fitting_kits(fan_speeds=2, heating="gas")[0].reason == (
        "for a fan of up to 2 speeds; for units with gas or electric; its damper can be sent to a signal by hand"
    )


def test_kits_that_cannot_follow_the_fan_are_not_offered() -> None:
    """A variable fan needs a kit that follows it, and five speeds are more than any tells apart."""
    assert {one.id for one in fitting_kits(fan_speeds=2, variable=True)} == {
        "variable-enthalpy-with-demand-control", "damper-for-a-unit-that-decides",
    }  # fmt: skip
    assert "two-speed-dry-bulb" not in {one.id for one in fitting_kits(fan_speeds=3)}
