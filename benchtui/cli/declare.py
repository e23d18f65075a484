"""How a command is declared, once, above the function that does it; and the command of a file's name."""

import argparse
from collections.abc import Callable, Sequence
from importlib import import_module
from pkgutil import iter_modules
from types import ModuleType
from typing import NamedTuple

import benchtui.cli.commands

Run = Callable[[argparse.Namespace], int]
Options = Callable[[argparse.ArgumentParser], None]
_FIRST_OF_ALL = ("bench", "demo", "play")  # the others follow by name


class Command(NamedTuple):
    """``words``: what the help says of it; ``options`` adds its arguments; ``run`` returns the exit code."""

    words: str
    options: Options
    run: Run


_DECLARED: dict[str, Command] = {}
"""By the module that declares it: one file, one command."""


def command(words: str, options: Options = lambda _: None) -> Callable[[Run], Run]:
    """Declare the function below as what the command of this file's name does."""

    def keep(run: Run) -> Run:
        _DECLARED[run.__module__] = Command(words, options, run)
        return run

    return keep


def names(group: Sequence[str] = ()) -> list[str]:
    """The commands there are, or those of a group, each by its last word."""
    found = [module.name for module in iter_modules(_module(group).__path__)]
    return sorted(found, key=lambda name: (name not in _FIRST_OF_ALL, name))


def words_of(path: Sequence[str]) -> str:
    """What the help says of a command, such as ``["book", "new"]``, or of a group of them."""
    declared = _DECLARED.get(_module(path).__name__)
    return declared.words if declared else str(_module(path).__doc__).rstrip(".").lower()


def is_group(path: Sequence[str]) -> bool:
    return _module(path).__name__ not in _DECLARED


def read(path: Sequence[str]) -> Command:
    """The command of that name."""
    return _DECLARED[_module(path).__name__]


def _module(path: Sequence[str]) -> ModuleType:
    # By name, so that a command loads what it needs and not what all the others need.
    return import_module(".".join((benchtui.cli.commands.__name__, *path)))
