"""A form as it arrived: texts and files, each bounded."""

from __future__ import annotations

from starlette.datastructures import UploadFile
from starlette.requests import Request

from ventwright.document import LARGEST
from ventwright.errors import Refusal, Refused
from ventwright.web.form import Form

MOST_FIELDS, MOST_FILES = 500, 60


async def received(request: Request) -> Form:
    """Read the form of a request.

    Raises
    ------
    Refused
        A text is longer than a whole job: cut off it could still be read, and would lack its last entries.
    """
    texts: dict[str, str] = {}
    several: dict[str, list[str]] = {}
    files: dict[str, tuple[str, bytes]] = {}
    every_file: dict[str, tuple[tuple[str, bytes], ...]] = {}
    async with request.form(max_fields=MOST_FIELDS, max_files=MOST_FILES, max_part_size=4 * LARGEST) as form:
        for name, value in form.multi_items():
            if isinstance(value, UploadFile):
                content = await value.read()
                if value.filename or content:
                    files[name] = (value.filename or "", content)
                    every_file[name] = (*every_file.get(name, ()), files[name])
            elif len(value) > LARGEST:
                raise Refused(Refusal("is too long", f"a text of at most {LARGEST // 1_000_000} MB", name))
            else:
                texts[name] = value
                several.setdefault(name, []).append(value)
    return Form(texts, {name: tuple(values) for name, values in several.items()}, files, every_file)
