"""The office: kits, boards, adapters and data sheets, those of the shelf and those of one's own, to look at and to copy."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from importlib.resources import files
from typing import Any

from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from ventwright.entry import Entry
from ventwright.errors import Refusal, Refused
from ventwright.quantity import System
from ventwright.tables.board import Board
from ventwright.tables.connector import Connector
from ventwright.tables.kit import Kit
from ventwright.tables.shelf import find, names
from ventwright.web.desk import Desk
from ventwright.web.own_part import SHELVES, OwnPart, Shelf, as_own, file_name, is_own, kind_of, read_own
from ventwright.web.page import desk_of, go_to, page
from ventwright.web.pages.wire_land import face
from ventwright.web.received import received
from ventwright.web.setting_field import shown_range, shown_value


async def hub(request: Request) -> Response:
    """Show what the office holds."""
    counts = {one.folder: len(names(one.folder)) for one in SHELVES.values()}
    return await page(request, "office.html.j2", shelves=SHELVES.values(), counts=counts)


def shelf_of(request: Request) -> Shelf:
    """Return the shelf that an address names."""
    found = SHELVES.get(request.path_params["kind"])
    if found is None:
        raise HTTPException(404)
    return found


async def own_texts(desk: Desk, shelf: Shelf) -> dict[str, str]:
    """Return the texts of the person's own files of one kind, by name."""
    kept = await desk.jobs.own_files()
    texts = {name: content.decode("utf-8-sig", "replace") for name, content in kept.items() if is_own(name)}
    return {name: text for name, text in texts.items() if kind_of(text) == shelf.kind}


async def listed(request: Request) -> Response:
    """Show one shelf."""
    desk, shelf = desk_of(request), shelf_of(request)
    own = [read_own(shelf, name, text) for name, text in (await own_texts(desk, shelf)).items()]
    ours = [
        (name, getattr(find(shelf.folder, name, shelf.model), "name", name)) for name in names(shelf.folder)
    ]
    return await page(request, "office_list.html.j2", shelf=shelf, own=own, ours=ours)


async def opened_part(request: Request) -> OwnPart:
    """Return the file that an address names, from the shelf or of the person's own."""
    shelf, name = shelf_of(request), request.path_params["name"]
    if is_own(name):
        text = (await own_texts(desk_of(request), shelf)).get(name)
    else:
        text = _shelf_text(shelf, name) if name in names(shelf.folder) else None
    if text is None:
        raise HTTPException(404)
    return read_own(shelf, name, text)


def _shelf_text(shelf: Shelf, name: str) -> str:
    folder = files("ventwright.tables").joinpath("equipment", shelf.folder)
    return folder.joinpath(f"{name}.yaml").read_text(encoding="utf-8")


async def shown(request: Request) -> Response:
    """Show one file: what it describes, its connectors drawn, and the jobs that use it."""
    return await _shown(request, await opened_part(request))


async def _shown(
    request: Request, held: OwnPart, *, refusals: Sequence[Refusal] = (), typed: str = ""
) -> Response:
    shelf = shelf_of(request)
    wrong = [{"name": "name", "sentence": one.sentence} for one in refusals]
    return await page(
        request, "office_part.html.j2", status=422 if refusals else 200, shelf=shelf, held=held, own=is_own(held.name),
        title=held.data.get("name") or held.name, summary=summed_up(held.part), faces=faces(held.part), connectors=_connectors(held.part),
        settings=list(_settings(held, await desk_of(request).system())), users=await _users(desk_of(request), held.name), wrong=wrong, typed=typed,
    )  # fmt: skip


def summed_up(part: Entry | None) -> list[tuple[str, str]]:
    """Say what a kit or a board is, in pairs."""
    if isinstance(part, Kit):
        fan = "any speed" if part.variable_fan else str(part.fan_speeds)
        return [
            ("Fan speeds", fan),
            ("Decides by", part.high_limit_control),
            ("Damper signal", f"{part.damper_signal.closed} closed, {part.damper_signal.open} open"),
            ("Heating", ", ".join(part.heating) or "any"),
            ("Damper open while the compressor runs", "yes" if part.integrated else "no"),
            ("Sensors", ", ".join(f"{one.at} ({one.kind})" for one in part.sensors) or "none"),
        ]
    if isinstance(part, Board):
        return [
            ("Terminals", ", ".join(one.mark for one in part.terminals) or "none"),
            ("Must come out before power", "; ".join(f"{one.looks or 'plug'} in {one.connector}" for one in part.jumper_plugs) or "nothing"),
            ("Expects back", ", ".join(one.value for one in part.expects_back) or "nothing"),
        ]  # fmt: skip
    return []


def connectors_of(part: Entry | None) -> tuple[Connector, ...]:
    """Return the connectors of a kit's harness or of a board."""
    if isinstance(part, Kit):
        return part.harness.connectors if part.harness else ()
    return part.connectors if isinstance(part, Board) else ()


def faces(part: Entry | None) -> list[dict[str, Any]]:
    """Draw the connectors of a kit or a board by their mating faces."""
    return [
        face(one, 0, {pin.cavity: f"{pin.colour} {pin.function.value}".strip() for pin in one.circuits})
        for one in connectors_of(part)
        if not one.by_hand
    ]


def _settings(held: OwnPart, system: System) -> Iterator[tuple[str, str, str]]:
    """Yield label, range and meaning of a kit's settings: of one that is not whole, as they are typed."""
    if isinstance(held.part, Kit):
        for known in held.part.settings:
            fan = f", {known.fan}" if known.fan else ""
            usual = shown_value(known, known.default.value, system)
            yield known.label, shown_range(known, system), f"{known.means.value}{fan}; out of the box {usual}"
        return
    listed = held.data.get("settings")
    for one in listed if isinstance(listed, list) else ():
        said = one if isinstance(one, Mapping) else {}
        belongs = ", ".join(str(said[key]) for key in ("means", "fan") if said.get(key))
        ends = f"{said.get('least', '?')} – {said.get('most', '?')}"
        yield str(said.get("label", "?")), ends, f"{belongs}; out of the box {said.get('default', '?')}"


def _connectors(part: Entry | None) -> Iterator[tuple[str, str, list[tuple[str, ...]]]]:
    for one in connectors_of(part):
        rows: list[tuple[str, ...]] = [
            (pin.label, pin.function.value, pin.role, pin.colour or "–", pin.needed) for pin in one.circuits
        ]
        yield one.name, one.described, rows


async def _users(desk: Desk, name: str) -> list[tuple[str, str]]:
    """Return the jobs whose facts name a file."""
    if not is_own(name):
        return []
    found = []
    for row in await desk.jobs.jobs():
        facts = (await desk.jobs.document(row.id)).get("facts") or {}
        harness = facts.get("harness") or {}
        if name in {facts.get("kit"), harness.get("board"), (facts.get("unit") or {}).get("sheet")}:
            found.append((row.id, f"{row.tag}, {row.site}"))
    return found


async def copy(request: Request) -> Response:
    """Make a file of one's own of one that is there."""
    desk, form = desk_of(request), await received(request)
    shelf, held = shelf_of(request), await opened_part(request)
    try:
        name = await _new_name(desk, form.get("name"))
        await desk.jobs.put_file(name, as_own(held, name).encode())
    except Refused as refused:
        return await _shown(request, held, refusals=refused.refusals, typed=form.get("name"))
    return go_to(request, f"/office/{shelf.folder}/{name}", said="saved")


async def _new_name(desk: Desk, typed: str) -> str:
    """Return the name of a file that is not there yet."""
    name = file_name(typed)
    if name in await desk.jobs.own_files():
        raise Refused(Refusal("is a file of yours already", "another name", "name", name))
    return name


async def take_away(request: Request) -> Response:
    """Take a file of one's own away, unless a job uses it."""
    desk, shelf, held = desk_of(request), shelf_of(request), await opened_part(request)
    users = await _users(desk, held.name)
    if users:
        accepted = f"another one chosen first in {users[0][1]}"
        return await _shown(request, held, refusals=[Refusal("is used by a job", accepted, held.name)])
    await desk.jobs.take_file(held.name)
    return go_to(request, f"/office/{shelf.folder}", said="saved")


routes = [
    Route("/office", hub),
    Route("/office/{kind}", listed),
    Route("/office/{kind}/{name}", shown),
    Route("/office/{kind}/{name}/copy", copy, methods=["POST"]),
    Route("/office/{kind}/{name}/take-away", take_away, methods=["POST"]),
]
