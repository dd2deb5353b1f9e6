"""What is told of a scarf: marked out, with the sources that differ, which way about, where, glued, and in the wet."""

from __future__ import annotations

import math
import re
import tomllib
from pathlib import Path
from typing import Any

import pytest
from test_shaftfile import Doc, edit, toml
from twins import uses

from shaftcheck import wood_relations
from shaftcheck.answer import Answer, answer
from shaftcheck.border.shown import say
from shaftcheck.model import number

EXAMPLE: Doc = tomllib.loads((Path(__file__).parents[1] / "examples" / "two-wood-scarf.toml").read_text("utf-8"))


def asked(*changes: tuple[str, Any]) -> Answer:
    return answer(toml(edit(EXAMPLE, *changes)), "scarf")


def told(a: Answer) -> dict[str, list[str]]:
    """Return the notes by their grade."""
    out: dict[str, list[str]] = {}
    for n in a.oars[0].notes:
        out.setdefault(n.grade, []).append(f"{say(n.text)} ({n.origin})")
    return out


def the(notes: list[str], word: str) -> str:
    (found,) = (n for n in notes if word in n)
    return found


def test_marking_out_gives_both_tips_both_lengths_sled_kerf_and_beyond() -> None:
    """By hand: 60 mm of blank at 1:12 is 720 mm long; half of it and 12 times 3 mm of kerf beyond the middle."""
    notes = told(asked(("joint.0.blank_size", "60 mm")))["marking out"]
    a = asked()
    j = a.oars[0].shaft.joints[0]
    tips = the(notes, "feather edge")
    assert f"Sitka spruce (US) on the forward face {float(j.start) * 1000:.0f} mm" in tips
    assert f"White ash on the aft face {float(j.end) * 1000:.0f} mm" in tips
    assert f"{float(j.end - j.start) * 1000:.0f} mm in the finished shaft" in tips
    assert "rises 1 for every 12 along" in tips
    blank = the(notes, "on the blank")
    assert "60 mm the scarf is 720 mm long" in blank
    assert "leave each piece 396 mm beyond mid-scarf" in blank
    assert "tell blank_size" in the(told(a)["marking out"], "12 times as long as the blank is thick")
    other = the(told(asked(("joint.0.outer_tip_on", "aft")))["marking out"], "feather edge")
    assert "Sitka spruce (US) on the aft face" in other


def test_a_length_is_that_of_the_blank_or_of_the_shaft() -> None:
    long = {"slope": None, "length": "600 mm"}
    changes = [(f"joint.0.{k}", v) for k, v in long.items()]
    blank = asked(*changes, ("joint.0.length_on", "blank"), ("joint.0.blank_size", "60 mm")).oars[0].shaft.joints[0]
    shaft = asked(*changes, ("joint.0.length_on", "finished")).oars[0].shaft.joints[0]
    assert float(blank.slope) == pytest.approx(0.1)  # type: ignore[attr-defined]
    assert float(shaft.end - shaft.start) == pytest.approx(0.600, abs=1e-9)
    assert float(blank.end - blank.start) < 0.52


@pytest.mark.parametrize(("slope", "eff", "grade"), [("1:8", "0.80", "caution"), ("1:10", "0.85", "caution"),
                                                     ("1:12", "0.90", "better so"), ("1:20", "0.90", "")])  # fmt: skip
def test_the_sources_differ_and_the_lower_is_used(slope: str, eff: str, grade: str) -> None:
    notes = told(asked(("joint.0.slope", slope)))
    text = the(notes["caution"], "The sources differ")
    assert f"a scarf of {slope} is given {eff}" in text
    for words in ("0.90 at 1:12", "from memory", "0.95 at 1:20", "secondary", "lowest is used"):
        assert words in text
    rules = [n for notes_ in notes.values() for n in notes_ if "rules" in n and "differ" in n]
    assert len(rules) == (1 if grade else 0)
    if grade:
        assert rules[0] in notes[grade]
        assert "1:15 for an aircraft's spar" in rules[0]


# -------------------------------------------------------------------------------------------------- which way about

STIFF: Doc = {
    "kind": "hardwood", "source": "invented", "gravity_12": "0.6", "bending_12": "150 MPa", "bending_green": "140 MPa",
    "shear_12": "12 MPa", "shear_green": "12 MPa", "compression_12": "70 MPa", "compression_green": "60 MPa",
    "bearing_12": "20 MPa", "bearing_green": "20 MPa", "tension_across_12": "6 MPa", "tension_across_green": "6 MPa",
    "stiffness_12": "22 GPa", "stiffness_green": "21 GPa",
}  # fmt: skip
"""an invented wood twice as stiff as the spruce, and stronger"""
UNLIKE = (("own_wood", {"stiff": STIFF}), ("wood.0.of", "stiff"), ("duty.levering", "never"))


@pytest.mark.parametrize("face", ["forward", "aft"])
def test_which_face_the_stiffer_woods_feather_edge_should_lie_on(face: str) -> None:
    """The figures are those of the two files, and the advice follows them: stretched by the stroke is the aft face."""
    other = {"forward": "aft", "aft": "forward"}[face]
    here, there = (edit(EXAMPLE, *UNLIKE, ("joint.0.outer_tip_on", f)) for f in (face, other))
    note = the(told(answer(toml(here), "x"))["better so"], "is the stiffer")
    assert f"stiff is the stiffer, and its feather edge draws the more load. On the {other} face" in note
    worst = [max((v, k) for k, v in uses(doc).items() if k.startswith("scarf")) for doc in (here, there)]
    for use, check in worst:
        assert re.search(rf"{math.ceil(use * 100)} % used|face {math.ceil(use * 100)} %", note), note
        assert check in note
    glue = [max(v for k, v in uses(doc).items() if k.startswith("scarf, glue")) for doc in (here, there)]
    said = re.findall(r"its glue line (\d+) %", note)
    assert said == [str(math.ceil(g * 100)) for g in glue]
    a, b = (worst[0][0], worst[1][0]) if abs(worst[0][0] - worst[1][0]) > 0.005 * worst[0][0] else glue
    assert ("turn it" in note) == (b < 0.995 * a)
    assert ("lies well" in note) == (a < 0.995 * b)


def test_one_wood_has_no_stiffer_tip() -> None:
    notes = told(asked(("wood.0.of", "Sitka spruce (US)")))
    assert not any("is the stiffer" in n for n in notes["better so"])
    assert "the outer piece on the forward face" in the(notes["marking out"], "feather edge")


# ------------------------------------------------------------------------------------------------ where, and its cost


def test_what_it_costs_to_keep_clear_of_the_lock() -> None:
    note = the(told(asked())["better so"], "its own length clear")
    step, there, here = re.search(r"Moved by (\d+) mm, there it would be (\d+) % used at most, instead of (\d+) %",
                                  note).groups()  # type: ignore[union-attr] # fmt: skip
    moved = f"{1210 + int(step)} mm"
    for doc, percent in ((EXAMPLE, here), (edit(EXAMPLE, ("joint.0.middle", moved), ("wood.0.to", moved)), there)):
        worst = max(v for k, v in uses(doc).items() if k.startswith("scarf"))
        assert math.ceil(worst * 100.0) == pytest.approx(int(percent), abs=1)
    far = told(asked(("joint.0.middle", "1.75 m"), ("wood.0.to", "1.75 m")))
    assert not any("its own length clear" in n for n in far["better so"])


def test_a_scarf_that_is_moved_takes_its_woods_with_it() -> None:
    """Advice to move a scarf between two woods is followed in the file, wood and all, and holds."""
    thin = [{"at": at, "across": size} for at, size in (("0 mm", "42 mm"), ("170 mm", "42 mm"), ("300 mm", "54 mm"),
                                                        ("1.15 m", "54 mm"), ("2.06 m", "42 mm"))]  # fmt: skip
    doc = edit(EXAMPLE, *UNLIKE, ("section", thin), ("joint.0.middle", "1.06 m"),
               ("wood.0.to", "1.06 m"))  # fmt: skip
    a = answer(toml(doc), "x")
    assert a.state == "FALLS SHORT"
    (line,) = [x for x in a.oars[0].advice if "moved" in x]
    found = re.fullmatch(r"the scarf and the end of .* in it moved (\d+) mm (in|out)board, to (\d+ mm)", line)
    assert found
    step, way, at = found.groups()
    assert at == f"{1060 + int(step) * (1 if way == 'out' else -1)} mm"
    assert answer(toml(edit(doc, ("joint.0.middle", at), ("wood.0.to", at))), "as advised").state == "HOLDS"


# ------------------------------------------------------------------------------------------- glued, and in the wet


@pytest.mark.source("Wood Handbook FPL-GTR-190 Table 13-5, coefficients for 1 % of moisture (from memory)")
@pytest.mark.parametrize(("shrinkage", "coefficient"), [
    (4.9, 0.00169), (7.8, 0.00274), (4.3, 0.00148), (7.5, 0.00263), (5.6, 0.00194), (10.5, 0.00376), (3.7, 0.00126),
    (7.1, 0.00248), (4.8, 0.00165), (9.9, 0.00353), (5.5, 0.00190),
])  # fmt: skip
def test_rate_of_movement(shrinkage: float, coefficient: float) -> None:
    """White ash, Sitka spruce, white oak, black cherry, sugar maple, black walnut; to the digits of the table."""
    rate = wood_relations.movement_rate(shrinkage=number(shrinkage / 100.0))
    assert float(rate) / 100.0 == pytest.approx(coefficient, abs=6e-6)


def test_movement_of_unlike_woods_across_the_line() -> None:
    """By hand from Table 13-5: 8 % of 0.00274 - 0.00148 on 100 mm is 1.0 mm; ash has 12.0 GPa along, a tenth across."""
    wide = [{"at": at, "fore_and_aft": "60 mm", "up_and_down": "100 mm"} for at in ("0 mm", "2.06 m")]
    note = the(told(asked(("section", wide)))["caution"], "of moisture")
    assert "move apart by up to 0.2 mm across the glue line's 100 mm where their rings lie alike" in note
    crossed = 8.0 * (0.00274 - 0.00148)
    assert f"by {math.ceil(crossed * 1000) / 10:.1f} mm where they are crossed" in note
    stress = float(re.search(r"that is [\d.]+ MPa or ([\d.]+) MPa", note)[1])  # type: ignore[index]
    assert stress == pytest.approx(crossed * 12.0e9 * 0.10 / 3.0 / 1e6, rel=0.01)
    assert "creep" in note
    assert "judgement" in note
    flat = the(told(asked(("section", wide), ("joint.0.cut_through", "up and down"), ("joint.0.outer_tip_on",
               "upper")))["caution"], "of moisture")  # fmt: skip
    assert "the glue line's 60 mm" in flat
    lacks = the(told(asked(*UNLIKE))["caution"], "shrinks")
    assert "how stiff shrinks is not known" in lacks
    same = the(told(asked(("wood.0.of", "Sitka spruce (US)")))["caution"], "of moisture")
    assert "the two pieces move apart by up to 0 mm" in same


@pytest.mark.source("Wood Handbook FPL-GTR-190 Table 10-1: white ash bonds satisfactorily")
def test_how_woods_take_glue() -> None:
    notes = told(asked())["caution"]
    assert "White ash bonds satisfactorily" in the(notes, " bonds ")
    for broken, open_ in (("no", True), ("yes", False)):
        own = {**STIFF, "bonding": "with difficulty"}
        a = asked(*UNLIKE, ("own_wood", {"stiff": own}), ("joint.0.sample_broken", broken))
        unknown = [line.check for line in a.oars[0].lines if not line.known]
        assert ("scarf, bonding" in unknown) == open_
        if open_:
            assert a.state == "NOT SETTLED"
    assert "stiff is not in the list" in the(told(asked(*UNLIKE))["caution"], "not in the list")


def test_heat_and_a_line_of_which_no_sample_was_broken() -> None:
    notes = told(asked(("joint.0.glue", "epoxy"), ("joint.0.sample_broken", "no")))["caution"]
    heat = the(notes, "softens")
    for words in ("50 C", "60 C", "75 C", "from memory, with doubt"):
        assert words in heat, heat
    assert "62 to 88 % of solid wood" in the(notes, "no sample was broken")
    assert not any("no sample" in n or "softens" in n for n in told(asked())["caution"])
