"""The wood of a takedown joint: pressed and sheared in the tube, bent beside its mouth and inside it."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from shaftcheck.beam import Beam
from shaftcheck.checks.clamped import springy_shear
from shaftcheck.checks.column import crush, pushed
from shaftcheck.checks.compare import Use
from shaftcheck.checks.cradle import edge_pressure
from shaftcheck.checks.lock import CURVED
from shaftcheck.checks.member import (
    bending_limit,
    exponent,
    fibre_parts,
    fibre_stress,
    form,
    lasting_limit,
    shear_with_twist,
)
from shaftcheck.checks.net import bent_uses, net_names
from shaftcheck.checks.takedown_build import Takedown
from shaftcheck.checks.takedown_half import (
    GRID,
    LIFT,
    Half,
    beta_of,
    peaks,
    pressed_inside,
    seat_of,
    still_and_not,
)
from shaftcheck.checks.takedown_spigot import (
    SWELLS,
    fitted_at,
    loose_edge,
    seat_give,
    swelling,
    touching,
    wood_moment,
)
from shaftcheck.model import Array
from shaftcheck.sections import oval_area, oval_second_moment, oval_shear, oval_twist
from shaftcheck.strength import MEMBER_SHEAR

__all__ = ["bearing_uses", "shear_uses", "wood_uses"]


def bearing_uses(beam: Beam, j: Takedown, half: Half, presses: list[tuple[Array, Array]]) -> Iterator[Use]:
    """Yield how the wood presses at the mouth, as it fits and as it rattles, and keep it for the tube in `presses`."""
    size, length, wet = j.size[LIFT], half.length, j.wet[LIFT] == 1.0
    seat = seat_of(beam, half, size)
    dry_limit = half.limit("bearing")
    limit = np.where(wet, half.limit("wet bearing"), dry_limit)
    pieces = beam.shaft.pieces
    green_at, moisture = (
        half.inside.pick(np.stack(np.broadcast_arrays(*values), axis=-1)[..., None, :])
        for values in ([p.wood.green_at for p in pieces], [p.moisture for p in pieces])
    )
    swells = half.least(swelling(D=size, c=SWELLS[0], M_p=green_at, M=fitted_at(moisture)))
    dry = j.clearance[LIFT] + 0.0 * swells
    loads, weight = still_and_not(half)
    acts = "the wood's stiffness, or its compression across the grain, green where the seat stays wet"

    def stiff(clearance: Array, capacity: Array) -> tuple[Array, Array]:
        give = seat_give(p=capacity, b=size, kappa=CURVED, k=seat)
        touch = np.where(clearance == 0.0, length / 2.0, touching(L=length, delta=give, g=clearance))
        a, b = (loose_edge(V=v, M_c=m, L=length, a=touch) for v, m in (loads, weight))
        return edge_pressure(w=a, b=size, k=CURVED), edge_pressure(w=b, b=size, k=CURVED)

    for name, (demand, still), capacity, source in (
        (
            "bearing",
            stiff(np.where(wet, np.maximum(dry - swells, 0.0), dry), limit),
            limit,
            "stiff spigot (Burandt), moment at mid-overlap, times 4/pi; where it stays wet, with the clearance that "
            "swelling leaves and the green strength",
        ),
        (
            "bearing (loose)",
            stiff(dry, dry_limit),
            dry_limit,
            "stiff spigot tilted by its dry clearance, on what touches when it is just met (derived), times 4/pi; the "
            "seat of a stiff piece, upper 5 %; dry strength",
        ),
    ):
        presses.append((demand + 0.0 * capacity, still + 0.0 * capacity))
        use, raised = pushed(beam, demand, capacity + 0.0 * demand, still)
        yield Use(
            check=f"takedown, {half.name} half, {name}",
            kind="dents",
            x=half.mouth,
            use=use,
            demand=raised,
            capacity=capacity + 0.0 * demand,
            unit="Pa",
            source=source,
            unknown=acts,
        )


def shear_uses(beam: Beam, j: Takedown, half: Half) -> Iterator[Use]:
    """Yield the shear inside the tube, in a stiff socket and in a springy one."""
    size = j.size[LIFT]
    once = half.limit("shear")
    once = once * MEMBER_SHEAR
    unit = oval_shear(A=oval_area(w=size, d=size))
    twist = oval_twist(w=size, d=size)
    stroke, flat, still = (peaks(m, v, half.length)[0] for m, v in half.moments())
    beta = beta_of(beam, half, size)
    cut = half.beside
    loads = np.hypot(cut.forward, cut.up), np.hypot(cut.moment_stroke, cut.moment_flat)
    weight = np.abs(cut.still_up), np.abs(cut.still_flat)
    soft, soft_still = (springy_shear(V=v, M=m, beta=beta, u=np.pi * GRID) for v, m in (loads, weight))
    for name, x, shear, standing, source in (
        (
            "stiff",
            half.mid.x,
            np.hypot(stroke, flat),
            still,
            "shear inside a stiff socket (Burandt), at whichever end presses more",
        ),
        (
            "springy",
            half.mouth + half.inward * np.minimum(np.pi * GRID / beta, half.length),
            soft,
            soft_still,
            "shear inside a long springy socket (Hetenyi, from memory), wood's modulus across 0.10 of that along",
        ),
    ):
        a = shear_with_twist(V=shear, s=unit, T=half.mid.torque, t=twist)
        p = shear_with_twist(V=standing, s=unit, T=0.0 * half.mid.torque, t=twist)
        limit = lasting_limit(beam, once, a, p)
        use, raised = pushed(beam, a, limit + 0.0 * a, p)
        yield Use(
            check=f"takedown, {half.name} half, inner shear ({name})",
            kind="splits",
            x=x,
            use=use,
            demand=raised,
            capacity=limit + 0.0 * a,
            unit="Pa",
            source=f"{source}, with all the torque; the worse governs; member shear with 0.67 for splits",
            unknown="shear along the grain, or the wood's stiffness",
        )


def wood_uses(beam: Beam, j: Takedown, half: Half) -> Iterator[Use]:
    """Bending from the mouth to a depth beyond by the shaft's own section; inside by the round in the tube."""
    raiser = j.raiser[LIFT]
    cut = half.beyond
    stroke, flat, still = fibre_parts(cut)
    limit = bending_limit(beam, cut) / raiser
    q = exponent(cut.section)
    missing = "a strength of the wood, its run-out, or a section that the method reaches"
    source = "flexure formula; bending limit by the ladder, over what the mouth raises: 1.5 square, 1.25 tapered or "
    yield from bent_uses(
        beam,
        tuple(f"takedown, {half.name} half, {what}beside the mouth" for what in ("", "life ", "pressed ")),
        cut.x,
        loads=(stroke, flat),
        weight=(None, still),
        limit=limit,
        q=q,
        axial=crush(N=cut.axial, A=cut.section.area) / cut.limit("compression"),
        sources=(f"{source}lined (judgement)", "limit over the mouth's raiser"),
        unknown=missing,
    )
    size = j.size[LIFT]
    second = oval_second_moment(w=size, d=size)
    a, b, p = (
        fibre_stress(M=wood_moment(M_c=m, V=v, L=half.length, t=GRID), c=size, I=second) for m, v in half.moments()
    )
    inside = half.limit("bending")
    inside = inside * form(beam, half.beside) / raiser
    yield from bent_uses(
        beam,
        net_names(f"takedown, {half.name} half, wood inside"),
        half.x,
        loads=(a, b),
        weight=(None, p + 0.0 * b),
        limit=inside + 0.0 * a,
        q=2.0,
        axial=pressed_inside(half, oval_area(w=size, d=size)) + 0.0 * a,
        sources=(
            f"{source}lined (judgement), all along the wood inside; moment left in the wood (derived)",
            "limit over the mouth's raiser; moment left in the wood (derived)",
        ),
        unknown=missing,
    )
