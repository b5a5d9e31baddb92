"""Sensors and signals: ohms to temperature and back, which curve, a substitute resistor, mA and V to a quantity.

For example:
  ventwright sensor --list
  ventwright sensor --curve thermistor-10k-type-2 --ohms "9.9k ohm"
  ventwright sensor --pairs "9870 ohm @ 77 F, 28.1k ohm @ 36 F" --accuracy "± 0.5 F"
  ventwright sensor --curve thermistor-10k-type-2 --substitute "55 F"
  ventwright sensor --signal "12 mA" --range "0 F to 100 F"
"""

from __future__ import annotations

import argparse
import re
from typing import TYPE_CHECKING

from ventwright.cli.arguments import add_json, quantity, typed
from ventwright.cli.sensor_signal import answer, placed
from ventwright.errors import Refusal, Refused

if TYPE_CHECKING:
    from ventwright.physics.sensor_match import Match, Pair
    from ventwright.plan.sensor.check import SensorReading
    from ventwright.plan.sensor.substitute import Substitute
    from ventwright.plan.sensor.which_curve import CurveFinding
    from ventwright.quantity import System
    from ventwright.tables.sensor_curve import SensorCurve, Tolerance


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Add what is asked, and what is known."""
    asked = parser.add_argument_group("what is asked (one of these)").add_mutually_exclusive_group(
        required=True
    )
    asked.add_argument("--list", action="store_true", help="every curve, and the ohms that tell it apart")
    asked.add_argument("--ohms", metavar="R", help='temperature at metered ohms, such as "9.9k ohm ± 1 %%"')
    asked.add_argument("--temperature", metavar="T", help='ohms to expect at a temperature, such as "55 F"')
    asked.add_argument("--pairs", metavar="P", help='which curve: "9870 ohm @ 77 F, 28.1k ohm @ 36 F"')
    asked.add_argument("--substitute", metavar="T", help='resistor that makes a controller read "55 F"')
    asked.add_argument("--signal", metavar="S", help='what a signal stands for, such as "12 mA" or "6 V"')
    asked.add_argument("--signal-for", metavar="X", help='signal that a quantity takes, such as "50 F"')
    sensor = parser.add_argument_group("of a sensor")
    sensor.add_argument("--curve", metavar="ID", help="id of its curve, from --list; ohms alone name none")
    sensor.add_argument("--lead", metavar="R", help='resistance of both wires together, such as "1.3 ohm"')
    sensor.add_argument("--tolerance-class", metavar="C", help="AA, A, B or C of a platinum sensor (else B)")
    sensor.add_argument("--accuracy", metavar="X", help='± of the probe in --pairs, such as "± 0.5 F"')
    signal = parser.add_argument_group("of a signal")
    signal.add_argument("--span", metavar="S", help="4-20 mA, 0-10 V, 2-10 V, 1-5 V or 0-5 V")
    signal.add_argument("--range", metavar="X", help='quantity at its two ends, such as "0 F to 100 F"')
    signal.add_argument("--shunt", metavar="R", help='resistor in the loop, such as "500 ohm ± 1 %%"')
    signal.add_argument("--input", metavar="R", help='resistance of the input across it, such as "100k ohm"')
    parser.add_argument("--units", choices=("us", "si"), default="us", help="units to show")
    add_json(parser)


def run(arguments: argparse.Namespace) -> int:
    """Answer what is asked."""
    if arguments.list:
        return _list(arguments)
    if arguments.pairs is not None:
        return _which(arguments)
    if arguments.signal is not None or arguments.signal_for is not None:
        return answer(arguments)
    return _substitute(arguments) if arguments.substitute is not None else _reading(arguments)


def _list(arguments: argparse.Namespace) -> int:
    from ventwright.cli import DONE, show
    from ventwright.physics.sensor import in_ohms, wire_resistance
    from ventwright.tables.sensor_curve import ICE, WARM, curves

    if arguments.json:
        show.as_json({"curves": [_curve_document(curve) for curve in curves()]})
        return DONE
    show.table(
        ("id", "ice water", "77 °F (25 °C)", "100 °F (37.8 °C)", "what it is"),
        (
            (curve.id, *(in_ohms(wire_resistance(at, curve.curve)) for at in (ICE, 25.0, WARM)), curve.name)
            for curve in curves()
        ),
    )
    show.line(
        "A sensor is named by its curve, never by its ohms: within a group the columns tell them apart."
    )
    for curve in curves():
        for said in (curve.others, curve.doubt):
            if said:
                show.line(f"{curve.id}: {said}")
    return DONE


def _curve_document(curve: SensorCurve) -> dict[str, object]:
    from ventwright.physics.sensor import wire_resistance
    from ventwright.tables.sensor_curve import ICE, WARM

    known = curve.curve
    return {
        "id": curve.id, "name": curve.name, "material": curve.material, "nominal_resistance_ohm": curve.nominal,
        "resistance_at_0_C_ohm": wire_resistance(ICE, known), "resistance_at_25_C_ohm": wire_resistance(25.0, known),
        "resistance_at_100_F_ohm": wire_resistance(WARM, known), "parallel_resistance_ohm": known.parallel_resistance,
        "law": known.law, "coefficients": list(known.coefficients), "coefficients_are": curve.coefficients_are,
        "coldest_C": known.coldest, "hottest_C": known.hottest, "tolerance_at_0_C_K": curve.tolerance.at_zero,
        "source": curve.source, "doubt": curve.doubt, "others": curve.others, "note": curve.note,
    }  # fmt: skip


def _curve(arguments: argparse.Namespace) -> tuple[SensorCurve, Tolerance | None]:
    """Return the curve, which has to be named, and the tolerance class if one is given."""
    from ventwright.tables.sensor_curve import curves, sensor_curve, tolerance_class

    if arguments.curve is None:
        accepted = ", ".join(curve.id for curve in curves())
        raise Refused(Refusal("is missing: ohms mean a temperature on one curve only", accepted, "--curve"))
    curve = sensor_curve(arguments.curve, "--curve")
    if arguments.tolerance_class is None:
        return curve, None
    if curve.material != "platinum":
        problem = f"is a class of platinum sensors, and {curve.id} is {curve.material}"
        raise Refused(Refusal(problem, "no class", "--tolerance-class", arguments.tolerance_class))
    return curve, tolerance_class(arguments.tolerance_class, "--tolerance-class")


def _ohms(text: str, option: str) -> tuple[float, float]:
    """Read ohms with their uncertainty; "OL" is what meters show of an open circuit."""
    from ventwright.quantity import RESISTANCE

    if text.strip().lower() in {"ol", "o.l.", "open", "infinite", "∞"}:
        fault = "ohms with a number; look for the fault in sensor, wires and terminals"
        raise Refused(Refusal("is an open circuit, which is no temperature", fault, option, text))
    read = typed(text, RESISTANCE, option)
    return read.value, read.uncertainty or 0.0


def _reading(arguments: argparse.Namespace) -> int:
    from ventwright.cli import DONE, show
    from ventwright.plan.sensor.check import ohms_at, temperature_of
    from ventwright.quantity import TEMPERATURE

    curve, tolerance = _curve(arguments)
    lead = _ohms(arguments.lead, "--lead")[0] if arguments.lead else 0.0
    option = "--ohms" if arguments.ohms is not None else "--temperature"
    with placed(option):
        if arguments.ohms is not None:
            metered, metered_u = _ohms(arguments.ohms, option)
            found = temperature_of(
                curve, metered, resistance_u=metered_u, lead_resistance=lead, tolerance=tolerance
            )
        else:
            wanted = typed(arguments.temperature, TEMPERATURE, option).value
            found = ohms_at(curve, wanted, lead_resistance=lead, tolerance=tolerance)
    if arguments.json:
        show.as_json(found)
    else:
        _print_reading(found, arguments.units)
    return DONE


def _print_reading(found: SensorReading, system: System) -> None:
    from ventwright.cli import show
    from ventwright.physics.sensor import in_ohms
    from ventwright.plan.sensor.check import CAUTION
    from ventwright.quantity import TEMPERATURE, TEMPERATURE_DIFFERENCE
    from ventwright.quantity import show as shown

    per_degree, degree = (found.ohm_per_kelvin / 1.8, "°F") if system == "us" else (found.ohm_per_kelvin, "K")
    rows = [
        ("temperature", shown(found.temperature, TEMPERATURE, system, found.temperature_u)),
        ("resistance", f"{in_ohms(found.resistance)} ± {_roughly(2 * found.resistance_u, 2)}"),
        ("curve", f"{found.curve}: {found.name}"),
        ("slope", f"{per_degree:.4g} ohm per {degree}"),
        ("short below", _roughly(found.short_below, 3)),
        ("open above", _roughly(found.open_above, 3)),
    ]
    if found.lead_resistance:
        error = shown(found.lead_error, TEMPERATURE_DIFFERENCE, system)
        said = f"{in_ohms(found.lead_resistance)} of them reckoned with; left out, the reading would be off by {error}"
        rows.insert(2, ("wires", said))
    rows.append(("source", "; ".join(part for part in (found.source, found.doubt) if part)))
    show.pairs(rows)
    for note in (*found.notes, CAUTION):
        show.line(note.show(system))


def _roughly(resistance: float, figures: int) -> str:
    """Write a limit or an uncertainty, of which few figures count."""
    from ventwright.physics.sensor import in_ohms

    return in_ohms(float(f"{resistance:.{figures}g}"))


def _which(arguments: argparse.Namespace) -> int:
    from ventwright.cli import CANNOT_TELL, DONE, FAILS, show
    from ventwright.plan.sensor.which_curve import CurveVerdict, which_curve

    pairs = _pairs(arguments)
    found = which_curve(pairs)
    if arguments.json:
        show.as_json({"pairs": [_pair_document(pair) for pair in pairs], **_finding_document(found)})
    else:
        _print_finding(found, arguments.units)
    return {CurveVerdict.ONE_CURVE: DONE, CurveVerdict.NO_CURVE: FAILS}.get(found.finding, CANNOT_TELL)


def _pairs(arguments: argparse.Namespace) -> list[Pair]:
    """Read "ohms @ temperature" pairs, apart by a comma or a semicolon; a comma inside a number stays there."""
    from ventwright.physics.sensor_match import Pair
    from ventwright.quantity import TEMPERATURE, TEMPERATURE_DIFFERENCE
    from ventwright.tables.sensor_curve import assumed

    example = '"9870 ohm @ 77 F, 28.1k ohm @ 36 F"'
    given = arguments.accuracy.strip().removeprefix("±").removeprefix("+/-") if arguments.accuracy else None
    accuracy = quantity(given, TEMPERATURE_DIFFERENCE, "--accuracy", at_least=0.0)
    probe_u = 0.5 * (accuracy.value if accuracy else assumed().probe)
    pairs = []
    for part in filter(str.strip, re.split(r";|,(?=\s)|(?<=[A-Za-zΩ%])\s*,", arguments.pairs)):
        ohms, at, beside = part.partition("@")
        if not at:
            raise Refused(Refusal("has no @ between ohms and temperature", example, "--pairs", part.strip()))
        metered, metered_u = _ohms(ohms, "--pairs")
        shown = typed(beside, TEMPERATURE, "--pairs")
        own = probe_u if shown.uncertainty is None else shown.uncertainty
        pairs.append(Pair(metered, shown.value, metered_u, own))
    if not pairs:
        raise Refused(Refusal("holds no pair", example, "--pairs", arguments.pairs))
    return pairs


def _pair_document(pair: Pair) -> dict[str, float]:
    return {"resistance_ohm": pair.resistance, "temperature_C": pair.temperature, "probe_u_K": pair.probe_u}


def _finding_document(found: CurveFinding) -> dict[str, object]:
    return {
        "finding": found.finding, "curve": found.curve, "reason": found.reason, "next_pair": found.next_pair,
        "matches": [
            {"curve": match.name, "probability": match.probability, "chance": match.chance,
             "residuals_K": list(match.residuals)}
            for match in found.matches
        ],
    }  # fmt: skip


def _print_finding(found: CurveFinding, system: System) -> None:
    from ventwright.cli import show
    from ventwright.plan.sensor.check import CAUTION

    show.pairs(
        [("finding", found.curve or found.finding.replace("_", " ")), ("why", found.reason.show(system))]
    )
    readable = [match for match in found.matches if match.residuals]
    nearest = sorted(readable, key=lambda match: (-match.probability, match.misfit))[:5]
    columns = ("curve", "probability", "curve minus probe, pair by pair")
    show.table(columns, (_match_row(match, system) for match in nearest))
    show.line(CAUTION.show(system))


def _match_row(match: Match, system: System) -> tuple[str, str, str]:
    from ventwright.evidence import ACCEPTED_RISK
    from ventwright.quantity import TEMPERATURE_DIFFERENCE
    from ventwright.quantity import show as shown
    from ventwright.words import chance

    likely = chance(match.probability)
    left = ", ".join(shown(one, TEMPERATURE_DIFFERENCE, system) for one in match.residuals)
    return match.name, likely if match.chance >= ACCEPTED_RISK else "does not fit", left


def _substitute(arguments: argparse.Namespace) -> int:
    from ventwright.cli import DONE, show
    from ventwright.plan.sensor.substitute import substitute
    from ventwright.quantity import TEMPERATURE

    curve, _ = _curve(arguments)
    wanted = typed(arguments.substitute, TEMPERATURE, "--substitute")
    with placed("--substitute"):
        found = substitute(curve, wanted.value)
    if arguments.json:
        show.as_json(found)
    else:
        _print_substitute(found, arguments.units)
    return DONE


def _print_substitute(found: Substitute, system: System) -> None:
    from ventwright.cli import show
    from ventwright.physics.sensor import in_ohms
    from ventwright.quantity import FRACTION, TEMPERATURE
    from ventwright.quantity import show as shown

    show.line(found.cautions[0].show(system))
    show.pairs(
        [
            ("to read", shown(found.wanted, TEMPERATURE, system)),
            ("connect", f"{in_ohms(found.resistance)} in place of the sensor"),
            ("curve", "; ".join(part for part in (found.curve, found.doubt) if part)),
        ]
    )
    show.table(
        ("resistor", "series", "reads", "at the ends of its tolerance"),
        (
            (
                in_ohms(one.resistance),
                f"{one.series}, ± {shown(one.tolerance, FRACTION, system)}",
                shown(one.temperature, TEMPERATURE, system),
                f"{shown(one.coldest, TEMPERATURE, system)} to {shown(one.hottest, TEMPERATURE, system)}",
            )
            for one in found.preferred
        ),
    )
    for caution in found.cautions[1:]:
        show.line(f"caution: {caution.show(system)}")
    show.heading("Put back")
    for number, step in enumerate(found.restore, start=1):
        show.line(f"{number}. {step.show(system)}")
