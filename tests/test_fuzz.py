"""Example files spoilt by chance: whatever a file says, it is answered or refused in plain lines, and never called good
where something that matters was not checked."""

from __future__ import annotations

import copy
import json
import random
import re
import tomllib
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
import tomli_w

from shaftcheck.answer import answer
from shaftcheck.checks import declared
from shaftcheck.cli import main

EXAMPLES = sorted((Path(__file__).parent.parent / "examples").glob("*.toml"))
FLAWS: list[dict[str, Any]] = [
    {"kind": "crease", "from": "0.9 m", "to": "0.91 m", "face": "aft"},
    {"kind": "dent", "from": "660 mm", "to": "700 mm", "face": "upper", "width": "8 mm", "depth": "3 mm"},
    {"kind": "tack holes", "from": "500 mm", "to": "800 mm", "face": "all round", "width": "6 mm", "depth": "10 mm"},
    {"kind": "knot", "from": "1.2 m", "to": "1.21 m", "width": "6 mm"},
    {"kind": "leather", "from": "560 mm", "to": "820 mm"},
    {"kind": "ferrule", "from": "1.1 m", "to": "1.3 m"},
]
ODD: list[Any] = [
    "", " ", "nan", "-nan", "inf", "-inf", "0", "-1", "0 mm", "-40 mm", "1e400 mm", "1e-400 m", "1e9 m", "nan mm",
    "9" * 400, "40", "40 mm mm", "mm", "1/0 in", "0/0 in", "1:0", "0:1", "1:-20", "1:1e-300", "unknown", "unknown ()",
    "unknown (1 mm to)", "unknown (50 mm to 40 mm)", "unknown (40 mm to 50 mm)", "unknown (1:20 to 1:8)",
    "<script>alert(1)</script>", "<b>", "&amp;", "\"'`", "\\", "\x00", "\x1b[31m", "\n\n", "a: b; c", "ß" * 3, "🛶",
    "\u202e", "{long}", "{0}", "%s", "__class__", "yes", "no", "one", "hinged", "lock", "scarf", "takedown", "repair",
    0, -1, 1, 40, 1e308, -1e308, 1e-320, float("nan"), float("inf"), float("-inf"), 10**400, True, False, [], {}, [[]],
    {"a": 1}, [1, 2], ["40 mm"],
]  # fmt: skip
UNITS = ("mm", "cm", "m", "in", "ft", "kg", "lb", "N", "MPa", "m/s", "%", "m2", "", "furlong")
Doc = dict[str, Any]
Spoil = Callable[[random.Random, Doc], None]


def leaves(node: Any) -> list[tuple[Any, Any]]:
    """Return every place of a document that holds a plain value, as what holds it and the key."""
    pairs = list(node.items()) if isinstance(node, dict) else list(enumerate(node))
    out: list[tuple[Any, Any]] = []
    for key, value in pairs:
        out += leaves(value) if isinstance(value, dict | list) else [(node, key)]
    return out


def tables(doc: Doc) -> list[list[Any]]:
    return [v for v in doc.values() if isinstance(v, list) and v]


def sized(doc: Doc) -> list[tuple[Any, Any]]:
    return [(n, k) for n, k in leaves(doc) if isinstance(n[k], str) and re.match(r"\s*[\d.]", n[k])]


def drop(r: random.Random, doc: Doc) -> None:
    node, key = r.choice(leaves(doc))
    del node[key]


def drop_table(r: random.Random, doc: Doc) -> None:
    del doc[r.choice(list(doc))]


def odd(r: random.Random, doc: Doc) -> None:
    node, key = r.choice(leaves(doc))
    node[key] = r.choice(ODD)


def odd_table(r: random.Random, doc: Doc) -> None:
    doc[r.choice([*doc, "flaw", "joint", "own_wood", "change", "locker", "measured"])] = r.choice(ODD)


def unit(r: random.Random, doc: Doc) -> None:
    node, key = r.choice(sized(doc))
    node[key] = f"{node[key].split()[0]} {r.choice(UNITS)}"


def scale(r: random.Random, doc: Doc) -> None:
    """A size times something: small changes keep the file good, great ones don't."""
    node, key = r.choice(sized(doc))
    found = re.match(r"\s*([\d.]+)(.*)", node[key], re.DOTALL)
    assert found
    by = r.choice((0.0, -1.0, 1e-9, 0.01, 0.5, 0.9, 0.999, 1.001, 1.1, 1.3, 2.0, 10.0, 1e9))
    try:
        node[key] = f"{float(found[1]) * by:.9g}{found[2]}"
    except ValueError:
        node[key] = f"{by}{found[2]}"


def unknown(r: random.Random, doc: Doc) -> None:
    node, key = r.choice(leaves(doc))
    node[key] = "unknown"


def double(r: random.Random, doc: Doc) -> None:
    rows = r.choice(tables(doc))
    rows.insert(r.randrange(len(rows) + 1), copy.deepcopy(r.choice(rows)))


def shuffle(r: random.Random, doc: Doc) -> None:
    r.shuffle(r.choice(tables(doc)))


def thin(r: random.Random, doc: Doc) -> None:
    rows = r.choice(tables(doc))
    rows.pop(r.randrange(len(rows)))


def move(r: random.Random, doc: Doc) -> None:
    """A joint, the place where woods meet, a flaw, a part of the rig, elsewhere."""
    rows = [row for name in ("joint", "wood", "flaw") for row in doc.get(name, []) if isinstance(row, dict)]
    rows += [t for t in (doc.get("rig"),) if isinstance(t, dict)]
    places = [(row, k) for row in rows for k in row if k in (
        "at", "middle", "from", "to", "lock", "hand", "inner_ends", "inner_pin", "outer_pin", "overlap")]  # fmt: skip
    if places:
        row, key = r.choice(places)
        row[key] = f"{r.choice((0, 1, 70, 300, 650, 690, 693, 900, 1180, 1210, 1500, 1900, 2300, 2460, 5000))} mm"


def flaw(r: random.Random, doc: Doc) -> None:
    rows = doc.setdefault("flaw", [])
    if isinstance(rows, list):
        one = copy.deepcopy(r.choice(FLAWS))
        start = r.randrange(0, 2400)
        one |= {"from": f"{start} mm", "to": f"{start + r.choice((1, 10, 80, 400))} mm"}
        one |= {k: f"{r.choice((0, 1, 3, 8, 20, 45))} mm" for k in ("width", "depth") if k in one}
        rows.append(one)


def rename(r: random.Random, doc: Doc) -> None:
    node, key = r.choice([(n, k) for n, k in leaves(doc) if isinstance(k, str)])
    node[r.choice((f"{key}s", key.upper(), "", "a b", "<i>", "x" * 200))] = node.pop(key)


def change(r: random.Random, doc: Doc) -> None:
    """What is to be done to it, out of another example."""
    other = tomllib.loads(r.choice(EXAMPLES).read_text(encoding="utf-8"))
    name = r.choice([k for k in other if isinstance(other[k], dict | list)])
    doc[name if r.random() < 0.5 else "change"] = other[name] if r.random() < 0.5 else {name: other[name]}


WAYS: tuple[Spoil, ...] = (drop, drop_table, odd, odd_table, unit, scale, scale, unknown, double, shuffle, thin, move,
    move, flaw, flaw, rename, change)  # fmt: skip


def text_ways(r: random.Random, text: str) -> str:
    """Spoil the text itself, now and then."""
    lines = text.splitlines()
    i = r.randrange(len(lines))
    way = r.randrange(12)
    if way == 0:
        lines.insert(i, r.choice(lines))
    elif way == 1:
        del lines[i]
    elif way == 2:
        lines[i] = lines[i][: r.randrange(len(lines[i]) + 1)]
    elif way == 3:
        lines.insert(i, r.choice(("\x00", "[[", "[oar]", "[[oar]]", "= 3", "# <b>", "\ufeff", "a.b.c = 1")))
    return "\n".join(lines) + "\n"


def spoilt(number: int) -> str:
    """Return the text of an example that is spoilt, the same for the same number."""
    r = random.Random(number)
    doc = tomllib.loads(r.choice(EXAMPLES).read_text(encoding="utf-8"))
    for _ in range(r.choice((1, 1, 1, 2, 3))):
        try:
            r.choice(WAYS)(r, doc)
        except (IndexError, AttributeError, TypeError):
            continue  # nothing of that kind is left to spoil
    try:
        return text_ways(r, tomli_w.dumps(doc))
    except (TypeError, ValueError):
        return ""


def told(number: int, folder: Path, capsys: pytest.CaptureFixture[str]) -> int:
    """Check one spoilt file and return its exit code."""
    path = folder / "oar.toml"
    text = spoilt(number)
    path.write_text(text, encoding="utf-8")
    code = main(["check", str(path), "--json"])
    out, err = capsys.readouterr()
    assert code in (0, 1, 2)
    if code == 2:
        assert out == ""
        assert err
        for line in err.splitlines():
            assert re.fullmatch(rf"{re.escape(str(path))}(, as changed)?: [^:]+: .+; \S.*", line), line
            assert line.isprintable()
        return code
    assert err == ""
    r = json.loads(out)
    states = [oar["verdict"] for oar in r["oars"]]
    assert r["verdict"] == states[-1]
    stows = r["oars"][-1]["stowed"]["verdict"] in (None, "STOWS")
    assert code == (r["verdict"] != "HOLDS" or not stows)
    if r["verdict"] == "HOLDS":
        checks = r["oars"][-1]["checks"]
        assert all(c["known"] and c["met"] and c["use"]["value"] <= 1.0 for c in checks)
        assert {c["check"] for c in checks} >= set(declared(answer(text, "again").oars[-1].shaft))
    return code


@pytest.mark.slow
@pytest.mark.parametrize("block", range(4))
def test_no_file_breaks_it(block: int, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    codes = [told(number, tmp_path, capsys) for number in range(25 * block, 25 * block + 25)]
    assert len(set(codes)) > 1
