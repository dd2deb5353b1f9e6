"""Texts from files and into new ones, with one clear line where that can't be."""

from __future__ import annotations

import sys
from collections.abc import Mapping
from pathlib import Path
from typing import Any

from shaftcheck.border.shaftfile import parse
from shaftcheck.errors import Fault, InputError

__all__ = ["free", "tables", "taken", "text", "write"]


_MOST = 4_000_000
"""letters of a file, at most"""


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
        if file == "-":
            found = sys.stdin.read(_MOST)
        else:
            with Path(file).open(encoding="utf-8") as f:
                found = f.read(_MOST)
        if len(found) == _MOST:
            raise InputError(file, [Fault("file", "too long for a shaft file", "write the path of a shaft file")])
        return found
    except OSError as e:
        fault = Fault("file", f"can't be read ({e.strerror})", "write the path of a shaft file")
        raise InputError(file, [fault]) from None
    except UnicodeDecodeError:
        raise InputError(file, [Fault("file", "not text in UTF-8", "save it as UTF-8")]) from None
    except InputError:
        raise
    except ValueError as e:
        fault = Fault("file", f"can't be read ({e})", "write the path of a shaft file")
        raise InputError(file, [fault]) from None


def free(file: str) -> None:
    """See that a name is free and its folder there, before long work is done for it.

    Raises
    ------
    InputError
        if there is something of that name already, or no folder for it.
    """
    if (fault := taken(file)) is not None:
        raise InputError(file, [fault])


def taken(file: str, key: str = "file", called: str = "") -> Fault | None:
    """Return why nothing can be written by a name; None where it can.

    Parameters
    ----------
    called : the name, where the message does not begin with it
    """
    path, what = Path(file), f"{called} ".lstrip()
    try:
        if path.exists() or path.is_symlink():
            return Fault(key, f"{what}is there already and stays as it is", "write another name")
        if not path.parent.is_dir():
            return Fault(
                key, f"{what}can't be written: there is no folder '{path.parent}'", "make it, or write another"
            )
    except (OSError, ValueError) as e:
        return Fault(key, f"{what}can't be written ({e})", "write another name")
    return None


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
    except (OSError, ValueError) as e:
        why = e.strerror if isinstance(e, OSError) else e
        fault = taken(file) or Fault("file", f"can't be written ({why})", "write another name")
        raise InputError(file, [fault]) from None
