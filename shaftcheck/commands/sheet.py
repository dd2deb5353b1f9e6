"""`shaftcheck sheet`: the shop sheet as one HTML file, never over a file that is there."""

from __future__ import annotations

import argparse
import sys
from pathlib import Path

from shaftcheck.commands.terminal import code, ending, progress
from shaftcheck.errors import Fault, InputError, ShaftcheckError

__all__ = ["EXAMPLES", "arguments", "run"]

EXAMPLES = """examples:
  shaftcheck sheet my-oar.toml -o my-oar.html
  shaftcheck sheet my-oar.toml -o my-oar.html --answer-in inches

One file without anything from elsewhere: open it in any browser, print it, carry it on a phone. Nothing is overwritten.

exit codes: 0 holds (and stows, where a locker is told), 1 falls short, is not settled or does not stow, 2 bad input"""


def arguments(parser: argparse.ArgumentParser) -> None:
    """Add the arguments of the command."""
    parser.add_argument("file", metavar="FILE", help="shaft file, or - for standard input")
    parser.add_argument("-o", "--out", required=True, metavar="OUT", help="new file: .html")
    parser.add_argument("--answer-in", choices=("metric", "inches"), help="instead of what the file asks for")


def run(args: argparse.Namespace) -> int:
    """Write the sheet; the exit code is that of the answer."""
    from shaftcheck.answer import answer
    from shaftcheck.border.files import free, text, write

    try:
        if Path(args.out).suffix.lower() not in (".html", ".htm"):
            raise InputError(args.out, [Fault("file", "not a name for a sheet", "let it end in .html")])
        free(args.out)
        a = answer(text(args.file), args.file, system=args.answer_in, tick=progress)
        from shaftcheck.show.sheet import sheet

        write(args.out, sheet(a).encode("utf-8"))
    except ShaftcheckError as e:
        print(e, file=sys.stderr)
        return 2
    print(f"{args.out}: written. {ending(a)}")
    return code(a)
