"""One value for every entry of a shaft file."""

from __future__ import annotations

from collections.abc import Mapping

from shaftcheck.key import Value

__all__ = ["OneEach"]


class OneEach:
    """One value for every entry, asked for by path; what is not there is None."""

    def __init__(self, values: Mapping[str, Value]) -> None:
        self.values = values

    def get(self, path: str) -> float | None:
        """Return a size [SI]."""
        value = self.values.get(path)
        return None if value is None else float(value)

    def __getitem__(self, path: str) -> float:
        return float(self.values[path])

    def word(self, path: str) -> str | None:
        """Return a choice."""
        value = self.values.get(path)
        return None if value is None else str(value)
