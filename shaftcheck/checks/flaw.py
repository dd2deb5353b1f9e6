"""What is wrong with the piece in hand: creases, dents, tack holes, knots, and what still sits on it.

A crease across the grain is wood that has buckled: a break begun, on whichever face it lies. It is never reckoned with.
"""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from shaftcheck.beam import Beam, Cut
from shaftcheck.checks.compare import NOT_CHECKED, Use
from shaftcheck.checks.net import net_names, net_uses
from shaftcheck.checks.placed import overlap
from shaftcheck.formula import Sym, formula
from shaftcheck.model import Array, Flaw, OnePiece, Shaft

__all__ = ["KINDS", "declared", "flaws", "material"]

_NOTCHED = ("dent", "tack holes")
_ON_IT = ("leather", "ferrule")
KINDS = ("crease", *_NOTCHED, "knot", *_ON_IT)
_T = np.linspace(1e-6, 1.0 - 1e-6, 9)


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
    """What a notch in a face leaves of the section modulus, at the fibre beside the notch."""
    e = (D - h) / 2
    moved = w * h * e / (A - w * h)
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
    return (1 - k / D) ** 2


def _names(f: Flaw) -> tuple[str, ...]:
    if f.kind == "crease":
        return ("crease",)
    return (f"{f.kind}, clear of the cradles",) if f.kind in _ON_IT else net_names(f.kind)


def declared(shaft: Shaft) -> tuple[str, ...]:
    """Return the comparisons of a shaft's flaws and of what it is made of, by name."""
    other = () if np.all(shaft.timber == 1.0) else ("material",)
    return (*other, *(name for f in shaft.flaws for name in _names(f)))


def material(beam: Beam, cut: Cut) -> Iterator[Use]:
    """Say that a tube of laminate or metal is outside the method; nothing where all is timber."""
    timber = beam.shaft.timber
    if np.all(timber == 1.0):
        return
    known = np.where(timber == 1.0, 0.0, np.nan)[..., None, None]
    yield Use(
        check="material",
        kind=NOT_CHECKED,
        x=beam.place("hand")[..., None, None],
        use=known,
        demand=known,
        capacity=known + 1.0,
        unit="",
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
        else:
            yield from _net(beam, f)


def _must(x: Array, check: str, kind: str, over: Array, source: str) -> Use:
    length = over[..., None, None]
    return Use(
        check=check,
        kind=kind,
        x=x[..., None, None],
        use=np.where(length > 0.0, np.inf, 0.0 * length),
        demand=length,
        capacity=0.0 * length,
        unit="m",
        source=source,
        unknown="",
    )


def _crease(beam: Beam, f: Flaw) -> Use:
    rig, end = beam.shaft.rig, beam.shaft.blade.centre
    if isinstance(rig, OnePiece):
        loaded = overlap(f.start, f.end, rig.hand, end)
    else:  # what the saw takes is gone
        loaded = overlap(f.start, f.end, rig.hand, rig.saw) + overlap(f.start, f.end, rig.restart, end)
    source = "a compression failure: wood that has buckled breaks there in tension at a fraction of its strength "
    source += "(Wood Handbook ch. 5 on compression failures; FAA AC 43.13-1B ch. 1, wood with them is not acceptable; "
    source += "both from memory)"
    return _must((f.start + f.end) / 2.0, "crease", "has begun to break", loaded, source)


def _clear(beam: Beam, f: Flaw) -> Use:
    rig = beam.shaft.rig
    over = 0.0 * f.start if isinstance(rig, OnePiece) else overlap(f.start, f.end, rig.inner_from, rig.outer_to)
    source = "nothing between wood and cradle but its liner; holes and rot are under it (common practice, no source)"
    return _must((f.start + f.end) / 2.0, f"{f.kind}, clear of the cradles", "is badly placed", over, source)


def _net(beam: Beam, f: Flaw) -> Iterator[Use]:
    lift = (..., None, None)
    here = beam.at(f.start[lift] + (f.end - f.start)[lift] * _T)
    s, w, h = here.section, f.width[lift], f.depth[lift]
    if f.kind == "knot":
        left = knot_left(k=w, D=np.minimum(s.depth, s.width))
        yield from net_uses(
            beam,
            here,
            f.kind,
            stroke=left,
            flat=left,
            area=1.0 - w / np.minimum(s.depth, s.width),
            source="ASTM D245, knots at an edge, about (1 - k/D)^2, wherever it lies (from memory, with doubt)",
            unknown="the knot's size",
        )
        return
    # taken from the face that is bent, each way: the worse of the two faces that it may lie on
    yield from net_uses(
        beam,
        here,
        f.kind,
        stroke=notch_left(w=w, h=h, D=s.depth, A=s.area, I=s.second_stroke),
        flat=notch_left(w=w, h=h, D=s.width, A=s.area, I=s.second_flat),
        area=1.0 - w * h / s.area,
        source="flexure formula on what width and depth taken from the face leave (derived), at the worse face",
        unknown="how deep and how wide it is",
    )
