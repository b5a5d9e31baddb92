"""A supply airflow of another time than the readings at the damper: told with its age, dropped after a change of the fan.

The readings are invented, of an invented unit.
"""

from __future__ import annotations

from datetime import timedelta
from typing import Any

import pytest
from tests.invented import facts, left, mixed, readings, supply

from ventwright.evidence import Verdict
from ventwright.plan import make_plan
from ventwright.verdict import SpeedVerdict, Verdicts, judge
from ventwright.verdict.balance.findings import old
from ventwright.verdict.supply import supply_at

ANOTHER_TIME, BEFORE_REPAIR = "balance.supply_of_another_time", "balance.supply_before_repair"


def dated(day: str, **other: Any) -> dict[str, Any]:
    """A supply airflow at high speed, measured at another time."""
    return supply(**other) | {"id": "supply", "at": f"{day}T09:00-08:00"}


def worked(*entries: dict[str, Any]) -> Verdicts:
    """Verdicts with a good reading at the damper of 25 November 2026, left where it was read."""
    known = facts()
    return judge(known, make_plan(known), readings(*entries, mixed(), left()))


def high(verdicts: Verdicts) -> SpeedVerdict:
    """High speed as judged."""
    return next(one for one in verdicts.speeds if one.name == "high")


def named(verdicts: Verdicts) -> list[str]:
    """What the balance finds."""
    return [one.name for one in verdicts.balance.findings]


@pytest.mark.parametrize(
    ("day", "method", "age"),
    [
        ("2026-11-10", "traverse", "15 days before"),
        ("2026-06-02", "flow plate", "5 months before"),
        ("2023-05-02", "balancing report", "3 years before"),
        ("2026-12-10", "traverse", "14 days after"),
    ],
)
def test_a_supply_airflow_of_another_time_counts_and_says_how_old_it_is(
    day: str, method: str, age: str
) -> None:
    """It carries its verdict, never silently: the finding names its date and age, and so does the sentence of the verdict."""
    verdicts = worked(dated(day, method=method))
    judged = high(verdicts)

    (finding,) = verdicts.balance.findings
    assert (finding.name, finding.readings) == (ANOTHER_TIME, ("supply",))
    assert (
        finding.sentence.show("us")
        == f"the supply airflow at high speed (by {method}) is of {day}, {age} the readings at the damper"
    )
    assert "fan, belt, filters and speeds are as they were" in finding.settle_by.show("us")
    assert judged.verdict is Verdict.PASSES
    assert judged.flow is not None
    assert f"with a supply airflow measured {age} the readings at the damper" in judged.flow.sentence.show(
        "us"
    )


@pytest.mark.parametrize("day", ["2026-11-19", "2026-11-25", "2026-12-01"])
def test_a_supply_airflow_of_the_same_week_is_not_remarked_on(day: str) -> None:
    """Within the days for which readings at the damper count together nothing is said."""
    verdicts = worked(dated(day))

    assert named(verdicts) == []
    assert high(verdicts).verdict is Verdict.PASSES


def test_a_design_value_has_no_age() -> None:
    """It was never measured, and carries nothing anyhow."""
    assert named(worked(dated("2020-01-01", method="design value"))) == []


@pytest.mark.parametrize("of", ["fan_or_filter", "speed_signal_missing", "fan_speed_signal_missing_at_fan"])
def test_a_supply_airflow_of_before_another_fan_speed_is_dropped(of: str) -> None:
    """What was measured before a new belt is of another fan: the plan's own value stands in, and that passes nothing."""
    change = {"what": "repaired", "of": of, "at": "2026-11-24T12:00-08:00"}
    verdicts = worked(dated("2026-11-24"), change)
    judged = high(verdicts)

    assert judged.verdict is Verdict.CANNOT_TELL
    assert judged.supply_air_u is None
    assert judged.flow is not None
    assert judged.flow.shortfall is not None
    assert judged.flow.shortfall.name == "airflow.supply_is_design_value"
    (finding,) = verdicts.balance.findings
    assert (finding.name, finding.readings) == (BEFORE_REPAIR, ("supply",))
    assert finding.settle_by.show("us") == "measure the supply airflow at high speed again"


def test_measured_again_after_the_change_it_counts() -> None:
    """The newer reading takes the place of the older, and nothing is left to say."""
    change = {"what": "repaired", "of": "fan_or_filter", "at": "2026-11-24T12:00-08:00"}
    verdicts = worked(
        dated("2026-11-24"), change, supply("4010 cfm ± 4 %") | {"at": "2026-11-25T08:00-08:00"}
    )

    assert named(verdicts) == []
    assert high(verdicts).verdict is Verdict.PASSES


def test_a_repair_of_the_damper_leaves_the_supply_airflow() -> None:
    """Blades that move again do not make another supply airflow: only the readings at the damper are done again."""
    known = facts()
    plan = make_plan(known)
    change = {"what": "repaired", "of": "damper_stuck", "at": "2026-11-24T12:00-08:00"}
    found = supply_at(known, readings(dated("2026-11-24"), change), plan.speeds[0])

    assert found.reading == "supply"
    assert found.before_repair == ()


@pytest.mark.parametrize(
    ("days", "said"),
    [(8, "8 days before"), (60, "2 months before"), (729, "24 months before"), (730, "2 years before"), (-9, "9 days after")],
)  # fmt: skip
def test_how_old_is_said_in_whole_days_months_and_years(days: int, said: str) -> None:
    """As people say it."""
    assert old(timedelta(days=days)).show("si") == said


def test_a_design_value_is_not_measured_before_a_repair() -> None:
    """Nothing made another one of it: it stands as before, and nothing is said to be measured again but what was."""
    change = {"what": "repaired", "of": "fan_or_filter", "at": "2026-11-24T12:00-08:00"}
    design = dated("2026-11-20", method="design value", airflow="3900 cfm") | {"id": "design"}

    assert named(worked(design, change)) == []
    (finding,) = worked(dated("2026-11-19"), design, change).balance.findings
    assert finding.readings == ("supply",)


def test_an_airflow_in_unknown_frost_passes_nothing_and_asks_for_its_temperature() -> None:
    """At -25 C 1015 cfm weigh as 1115 cfm: what the temperature would take out of the limits does not pass without it."""
    flow = {
        "what": "outdoor airflow", "id": "hood", "at": "2026-11-25T12:00-08:00", "speed": "high", "damper_signal": "21 %",
        "airflow": "1140 cfm ± 4 %", "method": "flow hood",
    }  # fmt: skip
    known = facts()
    plan = make_plan(known)

    def of(**other: Any) -> SpeedVerdict:
        return high(judge(known, plan, readings(supply(), flow | other, left())))

    untold, cold = of(), of(outdoor_air="-25 C", volume="as it flows")
    assert untold.flow is not None
    assert untold.flow.shortfall is not None
    assert untold.verdict is Verdict.CANNOT_TELL
    assert "the temperature of its air" in untold.flow.shortfall.settle_by.show("us")
    assert cold.verdict is not Verdict.PASSES
    assert cold.flow is not None
    assert cold.flow.shortfall is None or "supply airflow" not in cold.flow.shortfall.settle_by.show("us")
    assert of(volume="standard air").verdict is Verdict.PASSES
