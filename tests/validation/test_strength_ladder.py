"""The ladder from a table's mean to a design limit: every rung, its order of application, and the worked figures."""

from dataclasses import replace
from itertools import pairwise
from math import isclose

import numpy as np
import pytest
from geotech_references.wood_handbook import mechanical_properties as handbook
from geotech_references.wood_handbook.fastenings import hankinson_bearing_strength
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import quad
from scipy.optimize import brentq
from shafts import ash, blade, duty, in_lock, piece, rower, shaft, spruce, station

from shaftcheck import strength
from shaftcheck.formula import FORMULAS
from shaftcheck.loads import loaded
from shaftcheck.model import Wood, number
from shaftcheck.sections import properties
from shaftcheck.strength import (
    GLUE_SHEAR,
    LIMITS,
    MEMBER_SHEAR,
    SLOPE_CRUSHING,
    SLOPE_GRADED,
    SLOPE_MEAN,
    Setting,
    expected_break,
    form_factor,
    hankinson_stiffness,
    ladder,
    limit,
    lower_five_percent,
    madison,
    moisture_ratio,
)

MPA = 1e6
DRY = number(0.12)


def setting(wood: Wood, **changes) -> Setting:
    """Steady rowing of 3e6 strokes, 16 %, run-out 1:15, where nothing else is said."""
    usual = {
        "moisture": 0.16,
        "slope": 1 / 15,
        "seconds": 1e6,
        "cycles": 3e6,
        "reversed_end": 0.40,
        "repeated": 1.0,
        "own": 1.0,
    }
    return Setting(wood=wood, **{k: number(v) for k, v in {**usual, **changes}.items()})


def printed(wood: Wood, dry: float, green: float) -> Wood:
    """The wood with its modulus of rupture as printed [MPa]."""
    return replace(
        wood,
        dry=replace(wood.dry, bending=number(dry * MPA)),
        green=replace(wood.green, bending=number(green * MPA)),
    )


def shows(value, text):
    """Whether a stress reads as printed, to its printed digits [MPa]."""
    digits = len(text.partition(".")[2])
    return f"{float(value) / MPA:.{digits}f}" == text


# --------------------------------------------------------------------------------------------------- worked figures


@pytest.mark.source(
    "Wood Handbook FPL-GTR-282 tables and eq. 5-3; COV 16 %; Madison and fatigue; D245 (from memory); by hand"
)
def test_sitka_spruce_rung_by_rung():
    steps = [s.after for s in ladder("bending", setting(printed(spruce(), 70.3, 39.3)))]
    for value, text in zip(steps, ("70.3", "60.20", "44.36", "21.30", "16.19", "12.33", "12.33"), strict=True):
        assert shows(value, text)


@pytest.mark.source("Wood Handbook FPL-GTR-282, the lower printing of white ash, 103 MPa; the same rungs, by hand")
def test_white_ash_rung_by_rung():
    steps = [s.after for s in ladder("bending", setting(printed(ash(), 103, 65.5)))]
    for value, text in zip(steps, ("103.0", "88.57", "65.26", "31.34", "23.82", "16.57", "16.57"), strict=True):
        assert shows(value, text)


# steady, hard, start, one-off
CASES = ("steady", "hard", "start", "once")
TABLE = {
    "spruce": {
        ("bending", 15): ("12.3", "14.4", "18.1", "25.7"),
        ("bending", 20): ("15.1", "17.6", "22.1", "31.4"),
        ("at a 1:12 scarf", 15): ("11.1", "13.0", "16.3", "23.1"),
        ("member shear", 15): ("1.34", "1.56", "1.96", "2.79"),
        ("glue line", 15): ("1.80", "2.10", "2.64", "3.75"),
        ("bearing", 15): ("1.97",) * 4,
        ("wet bearing", 15): ("1.16",) * 4,
        ("tension across", 15): ("0.37", "0.43", "0.54", "0.77"),
    },
    "ash": {
        ("bending", 15): ("16.6", "19.3", "24.3", "34.5"),
        ("bending", 20): ("20.3", "23.7", "29.7", "42.2"),
        ("at a 1:12 scarf", 15): ("14.9", "17.4", "21.8", "31.1"),
        ("member shear", 15): ("2.02", "2.36", "2.96", "4.21"),
        ("glue line", 15): ("2.72", "3.17", "3.98", "5.65"),
        ("bearing", 15): ("3.99",) * 4,
        ("wet bearing", 15): ("2.77",) * 4,
        ("tension across", 15): ("0.67", "0.79", "0.99", "1.40"),
    },
}
PART_OF = {
    "at a 1:12 scarf": ("bending", 0.90),  # Freas & Selbo (1954), from memory
    "member shear": ("shear", 0.67),
    "glue line": ("shear", 0.90),
}


def lasting(wood, run):
    """The limits of an oar of 3e6 strokes, through its own load cases."""
    oar = shaft(
        length=2.4,
        stations=(station(0, 0.045), station(2.4, 0.045)),
        rig=in_lock(0.05, 0.7),
        blade=blade(1.9, 2.4),
        rower=rower(steady=150, hard=300, start=500, once=700),
        duty=duty(strokes=3e6),
        pieces=(piece(0, 2.4, wood, slope=1 / run, moisture=0.16),),
    )
    return loaded(oar)


@pytest.mark.source(
    "the ladder's table worked by hand, printed digits; scarf 0.90 at 1:12 by Freas & Selbo (from memory)"
)
@pytest.mark.parametrize(("wood", "row"), [(w, r) for w in TABLE for r in TABLE[w]])
def test_table_of_design_limits(wood, row):
    name, run = row
    assert (MEMBER_SHEAR, GLUE_SHEAR) == (0.67, 0.90)
    which, factor = PART_OF.get(name, (name, 1.0))
    beam = lasting({"spruce": spruce, "ash": ash}[wood](), run)
    for case, text in zip(CASES, TABLE[wood][row], strict=True):
        row = np.broadcast_to(beam.limits[which], (len(beam.cases), 1))[beam.case(case), 0]
        if name == "glue line":  # the hand rounded on the way here, 0.7697 to 0.770: it may show in the last digit
            assert abs(float(row) / MPA * factor - float(text)) < 0.0055
        else:
            assert shows(row * factor, text)


# case: seconds, cycles (0 where too few to count), duration, fatigue, the lesser
LASTING = {
    "steady": (1e6, 3e6, "0.754", "0.480", "0.48"),
    "hard": (1e5, 3e5, "0.819", "0.560", "0.56"),
    "start": (1.3e3, 5e3, "0.960", "0.703", "0.70"),
    "one-off": (100, 0, "1.00", "1.00", "1.00"),
    "lifting": (3600, 1e4, "0.925", "0.68", "0.68"),
    "standing": (20 * 365.25 * 86400, 0, "0.61", "1.00", "0.61"),
}


@pytest.mark.source(
    "Madison curve, Wood, FPL Report 1916 (1951); fatigue end point 0.40 at 3e7, Wood Handbook Table 5-17 (from memory)"
)
@pytest.mark.parametrize("case", LASTING)
def test_lasting_and_repeated_load(case):
    seconds, cycles, duration, fatigue, both = LASTING[case]
    s = setting(spruce(), seconds=seconds, cycles=max(cycles, 1), repeated=float(cycles > 0))
    alone = setting(spruce(), seconds=seconds, cycles=1, repeated=0.0)
    short = setting(spruce(), seconds=1, cycles=max(cycles, 1), repeated=float(cycles > 0))

    def factor(of):
        (step,) = (t for t in ladder("bending", of) if t.name == "lasting and repeated load")
        return float(step.factor)

    assert abs(factor(alone) - float(duration)) <= (0.001 if len(duration) > 4 else 0.005)  # see test_madison_curve
    for value, text in ((factor(short), fatigue), (factor(s), both)):
        assert f"{value:.{len(text) - 2}f}" == text
    assert factor(s) == min(factor(alone), factor(short))
    assert factor(s) <= 1


@pytest.mark.source("the strokes of a life of 20 seasons of 100 h, 24 a minute, 0.25 s near the peak (common practice)")
def test_time_and_cycles_of_each_case():
    """Each takes the time and the cycles of itself and of all heavier ones."""
    cases = {c.key: c for c in lasting(spruce(), 15).cases}
    for key, seconds, cycles in (("steady", 1e6, 3e6), ("hard", 1e5, 3e5), ("start", 1.3e3, 5e3)):
        assert isclose(float(cases[key].seconds), seconds, rel_tol=1e-9)
        assert isclose(float(cases[key].cycles), cycles, rel_tol=1e-9)
    assert isclose(sum(float(cases[k].share) for k in ("steady", "hard", "start")), 3e6, rel_tol=1e-12)
    assert isclose(20 * 100 * 60 * 24, 3e6, rel_tol=0.05)
    assert (float(cases["lift"].seconds), float(cases["lift"].cycles)) == (3600, 1e4)


@pytest.mark.source(
    "Wood, FPL Report 1916 (1951), as in Forests 12(9) 1148 (2021): 98.9, 76.8, 62.1 %; ratios 1.59, 1.24, 1.00"
)
def test_madison_curve():
    """Printed with the exponent 0.0464; the percentages were read with 0.04635, so to a tenth of one and a bit."""
    at = {"10 min": 600, "7 d": 7 * 86400, "10 yr": 10 * 365.25 * 86400}
    left = {k: float(madison(t=number(t), second=number(1.0))) for k, t in at.items()}
    for k, percent in (("10 min", 98.9), ("7 d", 76.8), ("10 yr", 62.1)):
        assert abs(100 * left[k] - percent) <= 0.15
    assert f"{left['10 min'] / left['10 yr']:.2f}" == "1.59"
    assert f"{left['7 d'] / left['10 yr']:.2f}" == "1.24"
    # NDS duration factors: 1.6 at ten minutes, 1.25 at seven days
    assert abs(left["10 min"] / left["10 yr"] - 1.6) < 0.01
    assert abs(left["7 d"] / left["10 yr"] - 1.25) < 0.02


@pytest.mark.source(
    "run-outs: Scots pine over 1e6 cycles at 40 %, beech over 1e6 at 50 % of bending strength (abstracts, seen)"
)
def test_fatigue_line_is_not_below_what_was_measured():
    line = float(FORMULAS["fatigue_line"].compute(N=number(1e6), end=number(0.40), last=number(3e7)))
    assert f"{line:.2f}" == "0.52"
    assert line > 0.50


# --------------------------------------------------------------------------------------------------------- moisture


@pytest.mark.source(
    "Wood Handbook FPL-GTR-282, worked example under eq. 5-3: white ash, 103 and 66 MPa, Mp 24, 8 %: 119.5 MPa"
)
def test_moisture_example_of_the_handbook():
    """The bare formula: the ladder itself never credits a wood drier than 12 %."""
    args = {
        k: number(v) for k, v in {"dry": 103, "green": 66, "moisture": 0.08, "green_at": 0.24, "dry_at": 0.12}.items()
    }
    assert f"{103 * float(FORMULAS['moisture_ratio'].compute(**args)):.1f}" == "119.5"
    assert np.isnan(moisture_ratio(**args))
    drier = setting(ash(), moisture=0.08)
    assert float(limit("bending", drier)) == float(limit("bending", setting(ash(), moisture=0.12)))


@pytest.mark.source(
    "Sitka spruce, Mp 27: 8 % 82.1, 12 % 70.3, 16 % 60.2, 20 % 51.6, green 39.3 MPa; computed from eq. 5-3 elsewhere"
)
@pytest.mark.parametrize(
    ("moisture", "text"), [(0.08, "82.1"), (0.12, "70.3"), (0.16, "60.2"), (0.20, "51.6"), (0.27, "39.3")]
)
def test_sitka_spruce_over_moisture(moisture, text):
    ratio = FORMULAS["moisture_ratio"].compute(
        dry=number(70.3), green=number(39.3), moisture=number(moisture), green_at=number(0.27), dry_at=DRY
    )
    assert f"{70.3 * float(ratio):.1f}" == text


@pytest.mark.source("geotech-references, independent transcription of Wood Handbook eq. 5-3 and Table 5-13")
@pytest.mark.parametrize(("wood", "key"), [(spruce, "spruce, sitka"), (ash, "ash, white")])
@pytest.mark.parametrize("name", ["bending", "shear", "compression", "bearing", "stiffness"])
@pytest.mark.parametrize("moisture", [0.12, 0.15, 0.19, 0.23])
def test_moisture_rung_by_an_independent_copy(wood, key, name, moisture):
    w = wood()
    dry, green = float(getattr(w.dry, name)), float(getattr(w.green, name))
    expected = handbook.adjust_property_for_moisture_content(dry, green, 100 * moisture, handbook.TABLE_5_13_MP[key])
    (step,) = (t for t in ladder(name, setting(w, moisture=moisture)) if t.name == "moisture in use")
    assert isclose(float(step.after), expected["property_value"], rel_tol=1e-9)


@pytest.mark.source("Wood Handbook FPL-GTR-282: eq. 5-3 holds to M_p, and the green value from there on")
@pytest.mark.parametrize("name", ["bending", "shear", "compression", "bearing", "stiffness"])
def test_wetter_than_the_intersection_is_green(name):
    w = spruce()
    for moisture in (0.27, 0.30, 0.60):
        (step,) = (t for t in ladder(name, setting(w, moisture=moisture)) if t.name == "moisture in use")
        assert isclose(float(step.after), float(getattr(w.green, name)), rel_tol=1e-12)


@given(st.floats(0.0, 0.6), st.floats(0.0, 0.6))
def test_wetter_is_never_stronger(a, b):
    drier, wetter = sorted((a, b))
    for name in LIMITS:
        first, second = (float(limit(name, setting(spruce(), moisture=m))) for m in (drier, wetter))
        assert second <= first * (1 + 1e-12)


# ------------------------------------------------------------------------------------------------------ slope of grain


@pytest.mark.source("Wood Handbook Table 5-12, modulus of rupture, percent: 100, 96, 93, 89, 81, 55")
@pytest.mark.parametrize(("run", "percent"), [(np.inf, 100), (25, 96), (20, 93), (15, 89), (10, 81), (5, 55)])
def test_mean_effect_of_slope(run, percent):
    assert float(SLOPE_MEAN(number(1 / run))) == pytest.approx(percent / 100, abs=1e-12)


# run: what the ladder takes; the lesser of D245 (from memory) and Table 5-12
@pytest.mark.source("ASTM D245, bending (from memory), and Wood Handbook Table 5-12: the lesser")
@pytest.mark.parametrize(("run", "ratio"), [(20, 0.93), (15, 0.76), (12, 0.69), (10, 0.61), (8, 0.53), (25, 0.96)])
def test_grain_rung_in_bending(run, ratio):
    (step,) = (t for t in ladder("bending", setting(spruce(), slope=1 / run)) if t.name == "run-out of the grain")
    assert float(step.factor) == pytest.approx(ratio, abs=1e-9)


@pytest.mark.source("ASTM D245, compression: 1.00 down to 1:15, 0.56 at 1:6 (from memory)")
def test_grain_rung_in_compression():
    assert float(SLOPE_CRUSHING(number(1 / 20))) == 1.0
    assert float(SLOPE_CRUSHING(number(1 / 15))) == 1.0
    assert float(SLOPE_CRUSHING(number(1 / 6))) == pytest.approx(0.56)


@pytest.mark.source("tables end at 1:6: nothing is known of a steeper grain")
def test_steeper_than_the_table_is_not_known():
    assert np.isnan(SLOPE_GRADED(number(1 / 5)))
    assert np.isnan(limit("bending", setting(spruce(), slope=1 / 5)))
    assert np.isnan(limit("compression", setting(spruce(), slope=1 / 5)))
    assert np.isfinite(limit("shear", setting(spruce(), slope=1 / 5)))


@pytest.mark.source(
    "Hankinson, n = 2, Q/P 0.07: 1:10 0.884, 1:20 0.968, 1:5 0.662; 1:15 0.94; with n = 1.5 it would be 0.694 at 1:10"
)
@pytest.mark.parametrize(("run", "text"), [(10, "0.884"), (20, "0.968"), (5, "0.662"), (15, "0.94")])
def test_hankinson(run, text):
    got = float(hankinson_stiffness(s=number(1 / run), ratio=number(0.07)))
    assert f"{got:.{len(text) - 2}f}" == text
    (step,) = (t for t in ladder("stiffness", setting(spruce(), slope=1 / run)) if t.name == "run-out of the grain")
    assert isclose(float(step.factor), got, rel_tol=1e-12)


@pytest.mark.source("geotech-references, Hankinson's formula of Wood Handbook eq. 8-16, by angle")
@pytest.mark.parametrize("run", [5, 8, 12, 15, 25])
def test_hankinson_by_an_independent_copy(run):
    expected = hankinson_bearing_strength(1.0, 0.07, float(np.degrees(np.arctan(1 / run))))
    assert isclose(float(hankinson_stiffness(s=number(1 / run), ratio=number(0.07))), expected["n_value"], rel_tol=1e-9)


@given(st.floats(0.0, 1 / 6), st.floats(0.0, 1 / 6))
def test_steeper_grain_is_never_stronger(a, b):
    flatter, steeper = sorted((a, b))
    for name in LIMITS:
        first, second = (float(limit(name, setting(spruce(), slope=s))) for s in (flatter, steeper))
        assert second <= first * (1 + 1e-12)


# ----------------------------------------------------------------------------------------- which rung for which limit

MOISTURE, LOW, LASTS, GRAIN, SAFETY, OWN = (
    "moisture in use",
    "the low piece of 20",
    "lasting and repeated load",
    "run-out of the grain",
    "safety",
    "the user's own factor",
)
RUNGS_OF = {
    "bending": (MOISTURE, LOW, LASTS, GRAIN, SAFETY, OWN),
    "shear": (MOISTURE, LOW, LASTS, SAFETY, OWN),
    "compression": (MOISTURE, LOW, LASTS, GRAIN, SAFETY, OWN),
    "bearing": (MOISTURE, SAFETY, OWN),
    "wet bearing": (MOISTURE, SAFETY, OWN),
    "tension across": (MOISTURE, LOW, LASTS, SAFETY, OWN),
    "stiffness": (MOISTURE, GRAIN),
    "buckling stiffness": (MOISTURE, LOW, GRAIN, SAFETY),
}


@pytest.mark.source(
    "the table of rungs as it was laid down: a rung once, for the properties whose row has it, for no other"
)
@pytest.mark.parametrize("name", RUNGS_OF)
def test_each_rung_once_and_only_where_it_belongs(name):
    assert set(RUNGS_OF) == set(LIMITS)
    steps = ladder(name, setting(spruce()))
    end = ("at most a third of the shear limit",) if name == "tension across" else ()
    assert tuple(s.name for s in steps) == ("table, mean at 12 %", *RUNGS_OF[name], *end)
    for before, after in pairwise(steps[: len(RUNGS_OF[name]) + 1]):
        assert isclose(float(after.after), float(before.after) * float(after.factor), rel_tol=1e-12)


# a change, and the factor that it must make on each limit that has the rung, on no other
CHANGES = {
    MOISTURE: ({"moisture": 0.20}, None),
    LASTS: ({"seconds": 100, "repeated": 0.0}, 1 / (1 - 0.6 * np.log(3e6) / np.log(3e7))),
    OWN: ({"own": 1.25}, 0.8),
}
EFFECT = {
    MOISTURE: ("bending", "shear", "compression", "bearing", "stiffness", "buckling stiffness"),
    LASTS: ("bending", "shear", "compression", "tension across"),
    GRAIN: ("bending", "compression", "stiffness", "buckling stiffness"),
    OWN: ("bending", "shear", "compression", "bearing", "wet bearing", "tension across"),
}


@pytest.mark.source(
    "the same table, asked by what changes when one thing does: spruce, whose tension across is its own"
)
@pytest.mark.parametrize("rung", CHANGES)
@pytest.mark.parametrize("name", RUNGS_OF)
def test_what_each_rung_changes(rung, name):
    changes, factor = CHANGES[rung]
    ratio = float(limit(name, setting(spruce(), **changes)) / limit(name, setting(spruce())))
    if name not in EFFECT[rung]:
        assert ratio == 1.0
    elif factor is None:
        w = spruce()
        key = name.removeprefix("buckling ")
        exponent = -0.04 / 0.15  # four hundredths wetter, of the fifteen from 12 % to 27 %
        assert isclose(ratio, float(getattr(w.dry, key) / getattr(w.green, key)) ** exponent, rel_tol=1e-12)
    else:
        assert isclose(ratio, factor, rel_tol=1e-12)


@pytest.mark.source("ASTM D245 compression and bending (from memory), Hankinson for stiffness: from 1:15 to 1:10")
@pytest.mark.parametrize("name", RUNGS_OF)
def test_what_the_grain_changes(name):
    ratio = float(limit(name, setting(spruce(), slope=0.1)) / limit(name, setting(spruce(), slope=1 / 15)))
    stiff = 0.07 * (1 + 0.01) / (0.07 + 0.01) / (0.07 * (1 + 1 / 225) / (0.07 + 1 / 225))
    crush = 1 - 0.44 * (1 / 10 - 1 / 15) / (1 / 6 - 1 / 15)
    expected = {"bending": 0.61 / 0.76, "compression": crush, "stiffness": stiff, "buckling stiffness": stiff}
    assert (name in expected) == (name in EFFECT[GRAIN])
    assert isclose(ratio, expected.get(name, 1.0), rel_tol=1e-9)


@pytest.mark.source(
    "1 - 1.645 COV: 16 % 0.737, 14 % 0.770, 18 % 0.704, 25 % 0.589, 22 % 0.638 (Table 5-6, part from memory)"
)
@pytest.mark.parametrize(
    ("cov", "text"), [(0.16, "0.737"), (0.14, "0.770"), (0.18, "0.704"), (0.25, "0.589"), (0.22, "0.638")]
)
def test_low_piece_of_twenty(cov, text):
    assert f"{float(lower_five_percent(v=number(cov))):.3f}" == text


# limit: coefficient of variation (none: the mean is used), divisor for softwood and hardwood
DIVISORS = {
    "bending": (0.16, "1.31", "1.44"),
    "shear": (0.14, "1.31", "1.44"),
    "compression": (0.18, "1.19", "1.31"),
    "bearing": (None, "1.67", "1.67"),
    "wet bearing": (None, "1.67", "1.67"),
    "tension across": (0.25, "1.31", "1.44"),
    "stiffness": (None, None, None),
    "buckling stiffness": (0.22, "1.66", "1.66"),
}


@pytest.mark.source(
    "Wood Handbook Table 5-6 (part from memory); ASTM D245 divisors without their ten years, NDS E_min (from memory)"
)
@pytest.mark.parametrize("name", DIVISORS)
@pytest.mark.parametrize("kind", ["soft", "hard"])
def test_scatter_and_safety_of_each_limit(name, kind):
    cov, soft, hard = DIVISORS[name]
    steps = {t.name: float(t.factor) for t in ladder(name, setting((spruce if kind == "soft" else ash)()))}
    assert (LOW in steps) == (cov is not None)
    if cov is not None:
        assert isclose(steps[LOW], 1 - 1.645 * cov, rel_tol=1e-12)
    divisor = soft if kind == "soft" else hard
    assert (SAFETY in steps) == (divisor is not None)
    if divisor is not None:
        assert f"{1 / steps[SAFETY] + 1e-9:.2f}" == divisor


@pytest.mark.source("judgement, printed as such: tension across is at most a third of the member's shear limit")
def test_tension_across_is_at_most_a_third_of_shear():
    """It governs in white ash, not in Sitka spruce."""
    for wood, governs in ((spruce, False), (ash, True)):
        s = setting(wood())
        third = float(limit("shear", s)) * 0.67 / 3
        own = float(ladder("tension across", s)[-2].after)
        assert (third < own) == governs
        assert isclose(float(limit("tension across", s)), min(own, third), rel_tol=1e-12)


@pytest.mark.source("table mean, eq. 5-3 and Table 5-12 and no safety: 60.2 x 0.89 = 53.6 MPa, by hand")
def test_expected_break():
    assert shows(expected_break(setting(printed(spruce(), 70.3, 39.3))), "53.6")
    worn = setting(printed(spruce(), 70.3, 39.3), seconds=1e9, cycles=2e7, own=3.0)
    assert shows(expected_break(worn), "53.6")


@given(st.sampled_from(LIMITS), st.floats(0.12, 0.3), st.floats(0.0, 1 / 6), st.floats(1, 6e8), st.floats(1, 3e7))
def test_no_rung_raises_a_value(name, moisture, slope, seconds, cycles):
    s = setting(ash(), moisture=moisture, slope=slope, seconds=seconds, cycles=cycles)
    assert all(float(step.factor) <= 1 + 1e-12 for step in ladder(name, s))


# ------------------------------------------------------------------------------------------------------- form and size


def form(depth, width=None, n=2.0, wall=np.inf, ratio=1.8):
    width = depth if width is None else width
    return float(form_factor(number(depth), number(width), number(n), number(wall), number(ratio)))


@pytest.mark.source("NDS C_F = (12 in / d)^(1/9) moved to 2 in: twice the size 0.926 (from memory), never above 1")
def test_size():
    assert form(0.050) == 1.0
    assert form(0.030) == 1.0
    assert f"{form(0.100):.3f}" == "0.926"
    assert f"{form(0.057):.3f}" == "0.986"
    assert form(0.100, 0.020) == form(0.100, 0.100)


def bilinear(chord, half, ratio):
    """Moment of a section over its modulus times the modulus of rupture, and the modulus, all by scipy's quadrature.

    The wood yields at 1 in compression; it tears at n in tension, n from a solid rectangle of unit size that must
    take `ratio` times its modulus, found by the same quadrature.
    """

    def moment(width, h, tension):
        def stress(z, axis):
            return max(tension * (z - axis) / (h - axis), -1.0)

        def parts(axis):
            bend = axis - (h - axis) / tension  # where compression yields
            return sorted({-h, h, *(p for p in (bend, axis) if -h < p < h)})

        def total(axis, power):
            return sum(
                quad(lambda z: stress(z, axis) * width(z) * z**power, a, b, epsabs=1e-12, limit=200)[0]
                for a, b in pairwise(parts(axis))
            )

        axis = brentq(lambda a: total(a, 0), -h * (1 - 1e-9), h * (1 - 1e-3))
        return total(axis, 1)

    rectangle = lambda z: 1.0  # noqa: E731
    tension = brentq(lambda n: moment(rectangle, 1.0, n) / (2 / 3) - ratio, 1.001, 60)
    modulus = sum(quad(lambda z: chord(z) * z * z, a, b, limit=200)[0] for a, b in pairwise((-half, 0, half))) / half
    return moment(chord, half, tension) / (modulus * ratio)


def tube_chord(outer, wall):
    big, small = outer / 2, outer / 2 - wall

    def chord(z):
        return 2 * (np.sqrt(max(big**2 - z**2, 0)) - np.sqrt(max(small**2 - z**2, 0)))

    return chord, big


@pytest.mark.source(
    "a bilinear section (elastic in tension, yielding in compression) by scipy quadrature and root finding"
)
@pytest.mark.parametrize(("wall", "ratio"), [(3.0, 2.2), (13.0, 1.82), (13.0, 1.4), (18.0, 2.0)])
def test_bilinear_section(wall, ratio):
    """A tube of 48 mm. Sixty strips leave a few parts in a thousand of a chord that ends in a corner."""
    chord, half = tube_chord(48.0, wall)
    ours = strength._bilinear(*(number(v) for v in (0.048, 0.048, 2.0, wall / 1e3, ratio)))
    assert isclose(ours, bilinear(chord, half, ratio), rel_tol=4e-3)


@pytest.mark.source(
    "the lesser of the bilinear section and 0.80 of a thin wall (NACA Report 181 goes to 0.78, from memory), from a "
    "quarter of the lesser size straight to the solid section's 1 where the walls meet (judgement)"
)
@pytest.mark.parametrize(
    ("wall", "ratio", "most"),
    [(3.0, 1.82, 0.80), (3.0, 2.6, 0.80), (11.9, 1.2, 0.80), (12.0, 1.8, 0.80), (18.0, 1.8, 0.90), (23.99, 1.4, 1.0)],
)
def test_wall(wall, ratio, most):
    chord, half = tube_chord(48.0, wall)
    expected = min(bilinear(chord, half, ratio), most)
    assert isclose(form(0.048, wall=wall / 1e3, ratio=ratio), expected, rel_tol=4e-3)


@pytest.mark.parametrize("ratio", [1.2, 1.82, 2.5])
@pytest.mark.parametrize("n", [2.0, 2.5, np.inf])
def test_what_a_tube_carries_grows_with_its_wall_and_with_its_outside(n, ratio):
    """Modulus times form factor, on a fine grid about a quarter of the size and all the way to solid."""

    def carries(depth, wall):
        depth, wall = np.broadcast_arrays(depth, wall)
        exponent, of_wood = np.full_like(depth, n), np.full_like(depth, ratio)
        section = properties(depth, depth, exponent, wall)
        return section.modulus_stroke * form_factor(depth, depth, exponent, wall, of_wood)

    walls = carries(np.asarray(0.048), np.linspace(0.003, 0.0239, 400))
    outside = carries(np.linspace(0.0245, 0.100, 400), np.asarray(0.012))
    for moments in (walls[np.isfinite(walls)], outside[np.isfinite(outside)]):
        assert len(moments) > 100
        assert np.all(np.diff(moments) > 0)
        assert np.all(np.diff(np.log(moments)) < 0.06), "nor does it leap"


@pytest.mark.source("a solid rectangle takes the table's modulus of rupture by definition: ratio 1")
@pytest.mark.parametrize("ratio", [1.2, 1.8, 2.4])
def test_closing_rectangle_takes_the_table_value(ratio):
    """The hollow shrunk to a hundredth of its width; 3 parts in 1000 for strips and a corner that is a bit round."""
    size = [number(v) for v in (0.048, 0.036, np.inf, 0.018 - 0.00018, ratio)]
    assert isclose(strength._bilinear(*size), 1.0, rel_tol=3e-3)
    assert isclose(form_factor(*size), 0.80 + 0.20 * 0.98, rel_tol=1e-12), "the cap on its way to 1"


@given(
    st.floats(0.025, 0.080),
    st.floats(0.6, 1.4),
    st.sampled_from([2.0, 2.5, 4.0, np.inf]),
    st.floats(0.05, 0.49),
    st.floats(1.05, 2.9),
)
def test_hollow_never_above_solid_nor_above_the_cap(depth, shape, n, wall, ratio):
    width = depth * shape
    thickness = wall * min(depth, width)
    got = form(depth, width, n, thickness, ratio)
    solid = form(depth, width, n)
    assert 0 < got <= solid <= 1
    if thickness < min(depth, width) / 4:
        assert got <= 0.80 * solid


@pytest.mark.source(
    "a wood whose modulus of rupture is below its crushing strength, or three times it, is not of this model"
)
def test_woods_that_the_model_does_not_fit_are_not_known():
    assert np.isnan(form(0.048, wall=0.013, ratio=0.9))
    assert np.isnan(form(0.048, wall=0.013, ratio=3.1))
    assert form(0.048, ratio=0.9) == 1.0
