"""The worked lines behind a comparison: each formula in symbols, the same with numbers and units, and what comes out.

The numbers of a line are in one coherent set of units and carry as many digits as it takes to find the printed result
again with a calculator; a result has four significant digits unless told otherwise.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field, replace
from functools import lru_cache
from typing import Any

import numpy as np

from shaftcheck.answer import Line, Oar
from shaftcheck.border.shown import System
from shaftcheck.checks.compare import Use
from shaftcheck.formula import TABLES
from shaftcheck.nodes import Node, Place, where_in
from shaftcheck.show.amounts import PLAIN, Dimension, dimension, moves, shown, significant, spoken
from shaftcheck.show.chain import Chain, Leaf, Step, Tree, evaluated
from shaftcheck.show.symbols import number, ratio, symbol, symbolic, unevaluated
from shaftcheck.show.typeset import MathML, Text, document, equals
from shaftcheck.show.way import Way
from shaftcheck.trace import Sym
from shaftcheck.traced import node_of
from shaftcheck.trail import Trail, trail

__all__ = ["Quantity", "WorkedLine", "lines_of", "worked"]

MOST_DIGITS = 17
NUMBER_DIGITS = 6
"""significant digits of a number of the method in arithmetic, more only where it takes more to find the result again"""
ARITHMETIC = "arithmetic on what stands before it (by definition)"
NOTHING = 1e-10
"""what is this small beside what it is the sum of is nothing but rounding"""


@dataclass(frozen=True, slots=True)
class Quantity:
    """A symbol with its number as printed."""

    key: str
    """name of the formula's argument, or of the symbol in arithmetic; empty for a result"""
    symbol: str
    meaning: str
    number: str
    """as printed"""
    unit: str
    """of the printed number; empty for a plain one"""
    value: float
    """what the printed number stands for, in that unit"""
    line: int | None = None
    """the line that it comes from, counted from 1"""
    origin: str = ""
    """where it was told, or what it rests on, where it comes from no line"""

    @property
    def text(self) -> str:
        """Return number and unit."""
        return f"{self.number} {self.unit}".rstrip()


@dataclass(frozen=True, slots=True)
class WorkedLine:
    """One formula, table, sum or solution with the numbers that went into it and what came out."""

    kind: str
    """formula, table, arithmetic, solved (by iteration or integral, in words) or told"""
    name: str
    """of the formula or table; empty for others"""
    words: str
    """what it is; of what was solved: what was solved"""
    given: tuple[Quantity, ...]
    result: Quantity
    source: str
    valid: str
    """range in which it holds; empty where it has no bounds"""
    expression: Any = field(default=None, repr=False, compare=False)
    """in symbols, as sympy has it; None where it was solved or told"""
    in_numbers: Any = field(default=None, repr=False, compare=False)
    """the same where it is worked with other symbols: a table between two of its rows"""
    meets: tuple[Quantity, ...] = ()
    """both sides of the equation that what was solved meets, worked in later lines"""
    rows: tuple[tuple[str, str], ...] = ()
    """of a table: its symbols in `in_numbers` with their numbers"""

    @property
    def equation(self) -> str:
        """Return the formula in symbols, as text."""
        return f"{self.result.symbol} = {Text().write(self.expression)}" if self.expression is not None else ""

    @property
    def working(self) -> str:
        """Return the formula in numbers with units, as text."""
        return Text(self._amounts()).write(self._worked()) if self.expression is not None else ""

    @property
    def equation_mathml(self) -> str:
        """Return the formula in symbols as MathML."""
        if self.expression is None:
            return document(MathML.symbol(self.result.symbol))
        return document(equals(MathML.symbol(self.result.symbol), MathML().write(self.expression)))

    @property
    def working_mathml(self) -> str:
        """Return the formula in numbers, with its result, as MathML."""
        sides = [MathML(self._amounts()).write(self._worked())] if self.expression is not None else []
        result = MathML.amount(self.result.number, self.result.unit)
        return document(equals(MathML.symbol(self.result.symbol), *sides, result))

    @property
    def text(self) -> str:
        """Return the line: the formula, the same with numbers, and its result."""
        given = ", ".join(f"{q.symbol} = {q.text}" for q in self.given)
        if self.expression is None:
            return f"{self.result.symbol} = {self.result.text}: {self.words}{f'; {given}' if given else ''}"
        working = self.working
        return f"{self.equation} = {working}{'' if working == self.result.text else f' = {self.result.text}'}"

    def _worked(self) -> Any:
        return self.expression if self.in_numbers is None else self.in_numbers

    def _amounts(self) -> dict[str, tuple[str, str]]:
        return {q.symbol: (q.number, q.unit) for q in self.given} | {name: (n, "") for name, n in self.rows}


# ------------------------------------------------------------------------------------------------- of a comparison


@lru_cache(maxsize=4)
def _trail(oar: Oar) -> tuple[Trail, Way]:
    places = sorted({line.x for line in oar.lines if not np.isnan(line.x)})
    return trail(oar.shaft, float(oar.beam.own), places, oar.reading.woods), Way()


def worked(oar: Oar, line: Line, *, system: System = "metric", digits: int = 4) -> tuple[WorkedLine, ...]:
    """Return the worked lines of one comparison of an oar, from what was told to its use.

    Where what is there and what may be there are not behind the use, their lines stand before it. A number that was
    solved or integrated stands in words with what went in; the equation that it meets follows it, both sides. Where
    there is nothing to work, as for a rule that is kept or not, the one line says so.

    Parameters
    ----------
    line : one of `oar.lines`
    digits : significant digits of each result; what goes in has as many as it takes to find the result again

    Raises
    ------
    LookupError
        if the oar has no such comparison.
    """
    run, way = _trail(oar)
    use, at = run.place(line.check, line.case, line.x)
    chain = Chain(way=way)
    for array, sym in (
        (use.demand, Sym("D", use.unit, "what is there, at the loads as they are")),
        (use.capacity, Sym("C", use.unit, "what may be there")),
        (use.use, Sym("U", "", f"use: {line.check}")),
    ):
        node, place = _at(node_of(array), at)
        last = chain.follow(node, place, sym, use.source if array is not use.capacity else "")
    if last is None:
        chain.steps.append(_told(use, line))
    return _lines(chain, system, digits)


def lines_of(array: Any, at: Place, *, system: System = "metric", digits: int = 4) -> tuple[WorkedLine, ...]:
    """Return the worked lines behind one number of an array that was listened to, first things first."""
    chain = Chain()
    node = node_of(array)
    chain.follow(node, where_in(np.shape(node.value), at), Sym("y", "", ""))
    return _lines(chain, system, digits)


def _at(node: Node, at: Place) -> tuple[Node, Place]:
    return node, where_in(np.shape(node.value), at)


def _told(use: Use, line: Line) -> Step:
    if np.isnan(line.use):
        words = f"not known: {use.unknown}"
    elif np.isinf(line.use):
        words = f"beyond any limit, nothing is left of what may be there: {use.source}"
    else:
        words = use.source
    return Step("told", Sym("U", "", f"use: {line.check}"), line.use, PLAIN, {}, words=words, source=use.source)


# ------------------------------------------------------------------------------------------------------- one line


def _lines(chain: Chain, system: System, digits: int) -> tuple[WorkedLine, ...]:
    return tuple(_line(step, system, digits) for step in chain.steps)


def _line(step: Step, system: System, digits: int) -> WorkedLine:
    moving = moves([step.dimension, *(leaf.dimension for leaf in step.given.values())])

    def quantity(key: str, sym: Sym, value: float, size: Dimension, more: int, leaf: Leaf | None = None) -> Quantity:
        shows = shown(size, system, moving)
        number = significant(value * shows.scale, more)
        line = None if leaf is None or leaf.step is None else leaf.step + 1
        origin = "" if leaf is None else leaf.origin
        return Quantity(key, sym.name, sym.meaning, number, shows.unit, spoken(number), line, origin)

    value = 0.0 if _is_nothing(step) else step.value
    result = quantity("", step.sym, value, step.dimension, digits)
    full = step.tree
    given: tuple[Quantity, ...] = ()
    for more in range(digits, MOST_DIGITS + 1):
        given = tuple(quantity(k, leaf.sym, leaf.value, leaf.dimension, more, leaf) for k, leaf in step.given.items())
        step = step if full is None else replace(step, tree=_rounded(full, max(more, NUMBER_DIGITS)))
        again = _again(step)
        if again is None or np.isnan(value):
            break
        found = again({q.key: q.value for q in given})
        if significant(found, digits) == result.number or (value == 0.0 and _small(found, given)):
            break
    line = WorkedLine(
        kind=step.kind,
        name=step.call.formula.name if step.call is not None else "",
        words=step.words or step.sym.meaning,
        given=given,
        result=result,
        source=step.source or ARITHMETIC,
        valid=", ".join(_valid(step, system, moving)),
        meets=tuple(quantity("", leaf.sym, leaf.value, leaf.dimension, digits, leaf) for leaf in step.meets),
    )
    return _written(line, step, digits)


def _rounded(tree: Tree, digits: int) -> Tree:
    """Return a tree with its numbers as they are printed; those that print as a ratio stay."""
    if tree.kind == "number":
        whole = not np.isfinite(tree.number) or ratio(tree.number) is not None
        return tree if whole else replace(tree, number=float(f"{tree.number:.{digits - 1}e}"))
    return replace(tree, parts=tuple(_rounded(p, digits) for p in tree.parts))


def _is_nothing(step: Step) -> bool:
    """Return whether a sum came to no more than the rounding of its terms."""
    if step.tree is None or step.tree.kind != "sum":
        return False
    values = {n: leaf.value for n, leaf in step.given.items()}
    return abs(step.value) < NOTHING * max(abs(evaluated(t, values)) for t in step.tree.parts)


def _small(found: float, given: tuple[Quantity, ...]) -> bool:
    return abs(found) <= 1e3 * NOTHING * max((abs(q.value) for q in given), default=0.0)


def _again(step: Step) -> Callable[[Mapping[str, float]], float] | None:
    """Return how a line is worked again from its numbers; None where it was solved or told."""
    if step.tree is not None:
        tree = step.tree
        return lambda values: evaluated(tree, values)
    if step.call is None:
        return None
    f = step.call.formula

    def compute(values: Mapping[str, float]) -> float:
        with np.errstate(all="ignore"):
            return float(f.compute(**{k: np.asarray(v) for k, v in values.items()}))

    return compute


def _valid(step: Step, system: System, moving: bool) -> list[str]:
    if step.call is None:
        return []
    out = []
    for key, leaf in step.given.items():
        sym = step.call.formula.args[key]
        shows = shown(leaf.dimension if sym.unit.startswith("any") else dimension(sym.unit), system, moving)
        low, high = (
            None if b is None else f"{significant(b * shows.scale, 4)} {shows.unit if b else ''}".rstrip()
            for b in (sym.low, sym.high)
        )
        if low is not None and high is not None:
            out.append(f"{low} <= {sym.name} <= {high}")
        elif low is not None:
            out.append(f"{sym.name} >= {low}")
        elif high is not None:
            out.append(f"{sym.name} <= {high}")
    return out


def _written(line: WorkedLine, step: Step, digits: int) -> WorkedLine:
    """Return a line with its expressions."""
    if step.tree is not None:
        return replace(line, expression=_expression(step.tree))
    if step.kind == "formula":
        return replace(line, expression=symbolic(line.name))
    if step.kind != "table":
        return line
    in_numbers, rows = _between(step.call.formula.name, line, digits)
    return replace(line, expression=symbolic(line.name), in_numbers=in_numbers, rows=rows)


@lru_cache(maxsize=4096)
def _expression(tree: Tree) -> Any:
    """Return a tree as sympy has it, in the order in which it was computed."""
    if tree.kind == "leaf":
        return symbol(tree.name)
    if tree.kind == "number":
        return number(tree.number)
    parts = [_expression(p) for p in tree.parts]
    if tree.kind != "sum":
        return unevaluated(tree.kind, *parts)
    out = parts[0] if tree.signs[0] > 0 else unevaluated("negative", parts[0])
    for sign, part in zip(tree.signs[1:], parts[1:], strict=True):
        out = unevaluated("add" if sign > 0 else "subtract", out, part)
    return out


def _between(name: str, line: WorkedLine, digits: int) -> tuple[Any, tuple[tuple[str, str], ...]]:
    """Return how a table is read in a straight line between two rows, with those rows."""
    table, (x,) = TABLES[name], line.given
    i = int(np.clip(np.searchsorted(table.x, x.value, side="right") - 1, 0, len(table.x) - 2))
    near = next((k for k in (i, i + 1) if abs(table.x[k] - x.value) <= 1e-9), None)
    if near is not None:
        return symbol("y_a"), (("y_a", significant(table.y[near], digits)),)
    row = {"x_a": table.x[i], "x_b": table.x[i + 1], "y_a": table.y[i], "y_b": table.y[i + 1]}
    x_a, x_b, y_a, y_b = (Tree("leaf", name=n) for n in row)
    rise, run, way = (
        Tree("sum", pair, signs=(1, -1)) for pair in ((y_b, y_a), (x_b, x_a), (Tree("leaf", name=x.symbol), x_a))
    )
    tree = Tree("sum", (y_a, Tree("divide", (Tree("multiply", (rise, way)), run))), signs=(1, 1))
    for more in range(digits, MOST_DIGITS + 1):
        rows = tuple((n, significant(v, more)) for n, v in row.items())
        found = evaluated(tree, {n: spoken(v) for n, v in rows} | {x.symbol: x.value})
        if significant(found, digits) == line.result.number:
            break
    return _expression(tree), rows
