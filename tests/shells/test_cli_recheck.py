"""`ventwright recheck`: a few numbers a year later, three-valued, with the next step."""

from __future__ import annotations

import json
from importlib.resources import files
from pathlib import Path
from typing import Any, Final

import pytest

from ventwright import cli
from ventwright.cli import CANNOT_TELL, DONE, FAILS

DEMO: Final = Path(str(files("ventwright.cli"))) / "demo_job" / "larkspur-row-r-2.yaml"

COLD: Final = ("--outdoor", "28.2 F", "--return", "73.1 F", "--instrument", "probe")
AS_LEFT: Final = "60.5 F, 60.8 F, 60.6 F, 60.7 F"
"""27.8 % outdoor air between 28.2 and 73.1 °F, by the mixing rule of two streams."""
SHUT: Final = "69.0 F, 69.3 F, 69.1 F, 69.2 F"
OTHERS: Final = (
    *("--signal", "21 %", "--high-limit", "75 F"),
    *("--sensor", "outdoor air", "--shown", "28.4 F", "--probe", "28.2 F"),
)


def found(capsys: pytest.CaptureFixture[str], *arguments: str) -> tuple[int, dict[str, Any]]:
    """Exit code and the JSON of one call on the demo."""
    code = cli.main(["recheck", str(DEMO), *arguments, "--json"])
    return code, json.loads(capsys.readouterr().out)


def verdicts(document: dict[str, Any]) -> dict[str, str]:
    """Verdict of each number."""
    return {one["id"].split(".")[1]: one["verdict"] for one in document["checks"]}


def test_all_as_left(capsys: pytest.CaptureFixture[str]) -> None:
    """A few numbers that did not move: nothing to do for a year."""
    code, document = found(capsys, *COLD, "--mixed", AS_LEFT, *OTHERS)
    assert code == DONE
    assert set(verdicts(document).values()) == {"passes"}
    assert document["next_step"].startswith("nothing drifted")


def test_a_damper_that_no_longer_follows(capsys: pytest.CaptureFixture[str]) -> None:
    """The same signal brings in far less: look at the blades."""
    code, document = found(capsys, *COLD, "--mixed", SHUT, *OTHERS)
    assert (code, document["drifted"]) == (FAILS, ["recheck.share"])
    assert document["next_step"].startswith("look at the blades")


def test_a_damper_whose_signal_nobody_read_wants_that_first(capsys: pytest.CaptureFixture[str]) -> None:
    """A share that drifted may only be a signal that was changed."""
    _, document = found(capsys, *COLD, "--mixed", SHUT)
    assert document["next_step"].startswith("read the damper signal back")


def test_volts_say_how_closely_they_were_read(capsys: pytest.CaptureFixture[str]) -> None:
    """3.68 V is 21 % of 2 to 10 V: with what the meter is good for it is as left, without it nobody can tell."""
    for given, outcome in (
        ("3.68 V ± 0.05 V", "passes"),
        ("3.68 V", "cannot_tell"),
        ("4.4 V ± 0.05 V", "fails"),
    ):
        _, document = found(capsys, "--signal", given)
        assert verdicts(document)["signal"] == outcome, given


def test_a_display_that_lies_at_the_edge_is_not_as_left(capsys: pytest.CaptureFixture[str]) -> None:
    """One step beside the setting that was left is neither surely the same nor surely another."""
    outcomes = [verdicts(found(capsys, "--signal", given)[1])["signal"] for given in ("21 %", "22 %", "24 %")]
    assert outcomes == ["passes", "cannot_tell", "fails"]


def test_a_sensor_that_was_not_checked_has_nothing_as_left(capsys: pytest.CaptureFixture[str]) -> None:
    """Right beside the probe today is not as left; wrong today is wrong."""
    right = ("--sensor", "supply air", "--shown", "60.1 F", "--probe", "60.0 F", "--instrument", "probe")
    _, document = found(capsys, *right)
    (one,) = [check for check in document["checks"] if check["id"] == "recheck.sensor.supply_air"]
    assert (one["verdict"], one["shortfall"]["name"]) == ("cannot_tell", "recheck.nothing_as_left")
    wrong = ("--sensor", "supply air", "--shown", "70.1 F", "--probe", "60.0 F", "--instrument", "probe")
    assert verdicts(found(capsys, *wrong)[1])["sensor"] == "fails"


def test_the_quickest_thing_comes_first(capsys: pytest.CaptureFixture[str]) -> None:
    """A changed setting is put right before a sensor, a sensor before the damper."""
    sensor = ("--sensor", "outdoor air", "--shown", "33.9 F", "--probe", "28.2 F")
    code, document = found(
        capsys, *COLD, "--mixed", SHUT, "--signal", "10 %", "--high-limit", "63 F", *sensor
    )
    assert code == FAILS
    assert set(verdicts(document).values()) == {"fails"}
    assert document["next_step"].startswith("set the minimum signal back")
    _, document = found(capsys, *COLD, "--mixed", SHUT, "--signal", "21 %", "--high-limit", "75 F", *sensor)
    assert document["next_step"].startswith("put this sensor right first")


def test_streams_too_close_are_no_verdict(capsys: pytest.CaptureFixture[str]) -> None:
    """Outdoor air near return air: cannot tell, and when to come."""
    air = ("--outdoor", "68.0 F", "--return", "73.0 F", "--mixed", "72.5 F, 72.6 F", "--instrument", "probe")
    code, document = found(capsys, *air, *OTHERS)
    assert code == CANNOT_TELL
    assert verdicts(document)["share"] == "cannot_tell"
    assert "when outdoor and return air are" in document["next_step"]


def test_nothing_read_says_what_to_read(capsys: pytest.CaptureFixture[str]) -> None:
    """Four checks of a few numbers, none told."""
    code, document = found(capsys)
    assert code == CANNOT_TELL
    assert {one["shortfall"]["name"] for one in document["checks"]} == {"recheck.not_read"}


def test_a_reading_without_its_probe_is_none(capsys: pytest.CaptureFixture[str]) -> None:
    """How close the probe reads is not known."""
    _, document = found(capsys, *COLD[:4], "--mixed", AS_LEFT, *OTHERS)
    assert (verdicts(document)["share"], verdicts(document)["sensor"]) == ("cannot_tell", "cannot_tell")


def test_a_sensor_close_to_what_is_allowed(capsys: pytest.CaptureFixture[str]) -> None:
    """Changed by 1.9 °F with two probes of ± 0.5 °F: neither drifted nor as left."""
    held = ("--sensor", "outdoor air", "--shown", "30.3 F", "--probe", "28.2 F", "--instrument", "probe")
    _, document = found(capsys, *held)
    assert verdicts(document)["sensor"] == "cannot_tell"


def test_a_sensor_is_compared_with_how_it_stood(capsys: pytest.CaptureFixture[str]) -> None:
    """Off by 2.2 °F now and by 0.9 °F then: as left, though off alone it could not be told."""
    held = ("--sensor", "return air", "--shown", "75.7 F", "--probe", "73.5 F", "--instrument", "probe")
    _, document = found(capsys, *held)
    assert verdicts(document)["sensor"] == "passes"


def test_the_text_says_drifted_by_word(capsys: pytest.CaptureFixture[str]) -> None:
    """As left, DRIFTED, cannot tell; the example says that it is invented."""
    assert cli.main(["recheck", str(DEMO), "--high-limit", "63 F"]) == FAILS
    text = " ".join(capsys.readouterr().out.split())
    assert "(invented example)" in text
    assert "DRIFTED 63.0 °F, left at 75.0 °F" in text
    assert "Next: set the high limit back as left" in text


def test_a_change_that_was_never_proved_back_comes_before_all(
    capsys: pytest.CaptureFixture[str], tmp_path: Path
) -> None:
    """A resistor of last year would explain every number."""
    job = tmp_path / "job.yaml"
    job.write_bytes(DEMO.read_bytes())
    cli.main(
        ["read", str(job), "change", "--point", "outdoor sensor", "--was", "on", "--to", "13.2k resistor"]
    )
    capsys.readouterr()
    code = cli.main(["recheck", str(job), *COLD, "--mixed", AS_LEFT, *OTHERS])
    text = " ".join(capsys.readouterr().out.split())
    assert code == CANNOT_TELL
    assert "Next: look for what was never proved put back: outdoor sensor (13.2k resistor)." in text
