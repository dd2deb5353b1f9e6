"""Paths on which a shaft that would break was once called good, each held shut."""

from __future__ import annotations

import json
import math
import tomllib
from pathlib import Path
from typing import Any

import pytest
from test_shaftfile import edit, toml

import shaftcheck
from shaftcheck.answer import answer_doc
from shaftcheck.border.shown import say
from shaftcheck.cli import main

FOLDER = Path(__file__).parent.parent / "examples"


def doc(name: str) -> dict[str, Any]:
    return tomllib.loads((FOLDER / name).read_text(encoding="utf-8"))


PLAIN, SCARFED = doc("plain-oar.toml"), doc("two-wood-scarf.toml")
CREASED = {**PLAIN, "flaw": [{"kind": "crease", "from": "1.2 m", "to": "1.21 m", "face": "aft"}]}
LAX = {**PLAIN, "factors": {"own_divisor": "0.2"}}


def taken(d: dict[str, Any]) -> str:
    return "; ".join(say(s, "metric") for s in answer_doc(d, "oar").oars[0].assumptions)


@pytest.mark.parametrize("d", [CREASED, edit(SCARFED, ("wood.0.to", "0.8 m"), ("joint.0.middle", "0.8 m"))],
                         ids=["crease", "scarf at the lock"])  # fmt: skip
def test_what_no_pull_mends_has_no_pull_to_work_to(d: dict[str, Any]) -> None:
    assert answer_doc(d, "oar").state == "FALLS SHORT"
    found = shaftcheck.ask("what-breaks", d)
    assert not found.answered
    assert found.sentence.startswith("It is good for no pull")
    assert "Work to" not in found.sentence
    assert found.data["good_for_no_pull"]
    assert not found.tables
    assert not found.pictures


def test_a_creased_shaft_gets_no_weight_on_the_bench() -> None:
    found = shaftcheck.ask("bench-test", CREASED)
    assert not found.answered
    assert found.sentence.startswith("Hang nothing")
    assert not found.tables


@pytest.mark.parametrize("at", ["690 mm", "0.3 m", "8 m"])
def test_a_weight_hangs_outboard_of_what_holds_the_shaft(at: str, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["bench-test", str(FOLDER / "plain-oar.toml"), "--hang-at", at]) == 2
    assert main(["bench-test", str(FOLDER / "hinged-rig.toml"), "--hang-at", at]) == 2
    said = capsys.readouterr().err.splitlines()
    assert len(said) == 2
    assert all("--hang-at" in line and "write a place beyond" in line for line in said)


def test_a_greatest_pull_below_a_lighter_one_is_raised_to_it_and_said() -> None:
    """A caught blade that the hands let go is held by no less than the class's greatest pull."""
    free = edit(PLAIN, ("duty.boat_speed", "3 m/s"), ("duty.handle_free", "yes"))
    low = edit(free, ("rower.greatest_pull", "50 N"))
    a, b = (answer_doc(d, "oar").oars[0] for d in (free, low))
    assert b.asked["once"] == b.asked["start"] == 300.0
    assert "greatest_pull taken as 300 N" in taken(low)
    caught = [next(c.use for c in oar.cases if c.case == "caught") for oar in (a, b)]
    assert caught[1] == pytest.approx(caught[0], rel=1e-9)


def test_a_laxer_divisor_is_said_in_every_answer() -> None:
    assert "laxer than the method" in taken(LAX)
    for question, more in (("what-breaks", {}), ("bench-test", {}), ("how-sure", {"draws": "100"})):
        found = shaftcheck.ask(question, LAX, **more)
        assert found.sentence.startswith("The file's own divisor of 0.2 is laxer than the method.")
    assert "laxer" not in shaftcheck.ask("what-breaks", PLAIN).sentence
    changed = {**PLAIN, "change": {"factors": {"own_divisor": "0.5"}}}
    assert "divisor of 0.5" in shaftcheck.ask("what-breaks", changed).sentence


def test_a_moisture_drier_than_its_keeping_is_said() -> None:
    assert "moisture of wood 1 as told, 6 %" in taken(edit(PLAIN, ("wood.0.moisture", "6 % (measured)")))
    assert "moisture of wood" not in taken(edit(PLAIN, ("wood.0.moisture", "18 % (measured)")))


@pytest.mark.parametrize(("wood", "sample", "state"), [
    ("Black locust", "no", "NOT SETTLED"), ("Black locust", "yes", "HOLDS"), ("White ash", "no", "HOLDS"),
])  # fmt: skip
def test_a_wood_of_which_nobody_says_how_it_bonds_needs_its_sample(wood: str, sample: str, state: str) -> None:
    d = edit(SCARFED, ("wood.0.of", wood), ("joint.0.sample_broken", sample))
    a = answer_doc(d, "oar")
    assert a.state == state
    (line,) = [li for li in a.oars[0].lines if li.check == "scarf, bonding"]
    assert line.known == (state == "HOLDS")


def hollow(plug: str) -> dict[str, Any]:
    d = doc("takedown-oar-made-to-hold.toml")
    walls = [{**s, "wall": "9 mm"} for s in d["section"]]
    for s in walls[2:]:
        for key in ("across", "fore_and_aft", "up_and_down"):
            if key in s:
                s[key] = "54 mm"
    return edit({**d, "section": walls}, ("oar.inside", "hollow"), ("joint.0.plug", plug))


def test_a_plug_s_end_in_a_takedown_s_half_is_compared_where_it_lies() -> None:
    """The same shaft bent hardest near the lock: a plug that ends there is used more than one that ends clear of it."""
    uses = {}
    for plug in ("300 mm", "480 mm"):
        lines = answer_doc(hollow(plug), "oar").oars[0].lines
        for line in lines:
            if line.check in ("takedown, beside the plug", "bending"):
                uses[plug, line.check] = line
    near, far = uses["480 mm", "takedown, beside the plug"], uses["300 mm", "takedown, beside the plug"]
    assert near.x == pytest.approx(1.18 - 0.48, abs=1e-6)
    assert near.use > far.use
    assert near.use > uses["480 mm", "bending"].use


def test_ends_of_ranges_alone_settle_nothing() -> None:
    """With seven sizes unknown only their ends are tried: that holds at all of them is not that it holds between."""
    many = edit(
        PLAIN,
        *((f"section.{i}.across", "unknown (60 mm to 61 mm)") for i in range(2)),
        ("oar.blade_area", "unknown (0.05 m2 to 0.051 m2)"),
        ("rig.lock_touches", "unknown (38 mm to 39 mm)"),
        ("duty.boat_speed", "unknown (1.4 m/s to 1.5 m/s)"),
        ("oar.blade_width", "unknown (128 mm to 129 mm)"),
        ("oar.blade_weight", "unknown (300 g to 310 g)"),
        ("oar.blade_length", "unknown (540 mm to 541 mm)"),
    )
    a = answer_doc(many, "oar")
    assert a.state == "NOT SETTLED"
    assert "ends of every range" in a.unknown_words
    few = edit(PLAIN, ("rig.lock_touches", "unknown (38 mm to 39 mm)"))
    assert answer_doc(few, "oar").state == "HOLDS"


def test_draws_are_whole(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["how-sure", str(FOLDER / "plain-oar.toml"), "--draws", "100.5"]) == 2
    assert "--draws: '100.5' is not a whole number" in capsys.readouterr().err


def test_options_are_named_as_they_are_written(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["mend", str(FOLDER / "plain-oar.toml")]) == 2
    said = capsys.readouterr().err
    assert 'write --damage-in "' in said
    assert "damage_in" not in said


def test_only_what_finds_a_shaft_offers_to_write_one() -> None:
    with pytest.raises(SystemExit) as e:
        main(["what-breaks", str(FOLDER / "plain-oar.toml"), "--write", "new.toml"])
    assert e.value.code == 2


def butted(at: str, gap: str = "0 mm") -> dict[str, Any]:
    """Return the takedown oar with its two halves told as two woods that meet at a place."""
    d = doc("takedown-oar-made-to-hold.toml")
    (wood,) = d["wood"]
    return edit({**d, "wood": [{**wood, "to": at}, wood]}, ("joint.0.gap", gap))


def three_woods(first: str, second: str) -> dict[str, Any]:
    a, b = SCARFED["wood"]
    return {**SCARFED, "wood": [{**a, "to": first}, {**b, "to": second}, b]}


@pytest.mark.parametrize(("d", "key"), [
    (butted("1.05 m"), "wood.1.to"), (butted("1.179 m"), "wood.1.to"), (butted("1.184 m", "6 mm"), "wood.1.to"),
    (edit(SCARFED, ("wood.0.to", "0.92 m")), "wood.1.to"), (edit(SCARFED, ("wood.0.to", "1.20 m")), "wood.1.to"),
    (three_woods("1.21 m", "1.30 m"), "wood.2.to"), (three_woods("1.00 m", "1.21 m"), "wood.1.to"),
    (edit(SCARFED, ("wood.0.to", "unknown (1.0 m to 1.1 m)")), "wood.1.to"),
    (edit(SCARFED, ("joint.0.middle", "unknown (1.25 m to 1.3 m)")), "wood.1.to"),
    (edit(butted("1.18 m"), ("joint.0.at", "unknown (1.2 m to 1.25 m)")), "wood.1.to"),
    (edit(three_woods("1.20 m", "1.21 m"), ("joint.0.middle", "unknown (1.15 m to 1.25 m)")), "joint.1"),
], ids=["butt in a sleeve", "1 mm off", "beside the gap", "at a scarf's tip", "off mid-scarf", "two in one, outer",
        "two in one, inner", "never there", "scarf never there", "takedown never there",
        "two, place unknown"])  # fmt: skip
def test_woods_meet_where_their_joint_joins_them(d: dict[str, Any], key: str, tmp_path: Path,
                                                 capsys: pytest.CaptureFixture[str]) -> None:  # fmt: skip
    """A joint over two woods that meet beside it joins nothing: what butts there was once called joined."""
    path = tmp_path / "oar.toml"
    path.write_text(toml(d), encoding="utf-8")
    assert main(["check", str(path)]) == 2
    out, err = capsys.readouterr()
    assert not out
    (line,) = err.splitlines()
    assert f": {key}: " in line
    assert "[[joint]] of its own" in line


@pytest.mark.parametrize("d", [
    butted("1.18 m"), butted("1180 mm"), butted("1.177 m", "6 mm"), butted("1.183 m", "6 mm"),
    edit(SCARFED, ("wood.0.to", "unknown (1.18 m to 1.24 m)")),
    edit(SCARFED, ("joint.0.middle", "unknown (1.18 m to 1.24 m)")),
    edit(SCARFED, ("wood.0.to", "unknown (1.2 m to 1.22 m)"), ("joint.0.middle", "unknown (1.2 m to 1.22 m)")),
    edit(butted("1.18 m"), ("joint.0.at", "unknown (1.17 m to 1.19 m)")),
    edit(butted("unknown (1.17 m to 1.19 m)")),
])  # fmt: skip
def test_woods_that_may_meet_where_they_are_joined_are_answered(d: dict[str, Any]) -> None:
    a = answer_doc(d, "oar")
    assert a.state in ("HOLDS", "FALLS SHORT", "NOT SETTLED")
    assert a.oars[0].lines


def test_two_scarfs_join_three_woods() -> None:
    (scarf,) = SCARFED["joint"]
    d = three_woods("1.21 m", "1.75 m")
    d["joint"] = [scarf, {**scarf, "middle": "1.75 m"}]
    assert [float(j.middle) for j in answer_doc(d, "oar").oars[0].shaft.joints] == [1.21, 1.75]  # type: ignore[attr-defined]


def test_an_oar_that_its_lock_dents_as_a_lever() -> None:
    """A stout loom in a narrow lock bears every stroke, and not 700 N on it as a lever, which presses twice as hard."""
    sizes = {"section.2.across": "60 mm", "section.3.fore_and_aft": "60 mm", "section.3.up_and_down": "58 mm",
             "section.4.fore_and_aft": "52 mm", "section.4.up_and_down": "50 mm", "section.5.fore_and_aft": "42 mm",
             "section.5.up_and_down": "42 mm", "rig.lock_touches": "16 mm"}  # fmt: skip
    stout = edit(PLAIN, *sizes.items())
    assert answer_doc(edit(stout, ("duty.levering", "never")), "oar").state == "HOLDS"
    a = answer_doc(edit(stout, ("duty.levering", "braced")), "oar")
    assert a.state == "FALLS SHORT"
    worst = a.oars[0].lines[0]
    assert (worst.check, worst.case[:5]) == ("bearing at the lock", "lever")
    assert {line.check for line in a.oars[0].lines if not line.met} == {"bearing at the lock"}
    assert all(c.use < 1.0 for c in a.oars[0].cases if not c.case.startswith("lever"))


def test_a_shaft_that_is_hollow_beside_its_lock() -> None:
    """Solid to 1 mm beyond the lock's middle, with thin walls from there: it was looked at in the middle alone."""
    sizes = (("0 mm", "37 mm"), ("240 mm", "60 mm"), ("691 mm", "60 mm"), ("692 mm", "60 mm"), ("1.92 m", "50 mm"))
    inner, outer = {"inside": "solid"}, {"wall": "8 mm"}
    sections = [{"at": at, "across": d, **(inner if k < 3 else outer)} for k, (at, d) in enumerate(sizes)]
    a = answer_doc(edit({**PLAIN, "section": sections}, ("oar.inside", "hollow"), ("duty.levering", "never")), "oar")
    assert a.state == "FALLS SHORT"
    assert a.oars[0].lines[0].check == "hollow under the lock"


def test_of_a_metal_tube_no_pull_is_told() -> None:
    """Nothing of it is wood, so no figure of wood is good for it."""
    a = answer_doc(edit(PLAIN, ("oar.material", "metal tube")), "oar").oars[0]
    assert a.state == "NOT SETTLED"
    assert all(math.isnan(v) for v in (*a.pulls.values(), *a.to_break))
    assert "o pull can be told" in a.sentences[1]


def test_no_pull_is_told_while_a_part_is_not_checked(capsys: pytest.CaptureFixture[str], tmp_path: Path) -> None:
    """A repair is checked by nothing here: a pull told beside it would be read as good for the repair too."""
    mended = {**PLAIN, "joint": [{"kind": "repair", "from": "1.2 m", "to": "1.4 m"}]}
    (oar,) = answer_doc(mended, "oar").oars
    assert oar.state == "NOT SETTLED"
    why = "no pull can be told while repair is not checked"
    file = tmp_path / "mended.toml"
    file.write_text(toml(mended), encoding="utf-8")
    assert main(["check", str(file), "--json"]) == 1
    told = json.loads(capsys.readouterr().out)["oars"][0]
    assert told["work_to"] == {k: {"value": None, "unit": "N", "why": why} for k in oar.asked}
    for sentences in (oar.sentences, oar.spoken):
        assert why in sentences[1].lower()
        assert " N " not in sentences[1]
    found = shaftcheck.ask("what-breaks", mended)
    assert found.data["work_to_once"]["value"] is None
    assert "Work to" not in found.sentence


def test_a_lock_bends_the_shaft_over_no_more_than_it_presses(
    capsys: pytest.CaptureFixture[str], tmp_path: Path
) -> None:
    """A wide spread takes the peak off the moment: over wood that nothing presses it would be a gift."""
    file = tmp_path / "oar.toml"
    file.write_text(toml(edit(PLAIN, ("rig.lock_spreads", "60 mm"), ("rig.lock_touches", "38 mm"))), encoding="utf-8")
    assert main(["check", str(file)]) == 2
    said = capsys.readouterr().err
    assert said.count("\n") == 1
    assert "rig.lock_spreads" in said
    assert "write no more than lock_touches" in said
    for more in ("38 mm", "12 mm"):
        assert answer_doc(edit(PLAIN, ("rig.lock_spreads", more), ("rig.lock_touches", "38 mm")), "oar").oars
    tried = answer_doc(edit(PLAIN, ("rig.lock_spreads", "unknown"), ("rig.lock_touches", "38 mm")), "oar")
    assert float(tried.oars[0].shaft.rig.contact) <= 0.038  # type: ignore[union-attr]


def section(at: str, across: str, **more: str) -> dict[str, str]:
    return {"at": at, "across": across, **more}


def uses_of(d: dict[str, Any]) -> dict[str, float]:
    return {line.check: line.use if line.known else math.nan for line in answer_doc(d, "oar").oars[0].lines}


HOLLOW = edit(PLAIN, ("oar.inside", "hollow"), ("oar.solid_ends", "square"))
STEM = [section("0 mm", "36 mm", inside="solid"), section("240 mm", "56 mm", inside="solid")]


@pytest.mark.parametrize("thick", ["27.9 mm", "20 mm"])
def test_a_wall_that_steps_breaks_as_solid_wood_that_ends(thick: str) -> None:
    """A bore of 0.2 mm is as good as none."""
    rest = [section("801 mm", "56 mm", wall="8 mm"), section("1920 mm", "40 mm", wall="8 mm")]
    stepped = {
        **HOLLOW,
        "section": [
            *STEM[:1],
            section("240 mm", "56 mm", inside="solid"),
            section("300 mm", "56 mm", wall=thick),
            section("800 mm", "56 mm", wall=thick),
            *rest,
        ],
    }
    solid = {**HOLLOW, "section": [*STEM, section("800 mm", "56 mm", inside="solid"), *rest]}
    check = "beside the solid wood, life"
    assert uses_of(stepped)[check] == pytest.approx(uses_of(solid)[check], rel=5e-3)
    slow = edit(stepped, ("section.4.at", "960 mm"))
    assert uses_of(slow)[check] < 0.9 * uses_of(stepped)[check]


def test_a_square_that_goes_over_to_a_round_at_once_has_a_shoulder() -> None:
    square = {"shape": "rectangle", "fore_and_aft": "46 mm", "up_and_down": "46 mm"}
    rows = [
        section("0 mm", "36 mm"),
        section("240 mm", "46 mm"),
        {"at": "640 mm", **square},
        {"at": "740 mm", **square},
    ]
    at_once = {**PLAIN, "section": [*rows, section("741 mm", "46 mm"), section("1920 mm", "36 mm")]}
    slowly = {**PLAIN, "section": [*rows, section("900 mm", "46 mm"), section("1920 mm", "36 mm")]}
    assert uses_of(at_once)["at a shoulder's foot"] == pytest.approx(1.5 * uses_of(at_once)["bending"], rel=0.05)
    assert "at a shoulder's foot" not in uses_of(slowly)


@pytest.mark.parametrize(("at", "open_"), [(985, True), (1100, False)])
def test_a_steep_shoulder_beside_a_cradle_is_not_settled(at: int, open_: bool) -> None:
    rig = doc("hinged-rig-stouter.toml")
    rows = [section("0 mm", "36 mm"), section("300 mm", "64 mm"), section(f"{at} mm", "64 mm"),
            section(f"{at + 1} mm", "54 mm"), section("2.12 m", "44 mm")]  # fmt: skip
    found = uses_of({**rig, "section": rows})
    assert math.isnan(found["outer half, at a shoulder's foot"]) == open_


def test_a_steep_shoulder_in_a_scarf_is_not_settled() -> None:
    middle = float(SCARFED["joint"][0]["middle"].removesuffix(" m")) * 1e3
    rows = [section("0 mm", "38 mm"), section("240 mm", "58 mm"), section(f"{middle} mm", "58 mm"),
            section(f"{middle + 1.0} mm", "50 mm"), section("2.06 m", "42 mm")]  # fmt: skip
    assert math.isnan(uses_of({**SCARFED, "section": rows})["at a shoulder's foot"])


def test_a_flaw_under_the_hand_of_a_hollow_grip_is_not_settled() -> None:
    rows = [
        section(at, across, wall="7 mm")
        for at, across in (("0 mm", "38 mm"), ("240 mm", "56 mm"), ("1920 mm", "44 mm"))
    ]
    sound = {**HOLLOW, "section": rows}
    knot = {"kind": "knot", "from": "60 mm", "to": "75 mm", "width": "6 mm", "face": "aft"}
    assert not math.isnan(uses_of(sound)["hollow under the hand"])
    assert math.isnan(uses_of({**sound, "flaw": [knot]})["hollow under the hand"])


@pytest.mark.source("NDS 3.9.2, 1 / (1 - P / P_cr) on bending (from memory), by hand from the answer's own figures")
def test_a_push_raises_what_a_takedown_is_asked() -> None:
    """At loads times 1 / use the pressure of the push alone, over 1 - P/P_cr, is the limit."""
    made = doc("takedown-oar-made-to-hold.toml")
    strong = edit(made, ("rower.strength", "trained"), *((f"rower.{k}_pull", "20 N (measured)") for k in (
        "steady", "hard", "start", "greatest")))  # fmt: skip
    found = {line.check: line for line in answer_doc(strong, "oar").oars[0].lines}
    line, share = found["takedown, inner half, bearing"], found["buckling"].use
    assert line.case.startswith("push")
    plain = line.demand * (1.0 - share)
    assert line.use == pytest.approx(plain / line.capacity + share, rel=0.02)  # the weight's part is small
    assert share > 0.05


def test_an_unknown_size_does_not_jump_over_a_shoulder() -> None:
    """Told just short of 1:6 it falls short; steeper, or much milder, it holds."""
    rows = [section("0 mm", "38 mm"), section("240 mm", "56 mm"), section("750 mm", "56 mm"),
            section("780 mm", "unknown (56 mm to 110 mm)"), section("1400 mm", "50 mm"),
            section("1920 mm", "42 mm")]  # fmt: skip
    sized = {**PLAIN, "section": rows}
    o = answer_doc(sized, "oar").oars[0]
    told = answer_doc(edit(sized, ("section.3.across", "65.9 mm")), "oar").oars[0]
    assert told.state == "FALLS SHORT"
    assert o.state == "NOT SETTLED"
