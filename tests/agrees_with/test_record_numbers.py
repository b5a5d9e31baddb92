"""The numbers of a record, worked anew from what was entered: by hand, with `uncertainties` (BSD) and Python's statistics.

Two jobs of the demo are written as records; each number printed there is found again from the numbers that were typed,
by formulas that stand here and share no code with ours. Sources:

- Rates of outdoor air: ASHRAE 62.1-2019, Table 6-1 (7.5 cfm a person and 0.12 cfm/ft2 for a sales floor, 5 cfm and
  0.06 cfm/ft2 for an office, 15 people on 1000 ft2 of a sales floor; open data), 0.8 for warm air from the ceiling (Table
  6-4, from memory).
- Share of outdoor air: the balance of mass of two streams (ASHRAE Handbook - Fundamentals 2017, chapter 1, adiabatic mixing).
- Uncertainties: JCGM 100:2008, 5.1.2; "±" is twice the standard uncertainty. Chances: the normal distribution.
- A wire of 18 AWG, solid, at 75 °C: 7.77 ohm for 1000 ft (NEC chapter 9, Table 8; secondary). A transformer's voltage falls
  straight with its load. A fuse: at most 167 % of the rated current (NEC Table 450.3(B); secondary).
- Free cooling at most: 2000 kWh a year on 5 tons, a ton being 12,000 Btu/h (page of a buildings institute; secondary).
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from datetime import UTC, date, datetime, timedelta
from functools import cache
from html import unescape
from importlib.resources import files
from io import BytesIO
from pathlib import Path
from statistics import NormalDist, mean

import pytest
from pypdf import PdfReader
from uncertainties import ufloat

from ventwright.job import record_of, work
from ventwright.store import load

DONE, MASKED = "larkspur-row-r-2", "tern-yard-u-4"
SUPPLY = {"high": ufloat(4010, 4010 * 0.05 / 2), "low": ufloat(2650, 2650 * 0.10 / 2)}
"""cfm: ± 5 % as typed; ± 10 %, the usual of a flow plate (from memory)."""

STREAMS = {
    "high": (36.1, 72.8, mean([62.8, 62.3, 62.7, 62.5, 62.8, 62.4, 62.6, 62.7])),
    "low": (58.2, 73.9, mean([67.3, 66.9, 67.4, 67.1, 67.3, 66.9, 67.2, 67.1])),
}
"""°F: outdoor, return and mixed air as entered, at the signal that is judged."""

IDLE, LOADED = ufloat(26.3, 0.263 / 2), ufloat(24.9, 0.249 / 2)
"""Volts as metered, each ± 1 %, with 17 VA and with 32 VA drawn."""


@cache
def made(job: str) -> Mapping[str, bytes]:
    """The four files of a record."""
    path = Path(str(files("ventwright.cli").joinpath("demo_job", f"{job}.yaml")))
    return record_of(work(load(path).job), made=datetime(2026, 11, 30, tzinfo=UTC))


@cache
def lines(job: str) -> tuple[str, ...]:
    """Every row, pair and paragraph of the record as a line, cells parted by bars."""
    page = re.sub(r"(?s)<style.*?</style>|<svg.*?</svg>", "", made(job)["record.html"].decode())
    page = re.sub(r"</(?:td|th|dt)>", " | ", re.sub(r"\s+", " ", page))
    page = re.sub(r"</(?:tr|p|li|h\d|dd|caption)>", "\n", page)
    text = unescape(re.sub(r"<[^>]+>", "", page))
    return tuple(re.sub(r"\s+", " ", line).strip() for line in text.splitlines())


def line(begins: str, job: str = DONE) -> str:
    """The first line that begins so."""
    return next(one for one in lines(job) if one.startswith(begins))


def numbers(text: str) -> list[float]:
    """Every number of a text."""
    return [float(one.replace(",", "")) for one in re.findall(r"(?<![\w.-])-?\d[\d,]*(?:\.\d+)?", text)]


def test_outdoor_air_required() -> None:
    """72 people x 7.5 cfm + 4800 ft2 x 0.12 cfm/ft2; 30 x 5 + 5200 x 0.06, and the same over 0.8 (62.1-2019)."""
    people = 4800 * 15 / 1000
    assert line("Sales floor | Retail") == (
        f"Sales floor | Retail / Sales | {people:.0f} (guess) | {people * 7.5 + 4800 * 0.12:.0f} cfm | ASHRAE 62.1-2019, Table 6-1 |"
    )
    office = 30 * 5 + 5200 * 0.06
    assert numbers(line("Code sum, cooling", MASKED))[0] == pytest.approx(office, abs=0.5)
    assert numbers(line("Code sum, heating", MASKED))[0] == pytest.approx(office / 0.8, abs=0.51)


@pytest.mark.parametrize(
    ("job", "speed", "supply", "share"),
    [
        (DONE, "high | 4000 cfm", 4000, 1116),
        (DONE, "low | 2640 cfm", 2640, 1116),
        (DONE, "high | 27.8 %", 4010, 1116),
        (DONE, "low | 42.1 %", 2650, 1116),
        (MASKED, "high | 3900 cfm", 3900, 650),
        (MASKED, "low | 2570 cfm", 2570, 650),
    ],
)
def test_share_that_a_speed_needs(job: str, speed: str, supply: float, share: float) -> None:
    """Required over supply airflow: the designed one in the plan, the one that was read in the verdict."""
    assert f"{100 * share / supply:.1f} %" in line(speed, job)


def test_limits_of_the_airflow() -> None:
    """10 % either way of 1116 cfm."""
    assert f"within {1116 * 0.9:.0f} cfm to {1116 * 1.1:.0f} cfm" in line("outdoor air at high speed against")


@pytest.mark.parametrize("speed", ["high", "low"])
def test_share_and_airflow_as_read(speed: str) -> None:
    """The share lies within its ± of the balance of three streams; the airflow is share times supply, ± as products go."""
    row = next(one for one in lines(DONE) if re.match(rf"{speed} \| [\d.]+ % \| [\d.]+ % ±", one))
    _, share, share_band, flow, flow_band = numbers(row)[:5]
    outdoor, returned, mixed = STREAMS[speed]

    assert share == pytest.approx(100 * (returned - mixed) / (returned - outdoor), abs=share_band)
    product = ufloat(share / 100, share_band / 200) * SUPPLY[speed]
    assert flow == pytest.approx(product.nominal_value, rel=0.003)
    assert flow_band == pytest.approx(2 * product.std_dev, rel=0.05)


def test_chance_that_an_airflow_lies_within() -> None:
    """1138 cfm ± 120 cfm lies within 1004.4 to 1227.6 cfm with the chance of a normal distribution; 1114 ± 72 surely."""
    low, high = NormalDist(1138, 60), NormalDist(1114, 36)
    chances = [one.cdf(1227.6) - one.cdf(1004.4) for one in (low, high)]

    assert numbers(line("low | 42.1 %"))[-1] == pytest.approx(100 * chances[0], abs=1.5)
    assert "over 99 % | passes" in line("high | 27.8 %")
    assert chances[1] > 0.99
    assert chances[0] < 0.95, "and so it cannot be told"


@pytest.mark.parametrize(
    ("job", "begins", "signal"),
    [(DONE, "high | 21 %", 0.21), (DONE, "low | 36 %", 0.36), (MASKED, "high | 28 %", 0.28)],
)
def test_signal_in_volts(job: str, begins: str, signal: float) -> None:
    """2 V is shut and 10 V is open, as the kit's sheet says, and between them it is straight."""
    assert f"({2 + 8 * signal:.2f} V)" in line(begins, job)


@pytest.mark.parametrize(
    ("sensor", "shows", "probe"), [("outdoor", 58.2, 58.0), ("return", 74.9, 74.0), ("mixed", 66.9, 69.7)]
)
def test_sensor_beside_the_probe(sensor: str, shows: float, probe: float) -> None:
    """What is shown minus the probe; a probe of ± 0.5 °F leaves ± 0.5 °F, and the verdict is that of a normal distribution."""
    row = line(f"{sensor} air sensor against the probe |")
    within = NormalDist(shows - probe, 0.25)
    chance = within.cdf(2) - within.cdf(-2)

    assert f"shows {shows - probe:.1f} °F ± 0.5 °F" in row
    assert f"| {'passes' if chance > 0.95 else 'FAILS'} |" in row


def test_voltages_of_the_transformer() -> None:
    """A straight line through the two metered voltages, to no load and to the worst moment: 32 - 7 + 21 VA."""
    slope = (IDLE - LOADED) / (32 - 17)
    worst, no_load, fall = LOADED - slope * (46 - 32), IDLE + slope * 17, 100 * (1 - LOADED / IDLE)

    assert f"{worst.nominal_value:.2f} V ± {2 * worst.std_dev:.2f} V" in line("unit transformer: 23.59 V")
    assert f"{no_load.nominal_value:.2f} V ± {2 * no_load.std_dev:.2f} V" in line(
        "unit transformer: 40 VA and"
    )
    assert f"{fall.nominal_value:.1f} % ± {2 * fall.std_dev:.1f} %" in line(
        "unit transformer: the metered voltage"
    )


def test_loading_run_and_fuse() -> None:
    """32 of 40 VA; 8 VA over 12 ft and back; the run that loses 10 % of 24 V; the largest usual fuse up to 167 %."""
    current, per_foot = 8 / 24, 7.77 / 1000
    drop, longest = 2 * 12 * per_foot * current, 0.10 * 24 / (2 * per_foot * current)

    assert f"| {100 * 32 / 40:.0f} %" in line("unit transformer | 40 VA")
    assert f"{100 * drop / 24:.1f} % | {longest:.0f} ft" in line("to the damper actuator | 18 AWG")
    assert f"{LOADED.nominal_value - drop:.2f} V" in line("to the damper actuator: 24.84 V")
    assert max(one for one in (1, 1.5, 2, 3, 4, 5) if one <= 1.67 * 40 / 24) == 2
    assert numbers(line("fuse of 2"))[0] == 2


def test_length_to_take_and_calibration() -> None:
    """12 ft there and back; a calibration holds for a year."""
    assert "24 ft" in line("18 AWG solid, ")
    until = date(2026, 3, 2) + timedelta(days=365)
    assert f"good for acceptance until {until}" in line("Hand-held thermistor probe, ± 0.5 °F")


def test_most_that_free_cooling_saves() -> None:
    """400 kWh a year for each of ten tons."""
    assert f"at most about {2000 / 5 * 120_000 / 12_000:.0f} kWh" in line("Published, not reckoned")


def test_signal_of_a_step() -> None:
    """10.00 V by a meter of ± 1 % is the end of the stroke ± 0.1 V over the 8 V of it, and 3 % from the end is accepted."""
    row = line("free cooling: engages", MASKED)
    assert numbers(row)[:3] == [100, pytest.approx(100 * 0.1 / 8, abs=0.06), 100 - 3]


def test_coldest_mixed_air_of_a_step() -> None:
    """Fully open, mixed air is never below the outdoor air of that day, 57 °F, less the 2 °F that are accepted."""
    assert "expected 55.0 °F to" in line("free cooling: modulates", MASKED)


@pytest.mark.parametrize("job", [DONE, MASKED])
def test_counted_outcomes(job: str) -> None:
    """The outcome counts what stands in the table of every check."""
    rows = [one.split(" | ") for one in lines(job)]
    begin = rows.index(["Check", "Verdict", "Why |"])
    end = next(at for at, one in enumerate(rows) if at > begin and len(one) == 1)
    verdicts = [one[1] for one in rows[begin + 1 : end]]
    counted = [verdicts.count(one) for one in ("passes", "FAILS", "cannot tell")]

    assert numbers(line("Outcome | ", job)) == counted
    assert sum(counted) == len(verdicts)


@pytest.mark.parametrize("job", [DONE, MASKED])
def test_steps_not_done(job: str) -> None:
    """As many steps are named as not done as are counted."""
    named = line("Not done, and so not proved:", job).removesuffix(".").split("; ")
    said = next(one for one in lines(job) if one.startswith("functional tests | cannot tell"))

    assert numbers(said)[0] == len(named)


def test_the_card_says_what_the_record_says() -> None:
    """Settings as left, airflows, sensors and the last reading stand on the card as in the record."""
    card = " ".join(
        " ".join(page.extract_text() for page in PdfReader(BytesIO(made(DONE)["card.pdf"])).pages).split()
    )
    rows = [one.split(" | ") for one in lines(DONE)]
    begin = next(at for at, one in enumerate(rows) if one[0] == "The kit calls it")
    left = [one[4] for one in rows[begin + 1 : begin + 9]]
    values = {one for one in left if re.fullmatch(r"[\d.]+ (?:°F|%)", one)}

    assert values == {"21 %", "37 %", "75.0 °F", "2.0 °F", "53.0 °F", "45.0 °F", "50.0 °F", "60 %"}
    for value in (
        *values,
        "1114 cfm ± 72 cfm",
        "1138 cfm ± 120 cfm",
        "0.2 °F",
        "0.9 °F",
        "-2.8 °F",
        "36.1 °F / 72.8 °F / 62.6 °F",
    ):
        assert value in card


def test_numbers_stand_with_their_source() -> None:
    """Each planned setting, each check of the control power and every limit names where it comes from."""
    rows = [one.removesuffix(" |").split(" | ") for one in lines(DONE)]
    settings = next(at for at, one in enumerate(rows) if one[0] == "The kit calls it")
    power = next(at for at, one in enumerate(rows) if one == ["Check", "Verdict", "Source"])
    checks = [
        one
        for one in rows[power + 1 :]
        if one[0].startswith(("unit transformer: ", "to the damper actuator: "))
    ]

    for row in rows[settings + 1 : settings + 9]:
        assert re.search(r"\[.+\]$|^chosen: ", row[5]), row
    assert len(checks) >= 10
    assert all(one[2] != "–" for one in checks)
    for begins, source in (
        ("A measured check passes", "JCGM 106:2012"),
        ("No ± was typed for flow plate: ± 10 %", "(from memory)"),
        ("Accepted: ± 2.0 °F", "IECC C403.5.5"),
        ("Outdoor air required |", "accepted within 10 % of it (California NA7.5.1"),
        ("to the damper actuator: wire taken at 167.0 °F", "common practice, no published source"),
    ):
        assert source in line(begins)
