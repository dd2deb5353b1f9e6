"""One figure of an answer as a file's content."""

from __future__ import annotations

from typing import TYPE_CHECKING, Literal

from shaftcheck.along import along
from shaftcheck.answer import Answer
from shaftcheck.errors import Fault, InputError
from shaftcheck.show.details import details
from shaftcheck.show.diagrams import diagrams
from shaftcheck.show.drawing import drawn
from shaftcheck.show.style import FORMATS, Format, encode

if TYPE_CHECKING:
    from matplotlib.figure import Figure

__all__ = ["FORMATS", "View", "draw"]

View = Literal["shaft", "diagrams"]


def draw(a: Answer, form: Format, view: View | int = "shaft") -> bytes:
    """Return a figure of the oar that is asked about, as changed where there is a change.

    Parameters
    ----------
    view : the shaft to scale, the diagrams along it, or the number of a joint, lock or cradle, from 1 on

    Raises
    ------
    InputError
        if there is none of that number.
    """
    return encode(_figure(a, view), form)


def _figure(a: Answer, view: View | int) -> Figure:
    oar = a.oars[-1]
    name = a.title or a.name
    title = f"{name}, {oar.label}" if oar.label else name
    if isinstance(view, int):
        found = details(oar, a.system)
        if not 1 <= view <= len(found):
            there = "; ".join(f"{i}: {d.title}" for i, d in enumerate(found, 1)) or "no joint, lock or cradle to draw"
            raise InputError(a.name, [Fault("joint", f"no joint {view}", f"there is {there}")])
        detail = found[view - 1]
        return detail.draw(f"{detail.title}: {title}")
    return (
        drawn(oar, along(oar), a.system, title=title)
        if view == "shaft"
        else diagrams(oar, along(oar), a.system, title=title)
    )
