"""Every check of a scarf has twins: each wood, the glue line pulled and sheared, what it is glued with, its place."""

from __future__ import annotations

from typing import Any

import pytest
from test_shaftfile import PLAIN, Doc, edit
from test_twins import EASY, STRONG
from twins import Change, assert_twins, twins

from shaftcheck.answer import answer_doc
from shaftcheck.checks.scarf_uses import DECLARES

GOOD: Doc = {"kind": "scarf", "middle": "1.30 m", "slope": "1:12", "cut_through": "fore and aft", "outer_tip_on": "aft",
             "glue": "resorcinol", "sample_broken": "yes"}  # fmt: skip
FAT_AT_THE_LOCK = [{"at": at, "across": size} for at, size in (
    ("0 mm", "46 mm"), ("0.3 m", "64 mm"), ("0.75 m", "64 mm"), ("1.05 m", "46 mm"), ("1.92 m", "46 mm"))]  # fmt: skip
BENDS = {"bending_12": "90 MPa", "bending_green": "60 MPa"}
SPLITS = {"shear_12": "5 MPa", "shear_green": "5 MPa"}
PULL = ("rower.greatest_pull", 50.0, 3000.0, "N")
LIGHT = (*EASY[:3], EASY[4], ("oar.water_off_axis", "0 mm"))
PUSHED = (*EASY, ("rower.strength", "trained"), ("oar.water_off_axis", "0 mm"))


def scarfed(joint: Doc, weak: Doc, side: str, *changes: tuple[str, Any]) -> Doc:
    """Return a file with a good scarf in strong wood, weakened in what is told, on one side of it or on both."""
    woods = {"inner": ("weak", "strong"), "outer": ("strong", "weak"), "both": ("weak", "weak")}[side]
    rows = [{"of": woods[0], "runout": "1:20", "to": "1.30 m"}, {"of": woods[1], "runout": "1:20"}]
    return edit(
        PLAIN,
        ("section", FAT_AT_THE_LOCK),
        ("own_wood", {"strong": STRONG, "weak": {**STRONG, **weak}}),
        ("wood", rows),
        ("joint", [{**GOOD, **joint}]),
        *changes,
    )


def strokes(hard: int, start: int) -> tuple[tuple[str, str], ...]:
    return (("rower.hard_pull", f"{hard} N"), ("rower.start_pull", f"{start} N"), ("rower.greatest_pull", f"{start} N"),
            *LIGHT[3:])  # fmt: skip


def placed(doc: Doc, at: str) -> Doc:
    """The scarf elsewhere, and with it the place where its woods meet."""
    return edit(doc, ("joint.0.middle", at), ("wood.0.to", at))


def beside_another(doc: Doc, at: str) -> Doc:
    both = placed(doc, at)
    return edit(both, ("joint", [*both["joint"], {**GOOD, "middle": "0.75 m"}]))


SHORT = {"slope": "1:8"}
Case = tuple[Doc, Doc, str, tuple[tuple[str, Any], ...], tuple[Change, float, float, str], tuple[str, ...]]
"""what the scarf is, what the wood is, where it is weak, what else, what is varied, what can't but fail with it"""
CASES: dict[str, Case] = {
    "inner wood": ({}, BENDS, "inner", LIGHT, PULL, ()),
    "inner wood, life": ({}, BENDS, "inner", strokes(340, 440), ("rower.steady_pull", 20.0, 339.0, "N"), ()),
    "inner wood, pressed": ({}, {"bending_green": "20 MPa"}, "inner", PUSHED, ("own_wood.weak.bending_12", 20.0, 250.0,
        "MPa"), ()),
    "outer wood": ({}, BENDS, "outer", LIGHT, PULL, ()),
    "outer wood, life": ({}, BENDS, "outer", strokes(340, 440), ("rower.steady_pull", 20.0, 339.0, "N"), ()),
    "outer wood, pressed": ({}, {"bending_green": "20 MPa"}, "outer", PUSHED, ("own_wood.weak.bending_12", 20.0, 250.0,
        "MPa"), ()),
    "glue pulled": (SHORT, {**SPLITS, "tension_across_12": "2 MPa", "tension_across_green": "2 MPa"}, "outer", LIGHT,
        PULL, ()),
    "glue sheared": ({"outer_tip_on": "forward"}, SPLITS, "outer", (*LIGHT, ("duty.strokes", "1000")), PULL, ()),
    "glue pulled, pressed": (SHORT, {"shear_green": "1 MPa", "tension_across_12": "5 MPa", "tension_across_green":
        "5 MPa"}, "outer", PUSHED, ("own_wood.weak.shear_12", 1.0, 40.0, "MPa"), ()),
    "glue sheared, pressed": ({"slope": "1:16"}, {"shear_green": "1 MPa", "tension_across_12": "20 MPa",
        "tension_across_green": "20 MPa"}, "outer", PUSHED, ("own_wood.weak.shear_12", 1.0, 20.0, "MPa"),
        ("glue pulled, pressed",)),
    "clear of the lock": ({}, {}, "both", LIGHT, (placed, 750.0, 1300.0, "mm"), ()),
    "clear of other joints": ({}, {}, "both", (*LIGHT, ("rig.lock", "280 mm")), (beside_another, 1100.0, 1600.0, "mm"),
        ()),
}  # fmt: skip


def case_of(what: str) -> tuple[Doc, tuple[Change, float, float, str], tuple[str, ...]]:
    joint, weak, side, changes, varied, beside = CASES[what]
    return scarfed(joint, weak, side, *changes), varied, tuple(f"scarf, {b}" for b in beside)


@pytest.mark.parametrize("what", CASES)
def test_scarf(what: str) -> None:
    doc, varied, beside = case_of(what)
    # a push bends both ways, and a pulled line bears a little less than a sheared one
    apart = 0.08 if what == "glue sheared, pressed" else 1e-3
    found = twins(doc, f"scarf, {what}", *varied, apart=apart)
    assert_twins(found, f"scarf, {what}", beside=beside, leaps="clear of" in what)


def test_glue_and_bonding_that_are_outside_the_method_are_not_settled() -> None:
    good = scarfed({}, {}, "both", *LIGHT)
    assert answer_doc(good, "good").state == "HOLDS"
    for what, doc in (
        ("scarf, glue kind", edit(good, ("joint.0.glue", "PVA"))),
        ("scarf, bonding", edit(good, ("joint.0.sample_broken", "no"), ("own_wood.weak.bonding", "with difficulty"))),
    ):
        a = answer_doc(doc, "open")
        assert a.state == "NOT SETTLED"
        assert {line.check for line in a.oars[0].lines if not line.known} == {what}


def test_every_check_of_a_scarf_has_twins() -> None:
    assert {f"scarf, {what}" for what in CASES} | {"scarf, glue kind", "scarf, bonding"} == set(DECLARES)
