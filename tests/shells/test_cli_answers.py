"""What the commands answer: JSON with SI and the promised keys, sheets in either unit system, the code of the verdict."""

from __future__ import annotations

import json
import re
from pathlib import Path
from typing import Any

import pytest

from ventwright import cli
from ventwright.cli import main
from ventwright.job import job_json
from ventwright.store import load

DEMO = Path(cli.__file__).parent / "demo_job" / "larkspur-row-r-2.yaml"

US_UNITS = re.compile(r"°F|cfm|in\.w\.g\.|Btu|\bft\d?\b|\d F\b|\bfpm\b|\bgr/lb\b")
SI_UNITS = re.compile(r"°C|L/s|\bkW\b|\d m\b|kJ/kg")
BOTH = re.compile(r"\d[\d.]* (?:F|ft|fpm) \(\d[\d.]* (?:K|m|m/s)\)")
"""A fixed sentence that gives both systems, such as "6 ft (1.8 m)", serves either reader."""


@pytest.fixture
def job(tmp_path: Path) -> Path:
    """A copy of the demo job."""
    path = tmp_path / "job.yaml"
    path.write_bytes(DEMO.read_bytes())
    return path


def answer(capsys: pytest.CaptureFixture[str], *words: str) -> tuple[int, Any]:
    """Run a command and return its code and the JSON that is all it printed."""
    code = main([*words, "--json"])
    said = capsys.readouterr()
    assert said.err == ""
    return code, json.loads(said.out, parse_constant=pytest.fail)


def printed(capsys: pytest.CaptureFixture[str], *words: str) -> str:
    """Run a command and return what it printed, on one line."""
    main([*words])
    return " ".join(capsys.readouterr().out.split())


# JSON


def test_air_in_json(capsys: pytest.CaptureFixture[str]) -> None:
    """Every quantity of the state is there once, in SI, its unit in its name."""
    code, air = answer(capsys, "air", "--dry-bulb", "75 F", "--rh", "50 %")
    assert code == 0
    assert set(air) == {
        "dry_bulb_C",
        "relative_humidity",
        "humidity_ratio_kg_kg",
        "dew_point_C",
        "wet_bulb_C",
        "enthalpy_J_kg",
        "specific_volume_m3_kg",
        "density_kg_m3",
        "vapour_pressure_Pa",
        "pressure_Pa",
    }
    assert (air["dry_bulb_C"], air["relative_humidity"], air["pressure_Pa"]) == (
        pytest.approx(23.889, abs=0.001),  # (75 - 32) / 1.8
        0.5,
        101325.0,  # sea level, where nothing else is said
    )


@pytest.mark.parametrize(
    ("option", "given", "key", "value"),
    [
        ("--rh", "40 %", "relative_humidity", 0.4),
        ("--dew-point", "10 C", "dew_point_C", 10.0),
        ("--wet-bulb", "15 C", "wet_bulb_C", 15.0),
        ("--humidity-ratio", "8 g/kg", "humidity_ratio_kg_kg", 0.008),
        ("--enthalpy", "45 kJ/kg", "enthalpy_J_kg", 45_000.0),
    ],
)
def test_air_from_each_second_quantity(
    capsys: pytest.CaptureFixture[str], option: str, given: str, key: str, value: float
) -> None:
    """Whatever two quantities are given, they come out of the state as they went in."""
    _, air = answer(capsys, "air", "--dry-bulb", "25 C", option, given, "--pressure", "95 kPa")
    assert air["pressure_Pa"] == pytest.approx(95_000.0, abs=1e-6)  # a conversion of units, nothing more
    assert air[key] == pytest.approx(value, rel=1e-6)  # the inverse functions iterate to well below this


@pytest.mark.parametrize("given", ["-5F", "-5 F", "−5 F", "-20.6C"])
def test_air_below_zero_is_no_option(capsys: pytest.CaptureFixture[str], given: str) -> None:
    """A temperature that begins with a minus is a temperature, with or without a space."""
    _, air = answer(capsys, "air", "--dry-bulb", given, "--rh", "50 %")
    assert air["dry_bulb_C"] == pytest.approx(-20.56, abs=0.05)  # -5 F is -20.556 °C


def test_plan_in_json(capsys: pytest.CaptureFixture[str]) -> None:
    """The plan carries the keys that programs were promised, and the kit by its id."""
    code, plan = answer(capsys, "plan", str(DEMO))
    assert code == 0
    assert (plan["schema_version"], plan["job"], plan["invented"], plan["kit"]) == (
        1,
        "demo-larkspur-row-r-2",
        True,
        "two-speed-dry-bulb",
    )
    assert plan["ventilation"]["required_m3_s"] == pytest.approx(0.5267, abs=0.0001)  # 1116 cfm
    assert [speed["name"] for speed in plan["speeds"]] == ["high", "low"]
    assert [speed["target_outdoor_air_fraction"] for speed in plan["speeds"]] == [
        pytest.approx(1116 / 4000),
        pytest.approx(1116 / 2640),
    ]
    assert plan["speeds"][0]["supply_air_m3_s"] == pytest.approx(1.8878, abs=0.0001)  # 4000 cfm
    assert plan["high_limit"]["dry_bulb_C"] == pytest.approx(23.889, abs=0.001)  # 75 °F
    labels = [setting["label"] for setting in plan["settings"]]
    assert len(set(labels)) == len(labels)
    assert {"Fresh-air opening, fan fast", "Mixed-air target"} <= set(labels)
    for setting in plan["settings"]:
        assert len({"value", "value_C", "value_K"} & set(setting)) == 1
    for requirement in plan["requirements"]:
        assert {"id", "title", "asks", "standing", "because", "source", "confirmed", "doubt"} == set(
            requirement
        )


def test_verdict_in_json(capsys: pytest.CaptureFixture[str]) -> None:
    """Each speed carries share, airflow, their uncertainties, the verdict and how likely it lies within the limits."""
    code, verdict = answer(capsys, "verdict", str(DEMO))
    assert code == 1
    high, low = verdict["speeds"]
    promised = {
        "outdoor_air_fraction",
        "outdoor_air_fraction_u",
        "outdoor_air_m3_s",
        "outdoor_air_u_m3_s",
        "verdict",
        "probability_within",
    }
    assert promised <= set(high)
    assert promised <= set(low)
    assert (high["verdict"], low["verdict"]) == ("passes", "cannot_tell")
    assert 0.0 < low["probability_within"] < 0.95 < high["probability_within"] <= 1.0
    assert low["flow"]["shortfall"]["name"] == "airflow.supply_uncertain"
    assert (verdict["nothing_left"]["verdict"], verdict["job"]) == ("passes", "demo-larkspur-row-r-2")


def test_read_in_json_is_the_verdict_after_it(capsys: pytest.CaptureFixture[str], job: Path) -> None:
    """Nothing but the verdicts is printed, and the code is theirs."""
    words = ("--speed", "low", "--airflow", "2650 cfm ± 2 %", "--method", "traverse")
    code, verdict = answer(capsys, "read", str(job), "supply-air", *words)
    assert code == 1  # the mixed-air sensor still fails
    assert [speed["verdict"] for speed in verdict["speeds"]] == ["passes", "passes"]
    assert (code, verdict) == answer(capsys, "verdict", str(job))


def test_read_ends_with_the_code_of_the_verdict(capsys: pytest.CaptureFixture[str], job: Path) -> None:
    """The code says whether anything fails now, whatever the entry itself says."""
    for words, expected in (
        (("tick", "--item", "hood in place"), 1),  # the demo's mixed-air sensor fails
        (("withdraw", "--corrects", "s3"), 3),  # its reading is taken back; the low speed is still in doubt
        (("change", "--point", "sensor", "--was", "on", "--to", "resistor"), 1),  # a change is open
    ):
        code, verdict = answer(capsys, "read", str(job), *words)
        speeds = [speed[check]["verdict"] for speed in verdict["speeds"] for check in ("fraction", "flow")]
        rest = [*verdict["sensors"], *verdict["settings"], verdict["nothing_left"]]
        found = {*speeds, *(check["verdict"] for check in rest)}
        assert code == expected == (1 if "fails" in found else 3 if "cannot_tell" in found else 0)


def test_the_same_job_in_json_gives_the_same_answers(
    capsys: pytest.CaptureFixture[str], tmp_path: Path
) -> None:
    """Plan and verdict do not depend on the form of the file."""
    path = tmp_path / "job.json"
    path.write_bytes(job_json(load(DEMO).job))
    for verb in ("plan", "verdict"):
        assert answer(capsys, verb, str(path)) == answer(capsys, verb, str(DEMO))


def test_schema_is_json(capsys: pytest.CaptureFixture[str]) -> None:
    """The schema can be piped into a file as it is."""
    assert main(["schema"]) == 0
    assert json.loads(capsys.readouterr().out)["title"] == "Job"


# units


def test_the_si_sheets_have_no_us_units(capsys: pytest.CaptureFixture[str]) -> None:
    """Who asks for SI finds no °F, no cfm and no foot in plan and verdict, but where a fixed sentence gives both."""
    for verb in ("plan", "verdict"):
        said = BOTH.sub("", printed(capsys, verb, str(DEMO), "--units", "si"))
        assert US_UNITS.findall(said) == []
        assert SI_UNITS.search(said)


def test_the_us_sheets_have_no_si_units(capsys: pytest.CaptureFixture[str]) -> None:
    """Who asks for US units finds no °C and no L/s in plan and verdict."""
    for verb in ("plan", "verdict"):
        said = BOTH.sub("", printed(capsys, verb, str(DEMO), "--units", "us"))
        assert SI_UNITS.findall(said) == []
        assert US_UNITS.search(said)


def test_the_jobs_own_units_are_used_unless_said_otherwise(
    capsys: pytest.CaptureFixture[str], job: Path
) -> None:
    """A job in SI shows SI; an option says otherwise for one look."""
    job.write_text(job.read_text(encoding="utf-8").replace("units: us", "units: si"), encoding="utf-8")
    own = printed(capsys, "verdict", str(job))
    assert own == printed(capsys, "verdict", str(job), "--units", "si")
    assert own != printed(capsys, "verdict", str(job), "--units", "us")


def test_air_in_either_system(capsys: pytest.CaptureFixture[str]) -> None:
    """The state of air is shown in the system that was asked for."""
    words = ("air", "--dry-bulb", "75 F", "--rh", "50 %")
    assert "dry bulb 75.0 °F" in printed(capsys, *words)
    assert "dry bulb 23.9 °C" in printed(capsys, *words, "--units", "si")


# words


def test_an_invented_job_says_so(capsys: pytest.CaptureFixture[str]) -> None:
    """Nobody may take the demo for a real unit."""
    assert "Plan: unit R-2, Larkspur Row (invented example)" in printed(capsys, "plan", str(DEMO))


def test_the_verdict_counts_and_names(capsys: pytest.CaptureFixture[str]) -> None:
    """The last line counts what passes, fails and cannot be told; what would settle a doubt stands beside it."""
    said = printed(capsys, "verdict", str(DEMO))
    assert re.search(r"[1-9]\d* passes, 1 FAILS, [1-9]\d* cannot tell\.$", said)
    assert "weaker part" in said


def test_check_says_what_is_in_order(capsys: pytest.CaptureFixture[str]) -> None:
    """A job in order is named with its unit, its visits and its entries, in one line that can be copied."""
    entries = len(load(DEMO).job.readings.entries)
    assert main(["check", str(DEMO)]) == 0
    assert capsys.readouterr().out == (
        f"{DEMO}: a job in order: unit R-2 at Larkspur Row, 2 visits, {entries} entries.\n"
    )


KIT = "kind: kit\nid: mine\nname: Invented kit\nfan_speeds: 2\nhigh_limit_control: fixed dry bulb\ndamper_signal: {closed: 2 V, open: 10 V}\nintegrated: true\nsettings: []\n"  # fmt: skip


def test_check_takes_equipment_files(capsys: pytest.CaptureFixture[str], tmp_path: Path) -> None:
    """A kit of one's own is looked over like a job."""
    path = tmp_path / "mine.yaml"
    path.write_text(KIT, encoding="utf-8")
    assert main(["check", str(path)]) == 0
    assert capsys.readouterr().out == f"{path}: a kit in order: Invented kit.\n"


@pytest.mark.parametrize(
    ("old", "new", "sentence"),
    [
        (
            "kind: kit",
            "kind: kitt",
            'kind: "kitt" is not a kind of equipment file (did you mean kit?); accepted: kit, unit, board',
        ),
        (
            "high_limit_control: fixed dry bulb",
            "high_limit_control: fixed dry bulbs",
            (
                'line 5, mine.yaml.high_limit_control: "fixed dry bulbs" is not one of the words for this (did you mean '
                "fixed dry bulb?); accepted: fixed dry bulb, differential dry bulb, fixed enthalpy and dry bulb, "
                "differential enthalpy and dry bulb"
            ),
        ),
    ],
    ids=["a kind misspelt", "a control misspelt"],
)
def test_check_refuses_equipment_files(
    capsys: pytest.CaptureFixture[str], tmp_path: Path, old: str, new: str, sentence: str
) -> None:
    """A mistake in a kit of one's own is said with its line."""
    path = tmp_path / "mine.yaml"
    path.write_text(KIT.replace(old, new), encoding="utf-8")
    assert main(["check", str(path)]) == 2
    (line,) = capsys.readouterr().err.splitlines()
    assert line.startswith(f"ventwright: {sentence}")
    assert line.endswith(".")
