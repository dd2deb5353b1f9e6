"""What was measured of the oar in hand, put back: it may lower its strengths at once, and never raises one."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import replace

from shaftcheck.beam import GRAVITY
from shaftcheck.border.assemble import Built, assemble
from shaftcheck.border.shaftfile import Reading, Value
from shaftcheck.border.shown import show
from shaftcheck.errors import Fault, InputError
from shaftcheck.frozen import frozen
from shaftcheck.model import Hinged, Shaft, number
from shaftcheck.movement import give
from shaftcheck.said import Said, Size, percent, said, sized
from shaftcheck.whole import whole

__all__ = ["NOTHING", "Lower", "as_measured", "lower", "sags_of"]

SOFTEST, STIFFEST = 0.5, 1.6
"""stiffness over the table's beyond which a measured sag is not believed: no sound board is so (judgement) [-]"""
LIGHTEST, HEAVIEST = 0.6, 1.6
"""the same of weight (judgement) [-]"""
BLADE_OFF = 0.5
"""part of the blade's weight that may not be there where it is not told (judgement) [-]"""


@frozen(kw_only=False, eq=True)
class Lower:
    """What every strength is divided by since the oar was found softer or lighter than its wood's table."""

    divisor: float
    """1 or more [-]"""
    words: Said | None


NOTHING = Lower(1.0, None)


def sags_of(reading: Reading, shaft: Shaft) -> tuple[float, float] | None:
    """Return the sag that was measured under a weight, and the one that is computed for it [m].

    None where no sag was measured with all that belongs to it, and for a hinged rig, whose halves sag in cradles.
    """
    values = {e.path: e.value for e in reading.entries.values()}
    sag, hung, at, held = (values.get(f"measured.{k}") for k in ("sag", "sag_weight", "sag_at", "sag_held"))
    if sag is None or hung is None or at is None or held is None or isinstance(shaft.rig, Hinged):
        return None
    g = give(shaft, at=number(float(at)))
    return float(sag), float(hung) * GRAVITY * float(g.clamped if held == "clamped" else g.held)


def as_measured(reading: Reading, values: Mapping[str, Value]) -> tuple[Built, Lower]:
    """Return the shaft for one value of every entry, its strengths lowered by what was measured, and by how much.

    Raises
    ------
    InputError
        with every fault of the file; where what was measured can't be of the oar that is told.
    """
    built = assemble(reading, values)
    if not any(path.startswith("measured.") for path in reading.entries):
        return built, NOTHING
    told = _told(reading, built.shaft)
    return lower(built, told), told


def lower(built: Built, told: Lower) -> Built:
    """Return the shaft with its strengths divided once more, and that said among what is taken for granted."""
    if told.words is None:
        return built
    return replace(
        built, own=built.own * told.divisor, lowered=told.divisor, assumptions=(*built.assumptions, told.words)
    )


def _told(reading: Reading, shaft: Shaft) -> Lower:
    """Return what sag and weight say of the strength, the worse of both: never more than the table's."""
    from shaftcheck.studies.bench import exponent_of_stiffness, strength_told
    from shaftcheck.wood_relations import RELATIONS

    hard = bool(float(shaft.pieces[-1].wood.hardwood))
    system, found = reading.system, [NOTHING]
    sags = sags_of(reading, shaft)
    if sags is not None:
        sag, computed = sags
        stiffness = _plausible(reading, "sag", computed / sag, SOFTEST, STIFFEST, show(computed, "length", system))
        if stiffness < 1.0:
            left = strength_told(k_E=number(stiffness), n=number(exponent_of_stiffness(hard)[0]))
            words = "as measured, it sags {told} where {computed} is computed: every strength is taken {less} lower"
            found.append(_lower(float(left), words, sized(sag), sized(computed)))
    weight = reading.entries.get("measured.weight")
    if weight is not None and weight.value is not None:
        mass, computed = float(weight.value), float(whole(shaft).mass)
        blade = reading.entries.get("oar.blade_weight")
        if blade is None or blade.value is None:
            computed -= BLADE_OFF * float(shaft.blade.mass)
        part = _plausible(reading, "weight", mass / computed, LIGHTEST, HEAVIEST, show(computed, "mass", system))
        if part < 1.0:
            relation = RELATIONS["bending", "12 %", "hardwood" if hard else "softwood"]
            words = "as measured, it weighs {told} where {computed} is computed: every strength is taken {less} lower"
            found.append(_lower(part**relation.exponent, words, sized(mass, "mass"), sized(computed, "mass")))
    return max(found, key=lambda f: f.divisor)


def _lower(left: float, words: str, told: Size, computed: Size) -> Lower:
    divisor = math.ceil(1000.0 / left - 1e-9) / 1000.0
    return Lower(divisor, said(words, told=told, computed=computed, less=percent(1.0 - 1.0 / divisor, "up")))


def _plausible(reading: Reading, key: str, ratio: float, low: float, high: float, computed: str) -> float:
    """Return a ratio of what was measured to what is computed, within what a board can be.

    Where sizes are unknown, one of them may be at fault: then it is held to that.

    Raises
    ------
    InputError
        if no board is like that.
    """
    if low <= ratio <= high or any(e.options for e in reading.entries.values()):
        return min(max(ratio, low), high)
    entry = reading.entries[f"measured.{key}"]
    wrong = f"'{entry.text}', where {computed} is computed: no sound board differs so much from its kind"
    raise InputError(reading.name, [Fault(entry.path, wrong, "measure it and the sizes again")])
