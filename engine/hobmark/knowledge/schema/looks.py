"""wording.yaml, assemblies.yaml and features.yaml: what can be looked at, and what words weigh."""

from __future__ import annotations

import itertools
from typing import Annotated, Literal

from pydantic import Field, model_validator

from hobmark.knowledge.schema.entry import Entry, Id, OneOrMore, Positive, Probability, Text
from hobmark.knowledge.vocabulary import Access, Certainty, HowOften, Situation, SlipWord, Sure, SwapWord


class SituationWording(Entry):
    """Which access levels a situation offers, and a flat cost where a look costs one request whatever it is."""

    label: Text
    offers: tuple[Access, ...]
    seconds_each: Positive | None = None


class ModelNumbers(Entry):
    """Weights of the model that are ours to choose; MATHS of the project, sections 1 to 4."""

    used_weight: Annotated[float, Field(ge=0, le=1e6, allow_inf_nan=False)] = 1
    floor: Annotated[Probability, Field(le=0.05)] = 0.003
    unlisted_variant: Annotated[Probability, Field(lt=1)] = 0.02
    unlisted_maker: Annotated[Probability, Field(lt=1)] = 0.05
    unlisted_variant_used: Probability = 0.75
    unlisted_maker_used: Probability = 0.5
    donor_within: Probability = 0.9


class StopNumbers(Entry):
    """When to stop asking: the probability that settles a goal, once so many assemblies were looked at, and the bits

    below which no look is worth it.
    """

    settled: Probability = 0.95
    assemblies: Annotated[int, Field(ge=0, le=100)] = 5
    worth_a_look: Probability = 0.02


class CertaintyWord(Entry):
    """A word for a probability of at least so much."""

    at_least: Probability
    say: Text


class Wording(Entry):
    """wording.yaml: the only place where words become numbers."""

    often: dict[HowOften, Probability]
    swapped: dict[SwapWord, Probability]
    slips: dict[SlipWord, Probability]
    certainty: dict[Certainty, Positive]
    sure: dict[Sure, Probability]
    seconds: dict[Access, Positive]
    situations: dict[Situation, SituationWording]
    cannot_tell: dict[Access, Probability]
    model: ModelNumbers = Field(default_factory=ModelNumbers)
    stop: StopNumbers = Field(default_factory=StopNumbers)
    certainty_words: tuple[CertaintyWord, ...] = ()

    @model_validator(mode="after")
    def _every_word_has_its_number(self) -> Wording:
        for name, table, words in (
            ("often", self.often, HowOften),
            ("swapped", self.swapped, SwapWord),
            ("slips", self.slips, SlipWord),
            ("certainty", self.certainty, Certainty),
            ("sure", self.sure, Sure),
            ("seconds", self.seconds, Access),
            ("situations", self.situations, Situation),
            ("cannot_tell", self.cannot_tell, Access),
        ):
            missing = [word.value for word in words if word not in table]
            if missing:
                raise ValueError(f"'{name}' has no number for {', '.join(missing)}. Add it.")
        return self


class Caution(Entry):
    """reference/cautions.yaml: one caution, its published source and how well that is confirmed.

    `name` is two to four words by which a sheet points at it where `says` stands once; without it `short` does.
    """

    name: Text | None = None
    says: Text
    short: Text
    source: Text
    status: Literal["verified", "single"]
    when: dict[Id, OneOrMore] = Field(default_factory=dict)


REPLACED = "replaced"
"""What is said of an assembly that is not the range's own, where it does not say another word for itself."""


class Assembly(Entry):
    """assemblies.yaml: parts that travel together, and how often they are not the range's own."""

    label: Text
    holds: Text
    swapped: SwapWord | None = None
    is_the_range: bool = False
    joins: bool = False
    replaced: Text = REPLACED

    @model_validator(mode="after")
    def _swapped_or_the_range(self) -> Assembly:
        if self.is_the_range == (self.swapped is not None):
            raise ValueError("an assembly has either 'swapped' or 'is_the_range: true'. Write one of them.")
        if self.joins and self.is_the_range:
            raise ValueError("what is the range cannot be joined to it. Remove 'joins'.")
        return self


class Value(Entry):
    """One value of a feature."""

    label: Text | None = None
    says: tuple[Text, ...] = ()
    sketch: str | None = Field(default=None, max_length=600)


class Measure(Entry):
    """A feature that is measured: the unit its bands are in, and the error of a careful reading (one sigma)."""

    unit: Literal["mm", "in"]
    error: Positive


_EDGE = r"-?([0-9]+(\.[0-9]+)?|\.[0-9]+)"


class Feature(Entry):
    """features.yaml: one thing a person can look at."""

    label: Text
    assembly: Id
    ask: Text
    look: Text
    access: Access
    slips: SlipWord = SlipWord.RARELY
    swapped_alone: SwapWord | None = None
    cannot_tell: Probability | None = None
    seconds: Positive | None = None
    values: dict[Id, Value] = Field(default_factory=dict)
    measure: Measure | None = None
    bands: dict[Id, Annotated[str, Field(pattern=rf"^({_EDGE})?\.\.({_EDGE})?$")]] = Field(default_factory=dict)
    needs: dict[Id, OneOrMore] = Field(default_factory=dict)
    traces_on: Id | None = None

    @property
    def value_ids(self) -> tuple[str, ...]:
        """Its values, in the order the file gives them."""
        return tuple(self.bands or self.values)

    def value_label(self, value: str) -> str:
        """The words for a value."""
        entry = self.values.get(value)
        return entry.label if entry is not None and entry.label else value.replace("_", " ")

    def band_edges(self, value: str) -> tuple[float, float]:
        """A band's lower and upper edge in the feature's unit; open ends are infinite."""
        low, _, high = self.bands[value].partition("..")
        return (float(low) if low else float("-inf"), float(high) if high else float("inf"))

    @model_validator(mode="after")
    def _values_stand(self) -> Feature:
        if len(self.value_ids) < 2:
            raise ValueError("a feature needs at least two values. Add them under 'values'.")
        if len(self.value_ids) > 12:
            raise ValueError("a feature has at most twelve values. Split it into two features.")
        if bool(self.bands) != (self.measure is not None):
            raise ValueError("'measure' and 'bands' go together. Write both or neither.")
        if self.bands and set(self.values) - set(self.bands):
            odd = ", ".join(sorted(set(self.values) - set(self.bands)))
            raise ValueError(f"'{odd}' under 'values' is no band. Name each value as its band.")
        if self.bands:
            self._bands_meet()
        return self

    def _bands_meet(self) -> None:
        edges = [self.band_edges(band) for band in self.bands]
        meets = all(left[1] == right[0] for left, right in itertools.pairwise(edges))
        meets &= all(low < high for low, high in edges)
        if not meets or edges[0][0] != float("-inf") or edges[-1][1] != float("inf"):
            raise ValueError("bands must rise from '..N' to 'N..' and meet without a gap. Mend the edges.")
