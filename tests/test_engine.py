"""The engine: looking closer, walking in blocks, and the search for a root."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.optimize import brentq

from shaftcheck import engine
from shaftcheck.answer import answer
from shaftcheck.beam import Beam
from shaftcheck.checks.compare import search_use
from shaftcheck.loads import loaded
from shaftcheck.model import Array, Shaft, number, stack

EXAMPLES = sorted(Path("examples").glob("*.toml"))


def shaft_of(file: Path) -> Shaft:
    return answer(file.read_text(encoding="utf-8"), file.name).oars[0].shaft


@pytest.mark.parametrize("file", EXAMPLES, ids=lambda f: f.stem)
def test_a_study_looks_as_closely_as_an_answer(file: Path) -> None:
    """The worst of each comparison over rounds of closer points is that of all the points together."""
    a = answer(file.read_text(encoding="utf-8"), file.name).oars[0]
    rows = engine.run(loaded(a.shaft), rounds=2)
    assert sorted(r.check for r in rows) == sorted(line.check for line in a.lines)
    for row in rows:
        line = next(line for line in a.lines if line.check == row.check)
        assert bool(row.known) == line.known
        np.testing.assert_allclose(row.use, line.use, rtol=1e-12)
        if line.use != 0.0:  # nothing is nowhere the worst
            np.testing.assert_allclose(row.x, line.x, atol=1e-9)


def test_blocks_change_nothing() -> None:
    """A study walked in blocks of any size gives what each shaft gives alone."""
    shaft = shaft_of(Path("examples/plain-oar.toml"))
    times = np.linspace(0.8, 1.2, 7)

    def build(i: np.ndarray) -> Beam:
        stations = tuple(replace(s, depth=s.depth * times[i]) for s in shaft.stations)
        return loaded(stack([replace(shaft, stations=tuple(replace(s, depth=s.depth[k]) for s in stations))
                             for k in range(len(i))]))  # fmt: skip

    one = engine.walk((7,), build, rounds=2)
    for size in (1, 3):
        for check, row in engine.walk((7,), build, size=size, rounds=2).items():
            np.testing.assert_allclose(row.use, one[check].use, rtol=1e-12)
    alone = [engine.run(build(np.array([i])), rounds=2) for i in range(7)]
    for rows in zip(*alone, strict=True):
        np.testing.assert_allclose(np.concatenate([r.use for r in rows]), one[rows[0].check].use, rtol=1e-12)


def test_of_two_joints_with_one_name_the_worse_is_kept() -> None:
    """A study tells comparisons by name; a second joint of the same kind must not hide the first."""
    shaft = shaft_of(Path("examples/two-wood-scarf.toml"))
    (scarf,) = shaft.joints
    bad = replace(scarf, glue="hide")
    for pair in ((scarf, bad), (bad, scarf)):
        rows = engine.walk((1,), lambda i, pair=pair: loaded(stack([replace(shaft, joints=pair)])))
        assert not rows["scarf, glue kind"].known.any()


PART = st.one_of(st.just(0.0), st.floats(1e-4, 1.0))


@pytest.mark.source("SciPy, optimize.brentq")
@given(
    e=PART, c=PART, m=st.floats(1e-9, 1e3), still=st.floats(0.0, 0.99),
    scale=st.sampled_from((1e-6, 1.0, 1e6)),
)  # fmt: skip
@settings(max_examples=200, deadline=None)
def test_a_root_is_found_to_the_last_digits_in_few_steps(
    e: float, c: float, m: float, still: float, scale: float
) -> None:
    calls = 0

    def left(f: Array) -> Array:
        nonlocal calls
        calls += 1
        return (1.0 - f * e / scale) * (1.0 - (f * c / scale) ** 2) - (still + f * m / scale)

    bound = min(scale / e if e else np.inf, scale / c if c else np.inf)
    if bound > 1e9:  # a push of a thousand-millionth of what buckles it: no load that counts
        return
    use = float(search_use(left, number([bound]))[0])
    root = brentq(lambda f: float(left(number(f))), 0.0, bound, xtol=1e-300, rtol=1e-14)
    assert use == pytest.approx(1.0 / root, rel=1e-11 / (1.0 - still))
    calls = 0
    search_use(left, number([bound]))
    assert calls <= 60


@pytest.mark.parametrize("size", [2, 128])
def test_what_governs_is_what_is_worst_of_all(size: int) -> None:
    shaft = shaft_of(Path("examples/two-wood-scarf.toml"))
    slopes = 1.0 / np.array([7.0, 8.0, 12.0])  # 1:7 is steeper than the method reaches: not known

    def build(i: np.ndarray) -> Beam:
        (scarf,) = shaft.joints
        return loaded(stack([replace(shaft, joints=(replace(scarf, slope=number(slopes[k])),)) for k in i]))

    rows = engine.walk((3,), build)
    found = engine.governing((3,), build, size=size)
    for k in range(3):
        known = {name: float(r.use[k]) for name, r in rows.items() if not np.isnan(r.use[k])}
        assert found.use[k] == pytest.approx(max(known.values()), rel=1e-12)
        assert known[found.names[found.check[k]]] == max(known.values())
        assert bool(found.known[k]) == all(bool(r.known[k]) for r in rows.values())
    assert not found.holds[0]
    assert found.holds[2]
