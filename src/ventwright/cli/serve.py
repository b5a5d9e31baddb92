"""Serve the app on this machine: for a browser here, or for a phone on the same network.

example: ventwright serve
example: ventwright serve --host 0.0.0.0 --port 8010
example: ventwright serve --demo
example: ventwright serve --shop --cert shop.pem --key shop.key --host 0.0.0.0 --name shop.example
"""

from __future__ import annotations

import argparse
import os
import sys
from pathlib import Path
from typing import TYPE_CHECKING

from ventwright.cli import serve_shop
from ventwright.cli.where import FILE

if TYPE_CHECKING:
    from collections.abc import Sequence
    from socket import socket

    from ventwright.cli.serve_shop import Way
    from ventwright.store.jobs import Jobs
    from ventwright.store.shop import Shop

LOOPBACK = ("127.0.0.1", "::1", "localhost")

MOST = 65535
"""Greatest number of a port."""

PROCESSES = 2
"""Processes that do long work beside the one that answers."""


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Add where to listen and where the jobs are kept."""
    parser.add_argument("--host", default="127.0.0.1", help="address to listen on (else this machine alone)")
    parser.add_argument("--port", type=int, default=8000, help="port to listen on (else 8000)")
    parser.add_argument(
        "--data", type=Path, metavar="FOLDER", help="folder for the jobs (else one of your own)"
    )
    parser.add_argument(
        "--name",
        action="append",
        default=[],
        metavar="HOST",
        help="another name by which browsers call this machine",
    )
    parser.add_argument(
        "--demo",
        action="store_true",
        help="put the invented jobs in, in a folder of their own unless --data names one",
    )
    parser.add_argument(
        "--phone",
        type=Path,
        metavar="FOLDER",
        help="the app for a phone (else where `ventwright phone build` puts it)",
    )
    serve_shop.add_arguments(parser)


def run(arguments: argparse.Namespace) -> int:
    """Serve until stopped."""
    folder = arguments.data or (data_folder() / "demo" if arguments.demo else data_folder())
    return serve(
        arguments.host,
        arguments.port,
        folder,
        names=arguments.name,
        documents=invented_jobs() if arguments.demo else (),
        phone=arguments.phone,
        way=serve_shop.way(arguments),
    )


def invented_jobs() -> list[bytes]:
    """Return the invented jobs that come along: a unit of each kind, a job in each state."""
    from importlib.resources import files

    folder = files("ventwright.cli").joinpath("demo_job")
    return [
        one.read_bytes()
        for one in sorted(folder.iterdir(), key=lambda one: one.name)
        if one.name.endswith(".yaml")
    ]


def data_folder() -> Path:
    """Return the folder in which a person's jobs are kept when none is named."""
    if os.name == "nt":
        return Path(os.environ.get("LOCALAPPDATA") or Path.home() / "AppData/Local") / "Ventwright"
    if sys.platform == "darwin":
        return Path.home() / "Library/Application Support/Ventwright"
    return Path(os.environ.get("XDG_DATA_HOME") or Path.home() / ".local/share") / "ventwright"


def serve(
    host: str,
    port: int,
    folder: Path,
    *,
    names: Sequence[str] = (),
    documents: Sequence[bytes] = (),
    phone: Path | None = None,
    way: Way | None = None,
) -> int:
    """Open the jobs of a folder and answer browsers.

    Parameters
    ----------
    host, port
        Where to listen.
    folder
        Where the database is, made where it is missing.
    names
        Names by which browsers call this machine.
    documents
        Jobs to put in first, where they are not there yet.
    phone
        Where the app for a phone was built; left out, where it is built by itself.
    way
        Another place for the jobs, a shop, a certificate or proxies; left out, plain http without accounts.

    Raises
    ------
    Refused
        The port is taken, or the folder cannot be written.
    """
    import asyncio
    from socket import gethostname

    import uvicorn

    from ventwright.cli import DONE
    from ventwright.store.jobs import Jobs
    from ventwright.store.shop import Shop
    from ventwright.web import make_app
    from ventwright.web.on_phone.folder import built
    from ventwright.web.work import Elsewhere

    _make(folder)
    listening = _listening(host, port)
    way = way or serve_shop.Way()
    jobs = Jobs(way.database or folder / FILE)
    asyncio.run(_put_in(jobs, documents))
    people = Shop(jobs) if way.shop else None
    called = {"localhost", gethostname().lower(), f"{gethostname().lower()}.local", *names}
    on_phone = built(phone or data_folder() / "phone")
    address = _address(host, port, way, names)
    application = make_app(
        jobs, work=Elsewhere(PROCESSES), hosts=called, phone=on_phone, shop=people, beside=way.beside(address)
    )
    _say_where(host, address, folder if way.database is None else jobs.database.name, people)
    if people is not None:
        _say_link(address, asyncio.run(serve_shop.link_for_reviewer(people, wanted=way.invite)))
    config = uvicorn.Config(
        application,
        log_level="warning",
        server_header=False,
        lifespan="on",
        access_log=False,
        **way.options(),
    )
    uvicorn.Server(config).run(sockets=[listening])
    return DONE


def _make(folder: Path) -> None:
    """Make the folder for the jobs where it is missing."""
    from ventwright.errors import Refusal, Refused

    try:
        folder.mkdir(parents=True, exist_ok=True)
    except OSError as failure:
        reason = (failure.strerror or "an error of the system").lower()
        accepted = "a folder that can be made and written to, named by --data"
        raise Refused(Refusal(f"cannot be made ({reason})", accepted, given=str(folder))) from None


def free_port(first: int, tries: int = 20) -> int:
    """Return the first port from one on that nothing listens on; the first itself where none of them is free."""
    from ventwright.errors import Refused

    for port in range(first, first + tries):
        try:
            _listening("127.0.0.1", port).close()
        except Refused:
            continue
        return port
    return first


def _listening(host: str, port: int) -> socket:
    """Take the address before anything else is done, so that a port in use is said at once."""
    from socket import AF_INET, AF_INET6, SO_REUSEADDR, SOL_SOCKET, socket

    from ventwright.errors import Refusal, Refused

    if not 0 <= port <= MOST:
        raise Refused(Refusal("is no port", f"a number from 0 to {MOST}", "--port", str(port)))
    taken = socket(AF_INET6 if ":" in host else AF_INET)
    if os.name != "nt":
        taken.setsockopt(SOL_SOCKET, SO_REUSEADDR, 1)
    try:
        taken.bind((host, port))
    except OSError as failure:
        taken.close()
        reason = (failure.strerror or "an error of the system").lower()
        accepted = "another --port, such as 8001, or another --host"
        raise Refused(
            Refusal(f"cannot be listened on ({reason})", accepted, given=f"{host}:{port}")
        ) from None
    return taken


async def _put_in(jobs: Jobs, documents: Sequence[bytes]) -> None:
    """Put jobs in that are not kept yet; one that is there stays as the person left it."""
    from ventwright.store.exchange import read_copy

    kept = {row.id for archived in (False, True) for row in await jobs.jobs(archived=archived)}
    for document in documents:
        read = read_copy(document.decode(), "the demo job")
        if read["id"] not in kept:
            await jobs.create(read, device="demo")


def _address(host: str, port: int, way: Way, names: Sequence[str]) -> str:
    """Return the address that a browser asks for."""
    if way.proxies and names:
        return f"https://{names[0]}"
    shown = "localhost" if host in LOOPBACK else (_own_address() if host in {"0.0.0.0", "::"} else host)  # noqa: S104
    if way.cert is not None:
        return f"https://{names[0] if names else shown}:{port}"
    return f"http://{shown}:{port}"


def _say_where(host: str, address: str, kept: Path | str, shop: Shop | None) -> None:
    """Tell the person where to look, and what else to know."""
    from ventwright.cli import show

    show.line(f"Ventwright answers at {address}/ . Jobs are kept in {kept} . Stop it with Ctrl+C.")
    if host not in LOOPBACK and shop is None:
        show.line(
            "Anybody on this network who knows the address can read and change the jobs: use a network of your own."
        )


def _say_link(address: str, path: str) -> None:
    """Print the link for a reviewer, where there is one."""
    from ventwright.cli import show

    if path:
        show.line(f"Open this once, within the hour, to make a reviewer's account: {address}{path}")


def _own_address() -> str:
    """Return the address of this machine on its network, as a phone would type it."""
    from contextlib import closing
    from socket import AF_INET, SOCK_DGRAM, socket

    with closing(socket(AF_INET, SOCK_DGRAM)) as asked:
        try:
            asked.connect(("192.0.2.1", 9))  # reserved for documentation (RFC 5737); nothing is sent
            return str(asked.getsockname()[0])
        except OSError:
            return "localhost"
