"""Which function does which action: filled by ``@does`` in the modules beside this one."""

from collections.abc import Callable
from typing import TypeVar

from benchtui.bench.desk.core import Desk

Verb = Callable[[Desk], None]
VERBS: dict[str, Verb] = {}
_V = TypeVar("_V", bound=Verb)


def does(*actions: str) -> Callable[[_V], _V]:
    """Register the function for these actions of the table in bench/actions.py."""

    def keep(verb: _V) -> _V:
        for action in actions:
            VERBS[action] = verb
        return verb

    return keep
