"""Logs of many units: gathered, judged by any engine with the same rows, kept, ranked, and read from a table as from files."""

from __future__ import annotations

import csv
import json
import os
import pickle
import re
from collections.abc import Iterator
from functools import partial
from pathlib import Path
from typing import Any

import pytest
from tests.logged_unit import HEADINGS, rows, write
from tests.postgres import postgres_url

from ventwright.cli import main
from ventwright.readings.trend import PointMap
from ventwright.record.fleet_pages import COLUMNS, ranked
from ventwright.store.fleet import UnitOutcome, gathered, judge_unit, run
from ventwright.store.fleet.known import known_in_jobs
from ventwright.verdict.trend_findings import KnownUnit, rule_set

__all__ = ["postgres_url"]  # the fixture

SAID = PointMap(zone="Etc/GMT+6")


@pytest.fixture(scope="module")
def fleet(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Two sites: one unit sound, one stuck, and one stuck at the other site."""
    folder = tmp_path_factory.mktemp("fleet")
    write(folder / "Alder Court" / "RTU-1.csv", seed=1)
    write(folder / "Alder Court" / "RTU-2.csv", stuck=True, seed=2)
    write(folder / "Birch Yard" / "RTU-1.csv", stuck=True, seed=3)
    return folder


def ran(arguments: list[str], capsys: pytest.CaptureFixture[str]) -> tuple[int, dict[str, Any]]:
    """Run the command for programs."""
    code = main(["fleet", *arguments, "--json"])
    found: dict[str, Any] = json.loads(capsys.readouterr().out)
    return code, found


def files_in(folder: Path) -> dict[str, bytes]:
    """Return every file below a folder."""
    return {
        str(path.relative_to(folder)): path.read_bytes()
        for path in sorted(folder.rglob("*"))
        if path.is_file()
    }


def test_what_is_certain_and_costly_comes_first(
    fleet: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """A ranked list, a page a site and a unit, and the rows for programs; links lead where there is a page."""
    out = tmp_path / "found"
    code, found = ran([str(fleet), "--out", str(out), "--zone", "Etc/GMT+6", "--airflow", "4000 cfm"], capsys)
    assert code == 1
    assert (found["judged"], found["kept"]) == (3, 0)
    assert {(one["site"], one["unit"]) for one in found["findings"]} == {
        ("Alder Court", "RTU-2"),
        ("Birch Yard", "RTU-1"),
    }
    weights = [abs(one["energy_J"] or 0.0) * one["probability"] for one in found["findings"]]
    assert weights == sorted(weights, reverse=True)
    assert weights[0] > 0.0
    with (out / "findings.csv").open(encoding="utf-8") as file:
        table = list(csv.DictReader(file))
    assert tuple(table[0]) == COLUMNS
    assert len(table) == len(found["findings"])
    for page in [out / "index.html", *(out / "sites").glob("*.html")]:
        for link in re.findall(r'href="([^"#]+)"', page.read_text(encoding="utf-8")):
            assert (page.parent / link).is_file(), link
    assert "Alder Court" in (out / "index.html").read_text(encoding="utf-8")


def test_a_second_run_judges_only_what_is_new_and_writes_the_same(
    fleet: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    folder, out = tmp_path / "logs", tmp_path / "found"
    for path in sorted(fleet.rglob("*.csv")):
        into = folder / path.relative_to(fleet)
        into.parent.mkdir(parents=True, exist_ok=True)
        into.write_bytes(path.read_bytes())
    first = ran([str(folder), "--out", str(out), "--zone", "Etc/GMT+6"], capsys)[1]
    before = files_in(out)
    again = ran([str(folder), "--out", str(out), "--zone", "Etc/GMT+6"], capsys)[1]
    assert (again["judged"], again["kept"]) == (0, 3)
    assert again["findings"] == first["findings"]
    assert files_in(out) == before
    write(folder / "Birch Yard" / "RTU-1.csv", days=14, stuck=True, seed=3)
    (folder / "Alder Court" / "RTU-2.csv").unlink()
    grown = ran([str(folder), "--out", str(out), "--zone", "Etc/GMT+6"], capsys)[1]
    assert (grown["judged"], grown["kept"]) == (1, 1)
    assert {(one["site"], one["unit"]) for one in grown["findings"]} == {("Birch Yard", "RTU-1")}
    assert len(list((out / "units").glob("*.json"))) == 2
    other = tmp_path / "anew"
    ran([str(folder), "--out", str(other), "--zone", "Etc/GMT+6"], capsys)
    assert files_in(other) == files_in(out)  # the same whether it was found at once or bit by bit
    everything = ran([str(folder), "--out", str(out), "--zone", "Etc/GMT+6", "--again"], capsys)[1]
    assert everything["judged"] == 2


def test_a_value_that_was_changed_in_its_place_is_noticed(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Far behind the beginning, with the same size and the same time; other times with the same values are nothing new."""
    path = write(tmp_path / "logs" / "Alder Court" / "RTU-1.csv")
    write(tmp_path / "logs" / "Alder Court" / "RTU-2.csv", seed=2)
    said = [str(tmp_path / "logs"), "--out", str(tmp_path / "found"), "--zone", "Etc/GMT+6"]
    assert ran(said, capsys)[1]["judged"] == 2
    about, whole = path.stat(), path.read_bytes()
    assert len(whole) > 70_000
    at = len(whole) - 3
    path.write_bytes(whole[:at] + (b"1" if whole[at : at + 1] != b"1" else b"2") + whole[at + 1 :])
    os.utime(path, ns=(about.st_atime_ns, about.st_mtime_ns))
    assert ran(said, capsys)[1]["judged"] == 1
    os.utime(path)
    assert ran(said, capsys)[1]["judged"] == 0


def outcomes(folder: Path, engine: str, **options: Any) -> list[UnitOutcome]:
    """Judge a fleet by one engine."""
    tasks = gathered(folder, SAID, lambda _site, _unit: KnownUnit(supply_airflow=1.9)).tasks
    return list(run(partial(judge_unit, rules=rule_set()), tasks, engine, **options))


@pytest.mark.filterwarnings("ignore::DeprecationWarning", "ignore::ResourceWarning")
def test_a_cluster_finds_the_same_row_by_row(fleet: Path) -> None:
    """A real scheduler with two worker processes, and this process: the same outcomes, pages and all."""
    here, there = outcomes(fleet, "here"), outcomes(fleet, "dask", workers=2)
    assert here == there
    assert [one.unit for one in here] == ["RTU-1", "RTU-2", "RTU-1"]
    found = [list((one.document or {})["findings"]) for one in here]
    assert [len(one) > 0 for one in found] == [False, True, True]


def test_the_piece_of_work_travels(fleet: Path) -> None:
    """Task, rules and outcome survive the way to another process, and the function needs nothing else."""
    task = gathered(fleet, SAID, lambda _site, _unit: KnownUnit()).tasks[1]
    there, rules = pickle.loads(pickle.dumps((task, rule_set())))  # noqa: S301 - our own
    outcome = judge_unit(there, rules)
    assert outcome == judge_unit(task, rule_set())
    assert pickle.loads(pickle.dumps(outcome)) == outcome  # noqa: S301 - our own
    assert there.mark(rules) == task.mark(rule_set())


def test_a_unit_with_an_open_question_is_listed_and_the_others_are_judged(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    folder = tmp_path / "logs"
    write(folder / "Alder Court" / "RTU-1.csv")
    odd = folder / "Birch Yard" / "RTU-7.csv"
    odd.parent.mkdir()
    odd.write_text(
        "Time,OA Temp °F\n" + "".join(f"03/04/2026 {hour:02d}:00,40.5\n" for hour in range(24)),
        encoding="utf-8",
    )
    code, found = ran([str(folder), "--out", str(tmp_path / "found"), "--zone", "UTC"], capsys)
    assert code == 3
    units = {one["unit"]: one for one in found["units"]}
    assert "has dates of which either figure may be the month" in units["RTU-7"]["refused"][0]
    assert units["RTU-1"]["sound"]
    page = (tmp_path / "found" / "index.html").read_text(encoding="utf-8")
    assert "What has to be said first" in page


def test_the_point_map_of_a_site_stands_above_the_guess(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    path = write(tmp_path / "logs" / "Alder Court" / "RTU-1.csv", stuck=True)
    path.write_text(path.read_text(encoding="utf-8").replace("OA Damper Cmd %", "Spot 4"), encoding="utf-8")
    (path.parent / "points.yaml").write_text(
        "kind: point map\nzone: Etc/GMT+6\ncolumns:\n  - heading: Spot 4\n    point: outdoor_damper_signal\n    measured_in: '%'\n",
        encoding="utf-8",
    )
    code, found = ran([str(tmp_path / "logs"), "--out", str(tmp_path / "found")], capsys)
    assert code == 1
    assert found["findings"][0]["fault"].startswith("outdoor_air_damper")


def test_a_job_says_what_is_known_of_its_unit(tmp_path: Path) -> None:
    """Found by tag and site; a unit without a job has what was said of all."""
    jobs = tmp_path / "jobs"
    jobs.mkdir()
    demo = Path(__file__).parents[2] / "src" / "ventwright" / "cli" / "demo_job" / "larkspur-row-r-2.yaml"
    (jobs / "one.yaml").write_bytes(demo.read_bytes())
    knows = known_in_jobs(jobs, KnownUnit(supply_airflow=1.0))
    assert knows("Larkspur Row", "r-2").high_limit is not None
    assert knows("", "R 2").compressor_lockout is not None
    assert knows("Larkspur Row", "R-9") == KnownUnit(supply_airflow=1.0)


@pytest.mark.parametrize(("said", "counts"), [("2 K", 1.0), ("0.4 K", None)])
def test_sensors_that_a_job_says_are_worse_than_usual_count(
    said: str, counts: float | None, tmp_path: Path
) -> None:
    """Half of the ± at the sensors that decide on free cooling; a better one still has sun and place against it."""
    demo = Path(__file__).parents[2] / "src" / "ventwright" / "cli" / "demo_job" / "larkspur-row-r-2.yaml"
    text = demo.read_text(encoding="utf-8").replace(
        "facts:\n", f"facts:\n  running: {{sensor_accuracy: {said}}}\n", 1
    )
    (tmp_path / "one.yaml").write_text(text, encoding="utf-8")
    known = known_in_jobs(tmp_path, KnownUnit())("Larkspur Row", "r-2")
    names = ("outdoor_temperature", "return_temperature")
    assert known.sensor_accuracy == ({} if counts is None else dict.fromkeys(names, counts))


@pytest.fixture
def table(postgres_url: str) -> Iterator[str]:
    """The logs of the fleet as a table: a row a moment, times with their zone."""
    import psycopg

    columns = ", ".join(f'"{one}" text' for one in HEADINGS)
    with psycopg.connect(postgres_url, autocommit=True) as connection:
        connection.execute(f"create table readings (site text, unit text, time timestamptz, {columns})")
        with connection.cursor() as cursor, cursor.copy("copy readings from stdin") as into:
            for site, unit, stuck, seed in (
                ("Alder Court", "RTU-1", False, 1),
                ("Alder Court", "RTU-2", True, 2),
                ("Birch Yard", "RTU-1", True, 3),
            ):
                for seconds, cells in rows(12, 600, stuck=stuck, seed=seed):
                    into.write_row([site, unit, _utc(seconds), *cells])
    yield postgres_url
    with psycopg.connect(postgres_url, autocommit=True) as connection:
        connection.execute("drop table readings")


def _utc(seconds: int) -> str:
    from datetime import UTC, datetime

    return datetime.fromtimestamp(seconds, UTC).isoformat()


def test_a_table_gives_the_same_findings_as_files(
    table: str, fleet: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    said = ["--airflow", "4000 cfm"]
    of_table = ran([table, "--out", str(tmp_path / "table"), "--zone", "UTC", *said], capsys)[1]
    of_files = ran([str(fleet), "--out", str(tmp_path / "files"), "--zone", "UTC", *said], capsys)[1]
    assert of_table["findings"] == of_files["findings"]
    assert len(of_table["findings"]) >= 2
    assert "ventwright@" not in "".join(path.read_text("utf-8") for path in (tmp_path / "table").rglob("*.*"))


def test_of_a_table_too_only_what_is_new_is_judged(
    table: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    import psycopg

    out = ["--out", str(tmp_path / "found"), "--zone", "UTC"]
    assert ran([table, *out], capsys)[1]["judged"] == 3
    assert ran([table, *out], capsys)[1]["judged"] == 0
    with psycopg.connect(table, autocommit=True) as connection:
        connection.execute("insert into readings select * from readings where false")
        connection.execute(
            "insert into readings (site, unit, time) values ('Birch Yard', 'RTU-1', '2025-04-01T00:00Z')"
        )
    assert ran([table, *out], capsys)[1]["judged"] == 1
    changed = f"update readings set \"{HEADINGS[0]}\" = '1' where unit = 'RTU-2' and time = %s"  # noqa: S608 - our own
    with psycopg.connect(table, autocommit=True) as connection:
        assert connection.execute(changed, [_utc(rows(1, 600, stuck=True)[0][0])]).rowcount == 1
    assert ran([table, *out], capsys)[1]["judged"] == 1  # a value that was changed in its place
    with psycopg.connect(table, autocommit=True) as connection:
        connection.execute("create table again as select * from readings order by random()")
        connection.execute("truncate readings; insert into readings select * from again; drop table again")
    assert ran([table, *out], capsys)[1]["judged"] == 0  # the same rows in another order


@pytest.mark.parametrize(
    ("arguments", "sentence"),
    [
        (
            ["/nowhere/at/all"],
            '"/nowhere/at/all" is no folder; accepted: a folder of logs, or postgresql:// and a database.',
        ),
        (["."], "--workers"),
        (["postgresql://nobody@127.0.0.1:1/none"], "the database: cannot be reached"),
    ],
)
def test_mistakes_get_one_sentence(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], arguments: list[str], sentence: str
) -> None:
    more = ["--workers", "-1"] if arguments == ["."] else []
    assert main(["fleet", *arguments, "--out", str(tmp_path / "out"), *more]) == 2
    assert sentence in capsys.readouterr().err


@pytest.mark.parametrize(
    ("option", "sentence"),
    [
        (["--table", "none"], '--table: "none" is no table there; accepted: --table with the name of one.'),
        (
            ["--unit-column", "rtu"],
            '--unit-column: "rtu" is no column of readings; accepted: site, unit, time,',
        ),
        (
            ["--time-column", "unit"],
            '--time-column: "unit" is no column of times (text); accepted: timestamp with time zone,',
        ),
    ],
)
def test_a_table_of_another_form_is_refused(
    table: str, tmp_path: Path, capsys: pytest.CaptureFixture[str], option: list[str], sentence: str
) -> None:
    assert main(["fleet", table, "--out", str(tmp_path / "out"), *option]) == 2
    assert sentence in capsys.readouterr().err


def test_a_folder_of_something_else_is_not_written_to(
    fleet: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    (tmp_path / "letter.txt").write_text("Dear all", encoding="utf-8")
    assert main(["fleet", str(fleet), "--out", str(tmp_path)]) == 2
    assert "holds something else; accepted: an empty or a new folder." in capsys.readouterr().err
    assert [path.name for path in tmp_path.iterdir()] == ["letter.txt"]


def test_ranking_prefers_energy_then_hours_then_certainty() -> None:
    """The chance times what it takes; where neither energy nor air is known the chance alone."""

    def unit(name: str, probability: float, energy: float | None, share: float | None) -> dict[str, Any]:
        consequence = (
            {"sentence": ""}
            | ({} if energy is None else {"energy_J": energy})
            | ({} if share is None else {"share": share})
        )
        finding = {
            "fault": "x",
            "probability": probability,
            "hours_judged": 100.0,
            "consequence": consequence,
        }
        return {"site": "s", "unit": name, "key": name, "findings": [finding]}

    units = [
        unit("sure", 0.99, None, None),
        unit("air", 0.9, None, -0.5),
        unit("half", 0.5, 9e9, 0.1),
        unit("dear", 0.9, 9e9, 0.1),
    ]
    assert [one.unit for one in ranked(units)] == ["dear", "half", "air", "sure"]
