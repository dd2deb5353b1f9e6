"""The way back from a number: which formula, sum or solution made it, of what, down to what was told.

What is read is the trace of a run that was listened to (`shaftcheck.trace`). Picks, shapes and choices are followed in
silence; a formula gives a line; arithmetic between formulas gives one line, of as many operations as stand between
quantities that have names.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field, replace
from fractions import Fraction
from typing import Any

import numpy as np

from shaftcheck.nodes import (
    Condition,
    Done,
    Dotted,
    Given,
    Literal,
    Lost,
    Made,
    Named,
    Node,
    Place,
    Solved,
    Summed,
    where_in,
)
from shaftcheck.show.amounts import PLAIN, Dimension, dimension
from shaftcheck.show.way import Way, size_of, value_of
from shaftcheck.trace import ANY, Sym

__all__ = ["Chain", "Leaf", "Step", "Tree", "evaluated"]

_METHOD, _NONE = "a number of the method", "there is none here"
_BALANCE = "equilibrium (by definition)"
_MANY = "weights of the stretches of the shaft, each where it acts, by integration and added up"
_TOGETHER = Sym("W", ANY, "of the shaft's own weight, all its stretches together")


@dataclass(frozen=True, slots=True, eq=False)
class Leaf:
    """A quantity as a line uses it: its name there, its value, and the step it comes from, or where it was told."""

    sym: Sym
    value: float
    dimension: Dimension
    step: int | None
    origin: str


@dataclass(frozen=True, slots=True)
class Tree:
    """Arithmetic between quantities: a number, the name of a leaf, or an operation on such."""

    kind: str
    """number, leaf, sum, or the name of a numpy function"""
    parts: tuple[Tree, ...] = ()
    number: float = 0.0
    name: str = ""
    signs: tuple[int, ...] = ()
    """of a sum's terms"""

    def names(self) -> set[str]:
        """Return the names of all leaves."""
        return {self.name} if self.kind == "leaf" else {n for p in self.parts for n in p.names()}


LEAST = 1e-12
"""a force's part in a moment that is smaller beside the greatest is left out of the line"""
ZERO, ONE, MINUS = Tree("number"), Tree("number", number=1.0), Tree("number", number=-1.0)


@dataclass(frozen=True, slots=True, eq=False)
class Step:
    """One line's worth: what came out, of what."""

    kind: str
    """formula, table, arithmetic, solved or told"""
    sym: Sym
    value: float
    dimension: Dimension
    given: dict[str, Leaf]
    """by the name of a formula's argument, or of the leaf in the arithmetic"""
    call: Any = None
    tree: Tree | None = None
    words: str = ""
    source: str = ""
    meets: list[Leaf] = field(default_factory=list)
    """both sides of the equation that a solution meets"""


@dataclass(slots=True, eq=False)
class Chain:
    """Steps in order, each made once."""

    way: Way = field(default_factory=Way)
    steps: list[Step] = field(default_factory=list)
    lost: list[str] = field(default_factory=list)
    """where the way ended that should not have"""
    _made: dict[tuple[int, Place], int | None] = field(default_factory=dict)
    _said: dict[Any, int] = field(default_factory=dict)
    _kept: list[Node] = field(default_factory=list)
    """nodes whose identity is a key"""

    def follow(self, node: Node, at: Place, sym: Sym, source: str = "") -> int | None:
        """Add the steps behind an element, its own last; return its own, or None where it was told or is a number.

        Parameters
        ----------
        sym : what to call it if it has no name of its own
        """
        node, at = self.way.reduced(node, at)
        if isinstance(node, Given | Literal | Condition):
            return None
        key = (id(node), at)
        if key in self._made:
            return self._made[key]
        self._kept.append(node)
        step = self._step(node, at, sym, source)
        if key not in self._made:  # else made on the way: what was solved meets an equation that it stands in
            number = step.tree is not None and step.tree.kind == "number"
            self._made[key] = None if number else self._once(step)
        return self._made[key]

    def _once(self, step: Step) -> int:
        """Return the number of a step, added if there is none that says the same."""
        said = (
            step.kind,
            step.sym,
            step.value,
            step.call.formula.name if step.call is not None else step.tree,
            step.words,
            tuple((k, leaf.sym, leaf.value, leaf.step, leaf.origin) for k, leaf in step.given.items()),
        )
        if said not in self._said:
            self._said[said] = len(self.steps)
            self.steps.append(step)
        return self._said[said]

    def _step(self, node: Node, at: Place, sym: Sym, source: str) -> Step:
        inner, inside = node, at
        if isinstance(node, Named):
            sym, source = node.sym, node.source or source
            inner, inside = self.way.reduced(node.part, at)
        value = value_of(node, at)
        if isinstance(inner, Made):
            call = inner.call
            given = {
                key: self.leaf(arg, where_in(np.shape(arg.value), inside), call.formula.args[key])
                for key, arg in call.args.items()
            }
            result = sym if isinstance(node, Named) else call.formula.result
            kind = "table" if call.formula.name in _tables() else "formula"
            one = _any_of(call.formula, given)
            for key, leaf in given.items():
                if call.formula.args[key].unit == ANY and leaf.dimension == PLAIN:  # nothing of whatever it is
                    given[key] = replace(leaf, dimension=one)
            size = _power_of(one, call.formula.result.unit)
            return Step(kind, result, value, size, given, call=call, source=call.formula.source)
        if isinstance(inner, Solved):
            return self._solved(node, at, inner, inside, sym if isinstance(node, Named) else inner.sym)
        if isinstance(inner, Lost):
            self.lost.append(f"{sym.name}: {inner.by}")
            return Step("told", sym, value, size_of(sym), {}, words=f"not followed further ({inner.by})")
        names = _Names(self, sym.name)
        tree = names.tree(inner, inside)
        names.leaves = {n: leaf for n, leaf in names.leaves.items() if n in tree.names()}
        own = treesize_of(tree, names.leaves) or PLAIN if sym.unit == ANY else dimension(sym.unit)
        return Step("arithmetic", sym, value, own, names.leaves, tree=tree, source=source)

    def _solved(self, node: Node, at: Place, inner: Solved, inside: Place, sym: Sym) -> Step:
        given: dict[str, Leaf] = {}
        for s, part in inner.inputs:
            given[s.name] = self.leaf(part, _near(np.shape(part.value), inside), s)
        step = Step(
            "solved", sym, value_of(node, at), dimension(sym.unit), given, words=inner.words, source=inner.source
        )
        left, right = inner.sides.left, inner.sides.right
        if left is not None and right is not None:
            for key in {(id(inner), inside), (id(node), at)}:
                self._made[key] = len(self.steps)
            self._kept.append(inner)
            self.steps.append(step)
            for side, name in ((left, "left"), (right, "right")):
                side_at = _near(np.shape(side.value), inside)
                step.meets.append(self.leaf(side, side_at, Sym(name, ANY, f"{name} side of what is solved")))
        return step

    def leaf(self, node: Node, at: Place, sym: Sym) -> Leaf:
        """Return a quantity as a line uses it, with the steps behind it added."""
        node, at = self.way.reduced(node, at)
        value = value_of(node, at)
        step = self.follow(node, at, sym)
        if step is not None:
            made = self.steps[step]
            words = made.sym.meaning or sym.meaning
            return Leaf(Sym(sym.name, sym.unit, words), value, made.dimension, step, "")
        if isinstance(node, Given):
            return Leaf(Sym(sym.name, sym.unit, node.sym.meaning), value, size_of(sym, node.sym), None, node.origin)
        origin, words = _METHOD, sym.meaning
        if isinstance(node, Literal) and node.constant is not None:
            origin, words = node.constant.source, node.constant.sym.meaning
        elif value == 0.0:
            origin = _NONE
        elif np.size(node.value) > 1:
            origin = f"one of {np.size(node.value)} places that are tried"
        return Leaf(Sym(sym.name, sym.unit, words), value, size_of(sym), None, origin)


class _Names:
    """The leaves of one line, each with a name of its own."""

    def __init__(self, chain: Chain, taken: str) -> None:
        self.chain = chain
        self.taken = taken
        self.leaves: dict[str, Leaf] = {}
        self.known: dict[tuple[int, Place], str] = {}

    def name(self, key: tuple[int, Place], leaf: Leaf) -> str:
        """Keep a leaf under a name that no other of the line has."""
        if key not in self.known:
            base, n = leaf.sym.name, 2
            name = base
            while name in self.leaves or name == self.taken:
                name = f"{base}{n}" if "_" in base else f"{base}_{n}"
                n += 1
            sym = Sym(name, leaf.sym.unit, leaf.sym.meaning)
            self.leaves[name] = Leaf(sym, leaf.value, leaf.dimension, leaf.step, leaf.origin)
            self.known[key] = name
        return self.known[key]

    def tree(self, node: Node, at: Place) -> Tree:
        """Return the arithmetic behind an element, down to what has a name."""
        node, at = self.chain.way.reduced(node, at)
        if isinstance(node, Literal | Condition):
            if isinstance(node, Literal) and node.constant is not None:
                constant = node.constant
                leaf = Leaf(constant.sym, value_of(node, at), size_of(constant.sym), None, constant.source)
                return Tree("leaf", name=self.name((id(node), at), leaf))
            return Tree("number", number=value_of(node, at))
        if isinstance(node, Done | Summed | Dotted):
            terms = self._sum(node, at)
            if len(terms) == 1 and terms[0][0] == 1:
                return terms[0][1]
            if not terms:
                return ZERO
            return Tree("sum", tuple(t for _, t in terms), signs=tuple(sign for sign, _ in terms))
        sym = node.sym if isinstance(node, Given | Named | Solved) else _own_sym(node)
        leaf = self.chain.leaf(node, at, sym)
        return Tree("leaf", name=self.name((id(node), at), leaf))

    def _sum(self, node: Node, at: Place) -> list[tuple[int, Tree]]:
        """Return an element as a sum of terms with their signs, those of many stretches drawn together."""
        terms = self._terms(node, at, 1)
        many = [t for t in terms if t.many]
        if len(many) < 2:
            return _cancelled([t.signed() for t in terms])
        trees = _cancelled([t.signed() for t in terms if not t.many])
        value = sum(t.sign * t.value for t in many)
        step = Step(
            "solved", _TOGETHER, value, many[0].size, {}, words=f"{_MANY}, {len(many)} of them", source=_BALANCE
        )
        self.chain.steps.append(step)
        leaf = Leaf(_TOGETHER, value, step.dimension, len(self.chain.steps) - 1, "")
        return [(1, Tree("leaf", name=self.name((id(step), ()), leaf))), *trees]

    def _terms(self, node: Node, at: Place, sign: int) -> list[_Term]:
        """Return an element as a sum of terms; one term where it is no sum."""
        node, at = self.chain.way.reduced(node, at)
        if isinstance(node, Summed):
            return [t for place in node.terms(at) for t in self._terms(node.part, place, sign)]
        if isinstance(node, Dotted):
            terms = [t for pair in node.terms(at) if (t := self._product(node, *pair, sign)) is not None]
            most = max((abs(t.value) for t in terms), default=0.0)
            return [t for t in terms if abs(t.value) > LEAST * most]
        if isinstance(node, Done):
            places = [where_in(np.shape(p.value), at) for p in node.parts]
            pairs = list(zip(node.parts, places, strict=True))
            if node.name in ("add", "subtract"):
                second = sign if node.name == "add" else -sign
                return [*self._terms(*pairs[0], sign), *self._terms(*pairs[1], second)]
            if node.name == "negative":
                return self._terms(*pairs[0], -sign)
            return [
                _Term(
                    sign,
                    value_of(node, at),
                    self.chain.way.of_many(node, at) > 0,
                    lambda: _operation(node.name, tuple(self.tree(*p) for p in pairs)),
                    self.chain.way.size(node, at),
                )
            ]
        if self.chain.way.number(node, at) == 0.0:
            return []
        return [
            _Term(
                sign,
                value_of(node, at),
                self.chain.way.of_many(node, at) > 0,
                lambda: self.tree(node, at),
                self.chain.way.size(node, at),
            )
        ]

    def _product(self, node: Dotted, left: Place, right: Place, sign: int) -> _Term | None:
        value = value_of(node.left, left) * value_of(node.right, right)
        if value == 0.0:
            return None
        size = self.chain.way.size(node.left, left).times(self.chain.way.size(node.right, right))
        many = self.chain.way.of_many(node.left, left) + self.chain.way.of_many(node.right, right) > 0
        return _Term(
            sign,
            value,
            many,
            lambda: _operation("multiply", (self.tree(node.left, left), self.tree(node.right, right))),
            size,
        )


@dataclass(frozen=True, slots=True, eq=False)
class _Term:
    """One term of a sum, its tree not made before it is needed."""

    sign: int
    value: float
    many: bool
    tree: Callable[[], Tree]
    size: Dimension

    def signed(self) -> tuple[int, Tree]:
        """Return the term's tree and its sign, with what is negative in it."""
        tree = self.tree()
        return (-self.sign, tree.parts[0]) if tree.signs == (-1,) else (self.sign, tree)


# ------------------------------------------------------------------------------------------------------ arithmetic


def _operation(name: str, parts: tuple[Tree, ...]) -> Tree:
    """Return an operation on trees, without what changes nothing."""
    if name == "multiply" and ZERO in parts:
        return ZERO
    if name == "multiply" and ONE in parts:
        return parts[1] if parts[0] == ONE else parts[0]
    if name == "multiply" and MINUS in parts:
        return Tree("sum", (parts[1] if parts[0] == MINUS else parts[0],), signs=(-1,))
    if name in ("multiply", "divide") and any(p.signs == (-1,) for p in parts):
        made = _operation(name, tuple(p.parts[0] if p.signs == (-1,) else p for p in parts))
        return made if sum(p.signs == (-1,) for p in parts) == 2 else Tree("sum", (made,), signs=(-1,))
    return Tree(name, parts)


def _cancelled(terms: list[tuple[int, Tree]]) -> list[tuple[int, Tree]]:
    """Return a sum without what it adds and takes away again."""
    out: list[tuple[int, Tree]] = []
    for sign, tree in terms:
        if tree == ZERO:
            continue
        if (-sign, tree) in out:
            out.remove((-sign, tree))
        else:
            out.append((sign, tree))
    return out


def _near(shape: tuple[int, ...], at: Place) -> Place:
    """Return the place in an array that goes with a place of another; its first where they do not go together."""
    try:
        place = where_in(shape, at)
    except ValueError:
        return (0,) * len(shape)
    return tuple(min(i, n - 1) for i, n in zip(place, shape, strict=True))


def _own_sym(node: Node) -> Sym:
    return node.call.formula.result if isinstance(node, Made) else Sym("y", ANY, "")


def _tables() -> Mapping[str, Any]:
    from shaftcheck.formula import TABLES

    return TABLES


# ---------------------------------------------------------------------------------------------------- evaluating it


def evaluated(tree: Tree, values: Mapping[str, float]) -> float:
    """Return what a tree comes to with numbers for its leaves."""
    if tree.kind == "number":
        return tree.number
    if tree.kind == "leaf":
        return values[tree.name]
    parts = [evaluated(p, values) for p in tree.parts]
    if tree.kind == "sum":
        return float(sum(s * p for s, p in zip(tree.signs, parts, strict=True)))
    with np.errstate(all="ignore"):
        return float(getattr(np, tree.kind)(*map(np.float64, parts)))


def treesize_of(tree: Tree, leaves: Mapping[str, Leaf]) -> Dimension | None:
    """Return the dimension of a tree; None for a number, which may be of any."""
    if tree.kind == "number":
        return None
    if tree.kind == "leaf":
        return leaves[tree.name].dimension
    sizes = [treesize_of(p, leaves) for p in tree.parts]
    first = next((s for s in sizes if s is not None), None)
    how: dict[str, Callable[[], Dimension | None]] = {
        "multiply": lambda: (sizes[0] or PLAIN).times(sizes[1] or PLAIN),
        "divide": lambda: (sizes[0] or PLAIN).times(sizes[1] or PLAIN, Fraction(-1)),
        "square": lambda: (sizes[0] or PLAIN).to(Fraction(2)),
        "sqrt": lambda: (sizes[0] or PLAIN).to(Fraction(1, 2)),
        "reciprocal": lambda: (sizes[0] or PLAIN).to(Fraction(-1)),
        "power": lambda: (sizes[0] or PLAIN).to(Fraction(tree.parts[1].number).limit_denominator(24)),
    }
    same = ("sum", "minimum", "maximum", "fmin", "fmax", "absolute", "fabs", "hypot")
    if tree.kind in same:
        return first
    return how[tree.kind]() if tree.kind in how else PLAIN


def _any_of(f: Any, given: Mapping[str, Leaf]) -> Dimension:
    """Return the dimension of what goes into a formula that takes any."""
    known = [
        q.dimension.to(1 / _exponent(f.args[k].unit))
        for k, q in given.items()
        if f.args[k].unit.startswith(ANY) and q.dimension != PLAIN
    ]
    return known[0] if known else PLAIN


def _exponent(unit: str) -> Fraction:
    return Fraction(unit.partition("**")[2] or 1)


def _power_of(one: Dimension, unit: str) -> Dimension:
    """Return the dimension of a result; where it is whatever goes in, that of what went in."""
    return one.to(_exponent(unit)) if unit.startswith(ANY) else dimension(unit)
