"""Finding what declares itself, by importing the files of the desk: a new one needs no list.

A start learns the rooms of the record in the hand: what they declare is what the first screen shows. All else
is learnt after it, a file at a time between the keys, or at once by the first that asks for more: who looks
something up here never finds less than there is.
"""

from collections.abc import Iterator
from functools import cache
from importlib import import_module
from pkgutil import walk_packages

DESK = "benchtui.desk"
IN_THE_HAND = ("core", "line", "ask", "hand", "look", "grade", "queue", "keyboard", "session")
"""The rooms whose commands may stand in the key line beside a record."""


def learning(package: str = DESK) -> Iterator[None]:
    """Import every file of the package and of those in it, a file a step."""
    for module in walk_packages(import_module(package).__path__, f"{package}."):
        import_module(module.name)
        yield


def learn(package: str) -> None:
    """Import every file of a package."""
    for _ in learning(package):
        pass


@cache
def learn_first() -> None:
    """What the first screen shows."""
    for room in IN_THE_HAND:
        learn(f"{DESK}.{room}")


@cache
def learn_all() -> None:
    """Every file of the desk."""
    learn(DESK)
