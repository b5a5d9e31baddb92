"""Faults that no log can show are refused in one sentence, and the rules' own data fit together."""

from __future__ import annotations

from dataclasses import replace

import pytest
from tests.trend_logs import log

from ventwright.errors import Refused
from ventwright.tables.fault_rule import rule_set
from ventwright.tables.measurement import measurements
from ventwright.tables.point import points
from ventwright.tables.source import CONFIRMED
from ventwright.verdict.trend_findings import KnownUnit, findings, flags
from ventwright.verdict.trend_findings.checks import CHECKS
from ventwright.verdict.trend_findings.unsettled import KINDS

OURS = {"our own assumption", "common practice, no published source"}


def test_an_unknown_fault_is_refused() -> None:
    """With the nearest name."""
    with pytest.raises(Refused) as refused:
        rule_set().fault("outdoor_air_damper_stick")
    assert "did you mean outdoor_air_damper_stuck?" in str(refused.value)


def test_every_rule_shows_a_fault_by_a_check_that_exists() -> None:
    """Names in the data lead somewhere: fault, check, points, measurement."""
    rules, known = rule_set(), {one.id for one in rule_set().faults}
    offered = {one.id for one in measurements().offered}
    for rule in rules.rules:
        assert rule.fault in known
        assert rule.check == "still" or rule.check in CHECKS
        for need in rule.needs:
            assert set(need.split("|")) <= {*points(), *KINDS}
    assert {one.measure for one in rules.faults} <= offered


def test_every_rule_says_where_it_is_from() -> None:
    """A source and how it is known, or that it is ours or the trade's."""
    for rule in rule_set().rules:
        assert rule.source
        assert rule.confirmed in {*CONFIRMED, *OURS}
        assert rule.equation
        assert rule.when


def test_every_fault_has_a_chance_and_a_way_to_settle_it() -> None:
    """Chances lie between nothing and half: no log starts with a fault more likely than not."""
    for one in rule_set().faults:
        assert 0.0 < one.prior < 0.5
        assert 0.0 < one.false < 0.1
        assert one.settle
        assert one.consequence


def test_a_log_that_is_read_too_seldom_is_told_how_often() -> None:
    """As often as the rules' own data ask: the sentence follows the figure."""
    windows = replace(rule_set().figures.windows, longest_step=1200)
    rules = replace(rule_set(), figures=replace(rule_set().figures, windows=windows))
    silent = {one.rule: one.why_silent for one in flags(log({}, step=1500), rules)}
    assert silent["share_against_signal"] == "readings every 20 minutes or more often"


def test_how_far_from_sound_a_fault_would_be_named_follows_the_data() -> None:
    """The sentence says the number of times that the figure asks for."""
    named = replace(rule_set().figures.named, times_expanded=3.0)
    rules = replace(rule_set(), figures=replace(rule_set().figures, named=named))
    said = {
        one.reason.text
        for one in findings(log({"mixed_temperature": 20.3}, hours=24.0), rules, KnownUnit()).cannot_tell
    }
    assert any("3 times the expanded uncertainty" in one for one in said)
    assert not any("twice the expanded uncertainty" in one for one in said)
