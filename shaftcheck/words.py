"""Words for people: places along the shaft, what happens there, and what every answer must say."""

from __future__ import annotations

from itertools import pairwise

from shaftcheck.model import Hinged, Shaft

__all__ = ["CAUTIONS", "FAILS", "HINGED_CAUTIONS", "KINDS", "NOT_ASKED", "near"]

FAILS: dict[str, str] = {
    "bending": "breaks in bending",
    "shear, stroke": "splits along the grain",
    "shear, up and down": "splits along the grain, bent up and down",
    "life": "wears out before its life's strokes are done",
    "buckling": "buckles when pushed along",
    "bending with thrust": "breaks, pressed and bent at once",
    "bearing at the lock": "is dented by the lock",
    "hollow under the lock": "splits under the lock, being hollow there",
    **{
        f"{sits}, clear of the {grip}": f"has {words} under {what}, which must bear on bare wood"
        for sits, words in (("leather", "leather"), ("ferrule", "a ferrule"))
        for grip, what in (("cradles", "a cradle"), ("takedown", "the takedown's tube"))
    },
    **dict.fromkeys(("inner cradle, grip", "outer cradle, grip"), "slips or turns in its cradle"),
    "crease": "is creased: that is a break begun, and it must not be used",
}

KINDS: dict[str, str] = {"dents": "is dented"}
"""what happens where a check of that kind fails, when FAILS has no better words"""

CAUTIONS: tuple[tuple[str, str], ...] = (
    (
        "means",
        "The figures start from means of clear, straight-grained test pieces; the piece in hand can be worse. Knots, "
        "compression wood, rot and hidden splits are not in them; nor that wood which is wet through bends a third "
        "weaker.",
    ),
    (
        "look",
        "Look for creases across the grain, old glue lines, dents and black spots, most of all near lock, neck and "
        "joints. If you see any, do not use the shaft.",
    ),
    ("test", "Test a shaft before you trust it, near shore and with a spare oar aboard."),
    (
        "fatigue",
        "What repeated strokes leave of the strength is the weakest figure here; it rests on memory and judgement.",
    ),
    (
        "shear",
        "Shear is the mean across the section's middle line, as in the handbooks' formulas; at its edges it can be a "
        "quarter more.",
    ),
    (
        "linear",
        "Bending is taken as straight-line; at the greatest pull of a slim shaft that is off by up to about 1.5 %.",
    ),
    (
        "law",
        "Local codes, class rules and licensed practice prevail over this answer. It advises; it approves nothing.",
    ),
)

HINGED_CAUTIONS: tuple[tuple[str, str], ...] = (
    (
        "retighten",
        "Wood in a clamp takes a set and shrinks, and the clamp slackens. Retighten the cradles before each outing of "
        "the first season and after each dry spell, to the force that is told here and no more.",
    ),
    (
        "ends",
        "Seal the sawn ends at once and keep them sealed: end grain drinks, swells in the cradle and rots there. Let "
        "the seats drain.",
    ),
    (
        "mouth",
        "Round and line the cradles' mouths: there the shaft is bent most and pressed most. Look there for dents and "
        "creases before each outing. What a mouth raises bending by is a judgement: nobody has measured yours.",
    ),
    (
        "take out",
        "Once a year take both halves out of their cradles and look at what is hidden there.",
    ),
)
"""said besides, of a hinged rig (common practice, no source)"""

NOT_ASKED: tuple[str, ...] = (
    "the blade beyond its neck: its own strength and stiffness (the shaft's last section is taken to go on to the tip "
    "where movement and buckling need one)",
    "the lock, its pin, and the boat that they stand on",
    "heat, rot, worm, and damage that the file does not tell",
    "the pull along the shaft from the hand's slant in the stroke: under a hundredth of the fibre stress",
)


def near(shaft: Shaft, x: float) -> str:
    """Return a place in words: the landmark it is at, or between which it lies."""
    rig, blade = shaft.rig, shaft.blade
    marks: list[tuple[float, str]] = [(float(rig.hand), "the hand")]
    if isinstance(rig, Hinged):
        marks += [
            (float(rig.inner_from), "the inner cradle's edge"),
            (float(rig.outer_to), "the outer cradle's edge"),
        ]
        if float(rig.inner_from) < x < float(rig.inner_to):
            return "inside the inner cradle"
        if float(rig.outer_from) < x < float(rig.outer_to):
            return "inside the outer cradle"
    else:
        marks.append((float(rig.lock), "the lock"))
    marks.append((float(blade.neck), "the neck"))
    reach = max(0.004, 0.004 * float(shaft.length))
    for place, name in marks:
        if abs(x - place) <= reach:
            return f"at {name}"
    for j in shaft.joints:
        if float(j.start) - 1e-9 <= x <= float(j.end) + 1e-9:
            return f"in the {j.kind}"
    if x < marks[0][0]:
        return "in the grip"
    if x > marks[-1][0]:
        return "in the blade"
    for (_, a), (place, b) in pairwise(marks):
        if x < place:
            return f"between {a} and {b}"
    return "in the shaft"
