"""`ventwright balance`: the demo job and three changed copies of it; text in both systems, JSON, picture, exit codes."""

from __future__ import annotations

import json
import re
from importlib.resources import files
from pathlib import Path
from typing import Any, Final
from xml.etree import ElementTree as ET

import pytest

from ventwright import cli
from ventwright.cli import CANNOT_TELL, DONE, FAILS, REFUSED

DEMO: Final = Path(str(files("ventwright.cli"))) / "demo_job" / "larkspur-row-r-2.yaml"

ASKED = {
    "name", "target_outdoor_air_fraction", "outdoor_air_fraction", "outdoor_air_fraction_u", "outdoor_air_m3_s",
    "next_signal_percent", "next_signal_V", "verdict", "probability_within",
}  # fmt: skip
"""Keys that programs are promised for each speed."""

CHANGES: Final[dict[str, tuple[tuple[str, str], ...]]] = {
    # the low speed read on a cold morning, 42 % of the way from return to outdoor air, and its supply more closely
    "proved": (
        ("airflow: 2650 cfm, method: flow plate", "airflow: 2650 cfm ± 5 %, method: flow plate"),
        ("outdoor_air: 58.2 F", "outdoor_air: 38.2 F"),
        (
            "[67.3 F, 66.9 F, 67.4 F, 67.1 F, 67.3 F, 66.9 F, 67.2 F, 67.1 F]",
            "[58.9 F, 58.8 F, 59.0 F, 58.9 F, 58.9 F]",
        ),
    ),
    # mixed air at high speed next to as warm as return air, both times
    "short": (
        ("[69.9 F, 69.4 F, 69.8 F, 69.6 F, 69.9 F, 69.5 F, 69.7 F, 69.8 F]", "[72.9 F, 72.8 F, 73.0 F]"),
        ("[62.8 F, 62.3 F, 62.7 F, 62.5 F, 62.8 F, 62.4 F, 62.6 F, 62.7 F]", "[70.2 F, 70.1 F, 70.3 F]"),
    ),
    # the supply airflow at low speed claimed closer than any way of measuring one is
    "too sure": (
        ("airflow: 2650 cfm, method: flow plate", "airflow: 2650 cfm ± 1 %, method: flow plate"),
        ("outdoor_air: 58.2 F", "outdoor_air: 38.2 F"),
        (
            "[67.3 F, 66.9 F, 67.4 F, 67.1 F, 67.3 F, 66.9 F, 67.2 F, 67.1 F]",
            "[58.9 F, 58.8 F, 59.0 F, 58.9 F, 58.9 F]",
        ),
    ),
    # nothing seen yet
    "nothing read": (),
}


def called(capsys: pytest.CaptureFixture[str], *arguments: str) -> tuple[int, str, str]:
    """Exit code, what was printed, and what was complained of."""
    code = cli.main(["balance", *arguments])
    out, err = capsys.readouterr()
    return code, " ".join(out.split()), err


def document(capsys: pytest.CaptureFixture[str], *arguments: str) -> tuple[int, dict[str, Any]]:
    """Exit code and the JSON of one call."""
    code = cli.main(["balance", *arguments, "--json"])
    return code, json.loads(capsys.readouterr().out)


def changed(folder: Path, case: str) -> str:
    """Write a copy of the demo with something changed; return its path."""
    text = DEMO.read_text(encoding="utf-8")
    if case == "nothing read":
        text = re.sub(r"(?ms)^readings:.*?^(?=\S)", "", text)
    for old, new in CHANGES[case]:
        assert old in text, old
        text = text.replace(old, new)
    path = folder / "job.yaml"
    path.write_text(text, encoding="utf-8")
    return str(path)


def test_what_would_pass_and_is_not_told_says_why(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """A share that was read beside "cannot tell" is a riddle: the reason, and what would settle it, stand below the table."""
    _, text, _ = called(capsys, changed(tmp_path, "too sure"))
    _, proved, _ = called(capsys, changed(tmp_path, "proved"))

    assert re.search(r"low .*cannot tell .*! low: .*closer than .*Set today", text)
    assert "! low:" not in proved


def test_keys_for_programs(capsys: pytest.CaptureFixture[str]) -> None:
    """Each speed has every key that is promised, in SI, and shares and chances are shares."""
    code, found = document(capsys, str(DEMO))

    assert code == CANNOT_TELL
    assert [one["name"] for one in found["speeds"]] == ["high", "low"]
    for one in found["speeds"]:
        assert one.keys() >= ASKED
        assert one["verdict"] in {"passes", "fails", "cannot_tell"}
        assert 0.0 <= one["probability_within"] <= 1.0
        assert 0.0 < one["outdoor_air_fraction"] < 1.0
        assert 0.0 <= one["next_signal_percent"] <= 100.0
        # the kit's signal is 2 to 10 V
        assert one["next_signal_V"] == pytest.approx(2.0 + 0.08 * one["next_signal_percent"])
        # 1116 cfm are required of either speed
        target = 1116 * 0.3048**3 / 60 / (one["outdoor_air_m3_s"] / one["outdoor_air_fraction"])
        assert one["target_outdoor_air_fraction"] == pytest.approx(target, rel=0.01)
    assert found["evaluations"] <= 24_000


def test_what_is_set_today_says_whether_it_is_proved(capsys: pytest.CaptureFixture[str]) -> None:
    """The speed that passes has its signal for good, the other provisionally."""
    _, found = document(capsys, str(DEMO))
    provisional = {one["name"]: (one["verdict"], one["set_today"]["provisional"]) for one in found["speeds"]}

    assert provisional == {"high": ("passes", False), "low": ("cannot_tell", True)}


@pytest.mark.parametrize(
    ("case", "code", "verdicts"),
    [
        ("proved", DONE, ("passes", "passes")),
        ("short", FAILS, ("fails", "cannot_tell")),
        ("nothing read", CANNOT_TELL, ("cannot_tell", "cannot_tell")),
    ],
)
def test_exit_codes(
    capsys: pytest.CaptureFixture[str], tmp_path: Path, case: str, code: int, verdicts: tuple[str, str]
) -> None:
    """0 where every speed passes, 1 where one fails, 3 where one cannot be told; the verdicts say why."""
    found_code, found = document(capsys, changed(tmp_path, case))

    assert tuple(one["verdict"] for one in found["speeds"]) == verdicts
    assert found_code == code


def test_a_speed_that_fails_says_on_which_side(capsys: pytest.CaptureFixture[str], tmp_path: Path) -> None:
    """Short or over, for programs and for people."""
    path = changed(tmp_path, "short")
    _, found = document(capsys, path)
    _, said, _ = called(capsys, path)

    assert [one["side"] for one in found["speeds"]] == ["short", None]
    assert "fails" in said


def test_nothing_read_has_a_first_guess(capsys: pytest.CaptureFixture[str], tmp_path: Path) -> None:
    """Before any reading there is no share, but a signal to read at first and one to set."""
    _, found = document(capsys, changed(tmp_path, "nothing read"))

    for one in found["speeds"]:
        assert one["outdoor_air_fraction"] is None
        assert one["next"] == "read"
        assert one["next_signal_percent"] > 0.0
        assert one["set_today"]["provisional"] is True


@pytest.mark.parametrize(("system", "unit", "other"), [("us", "cfm", "L/s"), ("si", "L/s", "cfm")])
def test_text_in_either_system(
    capsys: pytest.CaptureFixture[str], system: str, unit: str, other: str
) -> None:
    """Airflows stand in the units that were asked for, and in no others; the caution for the hand stands first."""
    _, said, _ = called(capsys, str(DEMO), "--units", system)

    assert re.search(rf"\d {unit}", said)
    assert other not in said
    assert "invented example" in said
    assert said.index("keep hands out of blades") < said.index("Next at each fan speed")
    assert "provisional" in said


def test_the_picture(capsys: pytest.CaptureFixture[str], tmp_path: Path) -> None:
    """The drawing is written, is well formed, and shows both speeds."""
    path = tmp_path / "share.svg"
    code, said, _ = called(capsys, str(DEMO), "--picture", str(path))
    root = ET.fromstring(path.read_text(encoding="utf-8"))  # noqa: S314 - our own drawing
    words = " ".join("".join(one.itertext()) for one in root.iter() if one.tag.endswith("text"))

    assert code == CANNOT_TELL
    assert root.tag.endswith("svg")
    assert "high" in words
    assert "low" in words
    assert said.endswith("written.")


def test_the_picture_beside_json_leaves_json_alone(
    capsys: pytest.CaptureFixture[str], tmp_path: Path
) -> None:
    """With both asked for, what is printed is one document and nothing else."""
    path = tmp_path / "share.svg"
    _, found = document(capsys, str(DEMO), "--picture", str(path))

    assert found["job"] == "demo-larkspur-row-r-2"
    assert path.exists()


def test_a_picture_that_is_no_drawing_is_refused(capsys: pytest.CaptureFixture[str], tmp_path: Path) -> None:
    """A name for another kind of picture is refused before anything is worked out or written."""
    path = tmp_path / "share.png"
    code, said, complained = called(capsys, str(DEMO), "--picture", str(path))

    assert code == REFUSED
    assert said == ""
    assert "accepted: a name that ends in .svg" in complained
    assert not path.exists()
