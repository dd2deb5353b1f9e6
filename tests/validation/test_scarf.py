"""The scarf and the springy seat, against printed examples, an independent section library and hand reckoning."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from scipy.integrate import quad
from scipy.spatial.transform import Rotation
from test_shaftfile import PLAIN, edit
from twins import uses as by_file

from shaftcheck.answer import answer
from shaftcheck.beam import mesh
from shaftcheck.checks.clamped import foundation_edge, rigid_edge, rigid_inner
from shaftcheck.checks.scarf_build import Scarf, tips
from shaftcheck.checks.scarf_uses import (
    EFFICIENCY,
    check,
    glue_pull,
    glue_slip,
    peel_part,
    pull_as_shear,
    shear_at_cut,
    shear_part,
    unlike_peak,
)
from shaftcheck.checks.twowood import two_wood
from shaftcheck.engine import uses
from shaftcheck.loads import loaded
from shaftcheck.model import number


def fibre_limit(s, f_t, f_v):
    """The fibre stress at which a glue line is spent that nothing else shears."""
    one, none = np.ones_like(s), 0.0 * s
    slip = glue_slip(r_t=shear_part(s=s), sigma=one, s=s, tau=none, beside=none)
    opens = glue_pull(r_n=peel_part(s=s), sigma=one, s=s, tau=none)
    return f_v / np.hypot(slip, pull_as_shear(pull=opens, f_t=f_t, f_v=f_v))


EXAMPLE = Path(__file__).parents[2] / "examples" / "two-wood-scarf.toml"


@pytest.mark.source("Beer & Johnston, Mechanics of Materials, problems 1.29 and 1.31 (from memory)")
@pytest.mark.parametrize(
    ("angle", "axial", "normal", "along"), [(45.0, 11e3 / (75 * 150) * 1e3, 489, 489), (60.0, 1400 / 15, 70.0, 40.4)]
)
def test_stress_on_a_glued_plane(angle, axial, normal, along):
    """The plane's angle to the axis; stress as printed, to its digits."""
    s = number(np.tan(np.radians(angle)))
    assert float(peel_part(s=s)) * axial == pytest.approx(normal, abs=0.5 if normal > 100 else 0.05)
    assert float(shear_part(s=s)) * axial == pytest.approx(along, abs=0.5 if along > 100 else 0.05)


@pytest.mark.source(
    "Gere, Mechanics of Materials, Example 2-10: 90 kN on 1200 mm2, normal at 25 degrees: 61.6, 28.7 MPa"
)
def test_stress_on_an_inclined_plane():
    s = number(np.tan(np.radians(90.0 - 25.0)))
    axial = 90e3 / 1200.0
    assert float(peel_part(s=s)) * axial == pytest.approx(61.6, abs=0.05)
    assert float(shear_part(s=s)) * axial == pytest.approx(28.7, abs=0.05)


@pytest.mark.source("Beer & Johnston, Mechanics of Materials, problem 1.32 (from memory): 5.0 by 3.0 in spliced at 60 "
                    "degrees, 60 psi of shear: 2080 lb, 103.9 psi square to the line")  # fmt: skip
def test_what_a_glued_splice_carries_by_its_shear():
    s = number(np.tan(np.radians(60.0)))
    axial = 60.0 / float(shear_part(s=s))
    assert axial * 15.0 == pytest.approx(2080.0, abs=5.0)
    assert float(peel_part(s=s)) * axial == pytest.approx(103.9, abs=0.05)
    # a glue line strong in tension carries just that; one that is also pulled carries less
    plain, pulled = (fibre_limit(s, number(f_t), number(60.0)) for f_t in (1e9, 103.9))
    assert float(plain) == pytest.approx(axial)
    assert float(pulled) == pytest.approx(axial / np.sqrt(2.0), rel=1e-3)


@pytest.mark.source(
    "stress tensor turned into the plane's own axes by scipy's rotation; Mohr's circle by numpy's eigenvalues"
)
@pytest.mark.parametrize("run", [8.0, 10.0, 12.0, 20.0])
def test_stress_on_a_glue_line_under_fibre_stress_and_shear(run):
    """Along the shaft x, through the cut z, along its width y: S n on the plane, its parts square to it and in it."""
    s = 1.0 / run
    turn = Rotation.from_euler("y", np.arctan(s)).as_matrix()  # takes z to the plane's normal
    rng = np.random.default_rng(7)
    for sigma, tau, beside in rng.uniform(0.0, 30.0, (40, 3)):
        found = []
        for way in (1.0, -1.0):
            tensor = np.array([[sigma, beside, way * tau], [beside, 0.0, 0.0], [way * tau, 0.0, 0.0]])
            own = turn.T @ tensor @ turn
            least, _, most = np.linalg.eigvalsh(tensor)
            assert least - 1e-9 <= own[2, 2] <= most + 1e-9
            assert np.hypot(own[0, 2], own[1, 2]) <= (most - least) / 2.0 + 1e-9
            found.append((own[2, 2], np.hypot(own[0, 2], own[1, 2])))
        opens, slips = max(v for v, _ in found), max(v for _, v in found)
        mine = {"sigma": number(sigma), "s": number(s), "tau": number(tau)}
        assert float(glue_pull(r_n=peel_part(s=number(s)), **mine)) == pytest.approx(opens)
        assert float(glue_slip(r_t=shear_part(s=number(s)), beside=number(beside), **mine)) == pytest.approx(slips)


@pytest.mark.source("shear formula by the section's own integrals, V Q / (I b), scipy")
@pytest.mark.parametrize("n", [2.0, 2.5, 4.0, 10.0])
@pytest.mark.parametrize("z", [-0.9, -0.5, 0.0, 0.3, 0.8])
def test_shear_at_the_height_of_the_cut(n, z):
    """Exact on an oval; a bound, and no coarse one, on what is fuller."""

    def half(t):
        return max(1.0 - abs(t) ** n, 0.0) ** (1.0 / n)

    def mean_shear(at):
        return quad(lambda t: t * half(t), abs(at), 1.0)[0] / half(at)

    exact = mean_shear(z) / mean_shear(0.0)
    none, one = number(0.0), number(1.0)
    mine = float(shear_at_cut(V=one, s_v=one, z=number(z), T=none, s_t=none, c=one))
    assert exact * (1.0 - 1e-9) <= mine <= exact + 0.06
    if n == 2.0:
        assert mine == pytest.approx(exact)


@pytest.mark.source("Gere, Mechanics of Materials, Examples 6-1 and 6-3 (pp. 400, 407): wood of 4 by 6 in on 0.5 in of "
                    "steel under 60 kip in: 1310 psi in the wood, 7620 in the steel")  # fmt: skip
def test_two_materials_in_a_rectangle_as_printed():
    one = np.array([[1.0]])
    cut = 0.5 / 6.5 * 2.0 - 1.0  # the steel is the lowest half inch
    two = two_wood(one * 6.5, one * 4.0, one * np.inf, one * cut, one * 30e6, one * 1.5e6)
    assert float(two.above_across[0, 0]) * 60e3 == pytest.approx(1310.0, abs=5.0)
    assert float(two.below_across[0, 0]) * 60e3 == pytest.approx(7620.0, abs=5.0)


@pytest.mark.source("Hart-Smith, NASA CR-112237 (1973), limit for a long elastic scarf; values by hand")
def test_peak_between_unlike_woods():
    """9.9 and 12.0 GPa: 1.2121 at the stiff wood's tip, 0.8250 at the soft one's, 0.9908 half way; mean of 1."""
    soft, stiff = number(9.9e9), number(12.0e9)
    xi = np.array([0.0, 0.5, 1.0])
    assert unlike_peak(E_1=stiff, E_2=soft, xi=xi) == pytest.approx([0.8250, 0.9908, 1.2121], abs=5e-5)
    fine = (np.arange(4000) + 0.5) / 4000
    assert np.mean(unlike_peak(E_1=stiff, E_2=soft, xi=fine)) == pytest.approx(1.0, rel=1e-6)


@pytest.mark.source("Freas & Selbo, USDA Technical Bulletin 1069 (1954), from memory")
def test_efficiency_rows():
    assert EFFICIENCY(np.array([1 / 8, 1 / 10, 1 / 12, 1 / 15, 1 / 20])) == pytest.approx(
        [0.80, 0.85, 0.90, 0.90, 0.90]
    )
    assert np.isnan(EFFICIENCY(number(1 / 7.9)))


@pytest.mark.source("sectionproperties, composite section of two woods, finite elements")
@pytest.mark.parametrize("cut", [-0.6, 0.0, 0.35])
def test_two_woods_in_an_oval(cut):
    from sectionproperties.analysis import Section
    from sectionproperties.pre import Geometry, Material
    from shapely import LineString, Polygon
    from shapely.ops import split

    depth, width, low, high = 50.0, 40.0, 9900.0, 12000.0
    turn = np.linspace(0, 2 * np.pi, 360, endpoint=False)
    oval = Polygon(np.c_[width / 2 * np.cos(turn), depth / 2 * np.sin(turn)])
    halves = sorted(
        split(oval, LineString([(-60, cut * depth / 2), (60, cut * depth / 2)])).geoms, key=lambda p: p.centroid.y
    )

    def wood(modulus):
        return Material("wood", modulus, 0.3, 1, 1, "k")

    geometry = Geometry(halves[0], material=wood(low)) + Geometry(halves[1], material=wood(high))
    section = Section(geometry.create_mesh([6.0]))
    section.calculate_geometric_properties()
    section.calculate_warping_properties()

    def stress(**moment):
        found = section.calculate_stress(**moment).get_stress()
        return [max(abs(group["sig_zz"])) for group in found]

    below, above = stress(mxx=1e6)
    side_below, side_above = stress(myy=1e6)
    a = np.array([[1.0]])
    two = two_wood(a * 0.050, a * 0.040, a * 2.0, a * cut, a * low * 1e6, a * high * 1e6)
    got = [float(v[0, 0]) * 1e3 for v in (two.below_across, two.above_across, two.below_along, two.above_along)]
    # 1e6 N mm is 1e3 N m; Pa to MPa; nodes of a 360-sided oval
    assert [g / 1e6 for g in got] == pytest.approx([below, above, side_below, side_above], rel=2e-3)


@pytest.mark.source("transformed section by hand: rectangle 40 by 60 mm, 500 N m, 9.9 GPa below 12.0 GPa")
def test_two_woods_in_a_rectangle():
    """15 mm of the soft wood: 19.322 MPa below, 21.867 above; 45 mm: 19.866 and 22.327."""
    one = np.array([[1.0]])
    for thick, below, above in ((15.0, 19.322, 21.867), (45.0, 19.866, 22.327)):
        two = two_wood(one * 0.060, one * 0.040, one * np.inf, one * (thick / 30.0 - 1.0), one * 9.9e9, one * 12e9)
        assert float(two.below_across[0, 0]) * 500e-6 == pytest.approx(below, abs=5e-4)
        assert float(two.above_across[0, 0]) * 500e-6 == pytest.approx(above, abs=5e-4)


@pytest.mark.source(
    "Hetenyi, Beams on Elastic Foundation (1946), semi-infinite beam; stiff limit by 2 by 2 equilibrium"
)
def test_springy_and_stiff_seat():
    """300 N and 225 N m: 26 148.96 N/m on a long seat of beta 6.985342057; 68 and 64 kN/m on a stiff one of 150 mm."""
    v, m = number(300.0), number(225.0)
    long = foundation_edge(V=v, M=m, beta=number(6.985342057), L=number(3.0))
    assert float(long) == pytest.approx(26148.95688, rel=1e-8)
    stiff = foundation_edge(V=v, M=m, beta=number(0.05), L=number(0.15))
    assert float(stiff) == pytest.approx(68000.0, rel=1e-6)
    m_c = m + v * 0.075
    assert float(rigid_edge(V=v, M_c=m_c, L=number(0.15))) == pytest.approx(68000.0)
    assert float(rigid_inner(V=v, M_c=m_c, L=number(0.15))) == pytest.approx(64000.0)


# ------------------------------------------------------------------------------------------- a scarf in a whole shaft


def one_wood(slope=1 / 12, middle=1.21):
    """The example's shaft, all of its outer wood, with a scarf of a slope about a place; and the scarf."""
    text = EXAMPLE.read_text(encoding="utf-8").replace("White ash", "Sitka spruce (US)")
    oar = answer(text, "one wood").oars[0].shaft
    (old,) = oar.joints
    assert isinstance(old, Scarf)
    start, end = tips(number(middle), number(slope), old.through_depth, oar.stations)
    scarf = replace(old, middle=number(middle), slope=number(slope), start=start, end=end)
    pieces = (replace(oar.pieces[0], end=number(middle)), replace(oar.pieces[1], start=number(middle)))
    return replace(oar, pieces=pieces, joints=(scarf,)), scarf


def worst(found, name):
    return max(float(np.max(u.use)) for u in found if u.check == name)


@pytest.mark.source("by hand: in one wood the section is whole, so the efficiency alone divides the limit")
def test_a_scarf_in_one_wood():
    oar, scarf = one_wood()
    beam = loaded(oar)
    at_scarf = list(check(beam, scarf))
    x = next(u.x for u in at_scarf if u.check == "scarf, inner wood")
    whole = uses(beam, x)
    for mine, plain in (("", "bending"), (", life", "life"), (", pressed", "bending with thrust")):
        scarfed = worst(at_scarf, f"scarf, inner wood{mine}")
        if mine == ", pressed":  # crushing and buckling are not divided
            assert worst(whole, plain) < scarfed < worst(whole, plain) / 0.9
        else:
            rows = next(u for u in whole if u.check == plain)
            assert scarfed == pytest.approx(float(np.max(rows.use)) / 0.9, rel=1e-9) or mine == ""
    free = [i for i, c in enumerate(beam.cases) if c.column is None]
    mine = next(u.use for u in at_scarf if u.check == "scarf, inner wood")[free]
    # the weight stands and is not scaled, so it takes a little more of the lesser limit
    plain = worst(whole, "bending") / 0.9
    assert plain <= float(np.max(mine)) <= plain * 1.001


def test_a_life_of_near_limits_wears_a_scarf_out():
    """Each stroke alone within the scarf's limit, all together beyond its life: the sum must be seen."""
    oar, scarf = one_wood()
    beam = loaded(oar)
    strokes = [i for i, c in enumerate(beam.cases) if c.repeated and c.key != "lift"]
    use = next(u.use for u in check(beam, scarf) if u.check == "scarf, inner wood")
    forward = beam.forward.copy()
    couple = beam.couple_forward.copy()
    for i in strokes:
        forward[i] *= 0.98 / float(np.max(use[i]))
        couple[i] *= 0.98 / float(np.max(use[i]))
    heavy = replace(beam, forward=forward, couple_forward=couple)
    found = list(check(heavy, scarf))
    assert all(float(np.max(u.use[strokes])) < 1.0 for u in found if u.check == "scarf, inner wood")
    assert worst(found, "scarf, inner wood, life") > 1.0


def test_reversing_the_load_governs_the_other_tip():
    oar, scarf = one_wood()
    beam = loaded(oar)

    def place(b):
        u = next(u for u in check(b, scarf) if u.check == "scarf, glue pulled")
        once = b.case("once")
        pulled = np.broadcast_to(u.use, (len(b.cases), u.x.shape[-1]))[once]
        return float(u.x[0, int(np.argmax(pulled))])

    back = replace(beam, forward=-beam.forward)
    middle = float(scarf.middle)
    assert (place(beam) < middle) != (place(back) < middle)


def test_a_flatter_scarf_about_a_fixed_middle_can_be_worse():
    """It reaches in to where the moment is greater: a longer scarf is not always a better one."""
    near = {}
    for slope in (1 / 12, 1 / 20):
        oar, scarf = one_wood(slope, middle=1.40)
        near[slope] = worst(check(loaded(oar), scarf), "scarf, inner wood")
    assert near[1 / 20] > near[1 / 12] * 1.02


def test_at_fixed_stress_flatter_is_never_worse():
    n = np.linspace(8.0, 40.0, 200)
    s, one = 1.0 / n, np.ones(200)
    limit = fibre_limit(s, one * 0.4e6, one * 2e6)
    assert np.all(np.diff(limit) > 0)
    assert np.all(np.diff(EFFICIENCY(s)) >= 0)


def test_every_declared_comparison_of_the_example_is_there():
    from shaftcheck.checks import declared

    oar = answer(EXAMPLE.read_text(encoding="utf-8"), "scarf").oars[0].shaft
    beam = loaded(oar)
    assert set(declared(oar)) <= {u.check for u in uses(beam, mesh(oar))}


# ------------------------------------------------------------------------------- two things that seem true and are not


def through_a_file(section, joint, *, length="2.60 m", blade="420 mm", neck="2.18 m"):
    """The uses of a scarfed or jointed spruce oar, of the sections told, by its file."""
    doc = edit(PLAIN, ("oar.length", length), ("oar.blade_length", blade), ("oar.blade_area", "0.05 m2"),
               ("section", [{"at": at, "across": size} for at, size in section]), ("joint", [joint]))  # fmt: skip
    return {k: v for k, v in by_file(doc).items() if k.startswith(joint["kind"]) and v > 0.0}


def scarf_at(middle, slope):
    return {"kind": "scarf", "middle": middle, "slope": slope, "cut_through": "fore and aft", "outer_tip_on": "forward",
            "glue": "resorcinol", "sample_broken": "yes"}  # fmt: skip


@pytest.mark.source("by hand: moment falls straight to the water's force, 0.75 m beyond the middle; tips at 12 and 20 "
                    "half depths of a 46 mm round")  # fmt: skip
def test_flattening_about_a_fixed_middle_can_raise_the_use_by_18_percent():
    """An even round of 46 mm, 2.60 m long, its scarf at 1.71 m: at 1:20 it meets 0.75 + 0.46 over 0.75 + 0.276."""
    even = (("0 mm", "46 mm"), ("2.18 m", "46 mm"))
    steep, flat = (through_a_file(even, scarf_at("1.71 m", s)) for s in ("1:12", "1:20"))
    by_hand = (0.75 + 0.46) / (0.75 + 0.276)
    assert by_hand == pytest.approx(1.18, abs=0.005)
    assert max(flat.values()) / max(steep.values()) == pytest.approx(by_hand, abs=0.005)
    assert flat["scarf, inner wood"] / steep["scarf, inner wood"] == pytest.approx(by_hand, abs=0.005)
    # the glue line itself gains, as it always does at like stress
    assert flat["scarf, glue pulled"] < steep["scarf, glue pulled"]


@pytest.mark.source("by hand: bending stress goes with (b - x)/d^3, which rises outboard where d falls fast")
def test_moving_a_joint_outboard_on_a_46_to_20_mm_taper_can_raise_its_use():
    """From 46 mm at 0.72 m to 20 mm at 2.18 m, the water's force at 2.46 m: the stress rises from 1.2 to 1.8 m."""
    taper = (("0 mm", "46 mm"), ("0.72 m", "46 mm"), ("2.18 m", "20 mm"))

    def stress(x):
        d = 46.0 - 26.0 * (x - 0.72) / 1.46
        return (2.46 - x) / d**3

    near, far = (through_a_file(taper, scarf_at(at, "1:12")) for at in ("1.20 m", "1.65 m"))
    assert stress(1.65 + 0.16) > 1.1 * stress(1.20)
    assert far["scarf, inner wood"] > 1.1 * near["scarf, inner wood"]
    even = (("0 mm", "46 mm"), ("2.18 m", "46 mm"))
    near, far = (through_a_file(even, scarf_at(at, "1:12")) for at in ("1.20 m", "1.65 m"))
    assert far["scarf, inner wood"] < 0.9 * near["scarf, inner wood"]


@pytest.mark.source(
    "stress tensor at the worst place of the glue line, from the beam's own forces, turned by scipy's rotation"
)
def test_shear_force_and_torque_act_on_the_glue_line():
    """An oar of one wood, caught: at each place of the line the tensor is built anew, for both sides of the shaft."""
    oar, scarf = one_wood(1 / 8)
    beam = loaded(oar)
    found = {u.check: u for u in check(beam, scarf)}
    k = beam.case("caught")
    for u in (found["scarf, glue pulled"],):
        x = u.x[0]
        cut = beam.at(u.x)
        deep = float(scarf.through_depth) == 1.0
        size, other = (cut.section.depth, cut.section.width)[:: 1 if deep else -1]
        for i in range(2, len(x) - 2, 5):
            z = np.clip(-(x[i] - float(scarf.middle)) * 2 / 8 / size[0, i], -1, 1)
            turned, flat = cut.moment_stroke[k, i], cut.moment_flat[k, i]
            forward, up = cut.forward[k, i], cut.up[k, i]
            if not deep:
                turned, flat, forward, up = flat, turned, up, forward
            a, b = size[0, i] / 2, other[0, i] / 2
            area = np.pi * a * b
            wide = np.sqrt(1 - z * z)
            fibre = abs(turned) * abs(z) * a / (area * a * a / 4) + abs(flat) * b * wide / (area * b * b / 4)
            tau = 4 / 3 * abs(forward) / area * (1 - z * z) + abs(cut.torque[k, i]) * 2 / (area * b) * wide
            turn = Rotation.from_euler("y", np.arctan(1 / 8)).as_matrix()
            slips = [
                abs((turn.T @ np.array([[fibre, 0, w * tau], [0, 0, 0], [w * tau, 0, 0]]) @ turn)[0, 2])
                for w in (1.0, -1.0)
            ]
            assert max(found[f"scarf, glue {v}"].demand[k, i] for v in ("pulled", "sheared")) >= max(slips) * (1 - 1e-6)
    still = replace(beam, torque=0.0 * beam.torque)
    assert worst(list(check(still, scarf)), "scarf, glue sheared") < worst(list(found.values()), "scarf, glue sheared")
