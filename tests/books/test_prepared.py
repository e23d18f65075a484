"""Books prepared for reading title by title."""

import os
import re
import tempfile
import tomllib
from pathlib import Path
from random import Random
from typing import Any

import pytest

from benchtui.base.errors import BenchError
from benchtui.books import blocks, prepared
from benchtui.books.library import Library
from benchtui.books.prepared import SUFFIX, prepare

TITLES = 240


def large_book(titles: int = TITLES, name: str = "Large") -> str:
    """A book big enough to be prepared, titles in no order, some ids the beginning of others."""
    order = [(index * 7919) % titles for index in range(titles)]
    rows = [
        f'[[title]]\nid = "t-{index}"\nartist = "Voice {index}"\ntitle = "Song {index}"\n'
        f'[[title.pressing]]\nid = "t-{index}/1"\n[[title.pressing]]\nid = "t-{index}/2"\n'
        for index in order
    ]
    return f'[book]\nname = "{name}"\n' + "".join(rows)


@pytest.fixture
def book(tmp_path: Path) -> Path:
    path = tmp_path / "books" / "large.toml"
    path.parent.mkdir()
    path.write_text(large_book(), encoding="utf-8")
    assert path.stat().st_size > prepared.SMALL_BYTES
    return path


def beside(path: Path) -> Path:
    return path.with_name(path.name + SUFFIX)


def never_read(*_: object) -> bytes:
    raise AssertionError("the TOML was read although it had been prepared")


def test_every_title_is_found_and_none_that_is_not_there(book: Path, cache: Path) -> None:
    library = Library.open([book.parent], cache=cache)
    for index in range(TITLES):
        title = library.title(f"t-{index}")
        assert title is not None
        assert title.title == f"Song {index}"
        assert [pressing.id for pressing in title.pressings] == [f"t-{index}/1", f"t-{index}/2"]
    for missing in ("", "t", "t-", f"t-{TITLES}", "t-1x", "a", "zz", "t-0/1"):
        assert library.title(missing) is None


def test_the_rows_come_in_the_books_own_order(book: Path, cache: Path) -> None:
    rows = list(Library.open([book.parent], cache=cache).titles())
    assert len(rows) == TITLES
    assert [row.id for row in rows[:3]] == ["t-0", f"t-{7919 % TITLES}", f"t-{2 * 7919 % TITLES}"]
    assert {row.pressings for row in rows} == {2}


def test_the_first_opening_prepares_the_book_and_the_next_does_not_read_it(
    book: Path, cache: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    prepare(book, cache)
    assert beside(book).is_file()
    monkeypatch.setattr(prepared, "read_bytes", never_read)
    again = prepare(book, cache)
    assert again.title_table("t-17") is not None
    assert again.head.name == "Large"


@pytest.mark.parametrize("keep_times", [False, True])
def test_a_changed_book_is_prepared_anew(book: Path, cache: Path, keep_times: bool) -> None:
    before = prepare(book, cache).head.digest
    times = book.stat()
    book.write_text(large_book().replace("Song 17", "Sing 17"), encoding="utf-8")  # of the same length
    if keep_times:
        os.utime(book, ns=(times.st_atime_ns, times.st_mtime_ns))
    library = Library.open([book.parent], cache=cache)
    title = library.title("t-17")
    assert title is not None
    assert title.title == "Sing 17"
    assert library.digest("large") != before


def test_a_book_that_was_touched_but_not_changed_is_not_read_again_as_toml(
    book: Path, cache: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    prepare(book, cache)
    os.utime(book, ns=(1, 1))
    monkeypatch.setattr(prepared, "usable", never_read)
    again = prepare(book, cache)
    assert again.title_table("t-17") is not None
    monkeypatch.setattr(prepared, "read_bytes", never_read)
    assert prepare(book, cache).title_table("t-18") is not None


@pytest.mark.parametrize("damage", [b"", b"{", b"nonsense\n", None])
def test_a_damaged_prepared_file_is_made_anew(book: Path, cache: Path, damage: bytes | None) -> None:
    prepare(book, cache)
    whole = beside(book).read_bytes()
    beside(book).write_bytes(whole[:-5] if damage is None else damage)
    assert prepare(book, cache).title_table("t-17") is not None
    assert beside(book).read_bytes() == whole


def test_a_prepared_file_with_any_byte_changed_gives_the_books_own_words_all_the_same(
    book: Path, cache: Path
) -> None:
    book.write_text(large_book(30) + "# " + "-" * prepared.SMALL_BYTES, encoding="utf-8")
    prepare(book, cache)
    whole = beside(book).read_bytes()
    right = Library.open([book.parent], cache=cache)
    rows, title = list(right.titles()), right.title("t-17")
    for place in range(0, len(whole), len(whole) // 40):
        beside(book).write_bytes(whole[:place] + bytes([whole[place] ^ 0x5A]) + whole[place + 1 :])
        library = Library.open([book.parent], cache=cache)
        assert library.title("t-17") == title
        assert [library.title(f"t-{index}") for index in range(30)].count(None) == 0
        assert list(library.titles()) == rows


def test_a_prepared_file_of_another_version_is_made_anew(
    book: Path, cache: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(prepared, "VERSION", prepared.VERSION + 1)
    prepare(book, cache)
    newer = beside(book).read_bytes()
    monkeypatch.undo()
    prepare(book, cache)
    assert beside(book).read_bytes() != newer


def no_room(refused: Path) -> object:
    """Stands in for ``mkstemp`` in a folder that cannot be written (root may write anywhere)."""
    real = tempfile.mkstemp

    def mkstemp(**asked: Any) -> tuple[int, str]:
        folder = asked["dir"]
        if folder == refused or refused in folder.parents:
            raise PermissionError(13, "Permission denied", str(folder))
        return real(**asked)

    return mkstemp


def test_where_the_books_folder_cannot_be_written_the_cache_holds_the_prepared_book(
    book: Path, cache: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(tempfile, "mkstemp", no_room(book.parent))
    assert prepare(book, cache).title_table("t-17") is not None
    assert not beside(book).exists()
    assert len(list(cache.iterdir())) == 1
    monkeypatch.setattr(prepared, "read_bytes", never_read)
    assert prepare(book, cache).title_table("t-17") is not None


def test_where_nothing_can_be_written_the_book_still_works(
    book: Path, cache: Path, monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    monkeypatch.setattr(tempfile, "mkstemp", no_room(tmp_path))
    library = Library.open([book.parent], cache=cache)
    assert library.title("t-17") is not None
    assert len(list(library.titles())) == TITLES
    assert not beside(book).exists()


def test_a_cache_that_is_a_file_does_no_harm(
    book: Path, cache: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    cache.write_text("in the way", encoding="utf-8")
    monkeypatch.setattr(tempfile, "mkstemp", no_room(book.parent))
    assert prepare(book, cache).title_table("t-17") is not None


def test_the_programs_own_books_are_prepared_in_the_cache_only(cache: Path) -> None:
    library = Library.open(cache=cache)
    universal = Path(library.books()[0].path)
    assert universal.stat().st_size > prepared.SMALL_BYTES
    assert not beside(universal).exists()
    assert len(list(cache.iterdir())) == 1


def test_a_book_changed_while_it_is_open_stays_as_it_was_opened_until_it_is_opened_again(
    book: Path, cache: Path
) -> None:
    """Answers are kept with the digest of the book that was open; half of each book would fit neither."""
    library = Library.open([book.parent], cache=cache)
    before = library.digest("large")
    book.write_text(large_book().replace("Song 17", "Another Song 17"), encoding="utf-8")
    prepare(book, cache)
    title, again = library.title("t-17"), library.reopened()
    assert title is not None
    assert (title.title, library.digest("large")) == ("Song 17", before)
    renamed = again.title("t-17")
    assert renamed is not None
    assert renamed.title == "Another Song 17"
    assert again.digest("large") != before


def test_a_small_book_is_never_prepared(books: Path, cache: Path) -> None:
    Library.open([books], cache=cache)
    assert [path.name for path in books.iterdir()] == ["tarrowick.toml"]


def test_a_title_that_cannot_be_read_is_set_aside_and_told_again_from_the_prepared_file(
    book: Path, cache: Path
) -> None:
    book.write_text(
        large_book() + '[[title]]\nid = "t-bad"\ntitle = "Bad"\nfirst = "never"\n', encoding="utf-8"
    )
    for _ in range(2):
        read = prepare(book, cache)
        assert len(read.aside) == 1
        assert re.search(r"large\.toml:\d+: title t-bad: first: 'never' is not a date", read.aside[0])
        assert read.title_table("t-17") is not None
        assert read.title_table("t-bad") is None
    assert beside(book).exists()


def test_a_book_that_is_gone_is_told_in_one_line(tmp_path: Path, cache: Path) -> None:
    with pytest.raises(BenchError, match="cannot be read"):
        prepare(tmp_path / "gone.toml", cache)


@pytest.fixture
def large(monkeypatch: pytest.MonkeyPatch) -> list[bytes]:
    """Every book counts as a large one; what of it was read as TOML."""
    for module in ("blocks", "prepared", "reread"):
        monkeypatch.setattr(f"benchtui.books.{module}.LARGE", 10)
    read: list[bytes] = []
    real = prepared.usable

    def usable(data: bytes, path: Path) -> object:
        read.append(data)
        return real(data, path)

    monkeypatch.setattr(prepared, "usable", usable)
    return read


def test_of_a_large_book_only_the_titles_that_are_another_are_read_again(
    book: Path, cache: Path, large: list[bytes]
) -> None:
    prepare(book, cache)
    large.clear()
    text = book.read_text("utf-8")
    changed = text.replace('title = "Song 17"', 'title = "Changed"', 1)
    assert changed != text
    for now in (changed, text, text.replace("[[title]]", "[[title]]\nsize_in = 10", 1)):
        book.write_text(now, encoding="utf-8")
        quick = prepare(book, cache)
        beside(book).unlink()
        assert quick == prepare(book, cache), "what reading the whole of it gives"
    sizes = [data.count(b"[[title]]") for data in large]
    assert sizes == [1, text.count("[[title]]"), 1, text.count("[[title]]"), 1, text.count("[[title]]")]


def test_a_fault_in_a_large_book_is_told_with_its_line_also_after_the_next_change(
    book: Path, cache: Path, large: list[bytes]
) -> None:
    prepare(book, cache)
    text = book.read_text("utf-8")
    middle = text.index("[[title]]", len(text) // 2)
    wrong = text[:middle] + text[middle:].replace("[[title]]", "[[title]]\nsize_in = false", 1)
    no_title = wrong.replace('title = "Song 3"\n', "", 1)
    for now in (wrong, wrong.replace("Song 17", "Sing", 1), no_title):
        book.write_text(now, encoding="utf-8")
        quick = prepare(book, cache)
        assert f":{now.count(chr(10), 0, now.index('size_in')) + 1}:" in "".join(quick.aside)
        beside(book).unlink()
        assert quick == prepare(book, cache), "what reading the whole of it gives"
    assert len(quick.aside) == 2
    assert quick.title_table("t-3") is None
    large.clear()
    book.write_text(text, encoding="utf-8")
    assert prepare(book, cache).aside == ()
    assert [data.count(b"[[title]]") for data in large] == [2]


CLUE = '[[clue]]\nid = "tint"\nask = "Tint"\npart = "disc"\nplace = "label"\nanswer = [{ id = "red", text = "red" }]\n'
PRICED = '[[title]]\nid = "priced"\ntitle = "P"\ncompany = "Else"\n[[title.pressing]]\nid = "priced/1"\nprice = "9.00"\n'


def test_a_clue_or_another_head_has_no_title_of_a_large_book_read_again(
    book: Path, cache: Path, large: list[bytes]
) -> None:
    head = '[book]\nname = "Large"\n'
    text = book.read_text("utf-8").replace(head, "") + PRICED
    heads = (
        f'{head}currency = "GBP"\n',
        f'{head}currency = "GBP"\ncompany = "Mossgate"\ncountry = "XV"\n{CLUE}',
        f'{head}currency = "EUR"\ncompany = "Whelkin"\n',
        f'{head}currency = "KWD"\n',
    )
    read = []
    for now in heads:
        book.write_text(now + text, encoding="utf-8")
        large.clear()
        quick = prepare(book, cache)
        read.append(large[-1].count(b"[[title]]"))
        beside(book).unlink()
        assert quick == prepare(book, cache), "what reading the whole of it gives"
    every = TITLES + 1
    assert read == [every, 0, 0, every], "of other money the prices are read again"


def test_a_large_text_changed_in_one_place_is_parted_as_if_it_were_parted_whole(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setattr(blocks, "LARGE", 10)
    text = (
        large_book(12) + '[[add]]\nclue = "x"\n[[add.answer]]\nid = "y"\ntext = """\n[[title]]\n"""\n# end\n'
    )
    pieces = (
        'note = "x"\n',
        "\n# told\n",
        '[[title]]\nid = "new"\n',
        "\n",
        'source = """',
        "",
        "]",
        "[[clue]]\n",
    )
    chance, tried = Random(7), 0
    for _ in range(150):
        blocks.split_pieces(text)
        at = (
            chance.randrange(len(text))
            if chance.random() < 0.5
            else text.find("[[", chance.randrange(len(text)))
        )
        now = text[:at] + chance.choice(pieces) + text[at + chance.choice((0, 0, 5, 90)) :]
        try:
            tomllib.loads(now)
        except tomllib.TOMLDecodeError:
            continue
        assert blocks.split_pieces(now) == blocks._split(now)
        tried += 1
        text = now if len(now) < 2_000 else text
    assert tried > 30
