"""Papers of a case: which there are, where each is kept, and how it is written."""

from __future__ import annotations

from collections.abc import Sequence
from enum import StrEnum
from pathlib import Path

from hobmark.problems import Refused
from hobmark.reasoning.examination import Examination
from hobmark.reports.fit_findings import fit_report
from hobmark.reports.setup import set_up
from hobmark.reports.setup_shape import SetupReport
from hobmark.reports.writing import ending_of, write_order, write_report, write_setup

from hobmark_tui.sessions.fitness import words
from hobmark_tui.sessions.inside import OUTSIDE, is_bare, is_inside
from hobmark_tui.views.bench import Bench
from hobmark_tui.views.bench_symptoms import found_in
from hobmark_tui.views.choices import Choice


class Paper(StrEnum):
    """What may be written; the word ends the name of its file."""

    REPORT = "report"
    SETUP = "set-up"
    WHOLE = "set-up-whole"
    ORDER = "order"


def paper_choices(bench: Bench, stops: Sequence[str] = ()) -> Sequence[Choice]:
    """The papers there are for what is on the desk; an order sheet needs a part. What stops stands on each card."""
    standing = f"STOP stands on it: {'; '.join(stops)}. " if stops else ""
    papers = [
        Choice(Paper.REPORT, "report of this range", "what it is, its years and parts, reasons, doubts, cautions"),
        Choice(Paper.SETUP, "set-up card", f"{standing}release, gas, jets, records as found and as left"),
        Choice(Paper.WHOLE, "set-up card and every step", f"{standing}the card, then steps in full and sources"),
    ]
    if bench.part is None:
        return papers
    return [*papers, Choice(Paper.ORDER, "order sheet for a supplier", f"for {bench.part.rpartition('/')[2]}")]


def paper_path(case: Path, paper: Paper) -> Path:
    """Where a paper is kept unless another name is chosen: next to the case."""
    return case.with_name(f"{case.stem}-{paper}.html")


def typed_path(case: Path, typed: str) -> Path:
    """The file that a typed name speaks of: next to the case, unless a folder is named."""
    return case.parent / Path(typed).expanduser()


def path_refused(case: Path, typed: str, within: Path | None = None) -> str | None:
    """Why nothing is written under a name; None where it may be.

    `within`: the folder that a visitor may not leave. A name that leads out is refused before anything is looked up.
    """
    if not typed:
        return "Write a name, as report.html."
    if within is not None and not is_bare(typed):
        return OUTSIDE
    try:
        if within is not None and not is_inside(within, typed_path(case, typed)):
            return OUTSIDE
        path = typed_path(case, typed)
        ending_of(path)
        if path.resolve() == case.resolve() or path.is_dir():
            return "That is the case itself, or a folder. Choose another name."
    except Refused as refused:
        return words(refused)
    except (OSError, ValueError, RuntimeError) as reason:
        return f"No file can have that name ({reason}). Choose another one."
    return None


def write_paper(paper: Paper, examination: Examination, bench: Bench, case: Path, path: Path) -> None:
    """Write a paper whole or not at all; raise Refused where that cannot be done. Takes a while."""
    if paper is Paper.REPORT:
        write_report(examination, case, path)
    elif paper in (Paper.SETUP, Paper.WHOLE):
        write_setup(sheet_at(examination, bench, case), path, whole=paper is Paper.WHOLE)
    else:
        write_order(fit_report(examination, str(case), [bench.part] if bench.part else [], order=True), path)


def sheet_at(examination: Examination, bench: Bench, case: Path) -> SetupReport:
    """The set-up sheet of a case with its record, and with the symptom at hand."""
    found = found_in(examination.case.bench, bench.symptom) if bench.symptom is not None else []
    return set_up(examination, str(case), symptom=bench.symptom, found=found)
