"""Every page that can be reached, and every form on it: found by following links as a person would."""

from __future__ import annotations

from collections import deque
from dataclasses import dataclass, field
from html.parser import HTMLParser
from urllib.parse import urljoin, urlsplit

import httpx
from starlette.routing import Match, Route

from ventwright.web.app import routes

ROUTES = [one for one in routes() if isinstance(one, Route)]


@dataclass(slots=True)
class Field:
    """One control of a form: its name, what stands in it, whether a person types into it, and whether a number."""

    name: str
    value: str = ""
    typed: bool = False
    number: bool = False


@dataclass(slots=True)
class Form:
    """A form as it came, with everything that it would send."""

    page: str
    action: str
    method: str
    enctype: str = ""
    fields: list[Field] = field(default_factory=list)
    button: dict[str, str] = field(default_factory=dict)

    def sends(self) -> dict[str, str]:
        """Return what it sends untouched by its first button."""
        pressed = {self.button["name"]: self.button.get("value", "")} if "name" in self.button else {}
        return {one.name: one.value for one in self.fields} | pressed

    @property
    def asks(self) -> tuple[str, tuple[str, ...]]:
        """Where it goes and what it asks: forms alike in both are one form."""
        return route_of(urlsplit(self.action).path, "POST"), tuple(sorted(one.name for one in self.fields))


@dataclass(slots=True)
class Seen:
    """A page as it was answered."""

    path: str
    links: list[str] = field(default_factory=list)
    forms: list[Form] = field(default_factory=list)


class _Reader(HTMLParser):
    """Collects links and forms."""

    def __init__(self, path: str) -> None:
        super().__init__()
        self.seen = Seen(path)
        self._form: Form | None = None
        self._choosing = ""
        self._long = ""
        self._option: dict[str, str] | None = None

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        given = {name: value or "" for name, value in attrs}
        if tag == "a" and "href" in given:
            self.seen.links.append(urljoin(self.seen.path, given["href"]))
        elif tag == "form":
            action = urljoin(self.seen.path, given.get("action") or self.seen.path)
            self._form = Form(self.seen.path, action, given.get("method", "get"), given.get("enctype", ""))
            self.seen.forms.append(self._form)
            if self._form.method == "get":
                self.seen.links.append(action)
        elif self._form is not None:
            self._control(self._form, tag, given)

    def _control(self, form: Form, tag: str, given: dict[str, str]) -> None:
        name, kind, value = given.get("name", ""), given.get("type", ""), given.get("value", "")
        if tag == "textarea" and name:
            form.fields.append(Field(name, typed=True))
            self._long = name
        elif tag == "select" and name:
            form.fields.append(Field(name))
            self._choosing = name
        elif tag == "option" and self._choosing:
            self._option = given
            self._chosen(form, value)
        elif tag == "button":
            self._button(form, given)
        elif tag == "input" and name:
            if kind in {"radio", "checkbox"}:
                if "checked" in given:
                    form.fields.append(Field(name, value))
            else:
                typed = kind not in {"hidden", "file", "submit"}
                form.fields.append(Field(name, value, typed, "data-pad" in given))

    def _button(self, form: Form, given: dict[str, str]) -> None:
        """Note the first button, which sends the form, and where another would lead."""
        if "formaction" in given and form.method == "get":
            self.seen.links.append(urljoin(self.seen.path, given["formaction"]))
        elif given.get("type") != "button" and not form.button:
            form.button = {"type": "submit", **given}

    def _chosen(self, form: Form, value: str) -> None:
        """Let the first option stand, or the one that is selected."""
        held = next(one for one in form.fields if one.name == self._choosing)
        if self._option is not None and (not held.value or "selected" in self._option):
            held.value = value

    def handle_data(self, data: str) -> None:
        if self._form is None:
            return
        if self._long:
            self._form.fields[-1].value += data
        elif self._option is not None and "value" not in self._option:
            self._chosen(self._form, data.strip())

    def handle_endtag(self, tag: str) -> None:
        if tag == "form":
            self._form = None
        elif tag == "select":
            self._choosing = ""
        elif tag == "option":
            self._option = None
        elif tag == "textarea":
            self._long = ""


def read(path: str, text: str) -> Seen:
    """Read a page's links and forms."""
    reader = _Reader(path)
    reader.feed(text)
    return reader.seen


def route_of(path: str, method: str = "GET") -> str:
    """Return the route that answers a path, such as "/jobs/{job}/prove/{step}"."""
    scope = {"type": "http", "method": method, "path": path, "root_path": "", "headers": []}
    return next((one.path for one in ROUTES if one.matches(scope)[0] is Match.FULL), "")


MANY = 40
"""Pages of one route whose address chooses other questions: all of them are looked at."""


SAYS_HOW_TO_ADD_IT = {"/phone/"}
"""Where a server says what it was started without: it answers 404 with a page."""


def _most(route: str, each: int) -> int:
    return MANY if route.endswith(("{section}", "{kind}", "/find")) else each


def crawl(client: httpx.Client, start: str, *, each: int = 2, within: str = "") -> dict[str, list[Seen]]:
    """Follow links from a page and return pages by route.

    Parameters
    ----------
    each
        Pages looked at of one route whose pages ask the same questions.
    within
        Beginning that a path must have; left out, the first one.
    """
    found: dict[str, list[Seen]] = {}
    asked: set[str] = set()
    waiting = deque([start])
    while waiting:
        path = waiting.popleft()
        route = route_of(urlsplit(path).path)
        if path in asked or len(found.get(route, ())) >= _most(route, each):
            continue
        asked.add(path)
        answer = client.get(path)
        assert answer.status_code == 200 or path in SAYS_HOW_TO_ADD_IT, f"{path}: {answer.status_code}"
        if not answer.headers["content-type"].startswith("text/html"):
            continue
        seen = read(path, answer.text)
        found.setdefault(route, []).append(seen)
        for link in seen.links:
            parts = urlsplit(link)
            if not parts.netloc and parts.path.startswith(within or start):
                waiting.append(parts.path + (f"?{parts.query}" if parts.query else ""))
    return found
