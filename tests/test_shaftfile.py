"""The shaft file: what is refused, how each fault is named, and that all faults of a file come at once."""

from __future__ import annotations

import copy
import tomllib
from collections.abc import Callable, Mapping
from pathlib import Path
from typing import Any

import pytest

from shaftcheck.answer import answer, answer_doc
from shaftcheck.border.keys import LISTS, RIGS, TABLES, Key
from shaftcheck.border.shown import say
from shaftcheck.cli import main
from shaftcheck.errors import InputError

Doc = dict[str, Any]

PLAIN: Doc = {
    "title": "Invented: plain oar of the tests",
    "oar": {
        "length": "2.46 m",
        "inside": "solid",
        "blade_length": "540 mm",
        "blade_width": "128 mm",
        "blade_area": "0.058 m2",
    },
    "rig": {"kind": "lock", "hand": "70 mm", "lock": "690 mm", "lock_touches": "38 mm"},
    "rower": {"strength": "light", "hands": "one"},
    "duty": {"boat_speed": "1.5 m/s", "levering": "never"},
    "section": [
        {"at": "0 mm", "across": "37 mm"},
        {"at": "150 mm", "across": "39 mm"},
        {"at": "240 mm", "across": "50 mm"},
        {"at": "960 mm", "fore_and_aft": "50 mm", "up_and_down": "48 mm"},
        {"at": "1.45 m", "fore_and_aft": "45 mm", "up_and_down": "41 mm"},
        {"at": "1.92 m", "fore_and_aft": "36 mm", "up_and_down": "32 mm"},
    ],
    "wood": [{"of": "Sitka spruce (US)", "runout": "1:20"}],
}
"""an invented oar that holds"""

HINGED_RIG: Doc = {
    "kind": "hinged",
    "hand": "70 mm",
    "inner_ends": "690 mm",
    "kerf": "3 mm",
    "inner_pin": "640 mm",
    "inner_cradle": "130 mm",
    "outer_pin": "745 mm",
    "outer_cradle": "130 mm",
    "cradle_seat": "wraps",
    "clamp_force": "2000 N",
    "bolts": "beside",
    "link_on": "cradle",
    "pin_spacing": "105 mm",
    "link_ratio": 0.9,
}


def edit(doc: Mapping[str, Any], *changes: tuple[str, Any]) -> Doc:
    """Return a copy with keys set by path, as ("section.0.at", "1 mm"); None takes a key away."""
    out: Any = copy.deepcopy(dict(doc))
    for path, value in changes:
        *way, last = path.split(".")
        place = out
        for step in way:
            place = place[int(step)] if isinstance(place, list) else place.setdefault(step, {})
        if isinstance(place, list):
            place[int(last)] = value
        elif value is None:
            place.pop(last, None)
        else:
            place[last] = value
    return dict(out)


HINGED = edit(PLAIN, ("rig", HINGED_RIG))
JOINT: Doc = {"kind": "repair", "from": "0.95 m", "to": "1.45 m"}
"""a joint without a check of its own"""
JOINTED = edit(
    PLAIN,
    ("wood", [{"of": "White ash", "to": "1.20 m", "runout": "1:20"}, {"of": "Sitka spruce (US)", "runout": "1:20"}]),
    ("joint", [JOINT]),
)


def toml(doc: Mapping[str, Any]) -> str:
    """Return tables as TOML text."""

    def one(value: Any) -> str:
        if isinstance(value, bool):
            return str(value).lower()
        if isinstance(value, str):
            escaped = "".join(c if c.isprintable() and c not in '"\\' else f"\\U{ord(c):08x}" for c in value)
            return f'"{escaped}"'
        if isinstance(value, list):
            return f"[{', '.join(map(one, value))}]"
        if isinstance(value, Mapping):
            return f"{{{', '.join(f'{one(str(k))} = {one(v)}' for k, v in value.items())}}}"
        return str(value)

    lines = [f"{one(k)} = {one(v)}" for k, v in doc.items() if not isinstance(v, list | Mapping)]
    for key, value in doc.items():
        for head, table in (
            [(f"[{key}]", value)]
            if isinstance(value, Mapping)
            else [(f"[[{key}]]", row) for row in value]
            if isinstance(value, list) and all(isinstance(row, Mapping) for row in value)
            else []
        ):
            lines += [head, *(f"{one(k)} = {one(v)}" for k, v in table.items())]
        if isinstance(value, list) and not all(isinstance(row, Mapping) for row in value):
            lines.insert(0, f"{key} = {one(value)}")
    return "\n".join(lines) + "\n"


def bug(reason: str) -> pytest.MarkDecorator:
    """Return the mark of a test that shows a fault of the package."""
    return pytest.mark.xfail(strict=True, reason=reason)


def faults(doc: Mapping[str, Any]) -> list[str]:
    """Return the lines that a document is refused with."""
    with pytest.raises(InputError) as e:
        answer_doc(doc, "oar.toml")
    return str(e.value).split("\n")


Refuse = Callable[[str | bytes], list[str]]


@pytest.fixture
def refuse(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> Refuse:
    """Return a function: a file's text or bytes in, the lines of its refusal by the command out, form checked."""

    def one(text: str | bytes) -> list[str]:
        path = tmp_path / "shaft.toml"
        path.write_bytes(text if isinstance(text, bytes) else text.encode())
        before = path.read_bytes()
        code = main(["check", str(path)])
        out, err = capsys.readouterr()
        assert code == 2, out
        assert out == ""
        assert path.read_bytes() == before
        assert err.isprintable() or all(line.isprintable() for line in err.splitlines())
        lines = err.splitlines()
        assert lines
        for line in lines:
            assert line.startswith((f"{path}: ", f"{path}, as changed: ")), "each line names the file"
            key, _, rest = line.removeprefix(f"{path}").removeprefix(", as changed").removeprefix(": ").partition(": ")
            wrong, _, write = rest.rpartition("; ")
            assert key, "each line names the key"
            assert wrong, "each line says what is wrong"
            assert write, "each line says what to write"
        return [line.partition(": ")[2] for line in lines]

    return one


def test_the_oars_of_the_tests_are_read() -> None:
    assert answer_doc(PLAIN, "plain").state == "HOLDS"
    assert answer(toml(PLAIN), "plain").state == "HOLDS"
    assert answer_doc(HINGED, "hinged").oars
    assert answer_doc(JOINTED, "jointed").oars
    assert tomllib.loads(toml(JOINTED)) == JOINTED


# what is needed ------------------------------------------------------------------------------------------------------


def needed(keys: Mapping[str, Key]) -> list[str]:
    return [name for name, key in keys.items() if key.assume is None and not key.optional]


def full_base(table: str, name: str) -> tuple[Doc, str]:
    """Return a document that has a key, and the key's path in it."""
    base = HINGED if table == "rig" and name in RIGS["hinged"] and name not in RIGS["lock"] else PLAIN
    return base, f"{table}.{name}"


NEEDED = [
    (table, name)
    for table, keys in TABLES.items()
    for name in (
        [*needed(RIGS["lock"]), *(n for n in needed(RIGS["hinged"]) if n not in RIGS["lock"])]
        if table == "rig"
        else needed(keys)
    )
    if (table, name) != ("rig", "kind")
]


@pytest.mark.parametrize(("table", "name"), NEEDED)
def test_a_needed_key_that_is_missing(table: str, name: str) -> None:
    base, path = full_base(table, name)
    lines = faults(edit(base, (path, None)))
    assert len(lines) == 1
    assert lines[0].startswith(f"oar.toml: {path}: needed")
    key = TABLES[table][name]
    assert all(f'"{way}"' in lines[0].partition(f"; write {name} = ")[2] for way in key.choices or [key.example])


def test_what_must_never_be_guessed_is_among_the_needed() -> None:
    for key in (("rower", "strength"), ("rower", "hands"), ("oar", "inside"), ("rig", "lock"), ("oar", "length")):
        assert key in NEEDED
    for table, name in NEEDED:
        assert TABLES[table][name].assume is None


@pytest.mark.parametrize("missing", [("link_ratio",), ("link_ratio", "hand_moves"), ("link_ratio", "blade_moves")])
def test_a_hinged_rig_without_its_link_ratio_is_refused(missing: tuple[str, ...]) -> None:
    moves = {"hand_moves": "300 mm", "blade_moves": "520 mm"}
    rig = {k: v for k, v in ({**HINGED_RIG, **moves} if len(missing) > 1 else HINGED_RIG).items() if k not in missing}
    (line,) = faults(edit(HINGED, ("rig", rig)))
    assert line.startswith("oar.toml: rig.link_ratio: needed, once")
    assert "hand_moves" in line


def test_a_link_ratio_given_twice_is_refused() -> None:
    twice = edit(HINGED, ("rig.hand_moves", "300 mm"), ("rig.blade_moves", "520 mm"))
    (line,) = faults(twice)
    assert "rig.link_ratio" in line
    assert faults(edit(HINGED, ("rig.hand_moves", "300 mm")))


def test_the_kind_of_rig_missing_alone_is_one_line() -> None:
    lines = faults(edit(PLAIN, ("rig.kind", None)))
    assert lines[0].startswith("oar.toml: rig.kind: needed")
    assert len(lines) == 1, lines


def test_the_kind_of_rig_misspelt_alone_is_one_line() -> None:
    lines = faults(edit(PLAIN, ("rig.kind", "lok")))
    assert "write lock" in next(line for line in lines if "rig.kind" in line)
    assert len(lines) == 1, lines


@pytest.mark.parametrize("table", ["oar", "rig", "rower"])
def test_a_needed_table_missing_names_each_of_its_keys(table: str) -> None:
    lines = faults({k: v for k, v in PLAIN.items() if k != table})
    expected = ["kind"] if table == "rig" else needed(TABLES[table])
    assert [line.split(": ")[1] for line in lines] == [f"{table}.{name}" for name in expected]


@pytest.mark.parametrize(("table", "row", "name"), [
    ("section", 2, "at"), ("wood", 0, "of"), ("joint", 0, "from"), ("joint", 0, "to"),
    ("joint", 0, "kind"),
])  # fmt: skip
def test_a_needed_key_of_a_list_names_its_number(table: str, row: int, name: str) -> None:
    assert table == "joint" or name in needed(LISTS[table])
    (line,) = faults(edit(JOINTED, (f"{table}.{row}.{name}", None)))
    assert line.startswith(f"oar.toml: {table}.{row + 1}.{name}: needed")
    assert f'write {name} = "' in line


@pytest.mark.parametrize("text", ["", "\n\n# nothing but a remark\n", 'title = "empty"\n'])
def test_an_empty_file_names_all_that_is_needed(text: str, refuse: Refuse) -> None:
    lines = refuse(text)
    keys = [line.split(": ")[0] for line in lines]
    assert {"oar.length", "oar.inside", "rig.kind", "rower.strength", "rower.hands", "section", "wood"} <= set(keys)


# what is wrong with one value ----------------------------------------------------------------------------------------

ONE: list[tuple[str, Any, str, str]] = [
    # path, value, what is said, what to write
    ("oar.length", 2460, "has no unit", "write 2460 mm, as text in quotes"),
    ("oar.length", 2.46, "has no unit", "write 2.46 m or 2.46 ft, as text in quotes"),
    ("oar.length", "2460", "has no unit", "write 2460 mm"),
    ("oar.length", "2.46", "has no unit", "write 2.46 m or 2.46 ft"),
    ("oar.length", "9", "has no unit", "write 9 ft"),
    ("oar.blade_width", "15", "has no unit", "write 15 cm or 15 in"),
    ("section.2.across", "50 parsecs", "not a unit that is read", "such as 45 mm"),
    ("oar.length", "2.46 kg", "not a length", "write"),
    ("oar.length", "2.46 parsecs", "not a unit that is read", "write"),
    ("oar.length", "long", "no number", "write"),
    ("oar.length", "", "", "write"),
    ("oar.length", " ", "", "write"),
    ("oar.length", "-2.46 m", "negative", "2.46 m"),
    ("oar.length", "nan m", "", "write"),
    ("oar.length", "inf m", "", "write"),
    ("oar.length", "1e9 m", "", "write"),
    ("oar.length", "2,460 mm", "two ways", "2460 mm"),
    ("oar.length", "24.6 m", "must lie between", "write"),
    ("oar.length", "246 mm", "must lie between", "write"),
    ("oar.length", True, "not a text", "write"),
    ("oar.length", [2.46], "", "write"),
    ("oar.length", {"m": 2.46}, "", "write"),
    ("oar.length", float("inf"), "", "write"),
    ("oar.length", float("nan"), "", "write"),
    ("oar.length", 10**40, "has no unit", "write"),
    ("oar.length", "unknown", "no range is known", "unknown ("),
    ("oar.length", "2.46 m (guessed)", "not a way to know", "(measured)"),
    ("oar.length", "2.46 m (measured", "brackets", "write"),
    ("oar.length", "unknown (2.46 m to 2.46 m)", "no width", "write"),
    ("oar.length", "unknown (2 m to 9 m)", "must lie between", "write"),
    ("oar.length", "unknown (2 m)", "neither a range nor choices", "write"),
    ("oar.inside", "foam", "not one of solid, hollow", "find out which it is"),
    ("oar.inside", "Hollow", "not one of", "write hollow"),
    ("oar.inside", False, "not a text", "write"),
    ("oar.inside", "unknown (solid, foam)", "not one of", "find out which it is"),
    ("oar.blade_area", "0.058 m", "not an area", "write"),
    ("oar.blade_area", "0.9 m2", "must lie between", "write"),
    ("rig.lock", "690 N", "not a length", "write"),
    ("rig.lock", "69 mm", "must lie between", "write"),
    ("rig.kind", "unknown", "can't be unknown", "lock, hinged"),
    ("rower.strength", "strong", "not one of light, general, trained", "write"),
    ("rower.strength", 3, "", "write"),
    ("rower.hands", "two", "not one of one, both", "write"),
    ("rower.hands", 2, "", "write"),
    ("rower.greatest_pull", "400", "has no unit", "N"),
    ("rower.greatest_pull", "400 mm", "not a force", "write"),
    ("rower.greatest_pull", "0 N", "must lie between", "write"),
    ("duty.levering", "sometimes", "not one of never, by hand, braced", "write"),
    ("duty.strokes", "many", "not a plain number", "3000000"),
    ("duty.strokes", True, "", "write"),
    ("duty.strokes", 0, "must lie between", "write"),
    ("duty.strokes", 10**400, "", "write"),
    ("duty.boat_speed", "15", "has no unit", "m/s"),
    ("factors.own_divisor", "nan", "not a number", "write"),
    ("factors.own_divisor", float("nan"), "not a number", "write"),
    ("factors.own_divisor", 0, "must lie between", "write"),
    ("factors.own_divisor", 0.01, "must lie between", "write"),
    ("factors.own_divisor", "-1", "must lie between", "write"),
    ("section.2.across", 50, "has no unit", "write"),
    ("section.2.across", "50", "has no unit", "50 mm"),
    ("section.2.across", "500 mm", "must lie between", "write"),
    ("section.2.shape", "round", "not one of oval, superoval, rectangle", "write"),
    ("wood.0.of", "Sitka sprouse", "no wood named 'Sitka sprouse'", "Sitka spruce"),
    ("wood.0.of", "", "no wood named", "shaftcheck woods"),
    ("wood.0.of", 4, "", "write"),
    ("wood.0.of", "unknown", "must name what it may be", "unknown ("),
    ("wood.0.of", "unknown (Sitka spruce (US))", "must name what it may be", "unknown ("),
    ("wood.0.of", "unknown (Sitka spruce (US), Sitka sprouse)", "no wood named", "Sitka spruce"),
    ("wood.0.runout", 0.05, "", "1:20"),
    ("wood.0.runout", "20:1", "rises more than it runs", "1:20"),
    ("wood.0.runout", "1:2", "must lie between", "write"),
    ("wood.0.moisture", "14", "", "%"),
    ("wood.0.moisture", "80 %", "must lie between", "write"),
    ("wood.0.lacking_values", "guess", "not one of estimate", "write estimate"),
    ("title", 5, "not a text", "double quotes"),
    ("note", ["a"], "not a text", "double quotes"),
    ("answer_in", "feet", "'feet'", "metric or inches"),
    ("answer_in", ["metric"], "", "metric or inches"),
    ("answer_in", 3, "", "metric or inches"),
]  # fmt: skip


def in_file(path: str) -> str:
    """Return how messages name a path of the tests: the rows of a list count from one."""
    return ".".join(str(int(p) + 1) if p.isdigit() else p for p in path.split("."))


@pytest.mark.parametrize(("path", "value", "said", "write"), ONE)
def test_one_wrong_value_is_one_line(path: str, value: Any, said: str, write: str, refuse: Refuse) -> None:
    lines = [line for line in refuse(toml(edit(PLAIN, (path, value)))) if not line.startswith("rig.") or "rig" in path]
    line = next(line for line in lines if line.startswith(f"{in_file(path)}: "))
    assert said in line
    assert write in line.rpartition("; ")[2]
    if path != "rig.kind":  # what the other keys of a rig may be hangs on it
        assert len(lines) == 1, lines


@pytest.mark.parametrize("value", ["1979-05-27", "1979-05-27T07:32:00Z", "07:32:00", "0x1F", "1_000", "+inf", "-0.0"])
def test_a_value_of_toml_that_is_no_size(value: str, refuse: Refuse) -> None:
    text = toml(PLAIN).replace('"2.46 m"', value)
    (line,) = refuse(text)
    assert line.startswith("oar.length: ")


ODD_TEXTS = ("two\nlines", "a\x1b[31mred", "tab\tbed", "a\x00b", "\u202eback", "x" * 5000)


@pytest.mark.parametrize("path", [
    "oar.length", "oar.inside", "wood.0.of", "rower.strength", "duty.strokes", "answer_in",
])  # fmt: skip
def test_an_odd_text_still_makes_one_readable_line(path: str, refuse: Refuse) -> None:
    for text in ODD_TEXTS:
        lines = refuse(toml(edit(PLAIN, (path, text))))
        assert len(lines) == 1
        assert len(lines[0]) < 400


def test_an_odd_key_still_makes_one_readable_line(refuse: Refuse) -> None:
    for text in ODD_TEXTS:
        lines = refuse(toml({**PLAIN, text: "1 m"}))
        assert len(lines) == 1
        assert len(lines[0]) < 400


# keys that are not read ----------------------------------------------------------------------------------------------


@pytest.mark.parametrize(("path", "near"), [
    ("oar.lenght", "length"),
    ("oar.blade_lenght", "blade_length"),
    ("rig.lock_touch", "lock_touches"),
    ("rower.strenght", "strength"),
    ("duty.leverage", "levering"),
    ("care.keep", "kept"),
    ("measured.ballance", "balance"),
    ("factors.own_diviser", "own_divisor"),
    ("section.0.acros", "across"),
    ("wood.0.run_out", "runout"),
    ("titel", "title"),
    ("dutty", "duty"),
    ("sections", "section"),
    ("answer-in", "answer_in"),
])  # fmt: skip
def test_a_key_that_is_not_read_names_the_nearest(path: str, near: str, refuse: Refuse) -> None:
    (line,) = refuse(toml(edit(PLAIN, (path, "1 m"))))
    assert line.startswith(f"{in_file(path)}: not a key")
    assert near in line.rpartition("; ")[2]


def test_a_key_like_no_other_lists_the_keys_there_are(refuse: Refuse) -> None:
    (line,) = refuse(toml(edit(PLAIN, ("rower.zzzz", "1 m"))))
    assert "strength" in line
    assert "hands" in line


@pytest.mark.parametrize("path", ["rig.inner_ends", "rig.link_ratio", "rig.kerf"])
def test_a_key_of_the_other_rig_is_not_read(path: str, refuse: Refuse) -> None:
    (line,) = refuse(toml(edit(PLAIN, (path, HINGED_RIG[path.partition(".")[2]]))))
    assert line.startswith(f"{path}: not a key here")


def test_a_change_within_a_change_is_not_passed_in_silence() -> None:
    assert faults(edit(PLAIN, ("change", {"change": {"oar": {"length": "3 m"}}})))


def test_a_misspelt_key_in_a_change_is_said_of_the_changed_oar(refuse: Refuse) -> None:
    (line,) = refuse(toml(edit(PLAIN, ("change", {"rower": {"strenght": "trained"}}))))
    assert line.startswith("rower.strenght: not a key")


# tables of the wrong kind --------------------------------------------------------------------------------------------

KINDS: list[tuple[str, Any]] = [
    *((table, value) for table in TABLES for value in (3, "text", [{"length": "2 m"}], ["a"], True, [])),
    *((table, value) for table in LISTS for value in (3, "text", {"at": "0 mm"}, ["a"], [[]], [1, {"at": "0 mm"}])),
    *(("own_wood", value) for value in (3, "text", ["a"], {"mine": 3}, {"mine": []})),
]


@pytest.mark.parametrize(("table", "value"), KINDS)
def test_a_table_of_the_wrong_kind(table: str, value: Any) -> None:
    lines = faults({**PLAIN, table: value})
    assert any(line.startswith(f"oar.toml: {table}") and "not a" in line for line in lines), lines


@pytest.mark.parametrize("value", [3, "text", [], [{}], True])
def test_a_change_of_the_wrong_kind(value: Any) -> None:
    assert any(": change: " in line for line in faults({**PLAIN, "change": value}))


def test_a_section_as_one_table_is_told_to_be_a_list(refuse: Refuse) -> None:
    text = toml({k: v for k, v in PLAIN.items() if k != "section"}) + '[section]\nat = "0 mm"\nacross = "40 mm"\n'
    assert any(line.startswith("section: ") and "[[section]]" in line for line in refuse(text))


def test_a_rower_as_a_list_is_told_to_be_a_table(refuse: Refuse) -> None:
    text = toml({k: v for k, v in PLAIN.items() if k != "rower"}) + '[[rower]]\nstrength = "light"\nhands = "one"\n'
    assert any(line.startswith("rower: ") and "[rower]" in line for line in refuse(text))


# files that are no shaft file ----------------------------------------------------------------------------------------


@pytest.mark.parametrize("text", [
    "length = 2.4 m", "= 3", "[oar", "{}", "a = \"\x00\"", "oar", "length: 2.4 m",
    '{"oar": {"length": "2.4 m"}}', "x" * 100_000, "\ufeff\ufeff",
])  # fmt: skip
def test_what_is_not_toml(text: str, refuse: Refuse) -> None:
    (line,) = refuse(text)
    assert line.startswith("file: not TOML: ")


@pytest.mark.parametrize(("text", "key", "write"), [
    ('[oar]\nlength = "2 m"\nlength = "3 m"  # again\n', "length", "keep one of the two"),
    ('[oar]\r\nlength = "2 m"\r\nlength = "3 m"\r\n', "length", "keep one of the two"),
    ("[oar]\n[rig]\n[oar]\n", "[oar]", "keep one [oar]"),
    ("[section]\n[rig]\n[section]\n", "[section]", "keep one [section], or write [[section]] above each one"),
    ('oar = {length = "2 m", length = "3 m"}\n', "oar", "keep one of the two"),
])  # fmt: skip
def test_what_is_told_twice(text: str, key: str, write: str, refuse: Refuse) -> None:
    (line,) = refuse(text)
    assert line.startswith(f"{key}: told twice, again in line {len(text.splitlines())}")
    assert line.endswith(f"; {write}")


def test_curly_quotes_get_their_hint(refuse: Refuse) -> None:
    (line,) = refuse("[oar]\nlength = “2.4 m”\n")
    assert line.endswith('write straight quotes: "')


def test_an_inch_mark_in_double_quotes_gets_its_hint(refuse: Refuse) -> None:
    (line,) = refuse('[oar]\nlength = "8\' 1""\n')
    assert "single quotes" in line


def test_a_file_that_is_not_utf_8(refuse: Refuse) -> None:
    (line,) = refuse('title = "r\xe6ling"\n'.encode("latin-1"))
    assert "UTF-8" in line
    assert refuse(toml(PLAIN).encode("utf-16"))


def test_a_file_with_the_mark_of_utf_8_in_front_is_read(tmp_path: Path) -> None:
    path = tmp_path / "marked.toml"
    path.write_bytes(b"\xef\xbb\xbf" + toml(PLAIN).encode())
    assert main(["check", "--brief", str(path)]) == 0


def test_lines_that_end_in_the_other_ways_are_read(tmp_path: Path) -> None:
    path = tmp_path / "ends.toml"
    path.write_bytes(toml(PLAIN).replace("\n", "\r\n").encode())
    assert main(["check", "--brief", str(path)]) == 0


@pytest.mark.parametrize("text", [
    "a = " + "[" * 3000 + "]" * 3000,
    "a = " + "{a=" * 3000 + "1" + "}" * 3000,
    "[" + "a." * 3000 + "a]\nb = 1",
])  # fmt: skip
def test_deep_nesting(text: str, refuse: Refuse) -> None:
    assert refuse(text)


def test_a_number_of_five_thousand_digits(refuse: Refuse) -> None:
    assert refuse("a = " + "9" * 5000)


def test_a_missing_file_and_a_directory(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    for path in (tmp_path / "missing.toml", tmp_path):
        assert main(["check", str(path)]) == 2
        out, err = capsys.readouterr()
        assert out == ""
        assert err.startswith(f"{path}: file: can't be read")
        assert "; write" in err
        assert len(err.splitlines()) == 1


# parts that do not fit each other ------------------------------------------------------------------------------------

FIT: list[tuple[str, Doc, str, str]] = [
    ("joint past the tip", edit(JOINTED, ("joint.0.to", "2.47 m")), "joint.1.to", "past the tip"),
    ("joint turned over", edit(JOINTED, ("joint.0.from", "1.5 m")), "joint.1.to", "not beyond"),
    ("joint of no length", edit(JOINTED, ("joint.0.from", "1.45 m")), "joint.1.to", "not beyond"),
    ("woods meet, no joint", edit(JOINTED, ("joint", None)), "wood", "no joint is there"),
    ("woods meet beside the joint", edit(JOINTED, ("wood.0.to", "1.46 m")), "wood", "no joint is there"),
    ("wood ends before the tip", edit(PLAIN, ("wood.0.to", "2.40 m")), "wood.1.to", "end at the tip"),
    ("wood ends past the tip", edit(PLAIN, ("wood.0.to", "2.50 m")), "wood.1.to", "end at the tip"),
    ("wood begins late", edit(PLAIN, ("wood.0.from", "10 mm")), "wood.1.from", "does not begin"),
    ("gap between woods", edit(JOINTED, ("wood.1.from", "1.21 m")), "wood.2.from", "does not begin"),
    ("woods overlap", edit(JOINTED, ("wood.1.from", "1.19 m")), "wood.2.from", "does not begin"),
    ("wood without its end", edit(JOINTED, ("wood.0.to", None)), "wood.1.to", "needed"),
    ("stations out of order", edit(PLAIN, ("section.2.at", "140 mm")), "section.3.at", "not beyond the section before"),
    ("two stations at one place", edit(PLAIN, ("section.2.at", "150 mm")), "section.3.at", "not beyond"),
    ("no station at the handle end", edit(PLAIN, ("section.0.at", "1 mm")), "section.1.at", "handle end"),
    ("sections end before the neck", edit(PLAIN, ("section.5.at", "1.91 m")), "section.6.at", "before the neck"),
    ("station past the tip", edit(PLAIN, ("section.5.at", "2.47 m")), "section.6.at", "past the tip"),
    ("one section", edit(PLAIN, ("section", PLAIN["section"][:1])), "section", "1 given"),
    ("no wood", edit(PLAIN, ("wood", [])), "wood", "none given"),
    ("lock beyond the neck", edit(PLAIN, ("rig.lock", "1.95 m")), "rig.lock", "not between the hand and the neck"),
    ("lock's end beyond the neck", edit(PLAIN, ("rig.lock", "1.91 m")), "rig.lock", "not between"),
    ("hand beyond the lock", edit(PLAIN, ("rig.hand", "700 mm")), "rig.lock", "not between"),
    ("hand under the lock", edit(PLAIN, ("rig.hand", "680 mm")), "rig.lock", "not between"),
    ("blade longer than the oar", edit(PLAIN, ("oar.blade_length", "1.5 m"), ("oar.length", "1.4 m"),
        ("section", PLAIN["section"][:2])), "rig.lock", ""),
    ("wall in a solid oar", edit(PLAIN, ("section.3.wall", "9 mm")), "section.4.wall", "told to be solid"),
    ("hollow without walls", edit(PLAIN, ("oar.inside", "hollow")), "section.1", "no wall given"),
    ("both solid and with a wall", edit(PLAIN, ("oar.inside", "hollow"), ("section.0.inside", "solid"),
        ("section.0.wall", "5 mm")), "section.1", "both solid and with a wall"),
    ("wall thicker than half", edit(PLAIN, ("oar.inside", "hollow"), ("section.5.wall", "16 mm")), "section.6.wall",
        "as thick as"),
    ("no size", edit(PLAIN, ("section.0.across", None)), "section.1", "not told, or told twice"),
    ("size told twice", edit(PLAIN, ("section.0.girth", "116 mm")), "section.1", "not told, or told twice"),
    ("one size of two", edit(PLAIN, ("section.4.up_and_down", None)), "section.5", "not told, or told twice"),
    ("across of a rectangle", edit(PLAIN, ("section.0.shape", "rectangle")), "section.1", "fore_and_aft"),
    ("girth too short", edit(PLAIN, ("section.4.up_and_down", None), ("section.4.girth", "80 mm")), "section.5.girth",
        "too short"),
    ("fullness of an oval", edit(PLAIN, ("section.4.fullness", 2.5)), "section.5.fullness", "superoval"),
    ("superoval without fullness", edit(PLAIN, ("section.4.shape", "superoval")), "section.5.fullness", "superoval"),
    ("blade area above its rectangle", edit(PLAIN, ("oar.blade_area", "0.07 m2")), "oar.blade_area", "more than"),
    ("inner cradle past the hand", edit(HINGED, ("rig.inner_cradle", "640 mm")), "rig.inner_cradle", "past the hand"),
    ("outer cradle past the neck", edit(HINGED, ("rig.outer_cradle", "1 m"), ("rig.inner_ends", "1 m"),
        ("rig.inner_pin", "0.9 m"), ("rig.outer_pin", "1.1 m")), "rig.outer_cradle", "past the neck"),
    ("inner pin before the hand", edit(HINGED, ("rig.hand", "500 mm"), ("rig.inner_pin", "450 mm")), "rig.inner_pin",
        "between hand and neck"),
    ("outer pin past the neck", edit(HINGED, ("rig.outer_pin", "1.93 m")), "rig.inner_pin", "between hand and neck"),
]  # fmt: skip


@pytest.mark.parametrize(("doc", "key", "said"), [case[1:] for case in FIT], ids=[case[0] for case in FIT])
def test_what_does_not_fit(doc: Doc, key: str, said: str, refuse: Refuse) -> None:
    lines = refuse(toml(doc))
    line = next(line for line in lines if line.startswith(f"{key}: "))
    assert said in line


@pytest.mark.parametrize(("hand", "inner_pin", "outer_pin"), [
    ("640 mm", "640 mm", "745 mm"),
    ("70 mm", "640 mm", "2.19 m"),  # the blade's middle
    ("70 mm", "640 mm", "2.46 m"),
])  # fmt: skip
def test_pins_without_a_lever_are_refused(hand: str, inner_pin: str, outer_pin: str) -> None:
    rig = {**HINGED_RIG, "hand_moves": "300 mm", "blade_moves": "520 mm", "hand": hand, "inner_pin": inner_pin,
           "outer_pin": outer_pin}  # fmt: skip
    del rig["link_ratio"]
    assert faults(edit(HINGED, ("rig", rig)))


@pytest.mark.parametrize(("pin", "place"), [("inner_pin", "900 mm"), ("outer_pin", "300 mm"), ("outer_pin", "630 mm")])
def test_a_pin_on_the_wrong_half_is_refused(pin: str, place: str) -> None:
    """The inner half ends at 690 mm, its cradle begins at 560 mm; the outer half's cradle ends at 823 mm."""
    assert any("pin" in line for line in faults(edit(HINGED, (f"rig.{pin}", place))))


def test_a_link_ratio_by_moves_has_the_bounds_of_one_that_is_told() -> None:
    key = RIGS["hinged"]["link_ratio"]
    for moves in (("30 mm", "1.5 m"), ("550 mm", "50 mm")):  # 16 and 0.03
        rig = {**HINGED_RIG, "hand_moves": moves[0], "blade_moves": moves[1]}
        del rig["link_ratio"]
        arms = (0.640 - 0.070, 2.46 - 0.27 - 0.745)
        ratio = float(moves[1].split()[0]) * (1.0 if " m" in moves[1][-2:] and "mm" not in moves[1] else 1e-3)
        ratio = ratio / arms[1] / (float(moves[0].split()[0]) * 1e-3 / arms[0])
        assert not key.low <= ratio <= key.high
        assert any("link_ratio" in line or "moves" in line for line in faults(edit(HINGED, ("rig", rig))))


def test_what_a_message_tells_to_write_is_accepted() -> None:
    """A neck between two whole millimetres: the section that the message asks for must reach it."""
    doc = edit(PLAIN, ("oar.length", "2.4603 m"))
    (line,) = faults(doc)
    at = line.partition('at = "')[2].partition('"')[0]
    last = {**PLAIN["section"][-1], "at": at}
    assert answer_doc(edit(doc, ("section", [*PLAIN["section"], last])), "mended").oars


# all faults at once --------------------------------------------------------------------------------------------------


def test_ten_different_faults_are_ten_lines(refuse: Refuse) -> None:
    doc = edit(
        JOINTED,
        ("titel", "a"),
        ("answer_in", "feet"),
        ("oar.length", 2460),
        ("oar.inside", None),
        ("rig.lock", "690 kg"),
        ("rower.strength", "strong"),
        ("duty.boat_sped", "2 m/s"),
        ("section.1.across", "39"),
        ("wood.0.of", "White asch"),
        ("joint.0.to", "1.45 kg"),
    )
    lines = refuse(toml(doc))
    assert [line.split(": ")[0] for line in lines] == [
        "titel", "answer_in", "oar.length", "oar.inside", "rig.lock", "rower.strength", "duty.boat_sped",
        "section.2.across", "wood.1.of", "joint.1.to",
    ]  # fmt: skip


def test_all_that_does_not_fit_comes_at_once(refuse: Refuse) -> None:
    doc = edit(
        JOINTED,
        ("section.2.at", "140 mm"),
        ("section.3.wall", "9 mm"),
        ("section.5.at", "1.91 m"),
        ("joint.0.to", "2.6 m"),
        ("rig.lock", "1.95 m"),
        ("wood.1.to", "2.4 m"),
        ("oar.blade_area", "0.08 m2"),
    )
    keys = [line.split(": ")[0] for line in refuse(toml(doc))]
    assert set(keys) == {
        "section.3.at", "section.4.wall", "section.6.at", "joint.1.to", "rig.lock", "wood.2.to", "oar.blade_area",
    }  # fmt: skip


# a wood of one's own -------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(("table", "key"), [
    ({"kind": "softwood", "source": "invented"}, "bending_12"),
    ({"kind": "conifer", "source": "invented", "bending_12": "70 MPa"}, "kind"),
    ({"kind": "softwood", "bending_12": "70 MPa"}, "source"),
    ({"kind": "softwood", "source": "invented", "bending_12": 70}, "bending_12"),
    ({"kind": "softwood", "source": "invented", "bending_12": "70 kg"}, "bending_12"),
    ({"kind": "softwood", "source": "invented", "bending_12": "70 GPa"}, "bending_12"),
    ({"kind": "softwood", "source": "invented", "bending12": "70 MPa"}, "bending12"),
    ({"kind": ["softwood"], "source": "invented", "bending_12": "70 MPa"}, "kind"),
    ({"kind": "softwood", "source": "invented", "bending_12": ["70 MPa"]}, "bending_12"),
])  # fmt: skip
def test_a_wood_of_ones_own_that_is_refused(table: Doc, key: str) -> None:
    lines = faults(edit(PLAIN, ("own_wood", {"mine": table})))
    assert any(line.startswith(f"oar.toml: own_wood.mine.{key}: ") for line in lines), lines


def test_a_wood_of_ones_own_by_a_name_of_the_tables_is_refused() -> None:
    table = {"kind": "softwood", "source": "invented", "bending_12": "170 MPa"}
    lines = faults(edit(PLAIN, ("own_wood", {"Sitka spruce (US)": table})))
    assert any("a wood of the tables already" in line for line in lines)


# all of it at once: what can't be read, what does not fit, and the oar as changed ------------------------------------


def keys_of(doc: Doc) -> list[str]:
    """Return the keys of the faults of a document, 'change: ' before those of the oar as changed alone."""
    lines = [line.removeprefix("oar.toml").replace(", as changed: ", "change: ", 1) for line in faults(doc)]
    return [line.removeprefix(": ").partition("change: ")[1] + line.removeprefix(": ").removeprefix("change: ")
            .partition(": ")[0] for line in lines]  # fmt: skip


def test_what_cant_be_read_and_what_does_not_fit_come_at_once() -> None:
    doc = edit(
        JOINTED,
        ("rower.strength", "strong"),
        ("oar.blade_area", "0.08 m2"),
        ("duty.boat_sped", "2 m/s"),
        ("rig.lock", "1.95 m"),
        ("section.1.wall", "9 mm"),
        ("section.2.across", "39"),
        ("section.3.at", "100 mm"),
        ("wood.0.of", "White asch"),
        ("wood.1.to", "2.4 m"),
        ("joint.0.to", "2.6 m"),
        ("change", {"rig": {"lock": "1.99 kg"}, "rower": {"hands": "three"}}),
    )
    assert sorted(keys_of(doc)) == sorted([
        "rower.strength", "oar.blade_area", "duty.boat_sped", "rig.lock", "section.2.wall", "section.3.across",
        "section.4.at", "wood.1.of", "wood.2.to", "joint.1.to", "change: rig.lock", "change: rower.hands",
    ])  # fmt: skip


@pytest.mark.parametrize(("changes", "keys"), [
    ([("section.1.across", None), ("section.1.acros", "50 mm")], ["section.2.acros"]),
    ([("section.1.across", "50")], ["section.2.across"]),
    ([("section.1.at", "1.2")], ["section.2.at"]),
    ([("oar.length", "2.46")], ["oar.length"]),
    ([("oar.blade_length", "-540 mm")], ["oar.blade_length"]),
    ([("oar.inside", "holow")], ["oar.inside"]),
    ([("rig.kind", "log")], ["rig.kind"]),
    ([("rig.lock", "690")], ["rig.lock"]),
    ([("care.kept", "well")], ["care.kept"]),
    ([("rower.hands", None)], ["rower.hands"]),
    ([("wood.0.runout", "12:1")], ["wood.1.runout"]),
    ([("section", 3)], ["section"]),
])  # fmt: skip
@pytest.mark.parametrize("unknown", [[], [("duty.levering", "unknown"), ("rig.hand", "unknown")]])
def test_a_fault_brings_no_second_one_with_it(
    changes: list[tuple[str, Any]], keys: list[str], unknown: list[tuple[str, Any]]
) -> None:
    doc = edit(edit(PLAIN, *unknown), *changes)
    assert keys_of(doc) == keys
    both = edit(doc, ("oar.blade_area", "0.08 m2"))
    if "oar.blade_length" not in keys:
        assert keys_of(both) == [*keys, "oar.blade_area"]


@pytest.mark.parametrize(("joint", "keys"), [
    ({"kind": "scarf", "middle": "1.2 m", "slope": "1:12", "cut_through": "fore and aft", "outer_tip_on": "upper",
      "glue": "epoxy"}, ["outer_tip_on"]),
    ({"kind": "scarf", "middle": "1.2", "cut_through": "fore and aft", "outer_tip_on": "upper", "glue": "glue"},
     ["middle", "slope", "outer_tip_on", "glue"]),
    ({"kind": "takedown", "form": "tube on the inner half", "at": "1.30", "overlap": "190 mm", "wall": "1.7 mm",
      "tube": "tin", "mouth": "lined", "held_by": "pin"},
     ["at", "tube", "fixed_length", "spigot_size", "pin_diameter", "pin_through"]),
])  # fmt: skip
def test_a_joint_tells_all_that_can_be_told_without_the_sections(joint: Doc, keys: list[str]) -> None:
    doc = edit(PLAIN, ("joint", [joint]), ("section.1.across", "50"), ("oar.blade_length", "540"))
    assert set(keys_of(doc)) == {"section.2.across", "oar.blade_length", *(f"joint.1.{k}" for k in keys)}


def test_of_unknown_inputs_every_value_that_does_not_fit_is_told() -> None:
    doc = edit(PLAIN, ("rig.lock", "unknown (100 mm to 1.95 m)"), ("section.3.at", "unknown (900 mm to 1.5 m)"))
    assert set(keys_of(edit(doc, ("rig.lock", "unknown (300 mm to 1.95 m)")))) == {"rig.lock", "section.5.at"}


# pulls that are told -------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(("pulls", "keys"), [
    ({"steady_pull": "300 N", "greatest_pull": "250 N"}, ["rower.steady_pull"]),
    ({"hard_pull": "50 kg", "start_pull": "400 N", "greatest_pull": "300 N"}, ["rower.hard_pull", "rower.start_pull"]),
    ({"steady_pull": "100 N", "hard_pull": "200 N", "start_pull": "200 N", "greatest_pull": "200 N"}, []),
])  # fmt: skip
def test_a_pull_above_a_heavier_one(pulls: Doc, keys: list[str]) -> None:
    doc = edit(PLAIN, ("rower", {**PLAIN["rower"], **pulls}))
    assert (keys_of(doc) if keys else []) == keys
    if not keys:
        assert answer_doc(doc, "oar").oars


def test_a_pull_of_the_class_is_no_less_than_a_lighter_one_that_is_told() -> None:
    a = answer_doc(edit(PLAIN, ("rower.steady_pull", "350 N")), "oar").oars[0]
    assert a.asked == {"steady": 350.0, "hard": 350.0, "start": 350.0, "once": 400.0}
    said = [say(words) for words in a.assumptions]
    assert "hard_pull taken as 350 N, as of a lighter one: the class's is less" in said
    assert "start_pull taken as 350 N, as of a lighter one: the class's is less" in said
    b = answer_doc(edit(PLAIN, ("rower.greatest_pull", "200 N")), "oar").oars[0]
    assert b.asked["start"] == 300.0, "a class's pull is never lowered"


# a scarf told by its length ------------------------------------------------------------------------------------------

BY_LENGTH: Doc = {
    "kind": "scarf", "middle": "1.3 m", "length_on": "blank", "blank_size": "60 mm", "cut_through": "fore and aft",
    "outer_tip_on": "aft", "glue": "epoxy",
}  # fmt: skip


@pytest.mark.parametrize(("length", "slope"), [("179 mm", "1:2.98"), ("100 mm", "1:1.67")])
def test_a_slope_by_length_has_the_bounds_of_one_that_is_told(length: str, slope: str) -> None:
    (line,) = faults(edit(PLAIN, ("joint", [{**BY_LENGTH, "length": length}])))
    assert line == (
        f"oar.toml: joint.1.length: makes a slope of {slope}, which must lie between 1:60 and 1:3; write a length from "
        "180 mm to 3600 mm"
    )


@pytest.mark.parametrize("length", ["181 mm", "600 mm"])
def test_a_slope_by_length_within_its_bounds(length: str) -> None:
    assert answer_doc(edit(PLAIN, ("joint", [{**BY_LENGTH, "length": length}])), "oar").oars


@pytest.mark.parametrize("kind", [[], {}, ["lock"], 3])
def test_a_kind_of_rig_that_is_no_text_is_refused_in_a_line(kind: Any) -> None:
    for doc in (edit(PLAIN, ("rig.kind", kind)), edit(PLAIN, ("change", {"rig": {"kind": kind}}))):
        with pytest.raises(InputError, match=r"rig\.kind"):
            answer_doc(doc, "oar")
