"""A cradle asks of the wood all along what it clamps, and as far beyond its mouth as its unrest reaches."""

from __future__ import annotations

import tomllib
from pathlib import Path

import numpy as np
import pytest
from scipy.integrate import solve_bvp
from test_shaftfile import Doc, edit

from shaftcheck.answer import Line, answer_doc
from shaftcheck.checks.clamped import foundation_edge, inner_shear, rigid_edge, rigid_inner, springy_shear
from shaftcheck.model import number

EXAMPLES = Path(__file__).parents[1] / "examples"
RIG: Doc = tomllib.loads((EXAMPLES / "hinged-rig-scarfed.toml").read_text(encoding="utf-8"))
"""cut at 780 mm, cradles from 600 to 980 mm, rubber between"""


def at(place: str, deep: str, wide: str) -> dict[str, str]:
    return {"at": place, "fore_and_aft": deep, "up_and_down": wide}


def with_sections(*rows: dict[str, str]) -> Doc:
    kept = [s for s in RIG["section"] if s["at"] in ("0 mm", "180 mm", "1.60 m", "2.12 m")]
    return edit(RIG, ("section", [*kept[:2], *rows, *kept[2:]]))


def lines(doc: Doc) -> dict[str, Line]:
    return {line.check: line for line in answer_doc(doc, "oar").oars[0].lines}


@pytest.mark.source("force over area, peak 4/pi of a cosine: worked by hand")
def test_a_half_that_tapers_towards_its_end_is_squeezed_hardest_there() -> None:
    straight = (at("380 mm", "52 mm", "46 mm"), at("1.00 m", "52 mm", "46 mm"))
    tapered = (at("380 mm", "52 mm", "46 mm"), at("640 mm", "52 mm", "46 mm"), at("779 mm", "38 mm", "28 mm"),
               at("781 mm", "52 mm", "46 mm"), at("1.00 m", "52 mm", "46 mm"))  # fmt: skip
    tight = ("rig.clamp_force", "10 kN")
    one, two = (lines(edit(with_sections(*rows), tight)) for rows in (straight, tapered))
    name = "inner cradle, standing clamp"
    assert one[name].demand == pytest.approx(4.0 / np.pi * 10e3 / (0.180 * 0.046))
    assert two[name].demand == pytest.approx(4.0 / np.pi * 10e3 / (0.180 * 0.028), rel=3e-3)
    assert one[name].use < 1.0 < two[name].use
    assert answer_doc(edit(with_sections(*tapered), tight), "oar").state == "FALLS SHORT"


@pytest.mark.source("disc under two opposite line loads, Timoshenko & Goodier (from memory): stress as 1 over the size")
def test_an_oval_splits_across_its_lesser_size() -> None:
    narrow = ("rig.cradle_seat", "narrow")
    uses = {}
    for deep, wide in (("44 mm", "70 mm"), ("70 mm", "44 mm"), ("70 mm", "70 mm")):
        doc = edit(with_sections(at("380 mm", deep, wide), at("1.00 m", deep, wide)), narrow)
        uses[deep, wide] = lines(doc)["inner cradle, splitting"].use
    assert uses["44 mm", "70 mm"] > 1.3 * uses["70 mm", "70 mm"]
    assert uses["70 mm", "44 mm"] > 1.3 * uses["70 mm", "70 mm"]


@pytest.mark.parametrize("mark", [970.0, 985.0, 1020.0])
def test_a_knot_beside_a_mouth_takes_what_the_mouth_raises_too(mark: float) -> None:
    knot = {"kind": "knot", "from": f"{mark - 1} mm", "to": f"{mark + 1} mm", "width": "8 mm"}
    found = lines(edit(RIG, ("flaw", [knot])))
    mouth, bare = found["outer cradle, beside the mouth"].use, found["bending"].use
    left = (1.0 - 8.0 / 46.0) ** 2  # ASTM D245, as in the file's own check
    assert found["knot"].use == pytest.approx(mouth / left, rel=0.06 if mark > 980 else 0.25)
    assert found["knot"].use > 1.1 * bare / left or mark == 970.0
    far = lines(edit(RIG, ("flaw", [{**knot, "from": "1.040 m", "to": "1.042 m"}])))
    assert far["knot"].use < bare / left  # beyond the shaft's greater size of it


@pytest.mark.parametrize(("middle", "bars"), [(1.28, True), (1.29, True), (1.31, False), (1.36, False)])
def test_a_scarf_keeps_as_far_from_a_mouth_as_the_shaft_is_thick(middle: float, bars: bool) -> None:
    woods = [dict(w) for w in RIG["wood"]]
    woods[0]["to"] = f"{middle} m"
    oar = answer_doc(edit(RIG, ("joint.0.middle", f"{middle} m"), ("wood", woods)), "oar").oars[0]
    gap = float(oar.shaft.joints[0].start) - 0.980
    assert gap > 0.0
    assert bars == (gap < 0.052)
    assert bars == any(line.check == "scarf, clear of the lock" and line.use > 1.0 for line in oar.lines)


def test_a_lip_does_not_hide_a_mouth() -> None:
    slim = (at("380 mm", "52 mm", "46 mm"), at("1.00 m", "52 mm", "46 mm"))
    lip = (at("380 mm", "52 mm", "46 mm"), at("779 mm", "52 mm", "46 mm"), at("780 mm", "56 mm", "50 mm"),
           at("985 mm", "56 mm", "50 mm"), at("987 mm", "52 mm", "46 mm"), at("1.00 m", "52 mm", "46 mm"))  # fmt: skip
    name = "outer cradle, beside the mouth"
    one, two = (lines(with_sections(*rows))[name].use for rows in (slim, lip))
    assert two == pytest.approx(one, rel=0.02)


@pytest.mark.source("a beam on springs solved as a boundary value problem by an independent library (scipy)")
@pytest.mark.parametrize("stiff", [0.5, 1.0, 2.0, 3.0, 5.0])
@pytest.mark.parametrize(("shear", "moment"), [(300.0, 120.0), (0.0, 120.0), (900.0, 20.0)])
def test_a_springy_seat_shears_and_presses_no_harder_than_is_reckoned(
    stiff: float, shear: float, moment: float
) -> None:
    length, bending = 0.2, 2000.0
    beta = stiff / length
    k = 4.0 * bending * beta**4
    x = np.linspace(0.0, length, 401)
    # y, slope, moment, shear; at the mouth the moment and the shear, at the far end neither
    found = solve_bvp(
        lambda t, y: np.stack([y[1], y[2] / bending, y[3], -k * y[0]]),
        lambda a, b: np.array([a[2] - moment, a[3] - shear, b[2], b[3]]),
        x, np.zeros((4, 401)), tol=1e-5, max_nodes=20000,
    )  # fmt: skip
    assert found.success
    y = found.sol(x)
    v, m, n = (number(a) for a in (shear, moment, length))
    middle = m + v * n / 2.0
    edge, far = rigid_edge(V=v, M_c=middle, L=n), rigid_inner(V=v, M_c=middle, L=n)
    inside = max(
        float(np.abs(inner_shear(w_i=far, w=edge, L=n))), shear,
        float(springy_shear(V=v, M=m, beta=number(beta), u=beta * x).max()),
    )  # fmt: skip
    assert np.abs(y[3]).max() <= inside * 1.03
    pressed = k * np.abs(y[0])
    reckoned = max(float(edge), float(foundation_edge(V=v, M=m, beta=number(beta), L=n)))
    assert pressed[:201].max() <= reckoned * 1.001
    assert pressed[200:].max() <= max(abs(float(far)), shear / length) * 1.03
