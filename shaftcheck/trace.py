"""Where a number comes from: while someone listens, arrays remember what made them.

Nobody listens in the ordinary run: arrays are plain then, and what remembers is not even loaded. While someone listens
(`shaftcheck.formula.listen`), what goes in is given a name (`given`), each formula hands out its result as an array
that remembers (`shaftcheck.traced`), and whatever numpy makes of such arrays is traced on. `shaftcheck.show.chain`
reads the way back.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from contextlib import contextmanager
from contextvars import ContextVar
from typing import Any

import numpy as np

from shaftcheck.frozen import frozen
from shaftcheck.model import Array

__all__ = [
    "ANY",
    "CONSTANTS",
    "Constant",
    "Sym",
    "bare",
    "blank",
    "constant",
    "given",
    "is_listening",
    "known",
    "listening",
    "named",
    "quiet",
    "solved",
    "taught",
]

ANY = "any"
"""a unit that is whatever what goes in has: a formula that compares takes stresses and forces alike"""


@frozen(kw_only=False, eq=True)
class Sym:
    """A symbol: how it prints, its unit, what it is, and the range in which the formula holds (ends inside)."""

    name: str
    unit: str = ""
    meaning: str = ""
    low: float | None = None
    high: float | None = None


@frozen(kw_only=False)
class Constant:
    """A number of the method: its symbol, what it rests on."""

    value: Array
    sym: Sym
    source: str


CONSTANTS: dict[int, Constant] = {}
"""by the identity of the array, which lives as long as the program"""
_listening: ContextVar[bool] = ContextVar("listening", default=False)
_HOW: dict[str, Callable[..., Array]] = {}
"""what `shaftcheck.traced` does with what the code tells; it is there while someone listens"""


def taught(**how: Callable[..., Array]) -> None:
    """Learn what to do with what the code tells while someone listens."""
    _HOW.update(how)


def constant(value: float | Array, sym: Sym, source: str) -> Array:
    """Return a number of the method as an array, and remember its symbol and what it rests on."""
    array = np.asarray(value, dtype=np.float64)
    CONSTANTS[id(array)] = Constant(array, sym, source)
    return array


def is_listening() -> bool:
    """Return whether someone listens."""
    return _listening.get()


@contextmanager
def listening(on: bool) -> Iterator[None]:
    """Trace, or do not, inside the block."""
    token = _listening.set(on)
    try:
        yield
    finally:
        _listening.reset(token)


def quiet() -> Any:
    """Return a block in which nothing is traced: an iteration or an integral, whose steps explain nothing."""
    return listening(False)


def bare(x: Any) -> Any:
    """Return an array without its memory; anything else as it is."""
    return x.view(np.ndarray) if isinstance(x, np.ndarray) and type(x) is not np.ndarray else x


# ------------------------------------------------------------------------------------------------- what the code tells


def given(value: Array, sym: Sym, origin: str) -> Array:
    """Return what goes in with its name, for a listener; not while nobody listens."""
    return _HOW["given"](value, sym, origin) if _listening.get() else value


def known(value: Array, sym: Sym, origin: str) -> Array:
    """Return a number of the method with its name, so that a listener hears it through picks and stacks."""
    return _HOW["known"](value, sym, origin) if _listening.get() else value


def named(value: Array, sym: Sym, source: str = "") -> Array:
    """Give a number a symbol of its own, for a listener."""
    return _HOW["named"](value, sym, source) if _listening.get() else value


def blank(shape: tuple[int, ...]) -> Array:
    """Return zeros that are to be written into."""
    return _HOW["blank"](shape) if _listening.get() else np.zeros(shape)


def solved(
    value: Array,
    sym: Sym,
    words: str,
    source: str,
    inputs: Mapping[Sym, Array] | None = None,
    sides: Callable[[Array], tuple[Array, Array]] | None = None,
    many: bool = False,
) -> Array:
    """Tell a listener what was solved or integrated: in words, with what went in.

    Parameters
    ----------
    value : what came out
    sides : of the value: both sides of the equation that it meets
    many : whether its elements are so many that a sum of them is drawn together
    """
    if not _listening.get():
        return value
    return _HOW["solved"](value, sym, words, source, inputs or {}, sides, many)
