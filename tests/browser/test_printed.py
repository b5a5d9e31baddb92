"""Pages on paper: nothing runs over the edge, no button or field is printed, every word of the page is there."""

from __future__ import annotations

import io
import re
from unicodedata import normalize
from urllib.parse import quote

from playwright.sync_api import Browser
from pypdf import PdfReader
from tests.browser.conftest import SCREENS
from tests.browser.looking import SHOTS
from tests.browser.served import Served
from tests.shells.test_web_photos import photo

ACROSS = 698
"""Points of CSS, 96 to the inch, between margins of 0.5 in on A4, the narrower of the two usual papers (210 mm)."""

WAIT = 90_000
"""Milliseconds in which the savings are reckoned, on a machine that is busy with other tests."""

ON_PAPER = """() => {
  const over = [], pressed = [], shown = (one) => one.checkVisibility({ visibilityProperty: true });
  for (const one of document.querySelectorAll("button, input:not([type=hidden]), select, textarea, .button, .skip, .stages")) if (shown(one) && one.getBoundingClientRect().width > 1) pressed.push(`${one.tagName} ${one.textContent.trim() || one.name || one.className}`);
  const walk = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT), range = document.createRange();
  while (walk.nextNode()) {
    const text = walk.currentNode;
    if (!text.data.trim() || text.parentElement.closest("svg, script, style, .unseen") || !shown(text.parentElement)) continue;
    range.selectNodeContents(text);
    const box = range.getBoundingClientRect();
    if (box.right > innerWidth + 1 || box.left < -1) over.push(text.data.trim().slice(0, 60));
  }
  for (const one of document.querySelectorAll("main svg, main img, body > svg, table")) if (shown(one) && one.getBoundingClientRect().right > innerWidth + 1) over.push(one.tagName);
  for (const one of document.querySelectorAll(".unseen")) one.remove();
  return { over, pressed, words: (document.querySelector("main") || document.body).innerText };
}"""

PAGES = {
    "record": "/jobs/{job}/record/page",
    "plan": "/jobs/{job}/plan",
    "settings": "/jobs/{job}/plan/settings",
    "proof": "/jobs/{job}/prove",
    "wiring": "/jobs/{job}/wire/drawing",
    "photos": "/jobs/{job}/photos",
    "put back": "/jobs/{job}/restore",
    "site": "/site?name={site}",
    "kit": "/office/kits/two-speed-dry-bulb",
    "standards": "/standards",
    "owner": "/jobs/{job}/savings/owner",
}


def test_what_is_printed(served: Served, browser: Browser) -> None:
    """Each page from a laptop's print command; the sheets are left for people to look at."""
    job = served.with_demo()
    files = {"chosen": ("a.jpg", photo(), "image/jpeg")}
    served.client.post(f"/jobs/{job}/photos", data={"once": "f" * 32, "caption": "seal whole"}, files=files)
    served.client.get(PAGES["owner"].format(job=job))  # the reckoning goes on while the others are looked at
    context = browser.new_context(**SCREENS["laptop"])
    tab = context.new_page()
    tab.set_viewport_size({"width": ACROSS, "height": 900})
    tab.emulate_media(media="print")
    amiss = {}
    for name, path in PAGES.items():
        tab.goto(served.address + path.format(job=job, site=quote("Larkspur Row")))
        if name == "owner":
            tab.locator(".owner").wait_for(timeout=WAIT)
        found = tab.evaluate(ON_PAPER)
        pdf = tab.pdf(
            format="A4", margin={"top": "0.5in", "bottom": "0.5in", "left": "0.5in", "right": "0.5in"}
        )
        SHOTS.mkdir(parents=True, exist_ok=True)
        (SHOTS / f"printed-{name}.pdf").write_bytes(pdf)
        wrong = [*found["over"], *found["pressed"], *_lacking(found["words"], pdf)]
        if wrong:
            amiss[name] = wrong
    context.close()
    assert amiss == {}


def _lacking(words: str, pdf: bytes) -> list[str]:
    """Return the lines of a page that are not on its sheets; letters alone are compared, however lines break there."""
    printed = _letters(" ".join(sheet.extract_text() for sheet in PdfReader(io.BytesIO(pdf)).pages))
    return [line for line in words.splitlines() if _letters(line) not in printed]


def _letters(text: str) -> str:
    return re.sub(r"[^a-z0-9]+", "", normalize("NFKC", text).lower())
