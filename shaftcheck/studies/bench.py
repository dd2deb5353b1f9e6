"""A proof test with a shop's means: what may hang where, how far it sags, and what a measured sag says of the wood.

The oar lies with its aft face up, as the stroke stretches it: an oar in a lock rests on a padded block at the lock and
is held down at the hand; each half of a hinged rig is clamped in its own cradle, the inner one forward face up.
"""

from __future__ import annotations

from collections.abc import Callable

import numpy as np

from shaftcheck.beam import GRAVITY, Beam, Case, Force, build, mesh, per_piece, settings, weight
from shaftcheck.checks.compare import NOT_CHECKED, norm
from shaftcheck.checks.member import exponent, fibre_parts, form
from shaftcheck.engine import uses
from shaftcheck.formula import Sym, formula
from shaftcheck.frozen import frozen
from shaftcheck.loads import LOADS
from shaftcheck.loads.statics import arm_hand, hold, places, still
from shaftcheck.model import Array, Hinged, Shaft, number
from shaftcheck.movement import give
from shaftcheck.strength import END_ONE_WAY, expected, lower_five_percent
from shaftcheck.wood_relations import RELATIONS

__all__ = ["PART_OF_BENDING", "Proof", "exponent_of_stiffness", "hang", "proof", "stiffness_told", "strength_told"]

PART_OF_BENDING = 0.4
"""of the mean bending strength; above it a proof test wears what it proves (judgement)"""
MOST = 400.0
"""mass up to which a test is sought (judgement) [kg]"""
SECONDS = number(60.0)
"""how long the weight hangs at each step, added up (judgement) [s]"""


@formula(
    Sym("k_E", "", "stiffness over the one that was taken"),
    "sag goes with the weight over the stiffness (derived)",
    s_0=Sym("s_0", "m", "sag computed", low=0.0),
    s=Sym("s", "m", "sag measured", low=0.0),
)
def stiffness_told(*, s_0: Array, s: Array) -> Array:
    """What a measured sag says of the stiffness."""
    return s_0 / s


@formula(
    Sym("k_R", "", "bending strength over the one that was taken"),
    "Wood Handbook, FPL-GTR-282 (2021), Table 5-11a (coefficients from memory): the relations of strength and of "
    "stiffness to gravity, gravity taken out (derived)",
    k_E=Sym("k_E", "", "stiffness over the one that was taken", low=0.5, high=1.6),
    n=Sym("n", "", "exponent of strength over exponent of stiffness", low=0.5, high=2.5),
)
def strength_told(*, k_E: Array, n: Array) -> Array:
    """What a stiffness says of the bending strength, in the mean of many pieces."""
    return k_E**n


def exponent_of_stiffness(hardwood: bool) -> tuple[float, float]:
    """Return the exponent of bending strength over that of stiffness at 12 %, and the scatter about both together."""
    kind = "hardwood" if hardwood else "softwood"
    bending, stiffness = (RELATIONS[prop, "12 %", kind] for prop in ("bending", "stiffness"))
    return bending.exponent / stiffness.exponent, float(np.hypot(bending.scatter, stiffness.scatter))


@frozen
class Proof:
    """What one set-up may carry."""

    part: str
    """the oar, the outer half or the inner half"""
    at: float
    """where the weight hangs, from the handle end [m]"""
    mass: float
    """most that may hang [kg]; nan where a part is not known"""
    governs: str
    """what allows no more"""
    x: float
    """where [m]"""
    sag_held: float
    """for each kg, held down at the hand and resting on the lock [m/kg]; in a cradle as clamped"""
    sag_clamped: float
    """for each kg, clamped at the lock or in the cradle [m/kg]"""
    scatter: float
    """coefficient of variation of the stiffness, the greatest of the woods [-]"""
    own_weight: float
    """sag of the oar's own weight is not in it; the greatest fibre stress of it over the proof stress [-]"""
    pull: float
    """single pull at the hand that brings the same moment at the lock or pin [N]"""
    unknown: tuple[str, ...]


def hang(shaft: Shaft, at: float, mass: Array, own: Array) -> tuple[Beam, int]:
    """Return the shaft under every load with the hung weight as one more, of the batch shape of `mass`, and its index.

    Parameters
    ----------
    shaft : a single shaft, batch shape ()
    at : from the handle end [m]
    mass : (...) [kg]
    """
    where = {**places(shaft), "hung": (number(at), number(0.0))}
    _, panel, first = weight(shaft)
    falling = [
        Force(place=f"weight {i}", forward=GRAVITY * panel[..., i], couple_forward=GRAVITY * first[..., i])
        for i in range(panel.shape[-1])
    ]
    falling.append(Force(place="blade weight", forward=GRAVITY * shaft.blade.mass))
    falling.append(Force(place="hung", forward=GRAVITY * mass))
    test = Case(
        key="bench",
        title="the weight hung on the bench",
        forces=hold(shaft, where, falling, ("hand", "lock")),
        seconds=SECONDS,
        cycles=number(1.0),
        share=number(0.0),
        reversed_end=END_ONE_WAY,
        repeated=False,
        source="a weight at rest",
        seat=number(np.nan),
        pull=number(np.nan),
        driver=mass,
        driver_unit="kg",
        driver_words="hung",
        weight_factor=0.0,
    )
    cases = [case for kind in LOADS for case in kind(shaft, where)]
    return build(shaft, [*cases, test], where, still(shaft, where), own), len(cases)


def _uses(shaft: Shaft, at: float, mass: Array, own: Array) -> list[tuple[str, Array, Array, bool]]:
    """Return name, use and place of everything that the hung weight is compared with, and whether it is known."""
    beam, row = hang(shaft, at, mass, own)
    batch = np.shape(mass)
    x = mesh(shaft, 17)
    cut = beam.at(x)
    out: list[tuple[str, Array, Array, bool]] = []

    def keep(name: str, use: Array, where: Array) -> None:
        use, where = np.broadcast_arrays(use, where)
        use, where = (np.broadcast_to(a, (*batch, a.shape[-1])) for a in (use, where))
        known = not bool(np.isnan(use).any())
        k = np.where(np.isnan(use), -1.0, use).argmax(axis=-1)[..., None]
        worst, place = (np.take_along_axis(a, k, axis=-1)[..., 0] for a in (use, where))
        out.append((name, worst, place, known))

    for u in uses(beam, x):
        if u.cases is not None and row not in u.cases:
            continue
        if u.kind == "wears out" or (u.cases is None and u.use.shape[-2] == 1):
            if u.kind == NOT_CHECKED or (u.kind != "wears out" and not np.all(u.use <= 1.0)):
                keep(
                    u.check, np.broadcast_to(u.use, (*u.use.shape[:-2], 1, u.use.shape[-1]))[..., 0, :], u.x[..., 0, :]
                )
            continue
        i = row if u.cases is None else u.cases.index(row)
        where = np.broadcast_to(u.x, np.broadcast_shapes(u.x.shape, u.use.shape))[..., i, :]
        keep(u.check, u.use[..., i, :], where)
    stroke, flat, _ = fibre_parts(cut)
    stress = norm(stroke, flat, exponent(cut.section))[..., row, :]
    crush, bend = _caps(beam, row)
    cases_crush, cases_bend = (cut.pick(v)[..., 0, :] for v in (crush, bend))
    keep("creases that nobody sees (lower 5 % of the crushing strength)", stress / cases_crush, x[..., 0, :])
    keep("0.4 of the mean bending strength", stress / (cases_bend * form(beam, cut)[..., 0, :]), x[..., 0, :])
    return out


def _caps(beam: Beam, row: int) -> tuple[Array, Array]:
    """Return per piece, (..., 1, pieces): the lower 5 % of the crushing strength, and 0.4 of the mean bending one."""
    found = settings(beam.shaft, beam.cases[row : row + 1], number(1.0))
    crush = per_piece([expected("compression", s) * lower_five_percent(v=s.wood.scatter.compression) for s in found])
    bend = per_piece([expected("bending", s) * PART_OF_BENDING for s in found])
    return crush, bend


def proof(shaft: Shaft, own: Array, at: float | None = None) -> tuple[Proof, ...]:
    """Return the set-ups of a proof test: one for an oar in a lock, one for each half of a hinged rig.

    The most that may hang is where the first comparison is met: every check of the shaft and its joints for a short
    pull, the lower 5 % of the crushing strength at the moisture in use, and 0.4 of the mean bending strength.

    Parameters
    ----------
    shaft : a single shaft, batch shape ()
    own : what the user divides each strength by [-]
    at : where the weight hangs outboard, from the handle end; at the blade's middle if not given [m]
    """
    rig = shaft.rig
    outer = float(shaft.blade.centroid) if at is None else at
    setups = [("the outer half" if isinstance(rig, Hinged) else "the oar", outer)]
    if isinstance(rig, Hinged):
        setups.append(("the inner half", float(rig.hand)))
    return tuple(_proof(shaft, own, part, where) for part, where in setups)


def _most(worst: Callable[[Array], Array]) -> float:
    """Return the greatest mass whose use is at most 1, to 5 g, on the safe side; use rises with it [kg]."""
    low, high = 0.0, MOST
    for _ in range(4):
        tried = np.linspace(low, high, 18)
        ok = worst(tried) <= 1.0
        if not ok[0]:
            return 0.0
        last = int(np.flatnonzero(ok).max()) if ok.all() else int(np.flatnonzero(~ok).min()) - 1
        low, high = float(tried[last]), float(tried[min(last + 1, 17)])
    return low


def _proof(shaft: Shaft, own: Array, part: str, at: float) -> Proof:
    rig = shaft.rig

    def worst(mass: Array) -> Array:
        return np.asarray(np.max([u for _, u, _, _ in _uses(shaft, at, mass, own)], axis=0))

    found = _uses(shaft, at, np.zeros(1), own)
    unknown = tuple(name for name, _, _, known in found if not known)
    idle = float(np.nanmax([u[0] for _, u, _, _ in found]))
    mass = np.nan if unknown else _most(worst)
    at_limit = _uses(shaft, at, np.full(1, 0.0 if np.isnan(mass) else mass * (1 + 1e-9)), own)
    name, _, x, _ = max(at_limit, key=lambda f: -1.0 if np.isnan(f[1][0]) else float(f[1][0]))
    inner = part == "the inner half"
    g = give(shaft, at=None if inner else number(at))
    clamped, held = (g.hand, g.hand) if inner else (g.clamped, g.held)
    if inner:
        pull = mass * GRAVITY
    else:
        outer_pin = float(rig.outer_pin if isinstance(rig, Hinged) else rig.lock)
        ratio = float(rig.ratio) if isinstance(rig, Hinged) else 1.0
        pull = mass * GRAVITY * (at - outer_pin) * ratio / float(arm_hand(shaft))
    return Proof(
        part=part,
        at=at,
        mass=mass,
        governs=name,
        x=float(x[0]),
        sag_held=float(held) * GRAVITY,
        sag_clamped=float(clamped) * GRAVITY,
        scatter=float(max(np.max(p.wood.scatter.stiffness) for p in shaft.pieces)),
        own_weight=idle,
        pull=pull,
        unknown=unknown,
    )
