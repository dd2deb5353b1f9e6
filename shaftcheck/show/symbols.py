"""Formulas read with symbols. The only user of sympy, loaded when first asked.

A formula is read by calling its own function with symbols, so that what is printed is what is computed. It is never
evaluated or put in another order: a float stays the decimal that was typed, and only equal factors that stand side by
side are drawn together (d d d is printed as d^3).
"""

from __future__ import annotations

from collections.abc import Callable
from fractions import Fraction
from functools import cache
from importlib import import_module
from pkgutil import iter_modules
from types import ModuleType
from typing import Any

import numpy as np

from shaftcheck.formula import FORMULAS, TABLES, Formula, Table
from shaftcheck.show.typeset import MathML, Text, document, equals, table_word

__all__ = ["Reading", "everything", "mathml", "named", "number", "plain", "ratio", "symbol", "symbolic", "unevaluated"]

_SKIPPED = {"shaftcheck.show", "shaftcheck.cli", "shaftcheck.commands", "shaftcheck.__main__"}


def everything() -> dict[str, Formula]:
    """Return every formula of the package by name, module by module and in the order written.

    Every module is imported for it but what shows and what runs, so that no new formula can be missed.
    """

    def load(package: ModuleType) -> None:
        for module in iter_modules(package.__path__, f"{package.__name__}."):
            if module.name not in _SKIPPED:
                loaded = import_module(module.name)
                if module.ispkg:
                    load(loaded)

    load(import_module("shaftcheck"))

    def place(f: Formula) -> tuple[str, int]:
        return f.compute.__module__, f.compute.__code__.co_firstlineno

    own = [f for f in FORMULAS.values() if f.compute.__module__.startswith("shaftcheck.")]
    return {f.name: f for f in sorted(own, key=place)}


# ------------------------------------------------------------------------------------------------ reading with symbols


class Reading(np.lib.mixins.NDArrayOperatorsMixin):
    """An argument of a formula while the formula is read and not computed."""

    def __init__(self, expression: Any) -> None:
        self.expression = expression

    def __array_ufunc__(self, ufunc: Any, method: str, *args: Any, **options: Any) -> Any:
        how = _ufuncs().get(ufunc.__name__)
        if method != "__call__" or options or how is None:
            return NotImplemented
        return Reading(how(*map(_bare, args)))

    def __array_function__(self, function: Any, types: Any, args: Any, options: Any) -> Any:
        import sympy as sp

        if function is np.where and len(args) == 3 and not options:
            where, yes, no = map(_bare, args)
            return Reading(sp.Piecewise((yes, where), (no, True), evaluate=False))
        if function is np.clip and len(args) == 3 and not options:
            x, low, high = args
            return np.minimum(np.maximum(x, low), high)
        return NotImplemented

    def __bool__(self) -> bool:
        raise TypeError("a formula may not branch in Python: use np.where, or write two formulas")

    def table(self, table: Table) -> Reading:
        """Return what a table reads as: a function of its own name."""
        import sympy as sp

        return Reading(sp.Function(table_word(table.name))(self.expression))


def _bare(x: Any) -> Any:
    """Return the expression of an operand; a float becomes the fraction that was typed."""
    import sympy as sp

    if isinstance(x, Reading):
        return x.expression
    v = x.item() if isinstance(x, np.ndarray | np.generic) else x
    if not np.isfinite(v):
        return sp.nan if v != v else sp.oo if v > 0 else -sp.oo
    if v == np.pi:
        return sp.pi
    return sp.Integer(int(v)) if v == int(v) else sp.Rational(str(v))


@cache
def _ufuncs() -> dict[str, Callable[..., Any]]:
    """Return how each ufunc reads, by its name."""
    import sympy as sp

    def add(a: Any, b: Any) -> Any:
        return sp.Add(a, b, evaluate=False)

    def times(a: Any, b: Any) -> Any:
        return sp.Mul(a, b, evaluate=False)

    def power(a: Any, b: Any) -> Any:
        return sp.Pow(a, b, evaluate=False)

    def over(a: Any, b: Any) -> Any:
        return times(a, power(b, sp.Integer(-1)))

    def minus(a: Any) -> Any:
        return times(sp.Integer(-1), a)

    def of(function: Any) -> Callable[..., Any]:
        return lambda *a: function(*a, evaluate=False)

    half, two = sp.Rational(1, 2), sp.Integer(2)
    out: dict[str, Callable[..., Any]] = {
        "add": add,
        "subtract": lambda a, b: add(a, minus(b)),
        "multiply": times,
        "divide": over,
        "power": power,
        "float_power": power,
        "negative": minus,
        "positive": lambda a: a,
        "reciprocal": lambda a: over(sp.Integer(1), a),
        "square": lambda a: power(a, two),
        "sqrt": lambda a: power(a, half),
        "cbrt": lambda a: power(a, sp.Rational(1, 3)),
        "hypot": lambda a, b: power(add(power(a, two), power(b, two)), half),
        "absolute": of(sp.Abs),
        "fabs": of(sp.Abs),
        "log1p": lambda a: sp.log(add(sp.Integer(1), a), evaluate=False),
        "expm1": lambda a: add(sp.exp(a, evaluate=False), sp.Integer(-1)),
        "less": of(sp.Lt),
        "less_equal": of(sp.Le),
        "greater": of(sp.Gt),
        "greater_equal": of(sp.Ge),
        "equal": of(sp.Eq),
        "not_equal": of(sp.Ne),
        "arcsin": of(sp.asin),
        "arccos": of(sp.acos),
        "arctan": of(sp.atan),
    }
    for name in ("log", "exp", "sin", "cos", "tan", "sinh", "cosh", "tanh", "gamma"):
        out[name] = of(getattr(sp, name))
    for name in ("minimum", "maximum", "arctan2"):  # sympy's own would sort what is compared
        out[name] = sp.Function(name)
    return out


def symbol(name: str) -> Any:
    """Return a symbol as sympy has it."""
    import sympy as sp

    return sp.Symbol(name)


def ratio(value: float) -> Fraction | None:
    """Return the ratio of small numbers that a number is, to its last digit but one, where its decimals have no end."""
    if not np.isfinite(value) or len(repr(value)) <= 12:
        return None
    found = Fraction(value).limit_denominator(10_000)
    return found if abs(float(found) - value) <= 2.0 * np.spacing(abs(value)) else None


def number(value: float) -> Any:
    """Return a number as sympy has it; a ratio of small numbers where its decimals have no end."""
    import sympy as sp

    found = ratio(value)
    return _bare(value) if found is None else sp.Rational(found.numerator, found.denominator)


def unevaluated(ufunc: str, *parts: Any) -> Any:
    """Return what a numpy function of numbers and sympy expressions reads as, not evaluated.

    Raises
    ------
    TypeError
        if it is none that is read.
    """
    import sympy as sp

    if ufunc not in _ufuncs():
        raise TypeError(f"{ufunc} can't be read")
    with sp.evaluate(False):
        return _ufuncs()[ufunc](*(p if hasattr(p, "free_symbols") else _bare(p) for p in parts))


def _read(f: Formula) -> Any:
    import sympy as sp

    with sp.evaluate(False):
        symbols = {key: Reading(sp.Symbol(sym.name)) for key, sym in f.args.items()}
        return _bare(f.compute(**symbols))


def named(name: str) -> Formula:
    """Return a formula, or a table as one, by its name."""
    if name in TABLES:
        return TABLES[name].formula
    if name not in FORMULAS:
        everything()
    return FORMULAS[name]


@cache
def symbolic(name: str) -> Any:
    """Return the sympy expression that a formula (or a table) computes, not evaluated and in the order written.

    Raises
    ------
    KeyError
        if there is no such formula.
    TypeError
        if it holds more than numpy's operators and functions.
    """
    return _read(named(name))


@cache
def plain(name: str) -> str:
    """Return a formula as one line of text.

    Examples
    --------
    >>> plain("fibre_stress")
    'sigma = |M| c / (2 I)'
    >>> plain("wall_twist")
    't = 1 / (2 A_m t_w) + u / (8 A_m^2)'
    """
    f = named(name)
    return f"{f.result.name} = {Text().write(_read(f))}"


@cache
def mathml(name: str) -> str:
    """Return a formula as presentation MathML, well formed and with its own namespace."""
    f = named(name)
    return document(equals(MathML.symbol(f.result.name), MathML().write(_read(f))))
