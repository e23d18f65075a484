"""What stands where a file that people write should be: each reader says it in one line, quickly, unread."""

import os
import sys
import tracemalloc
from collections.abc import Callable
from datetime import date
from pathlib import Path
from typing import Any

import pytest

from benchtui.base.errors import BenchError
from benchtui.base.reading import DEEPEST, toml_of
from benchtui.books.faults import load_faults
from benchtui.books.library import Library
from benchtui.books.scales import load_scales
from benchtui.desk.keyboard.keymap_file import load_keymap
from benchtui.desk.keyboard.script import read_script
from benchtui.export.csvfile import read_csv
from benchtui.export.describe import read_template
from benchtui.export.layout import read_layout
from benchtui.money.sales import read_sales
from benchtui.titles.listfile import list_faults
from benchtui.titles.takein import TakeIn

Read = Callable[[Path], Any]


def _first_fault(path: Path) -> None:
    for fault in list_faults(path):
        raise fault


def _sales(path: Path) -> None:
    read_sales(path, {"currency": "GBP"}, date(2026, 11, 25), None, known=set(), title_of=lambda text: text)


def _own_book(path: Path) -> None:
    """A book that cannot be read is set aside and told in one line, so that the rest of the shop opens."""
    (said,) = Library.open([path.parent], cache=path.parent / "cache").aside
    raise BenchError(said)


READERS: dict[str, Read] = {
    "own.toml": _own_book,
    "scales.toml": lambda path: load_scales([path.parent]),
    "faults.toml": lambda path: load_faults([path.parent]),
    "keymap.toml": lambda path: load_keymap(path, None),
    "layout.toml": lambda path: read_layout(path, {"intake": ("artist",)}),
    "long.txt": read_template,
    "some.keys": read_script,
    "sales.csv": _sales,
    "export.csv": read_csv,
    "list.csv": _first_fault,
    "taken.csv": lambda path: TakeIn(path, path.parent),
}


def _one_line(name: str, folder: Path) -> str:
    with pytest.raises(BenchError) as told:
        READERS[name](folder / name)
    assert name in str(told.value)
    assert str(told.value).isprintable()
    return str(told.value)


@pytest.mark.parametrize("name", READERS)
def test_a_folder_in_a_files_place_is_named(name: str, tmp_path: Path) -> None:
    (tmp_path / name).mkdir()
    assert "is a folder" in _one_line(name, tmp_path)


@pytest.mark.skipif(sys.platform == "win32", reason="links need a right of their own there")
@pytest.mark.parametrize("name", READERS)
def test_a_link_that_leads_nowhere_or_to_itself_is_named(name: str, tmp_path: Path) -> None:
    (tmp_path / name).symlink_to(tmp_path / "not-there")
    _one_line(name, tmp_path)
    (tmp_path / name).unlink()
    (tmp_path / name).symlink_to(tmp_path / name)
    _one_line(name, tmp_path)


@pytest.mark.skipif(not hasattr(os, "mkfifo"), reason="needs named pipes")
@pytest.mark.parametrize("name", READERS)
def test_a_pipe_in_a_files_place_is_refused_without_waiting_for_it(name: str, tmp_path: Path) -> None:
    os.mkfifo(tmp_path / name)
    assert "not an ordinary file" in _one_line(name, tmp_path)


@pytest.mark.parametrize("name", READERS)
def test_a_file_of_a_gigabyte_is_refused_unread(name: str, tmp_path: Path) -> None:
    with (tmp_path / name).open("wb") as file:
        file.truncate(1 << 30)
    tracemalloc.start()
    try:
        assert "1,073,741,824 bytes" in _one_line(name, tmp_path)
        assert tracemalloc.get_traced_memory()[1] < 100_000_000
    finally:
        tracemalloc.stop()


@pytest.mark.parametrize("name", [name for name in READERS if name not in ("list.csv", "taken.csv")])
def test_bytes_that_are_no_utf_8_are_named(name: str, tmp_path: Path) -> None:
    (tmp_path / name).write_bytes(b"a = 1\n\xff\xfe\xfa\n")
    assert "UTF-8" in _one_line(name, tmp_path)


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("a = " + "[" * 100_000, "deep"),
        ("a = " + "[" * 40 + "]" * 40, "deep"),
        (".".join("a" * 20_000) + " = 1", "deep"),
        ('"a".' * 20_000 + "b = 1", "deep"),
        ("a = " + "{ b = " * 60 + "1" + " }" * 60, "deep"),
        ("a = " + "9" * 5_000, "too large"),
        ("a = 0x" + "f" * 5_000, "too large"),
        ("a = [1, 9223372036854775808]", "too large"),
        ("a = 1\na = 2", "not TOML"),
    ],
)
def test_toml_that_nobody_means_is_refused_with_its_line(text: str, said: str, tmp_path: Path) -> None:
    with pytest.raises(BenchError, match=said) as told:
        toml_of("x = 1\n" + text, tmp_path / "a.toml")
    assert told.value.line is not None
    assert told.value.line > 1


def test_what_toml_allows_is_read(tmp_path: Path) -> None:
    deep = "a = " + "[" * (DEEPEST - 1) + "]" * (DEEPEST - 1)
    text = f'\ufeff{deep}\nb = 9223372036854775807\nc = "{"e.g. " * 200}"\nd = "\\u0000"\n'
    found = toml_of(text.removeprefix("\ufeff"), tmp_path / "a.toml")
    assert found["b"] == 2**63 - 1
    assert found["d"] == "\0"


def test_a_message_is_one_short_plain_line_whatever_the_file_holds(tmp_path: Path) -> None:
    error = BenchError("x" * 100_000 + "\x1b[2J\nend", tmp_path / "a\x1bb", "\udcff right")
    assert len(error.one_line()) < 1_000
    assert error.one_line().isprintable()
    assert error.one_line().endswith("right")
