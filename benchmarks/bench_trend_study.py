"""False findings on simulated sound units, and how soon stuck dampers are found: 100 unit-years, an hour on one core."""

from __future__ import annotations

import sys

from benchmarks.trend_study.__main__ import main

if __name__ == "__main__":
    sys.exit(main([]))
