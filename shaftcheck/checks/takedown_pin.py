"""A takedown joint's pins or buttons: shear, bending, the wood and the tube under them, and what their holes leave."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from shaftcheck.beam import Beam
from shaftcheck.checks.clamped import rigid_edge, springy_shear
from shaftcheck.checks.column import pushed
from shaftcheck.checks.compare import NOT_CHECKED, Use, bar_use, norm, norm_use, plain_use
from shaftcheck.checks.dowel import FROM_THE_EDGE, IN_A_ROW, pin_bends, second_left, surface_force, width_left
from shaftcheck.checks.member import fibre_stress, form, lasting_limit, shear_with_twist
from shaftcheck.checks.net import bent_uses, net_names
from shaftcheck.checks.takedown_build import Takedown
from shaftcheck.checks.takedown_half import (
    GRID,
    LIFT,
    NO_HOLD,
    NO_TUBE,
    Half,
    beta_of,
    joined,
    pressed_inside,
    pulls,
    repeated,
)
from shaftcheck.checks.takedown_spigot import tube_moment, wood_moment, wood_shear
from shaftcheck.checks.takedown_tube import tube_second_moment
from shaftcheck.formula import Sym, formula
from shaftcheck.model import Array, Bools
from shaftcheck.sections import oval_area, oval_second_moment, oval_shear, oval_twist
from shaftcheck.strength import MEMBER_SHEAR
from shaftcheck.trace import constant

__all__ = ["grip_use", "pin_uses"]

GRIP_SAFETY = constant(
    2.0,
    Sym("n_g", "", "what the pull at which a clamp slipped is divided by"),
    "judgement: wet, worn and shrunken it grips less",
)
AT_A_HOLE = constant(
    3.0,
    Sym("k_h", "", "peak over net stress at the edge of a small hole; one that is loaded once yields there"),
    "from memory",
)
FROM_THE_MOUTH = constant(2.0, Sym("n_m", "", "pin's diameters to the tube's edge"), "judgement")
_PIN = Sym("d", "m", "diameter of the pin", low=0.0)
_WALL = Sym("t_w", "m", "wall of the tube", low=0.0)
_P = Sym("P", "N", "force on one pin", low=0.0)


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
    Sym("r_t", "", "second moment left"),
    "two holes d wide at the extreme fibres of a thin ring, 1 - 2 d / (pi r) (derived)",
    d=_PIN,
    r=Sym("r", "m", "inner radius of the tube", low=0.0),
)
def hole_in_ring(*, d: Array, r: Array) -> Array:
    """What holes through both walls leave of a thin tube's second moment."""
    return 1 - 2 * d / (np.pi * r)


def grip_use(beam: Beam, j: Takedown) -> Use:
    """Return how a clamp's grip, as it was tried, is used by pull and torque; nothing where pins hold."""
    apart, pressed = pulls(beam, j)
    torque = beam.at(j.at[LIFT]).torque
    clamped = ~np.isnan(j.slips[LIFT])
    demand = np.where(clamped, surface_force(N=np.maximum(apart, pressed), T=torque, D=j.size[LIFT]), 0.0)
    capacity = np.where(clamped, j.slips[LIFT] / GRIP_SAFETY, 1.0) + 0.0 * demand
    return Use(
        check="takedown, clamp's grip",
        kind="slips",
        x=j.at[LIFT],
        use=plain_use(demand, capacity),
        demand=demand,
        capacity=capacity,
        unit="N",
        source="pull by the hand's slant (0.36 of the pull), what pulls or presses in the case, and the torque at the "
        "wood's surface, all by friction; half of the pull at which it slipped when tried (judgement)",
        unknown="",
    )


def pin_uses(beam: Beam, j: Takedown, halves: list[Half]) -> Iterator[Use]:
    """Yield the pins or buttons of one half, the wood and the tube under them, and what their holes leave.

    A clamp that was tried has no pins: nothing is asked of them.
    """
    size, wall, d, n, walls = (v[LIFT] for v in (j.size, j.wall, j.pin, j.pins, j.walls))
    clamped = ~np.isnan(j.slips[LIFT])
    kind_or = NOT_CHECKED if (np.isnan(j.walls) & np.isnan(j.slips)).any() else ""
    apart, _ = pulls(beam, j)
    torque = beam.at(j.at[LIFT]).torque
    each, turn = apart / n, torque / n
    force = surface_force(N=each, T=turn, D=size)
    deep = j.pin_deep[LIFT]
    peg = np.isnan(deep)
    wet = j.wet[LIFT] == 1.0
    held = np.minimum(*(_under_a_pin(half, wet) for half in halves))
    h = np.where(peg, size, deep)
    line = np.where(peg, pin_line(N=each, T=turn, D=size), rigid_edge(V=force, M_c=force * h / 2.0, L=h))
    strength, shear = j.pin_strength[LIFT], j.pin_shear[LIFT]
    bends = np.where(peg, pin_bends(d=d, s=strength, f=held), button_bends(d=d, s=strength, h=h))
    x = j.at[LIFT]
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
            j.strength_across[LIFT],
            "Pa",
            f"{pulled}; force over projected area of each wall; a metal's yield over 1.5, a laminate's strength across "
            "over 3",
        ),
    ):
        demand = np.where(clamped, 0.0, demand + 0.0 * walls)
        capacity = np.where(clamped, 1.0, capacity) + 0.0 * demand
        yield Use(
            check=f"takedown, {name}",
            kind=kind_or or kind,
            x=x,
            use=plain_use(demand, capacity),
            demand=demand,
            capacity=capacity,
            unit=unit,
            source=source,
            unknown=NO_HOLD if kind_or else f"{NO_TUBE}, or a strength of the wood",
        )
    yield from _holes(beam, j, halves)
    yield _sheared(beam, j, halves)
    yield from _room(j, halves)


def _under_a_pin(half: Half, wet: Bools) -> Array:
    """Return what the wood carries under a pin, along or across the grain, whichever is less [Pa]."""
    dry = half.limit("bearing")
    return np.minimum(np.minimum(half.limit("compression"), dry), np.where(wet, half.limit("wet bearing"), dry))


def _stands(j: Takedown, half: Half) -> Bools:
    """Return which points of an engaged length a pin may stand at; around its middle the whole row of them."""
    row = (j.pins[LIFT] - 1.0) * IN_A_ROW * j.pin[LIFT] + j.pin[LIFT]
    reach = np.nan_to_num(row, nan=0.0) / (2.0 * half.length) + 1.0 / 64.0  # half a step of the places
    stands: Bools = (j.pin_anywhere[LIFT] == 1.0) | (np.abs(GRID - 0.5) <= reach)
    return stands


def _room(j: Takedown, halves: list[Half]) -> Iterator[Use]:
    """Return whether pins in a row along the shaft have their distances to the wood's end and to each other."""
    d = np.nan_to_num(j.pin[LIFT], nan=0.0)
    row = (j.pins[LIFT] - 1.0) * IN_A_ROW * d
    anywhere = j.pin_anywhere[LIFT] == 1.0
    for half in halves:
        end = half.from_the_end * d
        yield bar_use(
            "takedown, pins from the end",
            half.mid.x,
            np.where(anywhere, end + row + FROM_THE_MOUTH * d, end),
            np.where(d == 0.0, 0.0, np.where(anywhere, half.length, (half.length - row) / 2.0)),
            "NDS Table 12.5.1A and B, 7 diameters to the wood's end (hardwood 5) and 4 from pin to pin, in a row along "
            "the shaft (from memory); where they stand anywhere, room for the row, and 2 diameters to the tube's edge "
            "(judgement)",
        )
    yield bar_use(
        "takedown, pins from the edge",
        j.at[LIFT],
        FROM_THE_EDGE * d,
        j.size[LIFT] / 2.0,
        "NDS Table 12.5.1C, 4 diameters to a loaded edge (from memory): the torque loads the wood across its grain",
    )


def _sheared(beam: Beam, j: Takedown, halves: list[Half]) -> Use:
    """Return the shear inside the tube of the width that a pin's hole leaves, in a stiff or a springy socket."""
    size = j.size[LIFT]
    d = np.nan_to_num(j.pin[LIFT], nan=0.0)
    unit = oval_shear(A=oval_area(w=size, d=size)) / width_left(d=d, b=size)
    twist = oval_twist(w=size, d=size) / width_left(d=d, b=size)
    there = np.where(d > 0.0, 1.0, 0.0)
    parts = []
    for half in halves:
        stands, length = _stands(j, half) * there, half.length
        acts = half.moments()
        stiff = [wood_shear(M_c=m, V=v, L=length, t=GRID) for m, v in acts]
        cut, beta = half.beside, beta_of(beam, half, size)
        loads = np.hypot(cut.forward, cut.up), np.hypot(cut.moment_stroke, cut.moment_flat)
        weight = np.abs(cut.still_up), np.abs(cut.still_flat)
        soft = [springy_shear(V=v, M=m, beta=beta, u=beta * length * (1.0 - GRID)) for v, m in (loads, weight)]
        a, p = np.maximum(np.hypot(*stiff[:2]), soft[0]), np.maximum(stiff[2], soft[1])
        a = stands * shear_with_twist(V=a, s=unit, T=half.mid.torque, t=twist)
        p = stands * shear_with_twist(V=p, s=unit, T=0.0 * half.mid.torque, t=twist)
        limit = half.limit("shear")
        parts.append((half.x, a, p, lasting_limit(beam, limit * MEMBER_SHEAR, a, p) + 0.0 * a))
    x, a, p, limit = (joined(v) for v in zip(*parts, strict=True))
    use, raised = pushed(beam, a, limit, p)
    return Use(
        check="takedown, shear at the pin",
        kind="splits",
        x=x,
        use=use,
        demand=raised,
        capacity=limit,
        unit="Pa",
        source="shear inside a stiff socket (Burandt) or a long springy one (Hetenyi, from memory), whichever is more, "
        "with all the torque, on the width that the hole leaves; member shear with 0.67 for splits",
        unknown="shear along the grain, or the wood's stiffness",
    )


def _holes(beam: Beam, j: Takedown, halves: list[Half]) -> Iterator[Use]:
    """Bending of what the pin's hole leaves of wood and tube; without a pin there is no hole."""
    size, wall = j.size[LIFT], j.wall[LIFT]
    d = np.nan_to_num(j.pin[LIFT], nan=0.0)
    out = size + 2.0 * wall
    fore = j.pin_fore[LIFT] == 1.0
    second, ring = oval_second_moment(w=size, d=size), tube_second_moment(D_o=out, D_i=size)
    cut_fibres, cut_axis = second_left(w=d, h=size, I=second), second_left(w=size, h=d, I=second)
    cut_ring = hole_in_ring(d=d, r=size / 2.0)
    again = repeated(beam) == 1.0
    peak = np.where(again & (d > 0.0), AT_A_HOLE, 1.0)
    net = oval_area(w=size, d=size) - d * size
    wood, pressed, tube = [], [], []
    for half in halves:
        acts = half.moments()
        stands = _stands(j, half)
        a, b, p = (
            stands * fibre_stress(M=wood_moment(M_c=m, V=v, L=half.length, t=GRID), c=size, I=second) for m, v in acts
        )
        r_s, r_f = np.where(fore, cut_fibres, cut_axis), np.where(fore, cut_axis, cut_fibres)
        limit = half.limit("bending")
        limit = limit * form(beam, half.beside)
        wood.append((half.x, a / r_s, b / r_f, p / r_f + 0.0 * b, limit + 0.0 * a))
        pressed.append(stands * pressed_inside(half, net) + 0.0 * a)
        a, b, p = (
            stands * fibre_stress(M=tube_moment(M_c=m, V=v, L=half.length, t=GRID), c=out, I=ring) for m, v in acts
        )
        r_s, r_f = np.where(fore, cut_ring, 1.0), np.where(fore, 1.0, cut_ring)
        k_s, k_f = np.where(fore, peak, 1.0), np.where(fore, 1.0, peak)
        limit = np.where(again, j.endurance[LIFT], j.strength[LIFT])
        tube.append((half.x, a * k_s / r_s, b * k_f / r_f, p * k_f / r_f, limit + 0.0 * a))
    x, a, b, p, limit = (joined(v) for v in zip(*wood, strict=True))
    left = "on what the hole leaves of the round inside (derived), a hole right through taken for a button too"
    yield from bent_uses(
        beam,
        net_names("takedown, wood at the pin"),
        x,
        loads=(a, b),
        weight=(None, p),
        limit=limit,
        q=2.0,
        axial=joined(pressed),
        sources=(f"flexure formula {left}; moment left in the wood", left),
        unknown="a strength of the wood, its run-out, or a section that the method reaches",
    )
    x, a, b, p, limit = (joined(v) for v in zip(*tube, strict=True))
    yield Use(
        check="takedown, tube at the pin",
        kind="breaks",
        x=x,
        use=norm_use(a, b, 0.0 * p, p, limit),
        demand=norm(a, b + p, 2.0),
        capacity=limit + 0.0 * a,
        unit="Pa",
        source="flexure formula on what the holes leave (derived); a metal's yield over 1.5, a laminate's strength "
        "over 3; in repeated cases 3 times the stress where the pin pierces the extreme fibres (from memory) against "
        "the strength in long use",
        unknown=NO_TUBE,
    )
