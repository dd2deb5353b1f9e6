"""Papers for the bench: a form to measure an oar with, a card to cut by, and templates at full size.

They hold only text, tables and figures with their sizes in mm: a printer that prints at 100 % keeps them true, and the
bar on each page of templates says whether it did.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from shaftcheck.along import along
from shaftcheck.answer import Answer, Oar
from shaftcheck.border.shown import System, show
from shaftcheck.checks import JOINTS
from shaftcheck.frozen import frozen
from shaftcheck.marking import Marked, gauge, marks, turned
from shaftcheck.model import Hinged, Shaft
from shaftcheck.show import drawing, fullsize
from shaftcheck.show.page import Shown, render, shown
from shaftcheck.show.rows import Grid

__all__ = ["STEP", "FullSize", "Paper", "card", "form", "papers", "stations", "templates_of"]

STEP: dict[System, float] = {"metric": 0.200, "inches": 8 * 0.0254}
"""between two places that are measured or made a template of, beside the file's own sections [m]"""


@frozen
class FullSize:
    """A figure that must come out of a printer at its size."""

    pic: Shown
    width: float
    """[mm]"""


@frozen
class Paper:
    """One paper: its head, what to do with it, tables, figures and lists of things to tick off."""

    key: str
    head: str
    does: str
    grids: tuple[tuple[str, Grid], ...] = ()
    """caption and rows; a cell of `BOX` is a box to fill in, of `TICK` one to tick"""
    pic: Shown | None = None
    """a figure that fits itself to the page"""
    true: tuple[FullSize, ...] = ()
    ticks: tuple[tuple[str, tuple[str, ...]], ...] = ()
    """what is ticked off, and when"""


BOX, TICK = "\ue000", "\ue001"


def stations(shaft: Shaft, system: System) -> tuple[float, ...]:
    """Return the file's own sections from the handle end to the neck, the neck, and a place every 200 mm or 8 in that
    is not within a quarter of that of one of them [m]."""
    neck, step = float(shaft.blade.neck), STEP[system]
    own = {0.0, neck, *(float(s.x) for s in shaft.stations if float(s.x) < neck - 1e-3)}
    between = [k * step for k in range(int(neck / step + 1e-9) + 1)]
    return tuple(sorted([*own, *(x for x in between if min(abs(x - o) for o in own) > step / 4.0)]))


def form(oar: Oar, system: System) -> Paper:
    """Return the measuring form: boxes for all that a shaft file asks of an oar in hand."""
    shaft = oar.shaft
    a_size = "mm" if system == "metric" else "ft, in and sixteenths"
    weight = "kg" if system == "metric" else "lb and oz"
    rings = "rings in 25 mm" if system == "metric" else "rings in 1 in"
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
        key="form",
        head="Measuring form",
        does=f"Lay the oar on trestles, blade upright. Write what you read, in {a_size}; behind each size in the file "
        'write "(measured)". What you can not measure is "unknown" there, and that is a proper answer.',
        pic=_drawn(oar, system, "form"),
        grids=(
            (
                "Places",
                _grid(
                    ("what", f"measured, {a_size}", "key in the file"),
                    [*((p, BOX, k) for p, k in zip(places, keys, strict=True)), *(moves if hinged else ())],
                ),
            ),
            (
                "Sections, blade upright",
                _grid(("from handle end", "fore and aft", "up and down", "or girth"), sections),
            ),
            (
                "Weight and sag",
                _grid(
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
            ),
            (
                "The wood, on two faces a quarter apart",
                _grid(
                    ("face", "which wood", "run-out: grain leaves by ... over a length of ...", rings),
                    (("forward or aft", BOX, BOX, BOX), ("upper or lower", BOX, BOX, BOX)),
                ),
            ),
            (
                "What is wrong with it",
                _grid(
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


def card(oar: Oar, system: System) -> Paper:
    """Return the cut card: every line from the handle end with its check from the tip, and what to tick off."""
    shaft = oar.shaft
    rows = tuple((TICK, *_line(m, system), TICK) for m in marks(shaft))
    rig = shaft.rig
    kerf = float(rig.restart) - float(rig.saw) if isinstance(rig, Hinged) else 0.0
    sawn = any(m.waste for m in marks(shaft))
    told = f" The saw takes {show(kerf, 'length', system)} between the halves." if kerf > 0.0 else ""
    close = "1 mm" if system == "metric" else "1/16 in"
    nothing = "" if sawn else " Nothing in the file is sawn: the lines are for seats and sections only."
    return Paper(
        key="card",
        head="Cut card",
        does="Mark from the handle end, then check each mark from the blade tip: the two must meet within "
        f"{close}.{told}{nothing} Forward is towards the bow with the oar in its place, blade upright in the stroke.",
        pic=_drawn(oar, system, "card"),
        grids=(
            (
                "Lines, from the handle end",
                _grid(
                    ("marked", "from handle end", "check: from tip", "what", "on which faces", "waste side", "checked"),
                    rows,
                    (1, 2),
                ),
            ),
            *_for_tubes(shaft, system),
            (
                "Which oar",
                _grid(
                    ("mark", "port", "starboard"),
                    (
                        ("this card is for", TICK, TICK),
                        ("forward face marked F, aft face marked A, upper face marked U", TICK, TICK),
                        (
                            "looked at from the handle end, blade away, the forward face is",
                            "on the right",
                            "on the left",
                        ),
                    ),
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
                    *(("a batten as long as each piece tried in the locker",) if oar.stowed.state else ()),
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


def _for_tubes(shaft: Shaft, system: System) -> tuple[tuple[str, Grid], ...]:
    """Return what is turned down for tubes, and how long each tube is; nothing where there is none."""
    rows = [
        (
            TICK,
            f"turn to {show(t.size, 'fit', system, side='up')}",
            f"{show(t.start, 'length', system)} to {show(t.end, 'length', system)}",
            show(t.tube, "length", system),
            "the tube's inside, less the clearance; size it on the tube in hand",
        )
        for t in turned(shaft)
    ]
    heads = ("done", "round, for a tube", "from handle end", "tube's length", "fits")
    return (("Wood that goes into a tube", _grid(heads, rows)),) if rows else ()


def _grid(heads: tuple[str, ...], rows: Sequence[tuple[str, ...]], right: tuple[int, ...] = ()) -> Grid:
    return Grid(heads, tuple(rows), "".join("r" if i in right else "l" for i in range(len(heads))))


def _drawn(oar: Oar, system: System, key: str) -> Shown:
    run = along(oar)
    return shown(drawing.drawn(oar, run, system), key, "The oar from two sides", drawing.in_words(oar, run, system))


def _line(m: Marked, system: System) -> tuple[str, str, str, str, str]:
    return show(m.x, "length", system), show(m.tip, "length", system), m.what, m.faces, m.waste or "none"


def templates_of(shaft: Shaft, system: System, at: Sequence[float]) -> Paper:
    """Return sections at full size at the places asked for, and each scarf's wedge.

    Parameters
    ----------
    at : from the handle end [m]
    """
    figures: list[tuple[Any, str, str]] = [
        (fullsize.bar(system), "Bar to check the printer by", "A bar that must measure what stands below it.")
    ]
    for x in at:
        g = gauge(shaft, x)
        place = show(x, "length", system)
        says = (
            f"The section {place} from the handle end at full size: {fullsize.finished(g, g.depth, system)} fore and "
            f"aft, {fullsize.finished(g, g.width, system)} up and down, with the lines of its eight-siding."
        )
        title = f"Section at {place}"
        if g.turned is not None:
            ends = (show(v, "length", system) for v in (g.turned.start, g.turned.end))
            title += f": turn to {show(g.turned.size, 'fit', system, side='up')} from {' to '.join(ends)}, for the tube"
        if g.wall < min(g.depth, g.width) / 2.0:
            title += f", wall {show(g.wall, 'length', system)}"
        figures.append((fullsize.oval(g, system), title, says))
    for i, j in enumerate(shaft.joints, 1):
        wedge = JOINTS[j.kind].wedge
        if wedge is not None:
            slope = wedge(j)
            words = show(slope, "slope", system)
            says = f"A right-angled wedge of slope {words}, at full size, to set the sled by."
            figures.append((fullsize.wedge(slope, system), f"Wedge of joint {i}, {words}", says))
    return Paper(
        key="templates",
        head="Templates at full size",
        does="Print at 100 %, lay a rule on the bar, and only then cut them out. Square the blank first; plane to the "
        "broken lines; then round to the curve. The templates show the finished size, without varnish. Sizes in words "
        "are rounded up and lines in from the edges down, so that no flat cuts into the curve; what goes into a tube "
        "is turned as told.",
        true=tuple(
            FullSize(pic=shown(fig, f"true{k}", title, says), width=float(fig.get_size_inches()[0]) * 25.4)
            for k, (fig, title, says) in enumerate(figures)
        ),
    )


def papers(a: Answer, at: Sequence[float] = ()) -> str:
    """Return the page of all papers, of the oar as changed where there is a change.

    Parameters
    ----------
    at : places of the templates, from the handle end [m]; if there are none, as `stations` gives them
    """
    system, oar = a.system, a.oars[-1]
    places = at or stations(oar.shaft, system)
    sheets = [form(a.oars[0], system), card(oar, system), templates_of(oar.shaft, system, places)]
    return render(
        "papers.html",
        title=a.title or a.name,
        note=a.note,
        file=a.name,
        state=oar.state,
        sentences=oar.sentences,
        stowing=(oar.stowed.state, oar.stowed.sentence) if oar.stowed.state else (),
        papers=sheets,
        box=BOX,
        tick=TICK,
        cautions=[text for _, text in a.cautions],
    )
