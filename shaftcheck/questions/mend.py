"""A broken oar: how far back to cut, where to scarf, which plank to look for, and whether it goes back in the pair."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from typing import Any

import numpy as np

from shaftcheck import sections
from shaftcheck.beam import GRAVITY
from shaftcheck.border.files import text
from shaftcheck.border.shaftfile import parse
from shaftcheck.border.shown import System, axis, say, show
from shaftcheck.border.write import size
from shaftcheck.checks.scarf_build import GLUES
from shaftcheck.errors import Fault, InputError
from shaftcheck.frozen import frozen
from shaftcheck.key import Key
from shaftcheck.model import Array, Shaft, Wood, map_arrays, number
from shaftcheck.questions._pairs import correction, state_of
from shaftcheck.questions._woods import SHELF, Candidate, bonding, lacks_of, named, of_plank, on_shelf, too_small
from shaftcheck.questions.question import (
    Asked,
    Curve,
    Finding,
    Picture,
    Question,
    Stretch,
    Table,
    Winner,
    numbers,
    ready,
)
from shaftcheck.said import percent
from shaftcheck.strength import DRY_AT
from shaftcheck.studies.mend import (
    BELIEVED_STIFF,
    BELIEVED_WEIGHT,
    BEYOND,
    SIDES,
    Break,
    New,
    Range,
    Scarfs,
    Side,
    as_measured,
    batches,
    half_of,
    mended,
    plank_range,
    scarfs,
    sound,
    tried,
)
from shaftcheck.studies.pairs import ALIKE, Correction, Figures, apart, figures, one_piece, uses_of
from shaftcheck.studies.planks import dry_density, revise
from shaftcheck.wood_relations import AXIAL_OVER_BENDING, plank_sag

__all__ = ["QUESTION"]

TIE = 0.10
"""a mended oar used up to this much more than its mate is as good (judgement)"""
NEAR = 0.02
"""uses this near to each other are one: then the scarf that keeps more of the old oar is taken (judgement)"""
_CLOSE = 8
"""scarfs of each side that are looked at closely"""
_END: dict[Side, str] = {"inner": "handle end", "outer": "blade end"}
_RANK = {"in the pair": 0, "as a spare only": 1, "not so": 2}
"""what a mended oar may do, best first"""
_LATH: dict[System, tuple[float, float, float, float]] = {
    "metric": (0.100, 0.050, 2.0, 40.0),
    "inches": (0.1016, 0.0508, 1.9812, 40.8233133),
}
"""a plank that its sag is told of: width, thickness, span [m], weight hung at mid-span [kg]"""


@frozen
class _Mend:
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


class _Job:
    """The oar, its break, its mate, and what it may be mended with."""

    def __init__(self, asked: Asked) -> None:
        self.asked = asked
        self.reading, built, self.doc = ready(asked)
        self.built = built
        self.shaft: Shaft = built.shaft
        self.system: System = asked.system or self.reading.system
        if any(np.isfinite(s.wall) for s in self.shaft.stations):
            fault = Fault("oar.inside", "hollow: a scarf in a hollow shaft is outside the method", "give a solid oar")
            raise InputError(self.reading.name, [fault])
        x = float(asked.options["broken_at"])
        self.broken = Break(low=x - float(asked.options["damage_in"]), high=x + float(asked.options["damage_out"]))
        if not 0.0 < x < float(self.shaft.blade.neck):
            reach = show(float(self.shaft.blade.neck), "length", self.system)
            fault = Fault("broken_at", "not between the handle end and the neck", f"write a place up to {reach}")
            raise InputError("mend", [fault])
        self.x = x
        self.sound = sound(self.shaft, self.broken)
        self.shelf = on_shelf(asked)
        self.glue = asked.word("glue")
        self.tested = asked.word("sample_broken") == "yes"
        self.blade_follows = "oar.blade_weight" not in self.reading.entries
        self.old = [p for p in self.shaft.pieces if float(p.start) <= x][-1]
        index = self.shaft.pieces.index(self.old)
        told = asked.word("wood")
        estimate = "lacking_values" in self.doc["wood"][index]
        self.new = named(told or str(self.doc["wood"][index]["of"]), self.doc, self.shelf, estimate=estimate)
        self.correction, _ = correction(self.reading, self.shaft)
        self.at = number(float(self.shaft.blade.centroid))
        mate = asked.word("mate")
        if mate:
            r, b, _ = ready(Asked(docs=((mate, parse(text(mate), mate)),), options={}))
            self.mate_name, self.mate, own = r.title or r.name, b.shaft, b.own
            made = correction(r, b.shaft)[0]
        else:
            self.mate_name, self.mate, own, made = "its mate, taken as the same", self.shaft, built.own, self.correction
        if one_piece(self.mate) != one_piece(self.shaft):
            raise InputError(mate, [Fault("rig.kind", "not the rig of the broken oar", "give the oar's own mate")])
        self.mate_state = state_of(uses_of(self.mate, own))
        self.mate_figures = figures(self.mate, self.at, made)

    def piece(self, c: Candidate) -> New:
        """Return the new piece."""
        return New(
            wood=c.wood,
            slope=number(float(self.old.slope) if c.slope is None else c.slope),
            moisture=self.old.moisture,
        )

    def search(self, s: Scarfs, c: Candidate, rounds: int) -> tuple[Array, Any, list[dict[str, float]]]:
        """Return worst use, knownness and uses of scarfs to a new piece."""
        return tried(
            self.shaft,
            self.broken,
            s,
            self.piece(c),
            self.built.own,
            glue=self.glue,
            tested=self.tested,
            blade_follows=self.blade_follows,
            rounds=rounds,
            tick=self.asked.tick,
        )

    def as_shaft(self, s: Scarfs, c: Candidate) -> Callable[[Array, Array], Shaft]:
        """Return a way to the mended oar as it weighs and gives, for gravities and stiffnesses of the new piece."""
        made = next(m for m, _ in batches(self.shaft, self.broken, s))
        base = as_measured(self.shaft, self.correction)

        def build(gravity: Array, stiffness: Array) -> Shaft:
            wood = map_arrays(lambda a: np.broadcast_to(a, gravity.shape), c.wood)
            new = replace(self.piece(c), wood=replace(wood, gravity=gravity, measured_stiffness=stiffness))
            many = s.take([0] * len(gravity))
            return mended(
                base, self.broken, many, made, new, glue=self.glue, tested=self.tested, blade_follows=self.blade_follows
            )

        return build


def _kept_length(job: _Job, s: Scarfs) -> Array:
    first, last = half_of(job.shaft, job.x)
    return s.middle - first if s.side == "inner" else last - s.middle


def _best(job: _Job, side: Side, c: Candidate) -> _Mend | None:
    """Return the best scarf for an end that is kept, or None where none fits."""
    s = scarfs(job.shaft, side, job.broken)
    if not len(s.middle):
        return None
    worst, known, _ = job.search(s, c, 0)
    order = np.lexsort((-_kept_length(job, s), np.where(known, worst, np.inf)))
    level = worst[order[0]] + NEAR
    near = [i for i in order if known[i] and worst[i] <= level]
    kept = _kept_length(job, s)
    near.sort(key=lambda i: (float(s.slope[i]) > 1.0 / 12.0 + 1e-12, -float(kept[i])))
    short = [int(i) for i in (near or list(order))[:_CLOSE]]
    close = s.take(short)
    worst, known, uses = job.search(close, c, 2)
    rank = sorted(range(len(short)), key=lambda i: (not known[i], not worst[i] <= 1.0, i))
    k = rank[0]
    return _judged(job, side, close.take([k]), c, float(worst[k]), bool(known[k]), uses[k])


def _judged(job: _Job, side: Side, s: Scarfs, c: Candidate, worst: float, known: bool, uses: dict[str, float]) -> _Mend:
    fits = any(True for _ in batches(job.shaft, job.broken, s))
    f = Figures(mass=number(np.nan), balance=number(np.nan), sag=number(np.nan))
    reach: Range | None = None
    if fits:
        build = job.as_shaft(s, c)
        stiff = c.wood.dry.stiffness if np.isnan(c.wood.measured_stiffness) else c.wood.measured_stiffness
        shift = Correction(balance=job.correction.balance)
        f = figures(build(np.array([float(c.wood.gravity)]), np.array([float(stiff)])), job.at, shift)
        reach = _held_range(job, s, c, plank_range(build, job.mate_figures, job.at, job.correction.balance))
    why: list[str] = []
    for made, _ in batches(job.shaft, job.broken, s):
        table = job.doc["wood"][made.left[-1] if side == "inner" else made.right[0]]
        if not bonding(named(str(table["of"]), job.doc, job.shelf, estimate=False), c)[0]:
            why.append("how one of the two woods bonds is not known")
    if not known:
        why.append("a check of it could not be made")
    verdict = "not so"
    if not worst <= 1.0:
        check = max(uses, key=lambda k: uses[k] if not np.isnan(uses[k]) else -1.0) if uses else "clear of other joints"
        why.append(f"{check} used {percent(worst, 'up')}")
    elif not why:
        verdict, why = _verdict(job, c, worst, f, reach)
    return _Mend(
        side=side,
        scarf=s,
        new=c,
        worst=worst,
        known=known,
        uses=uses,
        f=f,
        range=reach,
        verdict=verdict,
        why=tuple(why),
    )


def _verdict(job: _Job, c: Candidate, worst: float, f: Figures, reach: Range | None) -> tuple[str, list[str]]:
    """Return whether one that holds goes back in the pair, or is a spare, and why."""
    why = []
    if job.mate_state[0] != "holds":
        why.append(f"its mate {job.mate_state[0]} itself")
    elif worst > job.mate_state[1] * (1.0 + TIE):
        why.append(f"used {percent(worst, 'up')}, its mate {percent(job.mate_state[1], 'up')}")
    if not job.tested:
        why.append("no sample of the glue line was broken yet")
    if c.plank is not None:
        far = float(apart(f, job.mate_figures)[0])
        if not far <= 1.0:
            why.append("unlike its mate in weight, balance or sag")
    elif reach is None or reach.gravity[0] > reach.gravity[1] or reach.stiffness[0] > reach.stiffness[1]:
        why.append("no plank of that wood makes it like its mate")
    return ("as a spare only" if why else "in the pair"), why


def _held_range(job: _Job, s: Scarfs, c: Candidate, wide: Range) -> Range:
    """Return the range without what is past belief for the wood, nor so light or soft that the mended oar fails."""
    g, e = float(c.wood.gravity), float(c.wood.dry.stiffness)
    low_g, high_g = max(wide.gravity[0], BELIEVED_WEIGHT[0] * g), min(wide.gravity[1], BELIEVED_WEIGHT[1] * g)
    low_e, high_e = max(wide.stiffness[0], BELIEVED_STIFF[0] * e), min(wide.stiffness[1], BELIEVED_STIFF[1] * e)
    if low_g <= high_g and low_e <= high_e and not _holds_with(job, s, c, low_g, low_e):
        low_g, low_e = max(low_g, g), max(low_e, e)  # no lighter nor softer than the table's mean, which was checked
    return Range(gravity=(low_g, high_g), stiffness=(low_e, high_e))


def _holds_with(job: _Job, s: Scarfs, c: Candidate, gravity: float, stiffness: float) -> bool:
    r = revise(
        c.wood,
        density=dry_density(gravity),
        stiffness=number(stiffness * AXIAL_OVER_BENDING),
        moisture=DRY_AT,
    )
    dry = {p: getattr(c.wood.dry, p) * r.keeps[p, "12 %"] for p, _ in r.keeps}
    green = {p: getattr(c.wood.green, p) * r.keeps[p, "green"] for p, _ in r.keeps}
    wood: Wood = replace(
        c.wood, dry=replace(c.wood.dry, **dry), green=replace(c.wood.green, **green), gravity=number(gravity)
    )
    worst, known, _ = job.search(s, replace(c, wood=wood), 0)
    return bool(known[0] and worst[0] <= 1.0)


def _ask(asked: Asked) -> Finding:
    job = _Job(asked)
    ways = [m for side in SIDES if (m := _best(job, side, job.new)) is not None]
    ways.sort(key=lambda m: (_RANK[m.verdict], m.worst))
    planks = _planks(job, ways)
    return _finding(job, ways, planks)


def _planks(job: _Job, ways: list[_Mend]) -> list[tuple[str, _Mend | None, str]]:
    """Return each plank of the shelf with what it makes of the best way to mend, or why it is left out."""
    out: list[tuple[str, _Mend | None, str]] = []
    if not ways or ways[0].verdict == "not so":
        return out
    best = ways[0]
    first, last = half_of(job.shaft, job.x)
    reach = (float(best.scarf.start[0]), last) if best.side == "inner" else (first, float(best.scarf.end[0]))
    for plank in job.shelf:
        against, missing = lacks_of(plank)
        small = too_small(plank, job.shaft, reach)
        why = "; ".join([*against, *missing, *([small] if small else [])])
        if why:
            out.append((plank.name, None, why))
            continue
        c = of_plank(plank)
        worst, known, uses = job.search(best.scarf, c, 2)
        out.append((plank.name, _judged(job, best.side, best.scarf, c, float(worst[0]), bool(known[0]), uses[0]), ""))

    def order(row: tuple[str, _Mend | None, str]) -> tuple[int, float]:
        m = row[1]
        return (3, 0.0) if m is None else (_RANK[m.verdict], float(apart(m.f, job.mate_figures)[0]))

    return sorted(out, key=order)


# ------------------------------------------------------------------------------------------------------------ words


def _faces(s: Scarfs) -> tuple[str, str]:
    deep = float(s.through_depth[0]) == 1.0
    face = ("aft" if float(s.face[0]) > 0 else "forward") if deep else ("lower" if float(s.face[0]) > 0 else "upper")
    return ("fore and aft" if deep else "up and down"), face


def _winner(job: _Job, m: _Mend) -> Winner:
    s = m.scarf
    made = next(k for k, _ in batches(job.shaft, job.broken, s))
    first, last = half_of(job.shaft, job.x)
    middle = float(s.middle[0])
    new_from, new_to = (middle, last) if m.side == "inner" else (first, middle)
    doc = {k: v for k, v in job.doc.items() if k not in ("measured", "change", "plank")}
    tables = doc["wood"]

    def bare(i: int) -> dict[str, Any]:
        return {k: v for k, v in tables[i].items() if k not in ("from", "to")}

    left = [bare(i) | {"to": size(float(job.shaft.pieces[i].end), job.system)} for i in made.left]
    right = [bare(i) | {"to": size(float(job.shaft.pieces[i].end), job.system)} for i in made.right]
    if left:
        left[-1]["to"] = size(new_from, job.system)
    fresh: dict[str, Any] = {"of": m.new.name, "to": size(new_to, job.system)}
    old = tables[job.shaft.pieces.index(job.old)]
    if m.new.slope is not None:
        fresh["runout"] = f"1:{1.0 / m.new.slope:.10f}"
    elif "runout" in old:
        fresh["runout"] = old["runout"]
    if "moisture" in old:
        fresh["moisture"] = old["moisture"]
    if m.new.estimate:
        fresh["lacking_values"] = "estimate"
    woods = [*left, fresh, *right]
    del woods[-1]["to"]
    doc["wood"] = woods
    through, face = _faces(s)
    scarf = {
        "kind": "scarf",
        "middle": size(middle, job.system),
        "slope": f"1:{1.0 / float(s.slope[0]):.0f}",
        "cut_through": through,
        "outer_tip_on": face,
        "glue": job.glue,
        "sample_broken": "yes" if job.tested else "no",
    }
    kept = [(float(job.shaft.joints[i].start), doc["joint"][i]) for i in made.joints]
    doc["joint"] = [t for _, t in sorted([*kept, (float(s.start[0]), scarf)], key=lambda r: r[0])]
    if "flaw" in doc:
        doc["flaw"] = [doc["flaw"][i] for i in made.flaws]
        if not doc["flaw"]:
            del doc["flaw"]
    if m.new.own is not None:
        doc["own_wood"] = {**doc.get("own_wood", {}), m.new.name: dict(m.new.own)}
    doc["title"] = f"{job.reading.title or 'oar'}: mended"
    return Winner(label=f"mended with {m.new.name}", doc=doc, uses=m.uses)


def _where(job: _Job, m: _Mend) -> str:
    s = m.scarf
    through, face = _faces(s)
    start, middle, end = (show(float(v[0]), "length", job.system) for v in (s.start, s.middle, s.end))
    cut = end if m.side == "inner" else start
    return (
        f"keep the {_END[m.side]}, saw it off at {cut}, and scarf a new piece to it 1:{1.0 / float(s.slope[0]):.0f}, "
        f"cut {through}, from {start} to {end} (middle at {middle}), the outer piece's feather edge {face}"
    )


def _ranges(job: _Job, m: _Mend) -> str:
    r = m.range
    if r is None or r.gravity[0] > r.gravity[1] or r.stiffness[0] > r.stiffness[1]:
        return ""
    light, heavy = (show(float(dry_density(g)), "density", job.system) for g in r.gravity)
    soft, stiff = (show(e, "stiffness", job.system) for e in r.stiffness)
    return (
        f"a plank of {m.new.name} of {light} to {heavy} at 12 % moisture and {soft} to {stiff} stiff "
        f"({_sags(job, m, r)})"
    )


def _sags(job: _Job, m: _Mend, r: Range) -> str:
    """Return the same stiffness as the sag of a plank on two supports."""
    b, t, span, mass = _LATH[job.system]
    sags = plank_sag(
        force=number(mass * GRAVITY),
        span=number(span),
        width=number(b),
        thickness=number(t),
        axial=np.array([r.stiffness[1], r.stiffness[0]]) * AXIAL_OVER_BENDING,
        ratio=m.new.wood.shear_ratio / AXIAL_OVER_BENDING,
    )
    low, high = (show(float(sag), "length", job.system) for sag in sags)
    sizes = " by ".join(show(v, "length", job.system) for v in (b, t))
    return (
        f"{sizes} lying flat on supports {show(span, 'length', job.system)} apart it sags {low} to {high} more under "
        f"{show(mass, 'mass', job.system)}"
    )


def _sentence(job: _Job, ways: list[_Mend], planks: list[tuple[str, _Mend | None, str]]) -> str:
    if not ways or ways[0].verdict == "not so":
        why = f" The nearest: {'; '.join(ways[0].why)}." if ways else " No scarf lies whole in sound wood."
        mate = f" Its mate {job.mate_state[0]} too." if job.mate_state[0] != "holds" else ""
        return f"Not to be mended with one scarf.{why}{mate}"
    best = ways[0]
    shown = planks[0][1] if planks and planks[0][1] is not None and planks[0][1].verdict != "not so" else None
    m = shown or best
    said = f"Mended {m.verdict}: {_where(job, best)}."
    said += f" It is used {percent(m.worst, 'up')}, its mate {percent(job.mate_state[1], 'up')}."
    if shown is not None:
        said += f" Of the shelf take {shown.new.name}."
    elif _ranges(job, best):
        said += f" Look for {_ranges(job, best)}."
    if m.why:
        said += f" Why not more: {'; '.join(m.why)}."
    return said


def _row(job: _Job, m: _Mend) -> tuple[str, ...]:
    s = m.scarf
    through, face = _faces(s)
    return (
        _END[m.side],
        show(float((s.end if m.side == "inner" else s.start)[0]), "length", job.system),
        f"1:{1.0 / float(s.slope[0]):.0f}",
        f"{show(float(s.start[0]), 'length', job.system)} to {show(float(s.end[0]), 'length', job.system)}",
        through,
        face,
        percent(m.worst, "up") if m.known else "not known",
        m.verdict,
        "; ".join(m.why),
    )


def _beside(job: _Job, m: _Mend) -> tuple[str, ...]:
    f = m.f
    return (
        m.new.name,
        show(float(f.mass[0]), "mass", job.system),
        show(float(f.balance[0]), "length", job.system),
        show(float(f.sag[0]), "length", job.system),
        percent(m.worst, "up") if m.known else "not known",
        m.verdict,
        "; ".join(m.why),
    )


def _finding(job: _Job, ways: list[_Mend], planks: list[tuple[str, _Mend | None, str]]) -> Finding:
    system, mate = job.system, job.mate_figures
    good = [m for m in ways if m.verdict != "not so"]
    made = [m for _, m, _ in planks if m is not None and m.verdict != "not so"]
    tables = []
    if ways:
        tables.append(
            Table(
                title="The best scarf for each end that may be kept",
                heads=("keep", "saw off at", "slope", "scarf", "cut", "outer edge", "used", "verdict", "why"),
                rows=tuple(_row(job, m) for m in ways),
                numeric=(1, 2, 6),
            )
        )
    if good:
        rows = [
            (
                job.mate_name,
                show(float(mate.mass), "mass", system),
                show(float(mate.balance), "length", system),
                show(float(mate.sag), "length", system),
                percent(job.mate_state[1], "up"),
                "",
                "",
            ),
            _beside(job, good[0]),
            *(_beside(job, m) for _, m, _ in planks if m is not None),
        ]
        tables.append(
            Table(
                title="Beside its mate, mended with",
                heads=("", "weight", "balance", f"sag, {show(10.0, 'mass', system)}", "used", "verdict", "why"),
                rows=tuple(rows),
                numeric=(1, 2, 3, 4),
            )
        )
    left_out = tuple((name, why) for name, m, why in planks if m is None)
    if left_out:
        tables.append(Table(title="Planks left out", heads=("plank", "why"), rows=left_out))
    low, high = (show(v, "length", system) for v in job.sound)
    kept = {m.side for m in ways}
    winners = [_winner(job, m) for m in (*made, *good)]
    return Finding(
        question="mend",
        title=job.reading.title or job.reading.name,
        sentence=_sentence(job, ways, planks),
        answered=bool(good),
        system=system,
        tables=tuple(tables),
        pictures=(_picture(job, ways),),
        data={
            "sound_wood": {"up_to": numbers(job.sound[0], "m"), "from": numbers(job.sound[1], "m")},
            "ways": [_record(job, m) for m in ways],
            "planks": [_record(job, m) for _, m, _ in planks if m is not None],
            "left_out": [{"plank": n, "why": w} for n, w in left_out],
            "mate": {
                "name": job.mate_name,
                "state": job.mate_state[0],
                "worst_use": numbers(job.mate_state[1], ""),
                "weight": numbers(float(mate.mass), "kg"),
                "balance": numbers(float(mate.balance), "m"),
                "sag": numbers(float(mate.sag), "m"),
            },
        },
        searched=(
            f"scarfs that lie whole in sound wood, which ends {low} and begins again {high} from the handle end: "
            f"{BEYOND:g} depths beyond the damage that was seen (judgement); every {show(0.01, 'length', system)}, "
            "1:8 to 1:20, both ways of cutting, either face; the least used; of those within 2 %, one of 1:12 or "
            "flatter that keeps most of the old oar",
            "not searched: two scarfs with a piece let in between; sleeves, wraps and dowels",
            *(f"the {_END[k]} can't be kept: no scarf lies whole in its sound wood" for k in SIDES if k not in kept),
            f"in the pair: used at most {percent(TIE)} more than its mate, a sample of the glue line broken, "
            f"weight within {percent(ALIKE['weight'])}, balance within "
            f"{show(ALIKE['balance'], 'length', system)}, sag within {percent(ALIKE['sag'])} (judgement)",
        ),
        assumptions=(
            *(say(a, system) for a in job.built.assumptions),
            f"glued with {job.glue}",
            *(() if job.asked.word("mate") else ("its mate: as this oar was before it broke",)),
        ),
        cautions=(
            "What broke the oar may have hurt the rest: look for creases along the whole of it before you glue.",
            "A mended oar is tested before it is trusted, and lies as the spare until it was.",
        ),
        winners=tuple(winners),
    )


def _record(job: _Job, m: _Mend) -> dict[str, Any]:
    s = m.scarf
    through, face = _faces(s)
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
        if r is None or not _ranges(job, m)
        else {
            key: {"low": numbers(ends[0] * per, unit), "high": numbers(ends[1] * per, unit)}
            for key, ends, per, unit in (
                ("density_at_12", r.gravity, float(dry_density(1.0)), "kg/m3"),
                ("stiffness_at_12", r.stiffness, 1.0, "Pa"),
            )
        },
    }


def _picture(job: _Job, ways: list[_Mend]) -> Picture:
    unit, per = axis("length", job.system)
    shaft = job.shaft
    x = np.linspace(0.0, float(shaft.blade.neck), 161)
    depth, width, _, _ = sections.at(x[None], shaft.stations)
    stretches = [Stretch(start=job.sound[0] / per, end=job.sound[1] / per, good=False, label="not sound")]
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


QUESTION = Question(
    asks="how is a broken oar mended: how far back, which scarf, which plank, and is it in the pair again?",
    ask=_ask,
    examples=(
        'mend my-oar.toml --broken-at "1.5 m" --damage-in "120 mm" --damage-out "90 mm" --sample-broken yes',
        'mend port.toml --broken-at "1.5 m" --damage-in "0.1 m" --damage-out "0.1 m" --mate starboard.toml',
    ),
    options={
        "broken_at": Key(kind="length", help="from the handle end to the break", example="1.5 m", low=0.05, high=8.0),
        "damage_in": Key(
            kind="length", help="how far damage is seen from the break towards the handle", example="120 mm", high=3.0
        ),
        "damage_out": Key(
            kind="length", help="how far damage is seen from the break towards the blade", example="90 mm", high=3.0
        ),
        "mate": Key(
            kind="text",
            help="shaft file of the pair's other oar; left out: as this one was before it broke",
            example="starboard.toml",
            optional=True,
        ),
        "wood": Key(
            kind="text",
            help="of the new piece; left out: as the wood that broke",
            example="Sitka spruce (US)",
            optional=True,
        ),
        "shelf": SHELF,
        "glue": Key(
            kind="choice",
            help="what it is glued with",
            example="epoxy",
            choices=tuple(GLUES),
            assume="resorcinol",
        ),
        "sample_broken": Key(
            kind="choice",
            help="whether a sample of the same glue line was broken, and broke in the wood",
            example="yes",
            choices=("yes", "no"),
            assume="no",
        ),
    },
)
