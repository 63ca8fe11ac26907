"""Is it all one range? The judgement of every assembly, gathered for the findings."""

from __future__ import annotations

from collections.abc import Iterable

import numpy as np

from hobmark.knowledge.schema.looks import REPLACED
from hobmark.knowledge.vocabulary import Originality
from hobmark.reasoning.cells import Group
from hobmark.reasoning.examination import Examination
from hobmark.reasoning.originality import (
    DOUBTFUL,
    NOT_ITS_OWN,
    Part,
    Whole,
    donor_groups,
    held_years,
    originality,
    swap_prior,
)
from hobmark.reasoning.stock import carried_over, old_stock
from hobmark.reports.identify import AssemblyFinding, Donor, OriginalityFinding, Reason, YearChance
from hobmark.reports.tracing import message_words
from hobmark.reports.words import group_words, values_words

SHOWN = 1e-4
"""Years below this probability are left out."""
ENOUGH = 3
"""Parts that must have been seen before a range is said to be all one."""
SURE = 0.9
"""From this probability on a marriage is said outright."""
BELONGS = 0.5
"""How usual a value must be on the leading variant to be named as the one that belongs there."""


def wholeness(examination: Examination) -> tuple[OriginalityFinding, list[AssemblyFinding]]:
    """The range as a whole, and each assembly that was looked at."""
    whole = originality(examination.compiled.base, examination.ranking)
    return _whole(examination, whole), [_assembly(examination, part) for part in whole.parts]


def _whole(examination: Examination, whole: Whole) -> OriginalityFinding:
    base, names = examination.compiled.base, examination.compiled.model.assemblies
    first, last = held_years(examination.ranking.by_year)
    stock = [
        f"{base.features[old.feature].label.lower()} ({values_words(base, old.feature, [old.value])}) was given up in "
        f"{old.change.from_}, and what was left was used up over {old.change.run_out:g} months "
        f"[{', '.join(old.trait.sources)}]"
        for old in old_stock(examination, whole)
    ]
    return OriginalityFinding(
        verdict=whole.verdict,
        says=_says(examination, whole),
        married=[names[a] for a in whole.married],
        first=first,
        last=last,
        old_stock=stock,
        carried_over=[names[a] for a in carried_over(examination, whole)],
    )


def _says(examination: Examination, whole: Whole) -> str:
    """The verdict in one sentence that a buyer understands."""
    base, names = examination.compiled.base, examination.compiled.model.assemblies

    def labels(parts: Iterable[Part]) -> str:
        told = [f"the {base.assemblies[names[part.assembly]].label}" for part in parts]
        return " and ".join([", ".join(told[:-1]), told[-1]] if len(told) > 1 else told)

    married = [part for part in whole.parts if part.verdict is Originality.MARRIED]
    changed = [part for part in whole.parts if part.swapped >= NOT_ITS_OWN and part not in married]
    doubtful = [part for part in whole.parts if part.verdict is Originality.DOUBTFUL]
    if married:
        sure = min(part.swapped for part in married) >= SURE
        said = "No: a marriage of two ranges" if sure else "Probably not: it looks like two ranges in one"
        return f"{said}. Another gave {labels(married)}." + (f" Changed besides: {labels(changed)}." if changed else "")
    if changed:
        return f"One range, but with changed parts: {labels(changed)}."
    if doubtful:
        return f"Perhaps not: look again at {labels(doubtful)}."
    if len(whole.parts) < ENOUGH:
        return f"Too early to say: {len(whole.parts)} of its parts seen."
    return f"Yes, as far as {len(whole.parts)} of its parts show."


def _assembly(examination: Examination, part: Part) -> AssemblyFinding:
    model, base, ranking = examination.compiled.model, examination.compiled.base, examination.ranking
    name = model.assemblies[part.assembly]
    sigma = float(model.sigma[part.assembly])
    donors = donor_groups(ranking, part) if sigma else []
    return AssemblyFinding(
        assembly=name,
        label=base.assemblies[name].label,
        not_its_own=part.swapped,
        usually=sigma,
        verdict=part.verdict,
        says=_part_says(examination, part),
        from_=[_donor(examination, group, p) for group, p in donors],
        years=[YearChance(year=year, probability=p) for year, p in part.strip.items() if p >= SHOWN],
        first=part.first,
        last=part.last,
        dates=part.dates,
        removable=base.assemblies[name].replaced == REPLACED,
        apart_from=[model.assemblies[a] for a in part.apart],
        belongs=list(_belongs(examination, part)) if part.swapped >= DOUBTFUL else [],
        odds_before=swap_prior(ranking, part.assembly) if sigma else None,
        because=[
            Reason(
                assembly=name,
                features=[f for f in (ranking.messages[i].feature for i in share.messages) if f is not None],
                says="; ".join(message_words(examination, i) for i in share.messages),
                decibans=share.decibans,
                statements=[],
                sources=[],
            )
            for share in part.shares
        ],
    )


def _part_says(examination: Examination, part: Part) -> str:
    entry = examination.compiled.base.assemblies[examination.compiled.model.assemblies[part.assembly]]
    return {
        Originality.AS_LEFT_THE_WORKS: "as it left the works, for all that shows",
        Originality.DOUBTFUL: "doubtful",
        Originality.LATER_CORRECT: "a later correct part: of the right type, not this range's own",
        Originality.EARLIER_CORRECT: "an earlier correct part: of the right type, not this range's own",
        Originality.REPLACED: entry.replaced,
        Originality.MARRIED: "from another range",
    }[part.verdict]


def _donor(examination: Examination, group: Group, probability: float) -> Donor:
    label = group_words(examination.compiled.base, group)
    return Donor(maker=group.maker, variant=group.variant, label=label, probability=probability)


def _belongs(examination: Examination, part: Part) -> Iterable[str]:
    """What the leading variant had where another value was seen, so that one knows what to look for."""
    base, model, ranking = examination.compiled.base, examination.compiled.model, examination.ranking
    leader = model.cells.group == ranking.leader
    if model.cells.groups[ranking.leader].unlisted or ranking.posterior[leader].sum() <= 0:
        return
    weight = ranking.posterior[leader] / ranking.posterior[leader].sum()
    for feature, seen in examination.facts.items():
        table = model.features[feature]
        if table.assembly != part.assembly or not table.stated:
            continue
        usual = table.phi[:, leader] @ weight
        best = int(np.argmax(usual))
        if usual[best] >= BELONGS and table.values[best] not in seen:
            yield f"{base.features[feature].label.lower()}: {values_words(base, feature, [table.values[best]])}"
