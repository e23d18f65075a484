"""A path that was typed, wherever one may be: `~` with a name that nobody here has is told in one line."""

from pathlib import Path

import pytest

from benchtui.base.errors import BenchError
from benchtui.base.paths import path_from
from benchtui.cli import main

NOBODY = "~no-such-person-here/shop"


def test_the_home_folder_is_meant_by_its_sign(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    for name in ("HOME", "USERPROFILE"):
        monkeypatch.setenv(name, str(tmp_path))
    assert path_from("~/shop") == tmp_path / "shop"
    assert path_from("a/b.csv") == Path("a/b.csv")


@pytest.mark.parametrize("text", [NOBODY, "a\0b"])
def test_what_can_be_no_path_is_said_so(text: str) -> None:
    with pytest.raises(BenchError, match="this is not a path"):
        path_from(text)


@pytest.mark.parametrize("words", [["check", "--shop", NOBODY], ["weigh", "x", "--book", NOBODY]])
def test_a_command_given_such_a_path_ends_with_one_line(
    words: list[str], capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(words) == 2
    assert capsys.readouterr().err.count("\n") == 1
