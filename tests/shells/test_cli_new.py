"""Starting a job: the template is a job as it stands, questions are asked until they are answered, no answer is lost."""

from __future__ import annotations

import re
import sys
from collections.abc import Callable, Mapping
from pathlib import Path

import pytest

from ventwright.cli import main
from ventwright.cli.new_questions import Question, questions
from ventwright.cli.new_text import job_text
from ventwright.document import read_document
from ventwright.errors import Refused
from ventwright.job import Job
from ventwright.store import load

Ask = Callable[..., int]


def said(capsys: pytest.CaptureFixture[str]) -> str:
    """Return what was printed."""
    return capsys.readouterr().out


@pytest.fixture
def path(tmp_path: Path) -> Path:
    """Where the new job shall stand."""
    return tmp_path / "unit.yaml"


# the template


def test_the_template_is_a_job_as_it_stands(path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """What is written can be checked, planned and judged before anything is changed in it."""
    assert main(["new", str(path), "--template"]) == 0
    assert said(capsys) == (
        f"{path} written. Next: `ventwright check {path}`, then `ventwright plan {path}`.\n"
    )
    assert main(["check", str(path)]) == 0
    assert main(["plan", str(path)]) == 0
    assert main(["verdict", str(path)]) == 3  # nothing was read yet


def test_the_template_names_what_may_stand_there(path: Path) -> None:
    """Every example that is a comment can be taken out of its comment, and the job is still in order."""
    main(["new", str(path), "--template"])
    text = path.read_text(encoding="utf-8")
    for taken_out in (
        "weather",
        "outdoor_air",
        "return_air",
        "lowest_cooling_ambient",
        "people",
        "instruments",
    ):
        pattern = (
            rf"^( *)# ?( *(?:{taken_out}:|- {{id: probe))"
            if taken_out == "instruments"
            else rf"^( *)# ({taken_out}:)"
        )
        text, count = re.subn(pattern, r"\1\2", text, flags=re.MULTILINE)
        assert count, taken_out
    path.write_text(text, encoding="utf-8")
    job = load(path).job
    assert job.facts.weather is not None
    assert [one.id for one in job.facts.instruments] == ["probe"]
    assert job.facts.spaces[0].people == 25


def test_the_template_claims_no_instrument_and_no_reading(path: Path) -> None:
    """A probe that nobody owns, with a calibration that never was, must not get into a record by leaving it there."""
    main(["new", str(path), "--template"])
    job = load(path).job
    assert (job.facts.instruments, job.facts.as_found, job.readings.entries) == ((), None, ())


@pytest.mark.parametrize(("words", "units"), [((), "us"), (("--si",), "si")])
def test_the_units_of_screens_and_paper(path: Path, words: tuple[str, ...], units: str) -> None:
    """With --si the job is shown in SI."""
    main(["new", str(path), "--template", *words])
    assert load(path).job.units == units


def test_examples_in_si_are_in_si(path: Path) -> None:
    """Whoever asks for SI is not offered feet and tons; every example of it is one that the document takes."""
    main(["new", str(path), "--template", "--si"])
    text = path.read_text(encoding="utf-8").partition("  # running:")[0]  # what follows rests on no --si
    assert not re.findall(r"\d (?:F|ft|ft2|cfm|ton)\b", text)
    for question in asked({"facts.spaces[2].name": "Store", "fan.variable": "yes"}, si=True):
        question.check(question.example)
        assert not re.search(r"\d (?:F|ft|ft2|cfm|ton)\b", question.prompt)


def test_without_a_terminal_the_template_is_written(path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """In a script there is nobody to ask."""
    monkeypatch.setattr("sys.stdin.isatty", lambda: False)
    assert main(["new", str(path)]) == 0
    assert load(path).job.facts.site.name == "My site"


def test_two_jobs_have_ids_of_their_own(tmp_path: Path) -> None:
    """Each job is another one, whatever stands in it."""
    for name in ("a.yaml", "b.yaml"):
        main(["new", str(tmp_path / name), "--template"])
    assert load(tmp_path / "a.yaml").job.id != load(tmp_path / "b.yaml").job.id


# where it is written


@pytest.mark.parametrize("name", ["unit.json", "unit", "unit.yaml.txt", ".yaml"])
def test_a_name_that_ends_otherwise_is_refused(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], name: str
) -> None:
    """The template has comments, and only YAML keeps them."""
    assert main(["new", str(tmp_path / name), "--template"]) == 2
    assert capsys.readouterr().err == (
        f'ventwright: "{tmp_path / name}" is no name for a new job; accepted: a name that ends in .yaml.\n'
    )
    assert list(tmp_path.iterdir()) == []


def test_a_file_that_exists_is_not_written_over(path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """A job is not lost to a second one; --force is how to say that it may be."""
    path.write_text("mine", encoding="utf-8")
    assert main(["new", str(path), "--template"]) == 2
    assert capsys.readouterr().err == (
        f'ventwright: "{path}" exists already; accepted: another name, or --force to write over it.\n'
    )
    assert path.read_text(encoding="utf-8") == "mine"
    assert main(["new", str(path), "--template", "--force"]) == 0
    assert load(path).job.facts.unit.tag == "RTU-1"


def test_a_folder_of_that_name_is_not_written_over(path: Path) -> None:
    """A folder stays a folder, with --force too."""
    path.mkdir()
    assert main(["new", str(path), "--template"]) == 2
    assert main(["new", str(path), "--template", "--force"]) == 2
    assert path.is_dir()


# questions


@pytest.fixture
def ask(path: Path, monkeypatch: pytest.MonkeyPatch) -> Ask:
    """Run `new` at a terminal where a person types the given answers; after the last one Ctrl-C or the end of input."""

    def run(*answers: str, then: type[BaseException] = AssertionError, words: tuple[str, ...] = ()) -> int:
        given = iter(answers)

        def typed(prompt: str) -> str:
            sys.stdout.write(f"{prompt}\n")
            for answer in given:
                return answer
            raise then

        monkeypatch.setattr("sys.stdin.isatty", lambda: True)
        monkeypatch.setattr("builtins.input", typed)
        return main(["new", str(path), *words])

    return run


def asked(answers: Mapping[str, str] | None = None, *, si: bool = False) -> list[Question]:
    """Return every question that comes up when these answers are given, and Enter alone to all others."""
    given: dict[str, str] = {}
    found: list[Question] = []
    for question in questions(given, si=si):
        found.append(question)
        text = (answers or {}).get(question.key) or (question.example if question.required else "")
        if text:
            given[question.key] = text
    return found


def typed_for(answers: Mapping[str, str]) -> list[str]:
    """Return what is typed, question after question, to give these answers and no other."""
    keys = [question.key for question in asked(answers)]
    assert set(answers) <= set(keys)
    return [answers.get(key, "") for key in keys]


def blanks() -> list[str]:
    """One blank for every question."""
    return [""] * len(asked())


def test_blanks_take_what_is_in_brackets(ask: Ask, path: Path) -> None:
    """Who only presses Enter gets a job in order, with nothing in it that was not shown."""
    assert ask(*blanks()) == 0
    job = load(path).job
    assert (job.facts.site.name, job.facts.unit.tag) == ("My site", "RTU-1")
    assert [speed.name for speed in job.facts.unit.fan_speeds] == ["high"]
    assert job.facts.weather is None


def test_what_nobody_was_asked_is_not_claimed(ask: Ask, path: Path) -> None:
    """What is left open stays open, stages too, so that the plan marks what it guesses."""
    ask(*blanks())
    facts = load(path).job.facts
    assert (facts.unit.heating, facts.unit.cooling_stages) == (None, None)
    assert (facts.site.energy_code, facts.ventilation.standard) == (None, None)
    assert "    # heating: gas" in path.read_text(encoding="utf-8")


def test_answers_stand_in_the_job(ask: Ask, path: Path) -> None:
    """What was typed is what is kept, in the place of its question."""
    answers = {
        "facts.site.name": "Nowhere",
        "facts.site.climate_zone": "3C",
        "facts.site.elevation": "1615 m",
        "facts.unit.tag": "12",
        "facts.unit.cooling_capacity": "7.5 ton",
        "facts.unit.lowest_cooling_ambient": "45 F",
        "facts.unit.fan_speeds[1].supply_air": "3,000 cfm",
        "facts.unit.fan_speeds[2].supply_air": "2000 cfm",
        "facts.spaces[1].use": "Retail / Sales",
        "facts.spaces[1].floor_area": "3,600 ft2",
        "facts.spaces[1].people": "54",
        "facts.kit": "two-speed-dry-bulb",
        "facts.weather.outdoor_air": "-5F",
        "facts.weather.return_air": "72 F",
    }
    assert ask(*typed_for(answers), words=("--si",)) == 0
    job = load(path).job
    unit, (space,) = job.facts.unit, job.facts.spaces
    assert (job.units, job.facts.site.name, unit.tag) == ("si", "Nowhere", "12")
    assert [str(speed.supply_air) for speed in unit.fan_speeds] == ["3,000 cfm", "2000 cfm"]
    assert (str(job.facts.site.elevation), str(unit.cooling_capacity)) == ("1615 m", "7.5 ton")
    assert (space.use, str(space.floor_area), space.people) == ("Retail / Sales", "3,600 ft2", 54)
    assert job.facts.weather is not None
    assert (str(job.facts.weather.outdoor_air), str(job.facts.weather.return_air)) == ("-5F", "72 F")


def test_a_return_temperature_without_an_outdoor_one_breaks_nothing(ask: Ask, path: Path) -> None:
    """The job needs the outdoor air before the return air; an answer alone is kept as a comment."""
    given = {"facts.weather.return_air": "71 F"}
    assert ask(*typed_for(given)) == 0
    assert load(path).job.facts.weather is None
    assert "# return_air: 71 F" in path.read_text(encoding="utf-8")


WRONG = {
    "facts.site.climate_zone": ("9Z", '"9Z" is no climate zone; accepted: 0A, '),
    "facts.site.energy_code": (
        "IECC-1066",
        '"IECC-1066" is no edition of an energy code with tables here (the nearest is IECC-2006); accepted: ',
    ),
    "facts.unit.heating": (
        "heatpump",
        '"heatpump" is not one of the words for this (did you mean heat pump?); accepted: gas, electric, heat pump, ',
    ),
    "fan.variable": ("maybe", '"maybe" is not an answer to this; accepted: yes, no.'),
    "facts.site.elevation": ("40000 ft", '"40000 ft" is not possible for a length here; accepted: at least '),
    "facts.unit.cooling_capacity": (
        "ten tons",
        '"ten tons" is not a heat rate; accepted: "10 ton", "54000 Btu/h" or "35 kW".',
    ),
    "facts.unit.fan_speeds[1].supply_air": (
        "4000",
        '"4000" has no unit, and an airflow needs one; accepted: "350 cfm" or "165 L/s".',
    ),
    "facts.spaces[1].floor_area": (
        "5000 ft",
        '"5000 ft" is a length, and an area is wanted; accepted: "4800 ft2"',
    ),
    "facts.spaces[1].people": ("nan", '"nan" is not a number of people; accepted: a number such as 25.'),
    "facts.kit": (
        "two-speed",
        '"two-speed" is not a kit on the shelf (did you mean two-speed-dry-bulb?); accepted: ',
    ),
    "facts.weather.outdoor_air": (
        "45",
        '"45" has no unit, and a temperature needs one; accepted: "72 F" or "22 °C".',
    ),
}


def test_a_wrong_answer_is_explained_and_asked_again(
    ask: Ask, path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Each wrong answer gets its sentence, and the same question once more; the right one then counts."""
    answers: list[str] = []
    right = {key: question.example for question in asked() if (key := question.key) in WRONG}
    for question in asked(right):
        answers += [WRONG[question.key][0]] if question.key in WRONG else []
        answers += [right.get(question.key, "")]
    assert ask(*answers) == 0
    lines = said(capsys).splitlines()
    for question in asked(right):
        times = [number for number, line in enumerate(lines) if line == question.prompt]
        assert len(times) == (2 if question.key in WRONG else 1), question.key
        if question.key in WRONG:
            assert lines[times[0] + 1].startswith(f"  {WRONG[question.key][1]}"), question.key
    load(path)


@pytest.mark.parametrize(
    "people",
    ["-1", "1_000", "inf", "1e9", "\uff12", "many"],
    ids=["-1", "1_000", "inf", "1e9", "wide digit", "many"],
)
def test_what_is_no_number_of_people_is_asked_again(ask: Ask, path: Path, people: str) -> None:
    """What Python would take for a number, and a document would not, is refused while the person still sits there."""
    answers: list[str] = []
    for question in asked():
        answers += [people, "25"] if question.key == "facts.spaces[1].people" else [""]
    assert ask(*answers) == 0
    assert load(path).job.facts.spaces[0].people == 25


# what used to be added by hand

SEVERAL = {
    "facts.site.energy_code": "90.1-2019",
    "facts.unit.heating": "heat pump",
    "facts.unit.reversing_valve": "energized in heating",
    "facts.spaces[1].name": "Sales floor",
    "facts.spaces[1].use": "Retail / Sales",
    "facts.spaces[1].floor_area": "3600 ft2",
    "facts.spaces[2].name": "Store room",
    "facts.spaces[2].use": "Miscellaneous / Warehouses",
    "facts.spaces[2].floor_area": "600 ft2",
    "facts.spaces[2].people": "1",
    "facts.spaces[3].name": "Back office",
    "facts.spaces[3].floor_area": "200 ft2",
    "facts.ventilation.system": "multiple zones",
}


def test_heating_code_and_several_spaces_need_no_hand(ask: Ask, path: Path) -> None:
    """One space after another is asked for until none is named; the kit that is offered is one for a heat pump."""
    assert ask(*typed_for(SEVERAL)) == 0
    facts = load(path).job.facts
    assert (facts.site.energy_code, facts.unit.heating) == ("90.1-2019", "heat pump")
    assert facts.unit.reversing_valve == "energized in heating"
    assert [(one.name, one.use, str(one.floor_area), one.people) for one in facts.spaces] == [
        ("Sales floor", "Retail / Sales", "3600 ft2", None),
        ("Store room", "Miscellaneous / Warehouses", "600 ft2", 1),
        ("Back office", "Office / Office space", "200 ft2", None),
    ]
    assert facts.ventilation.system == "multiple zones"
    assert facts.kit == "heat-pump-differential"
    assert main(["plan", str(path)]) in {0, 1}


def test_several_spaces_left_open_are_said_to_be_taken_as_one_zone(
    ask: Ask, path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Enter alone claims nothing: the plan then says what it takes them for."""
    answers = {key: value for key, value in SEVERAL.items() if key != "facts.ventilation.system"}
    assert ask(*typed_for(answers)) == 0
    assert "system" not in load(path).job.facts.ventilation.model_fields_set
    main(["plan", str(path)])
    assert "3 spaces are taken as one zone" in " ".join(said(capsys).split())


VARIABLE = {
    "fan.variable": "yes",
    "facts.unit.fan_speeds[1].name": "60 Hz",
    "facts.unit.fan_speeds[1].supply_air": "6000 cfm",
    "facts.unit.fan_speeds[2].name": "40 Hz",
    "facts.unit.fan_speeds[2].supply_air": "1900 L/s",
    "facts.unit.fan_speeds[3].name": "slowest",
}


def test_a_variable_fan_has_speeds_with_names(ask: Ask, path: Path) -> None:
    """Speeds are named until no other is; an airflow that nobody knows is guessed by the plan, and the kit follows any speed."""
    assert ask(*typed_for(VARIABLE)) == 0
    facts = load(path).job.facts
    assert [(one.name, str(one.supply_air or "")) for one in facts.unit.fan_speeds] == [
        ("60 Hz", "6000 cfm"), ("40 Hz", "1900 L/s"), ("slowest", ""),
    ]  # fmt: skip
    assert facts.kit == "variable-enthalpy-with-demand-control"
    assert main(["plan", str(path)]) in {0, 1}


def test_a_speed_named_twice_is_asked_again(ask: Ask, path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """What the document would refuse is refused while the person still sits there."""
    typed = typed_for(VARIABLE)
    typed.insert(typed.index("40 Hz"), "60 Hz")
    assert ask(*typed) == 0
    sentence = '  "60 Hz" names two fan speeds; accepted: a name of its own for every speed.'
    assert said(capsys).splitlines().count(sentence) == 1
    assert len(load(path).job.facts.unit.fan_speeds) == 3


def test_people_are_needed_where_the_standard_has_no_usual_number(
    ask: Ask, path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """A store room left without people would be refused by `check`; the question comes again instead."""
    typed = typed_for(SEVERAL)
    typed.insert(typed.index("1"), "")
    assert ask(*typed) == 0
    sentence = (
        '  "Miscellaneous / Warehouses" has no default density in the standard; accepted: people: a number.'
    )
    assert said(capsys).splitlines().count(sentence) == 1
    assert load(path).job.facts.spaces[1].people == 1


def test_california_is_asked_for_its_own_edition(ask: Ask, path: Path) -> None:
    """Its energy code brings its own ventilation, and the uses are named as there."""
    answers = {"facts.site.climate_zone": "CA 12", "facts.site.energy_code": "title 24 2022"}
    assert ask(*typed_for(answers)) == 0
    facts = load(path).job.facts
    assert (facts.ventilation.standard, facts.spaces[0].use) == ("Title 24-2022", "Office / Office")
    assert main(["check", str(path)]) == 0


@pytest.mark.parametrize("answers", [SEVERAL, VARIABLE], ids=["several spaces", "variable fan"])
@pytest.mark.parametrize("stop", [KeyboardInterrupt, EOFError])
def test_stopping_within_a_list_keeps_every_answer(
    ask: Ask, path: Path, stop: type[BaseException], answers: Mapping[str, str]
) -> None:
    """Wherever a person stops among spaces and speeds, what was typed stands in a file that can be read."""
    whole = typed_for(answers)
    kept = path.with_name("unit.unfinished.yaml")
    for count in range(11, len(whole), 4):
        assert ask(*whole[:count], then=stop, words=("--force",)) == 130
        text = kept.read_text(encoding="utf-8")
        read_document(text, kept.name)
        assert [one for one in whole[:count] if one not in text and one != "yes"] == []


def test_the_template_shows_several_spaces_and_what_they_are(path: Path) -> None:
    """The second space and the word for several zones are comments that can be taken out of their comment."""
    main(["new", str(path), "--template"])
    text = path.read_text(encoding="utf-8")
    text, spaces = re.subn(r"^    # (- \{name: Store room)", r"    \1", text, flags=re.MULTILINE)
    text, systems = re.subn(
        r"^    # (system: )single zone  ", r"    \1multiple zones", text, flags=re.MULTILINE
    )
    assert (spaces, systems) == (1, 1)
    path.write_text(text, encoding="utf-8")
    facts = load(path).job.facts
    assert (len(facts.spaces), facts.ventilation.system) == (2, "multiple zones")


ODD = ["Joe's: shop #2", "12", "1e5", "no", "null", "~", "true", "2026-01-01", "12:30", "x:", "- x", "a, b", "{x}", "[x",
       "*x", "&x", "!x", "%x", "@x", "`x", '"', "'", "\\", "?", "#1", "| x", "ü ☃ 𝄞", "<script>", "<<", "=", "0x1F"]  # fmt: skip


@pytest.mark.parametrize("odd", ODD)
def test_odd_answers_are_kept_as_they_are(path: Path, odd: str) -> None:
    """Whatever people call their sites and units, the job calls them the same."""
    answers = {question.key: question.example for question in asked() if question.required}
    speed = "facts.unit.fan_speeds[1]"
    answers |= {
        "facts.site.name": odd,
        "facts.unit.tag": odd,
        f"{speed}.name": odd,
        "facts.spaces[1].name": odd,
    }
    path.write_text(job_text(answers, asked=True), encoding="utf-8")
    facts = load(path).job.facts
    assert (facts.site.name, facts.unit.tag) == (odd, odd)
    assert (facts.unit.fan_speeds[0].name, facts.spaces[0].name) == (odd, odd)


def test_signs_that_cannot_be_printed_are_asked_again(ask: Ask, path: Path) -> None:
    """A stray control sign or half a letter would make a file that nobody can read."""
    blank = blanks()[1:]
    assert ask("a\x1b[31mb", "half \udcff", "Nowhere", *blank) == 0
    assert load(path).job.facts.site.name == "Nowhere"


# stopping


@pytest.mark.parametrize("stop", [KeyboardInterrupt, EOFError])
@pytest.mark.parametrize("answered", [1, 7, 13])
def test_stopping_keeps_every_answer(
    ask: Ask, path: Path, capsys: pytest.CaptureFixture[str], stop: type[BaseException], answered: int
) -> None:
    """Wherever a person stops, the answers so far stand in a file that can be read, and the place of it is said."""
    given = [question.example for question in asked()][:answered]
    assert ask(*given, then=stop, words=("--si",)) == 130
    kept = path.with_name("unit.unfinished.yaml")
    assert f"Stopped; your answers are in {kept}." in said(capsys)
    assert not path.exists()
    text = kept.read_text(encoding="utf-8")
    read_document(text, kept.name)
    assert "units: si" in text
    for question in asked()[:answered]:
        assert question.example in text


def test_stopping_at_once_leaves_nothing(ask: Ask, path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Without an answer there is nothing to keep."""
    assert ask(then=KeyboardInterrupt) == 130
    assert "Stopped." in said(capsys)
    assert list(path.parent.iterdir()) == []


def test_every_answer_is_on_the_disk_before_the_next_question(
    path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """If the battery dies at the last question, the file holds what came before."""
    kept = path.with_name("unit.unfinished.yaml")
    held: list[bool] = []

    def typed(_: str) -> str:
        held.append(kept.exists())
        return ""

    monkeypatch.setattr("sys.stdin.isatty", lambda: True)
    monkeypatch.setattr("builtins.input", typed)
    assert main(["new", str(path)]) == 0
    assert held == [False] + [True] * (len(asked()) - 1)
    assert not kept.exists()


def test_answers_of_an_earlier_start_are_not_written_over(
    ask: Ask, path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """What was kept the first time is there after the second start; --force begins anew."""
    ask("Nowhere", then=KeyboardInterrupt)
    kept = path.with_name("unit.unfinished.yaml")
    before = kept.read_bytes()
    capsys.readouterr()
    assert ask(*blanks()) == 2
    assert capsys.readouterr().err == (
        f'ventwright: "{kept}" is left from an earlier start; accepted: its answers carried on under another name, or '
        "--force to begin anew.\n"
    )
    assert kept.read_bytes() == before
    assert ask(*blanks(), words=("--force",)) == 0
    assert not kept.exists()


def test_a_place_that_cannot_be_written_is_said_at_the_first_answer(
    ask: Ask, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    """Nobody answers fourteen questions to learn that the folder is read-only."""

    def refuse(**_: object) -> None:
        raise PermissionError(13, "Permission denied")

    monkeypatch.setattr("tempfile.mkstemp", refuse)
    assert ask("Nowhere") == 2
    assert "cannot be written (permission denied)" in capsys.readouterr().err


def test_an_unfinished_job_says_what_is_missing(ask: Ask, path: Path) -> None:
    """The kept file is a job with gaps: `check` names them."""
    ask("Nowhere", "3C", then=KeyboardInterrupt)
    with pytest.raises(Refused) as caught:
        load(path.with_name("unit.unfinished.yaml"))
    assert "facts.kit: is missing" in str(caught.value)
    assert Job.model_fields["facts"].is_required()
