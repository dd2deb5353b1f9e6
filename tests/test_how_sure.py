"""How sure: against closed forms, a printed first-order example, a general optimiser, and counting."""

from __future__ import annotations

import math
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from scipy.optimize import minimize
from scipy.stats import norm

import shaftcheck
from shaftcheck.border.shaftfile import parse
from shaftcheck.engine import run, walk
from shaftcheck.loads import loaded
from shaftcheck.model import PROPERTIES, number
from shaftcheck.questions.how_sure import odds
from shaftcheck.questions.question import Asked, ready
from shaftcheck.studies.chance import chance, first_order
from shaftcheck.studies.expected import as_expected, scatter

FOLDER = Path(__file__).parent.parent / "examples"


def beam(name: str):  # type: ignore[no-untyped-def]
    text = (FOLDER / name).read_text(encoding="utf-8")
    return loaded(ready(Asked(docs=((name, parse(text, name)),), options={}))[1].shaft)


def steel_beam(u: np.ndarray) -> np.ndarray:
    """Yield strength 40, section modulus 50, moment 1000 with scatter 12.5, 5 and 20 %, all normal."""
    return (40 + 5 * u[..., 0]) * (50 + 2.5 * u[..., 1]) - (1000 + 200 * u[..., 2])


@pytest.mark.source(
    "Ang & Tang, Probability Concepts in Engineering Planning and Design II (1984), steel beam (from memory)"
)
def test_a_printed_first_order_example() -> None:
    """Printed: index 3.05 for normal variables."""
    index, _ = first_order(steel_beam, 3, 1, rounds=30)
    assert round(float(index[0]), 2) == 3.05


@pytest.mark.source("SciPy, optimize.minimize (SLSQP)")
def test_the_nearest_point_is_the_one_that_an_optimiser_finds() -> None:
    index, u = first_order(steel_beam, 3, 1, rounds=30)
    least = minimize(lambda v: v @ v, np.full(3, -1.0), constraints={"type": "eq", "fun": steel_beam})
    assert float(index[0]) == pytest.approx(math.sqrt(least.fun), rel=1e-5)
    np.testing.assert_allclose(u[0], least.x, atol=2e-3)


@pytest.mark.source(
    "lognormal strength over lognormal load, Nowak & Collins, Reliability of Structures (2000), chapter 5 (from memory)"
)
def test_one_strength_over_one_load_in_closed_form() -> None:
    """Index = ln(median strength over median load) over the root of the log-variances added up."""
    b = beam("plain-oar.toml")
    v = float(b.shaft.pieces[0].wood.scatter.shear)
    found = chance(b, load_scatter=0.2, model_scatter=0.1, draws=100, series=1)
    use = next(float(r.use) for r in run(as_expected(b)) if r.check == "shear, stroke")
    medians = (1.0 / use) / math.sqrt(1 + v * v) * math.sqrt(1 + 0.2**2) * math.sqrt(1 + 0.1**2)
    spread = math.sqrt(math.log(1 + v * v) + math.log(1 + 0.2**2) + math.log(1 + 0.1**2))
    index = float(found.index[found.checks.index("shear, stroke")])
    assert index == pytest.approx(math.log(medians) / spread, rel=2e-3)


@pytest.mark.long
def test_sampling_agrees_with_counting_every_draw() -> None:
    """Strengths, loads and the method's error drawn all together and failures counted, by another generator."""
    b = beam("hinged-rig.toml")
    n = 4000
    found = chance(b, load_scatter=0.15, model_scatter=0.1, draws=n, series=1)
    rng = np.random.Generator(np.random.MT19937(99))
    times = {}
    for prop in PROPERTIES:
        s = scatter(b, prop)
        times[prop] = rng.lognormal(-s * s / 2, s, size=(n, len(b.shaft.pieces)))
    rows = walk((n,), lambda i: as_expected(b, {k: t[i] for k, t in times.items()}))
    use = np.max([r.use for r in rows.values()], axis=0)
    factor = 1.0
    for v in (0.15, 0.1):
        s = math.sqrt(math.log(1 + v * v))
        factor = factor * rng.lognormal(-s * s / 2, s, size=n)
    counted = float(np.mean(use * factor >= 1.0))
    error = math.sqrt(counted * (1 - counted) / n + found.error**2)
    assert abs(counted - found.sampled) < 4 * error
    assert found.at_least - 3 * found.error <= found.sampled <= found.at_most + 3 * found.error


def test_more_scatter_and_more_load_are_never_surer() -> None:
    b = beam("plain-oar.toml")
    calm = chance(b, load_scatter=0.05, model_scatter=0.05, draws=200, series=3)
    wild = chance(b, load_scatter=0.3, model_scatter=0.05, draws=200, series=3)
    assert wild.at_least > calm.at_least
    heavy = replace(b.shaft.rower, start=number(2.0) * b.shaft.rower.start)
    more = chance(loaded(replace(b.shaft, rower=heavy)), load_scatter=0.05, model_scatter=0.05, draws=200, series=3)
    assert more.sampled > calm.sampled
    assert sum(d.share for d in calm.drives) == pytest.approx(1.0, abs=0.02)


@pytest.mark.parametrize(("p", "words"), [
    (0.99995e-4, "less than 1 in 10 000"), (0.0, "less than 1 in 10 000"), (1.1e-4, "1 in 10 000"),
    (0.0059, "6 in 1 000"), (0.136, "14 in 100"), (0.97, "97 in 100"), (float("nan"), "not known"),
])  # fmt: skip
def test_chances_in_words(p: float, words: str) -> None:
    assert odds(p) == words


def test_a_chance_below_one_in_ten_thousand_is_never_a_figure() -> None:
    found = shaftcheck.ask(
        "how-sure", FOLDER / "plain-oar.toml", load_scatter="0.02", method_scatter="0.02", draws="100"
    )
    assert found.answered
    assert found.data["chance_at_least"] == {"less_than": 1e-4}
    assert "less than 1 in 10 000" in found.sentence


@pytest.mark.long
def test_a_series_gives_the_same_again_and_another_does_not() -> None:
    b = beam("two-wood-scarf.toml")
    one, again, other = (chance(b, load_scatter=0.1, model_scatter=0.1, draws=150, series=s) for s in (5, 5, 6))
    assert one.sampled == again.sampled
    assert one.sampled != other.sampled
    assert norm.cdf(-float(one.index[0])) == pytest.approx(one.at_least, rel=1e-9)
