"""Trend rules against the comparisons that APAR and ASHRAE Guideline 36 publish, and against units known to be so.

Thresholds: Guideline 36, fault conditions 2 and 3 with 3 K for mixed air and 1 K for return and outdoor air; 7 changes in 60
minutes (fault condition 4, APAR rule 28); from memory, as the rules' own data say. The other logs are invented: each is what
a rule names, or just is not.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping

import pytest
from tests.trend_logs import DAY, HOUR, START, Value, log, without

from ventwright.tables.fault_rule import rule_set
from ventwright.verdict.trend_findings import KnownUnit, RuleFlags, UnitFindings, findings, flags

Changes = Mapping[str, Value]
WARM: Changes = {"outdoor_temperature": 30.0, "return_temperature": 24.0, "mixed_temperature": 25.2}
COMPRESSOR: Changes = {"cooling_1": 1.0, "supply_temperature": 6.0}
AT_MINIMUM: Changes = {"outdoor_damper_signal": 0.2, "mixed_temperature": 20.8, "supply_temperature": 21.8}
NO_HEAT: Changes = {"heating_1": 0.0}


def flag(rule: str, changes: Changes, known: KnownUnit | None = None, **how: float) -> RuleFlags:
    """Return what one rule says of a log."""
    one = log(changes, **how)  # type: ignore[arg-type]
    return next(one for one in flags(one, rule_set(), known or KnownUnit()) if one.rule == rule)


def often(period: int, on: int) -> Callable[[int], float]:
    """Return a switch that is on at the beginning of every period. [s]"""
    return lambda time: float(time % period < on)


CARD = KnownUnit(minimum_signal={1.0: 0.2}, high_limit=21.0)

SHOWN = [
    ("cooling_with_outdoor_air_to_spare", {**AT_MINIMUM, **COMPRESSOR}, None),
    ("free_cooling_above_every_limit", {**WARM, "outdoor_humidity": 0.5, "return_humidity": 0.5}, None),
    ("free_cooling_above_every_limit", WARM, KnownUnit(high_limit_control="fixed dry bulb")),
    (
        "change_over_below_card",
        {"outdoor_temperature": 18.0, "outdoor_damper_signal": 0.2, "cooling_1": 1.0},
        CARD,
    ),
    ("signal_below_card", {"outdoor_damper_signal": 0.15}, CARD),
    ("signal_above_card", {**WARM, "outdoor_damper_signal": 0.25}, CARD),
    ("shut_when_occupied", {"outdoor_damper_signal": 0.0}, None),
    ("fan_off_when_occupied", {"supply_fan_status": 0.0}, None),
    ("open_while_heating", {"heating_1": 1.0}, None),
    ("heating_with_cooling", {"heating_1": 1.0, "cooling_1": 1.0}, None),
    ("cools_without_call", {"mixed_temperature": 20.0, "supply_temperature": 12.5}, None),
    ("heats_without_call", {"mixed_temperature": 14.0, "supply_temperature": 23.7}, None),
    ("cools_without_effect", {"cooling_1": 1.0, "mixed_temperature": 20.0, "supply_temperature": 19.2}, None),
    ("heats_without_effect", {"heating_1": 1.0, "mixed_temperature": 15.0, "supply_temperature": 15.9}, None),
    # outdoor 10, return 22 °C: below 10 - 1 - 3, above 22 + 1 + 3
    (
        "mixed_outside_both",
        {"outdoor_temperature": 10.0, "return_temperature": 22.0, "mixed_temperature": 5.9},
        None,
    ),
    (
        "mixed_outside_both",
        {"outdoor_temperature": 10.0, "return_temperature": 22.0, "mixed_temperature": 26.1},
        None,
    ),
    ("position_against_signal", {"outdoor_damper_position": 0.65}, None),
    ("share_against_signal", {"mixed_temperature": 22.0}, None),
]

NOT_SHOWN = [
    ("cooling_with_outdoor_air_to_spare", {**COMPRESSOR, "mixed_temperature": 14.2}, None),
    ("free_cooling_above_every_limit", {**WARM, "outdoor_damper_signal": 0.2}, CARD_DRY := KnownUnit(high_limit_control="fixed dry bulb")),
    ("change_over_below_card", {"outdoor_temperature": 18.0, "cooling_1": 1.0}, CARD),
    ("signal_below_card", {"outdoor_damper_signal": 0.18}, CARD),
    ("signal_above_card", {**WARM, "outdoor_damper_signal": 0.22}, CARD),
    ("shut_when_occupied", {"outdoor_damper_signal": 0.1}, None),
    ("fan_off_when_occupied", {}, None),
    ("open_while_heating", {"heating_1": 1.0, "outdoor_damper_signal": 0.3}, None),
    ("heating_with_cooling", {"cooling_1": 1.0}, None),
    ("cools_without_call", {"mixed_temperature": 20.0, "supply_temperature": 12.7}, None),
    ("heats_without_call", {"mixed_temperature": 14.0, "supply_temperature": 23.5}, None),
    ("cools_without_effect", {"cooling_1": 1.0, "mixed_temperature": 20.0, "supply_temperature": 18.8}, None),
    ("heats_without_effect", {"heating_1": 1.0, "mixed_temperature": 15.0, "supply_temperature": 16.2}, None),
    ("mixed_outside_both", {"outdoor_temperature": 10.0, "return_temperature": 22.0, "mixed_temperature": 6.1}, None),
    ("mixed_outside_both", {"outdoor_temperature": 10.0, "return_temperature": 22.0, "mixed_temperature": 25.9}, None),
    ("position_against_signal", {"outdoor_damper_position": 0.75}, None),
    ("share_against_signal", {}, None),
]  # fmt: skip

SILENT = [
    # warm outdoor air, a dry day nobody knows of, a fan that has only just started, no such point
    ("cooling_with_outdoor_air_to_spare", {**AT_MINIMUM, **COMPRESSOR, "outdoor_temperature": 17.0}, None),
    ("cooling_with_outdoor_air_to_spare", {**AT_MINIMUM, **COMPRESSOR, "supply_fan_status": often(1_500, 1_200)}, None),
    ("free_cooling_above_every_limit", WARM, None),
    ("free_cooling_above_every_limit", {**WARM, "outdoor_humidity": 0.2, "return_humidity": 0.5}, None),
    ("change_over_below_card", {"outdoor_temperature": 19.5, "outdoor_damper_signal": 0.2, "cooling_1": 1.0}, CARD),
    ("signal_below_card", {"outdoor_damper_signal": 0.15}, None),
    ("shut_when_occupied", {"outdoor_damper_signal": 0.0, "outdoor_temperature": -3.0}, None),
    ("share_against_signal", {"outdoor_temperature": 21.0}, None),
    ("share_against_signal", {"outdoor_damper_signal": lambda time: 0.2 + (time // 300 % 2) * 0.3}, None),
    ("cools_without_call", {"mixed_temperature": 20.0, "supply_temperature": 10.0, "cooling_1": 1.0}, None),
]  # fmt: skip


@pytest.mark.parametrize(("rule", "changes", "known"), SHOWN)
def test_a_rule_shows_its_fault(rule: str, changes: Changes, known: KnownUnit | None) -> None:
    """On every row on which it could be judged, and that is most of the day."""
    seen = flag(rule, changes, known)
    assert seen.judged > 60
    assert seen.flagged == seen.judged


@pytest.mark.parametrize(("rule", "changes", "known"), NOT_SHOWN)
def test_a_rule_is_judged_and_shows_nothing(rule: str, changes: Changes, known: KnownUnit | None) -> None:
    """Just on the other side of its threshold."""
    seen = flag(rule, changes, known)
    assert seen.judged > 60
    assert seen.flagged == 0


@pytest.mark.parametrize(("rule", "changes", "known"), SILENT)
def test_a_rule_keeps_silent(rule: str, changes: Changes, known: KnownUnit | None) -> None:
    """Where it cannot be judged it says neither yes nor no."""
    assert flag(rule, changes, known).judged == 0


@pytest.mark.parametrize(("period", "shown"), [(540, False), (420, True)])
def test_more_than_seven_starts_an_hour_are_too_many(period: int, shown: bool) -> None:
    """Guideline 36, fault condition 4: more than 7 changes in 60 minutes."""
    seen = flag("starts_in_an_hour", {"cooling_1": often(period, 180)}, hours=8, step=60)
    assert seen.judged > 300
    assert bool(seen.flagged) is shown


def test_a_log_every_quarter_of_an_hour_cannot_show_short_cycles() -> None:
    """Starts between two readings are not seen."""
    assert flag("starts_in_an_hour", {"cooling_1": often(1_800, 900)}, step=900).judged == 0


@pytest.mark.parametrize(("swing", "shown"), [(0.6, True), (0.05, False)])
def test_a_swinging_damper_hunts(swing: float, shown: bool) -> None:
    """A damper signal to and fro every ten minutes."""
    seen = flag(
        "travel_in_an_hour", {"outdoor_damper_signal": lambda time: 0.2 + swing * (time // 600 % 2)}, step=120
    )
    assert seen.judged > 100
    assert bool(seen.flagged) is shown


def by_day(time: int) -> float:
    """Return a temperature that swings by 8 K from day to night."""
    return 12.0 + (4.0 if time % DAY > 12 * HOUR else -4.0)


def test_a_sensor_that_stands_still_for_two_days_is_found() -> None:
    """A test resistor left in the outdoor sensor's place: the room and the supply air move, it does not."""
    frozen: Changes = {"outdoor_temperature": 20.0, "mixed_temperature": by_day, "supply_temperature": by_day}
    assert "substitute_resistor_left_on_outdoor_sensor" in faults(findings_of(frozen, hours=72))
    moving = {"outdoor_temperature": by_day, "mixed_temperature": by_day, "supply_temperature": by_day}
    assert "substitute_resistor_left_on_outdoor_sensor" in findings_of(moving, hours=72).sound


def findings_of(changes: Changes, known: KnownUnit | None = None, hours: float = 24.0) -> UnitFindings:
    """Judge an invented log."""
    return findings(log(changes, hours), rule_set(), known or KnownUnit())


def faults(found: UnitFindings) -> list[str]:
    """Return what was found."""
    return [one.fault for one in found.findings]


def following(share_of: Callable[[float], float], outdoor: float = 5.0) -> dict[str, Value]:
    """Return a day on which the damper is shut, at 20 % and open by turns, and gives some share of outdoor air."""

    def signal(time: int) -> float:
        return (0.0, 0.2, 1.0)[time // (2 * HOUR) % 3]

    def weather(time: int) -> float:
        return outdoor + 0.6 * (time // HOUR % 2)

    def mixed(time: int) -> float:
        return 22.0 + share_of(signal(time)) * (weather(time) - 22.0)

    return {
        "outdoor_temperature": weather,
        "outdoor_damper_signal": signal,
        "mixed_temperature": mixed,
        "return_temperature": 22.0,
        "supply_temperature": lambda time: 1.0 + mixed(time),
        "occupied": lambda time: float(signal(time) > 0.0),
    }


@pytest.mark.parametrize(
    ("share_of", "fault"),
    [
        (lambda signal: 0.02 + 0.8 * signal, None),
        (lambda signal: 0.02 + 0.45 * signal, None),
        (lambda _: 0.0, "outdoor_air_damper_stuck"),
        (lambda _: 0.25, "outdoor_air_damper_stuck"),
        (lambda _: 0.95, "outdoor_air_damper_stuck"),
        (lambda signal: 0.8 - 0.7 * signal, "outdoor_air_damper_actuator_reversed"),
        (lambda signal: 0.35 + 0.55 * signal, "outdoor_air_damper_leaking"),
    ],
)
def test_a_damper_is_named_by_what_it_gives(share_of: Callable[[float], float], fault: str | None) -> None:
    """A day of shares: followed, stuck anywhere, the wrong way round, leaking; and nothing else is named."""
    assert faults(findings_of(following(share_of))) == ([] if fault is None else [fault])


@pytest.mark.parametrize("offset", [-1.0, 1.0])
@pytest.mark.parametrize("sensor", ["outdoor_temperature", "return_temperature", "mixed_temperature"])
def test_an_offset_of_a_sensor_is_no_fault_of_the_damper(sensor: str, offset: float) -> None:
    """1 K off, within what energy codes accept, at any one sensor, day after day, with little between the streams."""
    changes = following(lambda signal: 0.02 + 0.8 * signal, outdoor=17.0)
    true = changes[sensor]
    changes[sensor] = lambda time: (true(time) if callable(true) else true) + offset  # type: ignore[operator]
    assert faults(findings_of(changes, hours=240)) == []


def test_below_twice_the_expanded_uncertainty_nothing_is_named() -> None:
    """3 K between the streams: a stuck damper cannot be told from a sound one, and what would settle it is said."""
    found = findings_of(following(lambda _: 0.25, outdoor=19.0))
    assert faults(found) == []
    told = {one.fault: one for one in found.cannot_tell}
    assert "outdoor_air_damper_stuck" in told
    assert "6 K" in told["outdoor_air_damper_stuck"].settle_by.show("si")


def test_what_was_left_makes_a_smaller_leak_known() -> None:
    """With the share that was read when the damper was left and matched sensors, a leak of 10 % is beyond doubt."""
    leak = following(lambda signal: 0.12 + 0.7 * signal)
    left = KnownUnit(
        sensor_accuracy=dict.fromkeys(
            ("outdoor_temperature", "return_temperature", "mixed_temperature"), 0.1
        ),
        as_left=((0.0, 0.02), (0.2, 0.2), (1.0, 0.82)),
    )
    assert faults(findings_of(leak)) == []
    assert faults(findings_of(leak, left)) == ["outdoor_air_damper_leaking"]


def test_without_mixed_air_supply_air_stands_in() -> None:
    """Supply air less the fan's heat, while no coil works, shows a stuck damper too."""
    changes = following(lambda _: 0.3, outdoor=-5.0) | without("mixed_temperature")
    assert faults(findings_of(changes, hours=48)) == ["outdoor_air_damper_stuck"]


def test_what_is_found_says_when_and_for_how_long() -> None:
    """First and last seen, hours judged of hours logged, what it costs, and what to do on the roof."""
    stuck = following(lambda _: 0.25)
    found = findings_of(stuck, KnownUnit(supply_airflow=1.0))
    (one,) = found.findings
    assert START <= one.first < one.last < START + DAY
    assert 10.0 < one.hours_judged < one.hours_logged == 24.0
    assert 0.95 < one.probability < 1.0
    assert one.next_measurement.measurement == "stroke"
    assert one.next_measurement.minutes > 0.0
    assert one.consequence.energy is not None
    assert one.consequence.energy.value > 0.0
    assert one.evidence[0].rule == "share_against_signal"
    hidden = {other.fault for other in found.cannot_tell}
    assert {"outdoor_air_damper_leaking", "excess_outdoor_air"} <= hidden


def test_settings_are_read_off_the_data() -> None:
    """The change-over lies between the warmest free cooling and the coolest hour without; the minimum is seen in the heat."""

    def outdoor(time: int) -> float:
        return 14.0 + 14.0 * (time % DAY) / DAY

    changes = {
        "outdoor_temperature": outdoor,
        "outdoor_damper_signal": lambda time: 1.0 if outdoor(time) < 20.0 else 0.22,
        "mixed_temperature": lambda time: (
            23.0 + (0.8 if outdoor(time) < 20.0 else 0.2) * (outdoor(time) - 23.0)
        ),
        "supply_temperature": lambda time: 13.0 if outdoor(time) >= 20.0 else outdoor(time) + 1.5,
        "cooling_1": lambda time: float(outdoor(time) >= 20.0),
    }
    found = findings_of(changes, hours=48)
    assert faults(found) == []
    change_over = found.observed.change_over
    assert change_over is not None
    assert change_over.uncertainty is not None
    assert change_over.value == pytest.approx(20.0, abs=2.0 * change_over.uncertainty)
    ((speed, minimum),) = found.observed.minimum_signal
    assert speed == pytest.approx(1.0)
    assert minimum.value == pytest.approx(0.22)
    assert {one.mode for one in found.states} == {"free cooling", "mechanical cooling"}
