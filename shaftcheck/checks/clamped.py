"""A shaft held over a length: bearing and inner shear, stiff or on a springy seat. Sockets and cradles both use it."""

from __future__ import annotations

import numpy as np

from shaftcheck.beam import Beam, Cut
from shaftcheck.formula import Sym, formula
from shaftcheck.model import Array

__all__ = ["foundation_edge", "inner_shear", "rigid_edge", "rigid_inner", "seat_beta", "seat_pieces", "springy_shear"]

_V = Sym("V", "N", "shear force at the edge", low=0.0)
_M = Sym("M", "N*m", "bending moment at the edge", low=0.0)
_L = Sym("L", "m", "length that is held", low=0.0)
_SHEET = "Abbott Aerospace AA-SM-003, after Burandt (1959), beam in a socket"


@formula(
    Sym("w", "N/m", "greatest line load"),
    _SHEET,
    V=_V,
    M_c=Sym("M_c", "N*m", "bending moment at mid-length", low=0.0),
    L=_L,
)
def rigid_edge(*, V: Array, M_c: Array, L: Array) -> Array:
    """Greatest line load of a stiff shaft in a stiff socket: V/L + 6 M_c/L^2, M_c taken at the socket's middle."""
    return V / L + 6 * M_c / (L * L)


@formula(
    Sym("w_i", "N/m", "line load at the other end"),
    _SHEET,
    V=_V,
    M_c=Sym("M_c", "N*m", "bending moment at mid-length", low=0.0),
    L=_L,
)
def rigid_inner(*, V: Array, M_c: Array, L: Array) -> Array:
    """Line load at the inner end of a stiff socket, the other way: 6 M_c/L^2 - V/L; below zero where V outweighs."""
    return 6 * M_c / (L * L) - V / L


@formula(
    Sym("V_i", "N", "greatest shear force inside"),
    _SHEET,
    w_i=Sym("w_i", "N/m", "line load at the inner end"),
    w=Sym("w", "N/m", "line load at the mouth", low=0.0),
    L=_L,
)
def inner_shear(*, w_i: Array, w: Array, L: Array) -> Array:
    """Greatest shear force inside a stiff socket: w_i a / 2 with a = L w_i / (w + w_i), where the pressure is nil."""
    return w_i * np.abs(w_i) * L / (2 * (w + w_i))


@formula(
    Sym("beta", "1/m", "how fast the seat takes over"),
    "Hetenyi, Beams on Elastic Foundation (1946) (from memory); Boresi & Schmidt, Advanced Mechanics of Materials, 10",
    k=Sym("k", "Pa", "seat's line stiffness", low=0.0),
    E=Sym("E", "Pa", "modulus of elasticity", low=0.0),
    I=Sym("I", "m**4", "second moment of area", low=0.0),
)
def seat_beta(*, k: Array, E: Array, I: Array) -> Array:  # noqa: E741
    """(k / 4 E I)^(1/4)."""
    return (k / (4 * E * I)) ** 0.25


@formula(
    Sym("w_e", "N/m", "greatest line load"),
    "Hetenyi, Beams on Elastic Foundation (1946), finite beam with free ends, end force and end moment (from memory)",
    V=_V,
    M=_M,
    beta=Sym("beta", "1/m", "how fast the seat takes over", low=0.0),
    L=_L,
)
def foundation_edge(*, V: Array, M: Array, beta: Array, L: Array) -> Array:
    """Line load at the edge of a springy seat of any length; falls to the stiff shaft's as beta L goes to zero."""
    u = beta * L
    d = np.sinh(u) * np.sinh(u) - np.sin(u) * np.sin(u)
    force = (np.sinh(u) * np.cosh(u) - np.sin(u) * np.cos(u)) / d
    moment = (np.sinh(u) * np.sinh(u) + np.sin(u) * np.sin(u)) / d
    edge: Array = 2 * V * beta * force + 2 * M * beta * beta * moment
    return edge


@formula(
    Sym("V_i", "N", "shear force inside"),
    "Hetenyi, Beams on Elastic Foundation (1946), long beam with end force and end moment (from memory); the two added "
    "without their signs",
    V=Sym("V", "N", "shear force at the mouth", low=0.0),
    M=Sym("M", "N*m", "bending moment at the mouth", low=0.0),
    beta=Sym("beta", "1/m", "how fast the seat takes over", low=0.0),
    u=Sym("u", "", "way from the mouth times beta", low=0.0),
)
def springy_shear(*, V: Array, M: Array, beta: Array, u: Array) -> Array:
    """Shear force inside a long springy socket; a moment alone gives at most 0.645 beta M."""
    inside: Array = V * np.exp(-u) * np.abs(np.cos(u) - np.sin(u)) + 2 * M * beta * np.exp(-u) * np.abs(np.sin(u))
    return inside


@formula(
    Sym("E_u", "Pa", "modulus of elasticity of a stiff piece"),
    "upper 5 % of a normal distribution, mean (1 + 1.645 V), as ASTM D2555 takes the lower (from memory)",
    E=Sym("E", "Pa", "modulus of elasticity, mean", low=0.0),
    v=Sym("V", "", "its coefficient of variation", low=0.0, high=0.55),
)
def stiff_modulus(*, E: Array, v: Array) -> Array:
    """Modulus of elasticity that 95 of 100 pieces do not exceed."""
    return E * (1 + 1.645 * v)


def seat_pieces(beam: Beam, cut: Cut) -> tuple[tuple[Array, Array], tuple[Array, Array]]:
    """Return of a stiff piece and of a mean one what its seat and what its bending hang on, (..., 1, points) [Pa].

    Of each: the modulus that the seat's stiffness across the grain is taken as a part of, and the one along the shaft.
    Run-out lowers the one along and not the one across. A stiffer piece presses harder at a mouth, so the worse of the
    two pieces governs.
    """
    pieces = beam.shaft.pieces
    table, scatter = (
        cut.pick(np.stack(np.broadcast_arrays(*values), axis=-1)[..., None, :])
        for values in ([p.wood.dry.stiffness for p in pieces], [p.wood.scatter.stiffness for p in pieces])
    )
    along = cut.limit("stiffness")
    stiff, stiff_along = stiff_modulus(E=table, v=scatter), stiff_modulus(E=along, v=scatter)
    return (stiff, stiff_along), (table, along)
