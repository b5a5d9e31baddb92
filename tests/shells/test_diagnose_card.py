"""The unit as it was left, handed to the diagnosis: it tells this unit's damper from others, and accuses nobody."""

from __future__ import annotations

from functools import cache
from importlib.resources import files
from math import sqrt
from pathlib import Path

import pytest

from ventwright import cli
from ventwright.cli import REFUSED
from ventwright.job import Worked, subject_of, work
from ventwright.readings.fault_finding import measurement_named
from ventwright.record.card_code import card_text
from ventwright.record.card_reading import baseline_of_card
from ventwright.store import load
from ventwright.verdict.diagnose.baseline import Baseline, as_meant, baseline_of, sound_readings
from ventwright.verdict.diagnose.belief import Belief, MeasurementTaken, first_belief
from ventwright.verdict.diagnose.from_job import situation_of
from ventwright.verdict.diagnose.signature import Signatures, signatures

DEMO = Path(str(files("ventwright.cli"))) / "demo_job" / "larkspur-row-r-2.yaml"
AT_SLOW = measurement_named("share.fan")


@cache
def left() -> Worked:
    """The invented job as it was left."""
    return work(load(DEMO).job)


@cache
def baseline() -> Baseline:
    """What its own job says."""
    return baseline_of(left().plan.kit, left().job.readings, left().verdicts.speeds)


@cache
def a_year_later() -> Signatures:
    """The same unit, nothing read yet."""
    job, plan = left().job, left().plan
    nothing = job.readings.model_copy(update={"visits": (), "entries": ()})
    meant = plan.__class__(
        **{  # the settings as they were left, since the plan only guessed the minimum
            name: getattr(plan, name) for name in plan.__slots__
        }
        | {"settings": as_meant(plan, nothing, baseline())}
    )
    return signatures(situation_of(job.facts, meant, nothing))


def believed(with_card: bool) -> Belief:
    """First belief, with what was left and without."""
    given = sound_readings(baseline(), left().plan, a_year_later().situation) if with_card else ()
    return first_belief(a_year_later(), None, given)


def spread(belief: Belief) -> float:
    """Standard deviation of the share that a sound unit would have at low speed."""
    values = [
        (weight, belief.signatures.values(case, AT_SLOW)[0])
        for case, weight in belief.weights.items()
        if case[0] == ()
    ]
    numbers = [(weight, value) for weight, value in values if isinstance(value, float)]
    whole = sum(weight for weight, _ in numbers)
    mean = sum(weight * value for weight, value in numbers) / whole
    return sqrt(sum(weight * (value - mean) ** 2 for weight, value in numbers) / whole)


def test_a_job_and_its_card_say_the_same() -> None:
    """The text of the code holds settings and shares; its uncertainty is no smaller than that of the job."""
    read = baseline_of_card(card_text(subject_of(left())), left().plan)
    assert read.settings == pytest.approx(baseline().settings)
    for one, other in zip(read.shares, baseline().shares, strict=True):
        assert one.speed == other.speed
        assert one.signal == pytest.approx(other.signal)
        assert one.share == pytest.approx(other.share, abs=0.001)
        assert other.u <= one.u < 0.05


def test_each_speed_is_a_reading_of_the_sound_unit() -> None:
    """The slow fan's share is that of ventilating, the fast one's that with heat; each with its own uncertainty."""
    found = sound_readings(baseline(), left().plan, a_year_later().situation)
    assert [one.measurement.id for one in found] == ["share.fan", "share.heat_1"]
    assert [one.values[0] for one in found] == [
        pytest.approx(0.43, abs=0.005),
        pytest.approx(0.278, abs=0.005),
    ]


def test_a_share_at_another_signal_says_nothing() -> None:
    """Where the minimum was set anew since, the old share is of another opening."""
    moved = Baseline(
        tuple(one.__class__(one.speed, one.signal + 0.1, one.share, one.u) for one in baseline().shares)
    )
    assert sound_readings(moved, left().plan, a_year_later().situation) == ()


def test_it_tells_units_apart_and_not_faults() -> None:
    """What is believed of every set of faults stays; what a sound unit would read is known more closely."""
    without, known = believed(with_card=False), believed(with_card=True)
    assert known.of_sets() == pytest.approx(without.of_sets())
    assert spread(known) < 0.8 * spread(without)


def test_less_air_than_as_left_speaks_louder_with_the_card() -> None:
    """A share well below as-left leaves less for a sound unit than where its damper might have been such a one."""
    low = MeasurementTaken(AT_SLOW, (0.31,))
    assert believed(with_card=True).after(low).healthy < 0.7 * believed(with_card=False).after(low).healthy


def test_what_is_no_card(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """A card of another unit, one that says no share, and a file that is not there: one sentence each."""
    other = "Ventwright card 1\nair turbo = 1114 cfm ± 72 cfm, 27.8 % at 21 %, passes"
    for given, said in (
        (other, 'ventwright: --card: card, line 2: "turbo" is no fan speed of this unit: the card is of another one; accepted: high, low.'),
        ("Ventwright card 1\nunit R-2", "ventwright: --card: says no share of outdoor air at any fan speed; accepted: the text of a card's code, as a phone shows it, or a job of this unit as it was left."),
        (str(tmp_path / "none.yaml"), "none.yaml: cannot be read (no such file or directory); accepted: "),
    ):  # fmt: skip
        assert cli.main(["diagnose", str(DEMO), "--card", given]) == REFUSED
        assert said in capsys.readouterr().err
