"""What every answer rests on, as plain data and as text: formulas, tables, numbers, what is taken, loads, comparisons.

With each formula stand the tests that hold it against an outside source, from the tests' own marks (`tested.json`,
which `tests/marks.py` writes).
"""

from __future__ import annotations

import json
import sys
from collections.abc import Callable, Iterator, Sequence
from functools import cache
from importlib.metadata import version
from importlib.resources import files
from itertools import groupby
from typing import Any

from shaftcheck import basis
from shaftcheck.border import woods
from shaftcheck.formula import TABLES, Formula, Sym, Table
from shaftcheck.show.amounts import significant
from shaftcheck.show.lookup import not_found
from shaftcheck.show.record import SCHEMA
from shaftcheck.show.symbols import everything, plain
from shaftcheck.show.table import wrap
from shaftcheck.words import CAUTIONS, NOT_ASKED

__all__ = ["SECTIONS", "about", "chosen", "figures", "place", "record", "text"]


@cache
def tested() -> tuple[dict[str, Any], ...]:
    """Return the tests that hold something against an outside source: `test`, `source`, `formulas`, `through`."""
    return tuple(json.loads((files("shaftcheck.show") / "tested.json").read_text(encoding="utf-8")))


def _tests(name: str) -> list[dict[str, str]]:
    """Return the tests of a formula: those that name it, and those that reach it in a few calls."""
    return [
        {"test": t["test"], "source": t["source"], "how": how}
        for how, key in (("names it", "formulas"), ("runs through it", "through"))
        for t in tested()
        if name in t[key]
    ]


def _symbol(s: Sym) -> dict[str, Any]:
    return {"symbol": s.name, "unit": _unit(s.unit), "meaning": s.meaning, "low": s.low, "high": s.high}


def _unit(unit: str) -> str:
    return unit.replace("**", "^").replace("*", " ")


def _formula(f: Formula) -> dict[str, Any]:
    return {
        "formula": f.name,
        "module": f.compute.__module__,
        "summary": f.summary,
        "equation": plain(f.name),
        "result": _symbol(f.result),
        "symbols": [_symbol(s) for s in f.args.values()],
        "source": f.source,
        "tests": _tests(f.name),
    }


def _table(t: Table) -> dict[str, Any]:
    return {"table": t.name, "x": list(t.x), "y": list(t.y), "source": t.source, "tests": _tests(t.name)}


def _written(w: basis.Written) -> dict[str, Any]:
    return {"module": w.module, "name": w.name, "value": w.value, "words": w.words}


def record() -> dict[str, Any]:
    """Return all of it, ready for JSON; units are those of the inner system."""
    formulas = [_formula(f) for f in everything().values()]
    written = basis.written()
    return {
        "schema": SCHEMA,
        "shaftcheck": version("shaftcheck"),
        "formulas": formulas,
        "tables": [_table(t) for t in TABLES.values()],
        "numbers": [
            {**_symbol(c.sym), "value": float(c.value), "source": c.source, "low": None, "high": None}
            for c in basis.constants()
        ],
        "more_numbers": [_written(w) for w in written if w.stands],
        "numbers_of_computing": [_written(w) for w in written if not w.stands],
        "woods_and_tubes": [
            {"source": t.source, "note": t.note, "gives": list(t.gives), "rows": dict(t.rows)} for t in woods.origins()
        ],
        "taken_where_nothing_is_told": [{"key": t.key, "words": t.words} for t in basis.taken()],
        "load_cases": [{"case": c.key, "title": c.title, "source": c.source} for c in basis.load_cases()],
        "comparisons": [{"check": c.check, "fails": c.fails, "source": c.source} for c in basis.comparisons()],
        "tests_against_outside_sources": list(tested()),
        "cautions": [{"code": code, "text": words} for code, words in CAUTIONS],
        "not_part_of_the_question": list(NOT_ASKED),
    }


# --------------------------------------------------------------------------------------------------------- as text


def _range(s: dict[str, Any]) -> str:
    low, high = (None if s[k] is None else significant(s[k], 4) for k in ("low", "high"))
    if low is not None and high is not None:
        return f", {low} to {high}"
    return f", {low} or more" if low is not None else f", at most {high}" if high is not None else ""


def _with_unit(s: dict[str, Any]) -> str:
    return f"{s['symbol']} [{s['unit'] or '-'}]"


def _formula_text(f: dict[str, Any]) -> str:
    symbols = [f["result"], *f["symbols"]]
    lines = [wrap(f"{f['formula']}: {f['summary']}"), wrap(f["equation"], "    ")]
    lines += [wrap(f"{_with_unit(s)} {s['meaning']}{_range(s)}", "      ") for s in symbols]
    return "\n".join([*lines, wrap(f"source: {f['source']}", "    "), *_tested_text(f["tests"])])


def _table_text(t: dict[str, Any]) -> str:
    rows = "; ".join(f"{significant(x, 4)}: {significant(y, 4)}" for x, y in zip(t["x"], t["y"], strict=True))
    return "\n".join(
        [t["table"], wrap(rows, "    "), wrap(f"source: {t['source']}", "    "), *_tested_text(t["tests"])]
    )


def _tested_text(tests: Sequence[dict[str, str]]) -> Iterator[str]:
    named = [t for t in tests if t["how"] == "names it"]
    for t in named:
        yield wrap(f"tested: {t['source']} ({t['test']})", "    ")
    if through := len(tests) - len(named):
        more = "one test" if through == 1 else f"{through} tests"
        yield wrap(f"tested: {more} against an outside source {'runs' if through == 1 else 'run'} through it", "    ")
    if not tests:
        yield "    tested: by no test against an outside source that names it; its symbols, units and range are"


def _number_text(c: dict[str, Any]) -> str:
    unit = f" {c['unit']}" if c["unit"] else ""
    return wrap(f"{c['symbol']} = {significant(c['value'], 6)}{unit}: {c['meaning']}; {c['source']}", "  ")


def _written_text(w: dict[str, Any]) -> str:
    return wrap(f"{place(w)} = {figures(w['value'])}: {w['words']}", "  ")


def place(w: dict[str, Any]) -> str:
    """Return where a number stands: its module and its name."""
    names = ", ".join(name.strip("_") for name in w["name"].split(", "))
    return f"{w['module'].removeprefix('shaftcheck.')} {names}"


def _data_text(t: dict[str, Any]) -> str:
    rows = ", ".join(f"{n} {how}" for how, n in t["rows"].items())
    return f"{t['source']}{f' ({note})' if (note := t['note']) else ''}: {', '.join(t['gives'])}; rows: {rows}"


def figures(value: Any) -> str:
    """Return a number, or several in a row or by name, as text."""
    if isinstance(value, list):
        return ", ".join(f"({figures(v)})" if isinstance(v, list) else figures(v) for v in value)
    if isinstance(value, dict):
        each = ((k, isinstance(v, dict), figures(v)) for k, v in value.items())
        return ", ".join(f"{k}: ({shown})" if more else f"{k} {shown}" for k, more, shown in each)
    return significant(value, 6)


_SHOWN: dict[str, Callable[[Any], str]] = {
    "tables": lambda t: f"{_table_text(t)}\n",
    "numbers": _number_text,
    "more_numbers": _written_text,
    "numbers_of_computing": _written_text,
    "woods_and_tubes": lambda t: wrap(_data_text(t), "  "),
    "taken_where_nothing_is_told": lambda t: wrap(f"{t['key']}: {t['words']}", "  "),
    "load_cases": lambda c: wrap(f"{c['title']}: {c['source']}", "  "),
    "comparisons": lambda c: wrap(f"{c['check']} ({c['fails']}): {c['source']}", "  "),
    "cautions": lambda c: wrap(c["text"], "  "),
    "not_part_of_the_question": lambda words: wrap(words, "  "),
}
SECTIONS: dict[str, str] = {
    "formulas": "Formulas, module by module",
    "tables": "Tables, read in a straight line between rows",
    "numbers": "Numbers of the method",
    "more_numbers": "More numbers that stand in the code",
    "numbers_of_computing": "Numbers of the computing: steps, tolerances, how far is tried",
    "woods_and_tubes": "Data of woods and tubes",
    "taken_where_nothing_is_told": "What is taken where a shaft file tells nothing",
    "load_cases": "Loads",
    "comparisons": "Comparisons: what is there against what may be there",
    "cautions": "Cautions",
    "not_part_of_the_question": "Not part of the question",
}
"""what the text is made of, with the key of each part in the record"""


def chosen(words: Sequence[str] = ()) -> dict[str, list[Any]]:
    """Return the parts of the record that `SECTIONS` names, or of each the entries that hold all of some words.

    Raises
    ------
    InputError
        if no entry holds them, with words that are like them.
    """
    data, asked = record(), [w.casefold() for w in words]
    show = {"formulas": _formula_text, **_SHOWN}
    texts = {key: [_lower(show[key](item)) for item in data[key]] for key in SECTIONS}
    found = {
        key: [i for i, t in zip(data[key], texts[key], strict=True) if all(w in t for w in asked)] for key in texts
    }
    if not any(found.values()):
        every = [t for part in texts.values() for t in part]
        raise not_found("basis", words, every, lambda text, word: word.casefold() in text, "entry")
    return found


def _lower(shown: str) -> str:
    return " ".join(shown.split()).casefold()


def about(module: str) -> str:
    """Return a module's name and what it says of itself in a line."""
    return f"{module.removeprefix('shaftcheck.')}: {(sys.modules[module].__doc__ or '').partition(chr(10))[0]}"


def text(words: Sequence[str] = ()) -> str:
    """Return all of it within 100 columns, or the entries that hold all of some words."""
    out = ["What every answer rests on. Units are SI; '(from memory)' means not read again in print.", ""]
    for key, items in chosen(words).items():
        if items:
            title = SECTIONS[key]
            out += [title, "=" * len(title), "", *_entries(key, items), ""]
    return "\n".join(out).rstrip()


def _entries(key: str, items: Sequence[Any]) -> Iterator[str]:
    """Yield the entries of one part, each as text."""
    if key != "formulas":
        yield from map(_SHOWN[key], items)
        return
    for module, group in groupby(items, key=lambda f: f["module"]):
        yield wrap(about(module)) + "\n"
        yield from (f"{_formula_text(f)}\n" for f in group)
