"""What the commands share: printing plain data, and a line that tells how far long work is."""

from __future__ import annotations

import sys

__all__ = ["print_json", "progress"]


def print_json(data: object) -> None:
    """Print plain data for programs."""
    import json

    print(json.dumps(data, indent=1, ensure_ascii=False, allow_nan=False))


def progress(done: int, of: int) -> None:
    """Tell on the terminal how far long work is; nothing where the output is not watched."""
    if of > 256 and sys.stderr.isatty():
        print(f"\r{done} of {of} shafts", end="" if done < of else "\n", file=sys.stderr, flush=True)
