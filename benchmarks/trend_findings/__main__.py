"""Judge the logs of others: ``python -m benchmarks.trend_findings --data ../shared/data --write docs/trend_findings.md``."""

from __future__ import annotations

import argparse
import sys
from pathlib import Path

from benchmarks.trend_findings.table import page

BEGIN, END = "<!-- judged logs: made by benchmarks.trend_findings -->", "<!-- end of judged logs -->"


def main() -> int:
    """Print the table, and put it between its marks in a page where asked."""
    parser = argparse.ArgumentParser(prog="python -m benchmarks.trend_findings", description=__doc__)
    parser.add_argument("--data", type=Path, default=Path("../shared/data"), help="folder of the sets")
    parser.add_argument("--write", type=Path, help="Markdown page with the marks in it")
    asked = parser.parse_args()
    written = page(asked.data)
    print(written)
    if asked.write:
        text = asked.write.read_text(encoding="utf-8")
        before, _, rest = text.partition(BEGIN)
        after = rest.partition(END)[2]
        asked.write.write_text(f"{before}{BEGIN}\n\n{written}\n\n{END}{after}", encoding="utf-8")
    return 0


if __name__ == "__main__":
    sys.exit(main())
