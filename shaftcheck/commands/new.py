"""`shaftcheck new`: a starter file of a shaft or of planks, never over a file that is there."""

from __future__ import annotations

import argparse
import sys

from shaftcheck.errors import InputError

__all__ = ["EXAMPLES", "arguments", "run"]

EXAMPLES = """examples:
  shaftcheck new my-oar.toml
  shaftcheck new my-oar.toml --answer-in inches
  shaftcheck new my-rig.toml --rig hinged
  shaftcheck new shelf.toml --planks

An oar that you have and mean to cut is begun without --rig: what will be goes below, under [change.rig]."""


def arguments(parser: argparse.ArgumentParser) -> None:
    """Add the arguments of the command."""
    parser.add_argument("file", metavar="FILE")
    what = parser.add_mutually_exclusive_group()
    what.add_argument("--rig", choices=("lock", "hinged"), help="lock if left out")
    what.add_argument("--planks", action="store_true", help="planks in hand, for which-woods and judge-planks")
    parser.add_argument("--answer-in", choices=("metric", "inches"), default="metric", help="metric if left out")


def run(args: argparse.Namespace) -> int:
    """Write the starter."""
    from shaftcheck.border.files import write
    from shaftcheck.show.starter import shelf, starter

    text = shelf(args.answer_in) if args.planks else starter(args.rig or "lock", args.answer_in)
    try:
        write(args.file, text.encode("utf-8"))
    except InputError as e:
        print(e, file=sys.stderr)
        return 2
    then = f"which-woods my-oar.toml --shelf {args.file}" if args.planks else f"check {args.file}"
    print(f"{args.file}: written. Fill in the question marks, then: shaftcheck {then}")
    return 0
