"""A probability as people say it on a roof."""

from __future__ import annotations

CERTAIN, NEARLY = 0.99, 0.95


def in_words(probability: float) -> str:
    """Say a probability as "9 in 10", never higher than it is.

    >>> in_words(0.93), in_words(0.997), in_words(0.004)
    ('9 in 10', 'over 99 in 100', 'less than 1 in 100')
    """
    if probability > CERTAIN:
        return "over 99 in 100"
    if probability >= NEARLY:
        return f"{int(100 * probability)} in 100"
    if probability >= 0.1:
        return f"{int(10 * probability + 1e-9)} in 10"
    return f"{int(100 * probability)} in 100" if probability >= 0.01 else "less than 1 in 100"
