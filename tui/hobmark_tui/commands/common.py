"""What every command shares: where the knowledge is, and in which form the answer is written."""

from __future__ import annotations

import itertools
import sys
from enum import StrEnum
from pathlib import Path
from typing import Annotated

import typer
from hobmark.case import Case, read_case
from hobmark.knowledge.base import KnowledgeBase
from hobmark.knowledge.root import SHIPPED, knowledge_root, must_hold_knowledge
from hobmark.knowledge.vocabulary import Goal
from hobmark.problems import Problem, Refused, plain
from pydantic import BaseModel, TypeAdapter


class Format(StrEnum):
    """How an answer is written."""

    TEXT = "text"
    JSON = "json"


Knowledge = Annotated[
    list[Path] | None,
    typer.Option(
        "--knowledge",
        "-k",
        metavar="DIR",
        help=f"Folder of a knowledge base; repeat it to add one to another. '{SHIPPED}' is hobmark's own.",
    ),
]
"""The option --knowledge."""
FormatOption = Annotated[Format, typer.Option("--format", "-f", help="How the answer is written.")]
"""The option --format."""
WantedGoal = Annotated[
    Goal | None, typer.Option("--goal", help="What you want to know; else whether the claim is true, or which variant.")
]
"""The option --goal."""
ENDINGS = "A page to print where the name ends in .html, else .txt or .json."
"""What a file that is written is, for the help."""
Output = Annotated[
    Path | None,
    typer.Option(
        "--output",
        "-o",
        metavar="FILE",
        help=f"Write it to a file. {ENDINGS}",
    ),
]
"""The option --output."""


def knowledge_roots(given: list[Path] | None) -> list[Path]:
    """The folders to read, the shipped one where none is named; Refused where one of them adds nothing."""
    if not given:
        return [knowledge_root()]
    roots = [knowledge_root() if str(path) == SHIPPED else path for path in given]
    must_hold_knowledge(roots)
    return roots


def read_told(path: Path, base: KnowledgeBase) -> Case:
    """A case that a command only reads: from a file or a pipe. What of it the base does not know is told."""
    found = read_case(path, base, pipes=True)
    for each in found.set_aside:
        sys.stderr.write(f"{each}\n")
    return found.case


def file_for(output: Path | None, case: Path) -> Path | None:
    """The file that is asked for, None for standard output.

    Refused where its ending does not tell what to write, and where it is the case itself.
    """
    if output is None or str(output) == "-":
        return None
    from hobmark.reports.writing import ending_of  # no command that writes no file needs it

    ending_of(output)
    if output.exists() and case.exists() and output.samefile(case):
        raise usage("--output would write over the case itself.", "Give the file another name.")
    return output


def asks_for_json(arguments: list[str]) -> bool:
    """Whether a command line, which may be at fault elsewhere, asks for JSON."""
    apart = {("--format", "json"), ("-f", "json")} & set(itertools.pairwise(arguments))
    return bool(apart or {"--format=json", "-fjson"} & set(arguments))


def say(text: str) -> None:
    """Write text to standard output; what cannot be seen, and what its encoding cannot show, is escaped."""
    _write(plain(text))


def _write(text: str) -> None:
    encoding = sys.stdout.encoding or "utf-8"
    sys.stdout.write(text.encode(encoding, "backslashreplace").decode(encoding))


def say_json(entries: BaseModel | list[BaseModel]) -> None:
    """Write one entry, or several as an array, as JSON."""
    data = TypeAdapter(object).dump_json(
        [entry.model_dump(mode="json", by_alias=True) for entry in entries]
        if isinstance(entries, list)
        else entries.model_dump(mode="json", by_alias=True),
        indent=2,
    )
    _write(data.decode() + "\n")


def usage(message: str, remedy: str) -> Refused:
    """A refusal of the command line itself."""
    return Refused((Problem("hobmark", 1, 1, message, remedy),))
