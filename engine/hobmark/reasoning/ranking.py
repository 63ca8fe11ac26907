"""Ranking: the posterior over cells, with assemblies that may not be the range's own.

M_a(h) = prod of the messages on assembly a; R_a = sum_h' delta(h') M_a(h');
L_a(h) = (1 - sigma_a) M_a(h) + sigma_a R_a; p(h | O) is in proportion to pi(h) prod_a L_a(h).
A donor's assembly comes whole, so R_a is one number for each maker.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np

from hobmark.reasoning.cells import Floats, Group
from hobmark.reasoning.evidence import Message
from hobmark.reasoning.model import Model


@dataclass(frozen=True)
class Ranking:
    """What the evidence makes of every cell.

    `together` M has shape (makers + 1, A, H), `donated` R (makers + 1, A), `likelihood` L (A, H)
    with its logarithm beside it, `posterior` (H,).
    """

    model: Model
    messages: tuple[Message, ...]
    together: Floats
    donated: Floats
    likelihood: Floats
    log_likelihood: Floats
    posterior: Floats
    log_evidence: float

    @cached_property
    def touched(self) -> frozenset[int]:
        """Assemblies about which something is known."""
        return frozenset(message.assembly for message in self.messages)

    def with_message(self, message: Message) -> Ranking:
        """The same as ranking all of it anew with one more message; only its assembly is worked out again."""
        return rank(self.model, (*self.messages, message), near=self)

    @cached_property
    def own_together(self) -> Floats:
        """M_a(h) with each cell's own maker as the range's, shape (A, H)."""
        cells = self.model.cells
        return np.ascontiguousarray(self.together[cells.maker, :, np.arange(len(cells))].T)

    @cached_property
    def by_group(self) -> Floats:
        """P(group | O), shape (groups,)."""
        counted = np.bincount(self.model.cells.group, self.posterior, minlength=len(self.model.cells.groups))
        return np.asarray(counted, dtype=np.float64)

    @cached_property
    def leader(self) -> int:
        """The most probable group."""
        return int(np.argmax(self.by_group))

    @cached_property
    def by_year(self) -> dict[int, float]:
        """P(year | O) over all cells, years in order."""
        years, place = np.unique(self.model.cells.year, return_inverse=True)
        mass = np.bincount(place, self.posterior)
        return {int(year): float(p) for year, p in zip(years, mass, strict=True)}

    def years_of(self, group: Group) -> dict[int, float]:
        """P(year | O, group) for one group."""
        where = self.model.cells.of_group(group)
        mass = self.posterior[where]
        mass = mass / mass.sum() if mass.sum() > 0 else np.full(len(mass), 1 / len(mass))
        return {int(y): float(p) for y, p in zip(self.model.cells.year[where], mass, strict=True)}

    @property
    def unlisted(self) -> float:
        """P(not one I know | O)."""
        listed = [i for i, group in enumerate(self.model.cells.groups) if not group.unlisted]
        return float(max(0.0, 1 - self.by_group[listed].sum()))

    @cached_property
    def swapped(self) -> Floats:
        """P(s_a | O) = sum_h p(h | O) sigma_a R_a / L_a(h): how probable it is that assembly a is not its own, (A,)."""
        donated = self.donated[self.model.cells.maker].T
        share = self.model.sigma[:, None] * donated / self.likelihood
        return np.asarray(share @ self.posterior, dtype=np.float64)

    def donors_of(self, assembly: int) -> Floats:
        """P(the donor's cell | assembly is not its own, O), shape (H,)."""
        cells = self.model.cells
        by_maker = np.bincount(
            cells.maker,
            self.posterior * self.model.sigma[assembly] / self.likelihood[assembly],
            minlength=len(cells.makers) + 1,
        )
        weight = (by_maker[:, None] * cells.donors * self.together[:, assembly, :]).sum(axis=0)
        return np.asarray(weight / weight.sum() if weight.sum() > 0 else cells.prior)

    def date_strip(self, assembly: int) -> dict[int, float]:
        """The assembly's own year distribution from its features alone: prior times M_a."""
        cells = self.model.cells
        mass = cells.prior * self.own_together[assembly]
        years, place = np.unique(cells.year, return_inverse=True)
        by_year = np.bincount(place, mass / mass.sum())
        return {int(y): float(p) for y, p in zip(years, by_year, strict=True)}


def rank(model: Model, messages: Sequence[Message], *, near: Ranking | None = None) -> Ranking:
    """The posterior of a model given messages, in float64; the order of the messages does not matter.

    `near` is a ranking by the same model: what it has on assemblies about which the messages are the same, one after
    another, is taken over, and the result is that without it to the last bit.
    """
    cells = model.cells
    changed = _changed(model, messages, near)
    if near is None:
        together = np.ones((len(cells.makers) + 1, len(model.assemblies), len(cells)))
        donated = np.empty(together.shape[:2])
        likelihood, logs = np.empty(together.shape[1:]), np.empty(together.shape[1:])
    else:
        together, donated = near.together.copy(), near.donated.copy()
        likelihood, logs = near.likelihood.copy(), near.log_likelihood.copy()
        together[:, changed, :] = 1.0
    for message in messages:
        if message.assembly in changed:
            together[:, message.assembly, :] *= message.values
    every = np.arange(len(cells))
    for a in changed:
        sigma = model.sigma[a]
        donated[:, a] = np.einsum("kh,kh->k", cells.donors, together[:, a, :])
        own = together[cells.maker, a, every]
        # Kept above 0, so that a cell which a wording without a floor excludes can be divided by and stays at nothing.
        likelihood[a] = np.maximum((1 - sigma) * own + sigma * donated[cells.maker, a], 1e-300)
        logs[a] = np.log(likelihood[a])
    with np.errstate(divide="ignore"):  # a cell switched off in wording.yaml has no prior: log 0, mass 0
        score = np.log(cells.prior) + logs.sum(axis=0)
    top = float(score.max())
    mass = np.exp(score - top)
    total = float(mass.sum())
    evidence = top + float(np.log(total))
    return Ranking(model, tuple(messages), together, donated, likelihood, logs, mass / total, evidence)


def _changed(model: Model, messages: Sequence[Message], near: Ranking | None) -> list[int]:
    """The assemblies about which the messages are not the same, in the same order, as those of `near`."""
    if near is None:
        return list(range(len(model.assemblies)))
    now: dict[int, list[Message]] = {}
    before: dict[int, list[Message]] = {}
    for found, told in ((now, messages), (before, near.messages)):
        for message in told:
            found.setdefault(message.assembly, []).append(message)
    return [a for a in sorted(now.keys() | before.keys()) if not _alike(now.get(a, []), before.get(a, []))]


def _alike(some: Sequence[Message], others: Sequence[Message]) -> bool:
    return len(some) == len(others) and all(
        one is other or np.array_equal(one.values, other.values) for one, other in zip(some, others, strict=True)
    )
