"""The takedown joint, against a spring model, published examples, its own twins just below and above, and odd files."""

from __future__ import annotations

import copy
import itertools
import math
from dataclasses import replace
from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.integrate import quad, solve_ivp
from scipy.optimize import brentq

from shaftcheck import engine
from shaftcheck.answer import answer_doc
from shaftcheck.beam import Beam
from shaftcheck.border.assemble import assemble
from shaftcheck.border.shaftfile import read
from shaftcheck.border.shown import say
from shaftcheck.checks import (
    JOINTS,
    declared,
    dowel,
    joints,
    takedown,
    takedown_half,
    takedown_pin,
    takedown_spigot,
    takedown_tube,
)
from shaftcheck.checks.clamped import inner_shear, rigid_edge, rigid_inner, springy_shear
from shaftcheck.checks.column import pressed
from shaftcheck.checks.compare import NOT_CHECKED, Use
from shaftcheck.checks.placed import reach
from shaftcheck.checks.takedown import TAKEDOWN
from shaftcheck.checks.takedown_build import Takedown
from shaftcheck.errors import InputError
from shaftcheck.loads import loaded
from shaftcheck.model import Shaft, number, stack

JOINT: dict[str, Any] = {
    "kind": "takedown",
    "at": "1.30 m",
    "form": "sleeve over both",
    "overlap": "190 mm",
    "wall": "1.7 mm",
    "tube": "aluminium 6061-T6",
    "mouth": "tapered",
    "held_by": "pin",
    "pin_diameter": "5 mm",
    "pin_through": "up and down",
    "pin_stands": "mid-overlap",
}
OAR: dict[str, Any] = {
    "title": "Invented: an oar in two pieces",
    "oar": {
        "length": "2.40 m",
        "inside": "solid",
        "blade_length": "520 mm",
        "blade_width": "130 mm",
        "blade_area": "0.055 m2",
    },
    "rig": {"kind": "lock", "hand": "70 mm", "lock": "680 mm", "lock_touches": "40 mm"},
    "rower": {"strength": "light", "hands": "one"},
    "duty": {"boat_speed": "1.5 m/s", "levering": "never"},
    "section": [{"at": "0 mm", "across": "44 mm"}, {"at": "1.88 m", "across": "44 mm"}],
    "wood": [{"of": "Sitka spruce (US)", "runout": "1:20"}],
    "joint": [JOINT],
}
TUBE_ON_ONE = {"form": "tube on the outer half", "fixed_length": "150 mm", "spigot_size": "40 mm"}
HOLLOW = {
    "oar": {**OAR["oar"], "inside": "hollow"},
    "section": [{"at": "0 mm", "across": "44 mm", "wall": "9 mm"}, {"at": "1.88 m", "across": "44 mm", "wall": "9 mm"}],
}


def doc(joint: dict[str, Any] | None = None, **tables: Any) -> dict[str, Any]:
    out = {**copy.deepcopy(OAR), **copy.deepcopy(tables)}
    before = out.pop("before", [])
    out["joint"] = [*before, {k: v for k, v in {**JOINT, **(joint or {})}.items() if v is not None}]
    return out


def shaft(joint: dict[str, Any] | None = None, **tables: Any) -> Shaft:
    reading = read(doc(joint, **tables), "test")
    return assemble(reading, {e.path: e.value for e in reading.entries.values() if e.value is not None}).shaft


def the(oar: Shaft) -> Takedown:
    (joint,) = (j for j in oar.joints if isinstance(j, Takedown))
    return joint


def with_joint(oar: Shaft, **changes: Any) -> Shaft:
    joint = the(oar)
    new = replace(joint, **{k: number(v) for k, v in changes.items()})
    return replace(oar, joints=tuple(new if j is joint else j for j in oar.joints))


def faults(joint: dict[str, Any] | None = None, **tables: Any) -> str:
    with pytest.raises(InputError) as e:
        shaft(joint, **tables)
    return str(e.value)


def found(beam: Beam) -> dict[str, Use]:
    return {u.check: u for u in TAKEDOWN.check(beam, the(beam.shaft))}


def worst(beam: Beam) -> dict[str, float]:
    """Worst use by name; nan where any of it is not known."""
    return {name: float(np.max(u.use)) for name, u in found(beam).items()}


def scaled(beam: Beam, factor: float, **signs: float) -> Beam:
    names = ("forward", "up", "along", "couple_forward", "couple_up", "torque")
    cases = tuple(replace(c, pull=c.pull * factor) for c in beam.cases)
    arrays = {n: getattr(beam, n) * factor * signs.get(n, 1.0) for n in names}
    return replace(beam, cases=cases, **arrays)


def weightless(beam: Beam) -> Beam:
    return replace(beam, still_up=0.0 * beam.still_up, still_couple=0.0 * beam.still_couple)


def only(beam: Beam, key: str) -> Beam:
    """The beam with one of its cases alone, its forces fore and aft alone."""
    i = beam.case(key)
    rows = {n: getattr(beam, n)[..., i : i + 1, :] for n in ("forward", "couple_forward")}
    none = {n: 0.0 * getattr(beam, n)[..., i : i + 1, :] for n in (
        "up", "along", "couple_up", "torque", "still_up", "still_couple")}  # fmt: skip
    limits = {k: v[..., i : i + 1, :] if v.shape[-2] > 1 else v for k, v in beam.limits.items()}
    return replace(beam, cases=(beam.cases[i],), limits=limits, **rows, **none)


# -------------------------------------------------------------------------------------------- against other people's


@pytest.mark.source("E I y'' + P y = 0 by scipy's solve_ivp, with the mean of a moment's square by scipy's quad")
@pytest.mark.parametrize("modulus", [2e9, 6e9, 46e9])
def test_a_column_gives_where_its_tube_gives(modulus: float) -> None:
    """Half and half of 190 mm in a tube of 1.7 mm on wood of 40 mm, 60 mm apart; a stiff tube earns no credit."""
    oar = with_joint(shaft(), gap=0.060, size=0.040, start=1.08, end=1.52, modulus=modulus)
    row = next(u for u in pressed(loaded(oar), loaded(oar).at(number([[1.0]]))) if u.check == "buckling")
    beam = loaded(oar)
    wood = float(beam.limits["buckling stiffness"][0, 0])
    tube = modulus * np.pi / 64 * (0.0434**4 - 0.040**4)
    left = quad(lambda t: (3 * t**2 - 2 * t**3) ** 2, 0, 1)[0]
    beside = left * (1 / tube + 1 / (wood * np.pi / 64 * 0.040**4))

    def flexibility(x: float) -> float:
        there = 0.0 if not 1.08 < x < 1.52 else 1 / tube if 1.27 < x < 1.33 else beside
        return max(1 / (wood * np.pi / 64 * 0.044**4), there)

    def end(force: float) -> float:
        y = (0.0, 1.0)
        for a, b in itertools.pairwise((0.68, 1.08, 1.27, 1.33, 1.52, 2.40)):
            bend = flexibility((a + b) / 2)
            y = solve_ivp(lambda x, v, k=bend: (v[1], -force * k * v[0]), (a, b), y, rtol=1e-11, atol=1e-13).y[:, -1]
        return float(y[0])

    near = float(np.max(row.capacity))
    whole = float(np.max(next(iter(pressed(loaded(replace(oar, joints=())), beam.at(number([[1.0]]))))).capacity))
    assert near == pytest.approx(brentq(end, 0.8 * near, 1.2 * near, xtol=1e-6), rel=1e-7)
    assert near == pytest.approx(whole, rel=1e-9) if modulus > 40e9 else near < 0.9 * whole


@pytest.mark.source("Abbott Aerospace AA-SM-003, after Burandt (1959), expanded form for S and M at the mouth")
def test_a_socket_by_its_expanded_form() -> None:
    """S = 300 N and M = 225 N m at the mouth of 150 mm: 68.0 and 64.0 kN/m at mouth and inner end."""
    s, m, length = number(300.0), number(225.0), number(0.150)
    m_c = m + s * length / 2.0
    assert takedown_spigot.loose_edge(V=s, M_c=m_c, L=length, a=length / 2.0) == pytest.approx(68.0e3, rel=1e-12)
    assert rigid_edge(V=s, M_c=m_c, L=length) == pytest.approx(68.0e3, rel=1e-12)
    assert rigid_inner(V=s, M_c=m_c, L=length) == pytest.approx(64.0e3, rel=1e-12)
    a = 150.0 * 64.0 / (68.0 + 64.0)
    wood, tube = takedown_half.peaks(-m_c, s, length)
    assert wood == pytest.approx(a * 64.0 / 2.0, rel=1e-12)
    assert tube == pytest.approx((150.0 - a) * 68.0 / 2.0, rel=1e-12)


@pytest.mark.source("the same sheet, solid round at a fibre stress of 40 MPa, in figures of two digits")
@pytest.mark.parametrize(
    ("diameters", "bearing", "shear"), [(2, 5.9, 5.0), (3, 2.6, 3.3), (4, 1.5, 2.5), (6, 0.65, 1.7)]
)
def test_overlap_in_diameters(diameters: int, bearing: float, shear: float) -> None:
    d = 0.045
    length, moment = number(diameters * d), number(40e6 * math.pi * d**3 / 32.0)
    line = takedown_spigot.loose_edge(V=number(0.0), M_c=moment, L=length, a=length / 2.0)
    assert line / d / 1e6 == pytest.approx(bearing, abs=0.05)
    inside, _ = takedown_half.peaks(moment, number(0.0), length)
    assert inside == pytest.approx(inner_shear(w_i=line, w=line, L=length))
    assert 4.0 / 3.0 * inside / (math.pi * d * d / 4.0) / 1e6 == pytest.approx(shear, abs=0.06)


@pytest.mark.source("Gere, Mechanics of Materials, Example 5-13: pole of 4 in and 3.2 in under 1500 lb, 658 psi")
def test_shear_of_a_tube() -> None:
    out, inside = number(4.0), number(3.2)
    unit = takedown_tube.tube_shear(D_o=out, D_i=inside, A=takedown_tube.tube_area(D_o=out, D_i=inside))
    assert 1500.0 * unit == pytest.approx(658.0, abs=0.5)


@pytest.mark.source("Gere, Mechanics of Materials, Example 1-5: 12 kip on a pin of 0.75 in; Example 1-7: 10.21 kip")
def test_pins() -> None:
    p, d = number(12.0), number(0.75)
    assert takedown_pin.pin_shear(P=p, n=number(2.0), d=d) == pytest.approx(13.6, abs=0.05)
    assert takedown_pin.wall_bearing(P=p, n=number(2.0), d=d, t_w=number(0.375)) == pytest.approx(21.3, abs=0.05)
    assert takedown_pin.wall_bearing(P=p, n=number(2.0), d=d, t_w=number(0.625)) == pytest.approx(12.8, abs=0.05)
    assert takedown_pin.pin_shear(P=number(10210.0), n=number(2.0), d=number(1.0)) == pytest.approx(6500.0, abs=1.0)
    assert takedown_pin.pin_shear(P=p, n=number(1.0), d=d) == pytest.approx(27.2, abs=0.05)


@pytest.mark.source("NASA SP-8007 (1968), cylinders in bending, worked with sigma = 0.6 gamma E t / r")
@pytest.mark.parametrize(
    ("out", "wall", "ratio", "gamma", "critical"),
    [(38.0, 1.5, 12.17, 0.857, 2916.0), (45.0, 1.0, 22.0, 0.814, 1532.0), (50.0, 0.5, 49.5, 0.740, 619.0)],
)
def test_wall_that_buckles(out: float, wall: float, ratio: float, gamma: float, critical: float) -> None:
    q = number((out - wall) / 2.0 / wall)
    assert q == pytest.approx(ratio, abs=0.005)
    g = takedown_tube.knock_down(q=q)
    assert g == pytest.approx(gamma, abs=6e-4)
    stress = takedown_tube.wall_buckling(E=number(69e3), q=q, gamma=g, nu=number(0.3))
    assert stress == pytest.approx(critical, rel=0.01)
    assert np.isnan(takedown_tube.knock_down(q=number(1501.0)))


@pytest.mark.source("Roark's Formulas, beam on elastic foundation: greatest moment 0.3224 P/beta of an end load, whose "
                    "shape the shear of an end moment has")  # fmt: skip
def test_long_springy_socket() -> None:
    u = np.linspace(0.0, 6.0, 60001)
    beta, m = number(7.0), number(11.0)
    peak = springy_shear(V=number(0.0), M=m, beta=beta, u=u)
    assert peak.max() == pytest.approx(2.0 * 0.3224 * 7.0 * 11.0, rel=1e-4)
    assert u[peak.argmax()] == pytest.approx(math.pi / 4.0, abs=1e-3)
    on_grid = springy_shear(V=number(0.0), M=m, beta=beta, u=np.pi * takedown_half.GRID)
    assert on_grid.max() == pytest.approx(peak.max(), rel=1e-9)
    assert springy_shear(V=number(3.0), M=number(0.0), beta=beta, u=number(0.0)) == 3.0


@pytest.mark.source("direct integration of the sections that a hole leaves")
def test_holes() -> None:
    d, hole, r, t = 40.0, 6.0, 20.0, 0.02
    z = (np.arange(40000) + 0.5) / 40000 * d - d / 2.0
    width = 2.0 * np.sqrt(d * d / 4.0 - z * z)
    whole = (width * z * z).sum()
    through, along = np.maximum(width - hole, 0.0), np.where(np.abs(z) < hole / 2.0, 0.0, width)
    got = (
        dowel.second_left(w=number(hole), h=number(d), I=number(np.pi * d**4 / 64.0)),
        dowel.second_left(w=number(d), h=number(hole), I=number(np.pi * d**4 / 64.0)),
    )
    assert got[0] == pytest.approx((through * z * z).sum() / whole, abs=0.004)
    assert got[0] <= (through * z * z).sum() / whole
    assert got[1] == pytest.approx((along * z * z).sum() / whole, abs=1e-4)
    assert 1.0 - dowel.second_left(w=number(8.0), h=number(48.0), I=number(np.pi * 48.0**4 / 64.0)) == pytest.approx(
        0.28, abs=0.005
    )
    turn = (np.arange(40000) + 0.5) / 40000 * 2.0 * np.pi
    left = np.abs(r * np.sin(turn)) > hole / 2.0
    ring = (np.where(left, np.cos(turn) ** 2, 0.0)).sum() / (np.cos(turn) ** 2).sum()
    assert takedown_pin.hole_in_ring(d=number(hole), r=number(r)) == pytest.approx(ring, abs=0.004)
    assert takedown_pin.hole_in_ring(d=number(hole), r=number(r)) <= ring + t * 0.01


@pytest.mark.source("moment of a stiff peg's straight pressure, summed strip by strip")
def test_a_buttons_peg() -> None:
    p, h, d, s = 100.0, 0.02, 0.006, 100e6
    z = (np.arange(20000) + 0.5) / 20000 * h
    q = 4.0 * p / h - 6.0 * p * z / (h * h)
    assert q.sum() * h / 20000 == pytest.approx(p)
    assert (q * z).sum() == pytest.approx(0.0, abs=1e-2)
    shear = p - np.cumsum(q) * h / 20000
    moment = np.cumsum(shear).max() * h / 20000
    stress = 32.0 * moment / (math.pi * d**3)
    at = takedown_pin.button_bends(d=number(d), s=number(s), h=number(h))
    assert at == pytest.approx(p * s / stress, rel=1e-3)


# ------------------------------------------------------------------------------------- against a spigot on many springs


def springs(x: np.ndarray, moment: float, shear: float, at: float, *, outer: bool) -> tuple[np.ndarray, ...]:
    """Forces of springs on a stiff spigot, and its shear force and moment just beyond each: statics and nothing else.

    `moment` and `shear` at `at` are those of the forces left of it: what the inner half brings into its springs, and
    what the outer half's springs must come to.
    """
    y = x - x.mean()
    if outer:
        target = np.array([shear, moment])
        rows = np.array([[len(x), y.sum()], [(at - x).sum(), ((at - x) * y).sum()]])
    else:
        target = -np.array([shear, moment + shear * (x[-1] - at)])
        rows = np.array([[len(x), y.sum()], [(x[-1] - x).sum(), ((x[-1] - x) * y).sum()]])
    lift, tilt = np.linalg.solve(rows, target)
    r = lift + tilt * y
    start_v, start_m = (0.0, 0.0) if outer else (shear, moment)
    v = start_v + np.cumsum(r)
    m = np.array([start_m + (0.0 if outer else shear * (b - at)) + (r[: i + 1] * (b - x[: i + 1])).sum()
                  for i, b in enumerate(x)])  # fmt: skip
    return r, v, m


@pytest.mark.source("a stiff spigot on 4000 springs, solved for equilibrium alone")
@pytest.mark.parametrize("at", ["0.37 m", "0.98 m", "1.30 m", "1.62 m"])
@pytest.mark.parametrize("key", ["once", "back", "caught"])
@pytest.mark.parametrize("one", [{}, TUBE_ON_ONE], ids=["sleeve", "tube on one"])
def test_spigot_on_springs(at: str, key: str, one: dict[str, Any]) -> None:
    beam = only(loaded(shaft({"at": at, "overlap": "120 mm", "clearance": "0 mm", **one})), key)
    j, uses = the(beam.shaft), found(beam)
    size = float(j.size)
    tube_m, tube_v = [], []
    for name, start, end in (
        ("inner", float(j.start), float(j.at)),
        ("outer", float(j.at), float(j.end)),
    ):
        n = 4000
        x = start + (np.arange(n) + 0.5) / n * (end - start)
        outer = name == "outer"
        mouth = end if outer else start
        cut = beam.at(np.array([[mouth + (1e-9 if outer else -1e-9)]]))
        r, v, m = springs(x, float(cut.moment_stroke[0, 0]), float(cut.forward[0, 0]), mouth, outer=outer)
        greatest = max(abs(1.5 * r[0] - 0.5 * r[1]), abs(1.5 * r[-1] - 0.5 * r[-2])) / ((end - start) / n)
        assert float(uses[f"takedown, {name} half, bearing"].demand.max()) == pytest.approx(
            4.0 / math.pi * greatest / size, rel=1e-3
        )
        inside = max(np.abs(v).max(), abs(float(cut.forward[0, 0])))
        area = math.pi * size**2 / 4.0
        stiff = uses[f"takedown, {name} half, inner shear (stiff)"]
        assert float(stiff.demand.max()) == pytest.approx(4.0 / 3.0 * inside / area, rel=2e-3)
        wood = uses[f"takedown, {name} half, wood inside"]
        at_mouth = float(np.abs(cut.moment_stroke).max())
        assert float(wood.demand.max()) == pytest.approx(
            32.0 * max(np.abs(m).max(), at_mouth) / (math.pi * size**3), rel=2e-3
        )
        whole = beam.at(x[None, :])
        tube_m.append(np.abs(whole.moment_stroke[0] - m).max())
        tube_v.append(np.abs(whole.forward[0] - v).max())
    out = size + 2.0 * float(j.wall)
    second = math.pi * (out**4 - size**4) / 64.0
    area = math.pi * (out**2 - size**2) / 4.0
    pull = 0.36 * float(np.nan_to_num(beam.cases[0].pull)) / area
    unit = 4.0 / 3.0 / area * (out**2 + out * size + size**2) / (out**2 + size**2)
    bends = max(tube_m) * out / 2.0 / second
    assert float(uses["takedown, tube bending"].demand.max()) == pytest.approx(math.hypot(bends + pull, pull), rel=2e-3)
    assert float(uses["takedown, tube shear"].demand.max()) == pytest.approx(max(tube_v) * unit, rel=3e-3)


@pytest.mark.source("a stiff spigot with play on springs that only press, solved by Newton's method")
@pytest.mark.parametrize("play", [0.0, 0.1e-3, 0.4e-3])
def test_spigot_with_play_on_springs(play: float) -> None:
    length, moment, k = 0.18, 90.0, 1.7e9
    x = (np.arange(20000) + 0.5) / 20000 * length - length / 2.0
    low, high = play / length, play / length + 0.05
    for _ in range(80):
        tilt = (low + high) / 2.0
        give = np.maximum(tilt * np.abs(x) - play / 2.0, 0.0)
        low, high = (tilt, high) if (k * give * np.abs(x)).sum() * length / 20000 < moment else (low, tilt)
    edge = tilt * length / 2.0 - play / 2.0
    a = takedown_spigot.touching(L=number(length), delta=number(edge), g=number(play))
    got = takedown_spigot.loose_edge(V=number(0.0), M_c=number(moment), L=number(length), a=a)
    assert got == pytest.approx(k * edge, rel=1e-3)


# -------------------------------------------------------------------------------------------------- just below, above

BY_LOAD = [
    *(f"takedown, {half} half, {what}" for half in ("inner", "outer") for what in takedown.OF_A_HALF),
    *(f"takedown, {what}" for what in (*takedown.OF_THE_TUBE, *takedown.OF_THE_PIN, "ends pressed", "shoulder pressed",
                                       "clamp's grip") if not what.startswith("pins from")),
]  # fmt: skip
CLAMPED = {"held_by": "clamp", "clamp_slips_at": "1500 N", "pin_diameter": None, "pin_through": None}


def test_every_name_is_tried_below_and_above() -> None:
    others = {
        f"takedown, {what}" for what in ("held together", "solid inside", "clear of the lock", "clear of other joints",
                                         "pins from the end", "pins from the edge")
    }  # fmt: skip
    plugs = {f"takedown, beside the plug{more}" for more in ("", ", life", ", pressed")}
    assert set(BY_LOAD) | others | plugs == set(takedown.DECLARES)


@pytest.mark.parametrize("joint", [{}, TUBE_ON_ONE, {"held_by": "button", "button_depth": "18 mm"}, {"gap": "9 mm"},
                                   CLAMPED], ids=["sleeve", "tube on one", "button", "gap", "clamp"])  # fmt: skip
@pytest.mark.parametrize("name", BY_LOAD)
def test_lands_on_its_limit_and_has_its_twins(name: str, joint: dict[str, Any]) -> None:
    what = name.removeprefix("takedown, ")
    if (
        (what == "ends pressed" and "gap" in joint)
        or (what == "shoulder pressed" and joint is not TUBE_ON_ONE)
        or (what == "clamp's grip" and joint is not CLAMPED)
        or (what.partition(" on ")[0] in ("pin", "pin shear", "pin bending", "shear at the pin") and joint is CLAMPED)
    ):
        assert worst(loaded(shaft(joint)))[name] == 0.0
        return
    beam = loaded(shaft(joint))
    use = worst(beam)[name]
    assert 0.0 < use < 50.0
    u = found(scaled(beam, 1.0 / use))[name]
    tight = np.nanmax(u.demand / u.capacity)
    assert tight == pytest.approx(1.0, abs=1e-9)
    assert worst(scaled(beam, (1.0 - 1e-6) / use))[name] <= 1.0
    above = worst(scaled(beam, (1.0 + 1e-6) / use))
    assert above[name] > 1.0
    rows = {r.check: r for r in engine.run(scaled(beam, (1.0 + 1e-6) / use), checks=(joints,))}
    assert float(rows[name].use) > 1.0
    assert bool(rows[name].known)


def test_place_just_clear_and_just_not() -> None:
    oar = shaft()
    for name, clear in (("takedown, clear of the lock", 0.0), ("takedown, clear of the lock", 1e-6)):
        seat_ends = float(oar.rig.lock + oar.rig.seat / 2.0)  # type: ignore[union-attr]
        use = worst(loaded(with_joint(oar, start=seat_ends - clear)))[name]
        assert use == (np.inf if clear else 0.0)
    scarf = {"kind": "scarf", "middle": "1.00 m", "slope": "1:12", "cut_through": "fore and aft",
             "outer_tip_on": "forward", "glue": "epoxy"}  # fmt: skip
    both = shaft(before=[scarf])
    ends = float(both.joints[0].end)
    ends += float(reach(both, number(ends)))
    for start, use in ((ends + 1e-6, 0.0), (ends - 1e-6, np.inf)):
        assert worst(loaded(with_joint(both, start=start)))["takedown, clear of other joints"] == use


@pytest.mark.source("NDS Table 12.5.1 (from memory): softwood, 7 diameters to the end, 4 in a row and to a loaded edge")
@pytest.mark.parametrize(("joint", "key", "least"), [
    ({"pins": "1"}, "overlap", 2 * 7 * 5.0), ({"pins": "3"}, "overlap", 2 * 7 * 5.0 + 2 * 4 * 5.0),
    ({"pins": "3", "pin_stands": "anywhere"}, "overlap", (7 + 2 * 4 + 2) * 5.0), ({}, "spigot_size", 2 * 4 * 5.0),
])  # fmt: skip
def test_pins_have_their_distances_in_the_wood(joint: dict[str, Any], key: str, least: float) -> None:
    name = "takedown, pins from the " + ("end" if key == "overlap" else "edge")
    for size, use in ((least, 0.0), (least - 0.1, np.inf)):
        uses = worst(loaded(shaft({**joint, key: f"{size} mm"})))
        assert uses[name] == use
    assert worst(loaded(shaft(CLAMPED | {"overlap": "20 mm", "spigot_size": "10 mm"})))[name] == 0.0


def test_six_stout_pins_in_a_short_overlap_do_not_hold() -> None:
    """Six of 12 mm in 196 mm stand 2.3 diameters apart and 2 from the edge."""
    beam = loaded(shaft({"pins": "6", "pin_diameter": "12 mm", "overlap": "196 mm"}))
    assert worst(beam)["takedown, pins from the end"] == worst(beam)["takedown, pins from the edge"] == np.inf


@pytest.mark.source(
    "shear of a solid round, 4 V / 3 A, over what is left of its width (any text); springy socket as above"
)
def test_a_hole_takes_its_width_from_what_shears() -> None:
    """A pin that may stand anywhere stands where the springy socket shears most."""
    beam = only(loaded(shaft({"pin_stands": "anywhere", "clearance": "0 mm"})), "once")
    uses, j = found(beam), the(beam.shaft)
    whole = max(float(np.max(uses[f"takedown, {half} half, inner shear ({how})"].demand)) for half in (
        "inner", "outer") for how in ("stiff", "springy"))  # fmt: skip
    left = float(np.max(uses["takedown, shear at the pin"].demand))
    assert left == pytest.approx(whole / (1.0 - 5.0 / (float(j.size) * 1e3)), rel=0.01)
    middle = only(loaded(shaft({"clearance": "0 mm"})), "once")
    assert float(np.max(found(middle)["takedown, shear at the pin"].demand)) < 0.7 * left


@pytest.mark.parametrize("runout", ["1:20", "1:16", "1:12"])
def test_run_out_does_not_soften_the_seat(runout: str) -> None:
    """A loose spigot presses the more the stiffer its wood is across the grain, where run-out takes nothing off."""
    plain, steep = (worst(loaded(shaft({"clearance": "0.3 mm", "stays_wet": "no"}, wood=[
        {"of": "Sitka spruce (US)", "runout": slope}]))) for slope in ("1:25", runout))  # fmt: skip
    name = "takedown, inner half, bearing (loose)"
    assert steep[name] == pytest.approx(plain[name], rel=1e-9)
    springy = "takedown, inner half, inner shear (springy)"
    assert steep[springy] > plain[springy]


def test_a_stiff_piece_presses_most() -> None:
    """Sitka spruce, 22 % scatter: the upper 5 % are stiffer by 36 %, as is the seat, so it touches over less."""
    beam = only(loaded(shaft({"clearance": "0.3 mm", "stays_wet": "no"})), "once")
    half, j = takedown_half.half_of(beam, the(beam.shaft), "inner"), the(beam.shaft)
    table = float(beam.shaft.pieces[0].wood.dry.stiffness)
    seat = takedown_half.seat_of(beam, half, j.size[..., None, None])
    assert float(seat.max()) == pytest.approx(2.0 * 0.10 * table * (1.0 + 1.645 * 0.22), rel=1e-9)


def test_a_lip_at_the_mouth_takes_nothing_off() -> None:
    """A lip that ends 5 mm past the mouth leaves the slim shaft beyond it as it was: Saint-Venant, within a depth."""
    slim = [{"at": "0 mm", "across": "44 mm"}, {"at": "1.88 m", "across": "44 mm"}]
    steps = (("1.090 m", "44 mm"), ("1.105 m", "52 mm"), ("1.115 m", "52 mm"), ("1.125 m", "44 mm"))
    lip = [slim[0], *({"at": at, "across": size} for at, size in steps), slim[1]]
    name = "takedown, inner half, beside the mouth"
    plain, lipped = (worst(loaded(shaft(section=s)))[name] for s in (slim, lip))
    assert lipped >= 0.99 * plain


def test_hollow_needs_its_plug() -> None:
    name = "takedown, solid inside"
    (bare,) = (u for u in found(loaded(shaft(**HOLLOW))).values() if u.check == name)
    assert bare.kind == NOT_CHECKED
    assert np.isnan(bare.use).all()
    assert "plug" in bare.unknown
    oar = shaft({"plug": "300 mm"}, **HOLLOW)
    needed = 0.190 + 0.044
    assert worst(loaded(with_joint(oar, plug=needed + 1e-9)))[name] <= 1.0
    assert worst(loaded(with_joint(oar, plug=needed - 1e-6)))[name] > 1.0
    assert worst(loaded(shaft()))[name] == 0.0


@pytest.mark.parametrize(
    "joint",
    [{"held_by": "nothing"}, {"held_by": "clamp"}, {"stays_on_by": "glue"}],
    ids=["nothing", "clamp", "glue"],
)
def test_what_is_not_pinned_is_not_checked(joint: dict[str, Any]) -> None:
    u = found(loaded(shaft(joint)))["takedown, held together"]
    assert u.kind == NOT_CHECKED
    assert np.isnan(u.use).all()
    assert u.unknown
    a = answer_doc(doc(joint), "test")
    assert a.state != "HOLDS"
    assert "takedown, held together" in [line.check for line in a.oars[-1].lines if not line.known]


def test_a_clamp_that_was_tried_grips_by_half_of_that() -> None:
    """A pull of 400 N that slants brings 144 N along, and the torque adds at the wood's surface: by hand."""
    beam = loaded(shaft({**CLAMPED, "clamp_slips_at": "500 N", "spigot_size": "44 mm"}))
    u = found(beam)["takedown, clamp's grip"]
    once = beam.case("once")
    torque = abs(float(beam.at(number(1.30)[None, None]).torque[once, 0]))
    along = float(beam.at(number(1.30)[None, None]).axial[once, 0])
    assert along == 0.0
    assert float(u.demand[once, 0]) == pytest.approx(math.hypot(0.36 * 400.0, torque / 0.022), rel=1e-12)
    assert float(u.capacity[once, 0]) == 250.0
    assert "takedown, held together" not in [
        line.check for line in answer_doc(doc(CLAMPED), "test").oars[-1].lines if not line.known
    ]
    assert "held by pin" in faults({"clamp_slips_at": "900 N"})


def test_a_low_step_is_no_shoulder() -> None:
    """The ring between 42 mm and a tube of 1.7 mm wall: 300 N over 117 mm2 where 1 mm of it stands on the shaft."""
    name = "takedown, shoulder pressed"
    u = found(loaded(shaft({"spigot_size": "42 mm"})))[name]
    assert float(u.demand.max()) == pytest.approx(300.0 / (math.pi / 4.0 * (44.0**2 - 42.0**2)) * 1e6, rel=1e-9)
    assert float(found(loaded(shaft({"spigot_size": "43.2 mm"})))[name].demand.max()) == 0.0
    thin = found(loaded(shaft({"spigot_size": "38 mm"})))[name]
    assert float(thin.demand.max()) == pytest.approx(300.0 / (math.pi / 4.0 * (41.4**2 - 38.0**2)) * 1e6, rel=1e-9)


def test_wood_that_swells_tight_strains_its_tube() -> None:
    """Sitka spruce at 12 %: 580 psi (4.0 MPa) across the grain with 28 % scatter presses with 5.84 MPa at most."""
    name = "takedown, swollen wood"
    beam = loaded(shaft({"clearance": "0.3 mm"}))
    u = found(beam)[name]
    still = u.demand - found(beam)["takedown, tube mouth"].demand.max(axis=-1, keepdims=True)
    assert still.max() == pytest.approx(580 * 6894.757 * (1.0 + 1.645 * 0.28) * 43.9 / (2.0 * 1.7), rel=1e-3)
    for free in ({"clearance": "4 mm"}, {"stays_wet": "no"}):
        assert float(np.max(found(loaded(shaft(free)))[name].use)) == 0.0
    thin, thick = (worst(loaded(shaft({"wall": w})))[name] for w in ("0.8 mm", "1.7 mm"))
    assert thin > 2.0 * thick


def test_wood_that_is_wetter_in_use_than_where_it_was_fitted_swells_no_less() -> None:
    """Fitted at 16 % at most: 0.35 % for each 1 % of 43.9 mm is 0.154 mm at 17 %, and 0.922 mm at 22 %."""
    name = "takedown, swollen wood"

    def use(moisture: str, wet: str) -> float:
        wood = [{"of": "Sitka spruce (US)", "runout": "1:20", "moisture": moisture}]
        return worst(loaded(shaft({"clearance": "0.3 mm", "stays_wet": wet}, wood=wood)))[name]

    assert 0.0 < use("12 %", "yes") <= use("16 %", "yes") <= use("22 %", "yes") <= use("30 %", "yes")
    assert use("12 %", "no") == use("17 %", "no") == 0.0 < use("22 %", "no") <= use("22 %", "yes")


# -------------------------------------------------------------------------------------------------------- properties


@pytest.mark.parametrize("joint", [{}, TUBE_ON_ONE, {"held_by": "nothing"}, {"tube": "carbon, pultruded tube"}])
def test_every_declared_name_appears(joint: dict[str, Any]) -> None:
    oar = shaft(joint)
    names = [r.check for r in engine.run(loaded(oar))]
    assert set(declared(oar)) <= set(names)
    assert [n for n in names if n.startswith("takedown")] == sorted(
        (n for n in names if n.startswith("takedown")), key=names.index
    )
    assert set(takedown.DECLARES) == {u.check for u in TAKEDOWN.check(loaded(oar), the(oar))}


@settings(max_examples=200, deadline=None)
@given(
    v=st.floats(0.0, 2000.0), m=st.floats(0.0, 500.0), length=st.floats(0.03, 0.6), times=st.floats(1.0, 6.0),
    give=st.floats(1e-6, 1e-3), clearance=st.floats(0.0, 2e-3),
)  # fmt: skip
def test_a_longer_overlap_never_presses_more(
    v: float, m: float, length: float, times: float, give: float, clearance: float
) -> None:
    def line(at: float) -> float:
        a = takedown_spigot.touching(L=number(at), delta=number(give), g=number(clearance))
        return float(takedown_spigot.loose_edge(V=number(v), M_c=number(m), L=number(at), a=a))

    assert line(length * times) <= line(length) * (1.0 + 1e-12)


@settings(max_examples=100, deadline=None)
@given(
    v=st.floats(-2000.0, 2000.0), m=st.floats(-500.0, 500.0), length=st.floats(0.03, 0.6), t=st.floats(0.0, 1.0)
)  # fmt: skip
def test_wood_and_tube_share_the_whole_moment(v: float, m: float, length: float, t: float) -> None:
    args = {"M_c": number(m), "V": number(v), "L": number(length), "t": number(t)}
    whole = m + v * length * (t - 0.5)
    assert takedown_spigot.wood_moment(**args) + takedown_spigot.tube_moment(**args) == pytest.approx(
        whole, abs=1e-9 * (1 + abs(whole))
    )


@pytest.mark.parametrize("at", ["0.95 m", "1.30 m"])
def test_reversed_loads_keep_the_use(at: str) -> None:
    beam = loaded(shaft({"at": at}))
    turned = scaled(beam, 1.0, forward=-1.0, couple_forward=-1.0, up=-1.0, couple_up=-1.0, torque=-1.0)
    before, after = worst(beam), worst(turned)
    for name, use in before.items():
        assert after[name] == pytest.approx(use, rel=1e-12), name


def test_a_batch_is_its_shafts() -> None:
    oars = [shaft({"at": at, "held_by": held, "wall": wall}) for at, held, wall in (
        ("1.00 m", "pin", "1.2 mm"), ("1.30 m", "nothing", "2 mm"), ("1.55 m", "pin", "1.6 mm"))]  # fmt: skip
    together = engine.run(loaded(stack(oars)))
    for i, oar in enumerate(oars):
        for alone, row in zip(engine.run(loaded(oar)), together, strict=True):
            assert alone.check == row.check
            assert np.array_equal(alone.use, row.use[i], equal_nan=True), row.check


TAPER = {"section": [{"at": "0 mm", "across": "46 mm"}, {"at": "0.70 m", "across": "46 mm"},
                     {"at": "1.88 m", "across": "20 mm"}]}  # fmt: skip


def test_moving_outboard_on_a_fine_taper_can_be_worse() -> None:
    """On 46 to 20 mm the section goes faster than the moment does: away from the lock is not always better."""
    names = ("takedown, inner half, wood inside", "takedown, outer half, wood inside")
    near, far = (worst(loaded(shaft({"at": at, "overlap": "120 mm", "pin_diameter": "4 mm"}, **TAPER))) for at in (
        "1.10 m", "1.55 m"))  # fmt: skip
    assert all(far[name] > near[name] for name in names)
    even_near, even_far = (worst(loaded(shaft({"at": at, "overlap": "120 mm"}))) for at in ("1.10 m", "1.55 m"))
    assert all(even_far[name] < even_near[name] for name in names)


def test_where_it_touches_the_tube_of_the_other_half_too() -> None:
    inner = the(shaft({**TUBE_ON_ONE, "form": "tube on the inner half"}))
    outer = the(shaft(TUBE_ON_ONE))
    assert (float(inner.inner), float(inner.outer)) == pytest.approx((0.150, 0.190))
    assert (float(outer.inner), float(outer.outer)) == pytest.approx((0.190, 0.150))
    assert float(outer.start) == pytest.approx(1.30 - 0.190)
    assert float(outer.end) == pytest.approx(1.30 + 0.150)


def test_a_stiffer_mouth_a_looser_fit_and_a_wet_seat_are_worse() -> None:
    name = "takedown, inner half, wood inside"
    square, tapered, lined = (worst(loaded(shaft({"mouth": m})))[name] for m in ("square", "tapered", "lined"))
    assert square / tapered == pytest.approx(1.5 / 1.25, rel=1e-3)
    assert lined == tapered
    name = "takedown, inner half, bearing (loose)"
    uses = [worst(loaded(shaft({"clearance": c})))[name] for c in ("0 mm", "0.1 mm", "0.3 mm", "1 mm")]
    assert uses == sorted(uses)
    assert uses[1] > 1.2 * uses[0]
    name = "takedown, inner half, bearing"
    wet, dry = (worst(loaded(shaft({"stays_wet": w, "clearance": "0 mm"})))[name] for w in ("yes", "no"))
    assert wet > 1.3 * dry


def test_swelling_closes_what_it_can() -> None:
    name = "takedown, inner half, bearing"
    tight, closes, never = (worst(loaded(shaft({"clearance": c})))[name] for c in ("0 mm", "0.3 mm", "4 mm"))
    assert closes == tight
    assert never > tight


def test_a_gap_leaves_the_push_to_the_pins() -> None:
    met, open_ = (found(loaded(shaft({"gap": g}))) for g in ("0 mm", "5 mm"))
    push = [c.key for c in loaded(shaft()).cases].index("push up")
    assert float(met["takedown, ends pressed"].demand[push].max()) > 0.0
    assert float(open_["takedown, ends pressed"].demand[push].max()) == 0.0
    assert float(open_["takedown, pin shear"].demand[push].max()) > float(met["takedown, pin shear"].demand[push].max())


# ---------------------------------------------------------------------------------------------------- the tube's values


@pytest.mark.parametrize(
    ("tube", "lacks"),
    [
        ("glass laminate G10 or FR4", {"tube shear"}),
        ("glass, pultruded", {"tube shear", "tube buckling"}),
        ("carbon, pultruded tube", {"tube mouth", "swollen wood", "tube buckling", "pin on the tube"}),
    ],
)
def test_a_value_that_the_tube_lacks_is_not_known(tube: str, lacks: set[str]) -> None:
    oar = shaft({"tube": tube})
    rows = {r.check.removeprefix("takedown, "): r for r in engine.run(loaded(oar)) if r.check.startswith("takedown")}
    assert {name for name, r in rows.items() if not r.known} == lacks
    assert all("tube" in rows[name].unknown for name in lacks)
    assert not engine.holds(list(rows.values()))


@pytest.mark.parametrize(
    ("tube", "along"),
    [("aluminium 6061-T6", 241.3), ("stainless steel 304, annealed", 206.8), ("brass C260, annealed", 103.4)],
)
@pytest.mark.source("49 CFR 178.46 Table 2; MIL-T-8504B Table II")
def test_a_metals_limits(tube: str, along: float) -> None:
    j = the(shaft({"tube": tube}))
    assert float(j.strength) / 1e6 == pytest.approx(along / 1.5, abs=0.05)
    assert float(j.strength_across) == float(j.strength)
    assert float(j.strength_shear) == pytest.approx(float(j.strength) / math.sqrt(3.0))


def test_a_tube_without_any_value_settles_nothing() -> None:
    oar = shaft()
    nothing = dict.fromkeys(("strength", "strength_across", "strength_shear", "endurance", "modulus"), np.nan)
    rows = {r.check: r for r in engine.run(loaded(with_joint(oar, **nothing)))}
    unknown = {name for name, r in rows.items() if not r.known}
    assert {f"takedown, {name}" for name in (*takedown.OF_THE_TUBE, "pin on the tube", "tube at the pin")} == unknown


def test_weaker_than_nothing_is_never_met() -> None:
    rows = worst(loaded(with_joint(shaft(), strength=0.0, strength_across=-1.0, strength_shear=0.0, endurance=0.0)))
    for name in ("tube bending", "tube shear", "tube mouth", "tube in long use", "pin on the tube"):
        assert rows[f"takedown, {name}"] == np.inf


# ------------------------------------------------------------------------------------------------------------ odd files


def test_a_whole_sleeves_length_is_not_its_overlap() -> None:
    text = faults({"overlap": None, "sleeve_length": "380 mm"})
    assert "ONE half" in text
    assert "sixteenfold" in text
    assert "overlap" in text
    assert "needed: the engaged length of ONE half" in faults({"overlap": None})
    assert "come to 380 mm" in faults({"sleeve_length": "500 mm"})
    assert float(the(shaft({"sleeve_length": "500 mm", "gap": "120 mm"})).gap) == pytest.approx(0.12)


@pytest.mark.parametrize(
    ("joint", "words"),
    [
        ({"form": "tube on the inner half"}, "fixed_length: needed"),
        ({"form": "tube on the inner half", "fixed_length": "150 mm"}, "spigot_size: needed"),
        ({"fixed_length": "150 mm"}, "a sleeve over both halves"),
        ({"tube": "unobtainium"}, "no tube material named"),
        ({"pin_of": "cheese"}, "no tube material named"),
        ({"pin_diameter": None}, "pin_diameter: needed"),
        ({"pin_through": None}, "pin_through: needed"),
        ({"held_by": "button"}, "button_depth: needed"),
        ({"held_by": "button", "button_depth": "60 mm"}, "deeper than the wood"),
        ({"pin_diameter": "20 mm"}, "more than 0.4"),
        ({"at": "1.80 m"}, "does not lie between"),
        ({"at": "0.10 m"}, "does not lie between"),
        ({"spigot_size": "46 mm"}, "more than the shaft's least size"),
        ({"wall": None}, "wall: needed"),
        ({"tube": None}, "tube: needed"),
        ({"mouth": None}, "mouth: needed"),
    ],
)
def test_faults(joint: dict[str, Any], words: str) -> None:
    key, _, rest = words.partition(": ")
    text = faults(joint)
    assert (rest or key) in text
    if rest:
        assert key in text


def test_unknown_ways_are_each_tried() -> None:
    a = answer_doc(doc({"held_by": "unknown (pin, nothing)"}), "test")
    assert a.state != "HOLDS"
    both = answer_doc(doc({"mouth": "unknown", "stays_wet": "unknown"}), "test")
    assert both.state in ("HOLDS", "FALLS SHORT", "NOT SETTLED")


def test_assumptions_are_printed() -> None:
    a = answer_doc(doc(), "test")
    text = " ".join(say(words) for words in a.oars[-1].assumptions)
    for words in ("least size of the shaft", "0.3 mm of clearance", "stays wet", "stainless steel 304", "wood ends"):
        assert words in text


def test_a_good_one_holds() -> None:
    """Thick enough, long enough, well pinned and dry: every comparison of the joint is known and met."""
    good = {"overlap": "260 mm", "clearance": "0.05 mm", "stays_wet": "no", "pin_diameter": "6 mm", "pins": "3",
            "pin_stands": "mid-overlap", "wall": "2.5 mm"}  # fmt: skip
    fat = {"section": [{"at": "0 mm", "across": "50 mm"}, {"at": "1.88 m", "across": "50 mm"}]}
    rows = worst(loaded(shaft(good, **fat)))
    assert {name: use for name, use in rows.items() if not use <= 1.0} == {}
    assert answer_doc(doc(good, **fat), "test").state == "HOLDS"


# ----------------------------------------------------------------------------------------------------- told and changed


def test_notes() -> None:
    beam = loaded(shaft({"clearance": "0.4 mm"}))
    text = "\n".join(say(n.text) for n in TAKEDOWN.told(beam, the(beam.shaft)))
    assert f"plays {math.ceil(10 * 2 * 0.4 / 190 * 1100) / 10:g} mm each way" in text
    assert "swells" in text
    assert "it will jam" in text
    assert "zinc" not in text
    one = loaded(shaft({**TUBE_ON_ONE, "tube": "brass C260, annealed"}))
    text = "\n".join(say(n.text) for n in TAKEDOWN.told(one, the(one.shaft)))
    assert "zinc" in text
    assert "low trust" in text
    short = loaded(shaft({"overlap": "100 mm"}))
    assert any("3 to 6 diameters" in n.text.text for n in TAKEDOWN.told(short, the(short.shaft)))
    assert not any("3 to 6 diameters" in n.text.text for n in TAKEDOWN.told(beam, the(beam.shaft)))


def test_variants() -> None:
    oar = shaft({"mouth": "square"}, **TAPER)
    ways = {say(words): j for words, j in TAKEDOWN.variants(oar, the(oar), 0.1) if isinstance(j, Takedown)}
    assert 'a tapered or lined mouth (mouth = "tapered")' in ways
    out = ways["the takedown moved 100 mm outboard"]
    assert float(out.at) == pytest.approx(1.40)
    assert float(out.end) == pytest.approx(1.59)
    assert float(out.size) == pytest.approx(0.046 - 0.026 * (1.59 - 0.70) / 1.18 - 0.0001)
    for words, j in ways.items():
        rows = worst(loaded(replace(oar, joints=(j,))))
        assert set(rows) == set(takedown.DECLARES), words


def test_keys_read_as_their_examples() -> None:
    kind = JOINTS["takedown"]
    for name, key in kind.keys.items():
        assert key.example, name
        if key.choices:
            assert key.example in key.choices
        if key.assume is not None:
            assert key.why
