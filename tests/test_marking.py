"""What is marked before the saw: lines from both ends, faces of a scarf's tips, and the flats of eight-siding."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from shaftcheck.border.shaftfile import parse
from shaftcheck.marking import cuts, gauge, marks
from shaftcheck.model import number
from shaftcheck.questions.question import Asked, ready
from shaftcheck.show import fullsize

FOLDER = Path(__file__).parent.parent / "examples"
NAMES = [p.name for p in sorted(FOLDER.glob("*.toml"))]


def shaft(name: str):  # type: ignore[no-untyped-def]
    text = (FOLDER / name).read_text(encoding="utf-8")
    return ready(Asked(docs=((name, parse(text, name)),), options={}, changed=True))[1].shaft


@pytest.mark.source("seven, ten, seven of a spar's eight-siding: common practice, no source")
def test_a_round_is_marked_seven_ten_seven() -> None:
    plain = shaft("plain-oar.toml")
    g = gauge(plain, 0.0)
    assert g.depth == g.width
    assert g.from_edge_depth / g.depth == pytest.approx(1 - np.sqrt(0.5), rel=1e-12)
    assert round(24 * g.from_edge_depth / g.depth) == 7


@given(n=st.floats(2.0, 12.0), depth=st.floats(0.02, 0.09), width=st.floats(0.02, 0.09))
def test_each_flat_touches_the_section_and_cuts_nothing_off_it(n: float, depth: float, width: float) -> None:
    """The line through both marks, against the curve itself, point by point."""
    base = shaft("plain-oar.toml")
    stations = tuple(replace(s, depth=number(depth), width=number(width), exponent=number(n)) for s in base.stations)
    g = gauge(replace(base, stations=stations), 0.5)
    t = np.linspace(0.0, np.pi / 2, 20001)
    x, y = depth / 2 * np.cos(t) ** (2 / n), width / 2 * np.sin(t) ** (2 / n)
    (x1, y1), (x2, y2) = (depth / 2 - g.from_edge_depth, width / 2), (depth / 2, width / 2 - g.from_edge_width)
    beyond = ((x - x1) * (y1 - y2) + (y - y1) * (x2 - x1)) / np.hypot(x2 - x1, y2 - y1)
    assert abs(beyond.max()) < 1e-7


@pytest.mark.parametrize("name", NAMES)
def test_every_line_is_told_from_both_ends(name: str) -> None:
    s = shaft(name)
    found = marks(s)
    assert [m.x for m in found] == sorted(m.x for m in found)
    for m in found:
        assert m.x + m.tip == pytest.approx(float(s.length), abs=1e-12)
        assert 0.0 < m.x < float(s.length)
    assert {m.x for m in cuts(s)} <= {m.x for m in found}


def test_a_scarf_is_marked_on_the_faces_that_the_file_tells() -> None:
    """In the file the outer wood's tip lies on the forward face; the inner wood's lies on the aft one."""
    inner, outer = (next(m for m in marks(shaft("two-wood-scarf.toml")) if f"tip of the {w} wood" in m.what)
                    for w in ("inner", "outer"))  # fmt: skip
    assert (outer.faces, inner.faces) == ("forward", "aft")
    assert outer.x < inner.x
    assert outer.waste
    assert inner.waste


def test_figures_at_full_size_are_as_large_as_they_say() -> None:
    """One inch of the figure is one inch of wood: the curve's width in the figure against the section's."""
    s = shaft("two-wood-scarf.toml")
    g = gauge(s, 1.0)
    fig = fullsize.oval(g, "metric")
    curve = fig.axes[0].patches[0].get_path().vertices
    assert np.ptp(curve[:, 0]) * 25.4 == pytest.approx(g.depth * 1000, abs=1e-3)
    assert np.ptp(curve[:, 1]) * 25.4 == pytest.approx(g.width * 1000, abs=1e-3)
    low, high = fig.axes[0].get_xlim()
    assert high - low == pytest.approx(fig.get_size_inches()[0])
    assert fig.axes[0].get_position().width == pytest.approx(1.0)
    for system, length in (("metric", 100.0), ("inches", 101.6)):
        line = fullsize.bar(system).axes[0].lines[0].get_xdata()  # type: ignore[arg-type]
        assert (line[1] - line[0]) * 25.4 == pytest.approx(length, abs=1e-9)
