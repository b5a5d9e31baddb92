"""A form as it arrived: texts and files, each bounded."""

from __future__ import annotations

from starlette.datastructures import UploadFile
from starlette.requests import Request

from ventwright.web.form import Form

MOST_FIELDS, LONGEST_TEXT, MOST_FILES = 500, 200_000, 60


async def received(request: Request) -> Form:
    """Read the form of a request."""
    texts: dict[str, str] = {}
    several: dict[str, list[str]] = {}
    files: dict[str, tuple[str, bytes]] = {}
    every_file: dict[str, tuple[tuple[str, bytes], ...]] = {}
    async with request.form(max_fields=MOST_FIELDS, max_files=MOST_FILES) as form:
        for name, value in form.multi_items():
            if isinstance(value, UploadFile):
                content = await value.read()
                if value.filename or content:
                    files[name] = (value.filename or "", content)
                    every_file[name] = (*every_file.get(name, ()), files[name])
            else:
                texts[name] = value[:LONGEST_TEXT]
                several.setdefault(name, []).append(value[:LONGEST_TEXT])
    return Form(texts, {name: tuple(values) for name, values in several.items()}, files, every_file)
