"""Joints that are there and that no check reaches: each stands in the result as not known."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

import numpy as np

from shaftcheck.beam import Beam
from shaftcheck.checks.compare import Use, settled_use
from shaftcheck.checks.joint import JointKind, Marking, Note, Setting
from shaftcheck.checks.placed import clear
from shaftcheck.key import Key
from shaftcheck.model import Hinged, Joint, Shaft, number
from shaftcheck.said import Said, said, sized

__all__ = ["REPAIR", "known_only"]

KEYS = {
    "from": Key(kind="length", help="from handle end to its inner end", example="1.02 m", high=8.0),
    "to": Key(kind="length", help="from handle end to its outer end", example="1.56 m", high=8.0),
}


def known_only(kind: str) -> JointKind:
    """Return a kind of joint that is known to be there and that the method does not reach."""

    def build(s: Setting) -> Joint | None:
        start, end = float(s.size("from") or 0.0), float(s.size("to") or 0.0)
        if end <= start:
            s.fault("to", "not beyond its 'from'", "give both from the handle end, the inner one first")
        if end > s.length * (1 + 1e-12):
            s.fault("to", "past the tip", said("write at most {tip}", tip=sized(s.length, side="down")))
        return Joint(kind=kind, start=number(start), end=number(end))

    def check(beam: Beam, j: Joint) -> Iterator[Use]:
        place = (j.start + j.end)[..., None, None] / 2.0
        yield settled_use(
            check=kind,
            x=place,
            open_=np.full(place.shape, True),
            source="none",
            unknown=f"the check of a {kind}: the method does not reach it",
        )
        if isinstance(beam.shaft.rig, Hinged):
            for u in clear(beam, j, place[..., 0, 0], "nothing clamps over it, FAA AC 43.13-1B (1998) 1-40"):
                if u.check.endswith("the lock"):
                    yield replace(u, check=f"{kind}, clear of the cradles")

    def told(beam: Beam, j: Joint) -> Iterator[Note]:
        yield from ()

    def variants(shaft: Shaft, j: Joint, stride: float) -> Iterator[tuple[Said, Joint]]:
        yield from ()

    def marks(j: Joint) -> Iterator[Marking]:
        yield Marking(x=float(j.start), what=f"{kind} begins", faces="all round")
        yield Marking(x=float(j.end), what=f"{kind} ends", faces="all round")

    return JointKind(
        kind=kind, keys=KEYS, build=build, declares=(kind,), check=check, told=told, variants=variants, marks=marks
    )


REPAIR = known_only("repair")
