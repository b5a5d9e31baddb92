"""What the interface for programs takes and gives: the models from which it is described."""

from __future__ import annotations

from datetime import datetime
from typing import Annotated, Any

from pydantic import BaseModel, ConfigDict, Field

Mark = Annotated[
    list[int | str], Field(min_length=2, max_length=2, description="how far it came: a number and an id")
]


class Problem(BaseModel):
    """Why something was not done, in a sentence."""

    problem: str


class JobRow(BaseModel):
    """A job as a list shows it. The revision changes with every change."""

    id: str
    site: str
    tag: str
    revision: int
    created: datetime
    updated: datetime
    archived: bool


class JobRows(BaseModel):
    """Jobs, the one changed last first."""

    jobs: list[JobRow]


class JobDocument(BaseModel):
    """The document of a job; `ventwright schema` prints the whole of its schema."""

    model_config = ConfigDict(extra="allow")

    facts: dict[str, Any] = Field(default_factory=dict)


class JobKept(BaseModel):
    """The id under which a job is kept."""

    id: str


class PhotoRow(BaseModel):
    """What is said of a photo, and whether the picture itself is kept here."""

    id: str
    at: str
    stage: str
    caption: str
    is_here: bool


class PhotoRows(BaseModel):
    """The photos of a job, in the order in which they came."""

    photos: list[PhotoRow]


class PhotoKept(BaseModel):
    """The name of a picture: the SHA-256 of its content as it is kept."""

    id: str


class SyncAsked(BaseModel):
    """What a device sends: what it entered, and how far it came with what this store has."""

    protocol: int
    # `schema` is the name on the wire
    schema_version: int = Field(0, alias="schema")
    store: str = ""
    device: str = ""
    name: str = ""
    mark: Mark
    changes: list[dict[str, Any]] = Field(default_factory=list)


class SyncAnswered(BaseModel):
    """What this store has and the device lacks; or why nothing was exchanged."""

    protocol: int
    schema_version: int = Field(0, alias="schema")
    store: str = ""
    mark: Mark | None = None
    changes: list[dict[str, Any]] | None = None
    more: bool | None = None
    refused: dict[str, str] | None = None
    begin_again: bool | None = None
    problem: str | None = None
