"""From parts held against a range to the published shape: verdicts in words, checks, what to find out next, donors."""

from __future__ import annotations

from collections.abc import Sequence

from hobmark.bench.fit import REFUSALS, PartFit, account_for, part_fits, parts_meant
from hobmark.bench.fit_places import LEAST, Place
from hobmark.bench.orders import Donor, OrderFor, donors
from hobmark.bench.part_looks import PartLook, is_asked, measure_looks, number_look, range_looks, settling_pair
from hobmark.bench.part_words import part_words, tested_words
from hobmark.knowledge.schema.measures import MeasureTaken
from hobmark.knowledge.schema.parts import Need
from hobmark.knowledge.schema.rules import CautionConclusion, RemarkConclusion
from hobmark.knowledge.vocabulary import FitVerdict, Gas, MeasuredOn
from hobmark.reasoning.cells import Group
from hobmark.reasoning.chaining import engine_in_use
from hobmark.reasoning.examination import Examination
from hobmark.reports.fit import (
    Asked,
    FitAnswer,
    FitCheck,
    FitDonor,
    FitFinding,
    FitLook,
    FitPlace,
    FitReport,
    OrderSheet,
)
from hobmark.reports.fit_order import order_sheet, suits, withheld
from hobmark.reports.fit_trace import fit_trace, rule_words
from hobmark.reports.fit_words import (
    against_words,
    caution_premise,
    chain_words,
    find_out_words,
    modification_words,
    must_not,
    stop_words,
    test_words,
    verdict_words,
)
from hobmark.reports.identify import CautionLine
from hobmark.reports.words import MEASURED_AT, demonstration, group_words

SHOWN = 0.005
"""Of a whole kind, parts less probable than this are left out, unless something else speaks of them."""
MOST_DONORS = 8
NUMBER_HOW = "Look on its faces and edges, cold and with the gas off; wipe it, and write it as it stands."
"""How a number is read where the kind does not say it better."""
NOT_ASKED = "Not asked: it is left alone."
"""Instead of how a measure is taken that would mean touching it."""
_LISTED_AS = {
    "exact": "listed for it",
    "superseded": "it takes the place of the one listed",
    "interchanges": "listed as interchanging",
    "modified": "listed with a modification",
}


def fit_report(
    examination: Examination, name: str, asked: Sequence[str], *, order: bool = False, wanted: OrderFor | None = None
) -> FitReport:
    """Hold every part that is asked for against the range. Raises Refused for a name that is no part's.

    `wanted`: what an order is told of place, hand and quantity; a place counts for the verdict as well.
    """
    wanted = wanted or OrderFor()
    base = examination.compiled.base
    answers: list[Asked] = []
    kept: list[PartFit] = []
    for each in asked:
        found = _found(examination, each, wanted, None)
        for_order = found
        if order and examination.case.bench.wanted is not None:  # ordered for it, whatever is laid on meanwhile
            for_order = _found(examination, each, wanted, examination.case.bench.wanted)
        kept += [_to_order(for_order, wanted)] if each in base.kinds else for_order
        answers.append(Asked(name=each, parts=[fit_finding(fit) for fit in found]))
    leader = examination.compiled.model.cells.groups[examination.ranking.leader]
    reasons = [(fit, withheld(fit, wanted)) for fit in kept] if order else []
    return FitReport(
        case=name,
        label=examination.case.label,
        range=group_words(base, leader),
        range_probability=float(examination.ranking.by_group[examination.ranking.leader]),
        stop=stop_words(account_for(examination)),
        asked=answers,
        orders=[_order(fit, wanted) for fit, why in reasons if why is None],
        not_ordered=[f"{fit.part.id} ({part_words(fit.part)}): {why}" for fit, why in reasons if why is not None],
        demonstration=demonstration(base),
        engine=engine_in_use(),
    )


def _found(examination: Examination, name: str, wanted: OrderFor, gas: Gas | None) -> list[PartFit]:
    base = examination.compiled.base
    found = part_fits(examination, parts_meant(base, name), place=wanted.place, gas=gas)
    return _worth_showing(examination, found) if name in base.kinds else found


def _to_order(found: Sequence[PartFit], wanted: OrderFor) -> PartFit:
    """Of a kind, the likeliest that is for the place and the hand that were told."""
    return next((fit for fit in found if suits(fit, wanted)), found[0])


def _order(fit: PartFit, wanted: OrderFor) -> OrderSheet:
    return order_sheet(fit, wanted, verdict_words(fit), must_not(fit), cautions(fit))


def _worth_showing(examination: Examination, found: Sequence[PartFit]) -> list[PartFit]:
    """Of a whole kind: the parts of makers that the range may be of, and whatever is listed, proven or in dispute."""
    ranking, cells = examination.ranking, examination.compiled.model.cells
    likely = {m for k, m in enumerate(cells.makers) if ranking.posterior[cells.maker == k].sum() >= LEAST}
    shown = [
        fit
        for fit in found
        if fit.now.probability >= SHOWN
        or fit.works.probability >= SHOWN
        or fit.proof
        or (fit.maker in likely and fit.verdict in REFUSALS)
    ]
    return shown or list(found)[:1]


def fit_finding(fit: PartFit) -> FitFinding:
    """One part as the published shape has it."""
    looks = range_looks(fit) if _is_open(fit) else []
    number = number_look(fit) if _is_open(fit) else None
    measures = measure_looks(fit) if _is_open(fit) else []
    ahead = sorted(
        [*measures, *([number] if number else []), *looks], key=lambda look: (not _is_proof(look), -look.index)
    )
    settle = settling_pair(fit) if measures else ()
    part, base = fit.part, fit.base
    return FitFinding.model_validate(
        {
            "part": part.id,
            "maker": fit.maker,
            "label": part_words(part),
            "kind": part.kind,
            "numbers": list(part.numbers),
            "hand": part.hand,
            "class": part.class_,
            "verdict": fit.verdict,
            "confirmed": fit.confirmed,
            "says": verdict_words(fit),
            "probability": fit.now.probability,
            "works": FitAnswer(verdict=fit.works.verdict, probability=fit.works.probability, listed=fit.works.listed),
            "now": FitAnswer(verdict=fit.now.verdict, probability=fit.now.probability, listed=fit.now.listed),
            "places": _places(fit),
            "against": against_words(fit),
            "find_out": find_out_words(fit),
            "checks": [_check(fit, need) for need in part.needs],
            "settle": [_look(fit, look) for look in settle],
            "next": [_look(fit, look) for look in ahead if look not in settle],
            "chain": chain_words(fit),
            "modification": modification_words(fit),
            "must_not": must_not(fit),
            "left_alone": fit.kind.left_alone,
            "donors": [_donor(fit, donor) for donor in donors(fit)[:MOST_DONORS]],
            "test_after": test_words(fit),
            "remarks": [f"{text} ({rule}; {sources})" for text, rule, sources in rule_words(fit, RemarkConclusion)],
            "note": " ".join(note for note in (part.note, base.kinds[part.kind].note) if note) or None,
            "cautions": cautions(fit),
            "trace": fit_trace(fit),
            "sources": list(part.sources),
        }
    )


def _is_proof(look: PartLook) -> bool:
    """Whether nothing is confirmed without it, or it alone would confirm."""
    return look.needed or look.errand == "number"


def _is_open(fit: PartFit) -> bool:
    return fit.verdict is FitVerdict.UNPROVEN


def _places(fit: PartFit) -> list[FitPlace]:
    """What the range may be; stretches of a variant's years in which the part stands alike are told as one."""
    alike: dict[tuple[Group, str], list[Place]] = {}
    for place in fit.places:
        alike.setdefault((place.group, _standing(fit, place)), []).append(place)
    found = [
        FitPlace(
            maker=group.maker,
            variant=group.variant,
            label=group_words(fit.base, group),
            first=min(place.first for place in places),
            last=max(place.last for place in places),
            works=sum(place.works for place in places),
            now=sum(place.now for place in places),
            says=says,
        )
        for (group, says), places in alike.items()
    ]
    return [place for place in found if max(place.works, place.now) >= LEAST]


def _standing(fit: PartFit, place: Place) -> str:
    refused, listed = place.refusal(fit.part.id), place.listed(fit.part.id)
    if refused is not None:
        return "must not be put there" if refused is FitVerdict.PROHIBITED else "does not fit"
    return _LISTED_AS[listed] if listed is not None else "no paper lists it"


def taken_for(fit: PartFit, need: Need) -> MeasureTaken | None:
    """The measure of the case that speaks of a need."""
    for entry in fit.examination.case.measures:
        mine = entry.kind == fit.part.kind or (entry.part or "").rpartition("/")[2] == fit.part.id
        if mine and (entry.measure, entry.on) == (need.measure, need.on):
            return entry
    return None


def _check(fit: PartFit, need: Need) -> FitCheck:
    dimension = fit.kind.dimensions[need.measure]
    taken = taken_for(fit, need)
    return FitCheck(
        measure=need.measure,
        label=dimension.label,
        on=need.on,
        wanted=tested_words(need),
        found=taken.value if taken is not None else None,
        meets=need.holds(taken.value) if taken is not None else None,
        how=need.how or dimension.how or "" if is_asked(fit.kind, need.measure) else NOT_ASKED,
        sources=list(need.sources or fit.part.sources),
    )


def _look(fit: PartFit, look: PartLook) -> FitLook:
    base, on = fit.base, None
    if look.errand == "look":
        ask, how = base.features[look.id].ask, base.features[look.id].look
    elif look.errand == "number":
        ask = f"What number is on the {fit.kind.label} that is on it now?"
        how = fit.kind.number or NUMBER_HOW
    else:
        need = fit.part.needs[look.number] if look.number is not None else None
        dimension, on = fit.kind.dimensions[look.id], need.on if need is not None else MeasuredOn.PART
        told = need.how if need is not None else None
        ask, how = f"{dimension.label[0].upper()}{dimension.label[1:]} {MEASURED_AT[on]}?", told or dimension.how or ""
    return FitLook(
        errand=look.errand,
        id=look.id,
        on=on,
        ask=ask,
        how=how,
        bits=look.bits,
        seconds=look.seconds,
        here=look.here,
        needed=look.needed,
    )


def _donor(fit: PartFit, donor: Donor) -> FitDonor:
    folder = fit.base.makers[fit.maker]
    return FitDonor(
        maker=fit.maker,
        variant=donor.variant,
        label=folder.variants[donor.variant].label,
        part=donor.part,
        numbers=list(folder.acting_parts[donor.part].numbers),
        first=donor.first,
        last=donor.last,
        ranges=round(donor.ranges) if donor.ranges is not None else None,
        sources=list(donor.sources),
    )


def cautions(fit: PartFit) -> list[CautionLine]:
    """The cautions of the kind, as far as they may hold of this range, and of fit rules that fired."""
    base = fit.base
    lines = []
    for name in fit.kind.cautions:
        caution = base.cautions.get(name)
        if caution is not None and (told := caution_premise(fit, caution)) is not None:
            says, short = f"{told}{caution.says}", f"{told}{caution.short}"
            lines.append(CautionLine(says=says, short=short, source=caution.source, status=caution.status))
    for text, rule, sources in rule_words(fit, CautionConclusion):
        lines.append(CautionLine(says=text, short=text, source=sources, status=f"by rule {fit.maker}/{rule}"))
    return lines


def is_warning(report: FitReport) -> bool:
    """Whether the likeliest part of something asked for does not fit, or must not be put there."""
    return any(asked.parts[0].verdict in REFUSALS for asked in report.asked if asked.parts)
