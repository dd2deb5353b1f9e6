"""A pin, a bolt or a button's peg in wood: what its hole leaves of a section, and when it bends over in it."""

from __future__ import annotations

import numpy as np

from shaftcheck.formula import Sym, formula
from shaftcheck.model import Array
from shaftcheck.trace import constant

__all__ = ["SLANT", "pin_bends", "second_left", "surface_force", "width_left"]

SLANT = constant(
    0.36,
    Sym("k_sl", "", "pull along the shaft over the pull at the hand, for a hand's force that slants"),
    "tan 20 degrees (derived)",
)


@formula(
    Sym("r_h", "", "second moment left"),
    "strip w h^3/12 taken from the section, through its middle (derived; the section's own curve takes a little less)",
    w=Sym("w", "m", "strip that is taken, square to the bending", low=0.0),
    h=Sym("h", "m", "the same in the direction of bending", low=0.0),
    I=Sym("I", "m**4", "second moment of the whole section", low=0.0),
)
def second_left(*, w: Array, h: Array, I: Array) -> Array:  # noqa: E741
    """What a hole leaves of the second moment: right through in the bending's direction, or along the neutral axis."""
    return 1 - w * h * h * h / (12 * I)


@formula(
    Sym("r_v", "", "width left"),
    "width less the hole (by definition)",
    d=Sym("d", "m", "width of the hole", low=0.0),
    b=Sym("b", "m", "size that the hole is taken from", low=0.0),
)
def width_left(*, d: Array, b: Array) -> Array:
    """What a hole leaves of the size that it is taken from."""
    return 1 - d / b


@formula(
    Sym("P", "N", "force that a pin or a clamp's grip takes"),
    "force along the shaft and torque over the wood's radius, at right angles (derived)",
    N=Sym("N", "N", "force along the shaft, of each pin or of the clamp", low=0.0),
    T=Sym("T", "N*m", "torque, of each pin or of the clamp"),
    D=Sym("D", "m", "size of the wood", low=0.0),
)
def surface_force(*, N: Array, T: Array, D: Array) -> Array:
    """Force at the wood's surface of what would pull the halves apart and turn them."""
    return np.sqrt(N * N + 4 * T * T / (D * D))


@formula(
    Sym("P", "N", "force at which the pin bends over"),
    "yield line of a dowel between thin plates, 2 sqrt(2 M_y f d) with M_y = s d^3 / 6, Johansen (1949) (from memory)",
    d=Sym("d", "m", "diameter of the pin", low=0.0),
    s=Sym("s", "Pa", "what the pin carries in bending", low=0.0),
    f=Sym("f", "Pa", "what the wood carries under the pin", low=0.0),
)
def pin_bends(*, d: Array, s: Array, f: Array) -> Array:
    """Force at which a pin through the wood bends over inside it."""
    return 2 * d * d * np.sqrt(s * f / 3)
