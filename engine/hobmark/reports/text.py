"""Findings as plain text, folded to the width of the page."""

from __future__ import annotations

from dataclasses import dataclass

from hobmark.reports.identify import Comparison, Findings, NextLook, Ranked
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
    answer = (verdict_lines(found), _claims(found))
    after = (
        date_lines(found),
        _comparison(found),
        rule_lines(found),
        not_weighed_lines(found),
        next_lines(found),
        change_lines(found),
    )
    blocks = [
        wrapped(f"{found.label} ({circumstances(found)})", width=width),
        _ranking(found, width),
        *(folded(block, width) for block in answer),
        one_range_text(found, width),
        *(folded(block, width) for block in (*after, _cautions(found))),
        wrapped(found.demonstration, width=width) if found.demonstration else "",
    ]
    return "\n\n".join(block for block in blocks if block) + "\n"


def circumstances(found: Findings) -> str:
    """Where it was looked at, and how much of it."""
    where = {"listing": "from a listing", "sale": "at a sale", "bench": "on the bench"}[found.situation]
    looks = "1 look" if found.looks_taken == 1 else f"{found.looks_taken} looks"
    return f"{where}, {looks}"


def ranking_shown(found: Findings) -> list[tuple[Ranked, str]]:
    """The lines of the ranking that are worth showing, each with its years in words."""
    shown = [line for line in found.ranking[:RANKED] if line.probability >= 0.005 or line is found.ranking[0]]
    chances = [{} if line.unlisted else {entry.year: entry.probability for entry in line.years} for line in shown]
    return [(line, years_words(years)) for line, years in zip(shown, chances, strict=True)]


def _ranking(found: Findings, width: int) -> str:
    shown = ranking_shown(found)
    column = max(len(line.label) for line, _ in shown)
    lines: list[str] = []
    for line, years in shown:
        told = f"  {percent(line.probability):>4}  {line.label:<{column}}  {years}".rstrip()
        if len(told) <= width:
            lines.append(told)
        else:  # a long name has its years on a line of their own
            lines += [wrapped(f"{percent(line.probability):>4}  {line.label}", "  ", " " * 8, width)]
            lines += [wrapped(years, " " * 8, " " * 8, width)] if years else []
    return "\n".join(lines)


def verdict_lines(found: Findings) -> list[Line]:
    """Settled, still open, or not to be told from here; and the likeliest years."""
    window = found.window
    made = f"The likeliest three years in a row, {window.first}-{window.last}, hold {percent(window.probability)}."
    if found.settled:
        answer, chance = settled_answer(found)
        told = f"Settled: {answer}" + (f" ({percent(chance)})." if found.goal in ("claim", "year") else ".")
        return [Line(f"{told}{'' if found.goal == 'year' else f' {made}'}")]
    if not found.stop:
        return [Line(f"{_what_is_open(found)} {made}")]
    told = "Cannot be told apart from here: " + "; ".join(found.undecidable_here) + "."
    if found.outside is not None:
        outside = found.outside
        told += f" The cheapest look that could: {outside.label.lower()} ({seconds_words(outside.seconds)})."
    return [Line(f"{told} {made}")]


def settled_answer(found: Findings) -> tuple[str, float]:
    """What is settled, in words, and how probable it is; the same wherever it is told."""
    if found.goal == "variant":
        leader = found.ranking[0]
        return "it is none of those I know" if leader.maker is None else leader.label, leader.probability
    if found.goal == "claim":
        whole = found.claims[-1].probability
        return ("the claim stands", whole) if whole > 0.5 else ("the claim falls", 1 - whole)
    if found.goal == "year":
        return f"made within {found.window.first}-{found.window.last}", found.window.probability
    return found.maker, found.maker_probability


def _what_is_open(found: Findings) -> str:
    if not found.named:
        return "Not settled yet."
    parts = "one part" if found.assemblies_seen == 1 else f"{found.assemblies_seen} parts"
    answer = {"claim": "the claim has an answer", "year": "it has a year"}.get(found.goal, "it has a name")
    return f"Not settled yet: {answer}, but on {parts} of the range only. Look at others before you trust it."


def _claims(found: Findings) -> list[Line]:
    lines = [Line("The claim")] if found.claims else []
    for claim in found.claims:
        said = ", ".join(f"{name} {value}" for name, value in claim.claim.items())
        lines.append(Line(f"{percent(claim.probability):>4}  {said}: {claim.verdict}", "  ", " " * 8))
    return lines


@dataclass(frozen=True, slots=True)
class Weight:
    """What speaks for the leading line, in decibans: one look with its sources, or what is left beside the looks."""

    decibans: float
    says: str
    sources: tuple[str, ...] = ()


def weights(compared: Comparison) -> list[Weight]:
    """The weights that add up to the comparison's total; empty where no look tells the two lines apart."""
    telling = [reason for reason in compared.reasons if abs(reason.decibans) >= 0.05]
    if not telling:
        return []
    shown = [Weight(each.decibans, each.says, tuple(each.sources[:3])) for each in telling[:REASONS]]
    if more := len(telling) - len(shown):
        rest = sum(reason.decibans for reason in compared.reasons) - sum(each.decibans for each in shown)
        shown.append(Weight(rest, "one smaller reason" if more == 1 else f"{more} smaller reasons together"))
    made = compared.prior + compared.freedom_of_year
    return [*shown, Weight(made, "how many of each were made, and in which years")]


def comparison_heading(compared: Comparison) -> str:
    """What is compared; where nothing tells the two apart, that and what the numbers made say."""
    if weights(compared):
        return f"Why {compared.first} rather than {compared.second}"
    made = f"{compared.total:+.1f} db for how many of each were made, and when"
    return f"Nothing that was seen tells {compared.first} from {compared.second}: {made}."


def _comparison(found: Findings) -> list[Line]:
    compared = found.comparison
    if compared is None:
        return []
    lines = []
    for each in weights(compared):
        sources = f" [{', '.join(each.sources)}]" if each.sources else ""
        lines.append(Line(f"{each.decibans:+6.1f}  {each.says}{sources}", "  ", " " * 10))
    if lines:
        lines = [Line(DECIBANS, "  ", "  "), *lines, Line(f"{compared.total:+6.1f}  together", "  ", " " * 10)]
    return [Line(comparison_heading(compared)), *lines]


def date_lines(found: Findings) -> list[Line]:
    """What words and serials on the parts prove, each with its sources."""
    lines = []
    for step in found.trace:
        if step.kind == "dating":
            weight = "" if step.weighed else " (not weighed)"
            lines.append(Line(f"{'; '.join(step.from_)}{weight}", "  ", " " * 4))
            lines += [Line(given, " " * 4, " " * 4) for given in step.gives]
            lines.append(Line(f"[{'; '.join(dict.fromkeys(step.sources))}]", " " * 4, " " * 5))
    return [Line("Words and numbers on its parts"), *lines] if lines else []


def rule_lines(found: Findings) -> list[Line]:
    """What the rules that fired give, contradictions that are left standing, and remarks."""
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


def not_weighed_lines(found: Findings) -> list[Line]:
    """What was reported and bears on nothing."""
    return [Line(f"Counted neither way: {'; '.join(found.not_weighed)}.")] if found.not_weighed else []


def next_lines(found: Findings) -> list[Line]:
    """The looks worth taking next."""
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


def change_lines(found: Findings) -> list[Line]:
    """The look that would turn the answer, and the one that it hangs on."""
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
