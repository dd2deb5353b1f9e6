"""A pin, a bolt or a button's peg in wood: what its hole leaves of a section, and when it bends over in it."""

from __future__ import annotations

import numpy as np

from shaftcheck.beam import Beam, Cut
from shaftcheck.formula import Sym, formula
from shaftcheck.model import Array
from shaftcheck.trace import constant

__all__ = [
    "FROM_THE_EDGE",
    "IN_A_ROW",
    "SLANT",
    "from_the_end",
    "pin_bends",
    "second_left",
    "surface_force",
    "width_left",
]

SLANT = constant(
    0.36,
    Sym("k_sl", "", "pull along the shaft over the pull at the hand, for a hand's force that slants"),
    "tan 20 degrees (derived)",
)
FROM_THE_EDGE = constant(4.0, Sym("n_e", "", "bolt's diameters to a loaded edge"), "NDS Table 12.5.1C (from memory)")
IN_A_ROW = constant(4.0, Sym("n_r", "", "diameters from one to the next in a row"), "NDS Table 12.5.1B (from memory)")
_END = "NDS Table 12.5.1A, drawn along the grain (from memory)"
_FROM_THE_END = (
    constant(7.0, Sym("n_e", "", "bolt's diameters to the end, softwood"), _END),
    constant(5.0, Sym("n_e", "", "bolt's diameters to the end, hardwood"), _END),
)


def from_the_end(beam: Beam, cut: Cut) -> Array:
    """Return how many diameters a bolt or pin is to stand from the end of the wood at the points of a cut."""
    hard = cut.pick(np.stack(np.broadcast_arrays(*(p.wood.hardwood for p in beam.shaft.pieces)), -1)[..., None, :])
    return np.where(hard == 1.0, _FROM_THE_END[1], _FROM_THE_END[0])


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
