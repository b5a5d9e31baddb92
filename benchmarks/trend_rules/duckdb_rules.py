"""The rules as SQL for DuckDB: all units in one query, windows of rows on regular logs."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from pathlib import Path

import duckdb
from benchmarks.trend_rules.invented_logs import HEADINGS, STEP, TEMPERATURES
from benchmarks.trend_rules.pandas_rules import Flags
from benchmarks.trend_rules.thresholds import Thresholds

from ventwright.verdict.trend_findings.log_steps import kelvins, signal_steps


def _columns() -> Iterator[str]:
    """Yield the columns of a log as it was written, brought to whole steps."""
    for name, heading in HEADINGS.items():
        if name in TEMPERATURES:
            yield f"""cast(round(("{heading}" - 32.0) / 1.8 * 1000.0) as bigint) as {name}"""
        elif name.endswith(("signal", "position", "speed", "humidity")):
            yield f"""cast(round("{heading}" * 1000.0) as bigint) as {name}"""
        else:
            yield f"""cast("{heading}" as bigint) as {name}"""


def from_csv(paths: Sequence[Path]) -> str:
    """Return the source of logs as they were written."""
    types = ", ".join(f"'{heading}': 'DOUBLE'" for heading in HEADINGS.values())
    return (
        f'(select filename as unit, epoch("Time")::bigint as time, {", ".join(_columns())} from read_csv({[str(one) for one in paths]}, filename=true,'  # noqa: S608 - our own words
        f" header=true, columns={{'Time': 'TIMESTAMP', {types}}}))"
    )


def from_parquet(paths: Sequence[Path]) -> str:
    """Return the source of logs that are kept in whole steps."""
    return f"(select filename as unit, * exclude filename from read_parquet({[str(one) for one in paths]}, filename=true))"  # noqa: S608 - our own words


def query(source: str, limits: Thresholds) -> str:
    """Return the query: one row a unit, judged and shown rows of every rule."""
    at, figures = limits, limits.rules.figures
    half, hour = figures.windows.steady, figures.windows.hour
    part, whole = figures.windows.least_covered
    cap = STEP * 3 // 2
    least, most = (edge(at.known.minimum_signal.values()) for edge in (min, max))
    assert at.known.high_limit is not None
    limit = kelvins(at.known.high_limit)
    within = f"partition by unit order by time rows between {half // STEP - 1} preceding and current row"
    of_hour = f"partition by unit order by time rows between {hour // STEP - 1} preceding and current row"
    stood = {
        "fan": "fan", "cool": "cool", "heat": "heat", "occ": "occ", "minimum": f"sig <= {at.minimum}", "not_cool": "not cool", "not_heat": "not heat",
        "wide": f"sig >= {at.signal('economizing_when_not', 'open')}", "wide_heat": f"sig >= {at.signal('open_while_heating', 'open')}",
        "both": "heat and cool", "full_cool": "cool and not heat", "full_heat": "heat and not cool",
    }  # fmt: skip
    stood_hour = {
        "occ_fan_h": "occ and fan", "occ_h": "occ", "off_h": "not fan", "shut_h": f"sig <= {signal_steps(figures.classes.shut)}", "fan_h": "fan",
    }  # fmt: skip
    sums = [f"sum(({what})::int) over half as n_{name}" for name, what in stood.items()]
    sums += [f"sum(({what})::int) over whole_hour as n_{name}" for name, what in stood_hour.items()]
    sums += [
        f"sum(abs(x) * {round(at.at(f'{kind}_without_call', 'of_difference') * 100)} // 100) over half as layers_{kind}"
        for kind in ("cools", "heats")
    ]
    stand = [f"(full_half and n_{name} = count_half) as s_{name}" for name in stood]
    stand += [f"(full_hour and n_{name} = count_hour) as s_{name}" for name in stood_hour]
    cooled = "(runs and s_cool and not heat)"
    coil = "(runs and full_half)"
    rules = {
        "share": (
            f"abs(x) >= {kelvins(figures.share.least_difference)} and runs and steady",
            f"y * 100 * sign(x) < abs(x) * {round(at.at('share', 'least_share_open') * 100)} and sig >= {signal_steps(figures.classes.middle)}",
        ),
        "position": ("steady", f"abs(pos - sig) >= {at.signal('position', 'most_departure')}"),
        "not_economizing": (
            f"{cooled} and o <= {at.kelvins('not_economizing', 'outdoor_at_most')} and x <= -{at.kelvins('not_economizing', 'below_return')}",
            "s_minimum",
        ),
        "economizing_when_not": (
            f"runs and o >= {at.kelvins('economizing_when_not', 'outdoor_at_least')} and x >= {at.kelvins('economizing_when_not', 'above_return')} and not heat",
            "s_wide",
        ),
        "change_over": (
            f"{cooled} and o <= {limit - at.kelvins('change_over', 'below')} and x <= -{at.kelvins('change_over', 'below')}",
            "s_minimum",
        ),
        "minimum_low": (
            "runs and steady and s_occ",
            f"sig <= {signal_steps(least - at.at('minimum_low', 'below'))}",
        ),
        "minimum_high": (
            f"runs and steady and o >= {at.kelvins('minimum_high', 'outdoor_at_least')} and x >= {at.kelvins('minimum_high', 'above_return')}"  # noqa: ISC004 - one long comparison
            f" and sig < {at.signal('minimum_high', 'open')} and not heat",
            f"sig >= {signal_steps(most + at.at('minimum_high', 'above'))}",
        ),
        "shut_when_occupied": (
            f"s_occ_fan_h and o >= {at.kelvins('shut_when_occupied', 'outdoor_at_least')}",
            "s_shut_h",
        ),
        "fan_off": ("s_occ_h", "s_off_h"),
        "open_while_heating": ("runs and s_heat and not cool", "s_wide_heat"),
        "both": ("runs and (heat or cool)", "s_both"),
        "cools_without_call": (
            f"{coil} and s_not_cool",
            f"rise + layers_cools <= -count_half * {at.kelvins('cools_without_call', 'colder')}",
        ),
        "heats_without_call": (
            f"{coil} and s_not_heat",
            f"rise - layers_heats >= count_half * {at.kelvins('heats_without_call', 'warmer')}",
        ),
        "cools_without_effect": (
            f"{coil} and s_full_cool",
            f"rise >= -count_half * {at.kelvins('cools_without_effect', 'colder')}",
        ),
        "heats_without_effect": (
            f"{coil} and s_full_heat",
            f"rise <= count_half * {at.kelvins('heats_without_effect', 'warmer')}",
        ),
        "outside_both": (
            coil,
            "((of_y >= count_half * {by} and of_y - of_x >= count_half * {by}) or (of_y <= -count_half * {by} and of_y - of_x <= -count_half * {by}))".format(
                by=at.kelvins("outside_both", "by")
            ),
        ),
        "starts": ("false", "false"),
        "travel": (
            "s_fan_h",
            f"way_hour >= {at.signal('travel', 'strokes')} and abs(net_hour) <= {at.signal('travel', 'net')}",
        ),
    }
    counted = [
        f"count(*) filter ({judged}) as j_{check}, count(*) filter (({judged}) and ({shown})) as f_{check}"
        for check, (judged, shown) in rules.items()
    ]
    return f"""
    with logs as (select unit, time, outdoor_temperature as o, outdoor_temperature - return_temperature as x, mixed_temperature - return_temperature as y,
        supply_temperature - mixed_temperature as dt, outdoor_damper_signal as sig, outdoor_damper_position as pos, supply_fan_speed as speed,
        supply_fan_status >= 1 as fan, (cooling_1 >= 1 or cooling_2 >= 1) as cool, heating_1 >= 1 as heat, occupied >= 1 as occ from {source}),
    steps as (select *, least(coalesce(time - lag(time) over w, {STEP}), {cap}) as covered, coalesce(abs(sig - lag(sig) over w), 0) as way,
        coalesce(sig - lag(sig) over w, 0) as net, coalesce(abs(speed - lag(speed) over w), 0) as fan_way from logs window w as (partition by unit order by time)),
    summed as (select *, count(*) over half as count_half, count(*) over whole_hour as count_hour, sum(covered) over half as covered_half,
        sum(covered) over whole_hour as covered_hour, sum(way) over half as way_half, sum(way) over whole_hour as way_hour, sum(net) over whole_hour as net_hour,
        sum(fan_way) over half as fan_way_half, sum(dt) over half as rise, sum(x) over half as of_x, sum(y) over half as of_y, {", ".join(sums)}
        from steps window half as ({within}), whole_hour as ({of_hour})),
    fulls as (select *, (count_half >= {figures.windows.least_readings} and covered_half * {whole} >= {part * half}) as full_half,
        (count_hour >= {figures.windows.least_readings} and covered_hour * {whole} >= {part * hour}) as full_hour from summed),
    stands as (select *, {", ".join(stand)}, (full_half and way_half <= {at.most_travel}) as steady,
        (full_half and n_fan = count_half and fan_way_half <= {at.most_fan_change}) as runs from fulls)
    select unit, {", ".join(counted)} from stands group by unit order by unit
    """  # noqa: S608 - our own words


def still_query(source: str, limits: Thresholds) -> str:
    """Return the query of the rules that compare whole days."""
    cap = STEP * 3 // 2
    parts = []
    for rule in (one for one in limits.rules.rules if one.check == "still"):
        own, *others = rule.needs[0], *rule.needs[1].split("|")
        moved = (
            f"greatest({', '.join(f'max({one}) - min({one})' for one in others)})"
            if len(others) > 1
            else f"max({others[0]}) - min({others[0]})"
        )
        parts.append(
            f"select unit, '{rule.id}' as rule, sum(rows) as judged, sum(case when own <= {kelvins(rule.at['within'])} then rows else 0 end) as shown from"  # noqa: S608 - our own words
            f" (select unit, time // 86400 as day, count(*) as rows, sum(ahead) as logged, max({own}) - min({own}) as own, {moved} as moved"
            f" from ahead group by unit, day) where logged >= {rule.at['hours'] * 3600} and moved >= {kelvins(rule.at['other'])} group by unit"
        )
    return (
        f"with ahead as (select *, least(coalesce(lead(time) over (partition by unit order by time) - time, {STEP}), {cap}) as ahead from {source})"  # noqa: S608 - our own words
        f" {' union all '.join(parts)}"
    )


def flags(source: str, limits: Thresholds) -> list[Flags]:
    """Run every rule over all units of a source; one dictionary a unit, in the order of their files."""
    with duckdb.connect() as connection:
        connection.execute("set enable_progress_bar = false")
        found = connection.execute(query(source, limits))
        names = [column[0] for column in found.description or ()]
        table = [dict(zip(names, row, strict=True)) for row in found.fetchall()]
        still = {
            (unit, rule): (judged, shown)
            for unit, rule, judged, shown in connection.execute(still_query(source, limits)).fetchall()
        }
    return [
        {
            rule.id: still.get((row["unit"], rule.id), (0, 0))
            if rule.check == "still"
            else (row[f"j_{rule.check}"], row[f"f_{rule.check}"])
            for rule in limits.rules.rules
        }
        for row in table
    ]
