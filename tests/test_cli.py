"""The command: exit codes, what every form of the output must say, and that nothing is overwritten or lost."""

from __future__ import annotations

import io
import itertools
import json
import math
import os
import re
import subprocess
import sys
import tomllib
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from test_shaftfile import HINGED, JOINTED, PLAIN, Doc, edit, toml

from shaftcheck.border.keys import RIGS, TABLES
from shaftcheck.cli import main
from shaftcheck.words import CAUTIONS, NOT_ASKED

EXAMPLES = sorted((Path(__file__).parent.parent / "examples").glob("*.toml"))
SHORT = edit(PLAIN, ("rower.strength", "trained"))
BAD = edit(PLAIN, ("rower.strength", "strong"))
CHANGED = {**PLAIN, "change": {"rower": {"strength": "trained"}}}

Run = Callable[..., tuple[int, str, str]]


@pytest.fixture
def run(capsys: pytest.CaptureFixture[str]) -> Run:
    """Return a function: arguments of the command in, its exit code and what it printed out."""

    def one(*argv: str | Path) -> tuple[int, str, str]:
        code = main([str(a) for a in argv])
        return (code, *capsys.readouterr())

    return one


@pytest.fixture
def files(tmp_path: Path) -> Callable[..., list[Path]]:
    """Return a function that writes documents to files."""

    def write(*docs: Doc) -> list[Path]:
        paths = [tmp_path / f"oar-{i}.toml" for i in range(len(docs))]
        for path, doc in zip(paths, docs, strict=True):
            path.write_text(toml(doc), encoding="utf-8")
        return paths

    return write


Files = Callable[..., list[Path]]


def flat(text: str) -> str:
    return " ".join(text.split())


# exit codes ----------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(("doc", "code", "state"), [
    (PLAIN, 0, "HOLDS"), (SHORT, 1, "FALLS SHORT"), (JOINTED, 1, "NOT SETTLED"), (CHANGED, 1, "FALLS SHORT"),
    (edit(PLAIN, ("wood.0.runout", "unknown (1:25 to 1:7)"), ("rower.strength", "general")), 1, ""),
    ({**SHORT, "change": {"rower": {"strength": "light"}}}, 0, "HOLDS"),
])  # fmt: skip
@pytest.mark.parametrize("form", [(), ("--brief",), ("--json",), ("--answer-in", "inches")])
def test_the_exit_code_is_the_verdict(
    doc: Doc, code: int, state: str, form: tuple[str, ...], run: Run, files: Files
) -> None:
    got, out, err = run("check", *files(doc), *form)
    assert got == code
    assert err == ""
    assert state in out


@pytest.mark.parametrize("form", [(), ("--brief",), ("--json",)])
def test_bad_input_is_code_two_and_keeps_the_output_clean(form: tuple[str, ...], run: Run, files: Files) -> None:
    (path,) = files(BAD)
    code, out, err = run("check", path, *form)
    assert (code, out) == (2, "")
    assert err.startswith(f"{path}: rower.strength: ")
    assert err.count("\n") == 1


@pytest.mark.parametrize("order", [(0, 1, 2), (2, 1, 0), (1, 0, 2)])
def test_of_several_files_with_a_bad_one_the_others_are_answered(order: Any, run: Run, files: Files) -> None:
    docs = [edit(PLAIN, ("title", "the good one")), BAD, edit(SHORT, ("title", "the weak one"))]
    paths = files(*(docs[i] for i in order))
    code, out, err = run("check", *paths)
    assert code == 2
    assert "the good one" in out
    assert "the weak one" in out
    assert "HOLDS" in out
    assert "FALLS SHORT" in out
    bad = paths[order.index(1)]
    assert err.startswith(f"{bad}: ")
    code, out, err = run("check", *paths, "--json")
    assert code == 2
    assert [r["verdict"] for r in json.loads(out)] == [["HOLDS", "", "FALLS SHORT"][i] for i in order if i != 1]


def test_of_several_files_the_worst_decides(run: Run, files: Files) -> None:
    assert run("check", *files(PLAIN, PLAIN))[0] == 0
    assert run("check", *files(PLAIN, SHORT))[0] == 1
    assert run("check", *files(SHORT, PLAIN))[0] == 1


def test_a_file_from_standard_input(run: Run, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(sys, "stdin", io.StringIO(toml(PLAIN)))
    code, out, _ = run("check", "-", "--brief")
    assert code == 0
    assert "HOLDS" in out


@pytest.mark.parametrize("argv", [
    ["check"], ["check", "a.toml", "--answer-in", "feet"], ["chekc", "a.toml"], ["new"], ["new", "a", "--rig", "x"],
    ["woods", "--kind", "bamboo"], ["check", "a.toml", "--nonsense"], ["check", "a.toml", "--answer_in", "feet"],
    ["where", "a.toml", "b.toml"], ["match-pair", "a.toml"], ["new", "a", "--rig", "lock", "--planks"],
    ["draw", "a.toml", "-o", "a.svg", "--joint", "x"], ["sheet", "a.toml"], ["where", "a.toml", "--stpe=1 mm"],
])  # fmt: skip
def test_wrong_use_of_the_command_is_code_two(argv: list[str], capsys: pytest.CaptureFixture[str]) -> None:
    with pytest.raises(SystemExit) as e:
        main(argv)
    assert e.value.code == 2
    out, err = capsys.readouterr()
    assert out == ""
    (line,) = err.splitlines()
    assert line.startswith(f"shaftcheck {argv[0]}: " if argv[0] != "chekc" else "shaftcheck: COMMAND: ")
    write = {
        "chekc": "write check;",
        "--answer_in": "write --answer-in",
        "b.toml": "leave it out",
        "--stpe=1 mm": "--step",
    }
    assert next((w for arg, w in write.items() if arg in argv), "--help") in line


def test_no_command_shows_what_there_is(run: Run) -> None:
    code, out, err = run()
    assert code == 2
    for command in ("check", "new", "woods"):
        assert command in out + err


def test_the_version(run: Run) -> None:
    assert re.fullmatch(r"shaftcheck \d+\.\d+\.\d+\S*\n", run("--version")[1])


@pytest.mark.parametrize("command", ["check", "new", "woods"])
def test_the_help_of_a_command_shows_examples(command: str, capsys: pytest.CaptureFixture[str]) -> None:
    with pytest.raises(SystemExit) as e:
        main([command, "--help"])
    assert e.value.code == 0
    out = capsys.readouterr().out
    assert f"  shaftcheck {command} " in out.partition("examples:")[2]


# what every form must say --------------------------------------------------------------------------------------------


@pytest.mark.parametrize("doc", [PLAIN, SHORT, JOINTED, HINGED, CHANGED])
@pytest.mark.parametrize("form", [(), ("--brief",), ("--answer-in", "inches"), ("--brief", "--answer-in", "inches")])
def test_cautions_and_what_was_not_asked_are_in_every_text(
    doc: Doc, form: tuple[str, ...], run: Run, files: Files
) -> None:
    out = flat(run("check", *files(doc), *form)[1])
    for _, text in CAUTIONS:
        assert flat(text) in out
    for text in NOT_ASKED:
        assert flat(text) in out


def test_a_caution_stands_once(run: Run, files: Files) -> None:
    out = flat(run("check", *files(CHANGED))[1])
    for _, text in CAUTIONS:
        assert out.count(flat(text)) == 1


def test_cautions_are_in_the_json(run: Run, files: Files) -> None:
    r = json.loads(run("check", *files(PLAIN), "--json")[1])
    assert [c["text"] for c in r["cautions"]] == [text for _, text in CAUTIONS]
    assert r["not_part_of_the_question"] == list(NOT_ASKED)


@pytest.mark.parametrize("argv", [["woods"], ["woods", "spruce"], ["woods", "--whole", "White ash"]])
def test_the_woods_say_that_they_are_means_of_clear_pieces(argv: list[str], run: Run) -> None:
    code, out, _ = run(*argv)
    assert code == 0
    assert "clear" in flat(out)
    assert "not design values" in flat(out)


@pytest.mark.parametrize("doc", [PLAIN, SHORT])
@pytest.mark.parametrize("form", [(), ("--brief",)])
def test_the_verdict_stands_at_the_top_and_tells_where(doc: Doc, form: tuple[str, ...], run: Run, files: Files) -> None:
    out = run("check", *files(doc), *form)[1]
    top = flat("\n".join(out.splitlines()[:8]))
    assert "HOLDS" in top or "FALLS SHORT" in top
    assert "from the handle end" in top
    assert re.search(r"Work to \d+ N \(\d+ kg, \d+ lb\)", top)


@pytest.mark.parametrize("path", EXAMPLES, ids=lambda p: p.stem)
@pytest.mark.parametrize("form", [
    (),
    ("--brief",),
    ("--answer-in", "inches"),
])  # fmt: skip
def test_the_examples_are_answered_within_a_hundred_columns(path: Path, form: tuple[str, ...], run: Run) -> None:
    code, out, err = run("check", path, *form)
    assert code in (0, 1)
    assert err == ""
    assert max(map(len, out.splitlines())) <= 100


LONG = "An invented oar with a very long name that goes on and on for the skiff that nobody ever built or meant to"
WIDE: list[tuple[str, Doc]] = [
    ("title", {"title": LONG}),
    ("title of two lines", {"title": "one\ntwo " + "y " * 80}),
    ("change", {"change": {"rower": {"strength": "trained"}}}),
    ("unknown", {"wood": [{"of": "unknown (Sitka spruce (US), White spruce (US), Engelmann spruce, Western redcedar "
                                 "(US), Douglas-fir (coast))", "runout": "unknown (1:25 to 1:10)"}]}),
    ("own wood", {"own_wood": {"spruce of the invented hill behind the invented boathouse, north side" * 2: {
        "kind": "softwood", "source": "invented " * 20, "bending_12": "70 MPa"}},
        "wood": [{"of": "spruce of the invented hill behind the invented boathouse, north side" * 2}]}),
    ("measured", {"measured": {"weight": "1.9 kg", "balance": "985 mm", "sag": "31 mm", "sag_weight": "10 kg",
                               "sag_at": "2.1 m", "sag_held": "clamped"}}),
    ("estimate", {"wood": [{"of": "Afrormosia", "lacking_values": "estimate"}]}),
]  # fmt: skip


@pytest.mark.parametrize("more", [w[1] for w in WIDE], ids=[w[0] for w in WIDE])
def test_nothing_is_wider_than_a_hundred_columns(more: Doc, run: Run, tmp_path: Path) -> None:
    path = tmp_path / "wide.toml"
    text = toml({**PLAIN, **more})
    if "change" in more:
        text = toml(PLAIN) + '\n[change.rower]\nstrength = "trained"\n'
    if "own_wood" in more:
        text = toml({k: v for k, v in {**PLAIN, **more}.items() if k != "own_wood"})
        ((name, table),) = more["own_wood"].items()
        text += f'\n[own_wood."{name}"]\n' + "".join(f'{k} = "{v}"\n' for k, v in table.items())
    path.write_text(text, encoding="utf-8")
    for form in ((), ("--brief",), ("--answer-in", "inches")):
        code, out, _ = run("check", path, *form)
        assert code in (0, 1)
        assert max(map(len, out.splitlines())) <= 100, max(out.splitlines(), key=len)


@pytest.mark.parametrize("title", ["sk\u00e5n\u00f8 \u677e \u2014 \u00bd", "bell\x07", "\x1b[2Jgone", "\u202eback"])
def test_a_title_can_be_printed_anywhere(title: str, files: Files) -> None:
    (path,) = files({**PLAIN, "title": title})
    for encoding in ("utf-8", "cp1252", "ascii"):
        done = subprocess.run(
            [sys.executable, "-m", "shaftcheck", "check", "--brief", str(path)],
            capture_output=True, check=False, env={**os.environ, "PYTHONIOENCODING": encoding},
        )  # fmt: skip
        assert done.returncode == 0, done.stderr.decode(errors="replace")[-300:]
        assert b"Traceback" not in done.stderr
        assert b"\x1b" not in done.stdout
        assert b"\x07" not in done.stdout


OF_EITHER: dict[str, Doc] = {
    "assumed": edit(PLAIN, ("oar.blade_area", None), ("duty.boat_speed", None), ("wood.0.runout", None)),
    "estimated": edit(PLAIN, ("wood.0.of", "Afrormosia"), ("wood.0.lacking_values", "estimate")),
    "unknown": edit(PLAIN, ("section.1.across", "unknown (40 mm to 60 mm)"), ("oar.blade_weight", "unknown")),
    "measured": edit(PLAIN, ("measured", {"weight": "1.9 kg", "balance": "985 mm", "sag": "31 mm", "sag_weight":
                                          "10 kg", "sag_at": "2.1 m", "sag_held": "clamped"})),
    "steep scarf near the lock": edit(PLAIN, ("rower.strength", "trained"), ("joint", [
        {"kind": "scarf", "middle": "1.10 m", "length": "600 mm", "length_on": "blank", "blank_size": "60 mm",
         "cut_through": "fore and aft", "outer_tip_on": "aft", "glue": "epoxy"}])),
    "takedown": edit(PLAIN, ("joint", [
        {"kind": "takedown", "form": "sleeve over both", "at": "1.30 m", "overlap": "100 mm", "wall": "1.7 mm",
         "tube": "aluminium 6061-T6", "held_by": "pin", "pin_diameter": "6 mm", "pin_through": "fore and aft",
         "mouth": "square"}])),
    "changed": CHANGED,
    "hinged": HINGED,
}  # fmt: skip
METRIC, INCHES = r"\d (?:mm|cm|m|m\^2|g|kg|N|kN|N m|MPa|GPa|m/s|kg m\^2|C)\b", r"\d (?:in|ft|lb|oz|psi|knots|sq in|F)\b"


@pytest.mark.parametrize("system", ["metric", "inches"])
@pytest.mark.parametrize("doc", [*EXAMPLES, *OF_EITHER], ids=lambda d: d if isinstance(d, str) else d.stem)
def test_a_page_has_one_system_of_units_but_in_its_echo(doc: Path | str, system: str, run: Run, files: Files) -> None:
    path = doc if isinstance(doc, Path) else files(OF_EITHER[doc])[0]
    code, out, err = run("check", path, "--answer-in", system)
    assert (code in (0, 1), err) == (True, "")
    said = "\n".join(re.split(r"as understood\n[\s\S]*?(?=\n\n)", out))
    three_ways = r"[\d.]+ N \([\d.]+ kg,\s+[\d.]+ lb\)|[\d.]+ lb \([\d.]+ kg,\s+[\d.]+ k?N\)"
    said = re.sub(three_ways, "", flat(said))  # so is a pull said
    own, other = (METRIC, INCHES) if system == "metric" else (INCHES, METRIC)
    assert not re.search(other, said), re.search(f".{{60}}{other}", said)
    assert len(re.findall(own, said)) > 20


def test_an_answer_in_inches_may_be_asked_for_in_the_file(run: Run, files: Files) -> None:
    one = run("check", *files({**PLAIN, "answer_in": "inches"}))[1]
    other = run("check", *files(PLAIN), "--answer-in", "inches")[1]
    assert one == other
    assert (
        run("check", *files({**PLAIN, "answer_in": "inches"}), "--answer-in", "metric")[1]
        == run("check", *files(PLAIN))[1]
    )


def test_the_echo_shows_every_input_with_how_it_is_known(run: Run, files: Files) -> None:
    doc = edit(PLAIN, ("rig.lock", "690 mm (measured)"), ("wood.0.runout", "unknown"))
    out = run("check", *files(doc))[1]
    echo = flat(out.partition("as understood")[2].partition("Unknown:")[0])
    assert "rig.lock 690 mm (2 ft 3 3/16 in) (measured)" in echo
    assert "duty.strokes" in echo
    assert "(assumed)" in echo
    assert "wood.1.runout tried: 1:25 to 1:8 (unknown)" in echo
    for table, keys in TABLES.items():
        for name, key in (RIGS["lock"] if table == "rig" else keys).items():
            if key.assume is not None:
                assert f"{table}.{name}" in echo


def test_figures_for_people_are_rounded_to_the_safe_side(run: Run, files: Files) -> None:
    (path,) = files(PLAIN)
    r = json.loads(run("check", path, "--json")[1])["oars"][0]
    out = flat(run("check", path)[1])
    once, steady = (r["work_to"][k]["value"] for k in ("once", "steady"))
    said = re.search(r"Work to (\d+) N \((\d+) kg, (\d+) lb\) once and (\d+) N", out)
    assert said
    assert float(said[1]) <= once
    assert float(said[2]) * 9.80665 <= once
    assert float(said[3]) * 4.4482216152605 <= once
    assert float(said[4]) <= steady
    worst = max(line["use"]["value"] for line in r["checks"])
    assert f"{math.ceil(worst * 100 - 1e-9)} % used" in out


# new -----------------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("rig", ["lock", "hinged"])
def test_new_never_overwrites(rig: str, run: Run, tmp_path: Path) -> None:
    path = tmp_path / "mine.toml"
    path.write_bytes(b"hours of measuring\r\n\xff")
    code, out, err = run("new", path, "--rig", rig)
    assert code == 2
    assert out == ""
    assert err.startswith(f"{path}: ")
    assert len(err.splitlines()) == 1
    assert path.read_bytes() == b"hours of measuring\r\n\xff"


def test_new_where_nothing_can_be_written(run: Run, tmp_path: Path) -> None:
    for path in (tmp_path / "missing" / "a.toml", tmp_path):
        code, _, err = run("new", path)
        assert code == 2
        assert len(err.splitlines()) == 1
    link = tmp_path / "link.toml"
    link.symlink_to(tmp_path / "elsewhere.toml")
    assert run("new", link)[0] == 2
    assert not (tmp_path / "elsewhere.toml").exists()


@pytest.mark.parametrize("rig", ["lock", "hinged"])
def test_a_starter_names_every_question_mark(rig: str, run: Run, tmp_path: Path) -> None:
    path = tmp_path / "new.toml"
    code, out, err = run("new", path, "--rig", rig)
    assert (code, err) == (0, "")
    assert str(path) in out
    text = path.read_text(encoding="utf-8")
    marks = [k for k, v in flatten(tomllib.loads(text)).items() if v == "?"]
    assert len(marks) > 10
    code, out, err = run("check", path)
    assert (code, out) == (2, "")
    named = [line.removeprefix(f"{path}: ").partition(": ")[0] for line in err.splitlines()]
    assert sorted(named) == sorted(marks)


def flatten(item: Any, path: str = "") -> dict[str, Any]:
    pairs = item.items() if isinstance(item, dict) else enumerate(item, 1) if isinstance(item, list) else None
    if pairs is None:
        return {path: item}
    return {p: v for k, value in pairs for p, v in flatten(value, f"{path}.{k}" if path else str(k)).items()}


STARTERS = [
    [*of, *system] for of in ([], ["--rig", "hinged"], ["--planks"]) for system in ([], ["--answer-in", "inches"])
]


def filled(text: str) -> str:
    """Every question mark becomes the example behind 'as'; the two sections get places that fit."""
    lines, sections = text.splitlines(), 0
    for i, line in enumerate(lines):
        sections += line.startswith("[[section]]")
        if m := re.match(r'(?P<key>\w+) = "\?"\s+# (?P<words>.*)$', line):
            more = itertools.takewhile(lambda text: re.match(r" +# ", text), lines[i + 1 :])
            words = " ".join([m["words"], *(text.strip(" #") for text in more)])
            value = words.rpartition(", as ")[2]
            if m["key"] == "at":
                value = "0 mm" if sections == 1 else "1.9 m"
            lines[i] = f'{m["key"]} = "{value}"'
    return "\n".join(lines)


@pytest.mark.parametrize("options", STARTERS, ids=" ".join)
def test_a_starter_filled_with_the_examples_of_its_remarks_is_answered(
    options: list[str], run: Run, files: Files, tmp_path: Path
) -> None:
    path = tmp_path / "new.toml"
    run("new", path, *options)
    path.write_text(filled(path.read_text(encoding="utf-8")), encoding="utf-8")
    if "--planks" in options:
        code, out, err = run("judge-planks", files(PLAIN)[0], "--shelf", path)
        assert (code in (0, 1), err) == (True, "")
        assert "left of the door" in out
        return
    code, out, err = run("check", path)
    assert code in (0, 1), err
    assert "my oar" in out
    assert ("2 ft 3 in" in out) == ("inches" in options and "hinged" not in options)


@pytest.mark.parametrize("system", ["metric", "inches"])
def test_a_starter_of_a_whole_oar_tells_how_it_is_cut(system: str, run: Run, tmp_path: Path) -> None:
    path = tmp_path / "new.toml"
    run("new", path, "--answer-in", system)
    above, mark, below = path.read_text(encoding="utf-8").partition("# [change.rig]")
    cut = "\n".join(re.sub(r'^# (?=kind|\w+ = "\?")', "", line) for line in below.splitlines())
    path.write_text(filled(f"{above}{mark.strip('# ')}{cut}"), encoding="utf-8")
    code, out, err = run("check", path, "--brief")
    assert code in (0, 1), err
    assert "As changed" in out or "as changed" in out


@pytest.mark.parametrize("options", STARTERS, ids=" ".join)
def test_a_starter_fits_a_terminal_of_a_hundred_columns(options: list[str], run: Run, tmp_path: Path) -> None:
    path = tmp_path / "new.toml"
    run("new", path, *options)
    text = path.read_text(encoding="utf-8")
    assert max(map(len, text.splitlines())) <= 100
    assert "\u00a0" not in text


# woods ---------------------------------------------------------------------------------------------------------------


def test_woods_are_filtered_by_words_and_kind(run: Run) -> None:
    everything = run("woods")[1].splitlines()
    spruces = run("woods", "spruce")[1].splitlines()
    assert len(spruces) < len(everything)
    rows = [line for line in spruces if "spruce" in line.lower() and " soft " in line]
    assert len(rows) > 3
    assert any("Sitka spruce (US)" in line for line in rows)
    hard = json.loads(run("woods", "--kind", "hardwood", "--json")[1])
    assert hard
    assert {w["kind"] for w in hard} == {"hardwood"}
    both = json.loads(run("woods", "ash", "--kind", "hardwood", "--json")[1])
    assert {w["name"] for w in both} >= {"White ash"}
    assert len(both) < len(hard)


def test_a_wood_whole_names_its_sources(run: Run) -> None:
    code, out, _ = run("woods", "--whole", "white ASH")
    assert code == 0
    assert "modulus of rupture" in out
    assert "Wood Handbook" in flat(out)
    assert max(map(len, out.splitlines())) <= 100


def test_a_wood_that_is_not_there_is_code_two_with_the_nearest(run: Run) -> None:
    code, out, err = run("woods", "--whole", "White asch")
    assert (code, out) == (2, "")
    assert "White ash" in err
    assert len(err.splitlines()) == 1


@pytest.mark.parametrize(("words", "said"), [
    (["unobtainium"], "woods: unobtainium: no wood holds this word"),
    (["--whole", ""], "no wood named ''; write one that is known (shaftcheck woods lists them)"),
])  # fmt: skip
def test_no_wood_of_those_words_is_said(words: list[str], said: str, run: Run) -> None:
    code, out, err = run("woods", *words)
    assert (code, out) == (2, "")
    (line,) = err.splitlines()
    assert said in line


def test_the_same_words_find_the_same_woods_in_text_and_json(run: Run) -> None:
    for words in (["ash"], ["spruce"], ["white"], ["douglas", "coast"], ["fraxinus"]):
        text = run("woods", *words)[1]
        names = [w["name"] for w in json.loads(run("woods", *words, "--json")[1])]
        count = re.search(r"(\d+) woods? at", flat(text))
        assert int(count[1]) if count else not names
        assert len(names) == (int(count[1]) if count else 0), (words, names)


# as a process --------------------------------------------------------------------------------------------------------


def test_as_a_module_of_python(files: Files) -> None:
    good, bad = files(PLAIN, BAD)
    for path, code in ((good, 0), (bad, 2)):
        done = subprocess.run([sys.executable, "-m", "shaftcheck", "check", str(path)], capture_output=True, text=True,
                              check=False, encoding="utf-8")  # fmt: skip
        assert done.returncode == code
        assert "Traceback" not in done.stderr
    assert done.stderr.startswith(f"{bad}: ")


def test_a_reader_that_goes_away_is_no_error(files: Files) -> None:
    paths = " ".join(f"'{p}'" for p in files(*[PLAIN] * 6))
    line = f"'{sys.executable}' -m shaftcheck check {paths} | head -1"
    done = subprocess.run(["bash", "-c", line], capture_output=True, text=True, check=False, encoding="utf-8")
    assert done.returncode == 0
    assert done.stdout.count("\n") == 1
    assert done.stderr == ""


def test_a_fault_of_the_program_is_not_taken_for_a_verdict(files: Files) -> None:
    """Whatever goes wrong inside: exit code 1 says that the shaft falls short or is not settled."""
    (path,) = files(PLAIN)
    script = (
        "import sys, shaftcheck.answer as a, shaftcheck.cli as c\n"
        "def broken(*args, **kw): raise ZeroDivisionError\n"
        "a.answer = broken\n"
        f"sys.argv = ['shaftcheck', 'check', {str(path)!r}]\n"
        "c.run()\n"
    )
    done = subprocess.run([sys.executable, "-c", script], capture_output=True, text=True, check=False)
    assert done.returncode not in (0, 1)
