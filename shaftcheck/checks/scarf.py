"""A plain scarf, of one wood or of two: the woods at its slope, the glue line, and where it lies."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import suppress
from dataclasses import replace

import numpy as np

from shaftcheck import sections
from shaftcheck.beam import Beam
from shaftcheck.checks.column import THRUST, crush, pressed_rows, thrust_use
from shaftcheck.checks.compare import NOT_CHECKED, Use, norm, norm_use, plain_use
from shaftcheck.checks.joint import JointKind, Marking, Moved, Note, Placing, Setting
from shaftcheck.checks.member import LIFE, exponent, form, life_use
from shaftcheck.checks.placed import clear
from shaftcheck.checks.twowood import two_wood
from shaftcheck.errors import AbsentError
from shaftcheck.formula import Sym, Table, formula
from shaftcheck.frozen import frozen
from shaftcheck.key import Key
from shaftcheck.model import Array, Joint, OnePiece, Shaft, Station, number
from shaftcheck.said import Said, said, sized
from shaftcheck.strength import GLUE_SHEAR

__all__ = ["EFFICIENCY", "SCARF", "Scarf"]

EFFICIENCY = Table(
    "scarf efficiency",
    "Freas & Selbo, USDA Technical Bulletin 1069 (1954), design factors of plain scarfs (from memory; to be read in "
    "print). Birmingham, in a secondary account, gives the same at 1:8 and 0.95 at 1:20; the lower is used",
    (0.0, 1 / 12, 1 / 10, 1 / 8),
    (0.90, 0.90, 0.85, 0.80),
)

_S = Sym("s", "", "slope of the scarf, rise over run", low=0.0)


@formula(
    Sym("r_n", "", "stress square to the glue line over fibre stress"),
    "stress on an inclined plane, Gere, Mechanics of Materials, 2.6 (from memory)",
    s=_S,
)
def peel_part(*, s: Array) -> Array:
    """Part of the fibre stress that pulls square to a glue line."""
    return s * s / (1 + s * s)


@formula(
    Sym("r_t", "", "shear on the glue line over fibre stress"),
    "stress on an inclined plane, Gere, Mechanics of Materials, 2.6 (from memory)",
    s=_S,
)
def shear_part(*, s: Array) -> Array:
    """Part of the fibre stress that shears along a glue line."""
    return s / (1 + s * s)


@formula(
    Sym("r", "", "shear over its mean along the scarf"),
    "equal strain through the thickness of a full scarf (derived); at its ends the limit of Hart-Smith, NASA CR-112237 "
    "(1973), eqs. 54 to 56, for a long elastic joint",
    E_1=Sym("E_1", "Pa", "modulus of the inner wood", low=0.0),
    E_2=Sym("E_2", "Pa", "modulus of the outer wood", low=0.0),
    xi=Sym("xi", "", "from 0 at the scarf's inner end to 1 at its outer end", low=-1e-6, high=1 + 1e-6),
)
def unlike_peak(*, E_1: Array, E_2: Array, xi: Array) -> Array:
    """Peak of the glue line's shear between unlike woods: E_stiff/E_soft at the stiffer wood's tip."""
    part = E_1 * (1 - xi) + E_2 * xi
    return E_1 * E_2 / (part * part)


@formula(
    Sym("sigma_g", "Pa", "fibre stress at which the glue line is spent"),
    "(sigma_n/f_t)^2 + (tau/f_v)^2 <= 1, Norris, FPL Report 1816 (1950) (from memory)",
    r_n=Sym("r_n", "", "pulled part", low=0.0),
    r_t=Sym("r_t", "", "sheared part", low=0.0),
    f_t=Sym("f_t", "Pa", "tension across the grain of the weaker wood", low=0.0),
    f_v=Sym("f_v", "Pa", "shear of the glue line", low=0.0),
)
def glue_limit(*, r_n: Array, r_t: Array, f_t: Array, f_v: Array) -> Array:
    """Fibre stress that a glue line in tension carries."""
    return ((r_n / f_t) ** 2 + (r_t / f_v) ** 2) ** -0.5


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
_GOOD = ("fully exterior", "limited exterior")

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
        kind="length", help="of the saw", example="3 mm", assume="3 mm", why="the scarf's saw takes {taken}", high=0.02
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
        lambda: not s.has("length") or s.has("length_on"),
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
        slope = float((blank if s.word("length_on") == "blank" else size) or 0.0) / length
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


DECLARES = (
    "scarf, inner wood",
    "scarf, inner wood, life",
    "scarf, inner wood, pressed",
    "scarf, outer wood",
    "scarf, outer wood, life",
    "scarf, outer wood, pressed",
    "scarf, glue pulled",
    "scarf, glue pulled, pressed",
    "scarf, glue sheared",
    "scarf, glue sheared, pressed",
    "scarf, glue kind",
    "scarf, clear of the lock",
    "scarf, clear of other joints",
)
_T = np.linspace(0.0, 1.0, 33)
_LINE = "efficiency and glue line: the least governs, never their product"


def check(beam: Beam, j: Scarf) -> Iterator[Use]:
    """Yield the woods at the scarf's slope, the glue line at every point of it, the glue, and its place."""
    lift = (..., None, None)
    t = np.clip(_T, 1e-9, 1.0 - 1e-9)
    x = j.start[lift] + (j.end - j.start)[lift] * t
    cut = beam.at(x)
    s = cut.section
    ends = [beam.at((place + step)[lift]) for place, step in ((j.start, -1e-9), (j.end, 1e-9))]
    e_in, e_out = (e.limit("stiffness")[..., :1, :] + 0.0 * x for e in ends)
    deep = j.through_depth[lift] == 1.0
    size, other = np.where(deep, s.depth, s.width), np.where(deep, s.width, s.depth)
    # in the direction of the outer wood's tip: the outer wood is above the cut, the inner below
    place = np.clip(-j.slope[lift] * (x - j.middle[lift]) * 2.0 / size, -1.0, 1.0)
    two = two_wood(size, other, s.exponent, place, e_in, e_out)
    solid = np.where(np.isinf(s.wall), 1.0, np.nan)  # a hollow scarf is outside the method
    turn = np.where(deep, cut.moment_stroke, cut.moment_flat) * j.face[lift]
    side = np.where(deep, cut.moment_flat, cut.moment_stroke)
    still_turn = np.where(deep, 0.0, cut.still_flat)
    still_side = np.where(deep, cut.still_flat, 0.0)
    q = exponent(s)
    shape = form(beam, cut)
    eff = EFFICIENCY(j.slope)[lift]
    rows, _ = pressed_rows(beam)
    missing = "a slope of 1:8 or flatter, a solid section, or a strength of the wood"
    for name, end, across, along in (
        ("inner", ends[0], two.below_across, two.below_along),
        ("outer", ends[1], two.above_across, two.above_along),
    ):
        f = end.limit("bending")
        f = f * shape * eff * solid
        a, b = np.abs(turn) * across, np.abs(side) * along
        pa, pb = np.abs(still_turn) * across, np.abs(still_side) * along
        yield Use(
            check=f"scarf, {name} wood",
            kind="breaks",
            x=x,
            use=norm_use(a, b, pa, pb, f, q),
            demand=norm(a + pa, b + pb, q),
            capacity=f,
            unit="Pa",
            source=f"two-wood section; bending limit times {EFFICIENCY.name} ({EFFICIENCY.source}); {_LINE}",
            unknown=missing,
        )
        use, demand = life_use(beam, a, b, f, q)
        yield Use(
            check=f"scarf, {name} wood, life",
            kind="wears out",
            x=x,
            use=use,
            demand=demand,
            capacity=np.ones_like(demand),
            unit="",
            source=f"{LIFE}; bending limit times {EFFICIENCY.name}",
            unknown=missing,
        )
        if rows:
            pick = [v[..., list(rows), :] for v in (a, b, pa, pb, f)]
            crushed = crush(N=cut.axial[..., list(rows), :], A=s.area) / end.limit("compression")[..., list(rows), :]
            use, demand = thrust_use(beam, _both(pick, q), pick[4], crushed)
            yield Use(
                check=f"scarf, {name} wood, pressed",
                kind="breaks",
                x=x,
                use=use,
                demand=demand,
                capacity=np.ones_like(demand),
                unit="",
                source=f"{THRUST}; bending limit times {EFFICIENCY.name}",
                unknown=missing,
                cases=rows,
            )
    f_v = GLUE_SHEAR * np.minimum(ends[0].limit("shear"), ends[1].limit("shear"))
    f_t = np.minimum(ends[0].limit("tension across"), ends[1].limit("tension across"))
    s_j = j.slope[lift] + 0.0 * x
    steep = np.where(np.isnan(eff), np.nan, 1.0) * solid
    peak = np.maximum(unlike_peak(E_1=e_in, E_2=e_out, xi=t + 0.0 * x), 1.0)
    r_n, r_t = peel_part(s=s_j), shear_part(s=s_j)
    pulled = glue_limit(r_n=r_n, r_t=r_t, f_t=f_t, f_v=f_v) * steep
    sheared = f_v / r_t * steep
    second_turn = np.where(deep, s.second_stroke, s.second_flat)
    second_side = np.where(deep, s.second_flat, s.second_stroke)
    n = np.minimum(s.exponent, 1e3)
    chord = other / 2.0 * np.maximum(1.0 - np.abs(place) ** n, 0.0) ** (1.0 / n)
    at_glue = turn * place * size / 2.0 / second_turn
    beside = np.abs(side) * chord / second_side
    still = (
        np.abs(still_turn) * np.abs(place) * size / 2.0 / second_turn + np.abs(still_side) * chord / second_side
    ) * peak
    for name, stress, capacity in (
        ("pulled", (np.maximum(at_glue, 0.0) + beside) * peak, pulled),
        ("sheared", (np.maximum(-at_glue, 0.0) + beside) * peak, sheared),
    ):
        yield Use(
            check=f"scarf, glue {name}",
            kind="splits",
            x=x,
            use=plain_use(stress, capacity, still),
            demand=stress + still,
            capacity=capacity + 0.0 * stress,
            unit="Pa",
            source="fibre stress on the inclined glue line, its peak at the stiffer wood's tip; 0.90 of the weaker "
            f"wood's shear (judgement) with tension across the grain; {_LINE}",
            unknown="a slope of 1:8 or flatter, a solid section, shear or tension across the grain of both woods",
        )
        if rows:
            glue = [(v + 0.0 * stress)[..., list(rows), :] for v in (stress, still, capacity)]
            use, demand = thrust_use(beam, _one(glue[0], glue[1]), glue[2], np.zeros_like(glue[0]))
            yield Use(
                check=f"scarf, glue {name}, pressed",
                kind="splits",
                x=x,
                use=use,
                demand=demand,
                capacity=np.ones_like(demand),
                unit="",
                source=f"glue line's stress raised by the push, 1/(1 - P/P_cr), NDS 3.9 (from memory); {_LINE}",
                unknown="as the glue line without the push, or the stiffness of the wood",
                cases=rows,
            )
    yield from _glue_kind(j)
    yield from clear(beam, j, j.middle, "no fitting over any part of a splice, FAA AC 43.13-1B (1998) 1-40")


def _both(parts: list[Array], q: Array | float) -> Callable[[Array], Array]:
    """Return the fibre stress of both directions at a factor on the variable loads."""
    a, b, pa, pb, _ = parts
    return lambda factor: norm(pa + factor * a, pb + factor * b, q)


def _one(stress: Array, still: Array) -> Callable[[Array], Array]:
    """Return a stress at a factor on the variable loads."""
    return lambda factor: still + factor * stress


def _glue_kind(j: Scarf) -> Iterator[Use]:
    good = GLUES[j.glue] in _GOOD
    told = np.full((*np.shape(j.middle), 1, 1), 0.0 if good else np.nan)
    yield Use(
        check="scarf, glue kind",
        kind="splits" if good else NOT_CHECKED,
        x=j.middle[..., None, None],
        use=told,
        demand=told,
        capacity=told + 1.0,
        unit="",
        source="Wood Handbook FPL-GTR-190 Table 10-2, class by exposure",
        unknown=f"a structural glue for outdoor use: {j.glue} is {GLUES[j.glue]}, outside the method",
    )


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


SCARF = JointKind(
    kind="scarf",
    keys=KEYS,
    build=build,
    declares=DECLARES,
    check=check,
    told=told,
    variants=variants,
    placing=Placing(middle=lambda j: j.middle, moved=moved, keys=placed_keys),
    marks=marks,
    wedge=lambda j: float(j.slope),
)
