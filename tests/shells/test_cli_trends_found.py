"""The command that judges logs: findings in words and for programs, exit codes, what a job adds, the report, stopping."""

from __future__ import annotations

import json
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from tests import trend_sample
from tests.house_rules.test_docs_run import in_code
from tests.logged_unit import write

from ventwright.cli import main, trends_look
from ventwright.cli.trends import exit_code
from ventwright.readings.trend import look
from ventwright.readings.trend.streaming import Progress
from ventwright.record.trend_pictures import pictures
from ventwright.record.trend_timeline import lanes
from ventwright.record.trend_week import OFF, shares_of
from ventwright.verdict.trend_compared import compared, curve_at
from ventwright.verdict.trend_findings import KnownUnit, Spell, rule_set
from ventwright.verdict.trend_judged import judging

DEMO = Path(__file__).parents[2] / "src" / "ventwright" / "cli" / "demo_job" / "larkspur-row-r-2.yaml"

FIELDS = {"fault", "probability", "first", "last", "hours_judged", "hours_logged", "consequence"}


@pytest.fixture(scope="module")
def stuck(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A log of a unit whose damper stands still."""
    return write(tmp_path_factory.mktemp("logs") / "RTU-2.csv", stuck=True)


@pytest.fixture(scope="module")
def sound(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A log of a sound unit."""
    return write(tmp_path_factory.mktemp("logs") / "RTU-1.csv")


def ran(arguments: list[str], capsys: pytest.CaptureFixture[str]) -> tuple[int, dict[str, Any]]:
    """Run the command for programs."""
    code = main(["trends", *arguments, "--json"])
    found: dict[str, Any] = json.loads(capsys.readouterr().out)
    return code, found


def test_findings_for_programs(stuck: Path, sound: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Each with its fault, chance, dates, hours and what it does; the code says that one is likelier than not."""
    code, found = ran([str(stuck), str(sound), "--zone", "UTC"], capsys)
    assert code == 1
    units = {one["unit"]: one for one in found["units"]}
    assert units["RTU-1"]["findings"] == []
    assert "outdoor_air_damper_stuck" in units["RTU-1"]["sound"]
    finding = units["RTU-2"]["findings"][0]
    assert set(finding) >= FIELDS
    assert finding["fault"] == "outdoor_air_damper_stuck"
    assert finding["probability"] > 0.95
    assert units["RTU-2"]["first"] <= finding["first"] < finding["last"] <= units["RTU-2"]["last"]
    assert 0.0 < finding["hours_judged"] <= finding["hours_logged"]
    assert all(one["reason"] and one["settle_by"] for one in units["RTU-2"]["cannot_tell"])


def test_the_code_says_what_was_found(
    sound: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """0 judged and nothing found, 3 where nothing could be judged, 2 for a refusal."""
    assert ran([str(sound), "--zone", "UTC"], capsys)[0] == 0
    bare = tmp_path / "rtu-9.csv"
    bare.write_text(
        "Time,OA Temp °F\n" + "".join(f"2026-05-03 {hour:02d}:00,60.5\n" for hour in range(24)),
        encoding="utf-8",
    )
    code, found = ran([str(bare)], capsys)
    assert code == 3
    assert found["units"][0]["sound"] == []
    assert main(["trends", str(tmp_path / "none.csv")]) == 2
    capsys.readouterr()
    assert exit_code([]) == 3


def test_a_terminal_shows_the_next_measurement_with_its_caution(
    stuck: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["trends", str(stuck), "--zone", "UTC"]) == 1
    out = " ".join(capsys.readouterr().out.split())
    assert "over 99 in 100" in out
    assert out.index("Next") < out.index("Caution:") < out.index("Cannot tell")


def test_a_job_adds_its_card(stuck: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """As left against as found in the data, and energy by its airflow."""
    _, found = ran([str(stuck), "--zone", "UTC", "--job", str(DEMO)], capsys)
    (unit,) = found["units"]
    checks = {one["id"]: one["verdict"] for one in unit["as_left"]}
    assert checks["trend.share_high"] == "fails"
    assert set(checks.values()) <= {"passes", "fails", "cannot_tell"}
    assert unit["findings"][0]["consequence"]["energy_J"] > 0.0
    assert main(["trends", str(stuck), "--zone", "UTC", "--job", str(DEMO)]) == 1
    assert "As left, and as found in the data" in capsys.readouterr().out


def test_of_several_units_none_of_which_is_the_job_one_sentence_says_so(
    stuck: Path, sound: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["trends", str(stuck), str(sound), "--job", str(DEMO)]) == 2
    assert (
        '"RTU-1, RTU-2" holds several units, none of which is R-2; accepted: a log of R-2, or --unit R-2 where all of it'
        in capsys.readouterr().err
    )


def test_the_report_is_whole_in_one_file(
    stuck: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Findings, the caution, pictures and their numbers; nothing is fetched."""
    path = tmp_path / "found.html"
    assert main(["trends", str(stuck), "--zone", "UTC", "--job", str(DEMO), "--report", str(path)]) == 1
    assert f"{path} written." in " ".join(capsys.readouterr().out.split())
    text = path.read_text(encoding="utf-8")
    assert "http://" not in text.replace("http://www.w3.org/2000/svg", "")
    assert "src=" not in text
    assert text.count("<svg") >= 4
    for words in (
        "what is wrong",
        "cannot tell",
        "as left against as found",
        "the numbers of the pictures",
        "Measure next",
    ):
        assert words in text


def test_kept_logs_are_judged_the_same(
    stuck: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """By columns from Parquet as in plain Python from text."""
    plain = ran([str(stuck), "--zone", "UTC"], capsys)[1]
    kept = ran([str(stuck), "--zone", "UTC", "--keep", str(tmp_path / "kept")], capsys)[1]
    again = ran([str(stuck), "--zone", "UTC", "--keep", str(tmp_path / "kept")], capsys)[1]
    assert plain["units"] == kept["units"] == again["units"]


def test_large_logs_are_read_by_columns_and_give_the_same(
    stuck: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    plain = ran([str(stuck), "--zone", "UTC"], capsys)[1]
    monkeypatch.setattr(trends_look, "LARGE", 0)
    assert ran([str(stuck), "--zone", "UTC"], capsys)[1] == plain


def test_the_work_says_how_far_it_is_and_ends_when_nobody_takes_it(stuck: Path, sound: Path) -> None:
    understood = look([stuck, sound])
    steps = judging(understood, rule_set(), {}, columns=False)
    seen: list[Progress] = list(steps)
    assert [one.done for one in seen] == sorted(one.done for one in seen)
    assert seen[-1].done == seen[-1].total == stuck.stat().st_size + sound.stat().st_size
    stopped = judging(understood, rule_set(), {}, columns=True)
    next(stopped)
    stopped.close()


def keys(part: Any) -> Iterator[str]:
    """Yield the keys of a document that are the program's own."""
    if isinstance(part, dict):
        for key, value in part.items():
            yield key
            if key not in {"dropped", "numbers"}:
                yield from keys(value)
    elif isinstance(part, list):
        for one in part:
            yield from keys(one)


def test_every_key_is_documented(
    stuck: Path, sound: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """docs/json.md has the keys of both commands."""
    found = ran([str(stuck), "--zone", "UTC", "--job", str(DEMO)], capsys)[1]
    main(["fleet", str(sound.parent), "--out", str(tmp_path / "out"), "--zone", "UTC", "--json"])
    fleet = json.loads(capsys.readouterr().out)
    assert {*keys(found), *keys(fleet)} - in_code("json.md") == set()


def test_lanes_add_up_to_the_time() -> None:
    """Whatever the spells, each slice is shared out whole."""
    states = trend_sample.states(40)
    shares = lanes(states)
    assert sum(map(sum, shares.values())) == pytest.approx(len(next(iter(shares.values()))))
    assert all(sum(column) == pytest.approx(1.0) for column in zip(*shares.values(), strict=True))
    assert lanes([Spell("off", 0, 10)])["off"] == pytest.approx([1.0] * 156)


def test_the_week_knows_what_was_not_logged() -> None:
    """An hour without a log is neither on nor off."""
    shares = shares_of(trend_sample.FOUND.observed, OFF, other=True)
    assert shares[0, 3] == 0.0
    assert shares[0, 8] == pytest.approx(44 / 52)
    assert (6, 24) not in shares


def test_every_picture_is_said_in_words_and_fits_a_phone() -> None:
    drawn = pictures(trend_sample.FOUND, trend_sample.KNOWN, "America/Chicago", "us")
    assert len(drawn) == 5
    for one in drawn:
        assert 'viewBox="0 0 324 ' in one.svg
        assert "<title" in one.svg
        assert "<desc" in one.svg
        assert all(len(row) == len(one.columns) for row in one.rows)
    assert "the outdoor-air damper does not move, 97 in 100, seen 2025-03-13 to 2025-11-27" in drawn[0].svg
    assert pictures(trend_sample.FOUND, KnownUnit(), None, "si")[1].rows[0][3] == "–"


def test_a_curve_is_read_between_its_points() -> None:
    curve = ((0.0, 0.1), (0.5, 0.3), (1.0, 0.9))
    assert [curve_at(curve, one) for one in (0.0, 0.25, 0.5, 1.0, 1.2)] == pytest.approx(
        [0.1, 0.2, 0.3, 0.9, 0.9]
    )


def test_a_compressor_that_was_not_called_for_is_no_wrong_lockout() -> None:
    """None ran near the lockout: that cannot be told apart from no call."""
    observed = trend_sample.FOUND.observed
    known = KnownUnit(compressor_lockout=5.0)
    (check,) = compared(known, observed)
    assert check.verdict.value == "cannot_tell"
    assert check.sentence.show("si") == "none ran below 12.9 °C ± 1.0 °C; left at 5.0 °C"
