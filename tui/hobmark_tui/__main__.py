"""Entry point: `hobmark` and `python -m hobmark_tui`."""

from __future__ import annotations

import os
import sys

# One thread is fastest for arrays this small, and a second one would only wait; numpy reads this when it loads.
os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
os.environ.setdefault("OMP_NUM_THREADS", "1")

from hobmark.problems import Refused

from hobmark_tui.exits import ExitCode


def main() -> None:
    """Run the command line; every way out is one of ExitCode, and none is a traceback."""
    sys.exit(run(sys.argv[1:]))


def run(arguments: list[str]) -> int:
    """Run one command line and return its exit code."""
    from hobmark_tui.commands.app import app

    try:
        code = app(arguments, standalone_mode=False)
        sys.stdout.flush()
    except Refused as refused:
        sys.stderr.write(f"{refused}\n")
        return ExitCode.REFUSED
    except BrokenPipeError:
        # Whoever read the output has had enough; nothing more is to be written, not even at exit.
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        return ExitCode.DONE
    except KeyboardInterrupt:
        return ExitCode.REFUSED
    except Exception as error:
        return _usage_or_fault(error)
    return int(code or 0)


def _usage_or_fault(error: Exception) -> int:
    from click.exceptions import Abort, ClickException

    if isinstance(error, ClickException):
        error.show()
        return ExitCode.REFUSED
    if isinstance(error, Abort):
        return ExitCode.REFUSED
    if os.environ.get("HOBMARK_DEBUG"):
        raise error
    sys.stderr.write(
        f"hobmark: a fault of the program's own ({type(error).__name__}: {error}). "
        "Nothing of yours was changed. Set HOBMARK_DEBUG=1 to see where, and report it.\n"
    )
    return ExitCode.INTERNAL


if __name__ == "__main__":
    main()
