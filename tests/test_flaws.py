"""Flaws of the piece in hand, plugs in a hollow one, and what is no timber."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from test_hinge import BOLT_KEYS, STOUT, built
from test_shaftfile import PLAIN, edit

from shaftcheck.answer import Line, answer_doc
from shaftcheck.beam import mesh
from shaftcheck.checks import declared, flaw
from shaftcheck.checks.cradle import cradles
from shaftcheck.checks.flaw import knot_left, notch_left
from shaftcheck.engine import run
from shaftcheck.errors import InputError
from shaftcheck.loads import loaded
from shaftcheck.model import number

Doc = dict[str, Any]
RIG = edit(STOUT, ("rig.bolts", "beside"), *((f"rig.{k}", None) for k in BOLT_KEYS))
"""a stout hinged rig that holds: cut at 690 mm, cradles from 490 to 933 mm"""
ASH = edit(PLAIN, ("section", RIG["section"]), ("wood", RIG["wood"]))
"""the same stick whole, in a lock"""
HOLLOW = edit(RIG, ("oar.inside", "hollow"), ("section", [{**s, "wall": "18 mm"} for s in RIG["section"]]))
PLUGS = (("rig.inner_plug", "280 mm"), ("rig.outer_plug", "320 mm"), ("rig.plug_ends", "tapered"))
PLUGGED = edit(HOLLOW, *PLUGS)


def flawed(doc: Doc, kind: str, start: str, end: str, **more: str) -> Doc:
    return edit(doc, ("flaw", [{"kind": kind, "from": start, "to": end, **more}]))


def lines(doc: Doc) -> dict[str, Line]:
    return {line.check: line for line in answer_doc(doc, "oar").oars[0].lines}


def state(doc: Doc) -> str:
    return answer_doc(doc, "oar").state


def test_these_hold_so_that_what_follows_proves_something() -> None:
    for doc in (RIG, ASH, PLUGGED):
        assert state(doc) == "HOLDS"


# ------------------------------------------------------------------------------------------------------------ creases


@pytest.mark.source("a compression failure is not acceptable in a stressed part: FAA AC 43.13-1B ch. 1 (from memory)")
@pytest.mark.parametrize("face", ["forward", "aft", "upper", "lower"])
@pytest.mark.parametrize("doc", [RIG, ASH], ids=["hinged", "whole"])
@pytest.mark.parametrize(("start", "end"), [("300 mm", "310 mm"), ("600 mm", "605 mm"), ("1.6 m", "1.61 m")])
def test_a_creased_shaft_is_good_for_nothing(doc: Doc, face: str, start: str, end: str) -> None:
    a = answer_doc(flawed(doc, "crease", start, end, face=face), "oar")
    assert a.state == "FALLS SHORT"
    assert "must not be used" in a.oars[0].sentences[0]
    assert set(a.oars[0].pulls.values()) == {0.0}
    assert "Good for no pull" in a.oars[0].sentences[1]


def test_a_crease_that_nothing_loads() -> None:
    """In the end of the grip; or in what the saw takes away. A hair beyond the kerf it is loaded again."""
    assert state(flawed(ASH, "crease", "10 mm", "60 mm", face="aft")) == "HOLDS"
    wide = edit(RIG, ("rig.kerf", "6 mm"))
    assert state(flawed(wide, "crease", "691 mm", "695 mm", face="forward")) == "HOLDS"
    assert state(flawed(wide, "crease", "689.9 mm", "695 mm", face="forward")) == "FALLS SHORT"
    assert state(flawed(wide, "crease", "691 mm", "696.1 mm", face="forward")) == "FALLS SHORT"
    assert state(flawed(ASH, "crease", "691 mm", "695 mm", face="forward")) == "FALLS SHORT"


# -------------------------------------------------------------------------------------------------- dents, holes, knots


@pytest.mark.source("section integrals over a grid of an oval with a notch, its own neutral axis")
@pytest.mark.parametrize(("w", "h"), [(0.006, 0.010), (0.012, 0.004), (0.003, 0.015)])
def test_what_a_notch_leaves(w: float, h: float) -> None:
    """An oval of 52 by 46 mm. The notch is taken full to the flat of its face, so more is taken than there is."""
    deep, wide = 0.052, 0.046
    z, y = np.meshgrid(np.linspace(-deep / 2, deep / 2, 2001), np.linspace(-wide / 2, wide / 2, 1001), indexing="ij")
    inside = (2 * z / deep) ** 2 + (2 * y / wide) ** 2 <= 1.0
    kept = inside & ~((z > deep / 2 - h) & (np.abs(y) < w / 2))
    whole = (z * z)[inside].sum() / (deep / 2)
    middle = z[kept].mean()
    left = ((z[kept] - middle) ** 2).sum() / (deep / 2 - middle)
    area, second = np.pi * deep * wide / 4, np.pi * deep**3 * wide / 64
    got = notch_left(w=number(w), h=number(h), D=number(deep), A=number(area), I=number(second))
    assert got == pytest.approx(left / whole, abs=0.02)
    assert got <= left / whole + 1e-6


@pytest.mark.source("ASTM D245, knots at an edge, (1 - k/D)^2 (from memory, with doubt)")
def test_what_a_knot_leaves() -> None:
    assert knot_left(k=number(0.0), D=number(0.05)) == 1.0
    assert knot_left(k=number(0.0125), D=number(0.05)) == pytest.approx(0.5625)


@given(st.integers(1, 12), st.integers(1, 12), st.sampled_from(("dent", "tack holes")))
@settings(max_examples=10, deadline=None)
def test_a_deeper_or_wider_flaw_is_never_better(w: int, h: int, kind: str) -> None:
    def use(wide: int, deep: int) -> float:
        oar = built(flawed(RIG, kind, "1.0 m", "1.02 m", face="aft", width=f"{wide} mm", depth=f"{deep} mm"))
        return max(float(r.use) for r in run(loaded(oar)) if r.check.startswith(kind))

    assert use(w, h) <= use(w + 1, h)
    assert use(w, h) <= use(w, h + 1)


@pytest.mark.parametrize("kind", ["dent", "tack holes", "knot"])
def test_the_same_place_without_the_flaw_is_used_less(kind: str) -> None:
    """Where nothing is taken, its bending is the shaft's own, beside the mouth with what that raises."""
    sizes = {"width": "0 mm", "depth": "0 mm"} if kind != "knot" else {"width": "0 mm"}
    none = lines(flawed(RIG, kind, "933.1 mm", "1.1 m", face="aft", **sizes))
    assert none[kind].use == pytest.approx(none["outer cradle, beside the mouth"].use, rel=2e-3)
    away = lines(flawed(RIG, kind, "1.0 m", "1.1 m", face="aft", **sizes))
    assert away[kind].use < none["bending"].use
    some = lines(flawed(RIG, kind, "933.1 mm", "1.1 m", face="aft", **dict.fromkeys(sizes, "8 mm")))
    assert some[kind].use > 1.05 * none[kind].use
    assert some[f"{kind}, life"].use > none[f"{kind}, life"].use
    assert some[f"{kind}, pressed"].use > none[f"{kind}, pressed"].use


def test_a_flaw_of_unknown_size_hangs_on_it() -> None:
    a = answer_doc(flawed(RIG, "knot", "900 mm", "910 mm", face="aft", width="unknown (2 mm to 50 mm)"), "oar")
    assert a.state == "NOT SETTLED"
    assert "holds if the width is" in a.unknown_words.lower()


# ------------------------------------------------------------------------------------------------- what sits on a shaft


@pytest.mark.parametrize("kind", ["leather", "ferrule"])
def test_nothing_may_sit_under_a_cradle(kind: str) -> None:
    for start, end, there in (("600 mm", "800 mm", True), ("932 mm", "1.0 m", True), ("934 mm", "1.0 m", False),
                              ("400 mm", "489 mm", False), ("400 mm", "491 mm", True)):  # fmt: skip
        assert state(flawed(RIG, kind, start, end)) == ("FALLS SHORT" if there else "HOLDS")
        assert state(flawed(ASH, kind, start, end)) == "HOLDS"


# ------------------------------------------------------------------------------------------------------- odd files


@pytest.mark.parametrize(("kind", "more", "words"), [
    ("crease", {}, "flaw.1.face: needed"),
    ("dent", {"face": "aft", "width": "3 mm"}, "flaw.1.depth: needed"),
    ("tack holes", {"face": "aft", "depth": "3 mm"}, "flaw.1.width: needed"),
    ("knot", {}, "flaw.1.width: needed"),
    ("leather", {"width": "3 mm"}, "flaw.1.width: says nothing of leather"),
    ("crease", {"face": "aft", "depth": "3 mm"}, "flaw.1.depth: says nothing of crease"),
    ("crack", {"face": "aft"}, "flaw.1.kind: 'crack' is not one of"),
    ("ferrule", {"to": "900 mm"}, "flaw.1.to: not beyond"),
    ("ferrule", {"to": "2.6 m"}, "flaw.1.to: past the tip"),
])  # fmt: skip
def test_flaws_that_can_not_be(kind: str, more: dict[str, str], words: str) -> None:
    with pytest.raises(InputError) as e:
        answer_doc(edit(RIG, ("flaw", [{"kind": kind, "from": "1.0 m", "to": "1.01 m", **more}])), "oar")
    assert words in str(e.value)


def test_every_flaw_stands_in_the_answer_by_name() -> None:
    all_of_them = [
        {"kind": kind, "from": f"{1000 + 30 * i} mm", "to": f"{1010 + 30 * i} mm", "face": "aft",
         **{k: "2 mm" for k in ("width", "depth") if kind in ("dent", "tack holes") or (kind, k) == ("knot", "width")}}
        for i, kind in enumerate(flaw.KINDS)
    ]  # fmt: skip
    doc = edit(RIG, ("flaw", all_of_them), ("oar.material", "laminate tube"))
    names = set(declared(built(doc)))
    assert names <= set(lines(doc))
    assert sum(name.partition(",")[0] in flaw.KINDS for name in names) == 1 + 3 * (3 + 1 + 2) + 2


# ------------------------------------------------------------------------------------- hollow, plugged, and no timber


def test_a_hollow_half_splits_in_its_cradle_unless_it_is_plugged() -> None:
    hollow = lines(HOLLOW)
    for which in ("inner", "outer"):
        assert not hollow[f"{which} cradle, ring bending"].met
        assert lines(PLUGGED)[f"{which} cradle, ring bending"].use == 0.0
    assert state(HOLLOW) == "FALLS SHORT"


def test_a_plug_as_long_as_the_cradle_and_a_depth_beyond() -> None:
    """The outer cradle is 240 mm, and at its mouth the shaft is 65.1 mm deep: 305.1 mm of plug."""
    for plug, met in (("304 mm", False), ("306 mm", True)):
        assert lines(edit(PLUGGED, ("rig.outer_plug", plug)))["outer cradle, ring bending"].met == met


@pytest.mark.source("Roark, ring under two opposite line loads, M = W r / pi (seen in an account): worked by hand")
def test_the_ring_by_hand() -> None:
    """A ring of 18 mm under the edge's line load, which dents with 4/pi times itself over the least width near it.

    A depth before the mouth the shaft is 67.8 mm, the greatest size that the edge presses.
    """
    beam = loaded(built(HOLLOW))
    once, found = beam.case("once"), {u.check: u for u in cradles(beam, beam.at(mesh(beam.shaft)))}
    big = 0.070 - 0.010 * 490.0 / 1920.0
    dents = max(float(found[f"inner cradle, bearing ({n})"].demand[once, 0]) for n in ("stiff", "springy"))
    narrow = 0.070 - 0.010 * 590.0 / 1920.0  # in the half of the cradle that begins at its mouth
    line = dents * narrow / (4.0 / np.pi)
    greatest = 0.070 - 0.010 * (490.0 - big * 1e3) / 1920.0
    moment = line * (greatest - 0.018) / 2.0 / np.pi
    expected = moment / (0.018**2 / 6.0)
    assert float(found["inner cradle, ring bending"].demand[once, 0]) == pytest.approx(expected, rel=1e-6)


@pytest.mark.source("stress over what a plug's end raises: 1.25 tapered, 1.5 square (judgement)")
def test_beside_a_plug() -> None:
    tapered, square = lines(PLUGGED), lines(edit(PLUGGED, ("rig.plug_ends", "square")))
    for which in ("inner", "outer"):
        name = f"{which} cradle, beside the plug"
        assert square[name].use == pytest.approx(tapered[name].use * 1.5 / 1.25, rel=5e-3)
    assert tapered["outer cradle, beside the plug"].x == pytest.approx(0.693 + 0.320)
    assert tapered["inner cradle, beside the plug"].x == pytest.approx(0.690 - 0.280)


@pytest.mark.parametrize(("changes", "words"), [
    ([("rig.plug_ends", None)], "rig.plug_ends: needed"),
    ([("oar.inside", "solid"), ("section", RIG["section"])], "rig.inner_plug: a plug in a shaft that is told"),
])  # fmt: skip
def test_plugs_that_can_not_be(changes: list[tuple[str, Any]], words: str) -> None:
    with pytest.raises(InputError) as e:
        answer_doc(edit(PLUGGED, *changes), "oar")
    assert words in str(e.value)


@pytest.mark.parametrize("doc", [RIG, ASH], ids=["hinged", "whole"])
@pytest.mark.parametrize("material", ["laminate tube", "metal tube"])
def test_what_is_no_timber_never_holds(doc: Doc, material: str) -> None:
    a = answer_doc(edit(doc, ("oar.material", material)), "oar")
    assert a.state == "NOT SETTLED"
    (line,) = (x for x in a.oars[0].lines if x.check == "material")
    assert "plug or a sleeve" in line.unknown
    assert state(edit(doc, ("oar.material", "glued up"))) == "HOLDS"
