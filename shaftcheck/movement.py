"""How far the shaft gives: movement at the blade and the hand, by virtual work, with shear flexibility shown."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from shaftcheck import sections
from shaftcheck.beam import mesh
from shaftcheck.frozen import frozen
from shaftcheck.gauss import gauss
from shaftcheck.model import Array, OnePiece, Piece, Shaft
from shaftcheck.strength import ACROSS, DRY_AT, hankinson_stiffness, moisture_ratio
from shaftcheck.trace import Sym, is_listening, quiet, solved

__all__ = ["Give", "give", "stiffness_at"]


@frozen
class Give:
    """Movement square to the shaft for a unit force outboard, by default at the blade centre [m/N], of the batch shape.

    `clamped` takes the shaft as clamped at the lock (or in the outer cradle); `held` as held at the hand and resting
    on the lock: the two differ by half as much again or more. Of a hinged rig both are clamped.
    """

    clamped: Array
    clamped_shear: Array
    """the part of it that is shear [m/N]"""
    held: Array
    hand: Array
    """movement of the hand for a unit force at the hand, clamped at the lock or at the inner cradle [m/N]"""


def stiffness_at(shaft: Shaft, x: Array, *, in_use: bool) -> tuple[Array, Array]:
    """Return modulus of elasticity and shear modulus at x, of the shape of x (..., 1, points) [Pa].

    Parameters
    ----------
    in_use : at the moisture and run-out in use (mean); otherwise at 12 % and straight, which is stiffer; either way as
        measured where the piece in hand was
    """
    e_all, g_all = None, None
    for piece in shaft.pieces:
        e, g = (v[..., None, None] + 0.0 * x for v in _of_piece(piece, in_use))
        later = x >= piece.start[..., None, None]
        e_all = e if e_all is None else np.where(later, e, e_all)
        g_all = g if g_all is None else np.where(later, g, g_all)
    assert e_all is not None
    assert g_all is not None
    return e_all, g_all


def _of_piece(piece: Piece, in_use: bool) -> tuple[Array, Array]:
    """Return modulus of elasticity and shear modulus of one piece, as `stiffness_at` does [Pa]."""
    wood = piece.wood
    table = wood.dry.stiffness
    e = np.where(np.isnan(wood.measured_stiffness), table, wood.measured_stiffness)
    if in_use:
        moisture = np.minimum(np.maximum(piece.moisture, DRY_AT), wood.green_at)
        ratio = moisture_ratio(
            dry=table, green=wood.green.stiffness, moisture=moisture, green_at=wood.green_at, dry_at=DRY_AT
        )
        e = e * np.minimum(ratio, 1.0) * hankinson_stiffness(s=piece.slope, ratio=ACROSS)
    return e, e * wood.shear_ratio


_GAUSS, _GAUSS_W = gauss(8)


_BENT = (
    "integral of (x_b - x)^2/(E I) + 10/(9 G A) over x from x_s to x_b, I and A of the section at x, beyond the last "
    "section those of the last"
)
_TILTED = (
    "; and that of (x - x_h)^2/(E I) + 10/(9 G A) over x from x_h to x_s, times the square of (x_b - x_s)/(x_s - x_h)"
)
_DRY, _WET = "at 12 % moisture and straight-grained, or as measured", "at the moisture and run-out in use"


def _told(held: Array, shaft: Shaft, in_use: bool, outboard: Array) -> Array:
    """Return the movement outboard as a listener is told of it: with all that it takes to find it again."""
    rig = shaft.rig
    inputs: dict[Sym, Array] = {Sym("x_b", "m", "from the handle end to where the force acts"): outboard}
    if isinstance(rig, OnePiece):
        sym = Sym("y_h", "m/N", "movement for a unit force, held at the hand and resting on the lock")
        inputs[Sym("x_s", "m", "from the handle end to the lock")] = rig.lock
        inputs[Sym("x_h", "m", "from the handle end to the hand")] = rig.hand
    else:
        sym = Sym("y_c", "m/N", "movement for a unit force, clamped in the outer cradle")
        inputs[Sym("x_s", "m", "from the handle end to the outer cradle's end")] = rig.outer_to
    for i, piece in enumerate(shaft.pieces, 1):
        below, of = (f"_{i}", f" of piece {i}") if len(shaft.pieces) > 1 else ("", "")
        e, g = _of_piece(piece, in_use)
        how = _WET if in_use else _DRY
        inputs[Sym(f"E{below}", "Pa", f"modulus of elasticity{of}, mean, {how}")] = e
        inputs[Sym(f"G{below}", "Pa", f"shear modulus{of}")] = g
    words = _BENT + (_TILTED if isinstance(rig, OnePiece) else "")
    return solved(held, sym, words, "virtual work (by definition)", inputs)


def give(shaft: Shaft, *, in_use: bool = True, at: Array | None = None) -> Give:
    """Return the movement for unit forces; beyond the last station the section is that of the last station.

    Parameters
    ----------
    at : where outboard the force acts and the movement is taken [m]; the blade's centre if not given

    Shear is taken with form factor 10/9 of ovals for all sections (energy of the parabolic shear stress; Roark's
    Formulas for Stress and Strain, 8.10, from memory); its share is small.
    """
    with quiet():
        g = _give(shaft, in_use, at)
    if not is_listening():
        return g
    return replace(g, held=_told(g.held, shaft, in_use, shaft.blade.centre if at is None else at))


def _give(shaft: Shaft, in_use: bool, at: Array | None) -> Give:
    ends = mesh(shaft, 2)[..., 0, :]
    outboard = shaft.blade.centre if at is None else at
    last = np.broadcast_to(outboard[..., None], (*ends.shape[:-1], 1))
    ends = np.sort(np.concatenate([ends, last], axis=-1), axis=-1)
    half, middle = (ends[..., 1:] - ends[..., :-1]) / 2.0, (ends[..., 1:] + ends[..., :-1]) / 2.0
    x = (middle[..., None] + half[..., None] * _GAUSS).reshape(*ends.shape[:-1], 1, -1)
    w = (half[..., None] * _GAUSS_W).reshape(*ends.shape[:-1], -1)
    section = sections.properties(*np.broadcast_arrays(*sections.at(x, shaft.stations)))
    e, g = stiffness_at(shaft, x, in_use=in_use)
    x1 = x[..., 0, :]
    bend = (1.0 / (e * section.second_stroke))[..., 0, :]
    slip = (10.0 / 9.0 / (g * section.area))[..., 0, :]
    rig, blade = shaft.rig, outboard[..., None]
    inner = (rig.lock if isinstance(rig, OnePiece) else rig.inner_from)[..., None]
    outer = (rig.lock if isinstance(rig, OnePiece) else rig.outer_to)[..., None]
    hand = rig.hand[..., None]
    out = np.clip(blade - x1, 0.0, None) * (x1 >= outer)
    inb = np.clip(x1 - hand, 0.0, None) * (x1 < inner)
    shear_out = np.sum(w * slip * (out > 0.0), axis=-1)
    clamped = np.sum(w * bend * out * out, axis=-1) + shear_out
    at_hand = np.sum(w * bend * inb * inb, axis=-1) + np.sum(w * slip * (inb > 0.0), axis=-1)
    if isinstance(rig, OnePiece):
        tilt = ((blade - outer) / (inner - hand))[..., 0]
        held = clamped + at_hand * tilt * tilt
    else:
        held = clamped
    return Give(clamped=clamped, clamped_shear=shear_out, held=held, hand=at_hand)
