"""Errors of shaftcheck.

ShaftcheckError
├── InputError      what was given cannot be used; carries every fault of one input (also a ValueError)
├── DataError       a data file of the package or of the user is wrong (also a ValueError)
└── NotFoundError   a name that is not known; carries the nearest known names (also a LookupError)

AbsentError never leaves the package: what is asked of has a fault of its own, that is told already.
"""

from __future__ import annotations

from collections.abc import Sequence

from shaftcheck.frozen import frozen

__all__ = [
    "AbsentError",
    "DataError",
    "Fault",
    "InputError",
    "NotFoundError",
    "ShaftcheckError",
    "one_line",
    "together",
]


def one_line(text: str, most: int) -> str:
    """Return a text of a file as one readable line: nothing that breaks it or steers a terminal, nor endless."""
    plain = "".join(c if c.isprintable() else f"\\x{ord(c):02x}" for c in text)
    return plain if len(plain) <= most else f"{plain[: most - 3]}..."


@frozen(kw_only=False, eq=True)
class Fault:
    """One thing wrong with an input: where it stands, what is wrong, what to write instead."""

    key: str
    wrong: str
    write: str
    oar: str = ""
    """which oar of the file, where it tells more than one"""

    def __str__(self) -> str:
        key = f'{self.key}""' if not self.key or self.key.endswith(".") else self.key  # one without a letter is a key
        return f"{one_line(key, 80)}: {one_line(self.wrong, 180)}; {one_line(self.write, 180)}"


class ShaftcheckError(Exception):
    """Root of all errors that this package raises on purpose."""


class InputError(ShaftcheckError, ValueError):
    """Raised when an input cannot be used: all its faults together, one line each."""

    def __init__(self, name: str, faults: Sequence[Fault]) -> None:
        self.name = name
        self.faults = tuple(faults)
        of = one_line(name, 300) or '""'
        super().__init__("\n".join(f"{of}{', ' if f.oar else ''}{f.oar}: {f}" for f in self.faults))


def together(errors: Sequence[InputError]) -> InputError:
    """Return one error that tells the faults of several inputs, each by its own name."""
    out = InputError(errors[0].name, [f for e in errors for f in e.faults])
    out.args = ("\n".join(map(str, errors)),)
    return out


class DataError(InputError):
    """Raised when a data file lacks a unit or a source, or holds a value that cannot be."""


class NotFoundError(ShaftcheckError, LookupError):
    """Raised when a name is not known; `near` holds the nearest names that are, `wrong` and `write` the message."""

    def __init__(self, what: str, name: str, near: Sequence[str], lists: str = "") -> None:
        self.what, self.name, self.near, self.lists = what, name, tuple(near), lists
        first: list[str] = []
        for one in self.near:
            if len("; ".join([*first, one])) > 100 and first:
                break
            first.append(one)
        self.wrong = f"no {what} named '{name}'"
        self.write = f"write one that is known{', as ' * bool(first)}{', '.join(first)}" + (
            f" ({lists} lists them)" if lists else ""
        )
        super().__init__(f"{self.wrong}; {self.write}")


class AbsentError(Exception):
    """Raised inside where a value is asked for that has a fault of its own; whoever asks leaves its question out."""
