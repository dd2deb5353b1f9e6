"""What a result shows of itself in a notebook: the verdict, the shaft drawn to scale, and what must be said."""

from __future__ import annotations

from hashlib import sha256

from shaftcheck.along import along
from shaftcheck.answer import Answer
from shaftcheck.show.drawing import drawn, in_words
from shaftcheck.show.page import fragment, shown
from shaftcheck.show.rows import pulls

__all__ = ["answered"]


def answered(a: Answer) -> str:
    """Return an answer as a piece of HTML that stands inside another page."""
    oar = a.oars[-1]
    run = along(oar)
    fig = drawn(oar, run, a.system)
    says = in_words(oar, run, a.system)
    # two results may stand in one notebook: what their drawings are named must differ where they do
    key = f"shaft-{sha256((says + a.name + oar.label).encode()).hexdigest()[:8]}"
    return fragment(
        "notebook.html",
        title=a.title or a.name,
        label=oar.label,
        state=oar.state,
        sentences=oar.spoken,
        picture=shown(fig, key, "The shaft drawn to scale", says),
        pulls=pulls((oar,), a.system, alone=True),
        cautions=[text for _, text in a.cautions],
    )
