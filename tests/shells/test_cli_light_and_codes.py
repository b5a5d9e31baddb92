"""The program as a process: help at once, nothing heavy imported, exit codes that scripts can trust, quiet pipes."""

from __future__ import annotations

import json
import os
import signal
import subprocess
import sys
from pathlib import Path

import pytest

from ventwright import cli
from ventwright.cli import main
from ventwright.version import VERSION

DEMO = Path(cli.__file__).parent / "demo_job" / "larkspur-row-r-2.yaml"

HEAVY = {
    "numpy",
    "pydantic",
    "pydantic_core",
    "rich",
    "ruamel",
    "fpdf",
    "jinja2",
    "pandas",
    "polars",
    "pyarrow",
    "segno",
}
"""What help must not wait for. Of these, showing a plan needs only pydantic, rich and ruamel."""

IMPORTS = """
import sys
from ventwright.cli import main
for command in sys.argv[1:]:
    try:
        code = main(command.split())
    except SystemExit as end:
        code = end.code
    assert code == 0
print(*sorted(name for name in sys.modules if "." not in name))
"""


def program(*words: str, **more: str) -> subprocess.CompletedProcess[str]:
    """Run the program as a process of its own."""
    return subprocess.run(
        [sys.executable, "-m", "ventwright", *words],
        capture_output=True,
        text=True,
        encoding="utf-8",
        check=False,
        env=os.environ | more,
        timeout=60,
    )


def imported(*commands: str) -> set[str]:
    """Return the packages in memory after commands in one process."""
    done = subprocess.run(
        [sys.executable, "-c", IMPORTS, *commands], capture_output=True, text=True, check=True, timeout=60
    )
    return set(done.stdout.splitlines()[-1].split())


def changed(folder: Path, *changes: tuple[str, str]) -> Path:
    """Write the demo job with changes."""
    text = DEMO.read_text(encoding="utf-8")
    for old, new in changes:
        assert old in text
        text = text.replace(old, new)
    path = folder / "job.yaml"
    path.write_text(text, encoding="utf-8")
    return path


# help


def test_help_imports_nothing_heavy() -> None:
    """The first page of help waits for no package but the standard library's."""
    assert imported("--help") & HEAVY == set()


@pytest.mark.parametrize("verb", cli.VERBS)
def test_every_verb_has_help(verb: str, capsys: pytest.CaptureFixture[str]) -> None:
    """Help of a verb says what it is for in its first lines, and ends with code 0."""
    with pytest.raises(SystemExit) as ended:
        main([verb, "--help"])
    assert ended.value.code == 0
    out = capsys.readouterr().out
    assert out.startswith(f"usage: ventwright {verb} ")
    assert "options:" in out


def test_help_of_all_verbs_imports_nothing_heavy() -> None:
    """The help of all verbs together needs none of the heavy packages either."""
    assert imported(*(f"{verb} --help" for verb in cli.VERBS)) & HEAVY == set()


def test_every_kind_of_entry_has_help(capsys: pytest.CaptureFixture[str]) -> None:
    """Each kind of entry says what it takes."""
    from ventwright.cli.read import KINDS

    for kind in ("visit", *KINDS):
        with pytest.raises(SystemExit) as ended:
            main(["read", "job.yaml", kind, "--help"])
        assert ended.value.code == 0
        assert f"usage: ventwright read JOB {kind} " in capsys.readouterr().out


def test_a_plan_needs_no_arrays_and_no_printing_press() -> None:
    """What a phone runs too must not drag in NumPy, a data-frame library or the PDF writer."""
    assert imported(f"plan {DEMO}") & HEAVY == {"pydantic", "pydantic_core", "rich", "ruamel"}


def test_nothing_given_shows_help() -> None:
    """A person who types only the name is shown what there is."""
    done = program()
    assert (done.returncode, done.stderr) == (0, "")
    assert done.stdout.startswith("usage: ventwright COMMAND")


def test_the_version() -> None:
    """The version is one line."""
    assert program("--version").stdout == f"ventwright {VERSION}\n"


# exit codes


def test_code_0_where_all_is_well() -> None:
    """A plan without conflict ends with 0, and the process with the same."""
    done = program("plan", str(DEMO))
    assert (done.returncode, done.stderr) == (0, "")


def test_code_1_where_settings_conflict(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """A chosen setting that breaks the code is a conflict, and a script notices."""
    old = "    - label: Relief fan starts at opening\n      value: 60 %"
    path = changed(tmp_path, (old, "    - label: Outdoor air too warm above\n      value: 80 F"))
    assert main(["plan", str(path)]) == 1
    said = " ".join(capsys.readouterr().out.split())
    assert "CONFLICT: free cooling would run up to 80.0 °F; the code ends it at 75.0 °F" in said


def test_code_1_where_a_check_fails() -> None:
    """The demo's mixed-air sensor is wrong, and the verdict says so to scripts too."""
    assert main(["verdict", str(DEMO)]) == 1


def test_code_2_where_an_entry_is_refused() -> None:
    """What was refused is said on the error output, and nothing is printed beside it."""
    done = program("check", "nowhere.yaml")
    assert (done.returncode, done.stdout) == (2, "")
    assert done.stderr == (
        "ventwright: nowhere.yaml: cannot be read (no such file or directory); accepted: the path of a job file that exists.\n"
    )


def test_code_3_where_something_cannot_be_told(tmp_path: Path) -> None:
    """Without a failure, but without proof of all, the code is that of doubt."""
    lines = DEMO.read_text(encoding="utf-8").splitlines()
    path = tmp_path / "job.yaml"
    path.write_text("\n".join(one for one in lines if "sensor: mixed air" not in one), encoding="utf-8")
    assert main(["verdict", str(path)]) == 3


# pipes, terminals and interruptions


@pytest.mark.skipif(os.name != "posix", reason="pipes of a POSIX shell")
@pytest.mark.parametrize(
    "command",
    ["--help", "plan --help", "plan JOB --json", "verdict JOB"],
)
def test_a_closed_pipe_is_silent(command: str) -> None:
    """Whoever has seen enough (`| head -1`) is not told about it."""
    words = command.replace("JOB", str(DEMO)).split()
    with subprocess.Popen(
        [sys.executable, "-m", "ventwright", *words],
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
    ) as process:
        assert process.stdout
        assert process.stderr
        process.stdout.close()
        said = process.stderr.read()
        code = process.wait(60)
    assert (code, said) == (0, "")


@pytest.mark.skipif(not Path("/dev/full").exists(), reason="the system has no full device")
def test_a_full_disk_behind_the_output_is_one_sentence() -> None:
    """Output that cannot be written is said once, without a traceback."""
    with Path("/dev/full").open("w") as full:
        done = subprocess.run(
            [sys.executable, "-m", "ventwright", "plan", str(DEMO)],
            stdout=full,
            stderr=subprocess.PIPE,
            text=True,
            check=False,
            timeout=60,
        )
    assert done.returncode == 2
    assert done.stderr == (
        "ventwright: the output cannot be written (no space left on device); accepted: one with room.\n"
    )


@pytest.mark.skipif(os.name != "posix", reason="redirections of a POSIX shell")
@pytest.mark.parametrize("closed", [">&-", "<&-", "<&- >&- 2>&-"])
def test_a_closed_stream_breaks_nothing(closed: str, tmp_path: Path) -> None:
    """A job is started all the same where the caller closed what is read from or written to."""
    command = f'"{sys.executable}" -m ventwright new "{tmp_path / "unit.yaml"}" {closed}'
    done = subprocess.run(["sh", "-c", command], capture_output=True, text=True, check=False, timeout=60)
    assert (done.returncode, done.stderr) == (0, "")
    assert (tmp_path / "unit.yaml").exists()


def test_a_place_that_nobody_foresaw_is_one_sentence(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """Whatever the system refuses to open, it is named, and no traceback stands there."""

    def locked(*_: object) -> None:
        raise PermissionError(13, "Permission denied", "/somewhere/locked")

    monkeypatch.setattr("ventwright.store.load", locked)
    assert main(["plan", str(DEMO)]) == 2
    assert capsys.readouterr().err == (
        "ventwright: /somewhere/locked: cannot be used (permission denied); "
        "accepted: a place that can be read and written.\n"
    )


def test_an_output_without_the_letters_gets_the_rest() -> None:
    """Where "°" cannot be printed, the plan is printed all the same; JSON loses nothing."""
    shown = program("plan", str(DEMO), PYTHONIOENCODING="ascii", PYTHONUTF8="0")
    assert shown.returncode == 0
    assert "75.0 ?F" in shown.stdout
    plain = program("plan", str(DEMO), "--json", PYTHONIOENCODING="ascii", PYTHONUTF8="0")
    whole = program("plan", str(DEMO), "--json")
    assert plain.stdout.isascii()
    assert not whole.stdout.isascii()
    assert json.loads(plain.stdout) == json.loads(whole.stdout)


def test_ctrl_c_in_a_command(monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]) -> None:
    """A person who stops a command gets one sentence and the code of an interruption."""

    def interrupt(*_: object) -> None:
        raise KeyboardInterrupt

    monkeypatch.setattr("ventwright.store.load", interrupt)
    assert main(["plan", str(DEMO)]) == 130
    assert capsys.readouterr().err == "ventwright: stopped; nothing half-written is left behind.\n"


@pytest.mark.skipif(os.name != "posix", reason="signals of POSIX")
def test_ctrl_c_from_the_terminal(tmp_path: Path) -> None:
    """A real interruption while the program waits for its job ends in one sentence, without a traceback."""
    pipe = tmp_path / "job.yaml"
    os.mkfifo(pipe)
    with subprocess.Popen(
        [sys.executable, "-m", "ventwright", "check", str(pipe)], stderr=subprocess.PIPE, text=True
    ) as process:
        writer = os.open(pipe, os.O_WRONLY)  # returns when the program has opened the job
        process.send_signal(signal.SIGINT)
        assert process.stderr
        said = process.stderr.read()
        code = process.wait(60)
        os.close(writer)
    assert (code, said) == (130, "ventwright: stopped; nothing half-written is left behind.\n")


def test_the_record_is_written_though_nobody_reads_on(tmp_path: Path) -> None:
    """`record | head -1` leaves whole files: they are written before the first word is said."""
    path = changed(tmp_path)
    with subprocess.Popen(
        [sys.executable, "-m", "ventwright", "record", str(path), "--out", str(tmp_path / "out")],
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
    ) as process:
        assert process.stdout
        process.stdout.close()
        assert process.wait(60) == 0
    assert sorted(one.name for one in (tmp_path / "out").iterdir()) == [
        "card.pdf",
        "record.html",
        "record.json",
        "record.pdf",
    ]
