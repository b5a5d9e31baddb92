"""How often something may be tried, by account and by address; counted in the store, for all processes together."""

from __future__ import annotations

from datetime import timedelta
from ipaddress import IPv6Address, ip_address, ip_network

from ventwright.store.shop import Shop
from ventwright.store.tokens import Kind, Token

STRETCH = timedelta(minutes=15)

SIGN_INS_OF_ACCOUNT, SIGN_INS_FROM_ADDRESS = 10, 60
"""Tries to sign in within a stretch; our own assumption. An address is that of a whole shop behind its router."""

WRONG_SECRETS = 60
"""Links and tokens from one address that are none, within a stretch; our own assumption."""

ASKED_BY_DEVICE = 2_000
"""Requests of a device within a stretch; our own assumption: sharing ten thousand changes takes fifty."""


class TooOften(Exception):
    """Something was tried too often; says when it may be tried again."""

    wait = int(STRETCH.total_seconds())


class Limits:
    """Counts tries and says when there were too many."""

    def __init__(self, shop: Shop) -> None:
        self._tries, self._tokens = shop.tries, shop.tokens

    async def sign_in(self, login: str, address: str) -> None:
        """Count a try to sign in.

        Raises
        ------
        TooOften
            There were too many, of this account or from this address.
        """
        from_address = await self._tries.count(f"sign in from {_of(address)}", STRETCH)
        if from_address > SIGN_INS_FROM_ADDRESS:
            raise TooOften
        if await self._tries.count(f"sign in of {login[:80]}", STRETCH) > SIGN_INS_OF_ACCOUNT:
            raise TooOften

    async def find(self, kind: Kind, secret: str, address: str) -> Token | None:
        """Return what a secret stands for, None where that has ended; count a secret that never was one.

        Raises
        ------
        TooOften
            There were too many of those from this address.
        """
        token = await self._tokens.find(kind, secret)
        if token is not None or await self._tokens.was(secret):
            return token
        if await self._tries.count(f"wrong secret from {_of(address)}", STRETCH) > WRONG_SECRETS:
            raise TooOften
        return None

    async def asked_by_device(self, device: str) -> None:
        """Count a request of a device.

        Raises
        ------
        TooOften
            There were too many.
        """
        if await self._tries.count(f"asked by {device}", STRETCH) > ASKED_BY_DEVICE:
            raise TooOften


def _of(address: str) -> str:
    """Return the address that is counted: of the newer kind the first half, which one customer has as a whole."""
    try:
        read = ip_address(address)
    except ValueError:
        return address[:80]
    return str(ip_network((read, 64), strict=False)) if isinstance(read, IPv6Address) else str(read)
