"""Our dataclass beside the standard library's: the same class body through both."""

import copy
import dataclasses
from collections.abc import Callable
from typing import Any

import pytest

from benchtui.base.dataclass import dataclass as ours


class Body:
    a: int
    b: tuple[str, ...] = ()
    c: list[int] = dataclasses.field(default_factory=list)
    d: str = dataclasses.field(default="", compare=False, repr=False)

    def __post_init__(self) -> None:
        if self.a < 0:
            raise ValueError("below nought")


def made(kind: Callable[..., Any], **given: bool) -> Any:
    """A class of that body, named and placed alike."""
    names = {name: value for name, value in vars(Body).items() if name not in ("__dict__", "__weakref__")}
    return kind(**given)(type("Body", (), names))


KINDS = [
    {},
    {"frozen": True},
    {"slots": True},
    {"frozen": True, "slots": True},
    {"frozen": True, "slots": True, "eq": False},
]


@pytest.mark.parametrize("given", KINDS)
def test_it_does_what_the_standard_one_does(given: dict[str, bool]) -> None:
    mine, theirs = made(ours, **given), made(dataclasses.dataclass, **given)
    for cls in (mine, theirs):
        cls.__qualname__ = "Body"
    one, other = mine(1, d="x"), theirs(1, d="x")
    assert repr(one) == repr(other)
    assert dataclasses.asdict(one) == dataclasses.asdict(other)
    assert mine.__match_args__ == theirs.__match_args__
    assert (one == mine(1, d="y")) == (other == theirs(1, d="y")) == given.get("eq", True)
    assert one != other
    assert one != mine(2)
    assert repr(dataclasses.replace(one, a=3)) == repr(dataclasses.replace(other, a=3))
    assert one.c is not mine(1).c
    assert hasattr(one, "__dict__") == hasattr(other, "__dict__")
    assert (mine.__hash__ is None) == (theirs.__hash__ is None)
    assert repr(copy.deepcopy(one)) == repr(one)
    with pytest.raises(ValueError, match="below nought"):
        mine(-1)
    with pytest.raises(TypeError):
        mine()
    with pytest.raises(TypeError):
        mine(1, e=2)


def test_a_frozen_one_is_hashed_by_what_is_compared_and_changes_nothing() -> None:
    @ours(frozen=True)
    class Pair:
        a: int
        b: str = dataclasses.field(default="", compare=False)

    assert hash(Pair(1, "x")) == hash(Pair(1, "y"))
    with pytest.raises(dataclasses.FrozenInstanceError):
        Pair(1).a = 2  # type: ignore[misc]
    with pytest.raises(dataclasses.FrozenInstanceError):
        del Pair(1).a  # type: ignore[misc]


def test_a_class_may_have_no_fields() -> None:
    @ours
    class Nothing:
        pass

    assert Nothing() == Nothing()
    assert repr(Nothing()).endswith("Nothing()")
