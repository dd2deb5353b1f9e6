"""What an element of an array really is: picks and choices followed, and what adds nothing left out."""

from __future__ import annotations

from fractions import Fraction

import numpy as np

from shaftcheck.nodes import Condition, Done, Given, Literal, Named, Node, Picked, Place, Solved, where_in
from shaftcheck.show.amounts import PLAIN, Dimension, dimension
from shaftcheck.trace import ANY, Sym

__all__ = ["Way", "size_of", "value_of"]

TINY = 1e-9
"""what only keeps a divisor from nothing, or a place on one side of another"""


def size_of(*syms: Sym) -> Dimension:
    """Return the dimension of the first symbol that has one of its own."""
    own = [s for s in syms if not s.unit.startswith(ANY)]
    return dimension(own[0].unit) if own else PLAIN


def value_of(node: Node, at: Place) -> float:
    """Return the value of an element."""
    return float(np.asarray(node.value)[where_in(np.shape(node.value), at)])


class Way:
    """The way back through one trace; what was found once is remembered."""

    def __init__(self) -> None:
        self._found: dict[tuple[int, Place], tuple[Node, Node, Place]] = {}
        self._many: dict[tuple[int, Place], int] = {}
        self._sizes: dict[tuple[int, Place], Dimension] = {}

    def reduced(self, node: Node, at: Place) -> tuple[Node, Place]:
        """Return the node that holds an element under its own name or operation, and the place in it."""
        at = where_in(np.shape(node.value), at)
        key = (id(node), at)
        if key not in self._found:
            self._found[key] = (node, *self._reduced(node, at))  # the node is kept: its identity is the key
        _, found, place = self._found[key]
        return found, place

    def _reduced(self, node: Node, at: Place) -> tuple[Node, Place]:
        if isinstance(node, Picked):
            return self.reduced(*node.follow(at))
        if isinstance(node, Named):
            inner, inside = self.reduced(node.part, at)
            known = isinstance(inner, Named | Given | Literal | Condition)
            return (inner, inside) if known else (node, at)
        if isinstance(node, Done):
            simpler = self._simpler(node, [where_in(np.shape(p.value), at) for p in node.parts])
            return (node, at) if simpler is None else self.reduced(*simpler)
        return node, at

    def of_many(self, node: Node, at: Place) -> int:
        """Return how many of the many an element is made of; none of them where they have gone into a quantity."""
        node, at = self.reduced(node, at)
        key = (id(node), at)
        if key not in self._many:
            count = int(isinstance(node, Solved) and node.many)
            if isinstance(node, Named):
                inside = self.of_many(node.part, at)
                count = inside if inside == 1 else 0
            elif isinstance(node, Done):
                count = sum(self.of_many(p, where_in(np.shape(p.value), at)) for p in node.parts)
            self._many[key] = count
        return self._many[key]

    def size(self, node: Node, at: Place) -> Dimension:
        """Return the dimension of an element, as far as symbols and arithmetic tell it."""
        node, at = self.reduced(node, at)
        key = (id(node), at)
        if key not in self._sizes:
            self._sizes[key] = self._size(node, at)
        return self._sizes[key]

    def _size(self, node: Node, at: Place) -> Dimension:
        if isinstance(node, Named | Solved | Given):
            return size_of(node.sym)
        if isinstance(node, Done):
            sizes = [self.size(p, where_in(np.shape(p.value), at)) for p in node.parts]
            if node.name in ("multiply", "divide"):
                return sizes[0].times(sizes[1], Fraction(1 if node.name == "multiply" else -1))
            return max(sizes, key=lambda s: s != PLAIN)
        if isinstance(node, Literal) and node.constant is not None:
            return size_of(node.constant.sym)
        return PLAIN

    def number(self, node: Node, at: Place) -> float | None:
        """Return the number that an element is, if it is no more than that."""
        node, at = self.reduced(node, at)
        if isinstance(node, Condition) or (isinstance(node, Literal) and node.constant is None):
            return value_of(node, at)
        return None

    def _simpler(self, node: Done, places: list[Place]) -> tuple[Node, Place] | None:
        parts = list(zip(node.parts, places, strict=True))
        numbers = [self.number(*p) for p in parts]
        if node.name == "positive":
            return parts[0]
        if all(n is not None for n in numbers):
            with np.errstate(all="ignore"):
                return Literal(getattr(np, node.name)(*numbers), None), ()
        if node.name in ("add", "subtract"):
            if numbers[1] is not None and abs(numbers[1]) <= TINY:
                return parts[0]
            if numbers[0] is not None and abs(numbers[0]) <= TINY and node.name == "add":
                return parts[1]
        elif node.name in ("multiply", "divide"):
            if numbers[0] == 0.0 or (numbers[1] == 0.0 and node.name == "multiply"):
                return Literal(0.0, None), ()
            if numbers[1] == 1.0:
                return parts[0]
            if numbers[0] == 1.0 and node.name == "multiply":
                return parts[1]
        elif node.name in ("minimum", "maximum", "fmin", "fmax"):
            values = [value_of(*p) for p in parts]
            chosen = int(values[1] < values[0]) if node.name in ("minimum", "fmin") else int(values[1] > values[0])
            if np.isnan(values[1]) and not np.isnan(values[0]):
                chosen = int(node.name in ("minimum", "maximum"))
            bound = numbers[chosen]
            if bound is not None and abs(bound) <= TINY:  # what is divided by is kept above nothing
                return Literal(value_of(*parts[chosen]), None), ()
            if numbers[1 - chosen] is not None:  # a bound of the method that does not tell
                return parts[chosen]
        elif node.name in ("absolute", "fabs"):
            inner, inside = self.reduced(*parts[0])
            if isinstance(inner, Given) and value_of(inner, inside) >= 0.0:
                return inner, inside
        return None
