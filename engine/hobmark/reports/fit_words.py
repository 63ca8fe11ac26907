"""Verdicts, chains and prohibitions of parts in words: what a technician reads first."""

from __future__ import annotations

from hobmark.bench.account import Account
from hobmark.bench.fit import REFUSALS, PartFit
from hobmark.bench.fit_gas import bears_gas, goes_by_gas
from hobmark.bench.fit_places import LEAST
from hobmark.bench.guards import Guard
from hobmark.bench.part_looks import is_asked
from hobmark.knowledge.schema.looks import Caution
from hobmark.knowledge.vocabulary import FitVerdict, PartClass
from hobmark.reports.fit import MustNot
from hobmark.reports.fit_trace import refusing
from hobmark.reports.words import group_words, percent, values_words

WORTH_A_WORD = 0.05
"""A part less probably listed than this is told to be unlisted, before what else is not known of it."""

FITTER_FIRST = "By a licensed fitter, the leak check first and nothing lit before the range is released."
"""Before the test of every part that bears gas: soap shows no piping to hold, and a test may ask for a flame."""


def stop_words(account: Account | None) -> str | None:
    """What stops everything at this range; None where nothing does."""
    if account is None or not account.stopped_by:
        return None
    return (
        f"STOP stands: {'; '.join(account.stopped_by)}. Nothing is lit or opened, and no part that bears gas is "
        "ordered or fitted, until a licensed fitter has put it right and that is recorded as cleared."
    )


def test_words(fit: PartFit) -> str | None:
    """The test of a part once it is on; of one that bears gas with who makes it, and what comes first."""
    test = fit.part.proved_by
    return f"{FITTER_FIRST} {test}" if test is not None and bears_gas(fit.kind) else test


def caution_premise(fit: PartFit, caution: Caution) -> str | None:
    """What a caution of the kind hangs on, as `If ...: `, where nobody looked; None where a look rules it out.

    Empty where it stands anyway: a part of a kind that the look speaks of brings its danger with it.
    """
    base, open_ = fit.base, []
    for feature, values in caution.when.items():
        if feature in fit.kind.looks:
            continue
        known = fit.examination.facts.get(feature)
        if known is not None and not known & set(values):
            return None
        if known is None:
            open_.append(f"the {base.features[feature].label.lower()} is {values_words(base, feature, values)}")
    return f"If {' and '.join(open_)}: " if open_ else ""


def verdict_words(fit: PartFit) -> str:
    """The verdict in one or two sentences, with why."""
    verdict = fit.verdict
    if verdict is FitVerdict.DOES_NOT_FIT and fit.gas.refusals:
        return f"Does not fit. {' '.join(each.says for each in fit.gas.refusals)}"
    if verdict in (FitVerdict.PROHIBITED, FitVerdict.DOES_NOT_FIT):
        told = next(iter(refusing(fit)), None)
        why = f" {told.because}" if told is not None and told.because else ""
        if told is not None and told.kind == "check":
            why = f" {told.says.rpartition(':')[0].capitalize()}, and it measures otherwise."
            why += " Papers let it in with a modification, below." if fit.part.modification is not None else ""
        elif told is not None and not told.because:
            why = f" {told.says[0].upper()}{told.says[1:]}."
        return ("Must not be put there." if verdict is FitVerdict.PROHIBITED else "Does not fit.") + why
    if verdict is FitVerdict.UNPROVEN:
        return _unproven_words(fit)
    by = _by_what(fit)
    after = " It counts as fitted only after the test below." if fit.part.class_ is PartClass.CRITICAL else ""
    if fit.part.class_ is PartClass.TRIAL and not fit.proof:
        after = " Try it in its place before it is coated or paid for."
    said = {
        FitVerdict.EXACT: "Exact",
        FitVerdict.SUPERSEDED: "Fits, superseding the earlier part",
        FitVerdict.INTERCHANGES: "Interchanges",
        FitVerdict.MODIFIED: "Fits with modification",
    }[verdict]
    return f"{said}: {by}.{after}"


def _by_what(fit: PartFit) -> str:
    if "number" in fit.proof:
        return "the one on the range bears its number"
    if fit.proof & {"superseded", "two_way"}:
        return "by the number of the one on the range, and papers that let it take that place"
    measured = f"{len(fit.part.needs)} checks measured" if "measured" in fit.proof else ""
    listed = f"listed for what this is ({percent(fit.now.listed)})" if fit.now.listed >= 0.5 else ""
    return " and ".join(each for each in (measured, listed) if each)


def _unproven_words(fit: PartFit) -> str:
    may_be = may_be_prohibited(fit)
    if may_be:
        return f"Unproven: it must not be put on {may_be}, and this may be one."
    if fit.guards and (fit.proof or fit.now.listed >= WORTH_A_WORD):
        if all(guard.in_hand for guard in fit.guards):
            return f"Unproven until its own bore is gauged. {fit.guards[0].because}"
        asked = "; ".join(guard.find_out for guard in fit.guards if guard.find_out)
        because = next((guard for guard in fit.guards if not guard.in_hand), fit.guards[0]).because
        asks = f" Still to be found out: {asked}." if asked else ""
        return f"Unproven: it is not ruled out yet what would forbid it. {because}{asks}"
    count = len(fit.part.needs)
    checks = f"{'both' if count == 2 else f'all {count}'} checks"
    if fit.kind.left_alone is not None and fit.now.listed >= LEAST:
        by_eye = all(is_asked(fit.kind, need.measure) for need in fit.part.needs)
        takes = (
            f"it takes {checks}, which touch nothing" if by_eye else "what is there is left alone, and proves nothing"
        )
        return f"Listed for it ({percent(fit.now.listed)}), but unproven: {takes}."
    proof = f"its number on the old part, or {checks}"
    if fit.now.listed >= fit.base.wording.stop.settled:
        if fit.part.class_ is PartClass.CRITICAL:
            return f"Listed for it, but unproven: no critical part goes by looks. It takes {proof}, then a test."
        return f"Listed for it, but unproven: it takes {proof}."
    if fit.now.listed >= LEAST:
        return f"Unproven: it hangs on what the range is, and on what was changed on it ({percent(fit.now.listed)})."
    return "Looks alike, unproven: no paper lists it for what this may be."


def may_be_prohibited(fit: PartFit) -> str:
    """The variants that it must not be put on and that this may be; empty where there is none."""
    places = [p for p in fit.places if p.now >= LEAST and p.refusal(fit.part.id) is FitVerdict.PROHIBITED]
    by_group: dict[str, list[int]] = {}
    for place in places:
        by_group.setdefault(group_words(fit.base, place.group), []).extend((place.first, place.last))
    return " or ".join(f"a {name} of {min(years)}-{max(years)}" for name, years in by_group.items())


def gas_contradicted(fit: PartFit) -> str | None:
    """How what was found of the gas contradicts itself, of a part that goes by gas; None where it does not."""
    if fit.account is None or not fit.account.against or not goes_by_gas(fit.base, fit.part):
        return None
    return f"what was found of the gas contradicts itself: {' '.join(fit.account.against)}"


def against_words(fit: PartFit) -> list[str]:
    """Why a part that something proves is refused all the same: the case contradicts itself."""
    if not fit.disputed:
        return []
    may_be = may_be_prohibited(fit) if fit.verdict is FitVerdict.UNPROVEN else ""
    why = [told.because for told in refusing(fit) if told.because]
    if may_be:
        found = [f"it must not be put on {may_be}, and this may be one: {' '.join(why[:1])}"]
    else:
        found = [f"{told.says}{f': {told.because}' if told.because else ''}" for told in refusing(fit)]
    found += [f"whatever else proves it, it {each.gives}" for each in fit.gas.refusals]
    found += [guard.because for guard in fit.guards]
    return list(dict.fromkeys(found)) or ["what proves it, and what it is proven for, do not agree"]


def find_out_words(fit: PartFit) -> list[str]:
    """What is to be found out first of a part that is not refused, and why; which gas it is goes before all else."""
    if fit.verdict in REFUSALS:
        return []
    gas = gas_contradicted(fit)
    which = [f"which gas it is, by jets, stamps, tags and plates, gas off and nothing lit: {gas}"] if gas else []
    return [*which, *(guard_words(fit, guard) for guard in fit.guards)]


def guard_words(fit: PartFit, guard: Guard) -> str:
    """What is to be found out before a part is confirmed, and why."""
    base = fit.base
    names = [guard.find_out] if guard.find_out else []
    for name in (*guard.features, *guard.kinds):
        if name in base.features:
            names.append(base.features[name].label.lower())
        elif name in base.kinds:
            names.append(f"the number on the {base.kinds[name].label}")
        else:
            _, of, measure, _ = name.split(" ")
            names.append(base.kinds[of].dimensions[measure].label)
    return f"{' and '.join(names)}: {guard.because}"


def chain_words(fit: PartFit) -> list[str]:
    """The links of its chain next to it, each with its direction, its break and its sources."""
    parts = fit.base.makers[fit.maker].acting_parts
    said = []
    for later in parts.values():
        for link in later.supersedes:
            if fit.part.id not in (later.id, link.part) or link.part not in parts:
                continue
            since = f" from {link.from_}" if link.from_ else ""
            way = "" if not link.one_way else ", not the other way round"
            names = f"{later.id} ({later.label})", f"{link.part} ({parts[link.part].label})"
            text = f"{names[0]} takes the place of {names[1]}{since}{way}"
            if link.break_ is not None:
                text = f"{names[0]} came after {names[1]}{since}, but does not take its place: {link.break_}"
            said.append(f"{text} [{', '.join(link.sources)}]")
    return said


def modification_words(fit: PartFit) -> str | None:
    """What must be done first where papers list it as modified."""
    change = fit.part.modification
    if change is None:
        return None
    undone = "it can be undone" if change.reversible else "it cannot be undone"
    return f"{change.does} ({undone}) [{', '.join(change.sources)}]"


def must_not(fit: PartFit) -> list[MustNot]:
    """The substitutions that are prohibited with this part, in words."""
    base, folder = fit.base, fit.base.makers[fit.maker]
    found = []
    for entry in fit.part.prohibited:
        where = [
            f"on {', '.join(folder.variants[v].label for v in folder.variants if v in folder.variants_meant(entry.of))}"
        ]
        beside = [
            f"{base.features[name].label.lower()}: {' or '.join(base.features[name].value_label(v) for v in values)}"
            for name, values in entry.with_.items()
        ]
        others = " or ".join(f"{folder.acting_parts[name].label} ({name})" for name in entry.instead_of)
        parts = [f"in place of {others}"] if others else []
        says = " ".join([*(where if entry.of else []), *(["beside " + " and ".join(beside)] if beside else []), *parts])
        found.append(MustNot(says=f"not {says}", because=entry.because, sources=list(entry.sources)))
    return found
