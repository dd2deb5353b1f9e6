"""Flaws that lie where something else already asks much of the wood: beside other flaws, in a seat, in a joint."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

import numpy as np

from shaftcheck.beam import Beam, mesh
from shaftcheck.checks.compare import Use, settled_use
from shaftcheck.checks.joint import imported
from shaftcheck.checks.lock import lock
from shaftcheck.checks.member import shear
from shaftcheck.checks.placed import overlap
from shaftcheck.formula import Sym, formula
from shaftcheck.frozen import frozen
from shaftcheck.model import Array, Bools, Flaw, Hinged, Joint, Shaft
from shaftcheck.sections import Section, changes_at_once

__all__ = ["Taken", "has_company", "joint_names", "joint_uses", "points", "seat_names", "seat_uses", "taken"]

LIFT = (..., None, None)
_T = np.linspace(0.0, 1.0, 17)
_INSIDE = 1e-6
"""how far inside a flaw its end points stand, as a part of it: so that each has one wood and one section"""
_WEAKENS = ("dent", "tack holes", "knot")
_FACES = ("forward", "aft", "upper", "lower")
_K = Sym("k", "m", "knots' sizes, added", low=0.0)
_WIDE = Sym("w", "m", "width taken from one face", low=0.0)
_LEAST = Sym("d", "m", "least size of the section", low=0.0)


@formula(
    Sym("r_b", "", "bearing across the grain left"),
    "what a face still bears on beside what is taken from it, on its least size (derived)",
    w=_WIDE,
    k=_K,
    d=_LEAST,
)
def bearing_left(*, w: Array, k: Array, d: Array) -> Array:
    """What holes and knots leave of a face that is pressed."""
    return np.maximum(1 - (w + k) / d, 0)


@formula(
    Sym("r_v", "", "resistance to shear and splitting left"),
    "width and depth of the wood that is left, each over the least size and one times the other (derived)",
    w=_WIDE,
    k=_K,
    h=Sym("h", "m", "depth taken fore and aft, from both faces", low=0.0),
    g=Sym("g", "m", "depth taken up and down, from both faces", low=0.0),
    d=_LEAST,
    b=Sym("b", "m", "what depth is taken from: the least size of a solid section; of a hollow one its walls", low=0.0),
)
def shear_left(*, w: Array, k: Array, h: Array, g: Array, d: Array, b: Array) -> Array:
    """What holes and knots leave of a section against shear and splitting, whichever way it is cut."""
    across = np.maximum(1 - (w + k) / d, 0)
    return across * np.maximum(1 - h / b, 0) * np.maximum(1 - g / b, 0) * np.maximum(1 - k / d, 0)


@frozen
class Taken:
    """What all flaws that share a section take of it [m]; nan where a size is not known."""

    wide: Array
    """widths of dents and holes, of whichever face, added"""
    deep: Array
    """greatest depth of one"""
    knots: Array
    """sizes of knots, added"""
    one_face: Array
    """widths added, of the face that has most"""
    fore: Array
    """depths of the forward and of the aft face, added"""
    up: Array
    """depths of the upper and of the lower face, added"""


def has_company(shaft: Shaft, f: Flaw) -> bool:
    """Return whether the shaft has another flaw that takes from a section, near or far."""
    return any(other is not f and other.kind in _WEAKENS for other in shaft.flaws)


def points(beam: Beam, start: Array, end: Array) -> Array:
    """Return the points of the mesh in a stretch and some even ones, (..., 1, points) [m]; start and end lifted so."""
    inset = _INSIDE * (end - start)
    low, high = start + inset, end - inset
    even, of_mesh = low + (high - low) * _T, np.clip(mesh(beam.shaft), low, high)
    shape = np.broadcast_shapes(even.shape[:-1], of_mesh.shape[:-1])
    return np.sort(np.concatenate([np.broadcast_to(v, (*shape, v.shape[-1])) for v in (even, of_mesh)], axis=-1))


def taken(shaft: Shaft, f: Flaw, x: Array, s: Section) -> Taken:
    """Return what a flaw takes of its sections together with all others that share them.

    A flaw shares a section that lies within the shaft's greater size of it: so far its unrest reaches (Saint-Venant;
    the figure is judgement).

    Parameters
    ----------
    x : (..., 1, points) - where, on the flaw [m]
    s : the sections there
    """
    none = 0.0 * x
    wide = deep = knots = anywhere = none
    widths, depths = (dict.fromkeys(_FACES, none) for _ in range(2))
    reach = np.maximum(s.depth, s.width)
    for other in shaft.flaws:
        if other.kind not in _WEAKENS:
            continue
        there: Bools | bool = True
        if other is not f:
            there = (x >= other.start[LIFT] - reach) & (x <= other.end[LIFT] + reach)
        w = np.where(there, other.width[LIFT], 0.0)
        if other.kind == "knot":
            knots = knots + w
            continue
        h = np.where(there, other.depth[LIFT], 0.0)
        wide, deep = wide + w, np.maximum(deep, h)
        for face in _FACES:  # one that is not told may be any
            if other.face not in _FACES or other.face == face:
                widths[face] = widths[face] + w
            if other.face in (face, "all round"):
                depths[face] = np.maximum(depths[face], h)
        if other.face not in (*_FACES, "all round"):
            anywhere = anywhere + h
    return Taken(
        wide=wide,
        deep=deep,
        knots=knots,
        one_face=np.maximum.reduce(list(widths.values())),
        fore=depths["forward"] + depths["aft"] + anywhere,
        up=depths["upper"] + depths["lower"] + anywhere,
    )


def _weakened(beam: Beam, f: Flaw, x: Array) -> Beam:
    """Return the beam with the strength that a flaw leaves at the worst of the points x, everywhere."""
    s = beam.at(x).section
    t, least = taken(beam.shaft, f, x, s), np.minimum(s.depth, s.width)
    solid, both = np.isinf(s.wall), t.fore + t.up
    pressed = bearing_left(w=t.one_face, k=t.knots, d=least)
    sheared = shear_left(w=t.one_face, k=t.knots, h=t.fore, g=t.up, d=least, b=np.where(solid, least, 2.0 * s.wall))
    ring = shear_left(w=t.one_face, k=t.knots, h=both, g=both, d=least, b=np.where(solid, least, s.wall))
    split = np.where(solid, sheared, ring)  # a ring bends by the square of its wall
    left = {"bearing": pressed, "wet bearing": pressed, "shear": sheared, "tension across": split}
    worst = {n: v.min(axis=-1, keepdims=True) for n, v in left.items()}
    return replace(beam, limits={n: v * worst[n] if n in worst else v for n, v in beam.limits.items()})


def _seats(shaft: Shaft) -> tuple[tuple[str, Array, Array, Array, Array], ...]:
    """Return what presses on the shaft: its name, from where, to where, and where a bolt and a plug's end weaken it."""
    rig = shaft.rig
    if isinstance(rig, Hinged):
        return (
            ("inner cradle", rig.inner_from, rig.inner_to, rig.inner_bolt, rig.inner_plug),
            ("outer cradle", rig.outer_from, rig.outer_to, rig.outer_bolt, rig.outer_plug),
        )
    none = rig.lock * np.nan
    return (("lock's seat", rig.lock - rig.seat / 2.0, rig.lock + rig.seat / 2.0, none, none),)


def seat_names(f: Flaw, shaft: Shaft) -> tuple[str, ...]:
    """Return the comparisons of `seat_uses`, by name."""
    return (f"{f.kind}, shear", *(f"{f.kind}, within the {name}" for name, *_ in _seats(shaft)))


_LEFT = (
    "each strength times what the flaw leaves, with all that share its section, wherever in it: pressed 1 - (w+k)/d, "
)
_LEFT += "shear and splitting by width and depth, d the least size (derived)"


def seat_uses(beam: Beam, f: Flaw) -> Iterator[Use]:
    """Yield shear where a flaw lies, and the worst that each seat asks of the wood that the flaw leaves in it."""
    start, end = f.start[LIFT], f.end[LIFT]
    x = points(beam, start, end)
    weak = _weakened(beam, f, x)
    s = weak.at(x)
    yield _worst(f"{f.kind}, shear", list(shear(weak, s)))
    size = np.maximum(s.section.depth, s.section.width)
    far = size.max(axis=-1, keepdims=True)
    hollow = np.where(np.isfinite(s.section.wall), size, 0.0).max(axis=-1, keepdims=True)
    rig = beam.shaft.rig
    bolted = isinstance(rig, Hinged) and rig.bolted_through[LIFT] == 1.0
    sudden = _changes(beam.shaft, start - far, end + far)
    for name, first, last, bolt, plug in _seats(beam.shaft):
        low, high = first[LIFT] - hollow, last[LIFT] + hollow  # a hollow one is squeezed for a depth beyond
        shared = np.maximum(start, low), np.minimum(end, high)
        inside = overlap(start, end, low, high) > 0.0
        at_bolt, at_plug = (overlap(start, end, v[LIFT] - far, v[LIFT] + far) > 0.0 for v in (bolt, plug))
        found = _asked(_weakened(beam, f, points(beam, *shared)), name)
        u = _worst(f"{f.kind}, within the {name}", found)
        out = (bolted & (inside | at_bolt)) | at_plug | sudden
        yield replace(
            u,
            x=np.where(inside, u.x, (start + end) / 2.0),
            use=np.where(out, np.nan, np.where(inside, u.use, 0.0)),
            demand=np.where(inside, u.demand, 0.0),
            unknown=f"{u.unknown}; or a seat with no flaw where a bolt is, and none at a plug's end, where solid wood "
            "ends or at the foot of a steep shoulder",
        )


def _changes(shaft: Shaft, start: Array, end: Array) -> Bools:
    """Return whether the shaft changes at once between two places, each (..., 1, 1) [m]."""
    found = np.zeros(np.broadcast_shapes(start.shape, end.shape), dtype=bool)
    if changes_at_once(shaft.stations):
        for p in imported("shaftcheck.checks.ends:places")(shaft):
            found = found | (p.there[LIFT] & (p.x[LIFT] >= start) & (p.x[LIFT] <= end))
    return found


def _asked(beam: Beam, name: str) -> list[Use]:
    """Return the comparisons of one seat that hang on the strength of its wood."""
    rig = beam.shaft.rig
    if not isinstance(rig, Hinged):
        return list(lock(beam, beam.at(rig.lock[LIFT])))
    found = imported("shaftcheck.checks.cradle:cradles")(beam, beam.at(rig.saw[LIFT]))
    return [u for u in found if u.check.startswith(name) and not u.check.endswith("is fixed to")]


def _worst(check: str, found: list[Use]) -> Use:
    """Return the worst of comparisons, case by case and point by point; not known where one of them is not."""
    first, *others = found
    use, demand, capacity, x = first.use, first.demand, first.capacity, first.x
    for u in others:
        more = (u.use > use) | np.isnan(u.use)
        use, demand, capacity, x = (
            np.where(more, b, a) for a, b in ((use, u.use), (demand, u.demand), (capacity, u.capacity), (x, u.x))
        )
    return replace(
        first,
        check=check,
        kind=max(found, key=lambda u: float(np.nan_to_num(u.use, nan=0.0).max())).kind,
        x=x,
        use=use,
        demand=demand,
        capacity=capacity,
        source=f"the worst of {', '.join(u.check for u in found)}; {_LEFT}",
        unknown=f"the flaw's size; or {first.unknown}",
    )


def _reach(j: Joint) -> tuple[Array, Array]:
    """Return from where to where a joint is, the plugs in its halves with it."""
    plug = getattr(j, "plug", None)
    if plug is None:
        return j.start, j.end
    at: Array = getattr(j, "at")  # noqa: B009
    return np.fmin(j.start, at - plug), np.fmax(j.end, at + plug)


def joint_names(f: Flaw, shaft: Shaft) -> tuple[str, ...]:
    """Return the comparisons of `joint_uses`, by name."""
    return tuple(f"{f.kind}, within the {j.kind}" for j in shaft.joints)


def joint_uses(beam: Beam, f: Flaw) -> Iterator[Use]:
    """Yield that a flaw in a joint, or within the shaft's greater size of it, is outside the method."""
    s = beam.at(points(beam, f.start[LIFT], f.end[LIFT])).section
    size = np.maximum(s.depth, s.width).max(axis=(-2, -1))
    for j in beam.shaft.joints:
        first, last = _reach(j)
        shared = overlap(f.start, f.end, first - size, last + size)
        yield settled_use(
            check=f"{f.kind}, within the {j.kind}",
            x=((f.start + f.end) / 2.0)[LIFT],
            open_=(shared > 0.0)[LIFT],
            source=f"the {j.kind}'s own figures are those of sound wood",
            unknown=f"sound wood in the {j.kind} and for the shaft's greater size beside it: what a flaw takes there "
            "is outside the method",
        )
