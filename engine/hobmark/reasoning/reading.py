"""Reading: an observation as a likelihood vector lambda over the K values of its feature.

Slip confusion C(v | x) = P(a careful person reads v | it is x). A value v gives lambda = c C(v | x) + (1 - c)/K with
c from `sure`; a set the sum of C over it; a negation its complement; a measure the normal mass inside each band.
"""

from __future__ import annotations

from statistics import NormalDist

import numpy as np

from hobmark.knowledge.base import KnowledgeBase
from hobmark.knowledge.schema.looks import Feature
from hobmark.knowledge.schema.observations import MM_PER_INCH, Observation, read_length
from hobmark.reasoning.cells import Floats

ABSENT = "absent"
"""The value that says a thing is not there and never was."""


def slip_confusion(base: KnowledgeBase, feature_id: str) -> Floats:
    """C[v, x], shape (K, K): 1 - s on the diagonal, the slip rate s shared evenly by the other values."""
    feature = base.features[feature_id]
    values = len(feature.value_ids)
    slip = base.wording.slips[feature.slips]
    confusion = np.full((values, values), slip / (values - 1))
    np.fill_diagonal(confusion, 1 - slip)
    return confusion


def likelihood(base: KnowledgeBase, feature_id: str, seen: Observation) -> Floats:
    """lambda, shape (K,), for one observation of the feature; all ones where it could not be seen.

    `removed` is every value but `absent`. What is left to doubt is shared by as many values as are named, so that a
    guess at two values is the sum of two guesses. Raises KeyError for a value the feature does not have.
    """
    feature = base.features[feature_id]
    values = feature.value_ids
    if seen.unseen:
        return np.ones(len(values))
    named_values = 1
    if seen.measured is not None:
        plain = _inside_bands(feature, read_length(seen.measured))
    elif seen.removed:
        plain = np.array([0.0 if value == ABSENT else 1.0 for value in values])
        named_values = int(plain.sum())
    else:
        confusion = slip_confusion(base, feature_id)
        named = seen.is_ if seen.is_ is not None else seen.is_not or ()
        plain = confusion[[_place(values, value) for value in dict.fromkeys(named)]].sum(axis=0)
        named_values = len(set(named))
        if seen.is_ is None:
            plain, named_values = 1 - plain, len(values) - named_values
    sure = base.wording.sure[seen.sure]
    return np.asarray(sure * plain + (1 - sure) * named_values / len(values), dtype=np.float64)


def _place(values: tuple[str, ...], value: str) -> int:
    if value not in values:
        raise KeyError(value)
    return values.index(value)


def _inside_bands(feature: Feature, length_mm: float) -> Floats:
    """P(the true size lies in each band | the size read), with the feature's error of a careful reading."""
    if feature.measure is None:
        raise KeyError("measured")
    unit = MM_PER_INCH if feature.measure.unit == "in" else 1.0
    true_size = NormalDist(length_mm / unit, feature.measure.error)
    edges = [feature.band_edges(band) for band in feature.value_ids]
    return np.array([_cdf(true_size, high) - _cdf(true_size, low) for low, high in edges])


def _cdf(size: NormalDist, edge: float) -> float:
    if edge == float("inf"):
        return 1.0
    return 0.0 if edge == float("-inf") else size.cdf(edge)


def known_values(base: KnowledgeBase, seen: Observation) -> frozenset[str] | None:
    """What a certain positive observation says of its feature, for the rules; None where it may fire nothing.

    A measure counts as the fewest bands that a careful reading would not leave (99%).
    """
    if seen.feature is None or seen.unseen or seen.sure != "certain":
        return None
    feature = base.features[seen.feature]
    if seen.is_ is not None:
        return frozenset(seen.is_)
    if seen.measured is not None:
        masses = _inside_bands(feature, read_length(seen.measured))
        likeliest = np.argsort(-masses, kind="stable")
        held = int(np.searchsorted(np.cumsum(masses[likeliest]), 0.99 * masses.sum())) + 1
        return frozenset(feature.value_ids[place] for place in likeliest[:held])
    return None
