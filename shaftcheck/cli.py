"""The command: it parses, calls, prints and exits. 0 holds; 1 falls short or not settled; 2 bad input; 70 a fault of
the program itself."""

from __future__ import annotations

import argparse
import gc
import io
import os
import re
import sys
from collections.abc import Sequence
from importlib import import_module
from typing import NoReturn

from shaftcheck.commands import COMMANDS
from shaftcheck.questions import QUESTIONS

__all__ = ["main", "run"]


class _Parser(argparse.ArgumentParser):
    """A parser that says in a line what is wrong."""

    def error(self, message: str) -> NoReturn:
        """Leave with what is wrong and what to write."""
        if m := re.fullmatch(r"argument (.*?): invalid choice: '(.*)' \(choose from (.*)\)", message, re.DOTALL):
            known = m[3].replace("'", "").split(", ")
            near = _near(m[2], known)
            message = f"{m[1]}: {m[2]!r} is not one of {', '.join(known)}" + (f"; write {near}" if near else "")
        self.exit(2, f"{self.prog}: {message}; {self.prog} --help shows what may be written\n")

    def refuse(self, rest: Sequence[str]) -> NoReturn:
        """Leave with what can't be read of the arguments: an option that there is not, or a file too many."""
        known = [option for action in self._actions for option in action.option_strings]
        wrong = []
        for before, arg in zip(["", *rest], rest, strict=False):
            if arg.startswith("-"):
                near = _near(arg.partition("=")[0], known)
                wrong.append(
                    f"{arg} is no option here; " + (f"write {near}" if near else f"{self.prog} --help lists them")
                )
            elif not before.startswith("-"):  # else it is the value of that option
                wrong.append(f"'{arg}' is one too many; leave it out")
        self.exit(2, "".join(f"{self.prog}: {line}\n" for line in wrong))


def _near(word: str, known: Sequence[str]) -> str:
    from difflib import get_close_matches

    return next(iter(get_close_matches(word, known, 1, 0.6)), "")


def _parser(chosen: str) -> tuple[_Parser, _Parser]:
    """Return the parser, every command by name, and that of the chosen one, which alone has its arguments."""
    p = mine = _Parser(
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
            mine = one
    return p, mine


def main(argv: Sequence[str] | None = None) -> int:
    """Run the command and return its exit code."""
    given = sys.argv[1:] if argv is None else argv
    parser, chosen = _parser(next((a for a in given if not a.startswith("-")), ""))
    args, rest = parser.parse_known_args(given)
    if rest:
        chosen.refuse(rest)
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
