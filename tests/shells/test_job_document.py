"""The job document: what was typed stays, what was corrected stays beside its correction, older documents come along."""

from __future__ import annotations

import io
import json
import re
from collections.abc import Iterator
from contextlib import redirect_stdout
from pathlib import Path
from typing import Any

import pytest
from tests.invented import facts

from ventwright import job as job_module
from ventwright.cli import main
from ventwright.document import read_document
from ventwright.errors import Refused
from ventwright.job import Job, job_json, read_job, upgraded
from ventwright.quantity import Quantity
from ventwright.readings import MixedAir, Noted, Readings, SettingRead, TemporaryChange
from ventwright.store import append, load

DEMO = Path(job_module.__file__).parent / "cli" / "demo_job" / "larkspur-row-r-2.yaml"

AT = "2026-11-25T09:{:02d}-08:00"


@pytest.fixture(scope="module")
def demo() -> Job:
    """The demo job as its YAML file holds it."""
    return load(DEMO).job


def readings(*entries: dict[str, Any]) -> Readings:
    """Readings a minute apart."""
    made = [{"at": AT.format(number)} | entry for number, entry in enumerate(entries)]
    return Readings.model_validate({"entries": made})


def change(id_: str, **other: Any) -> dict[str, Any]:
    """A temporary change."""
    return {
        "what": "temporary change",
        "id": id_,
        "point": "fan speed",
        "was": "automatic",
        "changed_to": "hand",
    } | other


def restored(id_: str, of: str, **other: Any) -> dict[str, Any]:
    """The proof that a change was put back."""
    return {"what": "restored", "id": id_, "change": of, "read_back": "automatic"} | other


def setting(id_: str, value: str, **other: Any) -> dict[str, Any]:
    """A setting read back."""
    return {"what": "setting", "id": id_, "label": "Mixed-air target", "value": value} | other


def withdrawn(id_: str, of: str) -> dict[str, Any]:
    """An entry taken back."""
    return {"what": "withdrawn", "id": id_, "corrects": of, "note": "entered by mistake"}


# what was typed


def test_yaml_and_json_are_the_same_job(demo: Job, tmp_path: Path) -> None:
    """A job written as JSON and read from its file is equal to the job in YAML, part by part."""
    path = tmp_path / "demo.json"
    path.write_bytes(job_json(demo))
    assert load(path).job == demo


def test_plain_data_as_json_is_the_same_job(demo: Job, tmp_path: Path) -> None:
    """The YAML data written by any other JSON writer, tabs and all, is the same job too."""
    data, _ = read_document(DEMO.read_text(encoding="utf-8"), DEMO.name)
    path = tmp_path / "demo.json"
    path.write_text(json.dumps(data, indent="\t", ensure_ascii=False), encoding="utf-8")
    assert load(path).job == demo


def test_json_of_a_job_read_again_gives_the_same_bytes(demo: Job) -> None:
    """Writing, reading and writing once more changes not a byte, so that its SHA-256 means something."""
    once = job_json(demo)
    assert job_json(read_job(json.loads(once))) == once


def test_quantities_stay_as_typed(demo: Job) -> None:
    """What a person wrote is in the document, letter by letter; SI is derived and is not in it."""
    document = json.loads(job_json(demo))
    entries = {entry["id"]: entry for entry in document["readings"]["entries"]}
    assert entries["q1"]["airflow"] == "4010 cfm ± 5 %"
    assert entries["m1"]["mixed_air"][:2] == ["69.9 F", "69.4 F"]
    assert entries["l3"]["value"] == "75 F"
    assert document["facts"]["unit"]["fan_speeds"][1]["supply_air"] == "2640 cfm"


def test_the_json_names_its_schema_version(demo: Job) -> None:
    """A later program must not take an old document for one of its own time."""
    assert json.loads(job_json(demo))["schema_version"] == job_module.SCHEMA_VERSION


def test_times_keep_their_offset(demo: Job) -> None:
    """A reading at 10:20 in the west is written at 10:20, not in somebody else's zone."""
    entries = {entry["id"]: entry for entry in json.loads(job_json(demo))["readings"]["entries"]}
    assert entries["m1"]["at"] == "2026-11-18T10:20:00-08:00"


@pytest.mark.parametrize(
    "odd", ["Joe's: shop #2", "12", "no", "null", "2026-01-01", "ü ☃ 𝄞", '"', "\\", "- x"]
)
def test_odd_words_survive_both_forms(odd: str, tmp_path: Path) -> None:
    """A name that YAML could take for something else is the same name after JSON and back."""
    job = Job(id=odd, facts=facts(site={"name": odd, "note": odd}))
    path = tmp_path / "job.json"
    path.write_bytes(job_json(job))
    assert load(path).job == job


# corrections


def test_a_correction_supersedes_and_both_stay() -> None:
    """The value that counts is the new one; the old entry is still in the list."""
    found = readings(setting("a", "53 F"), setting("b", "55 F", corrects="a"))
    assert [entry.value for entry in found.standing(SettingRead)] == ["55 F"]
    assert [entry.id for entry in found.entries] == ["a", "b"]


def test_a_correction_says_what_it_corrects() -> None:
    """Where entries are listed, a correction names the old entry."""
    found = readings(setting("a", "53 F"), setting("b", "55 F", corrects="a"))
    assert found.entries[1].summary("us") == 'setting "Mixed-air target" left at 55 F (corrects a)'


def test_a_correction_of_a_correction_leaves_one() -> None:
    """Of three wordings the last one stands."""
    found = readings(
        setting("a", "53 F"), setting("b", "55 F", corrects="a"), setting("c", "54 F", corrects="b")
    )
    assert [entry.id for entry in found.standing(SettingRead)] == ["c"]


def test_a_withdrawal_leaves_nothing_standing() -> None:
    """An entry taken back counts no more, and is still in the list with who took it back."""
    found = readings(setting("a", "53 F"), withdrawn("w", "a"))
    assert found.standing(SettingRead) == ()
    assert [entry.id for entry in found.entries] == ["a", "w"]


def test_entries_stand_in_the_order_of_time() -> None:
    """A reading that is entered late, but was read early, comes first."""
    late = setting("late", "53 F", at="2026-11-25T12:00-08:00")
    early = setting("early", "55 F", at="2026-11-25T13:00-05:00")
    assert [entry.id for entry in readings(late, early).standing(SettingRead)] == ["early", "late"]


def test_the_latest_reading_counts_by_its_time_not_by_its_place(tmp_path: Path) -> None:
    """A copy of the job from another device may add older readings at the end; they do not win."""
    kept = load(_copy(tmp_path))
    entry = {
        "what": "mixed air",
        "id": "old",
        "at": "2026-11-01T08:00-08:00",
        "speed": "high",
        "damper_signal": "21 %",
        "outdoor_air": "40 F",
        "return_air": "74 F",
        "mixed_air": ["70 F"],
        "instrument": "probe",
    }
    again = append(kept, "readings", "entries", entry).job.readings
    assert [one.id for one in again.standing(MixedAir) if one.speed == "high"] == ["old", "m1", "m3"]


# temporary changes


def not_restored(found: Readings) -> list[str]:
    """Ids of the changes of which nobody has said that they were put back."""
    changes = found.standing(TemporaryChange)
    return [one.id for one in changes if found.restoration_of(one) is None]


def test_an_open_change_is_open_until_its_restoration() -> None:
    """A change without proof is open; with proof it is not."""
    assert not_restored(readings(change("c"))) == ["c"]
    assert not_restored(readings(change("c"), restored("r", "c"))) == []


def test_each_change_needs_its_own_proof() -> None:
    """Restoring one of two leaves the other open."""
    found = readings(change("c"), change("d", point="jumper"), restored("r", "c"))
    assert not_restored(found) == ["d"]


def test_a_proof_taken_back_opens_the_change_again() -> None:
    """If the restoration was a mistake, the change is open."""
    found = readings(change("c"), restored("r", "c"), withdrawn("w", "r"))
    assert not_restored(found) == ["c"]


def test_a_change_that_never_was_is_not_open() -> None:
    """A change that was entered by mistake and taken back needs no restoration."""
    assert not_restored(readings(change("c"), withdrawn("w", "c"))) == []


@pytest.mark.parametrize("named", ["c", "d"])
def test_a_change_worded_anew_is_restored_by_either_name(named: str) -> None:
    """Correcting the words of a change does not undo the proof that it was put back."""
    found = readings(change("c"), change("d", corrects="c", point="fan speed, drive"), restored("r", named))
    assert not_restored(found) == []


def test_a_proof_before_the_new_wording_counts_too() -> None:
    """The words may be put right after the change was put back."""
    found = readings(change("c"), restored("r", "c"), change("d", corrects="c", was="auto"))
    (standing,) = found.standing(TemporaryChange)
    proof = found.restoration_of(standing)
    assert (standing.id, proof and proof.id) == ("d", "r")


def test_every_kind_of_entry_says_itself_in_both_systems(demo: Job) -> None:
    """Each entry of the demo has a line of words, and an SI line with no US unit but in a setting as it was shown."""
    us = re.compile(r"°F|cfm")
    for entry in (*demo.readings.entries, *readings(change("c"), withdrawn("w", "c")).entries):
        assert isinstance(entry, Noted)
        assert entry.subject("us")
        assert not us.search(entry.summary("si"))


# older and newer documents


@pytest.fixture
def older(monkeypatch: pytest.MonkeyPatch) -> list[int]:
    """Teach the program two invented older schemas, and note which steps were taken."""
    taken: list[int] = []

    def from_minus_one(document: dict[str, Any]) -> dict[str, Any]:
        taken.append(-1)
        return {("id" if key == "number" else key): value for key, value in document.items()}

    def from_zero(document: dict[str, Any]) -> dict[str, Any]:
        taken.append(0)
        return {("facts" if key == "given" else key): value for key, value in document.items()}

    monkeypatch.setitem(job_module.MIGRATIONS, -1, from_minus_one)
    monkeypatch.setitem(job_module.MIGRATIONS, 0, from_zero)
    return taken


def _older_text(version: int) -> str:
    text = DEMO.read_text(encoding="utf-8").replace("schema_version: 1", f"schema_version: {version}")
    text = text.replace("\nfacts:", "\ngiven:")
    return text.replace("\nid: ", "\nnumber: ") if version < 0 else text


@pytest.mark.parametrize(("version", "steps"), [(-1, [-1, 0]), (0, [0]), (1, [])])
def test_an_older_document_comes_along_step_by_step(
    older: list[int], demo: Job, version: int, steps: list[int]
) -> None:
    """Each schema knows only the next one; the steps are taken in turn, and the job is the same."""
    text = _older_text(version) if version < 1 else DEMO.read_text(encoding="utf-8")
    data, lines = read_document(text, "old.yaml")
    assert read_job(data, lines=lines) == demo
    assert older == steps


def test_upgrading_leaves_the_old_data_as_it_was(older: list[int]) -> None:
    """The document that came in is not changed under the hands of whoever holds it."""
    data = {"schema_version": 0, "given": {}}
    assert upgraded(data) == {"schema_version": 1, "facts": {}}
    assert data == {"schema_version": 0, "given": {}}
    assert older == [0]


def test_a_document_without_a_version_is_of_the_first_one() -> None:
    """When there is a second schema, an unmarked document is still taken for one of the first."""
    seen = upgraded({"id": "x"}, {1: lambda document: {**document, "was": 1}}, to=2)
    assert seen == {"id": "x", "was": 1, "schema_version": 2}


def test_a_document_of_a_version_nobody_knows_is_refused() -> None:
    """Neither a newer nor a forgotten version is guessed at."""
    with pytest.raises(Refused) as newer:
        upgraded({"schema_version": 9})
    with pytest.raises(Refused) as forgotten:
        upgraded({"schema_version": -7})
    assert str(newer.value) == (
        'schema_version: "9" was written by a newer Ventwright; accepted: an update of Ventwright.'
    )
    assert str(forgotten.value) == 'schema_version: "-7" is no schema version; accepted: 1.'


@pytest.mark.parametrize("version", [0, -1])
def test_appending_to_an_older_file_keeps_it_beside(older: list[int], tmp_path: Path, version: int) -> None:
    """The file is brought to the present schema; as it was, it stays beside, under its version, byte for byte."""
    path = tmp_path / "roof.yaml"
    path.write_text(_older_text(version), encoding="utf-8")
    before = path.read_bytes()
    tick = {"what": "tick", "id": "t9", "at": AT.format(0), "item": "hood in place"}
    kept = append(load(path), "readings", "entries", tick)
    assert (tmp_path / f"roof.schema-{version}.yaml").read_bytes() == before
    assert "schema_version: 1" in path.read_text(encoding="utf-8")
    assert load(path).job == kept.job
    assert kept.job.readings.entries[-1].id == "t9"
    assert older


def test_appending_to_a_present_file_keeps_no_copy(tmp_path: Path) -> None:
    """Only a change of schema leaves a second file."""
    path = _copy(tmp_path)
    tick = {"what": "tick", "id": "t9", "at": AT.format(0), "item": "hood in place"}
    append(load(path), "readings", "entries", tick)
    assert [one.name for one in tmp_path.iterdir()] == [path.name]


def test_appending_to_an_older_json_file_keeps_it_beside(older: list[int], tmp_path: Path) -> None:
    """JSON is brought along in the same way."""
    data, _ = read_document(_older_text(0), "old.yaml")
    path = tmp_path / "roof.json"
    path.write_text(json.dumps(data), encoding="utf-8")
    before = path.read_bytes()
    tick = {"what": "tick", "id": "t9", "at": AT.format(0), "item": "hood in place"}
    append(load(path), "readings", "entries", tick)
    assert (tmp_path / "roof.schema-0.json").read_bytes() == before
    assert json.loads(path.read_bytes())["schema_version"] == 1
    assert older


def _copy(folder: Path) -> Path:
    path = folder / "job.yaml"
    path.write_bytes(DEMO.read_bytes())
    return path


# the published schema


def published(document: str = "job") -> dict[str, Any]:
    """The schema as the command prints it."""
    out = io.StringIO()
    with redirect_stdout(out):
        assert main(["schema", document]) == 0
    schema: dict[str, Any] = json.loads(out.getvalue())
    return schema


@pytest.fixture(scope="module")
def schema() -> dict[str, Any]:
    """The published schema of the job."""
    return published()


TYPES: dict[str, type | tuple[type, ...]] = {
    "object": dict,
    "array": list,
    "string": str,
    "integer": int,
    "number": (int, float),
    "boolean": bool,
    "null": type(None),
}


def complaints(data: Any, schema: dict[str, Any], root: dict[str, Any], place: str = "") -> Iterator[str]:
    """Yield what a document breaks of a JSON schema, for the keywords that ours uses (JSON Schema 2020-12)."""
    if "$ref" in schema:
        yield from complaints(data, root["$defs"][schema["$ref"].rpartition("/")[2]], root, place)
    for several in ("anyOf", "oneOf"):
        found = [list(complaints(data, option, root, place)) for option in schema.get(several, ())]
        if found and [] not in found:
            yield f"{place}: fits none of {len(found)}: {min(found, key=len)}"
    if data not in schema.get("enum", (schema.get("const", data),)):
        yield f"{place}: is not the word for this"
    if not _is_of_type(data, schema.get("type")):
        yield f"{place}: is no {schema['type']}"
    elif isinstance(data, dict):
        yield from _of_object(data, schema, root, place)
    elif isinstance(data, (list, str)):
        if len(data) < schema.get("minItems", schema.get("minLength", 0)):
            yield f"{place}: is too short"
        for number, item in enumerate(data if isinstance(data, list) else ()):
            yield from complaints(item, schema.get("items", {}), root, f"{place}[{number}]")


def _is_of_type(data: Any, name: str | None) -> bool:
    """Whether data are of a JSON type; true and false are no numbers."""
    if name is None:
        return True
    return isinstance(data, TYPES[name]) and (name == "boolean" or not isinstance(data, bool))


def _of_object(
    data: dict[str, Any], schema: dict[str, Any], root: dict[str, Any], place: str
) -> Iterator[str]:
    known = schema.get("properties", {})
    yield from (f"{place}.{key}: is missing" for key in schema.get("required", ()) if key not in data)
    for key, value in data.items():
        more = schema.get("additionalProperties", True)
        if key in known:
            yield from complaints(value, known[key], root, f"{place}.{key}")
        elif more is False:
            yield f"{place}.{key}: is not known"
        elif isinstance(more, dict):
            yield from complaints(value, more, root, f"{place}.{key}")


def demo_data() -> Any:
    """The demo job as plain data."""
    return read_document(DEMO.read_text(encoding="utf-8"), DEMO.name)[0]


def test_the_schema_takes_the_demo(schema: dict[str, Any], demo: Job) -> None:
    """The demo fits the published schema, as typed in YAML and as the program writes it in JSON."""
    assert list(complaints(demo_data(), schema, schema)) == []
    assert list(complaints(json.loads(job_json(demo)), schema, schema)) == []


@pytest.mark.parametrize(
    ("place", "complaint"),
    [
        ((), ".colour: is not known"),
        (("facts",), ".facts.colour: is not known"),
        (("facts", "unit"), ".facts.unit.colour: is not known"),
        (("readings", "visits", 0), ".readings.visits[0].colour: is not known"),
        (("verdict", "deficiencies", 0), ".verdict.deficiencies[0].colour: is not known"),
    ],
    ids=str,
)
def test_the_schema_knows_no_unknown_keys(
    schema: dict[str, Any], place: tuple[str | int, ...], complaint: str
) -> None:
    """A misspelt key is caught by an editor that has the schema, wherever it stands."""
    data = demo_data()
    part = data
    for step in place:
        part = part[step]
    part["colour"] = "red"
    assert list(complaints(data, schema, schema)) == [complaint]


def test_the_schema_knows_no_unknown_keys_in_entries(schema: dict[str, Any]) -> None:
    """No kind of entry takes a stranger."""
    for number in range(len(demo_data()["readings"]["entries"])):
        data = demo_data()
        data["readings"]["entries"][number]["colour"] = "red"
        assert len(list(complaints(data, schema, schema))) == 1


def test_the_schema_asks_for_what_is_needed(schema: dict[str, Any]) -> None:
    """Without a kit, a technician or a method the document does not fit."""
    data = demo_data()
    del data["facts"]["kit"]
    del data["readings"]["visits"][0]["technician"]
    data["readings"]["entries"][4].pop("method")
    found = list(complaints(data, schema, schema))
    assert found[:2] == [".facts.kit: is missing", ".readings.visits[0].technician: is missing"]
    assert found[2].startswith(".readings.entries[4]: fits none")


def test_every_object_of_every_schema_is_closed() -> None:
    """Whatever is an object with keys of its own takes no others; the dialect is named."""
    for document in ("job", "kit", "unit", "board"):
        schema = published(document)
        assert schema["$schema"] == "https://json-schema.org/draft/2020-12/schema"
        objects = [schema, *schema.get("$defs", {}).values()]
        described = [one for one in objects if "properties" in one]
        assert described
        assert [one["title"] for one in described if one.get("additionalProperties") is not False] == []


def test_quantities_are_strings_with_a_dimension(schema: dict[str, Any]) -> None:
    """An editor sees that "72 F" is wanted, and of what."""
    weather = schema["$defs"]["Weather"]["properties"]["outdoor_air"]
    assert (weather["type"], weather["x-dimension"]) == ("string", ["temperature"])


def test_a_quantity_that_was_given_is_kept_as_it_is(demo: Job) -> None:
    """A job that is built in a script may hand in quantities that are read already."""
    weather = demo.facts.weather
    assert weather is not None
    assert isinstance(weather.outdoor_air, Quantity)
    assert (
        type(weather).model_validate({"outdoor_air": weather.outdoor_air}).outdoor_air is weather.outdoor_air
    )
