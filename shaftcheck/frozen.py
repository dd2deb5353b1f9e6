"""Frozen dataclasses that cost little to make.

`dataclasses.dataclass` writes and compiles its methods anew for every class. For the classes of this package that is
a tenth of the time of a check. Here it only collects the fields, and one set of methods serves all classes. Fields,
`fields`, `replace` and `asdict` are those of the standard library, and so is what a type checker makes of them.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import MISSING, FrozenInstanceError, dataclass, field, fields
from typing import Any, NamedTuple, TypeVar, dataclass_transform, overload

__all__ = ["frozen"]

T = TypeVar("T")


class _Shape(NamedTuple):
    """What the methods need to know of a class."""

    names: tuple[str, ...]
    all: frozenset[str]
    positional: tuple[str, ...]
    defaults: Mapping[str, Any]
    factories: Mapping[str, Callable[[], Any]]


@overload
def frozen(cls: type[T], /) -> type[T]: ...
@overload
def frozen(*, kw_only: bool = True, eq: bool = False) -> Callable[[type[T]], type[T]]: ...
@dataclass_transform(frozen_default=True, kw_only_default=True, eq_default=False, field_specifiers=(field,))
def frozen(cls: type[T] | None = None, /, *, kw_only: bool = True, eq: bool = False) -> Any:
    """Return the class as a frozen dataclass.

    Parameters
    ----------
    kw_only : whether values are given by name alone
    eq : whether two with equal values are equal; without it, as for all that holds arrays, one equals itself alone
    """

    def made(cls: type[T]) -> type[T]:
        cls = dataclass(init=False, repr=False, eq=False, kw_only=kw_only)(cls)
        all_of = fields(cls)  # type: ignore[arg-type]
        shape = _Shape(
            names=tuple(f.name for f in all_of),
            all=frozenset(f.name for f in all_of),
            positional=tuple(f.name for f in all_of if not f.kw_only),
            defaults={f.name: f.default for f in all_of if f.default is not MISSING},
            factories={f.name: f.default_factory for f in all_of if f.default_factory is not MISSING},
        )
        methods: dict[str, Any] = {"__frozen_shape__": shape, "__init__": _init}
        methods |= {"__repr__": vars(cls).get("__repr__", _repr), "__setattr__": _refuse, "__delattr__": _refuse}
        if eq:
            methods |= {"__eq__": _eq, "__hash__": _hash}
        for name, method in methods.items():
            setattr(cls, name, method)
        return cls

    return made if cls is None else made(cls)


def _init(self: Any, /, *args: Any, **given: Any) -> None:
    shape: _Shape = self.__frozen_shape__
    if args:
        by_place = dict(zip(shape.positional, args, strict=False))
        if len(args) > len(shape.positional) or by_place.keys() & given.keys():
            raise TypeError(f"{type(self).__name__} takes {len(shape.positional)} values by place, each value once")
        given |= by_place
    if len(given) < len(shape.names):
        made = {name: make() for name, make in shape.factories.items() if name not in given}
        given = {**shape.defaults, **made, **given}
    if given.keys() != shape.all:
        wrong = sorted(given.keys() ^ shape.all)
        raise TypeError(f"{type(self).__name__}: missing or not a field: {', '.join(wrong)}")
    object.__setattr__(self, "__dict__", given)
    if (check := getattr(self, "__post_init__", None)) is not None:
        check()


def _repr(self: Any) -> str:
    return f"{type(self).__qualname__}({', '.join(f'{n}={getattr(self, n)!r}' for n in self.__frozen_shape__.names)})"


def _values(self: Any) -> tuple[Any, ...]:
    return tuple(getattr(self, name) for name in self.__frozen_shape__.names)


def _eq(self: Any, other: object) -> Any:
    return _values(self) == _values(other) if type(self) is type(other) else NotImplemented


def _hash(self: Any) -> int:
    return hash(_values(self))


def _refuse(self: Any, name: str, *_: Any) -> None:
    raise FrozenInstanceError(f"{type(self).__name__} is frozen: {name} stays as it is")
