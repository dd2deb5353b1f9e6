"""A scarf as a shaft file tells it: its keys, the glues, and the scarf as it lies in the finished shaft."""

from __future__ import annotations

from contextlib import suppress

import numpy as np

from shaftcheck import sections
from shaftcheck.checks.joint import Setting
from shaftcheck.errors import AbsentError
from shaftcheck.frozen import frozen
from shaftcheck.key import Key
from shaftcheck.model import Array, Joint, Station, number
from shaftcheck.said import said, sized

__all__ = ["FACES", "GLUES", "GOOD", "KERF", "KEYS", "Scarf", "build", "finished_slope", "tips"]

GLUES: dict[str, str] = {
    "resorcinol": "fully exterior",
    "phenol-resorcinol": "fully exterior",
    "epoxy": "limited exterior",
    "polyurethane": "limited exterior",
    "melamine-urea": "limited exterior",
    "urea": "interior",
    "casein": "interior",
    "cross-linked PVA": "semistructural",
    "PVA": "not structural",
    "hide": "not structural",
}
"""Class by exposure, Wood Handbook FPL-GTR-190 Table 10-2."""
KERF = number(0.003)
"""of the saw that cuts a scarf, where it is not told (common practice, no source) [m]"""
GOOD = ("fully exterior", "limited exterior")

KEYS: dict[str, Key] = {
    "middle": Key(
        kind="length", help="from handle end to where the cut crosses the shaft's axis", example="1.21 m", high=8.0
    ),
    "slope": Key(
        kind="slope",
        help="of the cut itself, rise over run; or give the scarf's length instead",
        example="1:12",
        optional=True,
        low=1 / 60,
        high=1 / 3,
    ),
    "length": Key(
        kind="length",
        help="of the scarf, measured on the face that is told next",
        example="600 mm",
        optional=True,
        low=0.02,
        high=3.0,
    ),
    "length_on": Key(
        kind="choice",
        help="the blank as it is cut, or the finished shaft: they are not the same",
        example="blank",
        optional=True,
        choices=("blank", "finished"),
    ),
    "blank_size": Key(
        kind="length",
        help="of the blank in the direction of the cut",
        example="56 mm",
        optional=True,
        low=0.01,
        high=0.4,
    ),
    "cut_through": Key(
        kind="choice",
        help="the size that the cut goes through, with the blade upright",
        example="fore and aft",
        choices=("fore and aft", "up and down"),
        ways=("fore and aft", "up and down"),
    ),
    "outer_tip_on": Key(
        kind="choice",
        help="face on which the outer wood's feather edge lies; the inner wood's lies on the other",
        example="forward",
        choices=("forward", "aft", "upper", "lower"),
        ways=("forward", "aft"),
    ),
    "glue": Key(kind="choice", help="what it is glued with", example="epoxy", choices=tuple(GLUES)),
    "sample_broken": Key(
        kind="choice",
        help="whether a sample of the same glue line was broken, and broke in the wood",
        example="yes",
        assume="no",
        why="no sample of the glue line was broken",
        choices=("yes", "no"),
    ),
    "kerf": Key(
        kind="length",
        help="of the saw",
        example="3 mm",
        assume=f"{1e3 * float(KERF):g} mm",
        why="the scarf's saw takes {taken}",
        high=0.02,
    ),
}


@frozen
class Scarf(Joint):
    """A scarf as it lies in the finished shaft."""

    middle: Array
    """where the cut crosses the axis [m]"""
    slope: Array
    """rise over run [-]"""
    through_depth: Array
    """1 where the cut goes through the depth, 0 where through the width [-]"""
    face: Array
    """face of the outer wood's tip: 1 for aft or lower, -1 for forward or upper (the face that M > 0 stretches is 1)"""
    glue: str
    sample_broken: bool
    blank: Array
    """size of the blank; nan where not told [m]"""
    kerf: Array
    """[m]"""


def tips(middle: Array, slope: Array, through_depth: Array, stations: tuple[Station, ...]) -> tuple[Array, Array]:
    """Return where the cut leaves the shaft's faces, inner and outer, on its taper, each of the batch shape [m]."""

    def half(x: Array) -> Array:
        depth, width, _, _ = sections.at(x[..., None, None], stations)
        return np.where(through_depth == 1.0, depth[..., 0, 0], width[..., 0, 0]) / 2.0

    inner, outer = middle + 0.0 * slope, middle + 0.0 * slope
    for _ in range(60):
        before = inner, outer
        inner, outer = middle - half(inner) / slope, middle + half(outer) / slope
        if np.array_equal(inner, before[0]) and np.array_equal(outer, before[1]):
            break
    return inner, outer


def finished_slope(middle: Array, length: Array, through_depth: Array, stations: tuple[Station, ...]) -> Array:
    """Return the slope of a scarf whose tips are a length apart on the finished shaft, of the batch shape [-]."""
    depth, width, _, _ = sections.at(middle[..., None, None], stations)
    slope = np.where(through_depth == 1.0, depth[..., 0, 0], width[..., 0, 0]) / length
    for _ in range(60):
        inner, outer = tips(middle, slope, through_depth, stations)
        slope, before = slope * (outer - inner) / length, slope
        if np.array_equal(slope, before):
            break
    return np.asarray(slope)


FACES = {"fore and aft": ("forward", "aft"), "up and down": ("upper", "lower")}


def _told_fits(s: Setting) -> None:
    """Note what does not fit in what a scarf is told by, whatever the shaft is."""
    s.must(
        lambda: s.has("slope") != s.has("length"),
        "slope",
        "needed, once: as a slope or as a length",
        'write slope = "1:12", or length and length_on',
    )
    s.must(
        lambda: not s.has("length") or s.has("slope") or s.has("length_on"),
        "length_on",
        "needed: a scarf's length on the blank is not that on the shaft",
        "write blank or finished",
    )
    s.must(
        lambda: not s.has("length") or s.word("length_on") != "blank" or s.has("blank_size"),
        "blank_size",
        "needed where the length is that on the blank",
        'write blank_size = "56 mm"',
    )
    with suppress(AbsentError):
        faces = FACES[s.word("cut_through")]
        s.must(
            lambda: s.word("outer_tip_on") in faces,
            "outer_tip_on",
            f"a cut {s.word('cut_through')} has its tips {faces[0]} and {faces[1]}",
            f"write {faces[0]} or {faces[1]}",
        )


def build(s: Setting) -> Scarf | None:
    """Return the scarf that a shaft file tells."""
    before = len(s.faults)
    _told_fits(s)
    middle, slope, length, blank = (s.size(k) for k in ("middle", "slope", "length", "blank_size"))
    assert middle is not None
    depthwise = s.word("cut_through") == "fore and aft"
    depth, width, _, _ = (float(v[0, 0]) for v in sections.at(np.array([[middle]]), s.stations))
    size = depth if depthwise else width
    s.must(lambda: blank is None or blank >= size, "blank_size", "less than the finished size there", "measure again")
    if len(s.faults) > before:
        return None
    if length is not None:
        slope = float(blank or 0.0) / length
        if s.word("length_on") == "finished":
            slope = float(finished_slope(number(middle), number(length), number(float(depthwise)), s.stations))
        low, high = KEYS["slope"].low, KEYS["slope"].high
        least, most = sized(slope * length / high, side="up"), sized(slope * length / low, side="down")
        s.must(
            lambda: low <= float(slope or 0.0) <= high,
            "length",
            said(
                "makes a slope of {slope}, which must lie between {low} and {high}",
                slope=sized(slope, "slope"),
                low=sized(low, "slope"),
                high=sized(high, "slope"),
            ),
            said("write a length from {least} to {most}", least=least, most=most),
        )
        if len(s.faults) > before:
            return None
    through = number(float(depthwise))
    inner, outer = tips(number(middle), number(float(slope or 0.0)), through, s.stations)
    if not 0.0 < float(inner) < float(outer) < s.neck:
        where = "the scarf would lie from {a} to {b}, not between handle end and neck"
        s.fault(
            "middle", said(where, a=sized(inner), b=sized(outer)), said("keep it short of {neck}", neck=sized(s.neck))
        )
        return None
    return Scarf(
        kind="scarf",
        start=inner,
        end=outer,
        middle=number(middle),
        slope=number(float(slope or 0.0)),
        through_depth=through,
        face=number(1.0 if s.word("outer_tip_on") in ("aft", "lower") else -1.0),
        glue=s.word("glue"),
        sample_broken=s.word("sample_broken") == "yes",
        blank=number(np.nan if blank is None else blank),
        kerf=number(float(s.size("kerf") or 0.0)),
    )
