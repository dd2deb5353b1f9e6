"""The clamp of a half shaft: stiff and springy seats, inner shear, splitting, against springs and printed examples."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.integrate import cumulative_simpson, quad, solve_bvp

from shaftcheck.checks.clamped import foundation_edge, inner_shear, rigid_edge, rigid_inner, seat_beta
from shaftcheck.checks.cradle import edge_pressure, seat_stiffness, splitting
from shaftcheck.checks.lock import CURVED
from shaftcheck.model import number

# ------------------------------------------------------------------------------------------------------ springy seats


@pytest.mark.source("Boresi & Schmidt, Advanced Mechanics of Materials, 6th ed., Example 10.5 (p. 375): 4.67 mm")
def test_a_long_beam_pushed_at_its_end() -> None:
    """E 200 GPa, I 2.53e6 mm4, k 23.8 N/mm2, 30 kN at the free end: the seat gives 4.67 mm there."""
    k = number(23.8e6)
    beta = seat_beta(k=k, E=number(200e9), I=number(2.53e-6))
    assert beta == pytest.approx(1.852, abs=0.001)
    edge = foundation_edge(V=number(30e3), M=number(0.0), beta=beta, L=number(5.0))
    assert edge / k == pytest.approx(4.67e-3, abs=0.005e-3)


@pytest.mark.source("Hetenyi, Beams on Elastic Foundation (1946), semi-infinite beam: 2 b (P + b M), b 6.985342057 /m")
def test_a_half_in_a_long_springy_cradle() -> None:
    beta = seat_beta(k=number(20e6), E=number(2100.0), I=number(1.0))
    assert beta == pytest.approx(6.985342057, rel=1e-9)
    edge = foundation_edge(V=number(300.0), M=number(225.0), beta=beta, L=number(2.0))
    assert edge == pytest.approx(26148.95688, rel=1e-9)


def on_springs(v: float, m: float, stiff: float, k: float, length: float) -> np.ndarray:
    """Line load from the loaded to the other end of a beam on springs, both ends free, by a boundary value solver."""

    def slope(x: np.ndarray, y: np.ndarray) -> np.ndarray:
        return np.vstack([y[1], y[2], y[3], -k * y[0] / stiff])

    def ends(a: np.ndarray, b: np.ndarray) -> np.ndarray:
        # sum of the springs and of their moments about the mouth: v, and m from what stands free; nil at the far end
        return np.array([stiff * a[3] - v, stiff * a[2] - m, b[2], b[3]])

    x = np.linspace(0.0, length, 400)
    found = solve_bvp(slope, ends, x, np.zeros((4, x.size)), tol=1e-9, max_nodes=100000)
    assert found.success
    return np.abs(k * found.sol(x)[0])


@pytest.mark.source("the differential equation of a beam on springs, solved by scipy with free ends")
@pytest.mark.parametrize("u", [0.3, 0.8, 1.5, 2.5, 4.0])
@pytest.mark.parametrize(("v", "m"), [(300.0, 0.0), (0.0, 225.0), (300.0, 225.0)])
def test_a_springy_cradle_of_any_length(u: float, v: float, m: float) -> None:
    """From nearly stiff to long: u is the cradle's length over the length that the seat takes over in."""
    stiff, k = 2100.0, 20e6
    beta = (k / 4.0 / stiff) ** 0.25
    length = u / beta
    edge = foundation_edge(V=number(v), M=number(m), beta=number(beta), L=number(length))
    line = on_springs(v, m, stiff, k, length)
    assert edge == pytest.approx(line[0], rel=2e-5)
    assert line.max() <= line[0] * (1 + 1e-6), "no slice is squeezed more than that at the mouth, the sawn end neither"


@given(st.floats(0.0, 1000.0), st.floats(1.0, 400.0), st.floats(0.05, 30.0), st.floats(0.05, 0.5))
@settings(max_examples=50, deadline=None)
def test_a_springy_edge_is_never_pressed_less_than_a_stiff_one(v: float, m: float, beta: float, length: float) -> None:
    """And falls to it where the seat is soft."""
    args = {"V": number(v), "M": number(m), "L": number(length)}
    stiff = rigid_edge(V=args["V"], M_c=number(m + v * length / 2.0), L=args["L"])
    assert foundation_edge(**args, beta=number(beta)) >= stiff * (1 - 1e-9)
    assert foundation_edge(**args, beta=number(0.1 / length)) == pytest.approx(float(stiff), rel=1e-4)


# -------------------------------------------------------------------------------------------------------- stiff seats


def rigid_bar(v: float, m: float, length: float, n: int = 4001) -> tuple[np.ndarray, np.ndarray]:
    """Line load under a rigid bar on a row of equal springs, x from the mouth inwards: forces and geometry alone."""
    x = np.linspace(0.0, length, n)
    weight = np.full(n, length / (n - 1))
    weight[[0, -1]] /= 2.0
    # the springs' forces q balance v at the mouth, and m + v * 0 about it
    rows = np.vstack([np.ones(n), x])
    dip = np.linalg.solve((rows * weight) @ rows.T, np.array([v, -m]))
    return x, dip @ rows


@pytest.mark.source("a rigid bar on a row of four thousand springs, by two equations of equilibrium")
@given(st.floats(0.0, 1000.0), st.floats(5.0, 400.0), st.floats(0.06, 0.5))
@settings(max_examples=30, deadline=None)
def test_a_stiff_cradle_by_springs(v: float, m: float, length: float) -> None:
    x, q = rigid_bar(v, m, length)
    m_c = number(m + v * length / 2.0)
    edge = rigid_edge(V=number(v), M_c=m_c, L=number(length))
    far = rigid_inner(V=number(v), M_c=m_c, L=number(length))
    assert edge == pytest.approx(q[0], rel=1e-4)
    assert np.abs(q).max() == pytest.approx(abs(q[0]), rel=1e-9), "the sawn end is pressed no more than the mouth"
    assert far == pytest.approx(-q[-1], rel=1e-4, abs=1e-6 * abs(q[0]))
    shear = v - cumulative_simpson(q, x=x, initial=0)
    inside = inner_shear(w_i=far, w=edge, L=number(length))
    assert abs(inside) == pytest.approx(np.abs(shear[1:]).max() if far > 0 else 0.0, rel=1e-3, abs=v)
    if 6.0 * m > 4.0 * v * length:  # where the couple outweighs the force, the peak is inside
        assert abs(inside) == pytest.approx(np.abs(shear).max(), rel=1e-3)


# ------------------------------------------------------------------------------------------------- pressure, splitting


@pytest.mark.source("pressure as a cosine round half the circumference, integrated by scipy")
def test_a_curved_seat_presses_more_in_its_middle() -> None:
    radius, peak = 0.023, 3.0e6
    line = quad(lambda a: peak * np.cos(a) * np.cos(a) * radius, -np.pi / 2, np.pi / 2)[0]
    assert edge_pressure(w=number(line), b=number(2 * radius), k=CURVED) == pytest.approx(peak, rel=1e-12)


@pytest.mark.source("ASTM C496, splitting tensile strength 2 P / (pi l d): 150 by 300 mm under 200 kN, 2.83 MPa")
def test_a_cylinder_split_between_two_lines() -> None:
    assert splitting(w=number(200e3 / 0.300), D=number(0.150)) == pytest.approx(2.83e6, abs=0.005e6)


@pytest.mark.source("springs one behind the other (any text): wood of half the depth, then the liner")
def test_wood_and_liner_behind_each_other() -> None:
    """50 mm deep, 45 mm wide, E across 1 GPa; 3 mm of 8 MPa: 1.8e9 and 0.12e9 N/m2 in series."""
    got = seat_stiffness(E=number(10e9), r=number(0.1), b=number(0.045), d=number(0.050), t=number(0.003),
                         E_l=number(8e6))  # fmt: skip
    assert got == pytest.approx(1.0 / (1.0 / 1.8e9 + 1.0 / 0.12e9), rel=1e-12)
    bare = seat_stiffness(E=number(10e9), r=number(0.1), b=number(0.045), d=number(0.050), t=number(0.0),
                          E_l=number(8e6))  # fmt: skip
    assert bare == pytest.approx(1.8e9, rel=1e-12)
