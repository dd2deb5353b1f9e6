"""Texts from files and into new ones, with one clear line where that can't be."""

from __future__ import annotations

import sys
from collections.abc import Mapping
from pathlib import Path
from typing import Any

from shaftcheck.border.shaftfile import parse
from shaftcheck.errors import Fault, InputError

__all__ = ["free", "tables", "text", "write"]


def tables(shaft: Mapping[str, Any] | str | Path, name: str = "shaft") -> tuple[str, Mapping[str, Any]]:
    """Return what to call a shaft in messages, and its tables: they may be given, or the path of a shaft file.

    Raises
    ------
    InputError
        if it is neither, or the file can't be read.
    """
    if isinstance(shaft, Mapping):
        return name, shaft
    if isinstance(shaft, str | Path):
        return str(shaft), parse(text(str(shaft)), str(shaft))
    wrong = f"{type(shaft).__name__} is no kind of shaft"
    raise InputError(name, [Fault("shaft", wrong, "give a mapping of tables, or the path of a shaft file")])


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


def free(file: str) -> None:
    """See that a name is free, before long work is done for it.

    Raises
    ------
    InputError
        if there is something of that name already.
    """
    if Path(file).exists():
        raise _there(file)


def write(file: str, content: bytes) -> None:
    """Write a new file.

    Raises
    ------
    InputError
        if it is there already, which stays as it is, or can't be written.
    """
    try:
        with Path(file).open("xb") as f:
            f.write(content)
    except FileExistsError:
        raise _there(file) from None
    except OSError as e:
        raise InputError(file, [Fault("file", f"can't be written ({e.strerror})", "write another name")]) from None


def _there(file: str) -> InputError:
    return InputError(file, [Fault("file", "is there already and stays as it is", "write another name")])
