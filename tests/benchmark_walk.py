"""How long 100,000 candidates take, and how much room: a takedown at every place, in many overlaps, all checks.

Run it by hand on a quiet machine: `python tests/benchmark_walk.py`. It prints the time of a candidate at 1,000, 10,000
and 100,000 candidates, and the most memory that the process had so far. It fails nothing.
"""

from __future__ import annotations

import resource
import sys
import time

import numpy as np
from test_where import TAKEDOWN, built

from shaftcheck import engine
from shaftcheck.beam import Beam, mesh
from shaftcheck.loads import loaded
from shaftcheck.model import number
from shaftcheck.sections import at as sections_at
from shaftcheck.studies import placing

OVERLAPS = 20


def finer(doc: dict[str, object]) -> dict[str, object]:
    """Return the tables with a section every 130 mm, so that there are more than 200 stations to check at."""
    shaft = built(doc)
    x = np.arange(0.0, 2.06, 0.13)
    depth, width, _, _ = sections_at(x[None, :], shaft.stations)
    sections = [{"at": f"{a * 1000:.1f} mm", "fore_and_aft": f"{d * 1000:.6f} mm", "up_and_down": f"{w * 1000:.6f} mm"}
                for a, d, w in zip(x, depth[0], width[0], strict=True)]  # fmt: skip
    last = {"at": "2.06 m", "fore_and_aft": "40 mm", "up_and_down": "37 mm"}
    return {**doc, "section": [*sections, last], "duty": {"boat_speed": "1.5 m/s", "levering": "by hand"}}


def main() -> None:
    """Walk the candidates and print what it took."""
    shaft = built(finer(TAKEDOWN))
    place = placing.jointed(shaft, 0)
    one = loaded(place(number([1.3]), number([0.26])).shaft)
    rows = engine.run(one)
    print(f"{mesh(one.shaft).shape[-1]} stations, {len(one.cases)} load cases, {len(rows)} comparisons")  # noqa: T201
    counts = [int(a) for a in sys.argv[1:]] or [1000, 10000, 100000]
    for n in counts:
        at, overlap = np.linspace(0.95, 1.6, n // OVERLAPS), np.linspace(0.16, 0.30, OVERLAPS)

        def build(i: np.ndarray, k: np.ndarray, at: np.ndarray = at, overlap: np.ndarray = overlap) -> Beam:
            return loaded(place(at[i], overlap[k]).shaft, np.ones(len(i)))

        start, cpu = time.perf_counter(), time.process_time()
        found = engine.governing((n // OVERLAPS, OVERLAPS), build)
        took, worked = time.perf_counter() - start, time.process_time() - cpu
        room = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024.0
        print(  # noqa: T201
            f"{n:7d} candidates: {took:8.1f} s, {took / n * 1e3:.3f} ms each ({worked / n * 1e3:.3f} ms of the "
            f"processor), at most {room:.0f} MiB; {int(found.holds.sum())} hold",
            flush=True,
        )


if __name__ == "__main__":
    main()
