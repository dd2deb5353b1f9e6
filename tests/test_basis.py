"""What every answer rests on: all of it is listed, as text and as data, and the list of tests can't drift."""

from __future__ import annotations

import ast
import json
import re
import sys
from collections.abc import Mapping
from functools import cache
from pathlib import Path

import numpy as np
import pytest
from marks import PACKAGE, SHIPPED, TESTS, marks, written
from test_figures import EXAMPLES, SHAPES
from test_flaws import PLUGGED
from test_sheet import Page, answered, example

from shaftcheck.basis import comparisons, load_cases
from shaftcheck.beam import GRAVITY
from shaftcheck.checks import ALWAYS
from shaftcheck.cli import main
from shaftcheck.formula import TABLES
from shaftcheck.show.basis import SECTIONS, record, text
from shaftcheck.show.basis_page import MARKS, marked, page
from shaftcheck.show.symbols import everything, plain
from shaftcheck.strength import MEMBER_SHEAR
from shaftcheck.trace import CONSTANTS

data = cache(record)
whole_text = cache(text)
whole_page = cache(page)


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
    assert len(data()["tests_against_outside_sources"]) == found
    assert found > 150


def test_a_test_is_tied_to_the_formula_that_it_names() -> None:
    by_test = {t["test"]: t for t in data()["tests_against_outside_sources"]}
    dowel = by_test["test_hinge.py::test_dowel_bearing_as_printed"]
    assert {"dowel_along", "dowel_across"} <= set(dowel["formulas"])
    assert "NDS Table 12.3.3" in dowel["source"]
    for t in by_test.values():
        path, _, name = t["test"].partition("::")
        assert f"def {name}(" in (TESTS / path).read_text(encoding="utf-8")
        assert not set(t["formulas"]) & set(t["through"])


def test_every_formula_and_table_is_listed_with_all_that_is_known_of_it() -> None:
    listed = {f["formula"]: f for f in data()["formulas"]}
    assert set(listed) == set(everything())
    for name, f in everything().items():
        entry = listed[name]
        assert entry["equation"] == plain(name)
        assert [s["symbol"] for s in entry["symbols"]] == [s.name for s in f.args.values()]
        assert entry["source"] == f.source
    assert {t["table"]: (t["x"], t["y"]) for t in data()["tables"]} == {
        t.name: (list(t.x), list(t.y)) for t in TABLES.values()
    }


def test_numbers_of_the_method_are_those_that_are_computed_with() -> None:
    named = {(n["symbol"], n["meaning"]): n for n in data()["numbers"]}
    (shear,) = (n for (symbol, _), n in named.items() if symbol == "k_cr")
    assert shear["value"] == float(MEMBER_SHEAR)
    (gravity,) = (n for (symbol, _), n in named.items() if symbol == "g")
    assert gravity["value"] == GRAVITY
    assert all(n["source"] for n in data()["numbers"])
    more = {(w["module"], w["name"]): w for w in data()["more_numbers"]}
    assert more["shaftcheck.loads.rowers", "BRACED"]["value"] == 700.0
    assert more["shaftcheck.checks.takedown_material", "METAL, LAMINATE"]["value"] == [1.5, 3.0]
    assert more["shaftcheck.loads.rowers", "CLASSES"]["value"]["general"]["once"] == 700.0
    assert all(np.isfinite(v) for w in more.values() for v in flat(w["value"]))


def numeric(value: object) -> bool:
    """Return whether a value is a number of the method, or several of them."""
    if isinstance(value, Mapping):
        return bool(value) and all(map(numeric, value.values()))
    if isinstance(value, tuple):
        return bool(value) and all(map(numeric, value))
    return isinstance(value, int | float | np.ndarray) and not isinstance(value, bool) and np.ndim(value) == 0


def test_no_number_of_the_code_is_left_out() -> None:
    """Every constant of every module that computes is listed: with a symbol, or with words under it."""
    everything()
    parts = ("numbers", "more_numbers", "numbers_of_computing")
    known = {(w["module"], name) for part in parts[1:] for w in data()[part] for name in w["name"].split(", ")}
    left_out, count = [], 0
    for path in sorted(PACKAGE.rglob("*.py")):
        module = ".".join(("shaftcheck", *path.relative_to(PACKAGE).with_suffix("").parts)).removesuffix(".__init__")
        if module.startswith(("shaftcheck.show", "shaftcheck.commands")) or module not in sys.modules:
            continue
        for node in ast.parse(path.read_text(encoding="utf-8")).body:
            targets = node.targets if isinstance(node, ast.Assign) else [getattr(node, "target", None)]
            names = [n.id for t in targets for n in ast.walk(t) if isinstance(n, ast.Name)] if targets[0] else []
            for name in names:
                value = getattr(sys.modules[module], name, None)
                if not numeric(value):
                    continue
                count += 1
                each = value if isinstance(value, tuple) else (value,)
                if (module, name) not in known and not all(id(v) in CONSTANTS for v in each):
                    left_out.append(f"{module}.{name}")
    assert left_out == [], "write what it is and rests on under it"
    assert count > 100


def test_data_of_woods_are_counted_by_source() -> None:
    """Against the rows as they stand in the files."""
    rows = sum(
        len(p.read_text(encoding="utf-8").splitlines()) - 1
        for p in (PACKAGE.parent / "species_data").glob("*.csv")
        if p.stem not in ("names", "sources")
    )
    assert sum(n for t in data()["woods_and_tubes"] for n in t["rows"].values()) == rows
    assert len(data()["woods_and_tubes"]) == len({t["source"] for t in data()["woods_and_tubes"]}) > 10


def flat(value: object) -> list[float]:
    if isinstance(value, dict | list):
        return [v for part in (value.values() if isinstance(value, dict) else value) for v in flat(part)]
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
    shown = [example(p) for p in EXAMPLES] + [answered(doc) for doc in (*SHAPES.values(), PLUGGED)]
    assert {line.check for a in shown for oar in a.oars for line in oar.lines} <= names


def test_what_is_taken_is_listed_key_by_key() -> None:
    taken = {t["key"]: t["words"] for t in data()["taken_where_nothing_is_told"]}
    assert taken["wood.runout"] == "run-out of the grain not measured: 1:15"
    assert not any("{" in words for words in taken.values())


def test_the_text_holds_all_and_fits_a_terminal() -> None:
    assert whole_text().isascii()
    assert max(map(len, whole_text().splitlines())) <= 100
    assert all(title in whole_text() for title in SECTIONS.values())
    whole = " ".join(whole_text().split())
    for f in data()["formulas"]:
        assert f"{f['formula']}: " in whole_text()
        assert " ".join(f["equation"].split()) in whole
        assert " ".join(f["source"].split()) in whole
    for part in ("load_cases", "comparisons", "numbers"):
        assert all(" ".join(e["source"].split()) in whole for e in data()[part])


def test_words_choose_entries(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["basis", "dowel", "hankinson"]) == 0
    shown = capsys.readouterr().out
    assert "dowel_aslant: " in shown
    assert "oval_area" not in shown


def test_a_word_that_nothing_holds_is_bad_input(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    page = tmp_path / "page.html"
    for argv, said in (
        (["basis", "hankinsen"], "basis: hankinsen: no entry holds this word; write hankinson"),
        (["basis", "dowel", "hankinsen"], "basis: hankinsen: no entry holds this word; write hankinson"),
        (["basis", "qqqqqq"], "write another word, or none to see all of them"),
        (["basis", "hankinson", "buckling"], "no entry holds all of these words; leave one of them out"),
        (["basis", "hankinsen", "--sheet", str(page)], "write hankinson"),
        (["woods", "sprouce"], "woods: sprouce: no wood holds this word; write spruce"),
        (["woods", "sprouce", "--json"], "write spruce"),
        (["woods", "spruce", "--kind", "hardwood"], "spruce: no hardwood holds this word"),
    ):
        assert main(argv) == 2
        told = capsys.readouterr()
        assert told.out == ""
        assert said in told.err
        assert told.err.count("\n") == 1
    assert not page.exists()


def test_for_programs(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["basis", "--json"]) == 0
    printed = json.loads(capsys.readouterr().out)
    assert printed == json.loads(json.dumps(data()))
    assert set(SECTIONS) < set(printed)


def test_the_command_says_what_it_does(capsys: pytest.CaptureFixture[str]) -> None:
    with pytest.raises(SystemExit) as e:
        main(["basis", "--help"])
    assert e.value.code == 0
    assert "shaftcheck basis --json" in capsys.readouterr().out


# as a page -----------------------------------------------------------------------------------------------------------


def squeezed(text: str) -> str:
    return "".join(text.split())


def test_the_page_holds_all_of_it() -> None:
    found = Page(whole_page())
    text = squeezed(found.text("mi", "mn", "mo"))
    assert [level for level, _ in found.headings].count(1) == 1
    ids = [a["id"] for _, a in found.tags if "id" in a]
    assert len(ids) == len(set(ids))
    assert {f"f-{f['formula']}" for f in data()["formulas"]} <= set(ids)
    assert sum(tag == "math" for tag, _ in found.tags) >= len(data()["formulas"])
    for part in (
        data()["formulas"] + data()["tables"] + data()["numbers"] + data()["load_cases"] + data()["comparisons"]
    ):
        assert squeezed(part["source"]) in text
    for part in ("more_numbers", "numbers_of_computing", "taken_where_nothing_is_told"):
        assert all(squeezed(one["words"]) in text for one in data()[part])
    for t in data()["tests_against_outside_sources"]:
        assert squeezed(t["source"]) in text
    assert not {"script", "link", "img", "iframe"} & {tag for tag, _ in found.tags}
    assert all(a["scope"] in ("col", "row") for tag, a in found.tags if tag == "th")


def test_a_formula_is_said_to_whoever_does_not_see_it() -> None:
    labels = [a["aria-label"] for tag, a in Page(whole_page()).tags if a.get("role") == "math"]
    assert labels == [f["equation"] for f in data()["formulas"]]


def test_what_rests_on_less_than_a_print_is_marked() -> None:
    """Every time that the words stand there, but for heads of the table that counts them."""
    inside = [(way, d) for way, d in Page(whole_page()).texts if any(mark in d for mark in MARKS)]
    assert len(inside) > 200
    assert all(way[-1] == "strong" or d in MARKS for way, d in inside)
    assert str(marked("a <b> (judgement)")) == 'a &lt;b&gt; (<strong class="weak">judgement</strong>)'


def test_a_page_of_chosen_entries() -> None:
    some = Page(page(["dowel", "hankinson"])).text("mi", "mn", "mo")
    assert "dowel_aslant" in some
    assert "oval_area" not in some
    assert "<bdi>freas &amp; selbo</bdi>" in page(["freas & selbo"])


def test_the_page_is_written_once(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    out = tmp_path / "basis.html"
    assert main(["basis", "hankinson", "--sheet", str(out)]) == 0
    assert "written" in capsys.readouterr().out
    before = out.read_bytes()
    assert main(["basis", "--sheet", str(out)]) == 2
    assert main(["basis", "--sheet", str(tmp_path / "basis.pdf")]) == 2
    assert capsys.readouterr().err.count("\n") == 2
    assert out.read_bytes() == before
    assert [p.name for p in tmp_path.iterdir()] == ["basis.html"]
