"""What to do next about the books: a row an advice, the most worth first."""

from benchtui.desk.book.book_changes import OF_THE_BOOKS
from benchtui.desk.book.coach import advices, open_advice
from benchtui.desk.core.desk import Desk
from benchtui.desk.core.page_parts import Column, PageView, Row, Table, says, words
from benchtui.desk.core.pages import page


@page(
    "coach",
    "What to do next about your books, the most worth first. Enter does what one key can, or goes there.",
    keys=("page-enter", "page-undo", "page-leave"),
    enter=open_advice,
    count=lambda desk: len(advices(desk)),
    place="on the page of what to do next",
    opener="book-review",
    undo=OF_THE_BOOKS,
)
def coach(desk: Desk) -> PageView:
    found, opened = advices(desk), desk.open.page
    at = desk.open.marked(len(found))
    done = float(opened.data.get("done", 1.0)) if opened is not None else 1.0
    rows = [
        Row(
            f"advice:{no}",
            (words(f"{one.worth:.1f}", "dim"), words(one.name, "bold" if no == at else ""), words(one.words)),
            marked=no == at,
        )
        for no, one in enumerate(found)
    ]
    columns = (Column("worth", right=True), Column("title", rank=2, least=14), Column("what", rank=1))
    told = f"  {len(found)} to do" + (f", {done * 100:.0f} % looked at" if done < 1 else "")
    return PageView(
        (("What to do next about the books", "accent bold"), (told, "dim")),
        sections=(Table(columns, rows, empty=words("nothing so far", "dim"), name="coach"),),
        foot=(says(f"{found[at].words}: {found[at].deal}", "dim"),) if found else (),
    )
