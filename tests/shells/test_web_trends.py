"""Logs in the app: handed in, what the columns are asked once, judged while pages go on, shown with what to do next."""

from __future__ import annotations

import asyncio
import gzip
import pickle
import re
from collections.abc import Iterator
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

import httpx
import pytest
from tests import trend_sample
from tests.logged_unit import HEADINGS, write
from tests.web_client import DEMO, Client, once, read_as_spaces, words

from ventwright.readings.trend import PointMap
from ventwright.verdict.trend_findings import KnownUnit
from ventwright.web import trend_shown
from ventwright.web.handed_in import HandedIn
from ventwright.web.trend_shown import MAP, WHOLE, judging_log, looked, map_of, shown
from ventwright.web.work import Here

PAGE = f"/jobs/{DEMO}/trends"


@pytest.fixture
def client(tmp_path: Path) -> Iterator[Client]:
    """The demo job."""
    made = Client(tmp_path)
    made.with_demo()
    yield made
    made.jobs.close()


def hand_in(client: Client, *paths: Path, **texts: str) -> httpx.Response:
    """Hand logs in."""
    files = [("logs", (path.name, path.read_bytes(), "text/csv")) for path in paths]
    return client.post(PAGE, {"once": "c" * 32, **texts}, files=files)


async def _in_one_loop(client: Client, posts: list[tuple[str, Any]], looks: int) -> list[httpx.Response]:
    """Send forms and look at the page, in one loop as on a server."""
    transport = httpx.ASGITransport(app=client.app)
    async with httpx.AsyncClient(
        transport=transport, base_url="http://localhost", headers={"origin": "http://localhost"}
    ) as asking:
        answers = [
            await asking.post(at, data={"once": "c" * 32}, files=files, follow_redirects=False)
            for at, files in posts
        ]
        for _ in range(looks):
            answers.append(read_as_spaces(await asking.get(PAGE)))
            await asyncio.sleep(0.01)
            if answers[-1].status_code == 200 and "<progress" not in answers[-1].text:
                break
        return answers


def judged(client: Client, *paths: Path) -> list[httpx.Response]:
    """Hand logs in and look until they are judged."""
    files = [("logs", (path.name, path.read_bytes(), "text/csv")) for path in paths]
    return asyncio.run(_in_one_loop(client, [(PAGE, files)], 60))


def test_the_job_has_a_way_to_its_logs(client: Client) -> None:
    assert f'href="{PAGE}"' in client.get(f"/jobs/{DEMO}").text


def test_without_logs_the_page_asks_for_them(client: Client) -> None:
    said = words(client.get(PAGE).text)
    assert "Files that the building system or a logger wrote" in said
    assert "The logs themselves are held only while this app runs." in said
    answer = client.post(PAGE, {"once": "c" * 32})
    assert answer.status_code == 422
    assert "are missing; accepted: one file or more that a building system or a logger wrote." in words(
        answer.text
    )


def test_a_file_that_is_no_log_is_refused_in_a_sentence(client: Client, tmp_path: Path) -> None:
    path = tmp_path / "photo.jpg"
    path.write_bytes(bytes(range(256)) * 40)
    answer = hand_in(client, path)
    assert answer.status_code == 422
    assert (
        "photo.jpg: is not a text file; accepted: a text file with one reading or one moment a line"
        in words(answer.text)
    )
    assert client.get(f"{PAGE}/columns").url.path == f"{PAGE}/choose"


def test_a_stuck_damper_is_found_and_leads_to_the_next_measurement(client: Client, tmp_path: Path) -> None:
    """First the work with its progress, then the finding, its chance, its dates, its caution and what to measure."""
    first, *rest = judged(client, write(tmp_path / "R-2.csv", stuck=True))
    assert first.headers["location"] == PAGE
    assert "Every row is read and held against the rules." in words(rest[0].text)
    assert "<progress" in rest[0].text
    said = words(rest[-1].text)
    assert "stuck" in said
    assert "over 99 in 100" in said
    assert re.search(r"Seen from 2025-03-1\d to 2025-03-2\d", said)
    assert "Caution" in said
    assert re.search(
        rf'href="/jobs/{DEMO}/find(/measure/[\w.]+)?">(Measure next|Troubleshoot)', rest[-1].text
    )
    assert said.index("over 99 in 100") < said.index("Pictures") < said.index("Cannot tell")


def test_each_picture_has_its_numbers_behind_it(client: Client, tmp_path: Path) -> None:
    text = judged(client, write(tmp_path / "R-2.csv", stuck=True))[-1].text
    assert text.count('<figure class="plot') == text.count("The numbers as a table") >= 4
    for name in ("timeline", "share", "outdoor", "week-runs"):
        assert f'aria-labelledby="{name}-title {name}-description"' in text


def test_what_was_found_stays_when_the_logs_are_gone(client: Client, tmp_path: Path) -> None:
    judged(client, write(tmp_path / "R-2.csv", stuck=True))
    other = Client.__new__(Client)
    other.jobs = client.jobs
    from ventwright.web import make_app

    other.app = make_app(client.jobs)  # the app started anew
    said = words(other.get(PAGE).text)
    assert "over 99 in 100" in said
    assert "Judge them again" not in said
    report = other.get(f"{PAGE}/report")
    assert "What the logs show" in report.text
    assert "style-src" in report.headers["content-security-policy"]


def test_both_systems_of_units_come_from_one_judging(client: Client, tmp_path: Path) -> None:
    judged(client, write(tmp_path / "R-2.csv", stuck=True))
    usual = words(client.get(PAGE).text)
    client.set("units", "si")
    metric = words(client.get(PAGE).text)
    assert "outdoor temperature, °F" in usual
    assert "outdoor temperature, °C" in metric


def test_there_is_no_report_before_anything_was_found(client: Client) -> None:
    assert client.get(f"{PAGE}/report").status_code == 404


def unclear(path: Path) -> Path:
    """Write a log with dates of which either figure may be the month, and a heading that may be two things."""
    lines = ["Time,OA Temp °F,Temperature 7 °F"]
    lines += [f"03/04/2026 {hour:02d}:00,{50 + hour}.5,{60 + hour % 3}.0" for hour in range(24)]
    path.write_text("\n".join(lines) + "\n", encoding="utf-8")
    return path


def test_what_is_not_clear_is_asked_and_kept_as_a_point_map(client: Client, tmp_path: Path) -> None:
    answer = hand_in(client, unclear(tmp_path / "R-2.csv"))
    assert answer.url.path == f"{PAGE}/columns"
    said = words(answer.text)
    assert "Dates such as 03/04/2026" in said
    assert "--" not in said  # the words of the command line are no help here
    assert "This is asked once; the answers stay with the job." in said
    given = {"once": once(answer.text), "dates": "day first", "zone": "America/Chicago"}
    kept = client.post(f"{PAGE}/columns", given)
    assert kept.url.path == PAGE
    files = asyncio.run(client.jobs.own_files(DEMO))
    said_map = map_of(files[MAP].decode())
    assert (said_map.dates, said_map.zone) == ("day first", "America/Chicago")
    assert said_map.column("any.csv", "OA Temp °F") is not None


def test_a_column_that_nobody_can_tell_is_asked_and_stays_answered(client: Client, tmp_path: Path) -> None:
    path = write(tmp_path / "R-2.csv")
    text = path.read_text(encoding="utf-8").replace("OA Damper Cmd %", "Damper")
    path.write_text(text, encoding="utf-8")
    answer = hand_in(client, path)
    assert answer.url.path == f"{PAGE}/columns"
    number = HEADINGS.index("OA Damper Cmd %")
    assert f'name="point.{number}"' in answer.text
    assert words(answer.text).index("Damper") < words(answer.text).index("The columns that seem clear")
    client.post(
        f"{PAGE}/columns",
        {"once": once(answer.text), f"point.{number}": "outdoor_damper_signal", f"measured.{number}": "%"},
    )
    again = hand_in(client, path)
    assert again.url.path == PAGE  # nothing is asked a second time


@pytest.mark.parametrize(
    ("given", "sentence"),
    [
        (
            {"zone": "Mars/Olympus"},
            'zone: "Mars/Olympus" is no time zone; accepted: a name of the IANA data base',
        ),
        ({"point.0": "flux"}, "is not a point of a unit; accepted: "),
    ],
)
def test_a_wrong_answer_is_refused_and_stays(
    client: Client, tmp_path: Path, given: dict[str, str], sentence: str
) -> None:
    page = hand_in(client, unclear(tmp_path / "R-2.csv"))
    answer = client.post(f"{PAGE}/columns", {"once": once(page.text), "year": "2026", **given})
    assert answer.status_code == 422
    assert sentence in words(answer.text)
    assert MAP not in asyncio.run(client.jobs.own_files(DEMO))
    if "zone" in given:
        assert 'value="Mars/Olympus"' in answer.text


def test_of_several_units_the_one_of_the_job_is_asked(client: Client, tmp_path: Path) -> None:
    one, two = write(tmp_path / "RTU-8.csv"), write(tmp_path / "RTU-9.csv", stuck=True)
    answer = hand_in(client, one, two)
    assert answer.url.path == f"{PAGE}/columns"
    assert "Which of these is this unit?" in words(answer.text)
    done = client.post(f"{PAGE}/columns", {"once": once(answer.text), "unit": "RTU-9"})
    assert done.url.path == PAGE
    assert asyncio.run(client.jobs.setting(f"unit in logs of {DEMO}")) == "RTU-9"


def test_the_unit_with_the_tag_of_the_job_is_taken_without_a_question(client: Client, tmp_path: Path) -> None:
    write(tmp_path / "r-2.csv", stuck=True), write(tmp_path / "r-9.csv")
    last = judged(client, tmp_path / "r-2.csv", tmp_path / "r-9.csv")[-1]
    assert "over 99 in 100" in words(last.text)


def test_the_work_can_be_stopped_and_begun_again(client: Client, tmp_path: Path) -> None:
    path = write(tmp_path / "R-2.csv")
    files = [("logs", (path.name, path.read_bytes(), "text/csv"))]
    _, _, stopped = asyncio.run(_in_one_loop(client, [(PAGE, files), (f"{PAGE}/stop", None)], 1))
    assert "Logs of this unit, as they come" in words(stopped.text)
    *_, last = asyncio.run(_in_one_loop(client, [(f"{PAGE}/again", None)], 60))
    assert "by the log of R-2" in words(last.text)


def test_packed_logs_are_read(client: Client, tmp_path: Path) -> None:
    path = tmp_path / "R-2.csv.gz"
    path.write_bytes(gzip.compress(write(tmp_path / "R-2.csv", stuck=True).read_bytes()))
    assert "over 99 in 100" in words(judged(client, path)[-1].text)


def test_as_left_is_compared_where_the_job_knows_it() -> None:
    """From the invented findings: a change-over 8 °F below the card fails, the rest of the card is as it was."""
    made = datetime(2026, 1, 2, tzinfo=UTC)
    told = shown(trend_sample.JUDGED, trend_sample.KNOWN, made, [])
    verdicts = {one["what"]: one["verdict"] for one in told["us"]["as_left"]}
    assert verdicts["outdoor temperature at which free cooling is given up"] == "fails"
    assert verdicts["lowest outdoor temperature at which a compressor runs"] == "passes"
    assert verdicts["damper signal at minimum, fan at 100 %"] == "passes"
    assert verdicts["share of outdoor air at 97 % damper signal"] == "fails"
    assert told["us"]["as_left"][1]["sentence"] == "61.5 °F ± 2.2 °F in the data, left at 69.8 °F"


def test_the_work_travels_to_another_process_and_needs_no_columns(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """As in a browser: nothing compiled for columns is there, and it goes in slices."""
    monkeypatch.setattr(trend_shown, "has_columns", lambda: False)
    understood = pickle.loads(pickle.dumps(looked([write(tmp_path / "R-2.csv", stuck=True)], "")))  # noqa: S301 - our own
    piece = Here()

    async def done() -> dict[str, Any]:
        begun = piece.begin(
            "one", judging_log, understood, "R-2", KnownUnit(), datetime(2026, 1, 2, tzinfo=UTC)
        )
        found: dict[str, Any] = await begun.task
        assert begun.progress()[1] == WHOLE
        return found

    found = asyncio.run(done())
    assert found["us"]["findings"][0]["chance"] == "over 99 in 100"


def test_columns_and_plain_rows_show_the_same(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    understood = looked([write(tmp_path / "R-2.csv", stuck=True)], "")
    made = datetime(2026, 1, 2, tzinfo=UTC)
    found = []
    for columns in (True, False):
        monkeypatch.setattr(trend_shown, "has_columns", lambda columns=columns: columns)
        steps = judging_log(understood, "R-2", KnownUnit(), made)
        while True:
            try:
                next(steps)
            except StopIteration as ended:
                found.append(ended.value)
                break
    assert found[0] == found[1]


def test_names_of_logs_stay_within_their_folder() -> None:
    held = HandedIn()
    held.hold("job", [("../../etc/passwd", b"a"), ("..\\x.csv", b"b"), ("x.csv", b"c"), ("", b"d")])
    paths = held.paths("job")
    assert sorted(path.name for path in paths) == ["2-x.csv", "log.csv", "passwd", "x.csv"]
    assert len({path.parent for path in paths}) == 1
    held.forget("job")
    assert held.paths("job") == ()
    held.close()


def test_an_empty_map_says_nothing() -> None:
    assert map_of("") == PointMap()
