"""Load cases that a shaft must hold. One file a kind; a new kind is a new file and its line in `LOADS`."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence

from shaftcheck.beam import Beam, Case, build
from shaftcheck.loads import caught, lever, lift, pushoff, strokes
from shaftcheck.loads.statics import Places, places, still
from shaftcheck.model import Array, Shaft, number

__all__ = ["LOADS", "PULLED", "loaded"]

LOADS: tuple[Callable[[Shaft, Places], Iterator[Case]], ...] = (
    strokes.cases,
    caught.cases,
    pushoff.cases,
    lever.cases,
    lift.cases,
)
PULLED = (strokes.cases, caught.cases, lift.cases)
"""those that pulls bring about, or the hands on a caught blade; and lifting, which wears beside them"""


def loaded(
    shaft: Shaft, own: Array | None = None, kinds: Sequence[Callable[[Shaft, Places], Iterator[Case]]] = LOADS
) -> Beam:
    """Return the shaft under every load case that it must hold.

    Parameters
    ----------
    kinds : of load; all if not given
    own : what the user divides each strength by, on top of the ladder [-]; 1 if not given
    """
    at = places(shaft)
    cases = [case for kind in kinds for case in kind(shaft, at)]
    return build(shaft, cases, at, still(shaft, at), number(1.0) if own is None else own)
