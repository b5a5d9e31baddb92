"""Dimensions of the printed rates: airflow per person, airflow per floor or damper area, people per floor area."""

from __future__ import annotations

from ventwright.quantity import AIRFLOW, AREA, Dimension, Unit

CFM = AIRFLOW.us.factor
SQUARE_FOOT = AREA.us.factor

AIRFLOW_PER_PERSON = Dimension(
    "airflow per person",
    "_m3_s_per_person",
    Unit(("L/s·person", "L/s/person"), 1e-3),
    Unit(("cfm/person",), CFM),
    (),
    '"7.5 cfm/person"',
    at_least=0.0,
)
AIRFLOW_PER_AREA = Dimension(
    "airflow per area",
    "_m3_s_per_m2",
    Unit(("L/s·m²", "L/s/m2"), 1e-3),
    Unit(("cfm/ft²", "cfm/ft2"), CFM / SQUARE_FOOT),
    (),
    '"0.12 cfm/ft2"',
    at_least=0.0,
    decimals=(2, 2),
)
PEOPLE_PER_AREA = Dimension(
    "people per area",
    "_per_m2",
    Unit(("people/100 m²", "people/100 m2"), 1e-2),
    Unit(("people/1000 ft²", "people/1000 ft2"), 1e-3 / SQUARE_FOOT),
    (),
    '"15 people/1000 ft2"',
    at_least=0.0,
    decimals=(0, 0),
)
