"""What breaks first: in step with the check itself, with loads grown to each limit, and with lognormal quantiles."""

from __future__ import annotations

import math
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest
from hypothesis import Phase, given, settings
from hypothesis import strategies as st
from scipy.stats import lognorm
from test_answer import QUIET, shafts
from test_properties import times
from test_record import DOCS

import shaftcheck
from shaftcheck.answer import answer, answer_doc
from shaftcheck.beam import Beam
from shaftcheck.border.shaftfile import changed, parse, read
from shaftcheck.border.shown import show
from shaftcheck.engine import refined, run, uses
from shaftcheck.loads import loaded
from shaftcheck.model import number
from shaftcheck.questions.question import Asked, ready
from shaftcheck.studies.expected import as_expected, order

FOLDER = Path(__file__).parent.parent / "examples"
LIVE = ["plain-oar.toml", "two-wood-scarf.toml", "hinged-rig.toml"]
FILES = sorted(p for p in FOLDER.rglob("*.toml") if "shelf" not in p.parts)


def text(name: str) -> str:
    return (FOLDER / name).read_text(encoding="utf-8")


def shaft(name: str):  # type: ignore[no-untyped-def]
    return ready(Asked(docs=((name, parse(text(name), name)),), options={}))[1].shaft


def says_as_check(doc: dict[str, Any]) -> None:
    """The pull to work to is that of `check`, and no check of the list has a limit below it; a set of pulls may."""
    oar = answer_doc(doc, "oar").oars[-1]
    found = shaftcheck.ask("what-breaks", doc)
    told = found.data["work_to_once"]
    once = oar.pulls["once"]
    if math.isnan(once):
        assert told["value"] is None
        assert not found.answered
        assert "Work to" not in found.sentence
        return
    assert told["value"] == pytest.approx(once, rel=1e-12)
    if once == 0.0:
        assert found.data["good_for_no_pull"]
        assert oar.state == "FALLS SHORT"
        assert "good for no pull" in found.sentence
        return
    least = min(row["work_to"]["value"] for row in found.data["single_pull"])
    assert once <= least * (1 + 1e-9)
    of_a_limit = "once, the limit of" in found.sentence
    assert of_a_limit == (once >= least * (1 - 1e-4))
    assert f"Work to {show(once, 'force', 'metric', side='down')} once" in found.sentence


def wants_more(doc: dict[str, Any]) -> bool:
    """Return whether an input is unknown, which `check` tries in all its values and this question asks for."""
    return any(e.how == "unknown" for e in read(changed(doc) or doc, "oar").entries.values())


@pytest.mark.parametrize("file", FILES, ids=lambda p: p.stem)
def test_the_pull_to_work_to_is_the_one_that_check_says(file: Path) -> None:
    doc = {**parse(file.read_text("utf-8"), file.name), "answer_in": "metric"}
    if not wants_more(doc):
        says_as_check(doc)


@pytest.mark.parametrize("name", DOCS)
def test_it_is_so_for_every_joint_and_rig(name: str) -> None:
    doc = {**DOCS[name], "answer_in": "metric"}
    if not wants_more(doc):
        says_as_check(doc)


@pytest.mark.parametrize(("shape", "rig"), [
    ("oval", "lock"), ("rectangle", "lock"), pytest.param("oval", "hinged", marks=pytest.mark.slow),
])  # fmt: skip
@settings(QUIET, max_examples=6, phases=[Phase.generate])
@given(data=st.data())
def test_it_is_so_for_random_shafts(shape: str, rig: str, data: st.DataObject) -> None:
    says_as_check({**data.draw(shafts(shape, rig)), "answer_in": "metric"})


def test_a_clamp_that_crushes_alone_leaves_no_pull_to_work_to() -> None:
    """The squeeze stands before anybody pulls, so no pull is small enough: so say both questions."""
    doc = parse(text("hinged-rig.toml"), "oar")
    crushed = {**doc, "answer_in": "metric", "rig": {**doc["rig"], "clamp_force": "9 kN"}}
    oar = answer_doc(crushed, "oar").oars[-1]
    over = [line for line in oar.lines if line.check.endswith("standing clamp") and line.use > 1.0]
    assert over
    assert all(line.use < 1.2 for line in over)
    assert oar.pulls["once"] == oar.pulls["steady"] == 0.0
    says_as_check(crushed)


@pytest.mark.parametrize("name", LIVE)
def test_bending_and_a_life_are_told_as_check_tells_them(name: str) -> None:
    oar = answer(text(name), name).oars[-1]
    rows = order(loaded(shaft(name)))
    bending = next(o.once for o in rows if o.check == "bending")
    assert bending is not None
    assert (bending.half, bending.low, bending.high) == pytest.approx(
        oar.to_break, rel=5e-4
    )  # check leaves the weight out
    life = next(o for o in rows if o.check == "life").together
    assert life.work_to >= oar.pulls["steady"] * (1 - 2e-4)


def in_once(beam: Beam, check: str = "") -> float:
    """Return the greatest use under the single pull, of one check or of all."""
    once = beam.case("once")
    found = [
        u
        for u in uses(beam, refined(beam))
        if u.check.startswith(check) and not (u.cases is None and u.use.shape[-2] == 1)
    ]
    rows = [
        u.use[..., once if u.cases is None else u.cases.index(once), :].max()
        for u in found
        if u.cases is None or once in u.cases
    ]
    return float(max(rows))


@pytest.mark.parametrize("name", [*LIVE, "takedown-oar-made-to-hold.toml"])
def test_a_pull_grown_to_a_limit_lands_on_it(name: str) -> None:
    """Run again with the greatest pull set to each figure: the check's use in that case is 1, of the mean shaft too."""
    built = shaft(name)
    beam = loaded(built)
    for o in order(beam):
        if o.once is None or math.isinf(o.once.work_to):
            continue
        for pull, mean in ((o.once.work_to, False), (o.once.half, True)):
            again = loaded(replace(built, rower=replace(built.rower, once=number(pull))))
            again = as_expected(again) if mean else again
            assert in_once(again, o.check) == pytest.approx(1.0, rel=5e-4) or mean, (o.check, mean)


@pytest.mark.parametrize("name", [*LIVE, "takedown-oar-made-to-hold.toml"])
def test_nothing_gives_way_before_what_is_said_to_be_first(name: str) -> None:
    """The mean shaft under the single pull that is told: one use is 1 and none is more. So with all loads grown."""
    doc = parse(text(name), name)
    found = shaftcheck.ask("what-breaks", doc)
    built = shaft(name)
    first = found.data["single_pull"][0]
    again = as_expected(
        loaded(replace(built, rower=replace(built.rower, once=number(first["half_gives_way"]["value"]))))
    )
    assert in_once(again) == pytest.approx(1.0, rel=5e-4)
    factor = min(row["half_gives_way_at_times"]["value"] for row in found.data["order"])
    grown = times(as_expected(loaded(built)), factor)
    worst = [
        u.use.max()
        for u in uses(grown, refined(grown))
        if u.cases is not None or u.use.shape[-2] > 1 or u.kind == "wears out"
    ]
    assert max(worst) == pytest.approx(1.0, rel=5e-4)
    pull = float(built.rower.once)
    assert factor * pull <= first["half_gives_way"]["value"] * (1 + 1e-9)
    if factor * pull < first["half_gives_way"]["value"] * 0.99:
        assert f"{factor:.2f} times them" in found.sentence


def test_the_band_holds_the_weakest_and_the_strongest_of_all_checks() -> None:
    """Weaker shafts are weaker in all: the least mark of any check is where 5 of 100 would first have given way."""
    found = shaftcheck.ask(
        "what-breaks", {**parse(text("takedown-oar-made-to-hold.toml"), "oar"), "answer_in": "metric"}
    )
    rows = found.data["single_pull"]
    low, high = (min(row[mark]["value"] for row in rows) for mark in ("low", "high"))
    band = f"9 of 10 between {show(low, 'force', 'metric', side='down')} and {show(high, 'force', 'metric')}"
    assert band in found.sentence


def test_grip_has_the_scatter_that_is_told_of_it() -> None:
    """Half slip at the mean friction, 5 and 95 % at its lognormal marks; how sure it is rests on the same."""
    built = shaft("hinged-rig.toml")
    grip = next(o.once for o in order(loaded(built)) if o.check == "inner cradle, grip")
    assert grip is not None
    s = math.sqrt(math.log1p(0.25**2))
    assert grip.half / grip.work_to == pytest.approx(0.3 / 0.2, rel=0.01)  # the half's own weight hangs on it too
    assert (grip.low, grip.high) == pytest.approx(tuple(lognorm.ppf([0.05, 0.95], s, scale=grip.half)), rel=0.01)
    told = "friction in the cradles is lognormal about 0.3"
    for question, more in (("what-breaks", {}), ("how-sure", {"draws": "100"})):
        found = shaftcheck.ask(question, FOLDER / "hinged-rig.toml", **more)
        assert any(told in a for a in found.assumptions)
    assert not any(told in a for a in shaftcheck.ask("what-breaks", FOLDER / "plain-oar.toml").assumptions)


@pytest.mark.source("SciPy, scipy.stats.lognorm")
def test_the_marks_are_quantiles_of_lognormal_scatter() -> None:
    built = shaft("plain-oar.toml")
    rows = order(loaded(built))
    bearing = next(o for o in rows if o.check == "bearing at the lock").together
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
