"""A table of pressings is taken into a book on the bench: decided row by row, written by one key, and out again."""

import sys
from pathlib import Path

import pytest
from bench_hands import Hands
from seen import page_rows

from benchtui.bench.pieces import FANCY, text_of
from benchtui.bench.widgets.stack import stack_rows
from benchtui.books.check import check_books
from benchtui.desk.book.outside import look_at_books
from benchtui.desk.book.table_rows import Item, items, next_mark
from benchtui.desk.line.lines import LINES
from benchtui.desk.queue.background import work_on

sys.path.insert(0, str(Path(__file__).parents[1] / "knowledge"))  # for untidy.py
from untidy import write_untidy

SMALL = """artist,title,number,pressing,from,Rim,Fold
The Osier Choir,Crooked Weir,MS 7,first,1961,thick,yes
,,,second,1964,"thin, rarely thick",no
"""


def work(hands: Hands) -> Hands:
    while work_on(hands.desk):
        pass
    return hands


def find(hands: Hands, text: str) -> Hands:
    """A command by its words, as somebody finds it."""
    return hands.do("commands").type(text).key("enter")


def offer(hands: Hands, text: str) -> Hands:
    path = hands.desk.shop.path / "table.csv"
    path.write_text(text, encoding="utf-8")
    return work(find(hands, "take table").enter("table.csv"))


def shown(hands: Hands, width: int = 100, height: int = 40) -> str:
    return text_of(page_rows(hands.desk, width, height, FANCY))


def mark(hands: Hands, key: str) -> Hands:
    at = next(no for no, one in enumerate(items(hands.desk)) if one.key.startswith(key))
    assert hands.desk.open.page is not None
    moves = at - hands.desk.open.page.marked
    return hands.key(*(["down"] * moves if moves > 0 else ["up"] * -moves))


def own(hands: Hands) -> str:
    path = hands.desk.shop.path / "books" / "own.toml"
    return path.read_text() if path.exists() else ""


def test_a_table_is_shown_before_it_is_written_and_taken_out_again(empty: Hands) -> None:
    offer(empty, SMALL)
    assert "1 title: 0 found, 1 new" in shown(empty)
    assert own(empty) == ""
    empty.key("enter", "1")
    assert "End, then n, begins a parcel" in empty.said
    assert "End, then n, begins a parcel" in text_of(stack_rows(empty.desk, 60, 10, FANCY))
    assert own(empty).count("[[title.pressing]]") == 2
    assert check_books([empty.desk.shop.path / "books"]) == []
    assert [hit.title.title for hit in [[], *empty.desk.finder.steps("crooked weir")][-1]] == ["Crooked Weir"]
    find(empty, "table out").key("1")
    assert own(empty) == ""
    assert not [[], *empty.desk.finder.steps("crooked weir")][-1], "not to be found any more"


def test_a_new_title_of_a_table_takes_what_the_shop_s_field_says(empty: Hands) -> None:
    find(empty, "your field").enter("Mossgate; XV; MS = mono")
    offer(empty.do("page-leave"), SMALL).key("enter", "1")
    rows = empty.desk.library.titles()
    title = empty.desk.library.title(next(row.id for row in rows if row.title == "Crooked Weir"))
    assert title is not None
    assert (title.company, title.country, title.channels) == ("Mossgate", "XV", "mono")


def test_a_title_made_on_the_bench_is_found_by_a_table_and_keeps_its_records(parcel: Hands) -> None:
    parcel.type("The Osier Choir - Crooked Weir - MS 7 - 1961 - company Mossgate").do("line-new")
    made = parcel.record["title"]
    assert made is not None
    offer(parcel, SMALL.replace("MS 7", "MS 7; MS 9"))
    assert "1 found (1 made on the bench), 0 new" in shown(parcel)
    parcel.key("enter", "1")
    title = parcel.desk.library.title(made["id"])
    assert title is not None
    assert (title.company, title.catalogues) == ("Mossgate", ("MS 7", "MS 9"))
    assert [one.name for one in title.pressings] == ["first", "second"]
    assert parcel.record["title"] == made
    assert check_books([parcel.desk.shop.path / "books"]) == []
    find(parcel, "table out").key("1")
    assert parcel.desk.library.title(made["id"]) is None
    (hit,) = [[], *parcel.desk.finder.steps("crooked weir")][-1]
    assert (hit.title.id, hit.title.pressings, hit.title.book) == (made["id"], 0, "")


def test_u_on_the_book_page_takes_back_what_came_last_be_it_a_table_or_a_change(empty: Hands) -> None:
    offer(empty, SMALL).key("enter", "1")
    find(empty, "book titles").do("book-find").enter("crooked weir")
    empty.do("page-enter").enter("Someone Else")
    assert "Someone Else" in own(empty)
    empty.do("page-undo")
    assert "Someone Else" not in own(empty)
    assert own(empty).count("[[title.pressing]]") == 2
    empty.do("page-undo")
    assert own(empty) == ""
    empty.do("page-undo")
    assert empty.refused


def test_leaving_the_page_writes_nothing(empty: Hands) -> None:
    offer(empty, SMALL).do("page-leave")
    assert own(empty) == ""
    assert empty.desk.open.page is None or empty.desk.open.page.name != "table"


def test_a_column_is_decided_by_two_keys(empty: Hands) -> None:
    mark(offer(empty, SMALL), "column").key("enter", "x")
    assert "left out, as you said" in shown(empty)
    mark(empty, "column").key("enter", "p", "5")
    mark(empty, "write").key("enter", "1")
    clue = empty.desk.library.clue("own-rim") or empty.desk.library.clue("own-fold")
    assert clue is not None
    assert (clue.part, clue.place) == ("cover", "back")


def test_a_column_may_be_a_known_clue_or_a_fixed_column(empty: Hands) -> None:
    mark(offer(empty, SMALL), "column").key("enter", "k").type("note").key("enter")
    assert [one.heading.full for one in taking(empty).plan.columns] == ["Fold"]
    mark(empty, "column").key("enter", "k").type("nowhere at all").key("enter")
    assert empty.desk.open.line is not None  # refused, and nothing typed is lost


def taking(hands: Hands):
    assert hands.desk.open.page is not None
    return hands.desk.open.page.data["taking"]


def test_undo_on_the_page_takes_back_the_last_decision_about_the_table_and_nothing_else(empty: Hands) -> None:
    mark(offer(empty, SMALL), "column").key("enter", "k").type("note").key("enter")
    assert taking(empty).fixed
    mark(empty, "column").key("enter", "x")
    decided = taking(empty).decisions
    empty.do("page-undo")
    assert (bool(taking(empty).fixed), taking(empty).decisions == decided) == (True, False)
    empty.do("page-undo")
    assert not taking(empty).fixed
    assert taking(empty).plan.titles
    empty.do("page-undo")
    assert empty.said == "nothing to undo of what was decided here"
    empty.do("page-redo").do("page-redo")
    assert taking(empty).decisions == decided


def test_the_very_words_of_a_question_come_first_where_a_column_is_one(empty: Hands) -> None:
    mark(offer(empty, SMALL), "column").key("enter", "k")
    asked = [clue.ask for clue in empty.desk.library.clues()]
    for ask in asked[:40]:
        assert empty.desk.open.line is not None
        empty.desk.open.line.text = ask
        suggest = LINES["book-column"].suggest
        assert suggest is not None
        first = empty.desk.library.clue(str(suggest(empty.desk, empty.desk.open.line)[0].value))
        assert first is not None
        assert first.ask == ask


def test_a_book_is_chosen_or_begun(empty: Hands) -> None:
    mark(offer(empty, SMALL), "into").key("enter").type("mossgate").key("enter")
    mark(empty, "write").key("enter", "1")
    assert (empty.desk.shop.path / "books" / "mossgate.toml").exists()


@pytest.mark.parametrize("name", ["missing.csv", "books"])
def test_a_file_that_is_none_is_refused_and_the_line_stays(empty: Hands, name: str) -> None:
    find(empty, "take table").enter(name)
    assert empty.desk.open.line is not None
    assert empty.desk.open.line.text == name


def test_300_pressings_of_an_untidy_spreadsheet_take_at_most_60_keys(empty: Hands) -> None:
    write_untidy(empty.desk.shop.path / "field.xlsx")
    pressed = empty.desk.tally.keys_pressed
    work(find(empty, "table").enter("field.xlsx"))
    while any(one.asked for one in items(empty.desk)):
        asked = next(one for one in items(empty.desk) if one.asked)
        mark(empty, asked.key).key("enter", "n")
    mark(empty, "write").key("enter", "1")
    assert empty.desk.tally.keys_pressed - pressed <= 60
    print(empty.desk.tally.keys_pressed - pressed)
    assert own(empty).count("[[title.pressing]]") == 300


UNNAMED = """artist,title,number,which,since when,Rim
The Osier Choir,Crooked Weir,MS 7,first,1961-63,thick
,,,second,1967,thin
"not closed,,,third,1967,thin
"""


def decide(hands: Hands, heading: str, *keys: str) -> Hands:
    for one in (hands.desk.open.page and items(hands.desk)) or []:
        if one.key.startswith("column") and one.what == heading:
            return mark(hands, one.key).key("enter", *keys)
    raise AssertionError(heading)


def test_a_left_table_keeps_what_was_decided_and_the_next_of_its_columns_is_read_so(empty: Hands) -> None:
    decide(offer(empty, UNNAMED), "which", "k").type("pressing").key("enter")
    decide(empty, "since when", "k").type("made").key("enter")
    decide(empty, "Rim", "x")
    assert "1 line refused" in shown(empty)
    find(empty.do("page-leave"), "take table").key("1")
    assert "left out, as you said" in shown(work(empty))
    mark(empty, "write").key("enter", "1")
    assert 'period = "[1961..1963]"' in own(empty)
    offer(empty, UNNAMED)
    assert "2 the same" in shown(empty)
    assert "nothing new, 1 line refused" in shown(empty)


def test_the_mark_goes_to_what_is_asked_next_and_then_to_the_row_that_writes() -> None:
    def rows(said: str) -> list[Item]:
        return [Item(one.lower(), "", "", print, one.isupper()) for one in said]

    assert next_mark(rows("wBcD"), 1, rows("wDbc")) == 1
    assert next_mark(rows("wBcD"), 3, rows("wBcd")) == 1
    assert next_mark(rows("wBcd"), 1, rows("wbcd")) == 0
    assert next_mark(rows("wbcd"), 2, rows("wbd")) == 2
    assert next_mark(rows("wbcd"), 1, rows("wbcd")) == 1


def test_a_new_book_is_called_one_on_its_row(empty: Hands) -> None:
    mark(offer(empty, SMALL), "into").key("enter").type("kpressing").key("enter")
    assert "a new book, kpressing" in shown(empty)


def test_titles_that_have_pressings_and_get_only_new_ones_are_told(empty: Hands) -> None:
    offer(empty, SMALL).key("enter", "1")
    assert "was it taken in before?" in shown(
        offer(empty, SMALL.replace("first", "A").replace("second", "B"))
    )


def test_what_was_said_of_a_column_is_taken_back_and_the_lines_below_the_rows_are_read(empty: Hands) -> None:
    decide(offer(empty, UNNAMED), "which", "k").type("note").key("enter")
    assert "the column note, as you said" in shown(empty)
    mark(empty, "fixed").key("enter")
    assert "the column note" not in shown(empty)
    page = empty.desk.open.page
    assert page is not None
    page.marked = len(items(empty.desk)) - 1
    empty.key("down", "down")
    assert (page.top, page.reads_below, page.marked) == (2, True, len(items(empty.desk)) - 1)
    empty.key("up", "up", "up")
    assert (page.top, page.reads_below, page.marked) == (0, False, len(items(empty.desk)) - 2)


def test_a_column_that_its_name_tells_may_be_something_else(empty: Hands) -> None:
    offer(empty, SMALL)
    at = {one.what: one.key for one in items(empty.desk)}
    assert "the column from, by its name" in shown(empty)
    mark(empty, at["from"]).key("enter", "n")
    assert {one.heading.name for one in taking(empty).plan.columns} == {"from", "Rim", "Fold"}
    mark(empty, "fixed:from").key("enter")
    assert "the column from, by its name" in shown(empty)
    mark(empty, at["from"]).key("enter", "k").type("first").key("enter")
    assert "the column first, as you said" in shown(empty)
    mark(empty, at["pressing"]).key("enter", "x")
    assert "left out, as you said" in shown(empty)


def test_the_last_column_of_titles_stays_one(empty: Hands) -> None:
    offer(empty, SMALL)
    at = {one.what: one.key for one in items(empty.desk)}
    mark(empty, at["title"]).key("enter", "n")
    assert empty.refused
    assert "no column is a title's" in empty.said
    assert "the column title, by its name" in shown(empty)


def test_a_name_that_meant_something_else_does_so_in_the_next_table(empty: Hands) -> None:
    offer(empty, SMALL)
    at = {one.what: one.key for one in items(empty.desk)}
    mark(empty, at["from"]).key("enter", "x")
    mark(empty, "write").key("enter", "1")
    offer(empty, SMALL.replace("MS 7", "MS 8").replace("Crooked Weir", "Straight Weir"))
    assert "from" not in {one.fixed for one in taking(empty).planner.table.headings}


def test_a_name_given_to_another_fixed_column_means_it_in_the_next_table_until_that_is_taken_back(
    empty: Hands,
) -> None:
    offer(empty, SMALL)
    at = {one.what: one.key for one in items(empty.desk)}
    mark(empty, at["from"]).key("enter", "k").type("first").key("enter")
    mark(empty, at["pressing"]).key("enter", "x")
    mark(empty, "write").key("enter", "1")
    offer(empty, SMALL.replace("MS 7", "MS 8").replace("Crooked Weir", "Straight Weir"))
    assert taking(empty).fixed == {"from": "first", "pressing": ""}
    for name in ("from", "pressing"):
        mark(empty, f"fixed:{name}").key("enter")
    mark(empty, "write").key("enter", "1")
    offer(empty, SMALL)
    assert taking(empty).fixed == {}


def test_a_table_that_what_was_said_before_leaves_without_titles_is_read_by_its_names(empty: Hands) -> None:
    empty.desk.shop.change_settings(table_columns={"title": "-", "rim": "-"})
    assert "the column title, by its name" in shown(offer(empty, SMALL))
    assert "left out, as you said" in shown(empty)


OWN_NAMES = """A LIST OF MY OWN;;;
who by;what it is called;ears;lbl
The Osier Choir;Crooked Weir;1K;brick
;;2K;heron
"""


def test_a_table_of_the_dealer_s_own_names_is_read_by_digits_and_the_field_s_words(empty: Hands) -> None:
    find(empty, "your field").enter("Mossgate; XV; 1K = mono, 2K = stereo")
    offer(empty.do("page-leave"), OWN_NAMES)
    assert empty.desk.open.menu is not None
    assert "which column is the title's?" in empty.desk.open.menu.title
    work(empty.key("2", "1"))
    assert "is read as channels, by its look" in shown(empty)
    assert "1 title: 0 found, 1 new" in shown(empty)
    mark(empty, "write").key("enter", "1")
    rows = empty.desk.library.titles()
    title = empty.desk.library.title(next(row.id for row in rows if row.title == "Crooked Weir"))
    assert title is not None
    assert title.artist == "The Osier Choir"
    assert [one.channels for one in title.pressings] == ["mono", "stereo"]
    find(empty, "table out").key("1")
    offer(empty, OWN_NAMES)
    assert empty.desk.open.menu is not None, "what was said of a table that was taken out is forgotten"


def test_a_word_that_may_be_the_company_is_a_question_where_one_title_has_several(empty: Hands) -> None:
    offer(empty, "artist,title,from,make\nThe Osier Choir,Crooked Weir,1961,brick\n,,1964,heron\n")
    assert "1 title: 0 found, 1 new" in shown(empty)
    assert "'make' is read as a question, not the company" in shown(empty)


def test_of_columns_that_no_name_explains_number_and_year_are_known_by_their_look_and_the_rest_is_asked(
    empty: Hands,
) -> None:
    offer(
        empty,
        "Dear Una, here they are:\nwho by,what it is called,mark,day,gloss\n"
        "The Osier Choir,Crooked Weir,WE 12,1961,low\n,,,c1964,high\n",
    )
    assert empty.desk.open.menu is not None
    assert [one.words for one in empty.desk.open.menu.choices[:2]] == ["who by", "what it is called"]
    work(empty.key("2", "1"))
    assert "'mark' is read as number, 'day' is read as made, by its look" in shown(empty)
    assert "the column number, by its look; Enter changes that" in shown(empty)
    assert "a question, or a column such as note? (low, high)" in shown(empty)
    assert "0 new questions" in shown(empty)


def test_where_the_first_row_is_a_record_already_no_column_has_its_name(empty: Hands) -> None:
    offer(empty, "Dear Una, as promised:\nCrooked Weir,WE 12,1961\nHazel Hurdle,WE 13,1962\n")
    work(empty.key("1", "n"))
    assert "2 titles: 0 found, 2 new" in shown(empty)


def test_questions_of_the_same_words_are_told_apart_by_their_companies(empty: Hands) -> None:
    """The list had "label colour  disc label" twice, and nothing said which was whose."""
    books = empty.desk.shop.path / "books"
    books.mkdir(exist_ok=True)
    for name in ("Mossgate", "Hearnside"):
        (books / f"{name.lower()}.toml").write_text(
            f'[book]\nname = "{name}"\ncompany = "{name}"\n\n[[clue]]\nid = "{name.lower()}-edge"\n'
            'ask = "label edge"\npart = "disc"\nplace = "label"\n'
            'answer = [{id = "plain", text = "plain", digit = 1}, {id = "gilt", text = "gilt", digit = 2}]\n'
        )
    look_at_books(empty.desk)
    offer(empty, "artist,title,from,rim\nThe Osier Choir,Crooked Weir,1961,brick\n")
    mark(empty, "column:").key("enter", "k").type("label edge")
    line = empty.desk.open.line
    assert line is not None
    told = ["".join(text for text, _ in pick.spans) for pick in line.picks]
    assert {"label edge  disc, label; Mossgate", "label edge  disc, label; Hearnside"} <= set(told)
