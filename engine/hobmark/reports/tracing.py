"""The trace: fired rules and weighed statements with their sources, remarks, cautions, and two lines compared."""

from __future__ import annotations

from collections.abc import Iterable

from hobmark.knowledge.schema.rules import BoundConclusion, FeatureConclusion, RemarkConclusion, Rule
from hobmark.reasoning.cells import Group
from hobmark.reasoning.dated import Dated
from hobmark.reasoning.derivation import Atom, Firing
from hobmark.reasoning.evidence import Message
from hobmark.reasoning.examination import Examination
from hobmark.reasoning.explaining import Share, compare
from hobmark.reasoning.factory import specimens_showing, statements_about
from hobmark.reasoning.rules import atom_values
from hobmark.reports.identify import Comparison, Reason, Step
from hobmark.reports.words import group_words, seen_words, shortened, values_words

MAKER_SHOWN = 0.02
"""A maker's rules are shown while the range may be that maker's with at least this probability."""


def likely_makers(examination: Examination) -> list[str]:
    """Makers whose rules are worth showing."""
    ranking, cells = examination.ranking, examination.compiled.model.cells
    return [m for k, m in enumerate(cells.makers) if ranking.posterior[cells.maker == k].sum() >= MAKER_SHOWN]


def _atom_words(examination: Examination, maker: str, atom: Atom) -> str:
    """A fact in words; one that nobody looked at is said to be by rule, so that it is not taken for seen."""
    base = examination.compiled.base
    said = f"{base.features[atom.feature].label.lower()}: {values_words(base, atom.feature, atom_values(atom))}"
    support = examination.derivations[maker].support(atom)
    if support is None:
        return said
    return f"{said} (by rule {examination.compiled.rules[maker].rule_of(support).id}; not looked at)"


def _gives(examination: Examination, rule: Rule) -> list[str]:
    base = examination.compiled.base
    said = []
    for conclusion in rule.then:
        if isinstance(conclusion, FeatureConclusion):
            values = values_words(base, conclusion.feature, conclusion.is_)
            said.append(f"{base.features[conclusion.feature].label.lower()}: {conclusion.how.value} {values}")
        elif isinstance(conclusion, BoundConclusion):
            said.append(_bound_words(examination, conclusion))
        else:
            said.append("a remark, below" if isinstance(conclusion, RemarkConclusion) else "a caution, below")
    return said


def _bound_words(examination: Examination, bound: BoundConclusion) -> str:
    assembly = examination.compiled.base.assemblies[bound.of].label
    if bound.not_before is not None:
        return f"{assembly}: not before {bound.not_before}"
    if bound.not_after is not None:
        return f"{assembly}: not after {bound.not_after}"
    return f"{assembly}: none of {', '.join(bound.rules_out)}"


def fired(examination: Examination, makers: Iterable[str]) -> Iterable[tuple[str, Firing, Rule]]:
    """(maker, firing, rule) for each rule of these makers that fired, in the order of the derivation."""
    for maker in makers:
        derivation = examination.derivations.get(maker)
        done: set[str] = set()
        for firing in derivation.firings if derivation is not None else ():
            rule = examination.compiled.rules[maker].rule_of(firing)
            if rule.id not in done:
                done.add(rule.id)
                yield maker, firing, rule


def trace(examination: Examination) -> list[Step]:
    """Fired rules, contradictions left standing, and the statements about what was seen on the leading variant."""
    steps = []
    weighed = {(message.maker, name) for message in examination.ranking.messages for name in message.rules}
    for maker, firing, rule in fired(examination, likely_makers(examination)):
        used = [_atom_words(examination, maker, atom) for atom in firing.used]
        steps.append(
            Step(
                kind="rule",
                id=rule.id,
                maker=maker,
                from_=used,
                gives=_gives(examination, rule),
                because=rule.because,
                weighed=(maker, rule.id) in weighed if _can_weigh(rule) else None,
                sources=list(rule.sources),
            )
        )
    base = examination.compiled.base
    for maker, feature, values in examination.contradictions():
        if maker in likely_makers(examination):
            seen = values_words(base, feature, examination.left_open[feature])
            given = (
                f"{base.features[feature].label.lower()}: {values_words(base, feature, values)} by rule, seen: {seen}"
            )
            steps.append(
                Step(
                    kind="contradiction",
                    id=feature,
                    maker=maker,
                    from_=[],
                    gives=[given],
                    because="What was seen stands; the rule's conclusion is not weighed.",
                    weighed=False,
                    sources=[],
                )
            )
    return [*steps, *_dating_steps(examination), *_statement_steps(examination)]


def _dating_steps(examination: Examination) -> Iterable[Step]:
    """What words and serials prove of the years of the parts they were found on."""
    base = examination.compiled.base
    likely = likely_makers(examination)
    for each in examination.dated:
        if not any(maker is None or maker in likely for maker, _ in each.readings):
            continue
        because = each.contradiction or "It dates the part it was found on, not the range."
        shown = [found for maker, found in each.readings if maker is None or maker in likely]
        yield Step(
            kind="dating" if each.contradiction is None else "contradiction",
            id="serial" if each.observation.serial is not None else "words",
            maker=None,
            from_=[f"{dated_words(each)} on the {base.assemblies[each.assembly].label}"],
            gives=[found.proves for found in shown],
            because=because,
            weighed=each.weighs,
            sources=[f"{found.source} ({found.status})" for found in shown],
        )


def _can_weigh(rule: Rule) -> bool:
    return any(isinstance(conclusion, FeatureConclusion | BoundConclusion) for conclusion in rule.then)


def _statement_steps(examination: Examination) -> Iterable[Step]:
    base, cells = examination.compiled.base, examination.compiled.model.cells
    group = cells.groups[examination.ranking.leader]
    if group.maker is None or group.variant is None:
        return
    folder = base.makers[group.maker]
    for seen in examination.observations:
        if seen.feature is None or not seen.is_reading or seen.original is False:
            continue
        for trait in statements_about(folder, group.variant, seen.feature):
            named = values_words(base, seen.feature, set(trait.named))
            yield Step(
                kind="statement",
                id=trait.id,
                maker=group.maker,
                from_=[seen_words(base, seen)],
                gives=[f"{base.features[seen.feature].label.lower()}: {named} ({trait.certainty.value})"],
                because=trait.note or "",
                weighed=True,
                sources=list(trait.sources),
            )


def remarks(examination: Examination) -> list[str]:
    """What of the case the base does not know; remarks of fired rules, each with the maker it holds for."""
    base = examination.compiled.base
    aside = ", ".join(examination.case.aside.names())
    said = [f"Set aside, as this base does not know it: {aside}"] if aside else []
    for maker, _, rule in fired(examination, likely_makers(examination)):
        for conclusion in rule.then:
            if isinstance(conclusion, RemarkConclusion):
                said.append(f"If {base.makers[maker].name}: {conclusion.remark} ({', '.join(rule.sources)})")
    return said


def dated_words(each: Dated) -> str:
    """Words or a serial on a part, and the years they leave it."""
    if each.observation.serial is not None:
        return f'serial "{each.observation.serial}"'
    text = " ".join((each.observation.plate_text or "").split())
    told = [f"not before {each.not_before}"] * (each.not_before is not None)
    told += [f"not after {each.not_after}"] * (each.not_after is not None)
    return f'words "{shortened(text)}"' + (f": {', '.join(told)}" if told else "")


def message_words(examination: Examination, place: int) -> str:
    """One message of the ranking in words."""
    base, message = examination.compiled.base, examination.ranking.messages[place]
    if message.dated is not None:
        return dated_words(next(each for each in examination.dated if each.observation is message.dated))
    if message.maker is not None:
        rules = ", ".join(f"{message.maker}/{rule}" for rule in message.rules)
        return f"{_concluded(examination, message)} (by rule {rules})"
    seen = next(o for o in examination.observations if o.feature == message.feature and o.is_reading)
    return seen_words(base, seen)


def _concluded(examination: Examination, message: Message) -> str:
    """What a derived message says: a feature, or the bounds on its assembly."""
    base, maker = examination.compiled.base, message.maker or ""
    rules = [examination.compiled.rules[maker].rules[name] for name in message.rules]
    conclusions = [conclusion for rule in rules for conclusion in rule.then]
    if message.feature is not None:
        values = {
            v for c in conclusions if isinstance(c, FeatureConclusion) and c.feature == message.feature for v in c.is_
        }
        return f"{base.features[message.feature].label.lower()}: {values_words(base, message.feature, values)}"
    assembly = examination.compiled.model.assemblies[message.assembly]
    bounds = [c for c in conclusions if isinstance(c, BoundConclusion) and c.of == assembly]
    return "; ".join(dict.fromkeys(_bound_words(examination, bound) for bound in bounds))


def compared(examination: Examination, against: Group | None) -> Comparison | None:
    """The leading line against `against`, or against the runner-up, where that is the leading one itself too."""
    ranking, cells = examination.ranking, examination.compiled.model.cells
    order = sorted(range(len(cells.groups)), key=lambda g: (-ranking.by_group[g], g))
    first = order[0]
    second = cells.groups.index(against) if against not in (None, cells.groups[first]) else order[1]
    found = compare(ranking, first, second)
    base = examination.compiled.base
    return Comparison(
        first=group_words(base, cells.groups[first]),
        second=group_words(base, cells.groups[second]),
        prior=found.prior,
        reasons=[_reason(examination, share, (first, second)) for share in found.shares],
        freedom_of_year=found.freedom_of_year,
        total=found.total,
    )


def _reason(examination: Examination, share: Share, pair: tuple[int, int]) -> Reason:
    base, ranking, cells = examination.compiled.base, examination.ranking, examination.compiled.model.cells
    messages = [ranking.messages[place] for place in share.messages]
    statements: dict[str, None] = {}
    sources: dict[str, None] = {}
    for message in messages:
        if message.dated is not None:
            proof = next(each for each in examination.dated if each.observation is message.dated)
            sources |= dict.fromkeys(found.source for _, found in proof.readings if found.weighed)
        elif message.maker is not None:
            statements |= dict.fromkeys(message.rules)
            rules = examination.compiled.rules[message.maker].rules
            sources |= dict.fromkeys(s for name in message.rules for s in rules[name].sources)
        elif message.feature is not None:
            for group in (cells.groups[g] for g in pair):
                if group.maker is not None and group.variant is not None:
                    folder = base.makers[group.maker]
                    for trait in statements_about(folder, group.variant, message.feature):
                        statements[f"{group.maker}/{trait.id}"] = None
                        sources |= dict.fromkeys(f"{group.maker}/{source}" for source in trait.sources)
                    shown = specimens_showing(folder, group.variant, message.feature)
                    sources |= dict.fromkeys(f"{group.maker}/{specimen}" for specimen in shown)
    return Reason(
        assembly=ranking.model.assemblies[share.assembly],
        features=[message.feature for message in messages if message.feature is not None],
        says="; ".join(message_words(examination, place) for place in share.messages),
        decibans=share.decibans,
        statements=list(statements),
        sources=list(sources),
    )
