"""Tables in Markdown."""

from __future__ import annotations

from collections.abc import Sequence


def table(heads: Sequence[str], rows: Sequence[Sequence[object]]) -> str:
    """One table, a row a line."""
    lines = [heads, ["---"] * len(heads), *rows]
    return "\n".join("| " + " | ".join(str(cell) for cell in line) + " |" for line in lines) + "\n"


def percent(part: int, whole: int) -> str:
    """A share with the counts behind it."""
    return f"{100.0 * part / whole:.0f} % ({part}/{whole})" if whole else "none"


def between(ends: tuple[float, float], scale: float = 1.0) -> str:
    """A range."""
    return f"{ends[0] * scale:g} to {ends[1] * scale:g}"
