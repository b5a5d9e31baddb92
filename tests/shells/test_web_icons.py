"""The icons of the app: as they are drawn from the one picture, whole where a phone cuts the rim off, named in both manifests."""

from __future__ import annotations

import importlib.util
import io
import json
from importlib.resources import files
from math import hypot
from pathlib import Path
from types import ModuleType
from typing import Any

import pytest
from PIL import Image, ImageChops
from tests.web_client import Client

SAFE = 0.4
"""Radius of the circle that no mask cuts, by the width of the icon (W3C, Web Application Manifest, safe zone)."""


def drawing() -> ModuleType:
    """The script that draws them."""
    path = Path(__file__).parents[2] / "docs" / "make_icons.py"
    spec = importlib.util.spec_from_file_location("make_icons", path)
    assert spec
    assert spec.loader
    made = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(made)
    return made


def held(name: str) -> Image.Image:
    content = files("ventwright.web").joinpath("static", name).read_bytes()
    return Image.open(io.BytesIO(content)).convert("RGB")


@pytest.mark.parametrize("name", ["icon-192.png", "icon-512.png", "icon-cut-512.png", "icon-180.png"])
def test_they_are_drawn_from_the_one_picture(name: str) -> None:
    """To the pixel, but for how a library of another version smooths edges."""
    script = drawing()
    wanted = script.drawn(*script.ICONS[name])
    assert held(name).size == wanted.size
    assert max(high for _, high in ImageChops.difference(held(name), wanted).getextrema()) < 8  # type: ignore[misc]


def test_nothing_of_the_drawing_is_cut_off() -> None:
    """Every pixel that is not the ground lies in the safe circle; in the other it does not, and that one is not cut."""
    found = {}
    for name in ("icon-512.png", "icon-cut-512.png"):
        image = held(name)
        ground = image.getpixel((0, 0))
        found[name] = max(
            hypot(x - 255.5, y - 255.5) / 512
            for x in range(0, 512, 2)
            for y in range(0, 512, 2)
            if image.getpixel((x, y)) != ground
        )
    assert found["icon-cut-512.png"] <= SAFE < found["icon-512.png"]


def test_both_manifests_name_them(tmp_path: Path) -> None:
    """With their sizes, and each is there."""
    client = Client(tmp_path)
    told: list[dict[str, Any]] = client.get("/manifest.webmanifest").json()["icons"]
    text = files("ventwright.web.on_phone").joinpath("site", "manifest.webmanifest").read_text()
    on_phone: list[dict[str, Any]] = json.loads(text)["icons"]
    for ours, theirs in zip(told, on_phone, strict=True):
        answer = client.get(ours["src"])
        assert answer.status_code == 200
        assert answer.headers["content-type"] == ours["type"]
        name = ours.pop("src").rpartition("/")[2]
        assert theirs.pop("src") == f"./files/EDITION_OF_FILES/{name}"
        assert ours == theirs
        if name.endswith(".png"):
            assert "{}x{}".format(*held(name).size) == ours["sizes"]
