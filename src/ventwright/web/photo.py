"""A photo on its way in: turned upright, reduced, and rid of everything that is not the picture, such as the place.

The browser reduces first, so that less travels; here it is done again, for whoever comes without its script. Where no
reader of pictures is installed, as on a phone that serves itself, a photo that is small and upright already is taken.
"""

from __future__ import annotations

import io
import warnings
from typing import TYPE_CHECKING

from ventwright.errors import Refusal, Refused
from ventwright.store.photos import Picture
from ventwright.web.jpeg import orientation_of, size_of, stripped

if TYPE_CHECKING:
    from PIL.Image import Image

LONGEST_SIDE, SMALL_SIDE, PAPER_SIDE = 1600, 320, 900
"""Pixels of a photo as it is kept, in a list, and on paper, where four stand on a page; our own assumption: at 1600 the
smallest print of a nameplate that fills the picture can be read."""

QUALITY, SMALL_QUALITY = 80, 65

LARGEST = 20_000_000
"""Bytes of a photo as it arrives; our own assumption."""

MOST_PIXELS, MOST_UNREDUCED = 64_000_000, 25_000_000
"""Pixels of a JPEG, which is unpacked at a fraction of its size, and of a photo that has to be unpacked whole: more are
not (our own assumption; phones take 12 to 50 million)."""

FORMATS = ("JPEG", "PNG", "WEBP")

TWO_PICTURES = "MPO"
"""A JPEG with a second picture behind the first, as some phones write it; it does not move."""

ACCEPTED = "a photo as JPEG, PNG or WebP"

NOT_READ = (b"heic", b"heix", b"hevc", b"heim", b"heis", b"mif1", b"msf1", b"avif", b"avis")
"""Brands of the ISO base media file format (ISO/IEC 14496-12 and 23008-12, from memory) that cameras write."""


def taken_in(content: bytes) -> Picture:
    """Return a photo as it is kept.

    Raises
    ------
    Refused
        It is no photo, broken, moving, too large, or in a form that is not read here.
    """
    _refuse_unread(content)
    try:
        from PIL import Image  # noqa: F401 - only whether there is one
    except ImportError:
        return _as_it_is(content)
    return _reduced(content)


def on_paper(picture: Picture) -> bytes:
    """Return a picture as small as paper needs it; as it is kept where no reader of pictures is installed."""
    try:
        from PIL import Image
    except ImportError:
        return picture.content
    with Image.open(io.BytesIO(picture.content)) as image:
        return _written(image.convert("RGB"), PAPER_SIDE, QUALITY)[0]


def _refuse_unread(content: bytes) -> None:
    if not content:
        raise Refused(Refusal("nothing was given", ACCEPTED, "photo"))
    if len(content) > LARGEST:
        raise Refused(Refusal("is too large", f"a photo of at most {LARGEST // 1_000_000} MB", "photo"))
    if content[4:8] == b"ftyp" and content[8:12] in NOT_READ:
        accepted = "the same photo as JPEG: taken anew in this page, or saved as JPEG on the phone first"
        raise Refused(Refusal("is in a form that is not read here (HEIC or AVIF)", accepted, "photo"))


def _as_it_is(content: bytes) -> Picture:
    """Take a JPEG that the browser has reduced already."""
    width, height = size_of(content)
    if max(width, height) > LONGEST_SIDE or orientation_of(content) != 1:
        accepted = (
            f"one of at most {LONGEST_SIDE} pixels that stands upright, as the page makes it of any photo"
        )
        raise Refused(Refusal("cannot be reduced or turned here", accepted, "photo"))
    picture = stripped(content)
    return Picture(picture, picture, width, height)


def _reduced(content: bytes) -> Picture:
    from PIL import Image, UnidentifiedImageError

    try:
        with _opened(content) as image:
            _refuse_odd(image)
            upright = _upright(image)
            picture, width, height = _written(upright, LONGEST_SIDE, QUALITY)
            small, _, _ = _written(upright, SMALL_SIDE, SMALL_QUALITY)
    except Refused:
        raise
    except (Image.DecompressionBombError, Image.DecompressionBombWarning):
        raise _too_many_pixels() from None
    except UnidentifiedImageError:
        raise Refused(Refusal("is no photo", ACCEPTED, "photo")) from None
    except Exception:  # noqa: BLE001 - a reader of pictures may fail in any way on a file made to make it fail
        accepted = "the photo once more, taken or sent anew"
        raise Refused(Refusal("breaks off or is damaged", accepted, "photo")) from None
    return Picture(picture, small, width, height)


def _opened(content: bytes) -> Image:
    """Read the head of a picture; its warning of one that would fill the memory is an error here."""
    from PIL import Image

    with warnings.catch_warnings():
        warnings.simplefilter("error", Image.DecompressionBombWarning)
        return Image.open(io.BytesIO(content), formats=FORMATS)


def _too_many_pixels(most: int = MOST_PIXELS) -> Refused:
    accepted = f"a photo of at most {most // 1_000_000} million pixels"
    return Refused(Refusal("has too many pixels", accepted, "photo"))


def _refuse_odd(image: Image) -> None:
    most = MOST_PIXELS if image.format in {"JPEG", TWO_PICTURES} else MOST_UNREDUCED
    if image.width * image.height > most:
        raise _too_many_pixels(most)
    if image.format != TWO_PICTURES and getattr(image, "is_animated", False):
        raise Refused(Refusal("moves", "a photo that stands still", "photo"))


def _upright(image: Image) -> Image:
    """Unpack a picture no larger than needed, turn it by its orientation, and put what is transparent on white."""
    from PIL import Image as Pictures
    from PIL import ImageOps

    image.draft("RGB", (LONGEST_SIDE, LONGEST_SIDE))  # a JPEG is unpacked at a half, a quarter or an eighth
    turned = ImageOps.exif_transpose(image)
    turned.thumbnail((LONGEST_SIDE, LONGEST_SIDE))
    if turned.has_transparency_data:
        paper = Pictures.new("RGB", turned.size, "white")
        over = turned.convert("RGBA")
        paper.paste(over, mask=over)
        return paper
    return turned.convert("RGB")


def _written(image: Image, side: int, quality: int) -> tuple[bytes, int, int]:
    """Write a picture as JPEG with no side longer than some pixels, and nothing in it but the picture."""
    reduced = image.copy()
    reduced.thumbnail((side, side))
    held = io.BytesIO()
    reduced.save(held, "JPEG", quality=quality, optimize=True, progressive=False)
    return stripped(held.getvalue()), *reduced.size
