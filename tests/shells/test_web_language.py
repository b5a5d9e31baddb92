"""The pages' words can be translated: one language is whole, another is begun."""

from __future__ import annotations

import re
from collections.abc import Iterator
from importlib.resources import files
from pathlib import Path

import pytest
from tests.web_client import Client, words

from ventwright.tables.caution import cautions
from ventwright.tables.procedure import step_cautions
from ventwright.web.fact_sections import SECTIONS
from ventwright.web.language import LANGUAGES, PAGES_IN, chosen, pairs
from ventwright.web.page import STAGES, environment
from ventwright.web.pages.prove import BEFORE_DISCONNECT, BEFORE_FAN
from ventwright.web.pages.typed_lists import LISTS
from ventwright.web.reading_kinds import KINDS, LABELS

pytestmark = pytest.mark.usefixtures("either_database")

FOUR = {"capacity": "10", "capacity.unit": "ton", "speeds": "2", "place": "Cook, IL", "outdoor": "40", "outdoor.unit": "°F"}  # fmt: skip


def messages() -> Iterator[str]:
    """Yield every text of the pages that can be translated."""
    for template in files("ventwright.web").joinpath("templates").iterdir():
        for _, _, message in environment().extract_translations(template.read_text(encoding="utf-8")):  # type: ignore[attr-defined]
            yield from [message] if isinstance(message, str) else (message or ())[:1]
    yield from (one.title for one in STAGES)
    yield from said_of_readings()
    yield from cautions_said()
    yield from (*BEFORE_DISCONNECT.values(), *BEFORE_FAN.values())
    yield from (one.title for one in SECTIONS.values())
    yield from (one.title for one in LISTS.values())


def cautions_said() -> Iterator[str]:
    """Yield every caution of the plan and of the functional tests."""
    yield from (one.text for one in cautions())
    yield from (one.text for one in step_cautions().values())


def said_of_readings() -> Iterator[str]:
    """Yield what the forms of the readings say."""
    yield from LABELS.values()
    yield "Several points with commas between."
    for kind in KINDS.values():
        yield from (kind.title, kind.lead)


@pytest.mark.parametrize("language", list(PAGES_IN))
def test_the_pages_said_to_be_translated_are(language: str) -> None:
    """Every word of theirs, of the readings, and every caution: what the choice of language says holds."""
    lacking = [one for one in (*said_of_readings(), *cautions_said()) if one not in pairs(language)]  # fmt: skip
    for name in PAGES_IN[language]:
        text = files("ventwright.web").joinpath("templates", f"{name}.html.j2").read_text(encoding="utf-8")
        found = [message for _, _, message in environment().extract_translations(text)]  # type: ignore[attr-defined]
        words_of = [one if isinstance(one, str) else one[0] for one in found if one]
        lacking += [f"{name}: {one}" for one in words_of if one not in pairs(language)]
    assert lacking == []


@pytest.mark.parametrize("language", list(PAGES_IN))
def test_every_value_shown_stays_in_the_words(language: str) -> None:
    """A number, a signal or a label that an English sentence holds is in the translated one too."""
    for english, other in pairs(language).items():
        assert sorted(re.findall(r"%\(\w+\)s", english)) == sorted(re.findall(r"%\(\w+\)s", other)), english


def test_the_choice_of_language_says_how_far_it_goes(tmp_path: Path) -> None:
    """In both languages, with what it stands on: from memory."""
    shown = words(Client(tmp_path).get("/yours").text)
    assert "In Spanish so far: the balance with its readings, every caution" in shown
    assert "The Spanish is from memory" in shown
    assert "En español hasta ahora: equilibrar con sus lecturas, todas las precauciones" in shown


def test_cautions_and_fields_are_in_the_language_that_was_set(tmp_path: Path) -> None:
    """Where a hand goes in: the damper, a reading, a step of the tests."""
    client = Client(tmp_path)
    at = f"/jobs/{client.with_demo()}"
    client.set("language", "es")
    damper = words(client.get(f"{at}/balance/high/set").text)
    assert "manos fuera de aspas, bandas y varillaje" in damper
    assert "keep hands out" not in damper
    reading = words(client.get(f"{at}/balance/high/read/mixed-air").text)
    assert "Aire de retorno" in reading
    assert "Return air" not in reading
    assert "bloquee y etiquete antes de meter la mano" in words(client.get(f"{at}/leave").text)
    assert "ninguna mano en aspas" in words(client.get(f"{at}/prove/stroke.opens").text)
    fresh = client.get(f"/jobs/{client.new(**FOUR)}/prove").text
    first = re.search(r'href="(/jobs/\w+/prove/[\w.]+)"', fresh)
    assert first
    assert "Desconectador" in words(client.get(first[1]).text)


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
