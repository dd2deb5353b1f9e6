"""A finding as one HTML page, in the style of the shop sheet. Nothing is computed here."""

from __future__ import annotations

from shaftcheck.questions import question_of
from shaftcheck.questions.question import Finding
from shaftcheck.show.page import render, shown
from shaftcheck.show.pictures import drawn
from shaftcheck.show.rows import Grid, percent
from shaftcheck.words import CAUTIONS

__all__ = ["page"]


def page(f: Finding) -> str:
    """Return the page of a finding."""
    return render(
        "finding.html",
        title=f.heading,
        asks=question_of(f.question).asks,
        sentence=f.sentence,
        answered=f.answered,
        pictures=[shown(drawn([p], title=False), f"picture{i}", p.title, p.says) for i, p in enumerate(f.pictures, 1)],
        tables=[
            {
                "caption": t.title,
                "grid": Grid(t.heads, t.rows, "".join("r" if i in t.numeric else "l" for i in range(len(t.heads)))),
            }
            for t in f.tables
        ],
        winners=_winners(f),
        searched=f.searched,
        assumptions=f.assumptions,
        cautions=[*f.cautions, *(text for _, text in CAUTIONS)],
    )


def _winners(f: Finding) -> Grid | None:
    """Return the shafts that were found, with the checks that are used most."""
    if not f.winners:
        return None
    most = {name: max(w.uses.get(name, 0.0) for w in f.winners) for w in f.winners for name in w.uses}
    names = sorted(most, key=lambda name: -most[name])[:4]
    rows = [(w.label, *(percent(w.uses[n], True) if n in w.uses else "" for n in names)) for w in f.winners[:8]]
    return Grid(("shaft", *names), tuple(rows), "l" + "r" * len(names))
