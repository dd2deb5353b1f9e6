"""Wrong inputs as people type them: one line for each fault, and its advice, when it is followed, is taken."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from test_shaftfile import HINGED, JOINTED, PLAIN, Doc, edit, toml

from shaftcheck.answer import answer_doc
from shaftcheck.asking import ask
from shaftcheck.border.shaftfile import entries
from shaftcheck.cli import main
from shaftcheck.errors import Fault, InputError
from shaftcheck.key import Key

SCARF = {
    "kind": "scarf", "middle": "1.20 m", "slope": "1:12", "cut_through": "fore and aft", "outer_tip_on": "aft",
    "glue": "epoxy",
}  # fmt: skip
SCARFED = edit(JOINTED, ("joint", [SCARF]))
OWN = {"kind": "softwood", "source": "invented", "bending_12": "70 MPa", "stiffness_12": "10 GPa"}
SAG = {"sag": "30 mm", "sag_weight": "10 kg", "sag_at": "2 m", "sag_held": "clamped"}


def told(doc: Mapping[str, Any]) -> list[tuple[str, str]]:
    """Return the key of each fault of a shaft, and what to write."""
    faults: tuple[Fault, ...] = ()
    try:
        answer_doc(doc, "oar")
    except InputError as e:
        faults = e.faults
    assert all(len(str(f).splitlines()) == 1 for f in faults)
    return [(f.key, f.write) for f in faults]


ADVISED: list[tuple[Doc, str, Any, Any]] = [
    # a shaft, the path of one input, what is wrong, and what is told to write
    (PLAIN, "oar.length", "8", "8 ft"),
    (PLAIN, "oar.length", "2.4-2.5 m", "2.42 m"),
    (PLAIN, "oar.length", "24e-1 m", "2.4 m"),
    (PLAIN, "oar.length", "~2.4 m", "2.4 m"),
    (PLAIN, "oar.length", "2460 Mm", "2460 mm"),
    (PLAIN, "section.1.across", "39 1/2 mm", "39.5 mm"),
    (PLAIN, "section.1.across", "13/8 in", "1 5/8 in"),
    (PLAIN, "section.1.across", "4", "4 cm"),
    (PLAIN, "section.1.across", 39, "39 mm"),
    (PLAIN, "rig.hand", "−70 mm", "70 mm"),
    (PLAIN, "rig.lock", "unknown (650 mm - 700 mm)", "unknown (650 mm to 700 mm)"),
    (PLAIN, "rower.strength", "GENERAL", "general"),
    (PLAIN, "rower.strength", "unknown (light)", "unknown (light, general)"),
    (PLAIN, "duty.handle_free", True, "yes"),
    (PLAIN, "duty.strokes", "2,500,000", "2500000"),
    (PLAIN, "wood.0.runout", "20:1", "1:20"),
    (PLAIN, "wood.0.runout", "5 %", "1:20"),
    (PLAIN, "wood.0.runout", 20, "1:20"),
    (PLAIN, "wood.0.moisture", "14", "14 %"),
    (PLAIN, "wood.0.moisture", 0.14, "14 %"),
    (PLAIN, "wood.0.of", "sitka sprouse", "Sitka spruce (US)"),
    (PLAIN, "measured", {k: v for k, v in SAG.items() if k != "sag_held"}, {**SAG, "sag_held": "clamped"}),
    (PLAIN, "measured.balance", "7 m", "2460 mm"),
    (PLAIN, "own_wood", {"Mine": {**OWN, "bending_12": "70"}}, {"Mine": {**OWN, "bending_12": "71 MPa"}}),
    (PLAIN, "own_wood", {"Mine": {**OWN, "stiffness_12": 10}}, {"Mine": {**OWN, "stiffness_12": "10 GPa"}}),
    (PLAIN, "own_wood", {"Mine": {**OWN, "bending_12": "70,5 MPa"}}, {"Mine": {**OWN, "bending_12": "70.5 MPa"}}),
    (edit(PLAIN, ("own_wood", {"Mine": OWN})), "wood.0.of", "mien", "Mine"),
    (HINGED, "rig.clamp_force", "2000", "2000 N"),
    (HINGED, "rig.kerf", "-3 mm", "3 mm"),
    (SCARFED, "joint.0.outer_tip_on", "upper", "forward"),
]  # fmt: skip


@pytest.mark.parametrize(("doc", "path", "wrong", "write"), ADVISED)
def test_advice_that_is_followed_is_taken(doc: Doc, path: str, wrong: Any, write: Any) -> None:
    ((_, advice),) = told(edit(doc, (path, wrong)))
    assert told(edit(doc, (path, write))) == []
    while isinstance(write, dict):  # the one value in which the two differ
        wrong, write = next((wrong.get(k), v) for k, v in write.items() if wrong.get(k) != v)
    assert write in advice


ONE_FAULT: list[tuple[Doc, list[tuple[str, Any]], str, str]] = [
    # a shaft, what is changed in it, the one key that is told, and a part of what to write
    (PLAIN, [("oars", PLAIN["oar"]), ("oar", None)], "oars", "write oar"),
    (PLAIN, [("oar.lenght", "2.46 m"), ("oar.length", None)], "oar.lenght", "write length"),
    (PLAIN, [("oar.lock", "690 mm"), ("rig.lock", None)], "oar.lock", "write it under [rig]"),
    (PLAIN, [("length", "2.46 m"), ("oar.length", None)], "length", "write it under [oar] or [locker]"),
    (PLAIN, [("rig.kerf", "3 mm")], "rig.kerf", 'or write kind = "hinged"'),
    (PLAIN, [("section", "none")], "section", "write [[section]] above each one"),
    (PLAIN, [("section", PLAIN["section"][:1])], "section", "at least two"),
    (PLAIN, [("section.4.at", "2.6 m")], "section.5.at", "at most 2460 mm"),
    (PLAIN, [("wood", 3)], "wood", "write [[wood]] above each one"),
    (PLAIN, [("flaw", [{"kind": "crack", "from": "1 m", "to": "1.1 m"}])], "flaw.1.kind", "find out which it is"),
    (PLAIN, [("own_wood", {"Mine": {"kind": "softwood", "source": 3}})], "own_wood.Mine.source", "in quotes"),
    (
        PLAIN,
        [("own_wood", {"Mi.ne": {"kind": "softwood"}}), ("wood.0.of", "Mi.ne")],
        "own_wood.Mi.ne.source",
        "come from",
    ),
    (PLAIN, [("section.2.inside", "hollow")], "section.3.inside", "or leave it out"),
    (PLAIN, [("wood.0.lacking_values", "no")], "wood.1.lacking_values", "or leave it out"),
    (PLAIN, [("wood.0.moisture", "unknown")], "wood.1.moisture", "or leave it out"),
    (HINGED, [("rig.inner_pin", "800 mm")], "rig.inner_pin", "from the handle end"),
    (HINGED, [("rig.inner_plug", "100 mm")], "rig.inner_plug", "leave it out"),
    (HINGED, [("rig.hand_moves", "300 mm"), ("rig.blade_moves", "520 mm")], "rig.link_ratio", "keep link_ratio alone"),
    (SCARFED, [("joint.0.length", "400 mm")], "joint.1.slope", 'slope = "1:12"'),
]


@pytest.mark.parametrize(("doc", "changes", "key", "write"), ONE_FAULT)
def test_one_fault_is_one_line(doc: Doc, changes: list[tuple[str, Any]], key: str, write: str) -> None:
    ((told_key, advice),) = told(edit(doc, *changes))
    assert told_key == key
    assert write in advice


def test_two_that_lack_by_one_name_are_two_lines() -> None:
    """Only what the misspelt key may have been is taken for told."""
    doc = edit(HINGED, ("rig.inner_pinn", "640 mm"), ("rig.inner_pin", None), ("rig.outer_pin", None))
    assert [key for key, _ in told(doc)] == ["rig.inner_pinn", "rig.outer_pin"]


def test_numbers_of_numpy_and_a_path_are_taken_as_pythons_own(tmp_path: Path) -> None:
    assert told(edit(PLAIN, ("duty.strokes", np.int64(3_000_000)), ("factors.own_divisor", np.float64(1.2)))) == []
    assert told(edit(PLAIN, ("oar.length", np.float64(2.46)))) == [
        ("oar.length", "write 2.46 m or 2.46 ft, as text in quotes")
    ]
    with pytest.raises(InputError, match=r"nope\.toml: file: can't be read"):
        ask("which-woods", SCARFED, shelf=tmp_path / "nope.toml")


def test_the_sag_of_a_hinged_rig_is_said_to_be_compared_with_nothing() -> None:
    found = answer_doc(edit(HINGED, ("measured", SAG)), "oar").oars[0]
    assert any("the measured sag is compared with nothing" in a.text for a in found.assumptions)


@pytest.mark.parametrize("text", ["unknown", "unknown (1 mm to 2 mm)", "Unknown (a, b)"])
@pytest.mark.parametrize("kind", ["length", "choice", "slope", "count"])
def test_what_must_be_told_is_not_advised_to_be_a_range(text: str, kind: Any) -> None:
    key = Key(kind=kind, help="", example="1 mm", choices=("a", "b") * (kind == "choice"))
    with pytest.raises(InputError) as e:
        entries("t", {"k": text}, {"k": key})
    (fault,) = e.value.faults
    assert (fault.wrong, "range" in fault.write) == ("can't be unknown here", False)


@pytest.fixture
def folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.chdir(tmp_path)
    for name, doc in (("plain.toml", PLAIN), ("hinged.toml", HINGED), ("two.toml", SCARFED)):
        (tmp_path / name).write_text(toml(doc), encoding="utf-8")
    plank = '[[plank]]\nname = "mine"\nof = "White ash"\nclear = "yes"\n'
    (tmp_path / "shelf.toml").write_text(plank, encoding="utf-8")
    (tmp_path / "misspelt.toml").write_text(plank.replace("plank", "planks"), encoding="utf-8")
    (tmp_path / "there.html").write_bytes(b"mine")
    return tmp_path


LINES = [
    ("sheet plain.toml -o there.html", "there.html: file: is there already and stays as it is"),
    ("sheet plain.toml -o no/x.html", "no/x.html: file: can't be written: there is no folder 'no'; make it"),
    ("draw plain.toml -o no/x.svg", "no/x.svg: file: can't be written: there is no folder 'no'"),
    ("draw plain.toml -o plain.toml", "plain.toml: not a kind of drawing"),
    ("papers plain.toml -o p.html --at 9", "plain.toml: --at: '9' has no unit; write 9 mm or 9 in"),
    ("papers plain.toml -o p.html --at x", "plain.toml: --at: 'x' has no number"),
    ("new no/x.toml", "no/x.toml: file: can't be written: there is no folder 'no'"),
    ("new plain.toml --planks", "plain.toml: file: is there already"),
    ("basis bending --sheet no/x.html", "no/x.html: file: can't be written: there is no folder"),
    ("where hinged.toml --write hinged.toml", "where: --write: 'hinged.toml' is there already and stays as it is"),
    ("where hinged.toml --write no/x.toml", "where: --write: 'no/x.toml' can't be written: there is no folder 'no'"),
    ("where hinged.toml --write x.html --sheet x.html", "where: --write: 'x.html' is that of --sheet too"),
    ("what-breaks plain.toml --plot no/x.svg", "what-breaks: --plot: 'no/x.svg' can't be written"),
    (
        "where plain.toml",
        "plain.toml: joint: no joint that can be placed, and no hinged rig to cut for; give a [[joint]]",
    ),
    ("where hinged.toml --joint 2", "hinged.toml: --joint: not a joint that can be placed; leave it out"),
    ("where hinged.toml --step 10", "where: --step: '10' has no unit; write 10 mm or 10 in"),
    ("where hinged.toml --step unknown", "where: --step: can't be unknown here; measure it, as 10 mm,"),
    ("how-sure plain.toml --load-scatter 15%", "how-sure: --load-scatter: '15%' is not a plain number; write 0.15"),
    ("how-thick plain.toml --margin 20", "how-thick: --margin: '20' has no unit; write 20 %"),
    (
        "judge-planks plain.toml --shelf shelf.toml --plank b",
        "judge-planks: --plank: no plank called 'b'; write one of mine",
    ),
    ("which-woods two.toml --shelf misspelt.toml", "misspelt.toml: planks: not a key of a shaft file; write plank"),
    ("which-woods two.toml --shelf nope.toml", "nope.toml: file: can't be read"),
    ("check /dev/zero", "/dev/zero: file: too long for a shaft file"),
    ("check plain.toml/x", "plain.toml/x: file: can't be read (Not a directory)"),
]


@pytest.mark.parametrize(("line", "said"), LINES)
def test_a_wrong_line_of_the_command(line: str, said: str, folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    before = {p.name: p.read_bytes() for p in folder.iterdir()}
    assert main(line.split()) == 2
    out, err = capsys.readouterr()
    assert out == ""
    (one,) = err.splitlines()
    assert said in one
    assert {p.name: p.read_bytes() for p in folder.iterdir()} == before
