"""Loads that come in motion, and what the lock does to the shaft: drag, energy, the lifted oar, bearing, the ring."""

from dataclasses import replace
from math import atan2, cos, inf, isclose, pi, sin, sqrt

import numpy as np
import pytest
from scipy.integrate import quad
from scipy.special import ellipe
from shafts import (
    blade,
    duty,
    in_lock,
    on_pins,
    piece,
    plain_wood,
    points,
    rower,
    shaft,
    spruce,
    station,
)

from shaftcheck.checks.compare import norm
from shaftcheck.checks.lock import lock, ring_stress, seat_pressure
from shaftcheck.engine import run
from shaftcheck.loads import loaded
from shaftcheck.loads.caught import drag, stop
from shaftcheck.loads.rowers import rower as classed
from shaftcheck.model import number
from shaftcheck.movement import give


def numbers(**values):
    return {k: number(v) for k, v in values.items()}


# ------------------------------------------------------------------------------------------------------ caught blade


@pytest.mark.source("drag equation, rho C_d A v^2 / 2: 180 N with C_d 1.2, 300 N with 2.0 (from memory)")
@pytest.mark.parametrize(("c", "force"), [(1.2, 180.0), (2.0, 300.0)])
def test_drag_on_a_blade(c, force):
    """0.075 m2 at 2.0 m/s in fresh water; the square of the speed, so 3 m/s gives 405 and 675 N."""
    assert isclose(drag(**numbers(rho=1000, c=c, A=0.075, v=2.0)), force, rel_tol=1e-12)
    assert isclose(drag(**numbers(rho=1000, c=c, A=0.075, v=3.0)), force * 2.25, rel_tol=1e-12)


@pytest.mark.source("energy of the boat into the shaft, v sqrt(3 m E I / b^3): 583 N, 904 N m; by hand")
def test_boat_stopped_by_a_shaft():
    """200 kg at 1.0 m/s, E I 2110 N m2, 1.55 m."""
    force = float(stop(**numbers(v=1.0, m=200, k=3 * 2110 / 1.55**3)))
    assert f"{force:.0f}" == "583"
    assert f"{force * 1.55:.0f}" == "904"


@pytest.mark.source("energy balance m v^2 / 2 = F^2 / 2 k, integrated as a swing by hand")
def test_energy_is_all_in_the_spring_at_the_peak():
    m, v, k = 180.0, 1.3, 1700.0
    force = float(stop(**numbers(v=v, m=m, k=k)))
    assert isclose(force**2 / (2 * k), m * v**2 / 2, rel_tol=1e-12)


def caught(oar):
    beam = loaded(oar)
    case = beam.case("caught")
    return beam, case, -float(beam.forward[case, beam.places.index("blade")])


def one_piece(**changes):
    """Clamped in the end by hand and lock; E I of the shaft's 46 mm is 2110 N m2."""
    parts = {
        "length": 2.7,
        "stations": (station(0, 0.046), station(2.7, 0.046)),
        "rig": in_lock(0.05, 0.75),
        "blade": blade(2.1, 2.7, area=0.075, width=0.12),
        "rower": rower(once=700),
        "wood": plain_wood(stiffness=2110 / (pi * 0.046**4 / 64), shear_ratio=1e9),
        "duty": duty(speed=2.0),
    }
    return shaft(**{**parts, **changes})


@pytest.mark.source("drag with sea water, 1025 kg/m3 (from memory), and C_d 2.0")
def test_water_governs_a_light_catch():
    _, _, force = caught(one_piece())
    assert isclose(force, 300 * 1.025, rel_tol=1e-12)


@pytest.mark.source("AISC Manual, Table 3-23, case 26: k = 3 E I / (c^2 (l + c)) (from memory); energy of the boat")
def test_energy_governs_a_light_boat():
    """20 kg at 2 m/s: hand held, resting on the lock, c = 1.75 m outboard and l = 0.70 m inboard."""
    oar = one_piece(duty=duty(speed=2.0, mass=20))
    _, _, force = caught(oar)
    assert isclose(force, 2.0 * sqrt(20 * 3 * 2110 / (1.75**2 * 2.45)), rel_tol=1e-7)
    assert force < 300


@pytest.mark.source("by hand: a handle that is free to leave the hands holds no more than 700 N x 0.70 / 1.75 = 280 N")
def test_hands_govern_where_the_handle_is_free():
    _, _, held = caught(one_piece(duty=duty(speed=3.0)))
    assert isclose(held, 675 * 1.025, rel_tol=1e-12)
    _, _, free = caught(one_piece(duty=duty(speed=3.0, handle_free=1)))
    assert isclose(free, 280.0, rel_tol=1e-12)


@pytest.mark.source("virtual work of two halves that swing in a ratio r, by hand: F_h = F_b b r / a, nothing lost")
@pytest.mark.parametrize("ratio", [0.8, 1.0, 1.3])
def test_caught_blade_of_a_hinged_rig_loads_the_hand_half(ratio):
    """The blade half is bent forward face out, and the water drives the hand half through the link."""
    rig = on_pins(0.05, 0.82, 0.83, inner=(0.75, 0.69, 0.81), outer=(0.90, 0.84, 0.96), ratio=ratio)
    beam, case, force = caught(one_piece(rig=rig))
    hand = float(beam.forward[case, beam.places.index("hand")])
    assert isclose(force, 307.5, rel_tol=1e-12)
    assert isclose(hand, 307.5 * (2.5 - 0.90) * ratio / 0.70, rel_tol=1e-12)
    at = beam.at(points(0.69, 0.96)).moment_stroke[case]
    assert isclose(at[1], -307.5 * (2.5 - 0.96), rel_tol=1e-9)
    assert isclose(at[0], hand * 0.64, rel_tol=1e-9)
    # a stroke bends both the other way
    stroke = beam.at(points(0.69, 0.96)).moment_stroke[beam.case("once")]
    assert stroke[0] < 0 < at[0]
    assert at[1] < 0 < stroke[1]


@pytest.mark.source("clamped cantilever P b^3 / 3 E I (from memory): a hinged half's stiffness is that of its clamp")
def test_hinged_half_gives_as_a_cantilever_from_its_cradle():
    rig = on_pins(0.05, 0.82, 0.83, inner=(0.75, 0.69, 0.81), outer=(0.90, 0.84, 0.96))
    g = give(one_piece(rig=rig), in_use=False)
    assert isclose(g.clamped, (2.5 - 0.96) ** 3 / (3 * 2110), rel_tol=1e-7)
    assert g.held == g.clamped
    assert isclose(g.hand, (0.69 - 0.05) ** 3 / (3 * 2110), rel_tol=1e-7)


@pytest.mark.source("suddenly applied weight: twice the static moment, any text on vibration")
def test_lifted_oar_bears_twice_its_weight():
    oar = one_piece(wood=spruce(), duty=duty())
    beam = loaded(oar)
    x = points(np.linspace(0.1, 2.6, 26))
    lift, steady = beam.case("lift"), beam.case("steady")
    cut = beam.at(x)
    assert np.allclose(cut.moment_flat[lift], 2 * cut.still_flat[steady], rtol=1e-12, atol=1e-12)
    assert np.allclose(cut.up[lift], 2 * cut.still_up[steady], rtol=1e-12, atol=1e-12)


@pytest.mark.source("Das & Wang (2004): greatest push 251 N, greatest pull 400 N; 700 N x 251 / 400 = 439.25 N")
def test_backing_of_a_general_rower():
    r = classed("general", "one", "braced", {})
    assert isclose(r.back, 439.25, rel_tol=1e-12)
    assert (float(r.steady), float(r.hard), float(r.start), float(r.once)) == (150, 300, 500, 700)
    both = classed("general", "both", "never", {"once": 1500.0})
    assert (float(both.steady), float(both.once)) == (300, 1500)


# --------------------------------------------------------------------------------------------------------------- lock


def rows(oar):
    beam = loaded(oar)
    return beam, {u.check: u for u in lock(beam, beam.at(points(0.75)))}


@pytest.mark.source("force over projected area times 4/pi, by hand: 980 N on 60 by 44 mm is 0.4726 MPa")
def test_bearing_at_the_lock_by_hand():
    """700 N at 0.70 m, mid-blade 1.75 m: the lock holds 700 x (1 + 0.70 / 1.75) = 980 N. Depth must not matter."""
    for depth in (0.046, 0.052):
        oar = one_piece(
            stations=(station(0, depth, 0.044), station(2.7, depth, 0.044)),
            rig=in_lock(0.05, 0.75, seat=0.060),
            blade=blade(2.3, 2.7),
        )
        beam, found = rows(oar)
        use = found["bearing at the lock"]
        k = beam.case("once")
        assert isclose(
            np.broadcast_to(use.demand, (len(beam.cases), 1))[k, 0], 980 * 4 / pi / (0.060 * 0.044), rel_tol=1e-12
        )
        assert f"{980 * 4 / pi / (0.060 * 0.044) / 1e6:.4f}" == "0.4726"
        # 4 MPa over 1.67
        assert isclose(np.broadcast_to(use.use, (len(beam.cases), 1))[k, 0], 0.472642 / (4 / 1.67), rel_tol=1e-5)


@pytest.mark.source("Wood Handbook Table 5-3: Sitka spruce across the grain, 4.0 MPa dry and 1.9 MPa green, over 1.67")
def test_a_wet_seat_has_the_green_value():
    usual = {"pieces": (piece(0, 2.7, spruce(), moisture=0.12),)}
    _, dry = rows(one_piece(rig=in_lock(0.05, 0.75, wet=0), **usual))
    _, wet = rows(one_piece(rig=in_lock(0.05, 0.75, wet=1), **usual))
    assert f"{float(dry['bearing at the lock'].capacity.flat[0]) * 1.67 / 1e6:.1f}" == "4.0"
    assert f"{float(wet['bearing at the lock'].capacity.flat[0]) * 1.67 / 1e6:.1f}" == "1.9"


@pytest.mark.source("cosine pressure round half a cylinder, summed by scipy quadrature")
def test_peak_over_mean_on_a_curved_seat():
    """p = p0 cos(a) carries p0 w pi / 4: the peak is 4/pi of the force over the width."""
    carried = quad(lambda a: cos(a) ** 2 / 2, -pi / 2, pi / 2)[0]  # on a width of 1
    assert isclose(seat_pressure(**numbers(R=1, l=1, w=1, k=4 / pi)), 1 / carried, rel_tol=1e-12)


def ring(width, depth):
    """Greatest moment in a thin ring under two opposite unit loads fore and aft, and the place's stress for t = 1.

    `width` and `depth` to the middle of the wall. Cut open at the side, where by symmetry there is thrust 1/2 and no
    shear; the moment there is such that the ring closes: the sum of M ds round the ring is nil.
    """
    a, b = width / 2, depth / 2

    def ds(t):
        return sqrt((a * sin(t)) ** 2 + (b * cos(t)) ** 2)

    def free(t):
        return 0.5 * a * (1 - cos(t))  # thrust 1/2 at the side, its lever about the point at t

    length = quad(ds, 0, pi / 2)[0]
    side = quad(lambda t: free(t) * ds(t), 0, pi / 2)[0] / length
    return max(abs(free(pi / 2) - side), abs(side)), length


@pytest.mark.source(
    "thin ring under two opposite loads, by closing it with scipy quadrature; Roark's 0.3183 W R (from memory)"
)
def test_round_ring():
    moment, length = ring(2.0, 2.0)
    assert isclose(length, pi / 2, rel_tol=1e-12)
    assert f"{moment:.4f}" == "0.3183"
    got = float(ring_stress(**numbers(R=900, l=0.05, r=0.020, t=0.006)))
    assert isclose(got, 6 * 900 * 0.020 * moment / (0.05 * 0.006**2), rel_tol=1e-9)


@pytest.mark.source("the same integration for an oval ring; its length by scipy's elliptic integral")
@pytest.mark.parametrize(("depth", "width"), [(48.0, 40.0), (40.0, 48.0), (56.0, 36.0), (36.0, 56.0)])
def test_oval_ring_is_covered_by_the_greater_size(depth, width):
    """The check takes a round ring of the greater size: above the true moment, for either way the oval lies."""
    moment, length = ring(width - 6, depth - 6)
    a, b = sorted(((width - 6) / 2, (depth - 6) / 2))
    assert isclose(length, b * ellipe(1 - (a / b) ** 2), rel_tol=1e-9)
    assert moment <= (max(depth, width) / 2 - 3) / pi * (1 + 1e-12)


@pytest.mark.source("ring of a hollow shaft, by hand: 980 N, 60 mm, r 20 mm, wall 6 mm")
def test_hollow_under_the_lock():
    """sigma = 6 x 980 x 0.020 / (pi x 0.060 x 0.006^2) = 17.33 MPa, far above any wood's tension across the grain."""
    stations = (station(0, 0.046, wall=0.006), station(2.7, 0.046, wall=0.006))
    oar = one_piece(stations=stations, rig=in_lock(0.05, 0.75, seat=0.060), blade=blade(2.3, 2.7))
    beam, found = rows(oar)
    use = found["hollow under the lock"]
    k = beam.case("once")
    stress = float(use.demand[k, 0])
    assert f"{stress / 1e6:.2f}" == "17.33"
    assert use.use[k, 0] > 1
    # 2.5 MPa with no scatter, dry as green, or a third of the member's shear, 8 x 0.67 / 3; over 1.3125
    assert isclose(float(use.capacity[k, 0]), min(2.5e6, 8e6 * 0.67 / 3) / 1.3125, rel_tol=1e-9)
    solid_there = (
        station(0, 0.046),
        station(1.2, 0.046),
        station(1.3, 0.046, wall=0.006),
        station(2.7, 0.046, wall=0.006),
    )
    assert "hollow under the lock" not in {r.check for r in run(loaded(replace(oar, stations=solid_there)))}


# ------------------------------------------------------------------------------------- at the lock, in every load case

ROUND_OAR = {
    "stations": (station(0, 0.048), station(2.7, 0.048)),
    "rig": in_lock(0.05, 0.75, seat=0.060),
    "neck": 2.3,
}
"""a hand at 0.05 m, a lock at 0.75 m, a tip at 2.7 m; a round shaft of 48 mm, of which the lock presses 60 mm"""


def pressure(force):
    """Peak pressure of a force under the lock of that oar [Pa], by hand."""
    return force * 4 / pi / (0.060 * 0.048)


def bears(oar, key):
    """The demand, use and capacity of bearing at the lock in one load case."""
    beam, found = rows(oar)
    use, k = found["bearing at the lock"], beam.case(key)
    demand, part, capacity = (np.broadcast_to(v, (len(beam.cases), 1)) for v in (use.demand, use.use, use.capacity))
    return float(demand[k, 0]), float(part[k, 0]), float(capacity[k, 0])


def balances(oar):
    """Whether in each load case all forces, and all their moments about the handle end, come to nothing."""
    beam = loaded(oar)
    for push, couple in ((beam.forward, beam.couple_forward), (beam.up, beam.couple_up)):
        assert np.allclose(push.sum(axis=-1), 0.0, atol=1e-9)
        assert np.allclose((push * beam.centre[..., None, :] + couple).sum(axis=-1), 0.0, atol=1e-9)
    assert np.allclose(beam.along.sum(axis=-1), 0.0, atol=1e-9)
    return beam


@pytest.mark.source("statics by hand: levers 0.70 m and 1.95 m, so the lock holds 400 x (1 + 0.70 / 1.95) = 543.6 N")
@pytest.mark.parametrize(("way", "push", "sign"), [
    ("forward", "forward", 1), ("aft", "forward", -1), ("up", "up", 1), ("down", "up", -1),
])  # fmt: skip
def test_the_lock_bears_the_oar_as_a_lever(way, push, sign):
    """The lock is the middle of three supports: its force is against the hand's, and the greatest of the three."""
    oar = one_piece(**{**ROUND_OAR, "blade": blade(2.3, 2.7), "rower": rower(once=10, lever=400)})
    beam = balances(oar)
    force = 400 * (1 + 0.70 / 1.95)
    assert f"{force:.1f}" == "543.6"
    k, j = beam.case(f"lever {way}"), beam.places.index("lock")
    assert isclose(float(getattr(beam, push)[k, j]), -sign * force, rel_tol=1e-12)
    demand, use, capacity = bears(oar, f"lever {way}")
    assert isclose(demand, pressure(force), rel_tol=1e-12)
    assert isclose(use, pressure(force) / capacity, rel_tol=1e-12)


@pytest.mark.source("statics by hand: 150 N at the tip 2.65 m from the hand, the lock 0.70 m from it: 567.9 N")
@pytest.mark.parametrize("way", ["forward", "aft", "up", "down"])
def test_the_lock_bears_the_push_off(way):
    """Push 500 N, its side force 0.3 of that; a quarter of a 160 mm blade off the axis: 20 N m, 28.6 N at the lock."""
    oar = one_piece(**{**ROUND_OAR, "blade": blade(2.3, 2.7, width=0.16), "rower": rower(once=10, push=500)})
    beam = balances(oar)
    side, off = 150 * 2.65 / 0.70, 500 * 0.16 / 4 / 0.70
    assert (f"{side:.1f}", f"{off:.1f}") == ("567.9", "28.6")
    k, j = beam.case(f"push {way}"), beam.places.index("lock")
    if way in ("forward", "aft"):
        assert isclose(abs(float(beam.forward[k, j])), side, rel_tol=1e-12)
        assert isclose(abs(float(beam.up[k, j])), off, rel_tol=1e-12)
        force = sqrt(side**2 + off**2)
    else:
        assert abs(float(beam.forward[k, j])) < 1e-9
        force = side + off
    demand, use, capacity = bears(oar, f"push {way}")
    assert isclose(demand, pressure(force), rel_tol=1e-12)
    assert isclose(use, pressure(force) / capacity, rel_tol=1e-12)


@pytest.mark.source(
    "statics by hand: a shaft's and a blade's weight about the hand; loads times 1/use land on the limit"
)
def test_the_oar_s_weight_stands_at_the_lock():
    """Specific gravity 0.40 at 12 %: 448 kg/m3. 2.3 m of a round shaft of 48 mm, and 1.5 kg of blade at 2.5 m."""
    oar = one_piece(
        **{**ROUND_OAR, "blade": blade(2.3, 2.7, mass=1.5), "rower": rower(once=700)}, wood=plain_wood(gravity=0.40)
    )
    beam = balances(oar)
    mass = 448 * 2.3 * pi * 0.048**2 / 4
    still = 9.80665 * (mass * (1.15 - 0.05) + 1.5 * (2.5 - 0.05)) / 0.70
    j = beam.places.index("lock")
    assert isclose(float(beam.still_up[beam.case("once"), j]), still, rel_tol=1e-9)
    stroke = 700 * (1 + 0.70 / 1.75)
    demand, use, capacity = bears(oar, "once")
    assert isclose(demand, pressure(sqrt(stroke**2 + still**2)), rel_tol=1e-9)
    assert isclose(pressure(sqrt((stroke / use) ** 2 + still**2)), capacity, rel_tol=1e-9)
    # the lifted oar's weight is what that case is about: it is scaled
    lifted, part, limit = bears(oar, "lift")
    assert isclose(lifted, pressure(2 * still), rel_tol=1e-9)
    assert isclose(part, lifted / limit, rel_tol=1e-9)


@pytest.mark.source("cosine pressure round half a cylinder, summed both ways by scipy quadrature")
@pytest.mark.parametrize(("ahead", "up"), [(900.0, 0.0), (900.0, 300.0), (250.0, 700.0)])
def test_two_ways_at_once_press_a_round_seat_as_their_resultant(ahead, up):
    """p0 cos(a - b) on the half that faces the force: its sums fore and aft and up are both forces at once."""
    each = [float(seat_pressure(**numbers(R=force, l=0.06, w=0.048, k=4 / pi))) for force in (ahead, up)]
    peak, turned = float(norm(*(number(p) for p in each), 2.0)), atan2(up, ahead)
    sums = [
        0.06 * 0.024 * quad(lambda a, way=way: peak * cos(a - turned) * way(a), turned - pi / 2, turned + pi / 2)[0]
        for way in (cos, sin)
    ]
    assert np.allclose(sums, [ahead, up], rtol=1e-9, atol=1e-6)


def test_a_lock_presses_the_least_width_under_it():
    """A shaft that falls from 50 to 40 mm from the lock on: 44 mm at the end of a 60 mm seat."""
    tapered = tuple(station(x, d) for x, d in ((0, 0.050), (0.75, 0.050), (0.80, 0.040), (2.7, 0.040)))
    oar = one_piece(**{**ROUND_OAR, "stations": tapered, "blade": blade(2.3, 2.7), "rower": rower(once=700)})
    demand, _, _ = bears(oar, "once")
    assert isclose(demand, 980 * 4 / pi / (0.060 * 0.044), rel_tol=1e-5)


@pytest.mark.source(
    "ring of a hollow shaft, by hand: 980 N, 60 mm, r 20 mm, wall 6 mm; by reach, 30 + 46 mm from the lock"
)
@pytest.mark.parametrize(("solid_to", "hollow"), [(0.755, True), (0.785, True), (0.824, True), (0.8261, False)])
def test_hollow_beside_the_lock(solid_to, hollow):
    """Solid where the lock's middle is, and hollow from a place within a depth beyond the seat's end: it is a ring."""
    stations = tuple(
        station(x, 0.046, wall=w) for x, w in ((0, inf), (solid_to - 1e-6, inf), (solid_to, 0.006), (2.7, 0.006))
    )
    _, found = rows(one_piece(stations=stations, rig=in_lock(0.05, 0.75, seat=0.060), blade=blade(2.3, 2.7)))
    assert ("hollow under the lock" in found) == hollow
    if hollow:
        assert f"{float(found['hollow under the lock'].demand.max()) / 1e6:.2f}" == "17.33"
        assert float(found["hollow under the lock"].use.max()) > 1


@pytest.mark.source("ring of a hollow shaft, by hand: 543.6 N of a lever, 60 mm, r 20 mm, wall 6 mm: 9.61 MPa")
def test_a_hollow_oar_used_as_a_lever():
    stations = (station(0, 0.046, wall=0.006), station(2.7, 0.046, wall=0.006))
    oar = one_piece(stations=stations, rig=in_lock(0.05, 0.75, seat=0.060), blade=blade(2.3, 2.7),
                    rower=rower(once=10, lever=400))  # fmt: skip
    beam, found = rows(oar)
    stress = found["hollow under the lock"].demand
    for way in ("forward", "aft", "up", "down"):
        assert f"{float(stress[beam.case(f'lever {way}'), 0]) / 1e6:.2f}" == "9.61"
