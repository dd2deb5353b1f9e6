"""One figure of an answer as a file's content."""

from __future__ import annotations

from typing import TYPE_CHECKING

from shaftcheck.along import along
from shaftcheck.answer import Answer
from shaftcheck.show.drawing import drawn
from shaftcheck.show.style import FORMATS, Format, encode

if TYPE_CHECKING:
    from matplotlib.figure import Figure

__all__ = ["FORMATS", "draw"]


def draw(a: Answer, form: Format) -> bytes:
    """Return the scale drawing of the oar that is asked about, as changed where there is a change."""
    return encode(_figure(a), form)


def _figure(a: Answer) -> Figure:
    oar = a.oars[-1]
    name = a.title or a.name
    title = f"{name}, {oar.label}" if oar.label else name
    return drawn(oar, along(oar), a.system, title=title)
