"""The document of a job that is opened with four facts: everything else is a default of the person's or a marked guess."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from ventwright.quantity import System
from ventwright.tables.fitting_kits import fitting_kits
from ventwright.version import VERSION

SPEEDS: dict[str, list[dict[str, str]]] = {
    "1": [{"name": "high"}],
    "2": [{"name": "high"}, {"name": "low"}],
    "variable": [{"name": "high"}, {"name": "low"}],
}
"""Fan speeds by the answer; a variable fan is read at its fastest and its slowest."""


def opening_document(
    given: Mapping[str, Any],
    site: Mapping[str, str] | None,
    system: System,
    defaults: Mapping[str, Any],
    *,
    job: str,
) -> dict[str, Any]:
    """Make the document.

    Parameters
    ----------
    given
        Answers: capacity, speeds, place, outdoor; any may be None.
    site
        Fields of the site that the place stands for.
    defaults
        What the person set for every job: energy_code, ventilation_standard, instruments, kit.
    job
        Id of the job.
    """
    speeds = given.get("speeds") or defaults.get("speeds") or "2"
    unit: dict[str, Any] = {"tag": "Unit without a tag", "fan_speeds": SPEEDS[speeds]}
    if given.get("capacity"):
        unit["cooling_capacity"] = given["capacity"]
    kit = (
        defaults.get("kit")
        or fitting_kits(fan_speeds=len(SPEEDS[speeds]), variable=speeds == "variable")[0].id
    )
    facts: dict[str, Any] = {
        "site": {"name": "Site without a name", **(site or {})},
        "unit": unit,
        "kit": kit,
    }
    if defaults.get("energy_code"):
        facts["site"]["energy_code"] = defaults["energy_code"]
    if defaults.get("ventilation_standard"):
        facts["ventilation"] = {"standard": defaults["ventilation_standard"]}
    if given.get("outdoor"):
        facts["weather"] = {"outdoor_air": given["outdoor"]}
    if defaults.get("instruments"):
        facts["instruments"] = list(defaults["instruments"])
    return {
        "schema_version": 1,
        "id": job,
        "units": system,
        "made_with": f"ventwright {VERSION}",
        "facts": facts,
    }


def next_unit_document(document: Mapping[str, Any], tag: str, serves: str, *, job: str) -> dict[str, Any]:
    """Make the document of another unit on the same site: what belongs to this unit alone is left behind.

    Parameters
    ----------
    document
        The job to begin from.
    tag, serves
        What is painted on the next unit, and what it serves.
    job
        Id of the new job.
    """
    facts = {key: value for key, value in (document.get("facts") or {}).items() if key not in OF_ONE_UNIT}
    unit = {
        key: value
        for key, value in (facts.get("unit") or {}).items()
        if key not in {"tag", "serves", "serial"}
    }
    if "fan_speeds" in unit:
        unit["fan_speeds"] = [_as_designed(one) for one in unit["fan_speeds"]]
    facts["unit"] = {"tag": tag, **({"serves": serves} if serves else {}), **unit}
    rules = {
        key: value for key, value in (facts.pop("ventilation", None) or {}).items() if key in OF_THE_SITE
    }
    facts |= {"ventilation": rules} if rules else {}
    kept = {key: document[key] for key in ("schema_version", "units", "invented") if key in document}
    return {**kept, "id": job, "made_with": f"ventwright {VERSION}", "facts": facts}


OF_ONE_UNIT = frozenset({"spaces", "as_found", "power"})
"""Facts that the next unit does not share."""

OF_THE_SITE = frozenset({"standard", "tolerance"})
"""What of the ventilation is the same for every unit: the airflow on the drawings, zones and controls are one unit's."""


def _as_designed(speed: Mapping[str, Any]) -> dict[str, Any]:
    """Return a fan speed without an airflow that somebody read, or looked up, for one unit."""
    designed = speed.get("basis", "design value") == "design value"
    return dict(speed) if designed else {"name": speed.get("name")}
