"""Where may it be cut or jointed: places as one batch against one file a place."""

from __future__ import annotations

import json
import math
import re
import tomllib
from dataclasses import fields, is_dataclass
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

import shaftcheck
from shaftcheck import engine
from shaftcheck.answer import answer_doc
from shaftcheck.border.assemble import Built, assemble
from shaftcheck.border.shaftfile import read
from shaftcheck.border.write import text
from shaftcheck.cli import main
from shaftcheck.errors import InputError
from shaftcheck.loads import loaded
from shaftcheck.model import Shaft
from shaftcheck.questions.question import Finding
from shaftcheck.stowing import stowed
from shaftcheck.studies import placing

TAKEDOWN = {
    "oar": {"length": "2.60 m", "inside": "solid", "blade_length": "540 mm", "blade_width": "150 mm",
            "blade_area": "0.064 m2"},
    "rig": {"kind": "lock", "hand": "70 mm", "lock": "720 mm", "lock_touches": "40 mm", "lock_stays_wet": "no"},
    "rower": {"strength": "light", "hands": "one"},
    "duty": {"boat_speed": "1.5 m/s", "levering": "never"},
    "section": [
        {"at": "0 mm", "across": "37 mm"},
        {"at": "250 mm", "across": "53 mm"},
        {"at": "1.00 m", "fore_and_aft": "56 mm", "up_and_down": "54 mm"},
        {"at": "1.55 m", "fore_and_aft": "54 mm", "up_and_down": "51 mm"},
        {"at": "2.06 m", "fore_and_aft": "40 mm", "up_and_down": "37 mm"},
    ],
    "wood": [{"of": "Sitka spruce (US)", "runout": "1:20"}],
    "joint": [
        {
            "kind": "takedown", "at": "1.30 m", "form": "sleeve over both", "overlap": "280 mm", "wall": "2 mm",
            "tube": "aluminium 6061-T6", "mouth": "tapered", "held_by": "pin", "pin_diameter": "5 mm", "pins": "2",
            "pin_through": "up and down", "pin_stands": "mid-overlap", "stays_wet": "no",
        }
    ],
}  # fmt: skip
"""invented"""


def tables(name: str) -> dict[str, Any]:
    return tomllib.loads(Path(f"examples/{name}.toml").read_text(encoding="utf-8"))


def variant(name: str, path: str, **keys: Any) -> dict[str, Any]:
    """Return another make of the takedown or of the hinged rig."""
    doc: dict[str, Any] = json.loads(json.dumps(TAKEDOWN if name == "takedown" else tables("hinged-rig-stouter")))
    table = doc["joint"][0] if path == "joint" else doc[path]
    table.update(keys)
    return doc


def hollow() -> dict[str, Any]:
    doc = variant("cut", "rig", inner_plug="240 mm", outer_plug="260 mm", plug_ends="tapered")
    doc["oar"]["inside"] = "hollow"
    doc["section"] = [{**s, "wall": "11 mm"} for s in doc["section"]]
    return doc


def doc_of(thing: str) -> dict[str, Any]:
    bolts = {"bolts": "through", "bolt_diameter": "6 mm", "bolts_run": "up and down", "inner_bolt_from_end": "90 mm"}
    made: dict[str, dict[str, Any]] = {
        "takedown": TAKEDOWN,
        "takedown, tube on one": variant(
            "takedown", "joint", form="tube on the inner half", fixed_length="180 mm", spigot_size="42 mm", gap="4 mm"
        ),
        "takedown, clamped": variant("takedown", "joint", gap="10 mm", spigot_size="40 mm"),
        "scarf": tables("two-wood-scarf"),
        "cut": tables("hinged-rig-stouter"),
        "cut, bolts": variant("cut", "rig", **bolts, outer_bolt_from_end="100 mm"),
        "cut, hollow": hollow(),
    }
    return made[thing]


def moved(thing: str, at: float, length: float = math.nan) -> dict[str, Any]:
    """Write the file of another place by hand, as a person would."""
    doc = json.loads(json.dumps(doc_of(thing)))
    mm = f"{at * 1000.0:.9g} mm"
    if thing.startswith("takedown"):
        doc["joint"][0]["at"] = mm
        if not math.isnan(length):
            doc["joint"][0]["overlap"] = f"{length * 1000.0:.9g} mm"
    elif thing == "scarf":
        doc["joint"][0]["middle"] = mm
        doc["wood"][0]["to"] = mm
        if not math.isnan(length):
            del doc["joint"][0]["slope"]
            doc["joint"][0] |= {"length": f"{length * 1000.0:.9g} mm", "length_on": "finished"}
    else:
        by = at - 0.780
        doc = linked(doc)
        doc["wood"][0]["to"] = mm
        doc["rig"] |= {"inner_ends": mm, "inner_pin": f"{(0.705 + by) * 1000.0:.9g} mm"}
        doc["rig"] |= {"outer_pin": f"{(0.870 + by) * 1000.0:.9g} mm"}
        if not math.isnan(length):
            # each pin keeps its part of its cradle: 75 of 180 mm from the sawn end, 90 of 200 mm from the start
            back, on = length * 75.0 / 180.0, length * 90.0 / 200.0
            doc["rig"] |= {
                "inner_cradle": f"{length * 1000.0:.9g} mm",
                "outer_cradle": f"{length * 1000.0:.9g} mm",
                "inner_pin": f"{(at - back) * 1000.0:.9g} mm",
                "outer_pin": f"{(at + on) * 1000.0:.9g} mm",
                "pin_spacing": f"{110.0 + (back - 0.075) * 1000.0 + (on - 0.090) * 1000.0:.9g} mm",
            }
    return doc


def linked(doc: dict[str, Any]) -> dict[str, Any]:
    """Write the link's ratio in place of the movements: hand 635 mm from its pin, the blade's middle 1500 mm."""
    rig = {k: v for k, v in doc["rig"].items() if k not in ("hand_moves", "blade_moves")}
    return {**doc, "rig": {**rig, "link_ratio": 0.860778}}  # (610 / 1500) / (300 / 635) = 0.8607778


def assembled(doc: dict[str, Any]) -> Built:
    reading = read(doc, "test")
    return assemble(reading, {e.path: e.value for e in reading.entries.values() if e.value is not None})


def built(doc: dict[str, Any]) -> Shaft:
    return assembled(doc).shaft


def place_of(thing: str) -> placing.Place:
    doc = doc_of(thing)
    shaft = built(linked(doc) if thing.startswith("cut") else doc)
    if not thing.startswith("cut"):
        return placing.jointed(shaft, 0)
    bare = {**doc, "rig": {k: v for k, v in doc["rig"].items() if "plug" not in k}}
    return placing.cut(shaft, built(bare).stations if "hollow" in thing else None)


def same(a: Any, b: Any, path: str = "shaft") -> None:
    """Compare every array of two model objects."""
    if isinstance(a, np.ndarray | np.number):
        one = np.broadcast_to(a, np.broadcast_shapes(np.shape(a), (1,)))
        np.testing.assert_allclose(one, np.broadcast_to(b, one.shape), rtol=1e-7, atol=1e-9, err_msg=path)
    elif isinstance(a, tuple):
        assert len(a) == len(b), path
        for i, (x, y) in enumerate(zip(a, b, strict=True)):
            same(x, y, f"{path}.{i}")
    elif is_dataclass(a):
        assert type(a) is type(b), path
        for f in fields(a):
            same(getattr(a, f.name), getattr(b, f.name), f"{path}.{f.name}")
    else:
        assert a == b, path


LENGTHS = {
    "takedown": (0.08, 0.32), "takedown, tube on one": (0.08, 0.32), "takedown, clamped": (0.08, 0.32),
    "scarf": (0.4, 1.0), "cut": (0.08, 0.3), "cut, bolts": (0.08, 0.3), "cut, hollow": (0.08, 0.3),
}  # fmt: skip


@pytest.mark.parametrize("thing", LENGTHS)
@given(data=st.data())
@settings(max_examples=60, deadline=None)
def test_a_place_of_the_batch_is_the_shaft_that_the_file_of_that_place_gives(thing: str, data: st.DataObject) -> None:
    """What bars a place is what the file's reader refuses, but for the rule of the hands, which is stricter."""
    at = data.draw(st.floats(0.25, 2.1) if thing.startswith("cut") else st.floats(0.05, 2.5))
    length = data.draw(st.one_of(st.just(math.nan), st.floats(*LENGTHS[thing])))
    placed = place_of(thing)(np.array([at]), np.array([length]))
    barred = [why for why, where in placed.barred if where[0]]
    try:
        shaft = built(moved(thing, at, length))
    except InputError:
        assert barred
        return
    assert all("hands" in why for why in barred)
    same(placed.shaft, shaft)


def brute(doc: dict[str, Any]) -> tuple[str, dict[str, float]]:
    oar = answer_doc(doc, "one file a place").oars[0]
    uses: dict[str, float] = {}
    for line in oar.lines:
        uses[line.check] = max(line.use, uses.get(line.check, -math.inf))
    return oar.state, uses


def alone(doc: dict[str, Any]) -> tuple[str, dict[str, float]]:
    """Return what `brute` does, by the way that an answer looks at one shaft, without its words and advice."""
    one = assembled(doc)
    beam = loaded(one.shaft, np.array(one.own))
    rows = engine.worst(beam, engine.uses(beam, engine.refined(beam)))
    short = any(not r.use <= 1.0 for r in rows if not np.isnan(r.use))
    uses = {r.check: max(float(q.use) for q in rows if q.check == r.check) for r in rows}
    return "FALLS SHORT" if short else "HOLDS" if all(r.known for r in rows) else "NOT SETTLED", uses


STATES = {placing.HOLDS: "HOLDS", placing.SHORT: "FALLS SHORT", placing.OPEN: "NOT SETTLED"}
PLACES = {
    "takedown": (0.60, 0.98, 1.20, 1.23, 1.33, 1.36, 1.70),
    "scarf": (0.45, 1.05, 1.056, 1.21, 1.60, 1.82),
    "cut": (0.50, 0.78, 1.05, 1.06, 1.26, 1.34, 1.35, 1.60),
    "takedown, tube on one": (0.60, 1.30),
    "cut, bolts": (0.50, 1.26),
    "cut, hollow": (0.50, 0.90, 1.26),
}


@pytest.mark.parametrize("thing", PLACES)
def test_every_use_is_that_of_one_file_a_place(thing: str) -> None:
    """Brute force: each place written as a file and answered alone, outside the study."""
    shaft = built(doc_of(thing))
    at = np.array(PLACES[thing])
    p = placing.search(place_of(thing), at, np.full(len(at), np.nan), own=1.0, mine=lambda name: True)
    assert shaft is not None
    for i, x in enumerate(at):
        state, uses = (brute if i == 0 else alone)(moved(thing, float(x)))
        assert state == STATES[int(p.state[i])], x
        assert set(uses) == set(p.uses)
        for check, use in uses.items():
            np.testing.assert_allclose(p.uses[check].use[i], use, rtol=1e-9, err_msg=f"{check} at {x}")
        assert p.worst[i] == pytest.approx(max(u for u in uses.values() if not math.isnan(u)), rel=1e-9)


def ask(thing: str, **options: str) -> Finding:
    return shaftcheck.ask("where", doc_of(thing), **options)


OPTIONS: dict[str, dict[str, str]] = {
    "takedown": {"from": "1.15 m", "to": "1.40 m", "step": "25 mm"},
    "scarf": {"from": "900 mm", "to": "1.5 m", "step": "50 mm"},
    "cut": {"from": "450 mm", "to": "900 mm", "step": "50 mm"},
}


@pytest.mark.parametrize("thing", OPTIONS)
def test_what_was_found_fed_back_as_a_file_gives_the_same_under_check(thing: str) -> None:
    found = ask(thing, **OPTIONS[thing])
    assert found.answered
    assert found.winners[0].label == "best"
    for winner in found.winners:
        state, uses = brute(tomllib.loads(text(winner.doc)))
        assert state == "HOLDS"
        assert uses == pytest.approx(dict(winner.uses), rel=1e-9, nan_ok=True)


@pytest.mark.parametrize("thing", OPTIONS)
def test_windows_end_where_brute_force_says(thing: str) -> None:
    """A window's ends hold, and one mark of the fine scale beyond them it does not, or nothing was asked there."""
    found = ask(thing, **OPTIONS[thing])
    (window,) = found.data["windows"]
    low, high = (window[k]["value"] for k in ("from", "to"))
    asked = [float(OPTIONS[thing]["from"].split()[0]), float(OPTIONS[thing]["to"].split()[0])]
    asked = [v / 1000.0 if v > 10.0 else v for v in asked]
    for end, beyond, edge in ((low, low - 0.001, asked[0]), (high, high + 0.001, asked[1])):
        assert brute(moved(thing, end))[0] == "HOLDS"
        if abs(end - edge) > 1e-9:
            assert brute(moved(thing, beyond))[0] == "FALLS SHORT"
    places = found.data["places"]
    best = found.data["spots"]["best"]["index"]
    held = [u for u, v in zip(places["greatest_use"]["values"], places["verdict"], strict=True) if v == "holds"]
    assert places["greatest_use"]["values"][best] <= min(held) + 0.005


def test_the_uncut_oar_s_moment_is_never_used() -> None:
    """Two places with unequal old moments but equal new levers and sections come out equal.

    The same stick and the same cut, once with the lock of the uncut oar at 690 mm and once at 860 mm: by statics the
    old moments at the cut, pull times lever less what the lock takes, differ; the new rig is one and the same.
    """
    hinged = tables("hinged-rig")
    found = []
    old = []
    for lock in (0.690, 0.860):
        doc = {**hinged, "rig": {"kind": "lock", "hand": "70 mm", "lock": f"{lock * 1000:.0f} mm"}}
        doc["wood"] = [{"of": "Sitka spruce (US)", "runout": "1:20"}]
        doc["change"] = {"rig": {**hinged["rig"], "kerf": "3 mm"}}
        at, pull = 0.780, 400.0
        centre = 2.62 - 0.5 / 3.0
        water = pull * (lock - 0.070) / (centre - lock)
        old.append(water * (centre - at) if at > lock else pull * (at - 0.070))
        found.append(shaftcheck.ask("where", doc, **{"from": "600 mm", "to": "1.0 m", "step": "100 mm"}))
    assert abs(old[0] - old[1]) > 0.1 * max(old)
    assert found[0].data["places"] == found[1].data["places"]
    assert any(v is not None for v in found[0].data["places"]["greatest_use"]["values"])


def test_a_place_that_is_not_settled_is_no_window() -> None:
    """A takedown held by a clamp is outside the method: nothing may be offered, however strong."""
    doc = json.loads(json.dumps(TAKEDOWN))
    doc["joint"][0] = {k: v for k, v in doc["joint"][0].items() if not k.startswith("pin")} | {"held_by": "clamp"}
    found = shaftcheck.ask("where", doc, **{"from": "1.2 m", "to": "1.35 m"})
    assert not found.answered
    assert not found.winners
    assert found.data["windows"] == []
    assert "held together" in found.sentence
    assert "Do not cut or glue" in found.sentence
    assert not any(s.good for picture in found.pictures for s in picture.stretches)
    assert "holds" not in found.data["places"]["verdict"]


def test_pieces_that_do_not_stow_bar_a_place() -> None:
    free = ask("takedown", **OPTIONS["takedown"])
    tight = ask("takedown", **OPTIONS["takedown"], locker="1.32 m")
    (a,), (b,) = free.data["windows"], tight.data["windows"]
    assert a["from"]["value"] < b["from"]["value"]
    assert b["from"]["value"] == pytest.approx(2.60 - 1.32)
    assert b["to"]["value"] == pytest.approx(1.32)
    none = ask("takedown", **OPTIONS["takedown"], locker="1.2 m")
    assert not none.answered
    assert "longer than the locker" in none.sentence
    assert "piece 1300 mm): the outer piece is 100 mm too long there" in none.sentence  # half of 2.60 m


def test_by_how_much_nothing_stows_is_what_an_answer_says_of_that_place() -> None:
    doc = {**TAKEDOWN, "locker": {"length": "1.20 m", "width": "420 mm", "height": "300 mm", "hatch": "top",
                                  "hatch_length": "700 mm", "hatch_width": "320 mm"}}  # fmt: skip
    found = shaftcheck.ask("where", doc, **{"from": "1.20 m", "to": "1.40 m", "step": "50 mm"})
    m = re.search(r"Nearest to stowing it is at (\d+) mm .*: the (.+) is (\d+) mm too long there", found.sentence)
    assert m, found.sentence
    one = assembled(moved("takedown", float(m[1]) / 1000.0) | {"locker": doc["locker"]})
    words = stowed(one.shaft, one.locker, "metric").words
    assert any(w.startswith(f"the {m[2]}, ") and f"it is {m[3]} mm too long" in w for w in words)


def test_where_the_file_s_own_place_is_the_least_bad_what_was_tried_is_shown_all_the_same() -> None:
    """A place that bears several names has one row."""
    asked = {"from": "1.18 m", "to": "1.24 m", "step": "20 mm", "shortest": "95 mm", "longest": "100 mm"}
    found = shaftcheck.ask("where", "examples/takedown-oar.toml", **asked)
    beside, why = (next(t for t in found.tables if t.title.startswith(w)) for w in ("Places beside", "Where it may"))
    assert beside.rows[0][0] == "least bad, as in the file"
    assert [row[0].count("least bad") for row in beside.rows].count(1) == 1
    (length,) = {row[0] for row in why.rows}
    assert any(f"overlap of {length}" in t.title for t in found.tables)


def test_where_nothing_holds_the_answer_and_the_page_come_all_the_same_and_no_file(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """What is to be written is not there to write: that is said in a line, and nothing else is lost by it."""
    where = ["where", "examples/takedown-oar.toml", "--from", "1.2 m", "--to", "1.3 m", "--step", "50 mm"]
    lengths = ["--shortest", "100 mm", "--longest", "120 mm"]
    new, page, plot = (tmp_path / n for n in ("new.toml", "page.html", "plot.svg"))
    assert main([*where, *lengths, "--write", str(new), "--sheet", str(page), "--plot", str(plot)]) == 1
    said = capsys.readouterr()
    assert said.err.count("--write: no shaft was found that could be written") == 1
    assert said.err.strip().splitlines()[-1].startswith("where: --write")
    assert not new.exists()
    assert "The least bad is" in page.read_text("utf-8")
    assert plot.stat().st_size > 1000
    at, used = re.findall(r"The least bad is (.+?) from the handle end, .*?, (\d+ %) used", " ".join(said.out.split()))[
        0
    ]
    assert re.search(rf"^least bad +{at} .* {used} ", said.out, re.M), "the place has its row beside the others"
    assert "from end to end, overlap of" in said.out


@pytest.mark.parametrize("hatch", [
    {"hatch": "top open"}, {"hatch": "top", "length": "1.50 m", "hatch_length": "1.30 m", "hatch_width": "380 mm"},
    {"hatch": "end", "hatch_length": "200 mm", "hatch_width": "200 mm"},
])  # fmt: skip
def test_the_locker_of_the_file_bars_what_an_answer_says_does_not_stow(hatch: dict[str, str]) -> None:
    doc = {**TAKEDOWN, "locker": {"length": "1.36 m", "width": "420 mm", "height": "300 mm", **hatch}}
    found = shaftcheck.ask("where", doc, **{"from": "1.05 m", "to": "1.55 m", "step": "50 mm"})
    places = found.data["places"]
    stows = []
    for x, why in zip(places["at"]["values"], places["why_not"], strict=True):
        one = assembled(moved("takedown", x) | {"locker": doc["locker"]})
        state = stowed(one.shaft, one.locker, "metric").state
        assert (state == "DOES NOT STOW") == ("locker" in why), x
        stows.append(state)
    assert {"STOWS", "DOES NOT STOW"} <= set(stows)
    assert "the file's locker" in " ".join(found.searched)


def test_where_the_pieces_do_not_stow_the_strength_is_told_all_the_same() -> None:
    doc = {**TAKEDOWN, "locker": {"length": "1.36 m", "width": "420 mm", "height": "300 mm", "hatch": "top open"}}
    asked = {"from": "1.15 m", "to": "1.35 m", "step": "50 mm"}
    free, tight = (shaftcheck.ask("where", d, **asked).data["places"] for d in (TAKEDOWN, doc))
    uses = dict(zip(free["at"]["values"], free["greatest_use"]["values"], strict=True))
    lists = tight["why_not"], tight["verdict"], tight["at"]["values"], tight["greatest_use"]["values"]
    seen = 0
    for why, verdict, at, use in zip(*lists, strict=True):
        assert use == pytest.approx(uses.get(at, use), rel=1e-9)
        if "locker" in why:
            seen += at in uses
            assert verdict == "can't be"
    assert seen


def test_equal_pieces_are_equal_and_their_price_is_said() -> None:
    found = ask("takedown", **OPTIONS["takedown"])
    i = found.data["spots"]["equal pieces"]["index"]
    places = found.data["places"]
    assert places["inner_piece"]["values"][i] == pytest.approx(places["outer_piece"]["values"][i], abs=0.002)
    assert "Equal pieces, at 1300 mm" in found.sentence


def test_a_second_axis_of_lengths(capsys: pytest.CaptureFixture[str]) -> None:
    found = ask("cut", **{"from": "650 mm", "to": "750 mm", "step": "50 mm"}, shortest="160 mm", longest="240 mm")
    lengths = {v for v in found.data["places"]["length"]["values"] if v is not None}
    assert len(lengths) == 5
    best = found.data["spots"]["best"]["index"]
    at, length = (found.data["places"][k]["values"][best] for k in ("at", "length"))
    state, uses = brute(moved("cut", at, length))
    assert state == "HOLDS"
    assert max(uses.values()) == pytest.approx(found.data["places"]["greatest_use"]["values"][best], rel=1e-9)


def test_what_can_not_be_asked_is_said_in_one_line(capsys: pytest.CaptureFixture[str], tmp_path: Path) -> None:
    for argv, said in (
        (["where", "examples/plain-oar.toml"], "give a [[joint]]"),
        (["where", "examples/two-wood-scarf.toml", "--joint", "2"], "1 (scarf)"),
        (["where", "examples/two-wood-scarf.toml", "--shortest", "500 mm"], "--longest"),
        (["where", "examples/two-wood-scarf.toml", "--from", "1.4 m", "--to", "1.2 m"], "--to"),
    ):
        assert main(argv) == 2
        err = capsys.readouterr().err
        assert said in err
        assert err.count("\n") == 1


@pytest.mark.parametrize("name", ["two-wood-scarf", "hinged-rig-stouter"])
@pytest.mark.parametrize("units", ["metric", "inches"])
def test_it_is_said_within_100_columns_and_the_answer_comes_first(
    name: str, units: str, capsys: pytest.CaptureFixture[str]
) -> None:
    code = main(["where", f"examples/{name}.toml", "--answer-in", units])
    lines = capsys.readouterr().out.splitlines()
    assert code == 0
    assert lines[2].startswith(("Put the scarf at", "Cut it at"))
    assert max(map(len, lines)) <= 100
