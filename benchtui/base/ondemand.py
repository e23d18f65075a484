"""Packages whose names are imported from their modules when first asked for, so that a start stays short."""

from collections.abc import Callable, Mapping
from importlib import import_module
from typing import Any


def names_on_demand(package: str, modules: Mapping[str, str]) -> Callable[[str], Any]:
    """The package's own ``__getattr__`` (PEP 562). ``modules``: the names that each module of it gives."""
    home = {name: module for module, names in modules.items() for name in names.split()}

    def named(name: str) -> Any:
        if name not in home:
            raise AttributeError(f"module {package!r} has no attribute {name!r}")
        return getattr(import_module(f"{package}.{home[name]}"), name)

    return named
