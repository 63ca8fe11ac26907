"""Writing the clauses of parts: what papers, checks, numbers, chains, prohibitions and fit rules say, one by one."""

from __future__ import annotations

import itertools
from collections.abc import Iterable, Mapping, Sequence

from hobmark.bench.fit_clauses import (
    ALL_CHECKS,
    CHECK,
    FAILS,
    INSTEAD,
    MADE,
    MAKER,
    MEASURE,
    MEASURED,
    MEETS,
    NUMBER,
    ONE_WAY,
    OUTSIDE,
    PAPERS,
    PROOF,
    REFUSED,
    SUPERSEDED,
    TWO_WAY,
    FitClauses,
    Told,
    measure_name,
    ways_of,
)
from hobmark.bench.part_words import BY_RULE, LISTED, need_words
from hobmark.knowledge.base import KnowledgeBase, MakerFolder
from hobmark.knowledge.schema.fit_rules import FAMILY, FITTED, VARIANT, FitConclusion, FitRule, MeasureCondition
from hobmark.knowledge.schema.measures import plain_number
from hobmark.knowledge.schema.parts import ENOUGH_CHECKS, Part, Supersedes, Tested
from hobmark.knowledge.schema.rules import CautionConclusion, RemarkConclusion
from hobmark.knowledge.vocabulary import FitsAs
from hobmark.reasoning.derivation import Atom, Clause
from hobmark.reasoning.rules import set_atom


def compile_fit(base: KnowledgeBase, maker: str, wanted: Iterable[str]) -> FitClauses:
    """The clauses about the parts `wanted` of a maker, and about those that stand in a chain with them."""
    folder = base.makers[maker]
    parts = _with_chains(folder, wanted)
    writer = _Writer(base, folder, parts)
    for part in parts.values():
        writer.papers(part)
        writer.checks(part)
        writer.number(part)
        writer.chain(part)
        writer.prohibitions(part)
    rules = [rule for rule in folder.acting_fit_rules if _speaks_of(rule, parts) or _is_told(base, folder, rule, parts)]
    for rule in rules:
        writer.rule(rule)
    for name in _fitted_in(rules):  # parts of other kinds beside them: only whether they are on the range matters
        if name not in parts and name in folder.acting_parts:
            writer.number(folder.acting_parts[name])
    return FitClauses(
        maker,
        parts,
        tuple(writer.clauses),
        writer.told,
        tuple(writer.spans),
        {feature: frozenset(sets) for feature, sets in writer.sets.items()},
        {name: tuple(tests.values()) for name, tests in writer.tests.items()},
        {rule.id: rule for rule in rules},
    )


def _with_chains(folder: MakerFolder, wanted: Iterable[str]) -> dict[str, Part]:
    linked: dict[str, set[str]] = {}
    for part in folder.acting_parts.values():
        for other in [link.part for link in part.supersedes] + [p for x in part.prohibited for p in x.instead_of]:
            linked.setdefault(part.id, set()).add(other)
            linked.setdefault(other, set()).add(part.id)
    ahead, found = list(wanted), set[str]()
    while ahead:
        name = ahead.pop()
        if name not in found:
            found.add(name)
            ahead += linked.get(name, ())
    return {name: part for name, part in folder.acting_parts.items() if name in found}


def _speaks_of(rule: FitRule, parts: Mapping[str, Part]) -> bool:
    named = [part for conclusion in rule.then if isinstance(conclusion, FitConclusion) for part in conclusion.parts]
    return any(part in parts for part in named or _fitted_in([rule]))


def _is_told(base: KnowledgeBase, folder: MakerFolder, rule: FitRule, parts: Mapping[str, Part]) -> bool:
    """Whether a remark or caution of the rule is told with these parts, whichever of them is fitted."""
    kinds = {part.kind for part in parts.values()}
    return bool(_words_of(rule)) and not kinds.isdisjoint(kinds_spoken_of(base, folder, rule))


def kinds_spoken_of(base: KnowledgeBase, folder: MakerFolder, rule: FitRule) -> frozenset[str]:
    """The kinds of parts that a rule's conditions speak of.

    A measure speaks of the kind it is of, `fitted` of the part's, a feature of the kinds that name it under `looks`; a
    feature that none names of every kind of its assembly.
    """
    found: set[str] = {condition.of for condition in rule.when.all if isinstance(condition, MeasureCondition)}
    found |= {folder.acting_parts[name].kind for name in _fitted_in([rule]) if name in folder.acting_parts}
    for feature in {name for way in ways_of(rule) for name, _ in way if name in base.features}:
        named = {name for name, kind in base.kinds.items() if feature in kind.looks}
        assembly = base.features[feature].assembly
        found |= named or {name for name, kind in base.kinds.items() if kind.assembly == assembly}
    return frozenset(found)


def _words_of(rule: FitRule) -> list[RemarkConclusion | CautionConclusion]:
    return [c for c in rule.then if isinstance(c, RemarkConclusion | CautionConclusion)]


def _fitted_in(rules: Iterable[FitRule]) -> list[str]:
    """The parts that conditions ask to be on the range."""
    ways = (way for rule in rules for way in ways_of(rule))
    return list(dict.fromkeys(part for way in ways for name, values in way if name == FITTED for part in values))


class _Writer:
    """Writes clauses one after another, and keeps what was said in each and what their conditions test."""

    def __init__(self, base: KnowledgeBase, folder: MakerFolder, parts: Mapping[str, Part]) -> None:
        self.base, self.folder, self.parts = base, folder, parts
        self.clauses: list[Clause] = []
        self.told: dict[str, Told] = {}
        self.spans: dict[str, None] = {}
        self.sets: dict[str, set[frozenset[str]]] = {}
        self.tests: dict[str, dict[str, Tested]] = {}

    def add(self, body: Sequence[Atom], head: Sequence[Atom], told: Told) -> None:
        """One clause; several from one entry are told apart by a number behind #."""
        name = f"{told.kind} {told.part} {told.id}#{len(self.clauses)}"
        self.clauses.append(Clause(name, tuple(dict.fromkeys(body)), tuple(head)))
        self.told[name] = told

    def _made(self, made: str | None) -> list[Atom]:
        if made is None:
            return []
        self.spans[made] = None
        return [Atom(MADE, made)]

    def papers(self, part: Part) -> None:
        """What papers say of the part, variant by variant."""
        for fits in part.fits:
            is_not = fits.as_ is FitsAs.NOT
            head = Atom(f"{REFUSED if is_not else PAPERS} {part.id}", fits.as_.value)
            for variant in sorted(self.folder.variants_meant(fits.of)):
                if variant in self.folder.variants:
                    says = f"{LISTED[fits.as_]} {self.folder.variants[variant].label}"
                    says += f", {fits.made}" if fits.made else ""
                    told = Told("papers", variant, part.id, says, fits.because or "", fits.sources)
                    self.add([Atom(VARIANT, variant), *self._made(fits.made)], [head], told)

    def checks(self, part: Part) -> None:
        """Each need passed or failed, and all of them together."""
        for number, need in enumerate(part.needs):
            name, check = measure_name(part.id, need), f"{CHECK} {part.id} {number}"
            self.tests.setdefault(name, {})[need.test] = need
            says = need_words(self.base, part, number)
            sources = need.sources or part.sources
            for test, result, more in (
                (need.test, MEETS, []),
                (OUTSIDE + need.test, FAILS, [Atom(f"{REFUSED} {part.id}", MEASURED)]),
            ):
                told = Told("check", f"{need.measure} {result}", part.id, f"{says}: {result}", need.how or "", sources)
                self.add([Atom(name, test)], [Atom(check, result), *more], told)
        if len(part.needs) >= ENOUGH_CHECKS:
            body = [Atom(f"{CHECK} {part.id} {number}", MEETS) for number in range(len(part.needs))]
            told = Told("check", ALL_CHECKS, part.id, f"all {len(body)} checks hold", "", part.sources)
            self.add(body, [Atom(f"{PROOF} {part.id}", MEASURED)], told)

    def number(self, part: Part) -> None:
        """The part on the range bears this part's number."""
        for number in part.numbers:
            told = Told("number", number, part.id, "the one on the range bears its number", "", part.sources)
            head = [Atom(f"{PROOF} {part.id}", NUMBER), Atom(FITTED, part.id)]
            self.add([Atom(f"{NUMBER} {part.kind}", plain_number(number))], head, told)

    def chain(self, part: Part) -> None:
        """Where it supersedes an earlier part: what holds of one then holds of the other."""
        for link in part.supersedes:
            if link.break_ is not None or link.part not in self.parts:
                continue
            since = f" since {link.from_}" if link.from_ else ""
            told = Told("supersession", link.part, part.id, f"takes the place of {link.part}{since}", "", link.sources)
            for word in (FitsAs.EXACT.value, SUPERSEDED):
                self.add([Atom(f"{PAPERS} {link.part}", word)], [Atom(f"{PAPERS} {part.id}", SUPERSEDED)], told)
            for word in (NUMBER, SUPERSEDED):
                self.add([Atom(f"{PROOF} {link.part}", word)], [Atom(f"{PROOF} {part.id}", SUPERSEDED)], told)
            self._backwards(part, link)

    def _backwards(self, later: Part, link: Supersedes) -> None:
        """The earlier part where the later one belongs: two ways only where a paper says so."""
        for fact, word in ((PAPERS, FitsAs.EXACT.value), (PROOF, NUMBER)):
            if link.one_way:
                says = f"its place was taken by {later.id}, and not the other way round"
                head = Atom(f"{REFUSED} {link.part}", ONE_WAY)
            else:
                says = f"{later.id} and it go in each other's place"
                head = Atom(f"{fact} {link.part}", FitsAs.INTERCHANGES.value if fact == PAPERS else TWO_WAY)
            told = Told("supersession", later.id, link.part, says, "", link.sources)
            self.add([Atom(f"{fact} {later.id}", word)], [head], told)

    def prohibitions(self, part: Part) -> None:
        """Where it must not go."""
        refused = [Atom(f"{REFUSED} {part.id}", FitsAs.PROHIBITED.value)]
        for number, entry in enumerate(part.prohibited):
            beside = [self._seen(feature, values) for feature, values in entry.with_.items()]
            name = f"prohibited {number + 1}"
            says = "must not be put here"
            for other in entry.instead_of:
                told = Told("prohibition", name, part.id, f"{says} in place of {other}", entry.because, entry.sources)
                for word in (FitsAs.EXACT.value, SUPERSEDED):
                    self.add([Atom(f"{PAPERS} {other}", word)], [Atom(f"{REFUSED} {part.id}", INSTEAD + other)], told)
                self.add([Atom(f"{PROOF} {other}", NUMBER)], refused, told)
            told = Told("prohibition", name, part.id, says, entry.because, entry.sources)
            for variant in sorted(self.folder.variants_meant(entry.of)):
                self.add([Atom(VARIANT, variant), *beside], refused, told)
            if beside and not entry.of:
                self.add(beside, refused, told)

    def _seen(self, feature: str, values: Sequence[str]) -> Atom:
        self.sets.setdefault(feature, set()).add(frozenset(values))
        return set_atom(feature, values)

    def rule(self, rule: FitRule) -> None:
        """A fit rule: each way of meeting it, once for each variant or part it names."""
        for condition in rule.when.all:
            if isinstance(condition, MeasureCondition):
                self.tests.setdefault(measure_name(condition.of, condition), {})[condition.test] = condition
        words = _words_of(rule)
        named = {part for c in rule.then if isinstance(c, FitConclusion) for part in c.parts}
        for way in ways_of(rule):
            for body in itertools.product(*(self._conditions(name, values) for name, values in way)):
                for conclusion in rule.then:
                    for part in conclusion.parts if isinstance(conclusion, FitConclusion) else ():
                        if part in self.parts and isinstance(conclusion, FitConclusion):
                            told = Told("rule", rule.id, part, BY_RULE[conclusion.fit], rule.because, rule.sources)
                            self.add([*body, *self._own(conclusion.fit)], [_concluded(conclusion.fit, part)], told)
                if words and named.isdisjoint(self.parts):
                    self.add(body, [], Told("rule", rule.id, "", "a remark, below", rule.because, rule.sources))

    def _own(self, fit: FitsAs) -> list[Atom]:
        """That something fits is said of the maker's own ranges; what does not go together goes together nowhere."""
        return [] if fit in (FitsAs.NOT, FitsAs.PROHIBITED) else [Atom(MAKER, self.folder.maker.id)]

    def _conditions(self, name: str, values: Sequence[str]) -> list[Atom]:
        if name == VARIANT:
            return [Atom(VARIANT, each) for each in sorted(self.folder.variants_meant(tuple(values)))]
        if name in (FAMILY, FITTED):
            return [Atom(name, each) for each in values]
        if name.startswith(f"{MEASURE} "):
            return [Atom(name, values[0])]
        return [self._seen(name, values)]


def _concluded(fit: FitsAs, part: str) -> Atom:
    return Atom(f"{REFUSED if fit in (FitsAs.NOT, FitsAs.PROHIBITED) else PAPERS} {part}", fit.value)
