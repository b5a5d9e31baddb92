"""The ledger: what closes a line and what only says that it does; what forgetting a line would cost."""

from __future__ import annotations

from typing import Any

import pytest
from tests.controlled_rooftop import SETTINGS, UNIT
from tests.invented import facts, readings

from ventwright.evidence import Verdict
from ventwright.plan import make_plan
from ventwright.readings import TemporaryChange
from ventwright.tables.kit import Kit
from ventwright.tables.shelf import find
from ventwright.verdict import Line, LineState, Verdicts, judge
from ventwright.verdict.forgotten import Forgetting, forgetting

HIGH_LIMIT = "Outdoor air too warm above"

RESISTOR: dict[str, Any] = {
    "what": "temporary change", "id": "c", "kind": "resistor", "sensor": "outdoor air", "point": "outdoor sensor",
    "was": "sensor on", "changed_to": "13.2k resistor", "resistance": "13.2 kohm", "imitates": "66 F",
}  # fmt: skip
SETTING: dict[str, Any] = {
    "what": "temporary change", "id": "c", "kind": "setting", "label": HIGH_LIMIT, "point": "high limit",
    "was": "75 F", "changed_to": "55 F",
}  # fmt: skip
JUMPER: dict[str, Any] = {
    "what": "temporary change", "id": "c", "kind": "jumper", "call": "first cooling", "point": "R to Y1",
    "was": "open", "changed_to": "joined",
}  # fmt: skip
LEAD: dict[str, Any] = {
    "what": "temporary change", "id": "c", "kind": "lead", "sensor": "mixed air", "point": "mixed-air lead",
    "was": "on its terminal", "changed_to": "off",
}  # fmt: skip


PACK: dict[str, Any] = {
    "what": "temporary change", "id": "c", "kind": "pack", "sensor": "outdoor air", "point": "outdoor sensor",
    "was": "in the air", "changed_to": "pack held to it", "imitates": "66 F",
}  # fmt: skip


def back(read_back: str = "sensor on, 58.4 F", **other: Any) -> dict[str, Any]:
    """The word that the change was put back."""
    return {"what": "restored", "change": "c", "read_back": read_back} | other


def check(shown: str, probe: str, **other: Any) -> dict[str, Any]:
    """A sensor beside a probe of ± 0.5 °F."""
    entry = {
        "what": "sensor check",
        "sensor": "outdoor air",
        "shown": shown,
        "probe": probe,
        "instrument": "probe",
    }
    return {key: value for key, value in (entry | other).items() if value is not None}


def read_again(value: str, **other: Any) -> dict[str, Any]:
    """The high limit read back."""
    return {"what": "setting", "label": HIGH_LIMIT, "value": value} | other


def judged(*entries: dict[str, Any]) -> Verdicts:
    """Verdicts on an invented job with these entries, a minute apart."""
    known = facts()
    return judge(known, make_plan(known), readings(*entries))


def line(*entries: dict[str, Any]) -> Line:
    """The first line of the ledger."""
    return judged(*entries).ledger[0]


PROVED = {
    "a resistor whose sensor follows a probe again": (RESISTOR, back(), check("84.1 F", "84.0 F")),
    "a resistor, by the live reading alone": (RESISTOR, check("84.1 F", "84.0 F")),
    "a resistor of a sensor that was off before": (
        check("88.0 F", "84.0 F"), RESISTOR, check("80.1 F", "76.0 F"),
    ),
    "a setting read again": (SETTING, read_again("75 F")),
    "a setting read again in another unit": (SETTING, back(), read_again("23.9 °C")),
    "a jumper that was seen to be off": (JUMPER, back("nothing between R and Y1")),
    "another lead that was seen to be on": (LEAD | {"sensor": None}, back("screwed down on its terminal")),
    "a pack whose sensor follows a probe again": (PACK, check("84.1 F", "84.0 F")),
    "a jumper that was seen to be no longer there": (JUMPER, back("no longer joined")),
    "a lead whose sensor follows a probe": (LEAD, check("61.0 F", "61.2 F", sensor="mixed air")),
    "a setting, and another value left later": (SETTING, read_again("75 F"), read_again("70 F")),
    "a change of an older document": (
        {"what": "temporary change", "id": "c", "point": "fan", "was": "auto", "changed_to": "hand"}, back("auto"),
    ),
}  # fmt: skip


@pytest.mark.parametrize("entries", PROVED.values(), ids=PROVED)
def test_what_the_unit_shows_closes_a_line(entries: tuple[dict[str, Any], ...]) -> None:
    """Then nothing would prove it any more, and the check of what is left behind passes."""
    found = judged(*entries)
    (one,) = found.ledger
    assert (one.state, one.why, one.would_prove) == (LineState.PROVED, "", None)
    assert one.readings
    assert found.nothing_left.verdict is Verdict.PASSES
    assert found.not_closed == ()


NOT_PROVED = {
    "only said": ((RESISTOR, back()), "nothing_left.not_read_again"),
    "a setting only said": ((SETTING, back("back at 75 F")), "nothing_left.not_read_again"),
    "air at what the resistor shows": ((RESISTOR, back(), check("66.4 F", "66.0 F")), "nothing_left.shows_as_substitute"),
    "what it showed is not known": (
        (RESISTOR | {"imitates": None}, back(), check("84.1 F", "84.0 F")), "nothing_left.substitute_not_known",
    ),
    "a probe that nobody names": ((RESISTOR, check("84.1 F", "84.0 F", instrument=None)), "nothing_left.no_instrument"),
    "too close to what is allowed": ((RESISTOR, check("85.9 F", "84.0 F")), "nothing_left.too_close_to_limit"),
    "a lead of a sensor only seen": ((LEAD, back("screwed down, 61 F shown")), "nothing_left.not_read_again"),
    "a pack only said": ((PACK, back("pack taken off again")), "nothing_left.not_read_again"),
    "a pack in air like it": ((PACK, check("66.4 F", "66.0 F")), "nothing_left.shows_as_substitute"),
    "a jumper seen as it was for the test": ((JUMPER, back("still joined")), "nothing_left.as_for_the_test"),
    "a lead seen as it was for the test": (
        (LEAD | {"sensor": None}, back("it is still off")), "nothing_left.as_for_the_test",
    ),
    "a change of no kind, and a word": (
        ({"what": "temporary change", "id": "c", "point": "outdoor sensor", "was": "sensor on", "changed_to": "12k resistor"}, back("done")),
        "nothing_left.nothing_seen",
    ),
    "a word instead of what was seen": ((JUMPER, back("done")), "nothing_left.nothing_seen"),
    "restored before it was changed": (
        (JUMPER, back("nothing between R and Y1", at="2026-11-25T08:00-08:00")), "nothing_left.restored_before_change",
    ),
}  # fmt: skip


@pytest.mark.parametrize(("entries", "why"), NOT_PROVED.values(), ids=NOT_PROVED)
def test_a_word_is_no_proof(entries: tuple[dict[str, Any], ...], why: str) -> None:
    """Put back by what was entered, and not shown: it cannot be told, and the line says what would prove it."""
    given = tuple({key: value for key, value in one.items() if value is not None} for one in entries)
    found = judged(*given)
    (one,) = found.ledger
    assert (one.state, one.why) == (LineState.NOT_PROVED, why)
    assert one.would_prove is not None
    assert found.nothing_left.verdict is Verdict.CANNOT_TELL
    assert found.nothing_left.shortfall is not None
    assert found.nothing_left.shortfall.name == why
    assert found.not_closed == (one,)


OPEN = {
    "nothing since": ((RESISTOR,), "nothing_left.open"),
    "a reading before the change": ((check("84.1 F", "84.0 F"), RESISTOR), "nothing_left.open"),
    "another sensor": ((RESISTOR, check("74.1 F", "74.0 F", sensor="return air")), "nothing_left.open"),
    "said, and the sensor shows otherwise": ((RESISTOR, back(), check("66.0 F", "84.0 F")), "nothing_left.contradicted"),
    "said, and the setting reads otherwise": ((SETTING, back(), read_again("55 F")), "nothing_left.contradicted"),
    "a lead said to be on, and its sensor far off": (
        (LEAD, back("screwed down again"), check("20 F", "61.2 F", sensor="mixed air")), "nothing_left.contradicted",
    ),
}  # fmt: skip


@pytest.mark.parametrize(("entries", "why"), OPEN.values(), ids=OPEN)
def test_a_line_stays_open(entries: tuple[dict[str, Any], ...], why: str) -> None:
    """Whatever was said: the job fails."""
    found = judged(*entries)
    assert (found.ledger[0].state, found.ledger[0].why) == (LineState.OPEN, why)
    assert found.nothing_left.verdict is Verdict.FAILS
    assert found.nothing_left.readings == ("c",)


def test_a_sensor_read_with_its_lead_off_excuses_nothing() -> None:
    """Off twice: what it showed the first time is no error of its own, by which the second time would be right."""
    off = check("20 F", "61.2 F", sensor="mixed air")
    found = judged(LEAD | {"id": "a"}, off, LEAD, off)
    assert [one.state for one in found.ledger] == [LineState.OPEN, LineState.OPEN]


def test_a_reading_proves_the_change_before_it_and_not_the_next() -> None:
    """The same setting changed twice: the reading between the two closes the first line only."""
    again = SETTING | {"id": "d", "changed_to": "60 F"}
    first, second = judged(SETTING, read_again("75 F"), again).ledger
    assert (first.state, second.state) == (LineState.PROVED, LineState.OPEN)
    first, second = judged(SETTING, again, read_again("75 F")).ledger
    assert (first.state, second.state) == (LineState.OPEN, LineState.PROVED)


def test_open_lines_come_first_and_hide_no_other() -> None:
    """One open and one not proved: the open one fails the check, both are listed."""
    found = judged(JUMPER, back("done"), RESISTOR | {"id": "r"})
    assert [one.id for one in found.not_closed] == ["r", "c"]
    assert found.nothing_left.verdict is Verdict.FAILS
    assert found.nothing_left.readings == ("r",)


# what forgetting would cost

KIT = find("kits", "two-speed-dry-bulb", Kit, None)


def cost(change: dict[str, Any]) -> Forgetting:
    """What forgetting a change would cost the invented unit."""
    made = TemporaryChange.model_validate({"at": "2026-11-25T09:00-08:00"} | change)
    return forgetting(made, KIT, (UNIT,), SETTINGS)


def test_a_forgotten_resistor_opens_the_damper_on_a_hot_day() -> None:
    """The outdoor sensor told 66 °F: on a hot afternoon the damper stands open, and all that air has to be cooled."""
    worst = cost(RESISTOR).costs[0]
    assert worst.scene.startswith("on a hot afternoon")
    assert worst.outdoor_air > 0.5 * UNIT.fan.airflow
    assert worst.load > 10_000.0
    assert cost(RESISTOR).sentence.show("us").startswith("estimate")


def test_a_resistor_that_tells_of_a_hot_day_stops_free_cooling() -> None:
    """Told 90 °F the damper stays shut on a cool day, and a compressor runs instead."""
    worst = cost(RESISTOR | {"imitates": "90 F"}).costs[0]
    assert worst.scene.startswith("on a cool day")
    assert worst.outdoor_air < 0.0
    assert worst.load > 0.0
    assert "1 compressor stage running where it would be 0" in worst.sentence.show("us")


def test_a_larger_minimum_in_frost_may_freeze_the_coil() -> None:
    """Three fifths of outdoor air on a frosty morning: said first of all."""
    opened = SETTING | {"label": "Fresh-air opening, fan fast", "was": "21 %", "changed_to": "60 %"}
    found = cost(opened)
    assert found.costs[0].freeze_risk
    assert found.costs[0].coldest_mixed_air < SETTINGS.freeze.first_below
    assert found.costs[0].load > 0.0
    assert "more to heat, mixed air down to" in found.sentence.show("si")


def test_a_jumper_on_a_compressor_cools_with_nobody_calling() -> None:
    """In an empty building the compressor runs on."""
    evening = next(one for one in cost(JUMPER).costs if "evening" in one.scene)
    assert evening.load > 10_000.0
    assert "that nobody called for" in evening.sentence.show("si")


def test_a_mixed_air_lead_off_leaves_the_coil_without_its_limit() -> None:
    """The low limit has nothing to go by, and the sentence says what that means in frost."""
    assert "the coil may freeze" in cost(LEAD).sentence.show("us")


@pytest.mark.parametrize(
    ("change", "why"),
    [
        (SETTING | {"label": "Relief fan starts at opening", "was": "60 %", "changed_to": "30 %"}, "takes no notice"),
        ({key: value for key, value in RESISTOR.items() if key != "imitates"}, "is not entered (imitates)"),
        ({key: value for key, value in JUMPER.items() if key != "call"}, "what it does to the unit is not entered"),
    ],
    ids=["outside the sequence", "a resistor that shows nobody knows what", "a jumper between two points"],
)  # fmt: skip
def test_where_no_figure_can_be_given_it_says_why(change: dict[str, Any], why: str) -> None:
    """No figure is made up."""
    found = cost(change)
    assert found.costs == ()
    assert found.sentence.show("us").startswith("no figure: ")
    assert why in found.sentence.show("us")
