"""`shaftcheck check`: the answer to each file, as text or for programs."""

from __future__ import annotations

import argparse
import sys

from shaftcheck.commands.terminal import code, print_json, progress
from shaftcheck.errors import ShaftcheckError

__all__ = ["EXAMPLES", "arguments", "run"]

EXAMPLES = """examples:
  shaftcheck check my-oar.toml
  shaftcheck check *.toml --brief
  shaftcheck check my-oar.toml --answer-in inches
  shaftcheck check my-oar.toml --json > my-oar.json

exit codes: 0 holds (and stows, where a locker is told), 1 falls short, is not settled or does not stow, 2 bad input"""


def arguments(parser: argparse.ArgumentParser) -> None:
    """Add the arguments of the command."""
    parser.add_argument("files", nargs="+", metavar="FILE", help="shaft file, or - for standard input")
    parser.add_argument("--answer-in", choices=("metric", "inches"), help="instead of what the file asks for")
    parser.add_argument("--brief", action="store_true", help="verdict, pulls and cautions only")
    parser.add_argument("--json", action="store_true", help="everything, for programs")


def run(args: argparse.Namespace) -> int:
    """Answer each file; the exit code is the worst of them."""
    from shaftcheck.answer import answer
    from shaftcheck.border.files import text

    worst = 0
    records = []
    for i, file in enumerate(args.files):
        try:
            a = answer(text(file), file, system=args.answer_in, tick=progress)
        except ShaftcheckError as e:
            print(e, file=sys.stderr)
            worst = 2
            continue
        worst = max(worst, code(a))
        if args.json:
            from shaftcheck.show.record import record

            records.append(record(a))
        else:
            from shaftcheck.show.table import brief, full

            print(("\n" + "-" * 100 + "\n" if i else "") + (brief if args.brief else full)(a))
    if args.json and records:
        print_json(records[0] if len(args.files) == 1 else records)
    return worst
