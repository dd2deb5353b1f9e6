"""Bench papers in a real browser: nothing runs off, and what must be true is true when printed."""

from __future__ import annotations

import math
from pathlib import Path
from typing import Any

import pytest
from test_browser import OUTSIDE, PAPER, browser  # noqa: F401

from shaftcheck.answer import answer
from shaftcheck.marking import gauge
from shaftcheck.show.papers import papers

pytestmark = pytest.mark.slow
FOLDER = Path(__file__).parent.parent / "examples"
NAME = "two-wood-scarf.toml"


def told(name: str, **more: Any) -> Any:
    return answer((FOLDER / name).read_text(encoding="utf-8"), name, **more)


def lines(page: Any) -> list[tuple[float, float, float]]:
    """Return the length of every straight line on a printed page, and how far it runs along and down [mm]."""
    found: list[tuple[float, float, float]] = []
    at: list[tuple[float, float]] = []

    def visit(op: bytes, args: Any, cm: Any, tm: Any) -> None:
        if op not in (b"m", b"l"):
            return
        x, y = (float(a) for a in args)
        here = (cm[0] * x + cm[2] * y + cm[4], cm[1] * x + cm[3] * y + cm[5])
        if op == b"l" and at:
            dx, dy = (abs(a - b) / 72.0 * 25.4 for a, b in zip(here, at[-1], strict=True))
            found.append((math.hypot(dx, dy), dx, dy))
        at.append(here)

    page.extract_text(visitor_operand_before=visit)
    return found


@pytest.mark.parametrize("paper", PAPER)
@pytest.mark.parametrize("system", ["metric", "inches"])
@pytest.mark.source("ISO 32000, default user space of 1/72 in; lengths read from the printed file by pypdf")
def test_templates_are_true_when_printed(browser: Any, tmp_path: Path, paper: str, system: Any) -> None:  # noqa: F811
    """Bar, wedge and the square about a section, each within half a mm of its size."""
    from pypdf import PdfReader

    a = told(NAME, system=system)
    (tmp_path / "papers.html").write_text(papers(a, [1.0]), encoding="utf-8")
    page = browser.new_page()
    page.goto((tmp_path / "papers.html").as_uri())
    every = []
    for scale in (1.0, 0.96):
        page.pdf(path=tmp_path / "papers.pdf", format=paper, scale=scale)
        every.append([line for p in PdfReader(tmp_path / "papers.pdf").pages for line in lines(p)])
    page.close()
    g = gauge(a.oars[-1].shaft, 1.0)
    wanted = {
        "bar": (100.0 if system == "metric" else 101.6, 0.0),
        "width of the section": (0.0, g.width * 1000),
        "depth of the section": (g.depth * 1000, 0.0),
        "slant of the wedge": (160.0, 160.0 / 12),
    }
    for what, (along, down) in wanted.items():
        true, shrunk = (any(abs(dx - along) < 0.5 and abs(dy - down) < 0.5 for _, dx, dy in e) for e in every)
        assert true, what
        assert what not in ("bar", "slant of the wedge") or not shrunk, (
            f"{what}: a printer that fits the page would pass"
        )


@pytest.mark.parametrize("width", [1280, 360])
@pytest.mark.parametrize("name", [p.name for p in sorted(FOLDER.glob("*.toml"))])
def test_nothing_runs_off_the_screen(browser: Any, tmp_path: Path, name: str, width: int) -> None:  # noqa: F811
    (tmp_path / "papers.html").write_text(papers(told(name)), encoding="utf-8")
    page = browser.new_page()
    asked: list[str] = []
    page.on("request", lambda r: asked.append(r.url))
    page.set_viewport_size({"width": width, "height": 800})
    page.goto((tmp_path / "papers.html").as_uri())
    assert page.evaluate("document.documentElement.scrollWidth") <= width
    assert page.evaluate(OUTSIDE) == []
    assert len(asked) == 1
    page.close()


@pytest.mark.parametrize("paper", PAPER)
def test_nothing_runs_off_the_paper(browser: Any, tmp_path: Path, paper: str) -> None:  # noqa: F811
    (tmp_path / "papers.html").write_text(papers(told(NAME)), encoding="utf-8")
    width = int((PAPER[paper] - 28.0) / 25.4 * 96.0)
    page = browser.new_page()
    page.emulate_media(media="print")
    page.set_viewport_size({"width": width, "height": 800})
    page.goto((tmp_path / "papers.html").as_uri())
    assert page.evaluate(OUTSIDE) == []
    page.close()


@pytest.mark.parametrize("paper", PAPER)
@pytest.mark.parametrize("system", ["metric", "inches"])
@pytest.mark.parametrize("name", ["two-wood-scarf.toml", "takedown-oar.toml", "hinged-rig.toml"])
def test_what_is_ticked_off_stands_on_the_card_s_own_page(
    browser: Any,  # noqa: F811
    tmp_path: Path,
    name: str,
    system: Any,
    paper: str,
) -> None:
    """No page of a few lines that came off the one before."""
    from pypdf import PdfReader

    (tmp_path / "papers.html").write_text(papers(told(name, system=system), [1.0]), encoding="utf-8")
    page = browser.new_page()
    page.goto((tmp_path / "papers.html").as_uri())
    page.pdf(path=tmp_path / "papers.pdf", format=paper)
    page.close()
    texts = [" ".join(p.extract_text().split()) for p in PdfReader(tmp_path / "papers.pdf").pages]
    cards = [t for t in texts if "Lines, from the handle end" in t]
    assert len(cards) == 1
    assert "with a spare aboard" in cards[0]
