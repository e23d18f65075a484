"""Key scripts: how they are read, what is refused with its line, pictures."""

from pathlib import Path

import pytest

from benchtui.base.errors import BenchError
from benchtui.bench.run import parse_size, script_path
from benchtui.desk.keyboard.script import Script, read_script


def _read(tmp_path: Path, text: str) -> Script:
    path = tmp_path / "some.keys"
    path.write_text(text, encoding="utf-8")
    return read_script(path)


def _keys(script: Script) -> list[tuple[str, str | None]]:
    return [(step.name, step.char) for step in script.steps if step.kind == "key"]


def test_keys_text_comments_and_pictures(tmp_path: Path) -> None:
    script = _read(
        tmp_path,
        'shop empty\n# a parcel\nn "ab" enter f3 ctrl+e # and so on\n\nshot one\n/ slash 1 pagedown\n',
    )
    assert script.shop == "empty"
    assert _keys(script) == [
        ("n", "n"), ("a", "a"), ("b", "b"), ("enter", None), ("f3", None), ("ctrl+e", None),
        ("slash", "/"), ("slash", "/"), ("1", "1"), ("pagedown", None),
    ]  # fmt: skip
    assert [(step.line, step.name) for step in script.steps if step.kind == "shot"] == [(5, "one")]
    assert [step.line for step in script.steps] == [3] * 6 + [5] + [6] * 4


def test_two_quotes_inside_text_are_one(tmp_path: Path) -> None:
    script = _read(tmp_path, '"say ""so"""\n')
    assert "".join(char or "" for _, char in _keys(script)) == 'say "so"'


def test_text_may_hold_any_sign_and_no_comment_begins_in_it(tmp_path: Path) -> None:
    script = _read(tmp_path, '"é # ♥ ש [x]"  # here it does\n')
    assert "".join(char or "" for _, char in _keys(script)) == "é # ♥ ש [x]"


def test_a_key_may_be_spelled_by_its_sign_or_its_name(tmp_path: Path) -> None:
    assert _keys(_read(tmp_path, "\\ backslash ; semicolon space '")) == [
        ("backslash", "\\"), ("backslash", "\\"), ("semicolon", ";"), ("semicolon", ";"), ("space", " "),
        ("apostrophe", "'"),
    ]  # fmt: skip


@pytest.mark.parametrize(
    ("text", "line"),
    [
        ("enter\nentre\n", 2),
        ('\n\n"not closed\n', 3),
        ("shot\n", 1),
        ("shot two words\n", 1),
        ("shot ../../elsewhere\n", 1),
        ("enter\nshop empty\n", 2),
        ("shop somewhere\n", 1),
        ("ctrl+enter\n", 1),
        ("a b\nc ctrl+i\n", 2),
    ],
)
def test_what_is_no_key_is_told_with_file_and_line(tmp_path: Path, text: str, line: int) -> None:
    with pytest.raises(BenchError) as told:
        _read(tmp_path, text)
    assert told.value.line == line
    assert told.value.where == str(tmp_path / "some.keys")
    assert told.value.right


def test_a_script_that_is_no_text_too_long_or_not_there_is_told(tmp_path: Path) -> None:
    binary, long = tmp_path / "binary.keys", tmp_path / "long.keys"
    binary.write_bytes(b"\xff\xfe\x00")
    long.write_bytes(b"a " * 1_100_000)
    for path in (binary, long, tmp_path / "none.keys", tmp_path):
        with pytest.raises(BenchError):
            read_script(path)


def test_shipped_scripts_are_found_by_name_and_others_by_path(tmp_path: Path) -> None:
    own = tmp_path / "own.keys"
    own.write_text("enter\n")
    assert script_path(str(own)) == own
    assert read_script(script_path("fifteen")).shop == "empty"
    assert read_script(script_path("resume")).shop == "demo"
    with pytest.raises(BenchError) as told:
        script_path("sixteen")
    assert "fifteen" in told.value.right


@pytest.mark.parametrize("size", ["80", "80x", "x24", "80 x 24", "0x0", "9999x9999", "10x40", "80x-24"])
def test_a_screen_size_that_cannot_be_is_told(size: str) -> None:
    with pytest.raises(BenchError):
        parse_size(size)


def test_a_screen_size_is_columns_and_rows() -> None:
    assert parse_size("120x40") == (120, 40)
