"""What must hold for any shaft: how the answer moves when the shaft or its loads do."""

from dataclasses import fields, replace
from pathlib import Path

import numpy as np
import pytest
from hypothesis import Phase, assume, given, settings
from hypothesis import strategies as st
from validation.shafts import (
    GENERAL,
    SHAPES,
    SOLID,
    ash,
    blade,
    duty,
    in_lock,
    oars,
    piece,
    points,
    rower,
    shaft,
    spruce,
    station,
    weightless,
)

from shaftcheck.beam import mesh
from shaftcheck.border.assemble import assemble
from shaftcheck.border.shaftfile import parse, read
from shaftcheck.checks import ALWAYS, declared
from shaftcheck.checks.compare import norm, norm_use, plain_use, search_use
from shaftcheck.checks.member import bending
from shaftcheck.checks.scarf_build import Scarf, tips
from shaftcheck.engine import Row, holds, run, uses
from shaftcheck.loads import loaded
from shaftcheck.loads.statics import places
from shaftcheck.model import Hinged, OnePiece, map_arrays, number, stack
from shaftcheck.sections import at, properties

ANY = tuple(SHAPES)
SOLIDS = ("oval", "superoval", "rectangle")
HOLLOWS = tuple(s for s in ANY if s not in SOLIDS)
PHASES = (Phase.explicit, Phase.reuse, Phase.generate)
"""a shaft shrinks slowly, and tells no more for it"""
some = settings(max_examples=12, deadline=None, phases=PHASES)

VARIABLE = ("forward", "up", "along", "couple_forward", "couple_up", "torque")


def light():
    return weightless(spruce())


STANDING = ("inner cradle, standing clamp", "outer cradle, standing clamp")
"""comparisons of a permanent load alone: no factor on the variable loads moves them"""


def times(beam, factor):
    """The beam with all its variable loads times a factor; the oar's own weight and the clamps stay."""
    return replace(
        beam,
        cases=tuple(replace(c, seat=c.seat * factor, pull=c.pull * factor) for c in beam.cases),
        **{name: getattr(beam, name) * factor for name in VARIABLE},
    )


def between_places(oar, n):
    """Points of the mesh a millimetre or more from every place where something acts, and from both ends.

    A point force is spread over 1e-9 m, which does not scale.
    """
    x = mesh(oar, n)[0]
    marks = np.array([float(v) for k, (v, _) in places(oar).items() if not k.startswith("weight")])
    far = np.min(np.abs(x[:, None] - marks), axis=1) > 1e-3
    return points(x[far & (x > oar.rig.hand) & (x < oar.length)])


def full(u, name):
    """A figure of a comparison, shaped (cases, points)."""
    return np.atleast_2d(np.broadcast_arrays(getattr(u, name), u.use, u.x)[0])


def known_uses(beam, x):
    """By comparison: its use on the points x."""
    return [(u.check, full(u, "use")) for u in uses(beam, x)]


def same(a, b, tolerance):
    """Whether two lists of uses agree, infinities and unknowns in the same places, but for what is next to nothing."""
    assert [n for n, _ in a] == [n for n, _ in b]
    for (name, first), (_, second) in zip(a, b, strict=True):
        close = np.isclose(first, second, rtol=tolerance, atol=1e-8, equal_nan=True)
        assert np.all(close), (name, first[~close][:3], second[~close][:3])


# ------------------------------------------------------------------------------------ loads times (1 + margin) land


def lands(beam, x, of_no_load=STANDING):
    """Scale the loads by 1 / use of the worst place of every comparison, and ask that place again.

    There the use is 1, and what is demanded, permanent loads included, is what is there to give.
    """
    tried = set()
    for i, (name, use) in enumerate(known_uses(beam, x)):
        if not np.any(np.isfinite(use) & (use > 1e-6)) or name in of_no_load:
            continue
        k = np.unravel_index(np.argmax(np.where(np.isfinite(use), use, -1.0)), use.shape)
        again = uses(times(beam, 1.0 / use[k]), x)[i]
        assert again.check == name
        assert abs(full(again, "use")[k] - 1.0) <= 1e-9, (name, use[k])
        assert abs(full(again, "demand")[k] / full(again, "capacity")[k] - 1.0) <= 1e-8, (name, use[k])
        tried.add(name)
    return tried


@given(oars(shapes=ANY))
@some
def test_loads_times_one_plus_margin_land_on_the_limit(oar):
    """For every comparison whose use is known; what is permanent is not scaled."""
    beam = loaded(oar)
    tried = lands(beam, mesh(oar, 5))
    assert {"bending", "shear, stroke", "shear, up and down", "life", "buckling", "bending with thrust"} <= tried
    if isinstance(oar.rig, OnePiece):
        assert "bearing at the lock" in tried
        assert ("hollow under the lock" in tried) == bool(np.isfinite(oar.stations[0].wall))
    else:
        assert {f"{w} cradle, {c}" for w in ("inner", "outer") for c in ("bearing (stiff)", "inner shear")} <= tried


@given(oars(shapes=ANY), st.floats(5.0, 40.0))
@some
def test_they_land_with_a_heavy_permanent_load_too(oar, mass):
    """A blade of 5 to 40 kg takes much of the strength before any pull does."""
    beam = loaded(replace(oar, blade=replace(oar.blade, mass=number(mass))))
    assert "shear, stroke" in lands(beam, mesh(oar, 5))


@given(st.booleans(), st.sampled_from(["forward", "aft"]), st.floats(1 / 16, 1 / 9), st.booleans())
@some
def test_they_land_on_a_scarf(two_woods, face, slope, through_depth):
    stations = (station(0, 0.044, 0.040), station(1.0, 0.046, 0.042), station(2.4, 0.034, 0.030))
    through = number(float(through_depth))
    inner, outer = tips(number(1.2), number(slope), through, stations)
    joint = Scarf(
        kind="scarf", start=inner, end=outer, middle=number(1.2), slope=number(slope), through_depth=through,
        face=number(1.0 if face == "aft" else -1.0), glue="epoxy", sample_broken=True, blank=number(np.nan),
        kerf=number(0.003),
    )  # fmt: skip
    oar = shaft(
        length=2.4,
        stations=stations,
        rig=in_lock(0.06, 0.7),
        blade=blade(1.9, 2.4, area=0.07, width=0.12, mass=0.4),
        rower=rower(**GENERAL),
        duty=duty(speed=1.5),
        pieces=(
            piece(0, 1.2, ash() if two_woods else spruce(), slope=1 / 20, moisture=0.16),
            piece(1.2, 2.4, spruce(), slope=1 / 20, moisture=0.16),
        ),
    )
    oar = replace(oar, joints=(joint,))
    tried = lands(loaded(oar), mesh(oar, 5))
    assert {"scarf, inner wood", "scarf, outer wood", "scarf, glue pulled", "scarf, glue sheared"} <= tried


@given(oars(shapes=ANY), st.floats(1.01, 4.0))
@some
def test_use_grows_with_load(oar, factor):
    """Nowhere does any comparison fall when all that is pulled, pushed and caught grows; most rise."""
    beam = loaded(oar)
    x = between_places(oar, 5)
    for (name, before), (_, after) in zip(known_uses(beam, x), known_uses(times(beam, factor), x), strict=True):
        more = after >= before * (1 - 1e-9) - 1e-12
        assert np.all(more | np.isnan(before)), name
    stronger = replace(oar, rower=map_arrays(lambda a: a * factor, oar.rower))
    weak, strong = (run(loaded(s)) for s in (oar, stronger))
    for a, b in zip(weak, strong, strict=True):
        assert b.use >= a.use * (1 - 1e-9) or np.isnan(a.use)


# ------------------------------------------------------------------------------------------------------------ mirror


@given(oars(shapes=ANY))
@some
def test_reversing_the_stroke_swaps_the_stretched_face(oar):
    """The sign of every moment turns; in one wood alike on both faces every use stays, bit for bit."""
    beam = loaded(oar)
    turned = replace(beam, forward=-beam.forward, couple_forward=-beam.couple_forward, torque=-beam.torque)
    x = mesh(oar, 4)
    a, b = beam.at(x), turned.at(x)
    assert np.array_equal(a.moment_stroke, -b.moment_stroke)
    assert np.array_equal(a.moment_flat, b.moment_flat)
    same(known_uses(beam, x), known_uses(turned, x), 0.0)


@given(oars(shapes=ANY))
@some
def test_pushing_is_pulling_turned_round(oar):
    """A rower who pushes with what another pulls bends the shaft the other way by as much."""
    other = replace(oar, rower=replace(oar.rower, once=-oar.rower.once))
    x = mesh(oar, 4)
    cuts = [loaded(o).at(x).moment_stroke[loaded(o).case("once")] for o in (oar, other)]
    assert np.allclose(cuts[0], -cuts[1], rtol=1e-12, atol=1e-12)
    assert np.max(np.abs(cuts[0])) > 100


@given(oars(shapes=SOLIDS))
@some
def test_an_oar_turned_on_its_axis(oar):
    """Depth and width change places, and with them forward and up: the fibre stress of the lever does too."""
    turned = replace(oar, stations=tuple(replace(s, depth=s.width, width=s.depth) for s in oar.stations))
    x = mesh(oar, 4)
    a, b = loaded(oar), loaded(turned)
    (first,), (second,) = bending(a, a.at(x)), bending(b, b.at(x))
    no_weight = (light_of(oar), light_of(turned))
    a, b = (loaded(o) for o in no_weight)
    (first,), (second,) = bending(a, a.at(x)), bending(b, b.at(x))
    forward, up = a.case("lever forward"), a.case("lever up")
    rows = first.cases.index(forward), second.cases.index(up)
    # the link turns fore and aft alone: the outer half has more of a lever that way, by its ratio
    alike = np.broadcast_to(x <= oar.rig.saw if isinstance(oar.rig, Hinged) else True, first.demand.shape)[rows[0]]
    assert np.allclose(first.demand[rows[0]][alike], second.demand[rows[1]][alike], rtol=1e-12)


def light_of(oar):
    """The same oar without weight."""
    pieces = tuple(replace(p, wood=weightless(p.wood)) for p in oar.pieces)
    return replace(oar, pieces=pieces, blade=replace(oar.blade, mass=number(0.0)))


# ------------------------------------------------------------------------------------------------------------- scale

LENGTHS = {
    "Station": ("x", "depth", "width", "wall"),
    "Piece": ("start", "end"),
    "Blade": ("neck", "tip", "width", "off_axis"),
    "OnePiece": ("hand", "lock", "contact", "seat"),
    "Hinged": (
        "hand", "saw", "restart", "inner_pin", "inner_from", "inner_to", "outer_pin", "outer_from", "outer_to",
        "spacing", "liner", "link_arm", "bolt", "inner_bolt", "outer_bolt", "inner_plug",
        "outer_plug",
    ),
}  # fmt: skip
SQUARES = {
    "Rower": ("steady", "hard", "start", "once", "back", "push", "lever"),
    "Hinged": ("clamp",),
    "Blade": ("area",),
}


def scaled(part, s):
    """A part of a shaft with its lengths times s and its forces and areas times s squared."""
    kind = type(part).__name__
    new = {k: getattr(part, k) * s for k in LENGTHS.get(kind, ())}
    new |= {k: getattr(part, k) * s * s for k in SQUARES.get(kind, ())}
    return replace(part, **new)


@given(oars(shapes=ANY, wood=light, thickest=0.050), st.floats(0.4, 1.0))
@some
def test_a_smaller_copy_under_smaller_loads(oar, s):
    """Lengths times s, forces times s squared: every stress and so every use stays.

    Not so for the weight (there is none here) and the size effect (all depths are 50 mm or less, where it is 1).
    """
    oar = light_of(oar)
    small = replace(
        oar,
        length=oar.length * s,
        stations=tuple(scaled(p, s) for p in oar.stations),
        pieces=tuple(scaled(p, s) for p in oar.pieces),
        blade=scaled(oar.blade, s),
        rig=scaled(oar.rig, s),
        rower=scaled(oar.rower, s),
    )
    assert isinstance(small.rig, OnePiece | Hinged)
    x = between_places(oar, 5)
    # a point force's spread does not scale, nor does a hand
    at_first, then = (
        [(name, use) for name, use in known_uses(loaded(o), at) if name != "hollow under the hand"]
        for o, at in ((oar, x), (small, x * s))
    )
    same(at_first, then, 1e-7)


# --------------------------------------------------------------------------------------------------------- stations


@given(oars(shapes=ANY, wood=light), st.lists(st.floats(0.01, 0.99), min_size=1, max_size=4))
@some
def test_stations_that_say_nothing_new(oar, more):
    """But for the weight, whose line load is taken straight between stations, and the buckling force's quadrature."""
    oar = light_of(oar)
    assume(all(abs(a - b) > 1e-3 for i, a in enumerate(more) for b in [*more[:i], 0.4]))
    xs = np.array(sorted(more)) * float(oar.length)
    depth, width, exponent, wall = (v[0] for v in at(points(xs), oar.stations))
    extra = [
        station(a, d, w, n, SOLID if np.isinf(t) else t)
        for a, d, w, n, t in zip(xs, depth, width, exponent, wall, strict=True)
    ]
    more_stations = tuple(sorted([*oar.stations, *extra], key=lambda s: float(s.x)))
    x = between_places(oar, 5)
    a, b = (known_uses(loaded(o), x) for o in (oar, replace(oar, stations=more_stations)))
    column = ("buckling", "bending with thrust")
    same([u for u in a if u[0] not in column], [u for u in b if u[0] not in column], 1e-9)
    same([u for u in a if u[0] in column], [u for u in b if u[0] in column], 1e-6)


@given(oars(shapes=SOLIDS), st.lists(st.floats(0.0, 0.010), min_size=3, max_size=3), st.booleans())
@some
def test_thicker_never_raises_bending(oar, more, deep):
    """Solid sections, at each place; without weight, which grows with thickness, and without the boat's energy."""
    oar = light_of(oar)
    thick = tuple(
        replace(s, depth=s.depth + m) if deep else replace(s, depth=s.depth + m, width=s.width + m)
        for s, m in zip(oar.stations, more, strict=True)
    )
    x = mesh(oar, 5)
    beams = loaded(oar), loaded(replace(oar, stations=thick))
    (before,), (after,) = (bending(b, b.at(x)) for b in beams)
    assert np.all(after.use <= before.use * (1 + 1e-12))


@given(oars(shapes=HOLLOWS), st.floats(1.0, 3.0), st.floats(1.0, 2.0), st.floats(1.0, 1.5), st.booleans())
@settings(max_examples=25, deadline=None, phases=PHASES)
def test_a_stouter_tube_is_never_worse(oar, first, wall, outer, deep):
    """A thicker wall: no comparison rises, at any place and in any case. A greater outside about the same wall: none of
    the shaft's own, but for the ring under lock or clamp, which a greater radius does bend more.

    Without weight, which grows with thickness; where the inside folds over itself, all is unknown.
    """
    outer = 1.0 if wall > 1.7 else outer
    oar = light_of(oar)
    most = 0.49 * min(float(v) for s in oar.stations for v in (s.depth, s.width))
    thin = tuple(replace(s, wall=np.minimum(s.wall * first, most)) for s in oar.stations)
    stout = tuple(
        replace(
            s,
            depth=s.depth * outer,
            width=s.width * (1.0 if deep else outer),
            wall=np.minimum(s.wall * wall, most),
        )
        for s in thin
    )
    x = mesh(oar, 5)
    beams = [loaded(replace(oar, stations=s)) for s in (thin, stout)]
    for (name, before), (_, after) in zip(*(known_uses(b, x) for b in beams), strict=True):
        if outer > 1.0 and name not in ALWAYS:
            continue
        worse = after > before * (1 + 1e-9)
        assert not np.any(worse & np.isfinite(before)), (name, before[worse], after[worse])


# ------------------------------------------------------------------------------------------------------------ batch


def alike(batch, singles):
    """Whether each row of a batch is that of its shaft alone, bit for bit: its figures, its place, its case."""
    for k, single in enumerate(singles):
        for whole, own in zip(batch, single, strict=True):
            assert whole.check == own.check
            for f in ("known", "case", "x", "use", "demand", "capacity"):
                a, b = getattr(whole, f)[k], getattr(own, f)
                assert np.array_equal(a, b, equal_nan=True), (whole.check, f, a, b)


@pytest.mark.parametrize("shape", ANY)
@pytest.mark.parametrize("rig", ["lock", "pins"])
def test_a_batch_is_its_shafts_bit_for_bit(shape, rig):
    @given(st.lists(oars(shapes=(shape,), rigs=(rig,)), min_size=2, max_size=3))
    @settings(max_examples=8, deadline=None, phases=PHASES)
    def bit_for_bit(shafts):
        alike(run(loaded(stack(shafts))), [run(loaded(s)) for s in shafts])

    bit_for_bit()


@pytest.mark.parametrize(
    "path", sorted((Path(__file__).parent.parent / "examples").glob("*.toml")), ids=lambda p: p.stem
)
def test_an_example_among_its_like_is_itself_bit_for_bit(path):
    """With all its joints; beside it the same shaft for other pulls, and a little stouter."""
    reading = read(parse(path.read_text(encoding="utf-8"), path.name), path.name)
    one = assemble(reading, {k: e.value for k, e in reading.entries.items() if e.value is not None}).shaft
    stouter = tuple(replace(s, depth=s.depth * 1.03, width=s.width * 1.03) for s in one.stations)
    shafts = [one, replace(one, rower=map_arrays(lambda a: a * 1.7, one.rower)), replace(one, stations=stouter)]
    alike(run(loaded(stack(shafts))), [run(loaded(s)) for s in shafts])


def test_a_search_in_a_batch_is_bit_for_bit():
    k = np.linspace(0.3, 3.0, 400)

    def left(k):
        return lambda f: 1.0 - (k * f) ** 2 - k * f / (1.0 + k)

    together = search_use(left(k), 1.0 / k)
    alone = np.array([float(search_use(left(v), 1.0 / v)) for v in k])
    assert np.allclose(together, alone, rtol=1e-14)
    assert np.array_equal(together, alone)


def test_hollow_sections_in_a_batch_are_bit_for_bit():
    depth = np.linspace(0.030, 0.050, 40)[:, None, None]
    n, wall = np.full_like(depth, 2.0), 0.2 * depth
    together = properties(depth, depth * 0.9, n, wall).second_stroke
    alone = np.array([properties(d, d * 0.9, m, t).second_stroke for d, m, t in zip(depth, n, wall, strict=True)])
    assert np.allclose(together, alone, rtol=1e-14)
    assert np.array_equal(together, alone)


@given(st.lists(oars(shapes=ANY, rigs=("lock",)), min_size=3, max_size=4))
@settings(max_examples=6, deadline=None, phases=PHASES)
def test_a_batch_of_unlike_sections(shafts):
    """Ovals, superovals, rectangles and tubes side by side: the same answers, bit for bit."""
    batch = run(loaded(stack(shafts)))
    for k, s in enumerate(shafts):
        for whole in batch:
            own = {r.check: r for r in run(loaded(s))}.get(whole.check)
            if own is None:  # asked only where some shaft is hollow
                assert whole.check.startswith(("hollow under the", "wall buckling"))
                assert whole.use[k] == 0
                continue
            assert np.array_equal(whole.use[k], own.use, equal_nan=True), whole.check
            assert whole.known[k] == own.known


def test_solid_beside_hollow_raises_no_warning():
    def oar(wall):
        return shaft(
            length=2.4,
            stations=(station(0, 0.046, wall=wall), station(2.4, 0.036, wall=wall)),
            rig=in_lock(0.06, 0.7),
            rower=rower(once=100),
        )

    run(loaded(stack([oar(SOLID), oar(0.008)])))


# ---------------------------------------------------------------------------------------------- unknown, none, spent


@given(oars(shapes=ANY))
@some
def test_every_declared_comparison_is_there(oar):
    found = {r.check for r in run(loaded(oar), x=mesh(oar, 3))}
    assert set(declared(oar)) <= found


SPOILS = {
    "bending": {"bending", "life", "bending with thrust"},
    "shear": {"shear, stroke", "shear, up and down"},
    "compression": {"bending with thrust"},
    "bearing": {"bearing at the lock"},
    "tension_across": set(),
    "stiffness": {"buckling", "bending with thrust"},
}


@pytest.mark.parametrize("name", SPOILS)
@pytest.mark.parametrize("wet", [0, 1])
def test_an_unknown_strength_never_holds(name, wet):
    """Each property unknown spoils what rests on it, and nothing else; a stout oar in a weak hand holds otherwise."""
    wood = spruce()
    for which in ("dry", "green"):
        w = replace(wood, **{which: replace(getattr(wood, which), **{name: number(np.nan)})})
        oar = shaft(
            length=2.4,
            stations=(station(0, 0.060), station(2.4, 0.060)),
            rig=in_lock(0.06, 0.7, seat=0.08, wet=wet),
            blade=blade(1.9, 2.4),
            rower=rower(steady=50, hard=60, start=70, once=80, back=50, push=50, lever=50),
            pieces=(piece(0, 2.4, w, slope=1 / 20, moisture=0.16),),
        )
        whole = run(loaded(replace(oar, pieces=(piece(0, 2.4, wood, slope=1 / 20, moisture=0.16),))))
        assert holds(whole)
        rows = run(loaded(oar))
        assert {r.check for r in rows if not r.known} == SPOILS[name]
        assert bool(holds(rows)) == (not SPOILS[name])


def test_an_unknown_run_out_never_holds():
    """Steeper than any table: 1:4."""
    oar = shaft(
        length=2.4,
        stations=(station(0, 0.060), station(2.4, 0.060)),
        rig=in_lock(0.06, 0.7),
        blade=blade(1.9, 2.4),
        rower=rower(steady=5),
        pieces=(piece(0, 2.4, spruce(), slope=1 / 4, moisture=0.16),),
    )
    rows = run(loaded(oar))
    assert not holds(rows)
    assert {r.check for r in rows if not r.known} == {"bending", "life", "bending with thrust"}


def test_an_unknown_place_is_not_hidden_by_a_known_worst_one():
    """Half the shaft of an unknown wood: the worst known use is told, and that not all is known."""
    unknown = replace(ash(), dry=replace(ash().dry, bending=number(np.nan)))
    oar = shaft(
        length=2.4,
        stations=(station(0, 0.060), station(2.4, 0.060)),
        rig=in_lock(0.06, 0.7),
        blade=blade(1.9, 2.4),
        rower=rower(**GENERAL),
        pieces=(
            piece(0, 1.5, spruce(), slope=0.05, moisture=0.16),
            piece(1.5, 2.4, unknown, slope=0.05, moisture=0.16),
        ),
    )
    row = next(r for r in run(loaded(oar)) if r.check == "bending")
    assert np.isfinite(row.use)
    assert not row.known
    assert abs(float(row.x) - 0.7) < 1e-6


def a_row(use, known=True):
    one = number(1.0)
    return Row(
        check="a", kind="breaks", use=number(use), known=np.asarray(known), case=one, x=one, demand=one, capacity=one,
        unit="", source="", unknown="",
    )  # fmt: skip


@pytest.mark.parametrize(
    ("rows", "answer"),
    [
        ([(0.5, True), (1.0, True)], True),
        ([(0.5, True), (np.nextafter(1.0, 2.0), True)], False),
        ([(0.5, True), (0.1, False)], False),
        ([(np.nan, False)], False),
        ([(np.nan, True)], False),
        ([(np.inf, True)], False),
        ([(0.0, True)], True),
    ],
)
def test_holds_is_known_and_met(rows, answer):
    assert bool(holds([a_row(u, k) for u, k in rows])) is answer


positive = st.floats(1e-3, 1e3)
exponents = st.sampled_from([1.0, 1.2, 4 / 3, 1.5, 2.0])


@given(positive, st.floats(-1e3, -1e-3) | st.just(0.0))
def test_no_capacity_is_infinite_use(demand, capacity):
    d, c, none = number(demand), number(capacity), number(0.0)
    assert plain_use(d, c) == np.inf
    assert plain_use(none, c) == np.inf
    assert plain_use(d, number(demand), still=number(demand)) == np.inf
    for q in (2.0, number(4 / 3)):
        assert norm_use(d, none, none, none, c, q) == np.inf
        assert norm_use(d, d, none, number(2.0), number(1.5), q) == np.inf  # the permanent load spends it all
    assert search_use(lambda f: c - f, number(1.0)) == np.inf


@given(positive)
def test_not_a_number_is_not_known(demand):
    d, nan, none = number(demand), number(np.nan), number(0.0)
    assert np.isnan(plain_use(d, nan))
    for q in (2.0, number(4 / 3)):
        assert np.isnan(norm_use(d, d, none, none, nan, q))
    assert np.isnan(search_use(lambda f: nan - f, number(1.0)))


@given(positive, positive, st.floats(0, 1e3), st.floats(0, 1e3), positive, exponents)
def test_norm_use_meets_its_own_definition(a, b, still_a, still_b, capacity, q):
    """The permanent part plus 1 / use of the variable part is the capacity, for every exponent."""
    assume(norm(number(still_a), number(still_b), number(q)) < capacity * (1 - 1e-6))
    use = norm_use(*(number(v) for v in (a, b, still_a, still_b, capacity)), number(q) if q != 2.0 else 2.0)
    factor = 1.0 / float(use)
    total = ((still_a + factor * a) ** q + (still_b + factor * b) ** q) ** (1 / q)
    assert total == pytest.approx(capacity, rel=1e-9)


@given(positive, st.floats(0.5, 6.0))
def test_search_use_finds_where_nothing_is_left(k, power):
    """k f^power = 1 has the root k^(-1/power)."""
    use = search_use(lambda f: 1.0 - k * f**power, number(1.5 * k ** (-1 / power)))
    assert float(use) == pytest.approx(k ** (1 / power), rel=1e-12)


def test_a_push_without_bending():
    """A push of 49 times the buckling force, and nothing else: nothing is left at 1/49 of it, but for rounding."""
    use = search_use(lambda f: 1.0 - 49.0 * f, number(1.0 / 49.0))
    assert float(use) == pytest.approx(49.0, rel=1e-12)


def test_every_field_of_the_model_is_known_to_the_scaling():
    """A new length or force of the rig would slip through the test of scale above: it must be told there."""
    plain = {"ratio", "wet", "wraps", "liner_stiffness", "link_on_shaft", "bolted_through", "bolt_fore", "plug_raiser"}
    for kind in (Hinged, OnePiece):
        told = {*LENGTHS[kind.__name__], *SQUARES.get(kind.__name__, ())}
        assert {f.name for f in fields(kind)} <= told | plain
