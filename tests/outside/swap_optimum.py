"""The best anyone could say of what is not a range's own, written apart from the project's ranking.

Whoever knows how simulated ranges come about (every table, every rate, and when a look tells nothing) weighs two
stories of each assembly, "it stayed" and "it came from another range", by how often just these looks come out under
each. Here each story is summed over the range's cell and the donor's, for many ranges at once; nothing is divided out
of a finished product. Only tables are taken from the project, none of its reckoning.

What the ranking does not use counts here too: that a gated look told something proves its gate, and that it told
nothing speaks against it.
"""

from __future__ import annotations

import itertools
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from hobmark.knowledge.base import KnowledgeBase
from hobmark.reasoning.cells import Cells
from hobmark.reasoning.model import Model

Looks = Mapping[str, str | None]
"""What each look told; None where it told nothing. A feature that is left out was not looked at."""

AT_ONCE = 250
"""Ranges weighed together: so many by the cells of a base still fit into a processor's cache."""


@dataclass(frozen=True)
class Bundle:
    """A feature and the looks it is the gate of, which must be weighed together.

    `chance[k]` has an axis for what each look told (its values, "told nothing", "not looked at") and a last one for
    the cell the parts came from; k is the maker of the range they sit on.
    """

    features: tuple[str, ...]
    values: tuple[tuple[str, ...], ...]
    assembly: int
    chance: tuple[np.ndarray, ...]

    def told(self, looks: Sequence[Looks]) -> tuple[np.ndarray, ...]:
        """Where each range's looks stand on the axes of `chance`; one array (ranges,) for each feature."""
        return tuple(
            np.array([_place(one, feature, values) for one in looks])
            for feature, values in zip(self.features, self.values, strict=True)
        )


def _place(looks: Looks, feature: str, values: tuple[str, ...]) -> int:
    if feature not in looks:
        return len(values) + 1
    read = looks[feature]
    return len(values) if read is None else values.index(read)


@dataclass(frozen=True)
class Optimum:
    """Tables of one base, laid out for weighing: `prior` (H,), `maker` (H,), `donors[k]` (H,), `rates` (A,)."""

    prior: np.ndarray
    maker: np.ndarray
    donors: tuple[np.ndarray, ...]
    rates: np.ndarray
    bundles: tuple[Bundle, ...]

    def not_its_own(self, looks: Sequence[Looks]) -> np.ndarray:
        """P(assembly came from another range | looks), shape (ranges, A)."""
        parts = [self._weighed(looks[first : first + AT_ONCE]) for first in range(0, len(looks), AT_ONCE)]
        return np.concatenate(parts) if parts else np.empty((0, len(self.rates)))

    def _weighed(self, looks: Sequence[Looks]) -> np.ndarray:
        stayed, came = self._stories(looks)
        either = stayed + came
        before = np.broadcast_to(self.prior, either[0].shape)
        after = [np.ones_like(before)]
        for story in either[:0:-1]:
            after.insert(0, after[0] * story)
        found = np.empty((len(looks), len(self.rates)))
        for a in range(len(self.rates)):
            others = before * after[a]
            its_own, another = (others * stayed[a]).sum(axis=1), (others * came[a]).sum(axis=1)
            found[:, a] = another / (its_own + another)
            before = before * either[a]
        return found

    def _stories(self, looks: Sequence[Looks]) -> tuple[np.ndarray, np.ndarray]:
        """Chance of each assembly's looks and of "stayed", "came from another range", by cell: (A, ranges, H) each."""
        stayed = np.empty((len(self.rates), len(looks), len(self.prior)))
        came = np.empty_like(stayed)
        told = [(bundle, bundle.told(looks)) for bundle in self.bundles]
        for k, donors in enumerate(self.donors):
            mine = self.maker == k
            for a, rate in enumerate(self.rates):
                of_source = np.ones((len(looks), len(self.prior)))
                for bundle, places in told:
                    if bundle.assembly == a:
                        of_source *= bundle.chance[k][places]
                stayed[a][:, mine] = (1 - rate) * of_source[:, mine]
                came[a][:, mine] = rate * (of_source @ donors)[:, None]
        return stayed, came


def optimum_for(
    base: KnowledgeBase, model: Model, blind: Mapping[str, float], drawn: np.ndarray | None = None
) -> Optimum:
    """The optimum over the features of `blind`, the chance of each look to tell nothing.

    `drawn` (H,) marks the cells that ranges are drawn from, where these are not all. ValueError for a gate that is
    itself gated, of another assembly, or one of two.
    """
    cells = model.cells
    rates = [0.0 if told.swapped is None else base.wording.swapped[told.swapped] for told in base.assemblies.values()]
    donors = tuple(_donors_for(k, cells, base.wording.model.donor_within) for k in range(len(cells.makers) + 1))
    gated: dict[str, list[str]] = {feature: [] for feature in blind if not base.features[feature].needs}
    for feature in blind:
        for gate in base.features[feature].needs:
            same = gate in gated and base.features[gate].assembly == base.features[feature].assembly
            if not same or len(base.features[feature].needs) > 1:
                raise ValueError(f"{feature}: such a gate is not laid out here")
            gated[gate].append(feature)
    bundles = tuple(_bundle(base, model, blind, donors, gate, behind) for gate, behind in gated.items())
    prior = cells.prior if drawn is None else np.where(drawn, cells.prior, 0.0)
    return Optimum(prior / prior.sum(), cells.maker, donors, np.array(rates), bundles)


def _donors_for(maker: int, cells: Cells, within: float) -> np.ndarray:
    same = np.array([p if k == maker else 0.0 for p, k in zip(cells.prior, cells.maker, strict=True)])
    near = same / same.sum() if same.sum() > 0 else cells.prior
    return within * near + (1 - within) * cells.prior


def _bundle(
    base: KnowledgeBase,
    model: Model,
    blind: Mapping[str, float],
    donors: tuple[np.ndarray, ...],
    gate: str,
    behind: Sequence[str],
) -> Bundle:
    features = (gate, *behind)
    values = tuple(base.features[feature].value_ids for feature in features)
    size = tuple(len(names) + 2 for names in values)
    chance = []
    for delta in donors:
        shown = [_shown(base, model, feature, delta) for feature in features]
        table = np.zeros((*size, len(delta)))
        for told in itertools.product(*map(range, size)):
            for x, value in enumerate(values[0]):
                story = shown[0][x] * _told(base, gate, told[0], np.eye(len(values[0]))[x], blind[gate])
                for feature, place, now in zip(behind, told[1:], shown[1:], strict=True):
                    opens = value in base.features[feature].needs[gate]
                    story = story * _told(base, feature, place, now, blind[feature] if opens else 1.0)
                table[told] += story
        chance.append(table)
    return Bundle(features, values, list(base.assemblies).index(base.features[gate].assembly), tuple(chance))


def _shown(base: KnowledgeBase, model: Model, feature: str, delta: np.ndarray) -> np.ndarray:
    """P(value now on the range | cell the assembly came from), shape (K, H), a part swapped by itself included."""
    phi, word = model.features[feature].phi, base.features[feature].swapped_alone
    rate = 0.0 if word is None else base.wording.swapped[word]
    return np.array([(1 - rate) * row + rate * np.sum(delta * row) for row in phi])


def _told(base: KnowledgeBase, feature: str, place: int, now: np.ndarray, blind: float) -> np.ndarray | float:
    """P(the look told this | P(value) = now), shape (H,) or one number; `place` as in Bundle.chance."""
    values = len(base.features[feature].value_ids)
    if place > values:
        return 1.0
    if place == values:
        return blind
    slip = base.wording.slips[base.features[feature].slips]
    read_as = [1 - slip if x == place else slip / (values - 1) for x in range(values)]
    return (1 - blind) * sum(chance * now[x] for x, chance in enumerate(read_as))
