"""What is printed in the stead of a character that a typeface does not have."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from ventwright.record.letters import clean, printable, unparted, windows_1252
from ventwright.web.unparted_page import unparted_page


@pytest.mark.parametrize(
    ("text", "printed"),
    [
        ("± ° × ² µ ½ “ ” ’ – é", "± ° × ² µ ½ “ ” ’ – é"),  # windows-1252 has them all
        ("≤ 75 °F", "at most 75 °F"),
        ("x≤5", "x at most 5"),
        ("≥23 °F", "at least 23 °F"),
        ("−5", "-5"),
        ("R − O", "R - O"),
        ("Δ 16 °F", "difference 16 °F"),
        ("ΔT", "difference T"),
        ("10 kΩ", "10 kohm"),
        ("10 k\N{OHM SIGN}", "10 kohm"),
        ("< 1 Ω", "< 1 ohm"),
        ("Ω/Ω", "ohm/ohm"),
        ("a → b", "a to b"),
        ("CO₂", "CO2"),
        ("Čapek", "Capek"),
        ("e\N{COMBINING ACUTE ACCENT}", "é"),
        ("1\N{NARROW NO-BREAK SPACE}120", "1 120"),
        ("漢字", "??"),
        ("soft\N{SOFT HYPHEN}hyphen", "softhyphen"),
        ("a\tb\r\nc\x00", "a b\nc"),
    ],
)
def test_words_stand_for_signs(text: str, printed: str) -> None:
    """Each sign has a word or a plainer sign, with a space where it would run into a neighbour."""
    assert printable(text, windows_1252) == printed


@given(st.text())
def test_the_result_can_always_be_printed(text: str) -> None:
    """Whatever comes in, what comes out is encodable in the standard fonts and has no control character."""
    printed = printable(text, windows_1252)
    assert printed.encode("cp1252").decode("cp1252") == printed
    assert all(c == "\n" or c >= " " for c in printed)


@given(st.text())
def test_what_is_clean_stays(text: str) -> None:
    """Cleaning twice changes nothing more."""
    assert clean(clean(text)) == clean(text)


@pytest.mark.parametrize(
    ("text", "marked"),
    [
        ("1,120 cfm ± 95 cfm", "1,120~cfm ±~95~cfm"),
        ("≥ 23 °F on a morning", "≥~23~°F on a morning"),
        ("10 kΩ, 80 %.", "10~kΩ, 80~%."),
        ("8 inches of rain fell in 5 minutes", "8~inches of rain fell in 5~minutes"),
        ("unit 7 has 2 stages", "unit 7 has 2 stages"),
        ("from 5 to 9", "from 5 to 9"),
    ],
)
def test_numbers_keep_their_units(text: str, marked: str) -> None:
    """No line ends between a number and its unit; the space between other words stays soft."""
    assert unparted(text) == marked.replace("~", "\N{NO-BREAK SPACE}")


def test_a_page_keeps_them_in_its_words_alone() -> None:
    """What is sent back as it stands, and what tags hold, stays as it was typed."""
    page = (
        '<p title="19 % open">19 % (1.90 V)</p><input value="38 %"><option>40 %</option><textarea>\n5 °F</textarea>'
        '<style>a { margin: 0 % }</style><a href="/?q=3 ft">3 ft</a>'
    )
    marked = page.replace(">19 % (1.90 V)<", ">19~% (1.90~V)<").replace(">3 ft<", ">3~ft<")
    assert unparted_page(page) == marked.replace("~", "\N{NO-BREAK SPACE}")
