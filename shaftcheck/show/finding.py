"""A finding as text and as plain data for programs; nothing is computed here."""

from __future__ import annotations

from typing import Any

from shaftcheck.questions.question import Finding
from shaftcheck.show.record import SCHEMA
from shaftcheck.show.table import fitted, wrap
from shaftcheck.words import CAUTIONS

__all__ = ["record", "text"]


def text(f: Finding) -> str:
    """Return the whole finding, the answer first, within 100 columns."""
    out = [wrap(f.heading), "", wrap(f.sentence), ""]
    for t in f.tables:
        align = "".join("r" if i in t.numeric else "l" for i in range(len(t.heads)))
        out += [wrap(t.title), "", fitted(t.rows, t.heads, align), ""]
    out += [wrap(s, "Searched: ") for s in f.searched]
    if f.assumptions:
        out += [wrap("; ".join(f.assumptions) + ".", "Taken for granted: ")]
    out += [wrap(c, "Caution: ") for c in (*f.cautions, *(c for _, c in CAUTIONS))]
    return "\n".join(out)


def record(f: Finding) -> dict[str, Any]:
    """Return the whole finding."""
    return {
        "schema": SCHEMA,
        "question": f.question,
        "title": f.title,
        "oar": f.oar or None,
        "sentence": f.sentence,
        "answered": f.answered,
        **f.data,
        "winners": [{"label": w.label, "file": w.doc, "uses": dict(w.uses)} for w in f.winners],
        "searched": list(f.searched),
        "assumptions": list(f.assumptions),
        "cautions": [*f.cautions, *(c for _, c in CAUTIONS)],
    }
