"""The command: it parses, calls, prints and exits. 0 holds; 1 falls short or not settled; 2 bad input; 70 a fault of
the program itself."""

from __future__ import annotations

import argparse
import gc
import io
import os
import sys
from collections.abc import Sequence
from importlib import import_module

from shaftcheck.commands import COMMANDS
from shaftcheck.questions import QUESTIONS

__all__ = ["main", "run"]


def _parser(chosen: str) -> argparse.ArgumentParser:
    """Return the parser: every command by name, the chosen one with its arguments."""
    p = argparse.ArgumentParser(
        prog="shaftcheck",
        description="Will this oar shaft hold, where does it fall short first, and what would you change?",
        epilog="shaftcheck COMMAND --help shows examples. It advises; it approves nothing.",
    )
    p.add_argument("--version", action="store_true", help="print the version")
    commands = p.add_subparsers(dest="command", metavar="COMMAND")
    for name, words in {**COMMANDS, **{q: says for q, (_, says) in QUESTIONS.items()}}.items():
        one = commands.add_parser(name, help=words, formatter_class=argparse.RawDescriptionHelpFormatter)
        if name == chosen:
            command = import_module(f"shaftcheck.commands.{name if name in COMMANDS else 'question'}")
            if name in QUESTIONS:
                command.arguments(one, name)
            else:
                one.epilog = command.EXAMPLES
                command.arguments(one)
            one.set_defaults(run=command.run)
    return p


def main(argv: Sequence[str] | None = None) -> int:
    """Run the command and return its exit code."""
    given = sys.argv[1:] if argv is None else argv
    parser = _parser(next((a for a in given if not a.startswith("-")), ""))
    args = parser.parse_args(given)
    if args.version:
        from importlib.metadata import version

        print(f"shaftcheck {version('shaftcheck')}")
        return 0
    if args.command is None:
        parser.print_help()
        return 2
    code: int = args.run(args)
    return code


def run() -> None:
    """Run the command and leave with its exit code; a reader that goes away early is no error."""
    os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")  # the products are small: threads cost their start, give nothing
    gc.set_threshold(50_000)  # nearly all that a run makes is needed to its end
    for stream in (sys.stdout, sys.stderr):
        if isinstance(stream, io.TextIOWrapper):
            stream.reconfigure(errors="backslashreplace")  # a letter that the terminal lacks stops no answer
    try:
        code = main()
        sys.stdout.flush()
    except BrokenPipeError:
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        code = 141
    except Exception as e:  # no verdict may be read from a fault of the program
        print(f"shaftcheck broke inside ({type(e).__name__}: {e}); there is no verdict", file=sys.stderr)
        code = 70
    gc.freeze()  # and at the end there is no garbage worth a search
    sys.exit(code)
