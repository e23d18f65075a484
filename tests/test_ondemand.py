"""Packages whose names come when asked for give every name they promise, and no other."""

import importlib
import subprocess
import sys

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


def test_the_command_line_loads_no_room_and_the_first_screen_no_page() -> None:
    """A start is short because what it does not need is imported when it is first wanted."""
    begin = "import sys, benchtui.cli.program as program; program.parser_of(['backup', 'x'])"
    assert not _loaded(begin, "money", "titles", "books", "evidence", "desk", "bench.app", "export")
    later = ("desk.pages.record", "desk.pages.result", "titles.finder", "export.run")
    assert not _loaded("import sys, benchtui.bench.app, benchtui.desk.session.start", *later)


def _loaded(code: str, *rooms: str) -> list[str]:
    names = tuple(f"benchtui.{room}" for room in rooms)
    shown = f"{code}; print(*[name for name in sys.modules if name.startswith({names!r})])"
    done = subprocess.run([sys.executable, "-c", shown], capture_output=True, text=True, check=True)
    return done.stdout.split()
