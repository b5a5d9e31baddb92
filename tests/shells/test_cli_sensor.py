"""The sensor command: tables for people, JSON with stable keys for programs, codes that say what was found."""

from __future__ import annotations

import json
from typing import Any

import pytest

from ventwright.cli import CANNOT_TELL, DONE, FAILS, main

TYPE_2 = ("--curve", "thermistor-10k-type-2")


def answer(capsys: pytest.CaptureFixture[str], *words: str) -> tuple[int, Any]:
    """Run the command and return its code and the JSON that is all it printed."""
    code = main(["sensor", *words, "--json"])
    said = capsys.readouterr()
    assert said.err == ""
    return code, json.loads(said.out, parse_constant=pytest.fail)


def printed(capsys: pytest.CaptureFixture[str], *words: str) -> tuple[int, str]:
    """Run the command and return its code and what it printed, on one line."""
    code = main(["sensor", *words])
    return code, " ".join(capsys.readouterr().out.split())


READING_KEYS = {
    "curve", "name", "source", "doubt", "notes", "ohm_per_kelvin", "temperature_C", "temperature_u_K", "resistance_ohm",
    "resistance_u_ohm", "sensor_resistance_ohm", "lead_resistance_ohm", "lead_error_K", "short_below_ohm", "open_above_ohm",
}  # fmt: skip


def test_ohms_to_temperature(capsys: pytest.CaptureFixture[str]) -> None:
    """10 kohm of Type II is 25 °C (output table 10K-2: 10000 ohm at 77 °F); the sensor's own ±0.2 K is in the uncertainty."""
    code, reading = answer(capsys, *TYPE_2, "--ohms", "10k ohm")
    assert code == DONE
    assert set(reading) == READING_KEYS
    assert reading["temperature_C"] == pytest.approx(25.0, abs=0.005)
    assert reading["temperature_u_K"] == pytest.approx(0.1)
    assert reading["resistance_ohm"] == 10_000.0


def test_the_meter_counts(capsys: pytest.CaptureFixture[str]) -> None:
    """± 1 % of 10 kohm is 100 ohm; at 440 ohm per kelvin that is ±0.23 K beside the sensor's ±0.2 K."""
    _, reading = answer(capsys, *TYPE_2, "--ohms", "10k ohm ± 1 %")
    assert 2.0 * reading["temperature_u_K"] == pytest.approx(
        (0.2**2 + (100.0 / 440.0) ** 2) ** 0.5, abs=0.005
    )


def test_temperature_to_ohms(capsys: pytest.CaptureFixture[str]) -> None:
    """Type III prints 16648 ohm at 55 °F; with 2 ohm of wire a meter shows 2 more."""
    code, reading = answer(
        capsys, "--curve", "thermistor-10k-type-3", "--temperature", "55 F", "--lead", "2 ohm"
    )
    assert code == DONE
    assert reading["resistance_ohm"] == pytest.approx(16648.0 + 2.0, abs=10.0)
    assert reading["lead_resistance_ohm"] == 2.0


def test_the_lead_comes_off_first(capsys: pytest.CaptureFixture[str]) -> None:
    """1079.22 ohm behind 1.28 ohm of wire is 1077.94 ohm: 20 °C (PT1000 table: 1077.9)."""
    _, reading = answer(
        capsys, "--curve", "platinum-1000-iec-60751", "--ohms", "1079.22 ohm", "--lead", "1.28 ohm"
    )
    assert reading["temperature_C"] == pytest.approx(20.0, abs=0.02)
    assert reading["sensor_resistance_ohm"] == pytest.approx(1077.94, abs=0.01)
    assert reading["lead_error_K"] == pytest.approx(0.33, abs=0.005)


def test_a_better_class_is_a_better_reading(capsys: pytest.CaptureFixture[str]) -> None:
    """IEC 60751 class B is ±0.30 °C at 0 °C, class AA ±0.10 °C."""
    widths = {}
    for name in ("B", "AA"):
        _, reading = answer(
            capsys, "--curve", "platinum-1000-iec-60751", "--ohms", "1000 ohm", "--tolerance-class", name
        )
        widths[name] = 2.0 * reading["temperature_u_K"]
    assert widths == {"B": pytest.approx(0.30), "AA": pytest.approx(0.10)}


def test_the_11k_resistor_comes_off_first(capsys: pytest.CaptureFixture[str]) -> None:
    """5238 ohm at the wires is 10 kohm of thermistor behind 11 kohm: 25 °C."""
    _, reading = answer(capsys, "--curve", "thermistor-10k-type-3-with-11k", "--ohms", "5238 ohm")
    assert reading["temperature_C"] == pytest.approx(25.0, abs=0.05)
    assert reading["sensor_resistance_ohm"] == pytest.approx(10_000.0, abs=10.0)


def test_a_sheet_shows_either_system(capsys: pytest.CaptureFixture[str]) -> None:
    """Degrees of one system, the caution at the step where the hand goes in, and where the curve is from."""
    for units, shown, other in (("us", "77.0 °F", "25.0 °C"), ("si", "25.0 °C", "77.0 °F")):
        code, text = printed(capsys, *TYPE_2, "--ohms", "10k ohm", "--units", units)
        assert code == DONE
        assert shown in text
        assert other not in text
        assert "prove it dead before metering ohms" in text
        assert "source" in text


def test_the_list_shows_what_tells_curves_apart(capsys: pytest.CaptureFixture[str]) -> None:
    """Every curve once, in JSON with its coefficients and source; fitted and second-hand ones say so."""
    code, document = answer(capsys, "--list")
    assert code == DONE
    by_id = {curve["id"]: curve for curve in document["curves"]}
    assert len(by_id) == len(document["curves"]) >= 17
    assert by_id["thermistor-10k-type-2"]["resistance_at_0_C_ohm"] == pytest.approx(32650.9, abs=2.0)
    assert by_id["thermistor-10k-type-2"]["doubt"] == ""
    assert "fitted" in by_id["thermistor-20k"]["doubt"]
    assert all(curve["source"] and curve["coefficients"] for curve in by_id.values())
    _, text = printed(capsys, "--list")
    assert "named by its curve, never by its ohms" in text
    assert all(name in text for name in by_id)
    assert "…" not in text  # a name is typed again, and half of it is of no use


def test_which_curve(capsys: pytest.CaptureFixture[str]) -> None:
    """Two pairs, 41 °F apart: Type II; code 0, the rivals listed with their misfit."""
    words = ("--pairs", "9870 ohm @ 77 F, 28.1k ohm @ 36 F", "--accuracy", "± 0.5 F")
    code, found = answer(capsys, *words)
    assert code == DONE
    assert set(found) == {"pairs", "finding", "curve", "reason", "next_pair", "matches"}
    assert (found["finding"], found["curve"]) == ("one_curve", "thermistor-10k-type-2")
    assert found["matches"][0]["probability"] > 0.95
    assert len(found["matches"][0]["residuals_K"]) == 2
    assert found["next_pair"] is None
    assert found["pairs"][0] == {
        "resistance_ohm": 9870.0,
        "temperature_C": pytest.approx(25.0),
        "probe_u_K": pytest.approx(0.139, abs=1e-3),
    }
    code, text = printed(capsys, *words)
    assert code == DONE
    assert "thermistor-10k-type-3 does not fit" in text


def test_which_curve_cannot_be_told(capsys: pytest.CaptureFixture[str]) -> None:
    """At room temperature: code 3, an ice bath asked for, with the ohms that would tell Type II from Type III."""
    words = ("--pairs", "11.5k ohm @ 71 F; 10,480 ohm @ 75 F")
    code, found = answer(capsys, *words)
    assert code == CANNOT_TELL
    assert found["curve"] is None
    assert found["next_pair"]["temperature_C"] == pytest.approx(0.0)
    assert set(found["next_pair"]) == {"expected", "temperature_C"}
    assert set(found["next_pair"]["expected"][0]) == {"curve", "resistance_ohm"}
    code, text = printed(capsys, *words)
    assert code == CANNOT_TELL
    assert "take one more pair at 32.0 °F in an ice bath" in text
    assert "32,650 ohm would be thermistor-10k-type-2" in text


def test_no_curve(capsys: pytest.CaptureFixture[str]) -> None:
    """A fixed resistor follows nothing: code 1."""
    code, found = answer(capsys, "--pairs", "15k ohm @ 32 F, 15k ohm @ 95 F")
    assert code == FAILS
    assert found["finding"] == "no_curve"


def test_a_comma_in_a_number_is_no_separator(capsys: pytest.CaptureFixture[str]) -> None:
    """Table C-1 and 10K-2: 32,650.9 ohm in ice water, 10,000 ohm at 77 °F."""
    _, found = answer(capsys, "--pairs", "32,650.9 ohm @ 32 F,10,000 ohm @ 77 F")
    assert [pair["resistance_ohm"] for pair in found["pairs"]] == [32650.9, 10000.0]
    assert found["curve"] == "thermistor-10k-type-2"


def test_a_substitute(capsys: pytest.CaptureFixture[str]) -> None:
    """10K-2 prints 17437 ohm at 55 °F; the nearest 1 % value is 17.4k (IEC 60063), which reads 55.1 °F."""
    code, found = answer(capsys, *TYPE_2, "--substitute", "55 F")
    assert code == DONE
    assert set(found) == {
        "curve",
        "preferred",
        "cautions",
        "restore",
        "source",
        "doubt",
        "wanted_C",
        "resistance_ohm",
    }
    assert found["resistance_ohm"] == pytest.approx(17437.0, abs=10.0)
    fine = found["preferred"][0]
    assert set(fine) == {"series", "tolerance", "resistance_ohm", "temperature_C", "coldest_C", "hottest_C"}
    assert (fine["series"], fine["tolerance"], fine["resistance_ohm"]) == (
        "E96",
        0.01,
        pytest.approx(17400.0),
    )
    assert fine["temperature_C"] * 1.8 + 32.0 == pytest.approx(55.1, abs=0.05)


def test_a_substitute_is_temporary_and_says_so(capsys: pytest.CaptureFixture[str]) -> None:
    """The change comes first, what it fools beside it, how to put it back and prove it last."""
    code, text = printed(capsys, *TYPE_2, "--substitute", "55 F")
    assert code == DONE
    assert text.startswith("temporary change")
    assert "compressor lockout" in text
    restore = text[text.index("Put back") :]
    assert "take the resistor out" in restore
    assert "within 2.0 °F" in restore


SIGNAL_KEYS = {
    "span", "signal_A", "state", "may_be_broken_wire", "value_C", "shunt_voltage", "fault_low_A", "measuring_low_A",
    "measuring_high_A", "fault_high_A", "notes", "source", "doubt", "share_of_span", "share_of_span_u",
}  # fmt: skip


def test_a_signal_in_json(capsys: pytest.CaptureFixture[str]) -> None:
    """12 mA on 0 to 100 °F is half of it: 50 °F."""
    code, read = answer(capsys, "--signal", "12 mA", "--range", "0 F to 100 F")
    assert code == DONE
    assert set(read) == SIGNAL_KEYS
    assert read["value_C"] == pytest.approx(10.0)
    assert read["share_of_span"] == pytest.approx(0.5)


@pytest.mark.parametrize(
    ("words", "code", "said"),
    [
        (("--signal", "12 mA"), DONE, "measuring"),
        (("--signal", "3.5 mA"), FAILS, "fault, low"),
        (("--signal", "21.2 mA"), FAILS, "fault, high"),
        (("--signal", "3.7 mA"), CANNOT_TELL, "not reliable"),
        (("--signal", "0 V", "--span", "0-10 V"), CANNOT_TELL, "0 %, or a broken wire"),
        (("--signal", "0 V", "--span", "2-10 V"), FAILS, "the wire is broken"),
        (("--signal", "1.85 V", "--span", "2-10 V"), CANNOT_TELL, "not reliable"),
        (("--signal", "6 V", "--shunt", "500 ohm ± 1 %", "--input", "100k ohm"), DONE, "takes 0.5 % off the voltage"),
        (("--signal", "12 mA", "--shunt", "500 ohm"), DONE, "across the shunt 6 V"),
        (("--signal-for", "50 F", "--range", "0 F to 100 F"), DONE, "12 mA on 4-20 mA"),
        (("--signal-for", "50 F", "--range", "0 F to 100 F", "--span", "2 to 10 V"), DONE, "6 V on 2-10 V"),
        (("--signal-for", "850 ppm", "--range", "0 ppm to 2000 ppm", "--span", "0-10 V"), DONE, "4.25 V on 0-10 V"),
    ],
)  # fmt: skip
def test_signals(words: tuple[str, ...], code: int, said: str, capsys: pytest.CaptureFixture[str]) -> None:
    """A measurement is 0, a fault 1, what cannot be relied on 3; the sheet says which and why."""
    found, text = printed(capsys, *words)
    assert found == code
    assert said in text
