"""What is told of a takedown joint, and what might be changed of it."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

import numpy as np

from shaftcheck.beam import Beam
from shaftcheck.checks.clamped import foundation_edge
from shaftcheck.checks.cradle import edge_pressure
from shaftcheck.checks.dowel import IN_A_ROW
from shaftcheck.checks.joint import Apart, Marking, Note, Turned
from shaftcheck.checks.lock import CURVED
from shaftcheck.checks.takedown_build import RAISERS, Takedown, moved
from shaftcheck.checks.takedown_half import HALVES, LIFT, Half, beta_of, half_of
from shaftcheck.checks.takedown_spigot import SWELLS, fitted_at, play, swelling
from shaftcheck.checks.takedown_tube import hoop, tube_area
from shaftcheck.model import Array, Joint, Shaft, number
from shaftcheck.said import Said, said, sized

__all__ = ["apart", "marks", "told", "turned", "variants"]

_METALS = {
    "aluminium": "aluminium in salt water pits, is eaten where it touches brass or bronze, and where the wood was "
    "treated with copper",
    "steel": "stainless steel starved of air in wet wood pits; plain steel rusts and stains, acid woods (oak, western "
    "redcedar) sooner; it eats aluminium that it touches",
    "brass": "brass in wet wood and salt water loses its zinc; it eats aluminium that it touches",
}


def told(beam: Beam, j: Takedown) -> Iterator[Note]:
    """Yield play, swelling, how the tube is cut, and what is better so."""
    shaft = beam.shaft
    at, inner, outer, size = (float(v) for v in (j.at, j.inner, j.outer, j.size))
    tip = float(shaft.length)
    loose = [(n, v) for n, v in (("inner", inner), ("outer", outer)) if n != j.one_half]
    free = sum(float(play(g=j.clearance, L=number(v), z=number(max(tip - at, 0.0)))) for _, v in loose)
    yield Note(
        grade="better so",
        text=said(
            "dry, the blade's tip plays {free} each way: the clearance of {clearance} over the engaged length, times "
            "{far} to the tip{halves}",
            free=sized(free, side="up"),
            clearance=sized(j.clearance, "fit"),
            far=sized(tip - at),
            halves=", both halves" if len(loose) == 2 else "",
        ),
        origin="geometry",
    )
    pieces = [p for p in shaft.pieces if float(p.start) < float(j.end) and float(p.end) > float(j.start)]
    for p in pieces:
        low, high = (float(swelling(D=j.size, c=c, M_p=p.wood.green_at, M=fitted_at(p.moisture))) for c in SWELLS)
        fate = (
            "it will jam"
            if low > float(j.clearance)
            else "it may jam"
            if high > float(j.clearance)
            else "it stays free"
        )
        yield Note(
            grade="caution",
            text=said(
                "{wood}, wet through, swells {low} to {high} across, for a dry clearance of {clearance}: {fate}; "
                "fitted wet, it rattles by as much when dry. Jammed, it can press up to its own crushing stress across "
                "the grain: {ring} round the tube",
                wood=p.wood.name,
                low=sized(low, side="down"),
                high=sized(high, side="up"),
                clearance=sized(j.clearance, "fit"),
                fate=fate,
                ring=sized(hoop(p=p.wood.green.bearing, D=j.size, t_w=j.wall), "stress", "up"),
            ),
            origin="0.25 to 0.35 % for each 1 % of moisture, common practice, no source",
        )
    edge = max(_edge(beam, j, half_of(beam, j, name)) for name in HALVES)
    yield Note(
        grade="better so",
        text=said(
            "a tight fit presses hardest at the very mouth: {edge} across the grain if nothing gave. The wood dents "
            "there and the pressure spreads to what the bearing check takes; line or taper the mouth, and look for "
            "bruises",
            edge=sized(edge, "stress", "up"),
        ),
        origin="spigot on a springy seat, Hetenyi (1946), from memory; that the dent spreads it: judgement",
    )
    weighs = "" if np.isnan(j.density) else "; it weighs {mass}, which is not in the oar's weight"
    yield Note(
        grade="marking out",
        text=said(
            "tube {long} long, inside {size} and the clearance, mouths at {start} and {end} from the handle end"
            + weighs,
            long=sized(j.end - j.start),
            size=sized(size, "fit", "up"),
            start=sized(j.start),
            end=sized(j.end),
            mass=sized(_mass(j), "mass"),
        ),
        origin="geometry",
    )
    if not np.isnan(j.pin):
        about = "" if float(j.pin_anywhere) == 1.0 else " about mid-overlap"
        row = f", {{apart}} from one to the next, in a row along the shaft{about}" if float(j.pins) > 1.0 else ""
        hard = all(float(p.wood.hardwood) == 1.0 for p in pieces)
        yield Note(
            grade="marking out",
            text=said(
                "pins at least {end} from the wood's end" + row,
                end=sized((5.0 if hard else 7.0) * j.pin, side="up"),
                apart=sized(IN_A_ROW * j.pin, side="up"),
            )
            if row
            else said("pins at least {end} from the wood's end", end=sized((5.0 if hard else 7.0) * j.pin, side="up")),
            origin="NDS Table 12.5.1, from memory",
        )
    for name, length in (("inner", inner), ("outer", outer)):
        if not 3.0 <= length / size <= 6.0:
            yield Note(
                grade="better so",
                text=said(
                    "engage each half by 3 to 6 diameters; the {name} half has {times}",
                    name=name,
                    times=f"{length / size:.1f}",
                ),
                origin="common practice, no source",
            )
    metals = [m for m in _METALS if m in j.tube.casefold()]
    fixings = [m for m in _METALS if m in j.fixings.casefold()]
    for metal in dict.fromkeys((*metals, *fixings)):
        yield Note(
            grade="caution", text=said(f"{_METALS[metal]}: seal the wood and drain the tube"), origin="from memory"
        )
    if metals and fixings and metals != fixings:
        yield Note(
            grade="caution",
            text=said(
                "a {pin} pin in a tube of {tube}: unlike metals in the wet eat the baser one; sleeve or grease the pin",
                pin=fixings[0],
                tube=metals[0],
            ),
            origin="from memory",
        )
    if "carbon" in j.tube.casefold() and fixings:
        yield Note(
            grade="caution",
            text=said("carbon eats the metal that it touches, aluminium first: part them"),
            origin="from memory",
        )
    if float(j.wet) == 1.0:
        yield Note(
            grade="caution",
            text=said(
                "wood that stays wet in a tube rots unseen: seal its end grain, drain the tube, draw the halves apart "
                "to dry, and press a point into the wood before each season"
            ),
            origin="common practice, no source",
        )
    if not j.trusted:
        yield Note(
            grade="caution",
            text=said("values of {tube} are of low trust or not known: ask its maker, or test the tube", tube=j.tube),
            origin="the table of tubes",
        )
    yield Note(
        grade="caution",
        text=said(
            "not in these checks: the ring's bending where no full core "
            "keeps it round, shear of the tube under repeated load, the tube's weight and give in the whole oar, and "
            "what a high square shoulder turned on the wood raises besides the mouth: turn it with a long run-out"
        ),
        origin="limits of the method",
    )
    yield Note(
        grade="better so",
        text=said(
            "break a trial joint, or load the finished one beyond its greatest pull: no published test of such a joint "
            "was found"
        ),
        origin="judgement",
    )


def _edge(beam: Beam, j: Takedown, half: Half) -> float:
    """Return the greatest pressure at the mouth of a spigot on a springy seat, of a single shaft [Pa]."""
    size, cut = j.size[LIFT], half.beside
    beta = beta_of(beam, half, size)
    shear = np.hypot(cut.forward, np.abs(cut.up) + np.abs(cut.still_up))
    moment = np.hypot(cut.moment_stroke, np.abs(cut.moment_flat) + np.abs(cut.still_flat))
    line = foundation_edge(V=shear, M=moment, beta=beta, L=half.length)
    return float(np.max(edge_pressure(w=line, b=size, k=CURVED)))


def apart(j: Takedown) -> Apart:
    """Return the halves of a single joint taken apart; a sleeve over both is drawn off."""
    at, gap, out = float(j.at), float(j.gap) / 2.0, float(j.size + 2.0 * j.wall)
    return Apart(
        inner_end=float(j.end) if j.one_half == "inner" else at - gap,
        outer_start=float(j.start) if j.one_half == "outer" else at + gap,
        on_inner=out if j.one_half == "inner" else 0.0,
        on_outer=out if j.one_half == "outer" else 0.0,
        loose=None if j.one_half else ("sleeve", float(j.end - j.start), out),
    )


def turned(j: Takedown) -> Turned:
    """Return the wood of a single joint that goes into its tube: both halves', which are of one size."""
    start, end = float(j.start), float(j.end)
    return Turned(start=start, end=end, size=float(j.size), tube=end - start)


def _mass(j: Takedown) -> float:
    out = j.size + 2.0 * j.wall
    return float(tube_area(D_o=out, D_i=j.size) * (j.end - j.start) * j.density)


def _moved(shaft: Shaft, j: Takedown, at: Array) -> Joint | None:
    """Return the joint elsewhere; None where it does not fit."""
    other = moved(shaft, j, at, number(np.nan))
    fits = not any(where.any() for _, where in other.barred) and np.all(other.joint.start > shaft.rig.hand)
    return other.joint if fits else None


def variants(shaft: Shaft, j: Takedown, stride: float) -> Iterator[tuple[Said, Joint]]:
    """Yield a better mouth, more pins, and the joint elsewhere; what its sizes must be is searched for."""
    if np.all(j.raiser > RAISERS["tapered"]):
        yield (
            said('a tapered or lined mouth (mouth = "tapered")'),
            replace(j, raiser=number(RAISERS["tapered"]) + 0.0 * j.raiser),
        )
    if not np.any(np.isnan(j.pin)):
        held = "pins" if np.all(np.isnan(j.pin_deep)) else "buttons"
        for n in range(int(np.max(j.pins)) + 1, 4):
            yield (
                said(f"{n} {held} in each half, in a row along the shaft (pins = {n})"),
                replace(j, pins=number(float(n)) + 0.0 * j.pins),
            )
    for step in (n * stride for n in (-1, 1, -2, 2, -3, 3)):
        other = _moved(shaft, j, j.at + step)
        if other is not None:
            way = "in" if step < 0 else "out"
            yield said("the takedown moved {step} {way}board", step=sized(abs(step)), way=way), other


def marks(j: Takedown) -> Iterator[Marking]:
    """Yield the mouths of the tube and where the halves end."""
    at, gap = float(j.at), float(j.gap)
    yield Marking(x=float(j.start), what="inner mouth of the tube", faces="all round")
    if gap > 0.0:
        yield Marking(x=at - gap / 2.0, what="end of the inner half", faces="all round", waste="the outer side")
        yield Marking(x=at + gap / 2.0, what="end of the outer half", faces="all round", waste="the inner side")
    else:
        yield Marking(x=at, what="where the halves meet", faces="all round", waste="the kerf, half on each side")
    yield Marking(x=float(j.end), what="outer mouth of the tube", faces="all round")
