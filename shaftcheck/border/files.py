"""Texts from files, with one clear line where there is none."""

from __future__ import annotations

import sys
from pathlib import Path

from shaftcheck.errors import Fault, InputError

__all__ = ["text"]


def text(file: str) -> str:
    """Return the text of a shaft file; `-` is standard input.

    Raises
    ------
    InputError
        if it can't be read, or is not UTF-8.
    """
    try:
        return sys.stdin.read() if file == "-" else Path(file).read_text(encoding="utf-8")
    except OSError as e:
        fault = Fault("file", f"can't be read ({e.strerror})", "write the path of a shaft file")
        raise InputError(file, [fault]) from None
    except UnicodeDecodeError:
        raise InputError(file, [Fault("file", "not text in UTF-8", "save it as UTF-8")]) from None
