"""Frozen classes do what those of the standard library do; they only cost less to make."""

from __future__ import annotations

import copy
import pickle
from collections.abc import Callable
from dataclasses import FrozenInstanceError, asdict, dataclass, field, fields, is_dataclass, replace
from typing import Any

import pytest

from shaftcheck.frozen import frozen

pytestmark = pytest.mark.source("dataclasses of the Python standard library, made beside each other")


@frozen(eq=True)
class Plank:
    """A plank."""

    length: float
    wood: str = "ash"
    marks: list[str] = field(default_factory=list)


@dataclass(frozen=True, slots=True, kw_only=True)
class SamePlank:
    """A plank."""

    length: float
    wood: str = "ash"
    marks: list[str] = field(default_factory=list)


@frozen(kw_only=False, eq=True)
class Pair:
    """Two."""

    a: int
    b: int = 2


@dataclass(frozen=True, slots=True)
class SamePair:
    """Two."""

    a: int
    b: int = 2


@frozen
class Shape:
    """Equal to itself alone."""

    x: float

    def __post_init__(self) -> None:
        if self.x < 0.0:
            raise ValueError("below zero")


@frozen
class Longer(Shape):
    """With one more."""

    y: float = 1.0


def outcome(make: Callable[[], Any]) -> Any:
    """Return the values of what is made, or the kind of its error."""
    try:
        return asdict(make())
    except TypeError:
        return TypeError


CALLS: list[tuple[tuple[Any, ...], dict[str, Any]]] = [
    ((), {}),
    ((), {"length": 1.0}),
    ((), {"length": 1.0, "wood": "oak", "marks": ["a"]}),
    ((), {"length": 1.0, "would": "oak"}),
    ((), {"wood": "oak"}),
    ((1.0,), {}),
    ((1,), {"length": 1.0}),
]
PAIRS: list[tuple[tuple[Any, ...], dict[str, Any]]] = [
    ((), {}), ((1,), {}), ((1, 3), {}), ((1, 2, 3), {}), ((1,), {"a": 1}), ((1,), {"b": 3}), ((), {"a": 1, "b": 3}),
    ((), {"b": 3}), ((1,), {"c": 3}),
]  # fmt: skip


@pytest.mark.parametrize(("args", "given"), CALLS)
def test_values_by_name(args: tuple[Any, ...], given: dict[str, Any]) -> None:
    assert outcome(lambda: Plank(*args, **given)) == outcome(lambda: SamePlank(*args, **given))


@pytest.mark.parametrize(("args", "given"), PAIRS)
def test_values_by_place(args: tuple[Any, ...], given: dict[str, Any]) -> None:
    assert outcome(lambda: Pair(*args, **given)) == outcome(lambda: SamePair(*args, **given))


def test_a_default_that_is_made_is_made_anew() -> None:
    one, other = Plank(length=1.0), Plank(length=1.0)
    assert one.marks == other.marks == []
    assert one.marks is not other.marks


def test_nothing_is_set_or_taken_away() -> None:
    for thing in (Plank(length=1.0), Pair(1), Shape(x=1.0), Longer(x=1.0)):
        for name in (*(f.name for f in fields(thing)), "other"):
            with pytest.raises(FrozenInstanceError):
                setattr(thing, name, 2.0)
            with pytest.raises(FrozenInstanceError):
                delattr(thing, name)


def test_equal_by_value_where_it_is_asked_for() -> None:
    assert Pair(1) == Pair(1, 2)
    assert Pair(1) != Pair(2)
    assert Pair(1) != SamePair(1)
    assert Pair(1) != (1, 2)
    assert len({Pair(1), Pair(1, 2), Pair(1, 3)}) == 2
    assert Shape(x=1.0) != Shape(x=1.0)
    shape = Shape(x=1.0)
    assert shape == shape
    assert len({shape, Shape(x=1.0)}) == 2


def test_the_tools_of_the_standard_library_work() -> None:
    plank = Plank(length=1.0, marks=["a"])
    assert is_dataclass(plank)
    assert replace(plank, wood="oak") == Plank(length=1.0, wood="oak", marks=["a"])
    with pytest.raises(TypeError):
        replace(plank, would="oak")
    assert asdict(plank) == asdict(SamePlank(length=1.0, marks=["a"]))
    assert repr(plank) == repr(SamePlank(length=1.0, marks=["a"])).replace("SamePlank", "Plank")
    assert copy.copy(plank) == copy.deepcopy(plank) == pickle.loads(pickle.dumps(plank)) == plank
    assert copy.deepcopy(plank).marks is not plank.marks


def test_a_class_of_another_has_its_fields_too_and_is_looked_at_when_made() -> None:
    longer = Longer(x=2.0)
    assert (longer.x, longer.y) == (2.0, 1.0)
    assert [f.name for f in fields(Longer)] == ["x", "y"]
    assert [f.name for f in fields(Shape)] == ["x"]
    for kind in (Shape, Longer):
        with pytest.raises(ValueError, match="below zero"):
            kind(x=-1.0)
    with pytest.raises(ValueError, match="below zero"):
        replace(longer, x=-1.0)
