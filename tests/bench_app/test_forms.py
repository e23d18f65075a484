"""Every form of clue is declared once, in a file of its own; pages and commands refer to what there is."""

from typing import get_args

import pytest
from bench_hands import Hands
from seen import markable

from benchtui.books.shape import ClueForm
from benchtui.desk.ask import forms as declared
from benchtui.desk.ask.forms import FORMS, form, form_asked, form_of, with_digits
from benchtui.desk.core.command import by_id, commands
from benchtui.desk.core.page_parts import PageView, Table
from benchtui.desk.core.pages import PAGES, page, pages
from benchtui.desk.core.shapes import RUNOUT
from benchtui.desk.line.lines import LINES


def test_every_form_that_a_book_may_use_is_declared(breakwater: Hands) -> None:
    assert form_asked(("runout A", RUNOUT), None) is FORMS["cut"]
    assert set(get_args(ClueForm)) == set(FORMS)


def test_a_digit_that_begins_a_figure_is_no_answer_that_stands_there(breakwater: Hands) -> None:
    record, library = breakwater.record, breakwater.desk.library
    found = [one for part in record["parts"] for one in library.clues_for(record, part, volunteered=True)]
    assert {"choice", "number"} <= {clue.form for clue in found}
    for clue in found:
        shown = with_digits(clue)
        if form_of(clue).any_digit:
            assert all(one in clue.answers and one.digit == 0 for one in shown)
        elif (typed := form_of(clue).stands_for) is not None:
            assert shown[:-1] == clue.answers
            assert (shown[-1].id, shown[-1].digit) == (typed.id, 1), "the digit that opens its line"
        else:
            assert shown == clue.answers


def test_a_form_of_its_own_needs_its_own_declaration_only(
    breakwater: Hands, monkeypatch: pytest.MonkeyPatch
) -> None:
    clue = breakwater.desk.clue
    assert clue is not None
    monkeypatch.setattr(declared, "FORMS", dict(FORMS))
    seen: list[str] = []

    @form(clue.form, hint="press and see")
    def answer(desk: object, asked: object, about: object, digit: str) -> None:
        seen.append(digit)

    breakwater.key("3")
    assert seen == ["3"]


def test_pages_name_commands_and_lines_that_there_are(demo: Hands) -> None:
    for kind in pages().values():
        keys = kind.keys(demo.desk) if callable(kind.keys) else kind.keys
        assert set(keys) <= set(by_id()), kind.id
        assert not kind.opener or kind.opener in by_id()
        demo.desk.open.page = None
    for one in commands():
        assert set(one.on) <= set(pages()), one.id


@pytest.mark.parametrize(
    "opened",
    [["parcels-page"], ["parcel-page"], ["parcel-page", "sender-page"], ["chores-page"], ["parcel-page", "result-page"],
     ["record-page"], ["why"], ["help"]],
    ids=lambda keys: keys[-1],
)  # fmt: skip
def test_a_page_marks_one_row_and_counts_those_that_can_be_marked(demo: Hands, opened: list[str]) -> None:
    demo.do("line-leave") if demo.desk.open.line else None
    demo.do(*opened)
    opened_page = demo.desk.open.page
    assert opened_page is not None
    kind = pages()[opened_page.name]
    view = kind.view(demo.desk)
    rows = markable(view)
    assert len(rows) == (kind.count(demo.desk) if kind.count is not None else 0)
    assert sum(row.marked for row in rows) == (1 if rows else 0)
    assert len({row.key for row in rows}) == len(rows)
    for table in (one for one in view.sections if isinstance(one, Table)):
        assert all(len(row.cells) == len(table.columns) for row in table.rows), table.name
    if rows:
        label, line = kind.about(demo.desk) if kind.about is not None else ("", "")
        assert not line or line in LINES, label


def test_a_page_of_its_own_needs_its_own_declaration_only(
    demo: Hands, monkeypatch: pytest.MonkeyPatch
) -> None:
    pages()
    for name, kind in dict(PAGES).items():
        monkeypatch.setitem(PAGES, name, kind)

    @page("why", "One more page.", keys=("page-leave",))
    def view(desk: object) -> PageView:
        return PageView((("Mine", "bold"),))

    demo.do("line-leave") if demo.desk.open.line else None
    demo.do("why")
    assert pages()["why"].view(demo.desk).title == (("Mine", "bold"),)
    demo.do("page-help")
    assert demo.desk.open.explained is not None
    assert demo.desk.open.explained.words == ("One more page.",)
