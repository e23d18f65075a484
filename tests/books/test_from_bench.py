"""The shop's own book grows out of the work."""

import os
import re
from pathlib import Path

import pytest

from benchtui.base.errors import BenchError
from benchtui.books import text as toml_text
from benchtui.books.as_table import answer_table, pressing_table, title_table
from benchtui.books.check import check_books
from benchtui.books.edit import edited
from benchtui.books.from_bench import OWN_BOOK, new_id, pressing_seen
from benchtui.books.library import Library
from benchtui.books.shape import Answer, Clue, Pressing
from benchtui.books.skeleton import skeleton
from benchtui.model.record import AnswerDoc, RecordDoc, TitleRef, empty_record, new_part
from benchtui.model.span import Span, hull, parse_edtf

TITLE: TitleRef = {
    "id": "t-bench-1",
    "artist": 'The "Nettle" Choir',
    "title": "Back\\slash [B2]\ttab\x7f",
    "catalogue": "ND 7",
    "first": "1971",
    "country": "XV",
}
FULL = Pressing(
    id="t-tide/promo",
    name="promotional, white label",
    period=parse_edtf("[1974-08..1974-10]"),
    kind="promotional",
    share=0.5,
    catalogue="TW 1041",
    country="XV",
    channels="mono",
    expect={"tw-label": {"silver": "usually", "gold": "never"}},
    cuts=((("1", "2"), "usually"),),
    extras=("press sheet",),
    price=4250,
    note="one seen",
    source="seen on the bench",
    known="grown",
)


def add_pressing(
    path: Path, title: str, pressing: Pressing, card: TitleRef | None = None, currency: str = ""
) -> None:
    with edited(path, currency) as book:
        if card is not None and book.title(title) is None:
            book.put_title(title_table(card))
        book.put_pressing(title, pressing_table(pressing, book.head().get("currency", "")))


def add_answer(path: Path, clue: Clue, answer: Answer) -> None:
    with edited(path) as book:
        book.put_answer(clue.id, answer_table(answer))


@pytest.fixture
def own(books: Path) -> Path:
    return books / OWN_BOOK


def test_an_added_pressing_stands_with_the_titles_others_exactly_as_given(books: Path, own: Path) -> None:
    add_pressing(own, "t-tide", FULL, currency="GBP")
    title = Library.open([books]).title("t-tide")
    assert title is not None
    assert [pressing.id for pressing in title.pressings] == ["t-tide/mono-1", "t-tide/mono-2", "t-tide/promo"]
    assert title.pressings[-1] == FULL
    assert check_books([books]) == []


def test_a_title_no_book_has_is_written_down_with_its_first_pressing_and_gets_more(
    books: Path, own: Path
) -> None:
    first = Pressing("t-bench-1/a", "first", Span())
    add_pressing(own, "t-bench-1", first, card=TITLE)
    add_pressing(own, "t-bench-1", Pressing("t-bench-1/b", "second", parse_edtf("[1972..]")), card=TITLE)
    title = Library.open([books]).title("t-bench-1")
    assert title is not None
    assert (title.artist, title.title, title.catalogues) == (TITLE["artist"], TITLE["title"], ("ND 7",))
    assert [pressing.id for pressing in title.pressings] == ["t-bench-1/a", "t-bench-1/b"]
    assert title.pressings[0] == first
    assert title.first == parse_edtf("1971")
    assert check_books([books]) == []


def test_an_answer_of_several_times_and_two_hardnesses_is_read_back_as_written(
    books: Path, own: Path
) -> None:
    clue = Library.open([books]).clue("tw-label")
    assert clue is not None
    times = (parse_edtf("[1947-11..1948-04]"), parse_edtf("[1953..1955]"))
    added = Answer("red", "red", 3, hull(times), "hard", to_hardness="soft", times=times)
    add_answer(own, clue, added)
    again = Library.open([books]).clue("tw-label")
    assert again is not None
    assert again.answer("red") == added
    assert added.spans == times
    assert added.ends == ("hard", "soft")


def test_an_answer_can_be_added_to_a_clue_of_the_universal_book(books: Path, own: Path) -> None:
    clue = Library.open([books]).clue("u-barcode")
    assert clue is not None
    add_answer(own, clue, Answer("painted-over", "painted over", 3))
    again = Library.open([books]).clue("u-barcode")
    assert again is not None
    assert again.answer("painted-over") is not None


def test_a_library_opened_again_knows_what_was_added(books: Path, own: Path, cache: Path) -> None:
    library = Library.open([books], ["XV"], cache=cache)
    add_pressing(own, "t-tide", FULL, currency="GBP")
    again = library.reopened().title("t-tide")
    assert again is not None
    assert again.pressings[-1].id == "t-tide/promo"


def test_what_stands_in_the_book_already_is_kept_to_the_letter(own: Path) -> None:
    text = '# my notes\n[book]\nname = "Mine"   # of old\ncurrency = "GBP"\n\n\n'
    own.write_text(text, encoding="utf-8")
    add_pressing(own, "t-tide", FULL, currency="GBP")
    assert own.read_text(encoding="utf-8").startswith(text.rstrip("\n") + "\n\n[[add]]\n")


def test_a_book_that_is_broken_is_not_added_to(own: Path) -> None:
    own.write_text("[book\n", encoding="utf-8")
    with pytest.raises(BenchError, match="is not TOML"):
        add_pressing(own, "t-tide", FULL, currency="GBP")
    assert own.read_text(encoding="utf-8") == "[book\n"


def test_a_failed_replace_leaves_the_old_book_and_no_litter(
    own: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    own.write_text('[book]\nname = "Mine"\ncurrency = "GBP"\n', encoding="utf-8")

    def refuse(*_: object) -> None:
        raise PermissionError(13, "Permission denied")

    monkeypatch.setattr(os, "replace", refuse)
    with pytest.raises(BenchError, match="cannot be written: Permission denied"):
        add_pressing(own, "t-tide", FULL, currency="GBP")
    monkeypatch.undo()
    assert own.read_text(encoding="utf-8") == '[book]\nname = "Mine"\ncurrency = "GBP"\n'
    assert sorted(path.name for path in own.parent.iterdir()) == ["own.toml", "tarrowick.toml"]


@pytest.mark.parametrize(
    "text", ["", 'a"b', "a\\b", "a\nb\tc", "\x7f\x00\x1f", "é 東 👩‍👩‍👧 שלום", '[b]=#\'"""']
)
def test_any_text_comes_back_as_it_was(text: str) -> None:
    import tomllib

    assert tomllib.loads(f"x = {toml_text.text_value(text)}") == {"x": text}


def seen(part: str, clue: str, answer: str, how: str = "seen") -> AnswerDoc:
    return {
        "part": part,
        "place": "label A",
        "clue": clue,
        "answer": answer,
        "value": None,
        "how": how,  # type: ignore[typeddict-item]
        "text": "",
        "book": "",
        "at": "",
    }


def record_seen() -> RecordDoc:
    record = empty_record(1)
    record["title"] = {
        "id": "t-tide",
        "artist": "The Lantern Row",
        "title": "Tide Tables",
        "catalogue": "TWD 1041",
    }
    disc, cover, poster = new_part("disc", number=1), new_part("cover"), new_part("extra", name="poster")
    disc["id"], cover["id"], poster["state"] = "p-1", "p-2", "present"
    disc["sides"] = {"A": {"cut": "2"}, "B": {"cut": "1"}}
    record["parts"] = [disc, cover, poster, new_part("extra", name="badge", state="missing")]
    record["channels"] = "stereo"
    record["answers"] = [seen("p-1", "tw-label", "silver"), seen("p-2", "u-barcode", "none")]
    return record


def test_a_pressing_is_made_of_what_was_seen_on_the_bench(books: Path, own: Path) -> None:
    library = Library.open([books])
    pressing = pressing_seen(record_seen(), library, "Stereo, silver", parse_edtf("[1975..1976]"))
    assert pressing.id == "t-tide/stereo-silver"
    assert pressing.expect == {"tw-label": {"silver": "usually"}, "u-barcode": {"none": "usually"}}
    assert pressing.cuts == ((("2", "1"), "usually"),)
    assert (pressing.extras, pressing.channels, pressing.catalogue) == (("poster",), "stereo", "TWD 1041")
    add_pressing(own, "t-tide", pressing)
    assert check_books([books]) == []


def test_what_was_copied_predicted_or_swapped_or_says_nothing_is_left_out(books: Path) -> None:
    library = Library.open([books])
    record = record_seen()
    record["answers"] = [
        seen("p-1", "tw-label", "silver", "copied"),
        seen("p-1", "tw-label", "unsure"),
        seen("p-1", "tw-label", "lost"),
        seen("p-2", "u-barcode", "none"),
        seen("p-2", "gb-sticker", "shillings"),
    ]
    record["rulings"] = {"p-2": "swapped"}
    assert pressing_seen(record, library, "x", Span()).expect == {}
    record["rulings"] = {}
    assert pressing_seen(record, library, "x", Span()).expect == {"u-barcode": {"none": "usually"}}


def test_a_second_pressing_of_one_name_gets_an_id_of_its_own(books: Path, own: Path) -> None:
    for expected in ("t-tide/mono-1-2", "t-tide/mono-1-3"):
        pressing = pressing_seen(record_seen(), Library.open([books]), "Mono 1", Span())
        assert pressing.id == expected
        add_pressing(own, "t-tide", pressing)


def test_a_record_without_a_title_makes_no_pressing(books: Path) -> None:
    with pytest.raises(ValueError, match="no title yet"):
        pressing_seen(empty_record(1), Library.open([books]), "x", Span())


@pytest.mark.parametrize(
    ("text", "taken", "expected"),
    [
        ("Gold print, on black!", [], "gold-print-on-black"),
        ("Été", [], "ete"),
        ("東京", [], "seen"),
        ("gold", ["gold", "gold-2"], "gold-3"),
        ("", ["seen"], "seen-2"),
    ],
)
def test_an_id_is_made_of_plain_words(text: str, taken: list[str], expected: str) -> None:
    assert new_id(text, taken) == expected


def test_the_skeleton_of_a_new_book_has_no_fault_as_it_is(tmp_path: Path) -> None:
    path = tmp_path / "harbour.toml"
    path.write_text(skeleton("Harbour", company="Harbour", country="XV"), encoding="utf-8")
    assert check_books([tmp_path]) == []
    (head,) = (head for head in Library.open([tmp_path]).books() if head.id == "harbour")
    assert (head.name, head.company, head.country, head.currency) == ("Harbour", "Harbour", "XV", "GBP")


def test_the_skeletons_example_has_no_fault_once_its_marks_are_taken_away(tmp_path: Path) -> None:
    path = tmp_path / "harbour.toml"
    head, _, example = skeleton('Harbour "Lights"', company="Harbour").partition("[book]")
    lines = ("[book]" + example).splitlines()
    text = "\n".join(
        re.sub(r"^# ?", "", line)
        if re.match(r"# (\[|\w+(\.[\w-]+)? = )", line) or "harbou-label =" in line
        else line
        for line in lines
    )
    path.write_text(head + text, encoding="utf-8")
    assert check_books([tmp_path]) == []
    title = Library.open([tmp_path]).title("harbou-0001")
    assert title is not None
    assert [pressing.id for pressing in title.pressings] == ["harbou-0001/1", "harbou-0001/2"]
    assert title.pressings[1].expect == {"harbou-label": {"linen": "always"}}
