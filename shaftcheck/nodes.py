"""What made a number: the kinds of step that a trace is made of, each holding its value and the steps before it."""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Callable
from itertools import accumulate
from typing import Any

import numpy as np

from shaftcheck.frozen import frozen
from shaftcheck.trace import Constant, Sym

__all__ = [
    "Condition",
    "Done",
    "Dotted",
    "Given",
    "Literal",
    "Lost",
    "Made",
    "Named",
    "Node",
    "Picked",
    "Place",
    "Sides",
    "Solved",
    "Summed",
    "where_in",
]

Place = tuple[int, ...]
"""an element of an array: one index an axis"""


def where_in(shape: tuple[int, ...], at: Place) -> Place:
    """Return the place in an array of a shape that broadcasts to the one that `at` is a place of."""
    end = at[len(at) - len(shape) :] if len(shape) <= len(at) else (0,) * (len(shape) - len(at)) + at
    return tuple(0 if n == 1 else int(i) for n, i in zip(shape, end, strict=True))


@frozen(kw_only=False)
class Node:
    """An array with what made it."""

    value: Any


@frozen(kw_only=False)
class Literal(Node):
    """A number of the code."""

    constant: Constant | None


@frozen(kw_only=False)
class Given(Node):
    """What went in: told, of a table, or a place."""

    sym: Sym
    origin: str


@frozen(kw_only=False)
class Done(Node):
    """One operation, element by element."""

    name: str
    parts: tuple[Node, ...]


@frozen(kw_only=False)
class Summed(Node):
    """The sum of a part along some axes, which stay with length 1 or go."""

    part: Node
    axes: tuple[int, ...]
    stay: bool

    def terms(self, at: Place) -> list[Place]:
        """Return the places that add up to one."""
        shape = np.shape(self.part.value)
        rest = list(at if not self.stay else (i for n, i in enumerate(at) if n not in self.axes))
        ranges = [range(shape[n]) if n in self.axes else (rest.pop(0),) for n in range(len(shape))]
        return [tuple(int(r[i]) for r, i in zip(ranges, k, strict=True)) for k in np.ndindex(*map(len, ranges))]


@frozen(kw_only=False)
class Dotted(Node):
    """A matrix product of two arrays of at least two axes."""

    left: Node
    right: Node

    def terms(self, at: Place) -> list[tuple[Place, Place]]:
        """Return the pairs of places whose products add up to one."""
        *batch, i, j = at
        a, b = np.shape(self.left.value), np.shape(self.right.value)
        before = (where_in(a[:-2], tuple(batch)), where_in(b[:-2], tuple(batch)))
        return [((*before[0], i, k), (*before[1], k, j)) for k in range(a[-1])]


@frozen(kw_only=False)
class Picked(Node):
    """Every element is one of an element of the parts: an index, a stack, a choice, another shape."""

    parts: tuple[Node, ...]
    replay: Callable[..., Any]
    """does to arrays of the parts' shapes what was done to the parts"""
    ids: Any = None
    """which element of all the parts' elements, one part after the other; made when first asked"""

    def follow(self, at: Place) -> tuple[Node, Place]:
        """Return the part, and the place in it, that an element was picked from."""
        starts = list(accumulate((np.size(p.value) for p in self.parts), initial=0))
        if self.ids is None:
            numbers = [
                np.arange(start, start + np.size(p.value)).reshape(np.shape(p.value))
                for start, p in zip(starts, self.parts, strict=False)
            ]
            object.__setattr__(self, "ids", np.asarray(self.replay(*numbers)))
        found = int(self.ids[at])
        n = bisect_right(starts, found) - 1
        shape = np.shape(self.parts[n].value)
        return self.parts[n], tuple(int(i) for i in np.unravel_index(found - starts[n], shape)) if shape else ()


@frozen(kw_only=False)
class Made(Node):
    """The result of a formula or of a table; `call` is the recorded `shaftcheck.formula.Call`."""

    call: Any


@frozen(kw_only=False)
class Named(Node):
    """A part that was given a symbol of its own."""

    sym: Sym
    part: Node
    source: str


class Sides:
    """The two sides of the equation that something solved meets, told after it is."""

    left: Node | None = None
    right: Node | None = None


@frozen(kw_only=False)
class Solved(Node):
    """What an iteration or an integral gave: in words, with what went in and the equation that it meets."""

    sym: Sym
    words: str
    source: str
    inputs: tuple[tuple[Sym, Node], ...]
    sides: Sides
    many: bool
    """one of so many that a sum of them is drawn together"""


@frozen(kw_only=False)
class Condition(Node):
    """What is true or not: it chooses, and explains nothing."""


@frozen(kw_only=False)
class Lost(Node):
    """Made by something that is not traced."""

    by: str
