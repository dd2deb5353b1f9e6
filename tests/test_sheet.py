"""The shop sheet: well formed, whole, one system of units, nothing from elsewhere, and users' words stay words."""

from __future__ import annotations

import itertools
import re
import xml.etree.ElementTree as ET
from functools import cache
from html.parser import HTMLParser
from pathlib import Path

import pytest
from test_answer import WHOLE
from test_figures import EXAMPLES, HOLLOW, ODD, SCARF, SHAPES, SYSTEMS, answered
from test_shaftfile import PLAIN, edit, toml

from shaftcheck.answer import Answer, answer
from shaftcheck.api import check
from shaftcheck.border.shown import System, say
from shaftcheck.cli import main
from shaftcheck.show.sheet import sheet
from shaftcheck.show.worked import worked
from shaftcheck.show.workings import broken, workings
from shaftcheck.words import CAUTIONS, NOT_ASKED

VOID = {"meta", "wbr", "br", "hr", "img", "link", "input", "col"}
CHANGED = {**PLAIN, "change": {"rower": {"strength": "trained"}, "title": "Invented: after"}}


class Page(HTMLParser):
    """A page taken apart; a tag that is not closed where it should be is a fault."""

    def __init__(self, text: str) -> None:
        super().__init__(convert_charrefs=True)
        self.open: list[str] = []
        self.tags: list[tuple[str, dict[str, str]]] = []
        self.headings: list[tuple[int, str]] = []
        self.texts: list[tuple[tuple[str, ...], str]] = []
        self.feed(text)
        self.close()
        assert self.open == []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.append((tag, {k: v or "" for k, v in attrs}))
        if tag in VOID or self.open[-1:] == ["svg-void"]:
            return
        self.open.append(tag)
        if re.fullmatch("h[1-6]", tag):
            self.headings.append((int(tag[1]), ""))

    def handle_startendtag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.append((tag, {k: v or "" for k, v in attrs}))

    def handle_endtag(self, tag: str) -> None:
        assert self.open, f"</{tag}> closes nothing"
        assert self.open.pop() == tag, f"</{tag}> closes another"

    def handle_data(self, data: str) -> None:
        self.texts.append((tuple(self.open), data))
        if (self.open and re.fullmatch("h[1-6]", self.open[-1])) or (len(self.open) > 1 and self.open[-2] == "h1"):
            level, text = self.headings[-1]
            self.headings[-1] = (level, text + data)

    def text(self, *without: str) -> str:
        """Return all that is read, but for what stands in some tags, and for letters and numbers of a figure."""
        inside = {"style", *without}
        read = (d for way, d in self.texts if not inside & set(way) and not ("svg" in way and len(d.strip()) < 3))
        return " ".join(" ".join(read).split())


def example(path: Path, system: System | None = None) -> Answer:
    return answer(path.read_text(encoding="utf-8"), path.name, system=system)


DOCS = {**SHAPES, "changed": CHANGED}
ALL = [*(p.stem for p in EXAMPLES), *DOCS]


@cache
def made(name: str, system: System = "metric") -> tuple[Answer, str]:
    """Return an answer and its sheet."""
    path = next((p for p in EXAMPLES if p.stem == name), None)
    a = answered(DOCS[name], system) if path is None else example(path, system)
    return a, sheet(a)


@pytest.mark.parametrize("name", ALL)
def test_a_sheet_is_well_formed_and_accessible(name: str) -> None:
    _, text = made(name)
    page = Page(text)
    levels = [level for level, _ in page.headings]
    assert levels[0] == 1
    assert levels.count(1) == 1
    assert all(b <= a + 1 for a, b in itertools.pairwise(levels)), page.headings
    assert all(words.strip() for _, words in page.headings)
    ids = [a["id"] for _, a in page.tags if "id" in a]
    assert len(set(ids)) == len(ids)
    for tag, a in page.tags:
        if tag == "th":
            assert a.get("scope") in ("col", "row")
        for key in ("aria-labelledby",):
            assert all(one in ids for one in a.get(key, "").split())
        if tag == "a":
            assert a["href"].removeprefix("#") in ids
    figures = re.findall(r"<svg .*?</svg>", text, flags=re.S)
    assert len(figures) == text.count("<figure") >= 2
    for svg in figures:
        root = ET.fromstring(svg)
        assert root.get("role") == "img"
        title, says = root[0], root[1]
        assert (title.tag.rpartition("}")[2], says.tag.rpartition("}")[2]) == ("title", "desc")
        assert len(title.text or "") > 5
        assert len(says.text or "") > 40


@pytest.mark.parametrize("name", ALL)
def test_a_sheet_takes_nothing_from_elsewhere(name: str) -> None:
    _, text = made(name)
    page = Page(text)
    assert not {"script", "link", "iframe", "img", "object"} & {tag for tag, _ in page.tags}
    for _, a in page.tags:
        assert not [k for k in a if k.startswith("on")]
        for key in ("href", "src", "xlink:href"):
            assert a.get(key, "#").startswith("#")
    assert not re.search(r"url\((?!#)", text)
    assert "@import" not in text


@pytest.mark.parametrize("name", ["plain-oar", "hinged", "takedown", "changed"])
def test_the_same_answer_gives_the_same_sheet(name: str) -> None:
    a, text = made(name, "inches")
    assert sheet.__wrapped__(a) == text  # past what is remembered


METRIC = r"[0-9] ?(?:mm|cm|m|N(?! [A-Z] )|kN|kg|g|MPa|GPa|N m|m/s)\b(?!\^?[0-9]? ?long)"
INCHES = r"[0-9] ?(?:in|ft|lb|oz|psi|Mpsi|knots)\b"


@pytest.mark.parametrize("name", ALL)
@pytest.mark.parametrize(("system", "other"), [("metric", INCHES), ("inches", METRIC)])
def test_two_systems_of_units_never_meet_on_a_page(name: str, system: System, other: str) -> None:
    """Sources are quoted as they are printed; everything else is in the reader's units."""
    a, page = made(name, system)
    text = Page(page).text("cite", "i", "sub", "mi")  # sources and symbols
    for quoted in {s for o in a.oars for s in (*(r.source for r in o.ladder), *(n.origin for n in o.notes))}:
        text = text.replace(" ".join(quoted.split()), "")
    found = re.findall(rf".{{30}}{other}.{{10}}", text)
    assert not found


@pytest.mark.parametrize("name", ALL)
def test_a_sheet_says_all_that_must_be_said(name: str) -> None:
    a, page = made(name)
    text = Page(page).text()
    for oar in a.oars:
        assert oar.state in text
        for sentence in oar.spoken:
            assert sentence in text
        for line in oar.lines:
            assert line.check in text
            if not line.known:
                assert f"{line.check}: {line.unknown}" in text
    for case in a.oars[-1].cases:
        assert case.title in text
    for caution in (*(c for _, c in CAUTIONS), *NOT_ASKED):
        assert " ".join(caution.split()) in text
    for note in a.oars[-1].notes:
        assert note.origin in text
        assert text.count(say(note.text, a.system)) == 1
    for path in a.reading.entries:
        assert path in text


def test_words_of_a_user_stay_words() -> None:
    doc = edit(PLAIN, ("title", ODD), ("note", "<img src=x onerror=alert(1)> {{ 7*7 }} {% raw %}"),
               ("own_wood", {ODD: WHOLE}), ("wood.0.of", ODD))  # fmt: skip
    text = sheet(answered(doc))
    page = Page(text)
    assert not {"script", "img"} & {tag for tag, _ in page.tags}
    assert "<img src=x onerror=alert(1)> {{ 7*7 }} {% raw %}" in page.text()
    assert ODD in page.text()
    assert ODD.replace("<", "&lt;").replace(">", "&gt;")[:10] in text


def test_as_changed_stands_beside_as_it_stands() -> None:
    text = Page(sheet(answered(CHANGED))).text()
    assert "(as it stands)" in text
    assert "(as changed)" in text
    assert "What differs in the oar as changed" in text
    assert "rower.strength light trained" in text


@pytest.mark.parametrize("system", SYSTEMS)
def test_a_joint_has_its_drawing_and_its_own_checks(system: System) -> None:
    a = answered(SCARF, system)
    text = sheet(a)
    part = text[text.index('id="joints"') : text.index('id="strength"')]
    for line in a.oars[0].lines:
        asked = not (line.use == 0.0 and line.demand == 0.0)
        assert (f'<th scope="row">{line.check}</th>' in part) == (asked and line.check.startswith("scarf"))
        assert text.count(f'<th scope="row">{line.check}</th>') == int(asked)
    assert part.count("<svg ") == 2


def test_a_hollow_shaft_has_a_sheet() -> None:
    assert "wall" in sheet(answered(HOLLOW))


# the command ---------------------------------------------------------------------------------------------------------


def test_sheet_writes_and_never_overwrites(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    file, out = tmp_path / "oar.toml", tmp_path / "oar.html"
    file.write_text(toml(PLAIN), encoding="utf-8")
    assert main(["sheet", str(file), "-o", str(out)]) == 0
    assert "HOLDS" in capsys.readouterr().out
    before = out.read_bytes()
    assert main(["sheet", str(file), "-o", str(out)]) == 2
    assert "is there already and stays as it is; write another name" in capsys.readouterr().err
    assert out.read_bytes() == before
    assert main(["sheet", str(file), "-o", str(tmp_path / "oar.pdf")]) == 2
    assert "let it end in .html" in capsys.readouterr().err
    file.write_text(toml(edit(PLAIN, ("rower.strength", "trained"))), encoding="utf-8")
    assert main(["sheet", str(file), "-o", str(tmp_path / "other.html")]) == 1


# worked lines --------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("name", ["plain-oar", "two-wood-scarf", "hinged-rig", "takedown"])
def test_every_check_that_governs_is_worked(name: str) -> None:
    a, text = made(name)
    oar = a.oars[-1]
    found = workings(oar, a.system)
    assert found[0].line.use == max(line.use for line in oar.lines if line.known)
    governs = {c.check for c in oar.cases if c.check}
    assert governs <= {w.line.check for w in found}
    numbers = [line.number for w in found for line in w.lines]
    assert numbers == list(range(1, len(numbers) + 1))
    assert all(f'id="line{n}"' in text for n in numbers)
    for w in found:
        assert w.lines or w.again
    last = Page(f"<p>{found[0].lines[-1].working}</p>").text()
    assert re.search(r"[0-9]", last)


def test_a_line_stands_once_and_is_found_by_its_number() -> None:
    """Each line that a line is made from stands before it."""
    a, _ = made("two-wood-scarf")
    for w in workings(a.oars[-1], "metric"):
        for line in w.lines:
            for _, what in line.given:
                if m := re.fullmatch("line ([0-9]+)", what):
                    assert int(m[1]) < line.number


@pytest.mark.parametrize("name", ["plain-oar", "hinged-rig"])
def test_a_formula_in_pieces_is_the_whole_formula(name: str) -> None:
    a, _ = made(name)
    letters = re.compile(r"[^A-Za-z0-9.]")
    for line in a.oars[-1].lines[:3]:
        for w in worked(a.oars[-1], line):
            for mathml in (w.equation_mathml, w.working_mathml):
                whole = "".join(ET.fromstring(mathml).itertext())
                pieces = "".join(ET.fromstring(str(broken(mathml, "says")).replace("<wbr>", "")).itertext())
                assert letters.sub("", pieces) == letters.sub("", whole)
                for math in re.findall("<math>.*?</math>", str(broken(mathml, ""))):
                    ET.fromstring(math)


def test_a_long_root_or_power_may_break_as_well() -> None:
    inside = "<mo>+</mo>".join(f"<mi>x{i}</mi>" for i in range(30))
    shown = str(broken(f"<math><mi>a</mi><mo>=</mo><msqrt>{inside}</msqrt></math>", "a"))
    assert shown.count("<wbr>") > 2
    assert "".join(re.findall(">([^<]+)<", shown)) == "a=√(" + "+".join(f"x{i}" for i in range(30)) + ")"
    power = f"<msup><mrow><mo>(</mo><mrow>{inside}</mrow><mo>)</mo></mrow><mn>2</mn></msup>"
    shown = str(broken(f"<math>{power}</math>", "a"))
    assert shown.count("<wbr>") > 2
    assert re.search(r"<msup><mo[^>]*>\)</mo><mn>2</mn></msup>", shown)
    short = "<math><mi>a</mi><mo>=</mo><msqrt><mi>b</mi></msqrt></math>"
    assert "msqrt" in str(broken(short, "a"))


def test_a_formula_is_said_to_whoever_does_not_see_it() -> None:
    shown = str(broken("<math><mi>a</mi><mo>=</mo><mn>1</mn></math>", 'a = 1 "<b>"'))
    assert shown.startswith('<span role="math" aria-label="a = 1 &#34;&lt;b&gt;&#34;">')


# in a notebook -------------------------------------------------------------------------------------------------------


def test_a_result_shows_itself_in_a_notebook() -> None:
    first, second = check(SCARF), check(PLAIN)
    pages = [Page(r._repr_html_()) for r in (first, second)]
    for r, page in zip((first, second), pages, strict=True):
        assert r.state in page.text()
        assert r.answer.oars[0].spoken[0] in page.text()
        for caution in r.cautions:
            assert caution in page.text()
        assert ET.fromstring(r._repr_svg_()).tag.endswith("svg")
    ids = [{a["id"] for _, a in page.tags if "id" in a} for page in pages]
    assert ids[0]
    assert not ids[0] & ids[1]


def test_a_result_writes_its_sheet() -> None:
    result = check(PLAIN)
    assert result.as_sheet() == sheet(result.answer)
