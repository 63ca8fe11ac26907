"""Findings as plain text, folded to the width of the page."""

from __future__ import annotations

from hobmark.reports.identify import Findings, NextLook
from hobmark.reports.one_range import one_range_text
from hobmark.reports.page import WIDTH, Line, folded, seconds_words, wrapped
from hobmark.reports.words import percent, years_words

RANKED = 6
"""Lines of the ranking that are shown."""
REASONS = 8
"""Reasons that are shown before the rest is added up in one line."""
DECIBANS = "(decibans: +3 is twice as likely, +10 ten times; a minus speaks for the other)"
"""What the numbers beside the reasons mean."""
STATUS = {"single": "one source", "verified": "verified"}
"""How well a caution's source is confirmed, in words."""

__all__ = ["WIDTH", "findings_text", "look_lines", "seconds_words", "wrapped"]


def findings_text(found: Findings, width: int = WIDTH) -> str:
    """The whole report."""
    answer = (_verdict(found), _claims(found))
    after = (_dates(found), _comparison(found), _rules(found), _not_weighed(found), _next(found), _change(found))
    blocks = [
        folded(_head(found), width),
        _ranking(found, width),
        *(folded(block, width) for block in answer),
        one_range_text(found, width),
        *(folded(block, width) for block in (*after, _cautions(found))),
    ]
    return "\n\n".join(block for block in blocks if block) + "\n"


def _head(found: Findings) -> list[Line]:
    where = {"listing": "from a listing", "sale": "at a sale", "bench": "on the bench"}[found.situation]
    looks = "1 look" if found.looks_taken == 1 else f"{found.looks_taken} looks"
    return [Line(f"{found.label} ({where}, {looks})")]


def _ranking(found: Findings, width: int) -> str:
    shown = [line for line in found.ranking[:RANKED] if line.probability >= 0.005 or line is found.ranking[0]]
    column = max(len(line.label) for line in shown)
    lines: list[str] = []
    for line in shown:
        years = "" if line.unlisted else years_words({entry.year: entry.probability for entry in line.years})
        told = f"  {percent(line.probability):>4}  {line.label:<{column}}  {years}".rstrip()
        if len(told) <= width:
            lines.append(told)
        else:  # a long name has its years on a line of their own
            lines += [wrapped(f"{percent(line.probability):>4}  {line.label}", "  ", " " * 8, width)]
            lines += [wrapped(years, " " * 8, " " * 8, width)] if years else []
    return "\n".join(lines)


def _verdict(found: Findings) -> list[Line]:
    window = found.window
    made = f"The likeliest three years in a row, {window.first}-{window.last}, hold {percent(window.probability)}."
    if found.settled:
        return [Line(f"{_what_is_settled(found)}{'' if found.goal == 'year' else f' {made}'}")]
    if not found.stop:
        return [Line(f"{_what_is_open(found)} {made}")]
    told = "Cannot be told apart from here: " + "; ".join(found.undecidable_here) + "."
    if found.outside is not None:
        outside = found.outside
        told += f" The cheapest look that could: {outside.label.lower()} ({seconds_words(outside.seconds)})."
    return [Line(f"{told} {made}")]


def _what_is_settled(found: Findings) -> str:
    if found.goal == "variant":
        unlisted = found.ranking[0].unlisted
        return "Settled: it is none of those I know." if unlisted else f"Settled: {found.ranking[0].label}."
    if found.goal == "claim":
        whole = found.claims[-1].probability
        return f"Settled: the claim {'stands' if whole > 0.5 else 'falls'} ({percent(whole)})."
    if found.goal == "year":
        window = found.window
        return f"Settled: made within {window.first}-{window.last} ({percent(window.probability)})."
    return f"Settled: {found.maker}."


def _what_is_open(found: Findings) -> str:
    if not found.named:
        return "Not settled yet."
    parts = "one part" if found.assemblies_seen == 1 else f"{found.assemblies_seen} parts"
    return f"Not settled yet: it has a name, but on {parts} of the range only. Look at others before you trust it."


def _claims(found: Findings) -> list[Line]:
    lines = [Line("The claim")] if found.claims else []
    for claim in found.claims:
        said = ", ".join(f"{name} {value}" for name, value in claim.claim.items())
        lines.append(Line(f"{percent(claim.probability):>4}  {said}: {claim.verdict}", "  ", " " * 8))
    return lines


def _comparison(found: Findings) -> list[Line]:
    compared = found.comparison
    if compared is None:
        return []
    shown = [reason for reason in compared.reasons if abs(reason.decibans) >= 0.05]
    if not shown:
        made = f"{compared.total:+.1f} db for how many of each were made, and when"
        return [Line(f"Nothing that was seen tells {compared.first} from {compared.second}: {made}.")]
    lines = [Line(f"Why {compared.first} rather than {compared.second}"), Line(DECIBANS, "  ", "  ")]
    for reason in shown[:REASONS]:
        sources = f" [{', '.join(reason.sources[:3])}]" if reason.sources else ""
        lines.append(Line(f"{reason.decibans:+6.1f}  {reason.says}{sources}", "  ", " " * 10))
    rest = sum(reason.decibans for reason in compared.reasons) - sum(r.decibans for r in shown[:REASONS])
    if len(shown) > REASONS:
        more = len(shown) - REASONS
        told = "one smaller reason" if more == 1 else f"{more} smaller reasons together"
        lines.append(Line(f"{rest:+6.1f}  {told}", "  ", " " * 10))
    prior = compared.prior + compared.freedom_of_year
    lines.append(Line(f"{prior:+6.1f}  how many of each were made, and in which years", "  ", " " * 10))
    return [*lines, Line(f"{compared.total:+6.1f}  together", "  ", " " * 10)]


def _dates(found: Findings) -> list[Line]:
    """What words and serials on the parts prove, each with its sources."""
    lines = []
    for step in found.trace:
        if step.kind == "dating":
            weight = "" if step.weighed else " (not weighed)"
            lines.append(Line(f"{'; '.join(step.from_)}{weight}", "  ", " " * 4))
            lines += [Line(given, " " * 4, " " * 4) for given in step.gives]
            lines.append(Line(f"[{'; '.join(dict.fromkeys(step.sources))}]", " " * 4, " " * 5))
    return [Line("Words and numbers on its parts"), *lines] if lines else []


def _rules(found: Findings) -> list[Line]:
    lines: list[Line] = []
    for step in found.trace:
        if step.kind == "contradiction":
            lines.append(Line(f"contradiction: {step.gives[0]}. {step.because}", "  ", " " * 4))
        elif step.kind == "rule":
            weight = "" if step.weighed is not False else " (told by the looks already; not weighed twice)"
            told = f"{step.id}: {' + '.join(step.from_)} -> {'; '.join(step.gives)}{weight}"
            lines.append(Line(f"{told} [{', '.join(step.sources)}]", "  ", " " * 4))
    lines += [Line(f"remark: {remark}", "  ", " " * 4) for remark in found.remarks]
    return [Line("Rules that fired"), *lines] if lines else []


def _not_weighed(found: Findings) -> list[Line]:
    return [Line(f"Counted neither way: {'; '.join(found.not_weighed)}.")] if found.not_weighed else []


def _next(found: Findings) -> list[Line]:
    if not found.next:
        return []
    asks = "Ask for a picture" if found.situation == "listing" else "Look next"
    heading = asks if not found.named else f"{asks}, to test whether it is one I know"
    return [Line(heading), *(line for look in found.next for line in look_lines(look))]


def look_lines(look: NextLook) -> list[Line]:
    """A look: its question with cost and gain, and where to look."""
    return [
        Line(f"{look.ask} ({seconds_words(look.seconds)}, {look.bits:.2f} bit; {look.because})", "  ", " " * 4),
        Line(look.look, " " * 4, " " * 4),
    ]


def _change(found: Findings) -> list[Line]:
    change = found.would_change
    what = {"claim": "turns the verdict on the claim", "year": "makes another year the likeliest"}
    lines = []
    if change.look is not None and change.chance >= 0.01:
        turns = what.get(found.goal, "puts another first")
        lines.append(Line(f"{change.look.lower()}: {percent(change.chance)} that a look {turns}", "  ", " " * 4))
    if change.hangs_on is not None:
        after = f"; without it {change.leader_without} leads" if change.leader_without else ""
        text = f"it hangs most on {change.hangs_on} ({-change.hangs_on_decibans:+.1f} db){after}"
        lines.append(Line(text, "  ", " " * 4))
    return [Line("What would change it"), *lines] if lines else []


def _cautions(found: Findings) -> list[Line]:
    lines = [
        Line(f"{caution.short} ({STATUS.get(caution.status, caution.status)})", "  - ", " " * 4)
        for caution in found.cautions
    ]
    return [Line("Caution. Local codes and a licensed fitter come first."), *lines] if lines else []
