"""Sensors that are off, and what is said of a damper with them: what is known of their accuracy counts, in every rule.

Logs are invented. Dampers that stick are those in which the study of simulated units once saw a wrong name, or none.
"""

from __future__ import annotations

from collections.abc import Callable

import pytest
from tests.agrees_with.test_trend_rules import (
    AT_MINIMUM,
    COMPRESSOR,
    WARM,
    Changes,
    faults,
    findings_of,
    flag,
    following,
)
from tests.trend_logs import DAY, HOUR, without

from ventwright.verdict.trend_findings import KnownUnit

SENSORS = ("outdoor_temperature", "return_temperature", "mixed_temperature", "supply_temperature")
ROUGH = KnownUnit(sensor_accuracy=dict.fromkeys(SENSORS, 1.0))
"""± 2 K at every sensor."""
DRY_BULB = KnownUnit(high_limit_control="fixed dry bulb", sensor_accuracy=ROUGH.sensor_accuracy)

BY_ROUGH_SENSORS = [
    ("cooling_with_outdoor_air_to_spare", {**AT_MINIMUM, **COMPRESSOR, "outdoor_temperature": 15.5}, ROUGH),
    ("free_cooling_above_every_limit", {**WARM, "outdoor_temperature": 26.0}, DRY_BULB),
    ("cools_without_call", {"mixed_temperature": 20.0, "supply_temperature": 12.5}, ROUGH),
    ("heats_without_call", {"mixed_temperature": 14.0, "supply_temperature": 23.7}, ROUGH),
    ("cools_without_effect", {"cooling_1": 1.0, "mixed_temperature": 20.0, "supply_temperature": 19.2}, ROUGH),
    ("heats_without_effect", {"heating_1": 1.0, "mixed_temperature": 15.0, "supply_temperature": 15.9}, ROUGH),
    ("mixed_outside_both", {"outdoor_temperature": 10.0, "return_temperature": 22.0, "mixed_temperature": 26.1}, ROUGH),
    ("mixed_outside_both", {"outdoor_temperature": 10.0, "return_temperature": 22.0, "mixed_temperature": 5.9}, ROUGH),
]  # fmt: skip


@pytest.mark.parametrize(("rule", "changes", "known"), BY_ROUGH_SENSORS)
def test_a_limit_moves_by_what_a_sensor_is_worse(rule: str, changes: Changes, known: KnownUnit) -> None:
    """What usual sensors would show is within what sensors of ± 2 K may feign; these say so of themselves."""
    usual = KnownUnit(high_limit_control=known.high_limit_control)
    assert flag(rule, changes, usual).flagged > 60
    assert flag(rule, changes, known).flagged == 0


def off(changes: Changes, sensor: str, offset: float) -> Changes:
    """Return the same with one sensor off."""
    true = changes[sensor]
    return {**changes, sensor: lambda time: (true(time) if callable(true) else true) + offset}  # type: ignore[operator]


@pytest.mark.parametrize("offset", [-2.0, 2.0])
@pytest.mark.parametrize("sensor", SENSORS[:3])
@pytest.mark.parametrize("outdoor", [5.0, 14.0, 17.0])
def test_sensors_said_to_be_off_by_2_k_name_nothing(outdoor: float, sensor: str, offset: float) -> None:
    """A sound damper, one sensor at the end of the band that the job says."""
    changes = following(lambda signal: 0.02 + 0.8 * signal, outdoor=outdoor)
    assert faults(findings_of(off(changes, sensor, offset), ROUGH, hours=72)) == []


def test_an_error_that_nobody_said_can_name_a_fault() -> None:
    """Without a word of the job the usual accuracy is taken for granted, and a mixed-air sensor 4 K off is none of it."""
    changes = off(following(lambda signal: 0.02 + 0.8 * signal, outdoor=14.0), "mixed_temperature", -4.0)
    found = findings_of(changes, hours=72)
    assert faults(found) != []
    assert found.assumed[0] == (
        "sensor accuracy: outdoor air within ± 1.0 K (1.8 °F), return air within ± 0.6 K (1.1 °F), mixed air within ± 1.0 K "
        "(1.8 °F), since nothing better is known of the sensors"
    )


def test_rough_sensors_still_show_what_is_far_beyond_them() -> None:
    """25 K between the streams and a damper that stands still."""
    assert faults(findings_of(following(lambda _: 0.25, outdoor=-5.0), ROUGH)) == ["outdoor_air_damper_stuck"]


def by_days(sound: int, weekend: int, shares: Callable[[float], float], at: float) -> Changes:
    """Return sound days, a weekend on which the damper is told to shut, and days as before: stuck from the weekend on."""

    def signal(time: int) -> float:
        idle = sound <= time // DAY < sound + weekend
        return 0.0 if idle or time % DAY < 2 * HOUR else 0.3

    def outdoor(time: int) -> float:
        return 5.0 + 0.6 * (time // HOUR % 2)

    def mixed(time: int) -> float:
        share = shares(signal(time)) if time < sound * DAY else at
        return 22.0 + share * (outdoor(time) - 22.0)

    return {
        "outdoor_temperature": outdoor,
        "return_temperature": 22.0,
        "outdoor_damper_signal": signal,
        "mixed_temperature": mixed,
        "supply_temperature": lambda time: mixed(time) + 1.0,
        "occupied": lambda time: float(signal(time) > 0.0),
    }


def test_sound_days_before_do_not_make_a_stuck_damper_a_leak() -> None:
    """It moved before it stuck, and not since: too much comes in, and no second name is given for that."""
    stuck = by_days(5, 2, lambda signal: 0.02 + 0.8 * signal, at=0.21)
    assert faults(findings_of(stuck, hours=8 * 24)) == ["excess_outdoor_air"]


def test_a_leak_keeps_its_name_over_a_weekend() -> None:
    """Days on which the damper was only told to shut say nothing of whether it moves; the days beside them do."""

    def signal(time: int) -> float:
        return 0.0 if time // DAY in {2, 3} or time % DAY < 6 * HOUR else 1.0

    def mixed(time: int) -> float:
        return 22.0 - (0.3 + 0.6 * signal(time)) * (17.0 - 0.6 * (time // HOUR % 2))

    changes = {
        **by_days(8, 0, lambda _: 0.0, at=0.0),
        "outdoor_damper_signal": signal,
        "mixed_temperature": mixed,
        "supply_temperature": lambda time: mixed(time) + 1.0,
        "occupied": lambda time: float(signal(time) > 0.0),
    }
    assert faults(findings_of(changes, hours=6 * 24)) == ["outdoor_air_damper_leaking"]


def test_a_share_a_little_beyond_the_possible_is_believed_within_its_uncertainty() -> None:
    """With 3 K between the streams sensors that err by a kelvin together make a share of 120 %: a damper that then shuts is seen."""

    def stuck(time: int) -> bool:
        return time >= 5 * DAY

    def outdoor(time: int) -> float:
        return (19.0 if stuck(time) else 26.0) - 0.6 * (time // HOUR % 2)

    def mixed(time: int) -> float:
        return 24.8 if stuck(time) else outdoor(time) - 0.9

    changes: Changes = {
        "outdoor_temperature": outdoor,
        "return_temperature": lambda time: 24.6 if stuck(time) else 29.0,
        "mixed_temperature": mixed,
        "supply_temperature": lambda time: mixed(time) + 1.0,
    }
    assert "outdoor_air_share_changed" in faults(findings_of(changes, hours=6 * 24))


def test_a_rule_without_its_points_says_what_it_lacks() -> None:
    """It is not the same as a rule that saw nothing."""
    silent = flag("mixed_outside_both", without("mixed_temperature"))
    assert (silent.judged, silent.why_silent) == (0, "mixed_temperature")
    assert flag("mixed_outside_both", {}).why_silent == ""
