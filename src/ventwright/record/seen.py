"""The part of the record that was seen: as found, instruments, airflow, sensors, settings."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from ventwright.plan import Setting
from ventwright.quantity import AIRFLOW, FRACTION, HUMIDITY_RATIO, TEMPERATURE, TEMPERATURE_DIFFERENCE
from ventwright.readings import (
    CarbonDioxide,
    Humidity,
    MixedAir,
    OutdoorAirflow,
    ProbesSideBySide,
    SensorCheck,
    SupplyAir,
)
from ventwright.record.balance_section import balance_section
from ventwright.record.content import Block, Pairs, Paragraph, Section, Table
from ventwright.record.ledger_section import ledger_section
from ventwright.record.subject import Subject
from ventwright.tables.prior import airflow_method, usual
from ventwright.words import Amount, chance


def readings_sections(subject: Subject) -> tuple[Section, ...]:
    """Build the sections on what was found and read."""
    return (
        _as_found(subject),
        _airflow(subject),
        balance_section(subject),
        _settings(subject),
        _sensors(subject),
        ledger_section(subject),
    )


def _as_found(subject: Subject) -> Section:
    found = subject.facts.as_found
    instruments = Table(("Instrument", "Serial", "Accuracy (95 %)", "Calibrated"), tuple(
        (f"{one.name or one.kind} ({one.id})", one.serial or "–", f"± {one.accuracy.show(subject.system)}", str(one.calibrated or "not given"))
        for one in subject.facts.instruments
    ), (0.4, 0.2, 0.2, 0.2), "Instruments")  # fmt: skip
    if found is None:
        return Section(
            "As found",
            (Paragraph("Nothing was entered as found."), *((instruments,) if instruments.rows else ())),
        )
    rows = [
        ("On", str(found.on or "no date")),
        ("Damper stood at", found.damper_position.show(subject.system) if found.damper_position else "–"),
    ]
    rows += [(label, subject.say_setting(label, value)) for label, value in found.settings.items()]
    rows += [("Condition", "; ".join(found.condition))] if found.condition else []
    return Section("As found", (Pairs(tuple(rows)), *((instruments,) if instruments.rows else ())))


def _airflow(subject: Subject) -> Section:
    """Supply airflow, temperatures and the outdoor air they show, each reading on its line."""
    readings, blocks = subject.readings, list[Block]()
    supply = readings.standing(SupplyAir)
    if supply:
        blocks.append(Table(("Read", "Fan speed", "Supply air", "Method", "Instrument"), tuple(
            (f"{one.at:%Y-%m-%d %H:%M}", one.speed, one.airflow.show(subject.system), one.method.value, one.instrument or "–") for one in supply
        ), (0.22, 0.16, 0.2, 0.24, 0.18), "Supply airflow"))  # fmt: skip
    blocks += _usual_accuracy(subject, supply)
    mixed = readings.standing(MixedAir)
    if mixed:
        blocks.append(Table(("Read", "Fan, signal", "Outdoor", "Return", "Mixed (points)", "Probe"), tuple(
            (f"{one.at:%Y-%m-%d %H:%M}", f"{one.speed}, {one.damper_signal}", one.outdoor_air.show(subject.system),
             one.return_air.show(subject.system), _points(one, subject), _probes(one))
            for one in mixed
        ), (0.2, 0.16, 0.14, 0.14, 0.22, 0.14), "Temperatures read"))  # fmt: skip
    blocks += _other_readings(subject)
    rows = []
    for speed in subject.verdicts.speeds:
        share = (
            None
            if speed.outdoor_air_fraction is None
            else Amount(speed.outdoor_air_fraction, FRACTION, speed.outdoor_air_fraction_u)
        )
        flow = None if speed.outdoor_air is None else Amount(speed.outdoor_air, AIRFLOW, speed.outdoor_air_u)
        within = "–" if speed.probability_within is None else chance(speed.probability_within)
        rows.append((speed.name, Amount(speed.target_outdoor_air_fraction, FRACTION).show(subject.system), subject.say(share),
                     subject.say(flow), within, speed.verdict.spoken))  # fmt: skip
    blocks.append(Table(("Fan speed", "Share wanted", "Share read", "Outdoor air read", "Chance within", "Verdict"), tuple(rows),
                        (0.14, 0.14, 0.22, 0.22, 0.14, 0.14), "Outdoor air at each fan speed (± is 95 %)"))  # fmt: skip
    return Section("Airflow", tuple(blocks))


def _usual_accuracy(subject: Subject, supply: Sequence[SupplyAir]) -> Iterator[Paragraph]:
    """What a supply airflow is trusted to where nobody typed it, with how that is known."""
    for method in dict.fromkeys(one.method for one in supply if one.airflow.uncertainty is None):
        known = airflow_method(method.value)
        if known.relative_uncertainty is not None:
            share = subject.say(Amount(2 * known.relative_uncertainty, FRACTION))
            yield Paragraph(
                f"No ± was typed for {method.value}: ± {share} counts, or the instrument's own where that is more ({known.confirmed})."
            )


def _other_readings(subject: Subject) -> Iterator[Table]:
    """What was read of the outdoor air beside temperatures: its airflow itself, carbon dioxide, humidity."""
    direct = subject.readings.standing(OutdoorAirflow)
    if direct:
        yield Table(("Read", "Fan, signal", "Outdoor air", "Method", "Instrument"), tuple(
            (f"{one.at:%Y-%m-%d %H:%M}", f"{one.speed}, {one.damper_signal}", one.airflow.show(subject.system), one.method.value, one.instrument or "–")
            for one in direct
        ), (0.2, 0.16, 0.22, 0.24, 0.18), "Outdoor airflow measured directly")  # fmt: skip
    gas = subject.readings.standing(CarbonDioxide)
    if gas:
        yield Table(("Read", "Fan, signal", "Outdoor", "Return", "Mixed", "Instrument"), tuple(
            (f"{one.at:%Y-%m-%d %H:%M}", f"{one.speed}, {one.damper_signal}", one.outdoor_concentration.show(subject.system),
             one.return_concentration.show(subject.system), one.mixed_concentration.show(subject.system), _probes(one))
            for one in gas
        ), (0.2, 0.16, 0.15, 0.15, 0.15, 0.19), "Carbon dioxide read")  # fmt: skip
    moist = subject.readings.standing(Humidity)
    if moist:
        yield Table(("Read", "Fan, signal", "Outdoor", "Return", "Mixed", "Instrument"), tuple(
            (f"{one.at:%Y-%m-%d %H:%M}", f"{one.speed}, {one.damper_signal}", *_moist(one, subject), _probes(one)) for one in moist
        ), (0.16, 0.14, 0.19, 0.19, 0.19, 0.13), "Humidity read")  # fmt: skip


def _moist(entry: Humidity, subject: Subject) -> tuple[str, ...]:
    """Dry bulb, relative humidity and humidity ratio of each stream."""
    ratios = entry.humidity_ratios(subject.plan.basis.pressure)
    return tuple(
        f"{dry_bulb.show(subject.system)}, {humidity.show(subject.system)}: {subject.say(Amount(ratio, HUMIDITY_RATIO))}"
        for (dry_bulb, humidity), ratio in zip(entry.streams, ratios, strict=True)
    )


def _probes(entry: MixedAir | CarbonDioxide | Humidity) -> str:
    """Name the instrument, or the instruments in the order outdoor, return, mixed."""
    named = (entry.outdoor_instrument, entry.return_instrument, entry.mixed_instrument)
    each = [one or entry.instrument or "not named" for one in named]
    return each[0] if len(set(each)) == 1 else ", ".join(each)


def _points(entry: MixedAir, subject: Subject) -> str:
    points = [point.value for point in entry.mixed_air]
    mean, low, high = (
        subject.say(Amount(one, TEMPERATURE)) for one in (entry.mean, min(points), max(points))
    )
    shown = f"{mean} (one point)" if len(points) == 1 else f"{mean} ({len(points)}: {low} to {high})"
    if not entry.behind_fan:
        return shown
    heat = entry.heat_of_fan
    added = subject.say(Amount(heat.value, TEMPERATURE_DIFFERENCE, heat.uncertainty))
    taken_off = subject.say(Amount(entry.before_fan, TEMPERATURE))
    return f"{shown} behind the fan; {taken_off} without its {added}"


def _settings(subject: Subject) -> Section:
    """Each setting: planned, as found, as left."""
    met = subject.facts.as_found.settings if subject.facts.as_found else {}
    found = {label.strip().lower(): subject.say_setting(label, value) for label, value in met.items()}
    left = {
        label: subject.say_setting(entry.label, entry.value)
        for label, entry in subject.readings.settings_left().items()
    }
    rows = tuple(
        (one.label, one.means.value + (f", {one.fan} fan" if one.fan else ""), subject.say(one.value) + (" (guess)" if one.guess else ""),
         found.get(one.label.lower(), "–"), left.get(one.label.lower(), "not read back"), _why(subject, one))
        for one in subject.plan.settings
    )  # fmt: skip
    return Section("Settings", (
        Table(("The kit calls it", "It is", "Planned", "As found", "As left", "Why"), rows, (0.17, 0.13, 0.11, 0.1, 0.1, 0.39), "Settings"),
    ))  # fmt: skip


def _why(subject: Subject, setting: Setting) -> str:
    """Why a setting is planned so, with its source where the plan decided."""
    reason = subject.say(setting.reason)
    return reason if setting.chosen else f"{reason} [{setting.source}]"


def _sensors(subject: Subject) -> Section:
    return Section(
        "Sensors",
        (_checked(subject), *_accepted(subject), *_biases(subject), *_side_by_side(subject)),
    )


def _accepted(subject: Subject) -> Iterator[Paragraph]:
    """How near the probe a sensor has to be, with the source of it."""
    if subject.verdicts.sensors:
        accepted = usual("sensor_agreement", TEMPERATURE_DIFFERENCE)
        allowed = subject.say(Amount(accepted.value, TEMPERATURE_DIFFERENCE))
        yield Paragraph(f"Accepted: ± {allowed} from the probe ({accepted.source}).")


def _biases(subject: Subject) -> Iterator[Table]:
    """What the unit's own mixed-air sensor showed while the air was traversed."""
    seen = [(one, one.sensor_shows, one.sensor_bias) for one in subject.readings.standing(MixedAir)]
    rows = tuple(
        (f"{one.at:%Y-%m-%d %H:%M}", f"{one.speed}, {one.damper_signal}", shows.show(subject.system),
         subject.say(Amount(one.before_fan, TEMPERATURE)), subject.say(Amount(bias, TEMPERATURE_DIFFERENCE)))
        for one, shows, bias in seen if shows is not None and bias is not None
    )  # fmt: skip
    if rows:
        yield Table(("Read", "Fan, signal", "Sensor shows", "Mixed air read", "Sensor minus reading"), rows,
                    (0.22, 0.18, 0.18, 0.2, 0.22), "The unit's mixed-air sensor beside the readings")  # fmt: skip


def _side_by_side(subject: Subject) -> Iterator[Table]:
    """Probes that were held in the same air."""
    rows = tuple(
        (f"{one.at:%Y-%m-%d %H:%M}", ", ".join(f"{probe.instrument} {probe.shows.show(subject.system)}" for probe in one.probes),
         subject.say(Amount(one.spread, TEMPERATURE_DIFFERENCE)), one.conditions or "–")
        for one in subject.readings.standing(ProbesSideBySide)
    )  # fmt: skip
    if rows:
        yield Table(
            ("Read", "Probes", "Apart", "Conditions"), rows, (0.2, 0.4, 0.14, 0.26), "Probes in the same air"
        )


def _checked(subject: Subject) -> Block:
    """Sensors of the unit held against a probe."""
    checks = subject.readings.standing(SensorCheck)
    if not checks:
        return Paragraph("No sensor was held against a probe.")
    outcome = {check.readings[0]: check for check in subject.verdicts.sensors if check.readings}
    rows = tuple(
        (one.sensor, one.shown.show(subject.system), one.probe.show(subject.system), one.instrument or "–",
         outcome[one.id].verdict.spoken if one.id in outcome else "superseded", one.note)
        for one in checks
    )  # fmt: skip
    return Table(("Sensor", "It shows", "Probe", "Instrument", "Verdict", "Note"), rows,
                 (0.16, 0.13, 0.13, 0.14, 0.14, 0.3), "Side by side")  # fmt: skip
