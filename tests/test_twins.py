"""Every check of the shaft itself has twins: a file just below its limit that holds, one just above that falls short.

What each comparison reckons is tested elsewhere, against published figures; here it is seen to bar the verdict, by its
name.
"""

from __future__ import annotations

from typing import Any

import pytest
from test_shaftfile import PLAIN, Doc, edit
from twins import assert_twins, twins

from shaftcheck.checks import ALWAYS

STRONG: Doc = {
    "kind": "softwood", "source": "invented", "gravity_12": "0.40", "gravity_green": "0.38",
    "bending_12": "200 MPa", "bending_green": "150 MPa", "shear_12": "40 MPa", "shear_green": "30 MPa",
    "compression_12": "150 MPa", "compression_green": "100 MPa", "bearing_12": "38 MPa", "bearing_green": "35 MPa",
    "tension_across_12": "20 MPa", "tension_across_green": "15 MPa",
    "stiffness_12": "15 GPa", "stiffness_green": "13 GPa",
}  # fmt: skip
"""an invented wood so strong that only what a test weakens governs"""


def strong(doc: Doc, *changes: tuple[str, Any], **wood: str) -> Doc:
    """Return a file's tables with all of its wood strong, but for what is told, and with other changes."""
    mine = edit(doc, ("own_wood", {"mine": {**STRONG, **wood}}), *((f"wood.{i}.of", "mine") for i in range(len(
        doc["wood"]))))  # fmt: skip
    return edit(mine, *changes)


ROUND = edit(PLAIN, ("section", [{"at": "0 mm", "across": "50 mm"}, {"at": "1.92 m", "across": "50 mm"}]))
DEEP = edit(PLAIN, ("section", [{"at": "0 mm", "fore_and_aft": "60 mm", "up_and_down": "40 mm"},
                                {"at": "1.92 m", "fore_and_aft": "60 mm", "up_and_down": "40 mm"}]))  # fmt: skip
WIDE = edit(PLAIN, ("section", [{"at": "0 mm", "fore_and_aft": "40 mm", "up_and_down": "60 mm"},
                                {"at": "1.92 m", "fore_and_aft": "40 mm", "up_and_down": "60 mm"}]))  # fmt: skip
HOLLOW = edit(
    PLAIN,
    ("oar.inside", "hollow"),
    ("section", [{"at": at, "across": "60 mm", "wall": "12 mm"} for at in ("0 mm", "1.92 m")]),
)


def sized(doc: Doc, size: str) -> Doc:
    return edit(doc, *((f"section.{i}.across", size) for i in range(len(doc["section"]))))


EASY = (("rower.steady_pull", "20 N"), ("rower.hard_pull", "20 N"), ("rower.start_pull", "20 N"),
        ("rower.greatest_pull", "20 N"), ("duty.boat_speed", "0.1 m/s"))  # fmt: skip
"""a shaft that is hardly pulled at"""
LONG = edit(ROUND, *EASY, ("oar.length", "6 m"), ("section.1.at", "5.46 m"), ("section.0.across", "90 mm"),
            ("section.1.across", "90 mm"), ("oar.blade_width", "30 mm"), ("oar.blade_area", "0.016 m2"),
            ("rig.lock_touches", "100 mm"))  # fmt: skip
"""so long and soft that it buckles before it is bent much"""
SOFT = {"bending_12": "300 MPa", "bending_green": "300 MPa", "stiffness_green": "1 GPa"}
PLAIN_WOOD = {"bending_12": "70 MPa", "bending_green": "40 MPa"}
SPLITS = {"shear_12": "4 MPa", "shear_green": "4 MPa"}

MEMBER: dict[str, tuple[Any, ...]] = {
    "bending, by its size": ("bending", edit(PLAIN, *EASY[:3], ("section", ROUND["section"])), sized, 30.0, 60.0, "mm"),
    "bending, by the pull": ("bending", strong(ROUND, *EASY[:3], **PLAIN_WOOD), "rower.greatest_pull", 200.0, 1500.0,
        "N"),
    "bending, by the caught blade": ("bending", strong(ROUND, **PLAIN_WOOD), "duty.boat_speed", 1.0, 4.0, "m/s"),
    "shear, stroke": ("shear, stroke", strong(DEEP, ("oar.water_off_axis", "60 mm"), **SPLITS), "rower.greatest_pull",
        200.0, 3000.0, "N"),
    "shear, stroke, by the twist": ("shear, stroke", strong(DEEP, **SPLITS), "oar.water_off_axis", 0.0, 299.0, "mm"),
    "shear, up and down": ("shear, up and down", strong(WIDE, ("oar.water_off_axis", "250 mm"), shear_12="9 MPa",
        shear_green="9 MPa"), "rower.greatest_pull", 100.0, 3000.0, "N"),
    "shear, up and down, by the wood": ("shear, up and down", strong(WIDE, ("oar.water_off_axis", "250 mm"),
        shear_green="1 MPa"), "own_wood.mine.shear_12", 1.0, 40.0, "MPa"),
    "life, by its strokes": ("life", strong(ROUND, ("rower.steady_pull", "265 N"), ("rower.hard_pull", "310 N"),
        ("rower.start_pull", "380 N"), **PLAIN_WOOD), "duty.strokes", 1e3, 3e7, "strokes"),
    "life, by every stroke": ("life", strong(ROUND, ("rower.hard_pull", "330 N"), ("rower.start_pull", "400 N"),
        **PLAIN_WOOD), "rower.steady_pull", 50.0, 329.0, "N"),
    "buckling, by the wood": ("buckling", strong(sized(LONG, "77 mm"), **SOFT), "own_wood.mine.stiffness_12", 1.0,
        8.0, "GPa"),
    "buckling, by its size": ("buckling", strong(LONG, **SOFT, stiffness_12="1.5 GPa"), sized, 50.0, 120.0, "mm"),
    "bending with thrust": ("bending with thrust", strong(ROUND, *EASY, ("rower.strength", "trained"),
        bending_green="20 MPa"), "own_wood.mine.bending_12", 20.0, 300.0, "MPa"),
    "bearing at the lock, wet": ("bearing at the lock", strong(ROUND, bearing_green="2 MPa"), "rig.lock_touches",
        5.0, 80.0, "mm"),
    "bearing at the lock, dry": ("bearing at the lock", strong(ROUND, ("rig.lock_stays_wet", "no"), bearing_12="4 MPa",
        bearing_green="2 MPa"), "rig.lock_touches", 5.0, 80.0, "mm"),
    "hollow under the lock": ("hollow under the lock", strong(HOLLOW, ("section.1.wall", "13 mm"),
        tension_across_12="6 MPa", tension_across_green="6 MPa"), "section.0.wall", 6.0, 20.0, "mm"),
}  # fmt: skip


@pytest.mark.parametrize("case", MEMBER)
def test_member(case: str) -> None:
    check, doc, change, low, high, unit = MEMBER[case]
    if check == "buckling":  # a column that is bent at all fails in bending with thrust a little before it buckles
        assert_twins(twins(doc, check, change, low, high, unit, apart=0.18), check, beside=("bending with thrust",))
    else:
        assert_twins(twins(doc, check, change, low, high, unit), check)


def test_every_check_of_the_shaft_has_twins() -> None:
    assert {case[0] for case in MEMBER.values()} == {*ALWAYS, "bearing at the lock", "hollow under the lock"}
