"""Photos chosen in the page: of twelve megapixels and turned, without the place, broken, and no photo at all."""

from __future__ import annotations

import io
from pathlib import Path

import httpx
import pytest
from PIL import Image
from playwright.sync_api import BrowserContext
from tests.browser.looking import Watched
from tests.browser.person import Person
from tests.browser.served import Served
from tests.shells.test_web_photos import PLACE, photo

from ventwright.web.photo import LONGEST_SIDE

LYING_ON_ITS_SIDE = 6
"""How a phone that was held upright lays the picture down (Exif: the first row is the visual right-hand side)."""


def choose(person: Person, job: str, path: Path, caption: str) -> None:
    """Go from the photos of a job to a photo that is chosen and captioned, not kept yet."""
    person.open(f"/jobs/{job}/photos")
    person.taps_on("Add a photo")
    person.types("What is to be seen", caption)
    person.tab.set_input_files("#chosen", path)
    person.tab.wait_for_function("() => !document.querySelector('main button.first').disabled")


def picture_of(served: Served, job: str) -> tuple[bytes, Image.Image]:
    """Return the only picture of a job, as the server has it."""
    (said,) = served.client.get(f"/jobs/{job}/job.json").json()["readings"]["photos"]
    answer = served.client.get(f"/jobs/{job}/photos/{said['id']}/large.jpg")
    assert answer.status_code == httpx.codes.OK
    return answer.content, Image.open(io.BytesIO(answer.content))


def test_twelve_megapixels_turned_and_with_a_place(
    served: Served, context: BrowserContext, tmp_path: Path
) -> None:
    """Reduced before it travels, upright, without the place, and where it was captioned."""
    path = tmp_path / "taken.jpg"
    path.write_bytes(photo(4000, 3000, turned=LYING_ON_ITS_SIDE))
    watched, job = Watched(context), served.new(capacity="10", **{"capacity.unit": "ton"})
    person = Person(watched.tab, served.address)
    choose(person, job, path, "outdoor blades shut tight")
    sent = person.tab.evaluate("() => document.querySelector('#chosen').files[0].size")
    assert sent < 500_000
    assert f"{round(sent / 1000)} kB" in person.words
    person.taps_first()
    content, image = picture_of(served, job)
    assert image.size == (LONGEST_SIDE * 3 // 4, LONGEST_SIDE)
    right, left = ((int(image.width * part), int(image.height * 0.2)) for part in (0.8, 0.2))
    assert [one > 200 for one in image.convert("RGB").getpixel(right)] == [True, False, False]  # type: ignore[union-attr]
    assert min(image.convert("RGB").getpixel(left)) > 200  # type: ignore[arg-type]
    assert not image.getexif()
    assert not any(word in content for word in (PLACE, b"Exif", b"invented phone"))
    shown = person.tab.locator("main .shots img").first
    assert shown.evaluate("(one) => one.decode().then(() => one.naturalHeight > one.naturalWidth)")
    assert "outdoor blades shut tight" in person.words
    assert watched.amiss() == []


@pytest.mark.parametrize("kind", ["broken", "no photo"])
def test_what_is_no_whole_photo_is_refused(
    served: Served, phone: BrowserContext, tmp_path: Path, kind: str
) -> None:
    """With one sentence; the caption is still there, nothing is kept, and a whole one goes through after it."""
    path = tmp_path / "taken.jpg"
    path.write_bytes(b"Minutes of a meeting.\n" * 40 if kind == "no photo" else photo()[:300])
    job = served.new(capacity="10", **{"capacity.unit": "ton"})
    person = Person(phone.new_page(), served.address)
    choose(person, job, path, "seal whole")
    person.taps_first()
    refused = person.tab.inner_text("#refused")
    assert "accepted: " in refused
    assert "Traceback" not in refused
    assert person.tab.get_by_label("What is to be seen").input_value() == "seal whole"
    assert "photos" not in (served.client.get(f"/jobs/{job}/job.json").json().get("readings") or {})
    path.write_bytes(photo())
    person.tab.set_input_files("#chosen", path)
    person.tab.wait_for_function("() => document.querySelector('[data-reduced]').textContent.includes('kB')")
    person.taps_first()
    assert "seal whole" in person.words
    picture_of(served, job)
