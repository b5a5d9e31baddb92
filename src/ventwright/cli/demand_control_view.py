"""The plan's section about demand control, for a terminal."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from ventwright.plan.demand_control import DemandControlPlan, SpeedDemand
    from ventwright.quantity import System


def print_demand_control(plan: DemandControlPlan, system: System) -> None:
    """Print set points and damper limits at design and at low occupancy."""
    from ventwright.cli import show
    from ventwright.quantity import AIRFLOW, CONCENTRATION
    from ventwright.words import Amount

    fitted = {True: "fitted", False: "not fitted", None: "not known whether fitted"}[plan.fitted]
    low = Amount(plan.low_outdoor_air, AIRFLOW).show(system)
    show.heading(f"Demand control ({fitted}): {low} of outdoor air at low occupancy")
    may = {True: "nothing when empty", False: "", None: ""}
    show.table(("space", "people", "at design", "at low occupancy", "CO2 set point", "why"), [
        (one.name, f"{round(one.people, 1):g}", Amount(one.design_outdoor_air, AIRFLOW).show(system),
         "; ".join(filter(None, (Amount(one.low_outdoor_air, AIRFLOW).show(system), may[one.may_close_when_empty]))),
         Amount(one.carbon_dioxide_set_point, CONCENTRATION).show(system), one.reason.show(system))
        for one in plan.spaces
    ])  # fmt: skip
    show.table(("speed", "% outdoor air at design", "at low occupancy", "start reading the low limit at"),
               [_row(one, system) for one in plan.speeds])  # fmt: skip
    for remark in plan.remarks:
        show.line(f"- {remark.show(system)}")
    if plan.sensor is not None:
        show.line(f"- sensor: {_sensor(plan, system)}")
    for doubt in plan.doubts:
        show.line(f"- {doubt}")


def _row(one: SpeedDemand, system: System) -> tuple[str, str, str, str]:
    from ventwright.quantity import FRACTION, VOLTAGE
    from ventwright.words import Amount

    signal = "none will do" if one.low_signal is None else Amount(one.low_signal, FRACTION).show(system)
    if one.low_signal_voltage is not None:
        signal += f", {Amount(one.low_signal_voltage, VOLTAGE).show(system)}"
    if one.low_signal_low is not None:
        signal += f" (guess; {one.low_signal_low:.0%} to {one.low_signal_high:.0%})"
    shares = (one.design_outdoor_air_fraction, one.low_outdoor_air_fraction)
    design, low = (Amount(share, FRACTION).show(system) for share in shares)
    return one.name, design, low, signal


def _sensor(plan: DemandControlPlan, system: System) -> str:
    from ventwright.quantity import CONCENTRATION, LENGTH
    from ventwright.words import Amount

    limits = plan.sensor
    if limits is None:
        return "nothing held here"
    band, low, high = (
        Amount(value, CONCENTRATION).show(system) for value in (limits.band, limits.at_low, limits.at_high)
    )
    hangs = " to ".join(
        Amount(value, LENGTH).show(system) for value in (limits.height_from, limits.height_to)
    )
    return (
        f"within ± {band} at {low} and {high}, {hangs} above the floor, made to hold for "
        f"{limits.years_between_calibrations} years between calibrations ({limits.source})"
    )
