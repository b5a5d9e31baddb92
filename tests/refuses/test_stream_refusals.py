"""What readings of the airstreams are refused for, in the exact sentences a person reads; the job is invented.

The sentences are our own wording, pinned here: whoever changes one changes it for everybody who reads it.
"""

from __future__ import annotations

from pathlib import Path

import pytest

from ventwright.errors import Refused
from ventwright.store import load

JOB = """\
schema_version: 1
id: t-1
invented: true
facts:
  site: {name: Nowhere, climate_zone: 3C, elevation: 0 ft, energy_code: 90.1-2019}
  unit:
    tag: T-1
    cooling_capacity: 10 ton
    fan_speeds: [{name: high, supply_air: 4000 cfm}, {name: low, supply_air: 2640 cfm}]
  ventilation: {standard: 62.1-2019, drawn: {cooling: 1116 cfm, source: invented sheet}}
  kit: two-speed-dry-bulb
  instruments:
    - {id: probe, kind: temperature, accuracy: 0.5 F}
    - {id: probe-2, kind: temperature, accuracy: 0.5 F}
    - {id: gauge, kind: pressure, accuracy: 2 %}
    - {id: gas, kind: carbon dioxide, accuracy: 50 ppm}
    - {id: damp, kind: humidity, accuracy: 2 %}
    - {id: odd, kind: other, accuracy: 30 ppm}
readings:
  entries:
    - what: mixed air
      id: a
      at: 2026-11-18T10:00-08:00
      speed: high
      damper_signal: 21 %
      outdoor_air: 38 F
      return_air: 74 F
      mixed_air: [65 F]
      behind_fan: true
      fan_heat: 1.2 F ± 0.4 F
      sensor_shows: 61 F
    - what: outdoor airflow
      id: b
      at: 2026-11-18T10:05-08:00
      speed: low
      damper_signal: 3.7 V
      airflow: 1120 cfm
      method: flow hood
      instrument: gauge
    - what: carbon dioxide
      id: c
      at: 2026-11-18T10:10-08:00
      speed: "high"
      damper_signal: 22 %
      outdoor_concentration: 430 ppm
      return_concentration: 980 ppm
      mixed_concentration: 830 ppm
      instrument: gas
      mixed_instrument: odd
    - what: humidity
      id: d
      at: 2026-11-18T10:15-08:00
      speed: "low"
      damper_signal: 23 %
      outdoor_dry_bulb: 38.1 F
      outdoor_relative_humidity: 70 %
      return_dry_bulb: 74.1 F
      return_relative_humidity: 35 %
      mixed_dry_bulb: 65.1 F
      mixed_relative_humidity: 42 %
      instrument: damp
      thermometer: probe
    - what: probes side by side
      id: e
      at: 2026-11-18T10:20-08:00
      probes:
        - {instrument: probe, shows: 58.2 F}
        - {instrument: probe-2, shows: 58.6 F}
"""


def refused(tmp_path: Path, *changes: tuple[str, str]) -> list[str]:
    """Return what the job is refused with once every change has been made, each in exactly one place."""
    text = JOB
    for old, new in changes:
        assert text.count(old) == 1, f"{old!r} stands {text.count(old)} times in the job"
        text = text.replace(old, new)
    path = tmp_path / "job.yaml"
    path.write_text(text, encoding="utf-8")
    try:
        load(path)
    except Refused as found:
        return [refusal.sentence for refusal in found.refusals]
    return []


def test_the_job_itself_is_in_order(tmp_path: Path) -> None:
    """What the tests below change is taken as it stands, so that each refusal comes from its change."""
    assert refused(tmp_path) == []


A_TEMPERATURE = '"72 F" or "22 °C"'
SPEEDS = "accepted: high, low."
SIGNALS = "is outside the kit's range of signal; accepted: 2 V to 10 V, or 0 % to 100 %."

ONE: dict[str, tuple[str, str, str]] = {
    "heat of a fan that the air has not passed": (
        "      behind_fan: true\n",
        "",
        ('line 29, readings.entries[1].fan_heat: "1.2 F ± 0.4 F" is the heat of a fan, and this mixed air was not read '
        "behind the fan; accepted: behind_fan: true beside it, or no fan_heat."),
    ),
    "a word for a truth value": (
        "behind_fan: true",
        "behind_fan: supply side",
        'line 29, readings.entries[1].behind_fan: "supply side" does not fit; accepted: true or false.',
    ),
    "a fan that heats like a furnace": (
        "fan_heat: 1.2 F ± 0.4 F",
        "fan_heat: 40 F",
        ('line 30, readings.entries[1].fan_heat: "40 F" is not possible for a temperature difference here; accepted: at '
        "least 0 °F (0 K) and at most 18 °F (10 K)."),
    ),
    "a fan that cools": (
        "fan_heat: 1.2 F ± 0.4 F",
        "fan_heat: -1 F",
        ('line 30, readings.entries[1].fan_heat: "-1 F" is not possible for a temperature difference here; accepted: at '
        "least 0 °F (0 K) and at most 18 °F (10 K)."),
    ),
    "a sensor's ohms": (
        "sensor_shows: 61 F",
        "sensor_shows: 9870 ohm",
        ('line 31, readings.entries[1].sensor_shows: "9870 ohm" is a resistance, and a temperature is wanted; accepted: '
        f"{A_TEMPERATURE}."),
    ),
    "an airflow at a speed the unit has not": (
        "speed: low\n",
        "speed: middle\n",
        'line 35, readings.entries[2].speed: "middle" is not a fan speed of this unit; ' + SPEEDS,
    ),
    "an airflow at a signal the kit has not": (
        "damper_signal: 3.7 V",
        "damper_signal: 12 V",
        f'line 36, readings.entries[2].damper_signal: "12 V" {SIGNALS}',
    ),
    "an airflow in feet a minute": (
        "airflow: 1120 cfm",
        "airflow: 400 fpm",
        ('line 37, readings.entries[2].airflow: "400 fpm" has a unit that is not known for an airflow: "fpm"; accepted: '
        '"350 cfm" or "165 L/s".'),
    ),
    "an airflow below nothing": (
        "airflow: 1120 cfm",
        "airflow: -20 cfm",
        ('line 37, readings.entries[2].airflow: "-20 cfm" is not possible for an airflow here; accepted: at least 0 cfm (0 '
        "L/s) and at most 1059440 cfm (500000 L/s)."),
    ),
    "nothing, give or take nothing": (
        "airflow: 1120 cfm",
        "airflow: 0 cfm",
        ('line 37, readings.entries[2].airflow: "0 cfm" has no ± of its own, and the usual one is a share of the reading, '
        'which of nothing is nothing; accepted: the airflow with its ±, such as "0 cfm ± 30 cfm".'),
    ),
    "a way of measuring the supply air": (
        "method: flow hood",
        "method: flow plate",
        ('line 38, readings.entries[2].method: "flow plate" is not one of the words for this (did you mean flow station?); '
        "accepted: traverse of the hood, flow station, flow hood."),
    ),
    "an airflow by a thermometer": (
        "instrument: gauge",
        "instrument: probe-2",
        ('line 39, readings.entries[2].instrument: "probe-2" is for temperature, and this reading is taken with an '
        "instrument for airflow or pressure; accepted: gauge."),
    ),
    "an instrument nobody listed": (
        "instrument: gauge",
        "instrument: gage",
        ('line 39, readings.entries[2].instrument: "gage" is not an instrument of this job (facts.instruments) (did you '
        "mean gauge?); accepted: probe, probe-2, gauge, gas, damp, odd."),
    ),
    "carbon dioxide at an unknown speed": (
        'speed: "high"',
        "speed: hihg",
        'line 43, readings.entries[3].speed: "hihg" is not a fan speed of this unit (did you mean high?); ' + SPEEDS,
    ),
    "carbon dioxide at more than full stroke": (
        "damper_signal: 22 %",
        "damper_signal: 220 %",
        'line 44, readings.entries[3].damper_signal: "220 %" is more than full stroke; accepted: at most 100 %.',
    ),
    "less carbon dioxide than any air holds": (
        "outdoor_concentration: 430 ppm",
        "outdoor_concentration: 43 ppm",
        ('line 45, readings.entries[3].outdoor_concentration: "43 ppm" is not possible for a concentration here; accepted: '
        "at least 200 ppm and at most 40000 ppm."),
    ),
    "carbon dioxide without its unit": (
        "return_concentration: 980 ppm",
        "return_concentration: 980",
        ('line 46, readings.entries[3].return_concentration: "980" has no unit, and a concentration needs one; accepted: '
        '"850 ppm".'),
    ),
    "carbon dioxide by a thermometer": (
        "instrument: gas\n",
        "instrument: probe-2\n",
        ('line 48, readings.entries[3].instrument: "probe-2" is for temperature, and this reading is taken with an '
        "instrument for carbon dioxide; accepted: gas, odd."),
    ),
    "a second instrument of another kind": (
        "mixed_instrument: odd",
        "mixed_instrument: damp",
        ('line 49, readings.entries[3].mixed_instrument: "damp" is for humidity, and this reading is taken with an '
        "instrument for carbon dioxide; accepted: gas, odd."),
    ),
    "more than saturated": (
        "outdoor_relative_humidity: 70 %",
        "outdoor_relative_humidity: 104 %",
        ('line 56, readings.entries[4].outdoor_relative_humidity: "104 %" is not possible for a fraction here; accepted: at '
        "least 0 % and at most 100 %."),
    ),
    "humidity in degrees": (
        "return_relative_humidity: 35 %",
        "return_relative_humidity: 35 F",
        ('line 58, readings.entries[4].return_relative_humidity: "35 F" is a temperature, and a fraction is wanted; '
        'accepted: "28 %".'),
    ),
    "return air hotter than the formulas": (
        "return_dry_bulb: 74.1 F",
        "return_dry_bulb: 174 F",
        ('line 57, readings.entries[4].return_dry_bulb: "174 F" is not possible for a temperature here; accepted: at least '
        "-40 °F (-40 °C) and at most 140 °F (60 °C)."),
    ),
    "one stream without its dry bulb": (
        "      mixed_dry_bulb: 65.1 F\n",
        "",
        f"line 50, readings.entries[4].mixed_dry_bulb: is missing; accepted: {A_TEMPERATURE}.",
    ),
    "dry bulbs by the humidity instrument": (
        "thermometer: probe",
        "thermometer: damp",
        ('line 62, readings.entries[4].thermometer: "damp" is for humidity, and this reading is taken with an instrument '
        "for temperature; accepted: probe, probe-2."),
    ),
    "one probe by itself": (
        "        - {instrument: probe-2, shows: 58.6 F}\n",
        "",
        ("line 66, readings.entries[5].probes: is no pair of probes; accepted: two or more probes, each with its instrument "
        "and what it shows."),
    ),
    "a probe beside itself": (
        "{instrument: probe-2, shows: 58.6 F}",
        "{instrument: probe, shows: 58.6 F}",
        'line 68, readings.entries[5].probes[2].instrument: "probe" is held beside itself; accepted: another probe.',
    ),
    "a probe nobody listed": (
        "{instrument: probe-2, shows: 58.6 F}",
        "{instrument: probe-3, shows: 58.6 F}",
        ('line 68, readings.entries[5].probes[2].instrument: "probe-3" is not an instrument of this job (facts.instruments) '
        "(did you mean probe-2?); accepted: probe, probe-2, gauge, gas, damp, odd."),
    ),
    "a probe that reads no temperature": (
        "{instrument: probe-2, shows: 58.6 F}",
        "{instrument: odd, shows: 58.6 F}",
        ('line 68, readings.entries[5].probes[2].instrument: "odd" is of kind other with an accuracy of 30 ppm, and this reading is taken with an '
        "instrument for temperature; accepted: probe, probe-2."),
    ),
    "a probe that shows nothing": (
        "{instrument: probe-2, shows: 58.6 F}",
        "{instrument: probe-2}",
        f"line 68, readings.entries[5].probes[2].shows: is missing; accepted: {A_TEMPERATURE}.",
    ),
}  # fmt: skip


@pytest.mark.parametrize(("old", "new", "sentence"), ONE.values(), ids=ONE)
def test_one_mistake_one_sentence(tmp_path: Path, old: str, new: str, sentence: str) -> None:
    """Line, place, what was given, what is accepted."""
    assert refused(tmp_path, (old, new)) == [sentence]


def test_a_kind_of_instrument_that_nobody_has(tmp_path: Path) -> None:
    """Where no instrument fits, the sentence says where to list one."""
    changes = (
        ("    - {id: gas, kind: carbon dioxide, accuracy: 50 ppm}\n", ""),
        ("    - {id: odd, kind: other, accuracy: 30 ppm}\n", ""),
        ("      instrument: gas\n      mixed_instrument: odd\n", "      instrument: probe-2\n"),
    )
    assert refused(tmp_path, *changes) == [
        (
            'line 46, readings.entries[3].instrument: "probe-2" is for temperature, and this reading is taken with an '
            "instrument for carbon dioxide; accepted: an instrument for carbon dioxide, listed under facts.instruments."
        )
    ]


def test_mistakes_of_several_kinds_are_told_at_once(tmp_path: Path) -> None:
    """Speed, signal and instrument of three entries are three sentences, in the order of the file."""
    found = refused(
        tmp_path,
        ("speed: low\n", "speed: lo\n"),
        ("damper_signal: 22 %", "damper_signal: 1 V"),
        ("thermometer: probe", "thermometer: gas"),
    )
    assert [sentence.partition(":")[0] for sentence in found] == [
        "line 35, readings.entries[2].speed",
        "line 44, readings.entries[3].damper_signal",
        "line 62, readings.entries[4].thermometer",
    ]
