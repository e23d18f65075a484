"""Packages whose names come when asked for give every name they promise, and no other."""

import importlib

import pytest

PACKAGES = ("benchtui.money", "benchtui.titles")


@pytest.mark.parametrize("package", PACKAGES)
def test_every_name_promised_can_be_had(package: str) -> None:
    module = importlib.import_module(package)
    for name in module.__all__:
        assert getattr(module, name) is not None, name


@pytest.mark.parametrize("package", PACKAGES)
def test_a_name_nobody_promised_is_refused_as_any_module_does(package: str) -> None:
    with pytest.raises(AttributeError, match="no attribute 'nonsense'"):
        importlib.import_module(package).nonsense  # noqa: B018
