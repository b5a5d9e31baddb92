"""A year for programs: energies in kWh, hours in h, everything else in SI, units in the key names."""

from __future__ import annotations

from typing import Any

from ventwright.cli import show
from ventwright.job import Job
from ventwright.verdict.savings import Savings, Spread, StrategyOutcome, saved_share
from ventwright.verdict.savings.come_back import ComeBack
from ventwright.verdict.savings.report import SavingsReport
from ventwright.words import plain

KWH = 3.6e6
"""J"""


def savings_document(job: Job, found: SavingsReport) -> dict[str, object]:
    """Return a year as a document."""
    return {
        **show.about(job),
        "published": _published(found),
        **({} if found.savings is None else _year(found.savings, found)),
        "come_back": {
            "sentence": plain(found.come_back.sentence),
            "checks": [_come_back(one) for one in found.come_back.checks],
        },
        "owner": plain(found.owner),
    }


def _published(found: SavingsReport) -> dict[str, Any]:
    one = found.published
    return {
        "climate_zone": one.climate_zone,
        "low": one.low,
        "high": one.high,
        "at_most_kWh": None if one.at_most is None else one.at_most / KWH,
        "sentence": plain(one.sentence),
        "source": one.source,
        "confirmed": one.confirmed,
    }


def _year(savings: Savings, found: SavingsReport) -> dict[str, Any]:
    check = savings.check
    return {
        "weather": {"place": savings.place, "kind": savings.weather, "invented": savings.invented},
        "open_h": savings.open_hours,
        "draws": savings.draws,
        "currency": savings.currency,
        "strategies": [_strategy(one, savings.none) for one in savings.outcomes],
        "inputs": [
            {"name": one.name, "middle": one.middle, "u": one.uncertainty, "given": one.given, "source": one.source}
            for one in savings.inputs
        ],
        "drivers": [
            {"input": one.words, "given": one.given, "low_end_kWh": one.low_end / KWH, "high_end_kWh": one.high_end / KWH}
            for one in savings.drivers
        ],
        "check": {
            "by_hours_kWh": check.by_hours / KWH,
            "by_bins_kWh": check.by_bins / KWH,
            "by_degree_hours_kWh": None if check.by_degree_hours is None else check.by_degree_hours / KWH,
            "by_degree_hours_uncapped_kWh": None
            if check.by_degree_hours_uncapped is None
            else check.by_degree_hours_uncapped / KWH,
        },
        "flags": plain(savings.flags),
        "notes": plain((*savings.notes, savings.not_told)),
        "high_limit": None
        if found.choice is None
        else {
            "sentence": plain(found.choice.sentence),
            "accuracy": plain(found.choice.accuracy),
            "controls": [
                {
                    "name": one.name,
                    "limit": plain(one.limit),
                    "saved_kWh": one.saved / KWH,
                    "lost_to_errors_kWh": one.lost_to_errors / KWH,
                    "lost_at_worst_kWh": one.lost_at_worst / KWH,
                }
                for one in found.choice.controls
            ],
        },
    }  # fmt: skip


def _strategy(one: StrategyOutcome, none: StrategyOutcome) -> dict[str, Any]:
    year = one.year
    return {
        "name": one.name,
        "kind": one.kind.value,
        "cooling_kWh": year.cooling / KWH,
        "saved_kWh": one.saved.middle / KWH,
        "low": one.saved.low / KWH,
        "high": one.saved.high / KWH,
        "saved_share": saved_share(one, none),
        "free_cooling_h": year.free_cooling_h,
        "free_cooling_alone_h": year.free_cooling_alone_h,
        "fans_kWh": year.fans / KWH,
        "heating_kWh": year.heating / KWH,
        "peak_W": year.peak,
        "short_of_air_h": year.short_of_air_h,
        "short_of_cooling_h": year.short_of_cooling_h,
        "cost": year.cost,
        "cost_saved": _ends(one.cost_saved),
        "emissions_kg": year.emissions_kg,
        "emissions_saved_kg": _ends(one.emissions_saved_kg),
        "over_as_left_kWh": _ends(one.over, KWH),
        "heating_over_as_left_kWh": _ends(one.heating_over, KWH),
        "cost_over_as_left": _ends(one.cost_over),
        "cooling_range_kWh": _ends(one.cooling, KWH),
        "free_cooling_range_h": _ends(one.free_cooling_h),
        "peak_range_W": _ends(one.peak),
        "short_of_air_range_h": _ends(one.short_of_air_h),
    }


def _ends(spread: Spread | None, divisor: float = 1.0) -> dict[str, float] | None:
    if spread is None:
        return None
    return {
        "middle": spread.middle / divisor,
        "low": spread.low / divisor,
        "high": spread.high / divisor,
    }


def _come_back(one: ComeBack) -> dict[str, Any]:
    months = () if one.calendar is None else one.calendar.months
    return {
        "check": one.check,
        "what": plain(one.what),
        "needs": plain(one.needs),
        "weather_settles": one.weather_settles,
        "best_time": plain(one.best_time),
        "working_h": one.hours_a_year,
        "forecast": plain(one.forecast),
        "months": [
            {"name": month.name, "working_hours": month.working_hours, "hours": month.hours} for month in months
        ],
    }  # fmt: skip
