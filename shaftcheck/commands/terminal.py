"""What the commands share: printing plain data, a line that tells how far long work is, and what an answer ends in."""

from __future__ import annotations

import sys
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from shaftcheck.answer import Answer

__all__ = ["code", "ending", "print_json", "progress"]


def print_json(data: object) -> None:
    """Print plain data for programs."""
    import json

    print(json.dumps(data, indent=1, ensure_ascii=False, allow_nan=False))


def progress(done: int, of: int) -> None:
    """Tell on the terminal how far long work is; nothing where the output is not watched."""
    if of > 256 and sys.stderr.isatty():
        print(f"\r{done} of {of} shafts", end="" if done < of else "\n", file=sys.stderr, flush=True)


def code(a: Answer) -> int:
    """Return the exit code of an answer: 0 where the oar holds and, of a locker that is told, stows."""
    return 0 if a.state == "HOLDS" and a.oars[-1].stowed.met else 1


def ending(a: Answer) -> str:
    """Return the verdicts that a command closes with: of strength, and of stowing where a locker is told."""
    return ". ".join(state for state in (a.state, a.oars[-1].stowed.state) if state)
