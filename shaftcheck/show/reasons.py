"""Why a formula answered 'not known': which symbol, and which bound."""

from __future__ import annotations

import numpy as np

from shaftcheck.border.sizes import System
from shaftcheck.formula import Log, out_of_range
from shaftcheck.nodes import Done, Dotted, Made, Named, Node, Picked, Summed
from shaftcheck.show.amounts import Shown, dimension, moves, shown, significant

__all__ = ["out_of_range_reasons"]


def out_of_range_reasons(log: Log, *, system: System = "metric") -> list[str]:
    """Return which formulas (and tables) answered nan, and because of which symbol and which bound.

    Each reason stands once, in the order in which it came up, with the value that is farthest out. A symbol that
    another formula answered nan for gives no reason of its own.
    """
    out: dict[str, None] = {}
    for call in log.calls:
        if not np.isnan(call.result).any():
            continue
        before = len(out)
        follows = False
        for key, sym in call.formula.args.items():
            v = np.asarray(call.args[key].value)
            name, words = f"{call.formula.name}: {sym.name}", f" ({sym.meaning})" if sym.meaning else ""
            size = dimension(sym.unit)
            shows = shown(size, system, moves([size]), alone=True)

            def said(value: float, shows: Shown = shows) -> str:
                return f"{significant(value * shows.scale, 4)} {shows.unit}".rstrip()

            known = v[~np.isnan(v)]
            if sym.low is not None and (known < sym.low).any():
                out[f"{name} = {said(known.min())} is below {said(sym.low)}{words}"] = None
            if sym.high is not None and (known > sym.high).any():
                out[f"{name} = {said(known.max())} is above {said(sym.high)}{words}"] = None
            if np.isnan(v).any():
                computed = _made(call.args[key])
                follows = follows or computed
                if not computed:
                    out[f"{name} is not known{words}"] = None
        if len(out) == before and not follows:
            bounded = ((s, call.args[k]) for k, s in call.formula.args.items() if (s.low, s.high) != (None, None))
            if not any(
                out_of_range(s, np.asarray(v.value)).any() for s, v in bounded
            ):  # else the reason stands already
                out[f"{call.formula.name}: no answer at these numbers"] = None
    return list(out)


def _made(node: Node) -> bool:
    """Return whether a formula made it, straight or through picks and arithmetic."""
    if isinstance(node, Picked | Done):
        return any(map(_made, node.parts))
    if isinstance(node, Named | Summed):
        return _made(node.part)
    if isinstance(node, Dotted):
        return _made(node.left) or _made(node.right)
    return isinstance(node, Made)
