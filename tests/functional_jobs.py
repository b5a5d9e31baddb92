"""Invented jobs for the tests of the functional tests: every kit on the shelf, each on a unit that it is for."""

from __future__ import annotations

from typing import Any, Final

from ventwright.evidence import Verdict
from ventwright.facts import Facts
from ventwright.plan import Plan, make_plan
from ventwright.plan.functional_tests import FunctionalTests, plan_functional_tests
from ventwright.readings import Readings
from ventwright.verdict import judge
from ventwright.verdict.prove import Proof, prove

UNIT_OF: Final = {
    "two-speed-dry-bulb": "ten-ton-two-speed-gas",
    "heat-pump-differential": "seven-ton-heat-pump",
    "single-speed-enthalpy": "five-ton-one-speed-electric",
    "variable-enthalpy-with-demand-control": "fifteen-ton-variable-gas",
    "damper-for-a-unit-that-decides": "fifteen-ton-variable-gas",
}
"""Every kit on the shelf, with a unit."""

BOX: Final = {"people": 1, "decade_box": True, "packs": True}


def job_of(
    kit: str,
    outdoor: str | None = "58 F",
    *,
    returned: str = "74 F",
    relief: str = "barometric",
    **other: Any,
) -> Facts:
    """Facts of a job with this kit in this weather; ``at_hand`` and whatever else a test wants beside."""
    given: dict[str, Any] = {
        "site": {"name": "Nowhere", "climate_zone": "3C", "elevation": "0 ft", "energy_code": "90.1-2019"},
        "unit": {"tag": "T-1", "sheet": UNIT_OF[kit], "relief": relief},
        "ventilation": {"standard": "62.1-2019", "drawn": {"cooling": "500 cfm", "source": "invented sheet"}},
        "spaces": [{"name": "Shop", "use": "Retail / Sales", "floor_area": "2000 ft2", "people": 30}],
        "kit": kit,
        "instruments": [
            {"id": "probe", "kind": "temperature", "accuracy": "± 0.5 F"},
            {"id": "meter", "kind": "electrical", "accuracy": "± 1 %"},
            {"id": "gauge", "kind": "pressure", "accuracy": "± 1 %"},
        ],
    }
    if outdoor is not None:
        given["weather"] = {"outdoor_air": outdoor, "return_air": returned}
    return Facts.model_validate(given | other)


def functions_of(kit: str, outdoor: str | None, **other: Any) -> FunctionalTests:
    """Functional tests of a job with this kit in this weather."""
    facts = job_of(kit, outdoor, **other)
    return plan_functional_tests(facts, plan_of(facts))


def plan_of(facts: Facts) -> Plan:
    """The plan of a job."""
    return make_plan(facts)


def proof_of(
    *entries: dict[str, Any], kit: str = "two-speed-dry-bulb", outdoor: str | None = "58 F", **other: Any
) -> Proof:
    """What entries a minute apart prove of a job with this kit."""
    facts = job_of(kit, outdoor, **other)
    made = [
        {"id": f"e{number}", "at": f"2026-11-25T09:{number:02d}-08:00"} | entry
        for number, entry in enumerate(entries)
    ]
    readings, plan = Readings.model_validate({"entries": made}), plan_of(facts)
    return prove(facts, plan, readings, judge(facts, plan, readings))


def outcome(proof: Proof, id_: str) -> tuple[Verdict | None, str]:
    """Verdict of one step and the stable name of why it cannot be told."""
    one = next(step for step in proof.steps if step.planned.id == id_)
    shortfall = None if one.check is None else one.check.shortfall
    return one.verdict, "" if shortfall is None else shortfall.name


def seen(step: str, **other: Any) -> dict[str, Any]:
    """One step as it was entered."""
    return {"what": "test step", "step": step, **other}
