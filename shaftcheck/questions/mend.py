"""A broken oar: how far back to cut, where to scarf, which plank to look for, and whether it goes back in the pair."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from typing import Any

import numpy as np

from shaftcheck.border.files import text
from shaftcheck.border.shaftfile import parse
from shaftcheck.border.shown import System, say, show
from shaftcheck.border.write import size
from shaftcheck.checks.scarf_build import GLUES
from shaftcheck.errors import Fault, InputError
from shaftcheck.key import Key
from shaftcheck.model import Array, Shaft, Wood, map_arrays, number
from shaftcheck.questions._mend_words import ENDS, Found, Mend, data, faces, picture, sentence, tables
from shaftcheck.questions._pairs import correction, state_of
from shaftcheck.questions._woods import SHELF, Candidate, bonding, lacks_of, named, of_plank, on_shelf, too_small
from shaftcheck.questions.question import Asked, Finding, Question, Winner, ready
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
from shaftcheck.wood_relations import AXIAL_OVER_BENDING

__all__ = ["QUESTION"]

TIE = 0.10
"""a mended oar used up to this much more than its mate is as good (judgement)"""
NEAR = 0.02
"""uses this near to each other are one: then the scarf that keeps more of the old oar is taken (judgement)"""
_CLOSE = 8
"""scarfs of each side that are looked at closely"""
_RANK = {"in the pair": 0, "as a spare only": 1, "not so": 2}
"""what a mended oar may do, best first"""


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


def _best(job: _Job, side: Side, c: Candidate) -> Mend | None:
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


def _judged(job: _Job, side: Side, s: Scarfs, c: Candidate, worst: float, known: bool, uses: dict[str, float]) -> Mend:
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
    return Mend(
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


def _planks(job: _Job, ways: list[Mend]) -> list[tuple[str, Mend | None, str]]:
    """Return each plank of the shelf with what it makes of the best way to mend, or why it is left out."""
    out: list[tuple[str, Mend | None, str]] = []
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

    def order(row: tuple[str, Mend | None, str]) -> tuple[int, float]:
        m = row[1]
        return (3, 0.0) if m is None else (_RANK[m.verdict], float(apart(m.f, job.mate_figures)[0]))

    return sorted(out, key=order)


# ----------------------------------------------------------------------------------------------------------- finding


def _winner(job: _Job, m: Mend) -> Winner:
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
        fresh["runout"] = f"1:{1.0 / m.new.slope:.10g}"
    elif "runout" in old:
        fresh["runout"] = old["runout"]
    if "moisture" in old:
        fresh["moisture"] = old["moisture"]
    if m.new.estimate:
        fresh["lacking_values"] = "estimate"
    woods = [*left, fresh, *right]
    del woods[-1]["to"]
    doc["wood"] = woods
    through, face = faces(s)
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


def _finding(job: _Job, ways: list[Mend], planks: list[tuple[str, Mend | None, str]]) -> Finding:
    found = Found(
        shaft=job.shaft,
        sound=job.sound,
        ways=tuple(ways),
        planks=tuple(planks),
        mate_name=job.mate_name,
        mate=job.mate_figures,
        mate_state=job.mate_state,
        system=job.system,
    )
    good = [m for m in ways if m.verdict != "not so"]
    made = [m for _, m, _ in planks if m is not None and m.verdict != "not so"]
    return Finding(
        question="mend",
        title=job.reading.title or job.reading.name,
        sentence=sentence(found),
        answered=bool(good),
        system=job.system,
        tables=tables(found),
        pictures=(picture(found),),
        data=data(found),
        searched=_searched(job, {m.side for m in ways}),
        assumptions=(
            *(say(a, job.system) for a in job.built.assumptions),
            f"glued with {job.glue}",
            *(() if job.asked.word("mate") else ("its mate: as this oar was before it broke",)),
        ),
        cautions=(
            "What broke the oar may have hurt the rest: look for creases along the whole of it before you glue.",
            "A mended oar is tested before it is trusted, and lies as the spare until it was.",
        ),
        winners=tuple(_winner(job, m) for m in (*made, *good)),
    )


def _searched(job: _Job, kept: set[Side]) -> tuple[str, ...]:
    """Return what was tried, and what was not."""
    system = job.system
    low, high = (show(v, "length", system) for v in job.sound)
    return (
        f"scarfs that lie whole in sound wood, which ends {low} and begins again {high} from the handle end: "
        f"{BEYOND:g} depths beyond the damage that was seen (judgement); every {show(0.01, 'length', system)}, "
        "1:8 to 1:20, both ways of cutting, either face; the least used; of those within 2 %, one of 1:12 or "
        "flatter that keeps most of the old oar",
        "not searched: two scarfs with a piece let in between; sleeves, wraps and dowels",
        *(f"the {ENDS[k]} can't be kept: no scarf lies whole in its sound wood" for k in SIDES if k not in kept),
        f"in the pair: used at most {percent(TIE)} more than its mate, a sample of the glue line broken, "
        f"weight within {percent(ALIKE['weight'])}, balance within "
        f"{show(ALIKE['balance'], 'length', system)}, sag within {percent(ALIKE['sag'])} (judgement)",
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
