"""The command: it parses, calls, prints and exits. 0 holds; 1 falls short or not settled; 2 bad input; 70 a fault of
the program itself."""

from __future__ import annotations

import argparse
import io
import os
import sys
from collections.abc import Sequence
from pathlib import Path

from shaftcheck.errors import ShaftcheckError

__all__ = ["main", "run"]

_CHECK = """examples:
  shaftcheck check my-oar.toml
  shaftcheck check *.toml --brief
  shaftcheck check my-oar.toml --answer-in inches
  shaftcheck check my-oar.toml --json > my-oar.json

exit codes: 0 holds, 1 falls short or not settled, 2 bad input"""
_NEW = """examples:
  shaftcheck new my-oar.toml
  shaftcheck new my-rig.toml --rig hinged"""
_WOODS = """examples:
  shaftcheck woods                       all of them
  shaftcheck woods spruce                those whose name holds the word
  shaftcheck woods --kind hardwood
  shaftcheck woods --whole "White ash"   one wood whole, with its sources"""


def _parser() -> argparse.ArgumentParser:
    raw = argparse.RawDescriptionHelpFormatter
    p = argparse.ArgumentParser(
        prog="shaftcheck",
        description="Will this oar shaft hold, where does it fall short first, and what would you change?",
        epilog="shaftcheck COMMAND --help shows examples. It advises; it approves nothing.",
    )
    p.add_argument("--version", action="store_true", help="print the version")
    commands = p.add_subparsers(dest="command", metavar="COMMAND")
    check = commands.add_parser("check", help="check the shaft of each file", epilog=_CHECK, formatter_class=raw)
    check.add_argument("files", nargs="+", metavar="FILE", help="shaft file, or - for standard input")
    check.add_argument("--answer-in", choices=("metric", "inches"), help="instead of what the file asks for")
    check.add_argument("--brief", action="store_true", help="verdict, pulls and cautions only")
    check.add_argument("--json", action="store_true", help="everything, for programs")
    new = commands.add_parser("new", help="write a starter file", epilog=_NEW, formatter_class=raw)
    new.add_argument("file", metavar="FILE")
    new.add_argument("--rig", choices=("lock", "hinged"), default="lock")
    woods = commands.add_parser("woods", help="the woods and their values", epilog=_WOODS, formatter_class=raw)
    woods.add_argument("words", nargs="*", metavar="WORD", help="words that the name must hold")
    woods.add_argument("--kind", choices=("softwood", "hardwood"))
    woods.add_argument("--whole", metavar="WOOD", help="one wood with all values, sources and gaps")
    woods.add_argument("--answer-in", choices=("metric", "inches"), default="metric")
    woods.add_argument("--json", action="store_true", help="for programs")
    return p


def _text(file: str) -> str:
    from shaftcheck.errors import Fault, InputError

    try:
        return sys.stdin.read() if file == "-" else Path(file).read_text(encoding="utf-8")
    except OSError as e:
        raise InputError(
            file, [Fault("file", f"can't be read ({e.strerror})", "write the path of a shaft file")]
        ) from None
    except UnicodeDecodeError:
        raise InputError(file, [Fault("file", "not text in UTF-8", "save it as UTF-8")]) from None


class _Progress:
    """A line on the terminal for long work; nothing where the output is not watched."""

    def __init__(self) -> None:
        self.shown = False

    def __call__(self, done: int, of: int) -> None:
        if of > 256 and sys.stderr.isatty():
            print(f"\r{done} of {of} shafts", end="" if done < of else "\n", file=sys.stderr, flush=True)


def _check(args: argparse.Namespace) -> int:
    from shaftcheck.answer import answer

    code = 0
    records = []
    for i, file in enumerate(args.files):
        try:
            a = answer(_text(file), file, system=args.answer_in, tick=_Progress())
        except ShaftcheckError as e:
            print(e, file=sys.stderr)
            code = 2
            continue
        code = max(code, 0 if a.state == "HOLDS" else 1)
        if args.json:
            from shaftcheck.show.record import record

            records.append(record(a))
        else:
            from shaftcheck.show.table import brief, full

            print(("\n" + "-" * 100 + "\n" if i else "") + (brief if args.brief else full)(a))
    if args.json and records:
        _print_json(records[0] if len(args.files) == 1 else records)
    return code


def _print_json(data: object) -> None:
    import json

    print(json.dumps(data, indent=1, ensure_ascii=False, allow_nan=False))


def _new(args: argparse.Namespace) -> int:
    from shaftcheck.show.starter import starter

    try:
        with Path(args.file).open("x", encoding="utf-8") as f:
            f.write(starter(args.rig))
    except FileExistsError:
        print(f"{args.file}: is there already and stays as it is; write another name", file=sys.stderr)
        return 2
    except OSError as e:
        print(f"{args.file}: can't be written ({e.strerror}); write another name", file=sys.stderr)
        return 2
    print(f"{args.file}: written. Fill in the question marks, then: shaftcheck check {args.file}")
    return 0


def _woods(args: argparse.Namespace) -> int:
    from shaftcheck.show import woods_table

    system = args.answer_in
    try:
        if args.whole:
            if args.json:
                _print_json(woods_table.record(args.whole))
            else:
                print(woods_table.card(args.whole, system))
        elif args.json:
            _print_json([woods_table.record(n) for n in woods_table.matching(*args.words, kind=args.kind)])
        else:
            print(woods_table.listing(*args.words, kind=args.kind, system=system))
    except ShaftcheckError as e:
        print(e, file=sys.stderr)
        return 2
    return 0


def main(argv: Sequence[str] | None = None) -> int:
    """Run the command and return its exit code."""
    parser = _parser()
    args = parser.parse_args(argv)
    if args.version:
        from importlib.metadata import version

        print(f"shaftcheck {version('shaftcheck')}")
        return 0
    if args.command is None:
        parser.print_help()
        return 2
    return {"check": _check, "new": _new, "woods": _woods}[args.command](args)


def run() -> None:
    """Run the command and leave with its exit code; a reader that goes away early is no error."""
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
    sys.exit(code)
