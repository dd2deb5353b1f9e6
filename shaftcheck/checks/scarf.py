"""A plain scarf, of one wood or of two: the woods at its slope, the glue line, and where it lies."""

from __future__ import annotations

from shaftcheck.checks.joint import JointKind, Meets, Placing
from shaftcheck.checks.scarf_build import KEYS, build
from shaftcheck.checks.scarf_notes import marks, moved, placed_keys, scale, told, variants
from shaftcheck.checks.scarf_sizes import sizes
from shaftcheck.checks.scarf_uses import DECLARES, check

__all__ = ["SCARF"]

SCARF = JointKind(
    kind="scarf",
    keys=KEYS,
    build=build,
    declares=DECLARES,
    check=check,
    told=told,
    variants=variants,
    placing=Placing(middle=lambda j: j.middle, moved=moved, keys=placed_keys, scale=scale),
    marks=marks,
    meets=Meets(key="middle", beside=lambda j: 0.0 * j.middle),
    wedge=lambda j: float(j.slope),
    sizes=sizes,
)
