"""The script that sets a checkout up: Ctrl-C reaches the program it runs, and half a set-up is made anew."""

from __future__ import annotations

from importlib.machinery import SourceFileLoader
from importlib.util import module_from_spec, spec_from_loader
from pathlib import Path
from types import ModuleType
from typing import Any

import pytest

SCRIPT = Path(__file__).parents[2] / "dev"


@pytest.fixture
def dev() -> ModuleType:
    """The script as a module."""
    loader = SourceFileLoader("dev_script", str(SCRIPT))
    spec = spec_from_loader("dev_script", loader)
    assert spec
    module = module_from_spec(spec)
    loader.exec_module(module)
    return module


def test_ctrl_c_waits_for_the_program(dev: ModuleType, monkeypatch: pytest.MonkeyPatch) -> None:
    """The program below hears Ctrl-C too: the script hands on how it ended instead of killing it."""

    class Running:
        """A program that is interrupted twice before it has ended well."""

        ends: list[type[BaseException] | int] = [KeyboardInterrupt, KeyboardInterrupt, 130]  # noqa: RUF012

        def __init__(self, *_: Any, **__: Any) -> None: ...

        def wait(self) -> int:
            end = self.ends.pop(0)
            if isinstance(end, int):
                return end
            raise end

    monkeypatch.setattr(dev.subprocess, "Popen", Running)
    assert dev.run("a program") == 130
    assert Running.ends == []


def test_half_a_set_up_is_made_anew(dev: ModuleType, monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    """A Ctrl-C in the first set-up leaves a Python without its packages, which no later one may take for whole."""
    made: list[Path] = []

    class Builder:
        """Makes no environment, and says which it was asked for."""

        def __init__(self, **_: Any) -> None: ...

        def create(self, place: Path) -> None:
            made.append(place)

    monkeypatch.setattr("venv.EnvBuilder", Builder)
    monkeypatch.setattr(dev, "call", lambda *_: None)
    monkeypatch.setattr(dev, "VENV", tmp_path)
    monkeypatch.setattr(dev, "PYTHON", tmp_path / "python")
    (tmp_path / "python").touch()

    dev.set_up("run")
    assert made == [tmp_path]
    dev.set_up("run")
    assert made == [tmp_path]
