"""Finding what declares itself, by importing the files of a package: a new one needs no list."""

from importlib import import_module
from pkgutil import iter_modules


def learn(package: str, *, but: str = "") -> None:
    """Import every file of the package and of those in it, except one package."""
    for module in iter_modules(import_module(package).__path__, f"{package}."):
        if module.name == but:
            continue
        if module.ispkg:
            learn(module.name, but=but)
        else:
            import_module(module.name)
