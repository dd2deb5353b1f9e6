"""The hinged rig: what goes to its pins and mounting, against free bodies that sympy solves."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import numpy as np
import pytest
import sympy as sp
from hypothesis import given, settings
from hypothesis import strategies as st
from test_shaftfile import HINGED, PLAIN, edit

from shaftcheck.answer import answer_doc
from shaftcheck.beam import Beam
from shaftcheck.border.assemble import assemble
from shaftcheck.border.shaftfile import read
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
