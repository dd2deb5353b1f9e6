"""Every check of a hinged rig has twins: a file just below its limit that holds, one just above that falls short."""

from __future__ import annotations

from typing import Any

import pytest
from test_flaws import HOLLOW, PLUGS, RIG
from test_hinge import STOUT, built
from test_shaftfile import Doc, edit
from test_twins import EASY, STRONG
from twins import assert_twins, twins

from shaftcheck.answer import answer_doc
from shaftcheck.checks import declared

TWINS: dict[str, tuple[Any, ...]] = {}
MUST = ("bolt from the end", "bolt from the edge")
"""rules of place: met or not, with nothing between"""
NOT_SETTLED = ("what the link is fixed to",)
OVAL = edit(STOUT, ("section", [{"at": at, "fore_and_aft": "80 mm", "up_and_down": "40 mm"}
                                for at in ("0 mm", "1.92 m")]), ("rig.bolt_diameter", "10 mm"),
            ("rig.inner_bolt_from_end", "75 mm"), ("rig.outer_bolt_from_end", "75 mm"))  # fmt: skip
ACROSS = edit(STOUT, ("rig.bolts_run", "fore and aft"), ("rig.bolt_diameter", "8.1 mm"))
THICK = edit(
    HOLLOW,
    ("section", [{**s, "wall": "29 mm"} for s in RIG["section"]]),
    ("rig.clamp_force", "1500 N"),
    ("rig.liner", "rubber"),
    ("rig.liner_thickness", "20 mm"),
)
PLUGGED = edit(HOLLOW, *PLUGS)
HOLLOW_WOOD = {"bending_12": "60 MPa", "bending_green": "55 MPa", "compression_12": "30 MPa", "compression_green":
               "28 MPa"}  # fmt: skip
LINED = (("rig.liner", "leather"), ("rig.liner_thickness", "3 mm"))
"""a mouth that raises bending less than what is to be seen near it"""
BULGED = [{"at": at, "across": size} for at, size in (("0 mm", "70 mm"), ("1.22 m", "63.6 mm"), ("1.293 m", "67 mm"),
                                                      ("1.92 m", "60 mm"))]  # fmt: skip
"""stouter at the mouth of a long outer cradle than at a bolt in it"""
ABRUPT = (*LINED, ("rig.plug_ends", "square"))
UNTWISTED = (("oar.water_off_axis", "0 mm"), ("rower.greatest_pull", "1400 N"))
"""the hand's slant asks more of the inner clamp than a push and the torque ask of the outer, which is as tight"""
PUSHED = (*EASY, ("rower.strength", "trained"), ("duty.strokes", "1000"))
"""nothing but the push off counts"""


def halves(which: str, doc: Doc, *changes: tuple[str, Any], **wood: str) -> Doc:
    """One half of a wood that is weak in what is told, the other of one that is strong in all."""
    names = ("mine", "other") if which == "inner" else ("other", "mine")
    woods = [{"of": name, "runout": "1:20"} for name in names]
    woods[0]["to"] = "691 mm"
    return edit(doc, ("own_wood", {"mine": {**STRONG, **wood}, "other": STRONG}), ("wood", woods), *changes)


def of(which: str) -> dict[str, tuple[Any, ...]]:
    """Return the twins of one cradle: file, what is varied, its ends, its unit; how far apart; what can't but fail."""
    name = f"{which} cradle"
    near = "185 mm" if which == "inner" else "199 mm"  # of the sawn end: close to the mouth
    half_way = "120 mm" if which == "inner" else "150 mm"
    at = f"rig.{which}_bolt_from_end"
    weak = "own_wood.mine."
    green = {"tension_across_green": "20 MPa"}
    lasting = ("780 N", "915 N", "1120 N") if which == "inner" else ("463 N", "542 N", "667 N")
    pull = ("rower.greatest_pull", 200.0, 5000.0, "N")
    rows: dict[str, tuple[Any, ...]] = {
        "bearing (stiff)": (halves(which, RIG, ("rig.liner", "rubber"), ("rig.liner_thickness", "20 mm"),
            (f"rig.{which}_cradle", "90 mm"), ("rig.inner_pin", "640 mm"), ("rig.outer_pin", "760 mm")),
            f"{weak}bearing_12", 0.31, 38.0, "MPa", 0.01, f"{name}, bearing (springy)"),
        "bearing (springy)": (halves(which, RIG), f"{weak}bearing_12", 0.31, 38.0, "MPa"),
        # the shaft's own shear is taken inside a cradle as on a stiff seat, too
        "inner shear": (halves(which, RIG, ("oar.water_off_axis", "0 mm")), f"{weak}shear_12", 1.0, 40.0, "MPa", 2e-3,
            "shear, stroke", "shear, up and down"),
        "splitting": (halves(which, RIG, ("rig.cradle_seat", "narrow"), **green), f"{weak}tension_across_12", 0.31,
            20.0, "MPa"),
        "standing clamp": (halves(which, RIG, *EASY, bearing_12="20 MPa"), "rig.clamp_force", 500.0, 99000.0, "N"),
        "grip": (halves(which, RIG, *(UNTWISTED if which == "inner" else ())), "rig.clamp_force", 1.0, 2000.0, "N"),
        "ring bending": (halves(which, THICK, **green), f"{weak}tension_across_12", 0.31, 20.0, "MPa"),
        "wood at the bolt": (halves(which, ACROSS, *LINED, (at, near), *EASY[:3], gravity_12="0.9"),
            f"{weak}bending_12", 8.0, 300.0, "MPa"),
        "wood at the bolt, life": (halves(which, ACROSS, *LINED, (at, near), ("rower.steady_pull", "265 N"),
            ("rower.hard_pull", "310 N"), ("rower.start_pull", "350 N"), gravity_12="0.9"), f"{weak}bending_12", 8.0,
            300.0, "MPa"),
        "shear at the bolt": (halves(which, OVAL, (at, half_way), gravity_12="0.9"), f"{weak}shear_12", 1.0, 40.0,
            "MPa"),
        "beside the mouth": (halves(which, RIG, *EASY[:3]), f"{weak}bending_12", 8.0, 300.0, "MPa"),
        "beside the mouth, life": (halves(which, RIG, ("rower.steady_pull", "265 N"), ("rower.hard_pull", "310 N"), (
            "rower.start_pull", "350 N")), f"{weak}bending_12", 8.0, 300.0, "MPa"),
        "bolt on the wood": (halves(which, OVAL), f"{weak}gravity_12", 0.05, 0.9, ""),
        "bolt bends over": (halves(which, STOUT), at, 57.0, 185.0, "mm"),
        "beside the plug": (halves(which, PLUGGED, *ABRUPT, *EASY[:3], **HOLLOW_WOOD), *pull),
        "beside the plug, life": (halves(which, PLUGGED, *ABRUPT, *zip(("rower.steady_pull", "rower.hard_pull",
            "rower.start_pull"), lasting, strict=True),
            **HOLLOW_WOOD), "duty.strokes", 1e3, 3e7, "strokes"),
    }  # fmt: skip
    if which == "outer":
        rows["wood at the bolt, pressed"] = (halves(which, ACROSS, *LINED, ("rig.outer_cradle", "600 mm"),
            (at, "530 mm"), ("section", BULGED), ("rig.clamp_force", "3000 N"),
            ("rig.bolt_diameter", "7.8 mm"), *PUSHED, gravity_12="1.2"),
            f"{weak}bending_12", 8.0, 300.0, "MPa")  # fmt: skip
        rows["beside the mouth, pressed"] = (
            halves(which, RIG, *PUSHED, ("rig.clamp_force", "3000 N")),
            f"{weak}bending_12",
            8.0,
            300.0,
            "MPa",
        )
        rows["beside the plug, pressed"] = (
            halves(which, PLUGGED, *PUSHED, ("rig.clamp_force", "3000 N"), ("section.0.wall", "10 mm"),
                   ("section.1.wall", "10 mm"), **HOLLOW_WOOD), "section.1.wall", 3.0, 20.0, "mm")  # fmt: skip
    return {f"{name}, {check}": row for check, row in rows.items()}


TWINS |= of("inner") | of("outer")


IN_EVERY_RUN = [c for c in TWINS if not c.startswith("inner")] + ["inner cradle, bearing (stiff)", "inner cradle, grip"]


@pytest.mark.parametrize(
    "check", [pytest.param(c, marks=[] if c in IN_EVERY_RUN else [pytest.mark.long]) for c in TWINS]
)
def test_cradles(check: str) -> None:
    doc, change, low, high, unit, *more = TWINS[check]
    apart = more[0] if more else 1e-3
    assert_twins(twins(doc, check, change, low, high, unit, apart=apart), check, beside=tuple(more[1:]))


FATTER_OUT = edit(STOUT, ("section.0.across", "60 mm"), ("section.1.across", "70 mm"))
PLACES: dict[str, tuple[Doc, str, str, str]] = {
    # an 8 mm bolt in ash: five diameters from the end
    **{f"{w} cradle, bolt from the end": (STOUT, f"rig.{w}_bolt_from_end", "40.01 mm", "39.99 mm")
       for w in ("inner", "outer")},
    # four from an edge: the shaft is 66.08 mm at the outer bolt; fattening outwards, 63.28 mm at the inner one
    "outer cradle, bolt from the edge": (STOUT, "rig.bolt_diameter", "8.25 mm", "8.27 mm"),
    "inner cradle, bolt from the edge": (FATTER_OUT, "rig.bolt_diameter", "7.90 mm", "7.92 mm"),
}  # fmt: skip


@pytest.mark.source("NDS Table 12.5.1: ends and edges in diameters of the bolt (from memory)")
@pytest.mark.parametrize("check", PLACES)
def test_rules_of_place(check: str) -> None:
    doc, path, good, bad = PLACES[check]
    holds, fails = (answer_doc(edit(doc, (path, value)), "twin") for value in (good, bad))
    assert holds.state == "HOLDS"
    assert fails.state == "FALLS SHORT"
    assert {line.check for line in fails.oars[0].lines if not line.met} == {check}


def test_every_check_of_a_hinged_rig_has_twins() -> None:
    hollow = edit(HOLLOW, *PLUGS)
    all_of_them = {n for doc in (STOUT, hollow) for n in declared(built(doc)) if "cradle" in n}
    told = {f"{which} cradle, {n}" for which in ("inner", "outer") for n in (*MUST, *NOT_SETTLED)}
    assert all_of_them == set(TWINS) | told
