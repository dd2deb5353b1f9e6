"""How much of a size a joint needs: what is said is made, and holds; a step less does not."""

from __future__ import annotations

import re
import tomllib
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from test_shaftfile import PLAIN, Doc, edit, toml
from test_takedown import CLAMPED, TUBE_ON_ONE, shaft
from test_takedown import doc as takedown
from twins import uses

from shaftcheck.answer import answer, answer_doc
from shaftcheck.model import number
from shaftcheck.show.record import record
from shaftcheck.show.table import full
from shaftcheck.studies.needs import needs, together

EXAMPLES = Path(__file__).parents[1] / "examples"
STEPS = {"overlap": 1e-3, "fixed_length": 1e-3, "wall": 1e-4, "pin_diameter": 5e-4}
FAT: Doc = {"section": [{"at": "0 mm", "across": "52 mm"}, {"at": "1.88 m", "across": "52 mm"}]}


def met(doc: Doc, checks: tuple[str, ...]) -> bool:
    found = uses(doc)
    return all(found[c] <= 1.0 for c in checks if c in found)


def hangs_on(joint: Doc, key: str, base: Doc) -> tuple[str, ...]:
    from shaftcheck.checks import JOINTS

    (j,) = shaft(joint, **base).joints
    sizes = JOINTS["takedown"].sizes
    assert sizes is not None
    return next(s.checks for s in sizes(j) if s.key == key)


@pytest.mark.parametrize("joint", [
    {"clearance": "0.1 mm"}, {"clearance": "0.1 mm", "stays_wet": "no", "mouth": "square"},
    {**TUBE_ON_ONE, "spigot_size": "49 mm", "clearance": "0.1 mm"},
    {"tube": "stainless steel 304, annealed", "clearance": "0.2 mm"},
])  # fmt: skip
def test_what_is_needed_is_enough_and_a_step_less_is_not(joint: Doc) -> None:
    found = needs(shaft(joint, **FAT), 0, number(1.0))
    assert [n.key for n in found] == (["overlap", "fixed_length", "wall", "pin_diameter"] if "form" in joint else [
        "overlap", "wall", "pin_diameter"])  # fmt: skip
    for n in found:
        assert not np.isnan(n.least), n.key
        assert not n.bars
        step = STEPS[n.key]
        assert n.least / step == pytest.approx(round(n.least / step))
        checks = hangs_on(joint, n.key, FAT)
        for value, enough in ((n.least, True), (n.least - step, False)):
            told = takedown({**joint, n.key: f"{value * 1000:.9f} mm"}, **FAT)
            assert met(told, checks) == enough, (n.key, value)


def test_what_no_size_cures_is_named() -> None:
    thin = {"section": [{"at": "0 mm", "across": "36 mm"}, {"at": "1.88 m", "across": "36 mm"}]}
    overlap, *_ = needs(shaft(**thin), 0, number(1.0))
    assert np.isnan(overlap.least)
    assert "takedown, inner half, beside the mouth" in overlap.bars
    assert together(shaft(**thin), 0, number(1.0)) is None
    a = answer_doc(takedown(**thin), "thin")
    assert "none is enough" in full(a)
    first = record(a)["oars"][0]["joint_needs"][0]
    assert first["at_least"]["value"] is None
    assert first["bars"] == list(overlap.bars)


def test_a_clamped_joint_has_no_pins_to_ask_of() -> None:
    assert [n.key for n in needs(shaft(CLAMPED), 0, number(1.0))] == ["overlap", "wall"]
    assert answer_doc(PLAIN, "plain").oars[0].needs == ()


def followed(doc: Doc, advice: str) -> Doc:
    """Return a file with the sizes of its takedown that a printed line of advice says, and no other change."""
    told = dict(re.findall(r"(overlap|fixed length|wall|pin diameter) ([^,;]+)", advice))
    assert told, advice
    sections = re.findall(r"([\d.]+ mm) by ([\d.]+ mm) at ([\d.]+ mm)", advice)
    if sections:
        rows = [{"fore_and_aft": deep, "up_and_down": wide, "at": at} for deep, wide, at in sections]
        doc = edit(doc, ("section", rows))
    (i,) = (i for i, j in enumerate(doc["joint"]) if j["kind"] == "takedown")
    moved = re.search(r"moved ([\d.]+) mm (in|out)board", advice)
    if moved:
        at = float(doc["joint"][i]["at"].removesuffix(" m")) * 1000.0
        told["at"] = f"{at + float(moved[1]) * (1.0 if moved[2] == 'out' else -1.0):g} mm"
    return edit(doc, *((f"joint.{i}.{key.replace(' ', '_')}", size.strip()) for key, size in told.items()))


@pytest.mark.parametrize(("joint", "base"), [
    ({"overlap": "90 mm", "wall": "0.8 mm", "clearance": "0.1 mm", "pin_diameter": "4 mm"}, FAT),
    ({**TUBE_ON_ONE, "overlap": "80 mm", "fixed_length": "60 mm", "pin_diameter": "3 mm", "clearance": "0.1 mm"}, FAT),
    ({"overlap": "100 mm", "clearance": "0.2 mm"}, {}),
])  # fmt: skip
@pytest.mark.parametrize("system", ["metric", "inches"])
def test_who_does_as_is_printed_has_a_shaft_that_holds(joint: Doc, base: Doc, system: str) -> None:
    doc = {**takedown(joint, **base), "answer_in": system}
    a = answer(toml(doc), "oar")
    assert a.state == "FALLS SHORT"
    (line,) = [x for x in a.oars[0].advice if "in the takedown: " in x]
    if system == "inches" and re.search(" by |moved", line):
        return  # followed in metric
    text = " ".join(full(a).split())
    assert line in text
    assert answer(toml(followed(doc, line)), "as advised").state == "HOLDS"


def test_the_example_that_falls_short_and_the_one_that_was_made_as_it_says() -> None:
    first, second = (EXAMPLES / f"takedown-oar{rest}.toml" for rest in ("", "-made-to-hold"))
    short: Any = tomllib.loads(first.read_text(encoding="utf-8"))
    good: Any = tomllib.loads(second.read_text(encoding="utf-8"))
    a = answer(first.read_text(encoding="utf-8"), first.name)
    assert a.state == "FALLS SHORT"
    (line,) = a.oars[0].advice
    made = followed(short, line)
    assert {k: v for k, v in made.items() if k != "title"} == {k: v for k, v in good.items() if k != "title"}
    b = answer(second.read_text(encoding="utf-8"), second.name)
    assert b.state == "HOLDS"
    assert b.oars[0].stowed.state == "STOWS"
