"""Every example answers as it says of itself; those made as the answer to another one says follow it to the letter."""

from __future__ import annotations

import math
import re
import tomllib
from pathlib import Path
from typing import Any

import pytest

from shaftcheck.answer import Answer, answer
from shaftcheck.border.shaftfile import changed

FOLDER = Path(__file__).parent.parent / "examples"
EXAMPLES = sorted(p for p in FOLDER.rglob("*.toml") if p.parent.name != "shelf")
STATES = ("HOLDS", "FALLS SHORT", "NOT SETTLED")


def head(path: Path) -> str:
    """Return the comments that a file begins with."""
    lines = path.read_text(encoding="utf-8").splitlines()
    return "\n".join(lines[: next(i for i, line in enumerate(lines) if not line.startswith("#"))])


def stated(path: Path) -> str:
    (state,) = re.findall(r"^# Answer: (.+)$", head(path), re.M)
    return str(state)


def answered(path: Path) -> Answer:
    return answer(path.read_text(encoding="utf-8"), path.name)


def shaft_tables(path: Path) -> dict[str, Any]:
    """Return the tables of the oar that is asked about, without its names."""
    doc = tomllib.loads(path.read_text(encoding="utf-8"))
    doc = changed(doc) or doc
    return {k: v for k, v in doc.items() if k not in ("title", "note", "answer_in")}


@pytest.mark.parametrize("path", EXAMPLES, ids=lambda p: p.stem)
def test_every_example_answers_as_it_states(path: Path) -> None:
    doc = tomllib.loads(path.read_text(encoding="utf-8"))
    assert stated(path) in STATES
    assert answered(path).state == stated(path)
    assert "nvented" in head(path)
    assert doc["title"].startswith("Invented")
    assert doc["note"] == "invented example"


@pytest.mark.parametrize("path", EXAMPLES, ids=lambda p: p.stem)
def test_damage_adds_up_to_less_than_one_just_where_a_life_s_strokes_are_met(path: Path) -> None:
    """Of the wood alone: a tube's use in long service is a stress over its limit, not a sum of damage."""
    for oar in answered(path).oars:
        lives = [line for line in oar.lines if line.kind == "wears out" and line.known and "long use" not in line.check]
        assert lives
        assert (oar.damage <= 1.0) == all(line.use <= 1.0 for line in lives)


@pytest.mark.parametrize("path", EXAMPLES, ids=lambda p: p.stem)
def test_the_rungs_lead_down_to_what_bending_is_compared_with(path: Path) -> None:
    for oar in answered(path).oars:
        line = next(line for line in oar.lines if line.check == "bending")
        assert oar.ladder[-1].after.item() == pytest.approx(line.capacity, rel=1e-9)
        factors = [step.factor.item() for step in oar.ladder]
        assert oar.ladder[0].after.item() * math.prod(factors) == pytest.approx(line.capacity, rel=1e-9)


@pytest.mark.parametrize("path", [p for p in EXAMPLES if stated(p) == "FALLS SHORT"], ids=lambda p: p.stem)
def test_each_that_falls_short_leads_to_one_that_holds(path: Path) -> None:
    """By a second file that its comments name, or by a story."""
    others = [FOLDER / name for name in re.findall(r"[\w-]+\.toml", head(path))]
    if others:
        assert any(stated(p) == "HOLDS" for p in others)
    else:
        assert path.name in (FOLDER / "stories.md").read_text(encoding="utf-8")


def advice(name: str, like: str) -> str:
    (words,) = (w for w in answered(FOLDER / f"{name}.toml").oars[-1].advice if like in w)
    return words


def test_the_stouter_rig_is_made_as_the_answer_says() -> None:
    said = re.findall(r"(\d+) mm by (\d+) mm at (\d+) mm", advice("hinged-rig", "sections"))
    first, second = (shaft_tables(FOLDER / f"{n}.toml") for n in ("hinged-rig", "hinged-rig-stouter"))
    for deep, wide, at in said:
        (section,) = (s for s in first["section"] if metres(s["at"]) == pytest.approx(int(at) / 1000.0))
        section |= {"fore_and_aft": f"{deep} mm", "up_and_down": f"{wide} mm"}
    assert said
    assert first == second


def test_the_old_oar_is_cut_elsewhere_as_the_answer_says() -> None:
    by, way, at, ratio = re.findall(
        r"pins and cradles, (\d+) mm further (\w+), at (\d+) mm, the link as it is \(link_ratio = ([\d.]+) instead of",
        advice("old-oar-cut", "the cut, "),
    )[0]
    first, second = (shaft_tables(FOLDER / f"{n}.toml") for n in ("old-oar-cut", "old-oar-cut-elsewhere"))
    step = int(by) / 1000.0 * (-1.0 if way == "inboard" else 1.0)
    for key in ("inner_ends", "inner_pin", "outer_pin"):
        assert metres(second["rig"][key]) == pytest.approx(metres(first["rig"][key]) + step)
    assert metres(second["rig"]["inner_ends"]) == pytest.approx(int(at) / 1000.0)
    assert second["rig"]["link_ratio"] == float(ratio)
    moved = ("inner_ends", "inner_pin", "outer_pin", "hand_moves", "blade_moves", "link_ratio")
    for doc in (first, second):
        doc["rig"] = {k: v for k, v in doc["rig"].items() if k not in moved}
    assert first == second


def metres(text: str) -> float:
    number, unit = text.split()[:2]
    return float(number) / {"mm": 1000.0, "m": 1.0}[unit]


def test_the_old_oar_must_not_be_cut_where_its_owner_wants_to() -> None:
    a = answered(FOLDER / "old-oar-cut.toml")
    assert [o.state for o in a.oars] == ["HOLDS", "FALLS SHORT"]
    assert {line.check.partition(",")[0] for line in a.oars[1].lines if not line.met} == {"knot"}
    assert {o.label: o.state for o in a.options} == {
        "cut this oar here": "FALLS SHORT", "leave it whole": "HOLDS", "order it purpose-made": "HOLDS",
    }  # fmt: skip


def test_the_scarfed_shaft_is_scarfed_outboard_of_its_cradles() -> None:
    shaft = answered(FOLDER / "hinged-rig-scarfed.toml").oars[0].shaft
    (scarf,) = shaft.joints
    assert float(scarf.start) - float(shaft.rig.outer_to) >= float(scarf.end - scarf.start)  # type: ignore[union-attr]
    assert {p.wood.name for p in shaft.pieces} == {"White ash", "Sitka spruce (US)"}
