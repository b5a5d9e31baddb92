"""The outdoor airflow measured directly beside the temperatures: as a share of mass, and where the two ways disagree.

The readings are invented, of an invented unit; what they must lead to follows from how they were made.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

import pytest
from tests.invented import PROBE, facts, left, mixed, readings, supply

from ventwright.evidence import Verdict
from ventwright.facts import Facts
from ventwright.physics.inference import Do
from ventwright.plan import make_plan
from ventwright.verdict import SpeedVerdict, Verdicts, judge
from ventwright.verdict.balance import Finding, SpeedBalance

CFM = 0.3048**3 / 60
KELVIN = 273.15
CONTRADICT = "balance.readings_contradict"
FINE = facts(instruments=[PROBE | {"accuracy": "± 0.2 F", "repeatability": "± 0.05 F"}])


def direct(airflow: str, signal: float = 21, **other: Any) -> dict[str, Any]:
    """An outdoor airflow at high speed, by an instrument that shows standard air unless it says otherwise."""
    entry = {
        "what": "outdoor airflow", "speed": "high", "damper_signal": f"{signal:g} %", "airflow": airflow,
        "method": "flow hood", "volume": "standard air",
    }  # fmt: skip
    return {key: value for key, value in (entry | other).items() if value is not None}


def share(signal: float, share: float, **other: Any) -> dict[str, Any]:
    """Temperatures that show a share."""
    return mixed(damper_signal=f"{signal:g} %", mixed_air=[f"{74.0 - 40.0 * share:.3f} F"] * 8, **other)


def worked(*entries: dict[str, Any], known: Facts = FINE) -> Verdicts:
    """Verdicts on the job with these readings."""
    return judge(known, make_plan(known), readings(*entries))


def high(verdicts: Verdicts) -> tuple[SpeedVerdict, SpeedBalance]:
    """High speed: as judged, and as balanced."""
    return next(one for one in verdicts.speeds if one.name == "high"), verdicts.balance.speed("high")


def contradictions(verdicts: Verdicts) -> Sequence[Finding]:
    """What does not go with what."""
    return [one for one in verdicts.balance.findings if one.name == CONTRADICT]


# 28 % of 4,000 cfm are 1,120 cfm. By ± 4 % of both airflows and 0.7 hundredths of the temperatures, an airflow of
# 1,000 cfm stands 3.4 standard deviations off, and one of 1,040 cfm 2.3.
APART, CLOSE = "1000 cfm ± 4 %", "1040 cfm ± 4 %"


def test_an_airflow_far_from_the_temperatures_is_not_outvoted_silently() -> None:
    """Beyond three standard deviations it is said, with both numbers; nothing passes, and that very reading is repeated."""
    verdicts = worked(supply(), share(21, 0.28), direct(APART) | {"id": "hood"}, left())
    judged, balanced = high(verdicts)

    (finding,) = contradictions(verdicts)
    assert finding.readings == ("hood",)
    assert "is 25 % of the supply air" in finding.sentence.show("us")
    assert "the other readings say 28 %" in finding.sentence.show("us")
    assert judged.verdict is Verdict.CANNOT_TELL
    assert judged.flow is not None
    assert judged.flow.shortfall is not None
    assert judged.flow.shortfall.name == "airflow.readings_contradict"
    assert balanced.advice is not None
    assert (balanced.advice.do, balanced.advice.signal) == (Do.READ, 0.21)
    assert "measure the outdoor airflow at 21 % again first" in balanced.advice.because.show("us")


@pytest.mark.parametrize("airflow", ["1120 cfm ± 4 %", CLOSE, "1200 cfm ± 4 %"])
def test_an_airflow_within_what_both_ways_allow_is_not_accused(airflow: str) -> None:
    """Two and a half standard deviations happen: sound readings pass together."""
    verdicts = worked(supply(), share(21, 0.28), direct(airflow), left())

    assert contradictions(verdicts) == []
    assert high(verdicts)[0].verdict is Verdict.PASSES


def test_an_airflow_that_comes_out_twice_has_the_temperatures_read_again() -> None:
    """What was repeated is believed for the moment: the other way is in doubt, and nothing passes before it was read again."""
    verdicts = worked(
        supply(), share(21, 0.28) | {"id": "warmth"}, direct(APART), direct("1005 cfm ± 4 %"), left()
    )

    (finding,) = contradictions(verdicts)
    assert finding.readings == ("warmth",)
    assert high(verdicts)[0].verdict is Verdict.CANNOT_TELL


def test_two_ways_that_each_come_out_twice_still_pass_nothing() -> None:
    """One of them errs by more than its ±, and which one no repetition tells: the instruments are in question."""
    verdicts = worked(
        supply(), share(21, 0.28), share(21, 0.281), direct(APART), direct("1005 cfm ± 4 %"), left()
    )
    judged, balanced = high(verdicts)

    (finding,) = contradictions(verdicts)
    assert finding.readings == ()
    assert "measure the supply airflow again" in finding.settle_by.show("us")
    assert judged.verdict is Verdict.CANNOT_TELL
    assert balanced.advice is not None
    assert balanced.advice.do is not Do.HOLD


def test_an_instrument_that_errs_alike_everywhere_does_not_confirm_itself() -> None:
    """Three airflows short by the same tenth agree with each other, and are held against the temperatures all the same."""
    signals = {15: 0.22, 21: 0.28, 30: 0.37}
    verdicts = worked(
        supply(), *(share(*one) for one in signals.items()),
        *(direct(f"{0.88 * 4000 * true:.0f} cfm ± 4 %", at) for at, true in signals.items()), left(),
    )  # fmt: skip

    assert len(contradictions(verdicts)) == 1
    assert high(verdicts)[0].verdict is Verdict.CANNOT_TELL


def test_a_wrong_temperature_is_not_blamed_on_the_airflow() -> None:
    """Where temperatures contradict each other the odd one of them is repeated, not the airflow that goes with the rest."""
    shares = {10: 0.12, 25: 0.60, 40: 0.48, 60: 0.66}
    taken = [share(*one) | {"id": f"at{one[0]}"} for one in shares.items()]
    verdicts = worked(supply(), *taken, direct("1920 cfm ± 10 %", 40), left(value="25 %"))

    assert [one.readings for one in contradictions(verdicts)] == [("at25",)]


# a share of mass


def shown_alone(entry: dict[str, Any], *others: dict[str, Any]) -> tuple[float, float]:
    """Share and its standard uncertainty, of an airflow on a supply airflow that is known to a hair."""
    known = facts(instruments=[PROBE])
    verdicts = judge(known, make_plan(known), readings(supply("4000 cfm ± 2 %"), entry, *others, left()))
    at = "e1"
    (point,) = [one for one in high(verdicts)[1].readings if one.reading == at]
    return point.outdoor_air_fraction, point.outdoor_air_fraction_u


def by_weight(volume_share: float, outdoor: float, returned: float) -> float:
    """Share of mass, of volumes weighed one by one: density as the inverse of the absolute temperature. [°F]"""
    weights = [volume_share / (outdoor + 459.67), (1.0 - volume_share) / (returned + 459.67)]
    return weights[0] / sum(weights)


@pytest.mark.parametrize("outdoor", [14.0, 34.0, 74.0, 104.0])
def test_cold_outdoor_air_weighs_more_than_its_volume_says(outdoor: float) -> None:
    """The temperatures come from the entry itself and from the reading beside it."""
    beside = mixed(outdoor_air=f"{outdoor} F", mixed_air=["70 F"] * 8, damper_signal="60 %")
    hood = direct("1120 cfm ± 4 %", volume="as it flows")

    found, _ = shown_alone(hood, beside)
    own, _ = shown_alone(hood | {"outdoor_air": f"{outdoor} F"}, mixed(damper_signal="60 %"))

    assert found == pytest.approx(by_weight(0.28, outdoor, 74.0), abs=1e-6)
    assert own == pytest.approx(found, abs=1e-6)
    assert (found > 0.28) == (outdoor < 74.0)


def test_thirty_kelvins_are_a_tenth_of_the_outdoor_air() -> None:
    """1,008 cfm that flow at 20 °F bring in what 1,100 cfm at 74 °F do: the verdict counts what they weigh."""
    cold = {"outdoor_air": "20 F", "mixed_air": ["60 F"] * 8, "damper_signal": "90 %"}
    known = facts()
    hood = direct("1008 cfm ± 4 %", volume="as it flows")
    verdicts = judge(known, make_plan(known), readings(supply(), hood, mixed(**cold), left()))
    (point, _) = high(verdicts)[1].readings

    assert point.outdoor_air_fraction * 4000 == pytest.approx(1008 * (533.67 / 479.67) * 0.972, rel=0.003)


def test_an_instrument_that_shows_standard_air_is_not_corrected() -> None:
    """What was turned into standard air already is taken as it is, whatever the weather."""
    beside = mixed(outdoor_air="14 F", mixed_air=["57 F"] * 8)
    assert shown_alone(direct("1120 cfm ± 4 %"), beside)[0] == pytest.approx(0.28, abs=1e-9)


def test_what_is_not_known_is_carried_by_the_uncertainty() -> None:
    """Without the outdoor temperature, or a word of what the instrument shows, the ± reaches to what it may be."""
    beside = mixed(outdoor_air="20 F", mixed_air=["58.8 F"] * 8, damper_signal="60 %")
    (_, surely), (share_, unsaid_u), (volume, without_u) = (
        shown_alone(direct("1120 cfm ± 4 %", volume="as it flows"), beside),
        shown_alone(direct("1120 cfm ± 4 %", volume=None), beside),
        shown_alone(direct("1120 cfm ± 4 %", volume="as it flows")),
    )
    of_weight = by_weight(0.28, 20.0, 74.0)

    assert share_ == pytest.approx(of_weight, abs=1e-6)
    assert unsaid_u**2 - surely**2 == pytest.approx((0.5 * (of_weight - 0.28)) ** 2, rel=1e-3)
    assert volume == pytest.approx(0.28, abs=1e-9)
    # the ratio of the densities to ± 10 %, of which the mixed air takes its part with it
    assert without_u > 0.05 * 0.28 * 0.72


def test_a_reading_of_another_hour_does_not_tell_the_temperature() -> None:
    """Outdoor air of three hours ago is other air: the densities count as not known."""
    early = mixed(outdoor_air="20 F", damper_signal="60 %") | {"at": "2026-11-25T06:00-08:00"}
    found, _ = shown_alone(direct("1120 cfm ± 4 %", volume="as it flows"), early)

    assert found == pytest.approx(0.28, abs=1e-9)


def test_an_airflow_of_nothing_keeps_its_uncertainty() -> None:
    """Nothing, give or take 30 cfm, is a share of nothing give or take 0.75 hundredths, in cold air a little more."""
    found, u = shown_alone(direct("0 cfm ± 30 cfm", volume="as it flows"), mixed(damper_signal="60 %"))

    assert found == 0.0
    assert 2 * u == pytest.approx(30 / 4000 * (533.67 / 493.67), rel=0.6)
    assert 2 * u > 30 / 4000


def test_the_entry_says_what_it_was_told() -> None:
    """Temperature and kind of volume stand in the line of the entry, in the units of who reads it."""
    (entry,) = readings(direct("1120 cfm ± 15 %", volume="as it flows", outdoor_air="20 F")).entries

    assert entry.summary("us").endswith("by flow hood, at 20.0 °F, as it flows")
    assert "°F" not in entry.summary("si")
