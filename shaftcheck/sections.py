"""Properties of the section of a shaft: rounds, ovals, superovals and rectangles, solid or with an even wall.

One section is |z / (depth/2)|^n + |y / (width/2)|^n = 1: n = 2 is the oval (a round where depth equals width), above 2
the superoval, infinite the rectangle. z is fore and aft, y up and down.
"""

from __future__ import annotations

from itertools import pairwise

import numpy as np

from shaftcheck.formula import Sym, formula
from shaftcheck.frozen import frozen
from shaftcheck.gauss import gauss
from shaftcheck.model import Array, Bools, Station
from shaftcheck.trace import constant, named, quiet, solved

__all__ = [
    "STEEP",
    "Section",
    "at",
    "changes_at_once",
    "dual_exponent",
    "hollow",
    "power",
    "properties",
    "shoulder",
    "slope",
]

FLATS = constant(
    1.12,
    Sym("k_flat", "", "greatest over Bredt's mean shear in the wall of a section with flats"),
    "judgement: finite elements give 1.1",
)
STEEP = 1.0 / 6.0
"""steepest run-out that the grain tables reach (ASTM D245, from memory)"""

_D = Sym("d", "m", "size in the direction of bending", low=0.0)
_W = Sym("w", "m", "size across it", low=0.0)
_N = Sym("n", "", "exponent of the superoval", low=2.0, high=40.0)
_ELLIPSE = "Gere & Goodno, Mechanics of Materials, appendix of plane areas, ellipse (from memory)"
_LAME = "superellipse integrals by the gamma function, Gradshteyn & Ryzhik, Table of Integrals, 4.6 (from memory)"


@formula(Sym("A", "m**2", "area"), _ELLIPSE, w=_W, d=_D)
def oval_area(*, w: Array, d: Array) -> Array:
    """Area of an oval."""
    return np.pi * w * d / 4


@formula(Sym("I", "m**4", "second moment of area"), _ELLIPSE, w=_W, d=_D)
def oval_second_moment(*, w: Array, d: Array) -> Array:
    """Second moment of an oval about the axis across the bending."""
    return np.pi * w * d * d * d / 64


@formula(
    Sym("s", "m**-2", "shear stress at the neutral axis for unit shear"),
    "Gere & Goodno, Mechanics of Materials, shear in circular beams, 4V/3A; the same for the ellipse (from memory)",
    A=Sym("A", "m**2", "area", low=0.0),
)
def oval_shear(*, A: Array) -> Array:
    """Greatest shear stress of an oval for unit shear force."""
    return 4 / (3 * A)


@formula(
    Sym("t", "m**-3", "shear stress for unit torque"),
    "Roark's Formulas for Stress and Strain, Table 10.7, solid elliptical section (from memory)",
    w=Sym("w", "m", "axis at whose end the stress is taken", low=0.0),
    d=Sym("d", "m", "other axis", low=0.0),
)
def oval_twist(*, w: Array, d: Array) -> Array:
    """Shear stress at the end of axis w of an oval, for unit torque; the greatest where w is the shorter axis."""
    return 16 / (np.pi * d * w * w)


@formula(Sym("A", "m**2", "area"), _LAME, w=_W, d=_D, n=_N)
def superoval_area(*, w: Array, d: Array, n: Array) -> Array:
    """Area of a superoval."""
    from scipy.special import gamma

    one = 1 + 1 / n
    return w * d * gamma(one) * gamma(one) / gamma(1 + 2 / n)


@formula(Sym("I", "m**4", "second moment of area"), _LAME, w=_W, d=_D, n=_N)
def superoval_second_moment(*, w: Array, d: Array, n: Array) -> Array:
    """Second moment of a superoval about the axis across the bending."""
    from scipy.special import gamma

    return w * d * d * d * gamma(3 / n) * gamma(1 + 1 / n) / (4 * n * gamma(1 + 4 / n))


@formula(Sym("Q", "m**3", "first moment of half the section"), _LAME, w=_W, d=_D, n=_N)
def superoval_first_moment(*, w: Array, d: Array, n: Array) -> Array:
    """First moment of half a superoval about its neutral axis."""
    from scipy.special import gamma

    return w * d * d * gamma(2 / n) * gamma(1 + 1 / n) / (4 * n * gamma(1 + 3 / n))


@formula(
    Sym("s", "m**-2", "shear stress at the neutral axis for unit shear"),
    "Gere & Goodno, Mechanics of Materials, the shear formula V Q / I b (from memory)",
    Q=Sym("Q", "m**3", "first moment of half the section", low=0.0),
    I=Sym("I", "m**4", "second moment of area", low=0.0),
    b=Sym("b", "m", "width at the neutral axis", low=0.0),
)
def shear_formula(*, Q: Array, I: Array, b: Array) -> Array:  # noqa: E741
    """Mean shear stress across the neutral axis for unit shear force."""
    return Q / (I * b)


@formula(Sym("A", "m**2", "area"), "area of a rectangle, by definition", w=_W, d=_D)
def rectangle_area(*, w: Array, d: Array) -> Array:
    """Area of a rectangle."""
    return w * d


@formula(Sym("I", "m**4", "second moment of area"), "Gere & Goodno, appendix, rectangle (from memory)", w=_W, d=_D)
def rectangle_second_moment(*, w: Array, d: Array) -> Array:
    """Second moment of a rectangle."""
    return w * d * d * d / 12


@formula(
    Sym("s", "m**-2", "shear stress at the neutral axis for unit shear"),
    "Gere & Goodno, Mechanics of Materials, shear in rectangular beams, 3V/2A (from memory)",
    A=Sym("A", "m**2", "area", low=0.0),
)
def rectangle_shear(*, A: Array) -> Array:
    """Greatest shear stress of a rectangle for unit shear force."""
    return 3 / (2 * A)


@formula(
    Sym("t", "m**-3", "shear stress for unit torque"),
    "Roark's Formulas for Stress and Strain, Table 10.7, solid rectangular section (from memory)",
    short=Sym("b", "m", "shorter side", low=0.0),
    long=Sym("a", "m", "longer side", low=0.0),
)
def rectangle_twist(*, short: Array, long: Array) -> Array:
    """Greatest shear stress of a rectangle for unit torque, at mid of the longer side."""
    r = short / long
    return 3 / (long * short * short) * (1 + 0.6095 * r + 0.8865 * r**2 - 1.8023 * r**3 + 0.91 * r**4)


@formula(
    Sym("t", "m**-3", "shear stress for unit torque"),
    "Bredt's first formula with the wall's own twist added, Roark's Formulas, Table 10.7 (from memory)",
    A_m=Sym("A_m", "m**2", "area inside the middle of the wall", low=0.0),
    u=Sym("u", "m", "length of the middle of the wall", low=0.0),
    t=Sym("t_w", "m", "thickness of the wall", low=0.0),
)
def wall_twist(*, A_m: Array, u: Array, t: Array) -> Array:
    """Greatest shear stress in a closed wall for unit torque: T / (2 A_m t) + T u / (8 A_m^2)."""
    return 1 / (2 * A_m * t) + u / (8 * A_m * A_m)


@frozen
class Section:
    """A section's properties; all of one shape."""

    depth: Array
    """fore-and-aft size [m]"""
    width: Array
    """up-and-down size [m]"""
    exponent: Array
    """[-]"""
    wall: Array
    """[m], infinite where solid"""
    area: Array
    """[m2]"""
    second_stroke: Array
    """second moment for bending fore and aft [m4]"""
    second_flat: Array
    """second moment for bending up and down [m4]"""
    shear_stroke: Array
    """shear stress for unit shear fore and aft [1/m2]"""
    shear_flat: Array
    """shear stress for unit shear up and down [1/m2]"""
    twist_side: Array
    """shear stress for unit torque where the shear fore and aft peaks [1/m3]"""
    twist_face: Array
    """shear stress for unit torque where the shear up and down peaks [1/m3]"""
    plain: bool
    """every section of the array is an oval (exponent 2)"""
    solid: bool
    """every section of the array is solid"""

    @property
    def modulus_stroke(self) -> Array:
        """Return the section modulus for bending fore and aft [m3]."""
        return self.second_stroke * 2 / self.depth

    @property
    def modulus_flat(self) -> Array:
        """Return the section modulus for bending up and down [m3]."""
        return self.second_flat * 2 / self.width


def dual_exponent(exponent: Array) -> Array:
    """Return q = n/(n-1): how the two bending stresses of a superoval combine, (s1^q + s2^q)^(1/q).

    2 for an oval (square root of the sum of squares), 1 for a rectangle (the sum, at its corner). The greatest of
    s1 cos + s2 sin over the boundary is the dual norm (Boyd & Vandenberghe, Convex Optimization, A.1.6, from memory).
    """
    finite = np.where(np.isinf(exponent), 2.0, exponent)
    return np.where(np.isinf(exponent), 1.0, finite / np.maximum(finite - 1.0, 1e-9))


_DEPTH = Sym("d_s", "m", "fore-and-aft size there")
_WIDTH = Sym("d_f", "m", "up-and-down size there")
_EXPONENT = Sym("n", "", "exponent of the section's curve there")
_EVEN = Sym("t_w", "m", "wall there")


def at(x: Array, stations: tuple[Station, ...]) -> tuple[Array, Array, Array, Array]:
    """Return depth, width, exponent and wall at x, each of the shape of x.

    Sizes run straight from station to station. Between a solid and a hollow station the section is taken as hollow,
    between a rectangle and an oval as oval: the lesser of the two. Where the surface falls away steeper than `STEEP`
    the fibres of the larger end are cut and carry nothing: the smaller size holds over the whole span.

    Parameters
    ----------
    x : (..., 1, points) - distance from the handle end [m]
    stations : at rising x, each with arrays of the batch shape
    """
    lifted = [(s.x[..., None, None], s) for s in stations]
    depth, width, exponent, wall = (
        v[..., None, None] + 0.0 * x
        for v in (stations[0].depth, stations[0].width, stations[0].exponent, stations[0].wall)
    )
    plain = all(bool(np.all(s.exponent == 2.0)) for s in stations)
    solid = all(bool(np.all(np.isinf(s.wall))) for s in stations)
    for (x0, a), (x1, b) in pairwise(lifted):
        t = np.clip((x - x0) / np.maximum(x1 - x0, 1e-12), 0.0, 1.0)
        inside = (x >= x0) & (x < x1)
        steep = slope(a, b)[..., None, None] > STEEP
        run = np.where(steep, np.where(x >= x1, 1.0, 0.0), t) if steep.any() else t
        depth = depth + _grown(a.depth, b.depth, t, run, steep)
        width = width + _grown(a.width, b.width, t, run, steep)
        if not plain:
            exponent = np.where(inside, _between(a.exponent, b.exponent, t), exponent)
        if not solid:
            wall = np.where(inside, _between(a.wall, b.wall, t), wall)
    if not plain:
        exponent = np.where(x >= lifted[-1][0], stations[-1].exponent[..., None, None], exponent)
    if not solid:
        wall = np.where(x >= lifted[-1][0], stations[-1].wall[..., None, None], wall)
    return named(depth, _DEPTH), named(width, _WIDTH), named(exponent, _EXPONENT), named(wall, _EVEN)


def slope(a: Station, b: Station) -> Array:
    """Return how fast the surface falls away between two stations, rise over run [-].

    Where the form changes, its corners fall too: on the diagonal a section reaches 2^(1/2 - 1/n) of what a round does.
    """
    rise = np.maximum(np.abs(b.depth - a.depth), np.abs(b.width - a.width)) / 2.0
    corner = np.abs(2.0 ** (-1.0 / b.exponent) - 2.0 ** (-1.0 / a.exponent))
    size = np.minimum(np.hypot(a.depth, a.width), np.hypot(b.depth, b.width)) / 2.0
    return np.maximum(rise, corner * size) / np.maximum(b.x - a.x, 1e-12)


def bore_slope(a: Station, b: Station) -> Array:
    """Return how fast the bore changes between two hollow stations, rise over run [-]; 0 beside solid wood."""
    both = np.isfinite(a.wall) & np.isfinite(b.wall)
    bores = [
        np.abs((q - np.where(both, 2.0 * b.wall, 0.0)) - (p - np.where(both, 2.0 * a.wall, 0.0))) / 2.0
        for p, q in ((a.depth, b.depth), (a.width, b.width))
    ]
    return np.where(both, np.maximum(*bores) / np.maximum(b.x - a.x, 1e-12), 0.0)


def wall_steps(a: Station, b: Station) -> Bools:
    """Return where the wall of a hollow shaft changes at once between two stations, its surface running on."""
    steps: Bools = (bore_slope(a, b) > STEEP) & (slope(a, b) <= STEEP) & (a.wall != b.wall)
    return steps


def hollow(stations: tuple[Station, ...]) -> bool:
    """Return whether any section of any of the shafts is hollow."""
    return any(bool(np.any(np.isfinite(s.wall))) for s in stations)


def changes_at_once(stations: tuple[Station, ...]) -> bool:
    """Return whether any of the shafts has a shoulder steeper than `STEEP`, a wall that steps, or is hollow in part."""
    if hollow(stations) and (
        any(bool(np.any(np.isinf(s.wall))) for s in stations)
        or any(bool(np.any(wall_steps(a, b))) for a, b in pairwise(stations))
    ):
        return True
    return any(bool(np.any(slope(a, b) > STEEP)) for a, b in pairwise(stations))


def shoulder(x: Array, stations: tuple[Station, ...]) -> Array:
    """Return the surface's slope at x, of x's shape; 0 where it is so steep that the lesser section is taken."""
    out = 0.0 * x
    for a, b in pairwise(stations):
        fall = slope(a, b)[..., None, None]
        inside = (x >= a.x[..., None, None]) & (x < b.x[..., None, None])
        out = np.where(inside & (fall <= STEEP), fall, out)
    return out


def _grown(a: Array, b: Array, t: Array, run: Array, steep: Bools) -> Array:
    """Return what is added to a size on the way from a to b; all at the smaller end where the span is steep."""
    step = (b - a)[..., None, None]
    return np.where(steep, np.where(step < 0.0, step * (t > 0.0), step * run), step * t) if steep.any() else step * t


def _between(a: Array, b: Array, t: Array) -> Array:
    """Return the value on the way from a to b; where one of them is infinite, the finite one."""
    a, b = np.where(np.isinf(a), b, a), np.where(np.isinf(b), a, b)
    step = np.where(a == b, 0.0, b - np.where(a == b, 0.0, a))
    out: Array = a[..., None, None] + step[..., None, None] * t
    return out


def properties(depth: Array, width: Array, exponent: Array, wall: Array) -> Section:
    """Return the section's properties; nan where a wall is too thick for its own curve.

    Parameters
    ----------
    depth, width : any one shape - sizes [m]
    exponent : same shape - 2 oval, above 2 superoval, infinite rectangle [-]
    wall : same shape - thickness of an even wall, infinite where solid [m]
    """
    plain = bool(np.all(exponent == 2.0))
    tube = wall < np.minimum(depth, width) / 2.0
    hollow = bool(tube.any())
    area = oval_area(w=width, d=depth)
    second_z = oval_second_moment(w=width, d=depth)
    second_y = oval_second_moment(w=depth, d=width)
    shear_z = shear_y = oval_shear(A=area)
    side, face = oval_twist(w=width, d=depth), oval_twist(w=depth, d=width)  # for a superoval: the oval inside it
    if not plain:
        box = np.isinf(exponent)
        n = np.where(box, 2.0, exponent)
        areas = superoval_area(w=width, d=depth, n=n), rectangle_area(w=width, d=depth)
        seconds_z = superoval_second_moment(w=width, d=depth, n=n), rectangle_second_moment(w=width, d=depth)
        seconds_y = superoval_second_moment(w=depth, d=width, n=n), rectangle_second_moment(w=depth, d=width)
        q_z = superoval_first_moment(w=width, d=depth, n=n)
        q_y = superoval_first_moment(w=depth, d=width, n=n)
        shears_z = shear_formula(Q=q_z, I=seconds_z[0], b=width), rectangle_shear(A=areas[1])
        shears_y = shear_formula(Q=q_y, I=seconds_y[0], b=depth), rectangle_shear(A=areas[1])
        # the oval inside bounds the greatest twist of a superoval, at its shorter axis's end; both ends take it
        most = np.maximum(side, face)
        twist = rectangle_twist(short=np.minimum(depth, width), long=np.maximum(depth, width))
        others = (areas, seconds_z, seconds_y, shears_z, shears_y, (most, twist), (most, twist))
        ovals = (area, second_z, second_y, shear_z, shear_y, side, face)
        area, second_z, second_y, shear_z, shear_y, side, face = (
            np.where(exponent == 2.0, o, np.where(box, b, s)) for o, (s, b) in zip(ovals, others, strict=True)
        )
    if hollow:
        with quiet():
            inner = _walled(depth, width, exponent, np.where(tube, wall, np.minimum(depth, width) / 4.0))
        inputs = {_DEPTH: depth, _WIDTH: width, _EXPONENT: exponent, _EVEN: wall}
        w = [solved(v, s, _WALLED_WORDS, _WALLED_SOURCE, inputs) for v, s in zip(inner, _OF_A_SECTION, strict=True)]
        area, second_z, second_y, shear_z, shear_y, side, face = (
            np.where(tube, h, s)
            for h, s in zip(w, (area, second_z, second_y, shear_z, shear_y, side, face), strict=True)
        )
    return Section(
        depth=depth,
        width=width,
        exponent=exponent,
        wall=np.where(tube, wall, np.inf) if hollow else np.full_like(depth, np.inf),
        area=named(area, _OF_A_SECTION[0]),
        second_stroke=named(second_z, _OF_A_SECTION[1]),
        second_flat=named(second_y, _OF_A_SECTION[2]),
        shear_stroke=named(shear_z, _OF_A_SECTION[3]),
        shear_flat=named(shear_y, _OF_A_SECTION[4]),
        twist_side=named(side, _OF_A_SECTION[5]),
        twist_face=named(face, _OF_A_SECTION[6]),
        plain=plain,
        solid=not hollow,
    )


def power(x: Array, p: Array | float) -> Array:
    """Return x^p of x not negative, square and root by themselves, so that one shaft is a batch of one, bit for bit.

    numpy squares where one exponent serves all, and raises to a power where not; so with the root.
    """
    return np.where(p == 2.0, x * x, np.where(p == 0.5, np.sqrt(x), x**p))


_OF_A_SECTION = (
    Sym("A", "m**2", "area"),
    Sym("I_s", "m**4", "second moment of area for bending fore and aft"),
    Sym("I_f", "m**4", "second moment of area for bending up and down"),
    Sym("s_s", "m**-2", "shear stress for unit shear fore and aft"),
    Sym("s_f", "m**-2", "shear stress for unit shear up and down"),
    Sym("t_s", "m**-3", "shear stress for unit torque at the side"),
    Sym("t_f", "m**-3", "shear stress for unit torque at the face"),
)
_WALLED_WORDS = "integrated along the outer curve of a section with an even wall, and inward along its normal"
_WALLED_SOURCE = "Steiner's parallel curves; do Carmo, Differential Geometry of Curves and Surfaces (from memory)"


def _walled(d: Array, w: Array, n: Array, t: Array) -> tuple[Array, ...]:
    """Return area, both second moments, both shears and the twist at side and face of a section with an even wall.

    Integrated along the outer curve and inward along its normal, so that the wall is even in fact: the inside of an
    oval with an even wall is no oval. With c(l) the outer curve, N its normal and psi the normal's angle, an element
    of the wall at depth s is (dl - s dpsi) ds (Steiner's parallel curves; do Carmo, Differential Geometry of Curves
    and Surfaces, exercise 1-7, from memory). nan where the wall is thicker than the curve's least radius.
    """
    box = np.isinf(n)
    p = np.where(box, 2.0, n)[..., None]
    a, b = d[..., None] / 2.0, w[..., None] / 2.0
    nodes, weights = gauss(64)
    theta, dtheta = (nodes + 1.0) * np.pi / 4.0, weights * np.pi / 4.0
    c, s = np.cos(theta), np.sin(theta)
    with np.errstate(invalid="ignore", divide="ignore", over="ignore"):
        r = power(power(c / a, p) + power(s / b, p), -1.0 / p)
        gz, gy = power(c / a, p - 1.0) / a, power(s / b, p - 1.0) / b  # along the normal
        g = np.hypot(gz, gy)
        nz, ny = gz / g, gy / g
        dl = r / (c * nz + s * ny) * dtheta  # r dtheta over the cosine between radius and normal
        k = power(a / b, p)
        dpsi = (p - 1.0) * k * power(s * c, p - 2.0) / (power(c, 2 * p - 2) + k * k * power(s, 2 * p - 2)) * dtheta
        z, y, tt = r * c, r * s, t[..., None]
        turned = np.all(tt * dpsi <= dl, axis=-1)  # the inner curve does not fold over itself

        def moment(q: Array, m: Array) -> Array:
            """Return the integral of (q - s m)^2 over the wall, all four quarters."""
            long = dl * (q * q * tt - q * m * tt**2 + m * m * tt**3 / 3.0)
            turn = dpsi * (q * q * tt**2 / 2.0 - 2.0 * q * m * tt**3 / 3.0 + m * m * tt**4 / 4.0)
            return np.asarray(4.0 * np.sum(long - turn, axis=-1))

        def first(q: Array, m: Array) -> Array:
            """Return the integral of (q - s m) over half the wall."""
            long, turn = dl * (q * tt - m * tt**2 / 2.0), dpsi * (q * tt**2 / 2.0 - m * tt**3 / 3.0)
            return np.asarray(2.0 * np.sum(long - turn, axis=-1))

        area = 4.0 * np.sum(dl * tt - dpsi * tt**2 / 2.0, axis=-1)
        whole = 2.0 * np.sum(r * r * dtheta, axis=-1)
        around = 4.0 * np.sum(dl, axis=-1)
    second_z, second_y, q_z, q_y = moment(z, nz), moment(y, ny), first(z, nz), first(y, ny)
    # of a thicker wall the formula runs away, to twice the truth where the walls meet: a thicker one holds no less
    thin = np.minimum(t, np.minimum(d, w) / 4.0)
    middle, length = whole - around * thin / 2.0 + np.pi * thin * thin / 4.0, around - np.pi * thin
    if box.any():
        iw, idp = w - 2.0 * t, d - 2.0 * t
        area = np.where(box, w * d - iw * idp, area)
        second_z = np.where(box, (w * d**3 - iw * idp**3) / 12.0, second_z)
        second_y = np.where(box, (d * w**3 - idp * iw**3) / 12.0, second_y)
        q_z = np.where(box, (w * d**2 - iw * idp**2) / 8.0, q_z)
        q_y = np.where(box, (d * w**2 - idp * iw**2) / 8.0, q_y)
        middle = np.where(box, (w - thin) * (d - thin), middle)
        length = np.where(box, 2.0 * (w + d) - 4.0 * thin, length)
        turned = turned | box
    fair = np.where(turned, 1.0, np.nan)
    twist = wall_twist(A_m=middle, u=length, t=thin) * np.where(n == 2.0, 1.0, FLATS)
    shear_z = shear_formula(Q=q_z, I=second_z, b=2.0 * t)
    shear_y = shear_formula(Q=q_y, I=second_y, b=2.0 * t)
    return tuple(v * fair for v in (area, second_z, second_y, shear_z, shear_y, twist, twist))
