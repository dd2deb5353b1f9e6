"""Which two woods: many pairs through one shaft, the woods as a batch axis; and which pairs are worth a look."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import fields, replace

import numpy as np

from shaftcheck import engine
from shaftcheck.beam import Beam, density, mesh
from shaftcheck.checks.compare import BADLY_PLACED, Use
from shaftcheck.frozen import frozen
from shaftcheck.loads import loaded
from shaftcheck.model import Array, Bools, Shaft, Wood, map_arrays, stack
from shaftcheck.movement import give
from shaftcheck.whole import whole

__all__ = ["NAMES", "PARTS", "Found", "Index", "Stock", "beam_of", "dominated", "found", "searched"]

Index = np.ndarray[tuple[int, ...], np.dtype[np.intp]]
BLOCK = 128
"""shafts at once, so that memory stays bounded"""
PARTS = ("inboard", "joint", "outboard")
"""where a comparison belongs: to the inner wood, to the joint between the two, to the outer wood"""


@frozen
class Stock:
    """What may be built in: woods with their run-out, arrays (n,)."""

    wood: Wood
    slope: Array
    """run-out of the grain [-]"""

    @classmethod
    def of(cls, woods: Sequence[Wood], slopes: Sequence[float]) -> Stock:
        """Return single woods as a stock."""
        return cls(wood=stack([replace(w, name="") for w in woods]), slope=np.array(slopes, dtype=np.float64))

    def take(self, index: Index) -> Stock:
        """Return some of it."""
        return Stock(wood=map_arrays(lambda a: a[index], self.wood), slope=self.slope[index])


NAMES = ("checks", "rules")
"""what of `Found` is the same for all of a batch"""


@frozen
class Found:
    """Figures of the pairs, arrays (n,) or (n, parts); nan is not known."""

    use: Array
    """(n, parts) worst known use"""
    known: Bools
    """(n, parts) whether all of it is known"""
    governs: Array
    """(n, parts) index of the comparison that governs, in `checks`"""
    checks: tuple[str, ...]
    rules: tuple[bool, ...]
    """whether each of `checks` is a rule of place, which no other wood can mend"""
    mass: Array
    """[kg]"""
    balance: Array
    """from the handle end [m]"""
    lift: Array
    """of the hand, to lift the blade clear [N]; nan for a hinged rig, whose halves hang apart"""
    swing: Array
    """about the lock, or each half about its own pin [kg m2]"""
    movement: Array
    """of the blade at the greatest pull [m]"""
    mismatch: Array
    """stiffness in use of the stiffer wood over that of the softer [-]"""
    by_check: Array
    """(n, checks) worst known use of each comparison"""

    @property
    def misplaced(self) -> tuple[tuple[str, ...], ...]:
        """Return the rules of place that each pair breaks, by name, (n,)."""
        broken = ~(self.by_check <= 1.0) & ~np.isnan(self.by_check) & np.array(self.rules, dtype=bool)
        return tuple(tuple(dict.fromkeys(self.checks[k] for k in np.flatnonzero(row))) for row in broken)

    @property
    def worst(self) -> Array:
        """Return the worst known use of each pair, (n,)."""
        return np.asarray(np.max(np.nan_to_num(self.use, nan=0.0, posinf=np.inf), axis=-1))

    @property
    def complete(self) -> Bools:
        """Return whether everything was checked, (n,)."""
        return np.asarray(self.known.all(axis=-1))

    @property
    def holds(self) -> Bools:
        """Return whether everything was checked and is met, (n,)."""
        return self.complete & (self.worst <= 1.0)


def beam_of(shaft: Shaft, own: Array, stocks: Sequence[Stock], *, blade_follows: bool) -> Beam:
    """Return the loaded beams of one shaft, of a batch of woods.

    Parameters
    ----------
    shaft : a single shaft, batch shape ()
    stocks : what each piece is made of, from the handle on, each (n,)
    blade_follows : whether the blade's weight is that of the outer wood
    """
    old = shaft.pieces[-1]
    pieces = tuple(
        replace(p, wood=replace(s.wood, name=p.wood.name), slope=s.slope)
        for p, s in zip(shaft.pieces, stocks, strict=True)
    )
    mass = shaft.blade.mass
    if blade_follows:
        mass = mass * density(pieces[-1]) / density(old)
    batch = replace(shaft, pieces=pieces, blade=replace(shaft.blade, mass=mass))
    wide = np.broadcast_shapes(*(np.shape(s.slope) for s in stocks))
    return loaded(map_arrays(lambda a: np.broadcast_to(a, wide), batch), own)


def _part(u: Use, shaft: Shaft) -> tuple[int | None, Array]:
    """Return which part a comparison belongs to, or None where its place says, and where outboard begins."""
    joints = {j.kind for j in shaft.joints}
    boundary = shaft.pieces[-1].start[..., None, None]
    return (1 if any(u.check.partition(",")[0] == kind for kind in joints) else None), boundary


def _worst(u: Use, shaft: Shaft, n: int) -> Iterator[tuple[int, Array, Bools]]:
    """Yield the part, worst known use and knownness, each (n,), of one comparison."""
    x, use = np.broadcast_arrays(u.x, u.use)
    x, use = (np.broadcast_to(a, (n, *a.shape[-2:])) for a in (x, use))
    part, boundary = _part(u, shaft)
    unknown, worst = np.isnan(use), np.where(np.isnan(use), -np.inf, use)
    sides = ((part, np.ones(use.shape, dtype=bool)),) if part is not None else ((0, x < boundary), (2, x >= boundary))
    for where, here in sides:
        top = np.where(here, worst, -np.inf).max(axis=(-2, -1))
        yield where, np.where(np.isneginf(top), np.nan, top), ~(unknown & here).any(axis=(-2, -1))


def searched(beam: Beam, x: Array | None = None) -> Found:
    """Return the figures of a batch of beams, (n,), on the points x or the mesh."""
    shaft, n = beam.shaft, beam.shaft.length.shape[0]
    uses = engine.uses(beam, mesh(shaft) if x is None else x)
    top, known = np.full((n, 3), np.nan), np.ones((n, 3), dtype=bool)
    governs = np.zeros((n, 3))
    each = np.full((n, len(uses)), np.nan)
    for k, u in enumerate(uses):
        for part, use, ok in _worst(u, shaft, n):
            more = ~np.isnan(use) & ~(use <= top[:, part])
            top[:, part] = np.where(more, use, top[:, part])
            governs[:, part] = np.where(more, float(k), governs[:, part])
            known[:, part] &= ok
            each[:, k] = np.fmax(each[:, k], use)
    w, g = whole(shaft), give(shaft)
    force = np.abs(beam.forward[..., beam.case("once"), beam.places.index("blade")])
    ends = [np.broadcast_to(beam.limits["stiffness"][..., 0, i], (n,)) for i in (0, -1)]
    return Found(
        use=top,
        known=known,
        governs=governs,
        checks=tuple(u.check for u in uses),
        rules=tuple(u.kind == BADLY_PLACED for u in uses),
        mass=w.mass,
        balance=w.balance,
        lift=w.lift,
        swing=w.inertia,
        movement=g.held * force,
        mismatch=np.maximum(*ends) / np.minimum(*ends),
        by_check=each,
    )


def found(
    n: int,
    build: Callable[[Index], Beam],
    *,
    refine: bool = False,
    tick: Callable[[int, int], None] | None = None,
) -> Found:
    """Return the figures of n pairs, walked in blocks.

    Parameters
    ----------
    build : takes indices (block,) and returns the loaded beams of those pairs
    refine : look closer at each worst place, as `check` does
    """
    size = 16 if refine else BLOCK
    parts: list[Found] = []
    for i in range(0, n, size):
        beam = build(np.arange(i, min(i + size, n)))
        parts.append(searched(beam, engine.refined(beam) if refine else None))
        if tick is not None:
            tick(min(i + size, n), n)
    values = {f.name: np.concatenate([getattr(p, f.name) for p in parts]) for f in fields(Found) if f.name not in NAMES}
    return Found(checks=parts[0].checks, rules=parts[0].rules, **values)


def dominated(criteria: Array, complete: Bools) -> Bools:
    """Return which of n candidates another one is no worse than in anything and better in something, (n,).

    Parameters
    ----------
    criteria : (n, k), less is better; nan is not known, and is never better nor no worse
    complete : (n,) - whether all of a candidate was checked: one that was not never rules out one that was
    """
    out = np.zeros(len(criteria), dtype=bool)
    size = max(1, (1 << 22) // max(1, criteria.size))
    for i in range(0, len(criteria), size):
        mine = criteria[i : i + size, None, :]
        no_worse = (criteria[None] <= mine).all(axis=-1)
        better = (criteria[None] < mine).any(axis=-1)
        may = complete[None, :] | ~complete[i : i + size, None]
        out[i : i + size] = (no_worse & better & may).any(axis=-1)
    return out
