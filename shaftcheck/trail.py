"""One shaft run again while someone listens, so that what its comparisons came from can be shown."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

import numpy as np

from shaftcheck import engine
from shaftcheck.beam import Beam
from shaftcheck.border.wood_cards import WoodCard
from shaftcheck.checks.compare import Use
from shaftcheck.formula import Log, listen
from shaftcheck.frozen import frozen
from shaftcheck.inputs import lifted
from shaftcheck.loads import loaded
from shaftcheck.model import Shaft
from shaftcheck.trace import Sym, given

__all__ = ["Trail", "trail"]


@frozen
class Trail:
    """A shaft under its loads with its comparisons, every number of which remembers where it came from."""

    beam: Beam
    uses: tuple[Use, ...]
    log: Log

    def place(self, check: str, case: str, x: float) -> tuple[Use, tuple[int, int]]:
        """Return a comparison and the row and point of it that has a case and lies at x (the worst of several).

        Raises
        ------
        LookupError
            if there is none.
        """
        found: list[tuple[float, float, Use, tuple[int, int]]] = []
        for u in self.uses:
            if u.check != check:
                continue
            places, use = np.broadcast_arrays(np.asarray(u.x), np.asarray(u.use))
            rows = u.cases if u.cases is not None else tuple(range(use.shape[-2]))
            named = [case in ("", self.beam.cases[i].key) or use.shape[-2] == 1 for i in rows]
            far = np.where(np.asarray(named)[:, None], np.abs(places - x), np.inf)
            near = far <= far.min() + 1e-9
            worst = np.where(near, np.nan_to_num(use, nan=np.inf if np.isnan(use[near]).all() else -1.0), -np.inf)
            row, point = np.unravel_index(int(worst.argmax()), worst.shape)
            value = float(np.nan_to_num(use[row, point], nan=-1.0))
            found.append((float(far[row, point]), -value, u, (int(row), int(point))))
        if not found:
            raise LookupError(f"no comparison '{check}' here")
        _, _, use_, at = min(found, key=lambda f: f[:2])
        return use_, at


def trail(shaft: Shaft, own: float, x: Sequence[float], woods: Mapping[str, WoodCard] | None = None) -> Trail:
    """Return what a single shaft's comparisons came from, at given places.

    Parameters
    ----------
    own : what the user divides each strength by [-]
    x : where, from the handle end; a check that has points of its own keeps them [m]
    woods : cards of the woods by name, for the printed source of each figure
    """
    with listen() as log:
        named, divisor = lifted(shaft, own, woods or {})
        beam = loaded(named, divisor)
        places = given(np.array([list(x)]), Sym("x", "m", "from the handle end"), "the place that governs")
        uses = tuple(engine.uses(beam, places))
    return Trail(beam=beam, uses=uses, log=log)
