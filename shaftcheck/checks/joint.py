"""What a kind of joint is made of. A new kind is one new file beside this one, and its line in `JOINTS`."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from contextlib import suppress
from importlib import import_module
from typing import Any, TypeVar

from shaftcheck.beam import Beam
from shaftcheck.checks.compare import Use
from shaftcheck.errors import AbsentError, Fault
from shaftcheck.frozen import frozen
from shaftcheck.key import Key, Value
from shaftcheck.model import Array, Bools, Joint, Shaft, Station
from shaftcheck.said import Dimension, Said

__all__ = [
    "SIXTEENTH",
    "Apart",
    "JointKind",
    "JointSize",
    "Kinds",
    "Marking",
    "Meets",
    "Moved",
    "Note",
    "Placing",
    "Setting",
    "Turned",
    "imported",
]


@frozen(eq=True)
class Note:
    """Something told of a joint, that fails nothing by itself."""

    grade: str
    """better so, caution, or marking out"""
    text: Said
    origin: str
    """its source, or 'common practice, no source', or 'judgement'"""


SIXTEENTH = 0.0254 / 16.0
"""a sixteenth of an inch, in which a joint's sizes are made in inches [m] (by definition)"""
T = TypeVar("T")


def _there(value: T | None) -> T:
    if value is None:
        raise AbsentError
    return value


@frozen(eq=True)
class Marking:
    """A line that a joint is marked out with on the wood."""

    x: float
    """from the handle end [m]"""
    what: str
    faces: str
    """on which faces it is drawn"""
    waste: str = ""
    """which side of it is sawn away; empty for a line that nothing is sawn at"""


@frozen(eq=True)
class Setting:
    """What a joint is built from: its own values (SI), the sections, and where its faults go.

    Raises
    ------
    AbsentError
        where something is asked for that has a fault of its own; what could be asked before was.
    """

    path: str
    values: Mapping[str, Value]
    bad: frozenset[str]
    """its keys that have a fault of their own"""
    shaft_stations: tuple[Station, ...] | None
    """None where the sections have a fault of their own; so the next two"""
    shaft_length: float | None
    shaft_neck: float | None
    faults: list[Fault]
    say: Callable[[Said | str], str]
    """shows a sentence, or examples of ours, in the units of the file"""
    tubes: Callable[[str], Mapping[str, float]] | None = None
    """what is known of a tube material by name, as "property, direction" in SI, nan where not known; "trust" is 1 where
    no value taken is of low trust; raises NotFoundError"""

    @property
    def stations(self) -> tuple[Station, ...]:
        """Return the sections of the shaft."""
        return _there(self.shaft_stations)

    @property
    def length(self) -> float:
        """Return the oar's length [m]."""
        return _there(self.shaft_length)

    @property
    def neck(self) -> float:
        """Return where the blade begins [m]."""
        return _there(self.shaft_neck)

    def has(self, key: str) -> bool:
        """Return whether a key is told."""
        return self._value(key) is not None

    def size(self, key: str) -> float | None:
        """Return a size of the joint [SI], or None."""
        value = self._value(key)
        return None if value is None else float(value)

    def word(self, key: str) -> str:
        """Return a choice of the joint; empty where it is not told."""
        return str(self._value(key) or "")

    def _value(self, key: str) -> Value | None:
        if key in self.bad:
            raise AbsentError
        return self.values.get(key)

    def must(self, holds: Callable[[], bool], key: str, wrong: str | Said, write: str | Said) -> None:
        """Note a fault of one key unless something holds; where that can't be asked, leave it."""
        with suppress(AbsentError):
            if not holds():
                self.fault(key, wrong, write)

    def fault(self, key: str, wrong: str | Said, write: str | Said) -> None:
        """Note a fault of one key; examples in what to write are metric, and shown in the units of the file."""
        said = self.say(wrong) if isinstance(wrong, Said) else wrong
        self.faults.append(Fault(f"{self.path}.{key}", said, self.say(write)))


@frozen
class Moved:
    """A joint elsewhere, or of another length; arrays of the places' shape."""

    joint: Joint
    barred: tuple[tuple[str, Bools], ...]
    """why it can't be there, and where"""
    inner: Array
    """length of the inner piece: apart, or as it is cut for a glued joint [m]"""
    outer: Array
    apart: bool
    """whether the pieces come apart again"""


@frozen(eq=True)
class Apart:
    """What a joint leaves when it is taken apart [m]."""

    inner_end: float
    """where the inner piece ends"""
    outer_start: float
    on_inner: float
    """outside diameter of what stays on the inner piece; 0 where nothing does"""
    on_outer: float
    loose: tuple[str, float, float] | None
    """what comes off both: its name, length and diameter"""


@frozen
class JointSize:
    """A size of a joint, or of what holds the shaft, of which can be asked how much it needs here [SI].

    A scarf's slope is asked for as its run over its rise, so that more is flatter.
    """

    key: str
    """of the shaft file"""
    told: float
    low: float
    """least and greatest that is tried"""
    high: float
    steps: tuple[float, float]
    """in which it is made: metric, and in inches"""
    checks: tuple[str, ...]
    """names of the comparisons that hang on it"""
    changed: Callable[[Shaft, Any, Array], tuple[Any, Bools]]
    """the joint, or the rig, with other values of it, arrays of one shape, and where it finds room"""
    dimension: Dimension = "length"
    """how it is shown"""
    together: bool = True
    """whether advice looks for it together with the joint's other sizes"""


@frozen(eq=True)
class Placing:
    """How a kind of joint is placed elsewhere."""

    middle: Callable[[Any], Array]
    """where it is [m]"""
    moved: Callable[[Shaft, Any, Array, Array], Moved]
    """the same joint with its middle at other places, and of another length where that is not nan [m]"""
    keys: Callable[[Any, bool], tuple[dict[str, float | str], tuple[str, ...]]]
    """of a joint as placed, arrays of one element, and whether its length is another: the keys of a shaft file that
    say it, lengths in SI, and those that fall away"""
    scale: Callable[[Shaft, Any, float], tuple[Array, tuple[str, ...]]]
    """of a joint of a single shaft, by a step: lengths worth trying at its place, the shortest first, (lengths,) [m],
    and what the trade calls each, where that is not its length"""


@frozen(eq=True)
class Meets:
    """Where within its length a kind of joint joins two woods."""

    key: str
    """of the shaft file, that tells the place"""
    beside: Callable[[Any], Array]
    """of a single joint: how far to either side of it they may end [m]"""


@frozen(eq=True)
class Turned:
    """Wood that is turned down for a joint, of a single shaft: on both sides of where its halves meet."""

    start: float
    """[m]"""
    end: float
    """[m]"""
    size: float
    """the round that it is turned to [m]"""
    tube: float
    """length of the tube that goes over it [m]"""


@frozen(eq=True)
class JointKind:
    """A kind of joint: its keys, how it is built, its checks, what is told of it, and what might be changed."""

    kind: str
    keys: Mapping[str, Key]
    build: Callable[[Setting], Joint | None]
    declares: tuple[str, ...]
    """names of the comparisons that every such joint must yield"""
    check: Callable[[Beam, Any], Iterator[Use]]
    told: Callable[[Beam, Any], Iterator[Note]]
    """of a single shaft, batch shape ()"""
    variants: Callable[[Shaft, Any, float], Iterator[tuple[Said, Joint]]]
    """the same joint changed in one thing, least change first, with the change in words; it is moved by whole strides,
    the number given [m]"""
    marks: Callable[[Any], Iterator[Marking]]
    """the lines to draw before the saw, of a single joint, batch shape ()"""
    meets: Meets | None = None
    """where two woods meet in it; None for anywhere in its length, of a kind that is never found to hold"""
    placing: Placing | None = None
    """how it is placed elsewhere; None where the method can't"""
    wedge: Callable[[Any], float] | None = None
    """slope of the wedge that the joint is sawn by, of a single joint, rise over run [-]; None where there is none"""
    sizes: Callable[[Any], Iterator[JointSize]] | None = None
    """of which can be asked how much the joint needs; of a single joint"""
    apart: Callable[[Any], Apart] | None = None
    """what a single joint leaves when it is taken apart; None where it is not"""
    turned: Callable[[Any], Turned] | None = None
    """what wood is turned down for a single joint; None where none is"""


def imported(place: str) -> Any:
    """Return what stands at a place, written `module:name`."""
    module, _, name = place.partition(":")
    return getattr(import_module(module), name)


class Kinds(Mapping[str, JointKind]):
    """Kinds of joint by name. A kind is imported when it is asked for: most shafts have no joint, or one."""

    def __init__(self, places: Mapping[str, str]) -> None:
        self._places = places

    def __getitem__(self, kind: str) -> JointKind:
        found: JointKind = imported(self._places[kind])
        return found

    def __contains__(self, kind: object) -> bool:
        return kind in self._places

    def __iter__(self) -> Iterator[str]:
        return iter(self._places)

    def __len__(self) -> int:
        return len(self._places)
