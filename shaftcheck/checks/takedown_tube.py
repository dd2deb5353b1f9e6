"""A takedown joint's tube: bending, shear, long use, hoop tension at the mouth, and a wall that buckles."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from shaftcheck.beam import Beam
from shaftcheck.checks.column import crush, pushed
from shaftcheck.checks.compare import Use, norm, norm_use, plain_use
from shaftcheck.checks.member import fibre_stress, shear_with_twist
from shaftcheck.checks.takedown_build import Takedown
from shaftcheck.checks.takedown_half import GRID, LIFT, NO_TUBE, Half, joined, peaks, pulls, repeated
from shaftcheck.checks.takedown_spigot import SWELLS, fitted_at, swelling, tube_moment
from shaftcheck.formula import Sym, formula
from shaftcheck.model import Array, Bools
from shaftcheck.trace import constant

__all__ = ["tube_uses"]

POISSON = constant(0.30, Sym("nu", "", "Poisson's ratio of any tube"), "judgement: a lower one buckles sooner")
_OUT = Sym("D_o", "m", "outside of the tube", low=0.0)
_IN = Sym("D_i", "m", "inside of the tube", low=0.0)
_WALL = Sym("t_w", "m", "wall of the tube", low=0.0)


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
    Sym("p_s", "Pa", "pressure of jammed wood"),
    "crushing stress across the grain at 12 % that 95 of 100 pieces do not exceed, mean (1 + 1.645 V): wood can "
    "press no harder than it crushes (judgement)",
    p=Sym("P_12", "Pa", "mean compression across the grain at 12 % moisture", low=0.0),
    v=Sym("V", "", "its coefficient of variation", low=0.0, high=0.55),
)
def jammed_pressure(*, p: Array, v: Array) -> Array:
    """Greatest pressure of wood that swells in a tube too tight for it."""
    return p * (1 + 1.645 * v)


def _swollen(beam: Beam, j: Takedown, halves: list[Half], round_: Array, weight: Array) -> Use:
    """Return the tension round the tube once the wood has swollen tight, with that of the loads at the mouth."""
    size, pieces = j.size[LIFT], beam.shaft.pieces
    presses, jammed = [], []
    for half in halves:
        bearing, scatter, green_at, moisture = (
            half.inside.pick(np.stack(np.broadcast_arrays(*values), axis=-1)[..., None, :])
            for values in (
                [p.wood.dry.bearing for p in pieces],
                [p.wood.scatter.bearing for p in pieces],
                [p.wood.green_at for p in pieces],
                [p.moisture for p in pieces],
            )
        )
        wettest = np.where(j.wet[LIFT] == 1.0, green_at, np.minimum(moisture, green_at))
        grows = swelling(D=size, c=SWELLS[1], M_p=wettest, M=fitted_at(moisture))
        jams: Bools = ~(grows <= j.clearance[LIFT])
        pressed = np.where(jams, jammed_pressure(p=bearing, v=scatter), 0.0)
        presses.append(pressed.max(axis=-1, keepdims=True))
        jammed.append(jams.any(axis=-1, keepdims=True))
    tight = jammed[0] | jammed[1]
    still = hoop(p=np.maximum(*presses), D=size, t_w=j.wall[LIFT]) + weight.max(axis=-1, keepdims=True)
    still = np.where(tight, still, 0.0)
    demand = np.where(tight, round_.max(axis=-1, keepdims=True), 0.0)
    limit = j.strength_across[LIFT] + 0.0 * demand
    return Use(
        check="takedown, swollen wood",
        kind="breaks",
        x=j.at[LIFT],
        use=plain_use(demand, limit, still),
        demand=demand + still,
        capacity=limit,
        unit="Pa",
        source="where wood swells by more than the clearance, from 16 % to its moisture in use, or until wet through "
        "where it stays wet: thin ring under its crushing stress across the grain, upper 5 % of pieces (judgement), "
        "with the pressure of the loads at the mouth; a metal's yield over 1.5, a laminate's strength across over 3",
        unknown=f"{NO_TUBE}; or the wood's compression across the grain",
    )


def tube_uses(beam: Beam, j: Takedown, halves: list[Half], presses: list[tuple[Array, Array]]) -> Iterator[Use]:
    """Yield the tube in bending, in long use and where its wall buckles, in shear, and round its mouth."""
    size, wall = j.size[LIFT], j.wall[LIFT]
    out = size + 2.0 * wall
    area, second = tube_area(D_o=out, D_i=size), tube_second_moment(D_o=out, D_i=size)
    torque = beam.at(j.at[LIFT]).torque
    along, pressed = (np.maximum(f, 0.0) for f in pulls(beam, j))
    axial = crush(N=np.maximum(along, pressed), A=area)
    parts = []
    for half in halves:
        a, b, p = (np.abs(tube_moment(M_c=m, V=v, L=half.length, t=GRID)) for m, v in half.moments())
        parts.append((half.x, a, b, p))
    x, stroke, flat, still = (joined(v) for v in zip(*parts, strict=True))
    a = fibre_stress(M=with_torque(M=stroke, T=torque), c=out, I=second) + axial
    b = fibre_stress(M=flat, c=out, I=second) + axial
    p = fibre_stress(M=still, c=out, I=second)
    strength, endures, buckles = (v[LIFT] + 0.0 * a for v in (j.strength, j.endurance, j.modulus))
    q = (size + wall) / (2.0 * wall)
    critical = wall_buckling(E=buckles, q=q, gamma=knock_down(q=q), nu=POISSON)
    again = repeated(beam) == 1.0
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
            unknown=NO_TUBE,
        )
    unit, twist = tube_shear(D_o=out, D_i=size, A=area), tube_twist(D_o=out, I=second)
    sheared = [[peaks(m, v, half.length)[1] for m, v in half.moments()] for half in halves]
    v_s, v_f, v_w = (joined(v) for v in zip(*sheared, strict=True))
    none = 0.0 * torque
    a = shear_with_twist(V=np.hypot(v_s, v_f), s=unit, T=torque, t=twist)
    p = shear_with_twist(V=v_w, s=unit, T=none, t=twist)
    limit = j.strength_shear[LIFT] + 0.0 * a
    use, raised = pushed(beam, a, limit, p)
    yield Use(
        check="takedown, tube shear",
        kind="breaks",
        x=joined([half.mid.x for half in halves]),
        use=use,
        demand=raised,
        capacity=limit,
        unit="Pa",
        source="shear that the tube has along an engaged length, mirror image of the wood's, with all the torque; "
        "exact tube formula; a metal's yield over 1.5 sqrt(3), a laminate's shear over 3",
        unknown=NO_TUBE,
    )
    round_ = [tuple(hoop(p=v, D=size, t_w=wall) for v in pair) for pair in presses]
    a, p = (joined(v) for v in zip(*round_, strict=True))
    limit = j.strength_across[LIFT] + 0.0 * a
    use, raised = pushed(beam, a, limit, p)
    yield Use(
        check="takedown, tube mouth",
        kind="breaks",
        x=joined([half.mouth for half in halves for _ in range(2)]),
        use=use,
        demand=raised,
        capacity=limit,
        unit="Pa",
        source="thin ring under the greatest pressure of the wood, which fills it and keeps it round (judgement); a "
        "metal's yield over 1.5, a laminate's strength across over 3",
        unknown=f"{NO_TUBE}; or the wood's compression across the grain",
    )
    yield _swollen(beam, j, halves, a, p)


def _lasting(a: Array, b: Array, p: Array, capacity: Array, again: Array) -> Array:
    """Return the use of a check that only repeated cases have; 0 for the others."""
    return np.where(again, norm_use(a, b, 0.0 * p, p, capacity), 0.0 * capacity)
