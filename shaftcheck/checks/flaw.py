"""What is wrong with the piece in hand: creases, dents, tack holes, knots, and what still sits on it.

A crease across the grain is wood that has buckled: a break begun, on whichever face it lies. It is never reckoned with.
"""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from shaftcheck.beam import Beam, Cut
from shaftcheck.checks.compare import BADLY_PLACED, Use, bar_use, settled_use
from shaftcheck.checks.flaw_in import has_company, joint_names, joint_uses, points, seat_names, seat_uses, taken
from shaftcheck.checks.joint import imported
from shaftcheck.checks.net import net_names, net_uses
from shaftcheck.checks.placed import overlap
from shaftcheck.formula import Sym, formula
from shaftcheck.model import Array, Flaw, Hinged, Joint, OnePiece, Shaft

__all__ = ["KINDS", "declared", "flaws", "knot_left", "left_of", "material", "misplaced", "notch_left"]

_NOTCHED = ("dent", "tack holes")
_ON_IT = ("leather", "ferrule")
KINDS = ("crease", *_NOTCHED, "knot", *_ON_IT)


@formula(
    Sym("r_n", "", "section's resistance left"),
    "w h taken from one face, parallel axes, the neutral axis moved (derived)",
    w=Sym("w", "m", "width taken from the face", low=0.0),
    h=Sym("h", "m", "depth taken from the face", low=0.0),
    D=Sym("D", "m", "size in the direction of bending", low=0.0),
    A=Sym("A", "m**2", "area of the whole section", low=0.0),
    I=Sym("I", "m**4", "second moment of the whole section", low=0.0),
)
def notch_left(*, w: Array, h: Array, D: Array, A: Array, I: Array) -> Array:  # noqa: E741
    """What a notch in a face leaves of the section modulus, at the fibre beside the notch.

    From half the depth on the axis is taken as moved no less than there, so a deeper notch never leaves more.
    """
    e = (D - h) / 2
    reach = np.minimum(h, D / 2)
    moved = w * reach * (D - reach) / 2 / (A - w * h)
    left = I - w * h * h * h / 12 - w * h * e * e - (A - w * h) * moved * moved
    return left / I * D / (D + 2 * moved)


@formula(
    Sym("r_k", "", "strength left"),
    "ASTM D245, knots at an edge, about (1 - k/D)^2 (from memory, with doubt)",
    k=Sym("k", "m", "size of the knot", low=0.0),
    D=Sym("D", "m", "least size of the section", low=0.0),
)
def knot_left(*, k: Array, D: Array) -> Array:
    """What a knot at the edge leaves of the bending strength."""
    return np.maximum(1 - k / D, 0) ** 2


def left_of(*, w: Array, h: Array, D: Array, A: Array, I: Array) -> Array:  # noqa: E741
    """Return what a notch leaves of the section modulus [-]: from 1 down to 0, where it takes the section.

    Parameters
    ----------
    w, h : width and depth taken from the face [m]
    D : size in the direction of bending [m]
    A, I : of the whole section [m2, m4]
    """
    gone = (w * h >= A) | (h >= D)
    left = notch_left(w=w, h=np.where(gone, 0.0 * h, h), D=D, A=A, I=I)
    return np.where(np.isnan(left), np.nan, np.where(gone, 0.0, np.maximum(left, 0.0)))


def _names(f: Flaw, shaft: Shaft) -> tuple[str, ...]:
    if f.kind == "crease":
        return ("crease",)
    if f.kind in _ON_IT:
        return (f"{f.kind}, clear of the cradles", *(f"{f.kind}, clear of the {j.kind}" for j in _tubes(shaft)))
    return (*net_names(f.kind), *seat_names(f, shaft), *joint_names(f, shaft))


def _tubes(shaft: Shaft) -> tuple[Joint, ...]:
    """Return the joints whose tube lies over the shaft."""
    return tuple(j for j in shaft.joints if j.kind == "takedown")


def declared(shaft: Shaft) -> tuple[str, ...]:
    """Return the comparisons of a shaft's flaws and of what it is made of, by name."""
    other = () if np.all(shaft.timber == 1.0) else ("material",)
    return (*other, *(name for f in shaft.flaws for name in _names(f, shaft)))


def material(beam: Beam, cut: Cut) -> Iterator[Use]:
    """Say that a tube of laminate or metal is outside the method; nothing where all is timber."""
    timber = beam.shaft.timber
    if np.all(timber == 1.0):
        return
    yield settled_use(
        check="material",
        x=beam.place("hand")[..., None, None],
        open_=(timber != 1.0)[..., None, None],
        source="the ladder and the sections' rules are those of timber",
        unknown="a shaft of timber. Of a laminate or metal tube: its own strengths along, across and round the tube, "
        "from its maker or a test; and to be cut and clamped it needs a plug or a sleeve in each cradle, as long as "
        "the cradle and a depth beyond",
    )


def flaws(beam: Beam, cut: Cut) -> Iterator[Use]:
    """Yield the comparisons of every flaw of the shaft."""
    for f in beam.shaft.flaws:
        if f.kind == "crease":
            yield _crease(beam, f)
        elif f.kind in _ON_IT:
            yield _clear(beam, f)
            for j in _tubes(beam.shaft):
                yield _out_of_the_tube(f, j)
        else:
            yield from _net(beam, f)
            yield from seat_uses(beam, f)
            yield from joint_uses(beam, f)


def _must(f: Flaw, check: str, over: Array, source: str, kind: str = BADLY_PLACED) -> Use:
    length = over[..., None, None]
    return bar_use(check, ((f.start + f.end) / 2.0)[..., None, None], length, 0.0 * length, source, kind=kind)


def _crease(beam: Beam, f: Flaw) -> Use:
    rig, end = beam.shaft.rig, beam.shaft.blade.tip  # water bends the blade, and a push off the tip
    if isinstance(rig, OnePiece):
        loaded = overlap(f.start, f.end, rig.hand, end)
    else:  # what the saw takes is gone
        loaded = overlap(f.start, f.end, rig.hand, rig.saw) + overlap(f.start, f.end, rig.restart, end)
    source = "a compression failure: wood that has buckled breaks there in tension at a fraction of its strength "
    source += "(Wood Handbook ch. 5 on compression failures; FAA AC 43.13-1B ch. 1, wood with them is not acceptable; "
    source += "both from memory)"
    return _must(f, "crease", loaded, source, "has begun to break")


def _gripped(f: Flaw, shaft: Shaft) -> Array:
    """Return the length that something on the shaft lies under its cradles [m]."""
    rig = shaft.rig
    return 0.0 * f.start if isinstance(rig, OnePiece) else overlap(f.start, f.end, rig.inner_from, rig.outer_to)


def _clear(beam: Beam, f: Flaw) -> Use:
    source = "nothing between wood and cradle but its liner; holes and rot are under it (common practice, no source)"
    return _must(f, f"{f.kind}, clear of the cradles", _gripped(f, beam.shaft), source)


def _out_of_the_tube(f: Flaw, j: Joint) -> Use:
    over = overlap(f.start, f.end, j.start, j.end)
    source = "the tube bears on the wood itself; holes and rot are under what sits on it (common practice, no source)"
    return _must(f, f"{f.kind}, clear of the {j.kind}", over, source)


def misplaced(shaft: Shaft) -> tuple[tuple[Flaw, str], ...]:
    """Return what sits where it must not, on a single shaft, each with where that is, in words."""
    out = []
    for f in shaft.flaws:
        if f.kind in _ON_IT and np.any(_gripped(f, shaft) > 0.0):
            out.append((f, "the cradles grip"))
        if f.kind in _ON_IT and any(np.any(overlap(f.start, f.end, j.start, j.end) > 0.0) for j in _tubes(shaft)):
            out.append((f, "the takedown's tube lies"))
    return tuple(out)


_SHARED = "; with it all flaws nearer than the shaft's greater size, which share its section: "
_SHARED += (
    "knots' sizes added (ASTM D245, from memory), notches side by side in one face (the worst way to lie, derived), "
)
_SHARED += "a knot in what notches leave of the least size"


def _net(beam: Beam, f: Flaw) -> Iterator[Use]:
    lift = (..., None, None)
    here = beam.at(points(beam, f.start[lift], f.end[lift]))
    s = here.section
    least = np.minimum(s.depth, s.width)
    t = taken(beam.shaft, f, here.x, s)
    sound = np.maximum(least - t.deep, 1e-9)
    knot = knot_left(k=t.knots, D=sound)
    # taken from the face that is bent, each way: the worse of the two faces that it may lie on
    stroke, flat = (
        left_of(w=t.wide, h=t.deep, D=size, A=s.area, I=second)
        for size, second in ((s.depth, s.second_stroke), (s.width, s.second_flat))
    )
    if f.kind == "knot":
        why = "ASTM D245, knots at an edge, about (1 - k/D)^2, wherever it lies (from memory, with doubt)"
        missing = "the knot's size"
    else:
        why = "flexure formula on what width and depth taken from the face leave (derived), at the worse face"
        missing = "how deep and how wide it is"
    if isinstance(beam.shaft.rig, Hinged):
        mouth = imported("shaftcheck.checks.mouth:raised")(beam, here.x)
        stroke, flat = stroke * mouth, flat * mouth
        why += "; beside a cradle's mouth times what it raises, 1.25 or 1.5 (judgement)"
    if has_company(beam.shaft, f):
        why, missing = why + _SHARED, f"{missing}, or the size of another that shares its section"
    yield from net_uses(
        beam,
        here,
        f.kind,
        stroke=stroke * knot,
        flat=flat * knot,
        area=np.maximum(1.0 - t.wide * t.deep / s.area, 0.0) * np.maximum(1.0 - t.knots / sound, 0.0),
        source=why,
        unknown=missing,
    )
