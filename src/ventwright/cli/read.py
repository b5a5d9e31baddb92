"""Add a reading to a job; nothing is ever overwritten, a correction is a new entry (--corrects ID).

Examples
--------
  ventwright read JOB visit --technician "A. Fitter" --purpose "first fit"
  ventwright read JOB supply-air --speed high --airflow "3950 cfm ± 4 %" --method traverse
  ventwright read JOB mixed-air --speed high --damper "21 %" --outdoor "38.2 F" --return "73.8 F" --mixed "64.1 F, 63.7 F, 64.4 F"
  ventwright read JOB mixed-air --speed high --damper "21 %" --outdoor "38.2 F" --return "73.8 F" --mixed "65.6 F" --behind-fan --fan-heat "1.2 F ± 0.4 F"
  ventwright read JOB outdoor-airflow --speed high --damper "21 %" --airflow "1120 cfm" --method "traverse of the hood"
  ventwright read JOB carbon-dioxide --speed high --damper "21 %" --outdoor "430 ppm" --return "980 ppm" --mixed "830 ppm" --instrument co2-meter
  ventwright read JOB humidity --speed high --damper "21 %" --outdoor "38 F" --outdoor-rh "70 %" --return "74 F" --return-rh "35 %" --mixed "64 F" --mixed-rh "38 %"
  ventwright read JOB side-by-side --probes "probe-1 = 58.2 F, probe-2 = 58.6 F"
  ventwright read JOB sensor --sensor "return air" --shown "74.9 F" --probe "74.0 F"
  ventwright read JOB setting --label "Mixed-air target" --value "53 F"
  ventwright read JOB change --kind resistor --sensor "outdoor air" --point "outdoor sensor" --was "sensor on" --to "12k ohm resistor" --imitates "66 F"
  ventwright read JOB change --kind setting --label "Outdoor air too warm above" --point "high limit" --was "63 F" --to "75 F"
  ventwright read JOB change --kind jumper --call "first cooling" --point "R to Y1 at the board" --was "open" --to "joined"
  ventwright read JOB restored --change ID --read-back "58.4 F, probe 58.2 F"
  ventwright read JOB tick --item "blades move freely"
  ventwright read JOB test-step --step free_cooling.engages --value "100 %" --simulated --changes ID
  ventwright read JOB repaired --of "outdoor-air damper stuck"
  ventwright read JOB finding --measurement run.cool_1 --found "damper signal = 42 %; outdoor blades = 0 %; compressors = 1"
  ventwright read JOB withdraw --corrects ID
"""

from __future__ import annotations

import argparse
from typing import TYPE_CHECKING, Any

from ventwright.cli.arguments import add_job, add_json, without_empty

if TYPE_CHECKING:
    from ventwright.errors import Refusal

AT_DAMPER = {
    "--speed": ("speed", "fan speed"), "--damper": ("damper_signal", 'damper signal held, "21 %%" or "3.7 V"'),
}  # fmt: skip

EACH_INSTRUMENT = {
    "--instrument": ("instrument", "the instrument, where one was used for all"),
    "--outdoor-instrument": ("outdoor_instrument", "instrument of the outdoor air"),
    "--return-instrument": ("return_instrument", "instrument of the return air"),
    "--mixed-instrument": ("mixed_instrument", "instrument of the mixed air"),
}

KINDS: dict[str, tuple[str, dict[str, tuple[str, str]]]] = {
    # word on the command line: (word in the document, option: (key in the document, help))
    "supply-air": ("supply air", {
        "--speed": ("speed", "fan speed"), "--airflow": ("airflow", 'such as "3950 cfm ± 4 %%"'),
        "--method": ("method", "traverse, flow plate, static pressure and fan table, temperature rise, balancing report"),
        "--instrument": ("instrument", "id of the instrument"),
    }),
    "mixed-air": ("mixed air", {
        **AT_DAMPER,
        "--outdoor": ("outdoor_air", "outdoor temperature"), "--return": ("return_air", "return temperature"),
        "--mixed": ("mixed_air", "mixed temperature, several points with commas between"),
        "--instrument": ("instrument", "the probe, where one was used for all"),
        "--outdoor-instrument": ("outdoor_instrument", "probe of the outdoor air"),
        "--return-instrument": ("return_instrument", "probe of the return air"),
        "--mixed-instrument": ("mixed_instrument", "probe of the mixed air"),
        "--behind-fan": ("behind_fan", "the mixed air was read on the supply side, coil and heat off"),
        "--fan-heat": ("fan_heat", 'what the fan adds there, such as "1.2 F ± 0.4 F" (else a usual value)'),
        "--sensor-shows": ("sensor_shows", "what the unit's own mixed-air sensor shows at that moment"),
    }),
    "outdoor-airflow": ("outdoor airflow", {
        **AT_DAMPER, "--airflow": ("airflow", 'such as "1120 cfm ± 15 %%"'),
        "--method": ("method", "traverse of the hood, flow station, flow hood"),
        "--outdoor": ("outdoor_air", "temperature of that air, where no temperatures are read beside it"),
        "--volume": ("volume", 'what the instrument shows: "as it flows" or "standard air"'),
        "--instrument": ("instrument", "id of the instrument"),
    }),
    "carbon-dioxide": ("carbon dioxide", {
        **AT_DAMPER,
        "--outdoor": ("outdoor_concentration", 'outdoor air, such as "430 ppm"'),
        "--return": ("return_concentration", "return air"), "--mixed": ("mixed_concentration", "mixed air"), **EACH_INSTRUMENT,
    }),
    "humidity": ("humidity", {
        **AT_DAMPER,
        "--outdoor": ("outdoor_dry_bulb", "outdoor dry bulb"), "--outdoor-rh": ("outdoor_relative_humidity", 'its relative humidity, such as "70 %%"'),
        "--return": ("return_dry_bulb", "return dry bulb"), "--return-rh": ("return_relative_humidity", "its relative humidity"),
        "--mixed": ("mixed_dry_bulb", "mixed dry bulb"), "--mixed-rh": ("mixed_relative_humidity", "its relative humidity"), **EACH_INSTRUMENT,
        "--thermometer": ("thermometer", "the temperature probe that read the dry bulbs"),
    }),
    "side-by-side": ("probes side by side", {
        "--probes": ("probes", 'each probe with what it shows, such as "probe-1 = 58.2 F, probe-2 = 58.6 F"'),
    }),
    "sensor": ("sensor check", {
        "--sensor": ("sensor", "outdoor air, return air, mixed air or supply air"), "--shown": ("shown", "what the controller shows"),
        "--probe": ("probe", "what the probe shows"), "--instrument": ("instrument", "id of the probe"),
    }),
    "setting": ("setting", {"--label": ("label", "the kit's label"), "--value": ("value", "value as read back")}),
    "change": ("temporary change", {
        "--point": ("point", "what was changed"), "--was": ("was", "how it was"), "--to": ("changed_to", "how it is for the test"),
        "--kind": ("kind", "resistor, pack, jumper, override, setting or lead; it decides what proves the return"),
        "--sensor": ("sensor", "of a resistor, pack or lead: outdoor air, return air, mixed air or supply air"),
        "--resistance": ("resistance", 'of a resistor, such as "12 kohm"'),
        "--imitates": ("imitates", "of a resistor or pack: what the controller shows with it"),
        "--label": ("label", "of a setting: the kit's label; --was and --to are then values with units"),
        "--call": ("call", "made by hand: first cooling, second cooling, first heating, second heating, fan, occupied"),
    }),
    "restored": ("restored", {"--change": ("change", "id of the temporary change"), "--read-back": ("read_back", "what it shows now")}),
    "tick": ("tick", {"--item": ("item", "what was looked at"), "--found": ("found", "in order, not in order, not looked at")}),
    "test-step": ("test step", {
        "--step": ("step", "id of the step, as `ventwright prove` shows it"), "--seen": ("seen", "yes, no, not fitted, not looked at"),
        "--value": ("read_value", 'what was read, such as "21 %%" or "55.2 F"'), "--simulated": ("simulated", "the condition was simulated"),
        "--changes": ("changes", "ids of the temporary changes under which it was seen, commas between"),
        "--instrument": ("instrument", "id of the instrument"), "--speed": ("speed", "fan speed at which a minimum signal was read"),
    }),
    "repaired": ("repaired", {"--of": ("of", "the fault, in the words of `ventwright diagnose`, or the step that failed")}),
    "finding": ("fault finding", {
        "--measurement": ("measurement", "id of the measurement, as `ventwright diagnose` names it; or complaint"),
        "--found": ("found", 'each part with what it gave, such as "damper signal = 42 %%; compressors = 1"'),
        "--instrument": ("instrument", "id of the instrument"),
    }),
    "withdraw": ("withdrawn", {}),
}  # fmt: skip

ADDS = {
    "visit": "begin a visit: who, what for, in what weather",
    "supply-air": "a supply airflow at one fan speed",
    "mixed-air": "outdoor, return and mixed air, read together",
    "outdoor-airflow": "the outdoor airflow itself",
    "carbon-dioxide": "carbon dioxide of outdoor, return and mixed air",
    "humidity": "dry bulb and relative humidity of the three streams",
    "side-by-side": "what several probes show in one air",
    "sensor": "a sensor of the unit held beside a probe",
    "setting": "a setting of the kit as it was read back",
    "change": "something changed for a test, before it is changed",
    "restored": "that it was put back, and what showed it",
    "tick": "something that was looked at",
    "test-step": "what was seen or read at a step of the functional tests",
    "repaired": "a fault that was put right",
    "finding": "a measurement on the way to a fault, or a complaint",
    "withdraw": "take an entry back; it stays on record",
}
"""What each kind of entry is, for help."""

EARLIEST = 2000
"""Year before which nobody read anything that this tool keeps: a clock that was never set (our own assumption)."""

WITHOUT_VALUE = {"--behind-fan", "--simulated"}

VISIT = {
    "--technician": ("technician", "who does the work"), "--certificate": ("certificate", "certification number"),
    "--purpose": ("purpose", "what for"), "--sky": ("sky", "weather in words"), "--outdoor": ("outdoor_air", "outdoor temperature"),
}  # fmt: skip

COMMON = {
    "--id": ("id", "id of the entry (else one is made)"), "--at": ("at", "time with offset (else now)"),
    "--visit": ("visit", "id of the visit (else the last one)"), "--by": ("by", "who read it"),
    "--conditions": ("conditions", "sun, wind, exhaust fans, doors"), "--corrects": ("corrects", "id of the entry this one replaces"),
    "--note": ("note", "free text"),
}  # fmt: skip


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Add the job and one sub-command for every kind of entry."""
    add_job(parser)
    kinds = parser.add_subparsers(
        dest="entry", required=True, metavar="KIND", help=", ".join(["visit", *KINDS])
    )
    for word, options in {"visit": VISIT, **{word: options for word, (_, options) in KINDS.items()}}.items():
        sub = kinds.add_parser(word, allow_abbrev=False, help=ADDS[word])
        common = {"--id": COMMON["--id"], "--at": COMMON["--at"]} if word == "visit" else COMMON
        for option, (key, words) in {**options, **common}.items():
            if option in WITHOUT_VALUE:
                sub.add_argument(option, dest=key, action="store_const", const=True, help=words)
            else:
                sub.add_argument(option, dest=key, metavar="X", help=words)
        add_json(sub)


def run(arguments: argparse.Namespace) -> int:
    """Append the entry, then show what the readings now say."""
    from ventwright.cli.verdict import report
    from ventwright.errors import Refused
    from ventwright.store import append, load

    kept = load(arguments.job)
    readings = kept.job.readings
    if arguments.entry == "visit":
        key, number = "visits", len(readings.visits) + 1
        entry = _visit(arguments, [visit.id for visit in readings.visits])
    else:
        key, number = "entries", len(readings.entries) + 1
        entry = _entry(arguments, readings.visits[-1].id if readings.visits else None)
    _refuse_far(str(entry.get("at") or entry.get("started") or ""))
    try:
        kept = append(kept, "readings", key, entry)
    except Refused as refused:
        place = f"readings.{key}[{number}]."
        raise Refused(*(_by_option(one, place, arguments.entry) for one in refused.refusals)) from None
    if not arguments.json:
        print(f"{entry['id']} added to {arguments.job}.")
    return report(kept, as_json=arguments.json, units=kept.job.units)


def _refuse_far(at: str) -> None:
    """Refuse a time that lies ahead or long ago: a slip of a digit would outrank every later entry, or count for nothing."""
    from datetime import UTC, datetime, timedelta

    from ventwright.errors import Refusal, Refused

    try:
        time = datetime.fromisoformat(at)
    except ValueError:
        return  # what is no time at all is refused with the rest of the entry
    if time.tzinfo and not EARLIEST <= time.year <= (datetime.now(UTC) + timedelta(days=1)).year:
        problem = "lies ahead" if time.year >= EARLIEST else "lies long ago"
        raise Refused(Refusal(problem, f"a time of this year or before, from {EARLIEST} on", "--at", at))


def _by_option(refusal: Refusal, place: str, kind: str) -> Refusal:
    """Name the option that a refused part of the new entry was given by."""
    field, bracket, point = refusal.where.removeprefix(place).partition("[")
    options = (VISIT if kind == "visit" else KINDS[kind][1]) | COMMON
    named = next((option for option, (key, _) in options.items() if key == field), None)
    if field == "started":
        named = "--at"
    return refusal if named is None else refusal.at(f"{named}{bracket}{point}", refusal.line)


def _parts(text: str) -> list[str]:
    """Part what was given with commas between."""
    return [part.strip() for part in text.split(",") if part.strip()]


def _probe(text: str) -> dict[str, str]:
    """Part one probe from what it shows: "probe-1 = 58.2 F"."""
    name, _, shows = text.partition("=")
    return without_empty({"instrument": name.strip(), "shows": shows.strip()})


def now() -> str:
    """Return the time as an entry has it."""
    from datetime import datetime

    return datetime.now().astimezone().isoformat(timespec="seconds")


def _visit(arguments: argparse.Namespace, known: list[str]) -> dict[str, Any]:
    from itertools import count

    given = {key: getattr(arguments, key) for key, _ in VISIT.values()}
    free = next(name for name in map("visit-{}".format, count(len(known) + 1)) if name not in known)
    return without_empty({"id": arguments.id or free, "started": arguments.at or now(), **given})


def _found(text: str) -> dict[str, str]:
    """Part one part of a measurement from what it gave: "compressors = 1"; a value alone where there is only one part."""
    reads, equals, value = text.partition("=")
    return without_empty(
        {"reads": reads.strip(), "value": value.strip()} if equals else {"value": text.strip()}
    )


def _entry(arguments: argparse.Namespace, last_visit: str | None) -> dict[str, Any]:
    from secrets import token_hex

    what, options = KINDS[arguments.entry]
    given = {key: getattr(arguments, key) for key, _ in options.values()}
    if given.get("mixed_air"):
        given["mixed_air"] = _parts(given["mixed_air"])
    if given.get("changes"):
        given["changes"] = _parts(given["changes"])
    if given.get("probes"):
        given["probes"] = [_probe(one) for one in _parts(given["probes"])]
    if arguments.entry == "finding" and given["found"]:
        given["found"] = [_found(one) for one in given["found"].split(";") if one.strip()]
    common = {key: getattr(arguments, key) for key, _ in COMMON.values()}
    filled = {
        "id": arguments.id or token_hex(4),
        "at": arguments.at or now(),
        "visit": arguments.visit or last_visit,
    }
    return without_empty(
        {"what": what, **filled, **given, **{key: common[key] for key in common if key not in filled}}
    )
