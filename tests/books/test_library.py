"""What a library of books answers."""

from datetime import date
from pathlib import Path

import pytest

from benchtui.books.library import Library
from benchtui.model.record import PART_KINDS, RecordDoc, empty_record, new_part
from benchtui.model.span import Span


def record_of(title: str = "t-tide", **fields: str) -> RecordDoc:
    record = empty_record(1)
    record["title"] = {"id": title, "artist": "", "title": "", "catalogue": "", **fields}  # type: ignore[typeddict-item]
    return record


def ids(library: Library, record: RecordDoc, kind: str, volunteered: bool = False) -> list[str]:
    part = new_part(kind)  # type: ignore[arg-type]
    return [clue.id for clue in library.clues_for(record, part, volunteered=volunteered)]


def test_a_title_is_read_with_its_pressings_words_cuts_and_prices(books: Path) -> None:
    title = Library.open([books]).title("t-tide")
    assert title is not None
    assert (title.artist, title.company, title.country, title.book) == (
        "The Lantern Row",
        "Tarrowick",
        "XV",
        "tarrowick",
    )
    first, second = title.pressings
    assert first.expect == {"tw-label": {"gold": "always"}}
    assert second.expect == {"tw-label": {"gold": "rarely", "silver": "usually"}}
    assert first.period == Span(date(1974, 9, 1), date(1975, 7, 31))
    assert (first.price, first.share, second.share) == (2400, 3.0, 1.0)
    assert first.cuts == ((("1", "1"), "usually"), (("2", "1"), "sometimes"))
    assert title.stems["B"] == "DV 1041 B/"


def test_a_record_of_a_joined_title_goes_out_with_the_kept_one_s_card(books: Path) -> None:
    library, record = Library.open([books]).joined({"t-mine": "t-tide"}), record_of("t-mine", first="1964")
    card = library.card_now(record)["title"]
    assert card is not None
    assert (card["id"], card["artist"], card["first"]) == ("t-mine", "The Lantern Row", "1974-09")
    assert record["title"] is not None
    assert record["title"]["first"] == "1964", "nothing is rewritten"
    other = record_of(first="1964")
    assert library.card_now(other) is other


def test_a_title_no_book_has_is_none(books: Path) -> None:
    assert Library.open([books]).title("t-nobody") is None


def test_the_rows_for_completion_carry_what_the_completion_needs(books: Path) -> None:
    (row,) = Library.open([books]).titles()
    assert (row.id, row.catalogue, row.first, row.pressings) == ("t-tide", "TW 1041", "1974-09", 2)


def test_answers_take_digits_in_order_and_keep_those_the_book_fixes(books: Path) -> None:
    clue = Library.open([books]).clue("tw-label")
    assert clue is not None
    assert [(answer.id, answer.digit) for answer in clue.answers] == [
        ("gold", 1),
        ("silver", 2),
        ("unsure", 0),
    ]


def test_a_clue_is_asked_only_of_its_kind_of_part(books: Path) -> None:
    library = Library.open([books])
    for kind in PART_KINDS:
        assert ("tw-label" in ids(library, record_of(), kind)) == (kind == "disc")


def test_a_companys_clues_come_first_and_only_for_its_titles(books: Path) -> None:
    library = Library.open([books])
    assert ids(library, record_of(), "disc")[0] == "tw-label"
    assert "tw-label" not in ids(library, record_of("t-other", company="Another"), "disc")
    assert "tw-label" in ids(library, record_of("t-list", company="Tarrowick"), "disc")


def test_a_clue_to_be_volunteered_is_left_out_until_asked_for(books: Path) -> None:
    library = Library.open([books])
    assert "tw-box" not in ids(library, record_of(), "box")
    assert "tw-box" in ids(library, record_of(), "box", volunteered=True)


def test_a_clue_that_another_asks_instead_is_left_out_until_asked_for_where_that_one_applies(
    books: Path,
) -> None:
    book = books / "tarrowick.toml"
    text = book.read_text(encoding="utf-8")
    book.write_text(text.replace("per_side = true", 'instead_of = ["u-sound"]', 1), encoding="utf-8")
    library = Library.open([books])
    assert "u-sound" not in ids(library, record_of(), "disc")
    assert "u-sound" in ids(library, record_of(), "disc", volunteered=True)
    assert "u-sound" in ids(library, record_of("t-other", company="Another", country="XV"), "disc")


def test_a_box_is_asked_a_covers_clues_and_a_cover_none_of_a_box(books: Path) -> None:
    library = Library.open([books])
    assert set(ids(library, record_of(), "cover")) <= set(ids(library, record_of(), "box"))
    assert "tw-box" not in ids(library, record_of(), "cover", volunteered=True)


def test_a_record_without_a_title_still_has_clues(books: Path) -> None:
    library = Library.open([books])
    assert ids(library, empty_record(1), "inner")


def test_inner_and_cover_ask_for_advertised_titles_everywhere() -> None:
    library = Library.open()
    for kind in ("inner", "cover"):
        part = new_part(kind)  # type: ignore[arg-type]
        clues = library.clues_for(record_of("t-x", country="XV"), part)
        assert [clue.form for clue in clues].count("titles") == 1


@pytest.mark.parametrize("name", ["tarrowick", "Tarrowick Listening"])
def test_a_books_currency_and_digest_are_found_by_id_and_by_name(books: Path, name: str) -> None:
    library = Library.open([books])
    assert library.currency(name) == "GBP"
    assert len(library.digest(name)) == 12
    assert library.digest("nobody") == library.currency("nobody") == ""


def test_the_digest_changes_with_the_text(books: Path) -> None:
    before = Library.open([books]).digest("tarrowick")
    path = books / "tarrowick.toml"
    path.write_text(path.read_text(encoding="utf-8") + "\n", encoding="utf-8")
    assert Library.open([books]).digest("tarrowick") != before


def test_a_catalogue_number_says_when_it_was_first_issued(books: Path) -> None:
    library = Library.open([books])
    span = Span(date(1973, 1, 1), date(1974, 12, 31))
    assert library.first_issued("tw-1041") == span
    assert library.first_issued("TW 1041", "Tarrowick") == span
    assert library.first_issued("TW 1100") is None
    assert library.first_issued("TW 1041", "Another") is None


def test_a_cipher_is_found(books: Path) -> None:
    cipher = Library.open([books]).cipher("tw-stamper")
    assert cipher is not None
    assert cipher.letters == "DUNVERSHAL"


def test_one_clue_id_in_two_books_keeps_its_first_meaning_and_is_told(books: Path) -> None:
    (books / "wharf.toml").write_text(
        (books / "tarrowick.toml").read_text(encoding="utf-8"), encoding="utf-8"
    )
    library = Library.open([books])
    assert library.clue("tw-label").book == "tarrowick"  # type: ignore[union-attr]
    assert any("tw-label is also a clue of the book 'tarrowick'" in line for line in library.aside)


def test_a_folder_that_is_not_there_holds_no_books(tmp_path: Path) -> None:
    assert [head.id for head in Library.open([tmp_path / "none"]).books()] == ["universal"]


def test_of_two_books_of_one_name_the_shops_own_counts(books: Path, tmp_path: Path) -> None:
    own = tmp_path / "own"
    own.mkdir()
    (own / "tarrowick.toml").write_text('[book]\nname = "Mine"\n', encoding="utf-8")
    assert [head.name for head in Library.open([books, own]).books()] == ["Universal", "Mine"]


@pytest.mark.parametrize(
    ("before", "after", "what"),
    [
        ('hardness = "firm"', 'hardness = "iron"', "hardness = 'iron' is not known"),
        ('made = "[1972-04..1977-10-17]"', 'made = "[1977..1972]"', "reversed"),
        ('price = "24.00"', 'price = "24.0055"', "has 2 decimals"),
        ('price = "24.00"', "price = 24.00", "wrong kind"),
        ('tw-label = "gold"', 'tw-label = { gold = "mostly" }', "is not a word"),
        ('looks_like = "silver"', 'look_like = "silver"', "did you mean 'looks_like'"),
        ('part = "disc"', 'part = "disk"', "did you mean 'disc'"),
        ("per_side = true", 'per_side = "yes"', "per_side = true or"),
        ('[[title]]\nid = "t-tide"', "[[title]]\n", "id is missing"),
        ('first = "1974-09"', 'first = "1974-13"', "no month 13"),
        ('cuts = [["1", "1", "usually"]', 'cuts = [["1", "usually"]', "not a pair of cuts"),
        ("low = 1000", 'low = "1000"', "whole number"),
        ("[book]", "[book", "is not TOML"),
        ('currency = "GBP"', 'currency = "QQQ"', "currency"),
        ("[[cipher]]", "[[ciphers]]", "did you mean 'cipher'"),
        (
            'name = "Tarrowick Listening"',
            'name = """\nTarrowick [[clue]]\n"""\nkind = "x"',
            "'kind' is not known",
        ),
    ],
)
def test_a_book_that_cannot_be_read_is_told_with_its_line(
    books: Path, before: str, after: str, what: str
) -> None:
    path = books / "tarrowick.toml"
    text = path.read_text(encoding="utf-8")
    assert before in text
    changed = text.replace(before, after, 1)
    path.write_text(changed, encoding="utf-8")
    line = changed[: changed.index(after) + len(after.rstrip("\n"))].count("\n") + 1
    library = Library.open([books])
    said = library.aside[0]
    assert said.startswith(f"{path}:{line}: ")
    assert library.clues()  # those of the universal book at least
    assert what in said
    assert "\n" not in said
