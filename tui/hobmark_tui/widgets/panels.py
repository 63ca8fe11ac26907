"""What stands beside the question: the likeliest variants, the years, the assemblies, what is open."""

from __future__ import annotations

from collections.abc import Sequence

from textual.content import Content

from hobmark_tui.views.banner import BannerView
from hobmark_tui.views.drawing import bar, columns, shortened_to
from hobmark_tui.views.leaders import LeaderLine, LeadersView, YearsView
from hobmark_tui.views.parts import MEANS, PartsView, Sign
from hobmark_tui.widgets.drawn import Drawn, folded

STYLES = {
    Sign.OWN: "$text-success",
    Sign.DOUBTFUL: "$text-warning",
    Sign.NOT_OWN: "$text-error",
    Sign.UNSEEN: "$quiet",
}
"""Colours go with the signs; the signs say it without them."""
LEAST_BAR = 4
"""Cells of the shortest bar that still tells one chance from another."""
YEAR_ROWS = 3
"""Rows of the year bars."""


def heading(text: str, width: int) -> list[Content]:
    """A quiet heading with a rule behind it, where there is room for one."""
    *above, last = folded(text, width, "$quiet")
    rule = "─" * (width - last.cell_length - 1)
    return [*above, last + Content.styled(f" {rule}" if rule else "", "$quiet")]


class Leaders(Drawn[LeadersView]):
    """The likeliest variants with bars."""

    def lines(self, view: LeadersView, width: int) -> Sequence[Content]:
        """Per cent, bar and name on one line; where the years fit, by a shorter bar at need, they stand behind it."""
        found = heading("Likeliest", width)
        names = max(len(line.label) for line in view.lines)
        room = width - 5 - 1 - names - 2 - max(len(line.years) for line in view.lines)
        wide = room >= LEAST_BAR
        space = max(LEAST_BAR, min(12, width // 5, room if wide else width))
        for place, line in enumerate(view.lines):
            years = f"{'':{names - len(line.label)}}  {line.years}" if wide else ""
            left = width - 5 - space - 1
            style = "bold" if place == 0 else ""
            first, *rest = folded(line.label if wide else _fitting(line, left), left, style)
            found.append(
                Content.assemble((f"{line.percent:>4} ", style), (bar(line.probability, space), "$primary"), " ", first)
                + Content.styled(years.rstrip(), "$quiet")
            )
            found += [Content(" " * (width - left)) + more for more in rest]
        return [*found, *folded(f"({view.looks})", width, "$quiet")]


def _fitting(line: LeaderLine, width: int) -> str:
    return line.label if len(line.label) <= width else line.short


class Years(Drawn[YearsView]):
    """The years as upright bars with a scale below."""

    def lines(self, view: YearsView, width: int) -> Sequence[Content]:
        """As many cells to a year, or years to a cell, as it takes to fit."""
        count = len(view.chances)
        step = -(-count // width)
        sums = [sum(view.chances[place : place + step]) for place in range(0, count, step)]
        thick = max(1, min(4, width // len(sums)))
        drawn = [Content.styled(line, "$secondary") for line in columns(sums, YEAR_ROWS, thick)]
        last = view.first + count - 1
        space = len(sums) * thick
        scale = f"{view.first}{str(last).rjust(max(0, space - 4))}" if space >= 9 else f"{view.first}-{last}"
        return [*heading(f"Years: {view.says}", width), *drawn, Content.styled(scale, "$quiet")]


class Parts(Drawn[PartsView]):
    """Every assembly with its sign, in two columns where they fit."""

    def lines(self, view: PartsView, width: int) -> Sequence[Content]:
        """What is amiss comes with its chance; the key says what the signs mean."""
        entries = [f"{line.sign} {line.label}{f' {line.chance}' if line.chance else ''}" for line in view.lines]
        column = max(map(len, entries)) + 2
        across = max(1, min(4, (width + 2) // column))
        rows = -(-len(entries) // across)
        found = [*heading("Is it all one range?", width), *folded(view.says, width)]
        for row in range(rows):
            pieces = []
            for place in range(row, len(entries), rows):
                style = STYLES[view.lines[place].sign]
                pieces.append((shortened_to(entries[place], width).ljust(column), style))
            found.append(Content.assemble(*pieces).rstrip())
        signs = dict.fromkeys(line.sign for line in view.lines)
        return [*found, *folded(f"({'; '.join(f'{sign} {MEANS[sign]}' for sign in signs)})", width, "$quiet")]


class Banner(Drawn[BannerView]):
    """A notice above the question; its kind gives the frame a colour, its heading says what it is."""

    def watch_view(self, view: BannerView | None) -> None:
        """Take the colour of the kind, and no room where there is nothing to tell."""
        self.display = view is not None
        for kind in ("settled", "stop", "trouble"):
            self.set_class(view is not None and view.kind == kind, f"-{kind}")

    def lines(self, view: BannerView, width: int) -> Sequence[Content]:
        """The heading, and what follows from it."""
        return [*folded(view.heading, width, "bold"), *folded(view.text, width)]
