"""The plan of control power: what it adds up, what it guesses and says so, and what it finds."""

from __future__ import annotations

import math
import random
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st
from tests.invented import facts

from ventwright.evidence import Verdict
from ventwright.facts.power import Power, WireRun
from ventwright.physics.circuit import phase_angle, vector_sum
from ventwright.plan import Weight, make_plan
from ventwright.plan.power import PowerPlan, plan_power
from ventwright.plan.power.finding import PowerFinding
from ventwright.plan.power.wire_run import RunPlan, drop_finding, run_of
from ventwright.tables.wire import wires
from ventwright.words import plain

FOOT = 0.3048

GOOD: dict[str, Any] = {
    "name": "unit", "rating": "40 VA", "supply": "208 V", "tap": "208 V", "class_2": "not inherently limited", "fused": "fused",
    "fuse": "2 A",
}  # fmt: skip
LOADS: list[dict[str, Any]] = [
    {"name": "board", "apparent_power": "12 VA", "rectifier": "full wave"},
    {"name": "actuator", "apparent_power": "8 VA", "when": "while stroking", "rectifier": "full wave"},
    {"name": "relay", "apparent_power": "7 VA", "inrush": "21 VA", "when": "on call", "rectifier": "none"},
]


def planned(
    source: dict[str, Any] | None = None, loads: list[dict[str, Any]] | None = None, **other: Any
) -> PowerPlan:
    """Plan of one good transformer with three loads, and whatever a test wants otherwise."""
    kept = {key: value for key, value in (GOOD | (source or {})).items() if value is not None}
    return plan_power(
        Power.model_validate({"transformers": [kept], "loads": LOADS if loads is None else loads} | other)
    )


def two(**join: Any) -> PowerPlan:
    """Plan of two like transformers of 24 V that are joined, metered idle at 26 V."""
    metered = {"metered": {"idle": "26 V ± 1 %"}}
    sources = [GOOD | {"name": name} | metered for name in ("unit", "kit")]
    joined = [
        {"transformers": ["unit", "kit"], "tied": "commons", "listed": "listed for interconnection"} | join
    ]
    return plan_power(Power.model_validate({"transformers": sources, "joined": joined}))


def found(plan: PowerPlan, name: str) -> PowerFinding:
    """One finding by its name."""
    return next(one for one in plan.findings if one.name == name)


def run(length: str = "60 ft", gauge: int = 18, load: float = 20.0, **other: Any) -> RunPlan:
    """One run of wire at 24 V."""
    wire = WireRun.model_validate({"gauge": gauge, "length": length, "loads": ["load"]} | other)
    return run_of(wire, "run", load, 24.0)


# adding up


def test_a_good_circuit_holds() -> None:
    """With everything known and in order nothing fails, and nothing has to be told."""
    plan = planned()
    assert plan.verdict is Verdict.PASSES
    assert {one.verdict for one in plan.findings} == {Verdict.PASSES}
    assert all(one.do is None for one in plan.findings)


def test_the_worst_moment_is_everything_and_the_largest_pull_in() -> None:
    """Running 12 + 8 + 7; an actuator's inrush while it strokes; of two coils on call only the larger pull-in."""
    loads: list[dict[str, Any]] = [
        LOADS[0],
        LOADS[1] | {"inrush": "20 VA"},
        LOADS[2],
        {"name": "contactor", "apparent_power": "9 VA", "inrush": "60 VA", "when": "on call"},
    ]
    (budget,) = planned(loads=loads).transformers
    assert budget.idle_power == pytest.approx(12)
    assert budget.running_power == pytest.approx(36)
    assert budget.stroking_power == pytest.approx(48)
    assert budget.worst_power.value == pytest.approx(48 + 51)
    assert budget.pulls_in == "contactor"


def test_a_stroke_is_not_counted_twice() -> None:
    """The actuator's own inrush is in the stroking sum; at the worst moment a coil comes on top, not the actuator again."""
    loads = [LOADS[0], LOADS[1] | {"inrush": "30 VA"}, LOADS[2]]
    (budget,) = planned(loads=loads).transformers
    assert budget.stroking_power == pytest.approx(12 + 30 + 7)
    assert budget.worst_power.value == pytest.approx(12 + 30 + 21)
    assert budget.pulls_in == "relay"


def test_the_plain_sum_is_judged() -> None:
    """17 VA at 1.0 and 16 VA at 0.3 are 27 VA by vectors, and still more than 80 % of 40 VA by numbers."""
    loads: list[dict[str, Any]] = [
        {"name": "a", "apparent_power": "17 VA", "power_factor": 1.0},
        {"name": "b", "apparent_power": "16 VA", "power_factor": 0.3},
    ]
    plan = planned(loads=loads)
    assert plan.transformers[0].vector_fraction < 0.7
    assert found(plan, "power.loading").verdict is Verdict.FAILS


def test_power_factors_give_the_vector_sum() -> None:
    """6 at 0.6, 8 at 0.7, twice 10 at 0.35, 12 at 0.8: P = 25.8 W and Q = 36.5 var add up to 44.7 VA, not 46.

    The figures are a sum by hand of real and reactive parts: 3.6 + 5.6 + 3.5 + 3.5 + 9.6 and 4.8 + 5.71 + 9.37 + 9.37 + 7.2.
    """
    parts = [(6, 0.6), (8, 0.7), (10, 0.35), (10, 0.35), (12, 0.8)]
    loads = [
        {"name": str(number), "apparent_power": f"{power} VA", "power_factor": factor}
        for number, (power, factor) in enumerate(parts)
    ]
    (budget,) = planned(loads=loads).transformers
    assert budget.running_power == pytest.approx(46)
    assert budget.vector_power == pytest.approx(44.7, abs=0.05)


def test_a_load_without_a_power_factor_counts_in_full() -> None:
    """What is not known makes the vector sum no smaller."""
    loads: list[dict[str, Any]] = [
        {"name": "a", "apparent_power": "6 VA", "power_factor": 0.6},
        {"name": "b", "apparent_power": "8 VA"},
    ]
    assert planned(loads=loads).transformers[0].vector_power == pytest.approx(14)


# guesses


def test_an_unread_rating_is_a_guess_everywhere() -> None:
    """In the budget, in the list of guesses, in every sentence that uses it; and nothing passes by it."""
    plan = planned({"rating": None})
    (budget,) = plan.transformers
    assert budget.rating_is_guess
    assert any(guess.what == "power.unit.rating" for guess in plan.guesses)
    for name in ("power.loading", "power.class_2"):
        assert "(a guess)" in found(plan, name).sentence.show("us")
    for name in ("power.loading", "power.worst_moment", "power.running_voltage", "power.class_2"):
        assert found(plan, name).verdict is Verdict.CANNOT_TELL
    assert plan.verdict is Verdict.CANNOT_TELL


def test_an_unknown_inrush_on_call_is_guessed_with_its_range() -> None:
    """3 to 10 times the holding power: the middle, and a standard uncertainty of the range over the root of twelve."""
    loads = [{"name": "contactor", "apparent_power": "10 VA", "when": "on call"}]
    plan = planned(loads=loads)
    (share,) = plan.transformers[0].loads
    assert share.inrush_is_guess
    assert share.inrush.value == pytest.approx(65)
    assert share.inrush.uncertainty == pytest.approx(70 / math.sqrt(12))
    assert any(guess.what == "power.unit.contactor.inrush" for guess in plan.guesses)


def test_a_guessed_inrush_makes_the_worst_voltage_less_certain() -> None:
    """The same coil with its inrush read off leaves a narrower voltage."""
    coil: dict[str, Any] = {"name": "contactor", "apparent_power": "5 VA", "when": "on call"}
    guessed, read = (
        planned(loads=[one]).transformers[0].worst_voltage for one in (coil, coil | {"inrush": "32.5 VA"})
    )
    assert guessed.value == pytest.approx(read.value)
    assert (guessed.uncertainty or 0.0) > 1.2 * (read.uncertainty or 0.0)


def test_a_transformer_without_loads_says_that_none_was_given() -> None:
    """0 VA is what was added up, not what hangs there; with loads nothing is said."""
    (said,) = [guess for guess in planned(loads=[]).guesses if guess.what == "power.unit.loads"]
    assert said.sentence.show("us") == "unit: nothing is taken to hang on it, since no load was given"
    assert "power.unit.loads" not in {guess.what for guess in planned().guesses}


def test_guesses_of_power_stand_in_the_plan() -> None:
    """The plan of a job lists them beside its own."""
    plan = make_plan(facts(power={"transformers": [{"name": "unit"}]}))
    assert plan.power is not None
    assert {"power.unit.rating", "power.unit.regulation"} <= {guess.what for guess in plan.guesses}


def test_a_job_without_power_has_no_power_plan() -> None:
    """The section may be left out."""
    assert make_plan(facts()).power is None


# loading and voltage


@pytest.mark.parametrize(
    ("power", "verdict", "weight"),
    [
        ("32 VA", Verdict.PASSES, None),
        ("33 VA", Verdict.FAILS, Weight.ADVICE),
        ("41 VA", Verdict.FAILS, Weight.CONFLICT),
    ],
)
def test_loading(power: str, verdict: Verdict, weight: Weight | None) -> None:
    """Up to 80 % is in order, up to 100 % is advice against, beyond it is a conflict (common practice)."""
    one = found(planned(loads=[{"name": "load", "apparent_power": power}]), "power.loading")
    assert one.verdict is verdict
    assert weight is None or one.weight is weight


def test_a_stroke_over_the_rating_is_advice() -> None:
    """It lasts a minute or two."""
    loads = [LOADS[0], LOADS[1] | {"inrush": "30 VA"}]
    one = found(planned(loads=loads), "power.stroking")
    assert (one.verdict, one.weight) == (Verdict.FAILS, Weight.ADVICE)


@pytest.mark.parametrize(
    ("inrush", "verdict"),
    [("40 VA", Verdict.PASSES), ("90 VA", Verdict.CANNOT_TELL), ("250 VA", Verdict.FAILS)],
)
def test_the_worst_moment_is_three_valued(inrush: str, verdict: Verdict) -> None:
    """85 % of 24 V has to be left; the usual regulation is uncertain, so that in between it cannot be told."""
    loads = [LOADS[0], LOADS[2] | {"inrush": inrush}]
    one = found(planned(loads=loads), "power.worst_moment")
    assert one.verdict is verdict
    assert one.weight is Weight.CONFLICT


def test_two_metered_voltages_replace_the_guess() -> None:
    """The line through idle and loaded is used: 12 VA at 26.3 V and 27 VA at 24.9 V give 23.6 V at 41 VA."""
    plan = planned({"metered": {"idle": "26.3 V ± 1 %", "loaded": "24.9 V ± 1 %"}})
    (budget,) = plan.transformers
    assert budget.voltages_known_from == "metered"
    assert budget.worst_power.value == pytest.approx(41)
    assert budget.worst_voltage.value == pytest.approx(24.9 - 14 * 1.4 / 15)
    assert not any("regulation" in guess.what for guess in plan.guesses)


def test_the_accuracy_of_the_meter_comes_from_the_instruments() -> None:
    """± 2 % of an instrument is a standard uncertainty of 1 %; a typed ± wins."""
    meter = {"id": "meter", "kind": "electrical", "accuracy": "± 2 %"}
    metered = {"idle": "26 V", "loaded": "25 V ± 0.2 V", "instrument": "meter"}
    power = {"transformers": [GOOD | {"metered": metered}], "loads": LOADS}
    plan = make_plan(facts(power=power, instruments=[meter])).power
    assert plan is not None
    (budget,) = plan.transformers
    assert budget.metered_idle is not None
    assert budget.metered_loaded is not None
    assert budget.metered_idle.uncertainty == pytest.approx(0.26)
    assert budget.metered_loaded.uncertainty == pytest.approx(0.1)


@pytest.mark.parametrize(
    ("loaded", "verdict"),
    [("25.5 V", Verdict.PASSES), ("23.6 V", Verdict.CANNOT_TELL), ("22.8 V", Verdict.FAILS)],
)
def test_sag_is_three_valued(loaded: str, verdict: Verdict) -> None:
    """From 26.3 V, ten per cent down is 23.7 V: near it the meter cannot tell (common practice)."""
    plan = planned({"metered": {"idle": "26.3 V", "loaded": loaded}})
    assert found(plan, "power.sag").verdict is verdict


def test_a_voltage_that_rises_under_load_is_no_sag() -> None:
    """Swapped readings are said, not passed."""
    one = found(planned({"metered": {"idle": "24 V", "loaded": "26 V"}}), "power.sag")
    assert one.verdict is Verdict.CANNOT_TELL
    assert "rose under load" in one.sentence.show("us")


@pytest.mark.parametrize(("idle", "loaded"), [("21 V", "26 V"), ("5 V", "27 V")])
def test_readings_that_rise_under_load_carry_no_other_verdict(idle: str, loaded: str) -> None:
    """A line through them once foretold 36 V at the worst moment, which passed, or less than nothing without load."""
    runs = [{"gauge": "18 AWG", "length": "60 ft", "loads": ["relay"]}]
    plan = planned({"metered": {"idle": idle, "loaded": loaded}}, runs=runs)
    named = {one.name for one in plan.findings}
    assert plan.verdict is Verdict.CANNOT_TELL
    assert not named & {"power.worst_moment", "power.running_voltage", "power.device_voltage_worst"}
    assert "(expected)" in found(plan, "power.class_2").sentence.show("us")
    (run,) = plan.runs
    assert run.device_voltage_worst is None


def test_two_readings_at_nearly_one_load_give_no_line() -> None:
    """24.0 V and 24.2 V are alike to the meter; 0.1 VA apart, a line through them would fall to -56 V without load."""
    loads = [LOADS[0] | {"apparent_power": "40 VA"}, LOADS[1] | {"apparent_power": "0.1 VA"}]
    plan = planned({"metered": {"idle": "24.0 V", "loaded": "24.2 V"}, "rating": "75 VA"}, loads)
    (budget,) = plan.transformers
    assert budget.voltages_known_from == "one metered point and a guess"
    assert 24.0 < budget.no_load_voltage.value < 27.0


@pytest.mark.parametrize(
    ("loaded", "verdict", "weight"),
    [
        ("19.5 V", Verdict.FAILS, Weight.CONFLICT),
        ("20.5 V", Verdict.CANNOT_TELL, Weight.CONFLICT),
        ("21.0 V", Verdict.FAILS, Weight.ADVICE),
        ("24 V", Verdict.PASSES, Weight.ADVICE),
        ("28 V", Verdict.FAILS, Weight.ADVICE),
    ],
)
def test_metered_voltage_with_everything_running(loaded: str, verdict: Verdict, weight: Weight) -> None:
    """Below 20.4 V nothing pulls in; below 21.6 V and above 27 V it is advice (common practice, no published source)."""
    one = found(planned({"metered": {"loaded": loaded}}), "power.running_voltage")
    assert (one.verdict, one.weight) == (verdict, weight)


# the primary tap


@pytest.mark.parametrize(
    ("supply", "tap", "right"),
    [
        ("208 V", "208 V", True), ("208 V", "240 V", False), ("208 V", "230 V", False), ("240 V", "208 V", False),
        ("240 V", "240 V", True), ("240 V", "230 V", True), ("480 V", "480 V", True), ("277 V", "240 V", False),
    ],
)  # fmt: skip
def test_written_tap(supply: str, tap: str, right: bool) -> None:
    """A tap is right within 5 % of its voltage (C84.1, range A, from memory)."""
    one = found(planned({"supply": supply, "tap": tap}), "power.tap")
    assert one.verdict is (Verdict.PASSES if right else Verdict.FAILS)


def test_the_wrong_tap_names_the_voltage_to_expect() -> None:
    """208 V on the 240 V tap is 20.8 V, and the wire goes to the 208 V tap."""
    one = found(planned({"tap": "240 V"}), "power.tap")
    assert one.sentence.show("us") == "unit: 208 V on the 240 V tap gives 20.80 V where 24 V are rated"
    assert one.do is not None
    assert one.do.show("us").startswith("move the wire to the 208 V tap")


def test_no_tap_for_the_supply() -> None:
    """Where the transformer has none for this supply, another transformer is wanted."""
    one = found(planned({"tap": "240 V", "taps": ["120 V", "240 V"]}), "power.tap")
    assert one.do is not None
    assert "fit a transformer with a tap for 208 V" in one.do.show("us")


@pytest.mark.parametrize(
    ("idle", "verdict"),
    [
        ("26.3 V", Verdict.PASSES),
        ("22.4 V", Verdict.FAILS),
        ("24.4 V", Verdict.CANNOT_TELL),
        ("12 V", Verdict.CANNOT_TELL),
    ],
)
def test_the_meter_tells_the_tap(idle: str, verdict: Verdict) -> None:
    """On 208 V: 26 V idle speaks for its own tap, 22.4 V for that of 240 V, 24.4 V for either, 12 V for none."""
    plan = planned({"tap": None, "taps": ["208 V", "240 V"], "metered": {"idle": idle}})
    assert found(plan, "power.tap").verdict is verdict


def test_the_meter_is_believed_over_what_is_written() -> None:
    """Written right and metered wrong fails, and says that the two disagree."""
    plan = planned({"taps": ["208 V", "240 V"], "metered": {"idle": "22.4 V"}})
    one = found(plan, "power.tap")
    assert one.verdict is Verdict.FAILS
    assert "although 208 V is written" in one.sentence.show("us")


def test_few_wrong_taps_pass_and_few_right_ones_fail() -> None:
    """Transformers whose tap, supply, regulation and meter are drawn as the plan assumes them: one in twenty at most."""
    chance = random.Random(24)  # noqa: S311 - repeatable, not secret
    outcomes = []
    for _ in range(800):
        tap = chance.choice([208, 240])
        supply, regulation = 208 * (1 + chance.gauss(0, 0.025)), chance.uniform(0.08, 0.18)
        true_idle = 24 * supply / tap * (1 + regulation * (1 - 12 / 40))
        shown = true_idle * (1 + chance.gauss(0, 0.005))
        source = {"tap": None, "taps": ["208 V", "240 V"], "metered": {"idle": f"{shown:.3f} V ± 1 %"}}
        outcomes.append((found(planned(source, LOADS[:1]), "power.tap").verdict, tap == 208))
    passed = [right for verdict, right in outcomes if verdict is Verdict.PASSES]
    failed = [right for verdict, right in outcomes if verdict is Verdict.FAILS]
    assert min(len(passed), len(failed)) > 150
    assert passed.count(False) <= 0.05 * len(passed)
    assert failed.count(True) <= 0.05 * len(failed)


# the source


@pytest.mark.parametrize(
    ("source", "verdict", "weight"),
    [
        ({}, Verdict.PASSES, Weight.ADVICE),
        ({"rating": "100 VA", "fuse": "3 A"}, Verdict.PASSES, Weight.ADVICE),
        ({"rating": "150 VA"}, Verdict.FAILS, Weight.CONFLICT),
        ({"class_2": "not class 2"}, Verdict.FAILS, Weight.CONFLICT),
        ({"class_2": "unknown"}, Verdict.CANNOT_TELL, Weight.ADVICE),
        ({"supply": "240 V", "tap": "208 V"}, Verdict.CANNOT_TELL, Weight.CONFLICT),
        ({"secondary": "36 V"}, Verdict.FAILS, Weight.CONFLICT),
    ],
)
def test_class_2(source: dict[str, Any], verdict: Verdict, weight: Weight) -> None:
    """100 VA on the nameplate and 30 V without load (NEC chapter 9, Table 11(A), secondary)."""
    one = found(planned(source), "power.class_2")
    assert (one.verdict, one.weight) == (verdict, weight)


@pytest.mark.parametrize(
    ("source", "verdict", "weight"),
    [
        ({}, Verdict.PASSES, Weight.CONFLICT),
        ({"fuse": "1 A"}, Verdict.FAILS, Weight.CONFLICT),  # 27 VA are 1.1 A
        ({"fuse": "3 A"}, Verdict.FAILS, Weight.ADVICE),  # over 167 % of 1.67 A
        ({"fuse": "5 A"}, Verdict.FAILS, Weight.CONFLICT),  # over 100 VA / 28 V
        ({"fuse": "5 A", "class_2": "unknown"}, Verdict.CANNOT_TELL, Weight.CONFLICT),
        ({"fuse": "5 A", "class_2": "inherently limited"}, Verdict.FAILS, Weight.ADVICE),
        ({"fuse": None}, Verdict.CANNOT_TELL, Weight.ADVICE),
        ({"fuse": None, "fused": "unknown"}, Verdict.CANNOT_TELL, Weight.ADVICE),
        ({"fuse": None, "fused": "not fused"}, Verdict.FAILS, Weight.CONFLICT),
        ({"fuse": None, "fused": "not fused", "class_2": "unknown"}, Verdict.CANNOT_TELL, Weight.CONFLICT),
        ({"fuse": None, "fused": "not fused", "class_2": "inherently limited"}, Verdict.FAILS, Weight.ADVICE),
    ],
)
def test_fuse_before_power(source: dict[str, Any], verdict: Verdict, weight: Weight) -> None:
    """There, large enough for the load, small enough for Class 2 and for the transformer."""
    one = found(planned(source), "power.fuse")
    assert (one.verdict, one.weight) == (verdict, weight)


def test_the_suggested_fuse_does_all_three() -> None:
    """For 40 VA, 27 VA on it: more than 1.1 A, at most 2.8 A (167 %) and 3.6 A (Class 2): 2 A of the usual ratings."""
    (budget,) = planned().transformers
    assert budget.fuse_suggested == 2.0
    assert budget.fuse_at_least == pytest.approx(27 / 24)
    assert budget.fuse_at_most is not None
    assert 100 / 30 < budget.fuse_at_most < 100 / 27


def test_no_usual_fuse_fits_an_overloaded_transformer() -> None:
    """70 VA on 40 VA draw more than any fuse that protects it."""
    plan = planned(loads=[{"name": "load", "apparent_power": "70 VA"}])
    assert plan.transformers[0].fuse_suggested is None


@pytest.mark.parametrize(
    ("first", "second", "verdict"),
    [
        ("half wave", "full wave", Verdict.FAILS),
        ("half wave", "unknown", Verdict.CANNOT_TELL),
        ("full wave", "unknown", Verdict.CANNOT_TELL),
        ("half wave", "half wave", Verdict.PASSES),
        ("full wave", "none", Verdict.PASSES),
    ],
)
def test_rectifiers_on_one_transformer(first: str, second: str, verdict: Verdict) -> None:
    """Half wave and full wave never share a common (common practice, no published source)."""
    loads = [
        {"name": "a", "apparent_power": "5 VA", "rectifier": first},
        {"name": "b", "apparent_power": "5 VA", "rectifier": second},
    ]
    assert found(planned(loads=loads), "power.rectifiers").verdict is verdict


def test_rectifiers_on_two_transformers_may_differ() -> None:
    """Apart from one another they do no harm."""
    sources = [GOOD, GOOD | {"name": "kit"}]
    loads = [
        {"name": "a", "apparent_power": "5 VA", "rectifier": "half wave", "transformer": "unit"},
        {"name": "b", "apparent_power": "5 VA", "rectifier": "full wave", "transformer": "kit"},
    ]
    plan = plan_power(Power.model_validate({"transformers": sources, "loads": loads}))
    assert {one.verdict for one in plan.findings if one.name == "power.rectifiers"} == {Verdict.PASSES}


# joined transformers


def test_what_a_meter_reads_between_the_hots() -> None:
    """Two 26 V secondaries: 0 in phase, 52 out of phase, 26 or 45 where the primaries hang on different legs."""
    (join,) = two().joined
    assert join.reads_in_phase == pytest.approx(0)
    assert join.reads_out_of_phase == pytest.approx(52)
    assert list(join.reads_on_other_legs) == pytest.approx([26, 26 * math.sqrt(3)])


@pytest.mark.parametrize(
    ("reading", "verdict"),
    [
        ("0.3 V", Verdict.PASSES), ("52 V", Verdict.FAILS), ("45 V", Verdict.FAILS), ("26 V", Verdict.FAILS),
        ("12 V", Verdict.CANNOT_TELL),
    ],
)  # fmt: skip
def test_phase_by_the_meter(reading: str, verdict: Verdict) -> None:
    """Near nothing they are in phase; near any other value they are not; in between something else is wrong."""
    assert found(two(between_hots=reading), "power.phase").verdict is verdict


def test_a_reading_without_a_tie_tells_nothing() -> None:
    """Nothing between two floating circuits is what a meter reads in phase and out of phase."""
    plan = two(tied="not yet", between_hots="0.2 V")
    assert plan.joined[0].probability_in_phase is None
    one = found(plan, "power.phase")
    assert one.verdict is Verdict.CANNOT_TELL
    assert "the meter floats" in one.sentence.show("us")


@pytest.mark.parametrize(
    ("phase", "verdict", "weight"),
    [
        ("unknown", Verdict.CANNOT_TELL, Weight.CONFLICT),
        ("in phase", Verdict.CANNOT_TELL, Weight.ADVICE),
        ("out of phase", Verdict.FAILS, Weight.CONFLICT),
    ],
)
def test_phase_that_nobody_metered(phase: str, verdict: Verdict, weight: Weight) -> None:
    """It has to be checked before anything is joined."""
    one = found(two(phase=phase), "power.phase")
    assert (one.verdict, one.weight) == (verdict, weight)


def test_the_check_of_phase_is_a_temporary_change() -> None:
    """Power off before the wire, on for the reading; and the wire comes out again."""
    one = found(two(), "power.phase")
    assert one.do is not None
    said = one.do.show("us")
    assert said.index("power off") < said.index("power on")
    assert "temporary change" in said


@pytest.mark.parametrize(
    ("listed", "verdict"),
    [
        ("listed for interconnection", Verdict.PASSES), ("not listed", Verdict.FAILS), ("unknown", Verdict.CANNOT_TELL),
    ],
)  # fmt: skip
def test_sources_that_are_wired_together_are_listed_for_it(listed: str, verdict: Verdict) -> None:
    """NEC chapter 9, text above Tables 11(A) and 11(B) (secondary)."""
    assert found(two(listed=listed), "power.sources_joined").verdict is verdict


# runs of wire


FEET = st.floats(1.0, 4000.0)
LOAD = st.floats(0.5, 200.0)
GAUGE = st.sampled_from([(one.gauge, one.conductor) for one in wires()])


@given(FEET, LOAD, GAUGE, st.floats(1.01, 1.2))
def test_the_drop_grows_with_length_and_load(
    feet: float, load: float, kind: tuple[int, str], more: float
) -> None:
    """A longer run loses more, and so does a larger load, each in proportion."""
    gauge, conductor = kind
    here = run(f"{feet:.6f} ft", gauge, load, conductor=conductor).voltage_drop
    assert run(f"{feet * more:.6f} ft", gauge, load, conductor=conductor).voltage_drop == pytest.approx(
        here * more, rel=1e-5
    )
    assert run(f"{feet:.6f} ft", gauge, load * more, conductor=conductor).voltage_drop == pytest.approx(
        here * more
    )


@given(LOAD, GAUGE)
def test_the_longest_run_is_exactly_at_the_drop(load: float, kind: tuple[int, str]) -> None:
    """At the longest run the drop is what is allowed; a hair more fails, a hair less passes."""
    gauge, conductor = kind
    longest = run("10 ft", gauge, load, conductor=conductor).longest_run
    if not FOOT < longest * 0.999 < longest * 1.001 < 5000 * FOOT:
        return
    hottest = {"conductor": conductor, "temperature": "75 C"}
    there = run(f"{longest!r} m", gauge, load, **hottest)
    assert there.drop_fraction == pytest.approx(0.1, rel=1e-9)
    assert drop_finding(there).verdict is Verdict.PASSES
    longer, shorter = (run(f"{longest * factor!r} m", gauge, load, **hottest) for factor in (1.001, 0.999))
    assert drop_finding(longer).verdict is Verdict.FAILS
    assert drop_finding(shorter).verdict is Verdict.PASSES


@given(st.floats(-20.0, 74.0))
def test_colder_wire_loses_less(temperature: float) -> None:
    """Copper has less resistance in the cold, so that the 75 °C of the default is the careful end."""
    assert run(temperature=f"{temperature:.3f} C").voltage_drop < run().voltage_drop


def test_thinner_wire_loses_more() -> None:
    """In the order of the gauges."""
    drops = [run(gauge=gauge).voltage_drop for gauge in (12, 14, 16, 18, 20, 22, 24)]
    assert drops == sorted(drops)


@given(st.lists(st.tuples(st.floats(0.1, 100.0), st.floats(0.01, 1.0)), min_size=1, max_size=8))
def test_vectors_add_up_to_no_more_than_numbers(parts: list[tuple[float, float]]) -> None:
    """The plain sum is the careful one, and the vector sum is no less than the largest real part."""
    powers = [(power, phase_angle(factor)) for power, factor in parts]
    total = vector_sum(powers)
    assert total <= sum(power for power, _ in parts) * (1 + 1e-9)
    assert total >= sum(power * factor for power, factor in parts) * (1 - 1e-9)


def test_the_way_out_is_a_wire_that_does() -> None:
    """The gauge that is named loses no more than is allowed, and the next thinner one would."""
    one = drop_finding(run("250 ft", 22, 8.0))
    assert one.verdict is Verdict.FAILS
    assert one.do is not None
    assert "20 AWG solid" in one.do.show("us")
    assert drop_finding(run("250 ft", 20, 8.0)).verdict is Verdict.PASSES


def test_no_wire_does_for_a_very_long_run() -> None:
    """Then the transformer has to come nearer."""
    one = drop_finding(run("4000 ft", 22, 40.0))
    assert one.do is not None
    assert "bring the transformer nearer" in one.do.show("us")


def test_a_length_that_is_only_estimated() -> None:
    """At 175 ft ± 30 ft, with 185 ft as the most, nobody can tell; at ± 5 ft it passes."""
    assert drop_finding(run("175 ft ± 30 ft")).verdict is Verdict.CANNOT_TELL
    assert drop_finding(run("175 ft ± 5 ft")).verdict is Verdict.PASSES


def test_the_voltage_at_the_device() -> None:
    """What the transformer gives with everything running, less the drop of the run."""
    metered = {"metered": {"idle": "26.3 V ± 1 %", "loaded": "24.9 V ± 1 %"}}
    runs = [{"gauge": 18, "length": "60 ft", "loads": ["actuator", "relay"]}]
    plan = planned(metered, runs=runs)
    (one,) = plan.runs
    assert one.apparent_power == pytest.approx(15)
    assert one.device_voltage is not None
    assert one.device_voltage_worst is not None
    assert one.device_voltage.value == pytest.approx(24.9 - one.voltage_drop)
    worst = (
        plan.transformers[0].worst_voltage.value - one.voltage_drop / 15 * 29
    )  # the relay pulls in with 21 VA
    assert one.device_voltage_worst.value == pytest.approx(worst)


def test_a_device_at_the_end_of_thin_wire() -> None:
    """A coil that gets less than 85 % at the worst moment is a conflict, whatever the transformer gives."""
    metered = {"metered": {"idle": "25 V ± 1 %", "loaded": "23 V ± 1 %"}}
    runs = [{"gauge": 24, "length": "100 ft", "loads": ["relay"]}]
    one = found(planned(metered, runs=runs), "power.device_voltage_worst")
    assert (one.verdict, one.weight) == (Verdict.FAILS, Weight.CONFLICT)


def test_every_finding_says_what_to_do_and_where_it_is_from() -> None:
    """Whatever does not pass has a way out, and everything has a source."""
    bad = {"rating": None, "tap": "240 V", "fuse": None, "fused": "not fused", "class_2": "unknown"}
    plan = planned(bad, runs=[{"gauge": 24, "length": "300 ft", "loads": ["relay"]}])
    assert {one.verdict for one in plan.findings} == {Verdict.FAILS, Verdict.CANNOT_TELL, Verdict.PASSES}
    for one in plan.findings:
        assert one.source
        assert (one.do is None) == (one.verdict is Verdict.PASSES), one.name


def test_cautions_for_live_parts_come_with_the_plan() -> None:
    """Lockout before a panel comes off, and how to meter with power on."""
    assert [one.stage for one in planned().cautions] == ["open the unit", "read with power on"]


# what a meter shows where there is no power, and what an unknown inrush leaves open


@pytest.mark.parametrize(
    "metered", [{"idle": "0 V"}, {"idle": "26 V", "loaded": "0 V"}, {"idle": "0 V", "loaded": "0 V"}]
)
def test_a_dead_secondary_is_a_finding(metered: dict[str, str]) -> None:
    """Nothing at the secondary is no point of the transformer's line, and keeps power from being said to hold."""
    plan = planned({"metered": metered})
    assert found(plan, "power.no_power").verdict is Verdict.FAILS
    assert plan.verdict is Verdict.FAILS
    names = {one.name for one in plan.findings}
    assert not names & {
        "power.sag",
        "power.worst_moment",
        "power.running_voltage",
        "power.device_voltage_worst",
    }


def test_a_dead_secondary_speaks_for_no_tap_and_blames_no_wire() -> None:
    """What is written of the tap stands, and of what arrives at the end of a wire nothing is said."""
    wire = [{"gauge": 18, "length": "20 ft", "loads": [LOADS[0]["name"]]}]
    plan = planned({"metered": {"idle": "0 V"}}, runs=wire)
    assert found(plan, "power.tap").verdict is Verdict.PASSES
    assert {one.probability for one in plan.taps} == {None}
    (run,) = plan.runs
    assert (run.device_voltage, run.device_voltage_worst) == (None, None)


def test_readings_typed_without_any_error_are_no_closer_than_the_display() -> None:
    """Of 0.1 V that a meter shows last, 0.1/sqrt(12) V are left open (JCGM 100:2008, 4.3.7)."""
    exact = {"metered": {"idle": "26 V ± 0 V"}}
    sources = [GOOD | {"name": name} | exact for name in ("unit", "kit")]
    joined = [{"transformers": ["unit", "kit"], "tied": "commons", "between_hots": "0 V ± 0 V"}]
    plan = plan_power(Power.model_validate({"transformers": sources, "joined": joined}))
    assert plan.transformers[0].idle_voltage.uncertainty == pytest.approx(0.1 / math.sqrt(12))
    assert found(plan, "power.phase").verdict is Verdict.PASSES


def test_an_inrush_that_nobody_gave_is_open_at_the_far_end_too() -> None:
    """4 VA, inrush 3 to 10 times: 26 +- 8.08 VA; 130 ft of 18 AWG at 24 V lose 2.19 V by it, and 0.68 V are open beside the source's."""
    relay = {"name": "relay", "apparent_power": "4 VA", "when": "on call"}
    kit = {"name": "kit", "apparent_power": "8 VA"}
    runs = [{"gauge": 18, "length": "130 ft", "loads": ["relay"]}]
    plan = planned(loads=[kit, relay], runs=runs)
    (of_run,), (source,) = plan.runs, plan.transformers
    assert of_run.device_voltage_worst is not None
    lost = source.worst_voltage.value - of_run.device_voltage_worst.value
    assert lost == pytest.approx(2 * 130 * 7.77e-3 * 26 / 24, rel=1e-6)
    more = (of_run.device_voltage_worst.uncertainty or 0.0) - (source.worst_voltage.uncertainty or 0.0)
    assert more == pytest.approx(lost * (7 / math.sqrt(12)) / 6.5, rel=1e-6)
    assert found(plan, "power.device_voltage_worst").verdict is Verdict.CANNOT_TELL


# a verdict on what nobody gave holds over all that is usual of it


TWO_METERED = {"metered": {"idle": "26.3 V ± 0.5 %", "loaded": "24.9 V ± 0.5 %"}}
FAR = [{"gauge": 18, "length": "150 ft", "temperature": "75 C", "loads": ["relay"]}]


@given(st.floats(0.5, 60.0), st.sampled_from(["power.worst_moment", "power.device_voltage_worst"]))
def test_an_assumed_inrush_decides_only_where_all_that_is_usual_of_it_does(holds: float, name: str) -> None:
    """Three to ten times: it passes where ten times passes, fails where three times fails, and between the two nobody can tell."""

    def verdict(**inrush: str) -> Verdict:
        relay = {"name": "relay", "apparent_power": f"{holds:.4f} VA", "when": "on call"} | inrush
        return found(planned(TWO_METERED, [*LOADS[:2], relay], runs=FAR), name).verdict

    mild, hard = verdict(inrush=f"{3 * holds:.4f} VA"), verdict(inrush=f"{10 * holds:.4f} VA")
    assert verdict() is (mild if mild is hard else Verdict.CANNOT_TELL)


def test_what_settles_it_is_the_inrush_that_was_assumed() -> None:
    """6.5 times is too much and three times is not: the coil is named, and with its inrush given it is told."""
    relay: dict[str, Any] = {"name": "relay", "apparent_power": "9 VA", "when": "on call"}
    one = found(planned(TWO_METERED, [*LOADS[:2], relay], runs=FAR), "power.device_voltage_worst")
    assert one.verdict is Verdict.CANNOT_TELL
    assert one.do is not None
    assert one.do.show("us").startswith("its inrush is only assumed: give that of relay")
    for inrush, verdict in (("15 VA", Verdict.PASSES), ("70 VA", Verdict.FAILS)):
        read = planned(TWO_METERED, [*LOADS[:2], relay | {"inrush": inrush}], runs=FAR)
        assert found(read, "power.device_voltage_worst").verdict is verdict


def test_each_coil_at_the_end_of_a_wire_has_its_own_worst_moment() -> None:
    """A contactor at the transformer pulls in with more, and what the wire itself loses while its relay pulls in is worse there."""
    contactor = {"name": "contactor", "apparent_power": "5 VA", "inrush": "30 VA", "when": "on call"}
    relay = {"name": "relay", "apparent_power": "5 VA", "inrush": "28 VA", "when": "on call"}
    runs = [{"gauge": 18, "length": "200 ft", "temperature": "75 C", "loads": ["relay"]}]
    plan = planned(TWO_METERED, [LOADS[0], LOADS[1], contactor, relay], runs=runs)
    (source,), (wire,) = plan.transformers, plan.runs
    assert source.pulls_in == "contactor"
    assert wire.device_voltage_worst is not None
    drop = wire.voltage_drop * 28 / 5
    assert wire.device_voltage_worst.value == pytest.approx(24.9 - 1.4 / 18 * 23 - drop)
    assert found(plan, "power.device_voltage_worst").verdict is Verdict.FAILS


@given(st.floats(100.0, 400.0))
def test_an_assumed_temperature_of_a_wire_decides_only_where_all_that_is_usual_of_it_does(
    feet: float,
) -> None:
    """A wire that does at 30 °C and not at 75 °C: nobody can tell before somebody says how warm it gets."""
    mild, hard = (drop_finding(run(f"{feet:.3f} ft", temperature=one)).verdict for one in ("30 C", "75 C"))
    one = drop_finding(run(f"{feet:.3f} ft"))
    assert one.verdict is (mild if mild is hard else Verdict.CANNOT_TELL)
    if mild is not hard:
        assert one.do is not None
        assert "give that of the wire at its hottest" in one.do.show("us")


def test_an_assumed_regulation_decides_only_where_all_that_is_usual_of_it_does() -> None:
    """27.76 V at rated load rise by 8 to 18 % to 29.98 to 32.75 V: above 30 V most probably, and not surely."""
    off = {"supply": "240.55 V ± 0.01 %", "tap": "208 V", "taps": ["208 V"]}
    assert found(planned(off), "power.class_2").verdict is Verdict.CANNOT_TELL
    assert found(planned(off | {"supply": "245 V ± 0.01 %"}), "power.class_2").verdict is Verdict.FAILS


def test_what_is_usual_of_everything_stands_in_no_json() -> None:
    """The two ends are reckoned with; what is told of a voltage is its value and its uncertainty, as before."""
    coil = {"name": "relay", "apparent_power": "4 VA", "when": "on call"}
    told = plain(planned(loads=[coil], runs=FAR))
    assert not [
        key for key in (*told["transformers"][0], *told["runs"][0]) if "end" in key or key == "secondary"
    ]


@pytest.mark.parametrize("metered", [{}, {"metered": {"idle": "27 V ± 0.3 V"}}])
def test_without_any_load_nothing_is_said_to_hold(metered: dict[str, Any]) -> None:
    """A good transformer on which nobody hung anything is no control power that holds."""
    plan = plan_power(Power.model_validate({"transformers": [GOOD | metered]}))
    assert plan.verdict is Verdict.CANNOT_TELL
    assert [one.name for one in plan.findings if one.stops] == ["power.no_loads"]
