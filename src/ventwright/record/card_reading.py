"""The card's code read again, a year later: what of the unit it says as it was left."""

from __future__ import annotations

import re
from collections.abc import Iterator

from ventwright.errors import Refusal, Refused
from ventwright.plan import Plan
from ventwright.quantity import AIRFLOW, FRACTION, read
from ventwright.record.card_code import FIRST_LINE
from ventwright.verdict.diagnose.baseline import Baseline, ShareAsLeft

SET = re.compile(r"set (?P<label>.+?) = (?P<value>.+)")
AIR = re.compile(r"air (?P<speed>.+?) = (?P<flow>[^,]+), (?P<share>[^,]+?) at (?P<signal>[^,]+), .+")

HOW = "the text of a card's code, as a phone shows it, or a job of this unit as it was left"


def is_card(text: str) -> bool:
    """Whether a text is that of a card's code."""
    return text.lstrip("\ufeff \t\r\n").startswith(FIRST_LINE)


def baseline_of_card(text: str, plan: Plan) -> Baseline:
    """Read settings and shares of outdoor air off the text of a card's code.

    The card gives its uncertainty with the airflow; as a share of it, it is taken for the share too, which is on the
    careful side, since the airflow carries that of the supply as well.

    Parameters
    ----------
    text
        As a phone reads it.
    plan
        Of the same unit: fan speeds and settings have to be its own.

    Raises
    ------
    Refused
        A line does not fit this unit, or names nothing that the card says.
    """
    lines = [line.strip() for line in text.strip("\ufeff \t\r\n").splitlines()]
    return Baseline(tuple(_shares(lines, plan)), dict(_settings(lines, plan)))


def _settings(lines: list[str], plan: Plan) -> Iterator[tuple[str, float]]:
    for number, line in enumerate(lines, start=1):
        found = SET.fullmatch(line)
        if found is not None:
            try:
                yield found["label"].lower(), plan.kit.setting(found["label"]).read(found["value"]).value
            except Refused as refused:
                raise Refused(*(one.at(f"card, line {number}") for one in refused.refusals)) from None


def _shares(lines: list[str], plan: Plan) -> Iterator[ShareAsLeft]:
    known = [one.name for one in plan.speeds]
    for number, line in enumerate(lines, start=1):
        found = AIR.fullmatch(line)
        if found is None:
            continue
        if found["speed"] not in known:
            what = "is no fan speed of this unit: the card is of another one"
            raise Refused(Refusal(what, ", ".join(known), f"card, line {number}", found["speed"]))
        try:
            flow = read(found["flow"], AIRFLOW)
            share, signal = read(found["share"], FRACTION).value, read(found["signal"], FRACTION).value
        except Refused as refused:
            raise Refused(*(one.at(f"card, line {number}") for one in refused.refusals)) from None
        if flow.uncertainty is not None and flow.value > 0.0:
            yield ShareAsLeft(found["speed"], signal, share, share * flow.uncertainty / flow.value)


__all__ = ["HOW", "baseline_of_card", "is_card"]
