"""A fleet as pages: what to do first over all sites, a page for every site, and the same as rows for programs.

What comes first is what is certain and costly: the chance of a fault times what it takes. Where no supply airflow is known
energy cannot be reckoned; then hours of outdoor air too much or too little stand for it, behind what has a figure.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from ventwright.quantity import ENERGY, FRACTION, System, show
from ventwright.record.content import Block, Notice, Paragraph, Report, Section, Table, Tone
from ventwright.record.trend_words import hours_words
from ventwright.version import VERSION
from ventwright.words import in_words

COLUMNS = (
    "place", "site", "unit", "fault", "probability", "first", "last", "hours_judged", "hours_logged", "share", "energy_J", "next_measurement", "page",
)  # fmt: skip
"""Of the rows for programs."""

FOOTER = f"Ventwright {VERSION}; the time below is that of the last reading"
"""The same data give the same pages, whenever they are written."""

FIRST = 100
"""Rows of the first page; all of them stand in the file of rows (our own choice)."""


@dataclass(frozen=True, slots=True)
class Ranked:
    """One finding of a fleet."""

    site: str
    unit: str
    page: str
    """Address of the unit's page, from the folder of the fleet."""
    finding: Mapping[str, Any]

    @property
    def probability(self) -> float:
        """Chance of the fault."""
        return float(self.finding["probability"])

    @property
    def energy(self) -> float | None:
        """Heating and cooling for nothing; None where it cannot be reckoned. [J]"""
        found: float | None = self.finding["consequence"].get("energy_J")
        return found

    @property
    def share(self) -> float | None:
        """Outdoor air too much or too little, as a share of supply air. [-]"""
        found: float | None = self.finding["consequence"].get("share")
        return found

    @property
    def weight(self) -> tuple[float, float, float]:
        """By which it is ranked: energy and hours of outdoor air as they are to be expected, then the chance."""
        hours = abs(self.share or 0.0) * float(self.finding["hours_judged"])
        return abs(self.energy or 0.0) * self.probability, hours * self.probability, self.probability


def ranked(documents: Iterable[Mapping[str, Any]]) -> list[Ranked]:
    """Return the findings of all units, what is certain and costly first.

    Parameters
    ----------
    documents
        What was found of each unit, as it is kept.
    """
    found = [
        Ranked(str(one["site"]), str(one["unit"]), f"units/{one['key']}.html", finding)
        for one in documents
        for finding in one.get("findings", ())
    ]
    return sorted(
        found, key=lambda one: (*(-part for part in one.weight), one.site, one.unit, one.finding["fault"])
    )


def rows(found: Sequence[Ranked]) -> Iterator[dict[str, Any]]:
    """Yield the ranked findings as rows for programs."""
    for place, one in enumerate(found, 1):
        finding = one.finding
        yield dict(
            zip(
                COLUMNS,
                (
                    place, one.site, one.unit, finding["fault"], one.probability, finding["first"], finding["last"], finding["hours_judged"],
                    finding["hours_logged"], one.share, one.energy, finding["next_measurement"]["measurement"], one.page,
                ),
                strict=True,
            )
        )  # fmt: skip


def first_page(
    documents: Sequence[Mapping[str, Any]], sites: Mapping[str, str], refused: Sequence[str], system: System
) -> Report:
    """Build the page of the whole fleet.

    Parameters
    ----------
    documents
        What was found of each unit.
    sites
        The address of each site's page.
    refused
        Sentences on files that could not be read.
    system
        Units of the words.
    """
    found = ranked(documents)
    open_ones = [one for one in documents if one.get("refused")]
    judged = len(documents) - len(open_ones)
    sound = sum(not one.get("findings") and bool(one.get("sound")) for one in documents)
    text = f"{judged} units judged at {len(sites)} sites: findings: {len(found)}, units without one: {sound}."
    blocks: list[Block] = [Paragraph(text)]
    if found:
        blocks.append(_findings(found[:FIRST], system, with_site=True))
    if len(found) > FIRST:
        blocks.append(Paragraph(f"{len(found) - FIRST} more stand in findings.csv."))
    sections = [Section("What to do first", tuple(blocks)), _by_site(documents, sites)]
    if open_ones or refused:
        sections.append(_not_judged(open_ones, refused))
    return Report(
        "Rooftop units: what the logs show",
        f"{len(documents)} units",
        tuple(sections),
        FOOTER,
    )


def site_page(site: str, documents: Sequence[Mapping[str, Any]], system: System) -> Report:
    """Build the page of one site; addresses are from its own folder."""
    found = [Ranked(one.site, one.unit, f"../{one.page}", one.finding) for one in ranked(documents)]
    blocks: list[Block] = [_findings(found, system, with_site=False)] if found else []
    units = tuple(
        (str(one["unit"]), _span(one), _state(one), str(len(one.get("cannot_tell", ())))) for one in documents
    )
    links = tuple("" if one.get("refused") else f"../units/{one['key']}.html" for one in documents)
    every = Table(("Unit", "Log", "What it shows", "Cannot tell"), units, (0.24, 0.3, 0.3, 0.16), "", links)
    sections = [
        Section("What is wrong", tuple(blocks) or (Notice(Tone.INFO, "No fault is shown."),)),
        Section("Every unit", (every,)),
    ]
    open_ones = [one for one in documents if one.get("refused")]
    if open_ones:
        sections.append(_not_judged(open_ones, ()))
    return Report(f"{site}: what the logs show", f"{len(documents)} units", tuple(sections), FOOTER)


def _findings(found: Sequence[Ranked], system: System, *, with_site: bool) -> Table:
    table = tuple(
        (
            f"{one.site}, {one.unit}" if with_site else one.unit,
            str(one.finding["words"]),
            in_words(one.probability),
            f"{one.finding['first'][:10]} to {one.finding['last'][:10]}",
            _costs(one, system),
            str(one.finding["next_measurement"]["sentence"]),
        )
        for one in found
    )
    return Table(
        ("Unit", "Fault", "Chance", "Seen", "Takes", "Measure next"), table, (0.15, 0.22, 0.12, 0.16, 0.14, 0.21), "",
        tuple(one.page for one in found),
    )  # fmt: skip


def _costs(one: Ranked, system: System) -> str:
    parts = []
    if one.energy is not None:
        parts.append(show(one.energy, ENERGY, system))
    if one.share is not None:
        word = "more" if one.share > 0.0 else "less"
        hours = hours_words(float(one.finding["hours_judged"]))
        parts.append(f"{show(abs(one.share), FRACTION, system)} {word} outdoor air in {hours}")
    return ", ".join(parts) or "–"


def _by_site(documents: Sequence[Mapping[str, Any]], sites: Mapping[str, str]) -> Section:
    table = []
    for site in sites:
        own = [one for one in documents if one["site"] == site]
        findings = sum(len(one.get("findings", ())) for one in own)
        table.append((site, str(len(own)), str(findings), str(sum(bool(one.get("refused")) for one in own))))
    columns = ("Site", "Units", "Findings", "Not judged")
    return Section(
        "Sites", (Table(columns, tuple(table), (0.46, 0.18, 0.18, 0.18), "", tuple(sites.values())),)
    )


def _not_judged(open_ones: Sequence[Mapping[str, Any]], refused: Sequence[str]) -> Section:
    table = tuple((f"{one['site']}, {one['unit']}", " ".join(one["refused"])) for one in open_ones)
    blocks: list[Block] = [Table(("Unit", "What has to be said first"), table, (0.25, 0.75))] if table else []
    blocks += [Paragraph(one) for one in refused]
    return Section("Not judged", tuple(blocks))


def _span(one: Mapping[str, Any]) -> str:
    first, last = one.get("first"), one.get("last")
    return f"{first[:10]} to {last[:10]}" if first and last else "–"


def _state(one: Mapping[str, Any]) -> str:
    if one.get("refused"):
        return "not judged"
    count = len(one["findings"])
    return (
        f"{count} findings" if count else "no fault is shown" if one["sound"] else "nothing could be judged"
    )
