"""What a weather file is refused for, in the exact sentence a person reads: damage, gaps, impossible values, wrong length.

Every file here is made of a real first day (tests/data/weather), repeated to a year, with one thing spoilt.
"""

from __future__ import annotations

import io
from collections.abc import Callable
from functools import cache
from pathlib import Path
from typing import Final

import pytest
from hypothesis import given
from hypothesis import strategies as st

from ventwright.errors import Refused
from ventwright.tables.precipitation import typed
from ventwright.tables.weather import WeatherYear, read_weather, weather_year
from ventwright.tables.weather_layout import DAYS

DATA: Final = Path(__file__).parents[1] / "data" / "weather"

HEADER: Final = 8
"""Lines above the first hour of an EPW file."""


def _dates(*, leap: bool = False) -> list[tuple[int, int]]:
    return [
        (month, day)
        for month, days in enumerate(DAYS, start=1)
        for day in range(1, days + (leap and month == 2) + 1)
    ]


def _epw(*, leap: bool = False) -> list[str]:
    """Return the lines of a year in which every day is San Francisco's first of January."""
    return list(_epw_lines(leap=leap))


@cache
def _epw_lines(*, leap: bool) -> tuple[str, ...]:
    lines = (DATA / "san_francisco_first_day.epw").read_text(encoding="utf-8").splitlines()
    head, day = lines[:HEADER], [line.split(",") for line in lines[HEADER:]]
    body = [
        ",".join([cells[0], str(month), str(date), *cells[3:]])
        for month, date in _dates(leap=leap)
        for cells in day
    ]
    return (*head, *body)


def _tmy3() -> list[str]:
    """Return the lines of a year in which every day is Burlington's first of January."""
    return list(_tmy3_lines())


@cache
def _tmy3_lines() -> tuple[str, ...]:
    lines = (DATA / "burlington_first_day.csv").read_text(encoding="utf-8").splitlines()
    head, day = lines[:2], lines[2:]
    return (*head, *(f"{month:02d}/{date:02d}/1987{line[10:]}" for month, date in _dates() for line in day))


def _put(line: str, column: int, value: str) -> str:
    cells = line.split(",")
    return ",".join([*cells[:column], value, *cells[column + 1 :]])


def _changed(lines: list[str], number: int, column: int, value: str) -> list[str]:
    """Return the lines with one cell of one line (from 1) replaced."""
    return [_put(line, column, value) if n == number else line for n, line in enumerate(lines, start=1)]


def _without(lines: list[str], number: int) -> list[str]:
    return [line for n, line in enumerate(lines, start=1) if n != number]


def _hourly(lines: list[str], column: int, value: str) -> list[str]:
    return [*lines[:HEADER], *(_put(line, column, value) for line in lines[HEADER:])]


CASES: Final[dict[str, tuple[Callable[[], list[str]], str]]] = {
    "dry bulb missing in one hour": (
        lambda: _changed(_epw(), 100, 6, "99.9"),
        'line 100, w: "99.9" has no dry bulb in 1 hour, the first here; accepted: a dry bulb in every hour.',
    ),
    "dry bulb missing in every hour": (
        lambda: _hourly(_epw(), 6, "99.9"),
        'line 9, w: "99.9" has no dry bulb in 8760 hours, the first here; accepted: a dry bulb in every hour.',
    ),
    "dry bulb empty": (
        lambda: _changed(_epw(), 100, 6, ""),
        "line 100, w: has no dry bulb in 1 hour, the first here; accepted: a dry bulb in every hour.",
    ),
    "dry bulb missing in TMY3": (
        lambda: _changed(_tmy3(), 3, 31, "-9900"),
        'line 3, w: "-9900" has no dry bulb in 1 hour, the first here; accepted: a dry bulb in every hour.',
    ),
    "dry bulb that is a word": (
        lambda: _changed(_epw(), 100, 6, "warm"),
        'line 100, w: "warm" is no dry bulb that can be read; accepted: -90 to 60 °C.',
    ),
    "dry bulb that is not a number": (
        lambda: _changed(_epw(), 100, 6, "nan"),
        'line 100, w: "nan" is no dry bulb that can be read; accepted: -90 to 60 °C.',
    ),
    "dry bulb in °F": (
        lambda: _changed(_epw(), 100, 6, "68.5"),
        'line 100, w: "68.5" is no dry bulb that is possible; accepted: -90 to 60 °C.',
    ),
    "humidity above 110 %": (
        lambda: _hourly(_epw(), 8, "150"),
        'line 9, w: "150" is no relative humidity that is possible (8760 hours); accepted: 0 to 110 %.',
    ),
    "pressure in mbar": (
        lambda: _changed(_epw(), 9, 9, "1013"),
        'line 9, w: "1013" is no pressure that is possible; accepted: 31000 to 120000 Pa.',
    ),
    "rain below nothing": (
        lambda: _changed(_epw(), 9, 33, "-1"),
        'line 9, w: "-1" is no precipitation that is possible; accepted: 0 to 500 mm.',
    ),
    "dew point above the dry bulb": (
        lambda: _changed(_epw(), 9, 7, "12.0"),
        'line 9, w: "12 °C" is a dew point above the dry bulb of its hour (1 hour); accepted: a dew point at or below the dry bulb.',
    ),
    "an hour too few": (
        lambda: _epw()[:-1],
        "w: has 8759 hours, which is no whole year; accepted: 8760 hours, or 8784 with 29 February.",
    ),
    "half a file": (
        lambda: _epw()[: HEADER + 4000],
        "w: has 4000 hours, which is no whole year; accepted: 8760 hours, or 8784 with 29 February.",
    ),
    "a header and no hours": (
        lambda: _epw()[:HEADER],
        "w: has 0 hours, which is no whole year; accepted: 8760 hours, or 8784 with 29 February.",
    ),
    "an hour that stands twice": (
        lambda: [*_epw()[: HEADER + 10], _epw()[HEADER + 9], *_epw()[HEADER + 11 :]],
        (
            'line 19, w: "month 1, day 1, hour 10" is out of order; accepted: month 1, day 1, hour 11 here: '
            "every hour once, in order, from 1 to 24."
        ),
    ),
    "hours counted from 0": (
        lambda: [
            *_epw()[:HEADER],
            *(_put(line, 3, str(int(line.split(",")[3]) - 1)) for line in _epw()[HEADER:]),
        ],
        (
            'line 9, w: "month 1, day 1, hour 0" is out of order; accepted: month 1, day 1, hour 1 here: '
            "every hour once, in order, from 1 to 24."
        ),
    ),
    "rows cut short": (
        lambda: [*_epw()[:-1], "1999,12,31"],
        (
            "line 8768, w: has a row that cannot be read as an hour, the first here; accepted: year, month, day, hour 1 to 24, "
            "minute, source flags, dry bulb, dew point, ...."
        ),
    ),
    "rows of something else in TMY3": (
        lambda: [*_tmy3()[:100], "these are", "not hours", *_tmy3()[102:]],
        "line 101, w: has 2 rows that cannot be read as an hour, the first here; accepted: MM/DD/YYYY, HH:MM from 01:00 to 24:00, ....",
    ),
    "four records an hour": (
        lambda: _changed(_epw(), 8, 2, "4"),
        "w: has 4 records an hour; accepted: hourly weather: 1 record an hour.",
    ),
    "records an hour not said, and half the hours gone": (
        lambda: _changed(_epw(), 8, 2, "one")[:4000],
        'line 8, w: "one" does not say how many records it has an hour; accepted: DATA PERIODS, 1, 1, ....',
    ),
    "no DATA PERIODS, and half the hours gone": (
        lambda: _without(_epw(), 8)[:4000],
        "w: has no DATA PERIODS line; accepted: an EPW file with its eight header lines.",
    ),
    "no elevation, and no pressure to find it by": (
        lambda: _hourly(_changed(_epw(), 1, 9, ""), 9, "999999"),
        "line 1, w: has no elevation in its first line; accepted: elevation from -500 to 9000.",
    ),
    "no LOCATION": (
        lambda: _without(_epw(), 1),
        "w: has no LOCATION line; accepted: an EPW file with its eight header lines.",
    ),
    "no header": (
        lambda: _epw()[HEADER:],
        "w: has no header; accepted: an EPW file with its eight header lines.",
    ),
    "LOCATION cut short": (
        lambda: ["LOCATION,Somewhere,CA", *_epw()[1:]],
        (
            "line 1, w: has a LOCATION line of 3 parts; accepted: LOCATION, city, region, country, source, station, latitude, "
            "longitude, time zone, elevation."
        ),
    ),
    "latitude that cannot be": (
        lambda: _changed(_epw(), 1, 6, "137.6"),
        'line 1, w: "137.6" is no latitude; accepted: latitude from -90 to 90.',
    ),
    "latitude that is a word": (
        lambda: _changed(_epw(), 1, 6, "north"),
        'line 1, w: "north" is no latitude; accepted: latitude from -90 to 90.',
    ),
    "elevation in feet of a mountain": (
        lambda: _changed(_epw(), 1, 9, "14000"),
        'line 1, w: "14000" is no elevation; accepted: elevation from -500 to 9000.',
    ),
    "TMY3 without a column": (
        lambda: [line.replace("Dry-bulb (C)", "T (C)") for line in _tmy3()],
        "line 2, w: has no column Dry-bulb; accepted: the columns of TMY3.",
    ),
    "TMY3 station cut short": (
        lambda: ["726170,SOMEWHERE,VT,-5.0", *_tmy3()[1:]],
        "line 1, w: has no latitude in its first line; accepted: station, name, state, time zone, latitude, longitude, elevation.",
    ),
    "another kind of file": (
        lambda: ["name,value", "a,1"],
        "w: is none of the weather files that can be read; accepted: an EPW or TMY3 CSV file, or hours measured in a CSV with a first row like: time, outdoor air [°F].",
    ),
    "nothing": (
        lambda: [""],
        "w: is empty; accepted: an EPW or TMY3 CSV file, or hours measured in a CSV with a first row like: time, outdoor air [°F].",
    ),
}


@pytest.mark.parametrize("case", CASES)
def test_each_mistake_is_one_sentence(case: str) -> None:
    """The first line it stands in, what was given, and what would be accepted."""
    lines, sentence = CASES[case]
    with pytest.raises(Refused) as refused:
        weather_year("\n".join(lines()), "w")
    assert str(refused.value) == sentence


def test_every_kind_of_mistake_is_told_at_once() -> None:
    """A dry bulb that is missing, a pressure that cannot be and a dew point above the dry bulb: three sentences."""
    lines = _changed(_changed(_changed(_epw(), 50, 6, "99.9"), 60, 9, "5"), 70, 7, "30")
    with pytest.raises(Refused) as refused:
        weather_year("\n".join(lines), "w")
    assert [refusal.line for refusal in refused.value.refusals] == [50, 60, 70]


@pytest.mark.parametrize("mark", ["999", "999999", "999900", ""])
def test_a_value_that_may_be_missing_is_none(mark: str) -> None:
    """Humidity, pressure, dew point and rain may be missing; how many hours are is counted, none is filled."""
    column = {"999": 8, "999999": 9, "999900": 9, "": 7}[mark]
    name = {8: "relative humidity", 9: "pressure", 7: "dew point"}[column]
    year = weather_year("\n".join(_changed(_epw(), 12, column, mark)))
    assert year.missing == {name: 1}


def _content(lines: list[str]) -> bytes:
    return "\r\n".join(lines).encode("utf-8")


@pytest.mark.parametrize(
    ("content", "sentence"),
    [
        (b"PK\x03\x04...", "x.epw: is a zip archive; accepted: the .epw or .csv file inside it."),
        (b"\x89PNG\r\n\x1a\n\0\0\0", "x.epw: is not a text file; accepted: an EPW or TMY3 CSV file, or hours measured in a CSV with a first row like: time, outdoor air [°F]."),
        (b"", "x.epw: is empty; accepted: an EPW or TMY3 CSV file, or hours measured in a CSV with a first row like: time, outdoor air [°F]."),
        (b'LOCATION,"' + b"x" * 200_000, "x.epw: is no CSV file: field larger than field limit (131072); accepted: an EPW or TMY3 CSV file, or hours measured in a CSV with a first row like: time, outdoor air [°F]."),
    ],
)  # fmt: skip
def test_what_is_no_text_is_refused(tmp_path: Path, content: bytes, sentence: str) -> None:
    """Archives, pictures, nothing at all, and one endless cell."""
    (tmp_path / "x.epw").write_bytes(content)
    with pytest.raises(Refused) as refused:
        read_weather(tmp_path / "x.epw")
    assert str(refused.value) == sentence


def test_a_file_that_is_not_there(tmp_path: Path) -> None:
    """The name as given, or the place in the job where it stands."""
    path = tmp_path / "none.epw"
    with pytest.raises(Refused) as refused:
        read_weather(path)
    assert (
        str(refused.value)
        == f'"{path}" cannot be read; accepted: the path of an EPW or TMY3 CSV file, or hours measured in a CSV with a first row like: time, outdoor air [°F].'
    )
    with pytest.raises(Refused) as refused:
        read_weather(path, "facts.site.weather_file")
    assert str(refused.value) == (
        'facts.site.weather_file: "none.epw" cannot be read; accepted: the path of an EPW or TMY3 CSV file, or hours measured in a CSV with a first row like: time, outdoor air [°F].'
    )


def test_a_file_that_is_too_large(tmp_path: Path) -> None:
    """Twenty megabytes are ten times a year."""
    with (tmp_path / "big.epw").open("wb") as file:
        file.truncate(20_000_001)
    with pytest.raises(Refused, match=r"^big\.epw: is too large; accepted: a file of at most 20 MB\.$"):
        read_weather(tmp_path / "big.epw")


def _read(tmp_path: Path, lines: list[str], name: str = "w.csv", encoding: str = "utf-8") -> WeatherYear:
    (tmp_path / name).write_bytes("\r\n".join(lines).encode(encoding))
    return read_weather(tmp_path / name)


def test_what_is_right_is_read(tmp_path: Path) -> None:
    """The first day of each file as it stands there: units, header, hours; whatever the name ends in."""
    west, east = _read(tmp_path, _epw(), "a.txt"), _read(tmp_path, _tmy3(), "b.epw")
    assert (west.layout, west.name, west.region, west.station) == (
        "EPW",
        "San Francisco Intl Ap",
        "CA, USA",
        "724940",
    )
    assert (west.latitude, west.longitude, west.time_zone, west.elevation) == (37.62, -122.40, -8.0, 2.0)
    assert (west.dry_bulb[0], west.dew_point[0], west.pressure[0]) == (7.2, 5.6, 102200.0)
    assert west.relative_humidity[0] == pytest.approx(0.90)
    assert (east.layout, east.name, east.region, east.station) == (
        "TMY3",
        "BURLINGTON INTERNATIONAL AP",
        "VT",
        "726170",
    )
    assert (east.latitude, east.longitude, east.time_zone, east.elevation) == (44.467, -73.150, -5.0, 101.0)
    assert (east.dry_bulb[0], east.dew_point[0], east.pressure[0]) == (-8.3, -10.6, 101500.0)
    assert east.relative_humidity[0] == pytest.approx(0.84)
    assert west.stamps[0] == east.stamps[0] == (1, 1, 1)
    assert west.stamps[-1] == east.stamps[-1] == (12, 31, 24)


def test_rain_that_the_file_does_not_vouch_for_is_not_known(tmp_path: Path) -> None:
    """TMY3 marks its rain with uncertainty 9, "unknown": it counts as missing; an EPW year without a drop does too."""
    west, east = _read(tmp_path, _epw(), "a.epw"), _read(tmp_path, _tmy3(), "b.csv")
    assert east.missing == {"precipitation": 8760}
    assert west.missing == {}
    dry = west.precipitation_by_month()
    assert all((month.at_least, month.at_most) == (0.0, float("inf")) for month in dry)


def test_a_leap_year_is_whole_with_8784_hours(tmp_path: Path) -> None:
    """29 February makes the year longer, and its absence then is a mistake."""
    year = _read(tmp_path, _epw(leap=True), "leap.epw")
    assert len(year.dry_bulb) == 8784
    lines = _epw(leap=True)
    with pytest.raises(Refused, match="has 8783 hours, which is no whole year"):
        weather_year("\n".join(_without(lines, HEADER + 1 + 24 * 59)), "w")


@pytest.mark.parametrize("encoding", ["utf-8", "utf-8-sig", "latin-1"])
def test_station_names_in_any_alphabet(tmp_path: Path, encoding: str) -> None:
    """Letters beyond the plain ones, with and without a byte order mark."""
    lines = [line.replace("San Francisco Intl Ap", "Zürich-Süd") for line in _epw()]
    assert _read(tmp_path, lines, f"{encoding}.epw", encoding).name == "Zürich-Süd"


def test_a_changed_file_is_read_again(tmp_path: Path) -> None:
    """The same name with another content gives the other content."""
    assert _read(tmp_path, _epw()).dry_bulb[0] == 7.2
    assert _read(tmp_path, _changed(_epw(), 9, 6, "11.25")).dry_bulb[0] == 11.25


RAIN: Final = 'one depth for the year, such as "510 mm" or "20.1 in", or twelve with commas, January first, the unit at the end'


@pytest.mark.parametrize(
    ("text", "sentence"),
    [
        ("510", '--precipitation: "510" has no unit, and a precipitation needs one'),
        ("510 F", '--precipitation: "510 F" is a temperature, and a precipitation is wanted'),
        ("-3 mm", '--precipitation: "-3 mm" is not possible for a precipitation here'),
        ("51 m", '--precipitation: "51 m" is not possible for a precipitation here'),
        ("much", '--precipitation: "much" is not a precipitation'),
        ("1, 2, 3 mm", '--precipitation: "1, 2, 3 mm" has 3 depths'),
        (", ".join(["1"] * 12), '--precipitation: "1" has no unit, and a precipitation needs one'),
    ],
)
def test_precipitation_that_is_refused(text: str, sentence: str) -> None:
    """No unit, another unit, an impossible depth, another number of months than twelve."""
    with pytest.raises(Refused) as refused:
        typed(text, "--precipitation")
    assert refused.value.refusals[0].sentence == f"{sentence}; accepted: {RAIN}."


def test_precipitation_as_people_write_it() -> None:
    """A thousand's comma is not a list; twelve months may share the unit at their end."""
    assert typed("1,572 mm").annual.at_least == pytest.approx(1.572)
    assert typed("20.1 in").annual.at_least == pytest.approx(20.1 * 0.0254)
    months = typed("90, 80, 60, 40, 20, 10, 30, 30, 30, 50, 70, 80 mm")
    assert months.annual.at_least == pytest.approx(0.590)
    assert months.months[5].at_most == pytest.approx(0.010)
    assert typed(", ".join(["1 in"] * 12)).annual.at_most == pytest.approx(12 * 0.0254)


FIRST_DAYS: Final = tuple(
    (DATA / name).read_text(encoding="utf-8")
    for name in ("san_francisco_first_day.epw", "burlington_first_day.csv")
)


@given(
    st.sampled_from(FIRST_DAYS),
    st.lists(
        st.tuples(st.integers(0, 6000), st.integers(0, 40), st.text(max_size=12)), min_size=1, max_size=6
    ),
)
def test_no_damage_ends_in_a_traceback(text: str, damage: list[tuple[int, int, str]]) -> None:
    """Letters cut out and put in anywhere: one day is no year, so the answer is always a refusal in words."""
    for at, length, instead in damage:
        text = text[:at] + instead + text[at + length :]
    with pytest.raises(Refused) as refused:
        weather_year(text, "w")
    assert all(refusal.problem and refusal.accepted for refusal in refused.value.refusals)


@given(st.binary(max_size=400))
def test_no_file_ends_in_a_traceback(tmp_path_factory: pytest.TempPathFactory, content: bytes) -> None:
    """Whatever bytes a file holds, it is refused in words."""
    path = tmp_path_factory.mktemp("any") / "any.epw"
    path.write_bytes(content)
    with pytest.raises(Refused):
        read_weather(path)


def test_a_stray_quote_does_not_crash() -> None:
    """Whatever stands in a comment line, the answer is a year or a sentence."""
    lines = _epw()
    lines[5] = 'COMMENTS 1,"quoted" and "again, and on'
    buffer = io.StringIO("\n".join(lines))
    assert len(weather_year(buffer.getvalue()).dry_bulb) == 8760
