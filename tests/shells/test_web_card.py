"""A job begun from the code on a unit's card: as text, and from a photo of it."""

from __future__ import annotations

import io
from pathlib import Path

import pytest
import segno
from PIL import Image
from tests.web_client import DEMO, Client, words

from ventwright.job import subject_of, work
from ventwright.record.card_code import card_text
from ventwright.store import load

pytestmark = pytest.mark.usefixtures("either_database")

SHIPPED = Path(__file__).parents[2] / "src/ventwright/cli/demo_job/larkspur-row-r-2.yaml"


@pytest.fixture(scope="module")
def card() -> str:
    kept = load(SHIPPED)
    return card_text(subject_of(work(kept.job, kept.beside)))


@pytest.fixture
def client(tmp_path: Path) -> Client:
    return Client(tmp_path)


def test_a_card_opens_its_job_where_it_is_here(client: Client, card: str) -> None:
    client.with_demo()
    assert client.post("/bring", {"once": "a" * 32, "text": card}).url.path == f"/jobs/{DEMO}"


def test_a_card_begins_a_job_elsewhere(client: Client, card: str) -> None:
    answer = client.post("/bring", {"once": "a" * 32, "text": card})
    facts = client.document(answer.url.path.split("/")[2])["facts"]
    assert facts["site"]["name"] == "Larkspur Row"
    assert facts["unit"]["tag"] == "R-2"
    assert facts["kit"] == "two-speed-dry-bulb"
    assert facts["as_found"]["settings"]["Mixed-air target"] == "53 F"
    assert facts["ventilation"]["drawn"]["cooling"] == "1116 cfm"


def test_a_photo_of_the_code_is_read(client: Client, card: str) -> None:
    drawn = io.BytesIO()
    segno.make(card, micro=False).save(drawn, kind="png", scale=6, border=6)
    photo = io.BytesIO()
    Image.open(drawn).convert("RGB").rotate(7, expand=True, fillcolor="white").save(photo, "JPEG", quality=70)
    answer = client.post("/bring", {"once": "a" * 32}, files={"photo": ("card.jpg", photo.getvalue())})
    assert answer.url.path == f"/jobs/{'a' * 32}"


@pytest.mark.parametrize(
    ("photo", "sentence"),
    [(b"nothing", "photo: is no photo"), (b"", "nothing was given")],
)
def test_what_is_no_photo_is_refused(client: Client, photo: bytes, sentence: str) -> None:
    answer = client.post("/bring", {"once": "a" * 32}, files={"photo": ("x.jpg", photo)})
    assert answer.status_code == 422
    assert sentence in words(answer.text)


def test_a_photo_without_a_code_is_refused(client: Client) -> None:
    photo = io.BytesIO()
    Image.new("RGB", (200, 200), "white").save(photo, "PNG")
    answer = client.post("/bring", {"once": "a" * 32}, files={"photo": ("x.png", photo.getvalue())})
    assert answer.status_code == 422
    assert "shows no code that can be read" in words(answer.text)


def test_a_card_of_a_kit_that_nobody_has_is_refused(client: Client) -> None:
    text = "Ventwright card 1\nunit R-1\nsite Nowhere\nset Something odd = 3 F"
    answer = client.post("/bring", {"once": "a" * 32, "text": text})
    assert answer.status_code == 422
    assert "names settings that no kit on the shelf has" in words(answer.text)
