"""One half of a takedown joint in the tube: where it lies, what acts on it, and what presses and shears it there."""

from __future__ import annotations

import numpy as np

from shaftcheck.beam import Beam, Cut
from shaftcheck.checks.clamped import inner_shear, rigid_edge, rigid_inner, seat_beta, seat_pieces
from shaftcheck.checks.column import crush
from shaftcheck.checks.cradle import ACROSS_STIFF, seat_stiffness
from shaftcheck.checks.dowel import SLANT, from_the_end
from shaftcheck.checks.takedown_build import Takedown
from shaftcheck.frozen import frozen
from shaftcheck.model import Array, number
from shaftcheck.sections import oval_second_moment
from shaftcheck.trace import Sym, constant

__all__ = [
    "GRID",
    "HALVES",
    "LEAST_SHOULDER",
    "LIFT",
    "Half",
    "beta_of",
    "half_of",
    "joined",
    "peaks",
    "pressed_inside",
    "pulls",
    "repeated",
    "seat_of",
    "still_and_not",
]

HALVES = ("inner", "outer")
LEAST_SHOULDER = 0.5e-3
"""a lower step under the tube is the fit and no shoulder (judgement) [m]"""
LIFT = (..., None, None)
GRID = constant(
    np.linspace(0.0, 1.0, 33),
    Sym("t", "", "from 0 to 1 along the engaged length: the worst of 33 places"),
    "by definition",
)
NO_TUBE = "a value of the tube's material: see the table of tubes"
NO_HOLD = (
    "a pin or a button in each half, and what it is of; or a clamp, with the pull at which it slips (clamp_slips_at): "
    "mere fit is outside the method"
)


@frozen
class Half:
    """One half in the tube: where it lies and what acts at its mid-overlap; arrays (..., cases, 1)."""

    name: str
    length: Array
    x: Array
    """(..., 1, points) from the wood's end to the mouth"""
    mouth: Array
    """just outside [m]"""
    inward: float
    """1 where x rises from the mouth to the wood's end, -1 where it falls"""
    mid: Cut
    inside: Cut
    """at the points x"""
    beside: Cut
    """just outside the mouth"""
    beyond: Cut
    """from the mouth on to a depth beyond: a lip at the mouth takes nothing off what it raises"""
    from_the_end: Array
    """diameters that a pin is to stand from the wood's end"""

    def least(self, values: Array) -> Array:
        """Return the least of a limit over the engaged length, so that every wood in it counts."""
        least: Array = values.min(axis=-1, keepdims=True)
        return least

    def limit(self, name: str) -> Array:
        """Return the least limit of the wood inside, (..., cases, 1) [Pa]."""
        return self.least(self.inside.limit(name))  # type: ignore[arg-type]

    def moments(self) -> tuple[tuple[Array, Array], ...]:
        """Return moment at mid-overlap and shear force towards the mouth: fore and aft, up and down, its weight."""
        m, s = self.mid, -self.inward
        return (
            (m.moment_stroke, s * m.forward),
            (m.moment_flat, s * m.up),
            (m.still_flat, s * m.still_up),
        )


def half_of(beam: Beam, j: Takedown, name: str) -> Half:
    """Return the inner or the outer half in the tube."""
    inner = name == "inner"
    inward = 1.0 if inner else -1.0
    length = (j.inner if inner else j.outer)[LIFT]
    free = j.at[LIFT] - inward * j.gap[LIFT] / 2.0
    mouth = free - inward * length
    x = free - inward * length * np.clip(GRID, 1e-9, 1.0 - 1e-9)
    inside = beam.at(x)
    beside = beam.at(mouth - inward * 1e-9)
    depth = np.maximum(beside.section.depth, beside.section.width)
    return Half(
        name=name,
        length=length,
        x=x,
        mouth=mouth,
        inward=inward,
        mid=beam.at(free - inward * length / 2.0),
        inside=inside,
        beside=beside,
        beyond=beam.at(mouth - inward * (1e-9 + depth * np.linspace(0.0, 1.0, 9))),
        from_the_end=from_the_end(beam, inside).max(axis=-1, keepdims=True),
    )


def peaks(moment: Array, away: Array, length: Array) -> tuple[Array, Array]:
    """Return the greatest shear force in the wood and in the tube along an engaged length.

    Where the moment rises towards the mouth the greater pressure is at the wood's end, and the wood has the greater
    shear; where it falls, at the mouth, and the tube has it. Wood and tube are each other's mirror image.
    """
    m, v = np.abs(moment), np.abs(away)
    edge = np.maximum(rigid_edge(V=v, M_c=m, L=length), 1e-12)
    other = np.maximum(rigid_inner(V=v, M_c=m, L=length), 0.0)
    rises = moment * away > 0.0
    mouth, end = np.where(rises, other, edge), np.where(rises, edge, other)
    wood = inner_shear(w_i=end, w=mouth, L=length)
    tube = inner_shear(w_i=mouth, w=end, L=length)
    return np.maximum(wood, v), np.maximum(tube, v)


def repeated(beam: Beam) -> Array:
    """Return 1 for each repeated case, (cases, 1)."""
    return np.array([[float(c.repeated)] for c in beam.cases])


def pulls(beam: Beam, j: Takedown) -> tuple[Array, Array]:
    """Return what pulls the halves apart and what presses them together, (..., cases, 1), neither negative [N].

    Where there is a gap the wood ends can't press on each other: the fixing takes both.
    """
    cut = beam.at(j.at[LIFT])
    pull = np.stack(np.broadcast_arrays(*(c.pull for c in beam.cases)), axis=-1)[..., None]
    slant = SLANT * np.nan_to_num(np.abs(pull), nan=0.0)
    pressed = np.maximum(-cut.axial, 0.0)
    apart = np.maximum(cut.axial, 0.0) + slant
    open_ = j.gap[LIFT] > 0.0
    return np.where(open_, np.maximum(apart, pressed), apart), np.where(open_, 0.0, pressed)


def pressed_inside(half: Half, area: Array) -> Array:
    """Return the push along the shaft over an area of the wood inside, over what it may be, (..., cases, 1) [-].

    The whole push, up to the wood's end: no credit for what a pin or a shoulder takes of it on the way.
    """
    return crush(N=half.beside.axial, A=area) / half.limit("compression")


def joined(parts: tuple[Array, ...] | list[Array]) -> Array:
    """Return arrays set one after the other along the points."""
    shape = np.broadcast_shapes(*(p.shape[:-1] for p in parts))
    return np.concatenate([np.broadcast_to(p, (*shape, p.shape[-1])) for p in parts], axis=-1)


def seat_of(beam: Beam, half: Half, size: Array) -> Array:
    """Return the line stiffness of the wood in the tube, without a liner [Pa].

    Of a stiff piece, whose mouth presses most; of several woods in it the stiffest.
    """
    (stiff, _), _ = seat_pieces(beam, half.inside)
    return _line(stiff.max(axis=-1, keepdims=True), size)


def beta_of(beam: Beam, half: Half, size: Array) -> Array:
    """Return how fast the seat takes over, of the piece in which it does so sooner [1/m]."""
    second = oval_second_moment(w=size, d=size)
    each = [
        seat_beta(k=_line(seat, size), E=along, I=second).max(axis=-1, keepdims=True)
        for seat, along in seat_pieces(beam, half.inside)
    ]
    beta: Array = np.maximum(*each)
    return beta


def _line(modulus: Array, size: Array) -> Array:
    return seat_stiffness(E=modulus, r=ACROSS_STIFF, b=size, d=size, t=number(0.0), E_l=number(1e9))


def still_and_not(half: Half) -> tuple[tuple[Array, Array], tuple[Array, Array]]:
    """Return shear force and moment at mid-overlap, both ways together, of the loads and of the weight."""
    (m_s, v_s), (m_f, v_f), (m_w, v_w) = half.moments()
    return (np.hypot(v_s, v_f), np.hypot(m_s, m_f)), (np.abs(v_w), np.abs(m_w))
