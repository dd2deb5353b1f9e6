"""Pictures of findings and their pages: every kind of picture drawn, words kept words, nothing over another."""

from __future__ import annotations

import xml.etree.ElementTree as ET
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from test_figures import ODD, overlapping
from test_shaftfile import PLAIN, toml
from test_sheet import Page

from shaftcheck.cli import main
from shaftcheck.questions.question import Curve, Finding, Mark, Picture, Stretch, Table, Winner
from shaftcheck.show.finding_page import page
from shaftcheck.show.pictures import drawn, save
from shaftcheck.show.style import encode

X = np.linspace(0.0, 2500.0, 26)
LINES = Picture(
    title="Where it may be", says="Use of two checks by the place; it holds from 500 to 1200 mm.",
    x_label="from the handle end, mm", y_label="use of the limit, %",
    curves=(Curve(label="bending", x=X, y=X / 30.0, low=X / 40.0, high=X / 20.0),
            Curve(label="life " * 60, x=X, y=np.where(X > 2000.0, np.inf, np.where(X < 300.0, np.nan, 90.0))),
            Curve(label="tried", x=X[::5], y=X[::5] / 60.0, points=True)),
    stretches=(Stretch(start=0.0, end=500.0, good=False, label="under the hand"),
               Stretch(start=500.0, end=1200.0, good=True, label="holds"),
               Stretch(start=1200.0, end=1260.0, good=False, label="at the lock " * 20)),
    marks=tuple(Mark(x=x, y=50.0, label=f"place {i}") for i, x in enumerate((0.0, 610.0, 620.0, 630.0, 2500.0))),
    limit=100.0, limit_label="the limit",
)  # fmt: skip
BARS = Picture(title="How far", says="Bars of three checks, the nearest first.", x_label="index", y_label="",
               bars=(("a name that is far too long for its place " * 3, 2.5), ("b", float("nan")), ("c", float("inf"))),
               limit=3.0, limit_label="at least this")  # fmt: skip
SPANS = Picture(title="What breaks", says="Three checks with the pull at which each gives way.", x_label="pull, N",
                y_label="", spans=(("bending", 600.0, 800.0, 1000.0, 1400.0), ("shear", 900.0, 1200.0, 1500.0, 2000.0),
                                   ("unknown", float("nan"), float("nan"), float("nan"), float("nan"))))  # fmt: skip
FEW = Picture(title="One point", says="A single pair, at 2 kg and 70 %.", x_label="weight, kg", y_label="use, %",
              curves=(Curve(label="pairs", x=np.array([2.0]), y=np.array([70.0]), points=True),))  # fmt: skip
WORDS = Picture(title=ODD, says=ODD, x_label=ODD, y_label=ODD, curves=(Curve(label=ODD, x=X, y=X),),
                marks=(Mark(x=100.0, y=100.0, label=ODD),),
                stretches=(Stretch(start=0.0, end=9.0, good=True, label=ODD),))  # fmt: skip
ALL = {"lines": LINES, "bars": BARS, "spans": SPANS, "few": FEW, "words": WORDS}


def finding(**more: Any) -> Finding:
    return Finding(
        question="what-breaks", title="Invented", sentence="It breaks there.", answered=True, system="metric",
        tables=(Table(title="Pulls", heads=("check", "pull"), rows=(("bending", "600 N"),), numeric=(1,)),),
        pictures=tuple(ALL.values()), data={}, searched=("all checks",), assumptions=("a round section",),
        cautions=("look first",), winners=(Winner(label="best", doc={}, uses={"bending": 0.71}),),
    ) if not more else Finding(**{f: getattr(finding(), f) for f in Finding.__dataclass_fields__} | more)  # fmt: skip


@pytest.mark.parametrize("title", [True, False])
@pytest.mark.parametrize("name", ALL)
def test_no_words_of_a_picture_lie_over_others(name: str, title: bool) -> None:
    assert overlapping(drawn([ALL[name]], title=title)) == []


def test_pictures_stand_below_each_other() -> None:
    one = [float(drawn([p]).get_size_inches()[1]) for p in ALL.values()]
    together = float(drawn(list(ALL.values())).get_size_inches()[1])
    assert together == pytest.approx(sum(one) - 0.05 * (len(one) - 1), abs=1e-6)
    assert overlapping(drawn(list(ALL.values()))) == []


def test_curves_are_told_apart_without_colour() -> None:
    curves = tuple(Curve(label=f"curve {i}", x=X, y=X * (i + 1.0)) for i in range(6))
    fig = drawn([Picture(title="", says="", x_label="", y_label="", curves=curves)])
    lines = [line for line in fig.axes[0].lines if len(line.get_xdata()) == len(X)]
    assert len({(str(line.get_linestyle()), str(line._dash_pattern)) for line in lines}) == 6  # type: ignore[attr-defined]


@pytest.mark.parametrize("form", ["svg", "png", "pdf"])
def test_a_picture_is_saved_once(form: str, tmp_path: Path) -> None:
    out = tmp_path / f"p.{form}"
    save([LINES, BARS], out)
    assert out.read_bytes() == encode(drawn([LINES, BARS]), form)  # type: ignore[arg-type]
    with pytest.raises(FileExistsError):
        save([LINES], out)


def test_a_page_of_a_finding_is_whole_and_well_formed() -> None:
    text = page(finding())
    p = Page(text)
    assert [level for level, _ in p.headings][:2] == [1, 2]
    for words in ("It breaks there.", "600 N", "all checks", "a round section", "look first", "best", "71 %"):
        assert words in p.text()
    assert text.count("<svg ") == len(ALL)
    for tag, a in p.tags:
        if tag == "th":
            assert a["scope"] in ("col", "row")
    assert not {"script", "link", "img"} & {tag for tag, _ in p.tags}


def test_words_of_a_finding_stay_words() -> None:
    text = page(finding(title=ODD, sentence=ODD, pictures=(WORDS,)))
    p = Page(text)
    assert not {"script"} & {tag for tag, _ in p.tags}
    assert p.text().count(ODD) >= 3
    root = ET.fromstring(text[text.index("<svg ") : text.index("</svg>") + 6])
    assert root[1].text == ODD


def test_a_question_writes_its_page_and_never_over_another(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    file, out = tmp_path / "oar.toml", tmp_path / "breaks.html"
    file.write_text(toml(PLAIN), encoding="utf-8")
    assert main(["what-breaks", str(file), "--sheet", str(out)]) == 0
    before = out.read_bytes()
    assert b"<svg " in before
    assert main(["what-breaks", str(file), "--sheet", str(out)]) == 2
    assert "there already and stays as it is" in capsys.readouterr().err
    assert out.read_bytes() == before
    assert main(["what-breaks", str(file), "--sheet", str(tmp_path / "x.txt")]) == 2
    assert "ends in .html" in capsys.readouterr().err
