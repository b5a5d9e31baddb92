"""What no controls of a rooftop unit can be set to, shown or asked."""

from __future__ import annotations

import math
from collections.abc import Callable
from typing import Final

import pytest

from ventwright.errors import Refused
from ventwright.physics.rooftop.calls import Calls
from ventwright.physics.rooftop.control_fault import (
    CallNotRouted,
    ForgottenResistor,
    ReversedValveSense,
    WrongSetting,
)
from ventwright.physics.rooftop.control_settings import ControlSettings, FanSpeeds, filled
from ventwright.physics.rooftop.freeze_protection import FreezeProtection
from ventwright.physics.rooftop.high_limit import HighLimit
from ventwright.physics.rooftop.minimum_position import MinimumPosition, minimum_signal
from ventwright.physics.rooftop.room import Room
from ventwright.physics.rooftop.sensed import Sensed
from ventwright.physics.rooftop.thermostat import Thermostat

MINIMUM: Final = MinimumPosition(0.2, 0.3, 1.0, 0.6)
SETTINGS: Final = ControlSettings(MINIMUM)

CASES: Final[list[tuple[str, Callable[[], object], str]]] = [
    (
        "minimum above the stroke",
        lambda: MinimumPosition(1.2, 0.3),
        'minimum position.at_fastest: "1.2" is no share of full stroke or speed; accepted: 0 to 1.',
    ),
    (
        "speeds the wrong way round",
        lambda: MinimumPosition(0.2, 0.3, 0.5, 0.9),
        'minimum position.slowest: "0.9 and 0.5" are the wrong way round; accepted: a slowest speed that is not above the fastest.',
    ),
    (
        "half of low occupancy",
        lambda: MinimumPosition(0.2, 0.3, low_at_fastest=0.1),
        "minimum position: low occupancy is half set; accepted: two signals and two outdoor airflows, or none of the four.",
    ),
    (
        "needs the wrong way round",
        lambda: MinimumPosition(0.2, 0.3, 1.0, 0.6, 0.1, 0.15, 0.5, 0.4),
        'minimum position.least_need: "0.5 and 0.4 m3/s" are the wrong way round; accepted: a least outdoor airflow below the design.',
    ),
    (
        "a need without settings for it",
        lambda: minimum_signal(MINIMUM, 1.0, 0.3),
        'outdoor air needed: "0.3 m3/s" cannot be followed; accepted: no need, or settings for low occupancy.',
    ),
    (
        "a differential below nothing",
        lambda: HighLimit(limit_differential=-1.0),
        'high limit.limit_differential: "-1" is below nothing; accepted: a finite number of at least 0.',
    ),
    (
        "no limit",
        lambda: HighLimit(high_limit=math.nan),
        'high limit.high_limit: "nan" is no limit; accepted: a finite number.',
    ),
    (
        "stages out of order",
        lambda: FreezeProtection(first_below=2.0),
        'freeze protection: "1.1, 3.3, 2, 7.2" are out of order; accepted: temperatures that rise from the third stage to the end of the first.',
    ),
    (
        "no time",
        lambda: FreezeProtection(delay=-5.0),
        'freeze protection: "-5, 900, 3600" are no times; accepted: at least 0 seconds.',
    ),
    (
        "a fan that stands",
        lambda: FanSpeeds(ventilating=0.0),
        'fan speeds: "0, 1, 1, 1" are no fan speeds; accepted: more than 0, at most 1.',
    ),
    (
        "no set point",
        lambda: ControlSettings(MINIMUM, set_point=math.inf),
        'control settings.set_point: "inf" is no setting; accepted: a finite number.',
    ),
    (
        "a negative time",
        lambda: ControlSettings(MINIMUM, least_on=-1.0),
        'control settings.least_on: "-1" is below nothing; accepted: a finite number of at least 0.',
    ),
    (
        "no reset time",
        lambda: ControlSettings(MINIMUM, reset_time=0.0),
        'control settings.reset_time: "0" is no setting; accepted: more than 0.',
    ),
    (
        "no number of compressors",
        lambda: ControlSettings(MINIMUM, compressors=-1),
        'control settings.compressors: "-1" is no number of stages; accepted: a whole number from 0.',
    ),
    (
        "calls below none",
        lambda: Calls(cooling_stages=-1),
        'calls.cooling_stages: "-1" is no number of stages; accepted: a whole number from 0.',
    ),
    (
        "no airflow",
        lambda: Calls(need=math.nan),
        'calls.need: "nan m3/s" is no airflow; accepted: a finite number of at least 0.',
    ),
    (
        "no reading",
        lambda: Sensed(outdoor_dry_bulb=math.nan),
        'sensed.outdoor_dry_bulb: "nan" is no reading; accepted: a finite number, or None for a failed sensor.',
    ),
    (
        "a resistor nowhere",
        lambda: ForgottenResistor("attic", 10.0),
        'forgotten resistor: "attic" is no sensor input; accepted: outdoor_dry_bulb, return_dry_bulb, mixed_dry_bulb, supply_dry_bulb, outdoor_enthalpy, return_enthalpy.',
    ),
    (
        "a fan call to a compressor",
        lambda: CallNotRouted("fan", to_compressor=True),
        'call not routed: "fan" does not go to a compressor; accepted: first cooling, second cooling.',
    ),
    (
        "a valve without a heat pump",
        lambda: ReversedValveSense().settings(SETTINGS),
        'reversed valve sense: "the unit" has no reversing valve; accepted: settings of a heat pump.',
    ),
    (
        "a room of no capacity",
        lambda: Room(0.0, 500.0, 1000.0, 0.0, 0.0),
        'room.heat_capacity: "0" is not possible; accepted: more than 0.',
    ),
    (
        "a thermostat at odds with itself",
        lambda: Thermostat(cooling=21.0, heating=21.0),
        'thermostat.cooling: "21 and 21 °C" are too near each other; accepted: a cooling set point above the heating one by more than the swing.',
    ),
]


@pytest.mark.parametrize(("make", "sentence"), [case[1:] for case in CASES], ids=[case[0] for case in CASES])
def test_what_is_refused(make: Callable[[], object], sentence: str) -> None:
    """Each entry is refused in one sentence that says what would do."""
    with pytest.raises(Refused) as refused:
        make()
    assert str(refused.value) == sentence


def test_no_such_setting() -> None:
    """A place that is no setting is refused with the nearest that is."""
    with pytest.raises(Refused) as refused:
        WrongSetting("high_limit.hihg_limit", 1.0).settings(SETTINGS)
    assert str(refused.value).startswith(
        '"high_limit.hihg_limit" is not a setting of the sequence (did you mean high_limit.high_limit?); accepted: minimum.at_fastest, '
    )


def test_no_such_term() -> None:
    """A kit's term that the sequence does not know is refused, not passed over."""
    with pytest.raises(Refused) as refused:
        filled(SETTINGS, {("relief start", None): 0.3})
    assert '"relief start" is not a term that the sequence knows' in str(refused.value)


def test_a_wrong_setting_is_still_a_setting() -> None:
    """What no kit takes is refused in a fault as well."""
    with pytest.raises(Refused) as refused:
        WrongSetting("minimum.at_slowest", 1.4).settings(SETTINGS)
    assert 'minimum position.at_slowest: "1.4"' in str(refused.value)
