"""Observations, groups and probabilities in a restorer's words."""

from __future__ import annotations

from collections.abc import Iterable

from hobmark.knowledge.base import KnowledgeBase
from hobmark.knowledge.schema.observations import Observation
from hobmark.knowledge.vocabulary import MeasuredOn
from hobmark.reasoning.cells import Group

STANDS_OUT = 1.25
"""How many times as probable as its neighbours on the whole a year must be to be named the likeliest."""
MEASURED_AT = {MeasuredOn.RANGE: "on the range", MeasuredOn.PART: "on the part"}
"""Where a measure is taken, in words."""
DEMONSTRATION = "Demonstration: the makers, models, papers and figures of these ranges are invented."
"""What stands with everything that is told from a base with an invented maker."""
TOLD = 0.5
"""How probable a name must be to head a report; below it the head says that it cannot be told yet."""
UNLISTED = "none that I know"
"""What stands for a range of no maker listed."""


def demonstration(base: KnowledgeBase) -> str | None:
    """What a reader must be told of a base that is made up; which makers are where others are not; None of others."""
    invented = [folder.name for folder in base.makers.values() if folder.maker.invented]
    if not invented or len(invented) == len(base.makers):
        return DEMONSTRATION if invented else None
    return f"Demonstration: invented, with their models, papers and figures: {', '.join(invented)}."


def group_words(base: KnowledgeBase, group: Group) -> str:
    """A line of the ranking in words: maker and variant, or what is not listed."""
    if group.maker is None:
        return UNLISTED
    maker = base.makers[group.maker].name
    if group.variant is None:
        return f"{maker}, a variant not listed"
    return f"{maker} {base.variant_label(group.maker, group.variant)}"


def short_group(base: KnowledgeBase, group: Group) -> str:
    """The same without the maker's name, where the variant tells it."""
    if group.maker is not None and group.variant is not None:
        return base.variant_label(group.maker, group.variant)
    return group_words(base, group)


def values_words(base: KnowledgeBase, feature: str, values: Iterable[str]) -> str:
    """Values of a feature in words: one, or `a or b`."""
    entry = base.features[feature]
    return " or ".join(entry.value_label(value) for value in sorted(values, key=entry.value_ids.index))


def seen_words(base: KnowledgeBase, seen: Observation) -> str:
    """An observation in words, as `dial material: dark moulded resin`."""
    if seen.feature is None:
        kind, text = ("serial", seen.serial) if seen.serial is not None else ("words", seen.plate_text or "")
        return f'{kind} "{shortened(" ".join(text.split()))}" on the {seen.found_on}'.replace("_", " ")
    label = base.features[seen.feature].label
    label = label[0].lower() + label[1:]
    if seen.unseen:
        return f"{label}: cannot be seen"
    if seen.removed:
        return f"{label}: was there, now gone"
    if seen.measured is not None:
        return f"{label}: {seen.measured}"
    if seen.is_ is not None:
        said = values_words(base, seen.feature, seen.is_)
    else:
        said = f"not {values_words(base, seen.feature, seen.is_not or ())}"
    doubt = "" if seen.sure == "certain" else f" ({seen.sure.value})"
    return f"{label}: {said}{doubt}"


def shortened(text: str, most: int = 60) -> str:
    """A text cut to `most` characters, the cut shown."""
    return text if len(text) <= most else text[: most - 3].rstrip() + "..."


def chance_words(base: KnowledgeBase, probability: float) -> str:
    """The word for a probability, from wording.yaml."""
    for entry in sorted(base.wording.certainty_words, key=lambda word: -word.at_least):
        if probability >= entry.at_least:
            return entry.say
    return "possible"


def percent(probability: float) -> str:
    """A probability as a person reads it; never a round 0% or 100% that it is not."""
    if probability >= 0.995:
        return ">99%"
    return "<1%" if probability < 0.005 else f"{probability * 100:.0f}%"


def years_words(chances: dict[int, float], held: float = 0.8) -> str:
    """The shortest stretch of years that holds most of the probability, and the likeliest year in it."""
    if not chances:
        return ""
    years = sorted(chances)
    best = (years[-1] - years[0], years[0], years[-1])
    mass = 0.0
    low = 0
    for high, year in enumerate(years):
        mass += chances[year]
        while mass - chances[years[low]] >= held and low < high:
            mass -= chances[years[low]]
            low += 1
        if mass >= held - 1e-12:
            best = min(best, (year - years[low], years[low], year))
    if best[1] == best[2]:
        return str(best[1])
    inside = [year for year in years if best[1] <= year <= best[2]]
    likeliest = max(inside, key=lambda year: (round(chances[year], 9), -year))
    even = sum(chances[year] for year in inside) / len(inside)
    return f"{best[1]}-{best[2]}" + (f", likeliest {likeliest}" if chances[likeliest] >= STANDS_OUT * even else "")
