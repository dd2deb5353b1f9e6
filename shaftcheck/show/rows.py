"""What an answer's tables hold, as texts: the same for the terminal and for a sheet. Figures round to the safe side."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence

from shaftcheck.answer import Answer, CaseLine, Line, Oar
from shaftcheck.border.shaftfile import Entry
from shaftcheck.border.shown import MARK, System, both, pull, say, show
from shaftcheck.frozen import frozen
from shaftcheck.key import DIMENSION_OF, Value
from shaftcheck.model import Hinged
from shaftcheck.said import NOT_KNOWN, Dimension, Side
from shaftcheck.said import percent as part_used
from shaftcheck.strength import OWN_FACTOR
from shaftcheck.studies.needs import Need

__all__ = [
    "USED",
    "Grid",
    "cases",
    "checks",
    "every_case",
    "grouped",
    "inputs",
    "ladder",
    "measured",
    "met_besides",
    "missing",
    "mounting",
    "needs",
    "option_words",
    "options",
    "percent",
    "pulls",
    "stowed",
    "whole",
]

FAR_ABOVE, HARDLY = 99.0, 0.001
"""plain numbers beyond these say no more than that (judgement) [-]"""
_DIMENSIONS: dict[str, Dimension] = {"Pa": "stress", "N": "force", "m": "length"}


@frozen(kw_only=False, eq=True)
class Grid:
    """A table of texts."""

    heads: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]
    align: str
    """a letter a column: l or r"""


def _size(value: float, unit: str, system: System, side: Side) -> str:
    if math.isnan(value):
        return "not known"
    if unit in _DIMENSIONS:
        return show(value, _DIMENSIONS[unit], system, side=side)
    if math.isinf(value):
        return "no limit"
    if value == 0.0:
        return "0"
    if value > FAR_ABOVE:
        return "far above 1"
    if 0.0 < value < HARDLY:
        return f"below {HARDLY:g}"
    step = 10.0 ** (math.floor(math.log10(abs(value))) - 1)
    marks = value / step
    rounded = math.ceil(marks - 1e-9) if side == "up" else math.floor(marks + (0.5 if side == "near" else 1e-9))
    return f"{rounded * step:.2g}"


def percent(use: float, known: bool) -> str:
    """Return a use in per cent, rounded up."""
    words = part_used(use, "up")
    return words if known or words == NOT_KNOWN else f"{words}, part not known"


def _margin(line: Line) -> str:
    if math.isnan(line.use) or math.isinf(line.margin):
        return ""
    return part_used(line.margin, "down", signed=True)


def checks(lines: Sequence[Line], system: System) -> Grid:
    """Return comparisons at their worst; those that nothing asks anything of are left to `met_besides`."""
    rows = []
    for line in lines:
        if line.use == 0.0 and line.demand == 0.0:
            continue  # named below the table
        unchecked = line.kind == "is not checked"
        under = line.case_title or ("all strokes of a life" if line.kind == "wears out" else "")
        rows.append(
            (
                line.check,
                "not checked" if unchecked else percent(line.use, line.known),
                _margin(line),
                under,
                line.place,
                show(line.x, "length", system),
                "" if unchecked else _size(line.demand, line.unit, system, "near" if line.unit else "up"),
                "" if unchecked else _size(line.capacity, line.unit, system, "near"),
            )
        )
    heads = ("check", "used", "margin", "worst under", "where", "from handle end", "there is", "may be")
    return Grid(heads, tuple(_once(rows)), "lrrllrrr")


def _once(rows: Sequence[tuple[str, ...]]) -> list[tuple[str, ...]]:
    """Return rows, one for two that say the same: a joint that bears loose as it does as fitted."""
    out: list[tuple[str, ...]] = []
    for row in rows:
        if out and row[1:] == out[-1][1:] and row[0].startswith(f"{out[-1][0]} ("):
            out[-1] = (f"{row[0].removesuffix(')')} or not)", *row[1:])
        else:
            out.append(row)
    return out


def met_besides(lines: Sequence[Line]) -> list[str]:
    """Return the names of the comparisons that nothing asks anything of."""
    return [line.check for line in lines if line.use == 0.0 and line.demand == 0.0]


def grouped(names: Iterable[str]) -> list[str]:
    """Return names of comparisons, those of one part together."""
    parts: dict[str, list[str]] = {}
    for each in names:
        *part, name = each.rsplit(", ", 1)
        parts.setdefault("".join(part), []).append(name)
    return [f"{part}: {', '.join(names)}" if part else ", ".join(names) for part, names in parts.items()]


def missing(lines: Sequence[Line]) -> list[str]:
    """Return what is not known, and of which check."""
    return list(dict.fromkeys(f"{line.check}: {line.unknown}" for line in lines if not line.known))


def _case(c: CaseLine, system: System, title: str) -> tuple[str, ...]:
    load = f"{c.load:g} x weight" if not c.unit else show(c.load, "force", system)
    if not c.unit and math.isfinite(c.good_for):
        good = f"{math.floor(c.good_for * 10) / 10:g} x weight"
    else:
        good = show(c.good_for, "force", system, side="down")
    used = percent(c.use, c.known)
    return title, used, f"{load} {c.acts}".rstrip(), good, c.check, c.place, show(c.x, "length", system), c.bends


def cases(oar: Oar, system: System) -> Grid:
    """Return the cases; of those that differ only in their direction, the worst."""
    families: dict[str, list[CaseLine]] = {}
    for c in oar.cases:
        families.setdefault(c.case.partition(" ")[0], []).append(c)
    rows = []
    for members in families.values():
        worst = max(members, key=lambda c: math.inf if math.isnan(c.use) else c.use)
        title = worst.title if len(members) == 1 else f"{worst.title} (worst of {len(members)} ways)"
        rows.append(_case(worst, system, title))
    return Grid(_CASE_HEADS, tuple(rows), "lrlrllrl")


def every_case(oar: Oar, system: System) -> Grid:
    """Return every case with its number."""
    rows = [(str(i), *_case(c, system, c.title)) for i, c in enumerate(oar.cases, 1)]
    return Grid(("no.", *_CASE_HEADS), tuple(rows), "rlrlrllrl")


_CASE_HEADS = (
    "must hold",
    "used",
    "load",
    "good for alone",
    "governed by",
    "where",
    "from handle end",
    "stretched face",
)
_STROKES = {"once": "greatest single pull", "start": "start or sprint", "hard": "hard rowing", "steady": "every stroke"}


def pulls(oars: Sequence[Oar], system: System, *, alone: bool = False) -> Grid:
    """Return what each oar is good for.

    Parameters
    ----------
    alone : whether pulls are said in the units of the system alone
    """
    heads = ["pull at the hand", "asked"] + [f"work to this{', ' + o.label if o.label else ''}" for o in oars]
    rows = [
        [words, show(oars[-1].asked[key], "force", system)] + [pull(o.pulls[key], system, alone=alone) for o in oars]
        for key, words in _STROKES.items()
    ]
    half = [show(o.to_break[0], "force", system, side="down") for o in oars]
    band = [
        f"{show(o.to_break[1], 'force', system, side='down')} to {show(o.to_break[2], 'force', system)}" for o in oars
    ]
    rows.append(["in bending, about half would have broken by here", "not for use", *half])
    rows.append(["  9 of 10 break between", "not for use", *band])
    return Grid(tuple(heads), tuple(tuple(r) for r in rows), "lr" + "l" * len(oars))


USED = (
    "Used: at 100 % it just holds; damage over a life grows far faster than the load. What stands, as the oar's weight "
    "or a clamp, is not scaled: used is the load's own part over what that leaves, and can be far more than what there "
    "is over what may be. Good for alone: if this load "
    "were the only one; a life's strokes add up, so the pulls above may be less."
)
"""what the tables' columns say"""


def _moved(x: float, system: System) -> str:
    """Return a movement as a tape reads it, no finer than a sixteenth of an inch."""
    coarse = x if system == "metric" or math.isnan(x) else max(round(x / MARK[system]), 1) * MARK[system]
    return show(coarse, "length", system)


def whole(oar: Oar, system: System) -> list[str]:
    """Return what is said of weight, movement, break and wear."""
    w, m, g = oar.whole, oar.movement, oar.gives
    lift = float(w.lift)
    lifts = (
        "each half hangs in its own cradle"
        if math.isnan(lift)
        else (
            f"the hand lifts the blade clear with {show(abs(lift), 'force', system)}"
            + (" down" if lift >= 0.0 else " up")
        )
    )
    where = "in its cradle" if isinstance(oar.shaft.rig, Hinged) else "at the lock"
    held = f", {_moved(m.held, system)} with the hand held" if m.held != m.clamped else ""
    return [
        f"Weight {show(float(w.mass), 'mass', system)}; balances {show(float(w.balance), 'length', system)} from the "
        f"handle end; {lifts}; swing inertia "
        f"{show(float(w.inertia), 'inertia', system)}.",
        f"At the greatest pull the blade moves {_moved(m.clamped, system)} as if clamped {where}{held}; "
        f"{part_used(m.shear_share, digits=2)} of it is shear. The hand moves {_moved(m.hand, system)}. No "
        "limit is published.",
        "Told, not demanded, in bending of the sound wood away from joints, cradles and flaws (these may give way "
        "before: what-breaks says what gives first): the shaft gives way (about half of such shafts) at "
        f"{show(float(g.blade), 'force', system, side='down')} on the blade, as when it is stopped dead on rock or "
        f"jammed and pulled with everything; under {show(float(g.across), 'force', system, side='down')} in the middle "
        f"of {show(1.2, 'length', system)} between supports, half of that when stepped on suddenly; and dropped flat "
        f"across an edge from about {show(float(g.drop), 'length', system, side='down')}. Expect a long splintered "
        "break, or a crease that breaks later.",
        f"Damage of a life's strokes adds to {_size(oar.damage, '', system, 'up')} (must stay below 1). Were the "
        f"fatigue line a fifth lower, steady rowing would use {percent(oar.steady_if_a_fifth_lower, True)}.",
    ]


def mounting(oar: Oar, system: System) -> Grid | None:
    """Return what goes to the mounting of a hinged rig."""
    m = oar.mounted
    if m is None:
        return None
    rows = []
    for f in m.forces:
        load = f"{show(f.driver, 'force', system)} {f.acts}".rstrip()
        forces = (_size(v, "N", system, "up") for v in (f.link, f.inner_pin, f.outer_pin))
        times = "" if math.isnan(f.times) else f"{f.times:.1f}"
        rows.append((f.title, load, *forces, show(f.couple, "moment", system, side="up"), times))
    heads = ("on the mounting", "load", "link", "inner pin", "outer pin", "couple", "pin over pull")
    return Grid(heads, tuple(rows), "llrrrrr")


def measured(a: Answer) -> Grid | None:
    """Return what was measured of the oar beside what is computed; None where nothing was."""
    rows = [(m.what, *(show(v, m.dimension, a.system) for v in (m.told, m.computed))) for m in a.measured]
    return Grid(("measured", "by you", "computed"), tuple(rows), "lrr") if rows else None


def needs(oar: Oar, system: System) -> Grid | None:
    """Return what each joint, and each cradle, needs of its sizes, all else as told."""
    found = oar.needs
    if not found:
        return None

    def size(n: Need, value: float, side: Side = "near") -> str:
        turned = 1.0 / value if n.dimension == "slope" else value
        return show(turned, n.dimension, system, side="near" if n.dimension == "slope" else side)

    rows = []
    for n in found:
        least = "none is enough" if math.isnan(n.least) else size(n, n.least, "up")
        most = "" if math.isnan(n.most) else size(n, n.most, "down")
        flatter = " or flatter" if n.dimension == "slope" and not math.isnan(n.least) and not most else ""
        name = f"{n.kind}, {n.key.replace('_', ' ')}"
        rows.append((name, size(n, n.told), least + flatter, most, "; ".join(n.bars)))
    heads = ("needs here", "told", "at least", "at most", "barred by")
    kept = [k for k in range(len(heads)) if any(row[k] for row in rows)]
    return Grid(tuple(heads[k] for k in kept), tuple(tuple(r[k] for k in kept) for r in rows), "lrlll"[: len(kept)])


def stowed(oar: Oar, system: System) -> Grid | None:
    """Return the pieces' sizes, of an oar that comes apart or where a locker is told."""
    pieces = oar.stowed.pieces
    if len(pieces) == 1 and not oar.stowed.state:
        return None
    rows = []
    for p in pieces:
        sizes = [show(v, "length", system, side="up") for v in (p.bar.length, p.bar.wide, p.bar.thick)]
        lies = "" if p.lying is None else p.lying.way or "does not stow"
        longest = "" if p.lying is None else show(p.lying.longest, "length", system, side="down")
        rows.append((p.bar.name, *sizes, lies, longest))
    heads = ("stowed", "long", "wide", "thick", "in the locker", "up to")
    if not oar.stowed.state:  # no locker is told
        return Grid(heads[:4], tuple(r[:4] for r in rows), "lrrr")
    return Grid(heads, tuple(rows), "lrrrlr")


def options(a: Answer) -> Grid | None:
    """Return what may be done with an oar that is to be cut for a hinged rig; None for any other."""
    if not a.options:
        return None
    rows = []
    for o in a.options:
        line = o.weakest
        place, used = ("", "not known") if line is None else (f"{line.place}: {line.check}", percent(line.use, True))
        rows.append(
            (
                o.label,
                o.state,
                used,
                *(show(v, "force", a.system, side="down") for v in (o.once, o.steady)),
                place,
                show(o.mass, "mass", a.system),
            )
        )
    heads = ("what you may do", "verdict", "used", "work to, once", "every stroke", "weakest place", "weight")
    return Grid(heads, tuple(rows), "llrlllr")


def option_words(a: Answer, *, alone: bool = False) -> list[str]:
    """Return each option in words; `alone`: whether pulls are said in the units of the answer alone."""
    return [
        f"{o.label.capitalize()}: {'; '.join(say(w, a.system) for w in o.words)}. {o.spoken if alone else o.second}"
        for o in a.options
    ]


def _down(factor: float) -> float:
    return math.floor(factor * 1000.0) / 1000.0


def ladder(oar: Oar, system: System) -> Grid:
    """Return the strength of the wood and case that govern bending, rung by rung."""
    rows = [
        (
            s.name,
            "" if i == 0 else "not known" if math.isnan(s.factor.item()) else f"x {_down(s.factor.item()):.3f}",
            show(s.after.item(), "stress", system, side="down"),
            s.source,
        )
        for i, s in enumerate(oar.ladder)
        if s.name != OWN_FACTOR or s.factor.item() != 1.0
    ]
    return Grid((oar.ladder_of.partition(",")[0], "factor", "after it", "source"), tuple(rows), "lrrl")


def _understood(e: Entry, value: Value, system: System, other: bool) -> str:
    kind = DIMENSION_OF.get(e.key.kind)
    if isinstance(value, str):
        return value
    if kind is None:
        return f"{value:.0f}" if e.key.kind == "count" else f"{value:g}"
    return both(value, kind, system) if other and kind not in ("slope", "ratio") else show(value, kind, system)


def _echo(e: Entry, system: System, other: bool) -> tuple[str, str, str]:
    if e.value is not None:
        return e.path, _understood(e, e.value, system, other), e.how
    if not e.options:
        return e.path, "no verdict hangs on it", "unknown"
    if isinstance(e.options[0], str):
        return e.path, f"tried: {', '.join(map(str, e.options))}", "unknown"
    low, high = (_understood(e, v, system, other) for v in (e.options[0], e.options[-1]))
    return e.path, f"tried: {low} to {high}" if high != low else f"tried: {low}", "unknown"


def inputs(entries: Iterable[Entry], system: System, *, other: bool = False) -> list[tuple[str, str, str]]:
    """Return each input: its key, what was understood, how it is known.

    Parameters
    ----------
    other : whether the other system of units stands behind, in brackets
    """
    return [_echo(e, system, other) for e in entries]
