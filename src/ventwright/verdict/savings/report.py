"""Everything that is said of a year: the comparison, or what is published; the choice, the return, the owner's page."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from ventwright.facts import Facts
from ventwright.plan import Plan
from ventwright.readings import Readings
from ventwright.tables.weather import WeatherYear
from ventwright.verdict import Verdicts
from ventwright.verdict.deficiency import Deficiency
from ventwright.verdict.savings import Savings, make_savings
from ventwright.verdict.savings.come_back import Return, when_to_come_back
from ventwright.verdict.savings.high_limit_choice import HighLimitChoice, choose_high_limit
from ventwright.verdict.savings.owner import OwnersPage, owners_page
from ventwright.verdict.savings.published import Published, published


@dataclass(frozen=True, slots=True)
class SavingsReport:
    """A year as it is shown on every screen. ``savings`` and ``choice`` are None where there is no weather."""

    savings: Savings | None
    choice: HighLimitChoice | None
    published: Published
    come_back: Return
    owner: OwnersPage


def report(
    facts: Facts,
    plan: Plan,
    readings: Readings,
    verdicts: Verdicts,
    deficiencies: Sequence[Deficiency],
    year: WeatherYear | None,
    *,
    draws: int,
) -> SavingsReport:
    """Reckon a year and say everything of it.

    Parameters
    ----------
    facts, plan, readings, verdicts, deficiencies
        Of the job.
    year
        Weather of the place; None where there is none.
    draws
        Years drawn for each range.

    Raises
    ------
    Refused
        The unit never runs.
    """
    known = published(plan)
    savings = None if year is None else make_savings(facts, plan, readings, year, draws=draws)
    return SavingsReport(
        savings=savings,
        choice=None if savings is None else choose_high_limit(savings, draws=draws),
        published=known,
        come_back=when_to_come_back(facts, plan, verdicts, year),
        owner=owners_page(facts, plan, readings, verdicts, deficiencies, savings or known),
    )
