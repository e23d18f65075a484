"""Commands are found by their files: none is named anywhere else."""

from pathlib import Path

import pytest

import benchtui.cli.commands
from benchtui.cli import main
from benchtui.cli.command_line import command_in, opens_bench
from benchtui.cli.declare import names, words_of

ADDED = '''
"""``benchtui count WORD``."""
import argparse
from benchtui.cli.declare import command

def _options(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("word")

@command("count a word's letters", _options)
def count(args: argparse.Namespace) -> int:
    print(len(args.word))
    return 0
'''


@pytest.fixture
def added(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A folder in which a file is a command, beside those of the program."""
    monkeypatch.setattr(benchtui.cli.commands, "__path__", [*benchtui.cli.commands.__path__, str(tmp_path)])
    return tmp_path


def test_a_file_is_all_that_a_new_command_takes(added: Path, capsys: pytest.CaptureFixture[str]) -> None:
    (added / "count_new.py").write_text(ADDED)
    assert main(["count_new", "seven"]) == 0
    assert capsys.readouterr().out == "5\n"
    assert "count_new" in names()
    with pytest.raises(SystemExit):
        main(["--help"])
    assert "count a word's letters" in capsys.readouterr().out


def test_every_file_declares_a_command_and_every_folder_says_what_it_holds() -> None:
    for name in names():
        assert words_of([name]), name
        for second in names([name]) if (Path(benchtui.cli.commands.__path__[0]) / name).is_dir() else []:
            assert words_of([name, second]), (name, second)


@pytest.mark.parametrize(
    ("line", "command", "bench"),
    [
        ("", "bench", True),
        ("--shop X --plain", "bench", True),
        ("--shop demo", "bench", True),
        ("bench", "bench", True),
        ("--keymap left-hand demo", "demo", True),
        ("demo --help", "demo", False),
        ("--help", "", False),
        ("--shop X check", "check", False),
        ("book new x", "book", False),
    ],
)
def test_the_words_tell_the_command_before_anything_is_loaded(line: str, command: str, bench: bool) -> None:
    assert (command_in(line.split()), opens_bench(line.split())) == (command, bench)


def test_a_group_without_its_second_word_and_a_command_that_is_none_are_refused_in_one_line(
    capsys: pytest.CaptureFixture[str],
) -> None:
    for words in (["book"], ["nonsense"]):
        with pytest.raises(SystemExit) as left:
            main(words)
        assert left.value.code == 2
        assert capsys.readouterr().err.count("\n") == 1
