"""Formulas of a takedown joint's wood in its tube: what presses, what the wood keeps, what plays and swells."""

from __future__ import annotations

import numpy as np

from shaftcheck.formula import Sym, formula
from shaftcheck.model import Array
from shaftcheck.trace import constant

__all__ = [
    "SWELLS",
    "engaged_flexibility",
    "fitted_at",
    "loose_edge",
    "play",
    "seat_give",
    "swelling",
    "touching",
    "tube_moment",
    "wood_moment",
    "wood_shear",
]

SWELLS = tuple(
    constant(
        v, Sym("c", "", f"swelling across the grain over change of moisture, {side}"), "common practice, no source"
    )
    for v, side in ((0.25, "at least"), (0.35, "at most"))
)

_L = Sym("L", "m", "engaged length of one half", low=0.0)
_T = Sym("t", "", "from 0 at the wood's end in the tube to 1 at the mouth", low=0.0, high=1.0)
_MC = Sym("M_c", "N*m", "moment at mid-overlap")
_VA = Sym("V", "N", "shear force, positive where the moment rises towards the mouth")
_DERIVED = "stiff spigot with its pressure a straight line, Burandt (1959), carried on along the spigot (derived)"


@formula(
    Sym("delta", "m", "how far the seat gives at its edge"),
    "line load over line stiffness (by definition); peak over mean of a curved seat",
    p=Sym("p", "Pa", "pressure across the grain", low=0.0),
    b=Sym("b", "m", "width of the seat", low=0.0),
    kappa=Sym("kappa", "", "peak over mean", low=1.0),
    k=Sym("k", "Pa", "seat's line stiffness", low=0.0),
)
def seat_give(*, p: Array, b: Array, kappa: Array, k: Array) -> Array:
    """How far the wood gives under a pressure at the mouth."""
    return p * b / (kappa * k)


@formula(
    Sym("a", "m", "length that touches at each end"),
    "stiff spigot tilted in a loose stiff socket on springy seats (derived)",
    L=_L,
    delta=Sym("delta", "m", "how far the seat gives at its edge", low=0.0),
    g=Sym("g", "m", "clearance, on the diameter", low=0.0),
)
def touching(*, L: Array, delta: Array, g: Array) -> Array:
    """Length over which a loose spigot touches at each end; half the engaged length without clearance."""
    return L * delta / (g + 2 * delta)


@formula(
    Sym("w", "N/m", "greatest line load"),
    "stiff spigot that touches over a length at each end, V/L + 2 M_c / (a (L - 2 a/3)) (derived); without clearance "
    "it is Burandt's V/L + 6 M_c/L^2",
    V=Sym("V", "N", "shear force", low=0.0),
    M_c=Sym("M_c", "N*m", "moment at mid-overlap", low=0.0),
    L=_L,
    a=Sym("a", "m", "length that touches at each end", low=0.0),
)
def loose_edge(*, V: Array, M_c: Array, L: Array, a: Array) -> Array:
    """Greatest line load of a stiff spigot in a loose socket."""
    return V / L + 6 * M_c / (a * (3 * L - 2 * a))


FITTED = constant(
    0.16,
    Sym("M_f", "", "moisture of wood that is dry when it is fitted, 16 %"),
    "as in use where it is varnished and stored dry (judgement)",
)


@formula(
    Sym("s", "m", "what the wood swells by, on the diameter"),
    "0.25 to 0.35 % across the grain for each 1 % of moisture (common practice, no source)",
    D=Sym("D", "m", "size of the wood", low=0.0),
    c=Sym("c", "", "swelling over change of moisture"),
    M_p=Sym("M_p", "", "moisture that it comes to, at most that above which wood swells no more"),
    M=Sym("M", "", "moisture that the wood is fitted at"),
)
def swelling(*, D: Array, c: Array, M_p: Array, M: Array) -> Array:
    """What the wood inside the tube swells by when it gets wetter."""
    return D * c * np.maximum(M_p - M, 0)


def fitted_at(moisture: Array) -> Array:
    """Return the moisture that a clearance is told at: dry, or that in use where it is less [-]."""
    return np.minimum(moisture, FITTED)


@formula(Sym("M_w", "N*m", "moment in the wood"), _DERIVED, M_c=_MC, V=_VA, L=_L, t=_T)
def wood_moment(*, M_c: Array, V: Array, L: Array, t: Array) -> Array:
    """Bending moment that the wood still has inside the tube."""
    return M_c * (3 * t * t - 2 * t * t * t) + V * L * t * t / 2


@formula(Sym("V_w", "N", "shear force in the wood"), _DERIVED, M_c=_MC, V=_VA, L=_L, t=_T)
def wood_shear(*, M_c: Array, V: Array, L: Array, t: Array) -> Array:
    """Shear force that the wood has inside the tube: how fast its moment grows, without its sign."""
    return np.abs(6 * M_c * t * (1 - t) / L + V * t)


@formula(Sym("M_t", "N*m", "moment in the tube"), _DERIVED, M_c=_MC, V=_VA, L=_L, t=_T)
def tube_moment(*, M_c: Array, V: Array, L: Array, t: Array) -> Array:
    """Bending moment that the tube has taken over: all of it at the wood's end, none at the mouth."""
    return M_c * (1 - 3 * t * t + 2 * t * t * t) - V * L * (1 - t) ** 2 / 2


@formula(
    Sym("phi", "N**-1*m**-2", "curvature for a unit moment, mean over the engaged length"),
    "virtual work of a moment that goes over from wood to tube as in a stiff socket: the mean squares of 3t^2 - 2t^3 "
    "and of what it leaves are 13/35 each (derived); forces in equilibrium never give less than the true ones",
    E_t=Sym("E_t", "Pa", "modulus of the tube", low=0.0),
    I_t=Sym("I_t", "m**4", "second moment of the tube", low=0.0),
    E=Sym("E", "Pa", "modulus of the wood", low=0.0),
    I=Sym("I", "m**4", "second moment of the wood inside", low=0.0),
)
def engaged_flexibility(*, E_t: Array, I_t: Array, E: Array, I: Array) -> Array:  # noqa: E741
    """How much wood and tube bend where the one is in the other."""
    return 13 * (1 / (E_t * I_t) + 1 / (E * I)) / 35


@formula(
    Sym("y", "m", "play at the blade's tip"),
    "clearance over engaged length, a tilt, times the distance (derived)",
    g=Sym("g", "m", "clearance, on the diameter", low=0.0),
    L=_L,
    z=Sym("z", "m", "from the joint to the blade's tip", low=0.0),
)
def play(*, g: Array, L: Array, z: Array) -> Array:
    """How far the blade's tip moves freely each way by the clearance of one half."""
    return g / L * z
