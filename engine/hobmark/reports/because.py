"""Why a look is offered, in one sentence: what it splits from what."""

from __future__ import annotations

import numpy as np

from hobmark.knowledge.vocabulary import Goal
from hobmark.reasoning.cells import Floats
from hobmark.reasoning.examination import Examination
from hobmark.reports.words import short_group

RIVAL = 0.01
"""Lines of the ranking below this probability are not named as what a look splits."""


def because(examination: Examination, feature: str) -> str:
    """As `splits Heron from Heron De Luxe`, by the two likely lines whose answers differ most."""
    table = examination.compiled.model.features[feature]
    if not table.stated:
        chained = examination.expected.get(feature)
        if chained is None or chained.cell_bits == 0:
            return "nothing known so far makes it tell"
        return "sets off a rule on what is known already"
    answers = table.slips @ table.phi
    if examination.named:
        return "tests whether it is a range I know at all"
    if examination.goal is Goal.YEAR:
        return _years_split(examination, answers)
    if examination.goal is Goal.CLAIM:
        return _weighs_on_the_claim(examination, feature, answers)
    ranking, cells = examination.ranking, examination.compiled.model.cells
    likely = [g for g in range(len(cells.groups)) if ranking.by_group[g] >= RIVAL]
    if len(likely) < 2:
        likely = [int(g) for g in np.argsort(-ranking.by_group)[:2]]
    expected = {g: _mean_answer(answers, np.where(cells.group == g, ranking.posterior, 0.0)) for g in likely}
    pairs = [
        (min(ranking.by_group[a], ranking.by_group[b]) * float(np.abs(expected[a] - expected[b]).sum()), a, b)
        for i, a in enumerate(likely)
        for b in likely[i + 1 :]
    ]
    _, a, b = max(pairs)
    first, second = sorted((a, b), key=lambda g: -ranking.by_group[g])
    names = [short_group(examination.compiled.base, cells.groups[g]) for g in (first, second)]
    return f"splits {names[0]} from {names[1]}"


def _weighs_on_the_claim(examination: Examination, feature: str, answers: Floats) -> str:
    posterior, true = examination.ranking.posterior, examination.parts == 1
    if_true = _mean_answer(answers, np.where(true, posterior, 0.0))
    if_false = _mean_answer(answers, np.where(true, 0.0, posterior))
    most = int(np.argmax(np.abs(if_true - if_false)))
    entry = examination.compiled.base.features[feature]
    side = "for" if if_true[most] > if_false[most] else "against"
    return f"{entry.value_label(entry.value_ids[most])} would speak {side} the claim"


def _years_split(examination: Examination, answers: Floats) -> str:
    cells, posterior = examination.compiled.model.cells, examination.ranking.posterior
    joint = answers * posterior[None, :]
    chance = joint.sum(axis=1)
    means = joint @ cells.year / np.maximum(chance, 1e-300)
    likely = [x for x in range(len(chance)) if chance[x] >= RIVAL]
    if len(likely) < 2:
        return "narrows the years"
    low, high = min(likely, key=lambda x: means[x]), max(likely, key=lambda x: means[x])
    return f"tells about {means[low]:.0f} from about {means[high]:.0f}"


def _mean_answer(answers: Floats, weight: Floats) -> Floats:
    return np.asarray(answers @ weight / max(weight.sum(), 1e-300), dtype=np.float64)
