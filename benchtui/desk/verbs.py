"""Which function does which action: filled by ``@does`` in the modules beside this one."""

from collections.abc import Callable
from typing import TypeVar

from benchtui.desk.core import Desk

Verb = Callable[[Desk], None]
VERBS: dict[str, Verb] = {}
_V = TypeVar("_V", bound=Verb)


def does(*actions: str) -> Callable[[_V], _V]:
    """Register the function for these actions of the table in actions.py."""

    def keep(verb: _V) -> _V:
        for action in actions:
            VERBS[action] = verb
        return verb

    return keep


def by_name(action: str) -> Callable[[Desk], None]:
    """A choice's act: the action as its own key would do it, refused where that is."""

    def act(desk: Desk) -> None:
        from benchtui.desk.press import run  # which knows all modules of verbs

        run(desk, action)

    return act
