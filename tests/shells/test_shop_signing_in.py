"""Signing in: invitations, passwords, sessions that end, devices that are lost, and how often anything may be tried."""

from __future__ import annotations

import asyncio
import re
import sys
from pathlib import Path

import pytest
from tests.shells.shop_people import PASSWORD, Browser, House, link_in
from tests.web_client import Client, words

from ventwright import cli
from ventwright.errors import Refused
from ventwright.web.shop import passwords
from ventwright.web.shop.limits import SIGN_INS_FROM_ADDRESS, SIGN_INS_OF_ACCOUNT, WRONG_SECRETS
from ventwright.web.shop.pages.signing_in import NOT_KNOWN
from ventwright.web.shop.passwords import fits, hash_of, is_outdated, refuse_weak

NEW = "copper river lantern nine"

pytestmark = pytest.mark.usefixtures("either_database")


@pytest.fixture
def house(tmp_path: Path) -> House:
    return House(tmp_path)


def signs_in(browser: Browser, login: str, password: str = PASSWORD) -> int:
    return browser.post("/sign-in", {"login": login, "password": password}).status_code


def test_without_a_shop_there_is_no_account_and_no_cookie(tmp_path: Path) -> None:
    client = Client(tmp_path)
    for path in ("/", "/new", "/share", "/yours"):
        answer = client.get(path)
        assert answer.status_code == 200
        assert "set-cookie" not in answer.headers
        assert "/account" not in answer.text
    for path in ("/sign-in", "/account", "/people", "/fleet", "/openapi.json", "/api/jobs"):
        assert client.get(path).status_code == 404
    assert client.post("/sync", headers={"authorization": "Bearer x", "origin": "http://elsewhere.example"}).status_code == 403  # fmt: skip


def test_the_page_that_was_asked_for_comes_after_signing_in(house: House) -> None:
    tim = house.person("tim")
    job = house.job(tim, "R-1")
    browser = house.browser()
    asked = browser.get(f"/jobs/{job}/plan")
    assert asked.status_code == 401
    assert f'value="/jobs/{job}/plan"' in asked.text
    answer = browser.post(
        "/sign-in", {"login": "TIM ", "password": PASSWORD, "following": f"/jobs/{job}/plan"}
    )
    assert answer.url.path == f"/jobs/{job}/plan"
    assert answer.status_code == 200


@pytest.mark.parametrize(
    "path", ["//elsewhere.example", "https://elsewhere.example", "/\\elsewhere.example", "/\t/x"]
)
def test_signing_in_leads_to_no_other_site(house: House, path: str) -> None:
    house.person("tim")
    answer = house.browser().post(
        "/sign-in", {"login": "tim", "password": PASSWORD, "following": path}, follow=False
    )
    assert answer.headers["location"] == "/"


def test_a_wrong_password_and_an_unknown_name_are_told_the_same(house: House) -> None:
    house.person("tim")
    answers = [house.browser().post("/sign-in", {"login": login, "password": "wrong wrong wrong"}) for login in ("tim", "nobody")]  # fmt: skip
    assert {one.status_code for one in answers} == {422}
    said = {words(one.text) for one in answers}
    assert len(said) == 1
    assert NOT_KNOWN in said.pop()
    assert PASSWORD not in answers[0].text


def test_a_form_of_another_site_signs_nobody_in(house: House) -> None:
    house.person("tim")
    stranger = Browser(house, headers={"origin": "http://elsewhere.example"})
    assert signs_in(stranger, "tim") == 403


def test_the_cookie_is_out_of_reach_of_scripts_and_other_sites(house: House) -> None:
    house.person("tim")
    given = {"login": "tim", "password": PASSWORD}
    plain = house.browser().post("/sign-in", given, follow=False).headers["set-cookie"]
    assert re.fullmatch(r"ventwright=[\w-]{43}; HttpOnly; Max-Age=2592000; Path=/; SameSite=lax", plain)
    safe = Browser(house, headers={"origin": "https://localhost"}, base="https://localhost")
    answer = safe.post("/sign-in", given, follow=False)
    assert re.fullmatch(
        r"__Host-ventwright=[\w-]{43}; HttpOnly; Max-Age=2592000; Path=/; SameSite=lax; Secure",
        answer.headers["set-cookie"],
    )
    assert answer.headers["strict-transport-security"] == "max-age=31536000"


def test_only_hashes_are_kept(house: House) -> None:
    house.person("tim")
    browser = house.browser("tim")
    secret = browser.cookies["ventwright"]

    async def everything() -> str:
        rows = [
            await house.shop.statements.rows(f"select * from {one}")  # noqa: S608 - names of our own
            for one in ("person", "token", "trail")
        ]
        return str(rows)

    kept = asyncio.run(everything())
    assert secret not in kept
    assert PASSWORD not in kept
    assert "$argon2id$" in kept


def test_signing_in_makes_a_new_session_and_ends_the_one_before(house: House) -> None:
    house.person("tim")
    browser = house.browser("tim")
    first = browser.cookies["ventwright"]
    assert signs_in(browser, "tim") == 200
    assert browser.cookies["ventwright"] != first
    old = house.browser()
    old.cookies.set("ventwright", first)
    assert old.get("/").status_code == 401


def test_a_session_ends_when_it_was_not_used_and_at_last_anyway(house: House) -> None:
    house.person("tim")
    idle, used = house.browser("tim"), house.browser("tim")
    for _ in range(29):
        house.clock.on(days=1)
        assert used.get("/account").status_code == 200
    assert idle.get("/").status_code == 401
    house.clock.on(days=1.1)
    assert used.get("/").status_code == 401


def test_sessions_are_listed_and_ended(house: House) -> None:
    house.person("tim")
    one, other = house.browser("tim"), house.browser("tim")
    page = one.get("/account").text
    assert "this one" in page
    ended = re.search(r'name="which" value="(\w{32})"', page)
    assert ended
    one.post("/account/session", {"which": ended[1]})
    assert other.get("/").status_code == 401
    third = house.browser("tim")
    one.post("/account/session", {"which": "others"})
    assert third.get("/").status_code == 401
    assert one.get("/").status_code == 200
    assert one.post("/sign-out").status_code == 200
    assert one.get("/").status_code == 401


def test_nobody_ends_the_session_or_device_of_another(house: House) -> None:
    tim = house.person("tim")
    house.person("uma")
    device, phone = house.device(tim)
    browser, stranger = house.browser("tim"), house.browser("uma")
    [session] = asyncio.run(house.shop.tokens.of("session", tim))
    stranger.post("/account/session", {"which": session.id})
    stranger.post("/account/device", {"end": device})
    assert browser.get("/").status_code == 200
    assert phone.get("/api/jobs").status_code == 200


def test_an_invitation_makes_one_account(house: House) -> None:
    house.person("rosa", "reviewer")
    link = link_in(
        house.browser("rosa").post("/people", {"label": "new one", "role": "technician"}).text, "invitation"
    )
    new = house.browser()
    assert "You were invited as technician." in words(new.get(link).text)
    given = {"name": "Vic Lindqvist", "login": "vic", "password": NEW, "again": NEW}
    assert new.post(link, given).url.path == "/"
    assert "Vic Lindqvist" in new.get("/account").text
    assert house.browser().get(link).status_code == 404
    assert house.browser().post(link, {**given, "login": "wanda"}).status_code == 404
    assert asyncio.run(house.shop.people.called("wanda")) is None


def test_what_is_wrong_in_an_invitation_is_said_and_the_link_stays(house: House) -> None:
    house.person("rosa", "reviewer")
    link = link_in(house.browser("rosa").post("/people", {"role": "technician"}).text, "invitation")
    new = house.browser()
    tries = {
        'Name for signing in: "rosa" is taken; accepted: another name for signing in.': {"login": "rosa"},
        'Name for signing in: "v c" is no name for signing in; accepted: a name without spaces, such as j.rivera or an address for mail.': {"login": "v c"},
        "Password: is too short; accepted: 12 letters or more, such as four words that do not belong together.": {"password": "short", "again": "short"},
        "Once more: is not the same; accepted: the password once more, letter by letter.": {"again": "something else"},
        "Your name: is no name; accepted: a name as it stands in the record, of at most 80 letters.": {"name": ""},
    }  # fmt: skip
    for sentence, given in tries.items():
        answer = new.post(link, {"name": "Vic", "login": "vic", "password": NEW, "again": NEW} | given)
        assert answer.status_code == 422
        assert sentence in words(answer.text)
        assert f'value="{given.get("login", "vic")}"' in answer.text
    assert new.post(link, {"name": "Vic", "login": "vic", "password": NEW, "again": NEW}).status_code == 200


def test_an_invitation_ends_and_can_be_withdrawn(house: House) -> None:
    house.person("rosa", "reviewer")
    rosa = house.browser("rosa")
    first, second = (link_in(rosa.post("/people", {"role": "reviewer"}).text, "invitation") for _ in range(2))
    waiting = re.search(r'name="withdraw" value="(\w{32})"', rosa.get("/people").text)
    assert waiting
    rosa.post("/people", {"withdraw": waiting[1]})
    assert sorted(house.browser().get(one).status_code for one in (first, second)) == [200, 404]
    house.clock.on(days=7.1)
    assert {house.browser().get(one).status_code for one in (first, second)} == {404}


def test_a_new_password_by_link_ends_what_was_before(house: House) -> None:
    tim = house.person("tim")
    house.person("rosa", "reviewer")
    old, (_, phone) = house.browser("tim"), house.device(tim)
    link = link_in(house.browser("rosa").post(f"/people/{tim}", {"do": "new password"}).text, "invitation")
    new = house.browser()
    assert "A new password" in words(new.get(link).text)
    assert new.post(link, {"login": "someone.else", "password": NEW, "again": NEW}).status_code == 200
    assert old.get("/").status_code == 401
    assert phone.get("/api/jobs").status_code == 401
    assert signs_in(house.browser(), "tim") == 422
    assert signs_in(house.browser(), "tim", NEW) == 200


def test_a_changed_password_ends_the_other_sessions(house: House) -> None:
    house.person("tim")
    one, other = house.browser("tim"), house.browser("tim")
    given = {"present": PASSWORD, "password": NEW, "again": NEW}
    wrong = one.post("/account/password", given | {"present": "not this one"})
    assert "Present password: is not the present password; accepted: the one with which you signed in." in words(wrong.text)  # fmt: skip
    assert other.get("/").status_code == 200
    assert one.post("/account/password", given).url.path == "/account"
    assert (one.get("/").status_code, other.get("/").status_code) == (200, 401)
    assert signs_in(house.browser(), "tim", NEW) == 200


def test_a_role_is_changed_at_once_and_somebody_is_left_to_review(house: House) -> None:
    tim, rosa = house.person("tim"), house.person("rosa", "reviewer")
    browser, reviewer = house.browser("tim"), house.browser("rosa")
    for change in ({"do": "end"}, {"do": "role", "role": "technician"}):
        answer = reviewer.post(f"/people/{rosa}", change)
        assert answer.status_code == 422
        assert "nobody would be left to manage accounts; accepted: another reviewer first." in words(
            answer.text
        )
    assert browser.get("/people").status_code == 403
    reviewer.post(f"/people/{tim}", {"do": "role", "role": "reviewer"})
    assert browser.get("/people").status_code == 200
    reviewer.post(f"/people/{tim}", {"do": "end"})
    assert browser.get("/").status_code == 401
    assert signs_in(house.browser(), "tim") == 422
    reviewer.post(f"/people/{tim}", {"do": "begin again"})
    assert browser.get("/").status_code == 401
    assert signs_in(house.browser(), "tim") == 200


def test_a_session_that_begins_while_the_account_ends_opens_nothing(house: House) -> None:
    """The password is looked at for a while; meanwhile a reviewer may end the account."""
    tim = house.person("tim")
    house.person("rosa", "reviewer")
    house.browser("rosa").post(f"/people/{tim}", {"do": "end"})
    _, late = asyncio.run(house.shop.tokens.give("session", tim, made_by=tim))
    browser = house.browser()
    browser.cookies.set("ventwright", late)
    assert browser.get("/").status_code == 401
    assert house.device(tim)[1].get("/api/jobs").status_code == 401


def test_a_lost_phone_gets_nothing_any_more_and_its_session_ends_too(house: House) -> None:
    house.person("tim")
    phone = house.browser("tim")
    phone.post("/account/device", {"label": "my phone", "for": "phone"})
    message = {"protocol": 1, "store": "", "mark": [0, ""], "changes": []}
    assert phone.ask("POST", "/sync", json=message).status_code == 200
    elsewhere = house.browser("tim")
    ended = re.search(r'name="end" value="(\w{32})"', elsewhere.get("/account").text)
    assert ended
    elsewhere.post("/account/device", {"end": ended[1]})
    refused = phone.ask("POST", "/sync", json=message)
    assert refused.status_code == 401
    assert refused.json()["problem"].startswith("This device may not share here (any more)")
    assert phone.get("/").status_code == 401
    assert elsewhere.get("/").status_code == 200


def test_the_cookie_of_a_device_is_good_for_sharing_alone(house: House) -> None:
    house.person("tim")
    phone = house.browser("tim")
    answer = phone.post("/account/device", {"label": "my phone", "for": "phone"}, follow=False)
    assert "Path=/sync" in answer.headers["set-cookie"]
    secret = re.search(r"ventwright-device=([\w-]+)", answer.headers["set-cookie"])
    assert secret
    program = Browser(house, headers={"authorization": f"Bearer {secret[1]}"})
    assert program.get("/").status_code == 401
    assert program.get("/account").status_code == 401
    assert program.get("/api/jobs").status_code == 200


def test_too_many_tries_wait(house: House) -> None:
    house.person("tim")
    house.person("uma")
    codes = [signs_in(house.browser(), "tim", "wrong wrong wrong") for _ in range(SIGN_INS_OF_ACCOUNT + 1)]
    assert codes == [422] * SIGN_INS_OF_ACCOUNT + [429]
    answer = house.browser().post("/sign-in", {"login": "tim", "password": PASSWORD})
    assert answer.status_code == 429
    assert answer.headers["retry-after"] == "900"
    assert signs_in(house.browser(), "uma") == 200
    house.clock.on(minutes=15)
    assert signs_in(house.browser(), "tim") == 200


def test_an_address_waits_too_and_another_does_not(house: House, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("ventwright.web.shop.limits.SIGN_INS_FROM_ADDRESS", 5)
    assert SIGN_INS_FROM_ADDRESS > 20
    house.person("tim")
    assert [signs_in(house.browser(), f"one{number}") for number in range(6)] == [422] * 5 + [429]
    assert signs_in(house.browser(), "tim") == 429
    house.address = "198.51.100.7"
    assert signs_in(house.browser(), "tim") == 200


def test_addresses_of_one_customer_count_as_one(house: House, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("ventwright.web.shop.limits.SIGN_INS_FROM_ADDRESS", 3)
    codes = []
    for number in range(4):
        house.address = f"2001:db8::{number}"
        codes.append(signs_in(house.browser(), f"one{number}"))
    assert codes == [422, 422, 422, 429]


def test_guessing_links_waits_and_a_good_one_still_opens(house: House) -> None:
    house.person("tim")
    browser = house.browser("tim")
    link = house.owner(house.job(None, "R-1"))
    guessed = [
        house.browser().get(f"/owner/guess{number}").status_code for number in range(WRONG_SECRETS + 1)
    ]
    assert guessed == [404] * WRONG_SECRETS + [429]
    assert house.browser().get(link).status_code == 200
    assert browser.get("/account").status_code == 200


def test_an_ended_session_is_not_taken_for_guessing(house: House) -> None:
    house.person("tim")
    browser = house.browser("tim")
    house.clock.on(days=40)
    assert {browser.get("/account").status_code for _ in range(WRONG_SECRETS + 2)} == {401}


@pytest.mark.parametrize(
    "password", ["elevenletrs", "aaaaaaaaaaaaaaaa", "j.rivera@shop.example", "x" * 201, "rivera rivera"]
)
def test_passwords_that_are_none(password: str) -> None:
    with pytest.raises(Refused):
        refuse_weak(password, login="j.rivera@shop.example", name="Rivera Rivera")


def test_a_hash_of_other_costs_is_made_anew(house: House) -> None:
    from argon2 import PasswordHasher

    cheap = PasswordHasher(time_cost=1, memory_cost=8, parallelism=1).hash(PASSWORD)
    assert is_outdated(cheap)
    assert fits(cheap, PASSWORD)
    assert not fits(cheap, f"{PASSWORD} ")
    assert not fits("", PASSWORD)
    assert not fits("no hash", PASSWORD)
    assert not is_outdated(hash_of(PASSWORD))
    tim = house.person("tim")

    async def with_cheap() -> None:
        async with house.shop.statements.writing() as run:
            await house.shop.people.set_password(run, tim, cheap)

    asyncio.run(with_cheap())
    house.browser("tim")
    person = asyncio.run(house.shop.people.person(tim))
    assert person
    assert not is_outdated(person.password)


def test_without_the_package_one_sentence_says_what_is_lacking(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setitem(sys.modules, "argon2", None)
    passwords._hasher.cache_clear()
    try:
        code = cli.main(["serve", "--shop", "--port", "0", "--data", str(tmp_path)])
    finally:
        passwords._hasher.cache_clear()
    assert code == cli.REFUSED
    assert (
        "the package that hashes passwords is not installed; accepted: the extra `shop`"
        in capsys.readouterr().err
    )
