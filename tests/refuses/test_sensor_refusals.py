"""What is refused of sensors and signals, in the exact sentence a person reads."""

from __future__ import annotations

import pytest

from ventwright.cli import REFUSED, main
from ventwright.errors import Refused
from ventwright.tables.sensor_curve import sensor_curve

TYPE_2 = ("sensor", "--curve", "thermistor-10k-type-2")
PLATINUM = ("sensor", "--curve", "platinum-1000-iec-60751")
ICE = {
    "platinum-1000-alpha-0.00375": "1000 ohm in ice water, 1143.1 ohm at 100 °F (37.8 °C)",
    "platinum-1000-iec-60751": "1000 ohm in ice water, 1146.8 ohm at 100 °F (37.8 °C)",
    "nickel-1000-5000-ppm": "1000 ohm in ice water, 1174.9 ohm at 100 °F (37.8 °C)",
    "nickel-1000-at-70-f": "890.92 ohm in ice water, 1090 ohm at 100 °F (37.8 °C); nickel-iron has 1000 ohm at 70 °F (21.1 °C) "
    "too, and changes less than half as fast; no coefficients were found",
    "nickel-1000-din-43760": "1000 ohm in ice water, 1216.8 ohm at 100 °F (37.8 °C)",
    "thermistor-10k-type-3-with-11k": "8012.4 ohm in ice water, 3915.2 ohm at 100 °F (37.8 °C)",
    "thermistor-10k-type-2": "32,650 ohm in ice water, 5826.3 ohm at 100 °F (37.8 °C)",
    "thermistor-10k-type-3": "29,500 ohm in ice water, 6078.7 ohm at 100 °F (37.8 °C)",
    "thermistor-10k-type-4": "27,258 ohm in ice water, 6323.5 ohm at 100 °F (37.8 °C)",
    "thermistor-20k": "70,132 ohm in ice water, 11,241 ohm at 100 °F (37.8 °C); another 20k curve has 64.2k ohm in ice water; "
    "no coefficients were found",
}
"""What tells the curves apart, as the refusal of bare ohms lists it."""


def listed(*names: str) -> str:
    """Write curves as a refusal lists them."""
    return "; ".join(f"{name} ({ICE[name]})" for name in names)


TEN_K = listed(
    "thermistor-10k-type-3-with-11k",
    "thermistor-10k-type-2",
    "thermistor-10k-type-3",
    "thermistor-10k-type-4",
)
THOUSAND = listed(
    "platinum-1000-alpha-0.00375", "platinum-1000-iec-60751", "nickel-1000-5000-ppm", "nickel-1000-at-70-f",
    "nickel-1000-din-43760",
)  # fmt: skip
NICKEL = listed("nickel-1000-5000-ppm", "nickel-1000-at-70-f", "nickel-1000-din-43760")
TWO_PLATINUM = listed("platinum-1000-alpha-0.00375", "platinum-1000-iec-60751")

CASES: dict[str, tuple[tuple[str, ...], str]] = {
    "10k is no curve": (
        ("sensor", "--curve", "10k", "--ohms", "9870 ohm"),
        f'--curve: "10k" names no curve: its ohms fit 4 curves here, name the one meant; accepted: {TEN_K}.',
    ),
    "nor is 10 kohm with a type": (
        ("sensor", "--curve", "10k ohm type II", "--ohms", "9870 ohm"),
        f'--curve: "10k ohm type II" names no curve: its ohms fit 4 curves here, name the one meant; accepted: {TEN_K}.',
    ),
    "1k is no curve": (
        ("sensor", "--curve", "1k", "--temperature", "55 F"),
        f'--curve: "1k" names no curve: its ohms fit 5 curves here, name the one meant; accepted: {THOUSAND}.',
    ),
    "nickel 1000 is no curve": (
        ("sensor", "--curve", "nickel 1000", "--temperature", "55 F"),
        f'--curve: "nickel 1000" names no curve: its ohms fit 3 curves here, name the one meant; accepted: {NICKEL}.',
    ),
    "Pt1000 is no curve": (
        ("sensor", "--curve", "Pt1000", "--substitute", "55 F"),
        f'--curve: "Pt1000" names no curve: its ohms fit 2 curves here, name the one meant; accepted: {TWO_PLATINUM}.',
    ),
    "20k is no curve though one is here": (
        ("sensor", "--curve", "20k", "--temperature", "55 F"),
        f'--curve: "20k" names no curve: its ohms fit one curve here, name it; accepted: {listed("thermistor-20k")}.',
    ),
    "0 ohm is a short": (
        (*TYPE_2, "--ohms", "0 ohm"),
        (
            '--ohms: "0 ohm" is a short circuit: less than 509.82 ohm, and thermistor-10k-type-2 would be hotter than '
            "230.0 °F (110.0 °C); accepted: 509.82 ohm to 669,120 ohm; look for the fault in sensor, wires and terminals."
        ),
    ),
    "2 Mohm is open": (
        (*TYPE_2, "--ohms", "2 Mohm"),
        (
            '--ohms: "2,000,000 ohm" is an open circuit: more than 669,120 ohm, and thermistor-10k-type-2 would be colder '
            "than -58.0 °F (-50.0 °C); accepted: 509.82 ohm to 669,120 ohm; look for the fault in sensor, wires and terminals."
        ),
    ),
    "0 ohm of platinum would be cold, not hot": (
        (*PLATINUM, "--ohms", "0 ohm"),
        (
            '--ohms: "0 ohm" is a short circuit: less than 803.06 ohm, and platinum-1000-iec-60751 would be colder than '
            "-58.0 °F (-50.0 °C); accepted: 803.06 ohm to 1422.9 ohm; look for the fault in sensor, wires and terminals."
        ),
    ),
    "the meter shows OL": (
        (*TYPE_2, "--ohms", "OL"),
        (
            '--ohms: "OL" is an open circuit, which is no temperature; accepted: ohms with a number; look for the fault in sensor, '
            "wires and terminals."
        ),
    ),
    "between the curve's end and a short": (
        (*TYPE_2, "--ohms", "800 ohm"),
        '--ohms: "800 ohm" is outside the range of this curve; accepted: 1070.4 ohm to 336,050 ohm (-40 to 85 °C).',
    ),
    "a shunted sensor that is open": (
        ("sensor", "--curve", "thermistor-10k-type-3-with-11k", "--ohms", "11k ohm"),
        (
            '--ohms: "11,000 ohm" is an open circuit: more than 10,732 ohm, and thermistor-10k-type-3-with-11k would be colder '
            "than -58.0 °F (-50.0 °C); accepted: 589.44 ohm to 10,732 ohm; look for the fault in sensor, wires and terminals."
        ),
    ),
    "no unit": (
        (*TYPE_2, "--ohms", "9870"),
        '--ohms: "9870" has no unit, and a resistance needs one; accepted: "10k ohm" or "9870 ohm".',
    ),
    "the wrong unit": (
        (*TYPE_2, "--ohms", "77 F"),
        '--ohms: "77 F" is a temperature, and a resistance is wanted; accepted: "10k ohm" or "9870 ohm".',
    ),
    "hotter than the curve": (
        (*TYPE_2, "--temperature", "300 F"),
        (
            '--temperature: "300.0 °F" is outside the range of thermistor-10k-type-2; accepted: '
            "-40.0 °F (-40.0 °C) to 185.0 °F (85.0 °C)."
        ),
    ),
    "a class of a thermistor": (
        (*TYPE_2, "--tolerance-class", "A", "--temperature", "55 F"),
        (
            '--tolerance-class: "A" is a class of platinum sensors, and thermistor-10k-type-2 is thermistor; '
            "accepted: no class."
        ),
    ),
    "a class that does not exist": (
        (*PLATINUM, "--tolerance-class", "D", "--temperature", "55 F"),
        '--tolerance-class: "D" is no tolerance class of platinum sensors; accepted: AA, A, B, C.',
    ),
    "pairs without an at": (
        ("sensor", "--pairs", "9870 ohm 77 F"),
        (
            '--pairs: "9870 ohm 77 F" has no @ between ohms and temperature; accepted: '
            '"9870 ohm @ 77 F, 28.1k ohm @ 36 F".'
        ),
    ),
    "pairs the wrong way round": (
        ("sensor", "--pairs", "77 F @ 9870 ohm"),
        '--pairs: "77 F" is a temperature, and a resistance is wanted; accepted: "10k ohm" or "9870 ohm".',
    ),
    "no pair": (
        ("sensor", "--pairs", ";"),
        '--pairs: ";" holds no pair; accepted: "9870 ohm @ 77 F, 28.1k ohm @ 36 F".',
    ),
    "volts without a span": (
        ("sensor", "--signal", "6 V"),
        "--span: is missing: 6 V is another share of every span of voltage; accepted: 0-10 V, 2-10 V, 1-5 V, 0-5 V.",
    ),
    "a current on a voltage": (
        ("sensor", "--signal", "12 mA", "--span", "2-10 V"),
        (
            '--signal: "12 mA" is a current, and 2-10 V is not; accepted: the span of this signal, or the --shunt '
            "across which the voltage was metered."
        ),
    ),
    "a span nobody uses": (
        ("sensor", "--signal", "6 V", "--span", "0-12 V"),
        (
            '--span: "0-12 V" is not a signal that is known here (did you mean 0-10 V?); accepted: '
            "4-20 mA, 0-10 V, 2-10 V, 1-5 V, 0-5 V."
        ),
    ),
    "a shunt in a voltage": (
        (
            "sensor",
            "--signal-for",
            "50 F",
            "--range",
            "0 F to 100 F",
            "--span",
            "2-10 V",
            "--shunt",
            "500 ohm",
        ),
        '--shunt: "2-10 V" is a voltage, and a shunt makes a voltage of a current; accepted: 4-20 mA, or no shunt.',
    ),
    "a shunt of 0 ohm": (
        ("sensor", "--signal", "6 V", "--shunt", "0 ohm"),
        '--shunt: "0 ohm" shorts the signal; accepted: "500 ohm" or another above 0.',
    ),
    "a range of two kinds": (
        ("sensor", "--signal", "12 mA", "--range", "0 F to 100 ppm"),
        (
            '--range: "0 F to 100 ppm" is no range of one quantity with its units; accepted: '
            '"0 F to 100 F": the quantity at the two ends of the signal.'
        ),
    ),
    "a range without width": (
        ("sensor", "--signal", "12 mA", "--range", "50 F to 50 F"),
        '--range: "50 F to 50 F" is a range without width; accepted: two different ends.',
    ),
    "a value without a range": (
        ("sensor", "--signal-for", "50 F"),
        (
            '--range: is missing: a value has a signal within a range only; accepted: "0 F to 100 F": the quantity at the two '
            "ends of the signal."
        ),
    ),
    "an input without a shunt": (
        ("sensor", "--signal", "12 mA", "--input", "100k ohm"),
        "--input: loads a shunt, and there is none; accepted: a --shunt beside it.",
    ),
}


@pytest.mark.parametrize("case", CASES)
def test_the_exact_sentence(case: str, capsys: pytest.CaptureFixture[str]) -> None:
    """Where, what was given, what is wrong, what is accepted; nothing on the output, and the code of a refusal."""
    words, sentence = CASES[case]
    assert main(list(words)) == REFUSED
    said = capsys.readouterr()
    assert said.out == ""
    assert said.err.strip() == f"ventwright: {sentence}"


def test_a_missing_curve_lists_every_curve(capsys: pytest.CaptureFixture[str]) -> None:
    """Ohms without a curve are refused with all ids, not read on some default."""
    assert main(["sensor", "--ohms", "9870 ohm"]) == REFUSED
    said = capsys.readouterr().err
    assert said.startswith(
        "ventwright: --curve: is missing: ohms mean a temperature on one curve only; accepted: platinum-100"
    )
    for name in ICE:
        assert name in said


@pytest.mark.parametrize("kind", ["0 ohm", "0 cfm", "0k"])
def test_a_sensor_of_no_ohms_is_no_curve(kind: str) -> None:
    """A kit's file may say anything of its sensor; nothing is divided by it."""
    with pytest.raises(Refused) as caught:
        sensor_curve(kind)
    assert "is not a sensor curve" in str(caught.value)
