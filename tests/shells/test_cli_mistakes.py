"""Mistakes on the command line: one sentence each, with the nearest right word, and never a traceback."""

from __future__ import annotations

import random
import shutil
from pathlib import Path

import pytest

from ventwright import cli
from ventwright.cli import main
from ventwright.cli.read import COMMON, KINDS, VISIT

DEMO = Path(cli.__file__).parent / "demo_job" / "larkspur-row-r-2.yaml"


def told(capsys: pytest.CaptureFixture[str], *words: str) -> list[str]:
    """Run a command that must be refused and return its sentences, without the program's name."""
    try:
        code: object = main(list(words))
    except SystemExit as ended:
        code = ended.code
    said = capsys.readouterr()
    assert (code, said.out) == (2, "")
    lines = said.err.splitlines()
    assert [line for line in lines if not line.startswith("ventwright: ")] == []
    return [line.removeprefix("ventwright: ") for line in lines]


MISSPELT = {
    "a command": (
        ("pln",),
        '"pln" is not a command (did you mean plan?); accepted: ' + ", ".join(cli.VERBS) + ".",
    ),
    "a command like no other": (
        ("photograph",),
        '"photograph" is not a command; accepted: ' + ", ".join(cli.VERBS) + ".",
    ),
    "an option": (
        ("plan", "JOB", "--sorces"),
        "--sorces is not known here (did you mean --sources?); accepted: what `ventwright plan --help` lists.",
    ),
    "an option with its value": (
        ("plan", "JOB", "--unit=si"),
        "--unit is not known here (did you mean --units?); accepted: what `ventwright plan --help` lists.",
    ),
    "an option that is needed": (
        ("air", "--dry-blub", "75 F", "--rh", "50 %"),
        "--dry-blub is not known here (did you mean --dry-bulb?); accepted: what `ventwright air --help` lists.",
    ),
    "an option of an entry": (
        ("read", "JOB", "visit", "--techncian", "Nobody"),
        (
            "--techncian is not known here (did you mean --technician?); accepted: what `ventwright read JOB visit --help` "
            "lists."
        ),
    ),
    "an option before the kind": (
        ("read", "JOB", "--jsn", "visit"),
        "--jsn is not known here; accepted: what `ventwright read --help` lists.",
    ),
    "a kind of entry": (
        ("read", "JOB", "suply-air"),
        (
            'KIND: "suply-air" is not known here (did you mean supply-air?); accepted: visit, supply-air, mixed-air, '
            "outdoor-airflow, carbon-dioxide, humidity, side-by-side, sensor, setting, change, restored, tick, test-step, repaired, finding, withdraw."
        ),
    ),
    "a system of units": (
        ("verdict", "JOB", "--units", "sii"),
        '--units: "sii" is not known here (did you mean si?); accepted: us, si.',
    ),
    "a paper": (
        ("record", "JOB", "--paper", "A4"),
        '--paper: "A4" is not known here (did you mean a4?); accepted: letter, a4.',
    ),
    "a word too many": (
        ("check", "JOB", "job2.yaml"),
        "job2.yaml is not known here; accepted: what `ventwright check --help` lists.",
    ),
    "an empty word": (
        ("check", "JOB", ""),
        "an empty word is not known here; accepted: what `ventwright check --help` lists.",
    ),
    "nothing at all": (
        ("check",),
        "the following arguments are required: FILE; accepted: what `ventwright check --help` lists.",
    ),
    "two second quantities": (
        ("air", "--dry-bulb", "75 F", "--rh", "50 %", "--wet-bulb", "60 F"),
        "argument --wet-bulb: not allowed with argument --rh; accepted: what `ventwright air --help` lists.",
    ),
    "a quantity without its unit": (
        ("air", "--dry-bulb", "75", "--rh", "50 %"),
        '--dry-bulb: "75" has no unit, and a temperature needs one; accepted: "72 F" or "22 °C".',
    ),
    "a temperature of no weather": (
        ("plan", "JOB", "--outdoor", "500 F"),
        (
            '--outdoor: "500 F" is not possible for a temperature here; accepted: at least -130 °F (-90 °C) and at most '
            "248 °F (120 °C)."
        ),
    ),
    "a return temperature without unit": (
        ("plan", "JOB", "--return", "74"),
        '--return: "74" has no unit, and a temperature needs one; accepted: "72 F" or "22 °C".',
    ),
    "a line break in a word": (
        ("check", "a\nb.yaml"),
        "a b.yaml: cannot be read (no such file or directory); accepted: the path of a job file that exists.",
    ),
}


@pytest.mark.parametrize(("words", "sentence"), MISSPELT.values(), ids=MISSPELT.keys())
def test_one_mistake_one_sentence(
    capsys: pytest.CaptureFixture[str], words: tuple[str, ...], sentence: str
) -> None:
    """The sentence names what is not known, the nearest right word, and what is accepted."""
    assert told(capsys, *(str(DEMO) if word == "JOB" else word for word in words)) == [sentence]


# entries


@pytest.fixture
def job(tmp_path: Path) -> Path:
    """A copy of the demo job."""
    path = tmp_path / "job.yaml"
    path.write_bytes(DEMO.read_bytes())
    return path


NEEDED = {
    "visit": {"--technician"},
    "supply-air": {"--speed", "--airflow", "--method"},
    "mixed-air": {"--speed", "--damper", "--outdoor", "--return", "--mixed"},
    "outdoor-airflow": {"--speed", "--damper", "--airflow", "--method"},
    "carbon-dioxide": {"--speed", "--damper", "--outdoor", "--return", "--mixed"},
    "humidity": {
        *("--speed", "--damper", "--outdoor", "--return", "--mixed"),
        *("--outdoor-rh", "--return-rh", "--mixed-rh"),
    },
    "side-by-side": {"--probes"},
    "sensor": {"--sensor", "--shown", "--probe"},
    "setting": {"--label", "--value"},
    "change": {"--point", "--was", "--to"},
    "restored": {"--change", "--read-back"},
    "tick": {"--item"},
    "test-step": {"--step"},
    "repaired": {"--of"},
    "finding": {"--measurement", "--found"},
    "withdraw": {"--corrects"},
}


@pytest.mark.parametrize("kind", ["visit", *KINDS])
def test_every_missing_option_is_named(capsys: pytest.CaptureFixture[str], job: Path, kind: str) -> None:
    """An entry with nothing given names each option that is needed, once, and the job stays as it is."""
    sentences = told(capsys, "read", str(job), kind)
    assert {sentence.partition(":")[0] for sentence in sentences} == NEEDED[kind]
    assert len(sentences) == len(NEEDED[kind])
    assert all(": is missing; accepted: " in sentence for sentence in sentences)
    assert job.read_bytes() == DEMO.read_bytes()


def test_every_wrong_option_is_named_at_once(capsys: pytest.CaptureFixture[str], job: Path) -> None:
    """Form comes first: each option that cannot be read has its sentence."""
    found = told(
        capsys,
        *("read", str(job), "supply-air", "--speed", "high", "--airflow", "4000", "--method", "by ear"),
    )
    assert found == [
        '--airflow: "4000" has no unit, and an airflow needs one; accepted: "350 cfm" or "165 L/s".',
        (
            '--method: "by ear" is not one of the words for this; accepted: traverse, flow plate, static pressure and fan '
            "table, temperature rise, balancing report, design value."
        ),
    ]


def test_every_option_that_names_nothing_is_named_at_once(
    capsys: pytest.CaptureFixture[str], job: Path
) -> None:
    """Speed, instrument and signal that this job does not know are three sentences with the nearest word."""
    words = ("--speed", "hihg", "--damper", "12 V", "--outdoor", "40 F", "--return", "74 F")
    found = told(
        capsys, "read", str(job), "mixed-air", *words, "--mixed", "64 F, 65 F", "--instrument", "prob"
    )
    assert found == [
        '--speed: "hihg" is not a fan speed of this unit (did you mean high?); accepted: high, low.',
        '--damper: "12 V" is outside the kit\'s range of signal; accepted: 2 V to 10 V, or 0 % to 100 %.',
        (
            '--instrument: "prob" is not an instrument of this job (facts.instruments) (did you mean probe?); accepted: probe: '
            "Hand-held thermistor probe; meter: Clamp meter; flow-plate: Flow plate with manometer."
        ),
    ]


def test_a_wrong_point_of_a_traverse_is_counted(capsys: pytest.CaptureFixture[str], job: Path) -> None:
    """Of eight points the wrong one is named by its number."""
    words = ("--speed", "high", "--damper", "21 %", "--outdoor", "40 F", "--return", "74 F")
    found = told(capsys, "read", str(job), "mixed-air", *words, "--mixed", "64 F, 65 F, 66, 64 F")
    assert '--mixed[3]: "66" has no unit, and a temperature needs one; accepted: "72 F" or "22 °C".' in found


def test_a_change_to_restore_is_offered(capsys: pytest.CaptureFixture[str], job: Path) -> None:
    """Who does not know the id of the change is told which there are."""
    found = told(capsys, "read", str(job), "restored", "--change", "c7", "--read-back", "58 F")
    assert found == ['--change: "c7" is no temporary change; accepted: c1: fan speed.']


def test_a_job_with_mistakes_takes_no_entry(capsys: pytest.CaptureFixture[str], job: Path) -> None:
    """What stands in the file is put right first: its mistakes are named with their lines, nothing is appended."""
    lines = job.read_text(encoding="utf-8").splitlines()
    number = next(n for n, line in enumerate(lines, start=1) if line.strip().startswith("climate_zone: 3C"))
    lines[number - 1] = "    climate_zone: 9Z"
    job.write_text("\n".join(lines), encoding="utf-8")
    before = job.read_bytes()
    found = told(capsys, "read", str(job), "tick", "--item", "hood in place")
    assert [sentence.partition(":")[0] for sentence in found] == [f"line {number}, facts.site.climate_zone"]
    assert job.read_bytes() == before


@pytest.mark.parametrize(
    ("at", "problem"), [("9999-01-01T09:00Z", "lies ahead"), ("1970-01-01T00:00Z", "lies long ago")]
)
def test_a_time_that_nobody_read_at(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], at: str, problem: str
) -> None:
    """A slip into another century would outrank every later entry; the job stays as it was."""
    job = tmp_path / "job.yaml"
    shutil.copy(DEMO, job)
    (said,) = told(capsys, "read", str(job), "visit", "--technician", "Nobody", "--at", at)
    assert said == f'--at: "{at}" {problem}; accepted: a time of this year or before, from 2000 on.'
    assert job.read_bytes() == DEMO.read_bytes()


# anything at all

WORDS = [
    "job.yaml", "nowhere.yaml", ".", "bad.yaml", "empty.yaml", "--json", "--units", "si", "us", "--out", "out", "--paper",
    "a4", "--si", "--force", "--template", "new.yaml", "--id", "--at", "--visit", "--by", "--corrects", "--note", "--speed",
    "high", "4000 cfm", "-5 F", "-5F", "5", "20 %", "--mixed", "60 F, 61 F", "return air", "probe", "fan", "c1", "visit",
    "tick", "setting", "kit", "--dry-bulb", "--rh", "50 %", "--sources", "--outdoor", "--return", "--help", "-h", "--", "-x", "--units=si", "", "ü☃",
    "\udcff", "a\nb", "--odd", "-", "=", "--=", "nan F", "inf F", "1e999 F", "9" * 400 + " F", "2026-11-25T09:00-08:00",
    "{x}", "{0}", "%s", "[red]x[/red]", "0 K", "1 gr/lb", "28 Btu/lb", "-400 F", "0 Pa", "20000 m", "1e-300 kg/kg",
]  # fmt: skip
"""Words of the program in the wrong places, and what a hurried hand, a script or a joker types."""

VERBS = [verb for verb in cli.VERBS if verb not in {"demo", "record"}]  # whose paper takes a second each


def at_random(chance: random.Random) -> list[str]:
    """Make up a command line: half right, so that it gets somewhere before it goes wrong."""
    verb = chance.choice([*VERBS, "read", "read", "read", "air"])
    words = [verb]
    if verb == "new":
        words.append("new.yaml")
    elif chance.random() < 0.8:
        words.append("job.yaml")
    if verb == "read":
        kind = chance.choice(["visit", *KINDS])
        options = [*(VISIT if kind == "visit" else KINDS[kind][1]), *COMMON]
        words.append(kind)
        for option in chance.sample(options, chance.randint(0, len(options))):
            words += [option, chance.choice(WORDS)]
    return words + chance.choices(WORDS, k=chance.randint(0, 4))


@pytest.mark.parametrize("seed", range(3))
def test_no_command_line_breaks_the_program(
    capsys: pytest.CaptureFixture[str], tmp_path: Path, monkeypatch: pytest.MonkeyPatch, seed: int
) -> None:
    """Whatever is typed, the program ends with a code of its own, and what it refuses it refuses in whole sentences."""
    monkeypatch.chdir(tmp_path)
    (tmp_path / "bad.yaml").write_text("facts: [1\n", encoding="utf-8")
    (tmp_path / "empty.yaml").touch()
    chance = random.Random(seed)  # noqa: S311 - what is typed is no secret
    for _ in range(30):
        shutil.copy(DEMO, tmp_path / "job.yaml")
        words = at_random(chance)
        try:
            code: object = main(words)
        except SystemExit as ended:
            code = ended.code
        said = capsys.readouterr()
        assert code in {0, 1, 2, 3}, words
        lines = said.err.splitlines()
        assert (code == 2) == bool(lines), (words, lines)
        assert [
            line for line in lines if not (line.startswith("ventwright: ") and line.endswith("."))
        ] == [], words


def test_a_refused_entry_changes_nothing(
    capsys: pytest.CaptureFixture[str], tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """After any refusal the job is byte for byte what it was, and nothing lies beside it."""
    monkeypatch.chdir(tmp_path)
    shutil.copy(DEMO, tmp_path / "job.yaml")
    chance = random.Random(7)  # noqa: S311 - what is typed is no secret
    refused = 0
    for _ in range(30):
        words = ["read", "job.yaml", *at_random(chance)[2:]]
        try:
            code: object = main(words)
        except SystemExit as ended:
            code = ended.code
        capsys.readouterr()
        if code != 2:
            shutil.copy(DEMO, tmp_path / "job.yaml")
            continue
        refused += 1
        assert (tmp_path / "job.yaml").read_bytes() == DEMO.read_bytes(), words
        assert [path.name for path in tmp_path.iterdir()] == ["job.yaml"]
    assert refused > 15
