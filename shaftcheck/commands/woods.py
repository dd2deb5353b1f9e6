"""`shaftcheck woods`: the woods and their values, or one wood whole."""

from __future__ import annotations

import argparse
import sys

from shaftcheck.commands.terminal import print_json
from shaftcheck.errors import ShaftcheckError

__all__ = ["EXAMPLES", "arguments", "run"]

EXAMPLES = """examples:
  shaftcheck woods                       all of them
  shaftcheck woods spruce                those whose name holds the word
  shaftcheck woods --kind hardwood
  shaftcheck woods --whole "White ash"   one wood whole, with its sources"""


def arguments(parser: argparse.ArgumentParser) -> None:
    """Add the arguments of the command."""
    parser.add_argument("words", nargs="*", metavar="WORD", help="words that the name must hold")
    parser.add_argument("--kind", choices=("softwood", "hardwood"))
    parser.add_argument("--whole", metavar="WOOD", help="one wood with all values, sources and gaps")
    parser.add_argument("--answer-in", choices=("metric", "inches"), default="metric")
    parser.add_argument("--json", action="store_true", help="for programs")


def run(args: argparse.Namespace) -> int:
    """Show the woods that are asked for."""
    from shaftcheck.show import woods_table

    system = args.answer_in
    try:
        if args.whole is not None:
            if args.json:
                print_json(woods_table.record(args.whole))
            else:
                print(woods_table.card(args.whole, system))
        elif args.json:
            print_json([woods_table.record(n) for n in woods_table.matching(*args.words, kind=args.kind)])
        else:
            print(woods_table.listing(*args.words, kind=args.kind, system=system))
    except ShaftcheckError as e:
        print(e, file=sys.stderr)
        return 2
    return 0
