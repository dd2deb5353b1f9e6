"""What the tables of an answer say: where a load acts, what is used beside the name, one figure for one thing."""

from __future__ import annotations

import re
from functools import cache
from pathlib import Path

import pytest

from shaftcheck.answer import Answer, answer
from shaftcheck.border.sizes import read
from shaftcheck.model import Hinged
from shaftcheck.show import rows
from shaftcheck.show.record import record
from shaftcheck.show.table import full
from shaftcheck.show.worked import worked

FOLDER = Path(__file__).parent.parent / "examples"


@cache
def asked(name: str) -> Answer:
    return answer((FOLDER / f"{name}.toml").read_text(encoding="utf-8"), name, system="inches")


@pytest.mark.parametrize("name", ["plain-oar", "hinged-rig"])
def test_each_load_says_where_it_acts(name: str) -> None:
    oar = asked(name).oars[-1]
    loads = {row[0]: row[2] for row in rows.cases(oar, "inches").rows}
    assert loads["blade caught while under way"].endswith(" on the blade")
    assert loads["greatest single pull"].endswith(" at the hand")
    assert [v.endswith(" along the shaft") for k, v in loads.items() if "pushing off" in k] == [True]
    assert all(re.search(" (on the blade|at the hand|along the shaft|x weight)$", load) for load in loads.values())


def test_what_is_used_stands_beside_the_name() -> None:
    oar = asked("hinged-rig").oars[-1]
    for grid in (rows.checks(oar.lines, "inches"), rows.cases(oar, "inches")):
        assert grid.heads[1] == "used"
        assert all(row[1].endswith("%") for row in grid.rows)


def test_one_damage_has_one_figure_and_no_powers_of_ten() -> None:
    """Where strokes would wear a shaft out a thousand million times over, the figure says no more than that."""
    for name in ("plain-oar", "old-oar-cut", "takedown-to-stow"):
        a = asked(name)
        text = full(a)
        assert not re.search(r"\de[+-]\d", text), name
        for oar in a.oars:
            (said,) = (re.search("adds to (.*?) \\(must", w) for w in rows.whole(oar, "inches") if "adds to" in w)
            assert said
            worst = max((x for x in oar.lines if x.kind == "wears out" and not x.unit), key=lambda x: x.demand)
            table = {r[0]: r[6] for r in rows.checks(oar.lines, "inches").rows}
            assert table[worst.check] == said[1]


def test_the_inputs_come_in_the_units_of_the_answer_first() -> None:
    a = asked("plain-oar")
    echo = {path: text for path, text, _ in rows.inputs(a.reading.entries.values(), "inches", other=True)}
    assert re.fullmatch(r"\d+ ft.* in \(\d+ mm\)", echo["oar.length"])


@pytest.mark.parametrize("name", ["plain-oar", "hinged-rig"])
def test_a_movement_s_worked_line_names_what_holds_it(name: str) -> None:
    """The force that stops the boat is worked from the stiffness that JSON gives, held as the rig holds the shaft."""
    text = (FOLDER / f"{name}.toml").read_text(encoding="utf-8")
    text = re.sub(r"boat_speed = .*", 'boat_speed = "4 m/s"', re.sub(r"boat_and_crew = .*", "", text))
    a = answer(text.replace("[duty]", '[duty]\nboat_and_crew = "120 kg"'), name)
    oar = a.oars[-1]
    line = next(x for x in oar.lines if x.case == "caught")
    lines = worked(oar, line, system="metric", digits=6)
    (moves,) = (w for w in lines if w.kind == "solved" and w.result.symbol in ("y_h", "y_c"))
    assert ("cradle" in moves.words + moves.result.meaning) == isinstance(oar.shaft.rig, Hinged)
    assert ("lock" in moves.result.meaning) != isinstance(oar.shaft.rig, Hinged)
    assert {"x_b", "x_s", "E", "G"} <= {re.sub(r"_\d$", "", q.symbol) for q in moves.given}
    (stiff,) = (w for w in lines if w.result.symbol == "k" and "blade" in w.result.meaning)
    told = record(a)["oars"][-1]["movement_at_the_greatest_pull"]["stiffness_at_the_blade_when_caught"]
    assert stiff.result.value * read(f"1 {stiff.result.unit}", "N/m") == pytest.approx(told["value"], rel=1e-5)
