"""`shaftcheck papers`: a measuring form, a cut card and templates at full size, never over a file that is there."""

from __future__ import annotations

import argparse
import sys
from pathlib import Path

from shaftcheck.commands.terminal import code, ending, progress
from shaftcheck.errors import Fault, InputError, ShaftcheckError

__all__ = ["EXAMPLES", "arguments", "run"]

EXAMPLES = """examples:
  shaftcheck papers my-oar.toml -o papers.html
  shaftcheck papers my-oar.toml -o papers.html --at "0.3 m" --at "1.1 m"
  shaftcheck papers my-oar.toml -o papers.html --answer-in inches

Print at 100 %, then lay a rule on the bar of the templates. Nothing is overwritten.

exit codes: 0 holds (and stows, where a locker is told), 1 falls short, is not settled or does not stow (do not cut by
them), 2 bad input"""


def arguments(parser: argparse.ArgumentParser) -> None:
    """Add the arguments of the command."""
    parser.add_argument("file", metavar="FILE", help="shaft file, or - for standard input")
    parser.add_argument("-o", "--out", required=True, metavar="OUT", help="new file: .html")
    parser.add_argument(
        "--at",
        action="append",
        default=[],
        metavar="PLACE",
        help="a template there, from the handle end; may be given again (the file's own sections, and every 200 mm or "
        "8 in, if left out)",
    )
    parser.add_argument("--answer-in", choices=("metric", "inches"), help="instead of what the file asks for")


def run(args: argparse.Namespace) -> int:
    """Write the papers; the exit code is that of the answer."""
    from shaftcheck.answer import answer
    from shaftcheck.border import sizes
    from shaftcheck.border.files import free, text, write
    from shaftcheck.border.shown import show

    try:
        if Path(args.out).suffix.lower() not in (".html", ".htm"):
            raise InputError(args.out, [Fault("file", "not a name for papers", "let it end in .html")])
        free(args.out)
        a = answer(text(args.file), args.file, system=args.answer_in, tick=progress)
        neck = float(a.oars[-1].shaft.blade.neck)
        faults, places = [], []
        for given in args.at:
            try:
                places.append(sizes.read(given, "m", bounds=(0.0, neck)))
            except sizes.SizeError as e:
                faults.append(Fault("--at", e.wrong, e.write))
                continue
            if not 0.0 <= places[-1] <= neck:
                faults.append(
                    Fault("--at", f"'{given}' is not on the loom", f"write at most {show(neck, 'length', a.system)}")
                )
        if faults:
            raise InputError(args.file, faults)
        from shaftcheck.show.papers import papers

        write(args.out, papers(a, places).encode("utf-8"))
    except ShaftcheckError as e:
        print(e, file=sys.stderr)
        return 2
    print(f"{args.out}: written. {ending(a)}")
    return code(a)
