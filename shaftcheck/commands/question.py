"""Any of the questions as a command: `shaftcheck what-breaks` and its sisters."""

from __future__ import annotations

import argparse
import re
import sys
from pathlib import Path
from typing import TYPE_CHECKING

from shaftcheck.commands.terminal import print_json, progress
from shaftcheck.errors import Fault, InputError, ShaftcheckError
from shaftcheck.questions import question_of

if TYPE_CHECKING:
    from shaftcheck.questions.question import Finding

__all__ = ["arguments", "run"]

_PLOTS = (".svg", ".png", ".pdf")


def arguments(parser: argparse.ArgumentParser, command: str) -> None:
    """Add the files and options of a question, and what it says of itself."""
    q = question_of(command)
    parser.description = q.asks[0].upper() + q.asks[1:]
    lines = "\n".join(f"  shaftcheck {e}" for e in q.examples)
    parser.epilog = f"examples:\n{lines}\n\nexit codes: 0 answered, 1 nothing holds or not settled, 2 bad input"
    if q.files == "one":
        parser.add_argument("files", nargs=1, metavar="FILE", help="shaft file, or - for standard input")
    elif q.files == "two":
        parser.add_argument("files", nargs=2, metavar="FILE", help="two shaft files")
    for name, key in q.options.items():
        said = key.help + (f"; taken: {key.assume}" if key.assume is not None else "" if key.optional else "; needed")
        words = f"one of {', '.join(key.choices)}" if key.choices else f"e.g. {key.example!r}"
        parser.add_argument(
            f"--{name.replace('_', '-')}",
            dest=f"option_{name}",
            metavar="TEXT",
            help=f"{said} ({words})".replace("%", "%%"),
        )
    parser.add_argument("--answer-in", choices=("metric", "inches"), help="instead of what the file asks for")
    parser.add_argument("--json", action="store_true", help="everything, for programs")
    parser.add_argument("--plot", metavar="PICTURE", help="draw it: a new file ending in .svg, .png or .pdf")
    parser.add_argument("--sheet", metavar="SHEET", help="write the whole answer as a page: a new file ending in .html")
    if q.finds:
        parser.add_argument("--write", metavar="NEW", help="write the best shaft as a new shaft file")


def run(args: argparse.Namespace) -> int:
    """Ask, write what is to be written, and print the answer; the exit code says whether there is one."""
    from shaftcheck.asking import ask

    options = {k.removeprefix("option_"): v for k, v in vars(args).items() if k.startswith("option_")}
    try:
        _writable(args)
        found = ask(args.command, *getattr(args, "files", ()), system=args.answer_in, tick=progress, **options)
        left = _write(args, found)
    except ShaftcheckError as e:
        print(_as_options(str(e), args.command), file=sys.stderr)
        return 2
    from shaftcheck.show import finding

    if args.json:
        print_json(finding.record(found))
    else:
        print(finding.text(found))
    for line in left:
        print(f"{args.command}: {line}", file=sys.stderr)
    return 0 if found.answered else 1


def _as_options(message: str, command: str) -> str:
    """Return a message with options named as they are written on the command line."""
    for name in question_of(command).options:
        option = f"--{name.replace('_', '-')}"
        message = re.sub(rf"^({command}: )(?:{command}\.)?{name}\b", rf"\g<1>{option}", message, flags=re.M)
        message = re.sub(rf'\bwrite {name} = (?=")', f"write {option} ", message)
    return message


def _writable(args: argparse.Namespace) -> None:
    """Find what can't be written before the work is done."""
    from shaftcheck.border.files import taken

    faults: list[Fault] = []
    named: dict[str, str] = {}
    for option, file in (("--plot", args.plot), ("--sheet", args.sheet), ("--write", getattr(args, "write", None))):
        if file is None:
            continue
        if file in named:
            faults.append(Fault(option, f"'{file}' is that of {named[file]} too", "write another name"))
        named[file] = option
        if option == "--plot" and Path(file).suffix.lower() not in _PLOTS:
            faults.append(
                Fault(option, f"'{file}' has no known ending", "write a name that ends in .svg, .png or .pdf")
            )
        elif option == "--sheet" and Path(file).suffix.lower() not in (".html", ".htm"):
            faults.append(Fault(option, f"'{file}' has no known ending", "write a name that ends in .html"))
        elif (fault := taken(file, option, f"'{file}'")) is not None:
            faults.append(fault)
    if faults:
        raise InputError(args.command, faults)


def _write(args: argparse.Namespace, found: Finding) -> list[str]:
    """Write what was asked for, and return what there was nothing for, each in a line."""
    left = []
    try:
        if getattr(args, "write", None) is not None:
            from shaftcheck.border import write

            if found.winners:
                with Path(args.write).open("x", encoding="utf-8") as f:
                    f.write(write.text(found.winners[0].doc))
            else:
                left.append(f"--write: no shaft was found that could be written, so there is no file '{args.write}'")
        if args.plot is not None:
            from shaftcheck.show.pictures import save

            if found.pictures:
                save(found.pictures, Path(args.plot))
            else:
                left.append(f"--plot: there is nothing to draw, so there is no file '{args.plot}'")
        if args.sheet is not None:
            from shaftcheck.show.finding_page import page

            with Path(args.sheet).open("x", encoding="utf-8") as f:
                f.write(page(found))
    except OSError as e:
        raise InputError(
            args.command, [Fault("file", f"can't be written ({e.strerror})", "write another name")]
        ) from None
    return left
