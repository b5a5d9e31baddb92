"""What a unit was doing, row by row: fan, heating, cooling, damper, hours; and whether it stood long enough to be judged.

Everything is whole numbers and yes or no, made with signs that columns of plain Python and arrays of NumPy share, so that both
give the same. ``Rows`` is either. Temperatures and signals are in the whole steps of the log, times and windows in seconds.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from functools import cached_property
from typing import Any

from ventwright.tables.fault_rule import RuleSet
from ventwright.tables.point import points
from ventwright.verdict.trend_findings.log_steps import signal_steps
from ventwright.verdict.trend_findings.place_clock import DAY, in_hours, local_times
from ventwright.verdict.trend_findings.shape import KnownUnit

Rows = Any
"""``PlainRows`` or ``QuickRows``."""
Column = Any
"""A column of whole numbers, or of yes and no, of either."""
COMPRESSORS = ("cooling_1", "cooling_2", "cooling_3", "cooling_4")
HEATERS = ("heating_1", "heating_2")
MEASURED = frozenset(
    {"temperature", "pressure", "airflow", "concentration", "enthalpy", "humidity ratio", "power"}
)
"""Kinds of points that change all the time; the others change now and then."""


class Signals:
    """The rows of a unit with what rules share, each made when it is first asked for."""

    def __init__(self, rows: Rows, rules: RuleSet, known: KnownUnit) -> None:
        """Take the rows."""
        self.rows, self.figures, self.known = rows, rules.figures, known
        self.step = rows.middle_step()
        self._cap = max(1, self.step * 3 // 2)
        self._made: dict[tuple[str | int, ...], Any] = {}

    def _once(self, *what: str | int, make: Callable[[], Any]) -> Any:
        """Return what was made when it was first asked for."""
        if what not in self._made:
            self._made[what] = make()
        return self._made[what]

    # --- time ---

    @cached_property
    def ahead(self) -> Column:
        """For how long a row stands: to the next one, but no longer than one and a half usual steps. [s]"""
        gaps = self.rows.after(self.rows.time) - self.rows.time
        last = self.rows.number(gaps <= 0) * self.step
        return self.rows.smaller(gaps + last, self._cap)

    @cached_property
    def _covered(self) -> Column:
        """Time up to a row that its reading covers. [s]"""
        gaps = self.rows.time - self.rows.before(self.rows.time)
        first = self.rows.number(gaps <= 0) * self.step
        return self.rows.smaller(gaps + first, self._cap)

    @cached_property
    def local(self) -> Column:
        """Seconds of the clock of the place."""
        return local_times(self.rows, self.known.zone)

    @cached_property
    def day(self) -> Column:
        """Number of the day of the place."""
        return self.local // DAY

    def _enough(self, window: int) -> Column:
        """Whether the window that ends with each row holds enough readings."""
        figures = self.figures.windows
        part, whole = figures.least_covered

        def make() -> Column:
            covered = self.rows.total(self._covered, window) * whole >= part * window
            return (self.rows.readings(window) >= figures.least_readings) & covered

        return self._once("enough", window, make=make)

    def stood(self, which: Column, window: int) -> Column:
        """Whether something was so in every reading of a window that has enough of them."""
        # with the column that was asked about, so that no other one is ever held where it was
        _, found = self._once(
            "stood",
            id(which),
            window,
            make=lambda: (which, self.rows.all_in(which, window) & self._enough(window)),
        )
        return found

    def travel(self, column: Column, window: int) -> Column:
        """Ups and downs of a column from row to row, added over a window."""
        return self.rows.total(abs(column - self.rows.before(column)), window)

    # --- points ---

    def has(self, name: str) -> bool:
        """Whether a point was logged."""
        return name in self.rows

    def point(self, name: str) -> tuple[Column, Column]:
        """Return a point's steps, and whether there is a value."""
        holds = self.figures.holds
        hold = holds.measured if points()[name].kind.name in MEASURED else holds.states
        found: tuple[Column, Column] = self._once("point", name, make=lambda: self.rows.held(name, hold))
        return found

    def apart(self, first: str, second: str) -> tuple[Column, Column]:
        """Return one point less another [steps], and whether both are there; nowhere where one was not logged."""
        if not (self.has(first) and self.has(second)):
            return self.rows.constant(0), self.never
        (one, there), (other, there_too) = self.point(first), self.point(second)
        found: tuple[Column, Column] = self._once(
            "apart", first, second, make=lambda: (one - other, there & there_too)
        )
        return found

    def ranges(self, name: str) -> Mapping[int, tuple[int, int]]:
        """Return least and most of a point by day. [steps]"""
        found: Mapping[int, tuple[int, int]] = self._once(
            "ranges", name, make=lambda: self.rows.ranges_by(self.day, *self.point(name))
        )
        return found

    def missing(self, needs: tuple[str, ...]) -> tuple[str, ...]:
        """Return what of a rule's needs was not logged, nor known."""
        return tuple(need for need in needs if not any(self._met(one) for one in need.split("|")))

    def _met(self, need: str) -> bool:
        match need:
            case "fan":
                return self.fan is not None
            case "cooling":
                return self.cooling is not None
            case "heating":
                return self.heating is not None
            case "occupancy":
                return self.occupied is not None
            case "cooling_stage":
                return any(map(self.has, COMPRESSORS))
            case _:
                return self.has(need)

    @cached_property
    def never(self) -> Column:
        """No in every row."""
        return self.rows.constant(value=False)

    def _any_on(
        self, switches: tuple[str, ...], levels: tuple[tuple[str, int], ...]
    ) -> tuple[Column, Column] | None:
        """Whether any of some points is on, and whether any has a value; None where none was logged."""
        limits = [(name, 1) for name in switches] + list(levels)
        logged = [(name, limit) for name, limit in limits if self.has(name)]
        if not logged:
            return None
        on, known = self.never, self.never
        for name, limit in logged:
            value, there = self.point(name)
            on, known = on | ((value >= limit) & there), known | there
        return on, known

    @cached_property
    def fan(self) -> tuple[Column, Column] | None:
        """Whether the fan runs, and whether that is known."""
        for name in ("supply_fan_status", "supply_fan_command"):
            if self.has(name):
                value, there = self.point(name)
                return (value >= 1) & there, there
        if self.has("supply_fan_speed"):
            value, there = self.point("supply_fan_speed")
            return (value > signal_steps(self.figures.on.fan)) & there, there
        return None

    @cached_property
    def fan_runs(self) -> Column:
        """Whether the fan has run, at one speed, through a steady window."""
        if self.fan is None:
            return self.never
        window = self.figures.windows.steady
        runs = self.stood(self.fan[0], window)
        if self.has("supply_fan_speed"):
            most = signal_steps(self.figures.share.most_fan_change)
            runs = runs & (self.travel(self.point("supply_fan_speed")[0], window) <= most)
        return runs

    @cached_property
    def cooling(self) -> tuple[Column, Column] | None:
        """Whether mechanical cooling runs, and whether that is known."""
        on = self.figures.on
        levels = (
            ("cooling_stages", 1),
            ("cooling_signal", signal_steps(on.signal)),
            ("compressor_current", round(on.current / points()["compressor_current"].step)),
        )
        return self._any_on(COMPRESSORS, levels)

    @cached_property
    def heating(self) -> tuple[Column, Column] | None:
        """Whether heating runs, and whether that is known."""
        return self._any_on(
            HEATERS, (("heating_stages", 1), ("heating_signal", signal_steps(self.figures.on.signal)))
        )

    def full(self, switches: tuple[str, ...], stages: str, signal: str) -> Column:
        """Whether as much is called for as can be: any compressor or burner must show, a valve only when it is open."""
        found = self._any_on(switches, ((stages, 1), (signal, signal_steps(self.figures.on.full))))
        return self.never if found is None else found[0]

    def is_on(self, which: tuple[Column, Column] | None) -> Column:
        """Whether something runs; no where that is not known."""
        return self.never if which is None else which[0]

    def is_off(self, which: tuple[Column, Column] | None) -> Column:
        """Whether something is known not to run."""
        return self.never if which is None else which[1] & ~which[0]

    def not_seen_on(self, which: tuple[Column, Column] | None) -> Column:
        """Whether nothing says that something runs."""
        return ~self.is_on(which)

    @cached_property
    def over_coils(self) -> tuple[Column, Column]:
        """Supply less mixed air summed over a steady window, and where both were there and the fan ran. [steps]"""
        window = self.figures.windows.steady
        rise, there = self.apart("supply_temperature", "mixed_temperature")
        judged = self.fan_runs & self.stood(there, window)
        return self.rows.total(rise * self.rows.number(there), window), judged

    @cached_property
    def readings(self) -> Column:
        """Count the readings in a steady window."""
        return self.rows.readings(self.figures.windows.steady)

    # --- damper ---

    @cached_property
    def signal(self) -> tuple[Column, Column]:
        """Damper signal and whether there is one; a switch stands for the signals that it means."""
        if self.has("outdoor_damper_signal"):
            return self.point("outdoor_damper_signal")
        if self._switch is None:
            return self.rows.constant(0), self.never
        economizes, there = self._switch
        classes = self.figures.classes
        low, high = signal_steps(classes.flag_minimum), signal_steps(classes.flag_open)
        with_compressor = economizes & self.is_on(self.cooling)
        # alone it holds the set point: how far open is not known, and half says so
        half = (low + high) // 2
        opened = self.rows.number(economizes) * (half - low) + self.rows.number(with_compressor) * (
            high - half
        )
        return opened + low, there

    @cached_property
    def minimum(self) -> Column:
        """Damper signal up to which the damper is at its minimum. [steps]"""
        on = self.figures.on
        if self.has("outdoor_damper_minimum"):
            value, there = self.point("outdoor_damper_minimum")
            usual = self.rows.number(~there) * signal_steps(on.usual_minimum)
            return value + usual + signal_steps(on.above_minimum)
        least = max(self.known.minimum_signal.values(), default=on.usual_minimum)
        return self.rows.constant(signal_steps(least) + signal_steps(on.above_minimum))

    @cached_property
    def _switch(self) -> tuple[Column, Column] | None:
        """Whether a switch says to economize, and whether that is known; None where a signal is logged, or neither."""
        if self.has("outdoor_damper_signal") or not self.has("economizing"):
            return None
        value, there = self.point("economizing")
        return value >= 1, there

    @cached_property
    def at_minimum(self) -> Column:
        """Whether the damper is told to stand at its minimum."""
        if self._switch is not None:
            return ~self._switch[0] & self._switch[1]
        value, there = self.signal
        return (value <= self.minimum) & there

    def open_to(self, least: float) -> Column:
        """Whether the damper is told to open that far, or told to economize. [-]"""
        if self._switch is not None:
            return self._switch[0] & self._switch[1]
        value, there = self.signal
        return (value >= signal_steps(least)) & there

    @cached_property
    def signal_steady(self) -> Column:
        """Whether the damper signal has hardly moved through a steady window."""
        value, there = self.signal
        window = self.figures.windows.steady
        most = signal_steps(self.figures.share.most_travel)
        return self.stood(there, window) & (self.travel(value, window) <= most)

    # --- hours ---

    @cached_property
    def occupied(self) -> tuple[Column, Column] | None:
        """Whether the space is occupied, and whether that is known."""
        if self.has("occupied"):
            value, there = self.point("occupied")
            return (value >= 1) & there, there
        if not self.known.occupied_hours:
            return None
        on = in_hours(self.known.occupied_hours, self.local, self.day, self.never)
        return on, self.rows.constant(value=True)
