"""What the bench can do: each command declared once, above the function that does it.

From the declarations follow the check of keymaps, the key line, the page of keys, the finder of
commands with what it refuses and why, and what may be done in a parcel that is open for reading only.
Keys are not here: they come from keymaps/*.toml. Ids stand in people's keymaps and
parcels: none is ever changed.
"""

from collections.abc import Callable, Iterable
from functools import partial
from typing import Literal, NamedTuple, TypeVar

from benchtui.desk.core.desk import Desk
from benchtui.desk.core.learn import learn_all, learn_first

Where = Literal["any", "bench", "line", "menu", "page"]
WHERES: tuple[Where, ...] = ("any", "bench", "line", "menu", "page")
Changes = Literal["nothing", "record", "queue"]
Verb = Callable[[Desk], object]
Need = Callable[[Desk], str]
"""Why not, in a few words and what to do; "" where nothing stands in the way. A BenchError says it too."""
GROUPS: dict[Where, str] = {"any": "Bench", "line": "Text line", "menu": "Choices", "page": "Page"}
_V = TypeVar("_V", bound=Verb)
_F = TypeVar("_F", bound=Callable[[Desk, str], object])


class Legend(NamedTuple):
    """Where a command stands in the key line, lower first, 0 not at all: with a record that has a title, one
    that has none, no record; at a text line, at choices. ``when``: only then, where a record has a title, or
    a line or choices are open. (What a page's key line shows is declared with the page.)
    """

    record: int = 0
    untitled: int = 0
    nothing: int = 0
    line: int = 0
    menu: int = 0
    when: Callable[[Desk], object] | None = None


NOWHERE = Legend()


class Command(NamedTuple):
    """``words`` is the help's sentence, ``short`` the key line's word, ``group`` the help's heading, ``also``
    other words that somebody may type for it.
    """

    id: str
    where: Where
    words: str
    do: Verb
    short: str = ""
    group: str = ""
    also: str = ""
    legend: Legend = NOWHERE
    needs: tuple[Need, ...] = ()
    """What it asks for, first things first: the first reason why not is said."""
    changes: Changes = "record"
    """``nothing`` of the parcel: it may be done while only reading. ``record``: its facts, which stand still
    at the bench once the parcel is closed. ``queue``: the queue, which stands still everywhere then.
    """
    one_write: bool = False
    """It may act and then move on within the parcel: all of it is one write."""
    on: tuple[str, ...] = ()
    """The pages it works on, by their ids; on all where none is named."""
    offered: int = 0
    """Its place among what any page lets do, lower first; 0: only its own pages offer it."""
    often: int = 0
    """Its place at the head of the list of all commands; 0: after those."""
    order: int = 10_000
    """Its place among all commands."""
    after: Verb | None = None
    """What follows once it is on the disk."""


_DECLARED: dict[str, Command] = {}


class Family(NamedTuple):
    """Commands whose ids go on as the shop's files have it: ``grade:`` and a grade of the scale."""

    where: Where
    do: Callable[[Desk, str], object]
    one_write: bool = False


FAMILIES: dict[str, Family] = {}
"""By what their ids begin with."""


def command(
    id: str,  # noqa: A002  (what it is called in keymaps)
    where: Where,
    words: str,
    *,
    short: str = "",
    group: str = "",
    also: str = "",
    legend: Legend = NOWHERE,
    needs: Iterable[Need] = (),
    changes: Changes = "record",
    one_write: bool = False,
    on: tuple[str, ...] = (),
    offered: int = 0,
    often: int = 0,
    order: int = 10_000,
    after: Verb | None = None,
) -> Callable[[_V], _V]:
    """Declare the function below as what does this command; see ``Command`` for each word."""

    def keep(verb: _V) -> _V:
        heading = group or GROUPS.get(where, "Bench")
        one = Command(
            id, where, words, verb, short, heading, also, legend, tuple(needs), changes, one_write,
            on, offered, often, order, after,
        )  # fmt: skip
        if id in _DECLARED and _DECLARED[id].do is not verb:
            raise ValueError(f"command '{id}' is declared twice")
        _DECLARED[id] = one
        return verb

    return keep


def family(beginning: str, where: Where, *, one_write: bool = False) -> Callable[[_F], _F]:
    """Declare the function below as what does every id that begins so; it is given the rest of the id."""

    def keep(verb: _F) -> _F:
        FAMILIES[beginning] = Family(where, verb, one_write)
        return verb

    return keep


def commands() -> tuple[Command, ...]:
    """All of them, in their order; where two claim one place, by their ids."""
    learn_all()
    return _in_order()


def with_legend() -> list[Command]:
    """Those that the key line may show, in their order."""
    learn_first()
    return [one for one in _in_order() if one.legend is not NOWHERE]


def _in_order() -> tuple[Command, ...]:
    return tuple(sorted(_DECLARED.values(), key=lambda one: (one.order, one.id)))


def by_id() -> dict[str, Command]:
    learn_all()
    return _DECLARED


def command_of(id: str) -> Command:  # noqa: A002
    """The command of that id; one of a family too. KeyError where there is none."""
    learn_first()
    head, colon, rest = id.partition(":")
    found = _DECLARED.get(id)
    if found is None and head + colon not in FAMILIES:
        found = by_id().get(id)
    if found is not None:
        return found
    kind = FAMILIES[head + colon]
    return Command(id, kind.where, "", partial(_given, kind.do, rest), one_write=kind.one_write)


def _given(verb: Callable[[Desk, str], object], rest: str, desk: Desk) -> None:
    verb(desk, rest)
