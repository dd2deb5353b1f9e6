"""The locker of a shaft file: what the oar's pieces are to go into."""

from __future__ import annotations

import math
from contextlib import suppress

from shaftcheck.border.fit import Fits, Values
from shaftcheck.border.hints import needed
from shaftcheck.border.keys import TABLES
from shaftcheck.border.shaftfile import Reading
from shaftcheck.errors import AbsentError, Fault
from shaftcheck.said import Said, said, sized
from shaftcheck.stow import Locker

__all__ = ["locker_of"]

_SIZES = ("length", "width", "height")
_OPENING = ("hatch_length", "hatch_width")
_HATCHES = {
    "top open": (),
    "end": _OPENING,
    "top": (*_OPENING, "hatch_from_end"),
    "side": (*_OPENING, "hatch_from_end"),
}
"""what there is to be told of each way to open it"""


def locker_of(reading: Reading, v: Values, fits: Fits, assumed: list[Said]) -> Locker | None:
    """Return the locker that a shaft file tells, sizes that are unknown as nan; None where none is told.

    Parameters
    ----------
    assumed : where what is taken is noted
    """
    keys = TABLES["locker"]
    given = {key for key in keys if f"locker.{key}" in reading.entries}
    if not given:
        return None
    with suppress(AbsentError):
        word = v.word("locker.hatch")
        theirs = _HATCHES.get(str(word), ())
        for key in keys:
            wanted = key in (*_SIZES, "hatch") or key in set(_OPENING) & set(theirs)
            where = f"a hatch in its {word}" if key.startswith("hatch_") else "a locker"
            if wanted and key not in given:
                wrong = f"needed for {where} ({keys[key].help})"
                fits.faults.append(Fault(f"locker.{key}", wrong, needed(key, keys[key], reading.told)))
            if word is not None and key.startswith("hatch_") and key in given - set(theirs):
                wrong = f"told, and hatch = '{word}' has no such size"
                fits.faults.append(Fault(f"locker.{key}", wrong, "leave one of the two out"))
        return _locker(word, theirs, given, v, fits, assumed)
    return None


def _locker(
    word: str | None, theirs: tuple[str, ...], given: set[str], v: Values, fits: Fits, assumed: list[Said]
) -> Locker:
    length, width, height, opening, broad, at = (
        math.nan if (size := v.get(f"locker.{k}")) is None else size for k in (*_SIZES, *_OPENING, "hatch_from_end")
    )
    if "hatch_from_end" in theirs and "hatch_from_end" not in given and not math.isnan(length + opening):
        at = (length - opening) / 2.0
        assumed.append(said(TABLES["locker"]["hatch_from_end"].why, taken=sized(at)))
    if theirs and (opening > length or at < 0.0 or at + opening > length * (1.0 + 1e-9)) and word != "end":
        fits.faults.append(Fault("locker.hatch_length", "reaches beyond the locker", "measure the opening inside"))
    return Locker(
        length=length,
        width=width,
        height=height,
        hatch=word or "",
        hatch_length=opening,
        hatch_width=broad,
        beyond=length - at,
    )
