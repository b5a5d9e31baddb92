"""What the tables refuse, in the exact sentence a person reads."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from ventwright.errors import Refused
from ventwright.tables import climate, damper_leakage, demand_control, energy_code, ventilation
from ventwright.tables import ventilation_efficiency as efficiency
from ventwright.tables import ventilation_procedure as procedure
from ventwright.tables.ventilation_procedure import Space

if TYPE_CHECKING:
    from collections.abc import Callable

ENERGY_EDITIONS = (
    "90.1-2004, 90.1-2007, 90.1-2010, 90.1-2013, 90.1-2016, 90.1-2019, 90.1-2022, 90.1-2025, "
    "IECC-2006, IECC-2009, IECC-2012, IECC-2015, IECC-2018, IECC-2021, IECC-2024, "
    "Title 24-2016, Title 24-2019, Title 24-2022"
)

CASES: dict[str, tuple[Callable[[], object], str]] = {
    "category misspelt": (
        lambda: ventilation.rate("62.1-2022", "Retial / sales"),
        '"Retial / sales" is no category of 62.1-2022; accepted: one of its 90 names, the nearest: Retail / Sales.',
    ),
    "category like nothing": (
        lambda: ventilation.rate("62.1-2022", "xyzzy", "spaces[0].use"),
        (
            'spaces[0].use: "xyzzy" is no category of 62.1-2022; accepted: one of its 90 names, '
            "such as Animal / Animal exam room."
        ),
    ),
    "two kinds of break room": (
        lambda: ventilation.rate("62.1-2022", "break rooms"),
        '"break rooms" fits more than one category of 62.1-2022; accepted: General / Break rooms or Office / Breakrooms.',
    ),
    "two kinds of library": (
        lambda: ventilation.rate("62.1-2019", "Libraries"),
        (
            '"Libraries" fits more than one category of 62.1-2019; accepted: '
            "Education / Libraries or Public assembly / Libraries."
        ),
    ),
    "ventilation edition": (
        lambda: ventilation.rate("62.1-2013", "Office space"),
        (
            '"62.1-2013" is no edition of the ventilation standard with a table here (the nearest is 62.1-2016); '
            "accepted: 62.1-2016, 62.1-2019, 62.1-2022, Title 24-2016, Title 24-2019, Title 24-2022."
        ),
    ),
    "no older table in a newer edition": (
        lambda: ventilation.zone_table("62.1-2022"),
        '"62.1-2022" has no table of system ventilation efficiency here; accepted: 62.1-2016.',
    ),
    "no simplified way in an older edition": (
        lambda: ventilation.simplified_efficiency("62.1-2016"),
        '"62.1-2016" has no simplified system ventilation efficiency here; accepted: 62.1-2019, 62.1-2022.',
    ),
    "air distribution not in that edition": (
        lambda: ventilation.distribution("62.1-2016", "stratified with long throw"),
        (
            '"stratified with long throw" is no air distribution of 62.1-2016; accepted: ceiling cool, '
            "ceiling warm with floor return, ceiling hot with ceiling return, ceiling warm with slow jet, "
            "ceiling warm with fast jet, floor warm with floor return, floor warm with ceiling return, "
            "make-up far from exhaust, make-up near exhaust."
        ),
    ),
    "code edition": (
        lambda: energy_code.economizer_rule("90.1-2018", "5A"),
        (
            '"90.1-2018" is no edition of an energy code with tables here (the nearest is 90.1-2019); '
            f"accepted: {ENERGY_EDITIONS}."
        ),
    ),
    "zone of the code tables": (
        lambda: energy_code.high_limits("90.1-2019", "9A"),
        (
            '"9A" is no climate zone of these tables; accepted: 0A, 0B, 1A, 1B, 2A, 2B, 3A, 3B, 3C, 4A, 4B, 4C, '
            "5A, 5B, 5C, 6A, 6B, 7, 7A, 7B, 8."
        ),
    ),
    "edition without high limits": (
        lambda: energy_code.high_limits("IECC-2009", "5A"),
        (
            '"IECC-2009" has no high limits here; accepted: '
            f"{ENERGY_EDITIONS.replace('IECC-2006, IECC-2009, ', '')}."
        ),
    ),
    "edition without a rule for demand control": (
        lambda: demand_control.demand_control_rule("90.1-2022"),
        (
            '"90.1-2022" has no rule for demand-controlled ventilation here; accepted: 90.1-2007, 90.1-2010, 90.1-2013, '
            "90.1-2016, 90.1-2019, IECC-2015, IECC-2018, IECC-2021, IECC-2024, Title 24-2016, Title 24-2019, Title 24-2022."
        ),
    ),
    "edition without damper leakage": (
        lambda: damper_leakage.damper_leakage("IECC-2021", "5A", 1),
        (
            '"IECC-2021" has no table of damper leakage here; accepted: '
            "90.1-2010, 90.1-2013, 90.1-2016, 90.1-2019, 90.1-2022."
        ),
    ),
    "zone typed": (
        lambda: climate.climate_zone("5D", "facts.site.climate_zone"),
        (
            'facts.site.climate_zone: "5D" is no climate zone; accepted: 0A, 0B, 1A, 1B, 2A, 2B, 3A, 3B, 3C, 4A, 4B, 4C, '
            "5A, 5B, 5C, 6A, 6B, 7, 8."
        ),
    ),
    "letter on a zone that has none": (
        lambda: climate.climate_zone("7A"),
        '"7A" has a letter; zones 7 and 8 have none; accepted: 7.',
    ),
    "county misspelt": (
        lambda: climate.zone_of_county("Coook", "IL"),
        '"Coook" is no county of Illinois; accepted: one of its 102 names, the nearest: Cook County.',
    ),
    "county and independent city": (
        lambda: climate.zone_of_county("Fairfax", "Virginia"),
        '"Fairfax" fits more than one county of Virginia; accepted: Fairfax County or Fairfax City.',
    ),
    "state misspelt": (
        lambda: climate.zone_of_county("Cook", "Ilinois"),
        '"Ilinois" is no state of the US; accepted: one of its 51 names, the nearest: Illinois.',
    ),
    "state outside the map": (
        lambda: climate.zone_of_county("Fairbanks North Star", "AK"),
        (
            '"Fairbanks North Star" is in Alaska, which the county map leaves out; accepted: '
            "the climate zone itself, such as 5A."
        ),
    ),
    "missing letter in the map": (
        lambda: climate.zone_name("5", "", "Nowhere County"),
        '"Nowhere County" has no complete climate zone in the map; accepted: the climate zone itself, such as 5A.',
    ),
    "negative people": (
        lambda: procedure.breathing_zone_airflow([Space(-1, 10, 0.0025, 0.0003)]),
        'number of people: "-1" is not possible; accepted: zero or more.',
    ),
    "no effectiveness": (
        lambda: procedure.zone_outdoor_airflow(0.1, 0),
        'zone air distribution effectiveness: "0" is not possible; accepted: above zero.',
    ),
    "more people at once than there are": (
        lambda: procedure.occupant_diversity(50, [10, 25, 12]),
        'number of people at once: "50" is not possible; accepted: more than 0, at most 47.',
    ),
    "beyond the older table": (
        lambda: efficiency.efficiency_from_zone_table(0.6, ventilation.zone_table("62.1-2016")),
        (
            'largest zone primary outdoor-air fraction: "0.6" is not possible; accepted: '
            "at most 0.55; beyond it use appendix A."
        ),
    ),
    "a zone beyond help": (
        lambda: efficiency.system_efficiency([0.4, -0.1]),
        'system ventilation efficiency: "-0.1" is not possible; accepted: above zero.',
    ),
    "no zones": (
        lambda: efficiency.system_efficiency([]),
        "zones: needs at least one zone; accepted: the efficiency of every zone.",
    ),
}


@pytest.mark.parametrize(("ask", "sentence"), CASES.values(), ids=CASES)
def test_refusal_names_what_is_accepted(ask: Callable[[], object], sentence: str) -> None:
    """The sentence says what was given, what is wrong and what to write instead."""
    with pytest.raises(Refused) as refused:
        ask()
    assert str(refused.value) == sentence
