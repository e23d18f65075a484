"""The standard library's dataclass, but quick to import.

The standard one compiles six functions for every frozen class when it is imported: 1.5 ms a class, and a
start of the bench imports 250 of them. Here what all classes can share is shared, and their `__init__` are
compiled when they are first called. Left out is what nobody here uses: inheritance, ordering, InitVar. To a
type checker it is the standard one.
"""

import dataclasses
from collections.abc import Callable
from operator import attrgetter
from reprlib import recursive_repr
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from dataclasses import dataclass as dataclass
else:

    def dataclass(cls=None, /, *, frozen=False, slots=False, eq=True):
        """As ``dataclasses.dataclass``."""

        def make(plain):
            plain.__doc__ = plain.__doc__ or plain.__name__  # else the signature is written out
            made = dataclasses.dataclass(init=False, repr=False, eq=False, slots=slots)(plain)
            made.__init__ = _first_init(made, frozen)
            made.__repr__ = _repr
            if eq:
                _compare(made, frozen)
            if frozen:
                made.__setattr__ = made.__delattr__ = _refuse
            if frozen and slots:
                made.__getstate__, made.__setstate__ = _get_state, _set_state
            return made

        return make if cls is None else make(cls)


def _first_init(cls: type, frozen: bool) -> Callable[..., None]:
    """An `__init__` that puts the real one in its own place."""

    def first(self: Any, *given: Any, **named: Any) -> None:
        real = cls.__init__ = _init(cls, frozen)  # type: ignore[misc]
        real(self, *given, **named)

    return first


def _init(cls: type, frozen: bool) -> Callable[..., None]:
    """`__init__` with the fields as its arguments, compiled."""
    known: dict[str, Any] = {"_set": object.__setattr__, "_NONE": object()}
    head, body = ["self"], []
    for field in dataclasses.fields(cls):
        name, value, default = field.name, field.name, f"_{field.name}_"
        if field.default is not dataclasses.MISSING:
            known[default] = field.default
            head.append(f"{name}={default}")
        elif field.default_factory is not dataclasses.MISSING:
            known[default] = field.default_factory
            head.append(f"{name}=_NONE")
            value = f"{default}() if {name} is _NONE else {name}"
        else:
            head.append(name)
        body.append(f"_set(self, {name!r}, {value})" if frozen else f"self.{name} = {value}")
    if hasattr(cls, "__post_init__"):
        body.append("self.__post_init__()")
    exec(f"def __init__({', '.join(head)}):\n " + "\n ".join(body or ["pass"]), known)
    made: Callable[..., None] = known["__init__"]
    made.__qualname__ = f"{cls.__qualname__}.__init__"
    return made


def _compare(cls: type, frozen: bool) -> None:
    """Equal where all compared fields are; to be hashed only where nothing can change."""
    names = [field.name for field in dataclasses.fields(cls) if field.compare]
    values: Callable[[Any], Any] = attrgetter(*names) if names else lambda _: ()

    def equal(self: Any, other: object) -> bool:
        return values(self) == values(other) if other.__class__ is self.__class__ else NotImplemented

    def hashed(self: Any) -> int:
        return hash(values(self))

    cls.__eq__ = equal  # type: ignore[assignment]
    cls.__hash__ = hashed if frozen else None  # type: ignore[assignment]


@recursive_repr()
def _repr(self: Any) -> str:
    shown = (f"{one.name}={getattr(self, one.name)!r}" for one in dataclasses.fields(self) if one.repr)
    return f"{self.__class__.__qualname__}({', '.join(shown)})"


def _refuse(self: Any, name: str, *_: object) -> None:
    raise dataclasses.FrozenInstanceError(f"cannot assign to field {name!r}")


def _get_state(self: Any) -> list[Any]:
    return [getattr(self, one.name) for one in dataclasses.fields(self)]


def _set_state(self: Any, state: list[Any]) -> None:
    for one, value in zip(dataclasses.fields(self), state, strict=True):
        object.__setattr__(self, one.name, value)
