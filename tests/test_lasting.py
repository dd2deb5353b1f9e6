"""Shear, splitting and glue under a life of unlike strokes: no comparison sees each kind of stroke alone."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import numpy as np
import pytest
from test_properties import VARIABLE, times
from test_use import DOCS, shaft

from shaftcheck.beam import Beam, mesh
from shaftcheck.checks.compare import Use
from shaftcheck.checks.member import lasting_limit
from shaftcheck.engine import uses
from shaftcheck.loads import loaded
from shaftcheck.model import Array, number

WEARS = (
    "shear",
    "splitting",
    "ring bending",
    "glue pulled",
    "glue sheared",
    "hollow under",
    "bolt on the",
    "bolt bends",
)
"""what lasting load lowers, beside bending, which has comparisons of its own for a life"""
FILES = ("plain-oar", "two-wood-scarf", "hinged-rig", "takedown-oar", "takedown, hollow", "bolted", "plugged")


def wears(u: Use) -> bool:
    return (
        any(w in u.check for w in WEARS)
        and not any(w in u.check for w in ("pressed", "tube", "pin"))
        and u.cases is None
    )


def alike(beam: Beam, x: Array) -> Beam:
    """The same shaft with all its strokes as near as the first shear comparison's limit: the sum's worst."""
    use = np.max(next(u.use for u in uses(beam, x) if u.check == "shear, stroke"), axis=-1)
    rows = [i for i, c in enumerate(beam.cases) if c.repeated and c.key != "lift"]
    factor = np.ones(len(beam.cases))
    factor[rows] = use[rows].max() / use[rows]
    more = {k: getattr(beam, k) * factor[:, None] for k in VARIABLE}
    cases = tuple(replace(c, seat=c.seat * f, pull=c.pull * f) for c, f in zip(beam.cases, factor, strict=True))
    return replace(beam, cases=cases, **more)


def spent(beam: Beam, u: Use, k: tuple[int, ...]) -> tuple[float, float]:
    """Miner's sum at one point from what is demanded there and the limit of the short pull, by hand."""
    demand, capacity = np.broadcast_arrays(u.demand, u.capacity)
    short = next(i for i, c in enumerate(beam.cases) if not c.repeated)
    total = alone = 0.0
    for i, c in enumerate(beam.cases):
        if c.repeated:
            s = float(demand[i, k[-1]] / capacity[short, k[-1]])
            end = 0.28 if c.key == "back" else 0.40
            total += float(c.share) / 3e7 ** ((1.0 - s) / (1.0 - end))
            alone = max(alone, float(c.cycles) / 3e7 ** ((1.0 - s) / (1.0 - end)))
    return total, alone


@pytest.mark.source(
    "Miner's sum by hand over the line 1 - 0.6 log N / log 3e7, 0.72 to and fro; Wood Handbook Table 5-17 (from memory)"
)
@pytest.mark.parametrize("even", [False, True])
@pytest.mark.parametrize("name", [n for n in FILES if n in DOCS])
def test_at_the_limit_all_strokes_together_spend_one_life(name: str, even: bool) -> None:
    oar, own = shaft(DOCS[name])
    x = mesh(oar, 2)
    beam = loaded(oar, number(own))
    beam = alike(beam, x) if even else beam
    seen = set()
    for i, u in enumerate(uses(beam, x)):
        rows = [n for n, c in enumerate(beam.cases) if c.repeated]
        use = np.broadcast_arrays(u.use, u.demand)[0]
        if not wears(u) or use.shape[-2] != len(beam.cases) or not np.any(use[rows] > 1e-6):
            continue
        worst = np.where(np.isfinite(use[rows]), use[rows], -1.0)
        row, point = np.unravel_index(np.argmax(worst), worst.shape)
        again = uses(times(beam, 1.0 / worst[row, point]), x)[i]
        total, alone = spent(beam, again, (int(row), int(point)))
        assert total <= 1.0 + 1e-6, (u.check, total)
        if "glue" not in u.check:  # there each case counts on both faces
            assert total >= 0.995 or alone <= total, (u.check, total, alone)
            assert total >= 0.85, (u.check, total)
        seen.add(u.check)
    assert {"shear, stroke", "shear, up and down"} <= seen


def test_how_much_a_sum_adds() -> None:
    """One stroke so alone that the sum is its own: the limit stays. Four alike: each at its own limit is 3.9 lives."""
    oar, own = shaft(DOCS["plain-oar"])
    beam = loaded(oar, number(own))
    limit = beam.at(mesh(oar, 2)).limit("shear")
    rows = [i for i, c in enumerate(beam.cases) if c.repeated]
    one = np.zeros_like(limit)
    start = next(i for i, c in enumerate(beam.cases) if c.key == "start")
    one[start] = 0.9 * limit[start]
    assert np.allclose(lasting_limit(beam, limit, one), limit, rtol=1e-4)
    alike = np.zeros_like(limit)
    alike[rows] = limit[rows]
    part = lasting_limit(beam, limit, alike) / limit
    assert np.all(part[rows] < 0.92)
    assert np.all(part[rows] > 0.85)  # never more: five kinds of stroke spend at most five lives
    still: Any = 0.3 * limit
    assert np.all(lasting_limit(beam, limit, alike, still)[rows] < limit[rows])
