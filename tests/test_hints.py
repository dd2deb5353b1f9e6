"""What to write instead of what is wrong: in the units of the file, and so that it is taken."""

from __future__ import annotations

from typing import Any

import pytest
from test_shaftfile import HINGED, PLAIN, edit, faults

from shaftcheck.answer import answer_doc
from shaftcheck.border.hints import example, told_in
from shaftcheck.border.keys import LISTS, TABLES
from shaftcheck.border.shaftfile import entries
from shaftcheck.checks import JOINTS
from shaftcheck.questions import QUESTIONS, question_of

KEYS = {
    **{f"{table}.{name}": key for table, keys in (TABLES | LISTS).items() for name, key in keys.items()},
    **{f"{kind}.{name}": key for kind, joint in JOINTS.items() for name, key in joint.keys.items()},
    **{f"{q}.{name}": key for q in QUESTIONS for name, key in question_of(q).options.items()},
}


@pytest.mark.parametrize("path", KEYS)
def test_an_example_is_taken_in_either_system(path: str) -> None:
    key = KEYS[path]
    name = path.rpartition(".")[2]
    metric, inches = (
        entries("t", {name: example(key.example, s)}, {name: key})[f"t.{name}"] for s in ("metric", "inches")
    )
    if isinstance(metric.value, float):
        assert inches.value == pytest.approx(metric.value, rel=0.15, abs=2e-4)
    assert (metric.text == inches.text) == (key.kind not in ("length", "area", "mass", "force", "speed"))


@pytest.mark.parametrize(("doc", "system"), [
    ({}, "metric"), ({"answer_in": "inches"}, "inches"), (PLAIN, "metric"),
    ({"answer_in": 3, "oar": [[[[[]]]]]}, "metric"),
    ({"oar": {"length": "9 ft 2 in", "blade_width": "5 1/4″"}, "section": [{"at": "0 mm"}]}, "inches"),
    ({"oar": {"length": "9 ft 2 in"}, "section": [{"at": "0 mm"}]}, "metric"),
    ({"change": {"section": [{"at": "4 in"}]}, "wood": [{"of": "Sitka spruce (US)"}]}, "inches"),
])  # fmt: skip
def test_the_units_of_a_file(doc: Any, system: str) -> None:
    assert told_in(doc) == system


IN = {**PLAIN, "answer_in": "inches"}
LACKS = [
    ("oar.length", None), ("oar.length", "long"), ("oar.length", "40 m"), ("section.0.across", None),
    ("rig.lock", "9 stone"), ("section.1.at", [3]), ("oar.blade_length", True),
    ("section.0.at", "1 in"), ("wood", [{"of": "White ash"}, {"of": "White ash"}]), ("flaw", [{"kind": "knot"}]),
    ("joint", [{"kind": "takedown", "form": "tube in one half"}]), ("locker", {"length": "1 m"}),
    ("rig", {**HINGED["rig"], "link_ratio": None}), ("rig", {**HINGED["rig"], "bolts": "through"}),
    ("oar.inside", "hollow"),
]  # fmt: skip


@pytest.mark.parametrize(("path", "value"), LACKS)
def test_a_file_in_inches_is_told_what_to_write_in_inches(path: str, value: Any) -> None:
    doc = edit(IN, (path, {k: v for k, v in value.items() if v is not None} if isinstance(value, dict) else value))
    for line in faults(doc):
        write = line.rpartition("; ")[2].replace("47.5 mm or", "")
        assert not any(f" {unit}" in write.replace('"', " ") for unit in ("mm", "cm", "m ", "kg", "N ")), line


def test_an_unknown_range_may_stand_either_way_round() -> None:
    one, two = (
        answer_doc(edit(PLAIN, ("rig.lock", f"unknown ({a} to {b})")), "oar")
        for a, b in (("650 mm", "700 mm"), ("700 mm", "650 mm"))
    )
    assert one.unknown_words == two.unknown_words
