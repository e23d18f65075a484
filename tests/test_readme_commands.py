"""Every command that the README gives is understood, and run where it needs no terminal and no server."""

import re
import shlex
import shutil
from argparse import ArgumentParser
from pathlib import Path

import pytest

from benchtui.bench.run import copy_demo
from benchtui.cli import main
from benchtui.cli.program import parser_of

ROOT = Path(__file__).resolve().parents[1]
README = (ROOT / "README.md").read_text(encoding="utf-8")
NOT_HERE = ("demo", "play", "--", "[")
"""What opens a bench or plays one: other tests do, with keys."""
TABLE = "artist,title,number,pressing,from,to\nVesna Mull,Salt Ladder,ZZ 100,first,1971,1973\n"
LIST = "artist,title,number,year\nVesna Mull,Salt Ladder,ZZ 100,1971\n"
WANTED = {
    "export report": ["--parcel", "2026-11-25-1"], "export vat": ["--period", "2026-Q4"], "book take": ["--dry-run"],
}  # fmt: skip
"""What a command asks for beside what the README's line says: it says so itself."""
NOTHING_THERE = {"export receipts": "no parcel of a private seller"}
"""What the demo shop has none of: said in one line."""


def commands_told() -> list[str]:
    """Each command of a block or of a sentence, once."""
    told: list[str] = []
    for block in re.findall(r"```\w*\n(.*?)```", README, re.DOTALL):
        whole = re.sub(r"\n {20,}(?=\[)", " ", block)
        lines = (re.match(r"(?:\$ )?(benchtui .*)", line) for line in whole.splitlines())
        told += [re.split(r"\s{2,}(?!\[)", found[1])[0] for found in lines if found]
    told += re.findall(r"`(benchtui [^`]*)`", README)
    return list(dict.fromkeys(text.removeprefix("benchtui ").strip() for text in told))


def plain(text: str) -> list[str]:
    """The command without what may be left out, once for each of the words that it offers."""
    while "[" in text:
        text = re.sub(r" ?\[[^][]*\]", "", text)
    offered = re.search(r"[\w-]+(?:\|[\w-]+)+", text)
    return [text.replace(offered[0], one) for one in offered[0].split("|")] if offered else [text]


@pytest.mark.parametrize("text", commands_told())
def test_the_parser_knows_every_word_of_it(text: str) -> None:
    words = shlex.split(re.sub(r"[][]", "", text).replace(" ...", ""))
    if words[0].startswith("-") or words[0] == "benchtui":
        words = [word for word in words if word != "benchtui"]
    known = parser_of(words[:2]).format_help()
    commands = next(a.choices for a in parser_of(["--help"])._actions if a.dest == "command")
    assert commands is not None
    name = next((word for word in words if word in commands), None)
    assert name is not None or words[0].startswith("--")
    options = {option for option in words if option.startswith("--")}
    told = known + " ".join(_helps(parser_of(words), name))
    assert [option for option in sorted(options) if option not in told] == []


def _helps(parser: ArgumentParser, name: str | None) -> list[str]:
    """The help of a command and of the commands below it."""
    choices = next(a.choices for a in parser._actions if a.dest == "command")
    if name is None or choices is None:
        return []
    assert isinstance(choices, dict)
    found = [choices[name].format_help()]
    for action in choices[name]._actions:
        if isinstance(action.choices, dict):
            found += [one.format_help() for one in action.choices.values()]
    return found


@pytest.fixture(scope="module")
def shop(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A demo shop, with the files that the commands name beside it."""
    folder = tmp_path_factory.mktemp("readme")
    copy_demo(folder / "shop")
    (folder / "table.csv").write_text(TABLE)
    (folder / "list.csv").write_text(LIST)
    (folder / "pictures").mkdir()
    shutil.copy(ROOT / "demo" / "sales_seen.csv", folder / "sales.csv")
    shutil.copy(folder / "shop" / "books" / "ulmary.toml", folder / "theirs.toml")
    layout = README.partition("```toml\n")[2].partition("```")[0]
    (folder / "shop" / "exports" / "layouts" / "window.toml").write_text(layout)
    return folder


def _given(text: str, folder: Path) -> list[str]:
    """The command with files, days and names of that shop in place of the words that stand for them."""
    kind = " ".join(text.split()[:2])
    files = {
        "titles": "list.csv", "sales FILE.csv": "sales.csv", "book take": "table.csv",
        "photographs FOLDER": "pictures", "book merge": "theirs.toml", "book diff": "theirs.toml",
    }  # fmt: skip
    named = next((file for start, file in files.items() if kind.startswith(start)), "out.csv")
    words = []
    for word in shlex.split(text):
        word = {
            "FILE": str(folder / named), "FILE.csv": str(folder / named), "FOLDER": str(folder / "pictures"),
            "OTHER": str(folder / "theirs.toml"), "A": str(folder / "shop" / "books" / "ulmary.toml"),
            "B": str(folder / "theirs.toml"), "BOOK": "ulmary", "PARCEL": "2026-11-25-1", "P": "2026-11-25-1",
            "D": "2026-11-25", "TITLE": "tin barometer", "NAME": "larch", "CLUE=ANSWER": "tw-label=blotter",
            "FILE.zip": str(folder / "all.zip"), "all.zip": str(folder / "more.zip"),
        }.get(word, word)  # fmt: skip
        words.append(word)
    if "DIR" in words:
        at = words.index("DIR")
        words[at] = str(folder / ("shop" if words[at - 1] == "--shop" else "salvaged"))
    words = [word for word in words if word != "..."]
    if "consignment" in words:
        words = [word.replace("2026-11-25-1", "2026-10-05-1") for word in words]
    words += next((more for start, more in WANTED.items() if text.startswith(start)), [])
    return words if "--shop" in words else [*words, "--shop", str(folder / "shop")]


RUN = [
    one for text in commands_told() for one in plain(text)
    if not text.startswith(NOT_HERE) and "postgresql" not in text and one not in ("sales", "book undo")
]  # fmt: skip


def test_each_that_needs_no_terminal_runs_on_the_demo_shop(
    shop: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """In the README's order on one shop: none is refused, and a look finds nothing wrong."""
    failed = []
    for text in dict.fromkeys(RUN):
        code = main(_given(text, shop))
        said = capsys.readouterr()
        if code != 0 and NOTHING_THERE.get(text.strip(), "?") not in said.err:
            failed.append((text, code, said.err.strip()[:200]))
    assert failed == []
