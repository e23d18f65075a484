"""Signs that a terminal, a spreadsheet or a browser obeys stand as escapes wherever text of the shop is shown."""

import json
import os
import subprocess
import sys
import zipfile
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from benchtui.base.errors import BenchError
from benchtui.base.signs import obeyed_in, visible, visible_json
from benchtui.bench.pieces import clean
from benchtui.bench.run import copy_demo
from benchtui.cli import main
from benchtui.export.page import REPLACED, shown
from benchtui.export.table import Column, Table, visible_table
from benchtui.store import Shop
from benchtui.store.backup import MANIFEST, restore

ROOT = Path(__file__).parents[1]
EVIL = "\x1b]0;title\x07\x1b[2J\x9b5m\u202etxt\u2066\x00end"
SEEN = r"\x1b]0;title\x07\x1b[2J\x9b5m\u202etxt\u2066\x00end"
OBEYED = ("\x1b", "\x07", "\x9b", "\u202e", "\u2066", "\x00")


def test_each_is_seen_as_its_escape_and_letters_of_every_script_stay() -> None:
    assert visible(EVIL) == SEEN
    assert visible("bad\udcff") == r"bad\xff"
    assert visible("a\nb\tc", keep="\n\t") == "a\nb\tc"
    for text in ("Ωμέγα", "日本語", "עברית", "می\u200cخواهم", "क्\u200dष", "é", "A–B “C”", "\u00a0"):
        assert visible(text) == text
    assert obeyed_in(EVIL) == 7


@given(st.text())
def test_nothing_that_is_obeyed_is_left_and_json_keeps_its_value(text: str) -> None:
    assert obeyed_in(visible(text)) == 0
    assert obeyed_in(clean(text)) == 0
    told = visible_json(json.dumps({"a": text}, ensure_ascii=False))
    assert obeyed_in(told) == 0
    assert json.loads(told) == {"a": text}


def test_an_error_a_cell_and_a_page_show_them_and_say_so() -> None:
    assert BenchError(EVIL, f"/tmp/{EVIL}").one_line().count(r"\x1b]0;title\x07") == 2
    said: list[str] = []
    table = Table((Column("no"), Column("title")), (("1", "plain\nbreak"), ("2", EVIL)))
    assert visible_table(table, said.append).cells("title") == ("plain\nbreak", SEEN)
    assert said == ["7 control signs stand as escapes such as \\x1b in the file, first in row 2, title"]
    assert SEEN in shown(EVIL)
    assert REPLACED in shown(EVIL)
    assert REPLACED not in shown("plain")


@pytest.fixture
def evil_shop(tmp_path: Path) -> Path:
    """The demo under a folder's name with such signs, a title of the parcel with them too."""
    path = tmp_path / f"shop{EVIL}".replace("\x00", "").replace("/", "")
    copy_demo(path)
    shop = Shop.open(path)
    parcel = shop.open_parcel("2026-11-25-1")
    with parcel.action("record 1: title") as change:
        title = change.record(parcel.records[0]["id"])["title"]
        assert title is not None
        title["title"] = EVIL
        change.record(parcel.records[0]["id"])["note"] = EVIL
    shop.close()
    return path


@pytest.mark.parametrize(
    "words",
    [
        ["spread", "2026-11-25-1"], ["spread", "2026-11-25-1", "--json"], ["export", "intake"], ["export", "chores"],
        ["export", "stockbook"], ["check"], ["export", "report", "--parcel", "2026-11-25-1"], ["spread", "\x1b[2J"],
        ["export", "intake", "--layout", "\x1b[2J"], ["keymap", "new", "mine"],
    ],
)  # fmt: skip
def test_no_command_lets_one_through(
    evil_shop: Path, words: list[str], capfd: pytest.CaptureFixture[str]
) -> None:
    assert main([*words, "--shop", str(evil_shop)]) in (0, 1, 2)
    out, err = capfd.readouterr()
    for sign in OBEYED:
        assert sign not in out + err, repr(sign)


@pytest.mark.skipif(sys.platform != "linux", reason="a file's name is bytes there only")
def test_a_shop_whose_folder_is_not_utf_8_is_opened_or_refused_in_one_line(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    name, backup = f"{tmp_path}/shop\udcff", str(tmp_path / "b.zip")
    for words in (["check"], ["spread", "x"], ["export", "intake"], ["backup", backup], ["titles", "x.csv"]):
        assert main([*words, "--shop", name]) == 2
        assert len(capsys.readouterr().err.splitlines()) == 1
    copy_demo(tmp_path / "plain")
    os.rename(tmp_path / "plain", name)
    for words in (["check"], ["spread", "2026-11-25-1"], ["export", "intake"], ["backup", backup]):
        assert main([*words, "--shop", name]) == 0, capsys.readouterr().err
    assert main(["play", "no-such", "--shop", name]) == 2


MANY = """
import sys
from benchtui.cli import main
shop, *words = sys.argv[1:]
given = sys.stdout, sys.stderr
for one in words:
    for stream in {sys.stdout, sys.stderr} - {*given}:  # what the command before put in their place
        stream.close()
    sys.stdout, sys.stderr = given
    try:
        code = main([*one.split(), "--shop", shop])
    except SystemExit as ended:
        code = ended.code
    if code:
        sys.exit(f"{one}: {code}")
"""


@pytest.mark.skipif(sys.platform == "win32", reason="closed by a shell of POSIX")
@pytest.mark.parametrize(
    ("close", "words"),
    [(">&-", ["export intake", "--help"]), ("2>&-", ["spread 2026-11-25-1", "--help"]),
     (">&- 2>&-", ["export intake", "spread 2026-11-25-1", "check", "--help"])],
)  # fmt: skip
def test_with_its_streams_closed_a_command_ends_in_silence(
    tmp_path: Path, close: str, words: list[str]
) -> None:
    copy_demo(tmp_path / "shop")
    run = [
        "bash",
        "-c",
        f'exec "$@" {close}',
        "bash",
        sys.executable,
        "-c",
        MANY,
        str(tmp_path / "shop"),
        *words,
    ]
    env = {**os.environ, "PYTHONPATH": str(ROOT)}
    done = subprocess.run(run, capture_output=True, check=False, env=env, stdin=subprocess.DEVNULL)
    assert done.returncode == 0, done.stderr
    assert b"Traceback" not in done.stdout + done.stderr


@pytest.mark.parametrize(
    "wrong",
    [
        {"unreadable": [7, ["x"]]}, {"unreadable": 7}, {"files": ["shop.json"]}, {"files": {"shop.json": 7}},
        {"files": {"shop.json": ["7", "x"]}}, {"files": {"shop.json": [[1], 2]}}, {"files": {"shop.json": [1e999, "x"]}},
        {"files": {"shop.json": [-1, "x"]}}, {"files": {"shop.json": [10**12, "x"]}}, {"files": 3}, {"version": [1]},
        {"files": {"shop.json": [10**4000, "x"]}},
    ],
)  # fmt: skip
def test_a_backup_whose_own_list_is_wrong_is_refused_in_one_line(
    tmp_path: Path, wrong: dict[str, object]
) -> None:
    path = tmp_path / "b.zip"
    with zipfile.ZipFile(path, "w", zipfile.ZIP_DEFLATED) as archive:
        archive.writestr("shop.json", "{}")
        archive.writestr(
            MANIFEST, json.dumps({"version": 1, "at": "", "files": {"shop.json": [2, "x"]}, **wrong})
        )
    with pytest.raises(BenchError, match="this is not a backup") as refused:
        restore(path, tmp_path / "again")
    assert "\n" not in refused.value.one_line()
    assert not (tmp_path / "again").exists()


def test_a_backup_that_swells_beyond_any_shop_is_refused_before_it_is_read(tmp_path: Path) -> None:
    path = tmp_path / "b.zip"
    with zipfile.ZipFile(path, "w", zipfile.ZIP_DEFLATED) as archive:
        for name in ("shop.json", "a", "b"):
            with archive.open(name, "w") as member:
                for _ in range(4):
                    member.write(bytes(1 << 20))
        files = {name: [400 << 20, "x"] for name in ("shop.json", "a", "b")}
        archive.writestr(MANIFEST, json.dumps({"version": 1, "at": "", "files": files}))
    with pytest.raises(BenchError, match="would unpack to"):
        restore(path, tmp_path / "again")
