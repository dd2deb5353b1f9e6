"""What breaks first: in step with the check itself, with loads grown to each limit, and with lognormal quantiles."""

from __future__ import annotations

import math
from dataclasses import replace
from pathlib import Path

import pytest
from scipy.stats import lognorm

import shaftcheck
from shaftcheck.answer import answer
from shaftcheck.border.shaftfile import parse
from shaftcheck.engine import refined, run, uses
from shaftcheck.loads import loaded
from shaftcheck.model import number
from shaftcheck.questions.question import Asked, ready
from shaftcheck.studies.expected import as_expected, order

LIVE = ["plain-oar.toml", "two-wood-scarf.toml", "hinged-rig.toml"]


def text(name: str) -> str:
    return (Path(__file__).parent.parent / "examples" / name).read_text(encoding="utf-8")


def shaft(name: str):  # type: ignore[no-untyped-def]
    return ready(Asked(docs=((name, parse(text(name), name)),), options={}))[1].shaft


@pytest.mark.parametrize("name", LIVE)
def test_the_least_pull_is_the_one_that_check_says(name: str) -> None:
    oar = answer(text(name), name).oars[-1]
    beam = loaded(shaft(name))
    rows = [o for o in order(beam) if beam.cases[o.case].key == "once"]
    assert min(o.work_to for o in rows) == pytest.approx(oar.pulls["once"], rel=2e-4)
    bending = next(o for o in rows if o.check == "bending")
    assert (bending.half, bending.low, bending.high) == pytest.approx(
        oar.to_break, rel=5e-4
    )  # check leaves the weight out
    life = next(o for o in order(beam) if o.check == "life")
    assert life.work_to >= oar.pulls["steady"] * (1 - 2e-4)


@pytest.mark.parametrize("name", LIVE)
def test_a_pull_grown_to_a_limit_lands_on_it(name: str) -> None:
    """Run again with the greatest pull set to each figure: the check's use in that case is 1, of the mean shaft too."""
    built = shaft(name)
    beam = loaded(built)
    once = beam.case("once")
    for o in order(beam):
        if o.case != once or math.isinf(o.work_to):
            continue
        for pull, mean in ((o.work_to, False), (o.half, True)):
            again = loaded(replace(built, rower=replace(built.rower, once=number(pull))))
            again = as_expected(again) if mean else again
            found = [
                u for u in uses(again, refined(again)) if u.check == o.check and (u.cases is None or once in u.cases)
            ]
            row = [u.use[..., once if u.cases is None else u.cases.index(once), :].max() for u in found]
            assert max(row) == pytest.approx(1.0, rel=5e-4), (o.check, mean)


@pytest.mark.source("SciPy, scipy.stats.lognorm")
def test_the_marks_are_quantiles_of_lognormal_scatter() -> None:
    built = shaft("plain-oar.toml")
    rows = order(loaded(built))
    bearing = next(o for o in rows if o.check == "bearing at the lock")
    v = float(built.pieces[0].wood.scatter.bearing)
    s = math.sqrt(math.log1p(v * v))
    low, high = lognorm.ppf([0.05, 0.95], s, scale=bearing.half)
    assert (bearing.low, bearing.high) == pytest.approx((low, high), rel=1e-3)


def test_the_mean_shaft_is_never_weaker_than_its_limits() -> None:
    for name in LIVE:
        beam = loaded(shaft(name))
        mean = as_expected(beam)
        for a, b in zip(run(beam), run(mean), strict=True):
            assert not float(b.use) > float(a.use) * (1 + 1e-9), a.check


def test_unknown_parts_are_named_and_bar_an_answer(tmp_path: Path) -> None:
    file = tmp_path / "oar.toml"
    file.write_text(text("plain-oar.toml") + '\n[[joint]]\nkind = "repair"\nfrom = "1.2 m"\nto = "1.3 m"\n')
    found = shaftcheck.ask("what-breaks", file)
    assert not found.answered
    assert "repair" in found.sentence
