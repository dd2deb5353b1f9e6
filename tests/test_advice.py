"""What an answer says would make it hold, followed to the letter: several changes at once, plugs, a joint moved."""

from __future__ import annotations

import re
import tomllib
from pathlib import Path
from typing import Any

import pytest
from followed import followed
from test_shaftfile import edit

from shaftcheck.answer import Oar, answer_doc

Doc = dict[str, Any]

SHORT: Doc = {
    "answer_in": "metric",
    "oar": {"length": "2.88 m", "inside": "solid", "blade_length": "510 mm", "blade_width": "150 mm",
            "blade_area": "0.06 m2"},
    "rig": {"kind": "hinged", "hand": "60 mm", "inner_ends": "810 mm", "kerf": "4 mm", "inner_pin": "720 mm",
            "inner_cradle": "150 mm", "outer_pin": "900 mm", "outer_cradle": "150 mm", "pin_spacing": "130 mm",
            "cradle_seat": "narrow", "liner": "none", "cradle_stays_wet": "yes", "bolts": "beside",
            "clamp_force": "2000 N", "link_on": "cradle", "link_ratio": 0.85},
    "rower": {"strength": "general", "hands": "one"},
    "section": [{"at": "0 mm", "across": "38 mm"}, {"at": "400 mm", "across": "60 mm"},
                {"at": "1.10 m", "across": "60 mm"}, {"at": "2.37 m", "fore_and_aft": "42 mm", "up_and_down": "38 mm"}],
    "wood": [{"of": "Sitka spruce (US)", "runout": "1:20"}],
}  # fmt: skip
"""invented: bare narrow seats, far too short, in which nothing alone helps"""
HOLLOW: Doc = edit(
    SHORT, ("oar.inside", "hollow"), ("oar.length", "2.80 m"), ("oar.blade_length", "500 mm"),
    ("rig", {**SHORT["rig"], "inner_ends": "800 mm", "inner_pin": "670 mm", "inner_cradle": "240 mm", "kerf": "0 mm",
             "outer_pin": "950 mm", "outer_cradle": "280 mm", "pin_spacing": "260 mm", "cradle_seat": "wraps",
             "liner": "rubber", "cradle_stays_wet": "no"}),
    ("rower.strength", "light"), ("duty", {"boat_speed": "1.5 m/s"}),
    ("section", [{"at": "0 mm", "across": "38 mm", "inside": "solid"}, {"at": "400 mm", "across": "58 mm",
                 "wall": "12 mm"}, {"at": "1.20 m", "across": "58 mm", "wall": "12 mm"},
                 {"at": "2.30 m", "across": "42 mm", "inside": "solid"}]),
)  # fmt: skip
"""invented: hollow halves without plugs"""


def last(doc: Doc) -> Oar:
    return answer_doc(doc, "oar").oars[-1]


def only(doc: Doc, like: str) -> str:
    (words,) = (w for w in last(doc).advice if like in w)
    return words


SLIM = edit(
    SHORT,
    ("section", [{**s, "across": "57 mm"} if s.get("across") == "60 mm" else s for s in SHORT["section"]]),
)
"""invented: the same, its stick too slim besides"""


@pytest.mark.parametrize("doc", [SHORT, SLIM], ids=["short", "slim"])
def test_several_changes_at_once_hold_where_none_does_alone(doc: Doc) -> None:
    words = only(doc, "all of these: " if doc is SLIM else "cradles that clamp ")
    assert "; or " not in last(doc).sentences[1]
    made = followed(doc, words)
    assert last(made).state == "HOLDS"
    for path, old in (("rig.cradle_seat", "narrow"), ("rig.cradle_stays_wet", "yes")):
        told = made["rig"][path.partition(".")[2]] != old
        assert not told or last(edit(made, (path, old))).state == "FALLS SHORT"  # what is not needed is not asked
    assert ("a new stick" in words) == (doc is SLIM)
    if doc is SLIM:
        assert last({**made, "section": edit(doc)["section"]}).state == "FALLS SHORT"
        assert "nothing that was tried makes this stick hold cut here: a new one would need all" in last(doc).spoken[1]


def test_hollow_halves_are_told_the_plugs_that_hold() -> None:
    assert last(HOLLOW).state == "FALLS SHORT"
    words = only(HOLLOW, "plugs")
    inner, outer = re.findall(r"(\d+ mm)", words)
    made = edit(HOLLOW, ("rig.inner_plug", inner), ("rig.outer_plug", outer), ("rig.plug_ends", "tapered"))
    assert last(made).state == "HOLDS"


def test_a_smaller_bolt_is_tried() -> None:
    from test_hinge import STOUT

    for size in range(8, 30):
        doc = edit(STOUT, ("rig.bolt_diameter", f"{size} mm"))
        if last(doc).state == "FALLS SHORT":
            (less,) = re.findall(r"bolts of (\d+ mm)", " | ".join(last(doc).advice))
            assert last(edit(doc, ("rig.bolt_diameter", less))).state == "HOLDS"
            return
    raise AssertionError("no bolt is too great")


def oar_with_scarf(middle: str) -> Doc:
    doc = tomllib.loads(Path("examples/takedown-oar-made-to-hold.toml").read_text(encoding="utf-8"))
    scarf = {"kind": "scarf", "middle": middle, "slope": "1:8", "cut_through": "up and down", "outer_tip_on": "upper",
             "glue": "resorcinol"}  # fmt: skip
    return {**doc, "joint": [*doc["joint"], scarf]}


def test_a_joint_where_none_may_lie_is_moved_to_the_nearest_place_that_holds() -> None:
    doc = oar_with_scarf("1.4 m")
    assert last(doc).state == "FALLS SHORT"
    by, way, at = re.findall(r"the scarf moved (\d+) mm (\w+), to (\d+) mm", only(doc, "the scarf moved"))[0]
    assert int(at) == 1400 + int(by) * (1 if way == "outboard" else -1)
    assert last(oar_with_scarf(f"{at} mm")).state == "HOLDS"
    nearer = int(at) + (10 if way == "inboard" else -10)
    assert last(oar_with_scarf(f"{nearer} mm")).state == "FALLS SHORT"


def test_what_bars_every_size_bars_at_one_and_the_same_size() -> None:
    """Only the scarf under the tube bars every overlap; each other check is met at some that others are met at too."""
    needs = {n.key: n for n in last(oar_with_scarf("1.2 m")).needs}
    assert needs["overlap"].bars == ("takedown, clear of other joints",)


def test_a_rule_of_place_is_said_first_where_moving_alone_is_not_enough() -> None:
    out = last(edit(oar_with_scarf("1.25 m"), ("rower", {"strength": "trained", "hands": "one"})))
    assert not out.advice
    assert "first move the joint that lies where none may (`shaftcheck where` finds places)" in out.sentences[1]
