"""The balance on simulated roofs, a seeded part of what `python -m benchmarks.balance` does: all studies on fewer units."""

from __future__ import annotations

import os
import sys

from benchmarks.balance.__main__ import main

UNITS, ATTAINABLE_UNITS = 100, 20

if __name__ == "__main__":
    counts = ["--units", str(UNITS), "--attainable-units", str(ATTAINABLE_UNITS)]
    sys.argv += [*counts, "--processes", str(os.cpu_count() or 1)]
    sys.exit(main())
