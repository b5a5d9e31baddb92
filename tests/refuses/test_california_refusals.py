"""What the tables of California's code refuse, in the exact sentence a person reads."""

from __future__ import annotations

from collections.abc import Callable

import pytest
from tests.invented import facts

from ventwright.errors import Refused
from ventwright.plan import make_plan
from ventwright.tables import climate, energy_code, ventilation
from ventwright.tables.climate import CALIFORNIA_ZONES

SIXTEEN = ", ".join(CALIFORNIA_ZONES)

CASES: dict[str, tuple[Callable[[], object], str]] = {
    "a seventeenth zone": (
        lambda: climate.climate_zone("CA 17", "facts.site.climate_zone"),
        f'facts.site.climate_zone: "CA 17" is no climate zone of California (did you mean CA 1?); accepted: {SIXTEEN}.',
    ),
    "California without a number": (
        lambda: climate.climate_zone("California"),
        f'"California" is no climate zone of California; accepted: {SIXTEEN}.',
    ),
    "a zone of the other codes": (
        lambda: energy_code.economizer_rule("Title 24-2022", "3C"),
        f'"3C" is no climate zone of these tables; accepted: {SIXTEEN}.',
    ),
    "a category of the other standard": (
        lambda: ventilation.rate("Title 24-2022", "Office / Office space"),
        (
            '"Office / Office space" is no category of Title 24-2022 (did you mean Office / Office?); accepted: '
            "Assembly / Auditorium, Assembly / Conference and meeting, Assembly / Gymnasium, play area, Education / Classroom, "
            "Food / Restaurant dining, Office / Office, Retail / Sales."
        ),
    ),
    "an air distribution": (
        lambda: ventilation.distribution("Title 24-2016", "ceiling cool"),
        '"ceiling cool" is no air distribution of Title 24-2016; accepted: any.',
    ),
    "no system efficiency": (
        lambda: ventilation.zone_table("Title 24-2016"),
        '"Title 24-2016" has no table of system ventilation efficiency here; accepted: 62.1-2016.',
    ),
}


@pytest.mark.parametrize("case", CASES)
def test_the_sentence(case: str) -> None:
    """Where, what was given, what would be accepted."""
    ask, sentence = CASES[case]
    with pytest.raises(Refused) as refused:
        ask()
    assert str(refused.value) == sentence


def test_a_method_for_several_zones_is_refused() -> None:
    """California adds the zones up: a method of 62.1 would be ignored, so it is refused."""
    given = {"standard": "Title 24-2016", "drawn": None, "system": "multiple zones", "method": "appendix A"}
    shop = {"name": "Shop", "use": "Retail / Sales", "floor_area": "4800 ft2"}
    with pytest.raises(Refused) as refused:
        make_plan(
            facts(
                site={"climate_zone": "CA 3", "energy_code": "Title 24-2016"},
                spaces=[shop],
                ventilation=given,
            )
        )
    assert str(refused.value) == (
        'facts.ventilation.method: "appendix A" is no method of Title 24-2016; accepted: no method: the air of the zones adds up.'
    )
