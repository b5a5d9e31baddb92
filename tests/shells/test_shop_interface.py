"""The interface for programs: its description is true, holds against whatever is sent, and needs a device's token."""

from __future__ import annotations

import io
from pathlib import Path
from typing import Any

import pytest
import schemathesis
from hypothesis import HealthCheck, Phase, given, settings, strategies
from schemathesis import GenerationMode
from schemathesis.checks import not_a_server_error
from schemathesis.specs.openapi.checks import (
    content_type_conformance,
    response_schema_conformance,
    status_code_conformance,
)
from tests.shells.shop_people import House

from ventwright.web import make_app
from ventwright.web.shop.application import shop_routes
from ventwright.web.shop.openapi import OPERATIONS, Operation

EXAMPLES = 20
"""Requests made up for each operation."""


@pytest.fixture
def house(tmp_path: Path) -> House:
    return House(tmp_path)


def test_every_route_for_programs_is_described_and_no_other() -> None:
    described = {(one.path, one.method) for one in OPERATIONS}
    routes = {
        (route.path, method.lower())  # type: ignore[attr-defined]
        for route in shop_routes()
        for method in route.methods  # type: ignore[attr-defined]
        if route.path.startswith("/api/") and method != "HEAD"  # type: ignore[attr-defined]
    }
    assert described == routes | {("/sync", "post")}


def test_a_job_goes_out_and_comes_in(house: House) -> None:
    tim = house.person("tim")
    job = house.job(tim, "R-1")
    _, program = house.device(tim)
    document = program.get(f"/api/jobs/{job}")
    assert document.headers["cache-control"] == "no-store"
    assert document.json()["facts"]["unit"]["tag"] == "R-1"
    assert program.ask("POST", "/api/jobs", content=document.content).status_code == 409
    merged = program.ask("POST", "/api/jobs?how=merge", content=document.content)
    assert (merged.status_code, merged.json()) == (200, {"id": job})
    copied = program.ask("POST", "/api/jobs?how=copy", content=document.content)
    assert copied.status_code == 201
    assert copied.json()["id"] != job
    listed = program.get("/api/jobs?q=larkspur").json()["jobs"]
    assert {one["id"] for one in listed} == {job, copied.json()["id"]}
    assert program.get("/api/jobs?archived=true").json() == {"jobs": []}
    for body in (b"\xff", b"[]", b"{}", b'{"facts": 1}'):
        answer = program.ask("POST", "/api/jobs", content=body)
        assert answer.status_code in {400, 422}
        assert answer.json()["problem"]


def test_a_job_of_another_is_neither_merged_nor_overwritten(house: House) -> None:
    tim, uma = house.person("tim"), house.person("uma")
    job = house.job(uma, "R-1")
    _, program = house.device(tim)
    _, hers = house.device(uma)
    document = hers.get(f"/api/jobs/{job}").text.replace("Larkspur Row", "Taken Over")
    for how in ("new", "merge"):
        answer = program.ask("POST", f"/api/jobs?how={how}", content=document)
        assert answer.status_code == 422
        assert "Larkspur" not in answer.text
    assert "Taken Over" not in hers.get(f"/api/jobs/{job}").text


def test_a_photo_goes_in_and_comes_out(house: House) -> None:
    from PIL import Image

    tim, uma = house.person("tim"), house.person("uma")
    job = house.job(tim, "R-1")
    _, program = house.device(tim)
    _, stranger = house.device(uma)
    drawn = io.BytesIO()
    Image.new("RGB", (64, 48), (200, 120, 40)).save(drawn, "jpeg")
    path = f"/api/jobs/{job}/photos"
    made = program.ask("POST", f"{path}?caption=Blades+shut&stage=wire", content=drawn.getvalue())
    assert made.status_code == 201, made.text
    name = made.json()["id"]
    assert program.ask("POST", path, content=drawn.getvalue()).json() == {"id": name}
    [row] = program.get(path).json()["photos"]
    assert (row["id"], row["caption"], row["is_here"]) == (name, "Blades shut", True)
    assert program.get(f"{path}/{name}").headers["content-type"] == "image/jpeg"
    assert program.ask("POST", path, content=b"no picture").status_code == 422
    for asked in (path, f"{path}/{name}"):
        assert stranger.get(asked).status_code == 404
    assert stranger.ask("POST", path, content=drawn.getvalue()).status_code == 404


def test_a_device_that_asks_too_often_waits(house: House, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("ventwright.web.shop.limits.ASKED_BY_DEVICE", 3)
    tim = house.person("tim")
    _, program = house.device(tim)
    codes = [program.get("/api/jobs").status_code for _ in range(4)]
    assert codes == [200, 200, 200, 429]
    assert program.ask("POST", "/sync", json={}).json()["problem"].startswith("This was tried too often.")


@pytest.mark.parametrize("mode", [GenerationMode.POSITIVE, GenerationMode.NEGATIVE], ids=["fit", "unfit"])
@pytest.mark.parametrize("operation", OPERATIONS, ids=lambda one: f"{one.method} {one.path}")
def test_it_holds_against_whatever_is_sent(house: House, operation: Operation, mode: GenerationMode) -> None:
    """Requests made up from the description: no failure of ours, and no answer that is not described."""
    tim = house.person("tim")
    job = house.job(tim, "R-1")
    _, program = house.device(tim)
    app = make_app(house.jobs, shop=house.shop, hosts=("testserver",))
    described = schemathesis.openapi.from_asgi("/openapi.json", app)[operation.path][operation.method]
    checks = [
        not_a_server_error,
        status_code_conformance,
        content_type_conformance,
        response_schema_conformance,
    ]

    @given(case=described.as_strategy(generation_mode=mode), real=strategies.booleans())
    @settings(max_examples=EXAMPLES, deadline=None, database=None, derandomize=True, phases=[Phase.generate], suppress_health_check=list(HealthCheck))  # fmt: skip
    def holds(case: schemathesis.Case[Any], real: bool) -> None:
        if real and "job" in case.path_parameters:
            case.path_parameters["job"] = job
        answer = case.call(headers=program.headers)
        case.validate_response(answer, checks=checks)

    holds()
