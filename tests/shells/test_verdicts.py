"""Verdicts on the airflow, sensors and settings: three-valued, and never a pass that the readings cannot carry."""

from __future__ import annotations

from typing import Any

import pytest
from tests.invented import facts, left, mixed, readings, supply

from ventwright.evidence import Verdict
from ventwright.facts import Facts
from ventwright.plan import make_plan
from ventwright.verdict import SpeedVerdict, Verdicts, judge


def judged(*entries: dict[str, Any], given: Facts | None = None) -> Verdicts:
    """Verdicts on an invented job with these readings."""
    known = given or facts()
    return judge(known, make_plan(known), readings(*entries))


def high(*entries: dict[str, Any], given: Facts | None = None) -> SpeedVerdict:
    """Verdict on the high fan speed."""
    return judged(*entries, given=given).speeds[0]


def shortfall(speed: SpeedVerdict) -> str:
    """Name of what keeps a speed from being told."""
    assert speed.flow is not None
    assert speed.flow.shortfall is not None
    return speed.flow.shortfall.name


def test_good_readings_pass() -> None:
    """A wide difference, one probe, a measured supply flow and the signal as left carry a pass."""
    speed = high(supply(), mixed(), left())

    assert speed.verdict is Verdict.PASSES
    # what is believed beforehand of dampers, known to some 25 hundredths, draws a reading known to half a hundredth by
    # (0.5 / 25)^2 of how far it is off, which is some 30 hundredths: a ten-thousandth
    assert speed.outdoor_air_fraction == pytest.approx(0.28, abs=5e-4)
    assert speed.outdoor_air == pytest.approx(
        0.28 * 4000 * 0.3048**3 / 60, rel=5e-3
    )  # the supply's doubt draws it too
    assert speed.flow is not None
    assert speed.flow.shortfall is None


def test_too_much_air_fails() -> None:
    """Forty per cent where 28 are wanted fails, and says that it is over."""
    speed = high(supply(), mixed(mixed_air=["58.0 F"] * 8), left())

    assert speed.verdict is Verdict.FAILS
    assert speed.flow is not None
    assert "over" in speed.flow.sentence.show("us")


def test_too_little_air_fails() -> None:
    """Ten per cent where 28 are wanted fails, and says that it is short."""
    speed = high(supply(), mixed(mixed_air=["70.0 F"] * 8), left())

    assert speed.verdict is Verdict.FAILS
    assert speed.flow is not None
    assert "short of" in speed.flow.sentence.show("si")


@pytest.mark.parametrize(
    "entry", [None, supply(method="design value")], ids=["nothing read", "design value read"]
)
def test_a_design_value_never_passes(entry: dict[str, Any] | None) -> None:
    """Without a measured supply airflow even perfect temperatures cannot pass."""
    speed = high(*([entry] if entry else []), mixed(), left())

    assert speed.verdict is Verdict.CANNOT_TELL
    assert shortfall(speed) == "airflow.supply_is_design_value"


def test_one_mixed_air_point_never_passes() -> None:
    """A single point reads its own lane; more points are asked for."""
    speed = high(supply(), mixed(mixed_air=["62.8 F"]), left())

    assert speed.verdict is Verdict.CANNOT_TELL
    assert speed.flow is not None
    assert speed.flow.shortfall is not None
    assert "eight points" in speed.flow.shortfall.settle_by.text


def test_without_a_named_probe_nothing_is_told() -> None:
    """An unknown accuracy is no accuracy."""
    speed = high(supply(), mixed(instrument=None), left())

    assert shortfall(speed) == "airflow.no_instrument"
    assert speed.outdoor_air_fraction is None


def test_streams_too_close_are_not_told() -> None:
    """A third of a degree between outdoor and return air says nothing of the share."""
    entry = mixed(outdoor_air="73.9 F", return_air="74.0 F", mixed_air=["74.0 F"] * 8)

    assert shortfall(high(supply(), entry, left())) == "airflow.streams_too_close"


def test_mixed_air_outside_the_streams_is_a_finding() -> None:
    """Mixed air warmer than both streams is a finding about the probes, not a share of outdoor air."""
    speed = high(supply(), mixed(mixed_air=["80.0 F"] * 8), left())

    assert shortfall(speed) == "airflow.mixed_outside_streams"


def test_two_probes_carry_less_than_one() -> None:
    """Offsets of different probes do not cancel, so the uncertainty is larger."""
    second = facts().instruments[0].model_copy(update={"id": "second"})
    two = facts(instruments=[*facts().instruments, second])
    both = mixed(
        instrument=None, outdoor_instrument="second", return_instrument="probe", mixed_instrument="probe"
    )
    one_u, two_u = (
        high(supply(), entry, left(), given=two).outdoor_air_fraction_u for entry in (mixed(), both)
    )

    assert one_u is not None
    assert two_u is not None
    assert two_u > one_u


def test_signal_must_be_the_one_left() -> None:
    """A reading at another signal than the one that stays proves nothing about the unit as left."""
    assert shortfall(high(supply(), mixed(), left(value="30 %"))) == "airflow.read_at_another_signal"


def test_signal_must_be_read_back() -> None:
    """Without the setting as left there is no pass."""
    assert shortfall(high(supply(), mixed())) == "airflow.signal_not_read_back"


def test_volts_and_per_cent_are_one_signal() -> None:
    """On a 2 to 10 V kit 3.68 V is 21 %."""
    assert high(supply(), mixed(damper_signal="3.68 V"), left()).verdict is Verdict.PASSES


@pytest.mark.parametrize("settings", [[], [left(value="40 %")]], ids=["not read back", "left elsewhere"])
def test_another_signal_is_no_failure_either(settings: list[dict[str, Any]]) -> None:
    """Far too much air at a signal that did not stay fails nothing; what was seen is said all the same."""
    speed = high(supply(), mixed(mixed_air=["55.0 F"] * 8), *settings)

    assert speed.verdict is Verdict.CANNOT_TELL
    assert speed.flow is not None
    assert "over 1004 cfm to 1228 cfm, but" in speed.flow.sentence.show("us")


THREE = [
    {"name": "high", "supply_air": "4000 cfm"},
    {"name": "middle", "supply_air": "3000 cfm"},
    {"name": "low", "supply_air": "2000 cfm"},
]


@pytest.mark.parametrize(
    ("kit", "fast", "slow", "verdict"),
    [
        (
            "variable-enthalpy-with-demand-control",
            "Full house opening, fan at its fastest",
            "Full house opening, fan at its slowest",
            Verdict.PASSES,
        ),
        (
            "two-speed-dry-bulb",
            "Fresh-air opening, fan fast",
            "Fresh-air opening, fan slow",
            Verdict.CANNOT_TELL,
        ),
    ],
    ids=["variable fan", "two speeds"],
)
def test_a_middle_speed(kit: str, fast: str, slow: str, verdict: Verdict) -> None:
    """A kit for a variable fan goes linearly between its two settings (ASHRAE Guideline 36, limits); of another nobody knows."""
    entries = (
        supply("3000 cfm ± 4 %", speed="middle"),
        mixed(speed="middle", damper_signal="30 %", mixed_air=["59.1 F"] * 8),
        left(fast, "20 %"),
        left(slow, "40 %"),
    )

    assert judged(*entries, given=facts(unit={"fan_speeds": THREE}, kit=kit)).speeds[1].verdict is verdict


def test_layers_of_mixed_air_are_not_averaged_into_a_verdict() -> None:
    """Points that lie further apart than a third of the outdoor-return difference carry no verdict."""
    points = ["70.8 F", "69.8 F", "56.0 F", "55.0 F"] * 2

    assert shortfall(high(supply(), mixed(mixed_air=points), left())) == "airflow.stratified"


def test_the_latest_standing_reading_counts() -> None:
    """A correction replaces the entry it names; the entry stays in the list."""
    wrong = mixed(id="wrong", mixed_air=["55.0 F"] * 8)
    right = mixed(id="right", corrects="wrong")
    speed = high(supply(), wrong, left(), right)

    assert speed.verdict is Verdict.PASSES
    assert speed.flow is not None
    assert "right" in speed.flow.readings


def test_nothing_read_says_what_to_do() -> None:
    """An empty job is not told, speed by speed, and says what to read."""
    verdicts = judged()

    assert [shortfall(speed) for speed in verdicts.speeds] == ["airflow.nothing_read", "airflow.nothing_read"]
    assert verdicts.counted(Verdict.FAILS) == 0


@pytest.mark.parametrize(
    ("shown", "verdict"),
    [
        ("74.9 F", Verdict.PASSES),
        ("76.1 F", Verdict.CANNOT_TELL),
        ("78.0 F", Verdict.FAILS),
        ("69.9 F", Verdict.FAILS),
    ],
)
def test_sensor_beside_a_probe(shown: str, verdict: Verdict) -> None:
    """Within 2 °F (IECC C403.5.5) passes, near the limit cannot be told with a ± 0.5 °F probe, beyond it fails."""
    entry = {
        "what": "sensor check",
        "sensor": "return air",
        "shown": shown,
        "probe": "74.0 F",
        "instrument": "probe",
    }

    assert judged(entry).sensors[0].verdict is verdict


def test_settings_as_left() -> None:
    """A setting as planned passes, another value fails, one not read back is not told."""
    entries = (left("Outdoor air too warm above", "75 F"), left("Mixed-air target", "60 F"))
    by_id = {check.id: check.verdict for check in judged(*entries).settings}

    assert by_id["setting.Outdoor air too warm above"] is Verdict.PASSES
    assert by_id["setting.Mixed-air target"] is Verdict.FAILS
    assert by_id["setting.Warm cut-off gap"] is Verdict.CANNOT_TELL


def test_an_open_change_fails_until_restored() -> None:
    """A resistor left behind fails; read back, it passes."""
    change = {"what": "temporary change", "id": "c", "point": "sensor", "was": "on", "changed_to": "12k"}
    back = {"what": "restored", "change": "c", "read_back": "58.2 F"}

    assert judged(change).nothing_left.verdict is Verdict.FAILS
    assert judged(change, back).nothing_left.verdict is Verdict.PASSES


def test_every_untold_check_has_a_way_out() -> None:
    """Whatever cannot be told says why by a stable name, and what would settle it."""
    for check in judged(supply(), mixed(mixed_air=["62.8 F"])).checks():
        if check.verdict is Verdict.CANNOT_TELL:
            assert check.shortfall is not None
            assert "." in check.shortfall.name
            assert check.shortfall.settle_by.show("us")


def test_good_data_raises_no_shortfall() -> None:
    """Good readings leave no shortfall at that speed."""
    speed = high(supply(), mixed(), left())

    assert speed.fraction is not None
    assert speed.fraction.shortfall is None
    assert speed.flow is not None
    assert speed.flow.shortfall is None


@pytest.mark.parametrize(
    ("airflow", "said"),
    [
        ("44000 cfm ± 4 %", "44,000 cfm, and units of its cooling are met with 1500 cfm to 8000 cfm"),
        ("1900 cfm ± 4 %", "1900 cfm, and 4000 cfm was given for it"),
        ("400 cfm ± 4 %", "400 cfm, and units of its cooling are met with 1500 cfm to 8000 cfm"),
    ],
)
def test_a_supply_airflow_that_does_not_fit_the_unit_settles_nothing(airflow: str, said: str) -> None:
    """It is asked about, and neither passes nor fails anything, whatever the share of outdoor air."""
    verdicts = judged(supply(airflow), mixed(), left())
    (asked,) = verdicts.supply
    speed = verdicts.speeds[0]

    assert asked.verdict is Verdict.CANNOT_TELL
    assert said in asked.sentence.show("us")
    assert asked in list(verdicts.checks())
    assert speed.verdict is Verdict.CANNOT_TELL
    assert speed.flow is not None
    assert speed.flow.verdict is Verdict.CANNOT_TELL


def test_a_wrong_digit_does_not_pass_as_little_air_of_much() -> None:
    """A share of 2.5 % of ten times the air is just what is required: that is no pass."""
    tenth = [f"{74 - 40 * 0.0279:.1f} F"] * 8
    verdicts = judged(supply("40000 cfm ± 4 %"), mixed(mixed_air=tenth), left())

    assert all(
        check.verdict is not Verdict.PASSES
        for speed in verdicts.speeds
        for check in (speed.fraction, speed.flow)
        if check is not None
    )


def test_a_supply_airflow_that_fits_is_not_asked_about() -> None:
    """A good reading, and one well beside the design that units are met with."""
    assert judged(supply(), mixed(), left()).supply == ()
    assert judged(supply("2500 cfm ± 4 %"), mixed(), left()).supply == ()
