"""A job begun from the code on a unit's card: what it was called, what it needs, how it was left."""

from __future__ import annotations

import io
import re
from collections.abc import Iterator
from typing import Any

from ventwright.errors import Refusal, Refused
from ventwright.quantity import System
from ventwright.record.card_reading import AIR, SET, is_card
from ventwright.tables.kit import Kit
from ventwright.tables.shelf import find, names
from ventwright.version import VERSION

INVENTED = " (invented)"

LARGEST_SIDE = 6000
"""Pixels of a photo's side: what phones take, and some room."""


def document_of_card(text: str, system: System, *, job: str) -> dict[str, Any]:
    """Make the document of a new job from the text of a card's code.

    Settings as they were left are taken as they are found until somebody reads them again.

    Parameters
    ----------
    text
        As a phone reads it off the card.
    system
        Units of the new job.
    job
        Id of the new job.

    Raises
    ------
    Refused
        It is no card's code, or no kit on the shelf has its settings.
    """
    if not is_card(text):
        raise Refused(
            Refusal("is no card's code", 'the text on a unit\'s card, which begins "Ventwright card"')
        )
    lines = [line.strip() for line in text.strip("\ufeff \t\r\n").splitlines()]
    settings = {found["label"]: found["value"] for line in lines if (found := SET.fullmatch(line))}
    site = _after("site", lines) or "Site without a name"
    facts: dict[str, Any] = {
        "site": {"name": site.removesuffix(INVENTED)},
        "unit": {"tag": _after("unit", lines) or "Unit without a tag", "fan_speeds": _speeds(lines)},
        "kit": _kit(settings),
    }
    need = _after("need", lines)
    if need and not need.endswith(", assumed"):
        source = f"the unit's card, left {_after('left', lines)}"
        facts["ventilation"] = {"drawn": {"cooling": need, "source": source}}
    if settings:
        facts["as_found"] = {"settings": settings, "condition": ["settings as on the card, not read yet"]}
    kept = {"invented": True} if site.endswith(INVENTED) else {}
    return {
        "schema_version": 1,
        "id": job,
        **kept,
        "units": system,
        "made_with": f"ventwright {VERSION}",
        "facts": facts,
    }


def job_on_card(text: str) -> str:
    """Return the id of the job that a card was written from."""
    return _after("job", text.splitlines())


def _after(word: str, lines: list[str]) -> str:
    found = (line.strip().removeprefix(f"{word} ") for line in lines if line.strip().startswith(f"{word} "))
    return next(found, "")


def _speeds(lines: list[str]) -> list[dict[str, str]]:
    """Return the fan speeds that the card names, with the supply airflow that its numbers come to."""
    return list(_each_speed(lines)) or [{"name": "high"}]


def _each_speed(lines: list[str]) -> Iterator[dict[str, str]]:
    for line in lines:
        found = AIR.fullmatch(line)
        if found is not None:
            yield {"name": found["speed"]}
        elif (bare := re.fullmatch(r"air (.+) = not read", line)) is not None:
            yield {"name": bare[1]}


def _kit(settings: dict[str, str]) -> str:
    """Return the kit on the shelf that has the settings of the card.

    Raises
    ------
    Refused
        None has them all.
    """
    wanted = {label.lower() for label in settings}
    for name in names("kits"):
        if wanted <= {one.label.lower() for one in find("kits", name, Kit).settings_file}:
            return name
    raise Refused(
        Refusal(
            "names settings that no kit on the shelf has",
            "the job's own file, which carries its kit",
            given=", ".join(settings),
        )
    )


def code_in_photo(photo: bytes) -> str:
    """Read the code in a photo.

    Raises
    ------
    Refused
        It is no photo, shows no code that can be read, or the reader is not installed.
    """
    instead = "the text of the code, as the phone's own camera shows it"
    try:
        import zxingcpp
        from PIL import Image
    except ImportError:
        raise Refused(
            Refusal("cannot be read here, where no reader of codes is installed", instead, "photo")
        ) from None
    try:
        image = Image.open(io.BytesIO(photo))
        image.thumbnail((LARGEST_SIDE, LARGEST_SIDE))
        found = zxingcpp.read_barcodes(image.convert("L"))
    except (OSError, ValueError, Image.DecompressionBombError):
        raise Refused(Refusal("is no photo", f"a JPEG or PNG of the card, or {instead}", "photo")) from None
    if not found:
        raise Refused(
            Refusal(
                "shows no code that can be read",
                f"a sharper one that fills the picture, or {instead}",
                "photo",
            )
        )
    return str(found[0].text)
