"""Whatever is typed, wherever it can be typed: a sentence, what was typed still there, and a job that still opens."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from html import unescape
from urllib.parse import urlsplit

import httpx
import pytest
from tests.browser.crawling import Form, crawl, read
from tests.browser.served import Served

SCRIPT = "<script>alert(1)</script>"
LONG = "long " * 1000

GARBAGE = ("abc", "-999999", "1e400", SCRIPT, "١٢", LONG, "NaN", "")
"""Typed into every field."""

FEW = 3
"""Of them, typed into the fields of one form where not all are asked for: others into those of the next."""

NO_NUMBER = {"abc", "1e400", SCRIPT, LONG, "NaN"}
"""What no field for a number may take."""


def forms_of(client: httpx.Client, start: str, within: str) -> Iterator[Form]:
    """Every form that can be reached and asks something else than those before."""
    known = set()
    for pages in crawl(client, start, within=within).values():
        for page in pages:
            for form in page.forms:
                if form.method == "post" and form.asks not in known and any(one.typed for one in form.fields):
                    known.add(form.asks)
                    yield form


@pytest.fixture
def texts(request: pytest.FixtureRequest) -> Callable[[int], Sequence[str]]:
    """Return what is typed into the form of a number."""
    few = len(GARBAGE) if request.config.getoption("--whole") else FEW

    def chosen(number: int) -> Sequence[str]:
        return [GARBAGE[(number * FEW + one) % len(GARBAGE)] for one in range(few)]

    return chosen


def sent(client: httpx.Client, form: Form, given: dict[str, str]) -> httpx.Response:
    """Send a form as a browser does."""
    action = urlsplit(form.action)
    path = action.path + (f"?{action.query}" if action.query else "")
    if form.enctype == "multipart/form-data":
        return client.post(path, data=given, files={"file": ("", b"")})
    return client.post(path, data=given)


def wrong_with(client: httpx.Client, form: Form, text: str) -> list[str]:
    """Type one text into every field of a form, send it, and return what was wrong with the answer."""
    given = form.sends() | {one.name: text for one in form.fields if one.typed}
    answer = sent(client, form, given)
    while "screen=" in str(answer.url.query):  # a reading of two screens is refused at its end
        form = next(one for one in read(form.page, answer.text).forms if "screen" in one.sends())
        given = form.sends() | {one.name: text for one in form.fields if one.typed}
        answer = sent(client, form, given)
    said = f"{form.page} -> {urlsplit(form.action).path} with {text[:12]!r}: {answer.status_code}"
    if answer.status_code not in {200, 422}:
        return [said]
    if answer.status_code == 200:
        taken = [one.name for one in form.fields if one.number] if text in NO_NUMBER else []
        return [f"{said}, numbers taken: {taken}"] if taken else []
    page = unescape(answer.text)
    wrong = [] if "accepted" in page else [f"{said}, no sentence says what is accepted"]
    again = next((one for one in read(form.page, answer.text).forms if one.asks[0] == form.asks[0]), None)
    if again is None:
        return [*wrong, f"{said}, the form is gone"]
    kept = again.sends()
    lost = [one.name for one in form.fields if one.typed and kept.get(one.name, "").strip() != text.strip()]
    return [*wrong, f"{said}, lost: {lost}"] if lost else wrong


@pytest.mark.parametrize(("kind", "least"), [("done", 25), ("opened", 20), ("empty", 8)])
def test_garbage_is_refused_in_a_sentence_and_kept(
    served: Served, texts: Callable[[int], Sequence[str]], kind: str, least: int
) -> None:
    """Every form of a job, with the same text in every field; then whatever no page offers; then the job opens."""
    client, start = served.client, f"/jobs/{served.job_that_is(kind)}"
    forms = list(forms_of(client, start, start))
    assert len(forms) >= least

    wrong = [
        one
        for number, form in enumerate(forms)
        for text in texts(number)
        for one in wrong_with(client, form, text)
    ]
    wrong += [one for form in forms for one in tampered(client, form)]

    assert wrong == []
    for pages in crawl(client, start, each=1).values():
        for page in pages:
            assert SCRIPT not in client.get(page.path).text, page.path


def tampered(client: httpx.Client, form: Form) -> list[str]:
    """Send what no page offers, in choices and hidden fields too, and return the answer where it is a failure of ours."""
    answer = sent(client, form, {one.name: SCRIPT for one in form.fields if one.name != "once"})
    failed = answer.status_code >= 500
    return [f"{form.page} -> {form.action}: {answer.status_code}"] if failed else []


def test_garbage_is_refused_outside_of_jobs(served: Served) -> None:
    """The forms that belong to no job: a new one, one's own defaults, what the office keeps."""
    client = served.client
    forms = [one for one in forms_of(client, "/", "/") if not one.page.startswith("/jobs/")]
    assert {"/new", "/yours", "/yours/instrument", "/bring"} <= {one.page for one in forms}

    assert [one for form in forms for text in GARBAGE for one in wrong_with(client, form, text)] == []
    assert client.get("/").status_code == 200


def test_a_file_that_is_no_job_is_refused(served: Served) -> None:
    """Pictures, other people's documents, nothing at all."""
    for content in (
        b"\xff\xd8\xff\xe0 a photo",
        b"{}",
        b"[1, 2",
        b"a: [b",
        b"\0",
        b"schema_version: 99",
        b"",
    ):
        answer = served.client.post("/bring", files={"file": ("some.yaml", content)})
        assert answer.status_code == 422
        assert "accepted" in answer.text
