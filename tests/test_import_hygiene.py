"""The core knows no screen: importing it, and running commands that need none, brings in no Textual."""

import ast
import os
import subprocess
import sys
from functools import cache
from pathlib import Path

from benchtui.store import Shop

ROOT = Path(__file__).parents[1]
CORE = (
    "model",
    "books",
    "evidence",
    "titles",
    "money",
    "store",
    "server",
    "export",
    "cli.check_shop",
    "base",
)
EVERY_MODULE = f"""
import importlib, pkgutil, sys
import benchtui
for name in {CORE!r}:
    module = importlib.import_module("benchtui." + name)
    for found in pkgutil.walk_packages(getattr(module, "__path__", []), "benchtui." + name + "."):
        importlib.import_module(found.name)
print(sorted(name for name in sys.modules if name.split(".")[0] in ("textual", "rich")))
"""
COMMANDS = """
import sys
# how many cells a text takes is measured by rich.cells, in the desk that check reads the commands of
MEASURES = ("cells", "_extension", "_unicode_data", "_unicode_data._versions")
from benchtui.cli import main
for words in (["export", "intake"], ["check"]):
    code = main([*words, "--shop", sys.argv[1]])
    if code:
        sys.exit(code)
print(sorted(name for name in sys.modules if name.split(".")[0] == "textual" or name.startswith("rich.") and name[5:] not in MEASURES))
"""


def _python(code: str, *argv: str) -> "subprocess.CompletedProcess[str]":
    return subprocess.run(
        [sys.executable, "-c", code, *argv], capture_output=True, text=True, check=False, cwd=ROOT,
        env={**os.environ, "PYTHONPATH": str(ROOT)},
    )  # fmt: skip


def test_no_module_of_the_core_imports_textual() -> None:
    run = _python(EVERY_MODULE)
    assert run.returncode == 0, run.stderr
    assert run.stdout.strip() == "[]"


def test_commands_that_need_no_screen_start_without_it(tmp_path: Path) -> None:
    Shop.create(tmp_path / "shop").close()
    run = _python(COMMANDS, str(tmp_path / "shop"))
    assert run.returncode == 0, run.stderr
    assert run.stdout.splitlines()[-1] == "[]"


def test_no_two_files_import_one_another_late_or_for_types_only_or_not() -> None:
    """Every import counts, those within functions and those under TYPE_CHECKING too: none dodges a circle."""
    files = _files()
    imports = {name: _imported(path, files) - {name} for name, path in files.items()}
    while free := [name for name, wanted in imports.items() if not wanted & imports.keys()]:
        for name in free:
            del imports[name]
    assert not imports, "these import one another"


def test_every_file_imports_our_own_at_its_top_and_none_for_types_only() -> None:
    """But for the command line, which makes the terminal raw before it loads anything else, for what a
    system's own terminal needs, and for reading a list that was not prepared: no start has that to do.
    """
    late = {
        name
        for name, path in _files().items()
        for node, is_at_top in _imports(path)
        if not is_at_top and isinstance(node, ast.ImportFrom) and str(node.module).startswith("benchtui")
    }
    assert late == {"benchtui.cli", "benchtui.bench.terminal", "benchtui.titles.lists"}


def test_a_command_loads_what_it_needs_a_desk_no_screen_and_the_first_screen_no_page() -> None:
    run = _python(
        "import sys, benchtui.cli.program as program\n"
        "program.parser_of(['backup', 'x'])\n"
        "print(sorted({name.split('.')[1] for name in sys.modules if name.startswith('benchtui.')}))\n"
        "import benchtui.desk.session.start, benchtui.desk.keyboard.press, benchtui.desk.core.keymap\n"
        "import benchtui.desk.keyboard.script\n"
        "print(sorted(name for name in sys.modules if name.split('.')[0] == 'textual'))\n"
        "import benchtui.bench.app\n"
        "from benchtui.desk.core import command, learn\n"
        "first = command.with_legend()\n"
        "print('benchtui.desk.pages.record' in sys.modules, 'psycopg' in sys.modules)\n"
        "learn.learn_all()\n"
        "print([one.id for one in command.with_legend() if one not in first])"
    )
    assert run.returncode == 0, run.stderr
    assert run.stdout.splitlines() == [
        "['base', 'bench', 'cli', 'model', 'server', 'store']",
        "[]",
        "False False",
        "[]",  # what may stand in the key line of the first screen is declared in a room that is learnt first
    ]


def test_no_two_rooms_of_the_desk_import_one_another() -> None:
    files = {name: path for name, path in _files().items() if name.startswith("benchtui.desk")}
    rooms: dict[str, set[str]] = {}
    for name, path in files.items():
        mine = rooms.setdefault(_room(name), set())
        mine |= {_room(other) for other in _imported(path, files)} - {_room(name)}
    while free := [name for name, wanted in rooms.items() if not wanted & rooms.keys()]:
        for name in free:
            del rooms[name]
    assert not rooms, "these import one another"


def _room(module: str) -> str:
    """``benchtui.desk.hand.hand.grading`` is in ``hand``; what lies in no room is one by itself."""
    return module.split(".")[2] if module.count(".") > 1 else module


def _module(path: Path) -> str:
    return ".".join(path.relative_to(ROOT).with_suffix("").parts).removesuffix(".__init__")


@cache
def _files() -> dict[str, Path]:
    return {_module(path): path for path in sorted((ROOT / "benchtui").rglob("*.py"))}


@cache
def _imports(path: Path) -> list[tuple[ast.Import | ast.ImportFrom, bool]]:
    """Every import of a file, and whether it stands at its top by itself."""
    tree = ast.parse(path.read_text(encoding="utf-8"))
    found = (node for node in ast.walk(tree) if isinstance(node, ast.Import | ast.ImportFrom))
    return [(node, node in tree.body) for node in found]


def _imported(path: Path, files: dict[str, Path]) -> set[str]:
    """The files of the house that one imports."""
    found: set[str] = set()
    for node, _ in _imports(path):
        if isinstance(node, ast.Import):
            found |= {one.name for one in node.names} & files.keys()
        elif node.module:
            names = {f"{node.module}.{one.name}" for one in node.names}
            found |= (names & files.keys()) or ({node.module} & files.keys())
    return found
