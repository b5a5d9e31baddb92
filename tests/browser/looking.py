"""What a page must be before it is handed to a gloved thumb in the sun: measured in the browser."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from axe_playwright_python.sync_playwright import Axe  # type: ignore[import-untyped]
from playwright.sync_api import BrowserContext, Page

SHOTS = Path(__file__).parents[2] / "build" / "screenshots"
"""Where screenshots are left for people to look at."""

RULES = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"]

LOOK = """() => {
  const wrong = [], shown = (one) => one.checkVisibility({ visibilityProperty: true }) && !one.closest(".skip");
  const words = (one) => `${one.tagName.toLowerCase()} "${(one.textContent || one.name || "").trim().replace(/\\s+/g, " ").slice(0, 50)}"`;
  const needed = document.documentElement.scrollWidth;
  if (needed > innerWidth) {
    const wide = [...document.querySelectorAll("main *")].filter((one) => shown(one) && !one.closest(".scroll, .plot.wide, svg") && one.getBoundingClientRect().right > innerWidth + 1);
    wrong.push(`scrolls sideways: needs ${needed} of ${innerWidth}: ${wide.slice(0, 3).map(words)}`);
  }
  // Text links inside a sentence are what the guidelines leave out; they are held to the line's own height.
  const within = (one) => one.matches("a") && getComputedStyle(one).display === "inline";
  const boxes = [];
  for (const one of document.querySelectorAll("a[href], button, input:not([type=hidden]), select, textarea, summary, label:has(input)")) {
    if (!shown(one) || one.closest("svg")) continue;
    if (one.matches("input[type=radio], input[type=checkbox]") && one.closest("label")) continue;
    const box = one.getBoundingClientRect();
    if (box.width <= 1) continue;
    if (within(one)) {
      if (one.closest("p, li, td, th, dd, figcaption, label, span") === null) wrong.push(`a link outside a sentence is not ${48} px high: ${words(one)}`);
      else if (one.closest("p, li, td, th, dd, figcaption")?.textContent.trim() === one.textContent.trim() && box.height < 44) wrong.push(`a link that is all of its line is ${Math.round(box.height)} px high: ${words(one)}`);
      continue;
    }
    if (box.height < 47.5 || (box.width < 47.5 && !one.matches("summary"))) wrong.push(`${Math.round(box.width)}x${Math.round(box.height)} px: ${words(one)}`);
    if (one.matches(".first") && box.height < 56) wrong.push(`the first action is ${Math.round(box.height)} px high`);
    if (one.matches("button, .button, .choice")) boxes.push([one, box]);
  }
  for (const [index, [one, box]] of boxes.entries()) for (const [other, second] of boxes.slice(index + 1)) {
    if (one.contains(other) || other.contains(one)) continue;
    const across = Math.max(box.left, second.left) - Math.min(box.right, second.right), down = Math.max(box.top, second.top) - Math.min(box.bottom, second.bottom);
    if (Math.max(across, down) < 7.5) wrong.push(`${Math.round(Math.max(across, down))} px between ${words(one)} and ${words(other)}`);
  }
  const walk = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT);
  const small = new Set();
  while (walk.nextNode()) {
    const one = walk.currentNode.parentElement;
    if (!walk.currentNode.data.trim() || one.closest("svg, script, .unseen, option, datalist") || !shown(one)) continue;
    const size = parseFloat(getComputedStyle(one).fontSize);
    if (size < 16) small.add(`text of ${size} px: ${words(one)}`);
  }
  const body = parseFloat(getComputedStyle(document.body).fontSize);
  if (body < 18) wrong.push(`the page's own text is ${body} px`);
  if (document.querySelectorAll("main h1").length !== 1) wrong.push(`${document.querySelectorAll("main h1").length} first headings`);
  const firsts = [...document.querySelectorAll("main .first")].filter(shown).length;
  if (firsts > 1) wrong.push(`${firsts} first actions`);
  return [...wrong, ...small];
}"""


class Watched:
    """A tab whose console, failed requests and policy violations are kept."""

    def __init__(self, context: BrowserContext) -> None:
        self.tab: Page = context.new_page()
        self.complaints: list[str] = []
        self._rules = Axe()
        self.tab.on("console", self._said)
        self.tab.on("pageerror", lambda failure: self.complaints.append(f"script: {failure}"))

    def _said(self, message: Any) -> None:
        if message.type in {"error", "warning"}:
            self.complaints.append(f"{message.type}: {message.text}")

    def open(self, address: str) -> None:
        """Open a page whole."""
        self.tab.goto(address, wait_until="load")

    def amiss(self, *, by_rules: bool = True) -> list[str]:
        """Return everything that is not as it must be on the present page, by measure and by the guidelines' rules."""
        found = self.tab.evaluate(LOOK)
        if by_rules:
            options = {"runOnly": RULES, "resultTypes": ["violations"]}
            for one in self._rules.run(self.tab, options=options).response["violations"]:
                where = "; ".join(str(node["target"]) for node in one["nodes"][:3])
                found.append(f"{one['id']}: {one['help']} ({where})")
        found += self.complaints
        self.complaints = []
        return list(found)


def keep_picture(tab: Page, name: str) -> None:
    """Leave a picture of the whole page for people to look at."""
    SHOTS.mkdir(parents=True, exist_ok=True)
    tab.screenshot(path=SHOTS / f"{name}.png", full_page=True)
