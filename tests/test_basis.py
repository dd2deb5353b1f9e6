"""What every answer rests on: all of it is listed, as text and as data, and the list of tests can't drift."""

from __future__ import annotations

import json
import re

import numpy as np
import pytest
from marks import SHIPPED, TESTS, marks, written

from shaftcheck.basis import comparisons, load_cases
from shaftcheck.beam import GRAVITY
from shaftcheck.checks import ALWAYS
from shaftcheck.cli import main
from shaftcheck.formula import TABLES
from shaftcheck.show.basis import SECTIONS, record, text
from shaftcheck.show.symbols import everything, plain
from shaftcheck.strength import MEMBER_SHEAR

DATA = record()
TEXT = text()


def test_the_shipped_list_of_tests_is_fresh() -> None:
    fresh = written(marks(set(everything())))
    assert SHIPPED.read_text(encoding="utf-8") == fresh, "stale: python tests/marks.py writes it anew"


def test_every_mark_is_in_the_list() -> None:
    """Counted in another way: the marks as they stand in the tests' text."""
    found = 0
    for path in TESTS.rglob("test_*.py"):
        source = path.read_text(encoding="utf-8")
        found += len(re.findall(r"^@pytest\.mark\.source\(", source, re.M))
        for module_mark in re.findall(r"^pytestmark = pytest\.mark\.source", source, re.M):
            found += len(re.findall(r"^def test_", source, re.M)) * bool(module_mark)
    assert len(DATA["tests_against_outside_sources"]) == found
    assert found > 150


def test_a_test_is_tied_to_the_formula_that_it_names() -> None:
    by_test = {t["test"]: t for t in DATA["tests_against_outside_sources"]}
    dowel = by_test["test_hinge.py::test_dowel_bearing_as_printed"]
    assert {"dowel_along", "dowel_across"} <= set(dowel["formulas"])
    assert "NDS Table 12.3.3" in dowel["source"]
    for t in by_test.values():
        path, _, name = t["test"].partition("::")
        assert f"def {name}(" in (TESTS / path).read_text(encoding="utf-8")
        assert not set(t["formulas"]) & set(t["through"])


def test_every_formula_and_table_is_listed_with_all_that_is_known_of_it() -> None:
    listed = {f["formula"]: f for f in DATA["formulas"]}
    assert set(listed) == set(everything())
    for name, f in everything().items():
        entry = listed[name]
        assert entry["equation"] == plain(name)
        assert [s["symbol"] for s in entry["symbols"]] == [s.name for s in f.args.values()]
        assert entry["source"] == f.source
    assert {t["table"]: (t["x"], t["y"]) for t in DATA["tables"]} == {
        t.name: (list(t.x), list(t.y)) for t in TABLES.values()
    }


def test_numbers_of_the_method_are_those_that_are_computed_with() -> None:
    named = {(n["symbol"], n["meaning"]): n for n in DATA["numbers"]}
    (shear,) = (n for (symbol, _), n in named.items() if symbol == "k_cr")
    assert shear["value"] == float(MEMBER_SHEAR)
    (gravity,) = (n for (symbol, _), n in named.items() if symbol == "g")
    assert gravity["value"] == GRAVITY
    assert all(n["source"] for n in DATA["numbers"])
    more = {(w["module"], w["name"]): w for w in DATA["more_numbers"]}
    assert more["shaftcheck.loads.rowers", "BRACED"]["value"] == 700.0
    assert more["shaftcheck.loads.rowers", "CLASSES"]["value"]["general"]["once"] == 700.0
    assert all(np.isfinite(v) for w in more.values() for v in flat(w["value"]))


def flat(value: object) -> list[float]:
    if isinstance(value, dict):
        return [v for part in value.values() for v in flat(part)]
    assert isinstance(value, float)
    return [value]


def test_loads_and_comparisons_are_named_with_their_sources() -> None:
    keys = {c.key for c in load_cases()}
    assert {"steady", "hard", "start", "once", "back", "caught", "lift", "push up", "lever aft"} <= keys
    names = {c.check for c in comparisons()}
    assert {
        *ALWAYS,
        "bearing at the lock",
        "outer cradle, splitting",
        "scarf, glue pulled",
        "takedown, pin shear",
    } <= names
    assert all(c.source for c in comparisons())


def test_what_is_taken_is_listed_key_by_key() -> None:
    taken = {t["key"]: t["words"] for t in DATA["taken_where_nothing_is_told"]}
    assert taken["wood.runout"] == "run-out of the grain not measured: 1:15"
    assert not any("{" in words for words in taken.values())


def test_the_text_holds_all_and_fits_a_terminal() -> None:
    assert TEXT.isascii()
    assert max(map(len, TEXT.splitlines())) <= 100
    assert all(title in TEXT for title in SECTIONS.values())
    whole = " ".join(TEXT.split())
    for f in DATA["formulas"]:
        assert f"{f['formula']}: " in TEXT
        assert " ".join(f["equation"].split()) in whole
        assert " ".join(f["source"].split()) in whole
    for part in ("load_cases", "comparisons", "numbers"):
        assert all(" ".join(e["source"].split()) in whole for e in DATA[part])


def test_words_choose_entries(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["basis", "dowel", "hankinson"]) == 0
    shown = capsys.readouterr().out
    assert "dowel_aslant: " in shown
    assert "oval_area" not in shown
    assert main(["basis", "no-such-word-here"]) == 0
    assert "Nothing here holds" in capsys.readouterr().out


def test_for_programs(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["basis", "--json"]) == 0
    data = json.loads(capsys.readouterr().out)
    assert data == json.loads(json.dumps(DATA))
    assert set(SECTIONS) < set(data)


def test_the_command_says_what_it_does(capsys: pytest.CaptureFixture[str]) -> None:
    with pytest.raises(SystemExit) as e:
        main(["basis", "--help"])
    assert e.value.code == 0
    assert "shaftcheck basis --json" in capsys.readouterr().out
