"""The pages' words can be translated: one language is whole, another is begun."""

from __future__ import annotations

from collections.abc import Iterator
from importlib.resources import files
from pathlib import Path

import pytest
from tests.web_client import Client, words

from ventwright.web.fact_sections import SECTIONS
from ventwright.web.language import LANGUAGES, chosen, pairs
from ventwright.web.page import STAGES, environment
from ventwright.web.pages.typed_lists import LISTS

pytestmark = pytest.mark.usefixtures("either_database")


def messages() -> Iterator[str]:
    """Yield every text of the pages that can be translated."""
    for template in files("ventwright.web").joinpath("templates").iterdir():
        for _, _, message in environment().extract_translations(template.read_text(encoding="utf-8")):  # type: ignore[attr-defined]
            yield message
    yield from (one.title for one in STAGES)
    yield from (one.title for one in SECTIONS.values())
    yield from (one.title for one in LISTS.values())


@pytest.mark.parametrize("language", [one for one in LANGUAGES if one != "en"])
def test_no_translation_is_of_words_that_are_gone(language: str) -> None:
    assert set(pairs(language)) <= set(messages())


@pytest.mark.parametrize("language", [one for one in LANGUAGES if one != "en"])
def test_a_page_is_shown_in_the_language_that_was_set(tmp_path: Path, language: str) -> None:
    client = Client(tmp_path)
    client.set("language", language)
    answer = client.get("/new")
    assert f'<html lang="{language}">' in answer.text
    assert pairs(language)["New job"] in words(answer.text)


def test_without_a_setting_the_browser_is_asked(tmp_path: Path) -> None:
    client = Client(tmp_path)
    assert (
        '<html lang="es">'
        in client.get("/", headers={"accept-language": "fr;q=0.4, es-MX;q=0.9, en;q=0.8"}).text
    )
    assert '<html lang="en">' in client.get("/", headers={"accept-language": "fr"}).text


@pytest.mark.parametrize(
    ("setting", "accepted", "language"),
    [
        ("es", "en", "es"),
        ("xx", "es", "es"),
        (None, "", "en"),
        (None, "es;q=x, en", "en"),
        (7, "en;q=0.1,es", "es"),
    ],
)
def test_which_language(setting: object, accepted: str, language: str) -> None:
    assert chosen(setting, accepted) == language
