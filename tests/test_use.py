"""Use is 1 over the factor on the variable loads at which a check is just met: so for every comparison that there is.

The shafts are the examples and those of the twins, which has one for every comparison; so a new check can't be
forgotten: it must land on its limit in one of them, or stand below with the reason why no load moves it.
"""

from __future__ import annotations

import tomllib
from pathlib import Path

import pytest
from test_cli import OF_EITHER
from test_ends import BOX
from test_flaws import ASH, PLUGGED, RIG, flawed
from test_properties import lands
from test_shaftfile import JOINTED, Doc
from test_takedown import HOLLOW as HOLLOW_TAKEDOWN
from test_takedown import TUBE_ON_ONE
from test_takedown import doc as takedown
from test_twins import MEMBER
from test_twins_hinge import TWINS

from shaftcheck.beam import mesh
from shaftcheck.border.assemble import assemble
from shaftcheck.border.shaftfile import read
from shaftcheck.checks import ALWAYS, JOINTS, cradle
from shaftcheck.checks.compare import NOT_CHECKED
from shaftcheck.engine import uses
from shaftcheck.loads import loaded
from shaftcheck.model import Shaft, number

EXAMPLES = sorted((Path(__file__).parent.parent / "examples").glob("*.toml"))
DOCS: dict[str, Doc] = {
    **{path.stem: tomllib.loads(path.read_text(encoding="utf-8")) for path in EXAMPLES},
    **OF_EITHER,
    **{f"twin, {name}": next(v for v in row if isinstance(v, dict)) for name, row in (MEMBER | TWINS).items()},
    "takedown, button": takedown({"held_by": "button", "button_depth": "18 mm"}),
    "takedown, clamp": takedown({"held_by": "clamp", "clamp_slips_at": "900 N"}),
    "takedown, one half": takedown(TUBE_ON_ONE),
    "takedown, glued": takedown({**TUBE_ON_ONE, "stays_on_by": "glue"}),
    "takedown, open": takedown({"gap": "9 mm"}),
    "takedown, hollow": takedown({"plug": "300 mm"}, **HOLLOW_TAKEDOWN),
    "plugged": PLUGGED,
    "box": BOX,
    "repair": JOINTED,
    **{
        kind: flawed(RIG, kind, "1.10 m", "1.13 m", face="aft", **sizes)
        for kind, sizes in {
            "dent": {"width": "9 mm", "depth": "4 mm"}, "tack holes": {"width": "6 mm", "depth": "8 mm"},
            "knot": {"width": "9 mm"}, "leather": {}, "ferrule": {},
        }.items()
    },
    **{
        f"{kind}, {start}": flawed(doc, kind, start, end, face="aft", **sizes)
        for kind, sizes in {
            "dent": {"width": "9 mm", "depth": "4 mm"}, "tack holes": {"width": "6 mm", "depth": "8 mm"},
            "knot": {"width": "9 mm"},
        }.items()
        for doc, start, end in ((ASH, "670 mm", "700 mm"), (RIG, "510 mm", "540 mm"), (RIG, "890 mm", "920 mm"))
    },
}  # fmt: skip
NOTHING_MOVES = {
    **{
        f"{half} cradle, {rule}": why
        for half in ("inner", "outer")
        for rule, why in {
            "standing clamp": "the clamp alone, a permanent load",
            "what the link is fixed to": "told, or not checked",
            "bolt from the end": "a distance",
            "bolt from the edge": "a distance",
        }.items()
    },
    "scarf, glue kind": "told, or not checked",
    "scarf, bonding": "told, or not checked",
    "scarf, clear of the lock": "a place",
    "scarf, clear of other joints": "a place",
    "takedown, held together": "told, or not checked",
    "takedown, solid inside": "a length of plug",
    "takedown, pins from the end": "a distance",
    "takedown, pins from the edge": "a distance",
    "takedown, clear of the lock": "a place",
    "takedown, clear of other joints": "a place",
    "leather, clear of the cradles": "a place",
    "ferrule, clear of the cradles": "a place",
}
"""comparisons that no factor on the variable loads moves, with the reason"""


def shaft(doc: Doc) -> tuple[Shaft, float]:
    """The shaft of a file, as changed where it tells a change; unknown inputs at the first that they may be."""
    reading = read({k: v for k, v in doc.items() if k != "change"}, "use")
    values = {p: e.options[0] if e.value is None and e.options else e.value for p, e in reading.entries.items()}
    built = assemble(reading, {p: v for p, v in values.items() if v is not None})
    return built.shaft, built.own


@pytest.mark.long
def test_every_comparison_lands_on_its_limit() -> None:
    landed: set[str] = set()
    names: set[str] = set()
    known: set[str] = set()
    for doc in DOCS.values():
        oar, own = shaft(doc)
        beam = loaded(oar, number(own))
        x = mesh(oar, 3)
        found = uses(beam, x)
        known |= {u.check for u in found}
        names |= {u.check for u in found if u.kind != NOT_CHECKED}
        landed |= lands(beam, x, NOTHING_MOVES)
    assert known >= {*ALWAYS, *cradle.DECLARES, *(name for kind in JOINTS.values() for name in kind.declares)}
    assert set(names) == landed | set(NOTHING_MOVES), "a new comparison lands here, or tells why no load moves it"
    assert not landed & set(NOTHING_MOVES)
    assert len(landed) > 60
