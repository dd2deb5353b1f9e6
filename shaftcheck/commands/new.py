"""`shaftcheck new`: a starter file, never over a file that is there."""

from __future__ import annotations

import argparse
import sys
from pathlib import Path

__all__ = ["EXAMPLES", "arguments", "run"]

EXAMPLES = """examples:
  shaftcheck new my-oar.toml
  shaftcheck new my-rig.toml --rig hinged"""


def arguments(parser: argparse.ArgumentParser) -> None:
    """Add the arguments of the command."""
    parser.add_argument("file", metavar="FILE")
    parser.add_argument("--rig", choices=("lock", "hinged"), default="lock")


def run(args: argparse.Namespace) -> int:
    """Write the starter."""
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
