"""How an expression is written: as one line of text, or as MathML. What it gets are sympy's own trees, unevaluated."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Mapping, Sequence
from decimal import Decimal
from itertools import groupby
from typing import Any, Generic, TypeVar
from xml.etree import ElementTree as ET

from shaftcheck.formula import TABLES

__all__ = ["GREEK", "MathML", "Text", "Writer", "document", "equals", "table_word"]

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


class Writer(Generic[T]):
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
    amount: Callable[[str, str], T]
    """a number as printed, with its unit"""

    def __init__(self, amounts: Mapping[str, tuple[str, str]] | None = None) -> None:
        self.amounts = amounts or {}
        """number and unit that stand for a symbol, by its name"""

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
            text = _decimal(e)
            if "e" in text:
                return (_SUM if _negative(e) else _POWER), self.amount(text, "")
            return (_SUM if _negative(e) else _ATOM), self.atom(text)
        if e.is_Symbol and e.name in self.amounts:
            number, unit = self.amounts[e.name]
            level = _SUM if number.startswith("-") else _POWER if unit or "e" in number else _ATOM
            return level, self.amount(number, unit)
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
                begins = e.is_Symbol and e.name in self.amounts
                out.append((_POWER, self.power(piece, self.atom(str(n))), bool(begins)))
            else:
                begins = any(
                    b.is_Number or (b.is_Symbol and b.name in self.amounts)
                    for b in (e, *(e.args[:1] if e.is_Pow else ()))
                )
                out += [(level, piece, bool(begins))] * n
        return out


def _decimal(number: Any) -> str:
    """Return a rational number as the decimal that was typed, with a power of ten where it is small, or as a ratio."""
    p, q = int(number.p), int(number.q)
    ends = q
    for prime in (2, 5):
        while ends % prime == 0:
            ends //= prime
    if ends > 1:
        return f"{p}/{q}"
    decimal = Decimal(p) / Decimal(q)
    if decimal.adjusted() >= _SMALLEST:
        return format(decimal, "f")
    mantissa, _, power = format(decimal.normalize(), "e").partition("e")
    return f"{mantissa}e{int(power)}"


_SMALLEST = -6
"""power of ten below which a number is written with one"""


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


class Text(Writer[str]):
    """One line of ASCII."""

    least = {  # noqa: RUF012
        "term": _FRACTION, "factor": _POWER, "numerator": _PRODUCT, "denominator": _POWER, "base": _ATOM,
        "exponent": _ATOM, "side": _SUM,
    }  # fmt: skip

    atom = staticmethod(str)
    symbol = staticmethod(str)

    @staticmethod
    def amount(number: str, unit: str) -> str:
        """Return a number with its unit."""
        return f"{number} {unit}".rstrip()

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


GREEK = {
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
    return _tag("mn", text=text) if text.isdigit() else _tag("mi", text=GREEK.get(text, text))


def _unit(text: str) -> ET.Element:
    """Return a unit, upright."""
    out: list[ET.Element] = []
    for piece in re.findall(r"[A-Za-z0-9]+(?:\^[\d.]+)?|[/()]|\s", text):
        name, _, power = piece.partition("^")
        if piece in "/()":
            out.append(_op(piece))
            continue
        word = _tag("mtext", text="\u00a0" if piece.isspace() else name)
        out.append(_tag("msup", word, _tag("mn", text=power)) if power else word)
    return _row(*out)


class MathML(Writer[ET.Element]):
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
            return _tag("mfrac", MathML.atom(over), _tag("mn", text=under))
        if text.startswith("-"):
            return _tag("mrow", _op(_MINUS), _tag("mn", text=text[1:]))
        return _tag("mn", text=text)

    @staticmethod
    def amount(number: str, unit: str) -> ET.Element:
        """Return a number with its unit."""
        mantissa, _, power = number.partition("e")
        if not mantissa.lstrip("-")[:1].isdigit():
            return _tag("mtext", text=number)
        out = [MathML.atom(mantissa)]
        if power:
            out += [_op("\u00d7"), _tag("msup", _tag("mn", text="10"), MathML.atom(power))]
        if unit:
            gap = _tag("mspace")
            gap.set("width", "0.17em")
            out += [gap, _unit(unit)]
        return _row(*out)

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
        return _tag("mrow", head, _op(_APPLY), MathML.brackets(_row(*inside)))

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


def equals(*sides: ET.Element) -> ET.Element:
    """Return sides with equal signs between them."""
    return MathML.relation("=", sides)


def document(body: ET.Element) -> str:
    """Return MathML as text, well formed and with its own namespace."""
    math = _tag("math", body)
    math.set("xmlns", "http://www.w3.org/1998/Math/MathML")
    return ET.tostring(math, encoding="unicode")


def _table_names() -> dict[str, str]:
    return {table_word(name): name for name in TABLES}


def table_word(name: str) -> str:
    """Return a table's name as one word, under which it stands in an expression."""
    return "table_" + re.sub(r"\W+", "_", name).strip("_")
