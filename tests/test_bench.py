"""The bench: sag and stress by handbook beams for both ways of holding the handle, and what is measured put back in."""

from __future__ import annotations

import math
import tomllib
from pathlib import Path

import numpy as np
import pytest

import shaftcheck
from shaftcheck.answer import answer_doc
from shaftcheck.border.shaftfile import parse
from shaftcheck.border.shown import say
from shaftcheck.errors import InputError
from shaftcheck.model import number
from shaftcheck.questions.question import Asked, ready
from shaftcheck.studies.bench import exponent_of_stiffness, proof

FOLDER = Path(__file__).parent.parent / "examples"
ROUND = """
[oar]
length = "2.6 m"
inside = "solid"
blade_length = "500 mm"
blade_width = "140 mm"
blade_weight = "50 g"
[rig]
kind = "lock"
hand = "100 mm"
lock = "800 mm"
[rower]
strength = "light"
hands = "one"
[duty]
boat_speed = "1 m/s"
levering = "never"
[[section]]
at = "0 mm"
across = "45 mm"
[[section]]
at = "2.6 m"
across = "45 mm"
[[wood]]
of = "Sitka spruce (US)"
runout = "1:20"
moisture = "12 %"
"""
A, B, D = 0.7, 1.3, 0.045
"""hand to lock, lock to the weight, across [m]"""
E = 10.8e9 * 0.07 * (1 + 1 / 400) / (0.07 + 1 / 400)
"""Sitka spruce at 12 %, Wood Handbook Table 5-3, the US row, at 1:20 by Hankinson's formula [Pa]"""


def built(text: str):  # type: ignore[no-untyped-def]
    return ready(Asked(docs=(("oar", parse(text, "oar")),), options={}))[1].shaft


@pytest.mark.source("Gere & Goodno, Mechanics of Materials, tables of deflections (from memory)")
def test_sag_of_a_round_bar_for_both_ways_of_holding_it() -> None:
    """Clamped P b^3 / 3EI; an overhang on two supports P b^2 (a + b) / 3EI. Shear adds a few thousandths."""
    (p,) = proof(built(ROUND), number(1.0), at=0.8 + B)
    second = math.pi * D**4 / 64
    e = float(built(ROUND).pieces[0].wood.dry.stiffness) / 10.8e9 * E
    clamped = 9.80665 * B**3 / (3 * e * second)
    resting = 9.80665 * B**2 * (A + B) / (3 * e * second)
    assert p.sag_clamped == pytest.approx(clamped, rel=6e-3)
    assert p.sag_held == pytest.approx(resting, rel=8e-3)
    assert p.sag_clamped > clamped
    assert p.sag_held > resting
    assert p.sag_held / p.sag_clamped > 1.5  # how the handle is held matters by half as much again


@pytest.mark.source("flexure formula by hand; Wood Handbook Table 5-3 and 5-6, Sitka spruce (US)")
def test_the_weight_brings_the_proof_stress_to_the_lock() -> None:
    """38.7 MPa mean crushing strength at 12 %, scatter 18 %: lower 5 % is 27.2 MPa; 0.4 of 70 MPa at 1:20 is 26 MPa."""
    (p,) = proof(built(ROUND), number(1.0), at=0.8 + B)
    wood = built(ROUND).pieces[0].wood
    crushing = float(wood.dry.compression) * (1 - 1.645 * float(wood.scatter.compression))
    bending = 0.4 * float(wood.dry.bending) * 0.93
    assert p.governs.startswith("0.4 of the mean" if bending < crushing else "creases")
    line = float(wood.gravity) * 1.12 / 1.0 * 1000 * math.pi / 4 * D**2  # kg/m at 12 % moisture
    own = 9.80665 * (line * 1.3 * 0.65 + 0.05 * (2.35 - 0.8))
    moment = min(crushing, bending) * math.pi * D**3 / 32
    assert p.mass == pytest.approx((moment - own) / (9.80665 * B), rel=4e-3)
    assert p.x == pytest.approx(0.8)
    assert p.pull == pytest.approx(p.mass * 9.80665 * B / A, rel=1e-9)


@pytest.mark.parametrize("name", ["plain-oar.toml", "two-wood-scarf.toml", "hinged-rig.toml"])
def test_no_weight_passes_the_one_off_limit(name: str) -> None:
    """The pull that the weight stands for is never above what the shaft is good for once."""
    oar = shaftcheck.check(FOLDER / name).answer.oars[0]
    for p in proof(built((FOLDER / name).read_text(encoding="utf-8")), number(1.0)):
        assert 0.0 < p.mass < 400.0
        good = [li.good_for for li in oar.lines if li.case == "once" and li.check == "bending"]
        assert all(p.pull <= g * 1.05 for g in good)  # levers to the blade's middle and to its pressure centre differ


def test_what_is_beyond_the_neck_is_weighed_once() -> None:
    """`blade_weight` is all that is beyond the neck: sections that go on to the tip add nothing to it."""
    short = ROUND.replace('[[section]]\nat = "2.6 m"', '[[section]]\nat = "2.1 m"')
    assert short != ROUND
    weights = [shaftcheck.check(parse(t, "oar")).weight.magnitude for t in (ROUND, short)]
    assert weights[0] == pytest.approx(weights[1], rel=1e-9)


def test_more_weight_is_never_allowed_of_a_thinner_shaft() -> None:
    masses = [proof(built(ROUND.replace("45 mm", f"{d} mm")), number(1.0), at=2.1)[0].mass for d in (40, 45, 50)]
    assert masses == sorted(masses)


def test_a_joint_that_is_not_known_forbids_a_weight() -> None:
    text = ROUND + '[[joint]]\nkind = "repair"\nfrom = "1.2 m"\nto = "1.3 m"\n'
    found = shaftcheck.ask("bench-test", parse(text, "oar"))
    assert not found.answered
    assert found.sentence.startswith("Hang nothing")
    assert math.isnan(proof(built(text), number(1.0))[0].mass)


def back(sag_mm: float, held: str = "resting"):  # type: ignore[no-untyped-def]
    return shaftcheck.ask("bench-test", parse(hung(sag_mm, held), "oar"))


def hung(sag_mm: float, held: str = "resting") -> str:
    more = f'[measured]\nsag = "{sag_mm:.3f} mm"\nsag_weight = "10 kg"\nsag_at = "2.1 m"\nsag_held = "{held}"\n'
    return ROUND.replace("[rower]", more + "[rower]")


def test_a_softer_shaft_lowers_the_limit_at_once_and_the_file_says_the_same() -> None:
    computed = proof(built(ROUND), number(1.0), at=2.1)[0].sag_held * 10e3
    found = back(computed / 0.9)
    told = found.data["measured"]
    n, _ = exponent_of_stiffness(hardwood=False)
    assert told["stiffness_over_taken"]["value"] == pytest.approx(0.9, rel=1e-4)
    assert told["strength_over_taken"]["value"] == pytest.approx(0.9**n, rel=1e-4)
    assert told["design_limit_times"]["value"] == pytest.approx(0.9**n, rel=1e-4)
    before, a = (answer_doc(parse(text, "oar"), "oar").oars[0] for text in (ROUND, hung(computed / 0.9)))
    left = a.pulls["once"] / before.pulls["once"]
    assert 0.9 * 0.9**n < left <= 1.002 * 0.9**n  # a push that no pull brings about bites more of what is left
    assert "as you measured it" in a.sentences[0]
    assert any("every strength is taken" in say(words) for words in a.assumptions)


def test_a_stiffer_shaft_raises_no_limit() -> None:
    computed = proof(built(ROUND), number(1.0), at=2.1)[0].sag_clamped * 10e3
    found = back(computed / 1.2, "clamped")
    told = found.data["measured"]
    assert told["design_limit_times"]["value"] == 1.0
    assert told["half_would_have_broken"]["value"] > 0
    assert not found.winners
    assert "no design limit is raised" in found.sentence


def test_a_sag_that_can_not_be_is_not_believed() -> None:
    with pytest.raises(
        InputError, match=r"measured\.sag: '.*', where .* is computed.*; measure it and the sizes again"
    ):
        back(proof(built(ROUND), number(1.0), at=2.1)[0].sag_held * 10e3 * 3)


def test_what_was_measured_of_an_oar_counts_of_what_is_made_of_it() -> None:
    """Soft as a whole oar, soft cut in two: a change takes its strengths over, in check and in every question."""
    doc = tomllib.loads((FOLDER / "oar-to-cut.toml").read_text("utf-8"))
    doc["wood"] = [{**row, "of": "Sitka spruce (US)"} for row in doc["wood"]]
    light = {**doc, "measured": {"weight": "1.45 kg"}}
    sound, lowered = (answer_doc(d, "oar") for d in (doc, light))
    assert "as you measured it" in lowered.oars[1].sentences[0]
    left = [b.pulls["once"] / a.pulls["once"] for a, b in zip(sound.oars, lowered.oars, strict=True)]
    assert all(part < 0.85 for part in left)  # in a cradle the clamp stands, and bites more of what is left
    uses = [shaftcheck.ask("what-breaks", d).data for d in (doc, light)]
    assert uses[0] != uses[1]


@pytest.mark.source("Wood Handbook, FPL-GTR-282 (2021), Table 5-11a (coefficients from memory)")
def test_a_lighter_oar_is_a_weaker_one_and_a_heavier_one_no_stronger() -> None:
    def pull(weight: str) -> float:
        more = f'[measured]\nweight = "{weight}"\n[rower]'
        return answer_doc(parse(ROUND.replace("[rower]", more), "oar"), "oar").oars[0].pulls["once"]

    as_computed = answer_doc(parse(ROUND, "oar"), "oar").oars[0]
    mass = float(as_computed.whole.mass)
    left = pull(f"{0.9 * mass:.6f} kg") / as_computed.pulls["once"]
    assert 0.9 * 0.9**1.01 < left <= 1.002 * 0.9**1.01  # a push that no pull brings about bites more of what is left
    assert pull(f"{1.2 * mass:.6f} kg") == pytest.approx(as_computed.pulls["once"], rel=1e-12)
    with pytest.raises(InputError, match=r"measured\.weight"):
        pull(f"{0.5 * mass:.6f} kg")


@pytest.mark.source("Wood Handbook, FPL-GTR-282 (2021), Table 5-11a (coefficients from memory)")
def test_strength_follows_stiffness_by_the_printed_exponents() -> None:
    assert exponent_of_stiffness(hardwood=False)[0] == pytest.approx(1.01 / 0.84)
    assert exponent_of_stiffness(hardwood=True)[0] == pytest.approx(1.13 / 0.70)
    assert np.isclose(exponent_of_stiffness(hardwood=False)[1], 0.15 * math.sqrt(2))
