"""What is no document is refused with its line, what is one is read as YAML 1.2 or JSON mean it, and nothing hangs.

What YAML 1.2 means is in its specification, edition 1.2.2, chapter 10 (the core schema); what JSON means in RFC 8259.
"""

from __future__ import annotations

import json
from time import perf_counter
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from ventwright.document import LARGEST, read_document
from ventwright.errors import Refused

FAST = settings(derandomize=True, deadline=None, max_examples=100)

LIKE_THIS = 'accepted: lines of the form "key: value", indented with spaces.'


def sentence(text: str) -> str:
    """Return the one sentence with which a text is refused."""
    with pytest.raises(Refused) as refused:
        read_document(text, "file.yaml")
    assert len(refused.value.refusals) == 1
    return str(refused.value)


def data(text: str) -> Any:
    """Return what a text holds."""
    return read_document(text, "file.yaml")[0]


REFUSED: dict[str, tuple[str, str]] = {
    "nothing": ("", "file.yaml: is empty; accepted: a document; `ventwright new` writes one to start from."),
    "comments": (
        "# nothing\n\n# yet\n",
        "file.yaml: is empty; accepted: a document; `ventwright new` writes one to start from.",
    ),
    "a byte-order mark and nothing else": (
        "\ufeff",
        "file.yaml: is empty; accepted: a document; `ventwright new` writes one to start from.",
    ),
    "more than anybody writes": (
        "#" * (LARGEST + 1),
        "file.yaml: is too large; accepted: a file of at most 5 MB.",
    ),
    "a bracket left open": (
        "a: 1\nb: [1, 2\nc: 3\n",
        f"line 3, file.yaml: is not YAML or JSON: expected ',' or ']', but got ':'; {LIKE_THIS}",
    ),
    "a quote left open": (
        'a: 1\nb: "x\n',
        f"line 3, file.yaml: is not YAML or JSON: found unexpected end of stream; {LIKE_THIS}",
    ),
    "two colons": (
        "a: 1\nb: c: d\n",
        f"line 2, file.yaml: is not YAML or JSON: mapping values are not allowed here; {LIKE_THIS}",
    ),
    "a stray indent": (
        "a: 1\n  b: 2\n",
        f"line 2, file.yaml: is not YAML or JSON: mapping values are not allowed here; {LIKE_THIS}",
    ),
    "a tab for an indent": (
        "a:\n\tb: 1\n",
        f"line 2, file.yaml: is not YAML or JSON: a tab stands where only spaces may; {LIKE_THIS}",
    ),
    "a tab before a value": (
        "a: 1\nb:\t2\n",
        f"line 2, file.yaml: is not YAML or JSON: a tab stands where only spaces may; {LIKE_THIS}",
    ),
    "two documents": (
        "a: 1\n---\nb: 2\n",
        f"line 2, file.yaml: is not YAML or JSON: but found another document; {LIKE_THIS}",
    ),
    "a sign that no text has": (
        "a: 1\nb: x\x00y\n",
        f"line 2, file.yaml: is not YAML or JSON: a sign that no text has (U+0000); {LIKE_THIS}",
    ),
    "a bell": (
        'a: 1\n\nb: "\x07"\n',
        f"line 3, file.yaml: is not YAML or JSON: a sign that no text has (U+0007); {LIKE_THIS}",
    ),
    "a key twice": ("a: 1\nb: 2\na: 3\n", "line 3, a: stands here twice; accepted: every key once."),
    "a key twice in a part": (
        'x:\n  a: 1\n  "a": 3\n',
        "line 3, a: stands here twice; accepted: every key once.",
    ),
    "a key twice in JSON": (
        '{"x": {"a": 1,\n"a": 2}}',
        "line 2, a: stands here twice; accepted: every key once.",
    ),
    "a key twice, once as a number": (
        "1: a\n'1': b\n",
        "line 2, 1: stands here twice; accepted: every key once.",
    ),
    "a list for a key": (
        "a: 1\n? [b, c]\n: 2\n",
        "line 2: has a list or a part for a key; accepted: a word before the colon.",
    ),
    "a part for a key": (
        "{{a: 1}: 2}",
        "line 1: has a list or a part for a key; accepted: a word before the colon.",
    ),
    "an alias": (
        "a: &speed {name: high}\nb: 1\nc: *speed\n",
        "line 3, file.yaml: repeats another part of the file (*speed); accepted: every part written out where it stands.",
    ),
    "an alias for a key": (
        "&a x: 1\n*a : 2\n",
        "line 2, file.yaml: repeats another part of the file (*a); accepted: every part written out where it stands.",
    ),
    "a part merged in": (
        "a: &x {b: 1}\nc:\n  <<: *x\n",
        "line 3, file.yaml: repeats another part of the file (*x); accepted: every part written out where it stands.",
    ),
    "a part within itself": (
        "a: &x\n  - *x\n",
        "line 2, file.yaml: repeats another part of the file (*x); accepted: every part written out where it stands.",
    ),
    "an alias of nothing": (
        "a: *x\n",
        f"line 1, file.yaml: is not YAML or JSON: found undefined alias 'x'; {LIKE_THIS}",
    ),
    "half a letter": (
        '{"a": 1,\n"b": "\\ud83d"}',
        "line 2, file.yaml: holds half a letter (\\ud83d); accepted: the letter itself.",
    ),
    "half a letter in YAML": (
        'a: 1\nb: "\\uD800"\n',
        "line 2, file.yaml: holds half a letter (\\uD800); accepted: the letter itself.",
    ),
}


@pytest.mark.parametrize(("text", "expected"), REFUSED.values(), ids=REFUSED.keys())
def test_the_sentence(text: str, expected: str) -> None:
    """It names the file, the line where there is one, what is wrong, and what would be accepted."""
    assert sentence(text) == expected


LAUGHS = "a: &a [x, x, x, x, x, x, x, x, x]\n" + "".join(
    f"{this}: &{this} [{', '.join([f'*{before}'] * 9)}]\n"
    for before, this in zip("abcdefgh", "bcdefghi", strict=True)
)
"""Nine lines that would be 387 million words, were every alias written out."""

TOO_DEEP = {
    "brackets": "[" * 20_000,
    "closed brackets": "[" * 5_000 + "]" * 5_000,
    "braces": "{a: " * 5_000 + "1" + "}" * 5_000,
    "braces in JSON": '{"a": ' * 5_000 + "1" + "}" * 5_000,
    "dashes": "- " * 5_000 + "a",
    "indents": "".join(" " * depth + "a:\n" for depth in range(1_000)),
}


def test_a_small_file_that_would_fill_the_memory_is_refused_at_once() -> None:
    """Aliases of aliases are refused at the first, before anything is written out."""
    start = perf_counter()
    assert sentence(LAUGHS).startswith("line 2, file.yaml: repeats another part of the file (*a);")
    assert perf_counter() - start < 2.0  # it takes hundredths; written out it would take hours


@pytest.mark.parametrize("text", TOO_DEEP.values(), ids=TOO_DEEP.keys())
def test_what_is_nested_too_deeply_is_refused(text: str) -> None:
    """No depth of brackets or indents ends the program."""
    assert sentence(text) == (
        "file.yaml: is nested too deeply; accepted: parts within parts as `ventwright new` writes them."
    )


MEANT: dict[str, tuple[str, Any]] = {
    # YAML 1.2.2, 10.3.2: only true and false are truth values, only ~ and null are nothing
    "no": ("a: no", "no"),
    "yes": ("a: yes", "yes"),
    "on": ("a: on", "on"),
    "off": ("a: Off", "Off"),
    "true": ("a: true", True),
    "False": ("a: False", False),
    "null": ("a: null", None),
    "tilde": ("a: ~", None),
    "blank": ("a:", None),
    "a time of day": ("a: 12:30", "12:30"),
    "a long time": ("a: 1:20:30", "1:20:30"),
    "a day": ("a: 2026-11-25", "2026-11-25"),
    "a moment": ("a: 2026-11-25T09:40-08:00", "2026-11-25T09:40-08:00"),
    "a moment with a space": ("a: 2026-11-25 09:40:00", "2026-11-25 09:40:00"),
    "a whole number": ("a: 72", 72),
    "a number with a plus": ("a: +72", 72),
    "a number with a nought": ("a: 012", 12),
    "a number": ("a: 72.5", 72.5),
    "a power of ten": ("a: 1e5", 1e5),
    "a number in quotes": ('a: "72"', "72"),
    "a quantity": ("a: 72 F", "72 F"),
    "a quantity with a band": ("a: ± 0.5 F", "± 0.5 F"),
    "a share": ("a: 28 %", "28 %"),
    # what the core schema could take for a number and nobody means as one
    "a number in sixteens": ("a: 0x1F", "0x1F"),
    "a number in eights": ("a: 0o17", "0o17"),
    "a number with a line in it": ("a: 1_000", "1_000"),
    "endless": ("a: .inf", ".inf"),
    "more than a machine holds": ("a: 1e400", "1e400"),
    "no number": ("a: .nan", ".nan"),
    # a version or a tag in the file changes nothing
    "an older version": ("%YAML 1.1\n---\na: yes", "yes"),
    "an older version's time": ("%YAML 1.1\n---\na: 12:30", "12:30"),
    "a tag of truth": ("a: !!bool yes", "yes"),
    "a tag of another language": ('a: !!python/object/apply:os.system ["true"]', ["true"]),
    "a tag of text": ("a: !!str 72", "72"),
    "an anchor nobody uses": ("a: &x 72 F", "72 F"),
    "a mark at the front": ("\ufeffa: 72 F", "72 F"),
    "Windows line ends": ("a: 72 F\r\n", "72 F"),
    "several lines": ("a: |\n  one\n  two\n", "one\ntwo\n"),
}


@pytest.mark.parametrize(("text", "meant"), MEANT.values(), ids=MEANT.keys())
def test_a_word_is_what_yaml_1_2_means(text: str, meant: Any) -> None:
    """Words stay words, days stay as typed, and numbers are what everybody takes for numbers."""
    found = data(text)["a"]
    assert (found, type(found)) == (meant, type(meant))


def test_keys_are_words() -> None:
    """Whatever stands before a colon is a word, also where it looks like a number."""
    assert data("1: a\ntrue: b\n2026-11-25: c\n") == {"1": "a", "true": "b", "2026-11-25": "c"}


@pytest.mark.parametrize("text", ["- a\n- b\n", '["a", "b"]'])
def test_a_list_at_the_top_is_read(text: str) -> None:
    """Whether a list will do is for the reader of the job to say."""
    assert data(text) == ["a", "b"]


PLAIN = st.recursive(
    st.none()
    | st.booleans()
    | st.integers(-(10**15), 10**15)
    | st.floats(allow_nan=False, allow_infinity=False)
    | st.text(),
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(st.text(max_size=5), inner, max_size=3),
    max_leaves=10,
)


@FAST
@given(st.dictionaries(st.text(), PLAIN, max_size=4), st.sampled_from([None, 2, "\t"]), st.booleans())
def test_json_is_read_as_json(document: dict[str, Any], indent: int | str | None, ascii_only: bool) -> None:
    """What Python's own library writes comes back as it was: tabs, escapes, odd signs and all."""
    text = json.dumps(document, indent=indent, ensure_ascii=ascii_only)
    assert data(text) == document
    assert data("\ufeff" + text) == document


def test_json_with_every_kind_of_blank_and_escape() -> None:
    """Blanks and escapes of RFC 8259, sections 2 and 7."""
    text = (
        '\ufeff\t{"a"\n:\t"\\u00e9\\ud83d\\ude00\\/\\t\\"",\r\n"b"  : [ 1 ,-2.5e+1, null ], "c":{}, "d":[]}\n'
    )
    assert data(text) == {"a": 'é😀/\t"', "b": [1, -25.0, None], "c": {}, "d": []}


@pytest.mark.parametrize(
    ("text", "meant"),
    [
        ('{"a": 1,}', {"a": 1}),
        ("{a: 72 F, b: [x, y]}", {"a": "72 F", "b": ["x", "y"]}),
        ("{'a': 1}", {"a": 1}),
        ('{"a": 1} # a remark', {"a": 1}),
        ('["a", "b",]', ["a", "b"]),
        ('{"a": NaN}', {"a": "NaN"}),
        ('{"a": 1e999}', {"a": "1e999"}),
    ],
)
def test_what_is_almost_json_is_read_as_yaml(text: str, meant: Any) -> None:
    """A comma too many or a key without quotes is still YAML; a number that no machine holds stays text."""
    assert data(text) == meant


LINES = """\
# a remark
facts:
  unit: {tag: T-1,
    serves: shop}

  speeds:
    - name: high
      air: 4000 cfm
    -
      name: low
note: |
  one
  two
last: [a,
  b]
"""

WHERE = {
    (): 2,
    ("facts",): 2,
    ("facts", "unit"): 3,
    ("facts", "unit", "tag"): 3,
    ("facts", "unit", "serves"): 4,
    ("facts", "speeds"): 6,
    ("facts", "speeds", 0): 7,
    ("facts", "speeds", 0, "name"): 7,
    ("facts", "speeds", 0, "air"): 8,
    ("facts", "speeds", 1): 10,
    ("facts", "speeds", 1, "name"): 10,
    ("note",): 11,
    ("last",): 14,
    ("last", 0): 14,
    ("last", 1): 15,
}


@pytest.mark.parametrize("text", [LINES, LINES.replace("\n", "\r\n")], ids=["as here", "as in Windows"])
def test_every_place_has_its_line(text: str) -> None:
    """A part has the line of its key, an item the line where it begins, counted from 1 as editors count."""
    assert read_document(text, "file.yaml")[1] == WHERE


def test_every_place_of_json_has_its_line() -> None:
    """The same in JSON, whatever the indent."""
    document = {"facts": {"tag": "T-1", "speeds": [{"name": "high"}, {"name": "low"}]}, "note": ["x"]}
    _, lines = read_document(json.dumps(document, indent="\t"), "file.json")
    assert lines == {
        (): 1,
        ("facts",): 2,
        ("facts", "tag"): 3,
        ("facts", "speeds"): 4,
        ("facts", "speeds", 0): 5,
        ("facts", "speeds", 0, "name"): 6,
        ("facts", "speeds", 1): 8,
        ("facts", "speeds", 1, "name"): 9,
        ("note",): 13,
        ("note", 0): 14,
    }


@FAST
@given(st.text(max_size=60) | st.text("{}[]:,-\"'&*!|>#%@`\\ \n\tab1~?<", max_size=40))
def test_any_text_is_read_or_refused(text: str) -> None:
    """Whatever stands in a file, it becomes data or one refusal."""
    try:
        found, lines = read_document(text, "file.yaml")
    except Refused:
        return
    assert isinstance(found, (dict, list, str, int, float, bool, type(None)))
    assert all(
        1 <= line <= text.count("\n") + text.count("\r") + text.count("\x85") + 3 for line in lines.values()
    )
