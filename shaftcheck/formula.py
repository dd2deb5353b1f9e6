"""A formula is written once and read three ways.

A formula is a function of keyword-only arrays that holds numpy operators and ufuncs and nothing else. With arrays it
computes. With quantities it proves its dimensions. With symbols it prints itself (`shaftcheck.show.symbols`).

Tied to it by `formula`: its source, its symbols with units, and the range in which it holds. Outside that range it
answers nan ('not known'); the reason is found afterwards by listening to a second run, so that computing pays nothing
for it.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from contextvars import ContextVar
from functools import wraps
from itertools import pairwise
from typing import Any, ParamSpec

import numpy as np

from shaftcheck.frozen import frozen
from shaftcheck.model import Array, Bools
from shaftcheck.trace import Sym, bare, is_listening, listening

__all__ = [
    "FORMULAS",
    "TABLES",
    "Call",
    "Formula",
    "Log",
    "Sym",
    "Table",
    "formula",
    "listen",
]

P = ParamSpec("P")


@frozen(kw_only=False, eq=True)
class Formula:
    """A function with what is known about it."""

    name: str
    compute: Callable[..., Any]
    """the bare function, to be read with quantities or symbols"""
    result: Sym
    args: dict[str, Sym]
    source: str
    summary: str


@frozen(kw_only=False)
class Call:
    """One recorded evaluation."""

    formula: Formula
    args: dict[str, Any]
    """nodes of the trace (`shaftcheck.nodes`), by the argument's name"""
    result: Array


class Log:
    """What was computed while someone listened, in the order in which it was."""

    def __init__(self) -> None:
        self.calls: list[Call] = []

    def made(self, f: Formula, args: dict[str, Any], result: Array) -> Array:
        """Note an evaluation; return its result as an array that remembers it."""
        from shaftcheck.nodes import Made
        from shaftcheck.traced import node_of, traced

        call = Call(f, {key: node_of(a) for key, a in args.items()}, result)
        self.calls.append(call)
        return traced(Made(result, call))


FORMULAS: dict[str, Formula] = {}
TABLES: dict[str, Table] = {}
_log: ContextVar[Log | None] = ContextVar("log", default=None)


@contextmanager
def listen() -> Iterator[Log]:
    """Record every formula that is evaluated inside the block, and trace what is made of its result."""
    import shaftcheck.traced  # noqa: F401 -- it knows how to remember

    log = Log()
    token = _log.set(log)
    try:
        with listening(True):
            yield log
    finally:
        _log.reset(token)


def _listener() -> Log | None:
    log = _log.get()
    return log if log is not None and is_listening() else None


def in_range(sym: Sym, value: Array) -> Bools:
    """Return where `value` lies in the range of `sym`; nan lies nowhere."""
    if sym.low is not None and sym.high is not None:
        return np.asarray((value >= sym.low) & (value <= sym.high))
    if sym.low is not None:
        return np.asarray(value >= sym.low)
    return np.asarray(value <= (np.inf if sym.high is None else sym.high))


def formula(result: Sym, source: str, **args: Sym) -> Callable[[Callable[P, Array]], Callable[P, Array]]:
    """Tie source, symbols, units and range to a function; answer nan outside the range; record while listened to."""

    def tie(fn: Callable[P, Array]) -> Callable[P, Array]:
        bounded = {k: s for k, s in args.items() if s.low is not None or s.high is not None}
        name = fn.__name__
        me = Formula(name, fn, result, args, source, (fn.__doc__ or "").strip().partition("\n")[0])
        if name in FORMULAS:
            raise ValueError(f"two formulas are named {name}")
        FORMULAS[name] = me

        def known(**k: Any) -> Array:
            r: Array = fn(**k)  # type: ignore[call-arg]
            for key, sym in bounded.items():
                good = in_range(sym, k[key])
                if not good.all():
                    r = np.where(good, r, np.nan)
            return r

        @wraps(fn)
        def call(*a: P.args, **k: P.kwargs) -> Array:
            if (log := _listener()) is None:
                return known(**k)
            return log.made(me, k, known(**{key: bare(v) for key, v in k.items()}))

        return call

    return tie


@frozen(kw_only=False, eq=True)
class Table:
    """A printed table, read in a straight line between its rows; outside them there is no answer (nan)."""

    name: str
    source: str
    x: tuple[float, ...]
    y: tuple[float, ...]

    def __post_init__(self) -> None:
        if len(self.x) != len(self.y) or any(b <= a for a, b in pairwise(self.x)):
            raise ValueError(f"table {self.name}: rows must rise and pair up")
        TABLES[self.name] = self

    def __call__(self, x: Array) -> Array:
        """Return the value at x, of any shape [dimensionless]."""
        if (read := getattr(x, "table", None)) is not None:
            return read(self)  # type: ignore[no-any-return]
        plain = bare(x.m_as("") if hasattr(x, "m_as") else x)
        y = np.asarray(np.interp(plain, self.x, self.y, left=np.nan, right=np.nan))
        return y if (log := _listener()) is None else log.made(self.formula, {"x": x}, y)

    @property
    def formula(self) -> Formula:
        """Return the table as a formula of one argument, for a listener."""
        x = Sym("x", "", "what the table is entered with", low=self.x[0], high=self.x[-1])
        return Formula(self.name, self.__call__, Sym("y", "", "what the table gives"), {"x": x}, self.source, self.name)
