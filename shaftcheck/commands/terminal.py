"""What the commands share: reading a file, printing plain data, and a line that tells how far long work is."""

from __future__ import annotations

import sys
from pathlib import Path

from shaftcheck.errors import Fault, InputError

__all__ = ["print_json", "progress", "read_text"]


def read_text(file: str) -> str:
    """Return the text of a file, or of standard input for `-`.

    Raises
    ------
    InputError
        if it can't be read, or is not text in UTF-8.
    """
    try:
        return sys.stdin.read() if file == "-" else Path(file).read_text(encoding="utf-8")
    except OSError as e:
        raise InputError(
            file, [Fault("file", f"can't be read ({e.strerror})", "write the path of a shaft file")]
        ) from None
    except UnicodeDecodeError:
        raise InputError(file, [Fault("file", "not text in UTF-8", "save it as UTF-8")]) from None


def print_json(data: object) -> None:
    """Print plain data for programs."""
    import json

    print(json.dumps(data, indent=1, ensure_ascii=False, allow_nan=False))


def progress(done: int, of: int) -> None:
    """Tell on the terminal how far long work is; nothing where the output is not watched."""
    if of > 256 and sys.stderr.isatty():
        print(f"\r{done} of {of} shafts", end="" if done < of else "\n", file=sys.stderr, flush=True)
