"""How thick, how long a scarf, how long an overlap: sizes, proofs and lengths against one file each."""

from __future__ import annotations

import itertools
import json
import math
import tomllib
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from test_where import TAKEDOWN, brute, built, tables

import shaftcheck
from shaftcheck.border.write import text
from shaftcheck.cli import main
from shaftcheck.loads import loaded
from shaftcheck.questions.question import Finding
from shaftcheck.studies import taper
from shaftcheck.studies.forms import Limits, task
from shaftcheck.whole import whole

FEW = {"every": "1.0 m"}
"""few stations, so that a question is soon answered"""


@pytest.fixture(scope="module")
def plain() -> Finding:
    return shaftcheck.ask("how-thick", "examples/plain-oar.toml", **FEW)


@pytest.fixture(scope="module")
def scarfed() -> Finding:
    return shaftcheck.ask("how-thick", "examples/two-wood-scarf.toml", **FEW)


def greatest(doc: dict[str, Any]) -> float:
    return max(u for u in brute(doc)[1].values() if not math.isnan(u))


@pytest.mark.parametrize("which", ["plain", "scarfed"])
def test_what_was_found_fed_back_as_a_file_gives_the_same_under_check(
    which: str, request: pytest.FixtureRequest
) -> None:
    found: Finding = request.getfixturevalue(which)
    assert found.answered
    labels = [w.label for w in found.winners]
    assert "lightest taper" in labels
    for winner in found.winners:
        state, uses = brute(tomllib.loads(text(winner.doc)))
        assert state == "HOLDS"
        assert uses == pytest.approx(dict(winner.uses), rel=1e-9, nan_ok=True)
        assert max(u for u in uses.values() if not math.isnan(u)) <= 1.0 / 1.1


def test_it_is_lighter_and_its_weight_is_that_of_the_file(plain: Finding) -> None:
    doc = tomllib.loads(text(plain.winners[0].doc))
    t = plain.data["taper"]
    assert float(whole(built(doc)).mass) == pytest.approx(t["mass"]["value"], rel=1e-12)
    assert t["mass"]["value"] < t["mass_in_the_file"]["value"]
    sizes = [s for s in doc["section"] if "fore_and_aft" in s and s["at"] not in ("0 mm", "150 mm")]
    assert all(float(s[k].split()[0]).is_integer() for s in sizes for k in ("fore_and_aft", "up_and_down"))


def kept(sections: list[tuple[float, float, float]], lock: float) -> bool:
    """Whether sections (at, depth, width) keep the rules, looked at one by one [mm]."""
    depth_width_ok = all(w <= d + 1e-6 and d <= 1.3 * w + 1e-6 for _, d, w in sections[1:])
    floors = all(d >= 38 - 1e-6 and w >= 34 - 1e-6 for _, d, w in sections[1:-1]) and sections[-1][1] >= 34 - 1e-6
    floors = floors and sections[-1][2] >= 30 - 1e-6
    falls = [[(b[k] - a[k]) / 2.0 / (b[0] - a[0]) for a, b in itertools.pairwise(sections)] for k in (1, 2)]
    form = True
    for fall in falls:
        for i, f in enumerate(fall):
            form &= abs(f) <= 1 / 20 + 1e-9
            form &= f >= -1e-9 if sections[i + 1][0] <= lock + 1e-6 else f <= 1e-9
        form &= all(abs(b - a) <= 1 / 60 + 1e-9 for a, b in itertools.pairwise(fall[1:]))
    return bool(depth_width_ok and floors and form)


def test_no_size_can_be_a_mark_less(plain: Finding) -> None:
    """Each size one mark less, written as a file: it breaks a rule, or the margin, by the use that was told."""
    doc = tomllib.loads(text(plain.winners[0].doc))
    keeps = plain.data["taper"]["keeps"]
    mm = [float(v) * 1000.0 for v in plain.data["taper"]["at"]["values"]]
    fixed = len(doc["section"]) - len(mm)
    assert len(keeps) == 2 * len(mm)
    for k in keeps:
        new = json.loads(json.dumps(doc))
        row = new["section"][fixed + mm.index(k["at"]["value"] * 1000.0)]
        key = k["size"].replace(" ", "_")
        row[key] = f"{float(row[key].split()[0]) - 1.0:g} mm"
        sections = [(mm[i], *(float(s[key].split()[0]) for key in ("fore_and_aft", "up_and_down")))
                    for i, s in enumerate(new["section"][fixed:])]  # fmt: skip
        told = k["use_at_a_mark_less"]["value"]
        if told is None:
            assert not kept([(150.0, 39.0, 39.0), *sections], 690.0), k
        else:
            uses = brute(new)[1]
            assert uses[k["reason"]] == pytest.approx(told, rel=1e-9)
            assert told > 1.0 / 1.1


@pytest.mark.long
def test_on_a_small_task_no_sizes_about_it_are_lighter() -> None:
    """Brute force over every combination of sizes near, with the rules looked at one by one."""
    shaft = built(tables("plain-oar"))
    limits = Limits(most_depth=0.06, most_width=0.06, least_depth=0.038, least_width=0.034, neck_depth=0.034,
                    neck_width=0.030, flattest=1.3, steepest=1 / 20, kink=1 / 60)  # fmt: skip
    t = task(shaft, own=1.0, target=1.0 / 1.1, mark=0.001, every=1.3, limits=limits)
    found = taper.lightest(t)
    assert found is not None
    assert found.holds
    steps = [np.array(s).reshape(-1, 2) for s in itertools.product((-2, -1, 0, 1), repeat=2 * len(t.x))]
    trial = np.array([found.marks + s for s in steps])
    grip = (150.0, 39.0, 39.0)
    lines = [[(x * 1000.0, float(d), float(w)) for x, (d, w) in zip(t.x, m, strict=True)] for m in trial]
    ok = np.array([kept([grip, *line], 690.0) for line in lines])
    trial = trial[ok]
    mass = whole(taper.shafts(t, trial)[0]).mass
    trial = trial[mass < found.mass - 1e-9]
    assert len(trial) > 100
    from shaftcheck.engine import walk

    rows = walk((len(trial),), lambda i: loaded(taper.shafts(t, trial[i])[0], np.ones(len(i))), rounds=2)
    worst = np.max([np.nan_to_num(r.use, nan=0.0) for r in rows.values()], axis=0)
    assert not (worst <= t.target).any()


def test_more_margin_weighs_more_and_a_lower_cap_can_not_hold(plain: Finding) -> None:
    more = shaftcheck.ask("how-thick", "examples/plain-oar.toml", **FEW, margin="40 %")
    assert more.answered
    assert more.data["taper"]["mass"]["value"] > plain.data["taper"]["mass"]["value"]
    none = shaftcheck.ask("how-thick", "examples/plain-oar.toml", **FEW, most_fore_and_aft="40 mm")
    assert not none.answered
    assert none.sentence.startswith("Nothing within these limits")
    assert not none.winners


def test_what_would_become_of_it_is_what_files_of_it_say(plain: Finding) -> None:
    doc = tomllib.loads(text(plain.winners[0].doc))
    told = {m["what"]: m["use"]["value"] for m in plain.data["taper"]["what_would_become_of_it"]}
    fixed = len(doc["section"]) - len(plain.data["taper"]["at"]["values"])

    def less(d: dict[str, Any]) -> dict[str, Any]:
        new: dict[str, Any] = json.loads(json.dumps(d))
        for s in new["section"][fixed:]:
            for k in ("fore_and_aft", "up_and_down"):
                s[k] = f"{float(s[k].split()[0]) - 1.0:g} mm"
        return new

    def wood(d: dict[str, Any], **keys: str) -> dict[str, Any]:
        return {**d, "wood": [{**w, **keys} for w in d["wood"]]}

    # a blade whose weight is not told weighs by its wood's moisture: as it is, so here
    light = {**doc, "oar": {**doc["oar"], "blade_weight": f"{blade_weight(doc):.12g} kg"}}
    assert told["as it is"] == pytest.approx(greatest(doc), rel=1e-9)
    assert told["every size 1 mm less"] == pytest.approx(greatest(less(doc)), rel=1e-9)
    assert told["grain of 1:12"] == pytest.approx(greatest(wood(doc, runout="1:12")), rel=1e-9)
    assert told["20 % moisture"] == pytest.approx(greatest(wood(light, moisture="20 %")), rel=1e-9)
    assert told["all three"] == pytest.approx(greatest(wood(less(light), runout="1:12", moisture="20 %")), rel=1e-9)
    assert told["as it is"] < told["every size 1 mm less"] < told["all three"]


def blade_weight(doc: dict[str, Any]) -> float:
    return float(built(doc).blade.mass)


@pytest.mark.parametrize("thing", ["scarf", "takedown"])
@pytest.mark.long
def test_lengths_are_those_of_one_file_each(thing: str) -> None:
    """Brute force: a joint's shortest length against files with that length, one shorter, and others."""
    doc = tables("two-wood-scarf") if thing == "scarf" else TAKEDOWN
    found = shaftcheck.ask("how-thick", doc, only="joints", margin="0 %")
    (joint,) = found.data["joints"]
    lengths, worst = joint["length"]["values"], joint["greatest_use"]["values"]
    shortest = lengths.index(joint["shortest"]["value"])
    for i in {0, shortest - 1, shortest, shortest + 1, len(lengths) - 1} - {-1}:
        new = json.loads(json.dumps(doc))
        if thing == "scarf":
            new["joint"][0]["slope"] = f"1:{(8.0 + i / 2.0) * (1.0 + 1e-9):.12g}"
        else:
            new["joint"][0]["overlap"] = f"{lengths[i] * 1000.0:.9g} mm"
        state, uses = brute(new)
        use = max(u for u in uses.values() if not math.isnan(u))
        assert use == pytest.approx(math.inf if worst[i] is None else worst[i], rel=1e-9)
        if i == shortest:
            assert state == "HOLDS"
        if i == shortest - 1:
            assert state == "FALLS SHORT"


def test_what_is_not_settled_is_not_answered() -> None:
    doc = tables("plain-oar")
    doc["joint"] = [{"kind": "repair", "from": "1.2 m", "to": "1.4 m"}]
    found = shaftcheck.ask("how-thick", doc, **FEW)
    assert not found.answered
    assert found.sentence.startswith("Not settled")


def test_what_can_not_be_asked_is_said_in_one_line(capsys: pytest.CaptureFixture[str], tmp_path: Path) -> None:
    doc = tables("plain-oar")
    doc["oar"]["inside"] = "hollow"
    for s in doc["section"]:
        s["wall"] = "9 mm"
    file = tmp_path / "hollow.toml"
    file.write_text(text(doc), encoding="utf-8")
    for argv, said in (
        (["how-thick", str(file)], "hollow"),
        (["how-thick", "examples/plain-oar.toml", "--least-fore-and-aft", "70 mm"], "floors"),
        (["how-thick", "examples/plain-oar.toml", "--margin", "ten"], "margin"),
    ):
        assert main(argv) == 2
        err = capsys.readouterr().err
        assert said in err
        assert err.count("\n") == 1


@pytest.mark.parametrize("units", ["metric", "inches"])
def test_it_is_said_within_100_columns_and_the_answer_comes_first(
    units: str, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["how-thick", "examples/two-wood-scarf.toml", "--every", "1 m", "--answer-in", units]) == 0
    lines = capsys.readouterr().out.splitlines()
    assert lines[2].startswith("The lightest oval taper")
    assert max(map(len, lines)) <= 100
