"""What is no quantity is refused in one sentence that says what to write; no text breaks the reader or holds it up.

The sentences are our own wording, pinned here.
"""

from __future__ import annotations

import math
from time import perf_counter

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from ventwright.errors import LONGEST, Refusal, Refused, shortened
from ventwright.quantity import (
    AIRFLOW,
    AREA,
    CURRENT,
    DIMENSIONS,
    DURATION,
    ENTHALPY,
    FRACTION,
    HEAT_RATE,
    LENGTH,
    PRESSURE,
    RESISTANCE,
    TEMPERATURE,
    TEMPERATURE_DIFFERENCE,
    VOLTAGE,
    Dimension,
    Quantity,
    has_unit_of,
    read,
)

NUMBERS = 'digits with a decimal point, a comma only between thousands, such as "1.5" or "12,000"'
NOT_A_NUMBER = f"holds a number that is not written as it is read here; accepted: {NUMBERS}."
A_TEMPERATURE = '"72 F" or "22 °C"'
A_DIFFERENCE = '"2 F" or "1 K" (a difference, not a temperature)'


def sentence(text: str, dimension: Dimension, **bounds: float) -> str:
    """Return the one sentence with which a text is refused."""
    with pytest.raises(Refused) as refused:
        read(text, dimension, **bounds)
    assert len(refused.value.refusals) == 1
    assert str(refused.value) == refused.value.refusals[0].sentence
    return str(refused.value)


REFUSED: dict[str, tuple[str, Dimension, str]] = {
    "nothing": ("", TEMPERATURE, f"nothing was given; accepted: {A_TEMPERATURE}."),
    "blanks": (" \t\n", TEMPERATURE, f"nothing was given; accepted: {A_TEMPERATURE}."),
    "a word": ("warm", TEMPERATURE, f'"warm" is not a temperature; accepted: {A_TEMPERATURE}.'),
    "a unit alone": ("F", TEMPERATURE, f'"F" is not a temperature; accepted: {A_TEMPERATURE}.'),
    "two signs": ("--4 F", TEMPERATURE, f'"--4 F" is not a temperature; accepted: {A_TEMPERATURE}.'),
    "infinite, in a word": (
        "inf F",
        TEMPERATURE,
        f'"inf F" is not a temperature; accepted: {A_TEMPERATURE}.',
    ),
    "no number, in a word": (
        "nan F",
        TEMPERATURE,
        f'"nan F" is not a temperature; accepted: {A_TEMPERATURE}.',
    ),
    "digits that no page of ours prints": (
        "٧٢ F",
        TEMPERATURE,
        f'"٧٢ F" is not a temperature; accepted: {A_TEMPERATURE}.',
    ),
    "raised digits": ("²² F", TEMPERATURE, f'"²² F" is not a temperature; accepted: {A_TEMPERATURE}.'),
    "a band alone": ("± 0.5 F", TEMPERATURE, f'"± 0.5 F" is not a temperature; accepted: {A_TEMPERATURE}.'),
    "no unit": (
        "72",
        TEMPERATURE,
        f'"72" has no unit, and a temperature needs one; accepted: {A_TEMPERATURE}.',
    ),
    "no unit before the band": (
        "72 ± 0.5 F",
        TEMPERATURE,
        f'"72 ± 0.5 F" has no unit, and a temperature needs one; accepted: {A_TEMPERATURE}.',
    ),
    "a share without its sign": (
        "0.28",
        FRACTION,
        '"0.28" has no unit, and a fraction needs one; accepted: "28 %".',
    ),
    "an area without a unit": (
        "4800",
        AREA,
        '"4800" has no unit, and an area needs one; accepted: "4800 ft2" or "446 m2".',
    ),
    "another dimension": (
        "72 cfm",
        TEMPERATURE,
        f'"72 cfm" is an airflow, and a temperature is wanted; accepted: {A_TEMPERATURE}.',
    ),
    "metres for minutes": (
        "3 m",
        DURATION,
        '"3 m" is a length, and a duration is wanted; accepted: "3 min" or "90 s".',
    ),
    "volts for a share": (
        "3.7 V",
        FRACTION,
        '"3.7 V" is a voltage, and a fraction is wanted; accepted: "28 %".',
    ),
    "an unknown unit": (
        "72 Rankine",
        TEMPERATURE,
        f'"72 Rankine" has a unit that is not known for a temperature: "Rankine"; accepted: {A_TEMPERATURE}.',
    ),
    "standard cubic feet": (
        "350 SCFM",
        AIRFLOW,
        '"350 SCFM" has a unit that is not known for an airflow: "SCFM"; accepted: "350 cfm" or "165 L/s".',
    ),
    "a mark for feet": (
        "5'",
        LENGTH,
        '"5\'" has a unit that is not known for a length: "\'"; accepted: "5300 ft" or "1615 m".',
    ),
    "two quantities": (
        "72 F 73 F",
        TEMPERATURE,
        f'"72 F 73 F" has a unit that is not known for a temperature: "F 73 F"; accepted: {A_TEMPERATURE}.',
    ),
    "millions of volts": (
        "2600 MV",
        VOLTAGE,
        '"2600 MV" has a unit that is not known for a voltage: "MV"; accepted: "2.6 V".',
    ),
    "millions of amperes": (
        "12 MA",
        CURRENT,
        '"12 MA" has a unit that is not known for a current: "MA"; accepted: "12 mA" or "1.7 A".',
    ),
    "thousandths of an ohm": (
        "10 mohm",
        RESISTANCE,
        '"10 mohm" has a unit that is not known for a resistance: "mohm"; accepted: "10k ohm" or "9870 ohm".',
    ),
    "thousandths of an ohm, in a sign": (
        "10 mΩ",
        RESISTANCE,
        '"10 mΩ" has a unit that is not known for a resistance: "mΩ"; accepted: "10k ohm" or "9870 ohm".',
    ),
    "a decimal comma": ("1,5 F", TEMPERATURE, f'"1,5 F" {NOT_A_NUMBER}'),
    "a decimal comma after points": ("1.000,5 F", TEMPERATURE, f'"1.000,5 F" {NOT_A_NUMBER}'),
    "a decimal comma that looks like thousands": ("0,500 m3/s", AIRFLOW, f'"0,500 m3/s" {NOT_A_NUMBER}'),
    "points between thousands": ("1.000.000 ohm", RESISTANCE, f'"1.000.000 ohm" {NOT_A_NUMBER}'),
    "a comma too late": ("1,0000 cfm", AIRFLOW, f'"1,0000 cfm" {NOT_A_NUMBER}'),
    "a comma too early": ("1,00 cfm", AIRFLOW, f'"1,00 cfm" {NOT_A_NUMBER}'),
    "a comma first": (",5 F", TEMPERATURE, f'",5 F" {NOT_A_NUMBER}'),
    "a space between thousands": ("4 000 cfm", AIRFLOW, f'"4 000 cfm" {NOT_A_NUMBER}'),
    "a mark between thousands": ("4'000 cfm", AIRFLOW, f'"4\'000 cfm" {NOT_A_NUMBER}'),
    "a line between thousands": ("4_000 cfm", AIRFLOW, f'"4_000 cfm" {NOT_A_NUMBER}'),
    "a common fraction": ("1/2 in.w.g.", PRESSURE, f'"1/2 in.w.g." {NOT_A_NUMBER}'),
    "a range": ("5-6 F", TEMPERATURE, f'"5-6 F" {NOT_A_NUMBER}'),
    "feet and inches": ("5' 3\"", LENGTH, f'"5\' 3"" {NOT_A_NUMBER}'),
    "a time": ("12:30 min", DURATION, f'"12:30 min" {NOT_A_NUMBER}'),
    "a band with a decimal comma": ("72 F ± 0,5 F", TEMPERATURE, f'"72 F ± 0,5 F" {NOT_A_NUMBER}'),
    "below absolute zero": (
        "-460 F",
        TEMPERATURE,
        '"-460 F" is not possible for a temperature here; accepted: at least -459.67 °F (-273.15 °C).',
    ),
    "a negative area": (
        "-1 ft2",
        AREA,
        '"-1 ft2" is not possible for an area here; accepted: at least 0 ft2 (0 m2).',
    ),
    "a negative airflow": (
        "-5 cfm",
        AIRFLOW,
        '"-5 cfm" is not possible for an airflow here; accepted: at least 0 cfm (0 L/s).',
    ),
    "a negative resistance": (
        "-1 ohm",
        RESISTANCE,
        '"-1 ohm" is not possible for a resistance here; accepted: at least 0 ohm.',
    ),
    "a number no machine holds": (
        "1e400 F",
        TEMPERATURE,
        f'"1e400 F" is beyond every temperature; accepted: {A_TEMPERATURE}.',
    ),
    "a number no machine holds in SI": (
        "1e308 ton",
        HEAT_RATE,
        '"1e308 ton" is beyond every heat rate; accepted: "10 ton", "54000 Btu/h" or "35 kW".',
    ),
    "a band without a number": (
        "72 F ±",
        TEMPERATURE,
        f'"72 F ±" has a ± without a number; accepted: {A_TEMPERATURE} followed by "±", a number and its unit.',
    ),
    "a band of a unit": (
        "72 F ± F",
        TEMPERATURE,
        f'"72 F ± F" has a ± without a number; accepted: {A_TEMPERATURE} followed by "±", a number and its unit.',
    ),
    "a negative band": (
        "72 F ± -0.5 F",
        TEMPERATURE,
        '"72 F ± -0.5 F" has a ± below zero; accepted: a "±" of zero or more.',
    ),
    "a band of another dimension": (
        "72 F ± 0.5 m",
        TEMPERATURE,
        f'"72 F ± 0.5 m" is a length, and a temperature difference is wanted; accepted: {A_DIFFERENCE}.',
    ),
    "a band with an unknown unit": (
        "72 F ± 0.5 R",
        TEMPERATURE,
        f'"72 F ± 0.5 R" has a unit that is not known for a temperature difference: "R"; accepted: {A_DIFFERENCE}.',
    ),
    "two bands": (
        "72 F ± 0.5 F ± 1 F",
        TEMPERATURE,
        (
            '"72 F ± 0.5 F ± 1 F" has a unit that is not known for a temperature difference: "F ± 1 F"; '
            f"accepted: {A_DIFFERENCE}."
        ),
    ),
    "a share of a temperature": (
        "72 F ± 2 %",
        TEMPERATURE,
        (
            '"72 F ± 2 %" has a ± in per cent, and a temperature has no zero to take a share from; accepted: '
            "a ± with a unit of a temperature difference."
        ),
    ),
    "a share of an enthalpy": (
        "28 Btu/lb ± 2 %",
        ENTHALPY,
        (
            '"28 Btu/lb ± 2 %" has a ± in per cent, and an enthalpy has no zero to take a share from; accepted: '
            "a ± with a unit of an enthalpy difference."
        ),
    ),
    "an endless band": (
        "72 F ± 1e400 F",
        TEMPERATURE,
        f'"72 F ± 1e400 F" has a ± beyond every temperature difference; accepted: {A_DIFFERENCE}.',
    ),
}


@pytest.mark.parametrize(("text", "dimension", "expected"), REFUSED.values(), ids=REFUSED.keys())
def test_the_sentence(text: str, dimension: Dimension, expected: str) -> None:
    """It repeats what was given, says what is wrong with it, and what would be accepted."""
    assert sentence(text, dimension) == expected


def test_bounds_are_told_in_both_systems() -> None:
    """An entry that takes less than its dimension says so, once where the two systems agree."""
    assert sentence("130 %", FRACTION, at_least=0.0, at_most=1.0) == (
        '"130 %" is not possible for a fraction here; accepted: at least 0 % and at most 100 %.'
    )
    assert sentence("-1 %", FRACTION, at_least=0.0) == (
        '"-1 %" is not possible for a fraction here; accepted: at least 0 %.'
    )
    assert sentence("7000 m", LENGTH, at_least=-500.0, at_most=6000.0) == (
        '"7000 m" is not possible for a length here; accepted: at least -1640.42 ft (-500 m) and at most 19685.04 ft (6000 m).'
    )


@pytest.mark.parametrize("text", ["-1640.42 ft", "-500 m", "19685.04 ft", "6000 m"])
def test_a_bound_is_accepted_as_it_is_told(text: str) -> None:
    """What the sentence above accepts is accepted, though the feet in it are rounded; the value is the bound."""
    assert abs(read(text, LENGTH, at_least=-500.0, at_most=6000.0).value) in {500.0, 6000.0}


def test_a_dimension_is_never_widened() -> None:
    """An entry may narrow what is possible and cannot allow a negative area."""
    assert "is not possible" in sentence("-1 ft2", AREA, at_least=-10.0)


ANY_TEXT = st.one_of(
    st.text(max_size=40),
    st.text("0123456789.,+-−±%eEFCKcfmΩµ°²'\"/_ \t\n", max_size=30),
    st.builds(
        "{}{} {}".format, st.text("+-−.,", max_size=2), st.floats(), st.text("FCKm3/s²h%±. ", max_size=8)
    ),
)


@settings(derandomize=True, deadline=None, max_examples=300)
@given(ANY_TEXT, st.sampled_from(DIMENSIONS))
@example("1e", TEMPERATURE)
@example("²±²", TEMPERATURE)
@example("1\ud800 F", TEMPERATURE)
@example(".", TEMPERATURE)
@example("+", TEMPERATURE)
@example("0 °F ± 0 °", TEMPERATURE)
def test_any_text_is_read_or_refused(text: str, dimension: Dimension) -> None:
    """Whatever is typed becomes a finite quantity or one refusal; nothing else comes out of the reader."""
    quantity, refusals = tried(text, dimension)
    if quantity is None:
        (refusal,) = refusals
        assert refusal.accepted
        assert refusal.given == text.strip()
    else:
        assert quantity.typed == text.strip()
        assert math.isfinite(quantity.value)
        assert dimension.at_least <= quantity.value <= dimension.at_most
        assert quantity.uncertainty is None or 0.0 <= quantity.uncertainty < math.inf


def tried(text: str, dimension: Dimension) -> tuple[Quantity | None, tuple[Refusal, ...]]:
    """Return the quantity, or why there is none."""
    try:
        return read(text, dimension), ()
    except Refused as refused:
        return None, refused.refusals


LONG = 10_000

ENDLESS = {
    "digits": "9" * LONG,
    "digits with a unit": "9" * LONG + " F",
    "nines with commas": "1" + ",000" * (LONG // 4) + " F",
    "points": "1." * (LONG // 2),
    "spaces": " " * LONG + "F",
    "spaces before an end": "72 F" + " " * LONG + "x",
    "spaces twice": "72" + " " * LONG + "F" + " " * LONG + "± 0.5 ±",
    "letters": "x" * LONG,
    "units": "72 " + "F " * (LONG // 2),
    "signs": "-" * LONG,
    "pluses after a number": "72 " + "+" * LONG,
    "bands": "72 F ± " * (LONG // 7),
    "plus and minus": "+/-" * (LONG // 3),
    "powers": "1" * LONG + "e" * LONG,
    "a long power": "1e" + "9" * LONG + " F",
    "a band of digits": "72 F ± " + "1" * LONG + "." * LONG,
}


@pytest.mark.parametrize("text", ENDLESS.values(), ids=ENDLESS.keys())
def test_a_long_text_holds_nobody_up(text: str) -> None:
    """Ten thousand letters take no longer than a blink, in whatever order; the sentence does not repeat them all."""
    start = perf_counter()
    told = sentence(text, TEMPERATURE_DIFFERENCE)
    has_unit_of(text, TEMPERATURE)
    # fifty times what it takes at most; a search that branches takes minutes
    assert perf_counter() - start < 1.0
    assert len(told) < 1000


def test_a_sentence_stays_on_its_line() -> None:
    """What was given is told on one line, shortened, and without signs that would steer a terminal."""
    assert shortened("a\tb\r\n c") == "a b c"
    assert shortened("\x1b[31mred\x07") == "\N{REPLACEMENT CHARACTER}[31mred\N{REPLACEMENT CHARACTER}"
    assert shortened("x" * LONGEST) == "x" * LONGEST
    assert shortened("x" * (LONGEST + 1)) == "x" * (LONGEST - 1) + "…"
    assert Refusal("is no word", "a word", given="a\nb").sentence == '"a b" is no word; accepted: a word.'


def test_a_refusal_is_placed() -> None:
    """Line and place stand before the sentence, where they are known."""
    refusal = Refusal("is missing", "a word")
    assert refusal.sentence == "is missing; accepted: a word."
    assert refusal.at("site.name").sentence == "site.name: is missing; accepted: a word."
    assert refusal.at("site.name", 3).sentence == "line 3, site.name: is missing; accepted: a word."
    assert refusal.at("", 3).sentence == "line 3: is missing; accepted: a word."
