"""Nothing that was right becomes wrong unseen: a change of the books tells what it calls otherwise."""

import pytest
from bench_hands import Hands, Sit
from test_coach_page import BOOK
from test_table import find, shown, work

from benchtui.base.errors import BenchError
from benchtui.desk.book import book_split
from benchtui.desk.book.cells import CARD
from benchtui.desk.core.pages import keys_now
from benchtui.desk.own_book.growing import books_changed
from benchtui.desk.own_book.otherwise import _is_named, found_otherwise
from benchtui.evidence.results import Likely
from benchtui.model.record import empty_record

TOLD = BOOK.replace('name = "second"', 'name = "second"\nexpect = { mg-rim = "thin" }')


@pytest.fixture
def taken_in(parcel: Hands) -> Hands:
    """A record with a thick rim, taken in as the first of two pressings; the title's page is open."""
    (parcel.desk.shop.path / "books" / "mossgate.toml").write_text(TOLD)
    books_changed(parcel.desk)
    parcel.find("crooked weir").take("disc")
    parcel.ask("rim of the mossgate label").answer("thick")
    parcel.key("q", "1").do("take-in")
    parcel.do("take-in") if parcel.refused else None
    assert parcel.at(1)["pressing"]["id"] == "ms-1/1"
    parcel.do("line-leave") if parcel.desk.open.line else None
    work(parcel)
    assert found_otherwise(parcel.desk) == []
    return find(parcel, "book titles").do("book-find").enter("crooked weir")


def _split(hands: Hands) -> Hands:
    """The first pressing split: the new one is as it was, of the first the rim is said to be thin."""
    hands.key(*["down"] * len(CARD)).do("book-add").enter("thick rim")
    work(hands)
    assert found_otherwise(hands.desk) == [], "as like as its pattern: nothing is called otherwise"
    return hands


def _rim(hands: Hands, name: str, words: str) -> Hands:
    title = hands.desk.library.title("ms-1")
    assert title is not None
    assert hands.desk.open.page is not None
    hands.desk.open.page.marked = len(CARD) + [one.name for one in title.pressings].index(name)
    hands.desk.open.page.data["at"] = 0
    hands.do(*["book-right"] * 20, "page-enter").enter(words)
    assert not hands.refused, hands.said
    return work(hands)


def test_a_pressing_that_is_split_tells_whose_copies_go_with_the_new_one_and_counts_follow(
    taken_in: Hands,
) -> None:
    _rim(_split(taken_in), "first", "thin")
    (one,) = found_otherwise(taken_in.desk)
    assert (one.so_far.name, one.now.name) == ("first", "thick rim")
    stock = taken_in.at(1)["stock"]
    assert f"{stock}, so far 'first', would now be 'thick rim'" in taken_in.said
    find(taken_in, "named differently")
    assert "thick rim" in shown(taken_in)
    taken_in.key("enter", "2")
    assert taken_in.at(1)["pressing"]["id"] == one.now.id
    assert one.now.id in taken_in.desk.weighings.counts()
    assert found_otherwise(taken_in.desk) == []
    taken_in.do("page-leave", "line-leave", "undo", "undo")  # it was done at another record: asked first
    assert taken_in.at(1)["pressing"]["id"] == "ms-1/1"


def test_undo_on_the_page_asks_before_it_takes_back_what_was_not_done_there(taken_in: Hands) -> None:
    """It took record 1 out of the stock again, unasked."""
    _rim(_split(taken_in), "first", "thin")
    find(taken_in, "named differently")
    state = taken_in.at(1)["state"]
    taken_in.do("page-undo")
    assert taken_in.refused
    assert taken_in.said.startswith("done last, ")
    assert taken_in.at(1)["state"] == state
    taken_in.key("enter", "2").do("page-undo")
    assert not taken_in.refused
    assert taken_in.said.startswith("taken back: record 1: pressing chosen")


def _full_disk(*_: object, **__: object) -> None:
    raise BenchError("no space is left on the disk")


def test_a_question_that_there_is_not_is_made_by_insert_and_splits(taken_in: Hands) -> None:
    desk = taken_in.desk
    taken_in.key(*["down"] * len(CARD)).do("book-split")
    line = desk.open.line
    assert line is not None
    sample = line.about.split("the other: ")[1].rpartition("; ")[0]
    assert any(f"; {one.ask}: " in sample for one in desk.library.clues())
    taken_in.enter("wide; flange: narrow / wide")
    assert "no question is called 'flange': Ins makes it" in taken_in.said
    taken_in.do("line-new")
    made = next(one for one in desk.library.clues() if one.ask == "flange")
    assert (made.part, [one.text for one in made.answers]) == ("disc", ["narrow", "wide"])
    title = desk.library.title("ms-1")
    assert title is not None
    wide = next(one for one in title.pressings if one.name == "wide")
    assert wide.expect[made.id] == {"wide": "always"}


def test_words_that_other_questions_may_mean_become_a_new_one_by_its_key(taken_in: Hands) -> None:
    desk = taken_in.desk
    before = {one.id for one in desk.library.clues()}
    taken_in.key(*["down"] * len(CARD)).do("book-split").enter("raised edge; edge: flat / raised")
    assert taken_in.refused
    assert "'edge' may be" in taken_in.said
    assert "makes it, with flat / raised" in taken_in.said
    taken_in.do("line-new")
    assert not taken_in.refused, taken_in.said
    (made,) = [one for one in desk.library.clues() if one.id not in before]
    assert (made.ask, made.part) == ("edge", "disc")
    raised = next(one for one in desk.library.title("ms-1").pressings if one.name == "raised edge")  # type: ignore[union-attr]
    assert raised.expect[made.id] == {"raised": "always"}


def test_one_line_splits_a_pressing_and_tells_whose_copies_show_the_other(
    taken_in: Hands, monkeypatch: pytest.MonkeyPatch
) -> None:
    desk = taken_in.desk
    taken_in.key(*["down"] * len(CARD)).do("book-split")
    for wrong in ("", "second", "thick rim; rim", "thick rim; no such thing: thin / thick",
                  "thick rim; rim: thin / thin", "thick rim; rim: thin / square"):  # fmt: skip
        taken_in.enter(wrong)
        assert taken_in.refused, wrong
        desk.open.line.text = ""  # type: ignore[union-attr]
    before = {one.name: one.share for one in desk.library.title("ms-1").pressings}  # type: ignore[union-attr]
    with monkeypatch.context() as full:
        full.setattr(book_split, "change", _full_disk)
        taken_in.enter("thick rim; rim: thin / thick")
    assert taken_in.refused
    assert desk.open.line is not None, "what the disk does not take stays in the line"
    taken_in.do("line-accept")
    assert "1 confirmed as 'first'" in taken_in.said
    first, other = (
        next(one for one in desk.library.title("ms-1").pressings if one.name == name)  # type: ignore[union-attr]
        for name in ("first", "thick rim")
    )
    assert first.share == other.share == before["first"] / 2
    assert (first.expect["mg-rim"], other.expect["mg-rim"]) == ({"thin": "always"}, {"thick": "always"})
    work(taken_in)
    assert [(one.so_far.name, one.now.name) for one in found_otherwise(desk)] == [("first", "thick rim")]
    work(taken_in.do("page-undo"))
    assert {one.name: one.share for one in desk.library.title("ms-1").pressings} == before  # type: ignore[union-attr]
    assert found_otherwise(desk) == []


def test_a_decided_record_that_is_gone_from_its_parcel_is_on_no_list(taken_in: Hands) -> None:
    _rim(_split(taken_in), "first", "thin")
    find(taken_in, "named differently").key("enter", "2")
    taken_in.do("page-leave", "line-leave")
    taken_in.do(*["undo"] * 40)
    assert taken_in.desk.work.records == []
    assert found_otherwise(taken_in.desk) == []


def test_what_is_not_decided_is_there_after_a_restart_and_gone_once_it_is(taken_in: Hands, sit: Sit) -> None:
    _rim(_split(taken_in), "first", "thin")
    (one,) = found_otherwise(taken_in.desk)
    path = taken_in.desk.shop.path
    taken_in.leave()
    again = sit(path)
    assert [
        (each.record, each.stock, each.so_far.name, each.now.id) for each in found_otherwise(again.desk)
    ] == [(one.record, one.stock, "first", one.now.id)]
    again.do("page-leave") if again.desk.open.page else None
    find(again, "named differently").key("enter", "2")
    assert again.at(1)["pressing"]["id"] == one.now.id
    again.leave()
    assert found_otherwise(sit(path).desk) == []


def test_a_list_edited_into_nonsense_is_none(taken_in: Hands) -> None:
    likely = {"id": "a", "name": "first", "p": "very"}
    whole = {"parcel": "x", "record": "y", "stock": "A1", "title": "T", "so_far": likely, "now": likely}
    for nonsense in ([{"parcel": "x"}], [whole], 5, "x"):
        taken_in.desk.shop.change_settings(named_differently=nonsense)
        taken_in.desk.background.otherwise = None
        assert found_otherwise(taken_in.desk) == []


def test_what_was_decided_elsewhere_or_is_gone_leaves_the_list_as_it_is_opened(taken_in: Hands) -> None:
    _rim(_split(taken_in), "first", "thin")
    (one,) = found_otherwise(taken_in.desk)
    taken_in.desk.background.otherwise = [one._replace(record="none"), one]
    find(taken_in, "named differently")
    assert found_otherwise(taken_in.desk) == [one]
    taken_in.key("enter", "2")
    taken_in.desk.background.otherwise = [one]
    find(taken_in, "named differently")
    assert taken_in.refused
    assert found_otherwise(taken_in.desk) == []


def test_what_is_taken_back_in_the_book_tells_nothing_more_and_a_word_of_the_dealer_s_ends_it(
    taken_in: Hands,
) -> None:
    _rim(_split(taken_in), "first", "thin")
    work(taken_in.do("page-undo"))
    assert found_otherwise(taken_in.desk) == []
    work(taken_in.do("page-redo"))
    find(taken_in, "named differently").key("enter", "1")
    pressing = taken_in.at(1)["pressing"]
    assert (pressing["id"], pressing["how"]) == ("ms-1/1", "hand")
    assert found_otherwise(taken_in.desk) == []
    taken_in.do("page-leave") if taken_in.desk.open.page else None
    taken_in.do("line-leave", "undo", "undo")
    assert [each.now.name for each in found_otherwise(taken_in.desk)] == ["thick rim"]
    taken_in.do("redo", "redo")
    assert found_otherwise(taken_in.desk) == []


def test_a_merge_taken_back_tells_nothing_of_a_copy_that_is_called_so_already(parcel: Hands) -> None:
    """It was counted in the message, and was not on the page that decides."""
    (parcel.desk.shop.path / "books" / "mossgate.toml").write_text(TOLD)
    books_changed(parcel.desk)
    parcel.find("crooked weir").take("disc")
    parcel.ask("rim of the mossgate label").answer("thin")
    parcel.key("q", "2").do("take-in", "take-in")
    assert (parcel.at(1)["state"], parcel.at(1)["pressing"]["id"]) == ("taken-in", "ms-1/1")
    parcel.do("line-leave") if parcel.desk.open.line else None
    work(find(parcel, "book titles").do("book-find").enter("crooked weir"))
    assert parcel.desk.open.page is not None
    parcel.desk.open.page.marked = len(CARD)
    work(find(parcel, "merge pressings").key("1"))
    work(parcel.do("page-undo"))
    assert parcel.said == "taken back: Crooked Weir: 'first' and 'second' are one"
    assert found_otherwise(parcel.desk) == []


def test_a_grown_pressing_told_otherwise_tells_of_the_copy_it_was_made_of(parcel: Hands) -> None:
    for words, name in (("thick", "wide rim"), ("thin", "fine rim")):
        (parcel.desk.shop.path / "books" / "mossgate.toml").write_text(
            BOOK[: BOOK.index("[[title.pressing]]")]
        )
        books_changed(parcel.desk)
        parcel.find("crooked weir").take("disc")
        parcel.ask("rim of the mossgate label").answer(words)
        parcel.key("q", "n", "1", "n").enter(name).do("take-in")
        parcel.do("take-in") if parcel.refused else None
    parcel.do("line-leave") if parcel.desk.open.line else None
    work(parcel)
    assert found_otherwise(parcel.desk) == [], "either is what the other is not"
    find(parcel, "book titles").do("book-find").enter("crooked weir")
    _rim(_rim(parcel, "wide rim", "thin"), "fine rim", "thick")
    assert {(one.so_far.name, one.now.name) for one in found_otherwise(parcel.desk)} == {
        ("wide rim", "fine rim"),
        ("fine rim", "wide rim"),
    }


def test_a_record_mended_meanwhile_leaves_the_list_as_it_is_opened(taken_in: Hands) -> None:
    _rim(_split(taken_in), "first", "thin")
    assert found_otherwise(taken_in.desk)
    taken_in.do("page-leave", "page-leave")
    taken_in.do("line-leave") if taken_in.desk.open.line else None
    taken_in.do("jump-record").enter("1").take("disc")
    taken_in.ask("rim of the mossgate label").answer("thin")
    find(taken_in, "named differently")
    assert found_otherwise(taken_in.desk) == []
    assert "name every record taken in as before" in taken_in.said


def test_a_record_whose_pressing_only_led_was_named_nothing_that_could_change() -> None:
    likely = Likely("q/1", "first", 0.28)
    for how, p, named in (("leader", 0.28, False), ("leader", 0.97, True), ("hand", None, True)):
        record = empty_record(1)
        record["pressing"] = {"id": "q/1", "how": how, "p": p, "learn": False}  # type: ignore[typeddict-item]
        assert _is_named(record, likely, 0.95) == named


@pytest.mark.parametrize("grown", [False, True])
@pytest.mark.parametrize("was", ["", 'expect = { mg-rim = { thick = "usually" } }'])
@pytest.mark.parametrize("given", ["first", "wide"])
def test_halves_of_a_split_made_one_are_again_what_was_split(
    taken_in: Hands, given: str, was: str, grown: bool
) -> None:
    desk = taken_in.desk
    known = 'known = "grown"\n' if grown else ""
    book = TOLD.replace('expect = { mg-rim = "thick" }', known + was)
    assert book != TOLD
    (desk.shop.path / "books" / "mossgate.toml").write_text(book)
    books_changed(desk)
    before = desk.library.title("ms-1").pressings[0]  # type: ignore[union-attr]
    taken_in.key(*["down"] * len(CARD)).do("book-split").enter("wide; rim: thick / thin")
    _merge(taken_in, given)
    assert "are one, as before the split" in taken_in.said
    after = next(one for one in desk.library.title("ms-1").pressings if one.name != "second")  # type: ignore[union-attr]
    assert (after.share, after.expect, after.differs) == (before.share, before.expect, before.differs)
    assert len(desk.library.title("ms-1").pressings) == 2  # type: ignore[union-attr]


def test_a_half_that_was_told_more_since_the_split_gives_that_to_the_other(taken_in: Hands) -> None:
    taken_in.key(*["down"] * len(CARD)).do("book-split").enter("wide; rim: thick / thin")
    _merge(_rim(taken_in, "first", "thick, rarely thin"), "wide")
    first = taken_in.desk.library.title("ms-1").pressings[0]  # type: ignore[union-attr]
    assert first.expect["mg-rim"] == {"thick": "usually", "thin": "rarely"}


def _merge(hands: Hands, given: str) -> None:
    """That half is made one with the other: ``first`` and ``wide`` are the two."""
    title = hands.desk.library.title("ms-1")
    assert title is not None
    assert hands.desk.open.page is not None
    hands.desk.open.page.marked = len(CARD) + [one.name for one in title.pressings].index(given)
    find(hands, "merge pressings")
    assert hands.desk.open.menu is not None
    kept = {"first": "wide", "wide": "first"}[given]
    hands.key(next(one.key for one in hands.desk.open.menu.choices if one.words == kept))
    assert not hands.refused, hands.said


def test_a_split_by_what_nobody_saw_yet_lists_its_copies_which_may_be_either(
    taken_in: Hands, sit: Sit
) -> None:
    desk = taken_in.desk
    taken_in.key(*["down"] * len(CARD)).do("book-split").enter("wide; flange: narrow / wide").do("line-new")
    work(taken_in)
    (one,) = found_otherwise(desk)
    assert (one.so_far.name, one.now.name, one.open) == ("first", "wide", True)
    assert f"{one.stock}, so far 'first', may as well be 'wide'" in taken_in.said
    path = desk.shop.path
    taken_in.leave()
    again = sit(path)
    assert found_otherwise(again.desk)[0].open
    again.do("page-leave") if again.desk.open.page else None
    find(again, "named differently")
    assert "either, or wide" in shown(again)
    assert "page-undo" in keys_now(again.desk)
    again.key("enter", "1")
    assert again.at(1)["pressing"]["id"] == "ms-1/1"
    assert found_otherwise(again.desk) == []


def test_a_copy_that_shows_what_only_one_half_has_goes_with_that_half(taken_in: Hands) -> None:
    """Its rim was seen to be thick: what is split off has a thin one, and is no more asked about."""
    taken_in.desk.shop.change_settings(threshold=0.995)
    line = "wide; rim of the mossgate label: thick / thin"
    taken_in.key(*["down"] * len(CARD)).do("book-split").enter(line)
    work(taken_in)
    assert found_otherwise(taken_in.desk) == []
