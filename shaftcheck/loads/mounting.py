"""What a hinged rig does to its pins, its link and whatever they are bolted to, under each load case.

Plan view. The inner half turns on the inner pin, the hand at a distance a from it; the outer half on the outer pin, the
blade at b; the pins stand s apart. The link's force passes the inner pin at the distance R_i and the outer at R_o,
R_i = r R_o with r the swing of the blade half over that of the hand half (virtual work; R_i + R_o = s for two gears).

Each half in moments about its own pin:   T R_i = M_i,   T R_o = M_o,   so M_o = M_i / r.
Each half in forces along the boat:       A = F_i + T,   B = F_o + T,   the link's force parallel to the hand's;
at most that in any other direction. The whole in moments about the inner pin: C = M_i + M_o + s F_o, whatever the link.
"""

from __future__ import annotations

import numpy as np

from shaftcheck.beam import Beam
from shaftcheck.formula import Sym, formula
from shaftcheck.frozen import frozen
from shaftcheck.model import Array, Hinged

__all__ = ["Mounting", "mounting"]

_DERIVED = "moments and forces of each half about its own pin (derived)"


@formula(
    Sym("T", "N", "force of the link"),
    _DERIVED,
    M=Sym("M", "N*m", "moment about the inner pin", low=0.0),
    R=Sym("R", "m", "from the inner pin square to the line of the link's force", low=0.0),
)
def link_force(*, M: Array, R: Array) -> Array:
    """Force of the link that holds a moment about the inner pin."""
    return M / R


@formula(
    Sym("A", "N", "force on a pin"),
    f"{_DERIVED}; at most this where the link's force is not parallel to the hand's",
    F=Sym("F", "N", "force of hand or water on the half", low=0.0),
    T=Sym("T", "N", "force of the link", low=0.0),
)
def pin_most(*, F: Array, T: Array) -> Array:
    """Force on a pin: what pulls at the half and the link's force act the same way."""
    return F + T


@formula(
    Sym("C", "N*m", "couple on the mounting"),
    "moments of hand and water about the inner pin (derived)",
    M_i=Sym("M_i", "N*m", "moment of the inner half about its pin", low=0.0),
    M_o=Sym("M_o", "N*m", "moment of the outer half about its pin", low=0.0),
    s=Sym("s", "m", "from pin to pin", low=0.0),
    F_o=Sym("F_o", "N", "force of the water", low=0.0),
)
def mounting_couple(*, M_i: Array, M_o: Array, s: Array, F_o: Array) -> Array:
    """Couple about the inner pin on what carries both pins: the moments of both halves add."""
    return M_i + M_o + s * F_o


@frozen
class Mounting:
    """What goes to the mounting; arrays (..., cases), nan where the link's arm is not known."""

    hand: Array
    """force on the inner half along the boat [N]"""
    water: Array
    """force on the outer half along the boat [N]"""
    link: Array
    """[N]"""
    inner_pin: Array
    """[N]"""
    outer_pin: Array
    """[N]"""
    couple: Array
    """about the inner pin, in plan [N m]"""
    tilt_inner: Array
    """couple that tips the inner pin, by what acts up and down, the weight in it [N m]"""
    tilt_outer: Array
    """[N m]"""
    along: Array
    """force along the outer half that its cradle holds [N]"""


def mounting(beam: Beam) -> Mounting:
    """Return what each load case does to pins, link and mounting; without friction in the link.

    Where a case leaves the two halves unequal, as a tip forced aside with nobody at the handle, the link holds the
    greater; moments and forces are added without regard to sign, which is exact for every stroke.

    Raises
    ------
    ValueError
        if the rig is not hinged.
    """
    rig = beam.shaft.rig
    if not isinstance(rig, Hinged):
        raise ValueError("a one-piece oar has no pins of its own")

    def held(name: str, pin: Array) -> tuple[Array, Array, Array, Array]:
        """Return force and moment about the pin along the boat, the couple up and down, and the force along."""
        j = beam.places.index(name)
        arm = (beam.centre[..., j] - pin)[..., None]
        push, turn = beam.forward[..., j], beam.couple_forward[..., j]
        up, tip = beam.up[..., j] + beam.still_up[..., j], beam.couple_up[..., j] + beam.still_couple[..., j]
        return np.abs(push), np.abs(turn + push * arm), np.abs(tip + up * arm), np.abs(beam.along[..., j])

    hand, inner, tilt_inner, _ = held("inner cradle", rig.inner_pin)
    water, outer, tilt_outer, along = held("outer cradle", rig.outer_pin)
    link = link_force(M=np.maximum(inner, rig.ratio[..., None] * outer), R=rig.link_arm[..., None])
    return Mounting(
        hand=hand,
        water=water,
        link=link,
        inner_pin=pin_most(F=hand, T=link),
        outer_pin=pin_most(F=water, T=link),
        couple=mounting_couple(M_i=inner, M_o=outer, s=rig.spacing[..., None], F_o=water),
        tilt_inner=tilt_inner,
        tilt_outer=tilt_outer,
        along=along,
    )
