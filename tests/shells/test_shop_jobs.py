"""Jobs of a shop: given and taken, looked at, shared with phones, shown to owners, and who did what."""

from __future__ import annotations

import asyncio
import inspect
import re
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

import pytest
from tests.shells.shop_people import Browser, House, link_in
from tests.web_client import words

from ventwright.errors import Refused
from ventwright.store.change import Change, new_id
from ventwright.store.jobs import Jobs
from ventwright.store.photos import Photos
from ventwright.store.seeing import Seeing
from ventwright.store.seen import SeenJobs
from ventwright.store.seen_photos import SeenPhotos
from ventwright.store.sharing import PROTOCOL, answered, share
from ventwright.web.pages.trends import found_in

pytestmark = pytest.mark.usefixtures("either_database")


@pytest.fixture
def house(tmp_path: Path) -> House:
    return House(tmp_path)


def change(job: str, number: int, path: str, value: Any, do: str = "put") -> dict[str, Any]:
    at = datetime(2026, 11, 30, 9, tzinfo=UTC)
    return Change(new_id(), job, number, at, "phone", "Tim", do, path, value).as_data()  # type: ignore[arg-type]


def synced(
    device: Browser, changes: list[dict[str, Any]], *, store: str = "", mark: Any = (0, "")
) -> dict[str, Any]:
    message = {
        "protocol": PROTOCOL,
        "store": store,
        "device": "d",
        "name": "Tim",
        "mark": mark,
        "changes": changes,
    }
    answer = device.ask("POST", "/sync", json=message)
    assert answer.status_code == 200, answer.text
    said: dict[str, Any] = answer.json()
    return said


@pytest.mark.parametrize(("seen", "all_"), [(SeenJobs, Jobs), (SeenPhotos, Photos)])
def test_everything_that_a_store_does_is_said_anew_for_one_person(seen: type, all_: type) -> None:
    """A method that is forgotten would act on the whole store."""
    public = {name for name, _ in inspect.getmembers(all_, callable) if not name.startswith("_")}
    assert public <= vars(seen).keys()


def test_a_job_is_whose_who_made_it(house: House) -> None:
    for login in ("tim", "uma"):
        house.person(login)
    tim, uma = house.browser("tim"), house.browser("uma")
    made = tim.post(
        "/new", {"once": new_id(), "capacity": "10", "capacity.unit": "ton", "speeds": "1", "place": "5A"}
    )
    assert made.status_code == 200
    path = made.url.path
    assert tim.get(path).status_code == 200
    assert uma.get(path).status_code == 404


def test_a_form_with_the_id_of_anothers_job_opens_nothing(house: House) -> None:
    uma = house.person("uma")
    house.person("tim")
    job = house.job(uma, "R-1")
    tim = house.browser("tim")
    answer = tim.post(
        "/new", {"once": job, "capacity": "10", "capacity.unit": "ton", "speeds": "1", "place": "5A"}
    )
    assert answer.status_code == 422
    document = house.browser("uma").get(f"/jobs/{job}/job.json").text
    for how in ("", "merge"):
        brought = tim.post("/bring", {"text": document.replace("Larkspur", "Taken Over"), "how": how})
        assert brought.status_code == 422
    assert tim.get(f"/jobs/{job}").status_code == 404
    assert "Taken Over" not in house.browser("uma").get(f"/jobs/{job}/job.json").text


def test_a_reviewer_gives_a_job_and_takes_it(house: House) -> None:
    tim, _ = house.person("tim"), house.person("rosa", "reviewer")
    job = house.job(None, "R-1")
    browser, rosa = house.browser("tim"), house.browser("rosa")
    assert "Nobody; only reviewers see it." in words(rosa.get(f"/jobs/{job}/people").text)
    rosa.post(f"/jobs/{job}/people", {"give": tim})
    assert browser.get(f"/jobs/{job}").status_code == 200
    assert browser.post(f"/jobs/{job}/people", {"give": tim}).status_code == 403
    rosa.post(f"/jobs/{job}/people", {"take": tim})
    assert browser.get(f"/jobs/{job}").status_code == 404
    assert ("Rosa", "gave the job", job) in house.trail()
    assert rosa.post(f"/jobs/{job}/people", {"give": "nobody"}).status_code == 422


def test_a_mark_of_a_reviewer_is_of_the_job_as_it_was(house: House) -> None:
    tim, _ = house.person("tim"), house.person("rosa", "reviewer")
    job = house.job(tim, "R-1")
    rosa, browser = house.browser("rosa"), house.browser("tim")
    rosa.post(f"/jobs/{job}/looked", {"remark": "Speed of the fan?"})
    page = words(browser.get(f"/jobs/{job}/people").text)
    assert "as it is now" in page
    assert "Speed of the fan?" in page
    asyncio.run(house.jobs.add([_at_once(job)]))
    assert "changed since" in words(browser.get(f"/jobs/{job}/people").text)
    too_long = rosa.post(f"/jobs/{job}/looked", {"remark": "x" * 501})
    assert too_long.status_code == 422
    assert "x" * 501 in too_long.text


def _at_once(job: str) -> Change:
    return Change(
        new_id(), job, 99, datetime(2026, 11, 30, 9, tzinfo=UTC), "d", "", "put", "facts.unit.serves", "hall"
    )


def test_a_phone_gets_the_jobs_of_its_person_and_those_that_are_given_later(house: House) -> None:
    tim, uma = house.person("tim"), house.person("uma")
    mine, others = house.job(tim, "R-1"), house.job(uma, "S-1")
    _, phone = house.device(tim)
    first = synced(phone, [])
    assert {one["job"] for one in first["changes"]} == {mine}
    assert not first["more"]
    nothing = synced(phone, [], store=first["store"], mark=first["mark"])
    assert nothing["changes"] == []
    asyncio.run(house.shop.holdings.give(others, tim, made_by=uma))
    assert synced(phone, [], store=first["store"], mark=first["mark"])["begin_again"]
    anew = synced(phone, [])
    assert {one["job"] for one in anew["changes"]} == {mine, others}


def test_a_phone_that_lost_a_job_gets_nothing_more_of_it_and_enters_nothing(house: House) -> None:
    tim, uma = house.person("tim"), house.person("uma")
    job = house.job(uma, "S-1")
    asyncio.run(house.shop.holdings.give(job, tim, made_by=uma))
    _, phone = house.device(tim)
    synced(phone, [])
    asyncio.run(house.shop.holdings.take(job, tim))
    sent = [change(job, 900, "facts.unit.serves", "taken over"), change("new-one", 1, "", {"facts": {}})]
    said = synced(phone, sent)
    assert said["changes"] == []
    assert "no job here" in said["refused"][sent[0]["id"]]
    assert sent[1]["id"] not in said["refused"]
    assert "taken over" not in house.browser("uma").get(f"/jobs/{job}/job.json").text
    assert asyncio.run(house.shop.holdings.has(tim, "new-one"))


def test_two_phones_of_two_people_end_with_what_each_may_have(house: House, tmp_path: Path) -> None:
    tim, uma = house.person("tim"), house.person("uma")
    both = house.job(tim, "R-1")
    asyncio.run(house.shop.holdings.give(both, uma, made_by=tim))
    house.job(uma, "S-1")
    views = [SeenJobs(house.shop, Seeing(one, "", "technician")) for one in (tim, uma)]
    phones = [Jobs(tmp_path / f"phone{number}.sqlite3") for number in range(2)]

    async def story() -> list[set[str]]:
        for turn in range(3):
            for phone, view in zip(phones, views, strict=True):
                if turn == 1:
                    await phone.add([Change(new_id(), both, 100 + turn, datetime.now(UTC), "p", "", "put", "facts.unit.serves", f"hall {turn}")])  # fmt: skip

                async def send(message: dict[str, Any], view: SeenJobs = view) -> Any:
                    return await answered(view, message)

                assert (await share(phone, "the server", send)).problem == ""
        return [{one.tag for one in await phone.jobs()} for phone in phones]

    assert asyncio.run(story()) == [{"R-1"}, {"R-1", "S-1"}]
    assert asyncio.run(phones[0].document(both)) == asyncio.run(phones[1].document(both))
    for phone in phones:
        phone.close()


def test_an_owners_link_shows_the_record_and_ends(house: House) -> None:
    tim = house.person("tim")
    house.person("rosa", "reviewer")
    job, other = house.job(tim, "R-1"), house.job(None, "S-1")
    browser = house.browser("tim")
    browser.post("/units", {"units": "si", "back": "/"})
    made = browser.post(f"/jobs/{job}/owner", {"label": "Owner", "days": "7", "whole": "yes"}).text
    link = link_in(made, "owner")
    assert "all jobs of the site Larkspur Row" not in words(made)
    owner = house.browser()
    page = owner.get(link)
    assert "R-1" in page.text
    assert "S-1" not in page.text
    assert "°F" not in words(owner.get(f"{link}/{job}").text)
    assert "checks pass" in words(owner.get(f"{link}/{job}").text)
    assert owner.get(f"{link}/{job}/page").headers["content-security-policy"].startswith("default-src 'none'")
    assert owner.get(f"{link}/{job}/record.pdf").content.startswith(b"%PDF")
    assert owner.get(f"{link}/{other}").status_code == 404
    assert owner.get(f"{link}/{other}/record.pdf").status_code == 404
    assert ("Owner", "looked at by a link", job) in house.trail()
    house.clock.on(days=7.1)
    assert owner.get(link).status_code == 404
    assert owner.get(f"{link}/{job}").status_code == 404


def test_an_owners_link_of_a_site_is_a_reviewers_and_is_withdrawn(house: House) -> None:
    tim, _ = house.person("tim"), house.person("rosa", "reviewer")
    job, _, elsewhere = house.job(tim, "R-1"), house.job(None, "S-1"), house.job(None, "T-1", "Another Yard")
    rosa = house.browser("rosa")
    link = link_in(
        rosa.post(f"/jobs/{job}/owner", {"label": "Owner", "days": "30", "whole": "yes"}).text, "owner"
    )
    owner = house.browser()
    assert all(tag in owner.get(link).text for tag in ("R-1", "S-1"))
    assert owner.get(f"{link}/{elsewhere}").status_code == 404
    withdraw = re.search(r'name="withdraw" value="(\w{32})"', rosa.get(f"/jobs/{job}/people").text)
    assert withdraw
    house.browser("tim").post(f"/jobs/{job}/owner", {"withdraw": withdraw[1]})
    assert owner.get(link).status_code == 200
    rosa.post(f"/jobs/{job}/owner", {"withdraw": withdraw[1]})
    assert owner.get(link).status_code == 404


def test_everybody_has_units_name_and_instruments_of_his_own(house: House) -> None:
    tim = house.person("tim")
    house.person("uma")
    job = house.job(tim, "R-1")
    one, other = house.browser("tim"), house.browser("uma")
    one.post("/units", {"units": "si", "back": "/"})
    one.post("/yours", {"technician": "Tim the Second", "language": "es"})
    assert 'lang="es"' in one.get("/").text
    assert "°C · L/s" in one.get("/").text
    assert 'lang="en"' in other.get("/").text
    assert "°C · L/s" not in other.get("/").text
    assert "Tim the Second" not in other.get("/yours").text
    assert 'value="Uma"' in other.get("/yours").text
    assert one.get(f"/jobs/{job}").status_code == 200


def test_equipment_of_all_jobs_is_changed_by_reviewers_alone(house: House) -> None:
    house.person("tim")
    seen = SeenJobs(house.shop, Seeing("tim", "Tim", "technician"))
    with pytest.raises(Refused, match="is for reviewers: it changes every job"):
        asyncio.run(seen.put_file("kit.toml", b"x"))
    reads = SeenJobs(house.shop, Seeing(name="Owner", role="owner", jobs=frozenset({"a"})))
    for entering in (reads.set_setting("units", "si"), reads.add([]), reads.create({}, device="d"), reads.photos.wipe("a", "b")):  # fmt: skip
        with pytest.raises(Refused, match="is not for whoever looks at this"):
            asyncio.run(entering)


def test_who_did_what_is_noted_with_the_change_itself(house: House) -> None:
    tim, _ = house.person("tim"), house.person("rosa", "reviewer")
    job = house.job(tim, "R-1")
    browser = house.browser("tim")
    browser.post(f"/jobs/{job}/facts/unit", {"tag": "R-1a", "once": new_id()})
    browser.get(f"/jobs/{job}/job.json")
    browser.get(f"/jobs/{job}/job.json")
    _, phone = house.device(tim, "Tim's phone")
    sent = change(job, 900, "facts.unit.serves", "hall")
    synced(phone, [sent])
    synced(phone, [sent])
    did = sorted(what for name, what, of in house.trail() if of == job and name == "Tim")
    assert did == ["entered", "entered", "looked at", "took along", "took along"]
    shown = words(house.browser("rosa").get("/trail").text)
    assert "1: put facts.unit.serves (Tim's phone)" in shown
    assert "facts.unit.tag" in shown
    only = words(house.browser("rosa").get("/trail", params={"person": tim}).text)
    assert "Rosa signed in" not in only
    last = asyncio.run(house.jobs.changes(job))
    assert {one.by for one in last if one.path == "facts.unit.tag"} == {"Tim"}


def test_the_trail_is_never_altered_or_deleted() -> None:
    """No statement of the program does more to it than add a row."""
    source = Path(inspect.getfile(Jobs)).parents[1]
    texts = [path.read_text(encoding="utf-8") for path in source.rglob("*.py")]
    assert not any(re.search(r"(update|delete from|drop table)\s+trail\b", one) for one in texts)


def test_looking_is_noted_once_an_hour(house: House) -> None:
    tim = house.person("tim")
    job = house.job(tim, "R-1")
    browser = house.browser("tim")
    for _ in range(3):
        browser.get(f"/jobs/{job}")
    assert house.trail().count(("Tim", "looked at", job)) == 1
    house.clock.on(hours=1)
    browser.get(f"/jobs/{job}")
    assert house.trail().count(("Tim", "looked at", job)) == 2


def test_earlier_rows_of_the_trail_are_reached(house: House, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("ventwright.web.shop.pages.people.AT_ONCE", 2)
    house.person("rosa", "reviewer")
    for number in range(4):
        house.clock.on(minutes=1)
        asyncio.run(house.shop.trail.note(f"did {number}"))
    house.clock.on(minutes=1)
    rosa = house.browser("rosa")
    first = rosa.get("/trail").text
    earlier = re.search(r'href="(/trail\?[^"]+before=[^"]+)"', first)
    assert earlier
    assert "did 3" in first
    second = rosa.get(earlier[1].replace("&amp;", "&")).text
    assert "did 2" in second
    assert "did 3" not in second


def test_the_fleet_is_sorted_and_filtered_without_script(house: House) -> None:
    tim, uma = house.person("tim"), house.person("uma")
    house.person("rosa", "reviewer")
    house.job(tim, "S-1"), house.job(uma, "R-1", "Another Yard"), house.job(None, "T-1")
    rosa = house.browser("rosa")
    page = rosa.get("/fleet", params={"by": "site"}).text
    assert re.findall(r"<b>([RST]-1)</b>", page) == ["R-1", "S-1", "T-1"]
    assert "nobody has it" in words(page)
    assert "not proved" in words(page)
    assert re.findall(r"<b>([RST]-1)</b>", rosa.get("/fleet", params={"who": "Tim"}).text) == ["S-1"]
    only = rosa.get("/fleet", params={"site": "Another Yard", "by": "nonsense"}).text
    assert re.findall(r"<b>([RST]-1)</b>", only) == ["R-1"]
    for by in re.findall(r'href="/fleet\?by=([\w-]+)"', page):
        assert rosa.get("/fleet", params={"by": by}).status_code == 200
    assert re.findall(r"<b>([RST]-1)</b>", house.browser("uma").get("/fleet").text) == ["R-1"]


def test_the_fleet_says_what_logs_showed_and_sorts_by_it(house: House) -> None:
    tim = house.person("tim")
    house.person("rosa", "reviewer")
    house.job(tim, "S-1")
    quiet, loud = house.job(tim, "R-1"), house.job(tim, "T-1")
    for job, count in ((quiet, 0), (loud, 2)):
        asyncio.run(house.jobs.set_setting(found_in(job), {"us": {"findings": [{}] * count}}))
    page = house.browser("rosa").get("/fleet", params={"by": "in-logs"}).text
    assert re.findall(r"<b>([RST]-1)</b>", page) == ["T-1", "R-1", "S-1"]
    assert "2 faults found in logs" in words(page)
    assert words(page).count("nothing found in logs") == 1


def test_the_fleet_says_what_was_not_worked_out_yet(house: House, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("ventwright.web.shop.fleet_line.AT_ONCE", 1)
    house.person("rosa", "reviewer")
    house.job(None, "R-1"), house.job(None, "S-1")
    rosa = house.browser("rosa")
    assert "1 job is not worked out yet" in words(rosa.get("/fleet").text)
    assert "not worked out yet" not in words(rosa.get("/fleet").text)
