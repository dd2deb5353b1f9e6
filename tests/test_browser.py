"""Sheets in a real browser: at a desk, on a phone, on paper. `SHAFTCHECK_BROWSER=needed` makes its absence a fault."""

from __future__ import annotations

import os
import shutil
import unicodedata
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest
from test_figures import EXAMPLES, ODD
from test_shaftfile import PLAIN, edit, toml

from shaftcheck.answer import answer
from shaftcheck.show.basis_page import page as basis
from shaftcheck.show.sheet import sheet

pytestmark = pytest.mark.slow
QUIET = [
    "--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run", "--disable-background-networking",
    "--disable-component-update", "--disable-sync",
]  # fmt: skip
OUTSIDE = """() => [...document.querySelectorAll('body *')].filter(e => {
    if (e.closest('svg') && e.tagName !== 'svg') return false;
    if (e.closest('.box, .scroll, .maths') && !e.matches('.box, .scroll, .maths')) return false;
    const r = e.getBoundingClientRect();
    return r.width > 0 && (r.right > document.documentElement.clientWidth + 1 || r.left < -1);
}).map(e => e.outerHTML.slice(0, 80))"""
PAPER = {"A4": 210.0, "Letter": 215.9}
"""widths [mm]: ISO 216, ANSI/ASME Y14.1"""


@pytest.fixture(scope="module")
def browser(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Any]:
    """Return a browser that is offline."""
    found = shutil.which("chromium") or shutil.which("chromium-browser")
    if found is None:
        if os.environ.get("SHAFTCHECK_BROWSER") == "needed":
            pytest.fail("no chromium here, and it is needed")
        pytest.skip("no chromium here")
    sync = pytest.importorskip("playwright.sync_api") if os.environ.get("SHAFTCHECK_BROWSER") != "needed" else None
    if sync is None:
        import playwright.sync_api as sync
    with sync.sync_playwright() as p:
        home = tmp_path_factory.mktemp("browser")
        b = p.chromium.launch_persistent_context(home, executable_path=found, headless=True, args=QUIET, offline=True)
        yield b
        b.close()


class Sheets(dict[str, Path]):
    """Sheets of examples, an oar as changed, one whose words are odd, and of what they rest on; when asked for."""

    def __init__(self, folder: Path) -> None:
        super().__init__()
        self.folder = folder
        self.texts = {p.stem: p.read_text(encoding="utf-8") for p in EXAMPLES}
        self.texts["changed"] = toml({**PLAIN, "change": {"rower": {"strength": "trained"}}})
        self.texts["odd"] = toml(edit(PLAIN, ("title", ODD), ("note", "x" * 400)))

    def __missing__(self, name: str) -> Path:
        page = basis() if name == "basis" else sheet(answer(self.texts[name], f"{name}.toml"))
        self[name] = self.folder / f"{name}.html"
        self[name].write_text(page, encoding="utf-8")
        return self[name]


@pytest.fixture(scope="module")
def sheets(tmp_path_factory: pytest.TempPathFactory) -> Sheets:
    return Sheets(tmp_path_factory.mktemp("sheets"))


NAMES = [*(p.stem for p in EXAMPLES), "changed", "odd"]
Look = Callable[..., Any]


@pytest.fixture
def look(browser: Any, sheets: Sheets) -> Iterator[Look]:
    """Return a function that opens a sheet at a width; nothing else may be asked for, and nothing complained of."""
    pages: list[tuple[Any, list[str], list[str]]] = []

    def one(name: str, width: int, **media: str) -> Any:
        page = browser.new_page()
        asked: list[str] = []
        said: list[str] = []
        page.on("request", lambda r: asked.append(r.url))
        page.on("console", lambda m: said.append(m.text))
        page.on("pageerror", lambda e: said.append(str(e)))
        page.emulate_media(**media)
        page.set_viewport_size({"width": width, "height": 800})
        page.goto(sheets[name].as_uri())
        pages.append((page, asked, said))
        return page

    yield one
    for page, asked, said in pages:
        assert len(asked) == 1, asked
        assert said == []
        page.close()


@pytest.mark.parametrize("width", [1280, 360])
@pytest.mark.parametrize("name", [*NAMES, "basis"])
def test_nothing_runs_off_the_screen(look: Look, name: str, width: int) -> None:
    page = look(name, width)
    assert page.evaluate("document.documentElement.scrollWidth") <= width
    assert page.evaluate(OUTSIDE) == []


@pytest.mark.parametrize("paper", PAPER)
@pytest.mark.parametrize("name", [*NAMES, "basis"])
def test_nothing_runs_off_the_paper(look: Look, name: str, paper: str) -> None:
    width = int((PAPER[paper] - 28.0) / 25.4 * 96.0)
    page = look(name, width, media="print")
    assert page.evaluate("document.documentElement.scrollWidth") <= width
    assert page.evaluate(OUTSIDE) == []
    hidden = (
        "() => [...document.querySelectorAll('.box, .scroll')].filter(e => e.scrollWidth > e.clientWidth + 1).length"
    )
    assert page.evaluate(hidden) == 0
    if page.locator("#all-lines").count():
        page.locator("#all-lines").evaluate("e => { e.checked = true }")
        assert page.evaluate("document.documentElement.scrollWidth") <= width
        assert page.evaluate(OUTSIDE) == []


@pytest.mark.parametrize("name", NAMES)
def test_every_figure_is_named_to_whoever_does_not_see_it(look: Look, name: str) -> None:
    page = look(name, 1280)
    figures = page.locator("figure svg")
    assert figures.count() >= 2
    assert page.get_by_role("img").count() == figures.count()
    for i in range(figures.count()):
        snapshot = figures.nth(i).aria_snapshot()
        assert len(snapshot) > 40


@pytest.mark.parametrize("name", ["two-wood-scarf", "hinged-rig"])
def test_letters_of_a_figure_can_be_read_on_a_phone(look: Look, name: str) -> None:
    """Lines at least 8 px high (judgement)."""
    page = look(name, 360)
    heights = page.evaluate(
        "() => [...document.querySelectorAll('figure svg text')].map(t => t.getBoundingClientRect().height)"
    )
    assert min(heights) >= 8.0


def test_what_answers_rest_on_prints(look: Look, tmp_path: Path) -> None:
    """Nothing is cut off and no page is nearly empty; each heading is there."""
    from pypdf import PdfReader

    page = look("basis", 1280)
    page.pdf(path=tmp_path / "basis.pdf", format="A4")
    pages = [unicodedata.normalize("NFKC", p.extract_text()) for p in PdfReader(tmp_path / "basis.pdf").pages]
    text = "".join("".join(pages).split())
    for heading in page.locator("h2, h3").all_inner_texts():
        assert "".join(heading.split()) in text
    assert all(len(p.strip()) > 200 for p in pages)
    assert len(pages) <= 40


@pytest.mark.parametrize("paper", PAPER)
def test_a_plain_shaft_prints_on_few_pages(look: Look, paper: str, tmp_path: Path) -> None:
    from pypdf import PdfReader

    page = look("plain-oar", 1280)
    page.pdf(path=tmp_path / "sheet.pdf", format=paper)
    pages = PdfReader(tmp_path / "sheet.pdf").pages
    assert len(pages) <= 6
    text = " ".join(p.extract_text() for p in pages)
    for heading in page.locator("h2").all_inner_texts():
        assert heading in text
    assert all(len(p.extract_text().strip()) > 50 for p in pages)


TABLE = """() => { const all = [...document.querySelectorAll('table')];
  const texts = row => [...row.cells].map(c => c.textContent);
  const longest = all.reduce((a, b) => b.rows.length > a.rows.length ? b : a);
  return [texts(longest.tHead.rows[0]), [...longest.tBodies[0].rows].map(texts)]; }"""
"""heads and rows of the longest table of a page"""


def test_a_table_that_goes_over_pages_has_its_heads_on_each(look: Look, tmp_path: Path) -> None:
    from pypdf import PdfReader

    page = look("takedown-oar", 1280)
    heads, rows = page.evaluate(TABLE)
    rows = [squeezed("".join(row)) for row in rows]
    page.pdf(path=tmp_path / "sheet.pdf", format="A4")
    on = [squeezed(p.extract_text()) for p in PdfReader(tmp_path / "sheet.pdf").pages]
    with_rows = [text for text in on if any(row in text for row in rows)]
    assert len(with_rows) > 1
    assert sum(row in "".join(on) for row in rows) > 0.8 * len(rows)
    assert all(squeezed("".join(heads)) in text for text in with_rows)


def squeezed(text: str) -> str:
    """Return a text without spaces; letters that are drawn as one are two."""
    return "".join(unicodedata.normalize("NFKC", text).split())


@pytest.mark.parametrize("name", ["plain-oar", "hinged-rig"])
def test_one_tick_prints_every_worked_line(look: Look, name: str, tmp_path: Path) -> None:
    """Nobody can open on paper what is closed on a screen."""
    from pypdf import PdfReader

    page = look(name, 1280)
    assert page.locator("details:not([open])").count() >= 1
    last = page.locator("details").last.locator(".line .what b").last.text_content()
    closed = page.locator("details:not([open]) .line .what").all_text_contents()

    def printed() -> str:
        page.pdf(path=tmp_path / "sheet.pdf", format="A4")
        return squeezed("".join(p.extract_text() for p in PdfReader(tmp_path / "sheet.pdf").pages))

    assert "closedhere,notprinted" in printed()
    page.get_by_label("Print them all").check()
    text = printed()
    assert all("".join(what.split()) in text for what in closed)
    assert int(last) == page.locator(".line").count()
    assert "closedhere" not in text


def test_a_dark_screen_gets_a_dark_page_and_paper_a_light_one(look: Look) -> None:
    page = look("plain-oar", 1280, color_scheme="dark")
    ground = "getComputedStyle(document.body).backgroundColor"
    ink = "getComputedStyle(document.querySelector('figure svg text')).fill"
    assert (page.evaluate(ground), page.evaluate(ink)) == ("rgb(22, 25, 27)", "rgb(239, 237, 232)")
    page.emulate_media(color_scheme="dark", media="print")
    assert (page.evaluate(ground), page.evaluate(ink)) == ("rgb(255, 254, 251)", "rgb(27, 29, 31)")
