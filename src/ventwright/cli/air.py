"""Everything about one state of moist air, from its dry bulb and one quantity more.

example: ventwright air --dry-bulb "75 F" --rh "50 %" --elevation "5300 ft"
"""

from __future__ import annotations

import argparse

from ventwright.cli.arguments import add_json, quantity, typed

SECOND = {
    "relative_humidity": ("--rh", "relative humidity"),
    "dew_point": ("--dew-point", "dew point"),
    "wet_bulb": ("--wet-bulb", "wet bulb"),
    "humidity_ratio": ("--humidity-ratio", "humidity ratio"),
    "enthalpy": ("--enthalpy", "enthalpy"),
}


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Add what describes the air."""
    parser.add_argument("--dry-bulb", required=True, metavar="T", help='dry-bulb temperature, such as "75 F"')
    second = parser.add_mutually_exclusive_group(required=True)
    examples = {
        "--rh": '"50 %%"',
        "--dew-point": '"55 F"',
        "--wet-bulb": '"62 F"',
        "--humidity-ratio": '"65 gr/lb"',
        "--enthalpy": '"28 Btu/lb"',
    }
    for name, (option, words) in SECOND.items():
        second.add_argument(option, dest=name, metavar="X", help=f"{words}, such as {examples[option]}")
    place = parser.add_mutually_exclusive_group()
    place.add_argument(
        "--elevation", metavar="H", help='height above sea level, such as "5300 ft" (else sea level)'
    )
    place.add_argument("--pressure", metavar="P", help='air pressure, such as "12.1 psi" or "83.5 kPa"')
    parser.add_argument("--units", choices=("us", "si"), default="us", help="units to show")
    add_json(parser)


def run(arguments: argparse.Namespace) -> int:
    """Show the state."""
    from ventwright.cli import show
    from ventwright.physics.air import state
    from ventwright.physics.moist_air import pressure_at_elevation
    from ventwright.quantity import (
        DENSITY,
        ENTHALPY,
        FRACTION,
        HUMIDITY_RATIO,
        LENGTH,
        PRESSURE,
        SPECIFIC_VOLUME,
        TEMPERATURE,
    )  # fmt: skip
    from ventwright.words import Amount

    fields = {
        "dry_bulb": TEMPERATURE, "relative_humidity": FRACTION, "humidity_ratio": HUMIDITY_RATIO, "dew_point": TEMPERATURE,
        "wet_bulb": TEMPERATURE, "enthalpy": ENTHALPY, "specific_volume": SPECIFIC_VOLUME, "density": DENSITY,
        "vapour_pressure": PRESSURE, "pressure": PRESSURE,
    }  # fmt: skip
    dry_bulb = typed(arguments.dry_bulb, TEMPERATURE, "--dry-bulb")
    name = next(name for name in SECOND if getattr(arguments, name) is not None)
    bounds = {"at_least": 0.0, "at_most": 1.0} if name == "relative_humidity" else {}
    second = typed(getattr(arguments, name), fields[name], SECOND[name][0], **bounds)
    elevation = quantity(arguments.elevation, LENGTH, "--elevation")
    pressure = quantity(arguments.pressure, PRESSURE, "--pressure")
    at = pressure.value if pressure else pressure_at_elevation(elevation.value if elevation else 0.0)
    air = state(dry_bulb.value, pressure=at, **{name: second.value})
    if arguments.json:
        show.as_json({f"{field}{dimension.key}": getattr(air, field) for field, dimension in fields.items()})
    else:
        show.pairs(
            (field.replace("_", " "), Amount(getattr(air, field), dimension).show(arguments.units))
            for field, dimension in fields.items()
        )
    return 0
