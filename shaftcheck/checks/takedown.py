"""A takedown joint: the two halves of a wooden shaft meet in a tube and come apart.

The tube holds each half over its own engaged length, as a stiff socket holds a stiff spigot. Along an engaged length
the moment goes over from the wood to the tube; with t from 0 at the wood's end to 1 at the mouth, and the pressure a
straight line, the wood keeps M_c (3 t^2 - 2 t^3) + V L t^2 / 2.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace

import numpy as np

from shaftcheck import sections
from shaftcheck.beam import Beam, Cut
from shaftcheck.checks.clamped import foundation_edge, inner_shear, rigid_edge, rigid_inner, seat_beta
from shaftcheck.checks.column import THRUST, crush, pressed_rows, thrust_use
from shaftcheck.checks.compare import NOT_CHECKED, Use, norm, norm_use, plain_use
from shaftcheck.checks.cradle import ACROSS_STIFF, edge_pressure, seat_stiffness
from shaftcheck.checks.joint import JointKind, Note, Setting
from shaftcheck.checks.lock import CURVED
from shaftcheck.checks.member import (
    LIFE,
    bending_limit,
    exponent,
    fibre_parts,
    fibre_stress,
    form,
    life_use,
    shear_with_twist,
)
from shaftcheck.checks.placed import clear
from shaftcheck.errors import NotFoundError
from shaftcheck.formula import Sym, carried, formula
from shaftcheck.key import Key
from shaftcheck.model import Array, Bools, Joint, Shaft, Station, number
from shaftcheck.sections import oval_area, oval_second_moment, oval_shear, oval_twist
from shaftcheck.strength import MEMBER_SHEAR

__all__ = ["TAKEDOWN", "Takedown"]

RAISERS: dict[str, float] = {"square": 1.5, "tapered": 1.25, "lined": 1.25}
"""what a mouth raises the wood's bending stress by, by how it is made (judgement)"""
METAL, LAMINATE = 1.5, 3.0
"""what a metal's yield and a laminate's strength are divided by (judgement)"""
ENDURES: dict[str, float] = {"aluminium": 0.35, "steel": 0.40, "brass": 0.30, "glass": 0.30, "carbon": 0.30}
"""what is left of a tube's ultimate strength under millions of loads (from memory, with doubt) [-]"""
AT_A_HOLE = 3.0
"""peak over net stress at the edge of a small hole (from memory); one that is loaded once yields there"""
SLANT = number(0.36)
"""pull along the shaft over the pull at the hand: tan 20 degrees, for a hand's force that slants (derived)"""
SWELLS = number(0.25), number(0.35)
"""swelling across the grain over change of moisture (common practice, no source) [-]"""
POISSON = number(0.30)
"""of any tube: a lower one buckles sooner (judgement)"""

_L = Sym("L", "m", "engaged length of one half", low=0.0)
_T = Sym("t", "", "from 0 at the wood's end in the tube to 1 at the mouth", low=0.0, high=1.0)
_MC = Sym("M_c", "N*m", "moment at mid-overlap")
_VA = Sym("V", "N", "shear force, positive where the moment rises towards the mouth")
_DERIVED = "stiff spigot with its pressure a straight line, Burandt (1959), carried on along the spigot (derived)"
_OUT = Sym("D_o", "m", "outside of the tube", low=0.0)
_IN = Sym("D_i", "m", "inside of the tube", low=0.0)
_PIN = Sym("d", "m", "diameter of the pin", low=0.0)
_WALL = Sym("t_w", "m", "wall of the tube", low=0.0)
_P = Sym("P", "N", "force on one pin", low=0.0)


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


@formula(
    Sym("s", "m", "what the wood swells by, on the diameter"),
    "0.25 to 0.35 % across the grain for each 1 % of moisture (common practice, no source)",
    D=Sym("D", "m", "size of the wood", low=0.0),
    c=Sym("c", "", "swelling over change of moisture"),
    M_p=Sym("M_p", "", "moisture above which wood swells no more"),
    M=Sym("M", "", "moisture in use"),
)
def swelling(*, D: Array, c: Array, M_p: Array, M: Array) -> Array:
    """What the wood inside the tube swells by when it gets wet."""
    return D * c * np.maximum(M_p - M, 0)


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


@formula(Sym("M_w", "N*m", "moment in the wood"), _DERIVED, M_c=_MC, V=_VA, L=_L, t=_T)
def wood_moment(*, M_c: Array, V: Array, L: Array, t: Array) -> Array:
    """Bending moment that the wood still has inside the tube."""
    return M_c * (3 * t * t - 2 * t * t * t) + V * L * t * t / 2


@formula(Sym("M_t", "N*m", "moment in the tube"), _DERIVED, M_c=_MC, V=_VA, L=_L, t=_T)
def tube_moment(*, M_c: Array, V: Array, L: Array, t: Array) -> Array:
    """Bending moment that the tube has taken over: all of it at the wood's end, none at the mouth."""
    return M_c * (1 - 3 * t * t + 2 * t * t * t) - V * L * (1 - t) ** 2 / 2


@formula(
    Sym("M_e", "N*m", "moment of equal stress"),
    "von Mises, in a round tube sqrt(M^2 + 3 T^2 / 4) (derived)",
    M=Sym("M", "N*m", "bending moment"),
    T=Sym("T", "N*m", "torque"),
)
def with_torque(*, M: Array, T: Array) -> Array:
    """Bending moment that strains a round tube as a moment and a torque do."""
    return np.sqrt(M * M + 0.75 * T * T)


_GERE = "Gere & Goodno, Mechanics of Materials, circular tube"


@formula(Sym("A", "m**2", "area"), f"{_GERE} (from memory)", D_o=_OUT, D_i=_IN)
def tube_area(*, D_o: Array, D_i: Array) -> Array:
    """Area of a round tube."""
    return np.pi * (D_o * D_o - D_i * D_i) / 4


@formula(Sym("I", "m**4", "second moment of area"), f"{_GERE} (from memory)", D_o=_OUT, D_i=_IN)
def tube_second_moment(*, D_o: Array, D_i: Array) -> Array:
    """Second moment of a round tube."""
    return np.pi * (D_o**4 - D_i**4) / 64


@formula(
    Sym("s", "m**-2", "shear stress for unit shear"),
    f"{_GERE}, 4 V (r2^2 + r2 r1 + r1^2) / (3 A (r2^2 + r1^2)), Example 5-13 (from memory)",
    D_o=_OUT,
    D_i=_IN,
    A=Sym("A", "m**2", "area", low=0.0),
)
def tube_shear(*, D_o: Array, D_i: Array, A: Array) -> Array:
    """Greatest shear stress of a round tube for unit shear force."""
    return 4 * (D_o * D_o + D_o * D_i + D_i * D_i) / (3 * A * (D_o * D_o + D_i * D_i))


@formula(
    Sym("t", "m**-3", "shear stress for unit torque"),
    f"{_GERE}, T r / J with J = 2 I (from memory)",
    D_o=_OUT,
    I=Sym("I", "m**4", "second moment of area", low=0.0),
)
def tube_twist(*, D_o: Array, I: Array) -> Array:  # noqa: E741
    """Shear stress at the outside of a round tube for unit torque."""
    return D_o / (4 * I)


@formula(
    Sym("sigma_h", "Pa", "tension round the tube"),
    "thin ring under pressure, p d / 2 t, Gere & Goodno, Mechanics of Materials, pressure vessels (from memory)",
    p=Sym("p", "Pa", "pressure", low=0.0),
    D=Sym("D", "m", "inside of the tube", low=0.0),
    t_w=_WALL,
)
def hoop(*, p: Array, D: Array, t_w: Array) -> Array:
    """Tension round the tube at its mouth."""
    return p * D / (2 * t_w)


@formula(
    Sym("gamma", "", "part of the classical stress"),
    "NASA SP-8007, Buckling of Thin-Walled Circular Cylinders (1968), cylinder in bending (from memory)",
    q=Sym("q", "", "radius over wall", low=0.0, high=1500.0),
)
def knock_down(*, q: Array) -> Array:
    """What is left of the classical buckling stress of a thin cylinder in bending."""
    return 1 - 0.731 * (1 - np.exp(-np.sqrt(q) / 16))


@formula(
    Sym("sigma_cr", "Pa", "stress at which the wall buckles"),
    "classical stress of a thin cylinder, E t / (r sqrt(3 (1 - nu^2))), times gamma, NASA SP-8007 (1968)",
    E=Sym("E", "Pa", "modulus of elasticity", low=0.0),
    q=Sym("q", "", "radius over wall", low=0.0, high=1500.0),
    gamma=Sym("gamma", "", "part of the classical stress", low=0.0, high=1.0),
    nu=Sym("nu", "", "Poisson's ratio", low=0.0, high=0.5),
)
def wall_buckling(*, E: Array, q: Array, gamma: Array, nu: Array) -> Array:
    """Fibre stress at which a thin round tube buckles in bending."""
    return gamma * E / (q * np.sqrt(3 * (1 - nu * nu)))


@formula(
    Sym("P", "N", "force on one pin"),
    "force along the shaft and torque over the wood's radius, at right angles (derived)",
    N=Sym("N", "N", "force along the shaft that one pin takes", low=0.0),
    T=Sym("T", "N*m", "torque that one pin takes"),
    D=Sym("D", "m", "size of the wood", low=0.0),
)
def pin_force(*, N: Array, T: Array, D: Array) -> Array:
    """Force of all walls on one pin."""
    return np.sqrt(N * N + 4 * T * T / (D * D))


@formula(
    Sym("tau", "Pa", "shear stress in the pin"),
    "force over area, mean: 2 P / pi d^2 in double shear, Gere & Goodno, Mechanics of Materials, Example 1-5 (from "
    "memory)",
    P=_P,
    n=Sym("n", "", "walls that the pin goes through", low=1.0, high=2.0),
    d=_PIN,
)
def pin_shear(*, P: Array, n: Array, d: Array) -> Array:
    """Shear stress in a pin at each wall."""
    return 4 * P / (n * np.pi * d * d)


@formula(
    Sym("sigma_b", "Pa", "bearing stress"),
    "force over projected area, Gere & Goodno, Mechanics of Materials, Example 1-5 (from memory)",
    P=_P,
    n=Sym("n", "", "walls that the pin goes through", low=1.0, high=2.0),
    d=_PIN,
    t_w=_WALL,
)
def wall_bearing(*, P: Array, n: Array, d: Array, t_w: Array) -> Array:
    """Pressure of a pin on each wall of the tube."""
    return P / (n * d * t_w)


@formula(
    Sym("w", "N/m", "greatest line load"),
    "stiff pin through the wood: N/D evenly along the grain, 6 T/D^2 at the surface across it (derived)",
    N=Sym("N", "N", "force along the shaft that one pin takes", low=0.0),
    T=Sym("T", "N*m", "torque that one pin takes"),
    D=Sym("D", "m", "size of the wood", low=0.0),
)
def pin_line(*, N: Array, T: Array, D: Array) -> Array:
    """Greatest line load of a pin that goes right through the wood."""
    return np.sqrt((N / D) ** 2 + (6 * T / (D * D)) ** 2)


@formula(
    Sym("sigma_b", "Pa", "bearing stress"),
    "line load over diameter, mean (by definition)",
    w=Sym("w", "N/m", "line load", low=0.0),
    d=_PIN,
)
def hole_pressure(*, w: Array, d: Array) -> Array:
    """Pressure of a pin on the wood."""
    return w / d


@formula(
    Sym("P", "N", "force at which the pin bends over"),
    "yield line of a dowel between thin plates, 2 sqrt(2 M_y f d) with M_y = s d^3 / 6, Johansen (1949) (from memory)",
    d=_PIN,
    s=Sym("s", "Pa", "what the pin carries in bending", low=0.0),
    f=Sym("f", "Pa", "what the wood carries under the pin", low=0.0),
)
def pin_bends(*, d: Array, s: Array, f: Array) -> Array:
    """Force at which a pin through the wood bends over inside it."""
    return 2 * d * d * np.sqrt(s * f / 3)


@formula(
    Sym("P", "N", "force at which the button bends"),
    "stiff peg loaded at its mouth: greatest moment 4 P h / 27 at a third of its depth (derived)",
    d=_PIN,
    s=Sym("s", "Pa", "what the button carries in bending", low=0.0),
    h=Sym("h", "m", "how deep it stands in the wood", low=0.0),
)
def button_bends(*, d: Array, s: Array, h: Array) -> Array:
    """Force at which a button's peg is spent in bending."""
    return 27 * d**3 * np.pi * s / (128 * h)


@formula(
    Sym("r_e", "", "second moment left"),
    "strip d D^3/12 taken from a round (derived)",
    d=_PIN,
    D=Sym("D", "m", "size of the wood", low=0.0),
)
def hole_through_fibres(*, d: Array, D: Array) -> Array:
    """What a hole through the extreme fibres leaves of a round's second moment."""
    return 1 - 16 * d / (3 * D * np.pi)


@formula(
    Sym("r_n", "", "second moment left"),
    "strip D d^3/12 taken from a round (derived)",
    d=_PIN,
    D=Sym("D", "m", "size of the wood", low=0.0),
)
def hole_at_axis(*, d: Array, D: Array) -> Array:
    """What a hole along the neutral axis leaves of a round's second moment."""
    return 1 - 16 * d**3 / (3 * D**3 * np.pi)


@formula(
    Sym("r_t", "", "second moment left"),
    "two holes d wide at the extreme fibres of a thin ring, 1 - 2 d / (pi r) (derived)",
    d=_PIN,
    r=Sym("r", "m", "inner radius of the tube", low=0.0),
)
def hole_in_ring(*, d: Array, r: Array) -> Array:
    """What holes through both walls leave of a thin tube's second moment."""
    return 1 - 2 * d / (np.pi * r)


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


# ------------------------------------------------------------------------------------------------------- what is told

FORMS = ("sleeve over both", "tube on the inner half", "tube on the outer half")
_CROSS = ("fore and aft", "up and down")

KEYS: dict[str, Key] = {
    "at": Key(
        kind="length", help="from handle end to where the two halves meet inside the tube", example="1.31 m", high=8.0
    ),
    "form": Key(
        kind="choice",
        help="a sleeve over both halves, or a tube that stays on one half and takes the other half's spigot",
        example="sleeve over both",
        choices=FORMS,
    ),
    "overlap": Key(
        kind="length",
        help="engaged length of ONE half: from its end inside the tube to the tube's mouth; of the spigot, where the "
        "tube stays on one half",
        example="170 mm",
        optional=True,
        low=0.01,
        high=1.5,
    ),
    "fixed_length": Key(
        kind="length",
        help="where the tube stays on one half: how far it reaches onto that half",
        example="170 mm",
        optional=True,
        low=0.01,
        high=1.5,
    ),
    "sleeve_length": Key(
        kind="length",
        help="the whole tube, only to be held against the engaged lengths and the gap",
        example="340 mm",
        optional=True,
        low=0.02,
        high=3.0,
    ),
    "gap": Key(
        kind="length",
        help="between the two wood ends inside the tube",
        example="0 mm",
        assume="0 mm",
        why="the wood ends of a takedown meet inside its tube",
        high=1.0,
        span=("0 mm", "20 mm"),
    ),
    "spigot_size": Key(
        kind="length",
        help="diameter of the wood inside the tube; needed where the tube stays on one half",
        example="38 mm",
        optional=True,
        low=0.008,
        high=0.3,
    ),
    "size_if_not_told": Key(
        kind="choice",
        help="what the wood inside the tube is turned to where spigot_size is not told",
        example="lesser size",
        assume="lesser size",
        why="wood inside a takedown's sleeve whose size is not told is round, of the least size of the shaft there",
        choices=("lesser size",),
    ),
    "wall": Key(kind="length", help="of the tube", example="1.6 mm", low=0.0003, high=0.02),
    "tube": Key(
        kind="text",
        help="what the tube is of: a name of the table of tubes, temper included",
        example="aluminium 6061-T6",
    ),
    "mouth": Key(
        kind="choice",
        help="edge of the tube: square, tapered thin, or lined with something soft",
        example="tapered",
        choices=tuple(RAISERS),
        ways=("square", "tapered"),
    ),
    "held_by": Key(
        kind="choice",
        help="what keeps each half from pulling out and from turning",
        example="pin",
        choices=("pin", "button", "clamp", "nothing"),
    ),
    "stays_on_by": Key(
        kind="choice",
        help="what keeps the tube on the half that it stays on: the same pins or buttons, or glue alone",
        example="the same",
        assume="the same",
        why="a takedown's tube is pinned to the half that it stays on as it is to the other",
        choices=("the same", "glue"),
    ),
    "pin_diameter": Key(
        kind="length", help="of the pin or of the button's peg", example="6 mm", optional=True, low=0.001, high=0.05
    ),
    "pins": Key(
        kind="count",
        help="in each half",
        example="1",
        assume="1",
        why="where pins or buttons hold a takedown, there is one in each half",
        low=1.0,
        high=6.0,
    ),
    "pin_through": Key(
        kind="choice",
        help="the way that the pin or button runs through the shaft, with the blade upright",
        example="up and down",
        optional=True,
        choices=_CROSS,
        ways=_CROSS,
    ),
    "pin_stands": Key(
        kind="choice",
        help="at mid-overlap, or anywhere in it",
        example="mid-overlap",
        assume="anywhere",
        why="a takedown's pins may stand anywhere in the overlap",
        choices=("mid-overlap", "anywhere"),
        ways=("mid-overlap", "anywhere"),
    ),
    "pin_of": Key(
        kind="text",
        help="what the pin is of: a name of the table of tubes",
        example="brass C260, hard",
        assume="stainless steel 304, annealed",
        why="where pins or buttons hold a takedown, they are of stainless steel 304, annealed",
    ),
    "button_depth": Key(
        kind="length",
        help="how deep a button's body stands in the wood; a pin goes right through",
        example="20 mm",
        optional=True,
        low=0.002,
        high=0.2,
    ),
    "clearance": Key(
        kind="length",
        help="between wood and tube when dry, on the diameter",
        example="0.3 mm",
        assume="0.3 mm",
        why="a takedown's dry halves have 0.3 mm of clearance in the tube, on the diameter (judgement)",
        high=0.005,
        span=("0 mm", "1 mm"),
    ),
    "stays_wet": Key(
        kind="choice",
        help="whether wood inside the tube stays wet; sealed ends and a drained tube dry",
        example="no",
        assume="yes",
        why="wood inside a takedown's tube stays wet",
        choices=("yes", "no"),
        ways=("yes", "no"),
    ),
    "plug": Key(
        kind="length",
        help="in a hollow shaft: solid plug of the shaft's wood in each half, from its end, with its inner end tapered",
        example="230 mm",
        optional=True,
        low=0.01,
        high=2.0,
    ),
}


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Takedown(Joint):
    """A takedown joint; `start` and `end` are the mouths of its tube."""

    at: Array
    """where the halves meet: the middle of the gap, if there is one [m]"""
    inner: Array
    """engaged length of the inner half [m]"""
    outer: Array
    """engaged length of the outer half [m]"""
    gap: Array
    """[m]"""
    told_size: Array
    """diameter of the wood inside, nan where not told [m]"""
    size: Array
    """diameter of the wood inside [m]"""
    wall: Array
    """[m]"""
    raiser: Array
    """of the mouth [-]"""
    walls: Array
    """walls that a pin goes through: 2 a pin, 1 a button, nan where neither holds [-]"""
    glued: Array
    """1 where the tube stays on its half by glue alone [-]"""
    pin: Array
    """its diameter; nan where none [m]"""
    pins: Array
    """in each half [-]"""
    pin_deep: Array
    """how far it stands in the wood [m]; nan for a pin right through"""
    pin_fore: Array
    """1 where it runs fore and aft, 0 up and down [-]"""
    pin_anywhere: Array
    """1 where it may stand anywhere in the overlap, 0 at its middle [-]"""
    pin_strength: Array
    """what the pin carries in bending [Pa]"""
    pin_shear: Array
    """what the pin carries in shear [Pa]"""
    clearance: Array
    """dry, on the diameter [m]"""
    wet: Array
    """1 where wood inside stays wet [-]"""
    plug: Array
    """[m]; nan where none is told"""
    strength: Array
    """what the tube carries along [Pa]"""
    strength_across: Array
    """what the tube carries round [Pa]"""
    strength_shear: Array
    """what the tube carries in shear [Pa]"""
    endurance: Array
    """what the tube carries along millions of times [Pa]"""
    modulus: Array
    """for buckling, divided as the strength is [Pa]"""
    density: Array
    """of the tube; nan where not known [kg/m3]"""
    one_half: str
    """the half that the tube stays on, empty for a sleeve over both"""
    tube: str
    fixings: str
    trusted: bool
    """whether no value of the tube is of low trust"""


@dataclass(frozen=True, slots=True, kw_only=True)
class _Carries:
    """What a tube material carries [Pa]; nan where it is not known."""

    along: float
    across: float
    shear: float
    endurance: float
    modulus: float


def _carries(name: str, values: Mapping[str, float]) -> _Carries:
    """Return the limits of a tube material by its values.

    A metal is known by its yield strength and is the same in all directions. A laminate is as strong as the least of
    what is known, and its pull and one of crushing or bending must be known.
    """

    def get(prop: str, way: str = "along") -> float:
        return values.get(f"{prop}, {way}", np.nan)

    def modulus(way: str) -> float:
        told = get("modulus of elasticity", way)
        return get("flexural modulus", way) if np.isnan(told) else told

    words = name.casefold()
    share = next((s for word, s in ENDURES.items() if word in words), np.nan)
    pull, yields = get("tensile strength"), get("yield strength")
    if not np.isnan(yields):
        limit = yields / METAL
        return _Carries(
            along=limit,
            across=limit,
            shear=limit / 3.0**0.5,
            endurance=share * pull,
            modulus=get("modulus of elasticity") / METAL,
        )
    others = [v for v in (get("compressive strength"), get("flexural strength")) if not np.isnan(v)]
    least = min(pull, *others) if others else np.nan
    return _Carries(
        along=least / LAMINATE,
        across=get("tensile strength", "across") / LAMINATE,
        shear=get("shear strength") / LAMINATE,
        endurance=share * least,
        modulus=float(np.minimum(modulus("along"), modulus("across"))) / LAMINATE,
    )


def least_size(stations: tuple[Station, ...], start: Array, end: Array) -> Array:
    """Return the shaft's least size, either way, from start to end, of the batch shape [m]."""
    steps = np.linspace(0.0, 1.0, 33)
    parts = [(start + (end - start) * t) for t in steps] + [np.clip(s.x, start, end) for s in stations]
    x = np.stack(np.broadcast_arrays(*parts), axis=-1)[..., None, :]
    depth, width, _, _ = sections.at(x, stations)
    return np.asarray(np.minimum(depth, width).min(axis=-1)[..., 0])


def _material(s: Setting, key: str) -> tuple[Mapping[str, float], str] | None:
    name = s.word(key)
    if s.tubes is None:
        return {}, name
    try:
        return s.tubes(name), name
    except NotFoundError as e:
        near = f"write one of: {'; '.join(e.near)}" if e.near else "see the table of tubes"
        s.fault(key, f"no tube material named '{name}'", near)
        return None


def _lengths(s: Setting) -> tuple[float, float] | None:
    """Return the engaged lengths of the inner and of the outer half."""
    overlap, whole, fixed = (s.size(k) for k in ("overlap", "sleeve_length", "fixed_length"))
    gap, shape = float(s.size("gap") or 0.0), s.word("form")
    if overlap is None:
        wrong = "needed: the engaged length of ONE half"
        if whole is not None:
            wrong = (
                "sleeve_length does not tell the engaged length of ONE half, and a length four times too great "
                "understates the pressure sixteenfold"
            )
        s.fault("overlap", wrong, "measure from one half's end to the tube's mouth; write overlap = \"170 mm\"")
        return None
    if shape == FORMS[0]:
        if fixed is not None:
            s.fault("fixed_length", "a sleeve over both halves engages each by overlap", "leave it out")
            return None
        inner = outer = overlap
    elif fixed is None:
        s.fault("fixed_length", "needed where the tube stays on one half", 'write fixed_length = "170 mm"')
        return None
    else:
        inner, outer = (fixed, overlap) if shape == FORMS[1] else (overlap, fixed)
    if whole is not None and abs(whole - (inner + outer + gap)) > 1e-3:
        s.fault(
            "sleeve_length",
            f"the engaged lengths and the gap come to {(inner + outer + gap) * 1000:.0f} mm",
            "measure overlap again; wood ends that do not meet leave a gap",
        )
        return None
    return inner, outer


def build(s: Setting) -> Takedown | None:
    """Return the takedown that a shaft file tells."""
    before = len(s.faults)
    lengths = _lengths(s)
    tube, pin_of = _material(s, "tube"), _material(s, "pin_of")
    at, wall, told = (s.size(k) for k in ("at", "wall", "spigot_size"))
    assert at is not None
    assert wall is not None
    held, shape = s.word("held_by"), s.word("form")
    pinned = held in ("pin", "button")
    if told is None and shape != FORMS[0]:
        s.fault("spigot_size", "needed where the tube stays on one half", 'write spigot_size = "38 mm"')
    for key, wanted in (("pin_diameter", pinned), ("pin_through", pinned), ("button_depth", held == "button")):
        if wanted and key not in s.values:
            s.fault(key, f"needed where a {held} holds it", f'write {key} = "{KEYS[key].example}"')
    if lengths is None or tube is None or pin_of is None or len(s.faults) > before:
        return None
    inner, outer = lengths
    gap = float(s.size("gap") or 0.0)
    start, end = at - gap / 2.0 - inner, at + gap / 2.0 + outer
    if not 0.0 < start < end < s.neck:
        s.fault("at", "the tube does not lie between handle end and neck", "move it, or make it shorter")
        return None
    least = float(least_size(s.stations, number(start), number(end)))
    if told is not None and told > least * (1.0 + 1e-9):
        s.fault(
            "spigot_size",
            f"more than the shaft's least size under the tube, {least * 1000:.1f} mm",
            "measure both again; what fills the tube besides the shaft's own wood is outside the method",
        )
    size = least if told is None else told
    pin, deep = (s.size(k) for k in ("pin_diameter", "button_depth"))
    if pinned and float(pin or 0.0) > 0.4 * size:
        s.fault("pin_diameter", "more than 0.4 of the wood that it goes through", "measure both again")
    if held == "button" and float(deep or 0.0) > size:
        s.fault("button_depth", "deeper than the wood is thick", "measure both again")
    if len(s.faults) > before:
        return None
    tube_limits, pin_limits = _carries(tube[1], tube[0]), _carries(pin_of[1], pin_of[0])
    nan = float("nan")
    return Takedown(
        kind="takedown",
        start=number(start),
        end=number(end),
        at=number(at),
        inner=number(inner),
        outer=number(outer),
        gap=number(gap),
        told_size=number(nan if told is None else told),
        size=number(size),
        wall=number(wall),
        raiser=number(RAISERS[s.word("mouth")]),
        walls=number({"pin": 2.0, "button": 1.0}.get(held, nan)),
        glued=number(float(s.word("stays_on_by") == "glue")),
        pin=number(float(pin or nan) if pinned else nan),
        pins=number(float(s.size("pins") or 1.0)),
        pin_deep=number(float(deep or nan) if held == "button" else nan),
        pin_fore=number(float(s.word("pin_through") == _CROSS[0])),
        pin_anywhere=number(float(s.word("pin_stands") != "mid-overlap" or float(s.size("pins") or 1.0) > 1.0)),
        pin_strength=number(pin_limits.along),
        pin_shear=number(pin_limits.shear),
        clearance=number(float(s.size("clearance") or 0.0)),
        wet=number(float(s.word("stays_wet") == "yes")),
        plug=number(float(s.size("plug") or nan)),
        strength=number(tube_limits.along),
        strength_across=number(tube_limits.across),
        strength_shear=number(tube_limits.shear),
        endurance=number(tube_limits.endurance),
        modulus=number(tube_limits.modulus),
        density=number(tube[0].get("density, along", nan)),
        one_half={FORMS[1]: "inner", FORMS[2]: "outer"}.get(shape, ""),
        tube=tube[1],
        fixings=pin_of[1] if pinned else "",
        trusted=tube[0].get("trust", nan) == 1.0,
    )


# --------------------------------------------------------------------------------------------------------- the checks

HALVES = ("inner", "outer")
OF_A_HALF = (
    "bearing",
    "bearing (loose)",
    "inner shear (stiff)",
    "inner shear (springy)",
    "beside the mouth",
    "life beside the mouth",
    "pressed beside the mouth",
    "wood inside",
)
OF_THE_TUBE = ("tube bending", "tube shear", "tube in long use", "tube mouth", "tube buckling")
OF_THE_PIN = ("pin shear", "pin bending", "pin on the wood", "pin on the tube", "wood at the pin", "tube at the pin")
OF_THE_PLACE = ("ends pressed", "held together", "solid inside", "clear of the lock", "clear of other joints")
DECLARES = (
    *(f"takedown, {half} half, {what}" for half in HALVES for what in OF_A_HALF),
    *(f"takedown, {what}" for what in (*OF_THE_TUBE, *OF_THE_PIN, *OF_THE_PLACE)),
)
_LIFT = (..., None, None)
_GRID = np.linspace(0.0, 1.0, 33)
_NO_TUBE = "a value of the tube's material: see the table of tubes"
_NO_PIN = "a pin or a button in each half, and what it is of: a clamp's grip and mere fit are outside the method"


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class _Half:
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

    def least(self, values: Array) -> Array:
        """Return the least of a limit over the engaged length, so that every wood in it counts."""
        least = values.min(axis=-1, keepdims=True)
        return carried(least, values)

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


def _half(beam: Beam, j: Takedown, name: str) -> _Half:
    inner = name == "inner"
    inward = 1.0 if inner else -1.0
    length = (j.inner if inner else j.outer)[_LIFT]
    free = j.at[_LIFT] - inward * j.gap[_LIFT] / 2.0
    mouth = free - inward * length
    x = free - inward * length * np.clip(_GRID, 1e-9, 1.0 - 1e-9)
    return _Half(
        name=name,
        length=length,
        x=x,
        mouth=mouth,
        inward=inward,
        mid=beam.at(free - inward * length / 2.0),
        inside=beam.at(x),
        beside=beam.at(mouth - inward * 1e-9),
    )


def _peaks(moment: Array, away: Array, length: Array) -> tuple[Array, Array]:
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


def _repeated(beam: Beam) -> Array:
    """Return 1 for each repeated case, (cases, 1)."""
    return np.array([[float(c.repeated)] for c in beam.cases])


def check(beam: Beam, j: Takedown) -> Iterator[Use]:
    """Yield each half's bearing, shear and bending, the tube, what holds it together, and its place."""
    halves = [_half(beam, j, name) for name in HALVES]
    presses: list[tuple[Array, Array]] = []
    for half in halves:
        yield from _bearing(beam, j, half, presses)
        yield from _inner_shear(j, half)
        yield from _wood(beam, j, half)
    yield from _tube(beam, j, halves, presses)
    yield from _pin(beam, j, halves)
    yield from _ends(beam, j)
    yield from clear(
        beam, j, j.at, "lock, cradle and splice each want their own length of sound shaft (common practice, no source)"
    )


def _seat(half: _Half, size: Array) -> Array:
    """Return the line stiffness of the wood in the tube, without a liner [Pa]."""
    return seat_stiffness(E=half.limit("stiffness"), r=ACROSS_STIFF, b=size, d=size, t=number(0.0), E_l=number(1e9))


def _still_and_not(half: _Half) -> tuple[tuple[Array, Array], tuple[Array, Array]]:
    """Return shear force and moment at mid-overlap, both ways together, of the loads and of the weight."""
    (m_s, v_s), (m_f, v_f), (m_w, v_w) = half.moments()
    return (np.hypot(v_s, v_f), np.hypot(m_s, m_f)), (np.abs(v_w), np.abs(m_w))


def _bearing(beam: Beam, j: Takedown, half: _Half, presses: list[tuple[Array, Array]]) -> Iterator[Use]:
    size, length, wet = j.size[_LIFT], half.length, j.wet[_LIFT] == 1.0
    seat = _seat(half, size)
    dry_limit = half.limit("bearing")
    limit = np.where(wet, half.limit("wet bearing"), dry_limit)
    pieces = beam.shaft.pieces
    green_at, moisture = (
        half.inside.pick(np.stack(np.broadcast_arrays(*values), axis=-1)[..., None, :])
        for values in ([p.wood.green_at for p in pieces], [p.moisture for p in pieces])
    )
    swells = half.least(swelling(D=size, c=SWELLS[0], M_p=green_at, M=moisture))
    dry = j.clearance[_LIFT] + 0.0 * swells
    loads, weight = _still_and_not(half)
    acts = "the wood's stiffness, or its compression across the grain, green where the seat stays wet"

    def stiff(clearance: Array, capacity: Array) -> tuple[Array, Array]:
        give = seat_give(p=capacity, b=size, kappa=CURVED, k=seat)
        touch = np.where(clearance == 0.0, length / 2.0, touching(L=length, delta=give, g=clearance))
        a, b = (loose_edge(V=v, M_c=m, L=length, a=touch) for v, m in (loads, weight))
        return edge_pressure(w=a, b=size, k=CURVED), edge_pressure(w=b, b=size, k=CURVED)

    for name, (demand, still), capacity, source in (
        (
            "bearing",
            stiff(np.where(wet, np.maximum(dry - swells, 0.0), dry), limit),
            limit,
            "stiff spigot (Burandt), moment at mid-overlap, times 4/pi; where it stays wet, with the clearance that "
            "swelling leaves and the green strength",
        ),
        (
            "bearing (loose)",
            stiff(dry, dry_limit),
            dry_limit,
            "stiff spigot tilted by its dry clearance, on what touches when it is just met (derived), times 4/pi; "
            "dry strength",
        ),
    ):
        presses.append((demand + 0.0 * capacity, still + 0.0 * capacity))
        yield Use(
            check=f"takedown, {half.name} half, {name}",
            kind="dents",
            x=half.mouth,
            use=plain_use(demand, capacity, still),
            demand=demand + still,
            capacity=capacity + 0.0 * demand,
            unit="Pa",
            source=source,
            unknown=acts,
        )


def _inner_shear(j: Takedown, half: _Half) -> Iterator[Use]:
    size = j.size[_LIFT]
    limit = half.limit("shear")
    limit = carried(limit * MEMBER_SHEAR, limit)
    unit = oval_shear(A=oval_area(w=size, d=size))
    twist = oval_twist(w=size, d=size)
    stroke, flat, still = (_peaks(m, v, half.length)[0] for m, v in half.moments())
    beta = seat_beta(k=_seat(half, size), E=half.limit("stiffness"), I=oval_second_moment(w=size, d=size))
    cut = half.beside
    loads = np.hypot(cut.forward, cut.up), np.hypot(cut.moment_stroke, cut.moment_flat)
    weight = np.abs(cut.still_up), np.abs(cut.still_flat)
    soft, soft_still = (springy_shear(V=v, M=m, beta=beta, u=np.pi * _GRID) for v, m in (loads, weight))
    for name, x, shear, standing, source in (
        (
            "stiff",
            half.mid.x,
            np.hypot(stroke, flat),
            still,
            "shear inside a stiff socket (Burandt), at whichever end presses more",
        ),
        (
            "springy",
            half.mouth + half.inward * np.minimum(np.pi * _GRID / beta, half.length),
            soft,
            soft_still,
            "shear inside a long springy socket (Hetenyi, from memory), wood's modulus across 0.10 of that along",
        ),
    ):
        a = shear_with_twist(V=shear, s=unit, T=half.mid.torque, t=twist)
        p = shear_with_twist(V=standing, s=unit, T=0.0 * half.mid.torque, t=twist)
        yield Use(
            check=f"takedown, {half.name} half, inner shear ({name})",
            kind="splits",
            x=x,
            use=plain_use(a, limit, p),
            demand=a + p,
            capacity=limit + 0.0 * a,
            unit="Pa",
            source=f"{source}, with all the torque; the worse governs; member shear with 0.67 for splits",
            unknown="shear along the grain, or the wood's stiffness",
        )


def _wood(beam: Beam, j: Takedown, half: _Half) -> Iterator[Use]:
    """Bending just outside the mouth by the shaft's own section; inside it by the round wood that the tube holds."""
    raiser = j.raiser[_LIFT]
    cut = half.beside
    stroke, flat, still = fibre_parts(cut)
    limit = bending_limit(beam, cut) / raiser
    q = exponent(cut.section)
    missing = "a strength of the wood, its run-out, or a section that the method reaches"
    source = "flexure formula; bending limit by the ladder, over what the mouth raises: 1.5 square, 1.25 tapered or "
    yield Use(
        check=f"takedown, {half.name} half, beside the mouth",
        kind="breaks",
        x=cut.x,
        use=norm_use(stroke, flat, 0.0 * still, still, limit, q),
        demand=norm(stroke, flat + still, q),
        capacity=limit + 0.0 * stroke,
        unit="Pa",
        source=f"{source}lined (judgement)",
        unknown=missing,
    )
    use, demand = life_use(beam, stroke, flat, limit, q)
    yield Use(
        check=f"takedown, {half.name} half, life beside the mouth",
        kind="wears out",
        x=cut.x,
        use=use,
        demand=demand,
        capacity=np.ones_like(demand),
        unit="",
        source=f"{LIFE}; limit over the mouth's raiser",
        unknown=missing,
    )
    rows, _ = pressed_rows(beam)
    if rows:
        a, b, p = (v[..., list(rows), :] for v in (stroke, flat, still))
        use, demand = thrust_use(
            beam,
            lambda f: norm(f * a, p + f * b, q),
            limit[..., list(rows), :],
            crush(N=cut.axial[..., list(rows), :], A=cut.section.area) / cut.limit("compression")[..., list(rows), :],
        )
        yield Use(
            check=f"takedown, {half.name} half, pressed beside the mouth",
            kind="breaks",
            x=cut.x,
            use=use,
            demand=demand,
            capacity=np.ones_like(demand),
            unit="",
            source=f"{THRUST}; limit over the mouth's raiser",
            unknown=missing,
            cases=rows,
        )
    size = j.size[_LIFT]
    second = oval_second_moment(w=size, d=size)
    a, b, p = (
        fibre_stress(M=wood_moment(M_c=m, V=v, L=half.length, t=_GRID), c=size, I=second) for m, v in half.moments()
    )
    inside = half.limit("bending")
    inside = carried(inside * form(beam, cut), inside) / raiser
    yield Use(
        check=f"takedown, {half.name} half, wood inside",
        kind="breaks",
        x=half.x,
        use=norm_use(a, b, 0.0 * p, p, inside),
        demand=norm(a, b + p, 2.0),
        capacity=inside + 0.0 * a,
        unit="Pa",
        source=f"{source}lined (judgement), all along the wood inside; moment left in the wood (derived)",
        unknown=missing,
    )


def _pulls(beam: Beam, j: Takedown) -> tuple[Array, Array]:
    """Return what pulls the halves apart and what presses them together, (..., cases, 1), neither negative [N].

    Where there is a gap the wood ends can't press on each other: the fixing takes both.
    """
    cut = beam.at(j.at[_LIFT])
    pull = np.stack(np.broadcast_arrays(*(c.pull for c in beam.cases)), axis=-1)[..., None]
    slant = SLANT * np.nan_to_num(np.abs(pull), nan=0.0)
    pressed = np.maximum(-cut.axial, 0.0)
    apart = np.maximum(cut.axial, 0.0) + slant
    open_ = j.gap[_LIFT] > 0.0
    return np.where(open_, np.maximum(apart, pressed), apart), np.where(open_, 0.0, pressed)


def _tube(beam: Beam, j: Takedown, halves: list[_Half], presses: list[tuple[Array, Array]]) -> Iterator[Use]:
    size, wall = j.size[_LIFT], j.wall[_LIFT]
    out = size + 2.0 * wall
    area, second = tube_area(D_o=out, D_i=size), tube_second_moment(D_o=out, D_i=size)
    torque = beam.at(j.at[_LIFT]).torque
    along, pressed = (np.maximum(f, 0.0) for f in _pulls(beam, j))
    axial = crush(N=np.maximum(along, pressed), A=area)
    parts = []
    for half in halves:
        a, b, p = (np.abs(tube_moment(M_c=m, V=v, L=half.length, t=_GRID)) for m, v in half.moments())
        parts.append((half.x, a, b, p))
    x, stroke, flat, still = (_joined(v) for v in zip(*parts, strict=True))
    a = fibre_stress(M=with_torque(M=stroke, T=torque), c=out, I=second) + axial
    b = fibre_stress(M=flat, c=out, I=second) + axial
    p = fibre_stress(M=still, c=out, I=second)
    strength, endures, buckles = (v[_LIFT] + 0.0 * a for v in (j.strength, j.endurance, j.modulus))
    q = (size + wall) / (2.0 * wall)
    critical = wall_buckling(E=buckles, q=q, gamma=knock_down(q=q), nu=POISSON)
    again = _repeated(beam) == 1.0
    bending = "moment that the tube has taken over, all of it where the halves meet, with torque and pull (von Mises)"
    lasting = np.where(again, endures, np.inf)
    for name, capacity, kind, source in (
        ("tube bending", strength, "breaks", f"{bending}; a metal's yield over 1.5, a laminate's strength over 3"),
        (
            "tube in long use",
            lasting,
            "wears out",
            f"{bending}, each repeated case alone; 0.35 of the ultimate strength of aluminium, 0.40 of steel, 0.30 of "
            "brass and of laminates (from memory, with doubt)",
        ),
        (
            "tube buckling",
            critical,
            "buckles",
            f"{bending}; NASA SP-8007 (1968), over 1.5 for a metal, over 3 for a laminate by its lesser modulus",
        ),
    ):
        yield Use(
            check=f"takedown, {name}",
            kind=kind,
            x=x,
            use=norm_use(a, b, 0.0 * p, p, capacity)
            if name != "tube in long use"
            else _lasting(a, b, p, endures, again),
            demand=norm(a, b + p, 2.0),
            capacity=capacity,
            unit="Pa",
            source=source,
            unknown=_NO_TUBE,
        )
    unit, twist = tube_shear(D_o=out, D_i=size, A=area), tube_twist(D_o=out, I=second)
    peaks = [[_peaks(m, v, half.length)[1] for m, v in half.moments()] for half in halves]
    v_s, v_f, v_w = (_joined(v) for v in zip(*peaks, strict=True))
    none = 0.0 * torque
    a = shear_with_twist(V=np.hypot(v_s, v_f), s=unit, T=torque, t=twist)
    p = shear_with_twist(V=v_w, s=unit, T=none, t=twist)
    limit = j.strength_shear[_LIFT] + 0.0 * a
    yield Use(
        check="takedown, tube shear",
        kind="breaks",
        x=_joined([half.mid.x for half in halves]),
        use=plain_use(a, limit, p),
        demand=a + p,
        capacity=limit,
        unit="Pa",
        source="shear that the tube has along an engaged length, mirror image of the wood's, with all the torque; "
        "exact tube formula; a metal's yield over 1.5 sqrt(3), a laminate's shear over 3",
        unknown=_NO_TUBE,
    )
    round_ = [tuple(hoop(p=v, D=size, t_w=wall) for v in pair) for pair in presses]
    a, p = (_joined(v) for v in zip(*round_, strict=True))
    limit = j.strength_across[_LIFT] + 0.0 * a
    yield Use(
        check="takedown, tube mouth",
        kind="breaks",
        x=_joined([half.mouth for half in halves for _ in range(2)]),
        use=plain_use(a, limit, p),
        demand=a + p,
        capacity=limit,
        unit="Pa",
        source="thin ring under the greatest pressure of the wood, which fills it and keeps it round (judgement); a "
        "metal's yield over 1.5, a laminate's strength across over 3",
        unknown=f"{_NO_TUBE}; or the wood's compression across the grain",
    )


def _joined(parts: tuple[Array, ...] | list[Array]) -> Array:
    """Return arrays set one after the other along the points."""
    shape = np.broadcast_shapes(*(p.shape[:-1] for p in parts))
    return np.concatenate([np.broadcast_to(p, (*shape, p.shape[-1])) for p in parts], axis=-1)


def _lasting(a: Array, b: Array, p: Array, capacity: Array, again: Array) -> Array:
    """Return the use of a check that only repeated cases have; 0 for the others."""
    return np.where(again, norm_use(a, b, 0.0 * p, p, capacity), 0.0 * capacity)


def _pin(beam: Beam, j: Takedown, halves: list[_Half]) -> Iterator[Use]:
    size, wall, d, n, walls = (v[_LIFT] for v in (j.size, j.wall, j.pin, j.pins, j.walls))
    kind_or = NOT_CHECKED if np.isnan(j.walls).any() else ""
    apart, _ = _pulls(beam, j)
    torque = beam.at(j.at[_LIFT]).torque
    each, turn = apart / n, torque / n
    force = pin_force(N=each, T=turn, D=size)
    deep = j.pin_deep[_LIFT]
    peg = np.isnan(deep)
    wet = j.wet[_LIFT] == 1.0
    held = np.minimum(*(_under_a_pin(half, wet) for half in halves))
    h = np.where(peg, size, deep)
    line = np.where(peg, pin_line(N=each, T=turn, D=size), rigid_edge(V=force, M_c=force * h / 2.0, L=h))
    strength, shear = j.pin_strength[_LIFT], j.pin_shear[_LIFT]
    bends = np.where(peg, pin_bends(d=d, s=strength, f=held), button_bends(d=d, s=strength, h=h))
    x = j.at[_LIFT]
    pulled = "pull by the hand's slant (0.36 of the pull), what pulls in the case, and the torque"
    for name, kind, demand, capacity, unit, source in (
        (
            "pin shear",
            "breaks",
            pin_shear(P=force, n=walls, d=d),
            shear,
            "Pa",
            f"{pulled}; mean shear, a pin in two walls, a button in one; yield over 1.5 sqrt(3)",
        ),
        (
            "pin bending",
            "breaks",
            force,
            bends,
            "N",
            f"{pulled}; a pin by Johansen's yield line (from memory), a button as a stiff peg (derived); yield/1.5",
        ),
        (
            "pin on the wood",
            "dents",
            hole_pressure(w=line, d=d),
            held,
            "Pa",
            f"{pulled}; stiff pin; the lesser of crushing along and compression across the grain",
        ),
        (
            "pin on the tube",
            "breaks",
            wall_bearing(P=force, n=walls, d=d, t_w=wall),
            j.strength_across[_LIFT],
            "Pa",
            f"{pulled}; force over projected area of each wall; a metal's yield over 1.5, a laminate's strength across "
            "over 3",
        ),
    ):
        demand = demand + 0.0 * walls
        yield Use(
            check=f"takedown, {name}",
            kind=kind_or or kind,
            x=x,
            use=plain_use(demand, capacity + 0.0 * demand),
            demand=demand,
            capacity=capacity + 0.0 * demand,
            unit=unit,
            source=source,
            unknown=_NO_PIN if kind_or else f"{_NO_TUBE}, or a strength of the wood",
        )
    yield from _holes(beam, j, halves)


def _under_a_pin(half: _Half, wet: Bools) -> Array:
    """Return what the wood carries under a pin, along or across the grain, whichever is less [Pa]."""
    dry = half.limit("bearing")
    return np.minimum(np.minimum(half.limit("compression"), dry), np.where(wet, half.limit("wet bearing"), dry))


def _holes(beam: Beam, j: Takedown, halves: list[_Half]) -> Iterator[Use]:
    """Bending of what the pin's hole leaves of wood and tube; without a pin there is no hole."""
    size, wall = j.size[_LIFT], j.wall[_LIFT]
    d = np.nan_to_num(j.pin[_LIFT], nan=0.0)
    out = size + 2.0 * wall
    fore = j.pin_fore[_LIFT] == 1.0
    stands = np.where(j.pin_anywhere[_LIFT] == 1.0, True, np.abs(_GRID - 0.5) < 1e-9)
    second, ring = oval_second_moment(w=size, d=size), tube_second_moment(D_o=out, D_i=size)
    cut_fibres, cut_axis = hole_through_fibres(d=d, D=size), hole_at_axis(d=d, D=size)
    cut_ring = hole_in_ring(d=d, r=size / 2.0)
    again = _repeated(beam) == 1.0
    peak = np.where(again & (d > 0.0), AT_A_HOLE, 1.0)
    wood, tube = [], []
    for half in halves:
        acts = half.moments()
        a, b, p = (
            stands * fibre_stress(M=wood_moment(M_c=m, V=v, L=half.length, t=_GRID), c=size, I=second) for m, v in acts
        )
        r_s, r_f = np.where(fore, cut_fibres, cut_axis), np.where(fore, cut_axis, cut_fibres)
        limit = half.limit("bending")
        limit = carried(limit * form(beam, half.beside), limit)
        wood.append((half.x, a / r_s, b / r_f, p / r_f, limit + 0.0 * a))
        a, b, p = (
            stands * fibre_stress(M=tube_moment(M_c=m, V=v, L=half.length, t=_GRID), c=out, I=ring) for m, v in acts
        )
        r_s, r_f = np.where(fore, cut_ring, 1.0), np.where(fore, 1.0, cut_ring)
        k_s, k_f = np.where(fore, peak, 1.0), np.where(fore, 1.0, peak)
        limit = np.where(again, j.endurance[_LIFT], j.strength[_LIFT])
        tube.append((half.x, a * k_s / r_s, b * k_f / r_f, p * k_f / r_f, limit + 0.0 * a))
    for name, parts, source, unknown in (
        (
            "wood at the pin",
            wood,
            "flexure formula on what the hole leaves of the round inside (derived), a hole right through taken for a "
            "button too; moment left in the wood",
            "a strength of the wood, its run-out, or a section that the method reaches",
        ),
        (
            "tube at the pin",
            tube,
            "flexure formula on what the holes leave (derived); a metal's yield over 1.5, a laminate's strength over "
            "3; in repeated cases 3 times the stress where the pin pierces the extreme fibres (from memory) against "
            "the strength in long use",
            _NO_TUBE,
        ),
    ):
        x, a, b, p, limit = (_joined(v) for v in zip(*parts, strict=True))
        yield Use(
            check=f"takedown, {name}",
            kind="breaks",
            x=x,
            use=norm_use(a, b, 0.0 * p, p, limit),
            demand=norm(a, b + p, 2.0),
            capacity=limit + 0.0 * a,
            unit="Pa",
            source=source,
            unknown=unknown,
        )


def _ends(beam: Beam, j: Takedown) -> Iterator[Use]:
    _, pressed = _pulls(beam, j)
    size = j.size[_LIFT]
    stress = crush(N=pressed, A=oval_area(w=size, d=size))
    cuts = [beam.at(j.at[_LIFT] + side * (j.gap[_LIFT] / 2.0 + 1e-9)) for side in (-1.0, 1.0)]
    limit = np.minimum(*(c.limit("compression") for c in cuts))
    yield Use(
        check="takedown, ends pressed",
        kind="dents",
        x=j.at[_LIFT],
        use=plain_use(stress, limit + 0.0 * stress),
        demand=stress,
        capacity=limit + 0.0 * stress,
        unit="Pa",
        source="push along the shaft over the wood's end; where there is a gap the pins take it; crushing along",
        unknown="compression along the grain",
    )
    loose, glued = np.isnan(j.walls), j.glued == 1.0
    known = np.where(loose | glued, np.nan, 0.0)[_LIFT]
    yield _condition(
        "held together",
        j.at[_LIFT],
        known,
        "each half is pinned against pulling out and turning",
        _NO_PIN
        if loose.any()
        else "a pin or button in the half that the tube stays on: glue of tube and wood is outside the method",
    )
    span = j.start[_LIFT] + (j.end - j.start)[_LIFT] * np.linspace(0.0, 1.0, 17)
    section = beam.at(span).section
    hollow = np.isfinite(section.wall).any(axis=-1, keepdims=True)
    needed = (np.maximum(j.inner, j.outer) + 0.0 * j.start)[_LIFT] + np.maximum(section.depth, section.width).max(
        axis=-1, keepdims=True
    )
    has = j.plug[_LIFT] + 0.0 * needed
    lacks = hollow & np.isnan(has)
    yield Use(
        check="takedown, solid inside",
        kind=NOT_CHECKED if lacks.any() else "splits",
        x=j.at[_LIFT],
        use=np.where(hollow, plain_use(needed, has), 0.0),
        demand=np.where(hollow, needed, 0.0),
        capacity=np.where(hollow, has, needed),
        unit="m",
        source="a hollow shaft needs a solid plug, the engaged length and one depth long, its inner end tapered ("
        "common practice, no source)",
        unknown="a solid plug in each half of the hollow shaft: tell its length as plug",
    )


def _condition(name: str, x: Array, known: Array, source: str, unknown: str) -> Use:
    return Use(
        check=f"takedown, {name}",
        kind=NOT_CHECKED if np.isnan(known).any() else "splits",
        x=x,
        use=known,
        demand=known,
        capacity=known + 1.0,
        unit="",
        source=source,
        unknown=unknown,
    )


# -------------------------------------------------------------------------------------------------- told, and changed

_METALS = {
    "aluminium": "aluminium in salt water pits, is eaten where it touches brass or bronze, and where the wood was "
    "treated with copper",
    "steel": "stainless steel starved of air in wet wood pits; plain steel rusts and stains, acid woods (oak, western "
    "redcedar) sooner; it eats aluminium that it touches",
    "brass": "brass in wet wood and salt water loses its zinc; it eats aluminium that it touches",
}


def told(beam: Beam, j: Takedown) -> Iterator[Note]:
    """Yield play, swelling, stowed lengths, and what is better so."""
    shaft, mm = beam.shaft, 1000.0
    at, inner, outer, gap, size = (float(v) for v in (j.at, j.inner, j.outer, j.gap, j.size))
    tip = float(shaft.length)
    loose = [(n, v) for n, v in (("inner", inner), ("outer", outer)) if n != j.one_half]
    free = sum(float(play(g=j.clearance, L=number(v), z=number(max(tip - at, 0.0)))) for _, v in loose)
    yield Note(
        grade="better so",
        text=f"dry, the blade's tip plays {free * mm:.0f} mm each way: the clearance of "
        f"{float(j.clearance) * mm:.2g} mm over the engaged length, times {(tip - at) * mm:.0f} mm to the tip"
        + (", both halves" if len(loose) == 2 else ""),
        origin="geometry",
    )
    pieces = [p for p in shaft.pieces if float(p.start) < float(j.end) and float(p.end) > float(j.start)]
    for p in pieces:
        low, high = (float(swelling(D=j.size, c=c, M_p=p.wood.green_at, M=p.moisture)) for c in SWELLS)
        fate = (
            "it will jam"
            if low > float(j.clearance)
            else "it may jam"
            if high > float(j.clearance)
            else "it stays free"
        )
        ring = float(hoop(p=p.wood.green.bearing, D=j.size, t_w=j.wall)) / 1e6
        yield Note(
            grade="caution",
            text=f"{p.wood.name}, wet through, swells {low * mm:.1f} to {high * mm:.1f} mm across, for a dry clearance "
            f"of {float(j.clearance) * mm:.2g} mm: {fate}; fitted wet, it rattles by as much when dry. Jammed, it can "
            f"press up to its own crushing stress across the grain: {ring:.0f} MPa round the tube",
            origin="0.25 to 0.35 % for each 1 % of moisture, common practice, no source",
        )
    edge = max(_edge(beam, j, _half(beam, j, name)) for name in HALVES)
    yield Note(
        grade="better so",
        text=f"a tight fit presses hardest at the very mouth: {edge / 1e6:.1f} MPa across the grain if nothing gave. "
        "The wood dents there and the pressure spreads to what the bearing check takes; line or taper the mouth, and "
        "look for bruises",
        origin="spigot on a springy seat, Hetenyi (1946), from memory; that the dent spreads it: judgement",
    )
    ends, far = at - gap / 2.0, tip - (at + gap / 2.0)
    with_tube = (float(j.end) * mm, (tip - float(j.start)) * mm)
    if j.one_half:
        a, b = (with_tube[0], far * mm) if j.one_half == "inner" else (ends * mm, with_tube[1])
        text = f"stowed, the inner half is {a:.0f} mm and the outer half {b:.0f} mm long, tube on the {j.one_half} one"
    else:
        text = (
            f"stowed, the inner half is {ends * mm:.0f} mm and the outer half {far * mm:.0f} mm long; with the "
            f"sleeve on it, {with_tube[0]:.0f} mm or {with_tube[1]:.0f} mm"
        )
    yield Note(grade="marking out", text=text, origin="geometry")
    yield Note(
        grade="marking out",
        text=f"tube {float(j.end - j.start) * mm:.0f} mm long, inside {size * mm:.1f} mm and the clearance, mouths at "
        f"{float(j.start) * mm:.0f} and {float(j.end) * mm:.0f} mm from the handle end"
        + ("" if np.isnan(j.density) else f"; it weighs {_mass(j):.2f} kg, which is not in the oar's weight"),
        origin="geometry",
    )
    for name, length in (("inner", inner), ("outer", outer)):
        if not 3.0 <= length / size <= 6.0:
            yield Note(
                grade="better so",
                text=f"engage each half by 3 to 6 diameters; the {name} half has {length / size:.1f}",
                origin="common practice, no source",
            )
    metals = [m for m in _METALS if m in j.tube.casefold()]
    fixings = [m for m in _METALS if m in j.fixings.casefold()]
    for metal in dict.fromkeys((*metals, *fixings)):
        yield Note(grade="caution", text=f"{_METALS[metal]}: seal the wood and drain the tube", origin="from memory")
    if metals and fixings and metals != fixings:
        yield Note(
            grade="caution",
            text=f"a {fixings[0]} pin in a tube of {metals[0]}: unlike metals in the wet eat the baser one; sleeve or "
            "grease the pin",
            origin="from memory",
        )
    if "carbon" in j.tube.casefold() and fixings:
        yield Note(
            grade="caution",
            text="carbon eats the metal that it touches, aluminium first: part them",
            origin="from memory",
        )
    if not j.trusted:
        yield Note(
            grade="caution",
            text=f"values of {j.tube} are of low trust or not known: ask its maker, or test the tube",
            origin="the table of tubes",
        )
    yield Note(
        grade="caution",
        text="not in these checks: the pressure of wood that swells in the tube, the ring's bending where no full core "
        "keeps it round, shear of the tube under repeated load, and the tube's weight and give in the whole oar",
        origin="limits of the method",
    )
    yield Note(
        grade="better so",
        text="break a trial joint, or load the finished one beyond its greatest pull: no published test of such a "
        "joint was found",
        origin="judgement",
    )


def _edge(beam: Beam, j: Takedown, half: _Half) -> float:
    """Return the greatest pressure at the mouth of a spigot on a springy seat, of a single shaft [Pa]."""
    size, cut = j.size[_LIFT], half.beside
    seat = _seat(half, size)
    beta = seat_beta(k=seat, E=half.limit("stiffness"), I=oval_second_moment(w=size, d=size))
    shear = np.hypot(cut.forward, np.abs(cut.up) + np.abs(cut.still_up))
    moment = np.hypot(cut.moment_stroke, np.abs(cut.moment_flat) + np.abs(cut.still_flat))
    line = foundation_edge(V=shear, M=moment, beta=beta, L=half.length)
    return float(np.max(edge_pressure(w=line, b=size, k=CURVED)))


def _mass(j: Takedown) -> float:
    out = j.size + 2.0 * j.wall
    return float(tube_area(D_o=out, D_i=j.size) * (j.end - j.start) * j.density)


def _moved(shaft: Shaft, j: Takedown, at: Array, inner: Array, outer: Array) -> Takedown | None:
    """Return the joint elsewhere or longer, its wood turned to what the shaft has there; None where it does not fit."""
    start, end = at - j.gap / 2.0 - inner, at + j.gap / 2.0 + outer
    if not (np.all(start > shaft.rig.hand) and np.all(end < shaft.blade.neck)):
        return None
    size = np.fmin(j.told_size, least_size(shaft.stations, start, end))
    return replace(j, at=at, inner=inner, outer=outer, start=start, end=end, size=size)


def variants(shaft: Shaft, j: Takedown) -> Iterator[tuple[str, Joint]]:
    """Yield a better mouth, a thicker wall, a longer overlap, and the joint elsewhere."""
    if np.all(j.raiser > RAISERS["tapered"]):
        yield "a tapered or lined mouth", replace(j, raiser=number(RAISERS["tapered"]) + 0.0 * j.raiser)
    for more in (25, 50):
        yield f"a wall {more} % thicker", replace(j, wall=j.wall * (1.0 + more / 100.0))
    for times in (1.25, 1.5, 2.0, 3.0):
        longer = _moved(shaft, j, j.at, j.inner * times, j.outer * times)
        if longer is not None:
            yield f"{times:g} times the overlap", longer
    for step in (-0.1, 0.1, -0.2, 0.2, -0.3, 0.3):
        moved = _moved(shaft, j, j.at + step, j.inner, j.outer)
        if moved is not None:
            yield f"the takedown moved {abs(step) * 1000:.0f} mm {'in' if step < 0 else 'out'}board", moved


TAKEDOWN = JointKind(
    kind="takedown", keys=KEYS, build=build, declares=DECLARES, check=check, told=told, variants=variants
)
