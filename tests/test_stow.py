"""What goes into a locker: against rectangles turned and slid by brute force, and odd files."""

from __future__ import annotations

import math
from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely import affinity
from shapely.geometry import LineString, Polygon
from shapely.geometry import box as rectangle
from test_shaftfile import HINGED, PLAIN, Doc, edit, faults, toml
from test_takedown import TUBE_ON_ONE
from test_takedown import doc as takedown

from shaftcheck.answer import Answer, answer, answer_doc
from shaftcheck.cli import main
from shaftcheck.model import number
from shaftcheck.show.record import record
from shaftcheck.show.table import full
from shaftcheck.stow import Bar, Locker, lies, tilted, together

NAN = math.nan


def locker(length: float, width: float, height: float, hatch: str = "top open", **opening: float) -> Locker:
    sizes = {"hatch_length": NAN, "hatch_width": NAN, "beyond": length} | opening
    return Locker(length=length, width=width, height=height, hatch=hatch, **sizes)


def bar(length: float, wide: float = 0.04, thick: float = 0.03) -> Bar:
    return Bar(name="piece", length=length, wide=wide, thick=thick)


# --------------------------------------------------------------------------------------------- by turning and sliding


@pytest.mark.source("a rectangle turned in 20000 steps until its upright bounds fit")
@settings(max_examples=60)
@given(p=st.floats(0.3, 2.0), q=st.floats(0.05, 1.0), c=st.floats(0.01, 0.3), more=st.floats(1.001, 1.5))
def test_a_rectangle_in_a_rectangle(p: float, q: float, c: float, more: float) -> None:
    length = p * more
    if q > p or c > length or length * length + c * c - p * p < 0:
        return
    turn = np.linspace(0.0, np.pi / 2.0, 200001)
    inside = length * np.cos(turn) + c * np.sin(turn) <= p
    if not inside.any():
        return
    least = (length * np.sin(turn) + c * np.cos(turn))[inside].min()
    found = float(tilted(p=number(p), l=number(length), c=number(c)))
    if least <= p:  # wider than long, it would be the other way about
        assert found == pytest.approx(least, rel=1e-3)
    else:
        assert found > p


def corners(b: Bar) -> np.ndarray:
    signs = np.array([[x, y, z] for x in (-1, 1) for y in (-1, 1) for z in (-1, 1)])
    return signs * np.array([b.length, b.wide, b.thick]) / 2.0


def turned(series: int, n: int) -> np.ndarray:
    """Return turns in space, evenly spread (Shoemake's way by unit quaternions)."""
    q = np.random.default_rng(series).normal(size=(n, 4))
    w, x, y, z = (q / np.linalg.norm(q, axis=1, keepdims=True)).T
    return np.moveaxis(np.array([
        [1 - 2 * (y * y + z * z), 2 * (x * y - z * w), 2 * (x * z + y * w)],
        [2 * (x * y + z * w), 1 - 2 * (x * x + z * z), 2 * (y * z - x * w)],
        [2 * (x * z - y * w), 2 * (y * z + x * w), 1 - 2 * (x * x + y * y)]]), -1, 0)  # fmt: skip


def goes_in_some_way(b: Bar, box: tuple[float, float, float]) -> bool:
    """Whether some turn in space puts a bar inside a box: random turns, the best of them turned further."""
    at = corners(b)

    def short(turns: np.ndarray) -> np.ndarray:
        placed = at @ np.swapaxes(turns, 1, 2)
        return (np.ptp(placed, axis=1) - np.array(box)).max(axis=1)

    turns = turned(1, 6000)
    best = turns[np.argsort(short(turns))[:40]]
    for step in 0.3 * 0.75 ** np.arange(36):
        spin = turned(int(step * 1e9), 40)
        skew = step * (spin - np.swapaxes(spin, 1, 2)) / 2.0
        small, _ = np.linalg.qr(np.eye(3) + skew)
        small = small * np.sign(np.diagonal(small, axis1=1, axis2=2))[:, None, :]
        tried = np.concatenate([best, (small[:, None] @ best[None]).reshape(-1, 3, 3)])
        best = tried[np.argsort(short(tried))[:40]]
    return bool(short(best)[0] <= 1e-6)


BOXES = [(1.2, 0.4, 0.3), (0.9, 0.9, 0.2), (1.0, 0.6, 0.5)]


@pytest.mark.source("a bar turned every way in space, without the geometry of stow.py")
@pytest.mark.parametrize("box", BOXES)
@pytest.mark.parametrize("section", [(0.045, 0.045), (0.14, 0.04), (0.2, 0.15)])
def test_what_lies_in_an_open_locker_goes_in_some_way(box: Any, section: tuple[float, float]) -> None:
    longest = lies(bar(9.0, *section), locker(*box)).longest
    assert longest > max(box) - 1e-9
    assert goes_in_some_way(bar(longest - 1e-4, *section), box)
    # no more than a tenth is given away against the best that turning finds
    assert not goes_in_some_way(bar(1.1 * longest, *section), box)


def test_flat_on_the_diagonal_and_not() -> None:
    """A thin bar in 1.2 by 0.5 by 0.05 m: 1.2 flat, up to near 1.3 (the diagonal of 5, 12, 13) tilted."""
    low = locker(1.2, 0.5, 0.05)
    assert lies(bar(1.2, 0.04, 0.04), low).way == "flat"
    tilt = lies(bar(1.201, 0.001, 0.001), low)
    assert tilt.way == "on the diagonal"
    assert tilt.longest == pytest.approx(math.hypot(1.3, 0.05), abs=2e-3)
    assert lies(bar(1.31, 0.001, 0.001), low).way == ""
    assert lies(bar(0.5, 0.2, 0.06), low).way == ""
    assert lies(bar(0.5, 0.6, 0.06), low).longest == 0.0


def slides_in(length: float, thick: float, room: Locker, off: float) -> bool:
    """Whether a rectangle slides over a hatch's edge and drops in, seen from the side, at 600 places of its way.

    Its lower edge slides so far off the hatch's edge. Then its tail goes down: off the edge, by turning about its far
    corner; close to it, straight down until it is under the deck, and back from there as the far end needs.
    """
    back = room.length - room.beyond
    walls = Polygon([(0, 0), (room.length, 0), (room.length, -room.height), (0, -room.height)]).buffer(1e-7)
    deck = LineString([(-9.0, 0.0), (back, 0.0)]), LineString([(back + room.hatch_length, 0.0), (room.length + 9, 0.0)])
    below = rectangle(-9.0, -9.0, 9.0, -1e-9)

    def clear(far: tuple[float, float], angle: float) -> bool:
        """The lower far corner is there; it rises to the left."""
        piece = affinity.rotate(rectangle(far[0] - length, far[1], far[0], far[1] + thick), -math.degrees(angle),
                                origin=far)  # fmt: skip
        inside = piece.intersection(below)
        return walls.covers(inside) and not any(piece.intersection(part).length > 1e-7 for part in deck)

    for s in np.linspace(1e-3, length, 400):
        angle = math.asin(min(room.height / s, 1.0))
        if not clear((back + off + s * math.cos(angle), -s * math.sin(angle)), angle):
            return False
    if length <= room.height:
        return True  # it stands inside, and may fall over
    under = next(turn for turn in np.linspace(angle, 0.0, 2000)
                 if length * math.sin(turn) + thick * math.cos(turn) <= room.height)  # fmt: skip
    far = back + off + length * math.cos(angle)
    if off == thick:
        return all(clear((far, -room.height), turn) for turn in np.linspace(angle, under, 200))
    dropped = [(back + off + length * math.cos(turn), turn) for turn in np.linspace(angle, under, 200)]
    lain = [(min(max(dropped[-1][0], off + length * math.cos(turn)), room.length - thick * math.sin(turn)), turn)
            for turn in np.linspace(under, 0.0, 50)]  # fmt: skip
    if length > math.sqrt(room.length**2 - thick**2):
        lain = []  # it stays on the slant
    return all(clear((x, -room.height), turn) for x, turn in (*dropped, *lain))


@pytest.mark.source("a rectangle slid through an opening step by step, by a geometry library")
@pytest.mark.parametrize("beyond", [0.9, 1.3])
@pytest.mark.parametrize("opening", [0.25, 0.5])
@pytest.mark.parametrize("height", [0.25, 0.4])
def test_what_goes_through_a_hatch_slides_in(opening: float, height: float, beyond: float) -> None:
    room = locker(1.3, 0.4, height, "top", hatch_length=opening, hatch_width=0.3, beyond=beyond)
    for wide, thick in ((0.05, 0.05), (0.14, 0.045)):
        longest = lies(bar(9.0, wide, thick), room).longest
        assert longest > height
        for length in np.linspace(0.5, 1.0, 6) * (longest - 1e-4):
            assert any(slides_in(float(length), thick, room, off) for off in (thick, 1e-7))
        # what no way of sliding can do: its middle line does not pass between the hatch's edges
        angle = np.linspace(1e-3, math.pi / 2.0, 9999)
        more = 1.35 * longest
        passes = (
            (thick / np.sin(angle) <= opening) & (more * np.cos(angle) <= beyond) & (more * np.sin(angle) <= height)
        )
        assert not passes.any()


def test_a_hatch_too_narrow_and_one_that_lets_it_in() -> None:
    room = {"hatch_length": 0.5, "beyond": 1.2}
    blade = bar(1.0, 0.15, 0.04)
    assert lies(blade, locker(1.2, 0.4, 0.3, "top", hatch_width=0.16, **room)).way == "flat"
    assert lies(blade, locker(1.2, 0.4, 0.3, "top", hatch_width=0.03, **room)).longest == 0.0
    on_edge = lies(blade, locker(1.2, 0.4, 0.3, "top", hatch_width=0.05, **room))
    assert on_edge.longest == pytest.approx(1.0)  # as 0.15 is to the opening's 0.5, so is the height to the length
    assert lies(blade, locker(1.2, 0.3, 0.4, "side", hatch_width=0.16, **room)).way == "flat"
    end = {"hatch_length": 0.05, "hatch_width": 0.16}
    assert lies(blade, locker(1.2, 0.4, 0.3, "end", **end)).way == "flat"
    assert lies(bar(1.21, 0.15, 0.04), locker(1.2, 0.4, 0.3, "end", **end)).way == ""
    assert lies(blade, locker(1.2, 0.4, 0.3, "end", hatch_length=0.05, hatch_width=0.1)).way == ""


def test_a_hatch_in_the_middle_is_worse_than_one_at_the_end() -> None:
    def longest(beyond: float) -> float:
        room = locker(1.3, 0.4, 0.3, "top", hatch_length=0.4, hatch_width=0.3, beyond=beyond)
        return lies(bar(9.0), room).longest

    assert longest(0.85) < longest(1.2) < longest(1.3)


def test_all_at_once() -> None:
    room = locker(1.2, 0.19, 0.06)
    assert together([bar(1.1, 0.14, 0.05), bar(1.1, 0.05, 0.05)], room)
    assert not together([bar(1.1, 0.15, 0.05), bar(1.1, 0.05, 0.05)], room)
    assert together([bar(1.1, 0.15, 0.05), bar(1.1, 0.06, 0.06)], locker(1.2, 0.16, 0.11))
    assert not together([bar(1.21, 0.05, 0.05), bar(0.5, 0.05, 0.05)], room)


@settings(max_examples=60)
@given(length=st.floats(0.2, 2.0), wide=st.floats(0.02, 0.2), thick=st.floats(0.02, 0.2), more=st.floats(1.0, 1.5),
       hatch=st.sampled_from(["top open", "top", "side", "end"]))  # fmt: skip
def test_more_room_never_takes_less(length: float, wide: float, thick: float, more: float, hatch: str) -> None:
    def longest(k: float) -> float:
        room = locker(1.1 * k, 0.4 * k, 0.3 * k, hatch, hatch_length=0.5 * k, hatch_width=0.25 * k, beyond=1.0 * k)
        return lies(bar(length, wide, thick), room).longest

    assert longest(more) >= longest(1.0) - 1e-9
    smaller = lies(bar(length, wide * 0.9, thick * 0.9), locker(1.1, 0.4, 0.3, hatch, hatch_length=0.5,
                                                                hatch_width=0.25, beyond=1.0)).longest  # fmt: skip
    assert smaller >= longest(1.0) - 1e-9


# ----------------------------------------------------------------------------------------------------- in a shaft file

OPEN = {"length": "1.42 m", "width": "400 mm", "height": "300 mm", "hatch": "top open"}


def asked(room: Doc | None, joint: Doc | None = None, base: Doc | None = None) -> Answer:
    doc = takedown(joint) if base is None else base
    return answer_doc(doc if room is None else {**doc, "locker": room}, "oar.toml")


def test_pieces_of_a_takedown() -> None:
    """By hand: 2.40 m halved at 1.30 m; a sleeve of 380 by 43.9 + 2 x 1.7 mm; the blade is 130 mm wide."""
    a = asked(None)
    found = {p.bar.name: (p.bar.length, p.bar.wide, p.bar.thick) for p in a.oars[0].stowed.pieces}
    assert found["inner half"] == pytest.approx((1.30, 0.044, 0.044))
    assert found["outer half"] == pytest.approx((1.10, 0.130, 0.044))
    assert found["sleeve"] == pytest.approx((0.380, 0.0473, 0.0473))
    one = asked(None, {**TUBE_ON_ONE, "gap": "10 mm"})
    found = {p.bar.name: (p.bar.length, p.bar.wide, p.bar.thick) for p in one.oars[0].stowed.pieces}
    assert found["inner half"] == pytest.approx((1.295, 0.044, 0.044))
    assert found["outer half"] == pytest.approx((2.40 - 1.30 + 0.195, 0.130, 0.044))
    assert "sleeve" not in found
    assert [p.bar.name for p in answer_doc(PLAIN, "x").oars[0].stowed.pieces] == ["oar"]
    halves = answer_doc(HINGED, "x").oars[0].stowed.pieces
    assert [p.bar.length for p in halves] == pytest.approx([0.690, 2.46 - 0.693])


@pytest.mark.parametrize(("room", "state", "words"), [
    ({}, "STOWS", "stows flat with 120 mm to spare"),
    ({"length": "1.28 m"}, "STOWING NOT SETTLED", "stows on the diagonal"),
    ({"length": "1.10 m", "width": "250 mm", "height": "200 mm"}, "DOES NOT STOW", "mm too long"),
    ({"width": "120 mm", "height": "120 mm"}, "DOES NOT STOW", "too wide or too thick"),
    ({"width": "135 mm", "height": "90 mm"}, "STOWS", "stows flat"),
    ({"width": "135 mm", "height": "86 mm"}, "STOWING NOT SETTLED", "each goes in alone"),
    ({"length": "unknown"}, "STOWING NOT SETTLED", "unknown"),
    ({"hatch": "top", "hatch_length": "400 mm", "hatch_width": "200 mm", "hatch_from_end": "0 mm"}, "STOWS", "flat"),
    ({"hatch": "top", "hatch_length": "400 mm", "hatch_width": "200 mm"}, "DOES NOT STOW", "too long"),
    ({"hatch": "end", "hatch_length": "60 mm", "hatch_width": "140 mm"}, "STOWS", "flat"),
])  # fmt: skip
def test_the_verdict_of_stowing(room: Doc, state: str, words: str) -> None:
    a = asked({**OPEN, **room})
    assert a.oars[0].stowed.state == state
    assert words in "; ".join(a.oars[0].stowed.words)
    text = " ".join(full(a).split())
    assert f"{state}. " in text
    r = record(a)["oars"][0]["stowed"]
    assert r["verdict"] == state
    assert r["words"] == list(a.oars[0].stowed.words)
    assert asked(None).state == a.state, "stowing says nothing of strength"
    if "hatch" in room and "hatch_from_end" not in room and room["hatch"] == "top":
        assert "hatch is in the middle of its length, 510 mm" in text


def test_the_exit_code_says_what_does_not_stow(tmp_path: Any, capsys: pytest.CaptureFixture[str]) -> None:
    path = tmp_path / "oar.toml"
    for length, code in (("2.47 m", 0), ("2.2 m", 1)):
        path.write_text(toml({**PLAIN, "locker": {**OPEN, "length": length, "width": "200 mm", "height": "100 mm"}}))
        assert main(["check", str(path)]) == code
        assert "HOLDS\nIt holds" in capsys.readouterr().out
    assert answer(toml(PLAIN), "x").oars[0].stowed.state == ""


@pytest.mark.parametrize(("room", "words"), [
    ({"length": "1.2 m"}, "locker.width: needed for a locker"),
    ({"length": "1.2 m"}, "locker.hatch: needed for a locker"),
    ({**OPEN, "hatch": "top"}, "locker.hatch_width: needed for a hatch in its top"),
    ({**OPEN, "hatch_length": "300 mm"}, "hatch_length: told, and hatch = 'top open'"),
    ({**OPEN, "hatch": "end", "hatch_length": "9 cm", "hatch_width": "9 cm", "hatch_from_end": "1 cm"},
     "from_end: told"),
    ({**OPEN, "hatch": "top", "hatch_length": "1.5 m", "hatch_width": "30 cm"}, "reaches beyond"),
    ({**OPEN, "lenght": "1 m"}, "locker.lenght: not a key here; write length"),
])  # fmt: skip
def test_faults(room: Doc, words: str) -> None:
    assert any(words in line for line in faults(edit(PLAIN, ("locker", room))))
