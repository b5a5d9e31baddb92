"""The pages and rows of a fleet, written from what is kept: the same for the same findings, whenever they were found."""

from __future__ import annotations

import csv
import io
import json
from collections.abc import Mapping, Sequence
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

from ventwright.quantity import System
from ventwright.record.fleet_pages import COLUMNS, first_page, ranked, rows, site_page
from ventwright.record.html import report_html
from ventwright.store.files import write
from ventwright.store.fleet.kept import key


def write_fleet(
    folder: Path, documents: Sequence[Mapping[str, Any]], refused: Sequence[str], system: System
) -> list[dict[str, Any]]:
    """Write the ranked list, a page a site and the rows; return the rows.

    Parameters
    ----------
    folder
        Where the findings are kept.
    documents
        What was found of each unit, with the key of its page.
    refused
        Sentences on files that could not be read.
    system
        Units of the pages.
    """
    made = _made(documents)
    sites = {str(one["site"]): f"sites/{key(str(one['site']), '')}.html" for one in documents}
    for site, address in sites.items():
        own = [one for one in documents if one["site"] == site]
        write(folder / address, report_html(site_page(site, own, system), made=made).encode())
    for old in set((folder / "sites").glob("*.html")) - {folder / address for address in sites.values()}:
        old.unlink()
    write(
        folder / "index.html", report_html(first_page(documents, sites, refused, system), made=made).encode()
    )
    found = list(rows(ranked(documents)))
    text = io.StringIO()
    writer = csv.DictWriter(text, COLUMNS, lineterminator="\n")
    writer.writeheader()
    writer.writerows(found)
    write(folder / "findings.csv", text.getvalue().encode())
    write(folder / "findings.json", f"{json.dumps(found, indent=1, ensure_ascii=False)}\n".encode())
    return found


def _made(documents: Sequence[Mapping[str, Any]]) -> datetime:
    """Return the last moment of all logs: the pages are those of the data, not of the day on which they were written."""
    last = max((one["last"] for one in documents if one.get("last")), default=None)
    return datetime.fromisoformat(last) if last else datetime.fromtimestamp(0, UTC)
