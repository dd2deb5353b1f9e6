"""What does not fit together in a shaft file, all of it at once.

A comparison with a value that has a fault of its own, or that is not there, is left out: its fault is told already.
"""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterable, Mapping
from contextlib import suppress

from shaftcheck.errors import AbsentError, Fault
from shaftcheck.key import Value

__all__ = ["Fits", "Values"]


class Values:
    """One value for every entry, asked for by path.

    Raises
    ------
    AbsentError
        if the value has a fault of its own, or is needed and not there.
    """

    def __init__(self, values: Mapping[str, Value], bad: Collection[str] = ()) -> None:
        self.values, self.bad = values, bad

    def _value(self, path: str) -> Value | None:
        if path in self.bad:
            raise AbsentError
        return self.values.get(path)

    def get(self, path: str) -> float | None:
        """Return a size [SI]; None where it is not told."""
        value = self._value(path)
        return None if value is None else float(value)

    def __getitem__(self, path: str) -> float:
        value = self._value(path)
        if value is None:
            raise AbsentError
        return float(value)

    def word(self, path: str) -> str | None:
        """Return a choice; None where it is not told."""
        value = self._value(path)
        return None if value is None else str(value)

    def choice(self, path: str) -> str:
        """Return a choice that is needed."""
        value = self._value(path)
        if value is None:
            raise AbsentError
        return str(value)

    def sound(self, path: str) -> None:
        """Raise AbsentError where a whole table has a key that is not read: what lacks may be that one, misspelt."""
        if path in self.bad:
            raise AbsentError


class Fits:
    """The faults that were found."""

    def __init__(self, faults: Iterable[Fault]) -> None:
        self.faults = list(faults)

    def must(self, holds: Callable[[], bool], key: str, wrong: str, write: str | Callable[[], str]) -> None:
        """Note a fault unless something holds; where that can't be asked, leave it."""
        with suppress(AbsentError):
            if not holds():
                self.faults.append(Fault(key, wrong, write if isinstance(write, str) else write()))
