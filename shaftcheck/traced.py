"""Arrays that remember what made them: arithmetic as arithmetic, picks and shapes by the places of their elements.

Loaded when someone listens, not before.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any

import numpy as np

from shaftcheck.model import Array
from shaftcheck.nodes import (
    Condition,
    Done,
    Dotted,
    Given,
    Literal,
    Lost,
    Named,
    Node,
    Picked,
    Sides,
    Solved,
    Summed,
)
from shaftcheck.trace import CONSTANTS, Sym, bare, is_listening, taught

__all__ = ["Traced", "node_of", "traced"]


class Traced(np.ndarray[Any, Any]):
    """An array that remembers what made it, while someone listens."""

    node: Node | None = None
    ledger: Ledger | None = None

    def __array_ufunc__(self, ufunc: Any, method: str, *inputs: Any, out: Any = None, **options: Any) -> Any:
        plain = [bare(x) for x in inputs]
        if out is not None:
            return self._in_place(ufunc, method, inputs, out, options)
        value = getattr(ufunc, method)(*plain, **{k: bare(v) for k, v in options.items()})
        if not is_listening() or isinstance(value, tuple):
            return value
        if np.asarray(value).dtype.kind != "f":
            return _condition(value) if method == "__call__" else value
        if method == "__call__" and ufunc is np.matmul and min(np.ndim(x) for x in plain) >= 2:
            return traced(Dotted(value, node_of(inputs[0]), node_of(inputs[1])))
        if method == "__call__" and not options and ufunc is not np.matmul:
            return traced(Done(value, ufunc.__name__, tuple(map(node_of, inputs))))
        if method == "reduce":
            axes = _axes(options.get("axis", 0), np.ndim(plain[0]))
            stay = bool(options.get("keepdims", False))
            return _reduced(ufunc.__name__, node_of(inputs[0]), value, axes, stay)
        return traced(Lost(value, f"{ufunc.__name__} {method}"))

    @staticmethod
    def _in_place(ufunc: Any, method: str, inputs: Any, out: Any, options: Any) -> Any:
        (target,) = out
        made = getattr(ufunc, method)(*(_kept(x) for x in inputs), **options)
        bare(target)[...] = bare(made)
        if isinstance(target, Traced):
            target.node, target.ledger = node_of(made), None
        return target

    def __array_function__(self, function: Any, types: Any, args: Any, kwargs: Any) -> Any:
        value = function(*_deep(args), **_deep(kwargs))
        if not is_listening():
            return value
        how: Callable[..., Any] = _FUNCTIONS.get(function, _lost)
        return how(function, value, *args, **kwargs)

    def __getitem__(self, key: Any) -> Any:
        key = _deep(key)
        value = bare(self)[key]
        if not is_listening():
            return value
        if np.asarray(value).dtype.kind != "f":
            return _condition(value)
        if self.ledger is not None:
            out: Traced = value.view(Traced) if isinstance(value, np.ndarray) else np.asarray(value).view(Traced)
            out.node = self.ledger.read(value, key)
            return out
        return traced(Picked(value, (node_of(self),), lambda a: a[key]))

    def __setitem__(self, key: Any, value: Any) -> None:
        key = _deep(key)
        bare(self)[key] = bare(value)
        if is_listening():
            self.ledger = self.ledger or Ledger(node_of(self))
            self.ledger.write(key, node_of(_kept(value)))

    def reshape(self, *shape: Any, **options: Any) -> Any:
        """Return the same elements in another shape."""
        value = bare(self).reshape(*shape, **options)
        if not is_listening():
            return value
        return traced(Picked(value, (node_of(self),), lambda a: a.reshape(np.shape(value))))

    def copy(self, order: Any = "C") -> Any:
        """Return a copy that remembers the same."""
        out = bare(self).copy(order).view(Traced)
        out.node = node_of(self)
        return out


class Ledger:
    """What was written into an array: which write each of its elements is of."""

    def __init__(self, first: Node) -> None:
        self.parts = [first]
        self.size = int(np.size(first.value))
        self.ids = np.arange(self.size).reshape(np.shape(first.value))

    def write(self, key: Any, what: Node) -> None:
        """Note a write."""
        count = int(np.size(what.value))
        self.ids[key] = np.arange(self.size, self.size + count).reshape(np.shape(what.value))
        self.parts.append(what)
        self.size += count

    def read(self, value: Any, key: Any) -> Node:
        """Return what stands there now."""
        return Picked(np.array(value), tuple(self.parts), _nothing, np.array(self.ids[key]))


def _nothing(*ids: Any) -> Any:
    raise TypeError("what was written is not done again")


def _deep(x: Any) -> Any:
    """Return the same with every array in it without its memory."""
    if isinstance(x, tuple | list):
        deep = map(_deep, x)
        return tuple(deep) if isinstance(x, tuple) else list(deep)
    if isinstance(x, dict):
        return {k: _deep(v) for k, v in x.items()}
    return bare(x)


def _kept(x: Any) -> Any:
    """Return a traced array apart from the memory it shares, as it is now."""
    return x.copy() if isinstance(x, Traced) else x


def traced(node: Node) -> Traced:
    """Return a node's value as an array that remembers it."""
    out: Traced = np.asarray(node.value).view(Traced)
    out.node = node
    return out


def _condition(value: Any) -> Any:
    """Return what is true or not, so that what it chooses stays traced; any other number as it is."""
    return traced(Condition(value)) if np.asarray(value).dtype.kind == "b" else value


def node_of(x: Any) -> Node:
    """Return what is remembered of an array, or of any number."""
    if isinstance(x, Traced):
        if x.ledger is not None:
            return x.ledger.read(bare(x), ...)
        return x.node if x.node is not None else Lost(bare(x), "a view")
    return Literal(x, CONSTANTS.get(id(x)))


# ------------------------------------------------------------------------------------------------- what numpy does


def _axes(axis: Any, dimensions: int) -> tuple[int, ...]:
    if axis is None:
        return tuple(range(dimensions))
    return tuple(sorted(a % dimensions for a in (axis if isinstance(axis, tuple) else (axis,))))


def _reduced(name: str, part: Node, value: Any, axes: tuple[int, ...], stay: bool) -> Traced:
    if name == "add":
        return traced(Summed(value, part, axes, stay))
    if name not in ("minimum", "maximum"):
        return traced(Lost(value, f"{name} along an axis"))
    held = np.asarray(part.value)

    def replay(ids: Any) -> Any:
        last = range(held.ndim - len(axes), held.ndim)
        flat = [np.moveaxis(a, axes, last) for a in (held, ids)]
        flat = [a.reshape(*a.shape[: held.ndim - len(axes)], -1) for a in flat]
        pick = (np.argmin if name == "minimum" else np.argmax)(flat[0], axis=-1)
        return np.take_along_axis(flat[1], pick[..., None], axis=-1)[..., 0].reshape(np.shape(value))

    return traced(Picked(value, (part,), replay))


def _lost(function: Any, value: Any, *args: Any, **kwargs: Any) -> Any:
    return traced(Lost(value, function.__name__)) if np.asarray(value).dtype.kind == "f" else value


def _plain(function: Any, value: Any, *args: Any, **kwargs: Any) -> Any:
    return value


def _moved(function: Any, value: Any, a: Any, *args: Any, **kwargs: Any) -> Any:
    """Trace what moves whole elements of its first argument."""
    return traced(Picked(value, (node_of(a),), lambda ids: function(ids, *_deep(args), **_deep(kwargs))))


def _together(function: Any, value: Any, arrays: Any, *args: Any, **kwargs: Any) -> Any:
    """Trace what puts arrays together."""
    return traced(
        Picked(value, tuple(node_of(a) for a in arrays), lambda *ids: function(ids, *_deep(args), **_deep(kwargs)))
    )


def _broadcast(function: Any, value: Any, *arrays: Any, **kwargs: Any) -> Any:
    pairs = zip(value, arrays, strict=True)
    return tuple(_moved(np.broadcast_to, v, a, v.shape) if isinstance(a, Traced) else v for v, a in pairs)


def _where(function: Any, value: Any, condition: Any, *choice: Any) -> Any:
    if len(choice) != 2 or value.dtype.kind != "f":
        return _condition(value) if len(choice) == 2 else value
    condition = bare(condition)
    return traced(Picked(value, tuple(node_of(c) for c in choice), lambda a, b: np.where(condition, a, b)))


def _clip(function: Any, value: Any, x: Any, low: Any = None, high: Any = None, **kwargs: Any) -> Any:
    bounds = [b for b in (low, high) if b is not None]
    held = bare(x)

    def replay(ids: Any, *ends: Any) -> Any:
        ends_ = list(ends)
        if low is not None:
            ids = np.where(held < bare(low), ends_.pop(0), ids)
        return np.where(held > bare(high), ends_.pop(0), ids) if high is not None else ids

    return traced(Picked(value, (node_of(x), *map(node_of, bounds)), replay))


def _nan_to_num(function: Any, value: Any, x: Any, *, nan: Any = 0.0) -> Any:
    unknown = np.isnan(bare(x))
    return traced(Picked(value, (node_of(x), node_of(nan)), lambda ids, other: np.where(unknown, other, ids)))


def _sorted(function: Any, value: Any, x: Any, axis: int = -1) -> Any:
    order = np.argsort(bare(x), axis=axis)
    return traced(Picked(value, (node_of(x),), lambda ids: np.take_along_axis(ids, order, axis=axis)))


def _sum(function: Any, value: Any, x: Any, axis: Any = None, keepdims: bool = False) -> Any:
    node = node_of(x)
    return _reduced("add", node, value, _axes(axis, np.ndim(node.value)), keepdims)


def _least(function: Any, value: Any, x: Any, axis: Any = None, keepdims: bool = False) -> Any:
    node = node_of(x)
    name = "minimum" if function is np.min else "maximum"
    return _reduced(name, node, value, _axes(axis, np.ndim(node.value)), keepdims)


_FUNCTIONS: dict[Any, Callable[..., Any]] = {
    np.where: _where,
    np.clip: _clip,
    np.nan_to_num: _nan_to_num,
    np.sort: _sorted,
    np.sum: _sum,
    np.min: _least,
    np.max: _least,
    np.stack: _together,
    np.concatenate: _together,
    np.broadcast_arrays: _broadcast,
    **dict.fromkeys((np.take_along_axis, np.broadcast_to, np.reshape, np.moveaxis, np.squeeze, np.expand_dims), _moved),
    **dict.fromkeys((np.full_like, np.zeros_like, np.ones_like, np.empty_like, np.shape, np.ndim), _plain),
}


# ------------------------------------------------------------------------------------------------- what the code tells


def _given(value: Array, sym: Sym, origin: str) -> Array:
    """Return what goes in with its name."""
    return traced(Given(value, sym, origin))


def _known(value: Array, sym: Sym, origin: str) -> Array:
    """Return a number of the method with its name, or as the constant that it is."""
    if isinstance(value, Traced):
        return value
    found = CONSTANTS.get(id(value))
    return traced(Given(value, sym, origin) if found is None else Literal(value, found))


def _named(value: Array, sym: Sym, source: str) -> Array:
    """Return a number under a symbol of its own."""
    return traced(Named(bare(value), sym, node_of(value), source))


def _blank(shape: tuple[int, ...]) -> Array:
    """Return zeros that remember what is written into them."""
    out: Traced = np.zeros(shape).view(Traced)
    out.node = Literal(np.zeros(shape), None)
    return out


def _solved(
    value: Array,
    sym: Sym,
    words: str,
    source: str,
    inputs: Mapping[Sym, Array],
    sides: Callable[[Array], tuple[Array, Array]] | None,
    many: bool,
) -> Array:
    """Return what was solved, with what went in and both sides of the equation that it meets."""
    nodes = tuple((s, node_of(v)) for s, v in inputs.items())
    node = Solved(bare(value), sym, words, source, nodes, Sides(), many)
    out = traced(node)
    if sides is not None:
        node.sides.left, node.sides.right = map(node_of, sides(out))
    return out


taught(given=_given, known=_known, named=_named, blank=_blank, solved=_solved)
