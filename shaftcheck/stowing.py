"""What an answer says of stowing: the pieces' sizes, and whether they go into the locker. Apart from the verdict."""

from __future__ import annotations

import math
from typing import Literal

from shaftcheck.border.shown import System, say
from shaftcheck.frozen import frozen
from shaftcheck.model import Shaft
from shaftcheck.said import Said, Size, said, sized
from shaftcheck.stow import Bar, Locker, Lying, bars, lies, together

__all__ = ["STOWING_SOURCE", "Piece", "Stowed", "stowed"]

STOWING_SOURCE = (
    "each piece as a stiff bar of its greatest width and thickness all along, in a box with sharp edges (derived; on "
    "the diagonal by Carver's rectangle in a rectangle, from memory); through a hatch at one slant. A turn in all "
    "three directions may get more in: try with a batten"
)
State = Literal["STOWS", "DOES NOT STOW", "STOWING NOT SETTLED", ""]


@frozen
class Piece:
    """One piece as it is stowed."""

    bar: Bar
    lying: Lying | None
    """None where there is no locker, or its sizes are not known"""


@frozen
class Stowed:
    """The pieces of one oar, and what becomes of them."""

    pieces: tuple[Piece, ...]
    state: State
    """empty where no locker is told"""
    words: tuple[str, ...]

    @property
    def sentence(self) -> str:
        """Return its words as one sentence."""
        words = "; ".join(self.words)
        return f"{words[:1].upper()}{words[1:]}."

    @property
    def met(self) -> bool:
        """Return whether all goes in, or no locker is told."""
        return self.state in ("STOWS", "")


def stowed(shaft: Shaft, locker: Locker | None, system: System) -> Stowed:
    """Return how the pieces of a single shaft stow."""
    all_bars = bars(shaft)
    if locker is None:
        return Stowed(pieces=tuple(Piece(bar=b, lying=None) for b in all_bars), state="", words=())
    hatch = () if locker.hatch == "top open" else (locker.hatch_length, locker.hatch_width)
    room = (locker.beyond,) if locker.hatch in ("top", "side") else ()
    if not locker.hatch or any(math.isnan(s) for s in (locker.length, locker.width, locker.height, *hatch, *room)):
        words = "whether it stows is not known: a size of the locker or its hatch is unknown"
        none = tuple(Piece(bar=b, lying=None) for b in all_bars)
        return Stowed(pieces=none, state="STOWING NOT SETTLED", words=(words,))
    lying = [lies(b, locker) for b in all_bars]
    sentences = [_of(b, how) for b, how in zip(all_bars, lying, strict=True)]
    state: State = "STOWS"
    if not all(how.way for how in lying):
        state = "DOES NOT STOW"
    elif len(all_bars) > 1 and not together(all_bars, locker):
        state = "STOWING NOT SETTLED"
        sentences.append(said("each goes in alone; whether all at once do is not reckoned unless they lie flat"))
    return Stowed(
        pieces=tuple(Piece(bar=b, lying=how) for b, how in zip(all_bars, lying, strict=True)),
        state=state,
        words=tuple(say(s, system) for s in sentences),
    )


def _of(b: Bar, how: Lying) -> Said:
    text = "the {piece}, {long} long, {wide} by {thick}, "
    parts: dict[str, Size | str] = {
        "piece": b.name,
        "long": sized(b.length, side="up"),
        "wide": sized(b.wide, side="up"),
        "thick": sized(b.thick, side="up"),
    }
    if how.way:
        spare = sized(how.longest - b.length, side="down")
        return said(text + "stows {way} with {spare} to spare", way=how.way, spare=spare, **parts)
    if how.longest == 0.0:
        return said(text + "does not stow: at any length it is too wide or too thick", **parts)
    return said(text + "does not stow: it is {over} too long", over=sized(b.length - how.longest, side="up"), **parts)
