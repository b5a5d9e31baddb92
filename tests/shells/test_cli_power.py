"""`ventwright power`: the job's circuit, one run of wire, one transformer; text, JSON and exit codes."""

from __future__ import annotations

import json
from importlib.resources import files
from pathlib import Path
from typing import Any

import pytest

from ventwright import cli

DEMO = Path(str(files("ventwright.cli"))) / "demo_job" / "larkspur-row-r-2.yaml"
WIRE = ["--wire", "18", "--length", "60 ft", "--load", "20 VA"]
SOURCE = ["--transformer", "40 VA", "--loads", "board 12 VA, controller 5 VA, actuator 8 VA inrush 20 VA"]


def called(capsys: pytest.CaptureFixture[str], *arguments: str) -> tuple[int, str]:
    """Exit code and everything printed by one call, on one line."""
    code = cli.main(["power", *arguments])
    return code, " ".join(capsys.readouterr().out.split())


def document(capsys: pytest.CaptureFixture[str], *arguments: str) -> tuple[int, dict[str, Any]]:
    """Exit code and the JSON of one call."""
    code = cli.main(["power", *arguments, "--json"])
    return code, json.loads(capsys.readouterr().out)


def sentence(found: dict[str, Any], name: str, field: str = "sentence") -> str:
    """What one finding says, or says to do."""
    return next(str(one[field]) for one in found["findings"] if one["name"] == name)


def test_one_run_of_wire(capsys: pytest.CaptureFixture[str]) -> None:
    """60 ft of 18 AWG at 20 VA lose 0.78 V, 3.2 %; 185 ft would be the most (NEC chapter 9, Table 8: 7.77 ohm/kft)."""
    code, text = called(capsys, *WIRE)
    assert code == 0
    assert "0.78 V = 3.2 %" in text
    assert "185 ft for 10 %" in text
    assert "NEC-2023, chapter 9, Table 8" in text


def test_one_run_of_wire_in_si(capsys: pytest.CaptureFixture[str]) -> None:
    """The same in metres and degrees Celsius."""
    code, text = called(capsys, *WIRE, "--units", "si")
    assert code == 0
    assert "25.49 ohm/km at 75.0 °C (assumed)" in text
    assert "56 m for 10 %" in text


def test_one_run_of_wire_as_json(capsys: pytest.CaptureFixture[str]) -> None:
    """SI values with the unit in the key, the finding beside them."""
    code, found = document(capsys, *WIRE)
    assert code == 0
    assert found["voltage_drop_V"] == pytest.approx(0.777)
    assert found["drop_fraction"] == pytest.approx(0.777 / 24)
    assert found["longest_run_m"] == pytest.approx(185.3 * 0.3048, abs=0.05)
    assert found["length_m"] == pytest.approx(60 * 0.3048)
    assert found["current_A"] == pytest.approx(20 / 24)
    assert [one["name"] for one in found["findings"]] == ["power.run_drop"]
    assert found["verdict"] == "passes"


def test_a_run_that_loses_too_much(capsys: pytest.CaptureFixture[str]) -> None:
    """96 VA over 100 ft of 16 AWG stranded lose 16.6 %: code 1, and the wire that would do."""
    wire = ["--wire", "16", "--stranded", "--length", "100 ft", "--load", "96 VA"]
    code, text = called(capsys, *wire)
    assert code == 1
    assert "Voltage drop 3.99 V = 16.6 %" in text
    assert "12 AWG solid" in sentence(document(capsys, *wire)[1], "power.run_drop", "do")


def test_what_may_be_lost_can_be_said(capsys: pytest.CaptureFixture[str]) -> None:
    """Another share, voltage and temperature change what holds."""
    assert called(capsys, *WIRE, "--drop", "3 %")[0] == 3
    assert called(capsys, *WIRE, "--drop", "3 %", "--temperature", "75 C")[0] == 1
    assert called(capsys, *WIRE, "--drop", "3 %", "--temperature", "68 F")[0] == 0
    _, text = called(capsys, *WIRE, "--voltage", "12 V")
    assert "1.55 V = 12.9 %" in text


def test_a_length_known_too_loosely(capsys: pytest.CaptureFixture[str]) -> None:
    """Code 3 where the uncertainty of the length decides."""
    assert called(capsys, "--wire", "18", "--length", "180 ft ± 40 ft", "--load", "20 VA")[0] == 3


def test_one_transformer(capsys: pytest.CaptureFixture[str]) -> None:
    """25 VA running and 37 VA while the actuator strokes, on 40 VA; the cautions stand first."""
    code, text = called(capsys, *SOURCE)
    assert code == 0
    assert "running 25 VA = 62.5 %" in text
    assert "stroking 37 VA = 92.5 %" in text
    assert text.index("line side of the disconnect stays live") < text.index("Control power")


def test_one_transformer_as_json(capsys: pytest.CaptureFixture[str]) -> None:
    """The budget in SI, with the fractions by their own names."""
    code, found = document(capsys, *SOURCE)
    (budget,) = found["transformers"]
    assert code == 0
    assert budget["loading_fraction"] == pytest.approx(0.625)
    assert budget["stroking_fraction"] == pytest.approx(0.925)
    assert budget["rating_VA"] == 40
    assert budget["rating_is_guess"] is False
    assert budget["supply_V"] is None
    assert {"no_load_voltage_V", "no_load_voltage_u_V", "worst_voltage_V", "fuse_at_most_A"} <= budget.keys()
    assert {one["name"] for one in found["findings"]} >= {
        "power.loading",
        "power.fuse",
        "power.tap",
        "power.class_2",
    }


def test_an_unread_transformer(capsys: pytest.CaptureFixture[str]) -> None:
    """Code 3, with or without saying so, and the guess stands wherever the rating does."""
    for arguments in (["--loads", "board 12 VA"], ["--transformer", "unknown", "--loads", "board 12 VA"]):
        code, text = called(capsys, *arguments)
        assert code == 3
        assert "transformer 40 VA (guess)" in text
        _, found = document(capsys, *arguments)
        assert found["transformers"][0]["rating_is_guess"] is True
        assert "12 VA on 40 VA (a guess)" in sentence(found, "power.loading")


def test_an_overloaded_transformer(capsys: pytest.CaptureFixture[str]) -> None:
    """45 VA on 40 VA do not hold: code 1."""
    assert called(capsys, "--transformer", "40 VA", "--loads", "everything 45 VA")[0] == 1


def test_the_wrong_tap(capsys: pytest.CaptureFixture[str]) -> None:
    """208 V on the 240 V tap: code 1 and 20.80 V, by what is written and by what is metered."""
    code, found = document(capsys, "--transformer", "40 VA", "--supply", "208 V", "--tap", "240 V")
    assert code == 1
    assert "gives 20.80 V where 24 V are rated" in sentence(found, "power.tap")
    code, found = document(capsys, "--transformer", "40 VA", "--supply", "208 V", "--idle", "23.1 V")
    assert code == 1
    assert "speaks for the 240 V tap" in sentence(found, "power.tap")


def test_everything_that_can_be_said_of_a_load(capsys: pytest.CaptureFixture[str]) -> None:
    """Power factor, inrush, rectifier and when, in any order."""
    loads = "gas valve 10 VA pf 0.5 on call inrush 15 VA, board 0.012 kVA full wave always on"
    code, found = document(capsys, "--transformer", "40 VA", "--loads", loads)
    assert code == 0
    valve, board = found["transformers"][0]["loads"]
    assert (valve["name"], valve["apparent_power_VA"], valve["power_factor"], valve["inrush_VA"], valve["when"]) == (
        "gas valve", 10.0, 0.5, 15.0, "on call",
    )  # fmt: skip
    assert (board["name"], board["apparent_power_VA"], board["rectifier"], board["when"]) == (
        "board", 12.0, "full wave", "always on",
    )  # fmt: skip


def test_the_demo_job(capsys: pytest.CaptureFixture[str]) -> None:
    """The invented job's 32 VA fill 80 % of its 40 VA, and everything holds."""
    code, text = called(capsys, str(DEMO))
    assert code == 0
    assert "(invented example)" in text
    assert "running 32 VA = 80 %" in text
    assert "26.30 V" in text


def test_the_demo_job_as_json(capsys: pytest.CaptureFixture[str]) -> None:
    """Job, version and invention stand on top, as in the other documents."""
    code, found = document(capsys, str(DEMO))
    assert code == 0
    assert (found["job"], found["invented"], found["schema_version"]) == ("demo-larkspur-row-r-2", True, 1)
    assert found["verdict"] == "passes"
    assert found["transformers"][0]["loading_fraction"] == pytest.approx(0.8)
    assert found["runs"][0]["device_voltage_V"] < 24.9


def changed(folder: Path, old: str, new: str) -> str:
    """Write the demo job with one thing changed, and return its path."""
    text = DEMO.read_text(encoding="utf-8")
    assert old in text
    path = folder / "job.yaml"
    path.write_text(text.replace(old, new), encoding="utf-8")
    return str(path)


def test_a_job_that_does_not_hold(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """A transformer too small for the demo's loads ends both commands with code 1."""
    path = changed(tmp_path, "rating: 40 VA", "rating: 20 VA")
    assert called(capsys, path)[0] == 1
    assert cli.main(["plan", path]) == 1
    assert "FAILS" in capsys.readouterr().out


def test_a_mistake_in_a_job_has_its_line(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """A load on a transformer that nobody named is refused at its line."""
    path = changed(
        tmp_path, "when: on call, rectifier: none}", "when: on call, rectifier: none, transformer: kit}"
    )
    line = next(
        number
        for number, text in enumerate(Path(path).read_text(encoding="utf-8").splitlines(), start=1)
        if "transformer: kit" in text
    )
    assert cli.main(["check", path]) == 2
    assert capsys.readouterr().err == (
        f'ventwright: line {line}, facts.power.loads[4].transformer: "kit" is not a transformer of this job; '
        "accepted: unit transformer.\n"
        "ventwright: More may follow once this is mended: some of the file hangs on it and could not be looked at.\n"
    )


def test_a_job_without_control_power(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """The command asks for the section."""
    text = DEMO.read_text(encoding="utf-8")
    start, end = text.index("  power:\n"), text.index("  as_found:\n")
    path = tmp_path / "job.yaml"
    path.write_text(text[:start] + text[end:], encoding="utf-8")
    assert cli.main(["power", str(path)]) == 2
    assert capsys.readouterr().err == (
        "ventwright: facts.power: is missing; accepted: transformers and what hangs on them.\n"
    )


def test_the_plan_shows_control_power(capsys: pytest.CaptureFixture[str]) -> None:
    """A section of its own, in the text with what does not pass, in JSON whole."""
    assert cli.main(["plan", str(DEMO)]) == 0
    text = " ".join(capsys.readouterr().out.split())
    assert "Control power" in text
    assert "running 32 VA = 80 %" in text
    assert cli.main(["plan", str(DEMO), "--json"]) == 0
    found = json.loads(capsys.readouterr().out)["power"]
    assert found["transformers"][0]["loading_fraction"] == pytest.approx(0.8)
