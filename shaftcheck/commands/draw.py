"""`shaftcheck draw`: the shaft to scale, diagrams along it, or a joint; never over a file that is there."""

from __future__ import annotations

import argparse
import sys
from pathlib import Path

from shaftcheck.commands.terminal import progress
from shaftcheck.errors import ShaftcheckError

__all__ = ["EXAMPLES", "arguments", "run"]

EXAMPLES = """examples:
  shaftcheck draw my-oar.toml -o my-oar.svg
  shaftcheck draw my-oar.toml -o my-oar.pdf --answer-in inches
  shaftcheck draw my-oar.toml -o along.svg --view diagrams
  shaftcheck draw my-oar.toml -o scarf.png --joint 1

The ending of the name says what is written: .svg, .png or .pdf. Nothing is overwritten."""


def arguments(parser: argparse.ArgumentParser) -> None:
    """Add the arguments of the command."""
    parser.add_argument("file", metavar="FILE", help="shaft file, or - for standard input")
    parser.add_argument("-o", "--out", required=True, metavar="OUT", help="new file: .svg, .png or .pdf")
    parser.add_argument("--answer-in", choices=("metric", "inches"), help="instead of what the file asks for")
    which = parser.add_mutually_exclusive_group()
    which.add_argument("--view", choices=("shaft", "diagrams"), default="shaft", help="shaft if left out")
    which.add_argument(
        "--joint",
        type=int,
        metavar="N",
        help="one joint, or the lock or a cradle, large; joints are counted first, from the handle end",
    )


def run(args: argparse.Namespace) -> int:
    """Draw it."""
    from shaftcheck.answer import answer
    from shaftcheck.border.files import free, text, write
    from shaftcheck.show.draw import FORMATS, draw

    form = Path(args.out).suffix.removeprefix(".").lower()
    if form not in FORMATS:
        print(f"{args.out}: not a kind of drawing; let the name end in .{', .'.join(FORMATS)}", file=sys.stderr)
        return 2
    try:
        free(args.out)
        a = answer(text(args.file), args.file, system=args.answer_in, tick=progress)
        content = draw(a, form, args.view if args.joint is None else args.joint)
        write(args.out, content)
    except ShaftcheckError as e:
        print(e, file=sys.stderr)
        return 2
    print(f"{args.out}: written")
    return 0
