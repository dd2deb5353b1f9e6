"""Where a shaft changes at once: its surface with its grain, a shoulder's foot, the end of solid wood, a thin wall."""

from __future__ import annotations

import tomllib
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from test_hinge import built
from test_shaftfile import edit
from test_takedown import OAR as TAKEN
from test_takedown import doc as takedown_doc
from twins import assert_twins, twins

from shaftcheck.answer import Line, answer_doc
from shaftcheck.border.shown import say
from shaftcheck.checks import declared
from shaftcheck.checks.column import pressed_rows
from shaftcheck.checks.ends import FOOT, SOLID, ends, feet
from shaftcheck.checks.hand import FLAT, WRAPPED, held_ring
from shaftcheck.checks.member import bending, beyond_the_tables, fibre_parts, run_out_of_both
from shaftcheck.checks.wall import ACROSS, POISSON, SHEARED, walls, wrinkling
from shaftcheck.engine import governing, run, walk
from shaftcheck.errors import InputError
from shaftcheck.loads import loaded
from shaftcheck.model import Station, number, stack

FOLDER = Path(__file__).parent.parent / "examples"
PLAIN: dict[str, Any] = tomllib.loads((FOLDER / "plain-oar.toml").read_text(encoding="utf-8"))


def section(at: str, deep: float, wide: float, **more: str) -> dict[str, str]:
    return {"at": at, "fore_and_aft": f"{deep} mm", "up_and_down": f"{wide} mm", **more}


def tapered(end: str, deep: float, wide: float) -> dict[str, Any]:
    """Return the plain oar, made stout at the lock and going over to a lesser size close outboard of it."""
    rows = [section("0 mm", 37, 37), section("150 mm", 39, 39), section("500 mm", 52, 52), section("700 mm", 62, 61),
            section("720 mm", 62, 61), section(end, deep, wide), section("1450 mm", 45, 43),
            section("1920 mm", 38, 36)]  # fmt: skip
    return edit(PLAIN, ("section", rows))


# ------------------------------------------------------------------------------------------- grain and surface together


def test_grain_and_taper_on_one_face_add() -> None:
    """A face that runs out at 1:15 by its grain and falls away 1:15 by its taper is cut at about 1:9."""
    rows = [section("0 mm", 37, 37), section("150 mm", 39, 39), section("690 mm", 52, 52), section("700 mm", 58, 57),
            section("760 mm", 50, 49), section("1450 mm", 45, 43), section("1920 mm", 38, 36)]  # fmt: skip
    both = edit(PLAIN, ("section", rows), ("wood.0.runout", "1:15"))
    assert answer_doc(both, "oar").state == "FALLS SHORT"
    assert answer_doc(edit(both, ("wood.0.runout", "1:40")), "oar").state == "HOLDS"


def test_it_is_never_taken_less_steep_than_either() -> None:
    s, fall = np.meshgrid(np.linspace(0.0, 1 / 6, 20), np.linspace(0.0, 1 / 6, 20))
    both = run_out_of_both(s=s, fall=fall, usual=number(0.02))
    assert np.all(both >= s)
    assert np.all(both >= fall)
    np.testing.assert_allclose(both[fall <= 0.02], np.maximum(s, fall)[fall <= 0.02])
    assert np.all(both[s >= 0.02] == (s + np.maximum(fall - 0.02, 0.0))[s >= 0.02])


@pytest.mark.source("ASTM D245, bending, slope of grain 1:8 and 1:6: 53 and 40 % (from memory)")
def test_beyond_the_tables_the_last_line_goes_on() -> None:
    """From 53 % at 1:8 through 40 % at 1:6, straight on: 33.5 % at 1:5.3, nothing left at 1:4."""
    s = 1 / 6 + (1 / 6 - 1 / 8) * np.array([0.0, 0.5, 4.0])
    left = 0.40 * beyond_the_tables(s=s, last=number(1 / 6), m=number(7.8))
    np.testing.assert_allclose(left, [0.40, 0.40 - 0.065, 0.0], atol=1e-12)


# --------------------------------------------------------------------------------------------- the foot of a shoulder


def of(d: dict[str, Any]) -> dict[str, Line]:
    return {line.check: line for line in answer_doc(d, "oar").oars[-1].lines}


@pytest.mark.parametrize(("end", "raiser"), [("755 mm", 1.25), ("727 mm", 1.25), ("725 mm", 1.5)])
def test_the_foot_of_a_steep_shoulder_raises_bending(end: str, raiser: float) -> None:
    """Falls of 1:5.8, 1:1.2 and 1:0.8; the fibre stress at the foot, of the smaller section, times the raiser."""
    doc = tapered(end, 50, 49)
    (foot,), (line,) = feet(built(doc).stations, built(doc).rig), [of(doc)[FOOT]]
    assert float(foot.raiser) == raiser
    beam = loaded(built(doc))
    plain = max(float(np.max(u.use)) for u in bending(beam, beam.at(foot.x[None, None])))
    assert line.use == pytest.approx(raiser * plain, rel=0.02)  # the weight stands and is not scaled
    assert line.x == pytest.approx(float(end.split()[0]) / 1000.0, abs=1e-6)


def test_an_abrupt_shoulder_falls_short_by_its_foot() -> None:
    doc = tapered("725 mm", 46, 45)
    assert answer_doc(doc, "oar").state == "FALLS SHORT"
    over = {name for name, line in of(doc).items() if not line.met}
    assert over
    assert all(name.startswith(FOOT) for name in over)


def test_the_foot_is_on_the_smaller_side() -> None:
    for x, sizes in (((0.0, 0.30, 0.31, 2.0), (40, 40, 56, 56)), ((0.0, 0.30, 0.31, 2.0), (56, 56, 40, 40))):
        stations = tuple(
            Station(x=number(at), depth=number(d / 1e3), width=number(d / 1e3), exponent=number(2.0),
                    wall=number(np.inf)) for at, d in zip(x, sizes, strict=True)
        )  # fmt: skip
        (foot,) = feet(stations, built(PLAIN).rig)
        assert float(foot.x) == pytest.approx(0.30 if sizes[0] < sizes[-1] else 0.31, abs=1e-8)


def test_an_oar_without_such_a_place_is_asked_nothing_more() -> None:
    assert not any("beside" in name or "foot" in name or "wall" in name for name in of(PLAIN))


def test_a_study_in_blocks_of_which_few_have_a_shoulder() -> None:
    """Three shafts, each a block of its own, of which one alone has a steep shoulder."""
    shafts = [built(tapered(end, 50, 49)) for end in ("900 mm", "755 mm", "950 mm")]

    def build(i: Any) -> Any:
        return loaded(stack([shafts[int(k)] for k in i]))

    rows = walk((3,), build, size=1)
    alone = [{r.check: r for r in run(loaded(s))} for s in shafts]
    np.testing.assert_allclose(rows[FOOT].use, [0.0, float(alone[1][FOOT].use), 0.0])
    assert rows[FOOT].known.all()
    np.testing.assert_allclose(rows["bending"].use, [float(a["bending"].use) for a in alone])
    most = governing((3,), build, size=1)
    for k, name in enumerate(most.check):
        worst = max((float(r.use), r.check) for r in alone[k].values() if r.known)
        assert (float(most.use[k]), most.names[name]) == worst


# -------------------------------------------------------------------------------------- solid wood inside a hollow one


def halves(*, told: bool) -> dict[str, Any]:
    """Return a hollow hinged oar solid in the same places: by plugs, or by its sections."""
    doc = tomllib.loads((FOLDER / "hinged-rig-stouter.toml").read_text(encoding="utf-8"))
    rows = [("0 mm", 36, 36, 13), ("180 mm", 40, 40, 13), ("380 mm", 56, 50, 13)]
    if told:
        rows += [("519 mm", 56, 50, 13), ("520 mm", 56, 50, 0), ("1000 mm", 56, 50, 0),
                 ("1080 mm", 54.8, 48.9333333, 0), ("1081 mm", 54.8, 48.9333333, 13)]  # fmt: skip
    else:
        rows += [("1000 mm", 56, 50, 13)]
    rows += [("1600 mm", 47, 42, 13), ("2120 mm", 39, 36, 13)]
    walled = [section(at, d, w, **({"wall": f"{t} mm"} if t else {"inside": "solid"})) for at, d, w, t in rows]
    rig = {**doc["rig"], "inner_ends": "780 mm", "kerf": "0 mm", "inner_pin": "705 mm", "inner_cradle": "180 mm",
           "outer_pin": "870 mm", "outer_cradle": "200 mm", "bolts": "beside"}  # fmt: skip
    for key in ("bolt_diameter", "bolts_run", "inner_bolt_from_end", "outer_bolt_from_end"):
        rig.pop(key, None)
    if not told:
        rig |= {"inner_plug": "260 mm", "outer_plug": "300 mm", "plug_ends": "square"}
    woods = [{"of": "White ash", "to": "780 mm", "runout": "1:20"}, {"of": "Sitka spruce (US)", "runout": "1:20"}]
    return edit(doc, ("section", walled), ("rig", rig), ("oar.inside", "hollow"), ("wood", woods), ("joint", []))


def test_solid_wood_told_by_plugs_or_by_sections_has_one_verdict() -> None:
    keys, sections = halves(told=False), halves(told=True)
    a, b = (answer_doc(d, "oar") for d in (keys, sections))
    assert a.state == b.state == "FALLS SHORT"
    worst = [max(line.use for line in x.oars[0].lines if line.known) for x in (a, b)]
    assert worst[0] == pytest.approx(worst[1], rel=1e-4)
    for which in ("inner", "outer"):
        plug, wood = of(keys)[f"{which} cradle, beside the plug"], of(sections)[f"{which} half, {SOLID}"]
        assert wood.use == pytest.approx(plug.use, rel=1e-4)
        assert wood.x == pytest.approx(plug.x, abs=1e-6)
    assert set(declared(built(sections))) <= {r.check for r in run(loaded(built(sections)))}


STEPPED = edit(
    PLAIN,
    ("oar.inside", "hollow"),
    ("section", [section("0 mm", 38, 38, inside="solid"), section("240 mm", 51, 50, inside="solid"),
                 section("780 mm", 52, 51, inside="solid"), section("780.5 mm", 52, 51, wall="9 mm"),
                 section("1450 mm", 48, 45, wall="9 mm"), section("1920 mm", 39, 36, wall="9 mm")]),
)  # fmt: skip


def taken(d: dict[str, Any]) -> str:
    return "; ".join(say(s, "metric") for s in answer_doc(d, "oar").oars[0].assumptions)


def test_a_shaft_solid_at_the_lock_breaks_where_that_ends() -> None:
    assert answer_doc(STEPPED, "oar").state == "FALLS SHORT"
    assert "solid wood ends square inside" in taken(STEPPED)
    tapered_off = edit(STEPPED, ("oar.solid_ends", "tapered"))
    assert "solid wood ends" not in taken(tapered_off)
    square, eased = (of(d)[SOLID] for d in (STEPPED, tapered_off))
    assert square.use / eased.use == pytest.approx(1.5 / 1.25, rel=0.01)
    assert square.x == pytest.approx(0.780, abs=1e-6)
    asked = answer_doc(edit(STEPPED, ("oar.solid_ends", "unknown")), "oar")
    assert asked.state == "FALLS SHORT"
    whole = edit(STEPPED, ("section", [{**s, "wall": "9 mm"} for s in STEPPED["section"]]))
    whole = edit(whole, *((f"section.{i}.inside", None) for i in range(3)))
    assert "solid wood ends" not in taken(whole)
    assert SOLID not in of(whole)


def test_solid_ends_of_a_solid_oar_are_refused() -> None:
    with pytest.raises(InputError, match=r"oar\.solid_ends: told of a shaft that is told to be solid"):
        answer_doc(edit(PLAIN, ("oar.solid_ends", "square")), "oar")


def test_a_shoulder_where_the_solid_wood_ends_raises_it_twice() -> None:
    sections = [*STEPPED["section"]]
    sections[2:4] = [section("780 mm", 56, 55, inside="solid"), section("785 mm", 52, 51, wall="9 mm")]
    oar = built(edit(STEPPED, ("section", sections)))
    beam = loaded(oar)
    x = np.array([[0.780 + 1e-9]])
    plain = max(float(np.max(u.use)) for u in bending(beam, beam.at(x)))
    found = {u.check: u for u in ends(beam, beam.at(x))}
    assert float(np.max(found[SOLID].use)) == pytest.approx(1.5 * 1.25 * plain, rel=0.02)


@pytest.mark.parametrize(("doc", "at"), [(STEPPED, 781.0), (tapered("727 mm", 58, 57), 728.0)])
def test_a_flaw_where_a_shaft_changes_at_once_is_not_settled(doc: dict[str, Any], at: float) -> None:
    def asked(x: float) -> Line:
        dent = {"kind": "dent", "from": f"{x} mm", "to": f"{x + 4} mm", "face": "aft", "width": "4 mm", "depth": "1 mm"}
        return of(edit(doc, ("flaw", [dent])))["dent, within the lock's seat"]

    assert not asked(at).known
    assert asked(1500.0).known


def test_a_takedown_s_halves_may_be_told_solid_by_their_sections() -> None:
    """Engaged 190 mm in a shaft of 44 mm: solid for 234 mm each way, or it is not held."""

    def solid(reach: float) -> dict[str, Line]:
        ends_ = [(0, 9), (1299 - reach, 9), (1300 - reach, 0), (1300 + reach, 0), (1301 + reach, 9), (1880, 9)]
        rows = [section(f"{x} mm", 44, 44, **({"wall": f"{t} mm"} if t else {"inside": "solid"})) for x, t in ends_]
        return of(takedown_doc({}, oar={**TAKEN["oar"], "inside": "hollow"}, section=rows))

    for reach, met in ((235.0, True), (233.0, False)):
        found = solid(reach)
        line = found["takedown, solid inside"]
        assert line.met == met
        assert line.use == pytest.approx(234.0 / reach, rel=1e-6)
        assert found[SOLID].use > found["bending"].use
    bare = solid(180.0)["takedown, solid inside"]  # hollow within the tube itself
    assert not bare.known


# --------------------------------------------------------------------------------------------------------- a thin wall


def strip(r: float, g: float, nu: float, ratio: float, *, in_plane: bool) -> float:
    """Return the least stress that wrinkles a long hinged plate of width 1, times 12 b^2 / (E t^2).

    By finite differences across it, D_2 f'''' - 2 H k^2 f'' + D_1 k^4 f = N(y) k^2 f, for waves of half length
    `ratio` along it: no closed form.
    """
    n = 60
    y = (np.arange(n) + 1.0) / (n + 1.0)
    second = (np.diag(np.full(n - 1, 1.0), 1) + np.diag(np.full(n - 1, 1.0), -1) - 2.0 * np.eye(n)) * (n + 1.0) ** 2
    along, across = 1.0 / (1.0 - nu * nu * r), r / (1.0 - nu * nu * r)
    both = nu * across + 2.0 * g
    k = np.pi / ratio
    stiff = across * second @ second - 2.0 * both * k * k * second + along * k**4 * np.eye(n)
    load = np.diag(1.0 - 2.0 * y) if in_plane else np.eye(n)
    turned = np.linalg.eigvals(np.linalg.solve(stiff, load * k * k)).real
    return float(1.0 / turned.max())


@pytest.mark.source("finite differences of the orthotropic plate's own equation")
@pytest.mark.parametrize(("r", "g", "nu"), [(0.027, 0.046, 0.4), (0.043, 0.061, 0.467), (0.13, 0.111, 0.4)])
def test_a_flat_wall_wrinkles_where_the_plate_equation_says(r: float, g: float, nu: float) -> None:
    waves = np.geomspace(0.5, 6.0, 60)
    least = min(strip(r, g, nu, a, in_plane=False) for a in waves)
    told = wrinkling(E=number(1.0), t=number(1.0), b=number(1.0), r=number(r), g=number(g), nu=number(nu))
    assert float(told) * 12.0 == pytest.approx(least, rel=5e-3)
    bent = min(strip(r, g, nu, a, in_plane=True) for a in waves)
    assert 5.5 <= bent / least < 7.0  # what is taken for in-plane bending is on the safe side


@pytest.mark.source("Timoshenko & Gere, Theory of Elastic Stability, 9.2: k = 4 of a long hinged plate (from memory)")
def test_of_a_wall_alike_both_ways_it_is_the_classical_plate() -> None:
    nu = 0.3
    told = wrinkling(E=number(70e9), t=number(0.002), b=number(0.1), r=number(1.0), g=number(0.5 / (1 + nu)),
                     nu=number(nu))  # fmt: skip
    assert float(told) == pytest.approx(4.0 * np.pi**2 * 70e9 / (12.0 * (1.0 - nu**2)) * 0.02**2, rel=1e-12)


BOX = edit(
    PLAIN,
    ("oar.inside", "hollow"),
    ("section", [section("0 mm", 60, 60, inside="solid"),
                 *(section(at, 80, 80, shape="rectangle", inside="solid") for at in ("300 mm", "800 mm")),
                 *(section(at, 80, 80, shape="rectangle", wall="3 mm") for at in ("801 mm", "1920 mm"))]),
)  # fmt: skip


def test_a_thin_box_wrinkles_before_it_breaks() -> None:
    def walled(d: dict[str, Any], wall: str) -> dict[str, Any]:
        return edit(d, ("section.3.wall", wall), ("section.4.wall", wall))

    assert_twins(twins(BOX, "wall buckling", walled, 2.0, 8.0), "wall buckling", beside=("wall buckling, pressed",))
    thin = of(BOX)
    assert thin["bending"].met
    assert not thin["wall buckling"].met


def test_a_thin_round_s_wall_is_not_settled() -> None:
    def tube(wall: str) -> dict[str, Any]:
        rows = [section(at, 80, 80, wall=wall) for at in ("0 mm", "1920 mm")]
        return edit(PLAIN, ("oar.inside", "hollow"), ("section", rows))

    assert of(tube("4 mm"))["wall buckling"].met
    line = of(tube("3.9 mm"))["wall buckling"]
    assert not line.known
    assert "a twentieth" in line.unknown


def test_a_push_wrinkles_a_wall_on_its_own_and_by_what_it_raises() -> None:
    """At the use's own factor the push's and the raised bending's stress together are what wrinkles the wall."""
    beam = loaded(built(BOX))
    x = np.array([[1.2]])
    cut = beam.at(x)
    (u,) = (u for u in walls(beam, cut) if u.check == "wall buckling, pressed")
    assert u.cases is not None
    rows, e = pressed_rows(beam)
    assert rows == u.cases
    with np.errstate(divide="ignore"):
        factor = 1.0 / u.use
    stroke, flat, still = (v[..., list(rows), :] for v in fibre_parts(cut))
    push = np.maximum(-cut.axial[..., list(rows), :], 0.0) / cut.section.area
    limit = cut.limit("buckling stiffness")  # the same in all cases
    limit = wrinkling(E=limit, t=number(0.003), b=number(0.074), r=ACROSS, g=SHEARED, nu=POISSON)
    most = 0.0 * u.use
    for even, bent, s in ((stroke, flat / 5.5, still / 5.5), (flat, stroke / 5.5, still)):
        there = factor * push + (s + factor * (even + bent)) / (1.0 - factor * e)
        most = np.maximum(most, there / limit)
    np.testing.assert_allclose(most, 1.0, rtol=1e-9)


# ------------------------------------------------------------------------------------------------- a ring in the hand


def ring_moment(pressed: Any, held: Any) -> float:
    """Return the greatest moment in a thin ring of radius 1 under radial pressure and shear flow round it.

    By statics from a cut, with the three unknowns there set so that the ring closes: turned by nothing, and moved by
    nothing (Castigliano). No series.
    """
    n = 4000
    a = (np.arange(n) + 0.5) * 2.0 * np.pi / n
    step = 2.0 * np.pi / n
    fx = (-pressed(a) * np.cos(a) - held(a) * np.sin(a)) * step
    fy = (-pressed(a) * np.sin(a) + held(a) * np.cos(a)) * step
    x, y = np.cos(a), np.sin(a)
    sx, sy, s = np.cumsum(fx), np.cumsum(fy), np.cumsum(x * fy - y * fx)
    free = s - (x * sy - y * sx)
    unit = np.stack([np.ones(n), y, x])
    c = np.linalg.solve(unit @ unit.T, -unit @ free)
    assert abs(sx[-1]) + abs(sy[-1]) < 1e-6
    return float(np.abs(free + c @ unit).max())


@pytest.mark.source("closed ring by Castigliano; Roark, ring between two line loads, W r / pi (from memory)")
def test_the_ring_s_moments() -> None:
    """A force of 1 as a cosine round half of it, held by shear flow sin(a)/pi; and two line loads, nearly."""

    def palm(a: Any) -> Any:
        return np.where(np.cos(a) > 0.0, np.cos(a), 0.0) * 2.0 / np.pi

    def flow(a: Any) -> Any:
        return -np.sin(a) / np.pi

    assert ring_moment(palm, flow) == pytest.approx(float(WRAPPED), rel=0.02)
    assert ring_moment(palm, flow) <= float(WRAPPED)
    narrow = 0.01

    def lines(a: Any) -> Any:
        near = np.abs((a + narrow) % np.pi - narrow) < narrow
        return near * 2.0 / (np.mean(near) * 2.0 * np.pi)  # a force of 1 on each side

    assert ring_moment(lines, np.zeros_like) == pytest.approx(float(FLAT), rel=0.02)


def test_a_thin_hollow_grip_splits_in_the_hand() -> None:
    def gripped(d: dict[str, Any], wall: str) -> dict[str, Any]:
        return edit(d, ("section.0.wall", wall), ("section.1.wall", wall))

    rows = [section(at, 50, 50, wall="3 mm") for at in ("0 mm", "180 mm")]
    rows += [section(at, 60, 60, inside="solid") for at in ("260 mm", "900 mm")]
    rows += [section("1920 mm", 45, 45, inside="solid")]
    doc = edit(PLAIN, ("oar.inside", "hollow"), ("section", rows))
    assert not of(gripped(doc, "2.6 mm"))["hollow under the hand"].met
    assert of(gripped(doc, "8 mm"))["hollow under the hand"].met
    solid = edit(doc, *((f"section.{i}.{k}", v) for i in (0, 1) for k, v in (("wall", None), ("inside", "solid"))),
                 ("section.4.inside", None), ("section.4.wall", "15 mm"))  # fmt: skip
    assert of(solid)["hollow under the hand"].use == 0.0
    stress = held_ring(F=number(400.0), l=number(0.08), r=number(0.02), t=number(0.01), m=number(0.05))
    assert float(stress) == pytest.approx(6.0 * 0.05 * 400.0 * 0.02 / (0.08 * 0.01**2))
