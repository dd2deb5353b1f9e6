"""Formulas read with symbols, and the worked lines behind one number. The only user of sympy, loaded when first asked.

A formula is read by calling its own function with symbols, so that what is printed is what is computed. It is never
evaluated or put in another order: a float stays the decimal that was typed, and only equal factors that stand side by
side are drawn together (d d d is printed as d^3).
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal
from functools import cache
from importlib import import_module
from itertools import groupby
from pkgutil import iter_modules
from types import ModuleType
from typing import Any, Generic, TypeVar
from xml.etree import ElementTree as ET

import numpy as np

from shaftcheck.border.sizes import System
from shaftcheck.border.units import factor
from shaftcheck.formula import FORMULAS, TABLES, Call, Formula, Log, Sym, Table, out_of_range
from shaftcheck.model import Array

__all__ = [
    "Quantity",
    "Reading",
    "WorkedLine",
    "everything",
    "mathml",
    "out_of_range_reasons",
    "plain",
    "symbolic",
    "table_word",
    "worked",
]

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


def table_word(name: str) -> str:
    """Return a table's name as one word, under which it stands in an expression."""
    return "table_" + re.sub(r"\W+", "_", name).strip("_")


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
    for name in ("minimum", "maximum"):  # sympy's own would sort what is compared
        out[name] = sp.Function(name)
    return out


def _read(f: Formula) -> Any:
    import sympy as sp

    with sp.evaluate(False):
        symbols = {key: Reading(sp.Symbol(sym.name)) for key, sym in f.args.items()}
        return _bare(f.compute(**symbols))


def _named(name: str) -> Formula:
    if name in TABLES:
        return TABLES[name].formula
    if name not in FORMULAS:
        everything()
    return FORMULAS[name]


def symbolic(name: str) -> Any:
    """Return the sympy expression that a formula (or a table) computes, not evaluated and in the order written.

    Raises
    ------
    KeyError
        if there is no such formula.
    TypeError
        if it holds more than numpy's operators and functions.
    """
    return _read(_named(name))


# -------------------------------------------------------------------------------------------------------- writing it

T = TypeVar("T")
_SUM, _FRACTION, _PRODUCT, _POWER, _ATOM = range(5)
"""how tightly what was written holds together"""
_WORDS = {
    "log": "ln",
    "minimum": "min",
    "maximum": "max",
    "asin": "arcsin",
    "acos": "arccos",
    "atan": "arctan",
}
_SIGNS = {
    "StrictLessThan": "<",
    "LessThan": "<=",
    "StrictGreaterThan": ">",
    "GreaterThan": ">=",
    "Equality": "=",
    "Unequality": "!=",
}


class _Writer(Generic[T]):
    """Walks an expression and puts it together from what one kind of output offers."""

    least: Mapping[str, int]
    """by place: how tightly what stands there must hold together to go without brackets"""
    atom: Callable[[str], T]
    symbol: Callable[[str], T]
    brackets: Callable[[T], T]
    total: Callable[[Sequence[tuple[bool, T]]], T]
    product: Callable[[Sequence[tuple[int, T, bool]]], T]
    fraction: Callable[[T, T], T]
    power: Callable[[T, T], T]
    root: Callable[[T], T]
    bars: Callable[[T], T]
    call: Callable[[str, Sequence[T]], T]
    relation: Callable[[str, Sequence[T]], T]
    cases: Callable[[Sequence[tuple[T, T]], T], T]

    def write(self, e: Any) -> T:
        """Return an expression as written."""
        return self._view(e)[1]

    def _fit(self, e: Any, place: str) -> T:
        level, piece = self._view(e)
        if place == "exponent" and e.is_Rational and "/" not in _decimal(e):
            level = _ATOM
        return piece if level >= self.least[place] else self.brackets(piece)

    def _view(self, e: Any) -> tuple[int, T]:
        kind = type(e).__name__
        if e.is_Rational:
            return (_SUM if _negative(e) else _ATOM), self.atom(_decimal(e))
        if e.is_Symbol or kind == "Pi":
            return _ATOM, self.symbol(e.name if e.is_Symbol else "pi")
        if e.is_Add:
            return _SUM, self.total([self._term(t) for t in _terms(e)])
        if e.is_Mul:
            if _negative(_spine(e)[0]):
                return _SUM, self.total([self._term(e)])
            return self._product(_spine(e))
        if e.is_Pow:
            base, exponent = e.args
            if exponent == -1:
                return self._product([e])
            if exponent.is_Rational and exponent.q == 2 and exponent.p == 1:
                return _ATOM, self.root(self.write(base))
            return _POWER, self.power(self._fit(base, "base"), self._fit(exponent, "exponent"))
        if kind == "Abs":
            return _ATOM, self.bars(self.write(e.args[0]))
        if kind in _SIGNS:
            return _SUM, self.relation(_SIGNS[kind], [self._fit(a, "side") for a in e.args])
        if kind == "Piecewise":
            *some, (last, _) = ((pair.args[0], pair.args[1]) for pair in e.args)
            return _SUM, self.cases([(self.write(a), self.write(c)) for a, c in some], self.write(last))
        if e.is_Function:
            return _ATOM, self.call(_WORDS.get(kind, kind), [self.write(a) for a in e.args])
        raise TypeError(f"a {kind} can't be written")

    def _term(self, e: Any) -> tuple[bool, T]:
        """Return whether a term is taken away, and the term without its sign."""
        first = _spine(e)[0]
        if not _negative(first):
            return False, self._fit(e, "term")
        if not e.is_Mul:
            return True, self.write(-e)
        rest = _spine(e)[1:]
        factors = rest if first == -1 else [-first, *rest]
        level, piece = self._view(factors[0]) if len(factors) == 1 else self._product(factors)
        return True, piece if level > _SUM else self.brackets(piece)

    def _product(self, factors: Sequence[Any]) -> tuple[int, T]:
        """Return factors one after the other; a division takes all that stands before it into its numerator."""
        over: list[tuple[int, T, bool]] = []
        under: list[Any] = []

        def close() -> tuple[int, T]:
            level, piece = self._side(over)
            if not under:
                return level, piece
            below = self._parts(under)
            level_below, piece_below = self._side(below)
            top = piece if level >= self.least["numerator"] else self.brackets(piece)
            bottom = piece_below if level_below >= self.least["denominator"] else self.brackets(piece_below)
            return _FRACTION, self.fraction(top, bottom)

        for is_division, group in groupby(factors, key=_divides):
            items = list(group)
            if is_division:
                over = over or [(_ATOM, self.atom("1"), True)]
                for item in items:
                    inside = item.args[0]
                    under += _spine(inside) if inside.is_Mul and not any(map(_divides, _spine(inside))) else [inside]
            else:
                if under:
                    level, piece = close()
                    over, under = [(level, piece, False)], []
                over = over + self._parts(items)
        return close()

    def _side(self, parts: Sequence[tuple[int, T, bool]]) -> tuple[int, T]:
        """Return factors without a division among them."""
        if len(parts) == 1:
            return parts[0][0], parts[0][1]
        leads = parts[0][0] == _FRACTION
        fitted = [
            (level, piece if level >= self.least["factor"] or (leads and i == 0) else self.brackets(piece), digit)
            for i, (level, piece, digit) in enumerate(parts)
        ]
        return (_FRACTION if leads else _PRODUCT), self.product(fitted)

    def _parts(self, factors: Sequence[Any]) -> list[tuple[int, T, bool]]:
        """Return each factor with whether it begins with a digit; equal ones side by side become a power."""
        out = []
        for e, group in groupby(factors):
            n = len(list(group))
            level, piece = self._view(e)
            if n > 1 and not e.is_Number and not e.is_Pow:
                piece = piece if level >= self.least["base"] else self.brackets(piece)
                out.append((_POWER, self.power(piece, self.atom(str(n))), False))
            else:
                begins = e.is_Number or (e.is_Pow and e.args[0].is_Number)
                out += [(level, piece, bool(begins))] * n
        return out


def _decimal(number: Any) -> str:
    """Return a rational number as the decimal that was typed, or as a ratio where it has no end."""
    p, q = int(number.p), int(number.q)
    ends = q
    for prime in (2, 5):
        while ends % prime == 0:
            ends //= prime
    return format(Decimal(p) / Decimal(q), "f") if ends == 1 else f"{p}/{q}"


def _divides(e: Any) -> bool:
    return bool(e.is_Pow and e.args[1] == -1)


def _terms(e: Any) -> Iterator[Any]:
    for a in e.args:
        if a.is_Add:
            yield from _terms(a)
        else:
            yield a


def _spine(e: Any) -> list[Any]:
    """Return the factors of a product in the order written; a quotient that is a factor stays whole."""
    if not e.is_Mul:
        return [e]
    first, *rest = e.args
    out = _spine(first)
    for a in rest:
        inner = _spine(a)
        out += [a] if any(map(_divides, inner)) and not _divides(a) else inner
    return out


def _negative(e: Any) -> bool:
    return bool(e.is_Rational and e < 0)


class _Text(_Writer[str]):
    """One line of ASCII."""

    least = {  # noqa: RUF012
        "term": _FRACTION, "factor": _POWER, "numerator": _PRODUCT, "denominator": _POWER, "base": _ATOM,
        "exponent": _ATOM, "side": _SUM,
    }  # fmt: skip

    atom = staticmethod(str)
    symbol = staticmethod(str)
    brackets = staticmethod("({})".format)
    root = staticmethod("sqrt({})".format)
    bars = staticmethod("|{}|".format)
    fraction = staticmethod("{} / {}".format)
    power = staticmethod("{}^{}".format)

    @staticmethod
    def total(terms: Sequence[tuple[bool, str]]) -> str:
        """Return a sum."""
        first, *rest = terms
        return "-" * first[0] + first[1] + "".join((" - " if minus else " + ") + t for minus, t in rest)

    @staticmethod
    def product(parts: Sequence[tuple[int, str, bool]]) -> str:
        """Return a product; a star where a space would mislead."""
        out = parts[0][1]
        for i, (_, piece, digit) in enumerate(parts[1:]):
            out += (" * " if digit or (i == 0 and parts[0][0] == _FRACTION) else " ") + piece
        return out

    @staticmethod
    def call(name: str, args: Sequence[str]) -> str:
        """Return a function of its arguments."""
        return f"{_table_names().get(name, name)}({', '.join(args)})"

    @staticmethod
    def relation(sign: str, sides: Sequence[str]) -> str:
        """Return what is compared."""
        return f" {sign} ".join(sides)

    @staticmethod
    def cases(some: Sequence[tuple[str, str]], last: str) -> str:
        """Return a piecewise equation."""
        return "".join(f"{a} if {c}, " for a, c in some) + f"else {last}"


_GREEK = {
    "alpha": "α", "beta": "β", "gamma": "γ", "delta": "δ", "epsilon": "ε", "zeta": "ζ", "eta": "η", "theta": "θ",
    "iota": "ι", "kappa": "κ", "lambda": "λ", "mu": "μ", "nu": "ν", "xi": "ξ", "pi": "π", "rho": "ρ", "sigma": "σ",
    "tau": "τ", "upsilon": "υ", "phi": "φ", "chi": "χ", "psi": "ψ", "omega": "ω", "Gamma": "Γ", "Delta": "Δ",
    "Theta": "Θ", "Lambda": "Λ", "Sigma": "Σ", "Phi": "Φ", "Psi": "Ψ", "Omega": "Ω",
}  # fmt: skip
_MINUS, _TIMES, _UNSEEN, _APPLY = "\u2212", "\u00b7", "\u2062", "\u2061"


def _tag(name: str, *children: ET.Element, text: str | None = None) -> ET.Element:
    out = ET.Element(name)
    out.text = text
    out.extend(children)
    return out


def _op(text: str) -> ET.Element:
    return _tag("mo", text=text)


def _row(*children: ET.Element) -> ET.Element:
    return children[0] if len(children) == 1 else _tag("mrow", *children)


def _letters(text: str) -> ET.Element:
    return _tag("mn", text=text) if text.isdigit() else _tag("mi", text=_GREEK.get(text, text))


class _MathML(_Writer[ET.Element]):
    """Presentation MathML, as elements: text in it is escaped by construction."""

    least = {  # noqa: RUF012
        "term": _FRACTION, "factor": _FRACTION, "numerator": _SUM, "denominator": _SUM, "base": _ATOM,
        "exponent": _SUM, "side": _SUM,
    }  # fmt: skip

    @staticmethod
    def atom(text: str) -> ET.Element:
        """Return a number."""
        if "/" in text:
            over, under = text.split("/")
            return _tag("mfrac", _MathML.atom(over), _tag("mn", text=under))
        if text.startswith("-"):
            return _tag("mrow", _op(_MINUS), _tag("mn", text=text[1:]))
        return _tag("mn", text=text)

    @staticmethod
    def symbol(name: str) -> ET.Element:
        """Return a symbol; what stands behind an underscore goes below the line."""
        base, _, below = name.partition("_")
        return _tag("msub", _letters(base), _letters(below)) if below else _letters(base)

    @staticmethod
    def brackets(inside: ET.Element) -> ET.Element:
        """Return what is inside, in brackets."""
        return _tag("mrow", _op("("), inside, _op(")"))

    @staticmethod
    def bars(inside: ET.Element) -> ET.Element:
        """Return an amount without its sign."""
        return _tag("mrow", _op("|"), inside, _op("|"))

    @staticmethod
    def root(inside: ET.Element) -> ET.Element:
        """Return a square root."""
        return _tag("msqrt", inside)

    @staticmethod
    def fraction(over: ET.Element, under: ET.Element) -> ET.Element:
        """Return a fraction."""
        return _tag("mfrac", over, under)

    @staticmethod
    def power(base: ET.Element, exponent: ET.Element) -> ET.Element:
        """Return a power."""
        return _tag("msup", base, exponent)

    @staticmethod
    def total(terms: Sequence[tuple[bool, ET.Element]]) -> ET.Element:
        """Return a sum."""
        out: list[ET.Element] = []
        for i, (minus, term) in enumerate(terms):
            if i or minus:
                out.append(_op(_MINUS if minus else "+"))
            out.append(term)
        return _row(*out)

    @staticmethod
    def product(parts: Sequence[tuple[int, ET.Element, bool]]) -> ET.Element:
        """Return a product; a dot where a number would run into another."""
        out = [parts[0][1]]
        for _, piece, digit in parts[1:]:
            out += [_op(_TIMES if digit else _UNSEEN), piece]
        return _row(*out)

    @staticmethod
    def call(name: str, args: Sequence[ET.Element]) -> ET.Element:
        """Return a function of its arguments."""
        tables = _table_names()
        head = _tag("mtext", text=tables[name]) if name in tables else _tag("mi", text=name.replace("gamma", "Γ"))
        inside = [args[0]]
        for a in args[1:]:
            inside += [_op(","), a]
        return _tag("mrow", head, _op(_APPLY), _MathML.brackets(_row(*inside)))

    @staticmethod
    def relation(sign: str, sides: Sequence[ET.Element]) -> ET.Element:
        """Return what is compared."""
        words = {"<=": "≤", ">=": "≥", "!=": "≠"}
        out = [sides[0]]
        for side in sides[1:]:
            out += [_op(words.get(sign, sign)), side]
        return _row(*out)

    @staticmethod
    def cases(some: Sequence[tuple[ET.Element, ET.Element]], last: ET.Element) -> ET.Element:
        """Return a piecewise equation."""

        def cell(child: ET.Element) -> ET.Element:
            return _tag("mtd", child)

        rows = [_tag("mtr", cell(a), cell(_tag("mrow", _tag("mtext", text="if "), c))) for a, c in some]
        rows.append(_tag("mtr", cell(last), cell(_tag("mtext", text="else"))))
        return _tag("mrow", _op("{"), _tag("mtable", *rows))


def _table_names() -> dict[str, str]:
    return {table_word(name): name for name in TABLES}


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
    f = _named(name)
    return f"{f.result.name} = {_Text().write(_read(f))}"


@cache
def mathml(name: str) -> str:
    """Return a formula as presentation MathML, well formed and with its own namespace."""
    f = _named(name)
    body = _row(_MathML.symbol(f.result.name), _op("="), _MathML().write(_read(f)))
    math = _tag("math", body)
    math.set("xmlns", "http://www.w3.org/1998/Math/MathML")
    return ET.tostring(math, encoding="unicode")


# -------------------------------------------------------------------------------------------------- numbers and units


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
