"""Entry point: `hobmark` and `python -m hobmark_tui`."""

from __future__ import annotations

import os
import sys
import threading
from pathlib import Path
from typing import TYPE_CHECKING, TextIO

# One thread is fastest for arrays this small, and a second one would only wait; numpy reads this when it loads.
os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
os.environ.setdefault("OMP_NUM_THREADS", "1")

from hobmark_tui.exits import ExitCode

if TYPE_CHECKING:
    from hobmark.problems import Refused


def main() -> None:
    """Run the command line; every way out is one of ExitCode, and none is a traceback."""
    for name, mode in (("stdin", "r"), ("stdout", "w"), ("stderr", "w")):
        if getattr(sys, name) is None:  # whoever started it closed this one
            setattr(sys, name, Path(os.devnull).open(mode, encoding="utf-8"))  # noqa: SIM115 - open to the end
    try:
        code = run(sys.argv[1:])
    except KeyboardInterrupt:  # while the program was still being loaded
        code = ExitCode.REFUSED
    if sum(not each.daemon for each in threading.enumerate()) > 1:  # what is still worked out nobody will see
        sys.stdout.flush()
        sys.stderr.flush()
        os._exit(code)
    sys.exit(code)


def run(arguments: list[str]) -> int:
    """Run one command line and return its exit code."""
    from hobmark.problems import Refused

    from hobmark_tui.commands.app import app_for

    try:
        code = app_for(arguments)(arguments, standalone_mode=False)
        sys.stdout.flush()
    except Refused as refused:
        return _refused(refused, arguments)
    except (BrokenPipeError, SystemExit):  # typer leaves by SystemExit where a pipe breaks, and for nothing else
        _write_no_more(sys.__stdout__)
        return ExitCode.DONE
    except KeyboardInterrupt:
        return ExitCode.REFUSED
    except OSError as error:
        _write_no_more(sys.__stdout__)
        return _complain(f"hobmark: the system refuses: {error.strerror or error}.", ExitCode.REFUSED)
    except Exception as error:
        return _usage_or_fault(error)
    if code == _INTERRUPTED:
        return ExitCode.REFUSED
    return int(code or 0)


def _refused(refused: Refused, arguments: list[str]) -> int:
    """The problems in words on standard error, and where JSON was asked for, as JSON on standard output."""
    from hobmark_tui.commands.common import asks_for_json, say_json

    if asks_for_json(arguments):
        from hobmark.reports.curating import ProblemsReport

        try:
            say_json(ProblemsReport.of(refused.problems))
            sys.stdout.flush()
        except OSError:
            _write_no_more(sys.__stdout__)
    return _complain(f"{refused}", ExitCode.REFUSED)


_INTERRUPTED = 130
"""What typer returns after Ctrl-C."""


def _usage_or_fault(error: Exception) -> int:
    import typer

    show = getattr(error, "show", None)  # only what typer says of the command line has it; its class moves about
    if callable(show):
        try:
            show()
            sys.stderr.flush()
        except OSError:
            _write_no_more(sys.__stderr__)
        return ExitCode.REFUSED
    if isinstance(error, typer.Abort):
        return ExitCode.REFUSED
    if os.environ.get("HOBMARK_DEBUG"):
        raise error
    return _complain(
        f"hobmark: a fault of the program's own ({type(error).__name__}: {error}). "
        "Answers given so far are in the case file. Set HOBMARK_DEBUG=1 to see where, and report it.",
        ExitCode.INTERNAL,
    )


def _complain(text: str, code: ExitCode) -> ExitCode:
    try:
        sys.stderr.write(text + "\n")
        sys.stderr.flush()
    except OSError:
        _write_no_more(sys.__stderr__)
    return code


def _write_no_more(stream: TextIO | None) -> None:
    """Whoever read the output has had enough, or the disk has; nothing more is to be written, not even at exit."""
    if stream is not None:
        os.dup2(os.open(os.devnull, os.O_WRONLY), stream.fileno())


if __name__ == "__main__":
    main()
