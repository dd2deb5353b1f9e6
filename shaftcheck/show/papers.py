"""Papers for the bench: a form to measure an oar with, a card to cut by, and templates at full size.

They hold only text, tables and figures with their sizes in mm: a printer that prints at 100 % keeps them true, and the
bar on each page of templates says whether it did.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from shaftcheck.border.shaftfile import Reading
from shaftcheck.border.sizes import System, show
from shaftcheck.checks import JOINTS
from shaftcheck.frozen import frozen
from shaftcheck.marking import Marked, gauge, marks
from shaftcheck.model import Hinged, Shaft
from shaftcheck.show import templates
from shaftcheck.show.style import inline

__all__ = ["STEP", "Paper", "card", "form", "stations", "templates_of"]

STEP: dict[System, float] = {"metric": 0.200, "inches": 8 * 0.0254}
"""between two places that are measured or made a template of [m]"""


@frozen(eq=True)
class Paper:
    """One sheet or more: its head, what to do with it, tables, figures and lists of things to tick."""

    head: str
    does: str
    tables: tuple[tuple[str, tuple[str, ...], tuple[tuple[str, ...], ...]], ...] = ()
    """caption, heads, rows; a cell of `BOX` is a box to fill, of `TICK` one to tick"""
    figures: tuple[str, ...] = ()
    """SVG"""
    sizes: tuple[tuple[float, float], ...] = ()
    """width and height of each figure that must be true [in]; none where figures fit themselves to the page"""
    ticks: tuple[tuple[str, tuple[str, ...]], ...] = ()
    """what is ticked off, and when"""


BOX, TICK = "\ue000", "\ue001"


def stations(shaft: Shaft, system: System) -> tuple[float, ...]:
    """Return a place every 200 mm or 8 in from the handle end to the neck, and the neck [m]."""
    neck, step = float(shaft.blade.neck), STEP[system]
    out = [k * step for k in range(int(neck / step + 1e-9) + 1)]
    return tuple([*out, neck] if neck - out[-1] > 1e-3 else out)


def form(shaft: Shaft, reading: Reading, system: System, drawn: str) -> Paper:
    """Return the measuring form: boxes for all that a shaft file asks of an oar in hand.

    Parameters
    ----------
    drawn : the oar from two sides, as SVG
    """
    a_size = "mm" if system == "metric" else "ft, in and sixteenths"
    weight = "kg" if system == "metric" else "lb and oz"
    hinged = isinstance(shaft.rig, Hinged)
    places = ["handle end to blade tip", "handle end to the middle of the grip"]
    keys = ["oar.length", "rig.hand"]
    if hinged:
        places += ["handle end to the inner pin", "handle end to the outer pin", "from pin to pin"]
        keys += ["rig.inner_pin", "rig.outer_pin", "rig.pin_spacing"]
    else:
        places.append("handle end to the middle of the lock")
        keys.append("rig.lock")
    places += ["neck to tip of the blade", "blade, across at the widest"]
    keys += ["oar.blade_length", "oar.blade_width"]
    sections = tuple((show(x, "length", system), BOX, BOX, BOX) for x in stations(shaft, system))
    moves = (("the hand moves", BOX, "rig.hand_moves"), ("the blade's middle moves", BOX, "rig.blade_moves"))
    return Paper(
        head="Measuring form",
        does=f"Lay the oar on trestles, blade upright. Write what you read, in {a_size}; behind each size in the file "
        'write "(measured)". What you can not measure is "unknown" there, and that is a proper answer.',
        figures=(drawn,),
        tables=(
            (
                "Places",
                ("what", f"measured, {a_size}", "key in the file"),
                tuple((p, BOX, k) for p, k in zip(places, keys, strict=True)) + (moves if hinged else ()),
            ),
            ("Sections, blade upright", ("from handle end", "fore and aft", "up and down", "or girth"), sections),
            (
                "Weight and sag",
                ("what", f"measured, {a_size} or {weight}", "key in the file"),
                (
                    ("weight, whole oar", BOX, "measured.weight"),
                    ("handle end to where it balances", BOX, "measured.balance"),
                    ("weight hung", BOX, "measured.sag_weight"),
                    ("hung at, from the handle end", BOX, "measured.sag_at"),
                    ("sag there", BOX, "measured.sag"),
                    ("clamped at the lock, or resting on it and held at the hand", BOX, "measured.sag_held"),
                ),
            ),
            (
                "The wood, on two faces a quarter apart",
                ("face", "which wood", "run-out: grain leaves by ... over a length of ...", "rings in 25 mm or 1 in"),
                (("forward or aft", BOX, BOX, BOX), ("upper or lower", BOX, BOX, BOX)),
            ),
            (
                "What is wrong with it",
                ("what", "from handle end", "face", "how long"),
                tuple(
                    (what, BOX, BOX, BOX)
                    for what in (
                        "line across the grain (a crease): do not use the shaft",
                        "knot",
                        "old glue line or repair",
                        "dent, tack holes, leather",
                        "split or check",
                        "rot, black spot",
                    )
                ),
            ),
        ),
        ticks=(
            (
                "Before you put the tape away",
                (
                    "each size read twice, the second time from the other end",
                    "solid or hollow: known by drilling, weighing or a knock, not guessed",
                    "the blade's side that faces aft in the stroke is marked",
                ),
            ),
        ),
    )


def card(shaft: Shaft, system: System, drawn: str) -> Paper:
    """Return the cut card: every line from the handle end with its check from the tip, and what to tick off."""
    rows = tuple((TICK, *_line(m, system), TICK) for m in marks(shaft))
    rig = shaft.rig
    kerf = float(rig.restart) - float(rig.saw) if isinstance(rig, Hinged) else 0.0
    sawn = any(m.waste for m in marks(shaft))
    told = f" The saw takes {show(kerf, 'length', system)} between the halves." if kerf > 0.0 else ""
    nothing = "" if sawn else " Nothing in the file is sawn: the lines are for seats and sections only."
    return Paper(
        head="Cut card",
        does="Mark from the handle end, then check each mark from the blade tip: the two must meet within 1 mm or 1/32 "
        f"in.{told}{nothing} Forward is towards the bow with the oar in its place, blade upright in the stroke.",
        figures=(drawn,),
        tables=(
            (
                "Lines, from the handle end",
                ("marked", "from handle end", "check: from tip", "what", "on which faces", "waste side", "checked"),
                rows,
            ),
            (
                "Which oar",
                ("", "port", "starboard"),
                (
                    ("this card is for", TICK, TICK),
                    ("forward face marked F, aft face marked A, upper face marked U", TICK, TICK),
                    ("looked at from the handle end, blade away, the forward face is", "on the right", "on the left"),
                ),
            ),
        ),
        ticks=(
            (
                "Before",
                (
                    "the check says HOLDS for the shaft as changed; nothing on it is 'not settled'",
                    "the shaft was looked over in good light: no line across the grain, no old glue line, no dent near "
                    "a line",
                    "a second person read the marks from the tip",
                    "saw, sled and clamps tried on a spare piece of the same size",
                ),
            ),
            (
                "After",
                (
                    "sawn faces looked over: no creases, rot, hidden splits or hollow",
                    "end grain sealed at once",
                    "sizes of both ends measured and put into the file; check run again",
                    "tested on the bench before it goes afloat, with a spare aboard",
                ),
            ),
        ),
    )


def _line(m: Marked, system: System) -> tuple[str, str, str, str, str]:
    return show(m.x, "length", system), show(m.tip, "length", system), m.what, m.faces, m.waste or "none"


def templates_of(shaft: Shaft, system: System, at: Sequence[float]) -> Paper:
    """Return sections at full size at the places asked for, and each scarf's wedge.

    Parameters
    ----------
    at : from the handle end [m]
    """
    figures: list[tuple[Any, str, str]] = [
        (templates.bar(system), "Bar to check the printer by", "A bar that must measure what stands below it.")
    ]
    for x in at:
        g = gauge(shaft, x)
        place = show(x, "length", system)
        says = (
            f"The section {place} from the handle end at full size: {show(g.depth, 'length', system)} fore and aft, "
            f"{show(g.width, 'length', system)} up and down, with the lines of its eight-siding."
        )
        figures.append((templates.oval(g, system), f"Section at {place}", says))
    for i, j in enumerate(shaft.joints, 1):
        slope = JOINTS[j.kind].wedge(j)
        if slope is not None:
            words = show(slope, "slope", system)
            says = f"A right-angled wedge of slope {words}, at full size, to set the sled by."
            figures.append((templates.wedge(slope, system), f"Wedge of joint {i}, {words}", says))
    return Paper(
        head="Templates at full size",
        does="Print at 100 %, lay a rule on the bar, and only then cut them out. Square the blank first; plane to the "
        "broken lines; then round to the curve. The templates show the finished size, without varnish.",
        figures=tuple(inline(fig, f"t{k}", title, says) for k, (fig, title, says) in enumerate(figures)),
        sizes=tuple(tuple(float(v) for v in fig.get_size_inches()) for fig, _, _ in figures),  # type: ignore[misc]
    )
