"""The one document: facts, plan, readings, verdict and record of one rooftop unit. It alone runs the stages.

What a person enters is kept; everything computed is computed again from it by the version named in it.
"""

from __future__ import annotations

import json
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from functools import partial
from hashlib import sha256
from pathlib import Path
from typing import Annotated, Any, Literal, Never

from pydantic import AfterValidator, Field

from ventwright.document import Lines
from ventwright.entry import Day, Entry, line_of, place_of, read_as_far
from ventwright.errors import Refusal, Refused, refuse_every
from ventwright.facts import Facts
from ventwright.plan import Choice, Plan, make_plan
from ventwright.quantity import System
from ventwright.readings import Readings
from ventwright.readings.fits_facts import Known, refuse_choices, refuse_entries
from ventwright.readings.practice.code import read_code
from ventwright.record import Paper, write_record
from ventwright.record.content import Shot
from ventwright.record.signature import Signature
from ventwright.record.subject import ReckonedYear, Subject
from ventwright.tables.shelf import SUFFIXES
from ventwright.verdict import Verdicts, judge
from ventwright.verdict.deficiency import Deficiency
from ventwright.verdict.functions import with_functions
from ventwright.version import VERSION

FIRST_SCHEMA_VERSION, SCHEMA_VERSION = 1, 1
"""A document that names no version is of the first one."""

Migration = Callable[[dict[str, Any]], dict[str, Any]]

MIGRATIONS: dict[int, Migration] = {}
"""For each older schema version, how a document of it becomes one of the next."""


class PlanSection(Entry):
    """The second section: what the person chose otherwise than the plan."""

    choices: tuple[Choice, ...] = ()


class VerdictSection(Entry):
    """The fourth section: what stayed wrong. The verdicts themselves are computed."""

    deficiencies: tuple[Deficiency, ...] = ()


class RecordSection(Entry):
    """The fifth section: who stands for it."""

    signatures: tuple[Signature, ...] = ()
    next_check: str = Field("", description="when somebody should look again")
    retest_by: Day | None = Field(
        None, description="day by which what is not proved should be, such as 2026-12-18"
    )


def _code_of_practice(typed: str) -> str:
    """Return the code as it is written, or refuse it; empty stays empty."""
    return str(read_code(typed)) if typed.strip() else ""


class Job(Entry):
    """One job from facts to record."""

    schema_version: Literal[1] = Field(1, description=f"version of this format: {SCHEMA_VERSION}")
    id: str = Field(min_length=1, description="id of the job, made where it is written")
    invented: bool = Field(False, description="true for an example; every output then says so")
    practice: Annotated[str, AfterValidator(_code_of_practice)] = Field(
        "", description="code of the practice roof that this job plays on; empty for a real unit"
    )
    units: Literal["us", "si"] = Field("us", description="units of screens and paper: us or si")
    made_with: str = Field("", description="version of Ventwright that wrote the document")
    facts: Facts
    plan: PlanSection = PlanSection()
    readings: Readings = Readings()
    verdict: VerdictSection = VerdictSection()
    record: RecordSection = RecordSection()


@dataclass(frozen=True, slots=True)
class Worked:
    """A job with everything that follows from it."""

    job: Job
    plan: Plan
    verdicts: Verdicts
    own_files: Mapping[str, bytes]


def read_job(data: object, *, lines: Lines | None = None, name: str = "", beside: Path | None = None) -> Job:
    """Read a job from plain data and check that its parts know one another.

    Raises
    ------
    Refused
        With every mistake found: its place, what was given, what is accepted.
    """
    if not isinstance(data, dict):
        raise Refused(Refusal("holds no job", "a document with facts, as `ventwright new` writes it", name))
    places = lines or {}
    try:
        present = upgraded(data)
    except Refused as refused:
        raise Refused(*_in_order(refused.refusals, places)) from None
    job, form = read_as_far(Job, present, lines=lines)
    told = () if form is None else (partial(_again, form),)
    try:
        refuse_every((*told, lambda: _refuse_strangers(job, beside)))
    except Refused as found:
        raise Refused(*_in_order(found.refusals, places), more=found.more) from None
    return job


def _again(refused: Refused) -> Never:
    raise refused


def _in_order(refusals: Iterable[Refusal], lines: Lines) -> list[Refusal]:
    """Give refusals the lines of their places, in the order of the file; one from an equipment file has its own."""
    placed = [
        refusal.at(refusal.where, refusal.line or line_of(place_of(refusal.where), lines))
        for refusal in refusals
    ]
    return sorted(placed, key=lambda refusal: refusal.line or 0)


def upgraded(
    data: dict[str, Any], migrations: Mapping[int, Migration] | None = None, to: int = SCHEMA_VERSION
) -> dict[str, Any]:
    """Bring an older document to the present schema, one version at a time.

    Raises
    ------
    Refused
        The document is of a newer version than this program, or of one it never knew.
    """
    steps = MIGRATIONS if migrations is None else migrations
    version = data.get("schema_version", FIRST_SCHEMA_VERSION)
    known = sorted({*steps, to})
    if type(version) is not int or version not in known:  # True and 1.0 equal 1, and are no versions
        newer = isinstance(version, int) and version > to
        problem = "was written by a newer Ventwright" if newer else "is no schema version"
        accepted = "an update of Ventwright" if newer else ", ".join(str(one) for one in known)
        raise Refused(Refusal(problem, accepted, "schema_version", "" if version is None else str(version)))
    while version < to:
        data = {**steps[version](data), "schema_version": version + 1}
        version += 1
    return data


def _refuse_strangers(job: Job, beside: Path | None) -> None:
    """Look for names in one part of the job that another part does not know; what hangs on a refused part is left out."""
    known = Known(job.facts, beside)
    refuse_every((
        known.look_at_plan,
        lambda: refuse_choices(job.plan.choices, known),
        lambda: refuse_entries(job.readings.entries, known),
    ))  # fmt: skip


def work(job: Job, beside: Path | None = None) -> Worked:
    """Run the stages: facts to plan, plan and readings to verdicts."""
    plan = make_plan(job.facts, choices=job.plan.choices, beside=beside)
    verdicts = with_functions(job.facts, plan, job.readings, judge(job.facts, plan, job.readings))
    return Worked(job, plan, verdicts, _own_files(job, beside))


def _own_files(job: Job, beside: Path | None) -> dict[str, bytes]:
    """Equipment files of the person's own that the facts name: without them nobody could compute the job again."""
    named = {text for text in _texts(job.facts.model_dump(mode="json")) if text.endswith(SUFFIXES)}
    paths = {name: (beside or Path()) / name for name in sorted(named)}
    return {Path(name).name: path.read_bytes() for name, path in paths.items() if path.is_file()}


def _texts(data: object) -> Iterator[str]:
    """Every text in plain data."""
    if isinstance(data, str):
        yield data
    elif isinstance(data, dict):
        yield from (text for value in data.values() for text in _texts(value))
    elif isinstance(data, list):
        yield from (text for value in data for text in _texts(value))


def job_json(job: Job) -> bytes:
    """Return the job document as JSON: what was entered, as it was typed; `ventwright` reads it again.

    It names its schema version, so that a later version of the program knows what to make of it.
    """
    entered = job.model_dump(mode="json", exclude_defaults=True, by_alias=True)
    document = {"schema_version": job.schema_version, **entered}
    return json.dumps(document, indent=2, ensure_ascii=False).encode() + b"\n"


def record_of(
    worked: Worked,
    *,
    made: datetime,
    paper: Paper = "letter",
    system: System | None = None,
    photos: Sequence[Shot] = (),
    year: ReckonedYear | None = None,
) -> dict[str, bytes]:
    """Write the record of a job.

    Parameters
    ----------
    made
        Time of writing, with its offset from UTC.
    paper
        "letter" or "a4".
    system
        Units of the record; left out, the job's own.
    photos
        Pictures to print, small enough for paper.
    year
        What it saves, where a year of weather was reckoned; else what is published stands there.

    Returns
    -------
    dict
        File name to content: record.pdf, card.pdf, record.html, record.json.

    Raises
    ------
    Refused
        ``made`` has no offset from UTC.
    """
    return write_record(subject_of(worked, system, photos, year), made=made, paper=paper)


def subject_of(
    worked: Worked, system: System | None = None, photos: Sequence[Shot] = (), year: ReckonedYear | None = None,
) -> Subject:  # fmt: skip
    """Return what a record is written from, in the units of one system or the job's own."""
    job, document = worked.job, job_json(worked.job)
    return Subject(
        job_id=job.id,
        schema_version=job.schema_version,
        invented=job.invented,
        practice=job.practice,
        facts=job.facts,
        plan=worked.plan,
        readings=job.readings,
        verdicts=worked.verdicts,
        deficiencies=job.verdict.deficiencies,
        signatures=job.record.signatures,
        next_check=job.record.next_check,
        retest_by=job.record.retest_by,
        system=system or job.units,
        document=document,
        digest=sha256(document).hexdigest(),
        made_with=f"ventwright {VERSION}",
        own_files=worked.own_files,
        photos=photos,
        year=year,
    )
