"""What answers rest on as one HTML page, in the style of the shop sheet. Nothing is computed here."""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence
from itertools import groupby
from typing import TYPE_CHECKING, Any

from shaftcheck.show.amounts import significant
from shaftcheck.show.basis import SECTIONS, about, chosen, figures, place, record
from shaftcheck.show.page import render
from shaftcheck.show.rows import Grid
from shaftcheck.show.symbols import mathml
from shaftcheck.show.workings import broken, raised

if TYPE_CHECKING:
    from markupsafe import Markup

__all__ = ["MARKS", "marked", "page"]

MARKS = ("from memory", "judgement", "common practice", "secondary", "low trust")
"""words that say that something stands on less than a print that was read"""
_MARK = re.compile(rf"({'|'.join(MARKS)})")


def page(words: Sequence[str] = ()) -> str:
    """Return the page of all of it, or of the entries that hold all of some words.

    Raises
    ------
    InputError
        if no entry holds them.
    """
    data = chosen(words)
    groups = [list(group) for _, group in groupby(data["formulas"], key=lambda f: f["module"])]
    grids = {key: grid(data[key]) for key, grid in _GRIDS.items() if data[key]}
    lists = {key: data[key] for key in SECTIONS if data[key] and key not in ("formulas", *grids)}
    tests = [] if words else record()["tests_against_outside_sources"]
    titles = {key: SECTIONS[key] for key in SECTIONS if data[key]}
    return render(
        "basis.html",
        words=" ".join(words),
        titles=titles,
        weak=_weak(data),
        held=_held(data["formulas"]),
        modules=[{"about": about(g[0]["module"]), "formulas": [_formula(f) for f in g]} for g in groups],
        grids=grids,
        lists={key: [marked(item if isinstance(item, str) else item["text"]) for item in lists[key]] for key in lists},
        tests=_tests(tests) if tests else None,
        marked=marked,
    )


def marked(text: Any) -> Markup:
    """Return a text in which the words that mark a weaker standing stand out."""
    from markupsafe import Markup, escape

    parts = _MARK.split(str(text))
    return Markup("").join(
        Markup('<strong class="weak">{}</strong>').format(part) if i % 2 else escape(part)
        for i, part in enumerate(parts)
    )


def _weak(data: dict[str, list[Any]]) -> Grid:
    """Return how many entries of each part hold each of the marks."""
    rows = []
    for key, title in SECTIONS.items():
        texts = [_said(item) for item in data[key]]
        if texts and key not in ("cautions", "not_part_of_the_question", "numbers_of_computing"):
            counts = [sum(mark in text for text in texts) for mark in MARKS]
            rows.append((title, str(len(texts)), *(str(n) if n else "-" for n in counts)))
    return Grid(("part", "entries", *MARKS), tuple(rows), "l" + "r" * (1 + len(MARKS)))


def _held(formulas: Sequence[dict[str, Any]]) -> str:
    """Return how many formulas are held by tests against outside sources."""
    named = sum(any(t["how"] == "names it" for t in f["tests"]) for f in formulas)
    through = sum(bool(f["tests"]) for f in formulas) - named
    return (
        f"Of {len(formulas)} formulas, {named} are named by a test against an outside source, {through} more are run "
        f"through by one, and {len(formulas) - named - through} by none."
    )


def _said(item: Any) -> str:
    """Return all that an entry says of itself; what its tests rest on is theirs."""
    if isinstance(item, dict):
        return " ".join(_said(v) for k, v in item.items() if k != "tests") + " " + " ".join(map(str, item))
    return " ".join(map(_said, item)) if isinstance(item, list) else str(item)


def _range(s: dict[str, Any]) -> str:
    low, high = (None if s[k] is None else significant(s[k], 4) for k in ("low", "high"))
    if low is not None and high is not None:
        return f"{low} to {high}"
    return f"{low} or more" if low is not None else f"{high} or less" if high is not None else ""


def _symbol(s: dict[str, Any]) -> dict[str, Any]:
    return {"symbol": raised(s["symbol"]), "unit": _unit(s["unit"]), "meaning": s["meaning"], "range": _range(s)}


def _unit(unit: str) -> str:
    return re.sub(r"\^([234])(?![0-9.])", lambda m: "\u00b2\u00b3\u2074"[int(m[1]) - 2], unit) or "-"


def _formula(f: dict[str, Any]) -> dict[str, Any]:
    named = [t for t in f["tests"] if t["how"] == "names it"]
    return {
        "name": f["formula"],
        "summary": f["summary"],
        "equation": broken(mathml(f["formula"]), f["equation"]),
        "symbols": [_symbol(s) for s in (f["result"], *f["symbols"])],
        "source": f["source"],
        "tests": named,
        "through": len(f["tests"]) - len(named),
    }


def _tests(tests: Sequence[dict[str, Any]]) -> Grid:
    rows = tuple(
        (
            t["test"].partition("::")[2].removeprefix("test_").replace("_", " "),
            t["source"],
            ", ".join(t["formulas"]) or (f"{len(t['through'])} run through" if t["through"] else "the whole way"),
            t["test"].partition("::")[0],
        )
        for t in tests
    )
    return Grid(("what is tested", "against", "formulas", "stands in"), rows, "llll")


def _numbers(items: Sequence[dict[str, Any]]) -> Grid:
    rows = tuple(
        (raised(n["symbol"]), f"{significant(n['value'], 6)} {_unit(n['unit']) if n['unit'] else ''}".rstrip(),
         n["meaning"], n["source"])
        for n in items
    )  # fmt: skip
    return Grid(("symbol", "value", "what it is", "rests on"), rows, "lrll")


def _written(items: Sequence[dict[str, Any]]) -> Grid:
    return Grid(
        ("what it is and rests on", "value", "stands in"),
        tuple((w["words"], figures(w["value"]), place(w)) for w in items),
        "lll",
    )


def _read(items: Sequence[dict[str, Any]]) -> Grid:
    rows = tuple(
        (
            t["table"],
            "; ".join(f"{significant(x, 4)}: {significant(y, 4)}" for x, y in zip(t["x"], t["y"], strict=True)),
            t["source"],
            "; ".join(one["test"] for one in t["tests"]) or "by none against an outside source",
        )
        for t in items
    )
    return Grid(("table", "entered with: gives", "source", "tested"), rows, "llll")


def _data(items: Sequence[dict[str, Any]]) -> Grid:
    hows = ("seen", "derived", "from memory")
    rows = tuple(
        (t["source"], ", ".join(t["gives"]), *(str(t["rows"].get(how, "-")) for how in hows), t["note"]) for t in items
    )
    return Grid(("source", "gives", "rows read in print", "derived", "from memory", "remark"), rows, "llrrrl")


_GRIDS: dict[str, Callable[[Sequence[dict[str, Any]]], Grid]] = {
    "tables": _read,
    "numbers": _numbers,
    "more_numbers": _written,
    "numbers_of_computing": _written,
    "woods_and_tubes": _data,
    "taken_where_nothing_is_told": lambda items: Grid(
        ("key", "what is taken"), tuple((t["key"], t["words"]) for t in items), "ll"
    ),
    "load_cases": lambda items: Grid(("load", "rests on"), tuple((c["title"], c["source"]) for c in items), "ll"),
    "comparisons": lambda items: Grid(
        ("check", "where it fails, the shaft", "rests on"),
        tuple((c["check"], c["fails"], c["source"]) for c in items),
        "lll",
    ),
}
"""how each part of the record stands in a table"""
