"""Why a part fits or not, step by step: what fired, on which facts, on whose word, and for which variants."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from hobmark.bench.fit import PartFit
from hobmark.bench.fit_clauses import CHECK, INSTEAD, MADE, MAKER, MEASURE, NUMBER, PAPERS, PROOF, REFUSED, Told
from hobmark.bench.fit_places import LEAST, Place
from hobmark.bench.part_words import need_words
from hobmark.knowledge.schema.fit_rules import FAMILY, FITTED, VARIANT
from hobmark.knowledge.schema.measures import plain_number
from hobmark.knowledge.schema.rules import CautionConclusion, RemarkConclusion
from hobmark.reasoning.derivation import Atom, Firing
from hobmark.reasoning.rules import atom_values
from hobmark.reports.fit import FitStep
from hobmark.reports.words import group_words, values_words

ABOUT_A_PART = (PAPERS, PROOF, REFUSED, CHECK)
_SAID = {
    (PAPERS, "exact"): "{} is listed for it",
    (PAPERS, "superseded"): "{} takes the place of the one listed for it",
    (PAPERS, "interchanges"): "{} is listed as interchanging",
    (PAPERS, "modified"): "{} is listed with a modification",
    (PROOF, "number"): "{} is on it, by its number",
    (PROOF, "superseded"): "{} takes the place of the one that is on it",
    (PROOF, "two_way"): "{} goes in the place of the one that is on it",
    (PROOF, "measured"): "{} measures as it should throughout",
    (REFUSED, "not"): "{} does not fit",
    (REFUSED, "one_way"): "{} does not take the place of the later part",
    (REFUSED, "measured"): "{} does not fit by measure",
    (REFUSED, "prohibited"): "{} must not be put there",
}


def relevant(fit: PartFit, place: Place) -> list[Firing]:
    """The firings at one place that bear on the part: those that say something of it, and those they rest on."""
    wanted = {atom for atom in place.derivation.facts if fit.part.id in atom.feature.split()}
    wanted |= {Atom(FITTED, fit.part.id)}
    kept: dict[str, Firing] = {}
    for firing in reversed(place.derivation.firings):
        told = fit.clauses.told[firing.clause]
        is_remark = told.kind == "rule" and not firing.gives
        if is_remark or told.part == fit.part.id or wanted & set(firing.gives):
            kept[firing.clause] = firing
            wanted.update(firing.used)
    return [firing for firing in place.derivation.firings if firing.clause in kept]


def fit_trace(fit: PartFit) -> list[FitStep]:
    """Every step that bears on the part, over all places; papers that were searched in vain come last."""
    steps: dict[tuple[Told, tuple[str, ...]], list[str]] = {}
    for place in fit.places:
        for firing in relevant(fit, place):
            told = fit.clauses.told[firing.clause]
            used = [atom for atom in firing.used if atom.feature not in (VARIANT, FAMILY, MAKER)]
            key = told, tuple(atom_words(fit, atom) for atom in used)
            where = steps.setdefault(key, [])
            if len(used) < len(firing.used):
                where.append(group_words(fit.base, place.group))
    found = [
        FitStep(
            kind=told.kind,
            id=told.id,
            from_=list(used),
            gives=[told.says if told.part in ("", fit.part.id) else f"{told.part}: {told.says}"],
            because=told.because,
            sources=list(told.sources),
            holds_for=list(dict.fromkeys(where)),
        )
        for (told, used), where in steps.items()
    ]
    return [*_by_gas(fit), *found, *_in_vain(fit, LEAST if found else 0.0)]


def _by_gas(fit: PartFit) -> list[FitStep]:
    """What follows from the gas that is to burn at it; it hangs on no variant."""
    return [
        FitStep(
            kind="heat",
            id=step.id,
            from_=list(step.given),
            gives=[step.gives],
            because="",
            sources=list(step.sources),
            holds_for=[],
        )
        for step in (*fit.gas.refusals, *fit.gas.reckoned)
    ]


def _in_vain(fit: PartFit, least: float) -> Iterator[FitStep]:
    """The papers that were searched, for places at least so probable of which none says anything."""
    name = fit.part.id
    unsaid = [place for place in fit.places if not place.words_on(PAPERS, name) and place.refusal(name) is None]
    silent = [place for place in unsaid if max(place.now, place.works) >= least]
    names = dict.fromkeys(f"{group_words(fit.base, p.group)} {_years(p)}" for p in silent)
    if names:
        yield FitStep(
            kind="papers",
            id="not listed",
            from_=[],
            gives=["no paper lists it"],
            because="It may fit all the same: only measures can tell.",
            sources=list(fit.part.sources),
            holds_for=list(names),
        )


def _years(place: Place) -> str:
    return str(place.first) if place.first == place.last else f"{place.first}-{place.last}"


def atom_words(fit: PartFit, atom: Atom) -> str:
    """One fact in words."""
    kind, _, rest = atom.feature.partition(" ")
    if kind in ABOUT_A_PART and rest:
        name, _, number = rest.partition(" ")
        if kind == CHECK:
            return f"{need_words(fit.base, fit.clauses.parts[name], int(number))}: {atom.value}"
        if atom.value.startswith(INSTEAD):
            return f"{name} must not be put {atom.value}"
        return _SAID[kind, atom.value].format(name)
    if kind == NUMBER and rest:
        return f"number on the {fit.base.kinds[rest].label}: {_read(fit, rest, atom.value)}"
    if kind == MEASURE and rest:
        return _measured(fit, rest)
    if atom.feature == FITTED:
        return f"{atom.value} is on it, by its number"
    if atom.feature == MADE:
        return f"made {atom.value}"
    return f"{fit.base.features[atom.feature].label.lower()}: {values_words(fit.base, atom.feature, atom_values(atom))}"


def _read(fit: PartFit, kind: str, plain: str) -> str:
    numbers = [read.number for read in fit.examination.case.numbers if read.kind == kind]
    return next((number for number in numbers if plain_number(number) == plain), plain)


def _measured(fit: PartFit, rest: str) -> str:
    of, measure, on = rest.split(" ")
    parts = fit.base.makers[fit.maker].acting_parts
    kind = parts[of].kind if of in parts else of
    taken = [entry for entry in fit.examination.case.measures if entry.measure == measure and entry.on == on]
    value = next((entry.value for entry in taken if entry.kind == kind or entry.part), "")
    return f"{fit.base.kinds[kind].dimensions[measure].label} on the {on}: {value}"


def rule_words(fit: PartFit, of: type[RemarkConclusion] | type[CautionConclusion]) -> list[tuple[str, str, str]]:
    """Remarks or cautions of fit rules that fired at any place: (text, rule id, sources)."""
    found: dict[tuple[str, str, str], None] = {}
    for place in fit.places:
        for firing in place.derivation.firings:
            told = fit.clauses.told[firing.clause]
            rule = fit.clauses.rules.get(told.id) if told.kind == "rule" else None
            for conclusion in rule.then if rule is not None else ():
                if isinstance(conclusion, of):
                    text = conclusion.remark if isinstance(conclusion, RemarkConclusion) else conclusion.caution
                    found[text, told.id, ", ".join(told.sources)] = None
    return list(found)


def refusing(fit: PartFit) -> Iterable[Told]:
    """What refuses the part at its likeliest places, first things first."""
    found: dict[Told, None] = {}
    for place in sorted(fit.places, key=lambda place: -place.now):
        if place.refusal(fit.part.id) is not None:
            told = [
                fit.clauses.told[firing.clause] for firing in place.derivation.firings if _refuses(firing, fit.part.id)
            ]
            found |= dict.fromkeys(sorted(told, key=lambda each: each.kind != "prohibition"))
    return found


def _refuses(firing: Firing, part: str) -> bool:
    return any(atom.feature == f"{REFUSED} {part}" for atom in firing.gives)
