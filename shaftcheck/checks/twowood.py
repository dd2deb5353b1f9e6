"""A section of two woods: one part of it on each side of a straight cut across the depth or the width."""

from __future__ import annotations

import numpy as np

from shaftcheck.formula import Sym
from shaftcheck.frozen import frozen
from shaftcheck.gauss import gauss
from shaftcheck.model import Array
from shaftcheck.trace import quiet, solved

__all__ = ["TwoWood", "two_wood"]

_NODES, _WEIGHTS = gauss(24)


@frozen
class TwoWood:
    """Fibre stress for unit moment in each of two woods, all of one shape [1/m3].

    *Across* is bending in the direction that the cut goes through, *along* the other. The stress is the greatest in
    that wood, without sign.
    """

    below_across: Array
    above_across: Array
    below_along: Array
    above_along: Array


_INPUTS = (
    Sym("d", "m", "size in the direction that the cut goes through"),
    Sym("w", "m", "size across it"),
    Sym("n", "", "exponent of the section's curve"),
    Sym("z", "", "place of the cut, from -1 at the lower face to 1 at the upper"),
    Sym("E_1", "Pa", "modulus of elasticity below the cut"),
    Sym("E_2", "Pa", "modulus of elasticity above the cut"),
)
_STRESSES = {
    "below_across": Sym("k_1", "m**-3", "fibre stress for unit moment through the cut, wood below it"),
    "above_across": Sym("k_2", "m**-3", "fibre stress for unit moment through the cut, wood above it"),
    "below_along": Sym("k_3", "m**-3", "fibre stress for unit moment along the cut, wood below it"),
    "above_along": Sym("k_4", "m**-3", "fibre stress for unit moment along the cut, wood above it"),
}
_WORDS = "transformed section, integrated over both parts"
_SOURCE = "transformed section, Gere & Goodno, Mechanics of Materials, 6.2 and 6.3 (from memory)"


def two_wood(size: Array, other: Array, exponent: Array, cut: Array, below: Array, above: Array) -> TwoWood:
    """Return the stresses of a section cut at a place through one of its sizes.

    Transformed section (Gere & Goodno, Mechanics of Materials, 6.2 and 6.3, from memory): plane sections, full bond.

    Parameters
    ----------
    size : any one shape - size in the direction that the cut goes through [m]
    other : same shape - size across it [m]
    exponent : same shape - of the section's curve [-]
    cut : same shape - place of the cut, from -1 at the lower face to 1 at the upper [-]
    below, above : same shape - modulus of elasticity of each part [Pa]
    """
    with quiet():
        inner = _two_wood(size, other, exponent, cut, below, above)
    values = (size, other, exponent, cut, below, above)
    inputs = dict(zip(_INPUTS, values, strict=True))
    return TwoWood(**{
        name: solved(getattr(inner, name), sym, _WORDS, _SOURCE, inputs) for name, sym in _STRESSES.items()
    })  # fmt: skip


def _two_wood(size: Array, other: Array, exponent: Array, cut: Array, below: Array, above: Array) -> TwoWood:
    p = np.minimum(exponent, 1e3)[..., None]
    edge = np.clip(cut, -1.0, 1.0)
    angle = np.arcsin(edge)

    def part(low: Array, high: Array) -> tuple[Array, ...]:
        """Return area, first and second moment, and second moment the other way, of unit half size and width."""
        half, middle = (high - low)[..., None] / 2.0, (high + low)[..., None] / 2.0
        phi = middle + half * _NODES
        z = np.sin(phi)
        chord = np.maximum(1.0 - np.abs(z) ** p, 0.0) ** (1.0 / p)
        w = half * _WEIGHTS * np.cos(phi)
        return tuple(np.sum(w * f, axis=-1) for f in (chord, z * chord, z * z * chord, chord**3))

    quarter = np.full_like(edge, np.pi / 2.0)
    a = part(-quarter, angle)
    b = part(angle, quarter)
    r = size / 2.0
    scale = (other * r, other * r**2, other * r**3, other**3 / 12.0 * r)
    area, first, second, flat = (s * (below * x + above * y) for s, x, y in zip(scale, a, b, strict=True))
    centre = first / area
    stiff = second - centre * centre * area
    glue = edge * r
    half_chord = other / 2.0 * np.maximum(1.0 - np.abs(edge) ** p[..., 0], 0.0) ** (1.0 / p[..., 0])
    full = other / 2.0
    return TwoWood(
        below_across=below * np.maximum(np.abs(-r - centre), np.abs(glue - centre)) / stiff,
        above_across=above * np.maximum(np.abs(r - centre), np.abs(glue - centre)) / stiff,
        below_along=below * np.where(edge >= 0.0, full, half_chord) / flat,
        above_along=above * np.where(edge <= 0.0, full, half_chord) / flat,
    )
