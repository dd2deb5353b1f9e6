"""`shaftcheck basis`: what every answer rests on, with sources, ranges and the tests against outside sources."""

from __future__ import annotations

import argparse
import sys
from pathlib import Path

from shaftcheck.commands.terminal import print_json
from shaftcheck.errors import Fault, InputError

__all__ = ["EXAMPLES", "arguments", "run"]

EXAMPLES = """examples:
  shaftcheck basis                  all of it
  shaftcheck basis bending moment   the entries that hold both words
  shaftcheck basis --sheet basis.html
  shaftcheck basis --json > basis.json"""


def arguments(parser: argparse.ArgumentParser) -> None:
    """Add the arguments of the command."""
    parser.add_argument("words", nargs="*", metavar="WORD", help="words that an entry must hold")
    parser.add_argument("--json", action="store_true", help="all of it, for programs")
    parser.add_argument("--sheet", metavar="SHEET", help="write it as a page: a new file ending in .html")


def run(args: argparse.Namespace) -> int:
    """Print formulas, tables, numbers, what is taken, loads and comparisons, or write them as a page."""
    if args.sheet is not None:
        return _sheet(args.sheet, args.words)
    from shaftcheck.show import basis

    if args.json:
        print_json(basis.record())
        return 0
    try:
        print(basis.text(args.words))
    except InputError as e:
        print(e, file=sys.stderr)
        return 2
    return 0


def _sheet(file: str, words: list[str]) -> int:
    from shaftcheck.border.files import free, write

    try:
        if Path(file).suffix.lower() not in (".html", ".htm"):
            raise InputError(
                "basis", [Fault("--sheet", f"'{file}' has no known ending", "write a name that ends in .html")]
            )
        free(file)
        from shaftcheck.show.basis_page import page

        write(file, page(words).encode("utf-8"))
    except InputError as e:
        print(e, file=sys.stderr)
        return 2
    print(f"{file}: written")
    return 0
