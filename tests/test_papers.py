"""Bench papers: what the form asks, what the card tells, and that nobody is told to cut what does not hold."""

from __future__ import annotations

import re
from html.parser import HTMLParser
from itertools import pairwise
from pathlib import Path
from typing import Any

import pytest
from test_shaftfile import toml
from test_takedown import CLAMPED
from test_takedown import doc as takedown
from test_takedown import shaft as shaft_of

from shaftcheck.answer import answer
from shaftcheck.border.keys import TABLES
from shaftcheck.border.shown import show
from shaftcheck.border.sizes import read as read_size
from shaftcheck.checks.takedown_build import Takedown, moved
from shaftcheck.cli import main
from shaftcheck.marking import gauge, marks
from shaftcheck.show import fullsize
from shaftcheck.show.papers import papers, stations
from shaftcheck.show.views import section_outline

FOLDER = Path(__file__).parent.parent / "examples"
NAMES = [p.name for p in sorted(FOLDER.glob("*.toml"))]


def page(name: str, **more: object) -> str:
    text = (FOLDER / name).read_text(encoding="utf-8")
    return papers(answer(text, name, **more))  # type: ignore[arg-type]


class Text(HTMLParser):
    """Collects the text between tags, and the tags."""

    def __init__(self) -> None:
        super().__init__()
        self.said: list[str] = []
        self.tags: list[str] = []
        self.hidden = 0

    def handle_starttag(self, tag: str, attrs: object) -> None:
        self.tags.append(tag)
        self.hidden += tag in ("style", "script")

    def handle_endtag(self, tag: str) -> None:
        self.hidden -= tag in ("style", "script")

    def handle_data(self, data: str) -> None:
        if not self.hidden:
            self.said.append(data)


def read(html: str) -> Text:
    out = Text()
    out.feed(html)
    return out


@pytest.mark.parametrize("name", NAMES)
def test_every_line_is_on_the_card_with_its_check_from_the_tip(name: str) -> None:
    a = answer((FOLDER / name).read_text(encoding="utf-8"), name)
    said = " ".join(" ".join(read(papers(a)).said).split())
    for m in marks(a.oars[-1].shaft):
        assert f"{show(m.x, 'length', a.system)} {show(m.tip, 'length', a.system)} {m.what}" in said


@pytest.mark.parametrize("name", NAMES)
def test_a_shaft_that_does_not_hold_is_not_to_be_cut(name: str) -> None:
    a = answer((FOLDER / name).read_text(encoding="utf-8"), name)
    said = " ".join(read(papers(a)).said)
    assert ("Do not cut" in said) == (a.state != "HOLDS")
    assert a.state in said
    assert "licensed practice" in said


def test_the_form_names_keys_that_the_file_has() -> None:
    said = " ".join(read(page("plain-oar.toml")).said)
    named = set(re.findall(r"\b(oar|rig|measured)\.([a-z_]+)", said))
    assert len(named) > 8
    for table, key in named - {("oar", "toml")}:
        keys = TABLES[table]
        assert key in keys or table == "rig", f"{table}.{key}"


def test_figures_that_must_be_true_carry_their_width() -> None:
    html = page("two-wood-scarf.toml")
    widths = [float(w) for w in re.findall(r"--w: ([\d.]+)mm", html)]
    shaft = answer((FOLDER / "two-wood-scarf.toml").read_text(encoding="utf-8"), "x").oars[0].shaft
    assert len(widths) == len(stations(shaft, "metric")) + 2  # and the bar, and the wedge
    assert max(widths) <= 182.0  # A4 between its margins
    assert widths[0] == pytest.approx(100.0 + 0.6 * 25.4, abs=1e-3)


@pytest.mark.parametrize("name", NAMES)
def test_every_row_has_its_head(name: str) -> None:
    """One to a row and never a box or a tick: so that who hears the page knows which line a box belongs to."""
    tables = re.findall(r"<table.*?</table>", page(name), flags=re.S)
    assert len(tables) >= 6
    for table in tables:
        assert table.count("<caption>") == 1
        head, _, body = table.partition("<tbody>")
        assert head.count("<th ") == head.count('<th scope="col"') > 1
        rows = re.findall(r"<tr>(.*?)</tr>", body, flags=re.S)
        assert rows
        for row in rows:
            heads = re.findall(r'<th scope="row"[^>]*>(.*?)</th>', row, flags=re.S)
            assert len(heads) == row.count("<th ") == 1
            assert heads[0].strip()
            assert "unseen" not in heads[0]


def test_one_system_of_units_on_the_page() -> None:
    inches = " ".join(read(page("two-wood-scarf.toml", system="inches")).said)
    assert not re.search(r"\d ?mm\b", inches)
    metric = " ".join(read(page("two-wood-scarf.toml", system="metric")).said)
    assert not re.search(r"\d ?(in|ft|lb)\b", metric)


def test_names_and_notes_are_text(tmp_path: Path) -> None:
    text = (FOLDER / "plain-oar.toml").read_text(encoding="utf-8")
    odd = "<script>alert(1)</script> & \"quotes\" 'and' <b>bold"
    text = re.sub(r"^title = .*$", f"title = '''{odd}'''", text, count=1, flags=re.M)
    html = papers(answer(text, "<i>name</i>.toml"))
    found = read(html)
    assert "script" not in found.tags
    assert "i" not in found.tags
    assert odd in " ".join(found.said)


def test_the_command_writes_once_and_says_what_is_wrong(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    out = tmp_path / "papers.html"
    file = str(FOLDER / "plain-oar.toml")
    assert main(["papers", file, "-o", str(out), "--at", "1.1 m"]) == 0
    assert out.read_text(encoding="utf-8").count("--w: ") == 2
    assert main(["papers", file, "-o", str(out)]) == 2
    assert main(["papers", file, "-o", str(tmp_path / "p.pdf")]) == 2
    assert main(["papers", file, "-o", str(tmp_path / "q.html"), "--at", "12", "--at", "9 m"]) == 2
    assert capsys.readouterr().err.count("\n") == 4
    assert not (tmp_path / "q.html").exists()


def test_wood_inside_a_tube_has_the_template_that_it_is_turned_to() -> None:
    a = answer((FOLDER / "takedown-to-stow.toml").read_text(encoding="utf-8"), "x")
    shaft = a.oars[-1].shaft
    joint = next(j for j in shaft.joints if isinstance(j, Takedown))
    start, end, size = (float(v) for v in (joint.start, joint.end, joint.size))
    for x, inside in ((start - 0.001, False), (start + 0.001, True), (float(joint.at), True), (end + 0.001, False)):
        g = gauge(shaft, x)
        assert (g.turned is not None) == inside
        assert (g.depth == g.width == size) == inside
        assert g.depth >= size
    said = " ".join(" ".join(read(papers(a, [start - 0.01, float(joint.at)])).said).split())
    turn = f"turn to {show(size, 'fit', 'metric', side='up')}"
    ends = f"{show(start, 'length', 'metric')} to {show(end, 'length', 'metric')}"
    assert said.count(f"{turn} from {ends}, for the tube")
    assert f"{turn} {ends} {show(end - start, 'length', 'metric')}" in said
    assert "in the tube" in said


@pytest.mark.parametrize("least", ["50.72 mm", "50.7 mm", "50.79 mm", "2 in", "1.9961 in", "49.999 mm"])
@pytest.mark.parametrize("system", ["metric", "inches"])
def test_wood_whose_size_is_not_told_is_checked_as_it_is_printed_to_be_turned(least: str, system: Any) -> None:
    """Never more than what is there, never less than what was checked; so also where the joint is tried elsewhere."""
    doc = takedown(CLAMPED | {"form": "sleeve over both", "spigot_size": None, "fixed_length": None})
    doc["section"] = [{"at": at, "across": least} for at in ("0 mm", "2 m")]
    a = answer(toml({k: v for k, v in doc.items() if k != "title"}), "x", system=system)
    joint = next(j for j in a.oars[-1].shaft.joints if isinstance(j, Takedown))
    html = " ".join(" ".join(read(papers(a, [float(joint.at)])).said).split())
    (printed,) = {read_size(found, "m") for found in re.findall(r"turn to ([\d./ ]+? (?:mm|in))\b", html)}
    there = read_size(least, "m")
    assert float(joint.size) <= printed * (1 + 1e-12)
    assert printed <= there * (1 + 1e-6)
    assert there - float(joint.size) == pytest.approx(1e-4)
    other = moved(a.oars[-1].shaft, joint, joint.at + 0.1, joint.outer).joint
    assert float(other.size) == pytest.approx(float(joint.size))


@pytest.mark.parametrize("system", ["metric", "inches"])
@pytest.mark.parametrize("size", ["2 1/4 in", "57 mm", "43.3 mm", "1 7/16 in", "2 7/32 in"])
@pytest.mark.parametrize("shape", [{}, {"shape": "superoval", "fullness": "2.7"}])
def test_no_flat_as_it_is_printed_cuts_into_the_section(system: Any, size: str, shape: dict[str, str]) -> None:
    """The flat between two lines as far from the printed edges as is printed lies outside of the finished curve."""
    sections = [{"at": at, "fore_and_aft": size, "up_and_down": "48 mm", **shape} for at in ("0 mm", "1.88 m")]
    g = gauge(shaft_of(section=sections), 0.5)
    texts = [t.get_text() for t in fullsize.oval(g, system).axes[0].texts]
    found = [re.match(r"(.*) (?:fore and aft|up and down); lines in from the edges (.*)", t) for t in texts]
    (depth, a), (width, b) = [[read_size(s, "m") for s in m.groups()] for m in found if m]
    assert depth >= g.depth - 1e-12
    assert width >= g.width - 1e-12
    z, y = section_outline(g.depth, g.width, g.exponent)
    # the flat goes from (depth/2, width/2 - b) to (depth/2 - a, width/2)
    assert (z / a + y / b).max() <= depth / 2.0 / a + (width / 2.0 - b) / b + 1e-9


def test_the_file_s_own_sections_are_measured_and_have_templates() -> None:
    shaft = answer((FOLDER / "plain-oar.toml").read_text(encoding="utf-8"), "x").oars[-1].shaft
    for system, step in (("metric", 0.2), ("inches", 8 * 0.0254)):
        places = stations(shaft, system)  # type: ignore[arg-type]
        neck = float(shaft.blade.neck)
        assert {0.0, neck} | {float(s.x) for s in shaft.stations if float(s.x) < neck} <= set(places)
        gaps = [b - a for a, b in pairwise(places)]
        assert max(gaps) <= 1.25 * step + 1e-9
        assert list(places) == sorted(set(places))


def test_a_card_tells_whether_the_pieces_stow(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    text = (FOLDER / "plain-oar.toml").read_text(encoding="utf-8")
    for length, state, code in (("2.6 m", "STOWS", 0), ("1.2 m", "DOES NOT STOW", 1)):
        room = f'[locker]\nlength = "{length}"\nwidth = "400 mm"\nheight = "300 mm"\nhatch = "top open"\n'
        file = tmp_path / "oar.toml"
        file.write_text(f"{text}\n{room}", encoding="utf-8")
        a = answer(file.read_text(encoding="utf-8"), "x")
        said = " ".join(" ".join(read(papers(a)).said).split())
        card = said[said.index("Cut card") :]
        assert card.index(f"{state}. {a.oars[-1].stowed.sentence}") < card.index("Lines, from the handle end")
        for command in ("sheet", "papers"):
            out = tmp_path / f"{command}{code}.html"
            assert main([command, str(file), "-o", str(out)]) == code
            assert capsys.readouterr().out == f"{out}: written. HOLDS. {state}\n"
        assert main(["check", str(file)]) == code
        capsys.readouterr()
    assert "STOW" not in " ".join(read(page("plain-oar.toml")).said)


def test_a_hollow_shaft_s_template_has_its_wall() -> None:
    text = (FOLDER / "plain-oar.toml").read_text(encoding="utf-8")
    text = text.replace('inside = "solid"', 'inside = "hollow"')
    text = re.sub(r"^(across|up_and_down) = .*$", r'\g<0>\nwall = "9 mm"', text, flags=re.M)
    hollow, solid = (answer(t, "x") for t in (text, (FOLDER / "plain-oar.toml").read_text(encoding="utf-8")))
    assert gauge(hollow.oars[0].shaft, 1.0).wall == pytest.approx(0.009)
    assert "wall 9 mm" in " ".join(read(papers(hollow, [1.0])).said)
    assert (
        "wall" not in " ".join(read(papers(solid, [1.0])).said).split("Templates at full size")[1].split("Cautions")[0]
    )
