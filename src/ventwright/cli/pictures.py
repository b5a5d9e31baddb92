"""Where a command writes a drawing: what name it takes."""

from __future__ import annotations

from pathlib import Path


def refuse_other_picture(path: Path | None, option: str = "--picture") -> None:
    """Refuse a name for a drawing that is no SVG.

    Parameters
    ----------
    path
        Where the drawing is to go; None where none is wanted.
    option
        By which it was named.

    Raises
    ------
    Refused
        The name does not end in .svg.
    """
    from ventwright.errors import Refusal, Refused

    if path is not None and path.suffix != ".svg":
        accepted = "a name that ends in .svg"
        raise Refused(Refusal("is no name for a drawing", accepted, option, str(path)))
