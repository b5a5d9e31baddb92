"""The description of the interface for programs, made from one list of operations and the models of its messages."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import Any

from pydantic import BaseModel
from pydantic.json_schema import models_json_schema

from ventwright.version import VERSION
from ventwright.web.shop.messages import (
    JobDocument,
    JobKept,
    JobRows,
    PhotoKept,
    PhotoRows,
    Problem,
    SyncAnswered,
    SyncAsked,
)

BodyKind = type[BaseModel] | str
"""A model, or the kind of a file such as "image/jpeg"."""

REFERENCE = "#/components/schemas/{model}"


@dataclass(frozen=True, slots=True)
class Operation:
    """One thing that a program may ask for. ``asked`` are parameters after the question mark, with their schemas."""

    method: str
    path: str
    summary: str
    gives: dict[int, BodyKind]
    takes: BodyKind | None = None
    asked: dict[str, dict[str, Any]] = field(default_factory=dict)


TEXT = {"type": "string", "maxLength": 200}

OPERATIONS: tuple[Operation, ...] = (
    Operation("get", "/api/jobs", "List the jobs that one sees", {200: JobRows}, asked={"q": TEXT, "archived": {"type": "boolean"}}),
    Operation("post", "/api/jobs", "Take a job in", {200: JobKept, 201: JobKept, 400: Problem, 409: Problem, 422: Problem}, JobDocument, {"how": {"type": "string", "enum": ["new", "merge", "copy"]}}),
    Operation("get", "/api/jobs/{job}", "Read a job, or take it along", {200: JobDocument, 404: Problem}),
    Operation("get", "/api/jobs/{job}/photos", "List the photos of a job", {200: PhotoRows, 404: Problem}),
    Operation("post", "/api/jobs/{job}/photos", "Add a photo to a job", {200: PhotoKept, 201: PhotoKept, 404: Problem, 422: Problem}, "image/jpeg", {"caption": TEXT, "stage": TEXT}),
    Operation("get", "/api/jobs/{job}/photos/{photo}", "Take a picture along", {200: "image/jpeg", 404: Problem}),
    Operation("post", "/sync", "Exchange changes with a device", {200: SyncAnswered, 400: SyncAnswered, 422: SyncAnswered}, SyncAsked),
)  # fmt: skip
"""Everything that programs may ask for."""

ALWAYS: dict[int, BodyKind] = {401: Problem, 403: "text/plain", 413: "text/plain", 429: Problem}
"""What every operation may answer: no token (403 where a page of another site could have asked), too large, too often."""


def description(operations: Sequence[Operation]) -> dict[str, Any]:
    """Describe operations as OpenAPI 3.1."""
    models = {one for each in operations for one in (*each.gives.values(), *ALWAYS.values(), each.takes) if isinstance(one, type)}  # fmt: skip
    _, schemas = models_json_schema(
        [(one, "validation") for one in sorted(models, key=lambda one: one.__name__)], ref_template=REFERENCE
    )
    paths: dict[str, dict[str, Any]] = {}
    for one in operations:
        paths.setdefault(one.path, {})[one.method] = _operation(one)
    return {
        "openapi": "3.1.0",
        "info": {"title": "Ventwright", "version": VERSION, "description": "Jobs of a shop, for programs. A token is made on the page of an account."},
        "paths": paths,
        "components": {"schemas": schemas["$defs"], "securitySchemes": {"device": {"type": "http", "scheme": "bearer"}}},
        "security": [{"device": []}],
    }  # fmt: skip


def _operation(one: Operation) -> dict[str, Any]:
    in_path = [part[1:-1] for part in one.path.split("/") if part.startswith("{")]
    parameters = [
        {"name": name, "in": "path", "required": True, "schema": {"type": "string", "minLength": 1, "maxLength": 200}} for name in in_path
    ] + [{"name": name, "in": "query", "schema": schema} for name, schema in one.asked.items()]  # fmt: skip
    answers = {
        str(status): {"description": "Done" if status < 400 else "Not done", "content": _content(body)}
        for status, body in {**one.gives, **ALWAYS}.items()
    }
    taken = {"requestBody": {"required": True, "content": _content(one.takes)}} if one.takes else {}
    return {"summary": one.summary, "parameters": parameters, "responses": answers, **taken}


def _content(body: BodyKind) -> dict[str, Any]:
    if isinstance(body, str):
        return {body: {"schema": {"type": "string", "format": "binary"}}}
    return {"application/json": {"schema": {"$ref": REFERENCE.format(model=body.__name__)}}}
