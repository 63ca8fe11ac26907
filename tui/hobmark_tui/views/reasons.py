"""Reasons as a tree: how the answer came about, why not another, what would change it."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from hobmark.reports.identify import Comparison, Findings, Step
from hobmark.reports.text import DECIBANS
from hobmark.reports.words import percent


@dataclass(frozen=True, slots=True)
class Node:
    """One line of the tree and what stands below it."""

    text: str
    below: tuple[Node, ...] = ()
    open: bool = False


def reasons_view(found: Findings) -> tuple[Node, ...]:
    """The three branches."""
    leader = found.ranking[0]
    how = Node(f"How it came to {leader.label} ({percent(leader.probability)})", tuple(_how(found.trace)), open=True)
    against = found.comparison
    why = Node("Why not another", tuple(_why(against))) if against is not None else None
    if against is not None:
        why = Node(f"Why {against.first} rather than {against.second}", tuple(_why(against)), open=True)
    change = Node("What would change it", tuple(_change(found)), open=True)
    return tuple(node for node in (how, why, change) if node is not None)


def _how(trace: Sequence[Step]) -> list[Node]:
    kinds = {
        "statement": "Statements that were weighed",
        "rule": "Rules that fired",
        "dating": "Words and numbers on its parts",
        "contradiction": "Contradictions, left standing",
    }
    found = []
    for kind, words in kinds.items():
        steps = [step for step in trace if step.kind == kind]
        if steps:
            found.append(Node(f"{words} ({len(steps)})", tuple(_by_head(steps)), open=kind != "rule"))
    return found or [Node("Nothing was looked at yet: this is how many of each were made.")]


def _by_head(steps: Sequence[Step]) -> Iterator[Node]:
    """One line for each thing that was seen, and below it every statement or rule that speaks of it."""
    below: dict[str, list[Node]] = {}
    for step in steps:
        head = "; ".join(step.from_) or "; ".join(step.gives)
        below.setdefault(head, []).extend(_step(step, head))
    return (Node(head, tuple(nodes)) for head, nodes in below.items())


def _step(step: Step, head: str) -> Iterator[Node]:
    weight = {True: "weighed", False: "not weighed: told by the looks already, or left standing", None: ""}[
        step.weighed
    ]
    yield from (Node(f"→ {given}") for given in step.gives if given != head)
    if step.because:
        yield Node(step.because)
    name = f"{step.maker}/{step.id}" if step.maker else step.id
    yield Node(f"{step.kind} {name}{f', {weight}' if weight else ''}")
    yield from (Node(f"source: {source}") for source in dict.fromkeys(step.sources))


def _why(against: Comparison) -> list[Node]:
    found = [Node(DECIBANS)]
    shown = [reason for reason in against.reasons if abs(reason.decibans) >= 0.05]
    if not shown:
        found.append(Node("nothing that was seen tells these two apart"))
    for reason in shown:
        below = [Node(f"statement {name}") for name in reason.statements]
        below += [Node(f"source: {name}") for name in reason.sources]
        found.append(Node(f"{reason.decibans:+.1f}  {reason.says}", tuple(below)))
    made = against.prior + against.freedom_of_year
    found.append(Node(f"{made:+.1f}  how many of each were made, and in which years"))
    return [*found, Node(f"{against.total:+.1f}  together")]


def _change(found: Findings) -> list[Node]:
    change = found.would_change
    told = []
    if change.look is not None and change.chance >= 0.01:
        told.append(Node(f"{change.look.lower()}: {percent(change.chance)} that this look puts another first"))
    if change.hangs_on is not None:
        after = f"; without it {change.leader_without} leads" if change.leader_without else ""
        told.append(Node(f"it hangs most on {change.hangs_on} ({-change.hangs_on_decibans:+.1f} decibans){after}"))
    return told or [Node("No look that can be had here is likely to.")]
