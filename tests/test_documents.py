"""README and DEVELOPERS say what is true: columns, commands, the example book, the pictures named."""

import re
from pathlib import Path

import pytest

from benchtui.bench.run import copy_demo
from benchtui.books.check import check_books
from benchtui.cli import main
from benchtui.cli.program import parser_of
from benchtui.export.describe import DEFAULT, description_columns, load_templates
from benchtui.export.intake import COLUMNS

ROOT = Path(__file__).resolve().parents[1]
README = (ROOT / "README.md").read_text(encoding="utf-8")
DEVELOPERS = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")


def test_the_readmes_table_names_every_column_of_the_intake_in_its_order(tmp_path: Path) -> None:
    told = re.findall(r"^\| `(\w+)` \| (\w+) \| (.+) \|$", README, re.MULTILINE)
    described = description_columns(load_templates(tmp_path)[DEFAULT], DEFAULT)
    columns = [column for column, _ in (*COLUMNS, *described)]
    assert [(name, kind) for name, kind, _ in told] == [(column.name, column.kind) for column in columns]


def test_every_command_the_readme_lists_is_there() -> None:
    block = README.partition("## Commands\n\n```\n")[2].partition("```")[0]
    named = set(re.findall(r"benchtui ([a-z]+)", block))
    choices = next(a.choices for a in parser_of(["--help"])._actions if a.dest == "command")
    assert choices is not None
    assert named == set(choices)


def test_the_example_book_of_developers_has_no_fault(tmp_path: Path) -> None:
    blocks = re.findall(r"```toml\n(.*?)```", DEVELOPERS, re.DOTALL)
    (tmp_path / "whelkin.toml").write_text(blocks[0], encoding="utf-8")
    (tmp_path / "own.toml").write_text(blocks[1], encoding="utf-8")
    assert [problem.one_line() for problem in check_books([tmp_path])] == []


@pytest.mark.parametrize("text", [README, DEVELOPERS])
def test_every_file_and_picture_named_is_there(text: str) -> None:
    named = re.findall(r"\]\(([^)#]+)\)", text) + re.findall(
        r"`((?:tests|demo|keymaps|benchtui)/[\w./-]+)`", text
    )
    gone = [name for name in named if not (ROOT / name).exists() and "NAME" not in name]
    assert gone == []


def test_the_readme_opens_with_the_job_and_two_commands() -> None:
    first, second = README.splitlines()[:3:2]
    assert first == "# benchtui"
    assert second.startswith("Parcels of second-hand records")
    assert README.count("```sh\npython3 -m venv") == 2


def test_the_top_level_holds_what_was_agreed_and_nothing_else() -> None:
    here = {path.name for path in ROOT.iterdir() if not path.name.startswith(".") and path.name != "dist"}
    assert here == {"README.md", "DEVELOPERS.md", "pyproject.toml", "benchtui", "keymaps", "tests", "demo"}


@pytest.mark.parametrize(
    "command", [["spread", "2026-10-05-1"], ["export", "statement"], ["export", "stockbook"]]
)
def test_what_the_readme_says_the_money_commands_print_is_what_they_print(
    command: list[str], tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    copy_demo(tmp_path / "shop")
    assert main([*command, "--shop", str(tmp_path / "shop")]) == 0
    printed = capsys.readouterr().out.splitlines()
    told = (
        README.partition(f"$ benchtui {' '.join(command)} --shop DIR\n")[2].partition("```")[0].splitlines()
    )
    assert len(told) >= 3
    assert [line for line in told if line != "..." and line not in printed] == []
