"""Findings of an examination: every number and word of `identify`, gathered once."""

from __future__ import annotations

from collections.abc import Iterable

import numpy as np

from hobmark.knowledge.vocabulary import Goal
from hobmark.reasoning.cells import Group
from hobmark.reasoning.chaining import engine_in_use
from hobmark.reasoning.examination import Examination, claim_of
from hobmark.reasoning.explaining import hinge
from hobmark.reasoning.goals import Claim, best_window
from hobmark.reasoning.questions import Look, cannot_tell
from hobmark.reasoning.stopping import Verdict, verdict
from hobmark.reports.because import because
from hobmark.reports.cautions import caution_lines
from hobmark.reports.identify import (
    Change,
    ClaimFinding,
    Findings,
    NextLook,
    Ranked,
    Window,
    YearChance,
)
from hobmark.reports.tracing import compared, message_words, remarks, trace
from hobmark.reports.wholeness import wholeness
from hobmark.reports.words import UNLISTED, chance_words, demonstration, group_words, seen_words

LEAST_BITS = 0.005
"""Looks that would be shown as 0.00 bit are not suggested."""
SHOWN = 1e-4
"""Ranking lines and donors below this probability are left out of the findings."""


def findings(examination: Examination, name: str, *, looks: int = 3, against: Group | None = None) -> Findings:
    """Gather everything about a case called `name` (its file); `against` picks the line the leader is compared with."""
    judged = verdict(examination)
    ranking = examination.ranking
    window = best_window(ranking.by_year)
    whole, assemblies = wholeness(examination)
    maker, maker_probability = _likeliest_maker(examination)
    return Findings(
        case=name,
        label=examination.case.label,
        goal=examination.goal.value,
        situation=examination.situation.value,
        looks_taken=len(examination.case.answered()),
        ranking=_ranked(examination),
        years=_years(ranking.by_year),
        window=Window(first=window.first, last=window.last, probability=window.probability),
        originality=whole,
        assemblies=assemblies,
        assemblies_seen=len(ranking.touched),
        not_looked_at=_not_looked_at(examination),
        gone=_gone(examination),
        claims=list(_claims(examination)),
        next=_next(examination, judged, looks),
        maker=maker,
        maker_probability=maker_probability,
        named=examination.named,
        settled=judged.settled,
        stop=judged.stop,
        undecidable_here=_together(examination, judged),
        outside=next_look(examination, judged.outside) if judged.outside is not None else None,
        comparison=compared(examination, against if against is not None else _claimed(examination)),
        would_change=_change(examination),
        remarks=remarks(examination),
        cautions=caution_lines(examination),
        trace=trace(examination),
        not_weighed=_not_weighed(examination),
        demonstration=demonstration(examination.compiled.base),
        engine=_engine(examination),
    )


def _next(examination: Examination, judged: Verdict, count: int) -> list[NextLook]:
    if judged.stop and not judged.settled:
        return []
    return [next_look(examination, look) for look in examination.looks[:count] if look.bits >= LEAST_BITS]


def _claimed(examination: Examination) -> Group | None:
    """The variant claimed, to compare with, where the claim is what one wants to know of."""
    claim = examination.claim
    if examination.goal is not Goal.CLAIM or claim is None or claim.variant is None:
        return None
    return Group(claim.maker, claim.variant)


def _years(chances: dict[int, float]) -> list[YearChance]:
    return [YearChance(year=year, probability=p) for year, p in chances.items() if p >= SHOWN]


def _ranked(examination: Examination) -> list[Ranked]:
    ranking, base = examination.ranking, examination.compiled.base
    order = sorted(range(len(ranking.by_group)), key=lambda g: (-ranking.by_group[g], g))
    lines: list[Ranked] = []
    for g in order:
        group = examination.compiled.model.cells.groups[g]
        if ranking.by_group[g] < SHOWN and lines:
            break
        lines.append(
            Ranked(
                maker=group.maker,
                variant=group.variant,
                label=group_words(base, group),
                unlisted=group.unlisted,
                probability=float(ranking.by_group[g]),
                years=_years(ranking.years_of(group)),
            )
        )
    return lines


def _not_looked_at(examination: Examination) -> list[str]:
    """Labels of the assemblies that may be another range's and about which nothing is known."""
    model, base = examination.compiled.model, examination.compiled.base
    unseen = [a for a in range(len(model.assemblies)) if model.sigma[a] > 0 and a not in examination.ranking.touched]
    return [base.assemblies[model.assemblies[a]].label for a in unseen]


def _not_weighed(examination: Examination) -> list[str]:
    """Observations that count neither way: words that prove no year, what could not be seen, what nobody speaks of."""
    base, model = examination.compiled.base, examination.compiled.model
    used = {
        atom.feature
        for derivation in examination.derivations.values()
        for firing in derivation.firings
        for atom in firing.used
    }
    weighed = {id(each.observation) for each in examination.dated if each.weighs}
    return [
        seen_words(base, seen) + (" (known to be another range's)" if seen.original is False else "")
        for seen in examination.case.observations
        if (seen.feature is None and id(seen) not in weighed)
        or (seen.feature is not None and not seen.is_reading)
        or seen.original is False
        or (seen.feature is not None and not (model.features[seen.feature].stated or seen.feature in used))
    ]


def _engine(examination: Examination) -> str:
    """Which chainer gave the trace."""
    return next((derivation.engine for derivation in examination.derivations.values()), engine_in_use())


def _gone(examination: Examination) -> list[str]:
    base = examination.compiled.base
    return [
        base.features[seen.feature].label.lower()
        for seen in examination.case.observations
        if seen.removed and seen.feature
    ]


def _likeliest_maker(examination: Examination) -> tuple[str, float]:
    cells = examination.compiled.model.cells
    chances = np.bincount(cells.maker, examination.ranking.posterior)
    best = int(chances.argmax())
    names = [examination.compiled.base.makers[maker].name for maker in cells.makers]
    return [*names, UNLISTED][best], min(1.0, float(chances[best]))


def _claims(examination: Examination) -> Iterable[ClaimFinding]:
    base, cells = examination.compiled.base, examination.compiled.model.cells
    whole = claim_of(base, examination.case)
    if whole is None:
        return
    single: list[tuple[dict[str, str], Claim]] = []
    if whole.variant is not None and whole.maker is not None:
        single.append(({"variant": f"{whole.maker}/{whole.variant}"}, Claim(whole.maker, whole.variant)))
    elif whole.maker is not None:
        single.append(({"maker": whole.maker}, Claim(whole.maker)))
    if whole.made is not None:
        single.append(({"made": whole.made}, Claim(made=whole.made)))
    if len(single) > 1:
        single.append(({k: v for claim, _ in single for k, v in claim.items()}, whole))
    for said, claim in single:
        p = float(examination.ranking.posterior[claim.holds_in(cells)].sum())
        yield ClaimFinding(claim=said, verdict=chance_words(base, p), probability=min(1.0, p))


def next_look(examination: Examination, look: Look) -> NextLook:
    """A look with its question, where to look, and why it is worth taking."""
    feature = examination.compiled.base.features[look.feature]
    return NextLook(
        feature=look.feature,
        label=feature.label,
        ask=feature.ask,
        look=feature.look,
        bits=look.bits,
        seconds=look.seconds,
        because=because(examination, look.feature),
    )


def _together(examination: Examination, judged: Verdict) -> list[str]:
    if not judged.stop or judged.settled:
        return []
    base, cells = examination.compiled.base, examination.compiled.model.cells
    if examination.goal is Goal.VARIANT:
        return [group_words(base, cells.groups[part]) for part in judged.together]
    if examination.goal is Goal.YEAR:
        return [str(int(cells.year.min()) + part) for part in sorted(judged.together)]
    if examination.goal is Goal.MAKER:
        names = [base.makers[maker].name for maker in cells.makers]
        return [[*names, UNLISTED][part] for part in judged.together]
    return [["the claim is false", "the claim is true"][part] for part in judged.together]


def _change(examination: Examination) -> Change:
    base, ranking = examination.compiled.base, examination.ranking
    open_looks = [
        (examination.expected[look.feature].overturns * (1 - cannot_tell(base, look.feature)), look.feature)
        for look in examination.looks
    ]
    chance, feature = min(open_looks, key=lambda pair: (-round(pair[0], 9), pair[1]), default=(0.0, None))
    found = hinge(ranking)
    groups = examination.compiled.model.cells.groups
    turned = found is not None and found.leader_after != ranking.leader
    return Change(
        look=base.features[feature].label if feature is not None and chance > 0 else None,
        chance=chance,
        hangs_on=message_words(examination, found.message) if found is not None else None,
        hangs_on_decibans=found.decibans if found is not None else 0.0,
        leader_without=group_words(base, groups[found.leader_after]) if found is not None and turned else None,
    )
