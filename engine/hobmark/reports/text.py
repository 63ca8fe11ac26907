"""Findings as plain text, at most 78 columns wide."""

from __future__ import annotations

import textwrap
from collections.abc import Iterator, Sequence

from hobmark.reports.identify import AssemblyFinding, Comparison, Findings, NextLook
from hobmark.reports.words import percent, years_words

WIDTH = 78
"""Columns of a plain report."""
RANKED = 6
"""Lines of the ranking that are shown."""
REASONS = 8
"""Reasons that are shown before the rest is added up in one line."""
DECIBANS = "(decibans: +3 is twice as likely, +10 ten times; a minus speaks for the other)"
"""What the numbers beside the reasons mean."""
DOUBTFUL = 0.2
"""An assembly is mentioned from this probability of not being the range's own."""


def wrapped(text: str, first: str = "", rest: str = "") -> str:
    """Text folded to the width, with a first and a following indent."""
    return textwrap.fill(text, WIDTH, initial_indent=first, subsequent_indent=rest, break_on_hyphens=False)


def findings_text(found: Findings) -> str:
    """The whole report."""
    blocks = [
        _head(found),
        _ranking(found),
        _verdict(found),
        _claims(found),
        _comparison(found.comparison),
        _assemblies(found.assemblies),
        _rules(found),
        _not_weighed(found),
        _next(found),
        _change(found),
        _cautions(found),
    ]
    return "\n\n".join(block for block in blocks if block) + "\n"


def _head(found: Findings) -> str:
    where = {"listing": "from a listing", "sale": "at a sale", "bench": "on the bench"}[found.situation]
    looks = "1 look" if found.looks_taken == 1 else f"{found.looks_taken} looks"
    return wrapped(f"{found.label} ({where}, {looks})")


def _ranking(found: Findings) -> str:
    shown = [line for line in found.ranking[:RANKED] if line.probability >= 0.005 or line is found.ranking[0]]
    column = max(len(line.label) for line in shown)
    lines: list[str] = []
    for line in shown:
        years = "" if line.unlisted else years_words({entry.year: entry.probability for entry in line.years})
        told = f"  {percent(line.probability):>4}  {line.label:<{column}}  {years}".rstrip()
        if len(told) <= WIDTH:
            lines.append(told)
        else:  # a long name has its years on a line of their own
            lines += [wrapped(f"{percent(line.probability):>4}  {line.label}", "  ", " " * 8)]
            lines += [f"        {years}"] if years else []
    return "\n".join(lines)


def _verdict(found: Findings) -> str:
    made = (
        f"The likeliest three years in a row, {found.window.first}-{found.window.last}, "
        f"hold {percent(found.window.probability)}."
    )
    if found.settled:
        return wrapped(f"{_what_is_settled(found)} {made}")
    if not found.stop:
        return wrapped(f"Not settled yet. {made}")
    told = "Cannot be told apart from here: " + "; ".join(found.undecidable_here) + "."
    if found.outside is not None:
        told += (
            f" The cheapest look that could: {found.outside.label.lower()} ({seconds_words(found.outside.seconds)})."
        )
    return wrapped(f"{told} {made}")


def _what_is_settled(found: Findings) -> str:
    if found.goal == "variant":
        return f"Settled: {found.ranking[0].label}."
    if found.goal == "claim":
        whole = found.claims[-1].probability
        return f"Settled: the claim {'stands' if whole > 0.5 else 'falls'} ({percent(whole)})."
    return {"year": "The year is settled.", "maker": "The maker is settled."}[found.goal]


def _claims(found: Findings) -> str:
    if not found.claims:
        return ""
    lines = ["The claim"]
    for claim in found.claims:
        said = ", ".join(f"{name} {value}" for name, value in claim.claim.items())
        lines.append(wrapped(f"{percent(claim.probability):>4}  {said}: {claim.verdict}", "  ", " " * 8))
    return "\n".join(lines)


def _comparison(compared: Comparison | None) -> str:
    if compared is None:
        return ""
    lines = [wrapped(f"Why {compared.first} rather than {compared.second}"), wrapped(DECIBANS, "  ", "  ")]
    shown = [reason for reason in compared.reasons if abs(reason.decibans) >= 0.05]
    if not shown:
        lines.append("  nothing that was seen tells these two apart")
    for reason in shown[:REASONS]:
        sources = f" [{', '.join(reason.sources[:3])}]" if reason.sources else ""
        lines.append(wrapped(f"{reason.decibans:+6.1f}  {reason.says}{sources}", "  ", " " * 10))
    rest = sum(reason.decibans for reason in compared.reasons) - sum(r.decibans for r in shown[:REASONS])
    if len(shown) > REASONS:
        lines.append(f"  {rest:+6.1f}  {len(shown) - REASONS} smaller reasons together")
    lines.append(f"  {compared.prior + compared.freedom_of_year:+6.1f}  how many of each were made, and in which years")
    lines.append(f"  {compared.total:+6.1f}  together")
    return "\n".join(lines)


def _assemblies(assemblies: Sequence[AssemblyFinding]) -> str:
    if not assemblies:
        return ""
    lines = []
    for finding in sorted(assemblies, key=lambda entry: -entry.not_its_own):
        # Loose iron is so often changed that its bare prior would sound an alarm: it takes evidence to be mentioned.
        if finding.not_its_own < max(DOUBTFUL, min(0.5, 1.5 * finding.usually)):
            continue
        donors = " or ".join(f"{donor.label} ({percent(donor.probability)})" for donor in finding.from_)
        word = "probably not its own" if finding.not_its_own >= 0.5 else "perhaps not its own"
        came = f"; if so, it came from {donors}" if donors else ""
        years = years_words({entry.year: entry.probability for entry in finding.years})
        text = f"{percent(finding.not_its_own):>4}  {finding.label}: {word}{came}; by itself {years}"
        lines.append(wrapped(text, "  ", " " * 8))
    return "\n".join(["Is it all one range?", *(lines or ["  nothing that was seen says otherwise"])])


def _rules(found: Findings) -> str:
    lines: list[str] = []
    for step in found.trace:
        if step.kind == "statement":
            continue
        if step.kind == "contradiction":
            lines.append(wrapped(f"contradiction: {step.gives[0]}. {step.because}", "  ", " " * 4))
            continue
        weight = "" if step.weighed is not False else " (told by the looks already; not weighed twice)"
        told = f"{step.id}: {' + '.join(step.from_)} -> {'; '.join(step.gives)}{weight} [{', '.join(step.sources)}]"
        lines.append(wrapped(told, "  ", " " * 4))
    for remark in found.remarks:
        lines.append(wrapped(f"remark: {remark}", "  ", " " * 4))
    return "\n".join(["Rules that fired", *lines]) if lines else ""


def _not_weighed(found: Findings) -> str:
    return wrapped(f"Kept, and not weighed: {'; '.join(found.not_weighed)}.") if found.not_weighed else ""


def _next(found: Findings) -> str:
    if not found.next:
        return ""
    heading = "To be surer that it is one I know, look next" if found.settled else "Look next"
    return "\n".join([heading, *(line for look in found.next for line in look_lines(look))])


def look_lines(look: NextLook) -> Iterator[str]:
    """A look in two or three lines."""
    yield wrapped(f"{look.ask} ({seconds_words(look.seconds)}, {look.bits:.2f} bit; {look.because})", "  ", " " * 4)
    yield wrapped(look.look, " " * 4, " " * 4)


def seconds_words(seconds: float) -> str:
    """Seconds as a person counts them."""
    return f"{seconds:.0f} s" if seconds < 120 else f"{seconds / 60:.0f} min"


def _change(found: Findings) -> str:
    change = found.would_change
    lines = []
    if change.look is not None and change.chance >= 0.01:
        what = "turns the verdict on the claim" if found.goal == "claim" else "puts another first"
        lines.append(wrapped(f"{change.look.lower()}: {percent(change.chance)} that a look {what}", "  ", " " * 4))
    if change.hangs_on is not None:
        after = f"; without it {change.leader_without} leads" if change.leader_without else ""
        text = f"it hangs most on {change.hangs_on} ({-change.hangs_on_decibans:+.1f} db){after}"
        lines.append(wrapped(text, "  ", " " * 4))
    return "\n".join(["What would change it", *lines]) if lines else ""


def _cautions(found: Findings) -> str:
    if not found.cautions:
        return ""
    status = {"single": "one source", "verified": "verified"}
    lines = [
        wrapped(f"{caution.short} ({status.get(caution.status, caution.status)})", "  - ", " " * 4)
        for caution in found.cautions
    ]
    return "\n".join(["Caution. Local codes and a licensed fitter come first.", *lines])
