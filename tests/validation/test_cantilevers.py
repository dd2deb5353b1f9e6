"""Uniform and tapered cantilevers: greatest fibre stress and its place, movement, mass and balance.

The real beam is run: a hand's pull on an inboard arm that grows from the hand (the cantilever's tip) to the lock (its
root). The movement is that of an outboard arm. The wood is weightless unless its mass is the question.
"""

from math import isclose, log, pi

import numpy as np
import pytest
from shafts import in_lock, piece, plain_wood, points, rower, shaft, station

from shaftcheck.checks.member import bending
from shaftcheck.engine import refined, run
from shaftcheck.loads import loaded
from shaftcheck.movement import give
from shaftcheck.whole import whole

E = 10.5e9
FINE = 1e-6
"""what the engine's own refining (four rounds) leaves of a smooth peak, and eight Gauss points of a quadrature"""
SHARP = 1e-9
"""what eight rounds leave of a smooth peak; its place, on a flat top, is then within 1e-5 of the length"""


def inboard(tip, root, length, force, *, exponent=2.0, wall=np.inf, neck=None):
    """A cantilever from its tip, the hand at x = 0, to its root, the lock at x = length; sizes as (depth, width)."""
    return shaft(
        length=2 * length,
        stations=(
            station(0, *tip, exponent=exponent, wall=wall),
            station(length, *root, exponent=exponent, wall=wall),
            station(2 * length, *root, exponent=exponent, wall=wall),
        ),
        rig=in_lock(0, length),
        rower=rower(once=force),
        wood=plain_wood(stiffness=E),
        neck=neck,
    )


def worst_stress(oar, **how):
    """The greatest fibre stress and its distance from the tip, by the bending check on a refined mesh."""
    beam = loaded(oar)
    x = refined(beam, checks=(bending,), **how)
    (row,) = run(beam, checks=(bending,), x=x)
    assert row.check == "bending"
    assert beam.cases[int(row.case)].key == "once"
    return float(row.demand), float(row.x)


def root_stress(oar, length):
    beam = loaded(oar)
    (row,) = run(beam, checks=(bending,), x=points(length))
    return float(row.demand)


# --------------------------------------------------------------------------------------------------------- stress


@pytest.mark.source("Gere & Goodno, Mechanics of Materials, 32 P L / (pi d^3) for a solid round (from memory)")
def test_uniform_round():
    """150 N on 1.5 m of 45 mm: 25150410.76 Pa at the root."""
    got, x = worst_stress(inboard((0.045,), (0.045,), 1.5, 150))
    assert isclose(got, 25150410.76, rel_tol=1e-9)
    assert isclose(x, 1.5, abs_tol=1e-8)


ROUNDS = {
    # tip, root, length: root stress, greatest stress, its distance from the tip
    "ratio 2": (0.030, 0.060, 1.5, 10610329.54, 12575205.38, 0.75),
    "ratio 1.6": (0.030, 0.048, 1.6, 22104853.21, 22355920.68, 4 / 3),
    "ratio 1.3333": (0.036, 0.048, 1.6, 22104853.21, 22104853.21, 1.6),
}


@pytest.mark.source(
    "Gere & Goodno, Mechanics of Materials, 5.7 Nonprismatic Beams: peak where d = 1.5 d_tip (from memory)"
)
@pytest.mark.parametrize(("tip", "root", "length", "at_root", "peak", "place"), ROUNDS.values(), ids=ROUNDS)
def test_conical_round(tip, root, length, at_root, peak, place):
    oar = inboard((tip,), (root,), length, 150)
    assert isclose(root_stress(oar, length), at_root, rel_tol=1e-9)
    assert isclose(worst_stress(oar)[0], peak, rel_tol=FINE)
    got, x = worst_stress(oar, rounds=8)
    assert isclose(got, peak, rel_tol=SHARP)
    assert isclose(x, place, abs_tol=1e-5 * length)
    k = root / tip
    if k > 1.5:
        assert isclose(got / at_root, 4 * k**3 / (27 * (k - 1)), rel_tol=SHARP)
        assert isclose(float(np.interp(x, (0, length), (tip, root))), 1.5 * tip, rel_tol=1e-4)


@pytest.mark.source(
    "Gere & Goodno, Mechanics of Materials, 5.7: greatest over root stress 4 k^3 / 27 (k - 1) (from memory)"
)
def test_slender_cone_peaks_39_per_cent_above_its_root():
    """46 to 20 mm, k = 2.3: 1.387, so a check at the lock alone would miss it."""
    oar = inboard((0.020,), (0.046,), 1.5, 60)
    got, x = worst_stress(oar, rounds=8)
    ratio = got / root_stress(oar, 1.5)
    assert f"{ratio:.2f}" == "1.39"
    assert isclose(ratio, 4 * 2.3**3 / (27 * 1.3), rel_tol=SHARP)
    assert isclose(x, 1.5 / 2.6, abs_tol=2e-5)


@pytest.mark.source(
    "Gere, Mechanics of Materials, 7th ed., problem 5.7-2: 37.7 MPa at mid-length, S taken as pi d^2 t / 4"
)
def test_gere_5_7_2_tapered_tube():
    """2.4 kN on 8 m, 90 to 270 mm, wall 10 mm.

    The printed answer takes the wall as thin. Stress goes with P/t, so wall and load are both made 1e5 times less here
    (what the thin wall leaves out is then of the order t/d, 1e-6), and all lengths a tenth, the load a hundredth.
    """
    thin = 1e-5
    oar = inboard((0.009,), (0.027,), 0.8, 24 * thin, wall=1e-3 * thin)
    got, x = worst_stress(oar, rounds=8)
    assert f"{got / 1e6:.1f}" == "37.7"
    assert isclose(got, 37725616.14, rel_tol=3e-6)
    assert isclose(x, 0.4, abs_tol=1e-5)
    assert isclose(root_stress(oar, 0.8), 33533881.01, rel_tol=3e-6)


@pytest.mark.source(
    "hollow round S = pi (D^4 - d^4) / 32 D, Gere, Mechanics of Materials (from memory), scanned densely elsewhere"
)
def test_the_same_tube_with_its_wall_as_thick_as_it_is():
    """Outside 90 to 270 mm, no thin-wall shortcut: 44.95 MPa, 19 % above the printed answer."""
    got, _ = worst_stress(inboard((0.009,), (0.027,), 0.8, 24, wall=1e-3))
    assert isclose(got, 44947531.11, rel_tol=FINE)


OVALS = {
    # semi-axes in mm: depth tip, root; width tip, root: greatest stress, place from the tip, root stress
    "deeper taper in depth": (12.0, 28.0, 14.0, 20.0, 22478844.5, 0.830500874, 19488360.38),
    "equal tapers": (15.0, 24.0, 12.5, 20.0, 26827104.81, 4 / 3, 26525823.85),
}


@pytest.mark.source(
    "derived: stationary point 2 al be xi^2 + al xi - 1 = 0 of x / (b a^2); checked by a bounded search elsewhere"
)
@pytest.mark.parametrize(("a0", "a1", "b0", "b1", "peak", "place", "at_root"), OVALS.values(), ids=OVALS)
def test_oval_whose_axes_taper_differently(a0, a1, b0, b1, peak, place, at_root):
    oar = inboard((a0 / 500, b0 / 500), (a1 / 500, b1 / 500), 1.6, 150)
    assert isclose(worst_stress(oar)[0], peak, rel_tol=FINE)
    got, x = worst_stress(oar, rounds=8)
    assert isclose(got, peak, rel_tol=SHARP)
    assert isclose(x, place, abs_tol=2e-5)
    assert isclose(root_stress(oar, 1.6), at_root, rel_tol=1e-9)
    turned = inboard((b0 / 500, a0 / 500), (b1 / 500, a1 / 500), 1.6, 150)
    assert not isclose(worst_stress(turned)[0], peak, rel_tol=0.02)


def test_refining_brings_more_digits_than_the_mesh():
    """An odd number of points puts one on the peak of the first cone: 6 points have none there."""
    oar = inboard((0.030,), (0.060,), 1.5, 150)
    true = 128 * 150 * 1.5 / (27 * pi * 0.030**3)
    coarse = abs(worst_stress(oar, points=6, rounds=0)[0] / true - 1)
    fine = abs(worst_stress(oar, points=6, rounds=4)[0] / true - 1)
    assert coarse > 1e-4
    assert fine < 1e-4 * 10**-4 * 10


# ------------------------------------------------------------------------------------------------------- movement


def outboard(root, tip, length, *, exponent=2.0, shear_ratio=1 / 16, inboard_arm=0.5, gravity=0.0, more=()):
    """A cantilever from its root, the lock, to its tip at the end of the shaft; inboard of the lock of root size."""
    a = inboard_arm
    return shaft(
        length=a + length,
        stations=(
            station(0, *root, exponent=exponent),
            station(a, *root, exponent=exponent),
            *more,
            station(a + length, *tip, exponent=exponent),
        ),
        rig=in_lock(0, a),
        wood=plain_wood(stiffness=E, shear_ratio=shear_ratio, gravity=gravity),
    )


def bent(oar, at=None):
    """Movement of the blade's force for a unit force, shear taken out again [m/N]."""
    g = give(oar, in_use=False, at=None if at is None else np.asarray(at))
    return float(g.clamped - g.clamped_shear)


@pytest.mark.source("Gere & Goodno, Mechanics of Materials, table of beam deflections, P L^3 / 3 E I (from memory)")
def test_uniform_movement():
    """150 N: 79.84257384 mm on the tip of 1.5 m of 45 mm; the load at 1.2 m moves its own place P a^3 / 3 E I."""
    oar = outboard((0.045,), (0.045,), 1.5)
    assert isclose(150 * bent(oar), 0.07984257384, rel_tol=1e-9)
    assert isclose(150 * bent(oar, 1.7), 0.07984257384 * 0.8**3, rel_tol=1e-9)


MOVES = {
    # root, tip, length: movement under 150 N
    "cone, ratio 2": ((0.060,), (0.030,), 1.5, 0.05052537876),
    "cone, ratio 1.6": ((0.048,), (0.030,), 1.6, 0.1197638608),
    "cone, ratio 1.3333": ((0.048,), (0.036,), 1.6, 0.0998032173),
    "oval, unequal": ((0.056, 0.040), (0.024, 0.028), 1.6, 0.115141773),
    "oval, equal": ((0.048, 0.040), (0.030, 0.025), 1.6, 0.1437166329),
}


@pytest.mark.source(
    "closed forms by unit load, for the cone (P L^3 / 3 E I_root) (d_root / d_tip); checked by an ODE solver elsewhere"
)
@pytest.mark.parametrize(("root", "tip", "length", "moved"), MOVES.values(), ids=MOVES)
def test_tapered_movement(root, tip, length, moved):
    assert isclose(150 * bent(outboard(root, tip, length)), moved, rel_tol=FINE)


@pytest.mark.source(
    "closed form of the unit-load integral for axes that taper differently, derived by partial fractions"
)
@pytest.mark.parametrize(("al", "be"), [(4 / 3, 3 / 7), (0.4, 1.1), (0.9, 0.1)])
def test_unequal_tapers_in_closed_form(al, be):
    """Depth grows by al, width by be from the tip; the logarithms cancel badly near al = be, so not there."""
    depth, width, length = 0.026, 0.022, 1.4
    d = be - al
    at_tip = pi * width * depth**3 / 64
    brace = (
        log((1 + be) / (1 + al)) / d**3
        + (be - 2 * al) / (al * d**2 * (1 + al))
        - (2 + al) / (2 * al * d * (1 + al) ** 2)
    )
    oar = outboard((depth * (1 + al), width * (1 + be)), (depth, width), length)
    assert isclose(bent(oar), length**3 / (E * at_tip) * brace, rel_tol=FINE)


# I = I_A (1 + c x / L)^n, on P L^3 / 3 E I_A: by I_B / I_A. n = 1 is a tapered width, 3 a tapered depth, 4 a cone.
TAPERS = {
    1: {0.25: 2.524759901, 0.5: 1.635532333, 2: 0.5794415417, 4: 0.3206993735, 8: 0.1712487598},
    3: {0.25: 2.795606788, 0.5: 1.676818264, 2: 0.5927991304, 4: 0.3492363042, 8: 0.2044415417},
    4: {0.25: 2.828427125, 0.5: 1.681792831, 2: 0.5946035575, 4: 0.3535533906, 8: 0.2102241038},
}


@pytest.mark.source(
    "form of Roark's Formulas for Stress and Strain, Table 8.11, tapered beams; digits derived by quadrature elsewhere"
)
@pytest.mark.parametrize(("n", "ratio"), [(n, r) for n in TAPERS for r in TAPERS[n]])
@pytest.mark.parametrize("exponent", [2.0, np.inf])
def test_multipliers_of_roark(n, ratio, exponent):
    length, depth, width = 1.5, 0.030, 0.024
    grown = ratio ** (1 / n)
    root = (depth * (grown if n > 1 else 1), width * (grown if n != 3 else 1))
    second = width * depth**3 * (1 / 12 if exponent == np.inf else pi / 64)
    oar = outboard(root, (depth, width), length, exponent=exponent)
    assert isclose(bent(oar) * 3 * E * second / length**3, TAPERS[n][ratio], rel_tol=FINE)


@pytest.mark.source(
    "Timoshenko beam, P L / kappa G A with kappa 9/10; Wood Handbook, straight beams, bending and shear terms"
)
def test_share_of_shear():
    """150 N on 1.6 m of 45 mm, E/G = 16: 97.15480956 mm with shear, 0.264 % of the bending; the cone's shear too."""
    g = give(outboard((0.045,), (0.045,), 1.6), in_use=False)
    assert isclose(150 * float(g.clamped), 0.09715480956, rel_tol=1e-9)
    assert isclose(float(g.clamped_shear / (g.clamped - g.clamped_shear)), 0.00263671875, rel_tol=1e-9)
    cone = give(outboard((0.048,), (0.030,), 1.6), in_use=False)
    assert isclose(150 * float(cone.clamped_shear), 0.0003592915823, rel_tol=FINE)


@pytest.mark.source("AISC Manual, Table 3-23, case 26, overhanging beam, W c^2 (l + c) / 3 E I (from memory)")
def test_held_at_the_hand_and_resting_on_the_lock():
    """10 kg at 1.60 m, 0.75 m inboard: 93.04606166 mm; clamped at the lock it would be 63.35051006 mm."""
    oar = outboard((0.045,), (0.045,), 1.6, inboard_arm=0.75, shear_ratio=1e9)
    g = give(oar, in_use=False)
    assert isclose(98.0665 * float(g.held), 0.09304606166, rel_tol=1e-8)
    assert isclose(98.0665 * float(g.clamped), 0.06335051006, rel_tol=1e-8)
    # pull 300 N at 0.70 m: the lock stands 35.93507249 mm off the line from hand to blade, by similar triangles
    bow = give(outboard((0.045,), (0.045,), 1.55, inboard_arm=0.70, shear_ratio=1e9), in_use=False).held * 0.7 / 2.25
    assert isclose(300 * 0.70 / 1.55 * float(bow), 0.03593507249, rel_tol=1e-8)
    assert isclose(float(g.hand), 0.75**3 / (3 * E * pi * 0.045**4 / 64), rel_tol=1e-8)


@pytest.mark.source("the 1/EI of a practice limit, 10 kg at 2.5 m moves 80 mm: E I = 6384.53776 N m2")
def test_stiffness_behind_a_practice_limit():
    stiff = 6384.53776
    depth = (stiff / E * 64 / pi) ** 0.25
    oar = outboard((depth,), (depth,), 2.5)
    assert isclose(98.0665 * bent(oar), 0.080, rel_tol=1e-9)


def test_stations_on_the_way_change_nothing():
    """But for the quadrature, whose panels they halve: eight points leave 1e-8 of a taper of 2.3 to 1 in one panel."""
    root, tip, length = (0.056, 0.040), (0.024, 0.028), 1.6
    one = bent(outboard(root, tip, length))
    half = station(0.5 + 0.8, 0.040, 0.034)
    assert isclose(bent(outboard(root, tip, length, more=(half,))), one, rel_tol=1e-7)


# ------------------------------------------------------------------------------------------------ mass and balance

MASSES = {
    # depth and width at tip and root [m]: mass, centroid from the tip
    "unequal": ((0.056, 0.040), (0.024, 0.028), 0.7871574553, 0.9501915709),
    "equal": ((0.048, 0.040), (0.030, 0.025), 0.7294778142, 0.9209302326),
}


@pytest.mark.source(
    "volume and centroid of an oval frustum: integrals of a quadratic, derived; checked by quadrature elsewhere"
)
@pytest.mark.parametrize(("root", "tip", "mass", "centroid"), MASSES.values(), ids=MASSES)
def test_mass_and_balance(root, tip, mass, centroid):
    """450 kg/m3 on 1.6 m: a gravity of 0.45 / 1.12 at 12 %."""
    oar = shaft(
        length=1.6,
        stations=(station(0, *tip), station(1.6, *root)),
        rig=in_lock(0.1, 0.5),
        pieces=(piece(0, 1.6, plain_wood(gravity=0.45 / 1.12)),),
    )
    w = whole(oar)
    assert isclose(float(w.mass), mass, rel_tol=1e-9)
    assert isclose(float(w.balance), centroid, rel_tol=1e-9)
    assert isclose(float(w.lift), mass * 9.80665 * (centroid - 0.5) / 0.4, rel_tol=1e-9)


@pytest.mark.source(
    "root moment of a cone's weight, rho g A_tip L^2 (1/2 + c/3 + c^2/12), derived; checked by quadrature elsewhere"
)
def test_moment_of_a_cone_from_its_own_weight():
    """48 to 30 mm over 1.6 m at 450 kg/m3: 5.82946106 N m at the lock; the upper face is stretched, so below zero."""
    beam = loaded(outboard((0.048,), (0.030,), 1.6, gravity=0.45 / 1.12))
    moment = beam.at(points(0.5)).still_flat[beam.case("once"), 0]
    assert isclose(moment, -5.82946106, rel_tol=1e-9)
