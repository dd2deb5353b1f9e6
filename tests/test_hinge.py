"""The hinged rig: what goes to its pins and mounting, against free bodies that sympy solves."""

from __future__ import annotations

import re
from dataclasses import replace
from typing import Any

import numpy as np
import pytest
import sympy as sp
import sympy.physics.continuum_mechanics.beam
from hypothesis import given, settings
from hypothesis import strategies as st
from test_shaftfile import HINGED, PLAIN, edit

from shaftcheck.answer import answer_doc
from shaftcheck.beam import Beam, density, mesh
from shaftcheck.border.assemble import assemble
from shaftcheck.border.shaftfile import read
from shaftcheck.border.wood_cards import model_wood
from shaftcheck.border.woods import find
from shaftcheck.checks import bolt, dowel, grip
from shaftcheck.errors import InputError
from shaftcheck.loads import loaded
from shaftcheck.loads.mounting import mounting
from shaftcheck.model import Hinged, Shaft, number
from shaftcheck.show.record import record
from shaftcheck.show.table import full

Doc = dict[str, Any]
RIGGED = edit(HINGED, ("rig.link_arm", "45 mm"))


def built(doc: Doc) -> Shaft:
    reading = read(doc, "test")
    return assemble(reading, {e.path: e.value for e in reading.entries.values() if e.value is not None}).shaft


def beam_of(doc: Doc) -> Beam:
    return loaded(built(doc))


# ----------------------------------------------------------------------------------------- what goes to the mounting


def free_bodies(pull: float, a: float, b: float, s: float, r: float, reach: float) -> dict[str, float]:
    """Both halves as free bodies in plan, every force a vector at its place, solved by sympy.

    The inner pin is the origin, the outer at (s, 0), x outboard, y forward. The hand pulls aft, the water pushes the
    blade forward. The link's line passes the inner pin at the distance `reach` outboard of it, and the outer pin at
    reach / r inboard of it, which fixes its direction: parallel to the pull for two gears, else aslant.
    """
    t, ax, ay, bx, by, w = sp.symbols("T A_x A_y B_x B_y F_b")
    cos = reach * (1.0 + 1.0 / r) / s
    across = sp.Matrix([cos, sp.sqrt(max(1.0 - cos * cos, 0.0))])
    way = sp.Matrix([-across[1], across[0]])
    on_line = across * reach  # the foot of the inner pin on the link's line

    def turn(about: sp.Matrix, at: sp.Matrix, force: sp.Matrix) -> Any:
        arm = at - about
        return arm[0] * force[1] - arm[1] * force[0]

    inner, outer = sp.Matrix([0, 0]), sp.Matrix([s, 0])
    hand, blade = sp.Matrix([-a, 0]), sp.Matrix([s + b, 0])
    halves = (
        ((hand, sp.Matrix([0, -pull])), (on_line, -t * way), (inner, sp.Matrix([ax, ay]))),
        ((blade, sp.Matrix([0, w])), (on_line, t * way), (outer, sp.Matrix([bx, by]))),
    )
    equations = []
    for body in halves:
        total = sum((f for _, f in body), sp.zeros(2, 1))
        equations += [total[0], total[1], sum(turn(inner, at, f) for at, f in body)]
    (found,) = sp.solve(equations, [t, ax, ay, bx, by, w], dict=True)
    value = {k.name: float(v) for k, v in found.items()}
    return {
        "T": abs(value["T"]),
        "A": float(np.hypot(value["A_x"], value["A_y"])),
        "B": float(np.hypot(value["B_x"], value["B_y"])),
        "C": abs(s * value["B_y"]),  # of both pins on what carries them, about the inner
        "F_b": value["F_b"],
    }


def of_stroke(beam: Beam, key: str = "once") -> tuple[dict[str, float], dict[str, float]]:
    """What the package says of one stroke, and the free bodies' answer to the same lengths."""
    rig, i, m = beam.shaft.rig, beam.case(key), mounting(beam)
    assert isinstance(rig, Hinged)
    a, b = float(rig.inner_pin - rig.hand), float(beam.shaft.blade.centre - rig.outer_pin)
    ours = {"T": m.link, "A": m.inner_pin, "B": m.outer_pin, "C": m.couple, "F_b": m.water}
    pull = float(beam.cases[i].pull)
    there = free_bodies(pull, a, b, float(rig.spacing), float(rig.ratio), float(rig.link_arm))
    return {k: float(v[i]) for k, v in ours.items()}, there


@pytest.mark.source("the same rig in round numbers, worked by a solve of four equations of equilibrium")
def test_a_rig_of_round_numbers() -> None:
    """300 N at 0.75 m, blade at 1.60 m, gears of 40 mm on pins 80 mm apart: nineteen times the handle force."""
    round_ones = {"T": 5625.0, "A": 5925.0, "B": 5765.625, "F_b": 140.625, "C": 461.25}
    doc = edit(RIGGED, ("rig.inner_pin", "0.82 m"), ("rig.hand", "70 mm"), ("rig.inner_ends", "0.90 m"),
               ("rig.outer_pin", "0.95 m"), ("oar.length", "2.73 m"), ("rig.pin_spacing", "80 mm"),
               ("rig.link_ratio", 1.0), ("rig.link_arm", "40 mm"), ("rower.greatest_pull", "300 N"),
               ("section.5.at", "2.19 m"))  # fmt: skip
    ours, there = of_stroke(beam_of(doc))  # the blade's centre: 2.73 - 0.54 / 3 = 2.55 m, 1.60 m from the pin
    for key, value in round_ones.items():
        assert ours[key] == pytest.approx(value, rel=1e-9)
        assert there[key] == pytest.approx(value, rel=1e-9)


@pytest.mark.source("equilibrium of both halves as free bodies, solved by sympy; a rod aslant between its two arms")
@given(st.floats(0.3, 3.0), st.floats(0.03, 0.9), st.floats(0.1, 1.0), st.sampled_from(("once", "steady", "back")))
@settings(max_examples=15, deadline=None)
def test_link_pins_and_mounting_of_any_rig(ratio: float, spacing: float, part: float, key: str) -> None:
    """Link and couple exactly, whatever the link; the pins too where it is parallel to the pull, else no more."""
    gears = spacing * ratio / (1.0 + ratio)
    oar = built(RIGGED)
    assert isinstance(oar.rig, Hinged)
    for reach in (gears, gears * part):
        told = {"ratio": number(ratio), "spacing": number(spacing), "link_arm": number(reach)}
        ours, there = of_stroke(loaded(replace(oar, rig=replace(oar.rig, **told))), key)
        if key == "back":
            there["F_b"] = abs(there["F_b"])
        for k in ("T", "C", "F_b"):
            assert ours[k] == pytest.approx(there[k], rel=1e-9), k
        for k in ("A", "B"):
            assert ours[k] >= there[k] * (1 - 1e-9), k
            if reach == gears:
                assert ours[k] == pytest.approx(there[k], rel=1e-6), k


def test_the_mounting_in_the_answer() -> None:
    a = answer_doc(RIGGED, "rig")
    m = record(a)["oars"][0]["on_the_mounting"]
    once = next(c for c in m["cases"] if c["case"] == "once")
    assert once["link"]["value"] == pytest.approx(400.0 * 0.570 / 0.045, rel=1e-9)
    couples = [c["couple_about_the_inner_pin"]["value"] for c in m["cases"]]
    assert couples == sorted(couples, reverse=True)
    text = " ".join(full(a).split())
    assert "many times the handle force" in text
    assert m["cases"][0]["title"] in text
    assert once["pin_over_pull"]["value"] == pytest.approx(1.0 + 0.570 / 0.045, rel=1e-9)


@pytest.mark.parametrize("arm", [None, "unknown", "unknown (30 mm to 60 mm)"])
def test_a_link_of_unknown_arm_is_named_and_bars_nothing(arm: str | None) -> None:
    """The couple on the mounting is known whatever the link is like."""
    known, dark = answer_doc(RIGGED, "rig"), answer_doc(edit(RIGGED, ("rig.link_arm", arm)), "rig")
    assert dark.state == known.state
    assert not dark.unknowns
    a, b = (record(x)["oars"][0]["on_the_mounting"]["cases"] for x in (known, dark))
    assert [c["couple_about_the_inner_pin"] for c in a] == [c["couple_about_the_inner_pin"] for c in b]
    for c in b:
        assert all(c[k] == {"value": None, "unit": "N", "why": "not known"} for k in ("link", "inner_pin", "outer_pin"))
    text = " ".join(full(dark).split())
    assert "link and of both pins are not known" in text
    assert "many times the handle force" in text
    assert "not known" not in " ".join(" ".join(w) for w in [known.oars[0].mounted.words])  # type: ignore[union-attr]


def test_an_oar_in_a_lock_has_no_mounting() -> None:
    a = answer_doc(PLAIN, "oar")
    assert record(a)["oars"][0]["on_the_mounting"] is None
    assert "on the mounting" not in full(a)


# ------------------------------------------------------------------------------------------- bolts through the shaft

BOLTED = edit(
    RIGGED, ("rig.bolts", "through"), ("rig.bolt_diameter", "6 mm"), ("rig.bolts_run", "up and down"),
    ("rig.inner_bolt_from_end", "60 mm"), ("rig.outer_bolt_from_end", "60 mm"),
)  # fmt: skip
STOUT = edit(
    BOLTED, ("section", [{"at": "0 mm", "across": "70 mm"}, {"at": "1.92 m", "across": "60 mm"}]),
    ("wood.0.of", "White ash"), ("rig.cradle_stays_wet", "no"), ("rig.bolt_diameter", "8 mm"),
    ("rig.inner_cradle", "200 mm"), ("rig.inner_pin", "600 mm"),
    ("rig.outer_cradle", "240 mm"), ("rig.outer_pin", "800 mm"),
)  # fmt: skip
"""bolted through, and far from any limit"""
BOLT_KEYS = ("bolt_diameter", "bolts_run", "inner_bolt_from_end", "outer_bolt_from_end")


@pytest.mark.source("NDS Table 12.3.3, dowel bearing strengths, specific gravity 0.50 and 0.42 (from memory)")
@pytest.mark.parametrize(
    ("gravity", "along", "across"),
    [(0.50, 5600.0, {0.5: 3150.0, 0.625: 2800.0, 0.75: 2600.0, 1.0: 2250.0}), (0.42, 4700.0, {0.5: 2450.0})],
)
def test_dowel_bearing_as_printed(gravity: float, along: float, across: dict[float, float]) -> None:
    psi = 6894.757293168361
    assert bolt.dowel_along(G=number(gravity), c=bolt.DOWEL_ALONG) / psi == pytest.approx(along, abs=50.0)
    for inches, printed in across.items():
        got = bolt.dowel_across(G=number(gravity), d=number(inches * 0.0254), c=bolt.DOWEL_ACROSS) / psi
        assert got == pytest.approx(printed, abs=50.0)


@pytest.mark.source("Hankinson's formula at 0, 45 and 90 degrees: P, 2 P Q / (P + Q), Q (any text on timber)")
def test_dowel_bearing_aslant() -> None:
    p, q = number(30e6), number(20e6)
    for angle, expected in ((0.0, 30e6), (45.0, 24e6), (90.0, 20e6)):
        f, n = number(np.sin(np.radians(angle))), number(np.cos(np.radians(angle)))
        assert bolt.dowel_aslant(f_1=p, f_2=q, F=f, N=n) == pytest.approx(expected, rel=1e-9)


@pytest.mark.source("section integrals over a grid of an oval with a slot")
def test_what_a_bolts_hole_leaves() -> None:
    """An oval of 52 by 46 mm, a hole of 7.6 mm; the strip is taken whole, so a little more is taken than there is."""
    deep, wide, hole = 0.052, 0.046, 0.0076
    z, y = np.meshgrid(np.linspace(-deep / 2, deep / 2, 1601), np.linspace(-wide / 2, wide / 2, 1601), indexing="ij")
    inside = (2 * z / deep) ** 2 + (2 * y / wide) ** 2 <= 1.0
    for through, size, square in ((z, deep, y), (y, wide, z)):
        kept = inside & (np.abs(square) > hole / 2)
        whole = (through**2)[inside].sum(), (square**2)[inside].sum()
        left = (through**2)[kept].sum() / whole[0], (square**2)[kept].sum() / whole[1]
        second = np.pi * np.array([size**3 * (wide if size == deep else deep), (wide * deep / size) ** 3 * size]) / 64
        along = dowel.second_left(w=number(hole), h=number(size), I=number(second[0]))
        across = dowel.second_left(w=number(size), h=number(hole), I=number(second[1]))
        assert along == pytest.approx(left[0], abs=0.01)
        assert along <= left[0]
        assert across == pytest.approx(left[1], abs=0.002)


@pytest.mark.source("a beam on two supports, by sympy: the half touches its cradle at mouth and bolt alone")
def test_what_a_bolt_holds_at_most() -> None:
    """The hand's pull on a beam whose supports are the mouth and the bolt: the far one's reaction is the bolt's."""
    beam = beam_of(BOLTED)
    rig = beam.shaft.rig
    assert isinstance(rig, Hinged)
    hand, mouth, at = (sp.Rational(str(float(v))) for v in (rig.hand, rig.inner_from, rig.inner_bolt))
    e, i = sp.symbols("E I", positive=True)
    solver = sp.physics.continuum_mechanics.beam.Beam(at - hand, e, i)
    r1, r2 = sp.symbols("R_1 R_2")
    solver.apply_load(400, 0, -1)
    solver.apply_load(r1, mouth - hand, -1)
    solver.apply_load(r2, at - hand, -1)
    solver.bc_deflection = [(mouth - hand, 0), (at - hand, 0)]
    solver.solve_for_reaction_loads(r1, r2)
    (found,) = (u for u in bolt.bolts(beam, beam.at(mesh(beam.shaft))) if u.check == "inner cradle, bolt on the wood")
    assert float(found.demand[beam.case("once"), 0]) == pytest.approx(float(solver.reaction_loads[r2]), rel=1e-6)


@pytest.mark.source(
    "Wood Handbook Table 5-3: two printings of a gravity; NDS 12.3.3, dowel bearing rises with it (memory)"
)
def test_of_two_printed_gravities_a_bolt_presses_on_the_lower_and_the_higher_weighs() -> None:
    wood = model_wood(find("Black spruce"))
    assert float(wood.least_gravity) < 0.97 * float(wood.gravity)
    oar = beam_of(BOLTED).shaft
    uses = []
    for least in (wood.gravity, wood.least_gravity):
        pieces = tuple(replace(p, wood=replace(p.wood, gravity=wood.gravity, least_gravity=least)) for p in oar.pieces)
        beam = loaded(replace(oar, pieces=pieces))
        (found,) = (u for u in bolt.bolts(beam, beam.at(mesh(oar))) if u.check == "inner cradle, bolt on the wood")
        uses.append(float(np.max(found.use)))
    part = float(wood.least_gravity / wood.gravity)
    assert 1.01 * uses[0] < uses[1] <= uses[0] / part**1.45 * (1 + 1e-9)


def test_the_stout_one_holds_so_that_what_follows_proves_something() -> None:
    assert answer_doc(STOUT, "rig").state == "HOLDS"


def test_bolts_are_checked_only_where_they_go_through() -> None:
    names = {line.check for line in answer_doc(RIGGED, "rig").oars[0].lines}
    assert not any("bolt" in name for name in names)
    more = {line.check for line in answer_doc(BOLTED, "rig").oars[0].lines} - names
    assert more == set(bolt.declared(built(BOLTED)))
    assert len(more) == 15


@pytest.mark.parametrize("key", BOLT_KEYS)
def test_a_bolt_of_which_something_is_not_told(key: str) -> None:
    """Told to go through: an error. Perhaps going through: not settled, for what is missing."""
    lacking = edit(BOLTED, (f"rig.{key}", None))
    with pytest.raises(InputError, match=f"rig.{key}: needed where bolts go through"):
        answer_doc(lacking, "rig")
    stout = edit(STOUT, (f"rig.{key}", None), ("rig.bolts", "unknown"))
    a = answer_doc(stout, "rig")
    assert a.state == "NOT SETTLED"
    beside = edit(stout, ("rig.bolts", "beside"), *((f"rig.{k}", None) for k in BOLT_KEYS))
    assert answer_doc(beside, "rig").state == "HOLDS"


# ---------------------------------------------------------------------------------------------- the grip of a cradle


def slips_at(along: float, torque: float, still: float, radius: float, friction: float, clamp: float) -> float:
    """Factor on the loads at which a half slips, by the kinematic theorem: the least over all ways to slip.

    It slips along by cos(way) while it turns so that its surface moves by sin(way); each of two seats, pressed with
    the clamp's force, takes up friction over the way that the surface goes. The weight pulls along and is not scaled.
    """
    way = np.linspace(1e-6, np.pi / 2.0 - 1e-6, 200001)
    spent = 2.0 * friction * clamp * np.hypot(np.cos(way), np.sin(way)) - still * np.cos(way)
    brought = along * np.cos(way) + torque / radius * np.sin(way)
    return float((spent / brought).min())


@pytest.mark.source(
    "kinematic theorem of limit analysis, Chen & Han, Plasticity for Structural Engineers (from memory)"
)
@pytest.mark.parametrize("off_axis", [0.0, 0.03, 0.15])
def test_a_half_slips_where_the_least_way_to_slip_takes_up_no_more(off_axis: float) -> None:
    """Statics by hand: the hand's slant, the push, the water's torque and the weight of each half."""
    doc = edit(
        STOUT, ("oar.water_off_axis", f"{off_axis} m"), ("rig.clamp_force", "900 N"), ("oar.blade_weight", "500 g")
    )
    beam = beam_of(doc)
    found = {u.check: u for u in grip.grips(beam, beam.at(mesh(beam.shaft)))}
    once, push, lift = beam.case("once"), beam.case("push up"), beam.case("lift")
    pull, pushed = float(beam.shaft.rower.once), float(beam.shaft.rower.push)
    across = lambda x: 0.070 - 0.010 * x / 1.92  # noqa: E731
    ash = float(density(beam.shaft.pieces[0]))

    def weight(a: float, b: float) -> float:
        """Of a cone frustum."""
        r, s = across(a) / 2.0, across(b) / 2.0
        return ash * 9.80665 * np.pi / 3.0 * (b - a) * (r * r + r * s + s * s)

    inner, outer = weight(0.0, 0.690), weight(0.693, 1.92) + 0.5 * 9.80665
    neck, tip = 1.92, float(beam.shaft.blade.tip)
    water = pull * (0.600 - 0.070) / (0.9 * ((tip + neck) / 2.0 - 0.800))
    for name, case, along, torque, still, size in (
        ("inner", once, np.tan(np.radians(20.0)) * pull, 0.0, inner, across(0.690)),
        ("inner", lift, 2.0 * inner, 0.0, 0.0, across(0.690)),
        ("outer", once, 0.0, water * off_axis, outer, across(0.693 + 0.240)),
        ("outer", push, pushed, 0.0, outer, across(0.693 + 0.240)),
        ("outer", lift, 2.0 * outer, 0.0, 0.0, across(0.693 + 0.240)),
    ):
        use = float(found[f"{name} cradle, grip"].use[case].max())
        if along == torque == 0.0:
            assert use == 0.0
            continue
        by_hand = 1.0 / slips_at(along, torque, still, size / 2.0, 0.2, 900.0)
        assert use == pytest.approx(by_hand, rel=0.015)  # 0.36 for the slant's tangent


def test_what_a_clamp_of_no_force_holds() -> None:
    """Nothing: neither a bolt nor the seat's shape is credited, and the advice squeezes as much as grips."""
    for force in ("0 N", "1 N"):
        loose = answer_doc(edit(STOUT, ("rig.clamp_force", force)), "rig")
        assert loose.state == "FALLS SHORT"
        over = {line.check for line in loose.oars[0].lines if not line.met}
        assert over == {"inner cradle, grip", "outer cradle, grip"}
        assert "slips or turns in its cradle" in loose.oars[0].sentences[0]
        (force,) = (
            re.search(r"cradles that squeeze with (\d+ N)", a)[1] for a in loose.oars[0].advice if "squeeze" in a
        )
        assert answer_doc(edit(STOUT, ("rig.clamp_force", force)), "rig").state == "HOLDS"


def test_a_clamp_force_that_is_not_known_settles_nothing() -> None:
    assert answer_doc(edit(STOUT, ("rig.clamp_force", "unknown (100 N to 3000 N)")), "rig").state == "NOT SETTLED"
    with pytest.raises(InputError, match=r"rig\.clamp_force: needed"):
        answer_doc(edit(STOUT, ("rig.clamp_force", None)), "rig")


@pytest.mark.parametrize(("path", "bad", "good"), [("rig.inner_pin", "489 mm", "491 mm"),
                                                   ("rig.outer_pin", "934 mm", "932 mm")])  # fmt: skip
def test_a_pin_beside_the_free_shaft_is_refused(path: str, bad: str, good: str) -> None:
    with pytest.raises(InputError, match=f"{path}: beside the free shaft"):
        answer_doc(edit(STOUT, (path, bad)), "rig")
    assert answer_doc(edit(STOUT, (path, good)), "rig").oars


def test_bolts_that_can_not_be() -> None:
    for path, value, words in (
        ("rig.inner_bolt_from_end", "128 mm", "does not stand within its cradle"),
        ("rig.outer_bolt_from_end", "140 mm", "does not stand within its cradle"),
        ("rig.bolts", "beside", "no bolt goes through"),
    ):
        with pytest.raises(InputError, match=words):
            answer_doc(edit(BOLTED, (path, value)), "rig")


def test_a_bolt_that_runs_the_other_way_holds_the_other_moment() -> None:
    """Fore and aft it is not pushed by the stroke, but cuts the fibres that the stroke stretches."""
    a, b = (
        {u.check: u for u in bolt.bolts(beam, beam.at(mesh(beam.shaft)))}
        for beam in (beam_of(BOLTED), beam_of(edit(BOLTED, ("rig.bolts_run", "fore and aft"))))
    )
    i = beam_of(BOLTED).case("once")
    assert (
        b["outer cradle, bolt on the wood"].demand[i].max() < 0.2 * a["outer cradle, bolt on the wood"].demand[i].max()
    )
    assert b["outer cradle, wood at the bolt"].use[i].max() > 1.2 * a["outer cradle, wood at the bolt"].use[i].max()
