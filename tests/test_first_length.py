"""A first length: the printed rule, the levers' statics by hand, and the first shaft fed back to `check`."""

from __future__ import annotations

import numpy as np
import pytest

import shaftcheck
from shaftcheck.answer import answer_doc
from shaftcheck.border import write
from shaftcheck.border.shaftfile import parse
from shaftcheck.loads.rowers import rower
from shaftcheck.questions.question import Finding


@pytest.fixture(scope="module")
def found() -> Finding:
    return shaftcheck.ask("first-length", between_locks="1.25 m", strength="general", water="open")


@pytest.mark.source("a magazine article (common practice): 52 in between the locks gives 100 in, the leather at 28 in")
def test_the_rule_of_seven_in_twenty_five_as_printed() -> None:
    found = shaftcheck.ask("first-length", between_locks="52 in", system="inches")
    rule = next(r for r in found.data["rules"] if r["rule"] == "seven in twenty-five")
    assert rule["length"]["value"] == pytest.approx(100 * 0.0254, abs=1e-9)
    assert rule["lock"]["value"] == pytest.approx(28 * 0.0254, abs=1e-9)


@pytest.mark.source("common practice: inboard 2/7 with length 3.5 times half the width; locks at 28 to 31 % of the oar")
def test_the_other_rules_keep_to_practice(found: Finding) -> None:
    by = {r["rule"]: r for r in found.data["rules"]}
    assert by["two in seven"]["length"]["value"] == pytest.approx(3.5 * 1.25 / 2.0, abs=0.005)
    assert by["short of twice the width"]["length"]["value"] < 2.0 * 1.25
    for r in by.values():
        assert 0.275 <= r["lock"]["value"] / r["length"]["value"] <= 0.315
        assert r["source"] == "common practice, no source"


@pytest.mark.source("statics of a lever by hand; drag of a plate, C_d 2.0, sea water 1025 kg/m3, 2 m/s")
def test_the_forces_are_those_of_the_levers(found: Finding) -> None:
    pull = float(rower("general", "one", "never", {}).once)
    for r in found.data["rules"]:
        a = r["lock"]["value"] - 0.060
        b = r["length"]["value"] - 0.70 / 3.0 - r["lock"]["value"]  # a third of the blade from its tip
        assert r["inboard"]["value"] == pytest.approx(a)
        assert r["moment"]["value"] == pytest.approx(pull * a, rel=1e-6)
        assert r["blade_force"]["value"] == pytest.approx(pull * a / b, rel=1e-9)
        middle = r["length"]["value"] - 0.70 / 2.0 - r["lock"]["value"]  # the lock's is more with the push nearer in
        assert r["lock_force"]["value"] == pytest.approx(pull + pull * a / middle, rel=1e-9)
    for blade in found.data["blades"]:
        area = blade["area"]["value"]
        assert blade["caught"]["value"] == pytest.approx(2.0 * 1025.0 * area * 2.0**2 / 2.0, rel=1e-9)


def test_a_broader_blade_is_pushed_and_twisted_harder(found: Finding) -> None:
    for key in ("area", "caught", "caught_moment", "twist"):
        values = [b[key]["value"] for b in found.data["blades"]]
        assert values == sorted(values), key
        assert len(set(values)) == 3


def test_the_first_shaft_fed_back_gives_the_same_figures(found: Finding) -> None:
    assert found.answered
    winner = found.winners[0]
    oar = answer_doc(parse(write.text(winner.doc), "winner"), "winner").oars[-1]
    assert oar.state == "HOLDS"
    again: dict[str, float] = {}
    for line in oar.lines:
        again[line.check] = max(line.use, again.get(line.check, -np.inf))
    assert again == pytest.approx(dict(winner.uses), rel=1e-9, abs=1e-12)


def test_where_nothing_holds_it_says_so() -> None:
    found = shaftcheck.ask(
        "first-length", between_locks="2.6 m", strength="trained", levering="braced", boat_speed="6 m/s"
    )
    assert not found.answered
    assert not found.winners
    assert "No section within reach" in found.sentence


def test_the_width_is_needed() -> None:
    with pytest.raises(shaftcheck.InputError, match="between_locks"):
        shaftcheck.ask("first-length")
