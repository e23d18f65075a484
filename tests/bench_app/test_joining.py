"""One title however many sources: a title made here and the same one in a book are joined, asked once."""

import pytest
from bench_hands import Hands, Sit

from benchtui.desk.book.book_titles import _titles
from benchtui.desk.book.joining import pairs
from benchtui.desk.own_book.growing import own_book


@pytest.fixture
def twice(parcel: Hands, sit: Sit) -> Hands:
    """A record of a title made here, with a pressing grown, that the demo's book has under its own id too."""
    parcel.desk.finder.detach_lists()
    known = next(one for one in parcel.desk.library.titles() if one.title == "Bafflers on the Breakwater")
    parcel.desk.shop.add_title(
        {"id": "t-mine", "artist": known.artist, "title": known.title, "catalogue": known.catalogue}
    )
    path = parcel.desk.shop.path
    parcel.leave()
    again = sit(path)
    mine = again.desk.finder.by_id("t-mine")
    assert mine is not None
    from benchtui.desk.queue.title import take_title

    again.do("line-leave") if again.desk.open.line else None
    take_title(again.desk, mine)
    again.take("cover")
    again.ask("lamination of the cover").answer("front")
    again.key("q", "n", "n").enter("laminated")
    assert again.record["pressing"]["name"] == "laminated"
    return again


def _names(hands: Hands) -> list[str]:
    title = hands.desk.book_title
    return [one.name for one in title.pressings] if title is not None else []


def test_what_a_book_has_too_is_listed_and_joined_by_one_key(twice: Hands) -> None:
    (pair,) = pairs(twice.desk)
    assert pair.sure
    assert pair.decision == ""
    assert _names(twice) == ["laminated"], "the grown title hides the written one"
    twice.do("commands").enter("same titles").do("page-enter")
    assert "one title" in twice.said
    written = twice.desk.library.title(pair.other.id)
    assert written is not None
    assert _names(twice) == [one.name for one in written.pressings]
    assert "laminated" in _names(twice)
    assert len(_names(twice)) > 3
    assert twice.record["title"]["id"] == "t-mine", "nothing is rewritten"  # type: ignore[index]
    assert twice.record["pressing"]["name"] == "laminated"


def test_joined_titles_are_one_line_of_the_search(twice: Hands) -> None:
    def found() -> int:
        twice.do("find-title").type("bafflers")
        assert twice.desk.open.line is not None
        count = len(twice.desk.open.line.picks)
        twice.do("line-leave")
        return count

    def listed() -> list[str]:
        return [one.id for one in _titles(twice.desk) if one.title == "Bafflers on the Breakwater"]

    before = found()
    other = pairs(twice.desk)[0].other.id
    assert sorted(listed()) == sorted([other, "t-mine"])
    twice.do("commands").enter("same titles").do("page-enter", "page-leave")
    assert found() == before - 1
    assert listed() == [other], "and one of the page of all titles"


def test_the_answer_holds_after_a_restart_and_is_taken_back_on_the_page(twice: Hands, sit: Sit) -> None:
    twice.do("commands").enter("same titles").do("page-enter")
    path = twice.desk.shop.path
    twice.leave()
    again = sit(path)
    assert pairs(again.desk)[0].decision == "one"
    again.do("page-leave") if again.desk.open.page else None
    assert len(_names(again)) > 3
    again.do("commands").enter("same titles").do("page-enter")
    assert "two titles" in again.said
    assert _names(again) == ["laminated"]
    again.do("page-enter")
    assert pairs(again.desk)[0].decision == ""


def test_when_the_book_goes_the_record_stands_on_its_own_pressing_again(twice: Hands, sit: Sit) -> None:
    twice.do("commands").enter("same titles").do("page-enter")
    path = twice.desk.shop.path
    twice.leave()
    for book in (path / "books").glob("tarrowick*.toml"):
        book.unlink()
    again = sit(path)
    assert _names(again) == ["laminated"]


def test_a_title_made_by_a_slip_goes_with_its_undo_and_comes_with_redo(parcel: Hands) -> None:
    def made() -> list[str]:
        return [one["title"] for one in parcel.desk.shop.made_titles()]

    parcel.enter("Abel Colour - Nothing Yet - AB 1").do("undo")
    assert "Nothing Yet" not in made()
    assert "Nothing Yet" not in [
        t.title for piece in parcel.desk.finder.besides_lists for t in piece.titles()
    ]
    parcel.do("redo")
    assert "Nothing Yet" in made()


def test_a_title_without_records_is_taken_out_of_the_list_and_brought_back(parcel: Hands) -> None:
    parcel.enter("Abel Colour - Nothing Yet - AB 1").do("line-leave") if parcel.desk.open.line else None
    parcel.desk.shop.add_title({"id": "t-slip", "artist": "Abel Color", "title": "Slip", "catalogue": ""})
    parcel.do("commands").enter("book titles")
    page = parcel.desk.open.page
    assert page is not None

    def mark(title_id: str) -> None:
        page.marked = [one.id for one in _titles(parcel.desk)].index(title_id)

    mine = parcel.record["title"]
    assert mine is not None
    mark(mine["id"])
    parcel.do("book-retire")
    assert parcel.refused
    assert "1 record has it" in parcel.said
    mark("t-slip")
    parcel.do("book-retire")
    assert "t-slip" not in [one.id for one in _titles(parcel.desk)]
    assert parcel.desk.finder.by_id("t-slip") is None
    parcel.do("page-undo")
    assert "t-slip" in [one.id for one in _titles(parcel.desk)]
    assert parcel.desk.finder.by_id("t-slip") is not None
    page.marked = next(n for n, one in enumerate(_titles(parcel.desk)) if one.book)
    parcel.do("book-retire")
    assert "only titles of your own" in parcel.said


def test_a_title_of_the_shop_s_own_book_goes_with_its_pressings(parcel: Hands) -> None:
    parcel.do("line-leave", "commands").enter("book titles").do("book-add").enter("Abel Colour - Slip - AB 9")
    parcel.do("book-add").enter("green").do("page-leave")
    page = parcel.desk.open.page
    assert page is not None
    page.marked = [one.title for one in _titles(parcel.desk)].index("Slip")
    parcel.do("book-retire")
    assert "Slip" not in [one.title for one in _titles(parcel.desk)]
    assert "Slip" not in own_book(parcel.desk).read_text("utf-8")
    parcel.do("page-undo")
    assert "Slip" in [one.title for one in _titles(parcel.desk)]


def test_another_company_s_title_of_the_same_words_is_never_proposed(parcel: Hands) -> None:
    known = next(one for one in parcel.desk.library.titles() if one.title == "Bafflers on the Breakwater")
    parcel.desk.shop.add_title(
        {"artist": known.artist, "title": known.title, "catalogue": known.catalogue, "company": "Whelkin"}
    )
    assert pairs(parcel.desk) == []


def test_a_pressing_picked_by_hand_does_not_survive_the_choice_of_another_title(breakwater: Hands) -> None:
    breakwater.do("pressing", "answer-1")
    assert breakwater.record["pressing"]["how"] == "hand"
    breakwater.find("salt")
    assert breakwater.record["pressing"] == {"id": None, "how": "open", "p": None, "learn": False}
    breakwater.do("undo")
    assert breakwater.record["pressing"]["how"] == "hand"


def test_a_record_of_a_list_s_title_is_joined_with_the_book_that_comes_later(parcel: Hands) -> None:
    from benchtui.desk.queue.title import take_title
    from benchtui.model.title import Title

    known = next(one for one in parcel.desk.library.titles() if one.title == "Bafflers on the Breakwater")
    listed = Title("list-7", known.artist, known.title, known.catalogue, known.first, known.company)
    parcel.desk.finder.add(listed)
    parcel.do("line-leave")
    take_title(parcel.desk, listed)
    (pair,) = pairs(parcel.desk)
    assert (pair.mine.id, pair.other.id, pair.sure) == ("list-7", known.id, True)
    parcel.do("commands").enter("same titles").do("page-enter")
    assert len(_names(parcel)) > 3
    assert "one title; 1 record of it" in parcel.said


def test_two_titles_of_no_book_are_one_too_and_those_of_other_parcels_are_listed(
    parcel: Hands, sit: Sit
) -> None:
    parcel.type("Ada Pellimore - Sluice Tales - OWN 1 - 1963").do("line-new").grade("VG", "+")
    parcel.take("disc")
    parcel.grade("VG").do("price-hand").enter("9").do("take-in", "take-in")
    first = parcel.at(1)["title"]["id"]  # type: ignore[index]
    path = parcel.desk.shop.path
    parcel.do("sell").enter(f"{parcel.at(1)['stock']}; ; 8; ; ")
    assert not parcel.refused, parcel.said
    parcel.desk.shop.add_title(
        {"id": "t-again", "artist": "Ada Pellimore", "title": "Sluice Tales", "catalogue": "OWN-1"}
    )
    parcel.leave()
    again = sit(path)
    again.do("line-leave") if again.desk.open.line else None
    again.new_parcel(1)
    found = [(one.mine.id, one.other.id) for one in pairs(again.desk)]
    assert len(found) == 1, found
    assert set(found[0]) == {first, "t-again"}
    again.do("line-leave") if again.desk.open.line else None
    again.do("commands").enter("same titles").do("page-enter")
    (pair,) = pairs(again.desk)
    assert pair.stays is not None
    assert pair.stays.id == first, "it has the record"
    assert "stays; Enter takes the other name" in again.said
    again.do("page-enter")
    (pair,) = pairs(again.desk)
    assert pair.stays is not None
    assert pair.stays.id == "t-again"
    again.do("page-enter", "page-enter", "page-enter")


def test_records_sold_long_ago_are_of_the_one_title_and_no_file_of_theirs_is_touched(demo: Hands) -> None:
    from benchtui.desk.look.earlier import earlier_copies
    from benchtui.desk.queue.title import take_title

    closed = demo.desk.shop.path / "parcels" / "2026-10-05-1.json"
    _, records = demo.desk.shop.read_parcel("2026-10-05-1")
    sold = next(one for one in records if any(event["what"] == "sold" for event in one["life"]))
    ref = sold["title"]
    assert ref is not None
    # another spelling: without the join nothing of the closed parcel is found for it
    demo.desk.shop.add_title(
        {"id": "t-mine", "artist": ref["artist"].upper() + ".", "title": ref["title"], "catalogue": ref["catalogue"],
         "company": ref.get("company", "")}
    )  # fmt: skip
    before = closed.read_bytes()
    demo.do("line-leave") if demo.desk.open.line else None
    mine = next(one for one in pairs(demo.desk) if one.mine.id == "t-mine").mine
    demo.desk.finder.add(mine)
    take_title(demo.desk, mine)
    demo.do("copies")
    assert sold["id"] not in [one.record["id"] for one in earlier_copies(demo.desk)]
    demo.do("page-leave").do("commands").enter("same titles")
    at = [one.mine.id for one in pairs(demo.desk)].index("t-mine")
    demo.key(*["down"] * at).do("page-enter", "page-leave", "copies")
    assert sold["id"] in [one.record["id"] for one in earlier_copies(demo.desk)]
    assert closed.read_bytes() == before
