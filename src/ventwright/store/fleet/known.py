"""What the jobs of a folder say of the units of a fleet, found by the unit's tag and the site's name."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

from ventwright.errors import Refusal, Refused
from ventwright.job import work
from ventwright.store.files import load
from ventwright.tables.shelf import SUFFIXES
from ventwright.verdict.trend_findings import KnownUnit
from ventwright.verdict.trend_known import known_of


def known_in_jobs(folder: Path | None, otherwise: KnownUnit) -> Callable[[str, str], KnownUnit]:
    """Return a look-up from site and unit to what a job says of it.

    Parameters
    ----------
    folder
        With the jobs; None where there are none.
    otherwise
        What is known of a unit without a job.

    Raises
    ------
    Refused
        There is no such folder, or a job in it has mistakes.
    """
    if folder is None:
        return lambda _site, _unit: otherwise
    if not folder.is_dir():
        raise Refused(Refusal("is no folder", "a folder of jobs", "--jobs", str(folder)))
    found: dict[tuple[str, str], list[KnownUnit]] = {}
    for path in sorted(one for one in folder.rglob("*") if one.suffix in SUFFIXES):
        kept = load(path)
        worked = work(kept.job, kept.beside)
        facts = kept.job.facts
        known = known_of(facts, worked.plan, kept.job.readings, worked.verdicts)
        for site in ("", _bare(facts.site.name)):
            found.setdefault((site, _bare(facts.unit.tag)), []).append(known)

    def of(site: str, unit: str) -> KnownUnit:
        here, anywhere = (found.get((one, _bare(unit)), []) for one in (_bare(site), ""))
        return next((one[0] for one in (here, anywhere) if len(one) == 1), otherwise)

    return of


def _bare(name: str) -> str:
    return "".join(sign for sign in name.casefold() if sign.isalnum())
