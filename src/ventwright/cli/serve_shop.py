"""What `ventwright serve` asks and does for a shop: how it is reached safely, and the link for the first account."""

from __future__ import annotations

import os
from dataclasses import dataclass
from datetime import timedelta
from ipaddress import ip_network
from pathlib import Path
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    import argparse

    from ventwright.store.shop import Shop
    from ventwright.web.app import Beside

DATABASE = "VENTWRIGHT_DATABASE"
"""Variable of the environment with the address of the database, so that its password stands in no list of processes."""

SECRET = "VENTWRIGHT_TELL_SECRET"  # noqa: S105 - the name of a variable
"""Variable of the environment with the secret by which messages are signed."""

FIRST_LINK = timedelta(hours=1)
"""How long the link that is printed is good; our own assumption."""


@dataclass(frozen=True, slots=True)
class Way:
    """Where the jobs are, how the server is reached, and whether it is a shop's.

    ``database`` is a file or an address, None for the file of the folder; ``proxies`` are the addresses of those that
    speak https for this server; ``hand_out`` is the folder into which finished jobs are written; ``told`` is the address
    of a program that is told of them, with the secret, and whether it is near.
    """

    database: Path | str | None = None
    cert: Path | None = None
    key: Path | None = None
    proxies: tuple[str, ...] = ()
    shop: bool = False
    invite: bool = False
    hand_out: Path | None = None
    told: tuple[str, str, bool] | None = None

    @property
    def safe(self) -> bool:
        """Whether nobody on the way reads passwords."""
        return self.cert is not None or bool(self.proxies)

    def beside(self, links: str) -> list[Beside]:
        """Return what goes on beside the pages: finished jobs handed on.

        Parameters
        ----------
        links
            Where the addresses of jobs begin.

        Raises
        ------
        Refused
            Whoever is to be told cannot be.
        """
        from functools import partial

        going = list["Beside"]()
        if self.hand_out is not None:
            from ventwright.web.handing_out import keep_handing_out

            going.append(partial(keep_handing_out, self.hand_out))
        if self.told is not None:
            from ventwright.web.telling import Recipient, keep_telling

            address, secret, near = self.told
            told = Recipient(address, secret, links, near)
            told.refuse_unfit()
            going.append(partial(keep_telling, told))
        return going

    def options(self) -> dict[str, Any]:
        """Return what the server of pages is told: addresses that a request claims are believed of proxies alone."""
        told: dict[str, Any] = {
            "proxy_headers": bool(self.proxies),
            "forwarded_allow_ips": list(self.proxies),
        }
        if self.cert is not None:
            told |= {"ssl_certfile": str(self.cert), "ssl_keyfile": str(self.key)}
        return told


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Add what belongs to a shop."""
    parser.add_argument(
        "--database", metavar="ADDRESS", help=f"postgresql://… instead of a file (else what {DATABASE} says)"
    )
    parser.add_argument("--shop", action="store_true", help="accounts, roles and links for many people")
    parser.add_argument("--cert", type=Path, metavar="FILE", help="certificate, for https")
    parser.add_argument("--key", type=Path, metavar="FILE", help="the certificate's key")
    parser.add_argument(
        "--behind-proxy",
        action="append",
        default=[],
        metavar="ADDRESS",
        help="address of a proxy that speaks https for this server",
    )
    parser.add_argument("--invite", action="store_true", help="print a link for one more reviewer")
    parser.add_argument(
        "--hand-out", type=Path, metavar="FOLDER", help="folder into which finished jobs are written"
    )
    parser.add_argument(
        "--tell",
        metavar="ADDRESS",
        help=f"https://… of a program that is told of finished jobs, signed by what {SECRET} says",
    )
    parser.add_argument(
        "--tell-near",
        action="store_true",
        help="that program is on a network of your own, or on this machine",
    )


def way(arguments: argparse.Namespace) -> Way:
    """Read where the jobs are and how the server is reached.

    Raises
    ------
    Refused
        A certificate without its key or one that cannot be read, an address that is none; a shop that would send
        passwords through a network in the clear, or cannot hash them.
    """
    from ventwright.cli.serve import LOOPBACK
    from ventwright.errors import Refusal, Refused

    if (arguments.cert is None) != (arguments.key is None):
        raise Refused(Refusal("comes without the other", "--cert and --key together", "--cert"))
    for one in arguments.behind_proxy:
        _refuse_no_address(one)
    found = Way(
        database_of(arguments, of_a_folder=arguments.data is not None or arguments.demo),
        arguments.cert,
        arguments.key,
        tuple(arguments.behind_proxy),
        arguments.shop,
        arguments.invite,
        arguments.hand_out,
        (arguments.tell, os.environ.get(SECRET, ""), arguments.tell_near) if arguments.tell else None,
    )
    found.beside("")
    if found.cert is not None:
        _refuse_unread(found.cert, arguments.key)
    if found.shop and not found.safe and arguments.host not in LOOPBACK:
        accepted = "--cert and --key, or --behind-proxy with the proxy's address, or this machine alone"
        raise Refused(Refusal("would send passwords through the network in the clear", accepted, "--shop"))
    if found.shop:
        from ventwright.web.shop.passwords import refuse_without_hashing

        refuse_without_hashing()
    return found


def database_of(arguments: argparse.Namespace, *, of_a_folder: bool) -> str | None:
    """Return the address of the database, None where the jobs are in a folder; one that is named counts most.

    Raises
    ------
    Refused
        A folder was named besides.
    """
    from ventwright.errors import Refusal, Refused

    if arguments.database and arguments.data is not None:
        raise Refused(Refusal("names a second store", "either --data or --database", "--database"))
    return arguments.database or (None if of_a_folder else os.environ.get(DATABASE)) or None


def _refuse_no_address(typed: str) -> None:
    from ventwright.errors import Refusal, Refused

    try:
        ip_network(typed)
    except ValueError:
        accepted = "an address or a network in numbers, such as 127.0.0.1 or 10.0.0.0/8"
        raise Refused(Refusal("is no address", accepted, "--behind-proxy", typed)) from None


def _refuse_unread(cert: Path, key: Path) -> None:
    import ssl

    from ventwright.errors import Refusal, Refused

    try:
        ssl.SSLContext(ssl.PROTOCOL_TLS_SERVER).load_cert_chain(cert, key, password=lambda: "")
    except (OSError, ValueError) as failure:
        accepted = "a certificate with its chain and the key that belongs to it, both as PEM, the key without a password"
        reason = getattr(failure, "reason", None) or failure.args[-1]
        raise Refused(
            Refusal(f"cannot be used ({str(reason).lower()})", accepted, "--cert", str(cert))
        ) from None


async def link_for_reviewer(shop: Shop, *, wanted: bool) -> str:
    """Return the path of a link for a reviewer where nobody has an account yet, or one is wanted; else nothing."""
    if await shop.people.any() and not wanted:
        return ""
    _, secret = await shop.tokens.give(
        "invitation", made_by="", label="printed by the server", about={"role": "reviewer"}, lasts=FIRST_LINK
    )
    await shop.trail.note("a link for a reviewer was printed by the server")
    return f"/invitation/{secret}"
