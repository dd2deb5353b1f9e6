"""`shaftcheck basis`: what every answer rests on, with sources, ranges and the tests against outside sources."""

from __future__ import annotations

import argparse

from shaftcheck.commands.terminal import print_json

__all__ = ["EXAMPLES", "arguments", "run"]

EXAMPLES = """examples:
  shaftcheck basis                  all of it
  shaftcheck basis bending moment   the entries that hold both words
  shaftcheck basis --json > basis.json"""


def arguments(parser: argparse.ArgumentParser) -> None:
    """Add the arguments of the command."""
    parser.add_argument("words", nargs="*", metavar="WORD", help="words that an entry must hold")
    parser.add_argument("--json", action="store_true", help="all of it, for programs")


def run(args: argparse.Namespace) -> int:
    """Print formulas, tables, numbers, what is taken, loads and comparisons."""
    from shaftcheck.show import basis

    if args.json:
        print_json(basis.record())
    else:
        print(basis.text(args.words))
    return 0
