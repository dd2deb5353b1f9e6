"""The pulls to work to, typed back into the file that they are told of: they hold as one, and little more does not."""

from __future__ import annotations

import math
from collections.abc import Mapping
from pathlib import Path
from typing import Any

import pytest
from hypothesis import Phase, assume, given, settings
from hypothesis import strategies as st
from test_answer import QUIET, shafts
from test_shaftfile import edit

import shaftcheck
from shaftcheck import engine
from shaftcheck.answer import cases_of, lines_of
from shaftcheck.border.shaftfile import changed, parse, read
from shaftcheck.engine import refined, uses
from shaftcheck.frozen import frozen
from shaftcheck.loads import loaded
from shaftcheck.loads.rowers import BOTH_HANDS, CLASSES
from shaftcheck.model import number
from shaftcheck.outcome import CaseLine, Line
from shaftcheck.pulls import pulls_to_work_to
from shaftcheck.settle import settle

FOLDER = Path(__file__).parent.parent / "examples"
FILES = sorted(p for p in FOLDER.rglob("*.toml") if "shelf" not in p.parts)
KEY = {"once": "greatest_pull", "start": "start_pull", "hard": "hard_pull", "steady": "steady_pull"}
PULLED = ("steady", "hard", "start", "once")


def told(path: Path) -> dict[str, Any]:
    doc = parse(path.read_text("utf-8"), path.name)
    return {**(changed(doc) or doc), "answer_in": "metric"}


@frozen
class Found:
    """What is found of an oar; an answer without what would change it, which takes long to find."""

    lines: tuple[Line, ...]
    cases: tuple[CaseLine, ...]
    pulls: Mapping[str, float]
    asked: Mapping[str, float]

    @property
    def holds(self) -> bool:
        return all(line.met for line in self.lines)


def find(doc: dict[str, Any]) -> Found:
    built = settle(read(doc, "oar"), None).built
    beam = loaded(built.shaft, number(built.own))
    x = refined(beam)
    found = uses(beam, x)
    lines, cases = lines_of(beam, engine.worst(beam, found)), cases_of(beam, found)
    asked = {c.key: float(c.pull) for c in beam.cases if c.key in KEY}
    return Found(lines=lines, cases=cases, pulls=pulls_to_work_to(beam, x, lines, cases), asked=asked)


def typed(doc: dict[str, Any], pulls: Mapping[str, float]) -> Found:
    """Return the oar with pulls written into its file, rounded down as a page does."""
    more = [(f"rower.{KEY[k]}", f"{math.floor(v * 1e4) / 1e4:.4f} N") for k, v in pulls.items()]
    return find(edit(doc, *more))


def worst(oar: Found, cases: tuple[str, ...] = PULLED) -> float:
    """Return the worst use of what pulls bring about, and of what wears out."""
    return max(
        *(c.use for c in oar.cases if c.case in cases),
        *(line.use for line in oar.lines if line.kind == "wears out"),
    )


def holds_as_a_set(doc: dict[str, Any]) -> None:
    oar = find(doc)
    pulls = oar.pulls
    if any(math.isnan(v) for v in pulls.values()):
        assert any(not line.known for line in oar.lines)
        return
    assert 0.0 <= pulls["steady"] <= pulls["hard"] <= pulls["start"] <= pulls["once"] < math.inf
    if pulls["steady"] < 1.0:
        return
    who = doc["rower"]
    least = CLASSES[who["strength"]]["once"] * (BOTH_HANDS if who["hands"] == "both" else 1.0)
    cases = (*PULLED, "back") if pulls["once"] >= least or oar.holds else PULLED
    again = typed(doc, pulls)
    if oar.holds:
        assert again.holds, again.lines[0]
        assert typed(doc, {"once": pulls["once"]}).holds
        assert all(v >= oar.asked[k] * (1.0 - 1e-9) for k, v in pulls.items())
    elif "back" in cases:
        assert worst(again, cases) <= 1.0
    else:  # a push of the class's rower acts beside it, and so does its part of a life
        assert max(c.use for c in again.cases if c.case == "once") <= 1.0
    assert worst(typed(doc, {k: v * 1.003 for k, v in pulls.items()}), (*PULLED, "back", "caught")) > 1.0


@pytest.mark.parametrize("file", FILES, ids=lambda p: p.stem)
def test_what_is_told_holds_as_a_set(file: Path) -> None:
    holds_as_a_set(told(file))


@pytest.mark.parametrize(("strokes", "hands"), [(30_000_000, "one"), (3_000_000, "both"), (10_000, "one")])
def test_so_it_does_for_a_long_life_and_a_short_one(strokes: int, hands: str) -> None:
    """Of a long life the push in backing is the first to be met: it bends the shaft to and fro."""
    plain = told(FOLDER / "plain-oar.toml")
    holds_as_a_set(edit(plain, ("duty.strokes", strokes), ("rower.strength", "light"), ("rower.hands", hands)))


def test_a_pull_that_the_push_in_backing_bars_is_not_told() -> None:
    oar = find(edit(told(FOLDER / "plain-oar.toml"), ("duty.strokes", 30_000_000)))
    once, back = (next(c for c in oar.cases if c.case == key) for key in ("once", "back"))
    assert oar.pulls["once"] < back.good_for * 400 / 251 < once.good_for


@pytest.mark.parametrize("name", ["plain-oar.toml", "takedown-oar-made-to-hold.toml"])
def test_so_it_does_where_the_hands_hold_a_caught_blade(name: str) -> None:
    doc = edit(told(FOLDER / name), ("duty.handle_free", "yes"), ("duty.boat_speed", "4 m/s"))
    holds_as_a_set(doc)


@pytest.mark.parametrize(("shape", "rig"), [
    ("oval", "lock"), ("rectangle", "lock"), pytest.param("oval", "hinged", marks=pytest.mark.slow),
])  # fmt: skip
@settings(QUIET, max_examples=8, phases=[Phase.generate])
@given(data=st.data())
def test_so_it_does_for_random_shafts(shape: str, rig: str, data: st.DataObject) -> None:
    doc = data.draw(shafts(shape, rig))
    assume("joint" not in doc)
    holds_as_a_set({**doc, "answer_in": "metric"})


def test_what_breaks_says_whether_a_limit_or_the_set_holds_a_pull_down() -> None:
    plain, stouter = (
        shaftcheck.ask("what-breaks", told(FOLDER / n)) for n in ("plain-oar.toml", "hinged-rig-stouter.toml")
    )
    assert "with it grow backing and the pulls of a life" in plain.sentence
    assert "once, the limit of" in stouter.sentence
