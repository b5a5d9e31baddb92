"""Photos of a job: taken in at any step, turned, reduced, rid of the place where they were taken, shown and taken out."""

from __future__ import annotations

import asyncio
import io
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest
from PIL import Image
from PIL.ExifTags import GPS, IFD, Base
from tests.web_client import DEMO, Client, once, words

from ventwright.errors import Refused
from ventwright.web.jpeg import COMMENT, EXIF, orientation_of, segments, size_of, stripped
from ventwright.web.photo import LONGEST_SIDE, on_paper, taken_in

pytestmark = pytest.mark.usefixtures("either_database")

PLACE = b"Larkspur Row, hatch at the back"


@pytest.fixture
def client(tmp_path: Path) -> Iterator[Client]:
    """The app with the invented demo job."""
    made = Client(tmp_path)
    made.with_demo()
    yield made
    made.jobs.close()


def scene(width: int, height: int) -> Image.Image:
    """A picture whose upper left quarter is red and whose lower right one is blue."""
    image = Image.new("RGB", (width, height), "white")
    image.paste("red", (0, 0, width // 2, height // 2))
    image.paste("blue", (width // 2, height // 2, width, height))
    return image


def photo(width: int = 400, height: int = 300, *, turned: int = 1, format_: str = "JPEG") -> bytes:
    """A photo as a phone writes it: with the place, a remark, and how it is to be turned."""
    exif = Image.Exif()
    exif[Base.Orientation] = turned
    exif[Base.Model] = "invented phone"
    exif.get_ifd(IFD.GPSInfo)[GPS.GPSLatitude] = (37.0, 46.0, 12.5)
    held = io.BytesIO()
    image = scene(width, height)
    if format_ == "JPEG":
        image.save(held, format_, exif=exif, comment=PLACE, quality=92)
    else:
        image.save(held, format_)
    return held.getvalue()


def send(client: Client, content: bytes, name: str = "a.jpg", **more: str) -> tuple[int, str]:
    """Send a photo as the page does and return the answer."""
    files = {"chosen": (name, content, "image/jpeg")}
    answer = client.post(f"/jobs/{DEMO}/photos", {"once": "f" * 32, **more}, files=files)
    return answer.status_code, answer.text


def said(client: Client) -> list[dict[str, str]]:
    """What the job says of its photos."""
    held: list[dict[str, str]] = client.document(DEMO)["readings"].get("photos", [])
    return held


def kept(client: Client, number: int = 0) -> bytes:
    """The picture that is kept."""
    found = asyncio.run(client.jobs.photos.picture(DEMO, said(client)[number]["id"]))
    assert found is not None
    return found.content


def sentence(content: bytes) -> str:
    """Why a photo is refused."""
    with pytest.raises(Refused) as refused:
        taken_in(content)
    return refused.value.refusals[0].sentence


# taking in


@pytest.mark.parametrize("turned", range(1, 9))
def test_a_photo_is_turned_upright_whatever_its_orientation(turned: int) -> None:
    """Pillow lays a picture down as each orientation says; taken in, it stands as it was seen."""
    from PIL.ImageOps import exif_transpose

    content = photo(turned=turned)
    with Image.open(io.BytesIO(content)) as laid:
        upright = exif_transpose(laid)
    picture = taken_in(content)
    with Image.open(io.BytesIO(picture.content)) as image:
        assert image.size == upright.size == (picture.width, picture.height)
        for x, y in ((0.2, 0.2), (0.8, 0.8), (0.2, 0.8), (0.8, 0.2)):
            at = int(x * image.width), int(y * image.height)
            pair = zip(image.convert("RGB").getpixel(at), upright.convert("RGB").getpixel(at), strict=True)  # type: ignore[arg-type]
            assert all(abs(one - other) < 12 for one, other in pair)
        assert not image.getexif()


def test_twelve_million_pixels_become_a_small_picture_without_the_place() -> None:
    """4000 by 3000, with the place and a remark in it; nothing of either is left."""
    content = photo(4000, 3000)
    picture = taken_in(content)
    assert (picture.width, picture.height) == (LONGEST_SIDE, 1200)
    assert len(picture.content) < 500_000
    assert len(picture.small) < 30_000
    for held in (picture.content, picture.small):
        assert PLACE not in held
        assert b"Exif" not in held
        assert b"invented phone" not in held
        with Image.open(io.BytesIO(held)) as image:
            assert not image.getexif()
    assert PLACE in content
    assert b"invented phone" in content


@pytest.mark.parametrize("format_", ["PNG", "WEBP"])
def test_other_forms_are_taken_too(format_: str) -> None:
    """A picture of a screen, say."""
    picture = taken_in(photo(format_=format_))
    assert size_of(picture.content) == (400, 300)


def test_what_is_transparent_lies_on_white() -> None:
    """A picture with nothing in it is white, not black."""
    held = io.BytesIO()
    Image.new("RGBA", (60, 40), (0, 0, 0, 0)).save(held, "PNG")
    with Image.open(io.BytesIO(taken_in(held.getvalue()).content)) as image:
        assert image.convert("RGB").getpixel((30, 20)) == (255, 255, 255)


def test_a_small_picture_is_not_made_larger() -> None:
    """There is nothing to gain."""
    assert taken_in(photo(120, 90)).width == 120


def moving() -> bytes:
    """An animated PNG."""
    held = io.BytesIO()
    Image.new("RGB", (9, 9)).save(held, "PNG", save_all=True, append_images=[Image.new("RGB", (9, 9), "red")])
    return held.getvalue()


def endless(width: int, height: int) -> bytes:
    """A PNG of a few kilobytes that unpacks to more than it may."""
    held = io.BytesIO()
    Image.new("1", (width, height)).save(held, "PNG")
    return held.getvalue()


REFUSED = [
    (b"", "nothing was given; accepted: a photo as JPEG, PNG or WebP."),
    (b"no photo at all", "photo: is no photo; accepted: a photo as JPEG, PNG or WebP."),
    (b"\xff\xd8\xff", "photo: is no photo; accepted: a photo as JPEG, PNG or WebP."),
    (photo()[:3000], "photo: breaks off or is damaged; accepted: the photo once more, taken or sent anew."),
    (
        b"\0\0\0\x18ftypheic" + bytes(400),
        "photo: is in a form that is not read here (HEIC or AVIF); accepted: the same photo as JPEG: taken anew in this page, or saved as JPEG on the phone first.",
    ),
    (moving(), "photo: moves; accepted: a photo that stands still."),
    (endless(12_000, 9_000), "photo: has too many pixels; accepted: a photo of at most 64 million pixels."),
    (endless(6_000, 5_000), "photo: has too many pixels; accepted: a photo of at most 25 million pixels."),
    (bytes(20_000_001), "photo: is too large; accepted: a photo of at most 20 MB."),
]


@pytest.mark.parametrize(("content", "why"), REFUSED, ids=[str(number) for number in range(len(REFUSED))])
def test_what_is_no_photo_is_refused_in_a_sentence(content: bytes, why: str) -> None:
    """What is wrong, and what to do."""
    assert sentence(content).lower() in {why.lower(), f"photo: {why}".lower()}


def test_whatever_is_changed_in_a_photo_it_is_taken_or_refused() -> None:
    """A thousand letters at random places: a picture, or a sentence, with and without a reader of pictures."""
    from random import Random

    from ventwright.web.photo import _as_it_is

    content, random = photo(64, 48), Random(4)  # noqa: S311 - damage, not secrets
    outcomes, sentences = set(), []
    for _ in range(500):
        broken = bytearray(content)
        for _ in range(random.randint(1, 8)):
            broken[random.randrange(len(broken))] = random.randrange(256)
        for taking in (taken_in, _as_it_is):
            try:
                taking(bytes(broken))
                outcomes.add("taken")
            except Refused as refused:
                sentences.append(refused.refusals[0].sentence)
                outcomes.add("refused")
    assert outcomes == {"taken", "refused"}
    assert all(one.startswith("photo: ") and "; accepted: " in one for one in sentences)


# segments


def test_stripping_leaves_the_picture_as_it_is() -> None:
    """Pixel for pixel; what was written beside it, between it and behind its end is gone."""
    content = photo() + b"a film of ten megabytes, with the place"
    bare = stripped(content)
    assert not {one.marker for one in segments(bare)} & {COMMENT, EXIF}
    assert b"film" not in bare
    with Image.open(io.BytesIO(content)) as before, Image.open(io.BytesIO(bare)) as after:
        assert before.convert("RGB").tobytes() == after.convert("RGB").tobytes()


def test_a_picture_in_several_scans_is_kept_whole() -> None:
    """A progressive JPEG has tables between its scans; four inks need one application segment."""
    for mode, progressive in (("RGB", True), ("CMYK", False)):
        held = io.BytesIO()
        scene(200, 150).convert(mode).save(held, "JPEG", progressive=progressive, comment=PLACE)
        bare = stripped(held.getvalue())
        assert PLACE not in bare
        with Image.open(io.BytesIO(held.getvalue())) as before, Image.open(io.BytesIO(bare)) as after:
            assert before.tobytes() == after.tobytes()


def test_stripping_breaks_off_where_the_file_does() -> None:
    """Every length of a cut file gives a sentence and nothing else."""
    content = photo(40, 30)
    for length in range(len(content) - 2):
        with pytest.raises(Refused):
            stripped(content[:length])


@pytest.mark.parametrize("turned", range(1, 9))
def test_the_orientation_is_read(turned: int) -> None:
    """As Pillow writes it."""
    assert orientation_of(photo(turned=turned)) == turned


def test_where_no_reader_of_pictures_is_installed_a_reduced_photo_is_taken_as_it_is(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """On a phone that serves itself; its browser has turned and reduced the photo."""
    content, large, lying = photo(), photo(1700, 900), photo(turned=6)
    monkeypatch.setitem(sys.modules, "PIL", None)
    picture = taken_in(content)
    assert (picture.width, picture.height) == (400, 300)
    assert PLACE not in picture.content
    assert on_paper(picture) == picture.content
    for other in (large, lying):
        assert "cannot be reduced or turned here" in sentence(other)


# pages


def test_a_photo_is_kept_beside_the_job_and_spoken_of_in_it(client: Client) -> None:
    """Metadata go with the changes; the picture does not."""
    page = client.get(f"/jobs/{DEMO}/photos/new?stage=wire&step=steps/1&back=/jobs/{DEMO}/wire").text
    more = {"stage": "wire", "step": "steps/1", "shows": "terminals", "state": "as left", "caption": "all landed", "back": f"/jobs/{DEMO}/wire"}  # fmt: skip
    status, text = send(client, photo(), once=once(page), **more)
    assert status == 200
    (one,) = said(client)
    assert (one["stage"], one["step"], one["shows"], one["state"], one["caption"]) == (
        "wire",
        "steps/1",
        "terminals",
        "as left",
        "all landed",
    )
    assert set(one) <= {"id", "at", "visit", "by", "stage", "step", "shows", "state", "caption"}
    assert f"/photos/{one['id']}/small.jpg" in text  # the wire page itself shows it
    answer = client.get(f"/jobs/{DEMO}/photos/{one['id']}/large.jpg")
    assert answer.headers["content-type"] == "image/jpeg"
    assert "immutable" in answer.headers["cache-control"]
    assert PLACE not in answer.content
    assert client.get(f"/jobs/{DEMO}/photos/{one['id']}/small.jpg").status_code == 200
    gallery = words(client.get(f"/jobs/{DEMO}/photos").text)
    assert "Wire terminals, as left: all landed" in gallery


def test_a_step_shows_its_own_photos_and_the_stage_shows_all(client: Client) -> None:
    """The nameplate does not hang beside the damper."""
    send(client, photo(), stage="facts", step="unit", shows="nameplate")
    name = said(client)[0]["id"]
    assert name in client.get(f"/jobs/{DEMO}/facts/unit").text
    assert name in client.get(f"/jobs/{DEMO}/facts").text
    assert name not in client.get(f"/jobs/{DEMO}/facts/site").text
    assert name not in client.get(f"/jobs/{DEMO}/prove").text


def test_a_form_sent_twice_keeps_one_photo(client: Client) -> None:
    """Out of two of the same there is one."""
    send(client, photo())
    status, text = send(client, photo())
    assert status == 422
    assert "Photo: is with this job already; accepted: another photo." in words(text)
    assert len(said(client)) == 1


def test_a_refused_photo_keeps_what_was_typed(client: Client) -> None:
    """The caption need not be typed again."""
    status, text = send(client, b"x" * 50, caption="blades shut", shows="seals")
    assert status == 422
    assert 'value="blades shut"' in text
    assert "Photo: is no photo; accepted: a photo as JPEG, PNG or WebP." in words(text)
    assert said(client) == []


def test_what_shows_something_unheard_of_is_refused(client: Client) -> None:
    """And no picture stays behind."""
    status, _ = send(client, photo(), shows="a cat")
    assert status == 422
    assert asyncio.run(client.jobs.photos.names(DEMO)) == frozenset()


def test_nothing_chosen_is_said(client: Client) -> None:
    """The form sent as it came."""
    answer = client.post(f"/jobs/{DEMO}/photos", {"once": "e" * 32})
    assert answer.status_code == 422
    assert "nothing was given" in words(answer.text).lower()


def test_a_caption_is_changed_and_a_photo_taken_out_and_brought_back(client: Client) -> None:
    """Taken out, it can still come back; deleted for good, it cannot."""
    send(client, photo(), caption="first")
    name = said(client)[0]["id"]
    client.post(f"/jobs/{DEMO}/photos/{name}", {"once": "1" * 32, "caption": "second", "shows": "hood"})
    assert said(client)[0]["caption"] == "second"
    text = client.post(f"/jobs/{DEMO}/photos/{name}", {"once": "2" * 32, "do": "take out"}).text
    assert said(client) == []
    assert "Taken out" in words(text)
    undo = text.split('name="changes" value="')[1].split('"')[0]
    client.post(f"/jobs/{DEMO}/take-back", {"changes": undo, "once": "3" * 32})
    assert said(client)[0]["caption"] == "second"
    client.post(f"/jobs/{DEMO}/photos/wipe", {"once": "4" * 32, "picture": name})
    assert kept(client)  # it belongs to the job again, and stays
    client.post(f"/jobs/{DEMO}/photos/{name}", {"once": "5" * 32, "do": "take out"})
    client.post(f"/jobs/{DEMO}/photos/wipe", {"once": "6" * 32, "picture": name})
    assert client.get(f"/jobs/{DEMO}/photos/{name}/large.jpg").status_code == 404


def test_a_picture_that_is_elsewhere_is_said_to_be(client: Client) -> None:
    """Another device took it, and only the words came over."""
    send(client, photo())
    name = said(client)[0]["id"]
    asyncio.run(client.jobs.photos.wipe(DEMO, name))
    assert "on another device" in words(client.get(f"/jobs/{DEMO}/photos").text)
    assert "on another device" in words(client.get(f"/jobs/{DEMO}/photos/{name}").text)


def test_the_record_holds_photos_where_that_is_ticked(client: Client) -> None:
    """Not else."""
    send(client, photo(), caption="blades shut tight", shows="outdoor damper", state="as left")
    page = client.get(f"/jobs/{DEMO}/record/page")
    assert "data:image/jpeg" not in page.text
    page = client.get(f"/jobs/{DEMO}/record/page?photos=yes")
    assert "data:image/jpeg" in page.text
    assert "outdoor damper, as left: blades shut tight" in page.text
    assert "img-src data:" in page.headers["content-security-policy"]


def test_the_printed_record_has_four_photos_a_page(client: Client) -> None:
    """Five photos add two pages, and stay small."""
    from pypdf import PdfReader

    for number in range(5):
        send(client, photo(900, 700 + number), once=f"{number}" * 32, caption=f"photo {number}")
    bare = client.get(f"/jobs/{DEMO}/record/record.pdf").content
    full = client.get(f"/jobs/{DEMO}/record/record.pdf?photos=yes").content
    before, after = PdfReader(io.BytesIO(bare)), PdfReader(io.BytesIO(full))
    assert len(after.pages) == len(before.pages) + 2
    assert sum(len(page.images) for page in after.pages) - sum(len(page.images) for page in before.pages) == 5
    assert "photo 4" in "".join(page.extract_text() for page in after.pages)
    assert len(full) - len(bare) < 300_000


def test_a_job_without_photos_says_what_is_worth_one(client: Client) -> None:
    """An empty page is a hint."""
    assert "A nameplate, the blades shut" in words(client.get(f"/jobs/{DEMO}/photos").text)


def test_photos_of_two_devices_are_put_together(client: Client) -> None:
    """What is said of photos merges like readings; the same picture is one."""
    from ventwright.store.exchange import merge
    from ventwright.store.history import Pen

    send(client, photo(), caption="here")
    document = client.document(DEMO)
    other = {**document["readings"]["photos"][0], "id": "ab" * 32, "caption": "there"}
    document["readings"]["photos"] = [*document["readings"]["photos"], other]
    pen = Pen(asyncio.run(client.jobs.history(DEMO)), device="other")
    merge(pen, document)
    asyncio.run(client.jobs.add(pen.changes))
    assert [one["caption"] for one in said(client)] == ["here", "there"]
