"""Statics of both rigs: reactions, shear, moment, thrust, torque and weight, against an independent beam solver.

The solver is sympy's Beam. It counts forces downward and answers shear and moment in the usual sense (sagging above
zero), so our forward or upward force F is its load -F: M > 0 then stretches the aft or the lower face.
"""

from dataclasses import replace
from math import isclose, pi

import numpy as np
import pytest
from hypothesis import given, settings
from scipy.integrate import quad
from shafts import (
    GENERAL,
    blade,
    duty,
    force,
    in_lock,
    oars,
    on_pins,
    piece,
    plain_wood,
    points,
    rower,
    shaft,
    spruce,
    station,
    under,
)
from sympy import Rational, lambdify, symbols
from sympy.physics.continuum_mechanics.beam import Beam as Sympy

from shaftcheck.beam import GRAVITY, mesh
from shaftcheck.checks import member
from shaftcheck.loads import loaded
from shaftcheck.loads.caught import drag
from shaftcheck.loads.statics import places, still
from shaftcheck.model import number

EXACT = 1e-12
POINT = 1e-9
"""right at a point force: it is spread over 1e-9 m, and so takes R x 1e-9 / 8 off the peak"""


def one_piece(**changes):
    """A 2.3 m oar: hand at 0.05 m, lock at 0.75 m, the blade's strength centre at 2.3 m less a third of the blade."""
    parts = {
        "length": 2.5,
        "stations": (station(0, 0.036), station(0.75, 0.046, 0.044), station(2.0, 0.036, 0.030), station(2.5, 0.030)),
        "rig": in_lock(0.05, 0.75),
        "blade": blade(1.9, 2.5, area=0.07, width=0.13, off_axis=0.02, mass=0.4),
        "rower": rower(**GENERAL),
        "duty": duty(speed=2.0),
        "wood": spruce(),
    }
    return shaft(**{**parts, **changes})


def hinged(**changes):
    parts = {
        "length": 2.5,
        "stations": (station(0, 0.036), station(0.8, 0.050, 0.046), station(2.0, 0.036, 0.030), station(2.5, 0.030)),
        "rig": on_pins(0.05, 0.88, 0.885, inner=(0.80, 0.74, 0.86), outer=(0.98, 0.90, 1.06), ratio=1.2, spacing=0.15),
        "blade": blade(1.9, 2.5, area=0.07, width=0.13, off_axis=0.02, mass=0.4),
        "rower": rower(**GENERAL),
        "duty": duty(speed=2.0),
        "wood": spruce(),
    }
    return shaft(**{**parts, **changes})


def spread_points(oar, n=60):
    x = np.linspace(0.001, float(oar.length) - 0.001, n)
    return x + 1e-5 * np.sin(37 * x)  # none on a force


def solved(length, known, unknown):
    """Shear and moment as functions of x, by sympy: known forces {x: F}, reactions at the places `unknown`."""
    e, i = symbols("E I", positive=True)
    b = Sympy(Rational(str(length)), e, i)
    for x, f in known.items():
        b.apply_load(-Rational(str(f)), Rational(str(x)), -1)
    names = symbols(f"r0:{len(unknown)}")
    for name, x in zip(names, unknown, strict=True):
        b.apply_load(name, Rational(str(x)), -1)
    b.bc_deflection = [(Rational(str(x)), 0) for x in unknown]
    b.solve_for_reaction_loads(*names)
    reactions = [-float(b.reaction_loads[name]) for name in names]
    at = "numpy", {"SingularityFunction": lambda x, a, n: np.where(x < float(a), 0.0, (x - float(a)) ** float(n))}
    modules = [at[1], at[0]]
    return (
        lambdify(b.variable, b.shear_force(), modules),
        lambdify(b.variable, b.bending_moment(), modules),
        reactions,
    )


# -------------------------------------------------------------------------------------------------- one-piece oar


@pytest.mark.source("statics of a lever, F_b = F_h a / b and R = F_h + F_b: 135.483871 N, 435.483871 N, 210 N m")
def test_lever_oar():
    """300 N at 0.70 m, the blade's force at 1.55 m outboard."""
    oar = one_piece(rig=in_lock(0.0, 0.70), blade=blade(2.25, 2.25), length=2.25, rower=rower(steady=300))
    oar = replace(oar, stations=(station(0, 0.045), station(2.25, 0.045)))
    beam = loaded(oar)
    steady = beam.case("steady")
    by_place = dict(zip(beam.places, beam.forward[steady], strict=True))
    assert isclose(by_place["hand"], 300, rel_tol=EXACT)
    assert isclose(by_place["blade"], 135.483871, rel_tol=1e-9)
    assert isclose(by_place["lock"], -435.483871, rel_tol=1e-9)
    assert isclose(beam.at(points(0.70)).moment_stroke[steady, 0], 210.0, rel_tol=POINT)


@pytest.mark.source("sympy, Beam, given the hand's force and the geometry alone")
@pytest.mark.parametrize(("key", "pull"), [("steady", 150), ("start", 500), ("once", 700), ("back", -440)])
def test_strokes_by_sympy(key, pull):
    """Shear and moment at 60 points; backing is the push at the hand, so all its signs are turned."""
    oar = one_piece()
    shear, moment, (water, lock) = solved(2.5, {0.05: pull}, (2.3, 0.75))
    beam = loaded(oar)
    row = beam.case(key)
    x = spread_points(oar)
    cut = beam.at(points(x))
    assert np.allclose(cut.forward[row], shear(x), rtol=0, atol=1e-10)
    assert np.allclose(cut.moment_stroke[row], moment(x), rtol=0, atol=1e-10)
    assert isclose(beam.forward[row, beam.places.index("blade")], water, rel_tol=EXACT)
    assert isclose(beam.forward[row, beam.places.index("lock")], lock, rel_tol=EXACT)
    assert np.sign(water) == np.sign(pull)
    assert np.max(np.abs(cut.up[row])) == 0
    assert np.max(np.abs(cut.moment_flat[row])) == 0


@pytest.mark.source("sympy, Beam")
def test_caught_blade_by_sympy():
    """The water pushes the blade aft, the hands and the lock hold: bending against the stroke all along."""
    oar = one_piece()
    water = float(drag(rho=number(1025.0), c=number(2.0), A=number(0.07), v=number(2.0)))
    shear, moment, (hand, _) = solved(2.5, {2.3: -water}, (0.05, 0.75))
    beam = loaded(oar)
    row = beam.case("caught")
    x = spread_points(oar)
    cut = beam.at(points(x))
    assert np.allclose(cut.forward[row], shear(x), rtol=0, atol=1e-10)
    assert np.allclose(cut.moment_stroke[row], moment(x), rtol=0, atol=1e-10)
    assert hand < 0
    assert np.all(cut.moment_stroke[row][(x > 0.05) & (x < 2.3)] < 0)


@pytest.mark.source("sympy, Beam")
@pytest.mark.parametrize(("key", "sign", "flat"), [("lever forward", 1, False), ("lever down", -1, True)])
def test_lever_by_sympy(key, sign, flat):
    oar = one_piece()
    shear, moment, _ = solved(2.5, {0.05: sign * 400}, (2.5, 0.75))
    beam = loaded(oar)
    x = spread_points(oar)
    cut = beam.at(points(x))
    row = beam.case(key)
    v, m = (cut.up, cut.moment_flat) if flat else (cut.forward, cut.moment_stroke)
    none = cut.moment_stroke if flat else cut.moment_flat
    assert np.allclose(v[row], shear(x), rtol=0, atol=1e-10)
    assert np.allclose(m[row], moment(x), rtol=0, atol=1e-10)
    assert np.max(np.abs(none[row])) == 0


@pytest.mark.source("sympy, Beam; thrust by hand: 500 N all the way from hand to tip, pressed")
@pytest.mark.parametrize(("key", "sign"), [("push forward", 1), ("push aft", -1)])
def test_push_off_by_sympy(key, sign):
    """500 N along the shaft and 150 N to the side at the tip; it stands a quarter of the blade's width off the axis."""
    oar = one_piece()
    shear, moment, _ = solved(2.5, {2.5: sign * 150}, (0.05, 0.75))
    beam = loaded(oar)
    x = spread_points(oar)
    cut = beam.at(points(x))
    row = beam.case(key)
    assert np.allclose(cut.forward[row], shear(x), rtol=0, atol=1e-10)
    assert np.allclose(cut.moment_stroke[row], moment(x), rtol=0, atol=1e-10)
    on = (x > 0.05) & (x < 2.5)
    assert np.allclose(cut.axial[row][on], -500.0, rtol=EXACT)
    assert np.allclose(cut.axial[row][~on], 0.0)
    # 500 N at 0.13 / 4 m turns the tip; it runs out to nothing at the lock's reaction and the hand's
    couple = 500 * 0.13 / 4
    assert np.allclose(np.abs(cut.moment_flat[row][(x > 0.75) & (x < 2.5)]), couple, rtol=EXACT)
    inner = (x > 0.05) & (x < 0.75)
    assert np.allclose(np.abs(cut.moment_flat[row][inner]), couple * (x[inner] - 0.05) / 0.70, rtol=1e-10)


@pytest.mark.source("by hand: the tip may bear above or below the axis, so eccentricity and side force add one way")
def test_push_off_up_adds_the_eccentric_thrust():
    oar = one_piece()
    beam = loaded(oar)
    cut = beam.at(points(0.75))
    for key in ("push up", "push down"):
        assert isclose(abs(cut.moment_flat[beam.case(key), 0]), 150 * (2.5 - 0.75) + 500 * 0.13 / 4, rel_tol=POINT)


@pytest.mark.source("by hand: the torque of a blade force off the axis runs from the blade to the hand")
def test_twist_of_a_blade_off_the_axis():
    """At mid-blade, 2.2 m, 700 N at 0.70 m over 1.45 m is 337.931 N; 20 mm off the axis that is 6.75862 N m."""
    oar = one_piece()
    beam = loaded(oar)
    x = points(0.02, 0.3, 1.5, 2.29, 2.31)
    torque = np.abs(beam.at(x).torque[beam.case("once")])
    assert np.allclose(torque, (0, 6.75862069, 6.75862069, 6.75862069, 0), rtol=1e-8, atol=1e-12)


@pytest.mark.source("by hand: 700 N at 0.70 m is 700 x 0.70 / 1.45 N at mid-blade, and 700 x 0.70 / 1.55 N further out")
@pytest.mark.parametrize(("key", "hand"), [("once", 700.0), ("back", -440.0)])
def test_shear_outboard_is_of_the_water_at_mid_blade(key, hand):
    """The lock at 0.75 m, mid-blade 2.2 m, a third from the tip 2.3 m; inboard the hand alone shears."""
    oar = one_piece(blade=blade(1.9, 2.5, area=0.07, width=0.13, off_axis=0.0, mass=0.4))
    beam = loaded(oar)
    cut = beam.at(points(0.4, 0.9, 1.5, 2.19, 2.25))
    force = np.array([hand, hand * 0.70 / 1.45, hand * 0.70 / 1.45, hand * 0.70 / 1.45, hand * 0.70 / 1.55])
    use = next(u for u in member.shear(beam, cut) if u.check == "shear, stroke")
    row, weight = beam.case(key), cut.still_up * cut.section.shear_flat
    expected = np.hypot(force * cut.section.shear_stroke[0], weight[beam.case(key)])
    assert np.allclose(use.demand[row], expected, rtol=1e-9)


@pytest.mark.source("by hand: a corner of the tip, half of 130 mm off the axis, under what mid-blade or tip bears")
@pytest.mark.parametrize(("key", "force"), [("lever forward", 400 * 0.70 / 1.45), ("lever aft", 400 * 0.70 / 1.45),
                                            ("push forward", 150.0), ("push aft", 150.0)])  # fmt: skip
def test_a_tip_held_by_a_corner_twists_the_shaft(key, force):
    """In the blade's own plane the force goes through the axis and twists nothing."""
    beam = loaded(one_piece())
    torque = np.abs(beam.at(points(0.3, 1.5, 2.4)).torque)
    assert np.allclose(torque[beam.case(key)], force * 0.065, rtol=1e-9)
    for flat in ("lever up", "lever down", "push up", "push down"):
        assert np.all(torque[beam.case(flat)] == 0.0)


@pytest.mark.source("virtual work of two halves that swing in a ratio: M_out = M_in / r, as in the strokes")
@pytest.mark.parametrize("ratio", [0.6, 1.2])
def test_a_lever_reaches_the_outer_half_by_the_links_ratio(ratio):
    oar = hinged(rig=on_pins(0.05, 0.88, 0.885, inner=(0.80, 0.74, 0.86), outer=(0.98, 0.90, 1.06), ratio=ratio,
                             spacing=0.15))  # fmt: skip
    beam = loaded(oar)
    tip = beam.places.index("tip")
    into = 400 * (0.80 - 0.05)
    for key, over in (("lever forward", ratio), ("lever aft", ratio), ("lever up", 1.0), ("lever down", 1.0)):
        row = beam.case(key)
        force = abs(beam.forward[row, tip] + beam.up[row, tip])
        assert isclose(force * (2.5 - 0.98), into / over, rel_tol=EXACT)


@pytest.mark.source("derived: (b - x) / b of the lock's moment at a joint at mid-length")
def test_moment_at_mid_length():
    """2.44 m oar, lock at 0.683 m, hand at 0.06 m, blade's force 1.53 m outboard: 0.6490196078 at 1.22 m."""
    oar = one_piece(
        length=2.44,
        rig=in_lock(0.06, 0.683),
        blade=blade(2.213, 2.213),
        stations=(station(0, 0.045), station(2.44, 0.045)),
        rower=rower(steady=150),
    )
    beam = loaded(oar)
    moment = beam.at(points(0.683, 1.22)).moment_stroke[beam.case("steady")]
    assert isclose(moment[1] / moment[0], 0.6490196078, rel_tol=1e-9)


@pytest.mark.source("sympy, Beam, with the lock's force as a line load of its length")
def test_lock_of_some_length_by_sympy():
    """60 mm of even line load instead of a point: the peak is R l / 8 lower, and the ends of the contact as before."""
    oar = one_piece(rig=in_lock(0.05, 0.75, contact=0.06))
    _, moment, (_, lock) = solved(2.5, {0.05: 700}, (2.3, 0.75))
    e, i = symbols("E I", positive=True)
    b = Sympy(Rational("2.5"), e, i)
    q, w = symbols("q w")
    b.apply_load(-700, Rational("0.05"), -1)
    b.apply_load(w, Rational("2.3"), -1)
    b.apply_load(q, Rational("0.72"), 0, end=Rational("0.78"))
    b.solve_for_reaction_loads(q, w)
    inside = np.linspace(0.7205, 0.7795, 13)
    beam = loaded(oar)
    row = beam.case("once")
    cut = beam.at(points(inside))
    expected = [float(b.bending_moment().subs(b.variable, Rational(str(v)))) for v in np.round(inside, 6)]
    got = beam.at(points(np.round(inside, 6))).moment_stroke[row]
    assert np.allclose(got, expected, rtol=1e-12)
    outside = points(0.4, 0.7199, 0.7801, 1.5)
    assert np.allclose(beam.at(outside).moment_stroke[row], moment(outside[0]), rtol=1e-12)
    peak = 700 * 0.70
    assert isclose(beam.at(points(0.75)).moment_stroke[row, 0], peak + lock * 0.06 / 8, rel_tol=1e-12)
    assert lock < 0
    assert np.all(np.diff(cut.forward[row]) < 0)


# ------------------------------------------------------------------------------------------------------ hinged rig


@pytest.mark.source("linked two-piece rig: virtual work and plan-view equilibrium, 225 N m and 140.625 N")
@pytest.mark.parametrize(("ratio", "water"), [(1.0, 140.625), (0.75, 187.5), (1.5, 93.75)])
def test_hinged_forces(ratio, water):
    """300 N at 0.75 m from its pin; blade's force 1.60 m from its pin. A blade half that swings less is loaded more.

    Root moments at the cradles' edges, 60 mm from the pins, for ratio 1: 207 and 216.6 N m (216.5625).
    """
    rig = on_pins(0.0, 0.82, 0.83, inner=(0.75, 0.69, 0.81), outer=(0.90, 0.84, 0.96), ratio=ratio)
    oar = hinged(rig=rig, blade=blade(2.5, 2.5), rower=rower(steady=300))
    beam = loaded(oar)
    row = beam.case("steady")
    by_place = dict(zip(beam.places, beam.forward[row], strict=True))
    assert isclose(by_place["hand"], -300, rel_tol=EXACT)
    assert isclose(by_place["blade"], water, rel_tol=1e-9)
    at = beam.at(points(0.69, 0.96))
    assert isclose(at.moment_stroke[row, 0], -207.0, rel_tol=1e-12)  # forward face stretched
    assert isclose(at.moment_stroke[row, 1], water * 1.54, rel_tol=1e-9)  # aft face stretched
    if ratio == 1.0:
        assert f"{at.moment_stroke[row, 1]:.1f}" == "216.6"
        # the moment about the outer pin is what virtual work gives it: 300 x 0.75 / 1
        assert isclose(water * 1.60, 225.0, rel_tol=1e-12)


@pytest.mark.source("weight of the outboard half on an upright pin, W (c - e): 11.62088025 N m")
def test_weight_of_the_outboard_half():
    """1.50 kg at 0.85 m from the pin, the cradle's edge at 60 mm; nothing inboard balances it."""
    rig = on_pins(0.0, 0.82, 0.83, inner=(0.75, 0.69, 0.81), outer=(0.90, 0.84, 0.96))
    oar = hinged(rig=rig, blade=blade(1.60, 1.90, mass=1.5), wood=plain_wood())
    beam = loaded(oar)
    moment = beam.at(points(0.69, 0.96)).still_flat[beam.case("steady")]
    assert isclose(moment[1], -11.62088025, rel_tol=1e-9)  # upper face stretched
    assert moment[0] == 0


@pytest.mark.source("sympy, Beam, each half with a straight line load of two unknowns in its cradle, solved by sympy")
@pytest.mark.parametrize("half", ["inner", "outer"])
def test_hinged_halves_by_sympy(half):
    oar = hinged()
    beam = loaded(oar)
    row = beam.case("once")
    water = 700 * Rational("0.75") / (Rational("1.2") * Rational("1.32"))
    x_f, f, low, high = (
        (Rational("0.05"), Rational(-700), Rational("0.74"), Rational("0.86"))
        if half == "inner"
        else (Rational("2.3"), water, Rational("0.90"), Rational("1.06"))
    )
    e, i, q0, q1 = symbols("E I q0 q1")
    b = Sympy(Rational("2.5"), e, i)
    b.apply_load(-f, x_f, -1)
    b.apply_load(q0, low, 0, end=high)
    b.apply_load(q1, low, 1, end=high)
    b.solve_for_reaction_loads(q0, q1)
    places_ = (0.2, 0.6, 0.75, 0.78, 0.80, 0.83, 0.85) if half == "inner" else (0.91, 0.95, 0.98, 1.0, 1.05, 1.4, 2.2)
    cut = beam.at(points(np.array(places_)))
    for k, x in enumerate(places_):
        v = float(b.shear_force().subs(b.variable, Rational(str(x))))
        m = float(b.bending_moment().subs(b.variable, Rational(str(x))))
        assert isclose(cut.forward[row, k], v, rel_tol=1e-10, abs_tol=1e-9)
        assert isclose(cut.moment_stroke[row, k], m, rel_tol=1e-10, abs_tol=1e-9)


@pytest.mark.source("straight pressure of a stiff cradle, derived: (4 P + 6 M / l) / l and (2 P + 6 M / l) / l")
def test_line_pressure_in_a_cradle():
    """300 N and 225 N m at the edge of 150 mm: 68 kN/m there, 64 kN/m the other way at the far end."""
    rig = on_pins(0.0, 0.92, 0.93, inner=(0.825, 0.75, 0.90), outer=(1.0, 0.95, 1.05))
    oar = hinged(rig=rig, rower=rower(steady=300), blade=blade(2.5, 2.5))
    beam = loaded(oar)
    row = beam.case("steady")
    step = 1e-5
    x = points(0.75 + 1e-9, 0.75 + step, 0.90 - step, 0.90 - 1e-9)
    cut = beam.at(x)
    assert isclose(cut.moment_stroke[row, 0], -225, rel_tol=1e-6)
    v = cut.forward[row]
    near, far = (v[1] - v[0]) / step, (v[3] - v[2]) / step
    assert isclose(near, 68000, rel_tol=5e-4)  # one-sided difference over 10 um
    assert isclose(far, -64000, rel_tol=5e-4)


@pytest.mark.source("straight line load of no resultant: peak shear 1.5 M / l at mid-length, derived")
def test_shear_in_a_cradle_under_a_moment_alone():
    """225 N m over 150 mm: 2.25 kN, far above the 0 N beside it."""
    rig = on_pins(0.0, 0.92, 0.93, inner=(0.825, 0.75, 0.90), outer=(1.0, 0.95, 1.05))
    oar = hinged(rig=rig)
    beam = under(oar, force("hand", couple_forward=225.0))
    x = points(np.linspace(0.7, 0.95, 501))
    cut = beam.at(x)
    assert isclose(np.max(np.abs(cut.forward)), 2250.0, rel_tol=1e-9)
    assert isclose(x[0, np.argmax(np.abs(cut.forward))], 0.825, abs_tol=1e-3)
    assert np.all(cut.forward[0, (x[0] < 0.75) | (x[0] > 0.90)] == 0)
    assert np.allclose(np.abs(cut.moment_stroke[0, x[0] < 0.75]), 225.0)
    assert np.allclose(cut.moment_stroke[0, x[0] > 0.90], 0.0, atol=1e-10)


# ---------------------------------------------------------------------------------------------------------- weight


def line_weight(x, oar, rho):
    """Weight per length of an oval shaft of one wood at x, from straight lines between the stations [N/m]."""
    at = [float(s.x) for s in oar.stations]
    depth = np.interp(x, at, [float(s.depth) for s in oar.stations])
    width = np.interp(x, at, [float(s.width) for s in oar.stations])
    return 9.80665 * rho * pi * depth * width / 4


@pytest.mark.source("scipy.integrate.quad of the weight per length; density 1000 G (1 + M), Wood Handbook eq. 4-14")
def test_weight_of_an_oar():
    """Total, and the moment at the lock of all that hangs outboard of it."""
    oar = one_piece(pieces=(piece(0, 2.5, spruce(), moisture=0.16),))
    rho = 1000 * 0.40 * 1.16
    neck = 1.9  # beyond it, all is the blade's
    total = quad(lambda x: line_weight(x, oar, rho), 0, neck, points=(0.75,))[0] + 0.4 * 9.80665
    moment = quad(lambda x: line_weight(x, oar, rho) * (x - 0.75), 0.75, neck)[0]
    moment += 0.4 * 9.80665 * (2.2 - 0.75)
    falling = [f for f in still(oar, places(oar)) if f.place.startswith(("weight", "blade weight"))]
    assert isclose(-sum(float(f.up) for f in falling), total, rel_tol=1e-10)
    beam = loaded(oar)
    row = beam.case("steady")
    at_lock = beam.at(points(0.75)).still_flat[row, 0]
    assert isclose(at_lock, -moment, rel_tol=POINT)
    # lifted and carried: twice the weight, as a load and not as a permanent part
    lift = beam.case("lift")
    assert isclose(beam.at(points(0.75)).moment_flat[lift, 0], 2 * at_lock, rel_tol=1e-12)
    assert beam.at(points(0.75)).still_flat[lift, 0] == 0


@pytest.mark.source("scipy.integrate.quad of the weight per length")
def test_shear_and_moment_of_the_weight_between_its_panels():
    """Exact at the panels' ends; between them the line load is taken as straight, within 5 parts in 1000."""
    oar = one_piece(pieces=(piece(0, 2.5, spruce(), moisture=0.16),), blade=blade(1.9, 2.5))
    beam = loaded(oar)
    row = beam.case("steady")
    rho = 464.0
    for x in (0.9, 1.0, 1.2, 1.4):
        shear = quad(lambda u: line_weight(u, oar, rho), x, 1.9)[0]
        moment = quad(lambda u, x=x: line_weight(u, oar, rho) * (u - x), x, 1.9)[0]
        cut = beam.at(points(x))
        assert isclose(cut.still_up[row, 0], shear, rel_tol=5e-3)
        assert isclose(cut.still_flat[row, 0], -moment, rel_tol=5e-3)


@pytest.mark.source("scipy.integrate.quad of the weight per length of each half")
def test_weight_of_hinged_halves():
    """The kerf is gone; each half hangs from its own cradle."""
    oar = hinged(pieces=(piece(0, 2.5, spruce(), moisture=0.16),))
    beam = loaded(oar)
    row = beam.case("steady")
    outer = quad(lambda x: line_weight(x, oar, 464.0) * (x - 1.06), 1.06, 1.9)[0]
    outer += 0.4 * 9.80665 * (2.2 - 1.06)
    inner = quad(lambda x: line_weight(x, oar, 464.0) * (0.74 - x), 0, 0.74)[0]
    at = beam.at(points(0.74, 1.06)).still_flat[row]
    assert isclose(at[1], -outer, rel_tol=1e-9)
    assert isclose(at[0], -inner, rel_tol=1e-9)
    total = sum(float(f.up) for f in still(oar, places(oar)) if f.place.startswith(("weight", "blade weight")))
    whole = quad(lambda x: line_weight(x, oar, 464.0), 0, 1.9, points=(0.8,))[0]
    kerf = quad(lambda x: line_weight(x, oar, 464.0), 0.88, 0.885)[0]
    assert isclose(-total, whole - kerf + 0.4 * 9.80665, rel_tol=1e-9)


@pytest.mark.source("third general conference on weights and measures, 1901")
def test_gravity():
    assert GRAVITY == 9.80665


# -------------------------------------------------------------------------------------------------------- closure


@given(oars())
@settings(max_examples=60, deadline=None)
def test_all_forces_and_moments_of_every_case_close(oar):
    """Sums over the forces themselves, each half of a hinged rig alone; to rounding of the moments summed."""
    at = places(oar)
    beam = loaded(oar)
    halves = [(-1.0, 9.0)] if not hasattr(oar.rig, "saw") else [(-1.0, float(oar.rig.saw)), (float(oar.rig.saw), 9.0)]
    for forces in (still(oar, at), *(c.forces for c in beam.cases)):
        for low, high in halves:
            mine = [(float(at[f.place][0]), f) for f in forces if low < float(at[f.place][0]) <= high]
            for push, couple in (("forward", "couple_forward"), ("up", "couple_up")):
                parts = [float(getattr(f, push)) for _, f in mine]
                turns = [float(getattr(f, push)) * x + float(getattr(f, couple)) for x, f in mine]
                size = sum(map(abs, parts)) + sum(map(abs, turns)) + 1e-12
                assert abs(sum(parts)) <= 1e-13 * size
                assert abs(sum(turns)) <= 1e-13 * size
            for along in ("along", "torque"):
                parts = [float(getattr(f, along)) for _, f in mine]
                assert abs(sum(parts)) <= 1e-13 * (sum(map(abs, parts)) + 1e-12)


@given(oars())
@settings(max_examples=60, deadline=None)
def test_shear_moment_thrust_and_torque_run_out_at_both_ends(oar):
    beam = loaded(oar)
    length = float(oar.length)
    inside = beam.at(mesh(oar))
    ends = beam.at(points(-0.01, length + 0.01, length + 2.0))
    for name in ("forward", "up", "moment_stroke", "moment_flat", "axial", "torque", "still_up", "still_flat"):
        most = np.max(np.abs(getattr(inside, name)), axis=-1, keepdims=True)
        # a matrix product of some thirty forces over 5 m of lever
        assert np.all(np.abs(getattr(ends, name)) <= 1e-12 * (most + 1.0))


@given(oars())
@settings(max_examples=40, deadline=None)
def test_shear_is_the_slope_of_the_moment(oar):
    """dM/dx = V, where nothing acts as a point: the independent relation between what is computed apart."""
    beam = loaded(oar)
    x = mesh(oar, 12)[0]
    step = 1e-6
    mid = (x[1:] + x[:-1]) / 2
    mid = mid[np.diff(x) > 1e-3]
    marks = np.array([float(v) for v, _ in places(oar).values()] + [float(s.x) for s in oar.stations])
    mid = mid[np.min(np.abs(mid[:, None] - marks), axis=1) > 1e-4]
    before, here, after = (beam.at(points(mid + d)) for d in (-step, 0, step))
    for moment, shear in (("moment_stroke", "forward"), ("moment_flat", "up"), ("still_flat", "still_up")):
        slope = (getattr(after, moment) - getattr(before, moment)) / (2 * step)
        scale = np.max(np.abs(getattr(here, shear))) + np.max(np.abs(getattr(here, moment))) + 1.0
        assert np.all(np.abs(slope - getattr(here, shear)) <= 1e-6 * scale)
