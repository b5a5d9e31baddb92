"""Wrong codes of a practice roof, and the exact sentence for each."""

from __future__ import annotations

from typing import Any

import pytest

from ventwright.errors import Refused
from ventwright.job import read_job
from ventwright.readings.practice.code import ALPHABET, EXAMPLE, LENGTH, SEEDS, PracticeCode, read_code
from ventwright.readings.practice.opening import practice_facts
from ventwright.tables.practice import practice_table

WRONG = [
    ("", "nothing was given; accepted: a code of eight letters and digits, such as 3FMJ-FN3P."),
    ("  - ", "nothing was given; accepted: a code of eight letters and digits, such as 3FMJ-FN3P."),
    ("3FMJ-FN3", '"3FMJ-FN3" has 7 signs, and a code has eight; accepted: all eight, such as 3FMJ-FN3P.'),
    ("3", '"3" has one sign, and a code has eight; accepted: all eight, such as 3FMJ-FN3P.'),
    ("3FMJ-FN3P7", '"3FMJ-FN3P7" has 9 signs, and a code has eight; accepted: all eight, such as 3FMJ-FN3P.'),
    ("3FMJ-FN3O", '"3FMJ-FN3O" has "O" in it, which no code has; accepted: only the signs 3479CDFHJKMNPQRTWXY, which look like no other.'),
    ("3FMJ-FN3X", '"3FMJ-FN3X" is no code; accepted: the code as it was given: a sign is wrong, or two have changed places.'),
    ("3FJM-FN3P", '"3FJM-FN3P" is no code; accepted: the code as it was given: a sign is wrong, or two have changed places.'),
]  # fmt: skip


@pytest.mark.parametrize(("typed", "sentence"), WRONG)
def test_a_wrong_code_is_refused_with_one_sentence(typed: str, sentence: str) -> None:
    with pytest.raises(Refused) as refused:
        read_code(typed)
    assert [one.sentence for one in refused.value.refusals] == [sentence]


def test_the_example_is_a_code() -> None:
    assert str(read_code(EXAMPLE)) == EXAMPLE


def with_check(signs: str) -> str:
    """Return seven signs with the eighth that goes with them."""
    values = [ALPHABET.index(sign) for sign in signs]
    last = next(
        sign
        for sign in ALPHABET
        if not (sum(n * v for n, v in enumerate(values, start=1)) + LENGTH * ALPHABET.index(sign))
        % len(ALPHABET)
    )
    return signs + last


@pytest.mark.parametrize("signs", ["4FMJFN3", "3YMJFN3"])
def test_a_code_of_a_newer_version_is_refused(signs: str) -> None:
    """The first sign is the version, the second difficulty and weather: values that there are not yet."""
    typed = with_check(signs)
    with pytest.raises(Refused) as refused:
        read_code(typed)
    sentence = f'"{typed}" was made by a newer Ventwright; accepted: a code of this version, or an update of Ventwright.'
    assert [one.sentence for one in refused.value.refusals] == [sentence]


def test_no_wrong_sign_and_no_two_that_changed_places_pass() -> None:
    for number in range(40):
        code = PracticeCode(number % 3, number % 4, number * (SEEDS // 40) + 7 * number)
        signs = str(code).replace("-", "")
        assert read_code(f" {signs[:3].lower()} {signs[3:]} ") == code
        for place, sign in enumerate(signs):
            wrong = [f"{signs[:place]}{other}{signs[place + 1 :]}" for other in ALPHABET if other != sign]
            for later in range(place + 1, LENGTH):
                if signs[later] != sign:
                    swapped = list(signs)
                    swapped[place], swapped[later] = swapped[later], swapped[place]
                    wrong.append("".join(swapped))
            for typed in wrong:
                with pytest.raises(Refused):
                    read_code(typed)


@pytest.mark.parametrize(
    ("given", "name"),
    [((3, 0, 0), "difficulty"), ((0, 4, 0), "weather"), ((0, 0, SEEDS), "seed"), ((0, 0, -1), "seed")],
)
def test_what_no_code_stands_for_is_refused(given: tuple[int, int, int], name: str) -> None:
    assert len(practice_table().difficulties) == 3
    assert len(practice_table().weathers) == 4
    with pytest.raises(Refused, match=f"is no {name} of a practice roof"):
        PracticeCode(*given)


def document(code: str) -> dict[str, Any]:
    return {"schema_version": 1, "id": "p", "practice": code, "facts": practice_facts(PracticeCode(0, 0, 0))}


def test_a_document_with_a_wrong_code_is_refused_at_its_place() -> None:
    with pytest.raises(Refused) as refused:
        read_job(document("3FMJ-FN3X"))
    sentence = 'practice: "3FMJ-FN3X" is no code; accepted: the code as it was given: a sign is wrong, or two have changed places.'
    assert [one.sentence for one in refused.value.refusals] == [sentence]
    assert read_job(document("3fmjfn3p")).practice == "3FMJ-FN3P"
