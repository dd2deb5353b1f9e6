"""What is told of a takedown joint, and what might be changed of it."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

import numpy as np

from shaftcheck.beam import Beam
from shaftcheck.checks.clamped import foundation_edge, seat_beta
from shaftcheck.checks.cradle import edge_pressure
from shaftcheck.checks.joint import Note
from shaftcheck.checks.lock import CURVED
from shaftcheck.checks.takedown_build import RAISERS, Takedown, least_size
from shaftcheck.checks.takedown_half import HALVES, LIFT, Half, half_of, seat_of
from shaftcheck.checks.takedown_spigot import SWELLS, play, swelling
from shaftcheck.checks.takedown_tube import hoop, tube_area
from shaftcheck.model import Array, Joint, Shaft, number
from shaftcheck.sections import oval_second_moment

__all__ = ["told", "variants"]

_METALS = {
    "aluminium": "aluminium in salt water pits, is eaten where it touches brass or bronze, and where the wood was "
    "treated with copper",
    "steel": "stainless steel starved of air in wet wood pits; plain steel rusts and stains, acid woods (oak, western "
    "redcedar) sooner; it eats aluminium that it touches",
    "brass": "brass in wet wood and salt water loses its zinc; it eats aluminium that it touches",
}


def told(beam: Beam, j: Takedown) -> Iterator[Note]:
    """Yield play, swelling, stowed lengths, and what is better so."""
    shaft, mm = beam.shaft, 1000.0
    at, inner, outer, gap, size = (float(v) for v in (j.at, j.inner, j.outer, j.gap, j.size))
    tip = float(shaft.length)
    loose = [(n, v) for n, v in (("inner", inner), ("outer", outer)) if n != j.one_half]
    free = sum(float(play(g=j.clearance, L=number(v), z=number(max(tip - at, 0.0)))) for _, v in loose)
    yield Note(
        grade="better so",
        text=f"dry, the blade's tip plays {free * mm:.0f} mm each way: the clearance of "
        f"{float(j.clearance) * mm:.2g} mm over the engaged length, times {(tip - at) * mm:.0f} mm to the tip"
        + (", both halves" if len(loose) == 2 else ""),
        origin="geometry",
    )
    pieces = [p for p in shaft.pieces if float(p.start) < float(j.end) and float(p.end) > float(j.start)]
    for p in pieces:
        low, high = (float(swelling(D=j.size, c=c, M_p=p.wood.green_at, M=p.moisture)) for c in SWELLS)
        fate = (
            "it will jam"
            if low > float(j.clearance)
            else "it may jam"
            if high > float(j.clearance)
            else "it stays free"
        )
        ring = float(hoop(p=p.wood.green.bearing, D=j.size, t_w=j.wall)) / 1e6
        yield Note(
            grade="caution",
            text=f"{p.wood.name}, wet through, swells {low * mm:.1f} to {high * mm:.1f} mm across, for a dry clearance "
            f"of {float(j.clearance) * mm:.2g} mm: {fate}; fitted wet, it rattles by as much when dry. Jammed, it can "
            f"press up to its own crushing stress across the grain: {ring:.0f} MPa round the tube",
            origin="0.25 to 0.35 % for each 1 % of moisture, common practice, no source",
        )
    edge = max(_edge(beam, j, half_of(beam, j, name)) for name in HALVES)
    yield Note(
        grade="better so",
        text=f"a tight fit presses hardest at the very mouth: {edge / 1e6:.1f} MPa across the grain if nothing gave. "
        "The wood dents there and the pressure spreads to what the bearing check takes; line or taper the mouth, and "
        "look for bruises",
        origin="spigot on a springy seat, Hetenyi (1946), from memory; that the dent spreads it: judgement",
    )
    ends, far = at - gap / 2.0, tip - (at + gap / 2.0)
    with_tube = (float(j.end) * mm, (tip - float(j.start)) * mm)
    if j.one_half:
        a, b = (with_tube[0], far * mm) if j.one_half == "inner" else (ends * mm, with_tube[1])
        text = f"stowed, the inner half is {a:.0f} mm and the outer half {b:.0f} mm long, tube on the {j.one_half} one"
    else:
        text = (
            f"stowed, the inner half is {ends * mm:.0f} mm and the outer half {far * mm:.0f} mm long; with the "
            f"sleeve on it, {with_tube[0]:.0f} mm or {with_tube[1]:.0f} mm"
        )
    yield Note(grade="marking out", text=text, origin="geometry")
    yield Note(
        grade="marking out",
        text=f"tube {float(j.end - j.start) * mm:.0f} mm long, inside {size * mm:.1f} mm and the clearance, mouths at "
        f"{float(j.start) * mm:.0f} and {float(j.end) * mm:.0f} mm from the handle end"
        + ("" if np.isnan(j.density) else f"; it weighs {_mass(j):.2f} kg, which is not in the oar's weight"),
        origin="geometry",
    )
    for name, length in (("inner", inner), ("outer", outer)):
        if not 3.0 <= length / size <= 6.0:
            yield Note(
                grade="better so",
                text=f"engage each half by 3 to 6 diameters; the {name} half has {length / size:.1f}",
                origin="common practice, no source",
            )
    metals = [m for m in _METALS if m in j.tube.casefold()]
    fixings = [m for m in _METALS if m in j.fixings.casefold()]
    for metal in dict.fromkeys((*metals, *fixings)):
        yield Note(grade="caution", text=f"{_METALS[metal]}: seal the wood and drain the tube", origin="from memory")
    if metals and fixings and metals != fixings:
        yield Note(
            grade="caution",
            text=f"a {fixings[0]} pin in a tube of {metals[0]}: unlike metals in the wet eat the baser one; sleeve or "
            "grease the pin",
            origin="from memory",
        )
    if "carbon" in j.tube.casefold() and fixings:
        yield Note(
            grade="caution",
            text="carbon eats the metal that it touches, aluminium first: part them",
            origin="from memory",
        )
    if not j.trusted:
        yield Note(
            grade="caution",
            text=f"values of {j.tube} are of low trust or not known: ask its maker, or test the tube",
            origin="the table of tubes",
        )
    yield Note(
        grade="caution",
        text="not in these checks: the pressure of wood that swells in the tube, the ring's bending where no full core "
        "keeps it round, shear of the tube under repeated load, and the tube's weight and give in the whole oar",
        origin="limits of the method",
    )
    yield Note(
        grade="better so",
        text="break a trial joint, or load the finished one beyond its greatest pull: no published test of such a "
        "joint was found",
        origin="judgement",
    )


def _edge(beam: Beam, j: Takedown, half: Half) -> float:
    """Return the greatest pressure at the mouth of a spigot on a springy seat, of a single shaft [Pa]."""
    size, cut = j.size[LIFT], half.beside
    seat = seat_of(half, size)
    beta = seat_beta(k=seat, E=half.limit("stiffness"), I=oval_second_moment(w=size, d=size))
    shear = np.hypot(cut.forward, np.abs(cut.up) + np.abs(cut.still_up))
    moment = np.hypot(cut.moment_stroke, np.abs(cut.moment_flat) + np.abs(cut.still_flat))
    line = foundation_edge(V=shear, M=moment, beta=beta, L=half.length)
    return float(np.max(edge_pressure(w=line, b=size, k=CURVED)))


def _mass(j: Takedown) -> float:
    out = j.size + 2.0 * j.wall
    return float(tube_area(D_o=out, D_i=j.size) * (j.end - j.start) * j.density)


def _moved(shaft: Shaft, j: Takedown, at: Array, inner: Array, outer: Array) -> Takedown | None:
    """Return the joint elsewhere or longer, its wood turned to what the shaft has there; None where it does not fit."""
    start, end = at - j.gap / 2.0 - inner, at + j.gap / 2.0 + outer
    if not (np.all(start > shaft.rig.hand) and np.all(end < shaft.blade.neck)):
        return None
    size = np.fmin(j.told_size, least_size(shaft.stations, start, end))
    return replace(j, at=at, inner=inner, outer=outer, start=start, end=end, size=size)


def variants(shaft: Shaft, j: Takedown) -> Iterator[tuple[str, Joint]]:
    """Yield a better mouth, a thicker wall, a longer overlap, and the joint elsewhere."""
    if np.all(j.raiser > RAISERS["tapered"]):
        yield "a tapered or lined mouth", replace(j, raiser=number(RAISERS["tapered"]) + 0.0 * j.raiser)
    for more in (25, 50):
        yield f"a wall {more} % thicker", replace(j, wall=j.wall * (1.0 + more / 100.0))
    for times in (1.25, 1.5, 2.0, 3.0):
        longer = _moved(shaft, j, j.at, j.inner * times, j.outer * times)
        if longer is not None:
            yield f"{times:g} times the overlap", longer
    for step in (-0.1, 0.1, -0.2, 0.2, -0.3, 0.3):
        moved = _moved(shaft, j, j.at + step, j.inner, j.outer)
        if moved is not None:
            yield f"the takedown moved {abs(step) * 1000:.0f} mm {'in' if step < 0 else 'out'}board", moved
