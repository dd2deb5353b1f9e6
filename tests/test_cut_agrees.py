"""Where to cut: what `check` advises and what `where` finds are one rule, and both hold when followed to the letter."""

from __future__ import annotations

import re
import tomllib
from pathlib import Path
from typing import Any

import pytest
from test_shaftfile import edit

import shaftcheck
from shaftcheck.answer import answer_doc
from shaftcheck.border.write import text

Doc = dict[str, Any]
MM = {"mm": 1.0, "m": 1000.0, "in": 25.4, "ft": 304.8}


def example(name: str) -> Doc:
    return tomllib.loads(Path(f"examples/{name}.toml").read_text(encoding="utf-8"))


INCHES: Doc = {
    "answer_in": "inches",
    "oar": {"length": "98 in", "inside": "solid", "blade_length": "22 in", "blade_width": "5.5 in",
            "blade_area": "95 in2"},
    "rig": {"kind": "hinged", "hand": "3 in", "inner_ends": "28 in", "kerf": "0.125 in", "inner_pin": "24 in",
            "inner_cradle": "8 in", "outer_pin": "32.125 in", "outer_cradle": "8 in", "pin_spacing": "8.125 in",
            "cradle_seat": "wraps", "cradle_stays_wet": "no", "liner": "rubber", "liner_thickness": "0.2 in",
            "bolts": "beside", "link_on": "cradle", "clamp_force": "1500 N", "hand_moves": "12 in",
            "blade_moves": "25 in"},
    "rower": {"strength": "light", "hands": "one"},
    "duty": {"boat_speed": "1.5 m/s", "levering": "never"},
    "section": [{"at": "0 in", "across": "1.5 in"}, {"at": "10 in", "across": "2.2 in"},
                {"at": "40 in", "across": "2.2 in"}, {"at": "76 in", "across": "1.5 in"}],
    "wood": [{"of": "Sitka spruce (US)", "runout": "1:20"}],
    "flaw": [{"kind": "knot", "from": "36.3 in", "to": "36.8 in", "face": "aft", "width": "0.8 in"}],
}  # fmt: skip
"""invented: a knot just beyond the outer cradle"""
TWO_WOODS: Doc = edit(
    example("hinged-rig-stouter"),
    ("rig.kerf", "2 mm"),
    ("flaw", [{"kind": "knot", "from": "983 mm", "to": "995 mm", "face": "aft", "width": "12 mm"}]),
)
"""invented: the woods meet at the cut"""
FILES = {
    "old oar": example("old-oar-cut"),
    "hinged rig": example("hinged-rig"),
    "to cut": example("oar-to-cut"),
    "inches": INCHES,
    "two woods": TWO_WOODS,
}
CAN_MOVE = ("old oar", "inches", "two woods")


def rigged(doc: Doc) -> Doc:
    """Return the table of the hinged rig, as changed or as it stands."""
    return dict(doc["change"]["rig"] if "change" in doc else doc["rig"])


def mm(size: str) -> float:
    number, unit = size.split()[:2]
    return float(number) * MM[unit]


def told(size: str) -> float:
    """Return a size as an answer says it, in mm: 660 mm, 2 ft 4 1/2 in."""
    total = 0.0
    for words, unit in re.findall(r"([\d./ ]+) (mm|ft|in)", size):
        total += sum(float(a) / float(b or 1) for a, _, b in (n.partition("/") for n in words.split())) * MM[unit]
    return total


def followed(doc: Doc) -> tuple[Doc, float] | None:
    """Return the file with the cut where `check` says, written as it says it, and the place [mm]; None for no such."""
    advice = " | ".join(answer_doc(doc, "oar").oars[-1].advice)
    found = re.search(
        r"the cut, with pins(?: and cradles|, cradles and the end of the [^,|]+), ([^|]+?) further (\w+), at ([^|,]+), "
        r"the link as it is( \(link_ratio = ([\d.]+) instead of hand_moves and blade_moves\))?",
        advice,
    )
    if found is None:
        return None
    by, way, at, moves, ratio = found.groups()
    step = told(by) * (1.0 if way == "outboard" else -1.0)
    rig = rigged(doc)
    wood = [{**w, "to": f"{mm(w['to']) + step:.9g} mm"} if w.get("to") == rig["inner_ends"] else w for w in doc["wood"]]
    assert told(at) == pytest.approx(mm(rig["inner_ends"]) + step, abs=0.5)
    assert bool(moves) == ("hand_moves" in rig)
    for key in ("inner_ends", "inner_pin", "outer_pin"):
        rig[key] = f"{mm(rig[key]) + step:.9g} mm"
    if moves:
        del rig["hand_moves"], rig["blade_moves"]
        rig["link_ratio"] = float(ratio)
    new = {**doc, "wood": wood}
    return ({**new, "change": {"rig": rig}} if "change" in doc else {**new, "rig": rig}), mm(rig["inner_ends"])


@pytest.mark.parametrize("name", FILES)
def test_where_and_check_say_the_same_of_the_cut(name: str) -> None:
    doc = FILES[name]
    assert answer_doc(doc, "oar").state == "FALLS SHORT"
    now = mm(rigged(doc)["inner_ends"])
    found = shaftcheck.ask("where", doc, **{"from": f"{now - 160:.9g} mm", "to": f"{now + 160:.9g} mm"})
    windows = [(w["from"]["value"] * 1000.0, w["to"]["value"] * 1000.0) for w in found.data["windows"]]
    moved = followed(doc)
    assert (moved is not None) == (name in CAN_MOVE)
    if moved is None:
        assert not any(max(low, now - 150.0) <= min(high, now + 150.0) for low, high in windows)
        return
    new, at = moved
    assert answer_doc(new, "oar").state == "HOLDS"
    assert any(low - 1e-6 <= at <= high + 1e-6 for low, high in windows)
    step = 12.7 if doc["answer_in"] == "inches" else 10.0
    nearer = [now + k * step for k in range(-20, 21) if abs(k) * step < abs(at - now) - 1e-6]
    assert not any(low <= place <= high for place in nearer for low, high in windows)
    for winner in found.winners:
        back = answer_doc(tomllib.loads(text(winner.doc)), "as written")
        assert back.state == "HOLDS"
        assert back.oars[-1].shaft.rig.ratio == pytest.approx(  # type: ignore[union-attr]
            answer_doc(doc, "oar").oars[-1].shaft.rig.ratio,  # type: ignore[union-attr]
            rel=1e-5,
        )
