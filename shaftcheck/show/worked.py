"""The worked lines behind one number: each formula in symbols and with the numbers that went into it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal
from functools import cache
from typing import Any

import numpy as np

from shaftcheck.border.sizes import System
from shaftcheck.border.units import factor
from shaftcheck.formula import Call, Log, Sym, out_of_range
from shaftcheck.model import Array
from shaftcheck.show.symbols import plain

__all__ = ["Quantity", "WorkedLine", "out_of_range_reasons", "worked"]


@cache
def _shown_units(system: System) -> dict[str, tuple[str, float]]:
    """Return how each unit is shown, and how many of the shown one it is."""
    if system == "metric":
        length, long, stress = "mm", 1e3, ("MPa", 1e-6)
        more = {"N*m": ("N m", 1.0)}
    else:
        length, long, stress = "in", factor("m", "in"), ("psi", factor("Pa", "psi"))
        force = factor("N", "lbf")
        more = {
            "N": ("lbf", force),
            "N*m": ("lbf in", force * long),
            "N/m": ("lbf/in", force / long),
            "kg": ("lb", factor("kg", "lb")),
            "kg/m^3": ("lb/ft^3", factor("kg/m^3", "lb/ft^3")),
            "m/s": ("ft/s", factor("m/s", "ft/s")),
        }
    out = {"m": (length, long), "m^-1": (f"1/{length}", 1 / long), "Pa": stress} | more
    for n in (2, 3, 4):
        out[f"m^{n}"] = (f"{length}^{n}", long**n)
        out[f"m^-{n}"] = (f"1/{length}^{n}", 1 / long**n)
    return out


def _shown(unit: str, system: System) -> tuple[str, float]:
    key = unit.replace("**", "^").replace(" ", "")
    return _shown_units(system).get(key, (key, 1.0))


def _number(value: float, digits: int) -> str:
    """Return a number to so many digits, without zeros that say nothing."""
    if np.isnan(value):
        return "not known"
    if np.isinf(value):
        return "without limit" if value > 0 else "minus without limit"
    rounded = f"{value:.{digits - 1}e}"
    mantissa, _, power = rounded.partition("e")
    if -4 <= int(power) < 7:
        text = format(Decimal(rounded), "f")
        return text.rstrip("0").rstrip(".") if "." in text else text
    return f"{mantissa.rstrip('0').rstrip('.') if '.' in mantissa else mantissa}e{int(power)}"


def _spoken(number: str) -> float:
    return {"not known": np.nan, "without limit": np.inf, "minus without limit": -np.inf}.get(number) or float(number)


@dataclass(frozen=True, slots=True)
class Quantity:
    """A symbol with its number as printed."""

    key: str
    """name of the formula's argument; empty for its result"""
    symbol: str
    meaning: str
    number: str
    """as printed"""
    unit: str
    """of the printed number; empty for a plain one"""
    value: float
    """what the printed number stands for, in the unit that the formula declares"""

    @property
    def text(self) -> str:
        """Return number and unit."""
        return f"{self.number} {self.unit}".rstrip()


def _quantity(key: str, sym: Sym, value: float, digits: int, system: System) -> Quantity:
    unit, scale = _shown(sym.unit, system)
    number = _number(value * scale, digits)
    return Quantity(key, sym.name, sym.meaning, number, unit, _spoken(number) / scale)


# -------------------------------------------------------------------------------------------------- the worked lines


@dataclass(frozen=True, slots=True)
class WorkedLine:
    """One formula with the numbers that went into it and what came out."""

    formula: str
    """name of the formula, or of the table"""
    summary: str
    given: tuple[Quantity, ...]
    result: Quantity
    source: str
    valid: str
    """range in which it holds; empty where it has no bounds"""

    @property
    def equation(self) -> str:
        """Return the formula in symbols, as text."""
        return plain(self.formula)

    @property
    def text(self) -> str:
        """Return the line: the formula, its result and what went in."""
        given = ", ".join(f"{q.symbol} = {q.text}" for q in self.given)
        return f"{self.equation} = {self.result.text}, with {given}"


def worked(
    log: Log, array: Array, at: tuple[int, ...], *, digits: int = 4, system: System = "metric"
) -> tuple[WorkedLine, ...]:
    """Return the worked lines behind one number of an array, first things first.

    What is followed is the identity of arrays: from a result to the arguments of its formula, and from an array that
    was told to be `carried` to that one among its origins that holds the number. Where the trail ends, the number
    stands as given. A number that was changed on the way is not followed: the lines would not add up.

    Parameters
    ----------
    log : what was recorded
    array : the very array that the number stands in, not a copy of it
    at : its place in the array, one index an axis
    digits : digits of each result; what went in gets as many as the result needs to be found again

    Returns
    -------
    lines : empty where the array is not the result of a formula
    """
    found: dict[tuple[int, tuple[int, ...]], WorkedLine] = {}

    def follow(a: Array, place: tuple[int, ...]) -> None:
        if (call := log.calls.get(id(a))) is not None:
            if (id(a), place) in found:
                return
            places = {key: _place(v, place) for key, v in call.args.items()}
            for key, v in call.args.items():
                follow(v, places[key])
            values = {key: float(np.asarray(v)[places[key]]) for key, v in call.args.items()}
            found[id(a), place] = _line(call, values, float(call.result[place]), digits, system)
        elif (parents := log.parents.get(id(a))) is not None:
            value = np.asarray(a)[place]
            for old in parents[1]:
                if (there := _where(old, value, place)) is not None:
                    follow(old, there)
                    return

    follow(array, _place(array, at))
    return tuple(found.values())


def _place(a: Array, at: tuple[int, ...]) -> tuple[int, ...]:
    """Return the place in an array that broadcasts to the one that `at` is a place of."""
    shape = np.shape(a)
    end = at[len(at) - len(shape) :] if len(shape) <= len(at) else (0,) * (len(shape) - len(at)) + at
    return tuple(0 if n == 1 else int(i) for n, i in zip(shape, end, strict=True))


def _where(old: Array, value: Any, at: tuple[int, ...]) -> tuple[int, ...] | None:
    """Return the place in `old` that a value was picked from: of all that hold it, the nearest to `at`."""
    old = np.asarray(old)
    same = np.argwhere(np.isnan(old) if np.isnan(value) else old == value)
    if len(same) == 0:
        return None
    n = min(old.ndim, len(at))
    wanted = np.asarray(at[len(at) - n :], dtype=np.intp)
    agree = np.count_nonzero(same[:, old.ndim - n :] == wanted, axis=-1)
    return tuple(int(i) for i in same[agree.argmax()])


def _line(call: Call, values: Mapping[str, float], result: float, digits: int, system: System) -> WorkedLine:
    f = call.formula
    out = _quantity("", f.result, result, digits, system)
    scale = _shown(f.result.unit, system)[1]
    given: tuple[Quantity, ...] = ()
    for more in range(digits, 18):
        given = tuple(_quantity(key, f.args[key], v, more, system) for key, v in values.items())
        with np.errstate(all="ignore"):
            again = float(f.compute(**{q.key: np.asarray(q.value) for q in given}))
        if _number(again * scale, digits) == out.number or np.isnan(result):
            break
    valid = ", ".join(text for key in values if (text := _bounds(f.args[key], system)))
    return WorkedLine(f.name, f.summary, given, out, f.source, valid)


def _bounds(sym: Sym, system: System) -> str:
    unit, scale = _shown(sym.unit, system)

    def said(bound: float) -> str:
        return f"{_number(bound * scale, 4)} {unit if bound else ''}".rstrip()

    if sym.low is not None and sym.high is not None:
        return f"{said(sym.low)} <= {sym.name} <= {said(sym.high)}"
    if sym.low is not None:
        return f"{sym.name} >= {said(sym.low)}"
    return f"{sym.name} <= {said(sym.high)}" if sym.high is not None else ""


def out_of_range_reasons(log: Log, *, system: System = "metric") -> list[str]:
    """Return which formulas (and tables) answered nan, and because of which symbol and which bound.

    Each reason stands once, in the order in which it came up, with the value that is farthest out. A symbol that
    another formula answered nan for gives no reason of its own.
    """
    out: dict[str, None] = {}
    for call in list(log.calls.values()):
        if not np.isnan(call.result).any():
            continue
        before = len(out)
        follows = False
        for key, sym in call.formula.args.items():
            v = np.asarray(call.args[key])
            name, words = f"{call.formula.name}: {sym.name}", f" ({sym.meaning})" if sym.meaning else ""
            unit, scale = _shown(sym.unit, system)

            def said(value: float, unit: str = unit, scale: float = scale) -> str:
                return f"{_number(value * scale, 4)} {unit}".rstrip()

            known = v[~np.isnan(v)]
            if sym.low is not None and (known < sym.low).any():
                out[f"{name} = {said(known.min())} is below {said(sym.low)}{words}"] = None
            if sym.high is not None and (known > sym.high).any():
                out[f"{name} = {said(known.max())} is above {said(sym.high)}{words}"] = None
            if np.isnan(v).any():
                computed = id(log.origin(call.args[key])) in log.calls
                follows = follows or computed
                if not computed:
                    out[f"{name} is not known{words}"] = None
        if len(out) == before and not follows:
            bounded = ((s, call.args[k]) for k, s in call.formula.args.items() if (s.low, s.high) != (None, None))
            if not any(out_of_range(s, np.asarray(v)).any() for s, v in bounded):  # else the reason stands already
                out[f"{call.formula.name}: no answer at these numbers"] = None
    return list(out)
