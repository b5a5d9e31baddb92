"""The reference library PsychroLib in both of its modes: plain Python, and compiled where numba is installed."""

from __future__ import annotations

import importlib.util
import sys
from typing import Any


def plain() -> Any:
    """Load a copy as it is without numba: every function plain Python, SI units."""
    return _load(numba=False)


def compiled() -> Any:
    """Load a copy whose functions numba has turned into array functions, SI units."""
    return _load(numba=True)


def _load(*, numba: bool) -> Any:
    spec = importlib.util.find_spec("psychrolib")
    assert spec is not None, "the benchmarks need the packages of the dev and bench extras"
    assert spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    hidden = {} if numba else {"numba": sys.modules.get("numba")}
    for name in hidden:
        sys.modules[name] = None  # type: ignore[assignment]  # the import system's own sign for "not there"
    try:
        spec.loader.exec_module(module)
    finally:
        for name, found in hidden.items():
            del sys.modules[name]
            if found is not None:
                sys.modules[name] = found
    assert module.has_numba is numba
    module.SetUnitSystem(module.SI)
    return module
