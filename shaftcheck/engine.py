"""Run the checks: one shaft, a batch, or a long study in blocks; and search for the limit of one quantity."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Sequence
from dataclasses import fields
from typing import Any

import numpy as np
import numpy.typing as npt

from shaftcheck.beam import Beam, mesh
from shaftcheck.checks import CHECKS, Check
from shaftcheck.checks.compare import Use
from shaftcheck.frozen import frozen
from shaftcheck.model import Array, Bools

__all__ = ["Governing", "Row", "by_case", "governing", "holds", "limit", "refined", "run", "uses", "walk", "worst"]


@frozen
class Row:
    """The worst of one comparison over all cases and points; arrays of the batch shape."""

    check: str
    kind: str
    use: Array
    """worst known use; nan where none is known"""
    known: Bools
    """whether all of it is known"""
    case: Array
    """index of the case; -1 where it belongs to none in particular"""
    x: Array
    """[m]"""
    demand: Array
    capacity: Array
    unit: str
    source: str
    unknown: str


def uses(beam: Beam, x: Array, checks: Sequence[Check] = CHECKS) -> list[Use]:
    """Return every comparison of every check, evaluated on the points x (..., 1, points)."""
    cut = beam.at(x)
    return [u for check in checks for u in check(beam, cut)]


def _worst(u: Use, batch: tuple[int, ...]) -> tuple[Row, Array, Array]:
    """Return the worst over cases and points, with the places of its neighbours among the points."""
    x, use, demand, capacity = np.broadcast_arrays(u.x, u.use, u.demand, u.capacity)
    x, use, demand, capacity = (np.broadcast_to(a, (*batch, *a.shape[-2:])) for a in (x, use, demand, capacity))
    points = use.shape[-1]
    flat = use.reshape(*batch, -1)
    known = ~np.isnan(flat).any(axis=-1)
    k = np.where(np.isnan(flat), -1.0, flat).argmax(axis=-1)[..., None]

    def take(a: Array, index: Any) -> Array:
        return np.take_along_axis(a.reshape(*batch, -1), index, axis=-1)[..., 0]

    row, point = np.divmod(k, points)
    cases = np.asarray(u.cases if u.cases is not None else range(use.shape[-2]), dtype=np.float64)
    case = np.full(batch, -1.0) if use.shape[-2] == 1 and u.cases is None else cases[row[..., 0]]
    lo, hi = (take(x, row * points + np.clip(point + d, 0, points - 1)) for d in (-1, 1))
    worst = Row(
        check=u.check,
        kind=u.kind,
        use=take(use, k),
        known=known,
        case=case,
        x=take(x, k),
        demand=take(demand, k),
        capacity=take(capacity, k),
        unit=u.unit,
        source=u.source,
        unknown=u.unknown,
    )
    return worst, lo, hi


def run(beam: Beam, *, checks: Sequence[Check] = CHECKS, x: Array | None = None, rounds: int = 0) -> tuple[Row, ...]:
    """Return the worst of each comparison, in the order of the registry.

    Parameters
    ----------
    x : (..., 1, points) - where; the mesh if not given
    rounds : how many times to look closer about the worst places; 2 is what an answer rests on, points that are
        given apart
    """
    batch = _batch(beam)
    if x is not None or not rounds:
        return worst(beam, uses(beam, mesh(beam.shaft) if x is None else x, checks))
    found: tuple[Row, ...] = ()
    for _, seen in _closing(beam, checks, 9, rounds):
        new = [None if u is None else _worst(u, batch)[0] for u in seen]
        found = tuple(r for r in (n if not found else _worse(found[i], n) for i, n in enumerate(new)) if r is not None)
    return found


def worst(beam: Beam, found: Sequence[Use]) -> tuple[Row, ...]:
    """Return the worst of each of the comparisons that were found."""
    batch = _batch(beam)
    return tuple(_worst(u, batch)[0] for u in found)


def _worse(a: Row, b: Row | None) -> Row:
    """Return, element by element, the worse of two rows of one comparison."""
    if b is None:
        return a
    more = (b.use > a.use) | np.isnan(a.use)
    values = {f.name: getattr(a, f.name) for f in fields(a)}
    for name in ("use", "case", "x", "demand", "capacity"):
        values[name] = np.where(more, getattr(b, name), getattr(a, name))
    return Row(**(values | {"known": a.known & b.known}))


def _closing(beam: Beam, checks: Sequence[Check], points: int, rounds: int) -> Iterator[tuple[Array, list[Use | None]]]:
    """Yield the mesh with all comparisons, then points about the worst places with those that the mesh is for.

    A comparison at points of its own is the same on any mesh: it is None after the first round, and a check that has
    only such is not asked again.
    """
    batch = _batch(beam)
    x = mesh(beam.shaft, points)
    x = np.broadcast_to(x, (*batch, *x.shape[-2:]))
    cut = beam.at(x)
    per = [(check, list(check(beam, cut))) for check in checks]
    yield x, [u for _, found in per for u in found]
    t = np.linspace(0.0, 1.0, 17)
    on_mesh = [[u.x.shape[-1] == x.shape[-1] and np.array_equal(u.x, cut.x) for u in found] for _, found in per]
    state = [[_worst(u, batch) if on else None for u, on in zip(found, flags, strict=True)]
             for (_, found), flags in zip(per, on_mesh, strict=True)]  # fmt: skip
    for _ in range(rounds):
        spans = [s[1][..., None] + (s[2] - s[1])[..., None] * t for each in state for s in each if s is not None]
        if not spans:
            return
        closer = np.sort(np.concatenate(spans, axis=-1), axis=-1)[..., None, :]
        cut = beam.at(closer)
        out: list[Use | None] = []
        # comparisons may bear one name (two joints of a kind): they are told apart by their order
        for i, (check, first) in enumerate(per):
            if not any(on_mesh[i]):
                out += [None] * len(first)
                continue
            for k, u in enumerate(check(beam, cut)):
                old = state[i][k]
                out.append(None if old is None else u)
                if old is not None:
                    new = _worst(u, batch)
                    near = new[0].use >= old[0].use
                    state[i][k] = new[0], np.where(near, new[1], old[1]), np.where(near, new[2], old[2])
        yield closer, out


def refined(beam: Beam, *, checks: Sequence[Check] = CHECKS, points: int = 9, rounds: int = 2) -> Array:
    """Return the mesh with more points about the worst place of each comparison, (..., 1, points) [m].

    Each round takes the error of a smooth peak between two points down by sixty.
    """
    return np.sort(np.concatenate([x for x, _ in _closing(beam, checks, points, rounds)], axis=-1), axis=-1)


def by_case(beam: Beam, found: Sequence[Use]) -> tuple[tuple[Use, Array, Array], ...]:
    """Return each comparison of a single shaft with its worst use and place for every case, each (cases,).

    nan where a case is not part of the comparison; a comparison that belongs to no case in particular has one entry.
    """
    out = []
    for u in found:
        x, use = np.broadcast_arrays(u.x, u.use)
        known = np.where(np.isnan(use), -np.inf, use)
        k = known.argmax(axis=-1)[..., None]
        worst, place = (np.take_along_axis(a, k, axis=-1)[..., 0] for a in (use, x))
        worst = np.where(np.isnan(use).any(axis=-1), np.nan, worst)
        if worst.shape[-1] == 1 and u.cases is None:
            out.append((u, worst, place))
            continue
        rows = u.cases if u.cases is not None else tuple(range(len(beam.cases)))
        full_use, full_x = np.full(len(beam.cases), np.nan), np.full(len(beam.cases), np.nan)
        full_use[list(rows)], full_x[list(rows)] = worst, place
        out.append((u, full_use, full_x))
    return tuple(out)


def _batch(beam: Beam) -> tuple[int, ...]:
    return np.broadcast_shapes(beam.centre.shape[:-1], mesh(beam.shaft, 2).shape[:-2])


def holds(rows: Sequence[Row]) -> Bools:
    """Return whether every comparison is known and met, of the batch shape."""
    ok = np.ones(rows[0].use.shape, dtype=bool)
    for row in rows:
        ok &= row.known & (row.use <= 1.0)
    return ok


def walk(
    shape: tuple[int, ...],
    build: Callable[..., Beam],
    *,
    size: int = 128,
    rounds: int = 0,
    tick: Callable[[int, int], None] | None = None,
) -> dict[str, Row]:
    """Run a study: a shape, and a way to build the shafts at given indices; in blocks, so that work needs no more room.

    Parameters
    ----------
    shape : of the study
    build : takes one index array per axis, each (block,), and returns the loaded beams of that batch
    rounds : as for `run`
    tick : called with how many are done, of how many

    Returns
    -------
    by name, the worst of each comparison, arrays of the study's shape; where two joints of one kind bear the same
    names, the worse of them
    """
    out: dict[str, Row] = {}
    for rows in _aligned(list(_blocks(shape, build, size, rounds, tick))):
        row = _joined(rows, shape)
        out[row.check] = _worse(out[row.check], row) if row.check in out else row
    return out


def _aligned(blocks: Sequence[tuple[Row, ...]]) -> Iterator[list[Row]]:
    """Yield the rows of one comparison, block by block.

    Where no shaft of a block has what it compares, as a steep shoulder, it is not there, and nothing is used.
    """
    each = [dict(_numbered(rows)) for rows in blocks]
    for key in dict.fromkeys(key for rows in each for key in rows):
        some = next(rows[key] for rows in each if key in rows)
        out = []
        for rows, block in zip(each, blocks, strict=True):
            none = np.zeros_like(block[0].use)
            zeros = dict.fromkeys(("use", "x", "demand"), none)
            absent = {f.name: getattr(some, f.name) for f in fields(some)} | zeros
            absent |= {"known": none == 0.0, "case": none - 1.0, "capacity": none + 1.0}
            out.append(rows[key] if key in rows else Row(**absent))
        yield out


def _numbered(rows: Sequence[Row]) -> Iterator[tuple[tuple[str, int], Row]]:
    """Yield rows by name and by how many of that name came before: two joints of a kind bear the same names."""
    seen: dict[str, int] = {}
    for row in rows:
        seen[row.check] = seen.get(row.check, -1) + 1
        yield (row.check, seen[row.check]), row


@frozen
class Governing:
    """What governs each shaft of a study; arrays of the study's shape."""

    use: Array
    """greatest known use of all comparisons; nan where none is known"""
    known: Bools
    """whether all of them are known"""
    check: npt.NDArray[np.int16]
    """which of `names` has it"""
    names: tuple[str, ...]

    @property
    def holds(self) -> Bools:
        """Return whether all is known and met."""
        return np.asarray(self.known & (self.use <= 1.0))


def governing(
    shape: tuple[int, ...],
    build: Callable[..., Beam],
    *,
    size: int = 128,
    rounds: int = 0,
    tick: Callable[[int, int], None] | None = None,
) -> Governing:
    """Run a study of very many shafts and keep of each only what governs it: eleven bytes a shaft.

    Parameters
    ----------
    shape, build, size, rounds, tick : as for `walk`
    """
    use, known, check = [], [], []
    names: dict[str, int] = {}
    for rows in _blocks(shape, build, size, rounds, tick):
        each = np.stack([r.use for r in rows])
        index = np.where(np.isnan(each), -1.0, each).argmax(axis=0)
        use.append(np.take_along_axis(each, index[None], axis=0)[0])
        known.append(np.logical_and.reduce([r.known for r in rows]))
        # blocks may differ in what they compare: one alone may have a shaft with a steep shoulder
        of_all = np.array([names.setdefault(r.check, len(names)) for r in rows], dtype=np.int16)
        check.append(of_all[index])
    return Governing(
        use=np.concatenate(use).reshape(shape),
        known=np.concatenate(known).reshape(shape),
        check=np.concatenate(check).reshape(shape),
        names=tuple(names),
    )


def _blocks(
    shape: tuple[int, ...],
    build: Callable[..., Beam],
    size: int,
    rounds: int,
    tick: Callable[[int, int], None] | None,
) -> Iterator[tuple[Row, ...]]:
    """Yield the worst of each comparison, block by block of the study's shafts in flat order."""
    n = math.prod(shape)
    np.empty(1 << 21)  # 16 MiB freed untouched: the C library then keeps its heap between blocks
    for i in range(0, n, size):
        yield run(build(*np.unravel_index(np.arange(i, min(i + size, n)), shape)), rounds=rounds)
        if tick is not None:
            tick(min(i + size, n), n)


def _joined(rows: Sequence[Row], shape: tuple[int, ...]) -> Row:
    values = {f.name: getattr(rows[0], f.name) for f in fields(rows[0])}
    for name in ("use", "known", "case", "x", "demand", "capacity"):
        values[name] = np.concatenate([getattr(r, name) for r in rows]).reshape(shape)
    return Row(**values)


def limit(use: Callable[[Array], Array], low: Array, high: Array, steps: int = 40) -> Array:
    """Return where use(value) first passes 1, for every element at once; use must rise with value.

    The unknown counts as over.
    """
    lo, hi = np.array(low, dtype=np.float64), np.array(high, dtype=np.float64)
    for _ in range(steps):
        mid = (lo + hi) / 2.0
        ok = use(mid) <= 1.0
        lo, hi = np.where(ok, mid, lo), np.where(ok, hi, mid)
    return lo
