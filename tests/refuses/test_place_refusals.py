"""A place that cannot be told, in the exact sentence a person reads."""

from __future__ import annotations

import pytest

from ventwright.errors import Refused
from ventwright.tables.typed_place import place_from

ACCEPTED = "county and state, such as Cook, IL, or the climate zone, such as 5A or CA 12"
NO_COUNTY = "is no county with its state, and cities are not known here"

CASES = {
    "a city": ("Chicago, IL", f'place: "Chicago, IL" {NO_COUNTY}; accepted: {ACCEPTED}.'),
    "no state": (
        "Cook",
        f'place: "Cook" {NO_COUNTY} (did you mean Cook County, GA or Cook County, IL or Cook County, MN?); accepted: {ACCEPTED}.',
    ),
    "misspelt": (
        "Kook, IL",
        f'place: "Kook, IL" {NO_COUNTY} (did you mean Cook County, IL?); accepted: {ACCEPTED}.',
    ),
    "county and city of one name": (
        "St. Louis MO",
        'place: "St. Louis MO" fits more than one place; accepted: St. Louis City, MO or St. Louis County, MO.',
    ),
    "a letter that zone 7 has not": (
        "7A",
        'place: "7A" has a letter; zones 7 and 8 have none; accepted: 7.',
    ),
    "no zone of California": (
        "CA 17",
        (
            'place: "CA 17" is no climate zone of California (did you mean CA 1?); accepted: '
            f"{', '.join(f'CA {number}' for number in range(1, 17))}."
        ),
    ),
    "nothing": (" ", f"place: names no place; accepted: {ACCEPTED}."),
}


@pytest.mark.parametrize(("typed", "sentence"), CASES.values(), ids=CASES)
def test_a_place_that_cannot_be_told(typed: str, sentence: str) -> None:
    """What is wrong, what is accepted, and the nearest names."""
    with pytest.raises(Refused) as caught:
        place_from(typed, "place")
    assert str(caught.value) == sentence
