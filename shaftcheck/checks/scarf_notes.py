"""What is told of a scarf, and what might be changed of it."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

import numpy as np

from shaftcheck import sections
from shaftcheck.beam import Beam
from shaftcheck.checks.joint import Marking, Moved, Note
from shaftcheck.checks.scarf_build import GLUES, Scarf, tips
from shaftcheck.model import Array, Joint, OnePiece, Shaft, number
from shaftcheck.said import Said, said, sized

__all__ = ["marks", "moved", "placed_keys", "told", "variants"]


def told(beam: Beam, j: Scarf) -> Iterator[Note]:
    """Yield how it is marked out, and what is better so."""
    start, end, slope = (float(v) for v in (j.start, j.end, j.slope))
    n = f"{1.0 / slope:.3g}"
    yield Note(
        grade="marking out",
        text=said(
            "tips at {start} and {end} from the handle end, {long} in the finished shaft; the sled rises 1 for every "
            "{n} along",
            start=sized(start),
            end=sized(end),
            long=sized(end - start),
            n=n,
        ),
        origin="geometry",
    )
    if not np.isnan(j.blank):
        long = float(j.blank) / slope
        yield Note(
            grade="marking out",
            text=said(
                "on the blank of {blank} the scarf is {long} long; leave each piece {beyond} beyond mid-scarf (half of "
                "it and the kerf's run)",
                blank=sized(j.blank),
                long=sized(long),
                beyond=sized(long / 2.0 + float(j.kerf) / slope, side="up"),
            ),
            origin="geometry",
        )
    if slope > 1 / 12 + 1e-12:
        yield Note(
            grade="caution",
            text=said("1:{n} is steeper than 1:12, which gives the highest strength", n=n),
            origin="Wood Handbook FPL-GTR-190 ch. 10",
        )
    rig = beam.shaft.rig
    near = float(rig.lock) if isinstance(rig, OnePiece) else float(rig.outer_to)
    gap = min(abs(start - near), abs(end - near))
    if gap < end - start:
        yield Note(
            grade="better so",
            text=said("keep the scarf its own length clear of the lock or cradle; it is {gap} clear", gap=sized(gap)),
            origin="common practice, no source",
        )
    for other in beam.shaft.joints:
        if other is not j:
            space = max(float(other.start) - end, start - float(other.end))
            longer = max(end - start, float(other.end) - float(other.start))
            if space < 3.0 * longer:
                yield Note(
                    grade="better so",
                    text=said(
                        "three lengths of the longer joint between two ({want}); there are {space}",
                        want=sized(3.0 * longer),
                        space=sized(space, side="down"),
                    ),
                    origin="FAA AC 43.13-1B (1998) 1-40",
                )
    if GLUES[j.glue] == "limited exterior":
        yield Note(
            grade="caution",
            text=said(
                "{glue}: keep it sealed and cool; a room-cured epoxy softens at {a} to {b}, a dark shaft in the sun "
                "reaches {b} to {c}",
                glue=j.glue,
                a=sized(323.15, "temperature"),
                b=sized(333.15, "temperature"),
                c=sized(348.15, "temperature"),
            ),
            origin="Wood Handbook Table 10-2; temperatures from memory, with doubt",
        )
    if not j.sample_broken:
        yield Note(
            grade="caution",
            text=said(
                "a bench-made glue line of which no sample was broken may be far below: good factory finger joints "
                "reached 62 to 88 % of solid wood. Break a sample; it must fail in the wood"
            ),
            origin="finger joints in eastern spruce, Wood and Fiber Science",
        )
    yield Note(
        grade="better so",
        text=said("cut the scarf in the general direction in which the grain runs out"),
        origin="FAA AC 43.13-1B (1998) 1-39",
    )


def variants(shaft: Shaft, j: Scarf) -> Iterator[tuple[Said, Joint]]:
    """Yield flatter scarfs about the same middle, and the same scarf with its tips on the other faces."""
    yield said("the scarf's feather edges on the other faces"), replace(j, face=-j.face)
    for n in (10, 12, 14, 16, 20):
        if 1.0 / n < float(j.slope) - 1e-9:
            slope = number(1.0 / n)
            start, end = tips(j.middle, slope, j.through_depth, shaft.stations)
            yield (
                said("a scarf of 1:{n} about the same middle", n=str(n)),
                replace(j, slope=slope, start=start, end=end),
            )
    for step in (-0.3, -0.2, -0.1, 0.1, 0.2, 0.3):
        middle = j.middle + step
        start, end = tips(middle, j.slope, j.through_depth, shaft.stations)
        yield (
            said("the scarf moved {step} {way}board", step=sized(abs(step)), way="in" if step < 0 else "out"),
            replace(j, middle=middle, start=start, end=end),
        )


def moved(shaft: Shaft, j: Scarf, middle: Array, length: Array) -> Moved:
    """Return the scarf elsewhere: its slope stays, or is that of the length in the finished shaft.

    The pieces are as long as they are cut: to the scarf's far tip.
    """
    depth, width, _, _ = sections.at(middle[..., None, None], shaft.stations)
    size = np.where(j.through_depth == 1.0, depth[..., 0, 0], width[..., 0, 0])
    slope = np.where(np.isnan(length), j.slope + 0.0 * middle, size / length)
    start, end = tips(middle, slope, j.through_depth, shaft.stations)
    barred = (
        ("the scarf would reach past the handle's end", ~(start > 0.0)),
        ("the scarf would reach into the blade", ~(end < shaft.blade.neck)),
        ("the shaft is thicker there than the scarf's blank", j.blank < size),
    )
    return Moved(
        joint=replace(j, middle=middle, slope=slope, start=start, end=end),
        barred=barred,
        inner=end,
        outer=shaft.length - start,
        apart=False,
    )


def marks(j: Scarf) -> Iterator[Marking]:
    """Yield both tips, each with the face that its feather edge lies on."""
    names = ("aft", "forward") if float(j.through_depth) == 1.0 else ("lower", "upper")
    outer, inner = names if float(j.face) > 0.0 else names[::-1]
    yield Marking(x=float(j.start), what="tip of the outer wood", faces=outer, waste="along the plane to the other tip")
    yield Marking(x=float(j.end), what="tip of the inner wood", faces=inner, waste="along the plane to the other tip")


def placed_keys(j: Scarf, longer: bool) -> tuple[dict[str, float | str], tuple[str, ...]]:
    """Return the keys that say where a scarf is placed; its slope says its length."""
    slope = f"1:{1.0 / float(j.slope.ravel()[0]):.12g}"
    return {"middle": float(j.middle.ravel()[0]), "slope": slope}, ("length", "length_on")
