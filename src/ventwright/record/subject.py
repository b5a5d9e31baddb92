"""What a record is about: the job's entered parts, and the plan and verdicts that follow from them."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from typing import TYPE_CHECKING

from ventwright.errors import Refused
from ventwright.facts import Facts
from ventwright.plan import Plan
from ventwright.quantity import System
from ventwright.readings import Readings
from ventwright.record.content import Shot
from ventwright.record.signature import Signature
from ventwright.verdict import Verdicts
from ventwright.verdict.deficiency import Deficiency
from ventwright.words import Amount, Words

if TYPE_CHECKING:
    from ventwright.verdict.savings.owner import OwnersPage

PRACTICE = "practice, no real unit"


@dataclass(frozen=True, slots=True)
class ReckonedYear:
    """What a year of weather came to, as the record tells of it: sentences, and what each control saves as a picture."""

    owner: OwnersPage
    picture: str = ""
    """SVG in the units of the record; empty where nothing was reckoned."""


@dataclass(frozen=True, slots=True)
class Subject:
    """Everything a record is written from.

    ``document`` is the job as JSON, ``digest`` its SHA-256; ``own_files`` are the equipment files beside the job that
    it names.
    """

    job_id: str
    schema_version: int
    invented: bool
    facts: Facts
    plan: Plan
    readings: Readings
    verdicts: Verdicts
    deficiencies: Sequence[Deficiency]
    signatures: Sequence[Signature]
    next_check: str
    retest_by: date | None
    system: System
    document: bytes
    digest: str
    made_with: str
    own_files: Mapping[str, bytes]
    photos: Sequence[Shot] = ()
    practice: str = ""
    """Code of the practice roof; empty for a real unit."""
    year: ReckonedYear | None = None
    """None where no year was reckoned: what is published of the climate zone stands for it."""

    def say(self, thing: Amount | Words | None) -> str:
        """Show an amount or a sentence in the record's units; nothing as a dash."""
        return "–" if thing is None else thing.show(self.system)

    def say_setting(self, label: str, value: str) -> str:
        """Show a setting of the kit in the record's units; as it was entered where the kit has no such setting."""
        try:
            return self.plan.kit.setting(label).read(value).show(self.system)
        except Refused:
            return value

    @property
    def not_real(self) -> str:
        """Say that a unit is practice, or an example; nothing for a real one."""
        return PRACTICE if self.practice else "invented example" if self.invented else ""

    @property
    def title_line(self) -> str:
        """Unit and site, and that it is invented where it is."""
        invented = f" – {self.not_real}" if self.not_real else ""
        return f"Unit {self.facts.unit.tag}, {self.facts.site.name}{invented}"
