"""Inputs that are unknown: every claim about them is tried again with the value told."""

from __future__ import annotations

import itertools
import math
import re
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from hypothesis import Phase, given, settings
from hypothesis import strategies as st
from test_answer import QUIET
from test_shaftfile import JOINT, PLAIN, Doc, edit, toml

from shaftcheck.answer import Answer, answer_doc
from shaftcheck.border.shown import say
from shaftcheck.cli import main
from shaftcheck.errors import InputError
from shaftcheck.show.record import record
from shaftcheck.show.table import brief, full

TIGHT = edit(PLAIN, ("oar.blade_area", "0.062 m2"), ("rower.strength", "general"),
             ("section", [{"at": "0 mm", "across": "40 mm"}, {"at": "250 mm", "across": "57 mm"},
                          {"at": "960 mm", "across": "57 mm"}, {"at": "1.92 m", "across": "44 mm"}]))  # fmt: skip
"""holds, with little left"""
UNKNOWN: list[tuple[str, str]] = [
    ("wood.0.runout", "unknown"),
    ("wood.0.runout", "unknown (1:25 to 1:10)"),
    ("oar.blade_area", "unknown (0.04 m2 to 0.069 m2)"),
    ("care.kept", "unknown"),
    ("care.kept", "unknown (varnished, bare)"),
    ("wood.0.of", "unknown (Sitka spruce (US), Western redcedar (US))"),
    ("wood.0.of", "unknown (White ash, Sitka spruce (US), White spruce (US))"),
    ("wood.0.moisture", "unknown (10 % to 24 %)"),
    ("rower.strength", "unknown"),
    ("rower.hands", "unknown"),
    ("duty.levering", "unknown"),
    ("duty.boat_speed", "unknown"),
    ("duty.strokes", "unknown (1000000 to 30000000)"),
    ("rig.lock", "unknown (550 mm to 850 mm)"),
    ("rig.hand", "unknown"),
    ("rig.lock_touches", "unknown"),
    ("rig.lock_stays_wet", "unknown"),
    ("oar.blade_weight", "unknown"),
    ("oar.water_off_axis", "unknown"),
    ("section.1.across", "unknown (50 mm to 60 mm)"),
    ("section.3.across", "unknown (35 mm to 50 mm)"),
    ("factors.own_divisor", "unknown (0.8 to 1.3)"),
    ("rower.greatest_pull", "unknown (400 N to 1200 N)"),
]


def told(a: Answer, path: str) -> list[Any]:
    """Return what an unknown input was tried at, as it would be told."""
    entry = a.reading.entries[path]
    units = {"length": " m", "area": " m2", "mass": " kg", "force": " N", "speed": " m/s"}

    def one(value: Any) -> Any:
        if isinstance(value, str):
            return value
        if entry.key.kind == "slope":
            return f"{value:.15f} mm in 1.0 mm" if value > 1 else f"1:{1 / value:.12f}"
        if entry.key.kind == "moisture":
            return f"{value * 100:.12f} %"
        if entry.key.kind in ("count", "ratio"):
            return repr(value)
        return f"{value:.15f}".rstrip("0").rstrip(".")[:16] + units[entry.key.kind]

    return [one(o) for o in entry.options]


def in_doc(path: str) -> str:
    return ".".join(str(int(p) - 1) if p.isdigit() else p for p in path.split("."))


def in_file(path: str) -> str:
    return ".".join(str(int(p) + 1) if p.isdigit() else p for p in path.split("."))


def brute(doc: Doc, paths: list[str], a: Answer) -> dict[tuple[int, ...], str]:
    """Return the verdict at every combination of told values."""
    options = [told(a, path) for path in paths]
    return {
        index: answer_doc(
            edit(doc, *((in_doc(p), o[i]) for p, o, i in zip(paths, options, index, strict=True))), "t"
        ).state
        for index in itertools.product(*(range(len(o)) for o in options))
    }


def agrees(a: Answer, states: dict[tuple[int, ...], str]) -> None:
    """Check the verdict and the words over all unknown inputs against what was found one by one."""
    found = set(states.values())
    if found == {"HOLDS"}:
        assert a.state == "HOLDS"
        assert a.unknown_words.startswith("Holds whatever it is")
    elif found == {"FALLS SHORT"}:
        assert a.state == "FALLS SHORT"
        assert a.unknown_words.startswith("Falls short whatever it is")
    else:
        assert a.state == "NOT SETTLED"
        assert "whatever it is:" not in a.unknown_words or found == {"NOT SETTLED"}


SHORT = edit(TIGHT, ("rower.greatest_pull", "1500 N"))
ONE = [(TIGHT, *u) for u in UNKNOWN] + [(base, *UNKNOWN[1]) for base in (PLAIN, SHORT)]


@pytest.mark.parametrize(("base", "path", "text"), ONE)
def test_one_unknown_input_against_every_value_told(base: Doc, path: str, text: str) -> None:
    doc = edit(base, (path, text))
    a = answer_doc(doc, "oar")
    where = in_file(path)
    states = brute(doc, [where], a)
    agrees(a, states)
    (u,) = a.unknowns
    assert u.path == where
    good = [i for (i,), state in states.items() if state == "HOLDS"]
    if not good:
        assert u.words.startswith("no ")
    elif len(good) == len(states):
        assert "whatever" in u.words
    else:
        assert u.words.startswith("holds if")
        assert f"Measure next: {where}" in a.unknown_words
        assert a.unknown_words.lower().find(u.words.lower()) >= 0
        if isinstance(a.reading.entries[where].options[0], str):
            for i, name in enumerate(a.reading.entries[where].options):
                assert (str(name) in u.words.partition(" is ")[2].split(" or ")) == (i in good)
    assert u.settles == 1.0
    assert a.unknown_words
    for view in (full(a), brief(a)):
        assert a.unknown_words[:25] in " ".join(view.split())
    r = record(a)
    assert r["inputs"][where]["known"] == "unknown"
    assert r["inputs"][where]["written"] == text
    assert len(r["inputs"][where]["tried"]) == len(states)
    assert "understood" not in r["inputs"][where]


LIMIT = re.compile(r"holds if the .* is (?P<size>.*) or (?P<way>less|more|flatter|steeper) \(tried to .*\)$")


@pytest.mark.parametrize(("path", "text"), [u for u in UNKNOWN if u[0] not in ("care.kept", "wood.0.of")])
def test_the_limit_that_is_named_does_hold_when_told(path: str, text: str) -> None:
    """As it is written in the answer, in both systems: nothing may be rounded to the unsafe side."""
    for system in ("metric", "inches"):
        a = answer_doc({**edit(TIGHT, (path, text)), "answer_in": system}, "oar")
        (u,) = a.unknowns
        m = LIMIT.fullmatch(u.words)
        if m is not None:
            assert answer_doc(edit(TIGHT, (path, m["size"])), "told").state == "HOLDS", u.words


@pytest.mark.parametrize(("low", "high"), [("1000000", "29999999"), ("2345678", "29876543"), ("1234567", "9876543")])
def test_a_number_of_strokes_is_not_rounded_up(low: str, high: str) -> None:
    """Three digits, to the nearest, of a count that just holds."""
    for size in np.linspace(55.0, 57.0, 7):
        sized = edit(TIGHT, ("section.1.across", f"{size:.4f} mm"), ("section.2.across", f"{size:.4f} mm"))
        a = answer_doc(edit(sized, ("duty.strokes", f"unknown ({low} to {high})")), "oar")
        m = LIMIT.fullmatch(a.unknowns[0].words)
        if m is not None:
            assert answer_doc(edit(sized, ("duty.strokes", m["size"])), "told").state == "HOLDS", m[0]


PAIRS: list[tuple[str, str]] = [
    ("wood.0.runout", "unknown (1:25 to 1:10)"),
    ("care.kept", "unknown"),
    ("wood.0.of", "unknown (Sitka spruce (US), Western redcedar (US), Azobe)"),
    ("duty.levering", "unknown"),
]


@pytest.mark.slow
@pytest.mark.parametrize("pair", list(itertools.combinations(PAIRS, 2)))
def test_two_unknown_inputs_against_every_pair_told(pair: tuple[tuple[str, str], tuple[str, str]]) -> None:
    doc = edit(TIGHT, *pair)
    a = answer_doc(doc, "oar")
    paths = [u.path for u in a.unknowns]
    states = brute(doc, paths, a)
    agrees(a, states)
    parts = {}
    for k, u in enumerate(a.unknowns):
        values = sorted({index[k] for index in states})
        each = [{s for index, s in states.items() if index[k] == v} for v in values]
        good = [v for v, s in zip(values, each, strict=True) if s == {"HOLDS"}]
        parts[u.path] = sum(s in ({"HOLDS"}, {"FALLS SHORT"}) for s in each) / len(each)
        assert u.settles == pytest.approx(parts[u.path])
        assert u.words.startswith("no ") == (not good)
        assert ("whatever" in u.words) == (len(good) == len(each))
    if "Measure next" in a.unknown_words:
        named = re.search(r"Measure next: ([^,]*),", a.unknown_words)
        assert named
        assert parts[named[1]] == max(parts.values())


def test_what_depends_ends_with_code_one(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    path = tmp_path / "oar.toml"
    path.write_text(toml(edit(TIGHT, ("wood.0.runout", "unknown"))), encoding="utf-8")
    assert main(["check", str(path)]) == 1
    out = capsys.readouterr().out
    assert "NOT SETTLED" in out
    assert "Measure next: wood.1.runout" in " ".join(out.split())


# places that are unknown ---------------------------------------------------------------------------------------------

NAILED = edit(PLAIN, ("rower.strength", "light"), ("rig.lock_touches", "14 mm"), ("duty.levering", "never"),
              ("flaw", [{"kind": "tack holes", "from": "669 mm", "to": "671 mm", "face": "upper", "width": "6 mm",
                         "depth": "6 mm"}]))  # fmt: skip
"""holes that a seat of 14 mm lies over only where the lock is within 8 mm of them"""
ANYWHERE = "unknown (600 mm to 760 mm)"


def test_a_short_weak_place_between_the_places_that_are_tried_is_found() -> None:
    """Nine places, 20 mm apart, all hold; between two of them the lock stands over tack holes and falls short."""
    told = {x: answer_doc(edit(NAILED, ("rig.lock", f"{x} mm")), "oar").state for x in (*range(600, 761, 20), 666)}
    assert told.pop(666) == "FALLS SHORT"
    assert set(told.values()) == {"HOLDS"}
    a = answer_doc(edit(NAILED, ("rig.lock", ANYWHERE)), "oar")
    assert a.state == "NOT SETTLED"
    assert re.search(
        r"holds if the place of the lock is 600 mm to 66\d mm or 67\d mm to 760 mm", a.oars[0].sentences[0]
    )


@settings(QUIET, max_examples=6, phases=[Phase.generate])
@given(data=st.data())
def test_what_holds_wherever_the_lock_is_holds_there(data: st.DataObject) -> None:
    """Locks at random, most of them about the holes."""
    at, seat, deep = (data.draw(st.integers(*ends)) for ends in ((640, 720), (12, 40), (1, 8)))
    hole = {**NAILED["flaw"][0], "from": f"{at} mm", "to": f"{at + 2} mm", "depth": f"{deep} mm"}
    doc = edit(NAILED, ("flaw", [hole]), ("rig.lock_touches", f"{seat} mm"))
    a = answer_doc(edit(doc, ("rig.lock", ANYWHERE)), "oar")
    beside = st.floats(-30.0, 30.0).map(lambda d: at + d)
    states = {answer_doc(edit(doc, ("rig.lock", f"{data.draw(beside):.2f} mm")), "oar").state for _ in range(6)}
    if a.state == "HOLDS":
        assert states == {"HOLDS"}
    if a.state == "FALLS SHORT":
        assert states == {"FALLS SHORT"}


def test_places_too_far_apart_for_what_is_between_them_are_not_settled() -> None:
    """Half a metre in steps of 2 mm, and a hole of 2 mm: nothing that was tried may lie over it."""
    hole = {**NAILED["flaw"][0], "width": "1 mm", "depth": "0.5 mm"}
    wide = edit(NAILED, ("flaw", [hole]), ("rig.lock_touches", "38 mm"), ("rig.lock", "unknown (400 mm to 900 mm)"),
                ("section", [{"at": "0 mm", "across": "70 mm"}, {"at": "1.92 m", "across": "70 mm"}]))  # fmt: skip
    a = answer_doc(wide, "oar")
    assert a.state == "NOT SETTLED"
    assert "nothing was tried between 400 mm and 402 mm" in a.unknown_words
    assert "tried at places too far apart" in a.oars[0].sentences[0]
    near = answer_doc(edit(wide, ("rig.lock", "unknown (600 mm to 760 mm)")), "oar")
    assert near.state == "HOLDS"


def test_a_size_that_moves_no_place_is_tried_as_before() -> None:
    a = answer_doc(edit(NAILED, ("section.1.across", "unknown (50 mm to 60 mm)")), "oar")
    assert len(a.reading.entries["section.2.across"].options) == 9


# what must not be said -----------------------------------------------------------------------------------------------


@pytest.mark.parametrize("woods", [("Sitka spruce (US)", "Azobe"), ("Azobe", "Sitka spruce (US)")])
def test_a_wood_that_may_lack_a_value_never_holds(woods: tuple[str, str]) -> None:
    a = answer_doc(edit(PLAIN, ("wood.0.of", f"unknown ({', '.join(woods)})")), "oar")
    assert a.state == "NOT SETTLED"


def test_not_settled_whatever_it_is_is_said_only_where_it_is_so() -> None:
    a = answer_doc(edit(PLAIN, ("wood.0.of", "unknown (Sitka spruce (US), Azobe)")), "oar")
    assert "whatever it is" not in a.unknown_words
    assert "Sitka spruce (US)" in a.unknown_words


def test_a_blade_area_that_is_unknown_without_a_range() -> None:
    a = answer_doc(edit(PLAIN, ("oar.blade_area", "unknown")), "oar")
    tried = [float(o) for o in a.reading.entries["oar.blade_area"].options]
    assert max(tried) <= 0.540 * 0.128 * (1 + 1e-9), "never above its rectangle"
    agrees(a, brute(edit(PLAIN, ("oar.blade_area", "unknown")), ["oar.blade_area"], a))


def test_walls_in_an_oar_that_may_be_solid() -> None:
    doc = edit(PLAIN, ("oar.inside", "unknown"), ("section", [{**s, "wall": "11 mm"} for s in PLAIN["section"]]))
    a = answer_doc(doc, "oar")
    solid = answer_doc(PLAIN, "oar").state
    hollow = answer_doc(edit(doc, ("oar.inside", "hollow")), "oar").state
    assert solid == "HOLDS"
    assert hollow == "FALLS SHORT"
    assert a.state == "NOT SETTLED"
    assert "holds if the inside of the shaft is solid" in a.unknown_words.lower()
    assert "Measure next: oar.inside" in a.unknown_words


def test_an_unchecked_joint_is_not_settled_whatever_the_grain_is() -> None:
    a = answer_doc(edit(TIGHT, ("wood.0.runout", "unknown"), ("joint", [JOINT]), ("rower.strength", "light")), "oar")
    assert a.state == "NOT SETTLED"


def many(n: int) -> Iterator[tuple[str, str]]:
    """Yield n unknown inputs that each matter a little."""
    yield from itertools.islice(
        [
            ("rower.steady_pull", "unknown (140 N to 150 N)"),
            ("wood.0.runout", "unknown (1:25 to 1:16)"),
            ("wood.0.moisture", "unknown (10 % to 17 %)"),
            ("factors.own_divisor", "unknown (0.95 to 1.05)"),
            ("rower.start_pull", "unknown (450 N to 500 N)"),
            ("rower.hard_pull", "unknown (250 N to 300 N)"),
            ("rig.hand", "unknown (60 mm to 80 mm)"),
            ("section.1.across", "unknown (56 mm to 57 mm)"),
            ("section.2.across", "unknown (56 mm to 57 mm)"),
            ("duty.strokes", "unknown (2000000 to 3000000)"),
            ("rower.greatest_pull", "unknown (650 N to 700 N)"),
            ("rig.lock", "unknown (680 mm to 690 mm)"),
        ],
        n,
    )


def corner(doc: Doc, unknown: list[tuple[str, str]]) -> Doc:
    """Return the document with every unknown input at its worse end."""
    better_high = ("section.1.across", "section.2.across")
    worse_low = ("rig.hand",)
    ends = []
    for path, text in unknown:
        low, high = text.removeprefix("unknown (").removesuffix(")").split(" to ")
        ends.append((path, low if path in better_high or path in worse_low else high))
    return edit(doc, *ends)


def scaled(scale: float, n: int) -> tuple[Doc, list[tuple[str, str]]]:
    """Return a shaft of a size, with its unknown inputs about it."""
    section = [{k: v if k == "at" else f"{float(v.split()[0]) * scale:.6f} mm" for k, v in s.items()}
               for s in TIGHT["section"]]  # fmt: skip
    named = []
    for path, text in many(n):
        if path.startswith("section"):
            low = float(section[int(path.split(".")[1])]["across"].split()[0])
            text = f"unknown ({low:.6f} mm to {low + 1:.6f} mm)"
        named.append((path, text))
    return edit(TIGHT, ("section", section)), named


def barely(n: int) -> tuple[Doc, list[tuple[str, str]]]:
    """Return a shaft that just falls short where every unknown input is at its worse end, with these inputs."""
    low, high = 0.8, 1.4
    for _ in range(9):
        middle = (low + high) / 2.0
        holds = answer_doc(corner(*scaled(middle, n)), "worst").state == "HOLDS"
        low, high = (low, middle) if holds else (middle, high)
    return scaled(low, n)


@pytest.mark.slow
@pytest.mark.parametrize("n", [11])
def test_the_worst_of_many_unknown_inputs_is_found(n: int) -> None:
    doc, unknown = barely(n)
    assert answer_doc(corner(doc, unknown), "worst").state == "FALLS SHORT"
    a = answer_doc(edit(doc, *unknown), "oar")
    assert a.state != "HOLDS", a.unknown_words
    assert not a.unknown_words.startswith("Holds whatever")


@pytest.mark.slow
@pytest.mark.parametrize("n", [6])
def test_a_claim_over_many_unknown_inputs_holds_at_the_worst_of_the_others(n: int) -> None:
    """'holds if' one of them is so, whatever the others are: so at their worse ends, too."""
    doc, unknown = barely(n)
    a = answer_doc(edit(doc, *unknown), "oar")
    for u in a.unknowns:
        assert "whatever" not in u.words
        m = LIMIT.fullmatch(u.words)
        if m is not None:
            told_it = edit(corner(doc, unknown), (in_doc(u.path), m["size"]))
            assert answer_doc(told_it, "told").state == "HOLDS", u.words


def test_too_many_unknown_inputs_are_refused_and_not_tried_in_part() -> None:
    doc, unknown = scaled(1.0, 12)
    more = [("oar.blade_weight", "unknown"), ("oar.water_off_axis", "unknown"), ("rig.lock_touches", "unknown")]
    with pytest.raises(InputError, match="too many"):
        answer_doc(edit(doc, *unknown, *more), "oar")


def test_a_limit_in_the_middle_of_a_narrow_range_is_not_turned_over() -> None:
    """A range of 0.2 mm, that is finer than what lengths are shown to."""
    for low in np.arange(55.0, 57.4, 0.18):
        doc = edit(TIGHT, ("section.1.across", f"unknown ({low:.2f} mm to {low + 0.2:.2f} mm)"))
        (u,) = answer_doc(doc, "oar").unknowns
        m = LIMIT.fullmatch(u.words)
        if m is not None:
            assert answer_doc(edit(TIGHT, ("section.1.across", m["size"])), "told").state == "HOLDS"


# how a value is known ------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("how", ["measured", "assumed", "from the table"])
def test_how_a_value_is_known_stands_in_text_and_record(how: str) -> None:
    a = answer_doc(edit(PLAIN, ("rig.lock", f"690 mm ({how})"), ("rower.hands", f"one ({how})")), "oar")
    r = record(a)["inputs"]
    for path, value in (("rig.lock", "690 mm"), ("rower.hands", "one")):
        assert r[path]["known"] == how
        assert r[path]["written"] == value
    assert r["rig.lock"]["understood"] == {"value": 0.690, "unit": "m"}
    assert r["oar.length"]["known"] == "told"
    assert r["duty.strokes"]["known"] == "assumed"
    text = full(a)
    (line,) = [line for line in text.splitlines() if line.lstrip().startswith("rig.lock ") or " rig.lock " in line]
    assert f"({how})" in line
    same = answer_doc(PLAIN, "oar")
    assert repr(a.oars[0].lines) == repr(same.oars[0].lines)


def test_every_assumption_is_told() -> None:
    a = answer_doc(PLAIN, "oar")
    said = " ".join(full(a).split())
    for entry in a.reading.entries.values():
        if entry.how == "assumed":
            (words,) = [say(w) for w in a.oars[0].assumptions if w.text == entry.key.why]
            assert words in said
            assert entry.text in words or "{taken}" not in entry.key.why
    assert not math.isnan(a.oars[0].damage)
