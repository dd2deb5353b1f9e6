"""Two oars of a pair: how they compare, and the least wood that makes them alike, against brute force."""

from __future__ import annotations

import copy
import itertools
from pathlib import Path
from typing import Any

import numpy as np
import pytest

import shaftcheck
from shaftcheck.answer import Oar, answer_doc
from shaftcheck.border import write
from shaftcheck.border.shaftfile import parse
from shaftcheck.errors import InputError
from shaftcheck.model import number
from shaftcheck.movement import give
from shaftcheck.questions.question import Finding

PORT, STARBOARD = "examples/pair/port.toml", "examples/pair/starboard.toml"


def doc_of(file: str) -> dict[str, Any]:
    return parse(Path(file).read_text("utf-8"), file)


def checked(doc: dict[str, Any]) -> Oar:
    return answer_doc(parse(write.text(doc), "doc"), "doc").oars[-1]


@pytest.fixture(scope="module")
def found() -> Finding:
    return shaftcheck.ask("match-pair", PORT, STARBOARD)


def test_the_oar_taken_down_fed_back_gives_the_same_figures(found: Finding) -> None:
    assert found.answered
    winner = found.winners[0]
    oar = checked(dict(winner.doc))
    assert oar.state == "HOLDS"
    assert {line.check: line.use for line in oar.lines} == pytest.approx(dict(winner.uses), rel=1e-9, abs=1e-12)
    said, was = found.data["take_off"], checked(doc_of(STARBOARD))
    measured = 1.86 / float(was.whole.mass)  # as weighed
    assert float(oar.whole.mass) * measured == pytest.approx(said["mass"]["value"], rel=1e-9)
    shift = 1.157 - float(was.whole.balance)
    assert float(oar.whole.balance) + shift == pytest.approx(said["balance"]["value"], rel=1e-9)


def test_what_was_measured_is_what_is_compared(found: Finding) -> None:
    a, b = found.data["oars"]
    assert a["mass"]["value"] == pytest.approx(1.76)
    assert b["mass"]["value"] == pytest.approx(1.86)
    assert a["balance"]["value"] == pytest.approx(1.142)
    # hung at mid-blade, where the sag is read here too
    assert found.data["sag_read_at"]["value"] == pytest.approx(2.19)
    assert a["sag"]["value"] == pytest.approx(0.066)
    assert b["sag"]["value"] == pytest.approx(0.056)
    assert not a["not_measured"]


def sized(doc: dict[str, Any]) -> list[dict[str, Any]]:
    """Return the sections as plain numbers [mm], with one put in a hand's width beyond the lock by proportion."""
    rows = []
    for table in doc["section"]:
        mm = {k: float(str(v).split(" mm")[0].replace(" m", "e3").split(" (")[0]) for k, v in table.items()}
        across = mm.get("across")
        rows.append([mm["at"], mm.get("fore_and_aft", across), mm.get("up_and_down", across)])
    out = [list(map(float, r)) for r in rows]  # type: ignore[arg-type]
    for x in (690.0 - 19.0 - 100.0, 690.0 + 19.0 + 100.0):
        k = next(i for i, r in enumerate(out) if r[0] > x)
        t = (x - out[k - 1][0]) / (out[k][0] - out[k - 1][0])
        out.insert(k, [x, *(out[k - 1][j] + t * (out[k][j] - out[k - 1][j]) for j in (1, 2))])
    return out  # type: ignore[return-value]


@pytest.mark.long
def test_the_answer_is_that_of_brute_force() -> None:
    """Every row of stations, every amount, each written as a shaft file and checked on its own."""
    docs = [doc_of(PORT), doc_of(STARBOARD)]
    most, step = 3, 1
    found = shaftcheck.ask("match-pair", *docs, most=f"{most} mm", step=f"{step} mm")
    plain = [checked(d) for d in docs]
    at = number(2.46 - 0.27)

    def raw(oar: Oar) -> np.ndarray[Any, Any]:
        return np.array([float(oar.whole.mass), float(oar.whole.balance), float(give(oar.shaft, at=at).held)])

    told = [np.array([1.76, 1.142, 0.066]), np.array([1.86, 1.157, 0.056])]
    base = [raw(o) for o in plain]
    base_told = list(zip(base, told, strict=True))

    def corrected(k: int, oar: Oar) -> np.ndarray[Any, Any]:
        now, (was, measured) = raw(oar), base_told[k]
        return np.array([now[0] * measured[0] / was[0], now[1] + measured[1] - was[1], now[2] * measured[2] / was[2]])

    def apart(a: np.ndarray[Any, Any], b: np.ndarray[Any, Any]) -> float:
        d, mean = np.abs(a - b), (a + b) / 2.0
        return float(max(d[0] / mean[0] / 0.03, d[1] / 0.010, d[2] / mean[2] / 0.05))

    now = apart(*told)
    bound = max(max(line.use for line in o.lines) for o in plain)
    best: tuple[Any, ...] | None = None
    for k in (0, 1):
        rows = sized(docs[k])
        for i, j in itertools.combinations_with_replacement(range(len(rows)), 2):
            low, high = rows[max(i - 1, 0)][0], rows[min(j + 1, len(rows) - 1)][0]
            if (low < 709.0 and high > 671.0) or rows[i][0] <= 70.0 or rows[j][0] > 1920.0:
                continue
            for d, w in itertools.product(range(0, most + 1, step), repeat=2):
                if d == w == 0:
                    continue
                then = [[r[c] - cut * (i <= n <= j) for n, r in enumerate(rows)] for c, cut in ((1, d), (2, w))]
                if any(s[n] < min(s[n - 1], s[n + 1]) - 1e-9 for s in then for n in range(1, len(s) - 1)):
                    continue  # a hollow in the curve
                doc = copy.deepcopy(docs[k])
                doc["section"] = [
                    {
                        "at": f"{r[0]:.6f} mm",
                        "fore_and_aft": f"{r[1] - d * (i <= n <= j):.6f} mm",
                        "up_and_down": f"{r[2] - w * (i <= n <= j):.6f} mm",
                    }
                    for n, r in enumerate(rows)
                ]
                oar = checked(doc)
                mine = corrected(k, oar)
                far = apart(mine, told[1 - k])
                if oar.state != "HOLDS" or not far < now or not max(line.use for line in oar.lines) <= bound + 1e-9:
                    continue
                removed = told[k][0] - mine[0]
                key = (far > 1.0, removed if far <= 1.0 else far)
                if best is None or key < best[0]:
                    best = (key, k, i, j, d, w)
    assert best is not None
    said = found.data["take_off"]
    _, k, i, j, d, w = best
    rows = sized(docs[k])
    assert said["oar"] == "AB"[k]
    assert said["from"]["value"] == pytest.approx(rows[i][0] / 1000.0)
    assert said["to"]["value"] == pytest.approx(rows[j][0] / 1000.0)
    assert said["fore_and_aft"]["value"] == pytest.approx(d / 1000.0)
    assert said["up_and_down"]["value"] == pytest.approx(w / 1000.0)


def test_neither_is_cut_where_the_worse_falls_short() -> None:
    weak = doc_of(STARBOARD)
    weak["rower"]["strength"] = "trained"
    found = shaftcheck.ask("match-pair", PORT, weak)
    assert not found.answered
    assert not found.winners
    assert found.sentence.startswith("Cut neither: B")
    assert found.data["take_off"] is None


def test_neither_is_cut_where_something_was_not_checked() -> None:
    unsettled = doc_of(STARBOARD)
    unsettled["joint"] = [{"kind": "repair", "from": "1.2 m", "to": "1.4 m"}]
    found = shaftcheck.ask("match-pair", PORT, unsettled)
    assert not found.answered
    assert "not settled" in found.sentence


def test_two_that_are_alike_are_left_alone() -> None:
    found = shaftcheck.ask("match-pair", PORT, PORT)
    assert found.answered
    assert not found.winners
    assert "alike" in found.sentence


def test_the_margin_is_kept() -> None:
    """A margin that the cut oar can't keep leaves both alone."""
    found = shaftcheck.ask("match-pair", PORT, STARBOARD, margin="60 %")
    assert not found.answered
    assert found.data["take_off"] is None
    kept = shaftcheck.ask("match-pair", PORT, STARBOARD, margin="30 %")
    if kept.winners:
        assert max(kept.winners[0].uses.values()) <= 1.0 / 1.3 + 1e-12


def test_of_two_files_that_cannot_be_read_both_are_named(tmp_path: Path) -> None:
    (tmp_path / "b.toml").write_text("[oar\n", encoding="utf-8")
    with pytest.raises(InputError) as e:
        shaftcheck.ask("match-pair", tmp_path / "a.toml", tmp_path / "b.toml")
    assert [line.split(": ")[0].rpartition("/")[2] for line in str(e.value).splitlines()] == ["a.toml", "b.toml"]
    assert len(e.value.faults) == 2


def test_an_oar_in_a_lock_is_no_mate_of_a_hinged_one() -> None:
    with pytest.raises(shaftcheck.InputError, match="one rig"):
        shaftcheck.ask("match-pair", PORT, "examples/hinged-rig.toml")
