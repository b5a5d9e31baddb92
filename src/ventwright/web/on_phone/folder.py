"""The built folder as it is handed to a browser: compressed where it lies there so, and with its own policy."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path

from starlette.responses import Response

LIST = "edition.json"
"""Names every file with its hash: what a phone fetches, and how it sees that there is something newer."""

KINDS = {
    ".html": "text/html; charset=utf-8",
    ".js": "text/javascript; charset=utf-8",
    ".mjs": "text/javascript; charset=utf-8",
    ".css": "text/css; charset=utf-8",
    ".svg": "image/svg+xml",
    ".png": "image/png",
    ".wasm": "application/wasm",
    ".so": "application/wasm",
    ".zip": "application/zip",
    ".pack": "application/octet-stream",
    ".table": "application/octet-stream",
    ".py": "text/plain; charset=utf-8",
    ".json": "application/json",
    ".webmanifest": "application/manifest+json",
    ".txt": "text/plain; charset=utf-8",
}

POLICY = (
    "default-src 'none'; script-src 'self' 'wasm-unsafe-eval'; style-src 'self'; img-src 'self' data: blob:; "
    "font-src 'self'; connect-src 'self'; manifest-src 'self'; worker-src 'self'; form-action 'self'; "
    "base-uri 'none'; frame-ancestors 'none'"
)
"""As for every page, and compiled code of our own besides."""

FOR_GOOD = "public, max-age=31536000, immutable"


class Folder:
    """Files of a folder and of nothing above it."""

    def __init__(self, path: Path) -> None:
        self._path = path.resolve()

    def file(self, name: str, headers: Mapping[str, str], *, named: bool) -> Response | None:
        """Return a file, None where there is no such one.

        Parameters
        ----------
        name
            Path below the folder; its first page where it is empty.
        headers
            Those of the request.
        named
            Whether it is asked for by its hash, so that it may be kept for good.
        """
        path = (self._path / (name or "index.html")).resolve()
        if not path.is_relative_to(self._path) or path.suffix not in KINDS or not path.is_file():
            return None
        said = {
            "content-security-policy": POLICY,
            "cache-control": FOR_GOOD if named else "no-cache",
            "vary": "accept-encoding",
        }
        kind, packed = KINDS[path.suffix], path.with_name(f"{path.name}.gz")
        if "gzip" in headers.get("accept-encoding", "") and packed.is_file():
            path, said["content-encoding"] = packed, "gzip"
        return Response(path.read_bytes(), media_type=kind, headers=said)


def built(path: Path) -> Folder | None:
    """Return the folder if the app for a phone was built into it."""
    return Folder(path) if (path / LIST).is_file() else None
