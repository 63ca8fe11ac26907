"""What stands at the head of a page of the bench: what stops everything, and whether the range is released."""

from __future__ import annotations

from dataclasses import dataclass

from hobmark.bench.account import Account
from hobmark.bench.release import Missing, Stop
from hobmark.knowledge.base import KnowledgeBase
from hobmark.reports.setup_release import gauged_words, release_shown

ROOM = 300
"""Letters of reasons beyond which no further reason is begun: the page is for more than its head."""
_STOPS = frozenset(Stop)


@dataclass(frozen=True, slots=True)
class Reason:
    """Why there is no release: which, and in the words of the set-up card."""

    id: str
    words: str


@dataclass(frozen=True, slots=True)
class Head:
    """`stops`: what stops everything until it is put right; `says`: released or not; `reasons`: why not, stops first;
    `gauged`: how many places were gauged and which were not; `stands`: whether anything told may be put right."""

    stops: tuple[str, ...]
    allowed: bool
    says: str
    reasons: tuple[Reason, ...]
    gauged: str
    stands: bool = False

    @property
    def banner(self) -> str:
        """What stops everything; empty where nothing does."""
        return f"STOP stands: {'; '.join(self.stops)}. Nothing is lit. x when it was put right." if self.stops else ""

    def told(self, room: int = ROOM, rest: str = "on the set-up card (t)") -> str:
        """The release with as many of its reasons as there is room for, one at least; `rest`: where the others are."""
        lines, used = [self.says], 0
        for told, reason in enumerate(self.reasons):
            if used and used + len(reason.words) > room:
                lines.append(f"- and {len(self.reasons) - told} more {rest}")
                break
            lines.append(f"- {reason.words}")
            used += len(reason.words)
        return "\n".join(lines)

    def told_whole(self) -> str:
        """The same, and the places that were gauged unless a reason says it already."""
        told = self.told(rest="on the card below")
        return told if self.gauged in told else f"{told}\n{self.gauged[0].upper()}{self.gauged[1:]}."


def head_of(base: KnowledgeBase, account: Account) -> Head:
    """The head for an account of the gas, in the words of the set-up card; what stops stands in the banner alone."""
    shown = release_shown(base, account)
    stopped = [Reason(each.id, f"stopped: {each.says}") for each in shown.stopped_by if each.id != Stop.SYMPTOM]
    missing = [Reason(each.id, f"missing: {each.says}") for each in shown.missing]
    stands = bool(account.stopped_by) or any(each.cleared is None for each in account.record.symptoms)
    return Head(account.stopped_by, shown.allowed, shown.says, (*stopped, *missing), gauged_words(account), stands)


def news(before: Head, now: Head) -> str:
    """What a change has made worse, to be said at once; empty where it has not. What stops all stands in the banner."""
    known = {each.id for each in before.reasons}
    fresh = [each for each in now.reasons if each.id not in known]
    if before.allowed and not now.allowed:
        return " ".join(["RELEASE WITHDRAWN.", *now.stops, *(each.words for each in fresh)])
    return " ".join(each.words for each in fresh if each.id in _STOPS or each.id == Missing.LEAK_CHECK)
