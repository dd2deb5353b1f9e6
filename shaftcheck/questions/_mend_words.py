"""What is said of a broken oar that is mended: sentence, tables, picture, figures for programs."""

from __future__ import annotations

from typing import Any

import numpy as np

from shaftcheck import sections
from shaftcheck.beam import GRAVITY
from shaftcheck.border.shown import System, axis, show
from shaftcheck.frozen import frozen
from shaftcheck.model import Shaft, number
from shaftcheck.questions._woods import Candidate
from shaftcheck.questions.question import Curve, Picture, Stretch, Table, numbers
from shaftcheck.said import percent
from shaftcheck.studies.mend import Range, Scarfs, Side
from shaftcheck.studies.pairs import Figures
from shaftcheck.studies.planks import dry_density
from shaftcheck.wood_relations import AXIAL_OVER_BENDING, plank_sag

__all__ = ["ENDS", "Found", "Mend", "data", "faces", "picture", "sentence", "tables"]

ENDS: dict[Side, str] = {"inner": "handle end", "outer": "blade end"}
"""what stands at each end that may be kept"""
_LATH: dict[System, tuple[float, float, float, float]] = {
    "metric": (0.100, 0.050, 2.0, 40.0),
    "inches": (0.1016, 0.0508, 1.9812, 40.8233133),
}
"""a plank that its sag is told of: width, thickness, span [m], weight hung at mid-span [kg]"""


@frozen
class Mend:
    """One way to mend: an end that is kept, a scarf, a new piece."""

    side: Side
    scarf: Scarfs
    """a batch of one"""
    new: Candidate
    worst: float
    known: bool
    uses: dict[str, float]
    f: Figures
    range: Range | None
    verdict: str
    why: tuple[str, ...]


@frozen
class Found:
    """What was found, and what it is held against."""

    shaft: Shaft
    """as it was before it broke"""
    sound: tuple[float, float]
    """where sound wood ends and where it begins again [m]"""
    ways: tuple[Mend, ...]
    """the best of each end that may be kept, best first"""
    planks: tuple[tuple[str, Mend | None, str], ...]
    """each plank of the shelf, what it makes of the best way, and why it is left out"""
    mate_name: str
    mate: Figures
    mate_state: tuple[str, float, str]
    """whether the mate holds, in words, its greatest use, and which check has it"""
    system: System


def faces(s: Scarfs) -> tuple[str, str]:
    """Return which way a scarf is cut, and on which face the outer piece's feather edge lies."""
    deep = float(s.through_depth[0]) == 1.0
    face = ("aft" if float(s.face[0]) > 0 else "forward") if deep else ("lower" if float(s.face[0]) > 0 else "upper")
    return ("fore and aft" if deep else "up and down"), face


# ------------------------------------------------------------------------------------------------------------- sentence


def sentence(f: Found) -> str:
    """Return the answer, first of all."""
    ways, planks = f.ways, f.planks
    if not ways or ways[0].verdict == "not so":
        why = f" The nearest: {'; '.join(ways[0].why)}." if ways else " No scarf lies whole in sound wood."
        mate = f" Its mate {f.mate_state[0]} too." if f.mate_state[0] != "holds" else ""
        return f"Not to be mended with one scarf.{why}{mate}"
    best = ways[0]
    shown = planks[0][1] if planks and planks[0][1] is not None and planks[0][1].verdict != "not so" else None
    m = shown or best
    said = f"Mended {m.verdict}: {_where(f, best)}."
    said += f" It is used {percent(m.worst, 'up')}, its mate {percent(f.mate_state[1], 'up')}."
    if shown is not None:
        said += f" Of the shelf take {shown.new.name}."
    elif _ranges(f, best):
        said += f" Look for {_ranges(f, best)}."
    if m.why:
        said += f" Why not more: {'; '.join(m.why)}."
    return said


def _where(f: Found, m: Mend) -> str:
    s = m.scarf
    through, face = faces(s)
    start, middle, end = (show(float(v[0]), "length", f.system) for v in (s.start, s.middle, s.end))
    cut = end if m.side == "inner" else start
    return (
        f"keep the {ENDS[m.side]}, saw it off at {cut}, and scarf a new piece to it 1:{1.0 / float(s.slope[0]):.0f}, "
        f"cut {through}, from {start} to {end} (middle at {middle}), the outer piece's feather edge {face}"
    )


def _ranges(f: Found, m: Mend) -> str:
    r = m.range
    if r is None or r.gravity[0] > r.gravity[1] or r.stiffness[0] > r.stiffness[1]:
        return ""
    light, heavy = (show(float(dry_density(g)), "density", f.system) for g in r.gravity)
    soft, stiff = (show(e, "stiffness", f.system) for e in r.stiffness)
    return (
        f"a plank of {m.new.name} of {light} to {heavy} at 12 % moisture and {soft} to {stiff} stiff ({_sags(f, m, r)})"
    )


def _sags(f: Found, m: Mend, r: Range) -> str:
    """Return the same stiffness as the sag of a plank on two supports."""
    b, t, span, mass = _LATH[f.system]
    sags = plank_sag(
        force=number(mass * GRAVITY),
        span=number(span),
        width=number(b),
        thickness=number(t),
        axial=np.array([r.stiffness[1], r.stiffness[0]]) * AXIAL_OVER_BENDING,
        ratio=m.new.wood.shear_ratio / AXIAL_OVER_BENDING,
    )
    low, high = (show(float(sag), "length", f.system) for sag in sags)
    sizes = " by ".join(show(v, "length", f.system) for v in (b, t))
    return (
        f"{sizes} lying flat on supports {show(span, 'length', f.system)} apart it sags {low} to {high} more under "
        f"{show(mass, 'mass', f.system)}"
    )


# --------------------------------------------------------------------------------------------------------------- tables


def tables(f: Found) -> tuple[Table, ...]:
    """Return the ends that may be kept, the mended oar beside its mate, and the planks that are left out."""
    system, mate = f.system, f.mate
    good = [m for m in f.ways if m.verdict != "not so"]
    out = []
    if f.ways:
        out.append(
            Table(
                title="The best scarf for each end that may be kept",
                heads=("keep", "saw off at", "slope", "scarf", "cut", "outer edge", "used", "verdict", "why"),
                rows=tuple(_row(f, m) for m in f.ways),
                numeric=(1, 2, 6),
            )
        )
    if good:
        rows = [
            (
                f.mate_name,
                show(float(mate.mass), "mass", system),
                show(float(mate.balance), "length", system),
                show(float(mate.sag), "length", system),
                percent(f.mate_state[1], "up"),
                "",
                "",
            ),
            _beside(f, good[0]),
            *(_beside(f, m) for _, m, _ in f.planks if m is not None),
        ]
        out.append(
            Table(
                title="Beside its mate, mended with",
                heads=("", "weight", "balance", f"sag, {show(10.0, 'mass', system)}", "used", "verdict", "why"),
                rows=tuple(rows),
                numeric=(1, 2, 3, 4),
            )
        )
    left_out = tuple((name, why) for name, m, why in f.planks if m is None)
    if left_out:
        out.append(Table(title="Planks left out", heads=("plank", "why"), rows=left_out))
    return tuple(out)


def _row(f: Found, m: Mend) -> tuple[str, ...]:
    s = m.scarf
    through, face = faces(s)
    return (
        ENDS[m.side],
        show(float((s.end if m.side == "inner" else s.start)[0]), "length", f.system),
        f"1:{1.0 / float(s.slope[0]):.0f}",
        f"{show(float(s.start[0]), 'length', f.system)} to {show(float(s.end[0]), 'length', f.system)}",
        through,
        face,
        percent(m.worst, "up") if m.known else "not known",
        m.verdict,
        "; ".join(m.why),
    )


def _beside(f: Found, m: Mend) -> tuple[str, ...]:
    return (
        m.new.name,
        show(float(m.f.mass[0]), "mass", f.system),
        show(float(m.f.balance[0]), "length", f.system),
        show(float(m.f.sag[0]), "length", f.system),
        percent(m.worst, "up") if m.known else "not known",
        m.verdict,
        "; ".join(m.why),
    )


# -------------------------------------------------------------------------------------------------------------- picture


def picture(f: Found) -> Picture:
    """Return the oar in the plane of the cut: what is not sound, and the scarf."""
    ways = f.ways
    unit, per = axis("length", f.system)
    shaft = f.shaft
    x = np.linspace(0.0, float(shaft.blade.neck), 161)
    depth, width, _, _ = sections.at(x[None], shaft.stations)
    stretches = [Stretch(start=f.sound[0] / per, end=f.sound[1] / per, good=False, label="not sound")]
    if ways:
        s = ways[0].scarf
        stretches.append(
            Stretch(
                start=float(s.start[0]) / per,
                end=float(s.end[0]) / per,
                good=ways[0].verdict != "not so",
                label=f"scarf 1:{1.0 / float(s.slope[0]):.0f}",
            )
        )
    through = not ways or float(ways[0].scarf.through_depth[0]) == 1.0
    half = (depth if through else width)[0] / per / 2.0
    upper, lower = ("forward", "aft") if through else ("upper", "lower")
    curves = [Curve(label=f"{upper} face", x=x / per, y=half), Curve(label=f"{lower} face", x=x / per, y=-half)]
    if ways:
        s = ways[0].scarf
        ends = np.array([float(s.start[0]), float(s.end[0])]) / per
        size_at = np.interp(ends, x / per, half)
        # the outer piece's feather edge lies inboard, on its own face
        y = np.array([size_at[0], -size_at[1]]) * (-1.0 if float(s.face[0]) > 0 else 1.0)
        curves.append(Curve(label=f"the cut, 1:{1.0 / float(s.slope[0]):.0f}", x=ends, y=y))
    return Picture(
        title="Where it broke, and where the scarf may lie",
        says="The oar in the plane of the cut, with the stretch that is not sound and the scarf that is proposed.",
        x_label=f"from the handle end, {unit}",
        y_label=f"{'fore and aft' if through else 'up and down'}, {unit}",
        curves=tuple(curves),
        stretches=tuple(stretches),
    )


# -------------------------------------------------------------------------------------------------------------- figures


def data(f: Found) -> dict[str, Any]:
    """Return all that was found, for programs."""
    mate = f.mate
    return {
        "sound_wood": {"up_to": numbers(f.sound[0], "m"), "from": numbers(f.sound[1], "m")},
        "ways": [_record(f, m) for m in f.ways],
        "planks": [_record(f, m) for _, m, _ in f.planks if m is not None],
        "left_out": [{"plank": n, "why": w} for n, m, w in f.planks if m is None],
        "mate": {
            "name": f.mate_name,
            "state": f.mate_state[0],
            "worst_use": numbers(f.mate_state[1], ""),
            "weight": numbers(float(mate.mass), "kg"),
            "balance": numbers(float(mate.balance), "m"),
            "sag": numbers(float(mate.sag), "m"),
        },
    }


def _record(f: Found, m: Mend) -> dict[str, Any]:
    s = m.scarf
    through, face = faces(s)
    r = m.range
    return {
        "keep": m.side,
        "saw_off_at": numbers(float((s.end if m.side == "inner" else s.start)[0]), "m"),
        "scarf": {
            "from": numbers(float(s.start[0]), "m"),
            "middle": numbers(float(s.middle[0]), "m"),
            "to": numbers(float(s.end[0]), "m"),
            "slope": numbers(float(s.slope[0]), ""),
            "cut_through": through,
            "outer_tip_on": face,
        },
        "new_piece": m.new.name,
        "worst_use": numbers(m.worst if m.known else np.nan, ""),
        "weight": numbers(float(m.f.mass.ravel()[0]), "kg"),
        "balance": numbers(float(m.f.balance.ravel()[0]), "m"),
        "sag": numbers(float(m.f.sag.ravel()[0]), "m"),
        "verdict": m.verdict,
        "why": list(m.why),
        "look_for": None
        if r is None or not _ranges(f, m)
        else {
            key: {"low": numbers(ends[0] * per, unit), "high": numbers(ends[1] * per, unit)}
            for key, ends, per, unit in (
                ("density_at_12", r.gravity, float(dry_density(1.0)), "kg/m3"),
                ("stiffness_at_12", r.stiffness, 1.0, "Pa"),
            )
        },
    }
