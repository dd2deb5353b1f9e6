"""Figures: labels keep clear of each other, the same input gives the same bytes, and a user's words stay words."""

from __future__ import annotations

import itertools
import math
import re
import xml.etree.ElementTree as ET
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from matplotlib.backends.backend_agg import FigureCanvasAgg
from matplotlib.colors import to_rgba
from matplotlib.figure import Figure
from matplotlib.text import Text
from scipy.optimize import isotonic_regression
from test_answer import WHOLE
from test_shaftfile import HINGED, JOINTED, PLAIN, Doc, edit, toml

from shaftcheck.along import LOCK_CHECKS, along, lock_seat, told_sizes, weakest, worst_of_a_case
from shaftcheck.answer import Answer, answer, answer_doc
from shaftcheck.border.shown import System
from shaftcheck.cli import main
from shaftcheck.show.crosscut import crosscut, glued_at
from shaftcheck.show.details import details
from shaftcheck.show.diagrams import diagrams
from shaftcheck.show.draw import draw
from shaftcheck.show.drawing import drawn, in_words, stretched
from shaftcheck.show.rows import checks
from shaftcheck.show.style import COLOURS, clean, encode, inline, measure, spread
from shaftcheck.show.style import figure as new_figure
from shaftcheck.show.views import wood_looks

EXAMPLES = sorted((Path(__file__).parent.parent / "examples").glob("*.toml"))
SYSTEMS: tuple[System, ...] = ("metric", "inches")
ODD = 'a "<script>alert(1)</script>" & $\\frac{1}{0$ \u202eright to left\u202c ' + "longword" * 30
SCARF = edit(
    JOINTED,
    ("joint", [{"kind": "scarf", "middle": "1.20 m", "slope": "1:12", "cut_through": "up and down",
                "outer_tip_on": "lower", "glue": "epoxy"}]),
)  # fmt: skip
TAKEDOWN = edit(
    PLAIN,
    ("joint", [{"kind": "takedown", "at": "1.31 m", "form": "sleeve over both", "overlap": "170 mm", "wall": "1.6 mm",
                "tube": "aluminium 6061-T6", "mouth": "tapered", "held_by": "pin", "pin_diameter": "5 mm",
                "pin_through": "up and down", "pins": "2"}]),
)  # fmt: skip
HOLLOW = edit(PLAIN, ("oar.inside", "hollow"), ("section", [{**s, "wall": "9 mm"} for s in PLAIN["section"]]))
PUSHED = edit(PLAIN, ("rig.lock", "200 mm"))
FLAWED = edit(
    PLAIN,
    ("flaw", [{"kind": "knot", "from": "906 mm", "to": "914 mm", "face": "aft", "width": "9.5 mm"},
              {"kind": "leather", "from": "600 mm", "to": "760 mm", "face": "all round"},
              {"kind": "dent", "from": "1.2 m", "to": "1.21 m", "face": "upper", "width": "9 mm", "depth": "2 mm"}]),
)  # fmt: skip
SHAPES: dict[str, Doc] = {
    "plain": PLAIN, "hinged": HINGED, "repair": JOINTED, "scarf": SCARF, "takedown": TAKEDOWN,
    "near the hand": PUSHED, "hollow": HOLLOW, "flawed": FLAWED,
}  # fmt: skip


def answered(doc: Doc, system: System = "metric") -> Answer:
    return answer_doc(doc, "oar.toml", system=system)


def figure(a: Answer) -> Figure:
    return drawn(a.oars[-1], along(a.oars[-1]), a.system, title="")


def figures(a: Answer) -> list[Figure]:
    """Return every figure of an answer, without and with a title."""
    oar = a.oars[-1]
    found = details(oar, a.system)
    out = []
    for title in ("", a.title):
        out += [drawn(oar, along(oar), a.system, title=title), diagrams(oar, along(oar), a.system, title=title)]
        out += [d.draw(title) for d in found]
    return out


def boxes(fig: Figure) -> list[tuple[str, Any]]:
    """Return every text of a figure with its box in pixels."""
    fig.set_dpi(200)
    canvas = FigureCanvasAgg(fig)
    texts = [t for t in fig.findobj(Text) if t.get_text().strip() and t.get_visible()]
    return [(t.get_text(), Text.get_window_extent(t, canvas.get_renderer())) for t in texts]  # type: ignore[no-untyped-call]


def overlapping(fig: Figure) -> list[tuple[str, str]]:
    """Return which texts lie over each other by more than a pixel, or run off the page."""
    found = boxes(fig)
    out = [
        (a, b)
        for (a, p), (b, q) in itertools.combinations(found, 2)
        if min(p.x1, q.x1) - max(p.x0, q.x0) > 1.0 and min(p.y1, q.y1) - max(p.y0, q.y0) > 1.0
    ]
    wide, tall = fig.get_size_inches() * fig.dpi
    return out + [
        (t, "the edge of the page") for t, b in found if b.x0 < -1 or b.y0 < -1 or b.x1 > wide + 1 or b.y1 > tall + 1
    ]


# labels --------------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("system", SYSTEMS)
@pytest.mark.parametrize("path", EXAMPLES, ids=lambda p: p.stem)
def test_no_label_of_an_example_lies_over_another(path: Path, system: System) -> None:
    for fig in figures(answer(path.read_text(encoding="utf-8"), path.name, system=system)):
        assert overlapping(fig) == []


@pytest.mark.parametrize("system", SYSTEMS)
@pytest.mark.parametrize("name", SHAPES)
def test_no_label_of_a_shape_lies_over_another(name: str, system: System) -> None:
    for fig in figures(answered(SHAPES[name], system)):
        assert overlapping(fig) == []


@pytest.mark.source("scipy.optimize.isotonic_regression, an independent solver of the same least squares")
@given(st.lists(st.tuples(st.floats(0, 10), st.floats(0.1, 1.0)), min_size=1, max_size=8))
def test_labels_are_as_near_to_their_places_as_can_be(labels: list[tuple[float, float]]) -> None:
    labels.sort()
    at, widths = [a for a, _ in labels], [w for _, w in labels]
    offsets = np.concatenate([[0.0], np.cumsum([(a + b) / 2.0 for a, b in itertools.pairwise(widths)])])
    expected = isotonic_regression(np.array(at) - offsets).x + offsets
    assert spread(at, widths, -100.0, 100.0) == pytest.approx(expected, abs=1e-9)
    placed = spread(at, widths, 0.0, 10.0)
    for (p, w), (q, v) in itertools.pairwise(zip(placed, widths, strict=True)):
        assert q - p >= (w + v) / 2.0 - 1e-9
    if sum(widths) <= 10.0:
        assert placed[0] >= widths[0] / 2.0 - 1e-9
        assert placed[-1] <= 10.0 - widths[-1] / 2.0 + 1e-9


# files ---------------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("form", ["svg", "png", "pdf"])
def test_the_same_input_gives_the_same_bytes(form: Any) -> None:
    first, second = (draw(answered(SCARF), form) for _ in range(2))
    assert first == second
    assert first.startswith({"svg": b"<?xml", "png": b"\x89PNG", "pdf": b"%PDF"}[form])


@pytest.mark.parametrize("form", ["svg", "png", "pdf"])
def test_words_of_a_user_stay_words(form: Any) -> None:
    doc = edit(PLAIN, ("title", ODD + "\u000b\u4e2d"), ("own_wood", {ODD: WHOLE}), ("wood.0.of", ODD))
    content = draw(answered(doc), form)
    if form == "svg":
        root = ET.fromstring(content)
        assert not [e for e in root.iter() if e.tag.endswith("script")]
        text = " ".join("".join(e.itertext()) for e in root.iter() if e.tag.endswith("}text"))
        assert 'a "<script>alert(1)</script>" & $' in text


def test_a_figure_in_a_page_has_names_of_its_own_and_follows_the_page() -> None:
    a = answered(SCARF)
    one, two = (inline(figure(a), key, "a <title>", "says & shows") for key in ("one", "two"))
    roots = [ET.fromstring(svg) for svg in (one, two)]
    names = [{e.get("id") for e in r.iter()} - {None} for r in roots]
    assert not names[0] & names[1]
    for svg, r in zip((one, two), roots, strict=True):
        refs = {e.get("id") for e in r.iter()}
        for name in [*_references(svg), *str(r.get("aria-labelledby")).split()]:
            assert name in refs
        assert "a &lt;title&gt;" in svg
        for light, _ in COLOURS.values():
            assert light not in svg


def _references(svg: str) -> list[str]:

    return re.findall(r"(?:url\(#|href=\"#)([\w-]+)", svg)


def test_no_two_colours_have_one_name() -> None:
    for i in (0, 1):
        assert len({pair[i] for pair in COLOURS.values()}) == len(COLOURS)


def _light(colour: str) -> float:
    """Return the relative luminance of a colour, WCAG 2.2."""
    parts = [int(colour[i : i + 2], 16) / 255.0 for i in (1, 3, 5)]
    r, g, b = (p / 12.92 if p <= 0.04045 else ((p + 0.055) / 1.055) ** 2.4 for p in parts)
    return 0.2126 * r + 0.7152 * g + 0.0722 * b


def test_the_lock_presses_what_its_check_says() -> None:
    """Force over what it presses, times 4/pi, is the pressure of the check; the pull bears on the forward face."""
    for doc, wall in ((PLAIN, math.nan), (HOLLOW, 0.009)):
        oar = answered(doc).oars[0]
        seat = lock_seat(oar)
        assert seat is not None
        (line,) = (row for row in oar.lines if row.check == LOCK_CHECKS[0])
        assert 4.0 / math.pi * seat.force / (seat.length * seat.width) == pytest.approx(line.demand, rel=0.01)
        assert (seat.place, seat.length, seat.face) == (0.69, 0.038, "forward")
        assert seat.wall == pytest.approx(wall, nan_ok=True)
        (lock,) = (d for d in details(oar, "metric") if d.title.startswith("Lock"))
        assert all(f"{row.check.capitalize()}: " in lock.says for row in oar.lines if row.check in LOCK_CHECKS)
        row = next(r for r in checks(oar.lines, "metric").rows if r[0] == LOCK_CHECKS[0])
        assert f"{row[6]}, may be {row[7]}, under {row[3]}" in lock.says
        assert ("thinnest wall under it 9 mm" in lock.says) == (not math.isnan(wall))
    assert lock_seat(answered(HINGED).oars[0]) is None


@pytest.mark.source("WCAG 2.2, success criteria 1.4.3 (text, 4.5:1) and 1.4.11 (what is drawn, 3:1)")
@pytest.mark.parametrize("dark", [0, 1])
def test_colours_stand_out_from_the_paper(dark: int) -> None:
    colours = {name: pair[dark] for name, pair in COLOURS.items()}

    def contrast(a: str, b: str) -> float:
        low, high = sorted((_light(colours[a]), _light(colours[b])))
        return (high + 0.05) / (low + 0.05)

    for name in ("ink", "soft", "line", "limit"):
        assert contrast(name, "paper") >= 4.5, name
    for name in ("mark", "other", "grain-1", "grain-2", "grain-3", "grain-4"):
        assert contrast(name, "paper") >= 3.0, name
    for i in range(1, 5):
        assert contrast("ink", f"wood-{i}") >= 4.5


def test_a_text_is_cut_to_its_width() -> None:
    assert clean("a\n b\x00\tc") == "a b\ufffd c"
    short = clean("long " * 50, width=1.0)
    assert short.endswith("…")
    assert measure(short, 8.0) <= 1.0


# what it shows -------------------------------------------------------------------------------------------------------


def test_the_drawing_has_the_sizes_of_the_file() -> None:
    a = answered(PLAIN)
    shaft = a.oars[0].shaft
    depth, width = told_sizes(shaft, np.array([0.0, 0.24, 0.6, 1.92]))
    assert depth == pytest.approx([0.037, 0.050, 0.050, 0.036])
    assert width == pytest.approx([0.037, 0.050, 0.049, 0.032])
    words = in_words(a.oars[0], along(a.oars[0]), "metric")
    for text in ("2460 mm over all", "lock at 690 mm", "36 mm fore and aft by 32 mm up and down at 1920 mm"):
        assert text in words


def test_scarf_tips_are_named_with_their_faces() -> None:
    words = in_words(answered(SCARF).oars[0], along(answered(SCARF).oars[0]), "metric")
    first, second = words.index("feather edge, lower face at"), words.index("feather edge, upper face at")
    assert first < second


# the command ---------------------------------------------------------------------------------------------------------


def test_draw_writes_and_never_overwrites(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    file, out = tmp_path / "oar.toml", tmp_path / "oar.svg"
    file.write_text(toml(PLAIN), encoding="utf-8")
    assert main(["draw", str(file), "-o", str(out)]) == 0
    before = out.read_bytes()
    assert main(["draw", str(file), "-o", str(out)]) == 2
    assert "is there already and stays as it is; write another name" in capsys.readouterr().err
    assert out.read_bytes() == before
    assert main(["draw", str(file), "-o", str(tmp_path / "along.svg"), "--view", "diagrams"]) == 0
    assert main(["draw", str(file), "-o", str(tmp_path / "joint.svg"), "--joint", "2"]) == 2
    assert "no joint 2; there is 1: Lock at 690 mm" in capsys.readouterr().err
    assert main(["draw", str(file), "-o", str(tmp_path / "joint.svg"), "--joint", "1"]) == 0
    assert main(["draw", str(file), "-o", str(tmp_path / "oar.gif")]) == 2
    assert "let the name end in .svg, .png, .pdf" in capsys.readouterr().err
    assert main(["draw", str(file), "-o", str(tmp_path / "no" / "oar.png")]) == 2
    assert "can't be written" in capsys.readouterr().err
    file.write_text("[oar", encoding="utf-8")
    assert main(["draw", str(file), "-o", str(tmp_path / "other.svg")]) == 2
    assert not (tmp_path / "other.svg").exists()


def test_encode_of_an_empty_figure() -> None:
    assert encode(Figure(figsize=(1, 1)), "svg") == encode(Figure(figsize=(1, 1)), "svg")


# what is drawn where ------------------------------------------------------------------------------------------------


TWO_WOODS = {
    **SCARF,
    "wood": [{"of": "White ash", "to": "1.20 m", "runout": "1:20"}, {"of": "Sitka spruce (US)", "runout": "1:20"}],
}  # fmt: skip


def area(x: Any, y: Any) -> float:
    return 0.5 * abs(float(np.dot(x, np.roll(y, 1)) - np.dot(y, np.roll(x, 1))))


@pytest.mark.source("area of a segment of a circle, r^2 arccos(h/r) - h sqrt(r^2 - h^2), elementary geometry")
@pytest.mark.parametrize(
    ("through", "tip", "face"),
    [("up and down", "lower", "lower"), ("up and down", "upper", "upper"), ("fore and aft", "forward", "forward"),
     ("fore and aft", "aft", "aft")],
)  # fmt: skip
@pytest.mark.parametrize("step", [-0.12, 0.0, 0.13])
def test_a_section_in_a_scarf_has_its_part_of_each_wood(through: str, tip: str, face: str, step: float) -> None:
    joint = {**TWO_WOODS["joint"][0], "cut_through": through, "outer_tip_on": tip}
    shaft = answered(edit(TWO_WOODS, ("joint", [joint]))).oars[-1].shaft
    r, x = 0.025, 1.2 + step
    _, ax = new_figure(3.0)
    crosscut(ax, shaft, x, (2 * r, 2 * r, math.inf, 2.0), (1.0, 1.0), 1.0)
    spruce = to_rgba(wood_looks(shaft)["Sitka spruce (US)"]["facecolor"])
    (part,) = (p for p in ax.patches if p.get_facecolor() == spruce)
    z, v = (part.get_xy()[:-1] - 1.0).T
    h = -step / 12.0  # where the spruce begins, towards the face of its tip
    assert area(z, v) == pytest.approx(r * r * math.acos(h / r) - h * math.sqrt(r * r - h * h), rel=3e-3)
    out = {"forward": -z, "aft": z, "upper": -v, "lower": v}[face]
    assert float(out.min()) == pytest.approx(h, abs=1e-9)
    assert float(out.max()) == pytest.approx(r, rel=1e-9)


def test_beside_a_scarf_a_section_is_of_one_wood() -> None:
    shaft = answered(TWO_WOODS).oars[-1].shaft
    (j,) = shaft.joints
    assert glued_at(shaft, float(j.start) - 0.01) is None
    assert glued_at(shaft, float(j.end) + 0.01) is None
    inside = glued_at(shaft, 1.2)
    assert inside is not None
    assert (inside.inner, inside.outer, inside.outer_face) == ("White ash", "Sitka spruce (US)", "lower")


def test_each_wood_that_is_drawn_has_its_name() -> None:
    """The spruce of this example is too short for its name."""
    path = next(p for p in EXAMPLES if p.stem == "hinged-rig-scarfed")
    a = answer(path.read_text("utf-8"), path.name)
    for fig in (figure(a), diagrams(a.oars[-1], along(a.oars[-1]), a.system)):
        assert {"White ash", "Sitka spruce (US)"} <= {t.get_text() for t in fig.findobj(Text)}
    assert "Section E at 1600 mm lies in a scarf: Sitka spruce (US) of the outer piece on the lower side" in in_words(
        a.oars[-1], along(a.oars[-1]), a.system
    )


def test_both_halves_of_a_hinged_rig_show_their_stretched_face() -> None:
    """Hand and blade move the same way: inboard the forward face is stretched, outboard the aft one."""
    path = next(p for p in EXAMPLES if p.stem == "hinged-rig-stouter")
    oar = answer(path.read_text("utf-8"), path.name).oars[-1]
    inner, outer = stretched(oar, along(oar))
    assert (inner.face, outer.face) == ("forward", "aft")
    assert 0.0 <= inner.start < inner.end <= float(oar.shaft.rig.saw)  # type: ignore[union-attr]
    assert float(oar.shaft.rig.restart) <= outer.start < outer.end  # type: ignore[union-attr]
    assert outer.words.startswith("outer half: aft face stretched")


def badly_placed() -> Answer:
    """A scarf within a takedown: the rule of place governs, and is of no load case."""
    second = {**SCARF["joint"][0], "middle": "1.05 m"}
    return answered(edit(TAKEDOWN, ("joint", [*TAKEDOWN["joint"], second])))


def test_all_diagrams_mark_one_case_where_what_governs_is_of_none() -> None:
    a = badly_placed()
    oar, run = a.oars[-1], along(a.oars[-1])
    line, worst = weakest(oar), worst_of_a_case(oar)
    assert line is not None
    assert worst is not None
    assert (line.case, line.use) == ("", math.inf)
    assert worst.use == max(w.use for w in oar.lines if w.case and not math.isnan(w.use))
    fig = diagrams(oar, run, a.system)
    bold = [t.get_text() for t in fig.findobj(Text) if t.get_weight() == "bold"]
    number = str(oar.beam.case(worst.case) + 1)
    heavy = [t for t in bold if t.isdigit()]
    assert set(heavy) == {number}
    assert len(heavy) == 4  # three diagrams and the key
    assert worst.case_title in bold
    (check,) = (t for t in bold if t.startswith(f"{worst.check} "))
    assert check
    assert any(t.get_text().startswith("What governs, A, is of no one case; heavy: ") for t in fig.findobj(Text))
    assert any("beyond any limit" in t.get_text() for t in fig.findobj(Text))
