"""The balance: from readings in any order to a verdict at each fan speed, and to the one thing worth doing next.

The readings are invented, of an invented unit; what they must lead to follows from how they were made.
"""

from __future__ import annotations

import math
import random
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from pydantic import ValidationError
from tests.invented import PROBE, facts, left, mixed, readings, supply

from ventwright.evidence import Verdict
from ventwright.facts import Facts
from ventwright.physics.inference import Do
from ventwright.plan import make_plan
from ventwright.verdict import SpeedVerdict, Verdicts, judge
from ventwright.verdict.balance import SpeedBalance, curves

CFM = 0.3048**3 / 60
COLD, WARM = 34.0, 74.0
DEAD, REVERSED = "balance.damper_does_not_follow", "balance.damper_reversed"
CONTRADICT, CROSSED = "balance.readings_contradict", "balance.probes_crossed"

GAS = {"id": "gas", "kind": "carbon dioxide", "accuracy": "± 30 ppm", "calibrated": "2026-03-01"}
WET = {"id": "wet", "kind": "humidity", "accuracy": "± 1 %", "calibrated": "2026-03-01"}
HOOD = {"id": "hood", "kind": "airflow", "accuracy": "± 3 %", "calibrated": "2026-03-01"}
SECOND, THIRD = PROBE | {"id": "second"}, PROBE | {"id": "third"}
EVERY = facts(instruments=[PROBE, SECOND, THIRD, GAS, WET, HOOD])
THREE: dict[str, Any] = {
    "instrument": None,
    "outdoor_instrument": "probe",
    "return_instrument": "second",
    "mixed_instrument": "third",
}


def at(
    signal: float, share: float, speed: str = "high", outdoor: float = COLD, points: int = 8, **other: Any
) -> dict[str, Any]:
    """A reading that shows a share of outdoor air at a signal in per cent."""
    shown = f"{WARM - share * (WARM - outdoor):.3f} F"
    streams = {"outdoor_air": f"{outdoor} F", "return_air": f"{WARM} F", "mixed_air": [shown] * points}
    return mixed(speed=speed, damper_signal=f"{signal:g} %", **(streams | other))


def low_supply(airflow: str = "2640 cfm ± 4 %") -> dict[str, Any]:
    """The supply airflow at low speed, measured."""
    return supply(airflow, speed="low")


def slow(value: str) -> dict[str, Any]:
    """The minimum signal at low speed, read back."""
    return left("Fresh-air opening, fan slow", value)


def worked(*entries: dict[str, Any], known: Facts | None = None) -> Verdicts:
    """Verdicts on an invented job with these readings."""
    of_job = known or facts()
    return judge(of_job, make_plan(of_job), readings(*entries))


def of(verdicts: Verdicts, name: str = "high") -> tuple[SpeedVerdict, SpeedBalance]:
    """One speed: as judged, and as balanced."""
    return next(one for one in verdicts.speeds if one.name == name), verdicts.balance.speed(name)


def names(verdicts: Verdicts) -> list[str]:
    """Names of what is amiss."""
    return [one.name for one in verdicts.balance.findings]


def shortfall(judged: SpeedVerdict) -> str:
    """Name of what keeps a speed from being told."""
    assert judged.flow is not None
    assert judged.flow.shortfall is not None
    return judged.flow.shortfall.name


def advised(balanced: SpeedBalance) -> Do:
    """What to do next."""
    assert balanced.advice is not None
    return balanced.advice.do


def way_out(balanced: SpeedBalance) -> str:
    """The cheapest way out, as said."""
    assert balanced.advice is not None
    assert balanced.advice.way_out is not None
    return balanced.advice.way_out.show("us")


def u_of(verdicts: Verdicts, name: str = "high") -> float:
    """Standard uncertainty of the share."""
    judged, _ = of(verdicts, name)
    assert judged.outdoor_air_fraction_u is not None
    return judged.outdoor_air_fraction_u


# the damper


@pytest.mark.parametrize(("low", "high"), [(10, 90), (0, 100)])
@pytest.mark.parametrize("share", [0.15, 0.30, 0.60])
def test_a_dead_damper_is_found(low: int, high: int, share: float) -> None:
    """The same share near both ends of the stroke fails the damper, and no further reading is asked for."""
    verdicts = worked(supply(), at(low, share), at(high, share))

    assert DEAD in names(verdicts)
    assert verdicts.damper is not None
    assert verdicts.damper.verdict is Verdict.FAILS
    _, balanced = of(verdicts)
    assert advised(balanced) is Do.STOP
    assert "power off" in way_out(balanced)


def test_a_sound_damper_is_not_called_dead() -> None:
    """A steep rise, a slow one, and one that ends early are no dead damper."""
    for shares in ((0.05, 0.30, 0.85), (0.02, 0.08, 0.20), (0.05, 0.27, 0.29)):
        verdicts = worked(
            supply(), *(at(signal, share) for signal, share in zip((5, 40, 95), shares, strict=True))
        )
        assert verdicts.damper is None, shares


def test_in_mild_weather_nothing_is_said_of_the_damper() -> None:
    """Four degrees between the streams tell no dead damper from one that lets in a little more."""
    verdicts = worked(supply(), at(10, 0.30, outdoor=70.0), at(90, 0.30, outdoor=70.0))
    assert verdicts.damper is None


def test_a_reversed_linkage_is_found() -> None:
    """A share that falls as the signal rises fails the damper, and says to look at the probes too."""
    verdicts = worked(supply(), at(10, 0.75), at(50, 0.40), at(90, 0.10))

    assert names(verdicts) == [REVERSED]
    assert verdicts.damper is not None
    assert "falls as the signal rises" in verdicts.damper.sentence.show("us")
    assert "probes for outdoor and return air" in way_out(of(verdicts)[1])


@pytest.mark.parametrize("signal", [0, 100])
def test_signals_at_the_ends_of_the_range(signal: int) -> None:
    """A share that is wanted passes at either end of the stroke, where the signal was left there."""
    verdicts = worked(supply(), at(signal, 0.28), left(value=f"{signal} %"))
    judged, balanced = of(verdicts)

    assert judged.verdict is Verdict.PASSES
    assert judged.damper_signal == signal / 100
    assert advised(balanced) is Do.HOLD


def test_a_speed_that_falls_short_at_any_signal() -> None:
    """Half of what is wanted with the damper open, and less nearly closed: no signal brings it in, and that fails."""
    verdicts = worked(supply(), at(100, 0.15), at(20, 0.08), left(value="100 %"))
    judged, balanced = of(verdicts)

    assert judged.verdict is Verdict.FAILS
    assert judged.flow is not None
    assert "short of" in judged.flow.sentence.show("us")
    assert advised(balanced) is Do.CANNOT
    assert balanced.advice is not None
    assert "no signal brings in" in balanced.advice.because.show("us")
    assert "raise this speed" in way_out(balanced)


def test_a_speed_that_is_over_at_any_signal() -> None:
    """Half again what is wanted with the damper closed, and more when open: that fails too, and says so."""
    verdicts = worked(supply(), at(0, 0.42), at(100, 0.80), left(value="0 %"))
    judged, balanced = of(verdicts)

    assert judged.verdict is Verdict.FAILS
    assert judged.flow is not None
    assert "over" in judged.flow.sentence.show("us")
    assert advised(balanced) is Do.CANNOT
    assert balanced.advice is not None
    assert "at any signal" in balanced.advice.because.show("us")
    assert "seal what leaks" in way_out(balanced)


@pytest.mark.parametrize(("signal", "share"), [(0, 0.42), (100, 0.15), (0, 0.05), (100, 0.85)])
def test_an_end_of_the_stroke_is_not_read_twice(signal: int, share: float) -> None:
    """Whatever one end showed, the next reading is somewhere else."""
    _, balanced = of(worked(supply(), at(signal, share)))

    assert advised(balanced) in {Do.READ, Do.CANNOT}
    assert balanced.advice is not None
    if balanced.advice.do is Do.READ:
        assert balanced.advice.signal != signal / 100


# readings and speeds


def test_nothing_read() -> None:
    """Without a reading there is a first guess to read at, something to set today, and no verdict."""
    verdicts = worked()

    for name in ("high", "low"):
        judged, balanced = of(verdicts, name)
        assert shortfall(judged) == "airflow.nothing_read"
        assert judged.outdoor_air_fraction is None
        assert advised(balanced) is Do.READ
        assert balanced.set_today is not None


def test_a_unit_of_one_speed() -> None:
    """One fan speed is enough."""
    known = facts(
        unit={"fan_speeds": [{"name": "only", "supply_air": "4000 cfm"}]}, kit="single-speed-enthalpy"
    )
    label = next(one.label for one in make_plan(known).settings if "pening" in one.label)
    verdicts = worked(supply(speed="only"), at(21, 0.28, "only"), left(label), known=known)

    assert of(verdicts, "only")[0].verdict is Verdict.PASSES


def test_a_speed_that_was_not_read_is_told_by_the_other() -> None:
    """Readings at high speed narrow what to set at low speed, though less than its own would; there is no verdict."""

    def range_of(*entries: dict[str, Any]) -> float:
        today = of(worked(low_supply(), supply(), *entries), "low")[1].set_today
        assert today is not None
        return today.at_most - today.at_least

    many = [at(signal, 0.01 * signal + 0.05) for signal in (15, 30, 45)]
    none, of_other, own = range_of(), range_of(*many), range_of(at(30, 0.40, "low"))
    verdicts = worked(low_supply(), supply(), *many)

    assert own < of_other < 0.5 * none
    assert of(verdicts, "low")[0].verdict is Verdict.CANNOT_TELL
    assert of(verdicts, "low")[0].outdoor_air_fraction is None
    # 42.3 % wanted lies at 37 % of the signal on the straight line of the other speed
    assert of(verdicts, "low")[1].set_today is not None
    assert of(verdicts, "low")[1].set_today.signal == pytest.approx(0.37, abs=0.04)  # type: ignore[union-attr]


def test_all_readings_at_one_signal() -> None:
    """Ten readings of one thing are one reading with less scatter; probes and layers stay."""
    ten = worked(supply(), *[at(21, 0.28)] * 10, left())
    one = worked(supply(), at(21, 0.28), left())

    assert of(ten)[0].verdict is Verdict.PASSES
    assert 0.3 * u_of(one) < u_of(ten) < u_of(one)
    assert names(ten) == []


def test_entries_withdrawn_or_corrected_do_not_count() -> None:
    """What was taken back teaches nothing, and what was corrected only in its new words."""
    wrong = at(21, 0.40) | {"id": "wrong"}
    plain = worked(supply(), at(21, 0.28), left())
    for entries in (
        (wrong, {"what": "withdrawn", "corrects": "wrong"}, at(21, 0.28)),
        (wrong, at(21, 0.28) | {"corrects": "wrong"}),
    ):
        verdicts = worked(supply(), *entries, left())
        assert of(verdicts)[0].verdict is Verdict.PASSES
        assert of(verdicts)[0].outdoor_air_fraction == of(plain)[0].outdoor_air_fraction
        assert [one.signal for one in of(verdicts)[1].readings] == [0.21]


def _visit() -> list[dict[str, Any]]:
    """One visit's entries, each with its own time and id."""
    entries = [
        supply(), low_supply(), at(10, 0.12), at(21, 0.28), at(30, 0.45, "low"), at(60, 0.70, **THREE),
        {"what": "probes side by side", "probes": [
            {"instrument": "probe", "shows": "70.0 F"}, {"instrument": "second", "shows": "70.2 F"},
            {"instrument": "third", "shows": "69.9 F"}]},
        {"what": "outdoor airflow", "speed": "low", "damper_signal": "32 %", "airflow": "1200 cfm", "method": "flow hood"},
        left(), slow("30 %"),
    ]  # fmt: skip
    return [
        one | {"id": f"r{number}", "at": f"2026-11-25T08:{10 + number}-08:00"}
        for number, one in enumerate(entries)
    ]


@given(st.permutations(_visit()))
@settings(max_examples=12, deadline=None)
def test_the_order_of_entries_does_not_matter(order: list[dict[str, Any]]) -> None:
    """However the list is ordered, readings keep their times and the verdicts are the same."""
    expected, found = (worked(*entries, known=EVERY) for entries in (_visit(), order))

    assert found.speeds == expected.speeds
    assert found.balance == expected.balance


def test_readings_of_one_minute_are_one_visit() -> None:
    """With one and the same time on all readings nothing is lost; the later in the list counts as the later."""
    same = {"at": "2026-11-25T09:00-08:00"}
    verdicts = worked(supply(), at(10, 0.12) | same, at(21, 0.28) | same, left())

    assert of(verdicts)[0].verdict is Verdict.PASSES
    assert len(of(verdicts)[1].readings) == 2


# readings that contradict each other


CURVE = {10: 0.12, 25: 0.30, 40: 0.48, 60: 0.66}


@pytest.mark.parametrize(
    ("wrong", "share"),
    [(10, 0.45), (10, 0.70), (25, 0.05), (25, 0.60), (40, 0.20), (40, 0.80), (60, 0.30), (60, 0.96)],
)
def test_the_planted_wrong_reading_is_named(wrong: int, share: float) -> None:
    """One of four readings is far off: nothing can be told, and that very one is to be repeated."""
    shares = CURVE | {wrong: share}
    verdicts = worked(supply(), *(at(*one) for one in shares.items()), left(value="25 %"))
    judged, balanced = of(verdicts)

    assert names(verdicts) == [CONTRADICT]
    assert judged.verdict is Verdict.CANNOT_TELL
    assert advised(balanced) is Do.READ
    assert balanced.advice is not None
    assert balanced.advice.signal == wrong / 100
    assert f"repeat the reading at {wrong} %" in balanced.advice.because.show("us")


def test_readings_of_one_signal_that_differ_contradict() -> None:
    """Twenty per cent and thirty-six at one signal are not 28 per cent: nothing passes on their mean."""
    verdicts = worked(supply(), at(21, 0.20), at(21, 0.36), left())

    assert names(verdicts) == [CONTRADICT]
    assert of(verdicts)[0].verdict is Verdict.CANNOT_TELL
    assert advised(of(verdicts)[1]) is Do.READ


def test_a_repeated_reading_that_comes_out_as_before_is_believed() -> None:
    """Whoever repeats what he was told to is not told so again: another reading is in doubt then, or none."""
    odd = at(25, 0.60)
    entries = [supply(), *(at(*one) for one in CURVE.items() if one[0] != 25), odd]
    first, again = worked(*entries), worked(*entries, odd)

    assert of(first)[1].advice.signal == 0.25  # type: ignore[union-attr]
    assert all("25 %" not in one.settle_by.show("us") for one in again.balance.findings)


def test_one_of_many_at_one_signal_is_named() -> None:
    """The one that differs from its like is the one to repeat, not the first of them."""
    entries = [at(21, 0.28) | {"id": f"r{number}"} for number in range(6)]
    entries[4] = at(21, 0.40) | {"id": "odd"}
    verdicts = worked(supply(), *entries, left())

    assert [one.readings for one in verdicts.balance.findings] == [("odd",)]


def test_good_readings_do_not_contradict() -> None:
    """Readings of a smooth rise at both speeds go together."""
    entries = [at(*one) for one in CURVE.items()] + [
        at(signal, share, "low") for signal, share in CURVE.items()
    ]
    assert names(worked(supply(), low_supply(), *entries)) == []


@pytest.mark.parametrize(
    ("shown", "beyond"),
    [
        ({"return_air": "62.8 F", "mixed_air": ["74.0 F"] * 8}, "return"),
        ({"outdoor_air": "62.8 F", "mixed_air": ["34.0 F"] * 8}, "outdoor"),
    ],
    ids=["mixed for return", "mixed for outdoor"],
)
def test_two_probes_crossed(shown: dict[str, Any], beyond: str) -> None:
    """Mixed air outside its streams names the two probes that were taken for each other, and has the reading repeated."""
    verdicts = worked(supply(), mixed(**(THREE | shown)), left(), known=EVERY)
    judged, balanced = of(verdicts)

    assert names(verdicts) == [CROSSED]
    assert shortfall(judged) == "airflow.mixed_outside_streams"
    (finding,) = verdicts.balance.findings
    assert f"mixed air lies beyond {beyond} air" in finding.sentence.show("us")
    assert f"hold the mixed and the {beyond} probe side by side" in finding.settle_by.show("us")
    assert balanced.advice is not None
    assert (balanced.advice.do, balanced.advice.signal) == (Do.READ, 0.21)


def test_one_probe_is_not_held_beside_itself() -> None:
    """Where one probe read all three, two of its values were swapped, not two probes."""
    (finding,) = worked(
        supply(), mixed(outdoor_air="62.8 F", mixed_air=["34.0 F"] * 8), left()
    ).balance.findings

    assert finding.name == CROSSED
    assert "the probe showed in the two was written down the wrong way round" in finding.sentence.show("us")
    assert "side by side" not in finding.settle_by.show("us")


def test_a_reading_that_says_nothing_takes_no_pass_away() -> None:
    """After a pass, outdoor air as warm as return air tells nothing: neither for nor against it."""
    proved = [supply(), at(21, 0.28), left()]
    even = at(21, 0.28) | {
        "outdoor_air": "74 F",
        "mixed_air": ["74 F"] * 8,
        "at": "2026-11-25T15:30:00-08:00",
    }
    alone, _ = of(worked(*proved))
    judged, balanced = of(worked(*proved, even))

    assert alone.verdict is Verdict.PASSES
    assert judged.verdict is Verdict.PASSES
    assert judged.probability_within == alone.probability_within
    assert advised(balanced) is Do.HOLD


def test_a_reading_that_is_wrong_takes_the_pass_away() -> None:
    """Mixed air colder than both its streams cannot be: until it is read again nothing passes."""
    proved = [supply(), at(21, 0.28), left()]
    wrong = at(21, 0.28) | {"mixed_air": ["20 F"] * 8, "at": "2026-11-25T15:30:00-08:00"}

    judged, balanced = of(worked(*proved, wrong))

    assert judged.verdict is Verdict.CANNOT_TELL
    assert advised(balanced) is Do.READ


# the supply airflow


@pytest.mark.parametrize("moved", ["700 cfm ± 4 %", "60 cfm ± 4 %"])
@pytest.mark.parametrize("read", [[], [at(100, 0.9)]], ids=["nothing read", "read"])
def test_more_air_than_the_fan_moves_is_said_at_once(moved: str, read: list[dict[str, Any]]) -> None:
    """1,120 cfm of outdoor air are wanted of a fan that moves less: no reading at the damper is asked for."""
    _, balanced = of(worked(supply(moved), *read))

    assert advised(balanced) is Do.CANNOT
    assert balanced.advice is not None
    assert "the fan moves no more than" in balanced.advice.because.show("us")
    assert "raise this speed" in way_out(balanced)


def test_a_supply_airflow_that_might_be_enough_is_no_reason_to_give_up() -> None:
    """1,120 cfm wanted of 1,050 ± 15 %: it may be enough, so the damper is read."""
    _, balanced = of(worked(supply("1050 cfm ± 15 %")))

    assert advised(balanced) is Do.READ


@pytest.mark.parametrize(
    "design", [None, supply("4000 cfm", method="design value")], ids=["not read", "design value"]
)
def test_a_design_value_alone_never_passes(design: dict[str, Any] | None) -> None:
    """Perfect readings on a design value pass nothing; the way out is to measure it, and not to read again."""
    entries = [at(signal, 0.28 + 0.01 * (signal - 21)) for signal in (15, 21, 21, 21, 30)]
    judged, balanced = of(worked(*([design] if design else []), *entries, left()))

    assert shortfall(judged) == "airflow.supply_is_design_value"
    assert advised(balanced) is Do.STOP
    assert "measure the supply airflow" in way_out(balanced)


def test_a_supply_airflow_too_uncertain() -> None:
    """Twenty per cent of doubt about the supply is more than ten of tolerance: no reading helps, a better supply does."""
    judged, balanced = of(worked(supply("4000 cfm ± 20 %"), at(21, 0.28), left()))

    assert shortfall(judged) == "airflow.supply_uncertain"
    assert advised(balanced) is Do.STOP
    assert "measure the supply airflow to ±" in way_out(balanced)


def test_a_wide_tolerance_does_not_let_a_design_value_pass() -> None:
    """Even where half of what is required would do, somebody has to measure the supply airflow."""
    known = facts(ventilation={"tolerance": "50 %"})
    judged, balanced = of(worked(at(21, 0.28), left(), known=known))

    assert judged.verdict is Verdict.CANNOT_TELL
    assert advised(balanced) is Do.STOP
    assert "measure the supply airflow" in way_out(balanced)


# other kinds of reading


def test_kinds_of_reading_agree() -> None:
    """Temperature, carbon dioxide, humidity, airflow and air behind the fan say the same share, each with its band."""
    kinds: dict[str, dict[str, Any]] = {
        "temperature": at(21, 0.28),
        "behind the fan": mixed(mixed_air=["64.3 F"], behind_fan=True),
        "behind the fan, its heat reckoned": mixed(mixed_air=["63.8 F"], behind_fan=True, fan_heat="1.0 F ± 0.2 F"),
        "carbon dioxide": {
            "what": "carbon dioxide", "speed": "high", "damper_signal": "21 %", "outdoor_concentration": "420 ppm",
            "return_concentration": "1020 ppm", "mixed_concentration": "852 ppm", "instrument": "gas"},
        "airflow": {"what": "outdoor airflow", "speed": "high", "damper_signal": "21 %", "airflow": "1120 cfm ± 4 %",
            "method": "traverse of the hood"},
        "humidity": {
            # humidity ratios of 3.9, 9.3 and 7.8 g/kg at sea level: 28 % of the way (psychrometric chart)
            "what": "humidity", "speed": "high", "damper_signal": "21 %", "outdoor_dry_bulb": "34.0 F",
            "outdoor_relative_humidity": "95 %", "return_dry_bulb": "74.0 F", "return_relative_humidity": "52 %",
            "mixed_dry_bulb": "62.8 F", "mixed_relative_humidity": "64.4 %", "instrument": "wet", "thermometer": "probe"},
    }  # fmt: skip
    for kind, entry in kinds.items():
        verdicts = worked(supply(), entry, left(), known=EVERY)
        judged, balanced = of(verdicts)
        (point,) = balanced.readings
        assert judged.outdoor_air_fraction is not None, kind
        assert judged.outdoor_air_fraction == pytest.approx(0.28, abs=2.0 * u_of(verdicts)), kind
        assert point.outdoor_air_fraction == pytest.approx(0.28, abs=0.01), kind
        assert 0.002 < u_of(verdicts) < 0.06, kind
    together = worked(supply(), *kinds.values(), left(), known=EVERY)
    assert names(together) == []
    assert of(together)[0].verdict is Verdict.PASSES


def test_the_fans_heat_is_taken_off() -> None:
    """A degree of heat behind the fan is two and a half hundredths of share at forty degrees: with it off, the share is right."""
    shown = mixed(mixed_air=["63.8 F"], behind_fan=True, fan_heat="1.0 F ± 0.2 F")
    forgotten = mixed(mixed_air=["63.8 F"] * 8)

    right, wrong = (of(worked(supply(), one, left()))[0].outdoor_air_fraction for one in (shown, forgotten))

    assert right == pytest.approx(0.28, abs=0.001)
    assert wrong == pytest.approx(0.255, abs=0.001)


def test_an_airflow_measured_directly_needs_little_of_the_supply() -> None:
    """Directly measured to 4 per cent, the airflow passes beside a supply airflow that is only known to 20."""
    flow = {"what": "outdoor airflow", "speed": "high", "damper_signal": "21 %", "airflow": "1116 cfm ± 4 %",
            "method": "traverse of the hood", "volume": "standard air"}  # fmt: skip
    judged, _ = of(worked(supply("4000 cfm ± 20 %"), flow, left()))

    assert judged.verdict is Verdict.PASSES
    assert judged.outdoor_air == pytest.approx(1116 * CFM, rel=0.01)
    # 2 % of the airflow itself, and twice where the blades come to rest: 0.4 of 28 hundredths, when read and when left
    assert judged.outdoor_air_u == pytest.approx(1116 * CFM * math.hypot(0.02, 0.4 / 28, 0.4 / 28), rel=0.15)


def test_probes_side_by_side_narrow_the_band() -> None:
    """Three probes that were held in one air carry nearly what one carries; what they differed by is taken off."""
    bad: dict[str, Any] = {"return_air": f"{WARM + 0.4} F"}  # the second probe shows 0.4 °F too much
    side = {"what": "probes side by side", "probes": [
        {"instrument": "probe", "shows": "70.0 F"}, {"instrument": "second", "shows": "70.4 F"},
        {"instrument": "third", "shows": "70.0 F"}]}  # fmt: skip
    blind, checked, one = (
        worked(supply(), *entries, left(), known=EVERY)
        for entries in ([at(21, 0.28, **THREE, **bad)], [side, at(21, 0.28, **THREE, **bad)], [at(21, 0.28)])
    )

    assert u_of(one) < u_of(checked) < 0.75 * u_of(blind)
    assert of(checked)[0].outdoor_air_fraction == pytest.approx(0.28, abs=0.002)
    assert of(blind)[0].outdoor_air_fraction == pytest.approx(0.287, abs=0.002)


def test_an_end_of_the_stroke_narrows_offsets() -> None:
    """A closed damper tells offsets of three probes, so that the reading at the minimum is known more closely."""
    one = at(21, 0.28, outdoor=54.0, **THREE)
    closed = at(0, 0.02, outdoor=54.0, **THREE)

    alone, with_end = (worked(supply(), *entries, left(), known=EVERY) for entries in ((one,), (closed, one)))

    assert u_of(with_end) < 0.9 * u_of(alone)


@given(st.floats(0.05, 0.9), st.floats(0.05, 0.9))
@settings(max_examples=12, deadline=None)
def test_a_share_by_three_probes_is_never_known_better_than_by_one(first: float, second: float) -> None:
    """More errors never make more certain, whatever the two readings show."""
    entries = ((20.0, first), (40.0, second))
    one, three = (
        worked(supply(), *(at(*entry, **probes) for entry in entries), left(value="20 %"), known=EVERY)
        for probes in ({}, THREE)
    )
    assert u_of(three) >= u_of(one) - 1e-6


# set today, and ways out


@pytest.mark.parametrize(
    ("entries", "says"),
    [
        ([supply(), at(21, 0.28, outdoor=66.0), left()], "come back when outdoor and return air are"),
        ([supply(), at(21, 0.28, points=1), left()], "eight points or more"),
        ([supply("4000 cfm ± 20 %"), at(21, 0.28), left()], "measure the supply airflow"),
        ([at(21, 0.28), left()], "measure the supply airflow"),
        ([supply(), mixed(mixed_air=["56 F", "68 F"] * 4), left()], "read where the air has mixed"),
    ],
    ids=["mild", "single point", "supply uncertain", "design value", "layers"],
)
def test_a_stop_names_the_cheapest_way_out(entries: list[dict[str, Any]], says: str) -> None:
    """Where no further reading of the kind settles it, the search ends and says what would."""
    judged, balanced = of(worked(*entries))

    assert judged.verdict is Verdict.CANNOT_TELL
    assert advised(balanced) is Do.STOP
    assert says in way_out(balanced)


def test_a_poor_probe_in_mild_weather() -> None:
    """Three probes good to two degrees settle nothing at twelve: the difference that they need is named."""
    poor = [
        PROBE | {"id": name, "accuracy": "± 2 F", "repeatability": "± 1.5 F"}
        for name in ("probe", "second", "third")
    ]
    judged, balanced = of(
        worked(supply(), at(21, 0.28, outdoor=62.0, **THREE), left(), known=facts(instruments=poor))
    )

    assert judged.verdict is Verdict.CANNOT_TELL
    assert advised(balanced) in {Do.STOP, Do.COMPARE}
    if balanced.advice is not None and balanced.advice.do is Do.STOP:
        assert "come back when" in way_out(balanced)


def test_nobody_is_sent_back_for_weather_below_the_least_difference() -> None:
    """The difference to come back for is never one at which no verdict is given."""
    fine = facts(instruments=[PROBE | {"accuracy": "± 0.05 F", "repeatability": "± 0.02 F"}])
    _, balanced = of(worked(supply(), at(21, 0.28, outdoor=66.0), left(), known=fine))

    assert advised(balanced) is Do.STOP
    assert "10.0 °F apart or more" in way_out(balanced)


@pytest.mark.parametrize(
    "entries",
    [
        [],
        [supply()],
        [at(21, 0.28), left()],
        [supply(), at(21, 0.28), left()],
        [supply(), at(21, 0.10), left()],
        [supply(), at(10, 0.3), at(90, 0.3)],
        [supply(), mixed(mixed_air=["80 F"] * 8)],
        [supply(), at(21, 0.20), at(21, 0.36)],
        [supply(), at(100, 0.1)],
        [supply(), mixed(instrument=None)],
    ],
)
def test_there_is_always_something_to_set_today(entries: list[dict[str, Any]]) -> None:
    """At each speed a signal and the range it probably brings in, whatever was read."""
    for one in worked(*entries).balance.speeds:
        assert one.set_today is not None
        assert 0.0 <= one.set_today.signal <= 1.0
        assert 0.0 <= one.set_today.at_least <= one.set_today.outdoor_air <= one.set_today.at_most


def test_the_signal_to_set_is_one_that_the_kit_takes() -> None:
    """A kit set in whole per cent is told whole per cent, with its volts beside it."""
    for entries in ([], [supply(), at(15, 0.2)], [supply(), at(15, 0.2), at(40, 0.5)]):
        _, balanced = of(worked(*entries))
        assert balanced.advice is not None
        assert balanced.set_today is not None
        for signal, volts in (
            (balanced.advice.signal, balanced.advice.signal_voltage),
            (balanced.set_today.signal, balanced.set_today.signal_voltage),
        ):
            assert signal is not None
            assert signal * 100 == pytest.approx(round(signal * 100), abs=1e-9)
            assert volts == pytest.approx(2.0 + 8.0 * signal)  # the kit's signal is 2 to 10 V


ANY = st.tuples(
    st.sampled_from([0, 5, 21, 22, 50, 100]), st.sampled_from([0.02, 0.27, 0.28, 0.5, 0.9]),
    st.sampled_from(["high", "low"]), st.sampled_from([34.0, 60.0, 68.0]), st.sampled_from([1, 8]),
)  # fmt: skip


@given(st.lists(ANY, max_size=5), st.sampled_from([None, "± 3 %", "± 12 %"]), st.sampled_from([None, "21 %"]))
@settings(max_examples=25, deadline=None)
def test_advice_and_verdict_do_not_contradict_each_other(
    taken: list[tuple[Any, ...]], band: str | None, setting: str | None
) -> None:
    """Only what could pass is to be left as it is, what passes is left or better set, and every end has a way out."""
    entries = [at(*one) for one in taken]
    if band:
        entries += [supply(f"4000 cfm {band}"), low_supply(f"2640 cfm {band}")]
    if setting:
        entries += [left(value=setting), slow(setting)]
    for name in ("high", "low"):
        judged, balanced = of(worked(*entries), name)
        advice = balanced.advice
        assert advice is not None
        # left as it is at the signal that is judged; to set another may rest on better readings there
        if advice.do is Do.HOLD:
            assert judged.verdict is not Verdict.CANNOT_TELL or shortfall(judged) in {
                "airflow.signal_not_read_back", "airflow.read_at_another_signal", "airflow.fraction_uncertain",
                "airflow.supply_uncertain",
            }  # fmt: skip
        if judged.verdict is Verdict.PASSES:
            assert advice.do in {Do.HOLD, Do.STOP}
        if advice.do in {Do.STOP, Do.CANNOT}:
            assert advice.way_out is not None
        else:
            assert advice.way_out is None


# much, and wrong


def _through_the_day(entries: list[dict[str, Any]]) -> list[dict[str, Any]]:
    return [
        one | {"at": f"2026-11-25T{6 + number // 3600:02d}:{number // 60 % 60:02d}:{number % 60:02d}-08:00"}
        for number, one in enumerate(entries)
    ]


MUCH = {
    "points": [at(21, 0.28, points=5000)],
    "readings at one signal": [at(21, 0.28)] * 1000,
    "readings over the stroke": [
        at(100 * number / 999, 0.07 + 0.01 * 100 * number / 999 * 0.85) for number in range(1000)
    ],
}


@pytest.mark.parametrize("case", MUCH)
def test_thousands_cost_no_more_than_a_few(case: str) -> None:
    """The work is counted, not timed: a thousand readings cost what a few dozen do."""
    verdicts = worked(*_through_the_day([supply(), *MUCH[case]]))

    assert of(verdicts)[0].outdoor_air_fraction is not None
    assert verdicts.balance.evaluations <= 24_000  # 12,000 for each of the two speeds
    assert names(verdicts) == []


def test_one_reading_is_cheap() -> None:
    """Both answers, the search for the next signal included, stay below what may be spent on one speed each."""
    for entries in ([], [at(21, 0.28)], [at(21, 0.2), at(30, 0.3, "low")]):
        assert worked(supply(), low_supply(), *entries).balance.evaluations <= 24_000


@pytest.mark.parametrize(
    ("entry", "problem"),
    [
        (at(21, 0.28) | {"damper_signal": "21 C"}, "21 C"),
        (at(21, 0.28) | {"outdoor_air": "34 %"}, "34 %"),
        (at(21, 0.28) | {"outdoor_air": "34"}, "34"),
        (at(21, 0.28) | {"mixed_air": ["62.8 cfm"]}, "62.8 cfm"),
        (supply("4000 F ± 4 %"), "4000 F"),
        (at(21, 0.28) | {"damper_signal": "121 %"}, "121 %"),
    ],
)
def test_wrong_units_are_refused(entry: dict[str, Any], problem: str) -> None:
    """A unit that measures something else, or none, is refused where it is typed."""
    with pytest.raises(ValidationError, match=problem):
        readings(entry)


def test_the_curve_goes_through_its_readings() -> None:
    """The curve for the picture passes the readings within their bands, and its band is widest far from them."""
    known = facts()
    seen = readings(supply(), *(at(*one) for one in CURVE.items()))
    traced = {round(one.signal, 4): one for one in curves(known, make_plan(known), seen)["high"]}

    assert len(traced) == 25
    assert traced[0.25].outdoor_air_fraction == pytest.approx(CURVE[25], abs=0.01)
    assert traced[0.25].at_most - traced[0.25].at_least < 0.5 * (traced[1.0].at_most - traced[1.0].at_least)
    assert all(
        0.0 <= one.at_least <= one.outdoor_air_fraction <= one.at_most <= 1.0 for one in traced.values()
    )


def test_the_bias_of_the_fixed_sensor_is_kept() -> None:
    """What the unit's own sensor shows beside the traverse is its bias, for the card."""
    (bias,) = worked(supply(), at(21, 0.28, sensor_shows="63.7 F")).balance.sensor_biases

    assert (bias.speed, bias.signal) == ("high", 0.21)
    assert bias.bias == pytest.approx(0.9 / 1.8, abs=1e-6)


# never a pass that the truth does not carry


def _random_unit(dice: random.Random) -> tuple[Verdict, bool]:
    """A random curve, read exactly but for the errors of probe and supply as they are stated; judged, and the truth."""
    leak, reach, power = dice.uniform(0.0, 0.12), dice.uniform(0.4, 0.85), dice.uniform(0.6, 1.8)
    true_supply, signal = 4000.0 * dice.uniform(0.9, 1.1), dice.uniform(0.12, 0.45)
    outdoor = WARM - dice.uniform(20.0, 60.0)
    offset = dice.gauss(
        0.0, 0.25 * 0.91**0.5
    )  # ± 0.5 °F; a third of it differs between cold and warm air, as stated

    def share(at_signal: float) -> float:
        return leak + reach * math.pow(at_signal, power)

    def shown(truth: float) -> float:
        return truth + offset + dice.gauss(0.0, 0.075) + dice.gauss(0.0, 0.05)

    def entry(at_signal: float) -> dict[str, Any]:
        held = at_signal + dice.gauss(0.0, 0.002)
        mixed_air = WARM - share(held) * (WARM - outdoor)
        return mixed(
            damper_signal=f"{100 * at_signal:.2f} %", outdoor_air=f"{shown(outdoor):.3f} F",
            return_air=f"{shown(WARM):.3f} F", mixed_air=[f"{shown(mixed_air):.3f} F"] * 8,
        )  # fmt: skip

    others = [entry(dice.uniform(0.05, 0.7)) for _ in range(dice.randrange(3))]
    measured = supply(f"{true_supply * (1.0 + dice.gauss(0.0, 0.02)):.1f} cfm ± 4 %")
    verdicts = worked(measured, *others, entry(signal), left(value=f"{100 * signal:.2f} %"))
    truth = share(signal) * true_supply
    return of(verdicts)[0].verdict, abs(truth - 1116.0) <= 0.1 * 1116.0


UNITS = 200


def test_few_verdicts_on_random_curves_are_wrong() -> None:
    """Of 200 random units at most one pass in twenty is wrong, and one fail; the count is large enough to find a tenth."""
    dice = random.Random(20261126)  # noqa: S311 - repeatable, not secret
    outcomes = [_random_unit(dice) for _ in range(UNITS)]
    passed = [true for verdict, true in outcomes if verdict is Verdict.PASSES]
    failed = [true for verdict, true in outcomes if verdict is Verdict.FAILS]

    assert len(passed) >= 20, "too few passes to say anything"
    assert len(failed) >= 60, "too few fails to say anything"
    assert passed.count(False) <= 0.05 * len(passed)
    assert failed.count(True) <= 0.05 * len(failed)
