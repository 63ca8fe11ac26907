"""What the documents print, as the program prints it: commands, exit codes, outputs, and README's table of commands.

    python tests/refresh_examples.py      writes all of it anew; read the difference before you keep it

In a fenced `sh` block a line `$ hobmark ...` is a command, run from the top folder. `# exits with N` behind it names
its exit code, which is 0 without. Lines below it, up to the next `$ `, are its output; without any it is not compared.
A comment `<!-- shown: A, B -->` right above the fence keeps the paragraphs of the output that begin with A or B
(a number counts them from 1, `last` is the last) and puts `...` where others stood. `<!-- lines: A, B -->` does the
same with lines.
"""

from __future__ import annotations

import contextlib
import io
import re
import shlex
import sys
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any

import typer
from hobmark_tui.__main__ import run
from hobmark_tui.commands.app import app_for

ROOT = Path(__file__).parents[1]
DOCUMENTS = [ROOT / "README.md", *sorted(ROOT.glob("examples/*/README.md"))]

_BLOCK = re.compile(
    r"(?:<!-- (?P<by>shown|lines): (?P<kept>.*?) -->\n)?```sh\n(?P<body>.*?)^```$", re.DOTALL | re.MULTILINE
)
_EXITS = re.compile(r"# exits with (\d)$")
_TABLE = re.compile(r"(?<=<!-- commands -->\n).*?(?=<!-- end of commands -->)", re.DOTALL)


@dataclass(frozen=True)
class Printed:
    """One command as a document prints it; `output` is None where none is printed."""

    command: str
    exits: int
    output: str | None
    by: str = ""
    kept: tuple[str, ...] = ()

    @property
    def arguments(self) -> list[str]:
        return shlex.split(self.command, comments=True)[1:]

    @property
    def text(self) -> str:
        line = _EXITS.sub("", self.command).rstrip()
        exits = f"   # exits with {self.exits}" if self.exits else ""
        return f"$ {line}{exits}\n{self.output or ''}"


def printed(document: str) -> Iterator[Printed]:
    """The hobmark commands of a document, in order."""
    for block in _BLOCK.finditer(document):
        for part in _parts(block["body"]):
            if part.startswith("$ hobmark "):
                yield _read(part, block)


def trimmed(output: str, by: str, kept: Sequence[str]) -> str:
    """The paragraphs or lines that are kept, with `...` for the rest; ValueError where one to keep is not there."""
    if not by:
        return output
    between = "\n\n" if by == "shown" else "\n"
    pieces = output.rstrip("\n").split(between)
    chosen = {_place(pieces, wanted) for wanted in kept}
    said: list[str] = []
    for place, piece in enumerate(pieces):
        if place in chosen:
            said.append(piece)
        elif not said or said[-1] != "...":
            said.append("...")
    return between.join(said) + "\n"


def happened(command: Printed) -> Printed:
    """The command run, with the exit code and the output it gave; what went to standard error comes first."""
    out, err = io.StringIO(), io.StringIO()
    there = set(ROOT.iterdir())
    with contextlib.chdir(ROOT), contextlib.redirect_stdout(out), contextlib.redirect_stderr(err):
        exits = int(run(command.arguments))
    for path in {ROOT / name for name in command.arguments} & {*ROOT.iterdir()} - there:  # what it wrote by its name
        path.unlink()
    output = trimmed(err.getvalue() + out.getvalue(), command.by, command.kept) if command.output is not None else None
    return replace(command, exits=exits, output=output)


def commands() -> Iterator[tuple[str, str]]:
    """Every command and the first paragraph of its help."""
    yield from _commands("hobmark", typer.main.get_command(app_for(())))


def table() -> str:
    """README's table of commands."""
    rows = "".join(f"| `{name}` | {said} |\n" for name, said in commands())
    return f"| command | does |\n|---|---|\n{rows}"


def refreshed(document: str) -> str:
    """The document with every printed command run and the table of commands made anew."""
    document = _TABLE.sub(lambda _: table(), document)
    return _BLOCK.sub(lambda block: _again(block, happened), document)


def _commands(name: str, command: Any) -> Iterator[tuple[str, str]]:
    below = getattr(command, "commands", None)
    if below is None:
        yield name, " ".join((command.help or "").split("\n\n")[0].split())
        return
    for word, entry in below.items():
        yield from _commands(f"{name} {word}", entry)


def _parts(body: str) -> list[str]:
    return re.split(r"^(?=\$ )", body, flags=re.MULTILINE)


def _read(part: str, block: re.Match[str]) -> Printed:
    line, _, output = part.removeprefix("$ ").partition("\n")
    exits = _EXITS.search(line)
    kept = tuple(item.strip() for item in (block["kept"] or "").split(",") if item.strip())
    return Printed(line, int(exits[1]) if exits else 0, output or None, block["by"] or "", kept)


def _place(pieces: Sequence[str], wanted: str) -> int:
    if wanted == "last":
        return len(pieces) - 1
    if wanted.isdigit() and int(wanted) <= len(pieces):
        return int(wanted) - 1
    headings = [piece.partition("\n")[0] for piece in pieces]
    if wanted in headings:
        return headings.index(wanted)
    for place, heading in enumerate(headings):
        if heading.startswith(wanted):
            return place
    raise ValueError(f"the output has no part that begins with '{wanted}'")


def _again(block: re.Match[str], ran: Callable[[Printed], Printed]) -> str:
    parts = [ran(_read(p, block)).text if p.startswith("$ hobmark ") else p for p in _parts(block["body"])]
    return block[0].replace(block["body"], "".join(parts), 1)


def main() -> None:
    """Rewrite the documents, and name those that changed."""
    for path in DOCUMENTS:
        before = path.read_text(encoding="utf-8")
        try:
            after = refreshed(before)
        except ValueError as error:
            sys.exit(f"{path.relative_to(ROOT)}: {error}")
        if after != before:
            path.write_text(after, encoding="utf-8")
            print(path.relative_to(ROOT))


if __name__ == "__main__":
    main()
