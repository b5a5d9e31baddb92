"""What a source of control power has to be before it is switched on: Class 2, fused, one kind of rectifier."""

from __future__ import annotations

from collections.abc import Iterator

from ventwright.evidence import Verdict
from ventwright.facts.power import Transformer
from ventwright.plan.concerns import Weight
from ventwright.plan.power.budget import TransformerBudget
from ventwright.plan.power.finding import Amounts, Case, PowerFinding, finding, nominal
from ventwright.quantity import APPARENT_POWER, CURRENT
from ventwright.tables import control_power
from ventwright.tables.class_2 import class_2, highest_voltage
from ventwright.words import Amount, Words, words

NOT_CLASS_2 = Words(
    "wire everything on it as Class 1, apart from thermostat cable, or take a source of at most 100 VA and 30 V"
)
FIT_A_FUSE = "fit a fuse on the secondary before power goes on, unit locked out{size}"


def source_findings(transformer: Transformer, budget: TransformerBudget) -> Iterator[PowerFinding]:
    """Look at the source itself: its class, its fuse and what kinds of device share it."""
    yield _class_2(transformer, budget)
    yield _fuse(transformer, budget)
    yield from _rectifiers(budget)


def _class_2(transformer: Transformer, budget: TransformerBudget) -> PowerFinding:
    """Voltage without load and apparent power on the nameplate, against the limits of a Class 2 source."""
    name, top = "power.class_2", highest_voltage()
    limits = class_2(min(budget.no_load_voltage.value, top))
    assert limits is not None  # noqa: S101 - no voltage at or below the highest lies outside the table
    amounts: Amounts = {
        "name": Words(budget.name), "voltage": budget.no_load_voltage, "rating": Amount(budget.rating, APPARENT_POWER),
        "top": nominal(top), "most": Amount(limits.apparent_power, APPARENT_POWER),
        "guess": Words(" (a guess)" if budget.rating_is_guess else ""), "known": Words(_metered_or_expected(budget)),
    }  # fmt: skip
    sentence = Words(
        "{name}: {rating}{guess} and {voltage} without load ({known}); Class 2 ends at {most} and {top}",
        amounts,
    )
    source = f"{limits.source}; {limits.source.doubt}"
    voltage = budget.no_load_ends.held(None, top)
    too_large = not budget.rating_is_guess and budget.rating > limits.apparent_power * (1 + 1e-9)
    if transformer.class_2 == "not class 2" or too_large or voltage is Verdict.FAILS:
        return finding(name, budget.name, Verdict.FAILS, Case(sentence, NOT_CLASS_2), source)
    if voltage is Verdict.CANNOT_TELL:
        do = Words("meter the secondary without load, power on; above 30 V look at the primary tap")
        return finding(name, budget.name, voltage, Case(sentence, do), source)
    unread = budget.rating_is_guess or transformer.class_2 == "unknown"
    do = Words("read on the transformer: its rating, Class 2, and whether it is inherently limited")
    outcome = Verdict.CANNOT_TELL if unread else Verdict.PASSES
    return finding(name, budget.name, outcome, Case(sentence, do, Weight.ADVICE), source)


def _metered_or_expected(budget: TransformerBudget) -> str:
    return "from the metered voltages" if budget.voltages_known_from == "metered" else "expected"


def _fuse(transformer: Transformer, budget: TransformerBudget) -> PowerFinding:
    """Protection on the secondary: there, of a rating that Class 2 allows, that carries the load and spares the transformer."""
    outcome, case = _no_fuse(transformer, budget) or _fuse_size(transformer, budget)
    source = f"NEC chapter 9, Table 11(A) and the text above it (secondary); {control_power.accepted('fuse').source}"
    return finding("power.fuse", budget.name, outcome, case, source)


def _no_fuse(transformer: Transformer, budget: TransformerBudget) -> tuple[Verdict, Case] | None:
    """Judge what is not there or not known; None where a rating can be looked at."""
    if transformer.fuse is not None:
        return None
    name, fit = Words(budget.name), words(FIT_A_FUSE, size=_size(budget))
    if transformer.fused == "fused":
        sentence = words("{name}: fused, rating not read", name=name)
        return Verdict.CANNOT_TELL, Case(
            sentence, Words("read the rating on the fuse or breaker"), Weight.ADVICE
        )
    if transformer.fused == "unknown":
        sentence = words("{name}: whether its secondary has a fuse is not known", name=name)
        look = words("look for a fuse or breaker on the secondary before power goes on; else {fit}", fit=fit)
        return Verdict.CANNOT_TELL, Case(sentence, look, Weight.ADVICE)
    if transformer.class_2 == "inherently limited":
        sentence = words(
            "{name}: inherently limited, so no fuse is asked for; one slip of a wire may still cost the transformer",
            name=name,
        )
        return Verdict.FAILS, Case(sentence, fit, Weight.ADVICE)
    if transformer.class_2 == "unknown":
        sentence = words("{name}: no fuse, and whether the transformer limits itself is not known", name=name)
        return Verdict.CANNOT_TELL, Case(sentence, fit)
    sentence = words("{name}: no fuse, and the transformer does not limit itself", name=name)
    return Verdict.FAILS, Case(sentence, fit)


def _size(budget: TransformerBudget) -> Words:
    if budget.fuse_suggested is None or budget.rating_is_guess:
        return Words("")
    return words(", {size} slow", size=nominal(budget.fuse_suggested, "A"))


def _fuse_size(transformer: Transformer, budget: TransformerBudget) -> tuple[Verdict, Case]:
    assert transformer.fuse is not None  # noqa: S101 - looked at before
    fuse, protects = (
        transformer.fuse.value,
        budget.rated_current * (control_power.accepted("fuse").most or 1.0),
    )
    amounts: Amounts = {
        "name": Words(budget.name), "fuse": nominal(fuse, "A"), "least": Amount(budget.fuse_at_least, CURRENT),
        "most": Amount(budget.fuse_at_most or 0.0, CURRENT), "protects": Amount(protects, CURRENT),
    }  # fmt: skip
    other = words("fit another fuse, unit locked out{size}", size=_size(budget))
    if fuse <= budget.fuse_at_least + 1e-9:
        carries = Words("{name}: a fuse of {fuse} does not carry the {least} that is drawn", amounts)
        return Verdict.FAILS, Case(carries, other)
    limit = budget.fuse_at_most
    if limit is not None and fuse > limit * (1 + 1e-9) and transformer.class_2 != "inherently limited":
        sentence = Words(
            "{name}: a fuse of {fuse}; a Class 2 source that does not limit itself has at most {most}",
            amounts,
        )
        known = transformer.class_2 == "not inherently limited"
        return (Verdict.FAILS if known else Verdict.CANNOT_TELL), Case(sentence, other)
    if fuse > protects * (1 + 1e-9) and not budget.rating_is_guess:
        sentence = Words(
            "{name}: a fuse of {fuse} protects the wire; the transformer would want at most {protects}",
            amounts,
        )
        return Verdict.FAILS, Case(sentence, other, Weight.ADVICE)
    return Verdict.PASSES, Case(Words("{name}: a fuse of {fuse} carries the {least} that is drawn", amounts))


def _rectifiers(budget: TransformerBudget) -> Iterator[PowerFinding]:
    """Half-wave and full-wave devices tie different ends of the secondary to their own common."""
    kinds = {
        kind: [one.name for one in budget.loads if one.rectifier == kind]
        for kind in ("half wave", "full wave", "unknown")
    }
    half, full, unknown = kinds.values()
    source = "common practice, no published source; explained so on a public page of controls engineering"
    do = Words(
        "give the half-wave devices a transformer of their own, or keep every common, shield and signal between "
        "the two kinds apart; look before power goes on"
    )
    names: Amounts = {
        "half": Words(", ".join(half)),
        "full": Words(", ".join(full)),
        "unknown": Words(", ".join(unknown)),
    }
    if half and full:
        sentence = Words(
            "half-wave ({half}) and full-wave ({full}) devices on one transformer: a shared common shorts it through a diode",
            names,
        )
        yield finding("power.rectifiers", budget.name, Verdict.FAILS, Case(sentence, do), source)
    elif (half or full) and unknown:
        sentence = Words("half wave or full wave is not known of: {unknown}", names)
        read = Words("read it in their papers, before a common is shared")
        yield finding(
            "power.rectifiers", budget.name, Verdict.CANNOT_TELL, Case(sentence, read, Weight.ADVICE), source
        )
    elif half or full:
        sentence = Words("only one kind of rectifier on this transformer: {half}{full}", names)
        yield finding("power.rectifiers", budget.name, Verdict.PASSES, Case(sentence), source)
