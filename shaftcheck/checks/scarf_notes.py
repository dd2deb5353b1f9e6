"""What is told of a scarf, and what might be changed of it."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

import numpy as np

from shaftcheck import sections
from shaftcheck.beam import Beam
from shaftcheck.checks.cradle import ACROSS_STIFF
from shaftcheck.checks.joint import Marking, Moved, Note
from shaftcheck.checks.placed import follow
from shaftcheck.checks.scarf_build import FACES, GLUES, Scarf, finished_slope, tips
from shaftcheck.checks.scarf_sizes import FLATTEST, STEEPEST, from_run
from shaftcheck.checks.scarf_uses import EFFICIENCY, check
from shaftcheck.formula import Sym, formula
from shaftcheck.loads import loaded
from shaftcheck.model import Array, Joint, OnePiece, Piece, Shaft, number
from shaftcheck.said import Said, Size, percent, said, sized
from shaftcheck.wood_relations import movement_rate

__all__ = ["marks", "moved", "placed_keys", "scale", "told", "variants"]


def told(beam: Beam, j: Scarf) -> Iterator[Note]:
    """Yield how it is marked out, what its figures rest on, and what is better so."""
    yield from _marked_out(beam, j)
    yield from _slope(j)
    yield from _faces(beam, j)
    yield from _placed(beam, j)
    yield from _glued(beam, j)
    yield from _moisture(beam, j)
    yield Note(
        grade="better so",
        text=said("cut the scarf in the general direction in which the grain runs out"),
        origin="FAA AC 43.13-1B (1998) 1-39",
    )


def _woods(beam: Beam, j: Scarf) -> tuple[Piece, Piece]:
    """Return the inner and the outer piece that a single scarf joins."""
    inner = [p for p in beam.shaft.pieces if float(p.start) <= float(j.start)][-1]
    outer = [p for p in beam.shaft.pieces if float(p.start) < float(j.end)][-1]
    return inner, outer


def _face_names(j: Scarf) -> tuple[str, str]:
    """Return the faces of the outer and of the inner wood's feather edge."""
    names = ("aft", "forward") if float(j.through_depth) == 1.0 else ("lower", "upper")
    return (names[0], names[1]) if float(j.face) > 0.0 else (names[1], names[0])


def _marked_out(beam: Beam, j: Scarf) -> Iterator[Note]:
    start, end, slope = (float(v) for v in (j.start, j.end, j.slope))
    inner, outer = (p.wood.name for p in _woods(beam, j))
    faces = _face_names(j)
    yield Note(
        grade="marking out",
        text=said(
            "feather edge of {outer} on the {a} face {start} from the handle end, of {inner} on the {b} face {end} "
            "from it: {long} in the finished shaft; the sled rises 1 for every {n} along",
            outer=outer if outer != inner else "the outer piece",
            inner=inner if outer != inner else "the inner piece",
            a=faces[0],
            b=faces[1],
            start=sized(start),
            end=sized(end),
            long=sized(end - start),
            n=_run(slope),
        ),
        origin="geometry",
    )
    if np.isnan(j.blank):
        text = said(
            "the slope is the same in the blank, where the scarf is {n} times as long as the blank is thick, and "
            "longer than in the finished shaft: tell blank_size for that length and for where to saw",
            n=_run(slope),
        )
    else:
        long = float(j.blank) / slope
        text = said(
            "on the blank of {blank} the scarf is {long} long; leave each piece {beyond} beyond mid-scarf (half of it "
            "and the kerf's run)",
            blank=sized(j.blank),
            long=sized(long),
            beyond=sized(long / 2.0 + float(j.kerf) / slope, side="up"),
        )
    yield Note(grade="marking out", text=text, origin="geometry")


def _run(slope: float) -> str:
    return f"{1.0 / slope:.3g}"


def _slope(j: Scarf) -> Iterator[Note]:
    slope = float(j.slope)
    if slope > 1 / 8 * (1.0 + 1e-12):
        return  # outside the method: said where it is checked
    yield Note(
        grade="caution",
        text=said(
            "a scarf of 1:{n} is given {eff} of the wood's bending strength. The sources differ: 0.80 at 1:8, 0.85 at "
            "1:10, 0.90 at 1:12 and flatter (Freas & Selbo, from memory), 0.65 at 1:4 and 0.95 at 1:20 (Birmingham, "
            "in a secondary account that doubts where they come from), 0.81 at 1:8 and all of it from 1:10 on (wood "
            "ten times as strong pulled as sheared, a bound); the lowest is used, whatever is flatter than 1:12",
            n=_run(slope),
            eff=f"{float(EFFICIENCY(j.slope)):.2f}",
        ),
        origin="as named",
    )
    rules = (
        "not steeper than 1:15 for an aircraft's spar (FAA-H-8083-31 ch. 6), 1:12 or flatter for the highest "
        "strength (Wood Handbook ch. 10), 1:12 usual and 1:8 possible in a spar (boatbuilding texts, secondary)"
    )
    if slope > 1 / 12 + 1e-12:
        text = said(f"1:{{n}} is steeper than 1:12. The rules differ: {rules}", n=_run(slope))
        yield Note(grade="caution", text=text, origin="as named")
    elif slope > 1 / 15 + 1e-12:
        text = said(f"the rules for a slope differ: {rules}")
        yield Note(grade="better so", text=text, origin="as named")


def _worst(beam: Beam, j: Scarf, part: str = "") -> tuple[float, str]:
    """Return the greatest known use of a single scarf's own checks, or of a part of them, and which it is."""
    uses = [(float(np.nanmax(u.use)), u.check) for u in check(beam, j) if part in u.check and not np.isnan(u.use).all()]
    return max(uses, default=(np.nan, ""))


def _faces(beam: Beam, j: Scarf) -> Iterator[Note]:
    """Yield on which face the stiffer wood's feather edge should lie, by both under all load cases."""
    inner, outer = _woods(beam, j)
    e = [float(p.wood.dry.stiffness) for p in (inner, outer)]
    if abs(e[0] - e[1]) < 0.005 * max(e) or np.isnan(e).any():
        return
    turned = replace(j, face=-j.face)
    joints = tuple(turned if other is j else other for other in beam.shaft.joints)
    other_way = replace(beam, shaft=replace(beam.shaft, joints=joints))
    here, there = _worst(beam, j), _worst(other_way, turned)
    glue = _worst(beam, j, "glue")[0], _worst(other_way, turned, "glue")[0]
    if not np.isfinite([here[0], there[0], *glue]).all():
        return
    names = _face_names(j)
    stiff, its, other = (outer, names[0], names[1]) if e[1] > e[0] else (inner, names[1], names[0])
    a, b = (here[0], there[0]) if abs(here[0] - there[0]) > 0.005 * here[0] else glue
    advice = "it lies well there" if a < 0.995 * b else "turn it" if b < 0.995 * a else "it makes no difference"
    yield Note(
        grade="better so",
        text=said(
            "{wood} is the stiffer, and its feather edge draws the more load. On the {face} face, as told, this "
            "scarf is {here} used at most ({check}), its glue line {glue}; on the {other} face {there} ({then}), its "
            "glue line {glue_there}: {advice}",
            wood=stiff.wood.name,
            face=its,
            other=other,
            here=percent(here[0], "up"),
            there=percent(there[0], "up"),
            check=here[1],
            then=there[1],
            glue=percent(glue[0], "up"),
            glue_there=percent(glue[1], "up"),
            advice=advice,
        ),
        origin="both tried under every load case, each with its sign",
    )


def _elsewhere(beam: Beam, j: Scarf, step: float) -> str:
    """Return what it would cost to have the scarf moved, its woods meeting in it as they do."""
    shaft = beam.shaft
    new = _laid(shaft, j, j.middle + step, j.slope)
    if new is None:
        return "there is no room for that"
    pieces, crossed = follow(shaft, number(step), j.start, j.end)
    if any(where.any() for _, where in crossed):
        return "another wood is in the way of that"
    joints = tuple(new if other is j else other for other in shaft.joints)
    moved_to = loaded(replace(shaft, pieces=pieces, joints=joints), beam.own)
    there, here = _worst(moved_to, new)[0], _worst(beam, j)[0]
    if not np.isfinite([here, there]).all():
        return "what that costs is not known"
    return f"there it would be {percent(there, 'up')} used at most, instead of {percent(here, 'up')}"


def _placed(beam: Beam, j: Scarf) -> Iterator[Note]:
    start, end = float(j.start), float(j.end)
    long = end - start
    rig = beam.shaft.rig
    near = float(rig.lock) if isinstance(rig, OnePiece) else float(rig.outer_to)
    outboard = (start + end) / 2.0 >= near
    gap = start - near if outboard else near - end
    if gap < long:
        step = (long - gap) * (1.0 if outboard else -1.0)
        yield Note(
            grade="better so",
            text=said(
                "keep the scarf its own length clear of the lock or cradle, where the moment is greatest; it is {gap} "
                "clear. Moved by {step}, {cost}",
                gap=sized(max(gap, 0.0), side="down"),
                step=sized(abs(step), side="up"),
                cost=_elsewhere(beam, j, step),
            ),
            origin="common practice, no source",
        )
    for other in beam.shaft.joints:
        if other is not j:
            beyond = start >= float(other.start)
            space = start - float(other.end) if beyond else float(other.start) - end
            longer = max(long, float(other.end) - float(other.start))
            if space < 3.0 * longer:
                step = (3.0 * longer - space) * (1.0 if beyond else -1.0)
                yield Note(
                    grade="better so",
                    text=said(
                        "three lengths of the longer joint between two ({want}); there are {space}. Moved by {step}, "
                        "{cost}",
                        want=sized(3.0 * longer),
                        space=sized(max(space, 0.0), side="down"),
                        step=sized(abs(step), side="up"),
                        cost=_elsewhere(beam, j, step),
                    ),
                    origin="FAA AC 43.13-1B (1998) 1-40",
                )


_BONDS = ("bonds easily", "bonds well", "bonds satisfactorily with a good glue and care", "bonds with difficulty")


def _glued(beam: Beam, j: Scarf) -> Iterator[Note]:
    for p in dict.fromkeys(_woods(beam, j)):
        if np.isnan(p.wood.bonding):
            text = said("{wood} is not in the list of how woods take glue: break a sample", wood=p.wood.name)
            yield Note(grade="caution", text=text, origin="Wood Handbook FPL-GTR-190 Table 10-1")
        elif p.wood.bonding >= 2.0:
            text = said("{wood} {bonds}", wood=p.wood.name, bonds=_BONDS[int(p.wood.bonding)])
            yield Note(grade="caution", text=text, origin="Wood Handbook FPL-GTR-190 Table 10-1")
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


SWING = number(0.08)
"""from an oar dry indoors, 12 %, to a wet one, 20 % (judgement) [-]"""
RELAXED = number(1.0 / 3.0)
"""what creep leaves of a stress that moisture brings over days and weeks (judgement) [-]"""


@formula(
    Sym("e", "", "difference of free movement over the size"),
    "difference of two rates of movement times the change of moisture (by definition)",
    a=Sym("C_1", "", "change of size over change of moisture of one wood", low=0.0),
    b=Sym("C_2", "", "of the other", low=0.0),
    m=Sym("m", "", "change of moisture", low=0.0, high=0.30),
)
def unlike_movement(*, a: Array, b: Array, m: Array) -> Array:
    """How much more one wood would move than the other, across the grain."""
    return np.abs(a - b) * m


@formula(
    Sym("sigma_m", "Pa", "stress across the grain"),
    "strain times modulus, one wood held wholly by the other (by definition), times what creep leaves (judgement)",
    e=Sym("e", "", "difference of free movement over the size", low=0.0),
    E=Sym("E", "Pa", "modulus along the grain of the stiffer wood", low=0.0),
    r=Sym("r", "", "modulus across over that along", low=0.0, high=1.0),
    k=Sym("k", "", "what creep leaves", low=0.0, high=1.0),
)
def held_stress(*, e: Array, E: Array, r: Array, k: Array) -> Array:
    """Stress across the grain of a wood that is held from moving."""
    return e * E * r * k


def _moisture(beam: Beam, j: Scarf) -> Iterator[Note]:
    """Yield how unlike two pieces move with moisture across their glue line; told, not demanded."""
    pieces = _woods(beam, j)
    names = tuple(p.wood.name for p in pieces)
    rates = [(movement_rate(shrinkage=w.shrinks_radially), movement_rate(shrinkage=w.shrinks_tangentially))
             for w in (p.wood for p in pieces)]  # fmt: skip
    unknown = [n for n, pair in zip(names, rates, strict=True) if np.isnan(pair).any()]
    if unknown:
        text = said("how {wood} shrinks is not known, so neither is how unlike the two pieces move with moisture",
                    wood=" and ".join(dict.fromkeys(unknown)))  # fmt: skip
        yield Note(grade="caution", text=text, origin="no table of shrinkage names it")
        return
    (r_1, t_1), (r_2, t_2) = rates
    alike = max(float(unlike_movement(a=a, b=b, m=SWING)) for a, b in ((r_1, r_2), (t_1, t_2)))
    crossed = max(float(unlike_movement(a=a, b=b, m=SWING)) for a, b in ((r_1, t_2), (t_1, r_2)))
    depth, width, _, _ = (float(v[0, 0]) for v in sections.at(j.middle[None, None], beam.shaft.stations))
    wide = width if float(j.through_depth) == 1.0 else depth
    stiff = np.maximum(*(p.wood.dry.stiffness for p in pieces))

    def stress(e: float) -> Size:
        return sized(held_stress(e=number(e), E=stiff, r=ACROSS_STIFF, k=RELAXED), "stress", "up")

    yield Note(
        grade="caution",
        text=said(
            "from 12 to 20 % of moisture {pair} move apart by up to {alike} across the glue line's {wide} where their "
            "rings lie alike, by {crossed} where they are crossed; held wholly by the other, a third of it left by "
            "creep, that is {a} or {b} across the grain, where the weaker tears at a mean of {tear}; it comes on top "
            "of the loads. Lay the rings alike and keep it sealed",
            pair="the two pieces" if names[0] == names[1] else f"{names[0]} and {names[1]}",
            alike=sized(alike * wide, side="up"),
            crossed=sized(crossed * wide, side="up"),
            wide=sized(wide),
            a=stress(alike),
            b=stress(crossed),
            tear=sized(np.minimum(*(p.wood.dry.tension_across for p in pieces)), "stress", "down"),
        ),
        origin="Wood Handbook ch. 13 and Table 4-3; swing, modulus across 0.10 of that along, and creep: judgement",
    )


def variants(shaft: Shaft, j: Scarf, stride: float) -> Iterator[tuple[Said, Joint]]:
    """Yield flatter scarfs about the same middle, and the same scarf with its tips on the other faces, or elsewhere."""
    other = FACES["fore and aft" if float(j.through_depth) == 1.0 else "up and down"][int(float(j.face) < 0.0)]
    yield said(f'the scarf\'s feather edges on the other faces (outer_tip_on = "{other}")'), replace(j, face=-j.face)
    for n in (10, 12, 14, 16, 20):
        if 1.0 / n < float(j.slope) - 1e-9:
            new = _laid(shaft, j, j.middle, number(1.0 / n))
            if new is not None:
                yield said('a scarf of 1:{n} about the same middle (slope = "1:{n}")', n=str(n)), new
    along = " and where its woods meet" if len(shaft.pieces) > 1 else ""
    for step in (n * stride for n in (-3, -2, -1, 1, 2, 3)):
        new = _laid(shaft, j, j.middle + step, j.slope)
        if new is not None:
            way = "in" if step < 0 else "out"
            yield said("the scarf{along} moved {step} {way}board", along=along, step=sized(abs(step)), way=way), new


def _laid(shaft: Shaft, j: Scarf, middle: Array, slope: Array) -> Scarf | None:
    """Return the scarf elsewhere or of another slope; None where it finds no room, or no blank that is thick enough."""
    start, end = tips(middle, slope, j.through_depth, shaft.stations)
    if not shaft.rig.hand < start < end < shaft.blade.neck:
        return None
    depth, width, _, _ = sections.at(middle[None, None], shaft.stations)
    size = np.where(j.through_depth == 1.0, depth[0, 0], width[0, 0])
    return None if j.blank < size else replace(j, middle=middle, slope=slope, start=start, end=end)


def moved(shaft: Shaft, j: Scarf, middle: Array, length: Array) -> Moved:
    """Return the scarf elsewhere: its slope stays, or is that of the length in the finished shaft.

    The pieces are as long as they are cut: to the scarf's far tip.
    """
    depth, width, _, _ = sections.at(middle[..., None, None], shaft.stations)
    size = np.where(j.through_depth == 1.0, depth[..., 0, 0], width[..., 0, 0])
    kept = np.isnan(length)
    slope = j.slope + 0.0 * middle
    if not kept.all():
        told = np.where(kept, size / j.slope, length)
        slope = np.where(kept, slope, finished_slope(middle, told, j.through_depth, shaft.stations))
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


def scale(shaft: Shaft, j: Scarf, step: float) -> tuple[Array, tuple[str, ...]]:
    """Return the lengths in the finished shaft of scarfs from 1:8 to 1:24, and their slopes."""
    runs = np.arange(STEEPEST, FLATTEST + 0.25, 0.5)
    start, end = tips(j.middle + 0.0 * runs, from_run(runs), j.through_depth, shaft.stations)
    return np.asarray(end - start), tuple(f"1:{n:g}" for n in runs)


def marks(j: Scarf) -> Iterator[Marking]:
    """Yield both tips, each with the face that its feather edge lies on."""
    outer, inner = _face_names(j)
    yield Marking(x=float(j.start), what="tip of the outer wood", faces=outer, waste="along the plane to the other tip")
    yield Marking(x=float(j.end), what="tip of the inner wood", faces=inner, waste="along the plane to the other tip")


def placed_keys(j: Scarf, longer: bool) -> tuple[dict[str, float | str], tuple[str, ...]]:
    """Return the keys that say where a scarf is placed; its slope says its length."""
    slope = f"1:{1.0 / float(j.slope.ravel()[0]):.12g}"
    return {"middle": float(j.middle.ravel()[0]), "slope": slope}, ("length", "length_on")
