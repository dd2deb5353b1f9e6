"""Bench papers: what the form asks, what the card tells, and that nobody is told to cut what does not hold."""

from __future__ import annotations

import re
from html.parser import HTMLParser
from pathlib import Path

import pytest

from shaftcheck.answer import answer
from shaftcheck.border.keys import TABLES
from shaftcheck.border.shown import show
from shaftcheck.checks.takedown_build import Takedown
from shaftcheck.cli import main
from shaftcheck.marking import gauge, marks
from shaftcheck.show.papers import papers, stations

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
    turn = f"turn to {show(size, 'length', 'metric')}"
    ends = f"{show(start, 'length', 'metric')} to {show(end, 'length', 'metric')}"
    assert said.count(f"{turn} from {ends}, for the tube")
    assert f"{turn} {ends} {show(end - start, 'length', 'metric')}" in said
    assert "in the tube" in said


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
