"""Buckling of uniform, tapered and stepped columns, and thrust with bending, against closed forms."""

from dataclasses import replace
from itertools import pairwise
from math import cos, isclose, log, pi, sin, sqrt, tan

import numpy as np
import pytest
from scipy.integrate import solve_ivp
from scipy.optimize import brentq
from scipy.special import jv, yv
from shafts import blade, in_lock, on_pins, piece, plain_wood, points, rower, shaft, spruce, station

from shaftcheck.checks.column import buckling_force, pressed
from shaftcheck.engine import run
from shaftcheck.loads import loaded
from shaftcheck.model import number

E = 10.5e9
SMOOTH = 1e-7
"""of 25 inverse iterations on Gauss points of a smooth taper"""


def buckles(length, stiffness, knots=()):
    """The least force of a column pinned at both ends with E I at a distance x from its start [N]."""
    found = buckling_force(
        number(0.0), number(length), [number(k) for k in knots], lambda x: 1.0 / (stiffness(x) + 0.0 * x)
    )
    return float(found)


def round_stiffness(d):
    return E * pi * d**4 / 64


# ----------------------------------------------------------------------------------------------------- eigenvalues


@pytest.mark.source("Timoshenko & Gere, Theory of Elastic Stability, ch. 2, pi^2 E I / L^2 (from memory)")
def test_euler():
    """45 mm, 2.4 m: 3621.483533 N; clamped and free is half of a pinned column of twice the length: 905.3708834 N."""
    assert isclose(buckles(2.4, lambda x: round_stiffness(0.045)), 3621.483533, rel_tol=1e-9)
    assert isclose(buckles(4.8, lambda x: round_stiffness(0.045)), 905.3708834, rel_tol=1e-9)
    assert isclose(buckles(1.0, lambda x: 1.0), pi**2, rel_tol=1e-11)


@pytest.mark.source("Timoshenko & Gere, 2.14, I as the fourth power, pinned: exactly pi^2 E sqrt(I_A I_B) / L^2")
def test_cone_pinned():
    """30 to 48 mm, 2.4 m: 1831.308216 N, from either end."""
    for d in ((0.030, 0.048), (0.048, 0.030)):
        got = buckles(2.4, lambda x, d=d: round_stiffness(d[0] + (d[1] - d[0]) * x / 2.4))
        assert isclose(got, 1831.308216, rel_tol=1e-9)
    slender = buckles(2.4, lambda x: round_stiffness(0.020 + 0.040 * x / 2.4))
    assert isclose(slender, pi**2 * E * pi / 64 * 0.020**2 * 0.060**2 / 2.4**2, rel_tol=SMOOTH)


CONES = {
    # I_tip / I_root: P L^2 / E I_root, as derived, and as the table prints it
    0.1: (1.203024116, 1.202),
    0.2: (None, 1.505),
    0.4: (1.869781729, 1.870),
    0.6: (None, 2.116),
    0.8: (2.308356132, 2.308),
}


@pytest.mark.source("Timoshenko & Gere, Theory of Elastic Stability, table of tapered columns, n = 4 (from memory)")
@pytest.mark.parametrize("ratio", CONES)
def test_cone_clamped_and_free(ratio):
    """Mirrored at its root it is a column pinned at both tips, of twice the length."""
    derived, printed = CONES[ratio]
    tip = ratio**0.25

    def stiffness(x):
        return (tip + (1 - tip) * (1 - np.abs(x - 1))) ** 4

    got = buckles(2.0, stiffness, knots=(1.0,))
    assert abs(got - printed) < 1.5e-3  # the table's own last digit
    if derived is not None:
        assert isclose(got, derived, rel_tol=SMOOTH)
    # from the cone's apex, y = x sin(k / x - k / x_tip): flat at the root where tan u = -u d_tip / (d_root - d_tip)
    u = brentq(lambda u: tan(u) + u * tip / (1 - tip), pi / 2 + 1e-9, pi)
    assert isclose(got, (u * tip) ** 2, rel_tol=SMOOTH)


@pytest.mark.source("E I straight in x: Bessel functions of the first order, Timoshenko & Gere, 2.14 (n = 1)")
@pytest.mark.parametrize("ratio", [0.3, 2.0, 6.0])
def test_straight_taper_of_stiffness_by_bessel(ratio):
    """A tapered width. y'' + P y / (E I_A s) = 0 with s from 1 to the ratio: y = sqrt(s) Z_1(2 k sqrt(s))."""
    c = ratio - 1

    def ends(k):
        z = [2 * k * sqrt(s) for s in (1.0, ratio)]
        return jv(1, z[0]) * yv(1, z[1]) - jv(1, z[1]) * yv(1, z[0])

    tries = np.linspace(0.2, 40, 4000)
    k = next(brentq(ends, a, b) for a, b in pairwise(tries) if ends(a) * ends(b) < 0)
    assert isclose(buckles(1.0, lambda x: 1 + c * x), (k * c) ** 2, rel_tol=SMOOTH)


@pytest.mark.source("E I as the square of x: y = sqrt(s) sin(b ln s), Timoshenko & Gere, 2.14 (n = 2)")
@pytest.mark.parametrize("ratio", [0.2, 3.0])
def test_square_taper_of_stiffness(ratio):
    """P = E I_A c^2 (1/4 + (pi / ln s_B)^2), c what s grows by over the length."""
    c = sqrt(ratio) - 1
    expected = c**2 * (0.25 + (pi / log(sqrt(ratio))) ** 2)
    assert isclose(buckles(1.0, lambda x: (1 + c * x) ** 2), expected, rel_tol=SMOOTH)


@pytest.mark.source("stepped column: tan(k1 l1) / k1 + tan(k2 l2) / k2 = 0, solved by scipy; Timoshenko & Gere, 2.13")
@pytest.mark.parametrize(("stiff", "at"), [(3.0, 0.4), (0.25, 0.7), (10.0, 0.5)])
def test_stepped_column(stiff, at):
    def match(force):
        k1, k2 = sqrt(force), sqrt(force / stiff)
        return sin(k1 * at) * cos(k2 * (1 - at)) / k1 + cos(k1 * at) * sin(k2 * (1 - at)) / k2

    tries = np.linspace(0.5, 100, 2000)
    expected = next(brentq(match, a, b, xtol=1e-13) for a, b in pairwise(tries) if match(a) * match(b) < 0)
    got = buckles(1.0, lambda x: np.where(x < at, 1.0, stiff), knots=(at,))
    assert isclose(got, expected, rel_tol=SMOOTH)


# ------------------------------------------------------------------------------------------------ the buckling check


def push_off(stations, push=500.0, wood=None, pieces=None, length=2.4, **rig):
    """Lock at 0.6 m: the column is what lies between lock and tip."""
    return shaft(
        length=length,
        stations=stations,
        rig=rig.get("rig") or in_lock(0.1, 0.6),
        blade=blade(length - 0.5, length, width=0.12),
        rower=rower(push=push),
        wood=wood or plain_wood(stiffness=E),
        pieces=pieces,
    )


def buckling(oar):
    rows = {r.check: r for r in run(loaded(oar), checks=(pressed,))}
    return rows["buckling"]


@pytest.mark.source("exact cone column; stiffness over 1.66, NDS E_min (from memory)")
def test_buckling_of_a_conical_outboard_arm():
    """48 mm at the lock, 30 mm at the tip, 1.8 m: the modulus over 1.66 and nothing else, as it does not scatter."""
    oar = push_off((station(0, 0.048), station(0.6, 0.048), station(2.4, 0.030)))
    row = buckling(oar)
    expected = pi**2 * (E / 1.66) * (pi / 64) * 0.048**2 * 0.030**2 / 1.8**2
    assert isclose(float(row.capacity), expected, rel_tol=SMOOTH)
    assert isclose(float(row.use), 500 / expected, rel_tol=SMOOTH)
    assert isclose(float(row.demand), 500, rel_tol=1e-12)


@pytest.mark.source("Euler; the low piece of 20 has 1 - 1.645 x 0.22 = 0.6381 of the mean stiffness, 1.66 divides it")
def test_buckling_of_the_low_piece():
    """Sitka spruce at 12 % with straight grain: the mean stiffness of the wood x 0.6381 / 1.66."""
    wood = spruce()
    oar = push_off((station(0, 0.045), station(2.4, 0.045)), wood=wood)
    low = float(wood.dry.stiffness) * (1 - 1.645 * 0.22) / 1.66
    assert isclose(float(buckling(oar).capacity), pi**2 * low * pi * 0.045**4 / 64 / 1.8**2, rel_tol=1e-9)


@pytest.mark.source("Euler, about the weaker axis")
@pytest.mark.parametrize(("depth", "width"), [(0.050, 0.036), (0.036, 0.050)])
def test_buckling_goes_the_weaker_way(depth, width):
    oar = push_off((station(0, depth, width), station(2.4, depth, width)))
    expected = pi**2 * (E / 1.66) * (pi / 64) * 0.050 * 0.036**3 / 1.8**2
    assert isclose(float(buckling(oar).capacity), expected, rel_tol=1e-9)


@pytest.mark.source("E I y'' + P y = 0 by scipy's solve_ivp, E I the lesser at every place")
@pytest.mark.parametrize("ends", [((0.050, 0.036), (0.036, 0.044)), ((0.036, 0.050), (0.041, 0.031))])
def test_buckling_where_the_weaker_way_changes_between_stations(ends):
    (d0, w0), (d1, w1) = ends
    oar = push_off((station(0, d0, w0), station(2.4, d1, w1)))

    def stiffness(x):
        d, w = (a + (b - a) * x / 2.4 for a, b in ((d0, d1), (w0, w1)))
        return E / 1.66 * pi / 64 * max(d, w) * min(d, w) ** 3

    def end(force):
        return solve_ivp(
            lambda x, y: (y[1], -force / stiffness(x) * y[0]), (0.6, 2.4), (0.0, 1.0), rtol=1e-11, atol=1e-13,
            max_step=0.01,
        ).y[0, -1]  # fmt: skip

    near = float(buckling(oar).capacity)
    assert isclose(near, brentq(end, 0.9 * near, 1.1 * near, xtol=1e-6), rel_tol=SMOOTH)


@pytest.mark.source("stepped column, solved by scipy")
def test_buckling_of_two_woods():
    """The second wood, from 1.5 m on, is twice as stiff."""
    soft, stiff = plain_wood(stiffness=E), plain_wood(stiffness=2 * E)
    oar = push_off(
        (station(0, 0.040), station(2.4, 0.040)),
        pieces=(piece(0, 1.5, soft), piece(1.5, 2.4, stiff)),
    )
    base = E / 1.66 * pi * 0.040**4 / 64

    def match(force):
        k1, k2 = sqrt(force / base), sqrt(force / base / 2)
        return sin(k1 * 0.9) * cos(k2 * 0.9) / k1 + cos(k1 * 0.9) * sin(k2 * 0.9) / k2

    tries = np.linspace(10, 1e4, 2000)
    expected = next(brentq(match, a, b) for a, b in pairwise(tries) if match(a) * match(b) < 0)
    assert isclose(float(buckling(oar).capacity), expected, rel_tol=SMOOTH)


@pytest.mark.source("Euler, from the outer cradle's middle to the tip")
def test_buckling_of_the_outer_half_of_a_hinged_rig():
    rig = on_pins(0.1, 0.70, 0.71, inner=(0.63, 0.57, 0.69), outer=(0.80, 0.73, 0.87))
    oar = push_off((station(0, 0.045), station(2.4, 0.045)), rig=rig)
    assert isclose(
        float(buckling(oar).capacity), pi**2 * (E / 1.66) * pi * 0.045**4 / 64 / (2.4 - 0.80) ** 2, rel_tol=1e-9
    )


# -------------------------------------------------------------------------------------------- thrust with bending


@pytest.mark.source("NDS 3.9.2, (f_c / F_c)^2 + f_b / (F_b (1 - P / P_cr)) <= 1 (from memory), worked by hand")
def test_thrust_with_bending_by_hand():
    """45 mm round, 1.8 m from lock to tip, 500 N along, 150 N to the side, no eccentricity; softwood, straight grain.

    A = 1590.43 mm2, S = 8946.18 mm3, I = 201289 mm4. f_c = 0.31438 MPa, F_c = 35 / 1.1875 = 29.4737 MPa. At the
    lock M = 270 N m, f_b = 30.1805 MPa; F_b = 60 / 1.3125 = 45.7143 MPa. P_cr = pi^2 x 6325.30 x 201289 / 1800^2 =
    3878.43 N. Sum: 0.000113774 + 30.1805 / (45.7143 x 0.871082) = 0.758020.
    """
    oar = push_off((station(0, 0.045), station(2.4, 0.045)))
    oar = replace(oar, blade=replace(oar.blade, width=number(0.0)))
    beam = loaded(oar)
    rows = {r.check: r for r in run(beam, checks=(pressed,), x=points(0.6))}
    assert isclose(float(rows["buckling"].capacity), 3878.43, rel_tol=3e-6)
    assert isclose(float(rows["bending with thrust"].demand), 0.758020, rel_tol=3e-6)
    # at what factor on the loads is the sum 1? By scipy on the hand's own figures
    limit = brentq(
        lambda k: (k * 0.31438 / 29.4737) ** 2 + k * 30.1805 / (45.7143 * (1 - k * 500 / 3878.43)) - 1, 0.5, 5
    )
    assert isclose(float(rows["bending with thrust"].use), 1 / limit, rel_tol=3e-6)


@pytest.mark.source("NDS 3.9.2 (from memory), at its limit")
@pytest.mark.parametrize("push", [200.0, 500.0, 900.0])
def test_thrust_with_bending_at_its_limit(push):
    """The push scaled by 1 / use lands on a sum of exactly 1, with the bending amplified by the scaled push."""
    first = run(loaded(push_off((station(0, 0.045, 0.041), station(2.4, 0.036, 0.030)), push)), checks=(pressed,))[1]
    assert first.check == "bending with thrust"
    scaled = push / float(first.use)
    again = run(loaded(push_off((station(0, 0.045, 0.041), station(2.4, 0.036, 0.030)), scaled)), checks=(pressed,))[1]
    assert isclose(float(again.use), 1.0, rel_tol=1e-9)
    assert isclose(float(again.demand), 1.0, rel_tol=1e-9)
    assert isclose(float(again.x), float(first.x), rel_tol=1e-12)


@pytest.mark.source("a column pushed by its own buckling force has nothing left")
def test_thrust_near_the_buckling_force():
    oar = push_off((station(0, 0.045), station(2.4, 0.045)), push=3870.0)
    rows = {r.check: r for r in run(loaded(oar), checks=(pressed,))}
    assert rows["buckling"].use < 1 < rows["bending with thrust"].use
    over = {r.check: r for r in run(loaded(push_off(oar.stations, push=4000.0)), checks=(pressed,))}
    assert isclose(float(over["buckling"].use), 4000 / 3878.43, rel_tol=3e-6)
    assert over["bending with thrust"].use > over["buckling"].use
    assert np.isfinite(over["bending with thrust"].use)
