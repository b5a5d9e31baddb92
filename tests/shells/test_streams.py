"""Readings of the airstreams: what follows from them, how they are said, entered, kept and listed in the record."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest
from tests.invented import PROBE, facts, mixed

from ventwright import job as job_module
from ventwright.cli import main
from ventwright.facts import Facts
from ventwright.job import Job, job_json, read_job, record_of, work
from ventwright.quantity import TEMPERATURE, TEMPERATURE_DIFFERENCE, read
from ventwright.readings import MixedAir, ProbesSideBySide, Readings
from ventwright.readings.streams import OutdoorMethod
from ventwright.record import build_report
from ventwright.record.content import Table
from ventwright.record.subject import Subject
from ventwright.store import load
from ventwright.tables import prior

STAMP = {"id": "a", "at": "2026-11-25T09:00-08:00"}
AT = {"speed": "high", "damper_signal": "21 %"}
BEHIND: dict[str, Any] = mixed(mixed_air=["65.6 F"], behind_fan=True)
DIRECT: dict[str, Any] = {
    "what": "outdoor airflow",
    **AT,
    "airflow": "1120 cfm ± 15 %",
    "method": "flow hood",
}
GAS: dict[str, Any] = {
    "what": "carbon dioxide", **AT, "outdoor_concentration": "430 ppm", "return_concentration": "980 ppm",
    "mixed_concentration": "830 ppm", "instrument": "gas",
}  # fmt: skip
MOIST: dict[str, Any] = {
    "what": "humidity", **AT, "outdoor_dry_bulb": "38 F", "outdoor_relative_humidity": "70 %", "return_dry_bulb": "74 F",
    "return_relative_humidity": "35 %", "mixed_dry_bulb": "64 F", "mixed_relative_humidity": "38 %",
    "outdoor_instrument": "damp", "return_instrument": "damp", "mixed_instrument": "damp-2", "thermometer": "probe",
}  # fmt: skip
BESIDE: dict[str, Any] = {
    "what": "probes side by side",
    "probes": [
        {"instrument": "probe", "shows": "58.2 F"},
        {"instrument": "probe-2", "shows": "58.6 F"},
        {"instrument": "probe-3", "shows": "58.1 F"},
    ],
}
INSTRUMENTS: list[dict[str, Any]] = [
    PROBE,
    PROBE | {"id": "probe-2"},
    PROBE | {"id": "probe-3"},
    {"id": "gas", "kind": "carbon dioxide", "accuracy": "± 50 ppm"},
    {"id": "damp", "kind": "humidity", "accuracy": "± 2 %"},
    {"id": "damp-2", "kind": "humidity", "accuracy": "± 2 %"},
]


def kelvin(text: str) -> float:
    """A typed temperature difference. [K]"""
    return read(text, TEMPERATURE_DIFFERENCE).value


def celsius(text: str) -> float:
    """A typed temperature. [°C]"""
    return read(text, TEMPERATURE).value


def entry(given: dict[str, Any]) -> Any:
    """One entry as the list of readings holds it."""
    return Readings.model_validate({"entries": [STAMP | given]}).entries[0]


def behind(**other: Any) -> MixedAir:
    """Mixed air of 65.6 °F read behind the fan."""
    found = entry(BEHIND | other)
    assert isinstance(found, MixedAir)
    return found


def job(*entries: dict[str, Any]) -> Job:
    """An invented job with entries an hour apart."""
    given: Facts = facts(instruments=INSTRUMENTS)
    made = [{"id": f"e{n}", "at": f"2026-11-25T{9 + n:02d}:00-08:00"} | one for n, one in enumerate(entries)]
    return Job.model_validate({"id": "t-1", "invented": True, "facts": given, "readings": {"entries": made}})


# mixed air behind the fan


def test_a_typed_fan_heat_is_taken_off_with_its_own_band() -> None:
    """1.2 °F ± 0.4 °F off 65.6 °F leaves 64.4 °F; half the ± is the standard uncertainty."""
    found = behind(fan_heat="1.2 F ± 0.4 F")
    assert found.before_fan == pytest.approx(celsius("64.4 F"))
    assert found.heat_of_fan.uncertainty == pytest.approx(kelvin("0.2 F"))


def test_without_an_entry_the_usual_fan_heat_is_taken_off() -> None:
    """1.5 °F ± 1 °F, from the table: 64.1 °F."""
    found = behind()
    assert found.before_fan == pytest.approx(celsius("64.1 F"))
    assert found.heat_of_fan.uncertainty == pytest.approx(kelvin("0.5 F"))


def test_a_fan_heat_without_a_band_has_the_usual_one() -> None:
    """Nobody knows a fan's heat exactly; a band of nothing that was typed is believed."""
    assert behind(fan_heat="2 F").heat_of_fan.uncertainty == pytest.approx(kelvin("0.5 F"))
    assert behind(fan_heat="2 F").before_fan == pytest.approx(celsius("63.6 F"))
    assert behind(fan_heat="2 F ± 0 F").heat_of_fan.uncertainty == 0.0


def test_before_the_fan_nothing_is_taken_off() -> None:
    """An entry as it always was: the mean of its points, surely."""
    found = entry(mixed(mixed_air=["62 F", "64 F"]))
    assert (found.behind_fan, found.before_fan) == (False, found.mean)
    assert (found.heat_of_fan.value, found.heat_of_fan.uncertainty) == (0.0, 0.0)


def test_the_units_own_sensor_is_held_against_the_air_before_the_fan() -> None:
    """It sits before the fan, so the fan's heat comes off the reading first; nobody looked, nothing is known."""
    assert behind(fan_heat="1.2 F", sensor_shows="61.4 F").sensor_bias == pytest.approx(kelvin("-3 F"))
    traverse = entry(mixed(mixed_air=["62 F", "64 F"], sensor_shows="64 F"))
    assert traverse.sensor_bias == pytest.approx(kelvin("1 F"))
    assert behind().sensor_bias is None


# the other kinds


def test_probes_are_apart_by_the_widest_pair() -> None:
    """58.1, 58.2 and 58.6 °F are half a degree apart."""
    found = entry(BESIDE)
    assert isinstance(found, ProbesSideBySide)
    assert found.spread == pytest.approx(kelvin("0.5 F"))


@pytest.mark.parametrize("method", list(OutdoorMethod))
def test_every_way_of_measuring_outdoor_air_has_a_usual_accuracy(method: OutdoorMethod) -> None:
    """Between a tenth and a third of the reading, and how that is known."""
    usual = prior.outdoor_airflow_method(method.value)
    assert usual.relative_uncertainty is not None
    assert 0.1 <= 2 * usual.relative_uncertainty <= 1 / 3
    assert usual.confirmed == "from memory"


def test_a_way_of_measuring_supply_air_is_none_of_outdoor_air() -> None:
    """The two tables are two."""
    with pytest.raises(KeyError):
        prior.outdoor_airflow_method("flow plate")


SAID = {
    "behind the fan": (
        BEHIND | {"fan_heat": "1.2 F ± 0.4 F", "sensor_shows": "61 F"},
        ("high speed, damper 21 %: outdoor 34.0 °F, return 74.0 °F, mixed 65.6 °F behind the fan, which adds 1.2 °F ± 0.4 °F, "
        "the unit's sensor shows 61.0 °F"),
    ),
    "the usual heat": (
        BEHIND,
        ("high speed, damper 21 %: outdoor 34.0 °F, return 74.0 °F, mixed 65.6 °F behind the fan, which adds 1.5 °F ± 1.0 °F "
        "(usual)"),
    ),
    "outdoor airflow": (DIRECT, "high speed, damper 21 %: outdoor air 1120 cfm ± 168 cfm by flow hood"),
    "carbon dioxide": (
        GAS,
        "high speed, damper 21 %: carbon dioxide outdoor 430 ppm, return 980 ppm, mixed 830 ppm",
    ),
    "humidity": (
        MOIST,
        "high speed, damper 21 %: outdoor 38.0 °F 70 %, return 74.0 °F 35 %, mixed 64.0 °F 38 %",
    ),
    "probes": (BESIDE, "probes side by side: probe 58.2 °F, probe-2 58.6 °F, probe-3 58.1 °F"),
    "a correction": (DIRECT | {"corrects": "b"}, "by flow hood (corrects b)"),
}  # fmt: skip


@pytest.mark.parametrize(("given", "line"), SAID.values(), ids=SAID)
def test_each_is_said_in_one_line(given: dict[str, Any], line: str) -> None:
    """As the list of entries shows it."""
    earlier = {"what": "tick", "id": "b", "at": "2026-11-25T08:00-08:00", "item": "hood"}
    found = Readings.model_validate({"entries": [earlier, STAMP | given]}).entries[1]
    assert found.summary("us").endswith(line)


def test_the_line_follows_the_units() -> None:
    """In SI no °F and no cfm."""
    for given in (BEHIND, DIRECT, GAS, MOIST, BESIDE):
        assert not {"°F", "cfm"} & set(entry(given).summary("si").split())


# the document


def test_a_job_with_every_kind_is_kept_as_typed() -> None:
    """Written as JSON and read again it is the same job, every value as it was typed."""
    before = job(BEHIND | {"fan_heat": "1.2 F ± 0.4 F", "sensor_shows": "61 F"}, DIRECT, GAS, MOIST, BESIDE)
    written = json.loads(job_json(before))
    assert read_job(written) == before
    assert written["readings"]["entries"][0]["fan_heat"] == "1.2 F ± 0.4 F"
    assert written["readings"]["entries"][4]["probes"][1] == {"instrument": "probe-2", "shows": "58.6 F"}


def test_what_was_not_said_is_not_written() -> None:
    """An entry of the older kind is written as it always was."""
    written = json.loads(job_json(job(mixed())))
    assert not {"behind_fan", "fan_heat", "sensor_shows"} & written["readings"]["entries"][0].keys()


def test_the_schema_covers_every_kind(capsys: pytest.CaptureFixture[str]) -> None:
    """A program that writes a job finds each kind by its word, with its own keys."""
    assert main(["schema"]) == 0
    schema = json.loads(capsys.readouterr().out)
    kinds = schema["$defs"]["Readings"]["properties"]["entries"]["items"]["discriminator"]["mapping"]
    for given in (BEHIND, DIRECT, GAS, MOIST, BESIDE):
        model = schema["$defs"][kinds[given["what"]].rpartition("/")[2]]
        assert given.keys() <= model["properties"].keys()


DEMO = Path(__file__).parents[2] / "src/ventwright/cli/demo_job/larkspur-row-r-2.yaml"
MORE = (
    "    - {id: probe-2, kind: temperature, accuracy: 0.5 F}\n    - {id: gas, kind: carbon dioxide, accuracy: 50 ppm}\n"
    "    - {id: damp, kind: humidity, accuracy: 2 %}\n"
)
HELD = ("--speed", "high", "--damper", "21 %")
TYPED: dict[str, tuple[tuple[str, ...], dict[str, Any]]] = {
    "mixed-air": (
        (*HELD, "--outdoor", "38 F", "--return", "74 F", "--mixed", "65 F", "--behind-fan", "--fan-heat", "1 F", "--sensor-shows", "61 F"),
        {"behind_fan": True, "fan_heat": "1 F", "sensor_shows": "61 F", "mixed_air": ["65 F"]},
    ),
    "outdoor-airflow": (
        (*HELD, "--airflow", "1120 cfm", "--method", "flow station", "--instrument", "flow-plate"),
        {"what": "outdoor airflow", "airflow": "1120 cfm", "method": "flow station", "instrument": "flow-plate"},
    ),
    "carbon-dioxide": (
        (*HELD, "--outdoor", "430 ppm", "--return", "980 ppm", "--mixed", "830 ppm", "--mixed-instrument", "gas"),
        {"return_concentration": "980 ppm", "mixed_instrument": "gas"},
    ),
    "humidity": (
        (*HELD, "--outdoor", "38 F", "--outdoor-rh", "70 %", "--return", "74 F", "--return-rh", "35 %", "--mixed", "64 F", "--mixed-rh", "38 %",
         "--instrument", "damp", "--thermometer", "probe"),
        {"outdoor_dry_bulb": "38 F", "mixed_relative_humidity": "38 %", "thermometer": "probe"},
    ),
    "side-by-side": (
        ("--probes", " probe = 58.2 F ,probe-2=58.6 F, "),
        {"probes": [{"instrument": "probe", "shows": "58.2 F"}, {"instrument": "probe-2", "shows": "58.6 F"}]},
    ),
}  # fmt: skip


@pytest.mark.parametrize(("kind", "words", "kept"), [(kind, *one) for kind, one in TYPED.items()], ids=TYPED)
def test_read_appends_it(
    kind: str,
    words: tuple[str, ...],
    kept: dict[str, Any],
    tmp_path: Path,
    capsys: pytest.CaptureFixture[str],
) -> None:
    """The command writes the entry as it was typed, at the end of the list, and the file can be read again."""
    path = tmp_path / "job.yaml"
    text = DEMO.read_text(encoding="utf-8")
    path.write_text(text.replace("  instruments:\n", f"  instruments:\n{MORE}"), encoding="utf-8")
    before = load(path).job.readings.entries
    assert main(["read", str(path), kind, *words, "--id", "new"]) in {0, 1, 3}
    assert capsys.readouterr().out.startswith(f"new added to {path}.")
    after = load(path).job.readings.entries
    assert after[:-1] == before
    assert kept.items() <= after[-1].model_dump(mode="json").items()


# the record


def subject_of(one: Job) -> Subject:
    """What the record of a job is written from, without writing it."""
    caught: list[Subject] = []
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(job_module, "write_record", lambda subject, **_: caught.append(subject))
        record_of(work(one), made=one.readings.entries[0].at)
    return caught[0]


def tables(one: Job) -> dict[str, tuple[tuple[str, ...], ...]]:
    """The rows of every table of the record, by its caption."""
    blocks = [block for section in build_report(subject_of(one)).sections for block in section.blocks]
    return {block.caption: block.rows for block in blocks if isinstance(block, Table)}


def test_the_record_lists_every_kind() -> None:
    """When, at which speed and signal, what was read, with what."""
    found = tables(
        job(BEHIND | {"fan_heat": "1.2 F ± 0.4 F", "sensor_shows": "61 F"}, DIRECT, GAS, MOIST, BESIDE)
    )
    assert found["Temperatures read"][0][4] == (
        "65.6 °F (one point) behind the fan; 64.4 °F without its 1.2 °F ± 0.4 °F"
    )
    assert found["Outdoor airflow measured directly"] == (
        ("2026-11-25 10:00", "high, 21 %", "1120 cfm ± 168 cfm", "flow hood", "–"),
    )
    assert found["Carbon dioxide read"] == (
        ("2026-11-25 11:00", "high, 21 %", "430 ppm", "980 ppm", "830 ppm", "gas"),
    )
    assert found["Humidity read"][0][:3] == ("2026-11-25 12:00", "high, 21 %", "38.0 °F, 70 %: 23.5 gr/lb")
    assert found["Humidity read"][0][-1] == "damp, damp, damp-2"
    assert found["Probes in the same air"] == (
        ("2026-11-25 13:00", "probe 58.2 °F, probe-2 58.6 °F, probe-3 58.1 °F", "0.5 °F", "–"),
    )
    assert found["The unit's mixed-air sensor beside the readings"] == (
        ("2026-11-25 09:00", "high, 21 %", "61.0 °F", "64.4 °F", "-3.4 °F"),
    )


def test_a_record_without_them_is_as_it_was() -> None:
    """No empty table for what nobody read, and a reading taken back is not listed."""
    withdrawn = {"what": "withdrawn", "corrects": "e1"}
    found = tables(job(mixed(), DIRECT, withdrawn))
    assert not {
        "Outdoor airflow measured directly", "Carbon dioxide read", "Humidity read", "Probes in the same air",
        "The unit's mixed-air sensor beside the readings",
    } & found.keys()  # fmt: skip
    assert found["Temperatures read"][0][4] == "62.8 °F (8: 62.8 °F to 62.8 °F)"
