"""Who may ask for what: one table of all routes. A route that does not stand in it is refused.

What a person may see of what he asks for is decided once more below, where the jobs are kept (store/seen.py).
"""

from __future__ import annotations

from enum import Enum


class May(Enum):
    """Who may."""

    ANYBODY = "anybody, signed in or not: nothing of a job is in it"
    SIGNED_IN = "whoever is signed in; shown is what he sees"
    REVIEWER = "a reviewer"
    ON_JOB = "whoever has the job of the address, and reviewers"
    LINK = "whoever has the link of the address: the page itself looks at it"
    DEVICE = "a device that may share"
    PROGRAM = "a device, or whoever is signed in"
    PROGRAM_ON_JOB = (
        "a device of somebody who has the job of the address or reviews, or that person signed in"
    )


def _each(paths: str, reads: May, changes: May | None = None) -> dict[str, tuple[May, May]]:
    return dict.fromkeys(paths.split(), (reads, changes or reads))


TABLE: dict[str, tuple[May, May]] = {
    **_each("/files/{edition}/{name} /manifest.webmanifest /phone /phone/{name:path} /openapi.json", May.ANYBODY),
    **_each("/sign-in", May.ANYBODY),
    **_each("/sign-out", May.SIGNED_IN),
    **_each("/invitation/{secret}", May.LINK),
    **_each("/owner/{secret} /owner/{secret}/{job} /owner/{secret}/{job}/page /owner/{secret}/{job}/record.pdf", May.LINK),
    **_each("/sync", May.DEVICE),
    **_each("/api/jobs", May.PROGRAM),
    **_each("/api/jobs/{job} /api/jobs/{job}/photos /api/jobs/{job}/photos/{photo}", May.PROGRAM_ON_JOB),
    **_each("/ /new /places /units /share /bring /practice /fleet /sites /site /standards /standards/{edition}", May.SIGNED_IN),
    **_each("/yours /yours/instrument /yours/instrument/{id}", May.SIGNED_IN),
    **_each("/account /account/password /account/session /account/device", May.SIGNED_IN),
    **_each("/people /people/{person} /trail", May.REVIEWER),
    **_each(
        """
        /office /office/{kind} /office/{kind}/{name} /office/{kind}/{name}/copy /office/{kind}/{name}/take-away
        /office/{kind}/{name}/text /office/{kind}/{name}/{part} /office/{kind}/{name}/{part}/{number:int}
        """,
        May.SIGNED_IN,
        May.REVIEWER,
    ),
    **_each("/jobs/{job}/people", May.ON_JOB, May.REVIEWER),
    **_each("/jobs/{job}/looked", May.REVIEWER),
    **_each("/jobs/{job}/owner", May.ON_JOB),
    **_each(
        """
        /jobs/{job} /jobs/{job}/archive /jobs/{job}/job.json /jobs/{job}/copy /jobs/{job}/disagree /jobs/{job}/take-back
        /jobs/{job}/entries /jobs/{job}/practice /jobs/{job}/practice/end
        /jobs/{job}/facts /jobs/{job}/facts/place /jobs/{job}/facts/uses /jobs/{job}/facts/instruments/take
        /jobs/{job}/facts/spaces/new /jobs/{job}/facts/spaces/{number:int} /jobs/{job}/facts/{section}
        /jobs/{job}/plan /jobs/{job}/plan/settings /jobs/{job}/plan/settings/{number:int} /jobs/{job}/plan/provable
        /jobs/{job}/plan/take
        /jobs/{job}/wire /jobs/{job}/wire/drawing /jobs/{job}/wire/power-{power} /jobs/{job}/wire/parts
        /jobs/{job}/wire/steps /jobs/{job}/wire/steps/{number:int} /jobs/{job}/wire/seen /jobs/{job}/wire/seen/shape
        /jobs/{job}/wire/seen/pin/{pin:int} /jobs/{job}/wire/seen/pair /jobs/{job}/wire/seen/take-out
        /jobs/{job}/wire/seen/{kind} /jobs/{job}/wire/power /jobs/{job}/wire/power/meter/{number:int}
        /jobs/{job}/wire/power/{part}/{number:int}
        /jobs/{job}/set /jobs/{job}/set/{number:int}
        /jobs/{job}/balance /jobs/{job}/balance/{speed}/set /jobs/{job}/balance/{speed}/wait
        /jobs/{job}/balance/{speed}/leave /jobs/{job}/balance/{speed}/result /jobs/{job}/balance-list
        /jobs/{job}/balance-list/{entry} /jobs/{job}/balance/{speed}/other /jobs/{job}/balance/{speed}/traverse
        /jobs/{job}/balance/{speed}/read /jobs/{job}/balance/{speed}/read/{kind}
        /jobs/{job}/prove /jobs/{job}/prove/sensors /jobs/{job}/prove/{step}
        /jobs/{job}/restore /jobs/{job}/restore/new /jobs/{job}/restore/{line}
        /jobs/{job}/leave /jobs/{job}/leave/tag /jobs/{job}/leave/tag.pdf
        /jobs/{job}/find /jobs/{job}/find/complaint /jobs/{job}/find/stop /jobs/{job}/find/repaired
        /jobs/{job}/find/measure/{measurement}
        /jobs/{job}/photos /jobs/{job}/photos/new /jobs/{job}/photos/wipe /jobs/{job}/photos/{photo}
        /jobs/{job}/photos/{photo}/{size}.jpg
        /jobs/{job}/record /jobs/{job}/record/page /jobs/{job}/record/files /jobs/{job}/record/stop
        /jobs/{job}/record/sign /jobs/{job}/record/remark /jobs/{job}/record/again /jobs/{job}/record/{name}
        /jobs/{job}/recheck /jobs/{job}/recheck/{number}
        /jobs/{job}/savings /jobs/{job}/savings/stop /jobs/{job}/savings/owner /jobs/{job}/savings/weather
        /jobs/{job}/savings/high-limit /jobs/{job}/lists/{list}
        /jobs/{job}/trends /jobs/{job}/trends/choose /jobs/{job}/trends/columns /jobs/{job}/trends/again
        /jobs/{job}/trends/stop /jobs/{job}/trends/report
        """,
        May.ON_JOB,
    ),
}  # fmt: skip
"""For every route who may read and who may change."""

TAKEN_AWAY = frozenset(
    {
        "/jobs/{job}/job.json",
        "/jobs/{job}/record/page",
        "/jobs/{job}/record/{name}",
        "/jobs/{job}/leave/tag.pdf",
        "/jobs/{job}/savings/owner",
        "/jobs/{job}/trends/report",
        "/api/jobs/{job}",
    }
)
"""Routes by which a job leaves the server as a whole: each time is noted."""


def who_may(path: str, method: str) -> May | None:
    """Return who may ask for a route, None where the table does not have it."""
    found = TABLE.get(path)
    return found and found[0 if method in {"GET", "HEAD"} else 1]
