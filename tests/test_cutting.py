"""An oar that is to be cut for a hinged rig: faces, lengths, may it be cut, and the three things that may be done."""

from __future__ import annotations

import re
from dataclasses import replace
from typing import Any

import pytest
from followed import followed
from hypothesis import given, settings
from hypothesis import strategies as st
from test_flaws import ASH, HOLLOW, PLUGS, RIG, flawed
from test_hinge import STOUT as BOLTED_RIG
from test_hinge import beam_of
from test_shaftfile import HINGED, PLAIN, edit, toml

from shaftcheck.answer import Answer, answer, answer_doc
from shaftcheck.border.shown import System, say, show
from shaftcheck.checks.cradle import cradles
from shaftcheck.cutting import told_of_the_cut
from shaftcheck.model import Hinged
from shaftcheck.options import HARD, LIGHT
from shaftcheck.show.record import record
from shaftcheck.show.sheet import sheet
from shaftcheck.show.table import full

Doc = dict[str, Any]


def cut(whole: Doc, rigged: Doc) -> Doc:
    """The whole oar with a change that cuts it."""
    return edit(whole, ("change", {"rig": {k: v for k, v in rigged["rig"].items() if k != "hand"}}))


OLD = cut(PLAIN, HINGED)
"""a slender spruce oar; it holds whole and falls short cut"""
STOUT = cut(ASH, RIG)
"""a stout ash one that holds both ways"""


def said_of(a: Answer, grade: str = "") -> str:
    return " | ".join(say(n.text) for n in a.oars[-1].notes if not grade or n.grade == grade)


# -------------------------------------------------------------------------------------------------- stretched faces


@pytest.mark.source("a cantilever pulled towards the bow at one end and the other (any text): statics of both rigs")
def test_the_inner_halfs_stretched_face_is_another_than_in_the_whole_oar() -> None:
    """Hand and blade move the same way: inboard the forward face is stretched, outboard the aft one."""
    words = said_of(answer_doc(OLD, "oar"), "stretched faces")
    assert (
        "inner half's forward face is stretched and the outer half's aft face; in the whole oar it was the aft" in words
    )
    assert "roll the inner half over, half a turn about its own axis" in said_of(answer_doc(OLD, "oar"), "better so")
    alone = answer_doc(HINGED, "oar")
    assert "in a one-piece oar it is the aft face all along" in said_of(alone, "stretched faces")
    assert "half a turn" not in said_of(alone)


@given(st.sampled_from(("steady", "hard", "start", "once")), st.floats(0.3, 2.5))
@settings(max_examples=10, deadline=None)
def test_reversing_the_load_swaps_the_faces_and_changes_no_use_of_a_cradle(key: str, ratio: float) -> None:
    beam = beam_of(edit(HINGED, ("rig.link_ratio", ratio)))
    names = ("forward", "up", "along", "couple_forward", "couple_up", "torque")
    i = beam.case(key)
    back = replace(beam, **{n: -getattr(beam, n) for n in names})
    rig = beam.shaft.rig
    assert isinstance(rig, Hinged)
    x = beam.at((rig.inner_from - 1e-6)[None, None]), back.at((rig.inner_from - 1e-6)[None, None])
    assert x[0].moment_stroke[i, 0] < 0.0 < x[1].moment_stroke[i, 0]
    out = beam.at((rig.outer_to + 1e-6)[None, None]), back.at((rig.outer_to + 1e-6)[None, None])
    assert out[1].moment_stroke[i, 0] < 0.0 < out[0].moment_stroke[i, 0]
    for a, b in zip(cradles(beam, x[0]), cradles(back, x[1]), strict=True):
        assert a.check == b.check
        assert a.use == pytest.approx(b.use, rel=1e-12, nan_ok=True)


@pytest.mark.parametrize(("face", "place", "words"), [
    ("forward", "500 mm", "stretched in the stroke, where it was pressed; the other way round once turned"),
    ("aft", "500 mm", "pressed in the stroke, where it was stretched; the other way round once turned"),
    ("aft", "1.2 m", "outer half's aft face, 1200 mm to 1210 mm from the handle end: stretched in the stroke"),
    ("forward", "1.2 m", "pressed in the stroke"),
    ("upper", "500 mm", "at the side of the stroke"),
])  # fmt: skip
def test_where_old_tack_holes_then_lie(face: str, place: str, words: str) -> None:
    to = f"{float(place.split()[0]) + (10 if 'mm' in place else 0.01):g} {place.split()[1]}"
    doc = flawed(OLD, "tack holes", place, to, face=face, width="3 mm", depth="8 mm")
    assert words in said_of(answer_doc(doc, "oar"), "stretched faces")


# ------------------------------------------------------------------------------------------------------ marking out


def test_lengths_levers_and_sections() -> None:
    """Cut at 690 mm, kerf 3 mm, of 2460 mm; cradles of 130 mm each; by hand from the file's figures."""
    words = said_of(answer_doc(OLD, "oar"), "marking out")
    assert "inner half is 690 mm long, the saw takes 3 mm, and the outer half is 1767 mm long" in words
    assert "swallow 130 mm of the inner half and 130 mm of the outer; 560 mm and 1637 mm stand free" in words
    assert "hand to inner pin 570 mm, outer pin to the blade's middle 1445 mm" in words
    assert "in the lock they were 620 mm and 1500 mm" in words
    # between 240 mm (50 by 50) and 960 mm (50 by 48): 560 mm has 50 by 49.1, 690 mm 50 by 48.75, 823 mm 50 by 48.4
    assert "50 mm by 49 mm at the mouth and 50 mm by 49 mm at its end" in words
    assert "made separately" not in words
    apart = said_of(answer_doc(edit(HINGED, ("rig.kerf", "0 mm")), "oar"))
    assert "the saw takes" not in apart
    assert "may be cut" not in apart


def test_whether_it_may_be_cut() -> None:
    assert "solid timber: it may be cut" in said_of(answer_doc(STOUT, "oar"), "the cut")
    glued = said_of(answer_doc(edit(STOUT, ("oar.material", "glued up")), "oar"), "the cut")
    assert "seam" in glued
    tube = answer_doc(edit(STOUT, ("oar.material", "laminate tube")), "oar")
    assert "a laminate tube is not to be cut on this answer" in said_of(tube, "the cut")
    assert tube.state == "NOT SETTLED"
    hollow = cut(edit(ASH, ("oar.inside", "hollow"), ("section", HOLLOW["section"])), RIG)
    a = answer_doc(hollow, "oar")
    assert a.state == "FALLS SHORT"
    # 200 mm and the 67.4 mm that the shaft is deep at the mouth; 240 mm and 65.1 mm
    assert "268 mm in the inner half, 306 mm in the outer" in said_of(a, "the cut")
    plugged = edit(hollow, *((f"change.{path}", value) for path, value in PLUGS))
    assert answer_doc(plugged, "oar").state == "HOLDS"


def test_what_is_near_the_cut_is_told() -> None:
    scarf = {"kind": "scarf", "middle": "1.45 m", "slope": "1:12", "cut_through": "fore and aft",
             "outer_tip_on": "forward", "glue": "resorcinol", "sample_broken": "yes"}  # fmt: skip
    assert "less than its own length from the cradles" in said_of(answer_doc(edit(STOUT, ("joint", [scarf])), "oar"))
    over = answer_doc(edit(STOUT, ("joint", [{**scarf, "middle": "0.9 m"}])), "oar")
    assert "over the cradles, where none may lie" in said_of(over)
    assert over.state == "FALLS SHORT"
    holes = flawed(STOUT, "tack holes", "600 mm", "640 mm", face="upper", width="3 mm", depth="8 mm")
    assert "in a cradle's grip: the tack holes" in said_of(answer_doc(holes, "oar"))
    assert "take it off and look" in said_of(answer_doc(flawed(STOUT, "leather", "600 mm", "640 mm"), "oar"))


def test_no_cradle_may_clamp_an_old_repair() -> None:
    """Beside the cradles it is not settled; under one it falls short, whatever the repair is worth."""
    for start, end, state in (("1.1 m", "1.2 m", "NOT SETTLED"), ("0.9 m", "1.0 m", "FALLS SHORT")):
        doc = edit(STOUT, ("joint", [{"kind": "repair", "from": start, "to": end}]))
        a = answer_doc(doc, "oar")
        assert a.state == state
        assert ("repair, clear of the cradles" in {x.check for x in a.oars[1].lines if not x.met}) == (
            state == "FALLS SHORT"
        )
        assert "repair, clear of the cradles" not in {x.check for x in a.oars[0].lines}


def test_what_joining_it_again_would_cost() -> None:
    """A scarf of 1:12 through the lesser size at the cut, 66.4 mm of a round: 797 mm, and the kerf."""
    words = said_of(answer_doc(STOUT, "oar"), "the cut")
    assert "797 mm long, which leaves an oar 800 mm shorter" in words
    assert "lock would press on the sleeve or the scarf" in words


def test_an_oar_in_a_lock_is_told_nothing_of_it() -> None:
    assert list(told_of_the_cut(beam_of(PLAIN), None, "one stick")) == []


# ------------------------------------------------------------------------------------------------- cut, whole, or new


def test_three_things_that_may_be_done() -> None:
    a = answer_doc(OLD, "oar")
    assert [o.label for o in a.options] == ["cut this oar here", "leave it whole", "order it purpose-made"]
    by_hand = {o.label: o for o in a.options}
    assert by_hand["leave it whole"].state == a.oars[0].state == "HOLDS"
    assert by_hand["cut this oar here"].state == a.oars[1].state == "FALLS SHORT"
    assert by_hand["cut this oar here"].once == a.oars[1].pulls["once"]
    text = " ".join(full(a).split())
    for o in a.options:
        assert o.label in text
        assert o.weakest is not None
    r = record(a)["options"]
    assert [o["verdict"] for o in r] == [o.state for o in a.options]
    assert answer_doc(PLAIN, "oar").options == answer_doc(HINGED, "oar").options == ()


def test_the_sheet_shows_them_too() -> None:
    page = sheet(answer_doc(OLD, "oar"))
    for words in ("order it purpose-made", "cut this oar here", "inner half&#39;s forward face", "may be cut"):
        assert words in page or words.replace("&#39;", "'") in page


def ordered(a: Answer, doc: Doc, system: System) -> Doc:
    """What is to be ordered, written down as a shaft file from what the answer says in words, sizes as printed."""
    parts = dict(a.options[2].words[0].parts)
    face = str(parts["face"])
    scarf = {
        "kind": "scarf", "middle": show(parts["middle"].value, "length", system), "slope": "1:12",
        "cut_through": parts["way"], "outer_tip_on": face.split()[-2], "glue": "resorcinol", "sample_broken": "yes",
    }  # fmt: skip
    woods = [{"of": parts["hard"], "to": scarf["middle"], "runout": "1:20"}, {"of": parts["light"], "runout": "1:20"}]
    return edit(doc, ("rig", {"hand": doc["rig"]["hand"], **doc["change"]["rig"]}), ("change", None), ("wood", woods),
                ("joint", [scarf]), ("flaw", None))  # fmt: skip


@pytest.mark.parametrize("system", ["metric", "inches"])
@pytest.mark.parametrize("doc", [OLD, STOUT], ids=["slender", "stout"])
def test_what_is_to_be_ordered_gives_the_same_answer_from_a_file(doc: Doc, system: System) -> None:
    a = answer_doc(doc, "oar", system=system)
    option = a.options[2]
    again = answer(toml(ordered(a, doc, system)), "ordered")
    assert again.state == option.state
    assert again.oars[0].pulls["once"] == pytest.approx(option.once, rel=1e-6)
    assert again.oars[0].pulls["steady"] == pytest.approx(option.steady, rel=1e-6)
    assert float(again.oars[0].whole.mass) == pytest.approx(option.mass, rel=1e-6)
    assert option.weakest is not None
    assert again.oars[0].lines[0].check == option.weakest.check


def test_the_order_is_clear_of_the_cradles_and_of_the_named_woods() -> None:
    parts = dict(answer_doc(OLD, "oar").options[2].words[0].parts)
    assert parts["hard"] in HARD
    assert parts["light"] in LIGHT
    assert parts["start"].value > 0.823  # type: ignore[union-attr]
    assert parts["end"].value < 1.92  # type: ignore[union-attr]


def test_an_order_that_none_of_the_makes_can_meet_says_so() -> None:
    slim = edit(OLD, ("section", [{"at": "0 mm", "across": "30 mm"}, {"at": "1.92 m", "across": "26 mm"}]))
    a = answer_doc(slim, "oar")
    assert a.options[2].state == "FALLS SHORT"
    assert "none of the 36 that were tried holds" in say(a.options[2].words[0])


def test_a_cut_with_no_room_for_a_scarf_has_two_options() -> None:
    tight = edit(OLD, ("oar.length", "1.60 m"), ("section", [{"at": "0 mm", "across": "50 mm"},
                 {"at": "1.06 m", "across": "50 mm"}]))  # fmt: skip
    assert len(answer_doc(tight, "oar").options) == 2


# ------------------------------------------------------------------------------------------ advice, set and retighten


def advised(doc: Doc, like: str) -> str:
    (line,) = (line for line in answer_doc(doc, "oar").oars[-1].advice if like in line)
    return line


BARE = edit(
    RIG,
    ("rig.liner", "none"),
    ("rig.outer_cradle", "100 mm"),
    ("rig.inner_cradle", "100 mm"),
    ("rig.outer_pin", "780 mm"),
)
"""too short for a bare seat"""


@pytest.mark.parametrize("doc", [BARE, edit(RIG, ("rig.clamp_force", "30 kN")), HINGED], ids=["bare", "tight", "slim"])
def test_longer_cradles_are_the_least_that_hold(doc: Doc) -> None:
    assert answer_doc(doc, "oar").state == "FALLS SHORT"
    words = advised(doc, "clamp")
    made = followed(doc, words)
    assert answer_doc(made, "oar").state == "HOLDS"
    sizes = {which: int(n) for n, which in re.findall(r"(\d+) mm of the (inner|outer)", words)}
    changes = [(f"rig.{which}_cradle", f"{n - (20 if 'liner' in words else 10)} mm") for which, n in sizes.items()]
    assert answer_doc(edit(made, *changes), "oar").state == "FALLS SHORT"


def test_a_softer_liner_holds_where_it_is_advised() -> None:
    thick, of = re.findall(r"liner of (\d+) mm of (\w+)", advised(BARE, "a liner of"))[0]
    lined = edit(BARE, ("rig.liner", of), ("rig.liner_thickness", f"{thick} mm"))
    assert answer_doc(lined, "oar").state == "HOLDS"


def test_seats_bolts_and_clamps_are_tried() -> None:
    wet = edit(RIG, ("rig.cradle_stays_wet", "yes"), ("rower.greatest_pull", "620 N"))
    assert answer_doc(wet, "oar").state == "FALLS SHORT"
    assert advised(wet, "drain")
    assert answer_doc(edit(wet, ("rig.cradle_stays_wet", "no")), "oar").state == "HOLDS"
    narrow = edit(RIG, ("rig.cradle_seat", "narrow"))
    assert advised(narrow, "seats that wrap")
    tight = edit(RIG, ("rig.clamp_force", "45000 N"))
    assert answer_doc(tight, "oar").state == "FALLS SHORT"
    (force,) = re.findall(r"squeeze with ([\d.]+ k?N)", advised(tight, "squeeze with"))
    assert answer_doc(edit(tight, ("rig.clamp_force", force)), "oar").state == "HOLDS"
    through = edit(BOLTED_RIG, ("rig.bolt_diameter", "12 mm"))
    assert advised(through, "bolts beside the shaft")


def test_the_cut_elsewhere_is_tried() -> None:
    """A knot just beyond the outer cradle: the cut moved until its cradle holds the place, or until it is far."""
    knotty = flawed(RIG, "knot", "936 mm", "944 mm", face="aft", width="36 mm")
    assert answer_doc(knotty, "oar").state == "FALLS SHORT"
    by, way, saw = re.findall(r"pins and cradles, (\d+) mm further (\w+), at (\d+) mm", advised(knotty, "the cut, "))[0]
    step = int(by) * (1 if way == "outboard" else -1)
    moved = edit(knotty, *((f"rig.{k}", f"{n + step} mm") for k, n in (
        ("inner_ends", 690), ("inner_pin", 600), ("outer_pin", 800))))  # fmt: skip
    assert int(saw) == 690 + step
    assert answer_doc(moved, "oar").state == "HOLDS"


def test_what_sits_in_a_cradle_may_be_taken_off() -> None:
    assert advised(flawed(RIG, "leather", "600 mm", "640 mm"), "the leather taken off where the cradles grip")


def test_a_creased_stick_is_not_mended_by_size() -> None:
    (words,) = answer_doc(flawed(RIG, "crease", "1.2 m", "1.21 m", face="forward"), "oar").oars[0].advice
    assert "another stick" in words


def test_cautions_of_a_hinged_rig() -> None:
    codes = {code for code, _ in answer_doc(HINGED, "oar").cautions}
    assert {"retighten", "ends", "mouth"} <= codes
    assert not {"retighten", "ends"} & {code for code, _ in answer_doc(PLAIN, "oar").cautions}
    assert {"retighten", "ends"} <= {code for code, _ in answer_doc(OLD, "oar").cautions}


def test_ends_behind_the_pins_that_meet_are_told() -> None:
    """The inner half ends 50 mm beyond its pin, the outer begins 52 mm before its own: 102 mm together."""
    rig = edit(HINGED, ("rig.inner_ends", "690 mm"), ("rig.inner_pin", "640 mm"), ("rig.outer_pin", "745 mm"),
               ("rig.kerf", "3 mm"))  # fmt: skip
    close, apart = (answer_doc(edit(rig, ("rig.pin_spacing", s)), "oar") for s in ("100 mm", "103 mm"))
    assert "reaches 50 mm outboard and the outer half 52 mm inboard, 102 mm together" in said_of(close, "caution")
    assert "on one level the ends meet" in said_of(close, "caution")
    assert "on one level" not in said_of(apart)
