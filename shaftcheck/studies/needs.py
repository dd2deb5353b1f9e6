"""How much of a size is needed here, of a joint or of a hinged rig's cradles: what meets the checks that hang on it."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from typing import Any

import numpy as np

from shaftcheck.beam import Beam, Cut, mesh
from shaftcheck.checks import CRADLES, JOINTS
from shaftcheck.checks.compare import Use
from shaftcheck.checks.joint import JointSize
from shaftcheck.engine import run
from shaftcheck.frozen import frozen
from shaftcheck.loads import loaded
from shaftcheck.model import Array, Bools, Hinged, Joint, Rig, Shaft, map_arrays, number
from shaftcheck.said import Dimension

__all__ = ["Need", "needs", "together"]

COARSE, FINE = 20, 8
"""values tried over the whole range, each a like part more than the one before; and between two of them at a time"""


@frozen
class Need:
    """One size of a joint, or of a hinged rig's cradles [SI]."""

    joint: int | None
    """which of the shaft's joints; None for the rig"""
    kind: str
    """of joint, or of rig"""
    key: str
    dimension: Dimension
    """how it is shown: a length, a force, or a slope, of which these are the run over its rise"""
    told: float
    least: float
    """that meets the checks which hang on it, all else as told; nan where none does"""
    most: float
    """up to which all values from the least on meet them; nan where those that were tried end first"""
    high: float
    """the greatest that was tried or finds room"""
    bars: tuple[str, ...]
    """checks that hang on it and are not met at the one value at which the fewest are not"""


def needs(shaft: Shaft, own: Array, inches: bool = False) -> tuple[Need, ...]:
    """Return what each joint of a single shaft, and each cradle, needs of each of its sizes, all else as told.

    Values are whole steps of each size, so that what is found is what is said.

    Parameters
    ----------
    own : what the user divides each strength by [-]
    inches : whether steps are those of a ruler in inches
    """
    out = [_need(shaft, i, s, own, inches) for i, j in enumerate(shaft.joints) for s in _sizes(j)]
    if isinstance(shaft.rig, Hinged):
        from shaftcheck.checks.cradle_sizes import sizes

        out += [_need(shaft, None, s, own, inches) for s in sizes(shaft)]
    return tuple(out)


def _sizes(joint: Joint) -> tuple[JointSize, ...]:
    ask = JOINTS[joint.kind].sizes
    return () if ask is None else tuple(ask(joint))


def together(shaft: Shaft, index: int, own: Array, inches: bool = False) -> tuple[dict[str, float], Joint] | None:
    """Return sizes that make all of a joint's own checks hold at once, those told where they are enough; None if none.

    Returns
    -------
    sizes that differ from what is told [m], and the joint of those sizes
    """

    def theirs() -> tuple[JointSize, ...]:
        return tuple(s for s in _sizes(shaft.joints[index]) if s.together)

    told = {s.key: s.told for s in theirs()}
    if not told:
        return None
    for _ in range(3):  # a size may hang on another: a longer overlap thins the wood inside
        uses = _uses(shaft, index, own)
        over = {c for c, v in uses.items() if not v <= 1.0}
        if not over:
            return {s.key: s.told for s in theirs() if s.told != told[s.key]}, shaft.joints[index]
        if over - {c for s in theirs() for c in s.checks}:
            return None  # no size cures it
        for s in theirs():
            uses = _uses(shaft, index, own)
            if all(uses[c] <= 1.0 for c in s.checks if c in uses):
                continue
            least = _need(shaft, index, s, own, inches).least
            if np.isnan(least):
                continue  # another size may cure it first
            new, fits = s.changed(shaft, shaft.joints[index], number(max(least, s.told)))
            if not fits.all():
                return None
            shaft = _with(shaft, index, new)
    return None


def _with(shaft: Shaft, index: int | None, new: Joint | Rig) -> Shaft:
    if isinstance(new, Joint):
        assert index is not None
        return replace(shaft, joints=(*shaft.joints[:index], new, *shaft.joints[index + 1 :]))
    return replace(shaft, rig=new)


def _uses(shaft: Shaft, index: int | None, own: Array) -> dict[str, Any]:
    """Return the worst use of each of a joint's, or the cradles', own checks, infinite where it is not known."""

    def mine(beam: Beam, cut: Cut) -> Iterator[Use]:
        j = beam.shaft.joints[index or 0]
        yield from JOINTS[j.kind].check(beam, j)

    beam = loaded(shaft, own)
    checks = CRADLES if index is None else (mine,)
    return {r.check: np.where(r.known, r.use, np.inf) for r in run(beam, checks=checks, x=mesh(beam.shaft, 2))}


def _need(shaft: Shaft, index: int | None, size: JointSize, own: Array, inches: bool) -> Need:
    step = size.steps[int(inches)]
    old: Joint | Rig = shaft.rig if index is None else shaft.joints[index]

    def tried(values: Array) -> tuple[Array, Bools, dict[str, Array]]:
        """Return the values that find room, whether all that hangs on each is met, and each use."""
        many = replace(map_arrays(lambda a: np.broadcast_to(a, values.shape), old))
        new, fits = size.changed(shaft, many, values)
        values = values[fits]
        if not len(values):
            return values, values > 0.0, {}
        new = map_arrays(lambda a: np.broadcast_to(a, fits.shape)[fits], new)
        uses = _uses(_with(shaft, index, new), index, np.full(values.shape, float(own)))
        theirs = {c: np.broadcast_to(uses[c], values.shape) for c in size.checks if c in uses}
        met: Bools = np.stack([u <= 1.0 for u in theirs.values()]).min(axis=0)
        return values, met, theirs

    def turns(low: int, high: int, to: bool) -> int:
        """Return the first whole step after low, which is otherwise, at which all is met, or not; high is so."""
        while high - low > 1:
            between = np.unique(np.round(np.linspace(low + 1, high, min(high - low, FINE)))).astype(np.float64)
            close, ok, _ = tried(between * step)
            best = int((ok == to).argmax())
            low, high = round(close[best - 1] / step) if best else low, round(close[best] / step)
        return high

    first, last = round(size.low / step), round(size.high / step)
    steps = np.unique(np.round(np.geomspace(first, last, COARSE)))
    values, met, uses = tried(steps * step)

    def found(least: float, most: float = np.nan, bars: tuple[str, ...] = ()) -> Need:
        return Need(
            joint=index,
            kind="hinged rig" if isinstance(old, Hinged) else shaft.joints[index or 0].kind,
            key=size.key,
            dimension=size.dimension,
            told=size.told,
            least=least,
            most=most,
            high=float(values[-1]) if len(values) else np.nan,
            bars=bars,
        )

    if not met.any():
        if not len(values):
            return found(np.nan)
        table = np.array(list(uses.values()))
        best = np.lexsort((table.max(axis=0), (~(table <= 1.0)).sum(axis=0)))[0]
        return found(np.nan, bars=tuple(c for c, u in uses.items() if not u[best] <= 1.0))
    k = int(met.argmax())
    low, high = round(values[k - 1] / step) if k else round(values[k] / step) - 1, round(values[k] / step)
    least = turns(low, high, True)
    over = k + int((~met[k:]).argmax())
    if met[over]:
        return found(least * step)
    most = turns(round(values[over - 1] / step), round(values[over] / step), False) - 1
    return found(least * step, most * step)
