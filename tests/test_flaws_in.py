"""Flaws where something else already asks much of the wood: beside other flaws, in a seat, in a joint."""

from __future__ import annotations

import re
import tomllib
from dataclasses import replace
from functools import cache
from pathlib import Path
from typing import Any

import numpy as np
import pytest
import tomli_w
from hypothesis import given, settings
from hypothesis import strategies as st
from test_flaws import ASH, HOLLOW, PLUGGED, RIG
from test_hinge import STOUT, built
from test_shaftfile import edit

from shaftcheck.answer import Line, answer_doc
from shaftcheck.checks import declared
from shaftcheck.checks.flaw import knot_left, left_of
from shaftcheck.checks.flaw_in import bearing_left, shear_left
from shaftcheck.cli import main
from shaftcheck.engine import run
from shaftcheck.errors import InputError
from shaftcheck.loads import loaded
from shaftcheck.model import number, stack

Doc = dict[str, Any]
FOLDER = Path(__file__).parent.parent / "examples"
SCARFED, TUBED, PLAIN = (
    tomllib.loads((FOLDER / f"{name}.toml").read_text(encoding="utf-8"))
    for name in ("two-wood-scarf", "takedown-oar-made-to-hold", "plain-oar")
)
SIZES = {"dent": ("width", "depth"), "tack holes": ("width", "depth"), "knot": ("width",)}


def one(kind: str, start: float, end: float, width: float = 4.0, depth: float = 3.0, face: str = "aft") -> Doc:
    """A flaw, its sizes in millimetres."""
    sizes = {"width": f"{width} mm", "depth": f"{depth} mm"}
    return {"kind": kind, "from": f"{start} mm", "to": f"{end} mm", **{k: sizes[k] for k in SIZES.get(kind, ())},
            **({"face": face} if face else {})}  # fmt: skip


def having(doc: Doc, *flaws: Doc) -> Doc:
    return edit(doc, ("flaw", list(flaws)))


def uses(doc: Doc) -> dict[str, float]:
    """The worst use of every comparison; infinite where it is not known, so that what is not known is never better."""
    out: dict[str, float] = {}
    for r in run(loaded(built(doc))):
        use = float(r.use) if bool(r.known) else np.inf
        out[r.check] = max(out.get(r.check, 0.0), use)
    return out


def lines(doc: Doc) -> dict[str, Line]:
    return {line.check: line for line in answer_doc(doc, "oar").oars[0].lines}


def state(doc: Doc) -> str:
    return answer_doc(doc, "oar").state


@cache
def base(name: str) -> Doc:
    return {"whole": ASH, "hinged": RIG, "hollow": PLUGGED, "scarfed": SCARFED}[name]


# ------------------------------------------------------------------------------------------------------ what is left


def test_a_notch_that_takes_the_section_leaves_nothing() -> None:
    """It once left more than all: both of its terms below zero."""
    d = 0.05
    a, i = number(np.pi * d * d / 4.0), number(np.pi * d**4 / 64.0)
    for w, h in ((0.082, 0.039), (0.05, 0.05), (0.01, 0.05), (0.01, 0.06), (0.10, 0.02)):
        assert left_of(w=number(w), h=number(h), D=number(d), A=a, I=i) == 0.0
    assert np.isnan(left_of(w=number(np.nan), h=number(0.01), D=number(d), A=a, I=i))
    assert np.isnan(left_of(w=number(0.01), h=number(np.nan), D=number(d), A=a, I=i))
    assert knot_left(k=number(0.06), D=number(d)) == 0.0


@given(*[st.floats(0.0, 0.12) for _ in range(3)], st.floats(0.02, 0.08))
@settings(max_examples=200, deadline=None)
def test_what_is_left_falls_from_one_to_nothing(w: float, h: float, more: float, d: float) -> None:
    a, i = number(np.pi * d * d / 4.0), number(np.pi * d**4 / 64.0)

    def left(wide: float, deep: float) -> float:
        return float(left_of(w=number(wide), h=number(deep), D=number(d), A=a, I=i))

    assert 0.0 <= left(w, h) <= 1.0
    assert left(w + more, h) <= left(w, h) + 1e-12
    assert left(w, h + more) <= left(w, h) + 1e-12
    assert float(knot_left(k=number(w + more), D=number(d))) <= float(knot_left(k=number(w), D=number(d)))


@pytest.mark.source("widths of wood left at the neutral plane of a grid of a square with holes, and bearing on them")
@pytest.mark.parametrize(
    ("w", "h", "g"), [(10, 5, 0), (10, 25, 0), (10, 30, 12), (4, 10, 20), (20, 20, 10), (2, 0, 40)]
)
def test_what_holes_leave_of_a_square_against_shear(w: int, h: int, g: int) -> None:
    """A square of 50 mm: a hole in its forward face, one in its upper, counted cell by cell.

    Shear stress is V Q / (I b), so its rise is bounded by what is left of Q / (I b); the rule must leave no more.
    """
    n = 50
    solid = np.ones((n, n), dtype=bool)  # fore and aft, up and down, in millimetres
    solid[:h, n // 2 - w // 2 : n // 2 + (w + 1) // 2] = False
    solid[n // 2 - w // 2 : n // 2 + (w + 1) // 2, :g] = False
    got = float(shear_left(w=number(w), k=number(0.0), h=number(h), g=number(g), d=number(n), b=number(n)))

    def worst(kept: np.ndarray[Any, Any]) -> float:
        """Greatest Q / (I b) for shear fore and aft."""
        rows = np.arange(n) + 0.5
        area = kept.sum(axis=1)
        middle = (rows * area).sum() / area.sum()
        second = (((rows - middle) ** 2 + 1.0 / 12.0) * area).sum()
        first = np.cumsum((rows - middle) * area)[:-1]
        return float((np.abs(first) / np.minimum(area[:-1], area[1:])).max() / second)

    true = min(worst(np.ones_like(solid)) / worst(k) for k in (solid, solid.T))
    assert got <= true + 0.02
    assert float(bearing_left(w=number(w), k=number(0.0), d=number(n))) == pytest.approx(
        solid[0].mean() if h else 1 - w / n
    )


# ------------------------------------------------------------------------------------------- more is never better

KIND = st.sampled_from(("dent", "tack holes", "knot"))
FACE = st.sampled_from(("forward", "aft", "upper", "lower", "all round", ""))
PLACE = st.sampled_from((100.0, 500.0, 660.0, 690.0, 905.0, 930.0, 950.0, 1200.0, 1700.0))
FLAW = st.tuples(KIND, PLACE, st.sampled_from((4.0, 30.0, 300.0)), st.integers(0, 30), st.integers(0, 30), FACE)


def of(flaw: tuple[str, float, float, int, int, str], *, wider: int = 0, deeper: int = 0, longer: float = 0.0) -> Doc:
    kind, start, length, width, depth, face = flaw
    return one(kind, start, start + length + longer, width + wider, depth + deeper, face)


@given(st.sampled_from(("whole", "hinged", "hollow", "scarfed")), FLAW, FLAW, st.integers(1, 6))
@settings(max_examples=40, deadline=None)
def test_a_larger_a_deeper_a_longer_or_another_flaw_lowers_no_use(
    name: str, first: tuple[Any, ...], second: tuple[Any, ...], by: int
) -> None:
    doc, a, b = base(name), of(first), of(second)
    before = uses(having(doc, a))
    worse = [(having(doc, of(first, wider=by)), 1e-9), (having(doc, a, b), 1e-9)]
    worse += [(having(doc, of(first, longer=10.0 * by)), 1e-3)]  # looked at in other points
    worse += [(having(doc, of(first, deeper=by)), 1e-9)] if first[0] != "knot" else []
    for other, near in worse:
        after = uses(other)
        for check, use in before.items():
            assert after[check] >= use * (1 - near), check


@given(st.sampled_from(("whole", "hinged", "hollow", "scarfed")), FLAW, FLAW)
@settings(max_examples=10, deadline=None)
def test_a_batch_answers_as_each_alone(name: str, first: tuple[Any, ...], second: tuple[Any, ...]) -> None:
    docs = [having(base(name), of(first), of(second)), having(base(name), of(first, wider=3, deeper=2), of(second)),
            having(base(name), of(first, longer=60.0), of(second))]  # fmt: skip
    shafts = [built(d) for d in docs]
    together = run(loaded(stack(shafts)))
    for i, shaft in enumerate(shafts):
        for row, alone in zip(together, run(loaded(shaft)), strict=True):
            assert row.check == alone.check
            assert bool(row.known[i]) == bool(alone.known)
            np.testing.assert_allclose(row.use[i], alone.use, rtol=1e-9)


@pytest.mark.parametrize("kind", list(SIZES))
@pytest.mark.parametrize("key", ["width", "depth"])
@pytest.mark.parametrize(("name", "start", "end"), [("whole", 670.0, 710.0), ("hinged", 700.0, 760.0),
                                                    ("hinged", 1100.0, 1110.0)])  # fmt: skip
def test_a_size_that_is_not_known_is_known_nowhere(kind: str, key: str, name: str, start: float, end: float) -> None:
    """Neither for the flaw nor for the one beside it."""
    if key not in SIZES[kind]:
        return
    shaft = built(having(base(name), one(kind, start, end), one("dent", end + 10.0, end + 20.0)))
    blank = replace(shaft, flaws=(replace(shaft.flaws[0], **{key: number(np.nan)}), shaft.flaws[1]))
    for row in run(loaded(blank)):
        if row.check in (kind, f"{kind}, life", f"{kind}, pressed", f"{kind}, shear", "dent", "dent, life"):
            assert not bool(row.known), row.check


# ---------------------------------------------------------------------------------------- flaws that share a section


@pytest.mark.source("ASTM D245: knots in one section are added (from memory); (1 - k/D)^2 at the section's place")
def test_knots_of_one_section_are_added() -> None:
    four = having(PLAIN, *(one("knot", 1300, 1310, 6, face=face) for face in ("forward", "aft", "upper", "lower")))
    together, single = lines(four)["knot"].use, lines(having(PLAIN, one("knot", 1300, 1310, 24)))["knot"].use
    assert together == pytest.approx(single, rel=1e-9)
    assert state(four) == "FALLS SHORT"
    apart = having(PLAIN, *(one("knot", 1000 + 120 * i, 1010 + 120 * i, 6) for i in range(4)))
    assert max(v.use for k, v in lines(apart).items() if k == "knot") < together / 1.5


def test_a_knot_in_what_a_dent_leaves() -> None:
    dent, knot = one("dent", 1300, 1310, 8, 6), one("knot", 1340, 1345, 8)
    both = lines(having(PLAIN, dent, knot))
    for alone in (dent, knot):
        assert both[alone["kind"]].use > 1.1 * lines(having(PLAIN, alone))[alone["kind"]].use
    far = lines(having(PLAIN, dent, one("knot", 1365, 1370, 8)))
    assert far["dent"].use == pytest.approx(lines(having(PLAIN, dent))["dent"].use, rel=1e-6)


def test_what_takes_the_whole_section_is_good_for_no_pull() -> None:
    gone = having(PLAIN, *(one("knot", 1300, 1310, 20) for _ in range(3)))
    a = answer_doc(gone, "oar")
    assert a.state == "FALLS SHORT"
    assert "Good for no pull" in a.oars[0].sentences[1]


# ------------------------------------------------------------------------------------------------------ in a seat


def test_tack_holes_under_the_leather_at_the_lock_are_reckoned_with_and_settled() -> None:
    """The common case: it lowers what the lock may press, and does not bar the oar."""
    row = having(PLAIN, one("tack holes", 600, 780, 4, 10))
    sound, found = lines(PLAIN), lines(row)
    seat = found["tack holes, within the lock's seat"]
    assert seat.known
    assert state(row) == "HOLDS"
    least = 0.05 - 0.002 * (690.0 + 19.0 - 240.0) / 720.0  # up and down, at the seat's outer end
    assert seat.use == pytest.approx(sound["bearing at the lock"].use / (1.0 - 0.004 / least), rel=1e-3)


@pytest.mark.parametrize(("name", "start", "end", "seat"), [
    ("whole", 670, 700, "lock's seat"), ("hinged", 510, 560, "inner cradle"), ("hinged", 890, 930, "outer cradle"),
])  # fmt: skip
@pytest.mark.parametrize("kind", list(SIZES))
def test_a_flaw_in_a_seat_meets_what_the_seat_asks(kind: str, name: str, start: int, end: int, seat: str) -> None:
    check = f"{kind}, within the {seat}"
    sound = lines(base(name))
    asked = [v.use for k, v in sound.items() if k.startswith(seat) or (name == "whole" and k == "bearing at the lock")]
    in_it = lines(having(base(name), one(kind, start, end, 12, 6)))[check]
    assert in_it.known
    assert in_it.use > 1.1 * max(asked[:1])
    beside = lines(having(base(name), one(kind, 1200, 1210, 12, 6)))[check]
    assert beside.known
    assert beside.use == 0.0


def test_a_cradle_over_a_wide_dent_falls_short() -> None:
    worn = having(RIG, one("dent", 880, 932, 60, 6))
    assert state(worn) == "FALLS SHORT"
    assert not lines(worn)["dent, within the outer cradle"].met


def test_faces_are_told_apart_under_the_lock() -> None:
    """Wear on four faces presses each face on what is left of it alone."""
    four = having(PLAIN, *(one("dent", 685, 695, 15, 2.5, face) for face in ("aft", "forward", "upper", "lower")))
    same = having(PLAIN, *(one("dent", 685, 695, 15, 2.5) for _ in range(4)))
    check = "dent, within the lock's seat"
    single = lines(having(PLAIN, one("dent", 685, 695, 15, 2.5)))[check].use
    assert lines(four)[check].use == pytest.approx(single, rel=1e-9)
    assert not lines(same)[check].met
    assert state(four) == "FALLS SHORT"  # of what is left to bend


def test_beside_a_bolt_or_a_plugs_end_it_is_not_settled() -> None:
    assert STOUT["rig"]["bolts"] == "through"
    assert not lines(having(STOUT, one("knot", 700, 705, 3)))["knot, within the outer cradle"].known
    plug_end = 693 + 320
    assert not lines(having(PLUGGED, one("knot", plug_end + 5, plug_end + 10, 3)))[
        "knot, within the outer cradle"
    ].known
    assert state(having(PLUGGED, one("knot", plug_end + 5, plug_end + 10, 3))) != "HOLDS"


def test_a_hole_through_the_wall_of_a_hollow_half_in_its_cradle() -> None:
    thick = edit(HOLLOW, ("section", [{**s, "wall": "29 mm"} for s in RIG["section"]]), ("rig.clamp_force", "10 N"),
                 ("rig.liner", "rubber"), ("rig.liner_thickness", "20 mm"))  # fmt: skip
    check = "tack holes, within the outer cradle"
    some, through = (lines(having(thick, one("tack holes", 890, 930, 3, d)))[check] for d in (5, 29))
    assert some.known
    assert some.use < through.use
    assert not through.met
    beyond = lines(having(thick, one("tack holes", 940, 950, 3, 29)))[check]  # the edge's squeeze reaches there
    assert not beyond.met


# ------------------------------------------------------------------------------------------------------ in a joint


@pytest.mark.parametrize("kind", list(SIZES))
@pytest.mark.parametrize(("doc", "joint", "start", "end"), [
    (SCARFED, "scarf", 1205, 1215), (SCARFED, "scarf", 898, 904), (TUBED, "takedown", 1000, 1170),
    (TUBED, "takedown", 960, 970),
])  # fmt: skip
def test_a_flaw_in_a_joint_or_near_it_is_outside_the_method(
    doc: Doc, joint: str, start: int, end: int, kind: str
) -> None:
    flawed = having(doc, one(kind, start, end, 8, 3))
    assert state(doc) == "HOLDS"
    a = answer_doc(flawed, "oar")
    assert a.state == "NOT SETTLED"
    (line,) = (li for li in a.oars[0].lines if li.check == f"{kind}, within the {joint}")
    assert not line.known
    assert f"sound wood in the {joint}" in line.unknown
    clear = having(doc, one(kind, 400, 410, 2, 1))
    assert state(clear) == "HOLDS"


@pytest.mark.parametrize("kind", ["leather", "ferrule"])
def test_nothing_sits_under_a_tube(kind: str) -> None:
    for start, end, there in ((1000, 1370, True), (1411, 1430, True), (1413, 1430, False), (900, 947, False)):
        assert state(having(TUBED, one(kind, start, end, face=""))) == ("FALLS SHORT" if there else "HOLDS")


# ------------------------------------------------------------------------------------------------------ elsewhere


def test_a_dent_near_the_hand_meets_the_shear_there() -> None:
    """Nothing bends there, and what is left must still carry the pull."""
    a = lines(having(PLAIN, one("dent", 71, 73, 36, 30)))
    assert a["dent, shear"].x < 0.08
    assert not a["dent, shear"].met


def test_a_long_row_is_looked_at_where_the_shaft_is_bent_most() -> None:
    """At the lock, however its ends lie; nine even points once passed it by."""
    for start, end in ((100.0, 1871.0), (333.0, 1777.0)):
        long, short = (lines(having(PLAIN, one("tack holes", *at, 6, 8))) for at in ((start, end), (689.0, 691.0)))
        assert long["tack holes"].use >= short["tack holes"].use * (1 - 1e-6)


def test_every_flaw_s_comparisons_are_declared() -> None:
    for doc in (PLAIN, RIG, PLUGGED, SCARFED, TUBED):
        flawed = having(doc, *(one(kind, 1500 + 10 * i, 1505 + 10 * i, face="") for i, kind in enumerate(SIZES)),
                        one("leather", 300, 320, face=""))  # fmt: skip
        found = {r.check for r in run(loaded(built(flawed)))}
        assert found >= set(declared(built(flawed)))


@pytest.mark.parametrize(("width", "depth", "wrong"), [
    (82, 39, "flaw.1.width: wider than the shaft is there"), (9, 51, None), (9, 49.9, "flaw.1.depth: deeper than"),
])  # fmt: skip
def test_a_flaw_greater_than_the_shaft_is_a_fault(
    width: float, depth: float, wrong: str | None, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    path = tmp_path / "oar.toml"
    path.write_text(tomli_w.dumps(having(PLAIN, one("dent", 1300, 1310, width, depth))), encoding="utf-8")
    assert main(["check", str(path)]) == 2
    said = capsys.readouterr().err.splitlines()
    assert len(said) == 1
    if wrong:
        assert wrong in said[0]


def test_the_size_that_a_fault_says_to_write_fits() -> None:
    for kept in (one("dent", 1300, 1310, 82, 39), one("tack holes", 1200, 1300, 9, 49, "upper"), one("knot", 5, 9, 60)):
        for system in ("metric", "inches"):
            doc = edit(having(PLAIN, kept), ("answer_in", system))
            with pytest.raises(InputError) as e:
                answer_doc(doc, "oar")
            ((key, size),) = re.findall(r'write (\w+) = "(.+?)" at most', str(e.value))
            answer_doc(edit(doc, (f"flaw.0.{key}", size)), "oar")


@pytest.mark.parametrize("changes", [(), (("rower.strength", "general"),)], ids=["that alone", "weak besides"])
def test_what_sits_under_a_tube_is_to_be_taken_off_there(changes: tuple[tuple[str, str], ...]) -> None:
    under = edit(having(TUBED, one("leather", 1000, 1370, face="")), *changes)
    bare = edit(TUBED, *changes)
    a, b = (answer_doc(doc, "oar").oars[0] for doc in (under, bare))
    off = "the leather taken off where the takedown's tube lies"
    assert a.state == "FALLS SHORT"
    assert a.advice == ((off,) if b.state == "HOLDS" else tuple(f"{off}, and {words}" for words in b.advice))
    assert off in a.sentences[1]
    assert a.advice
