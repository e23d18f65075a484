"""The shop's titles, those of books and those made here, and how well each is known."""

from benchtui.books.ladder import is_grown
from benchtui.books.shape import BookTitle
from benchtui.desk.book.book_changes import OF_THE_BOOKS
from benchtui.desk.book.ladder_page import ask_company
from benchtui.desk.core.command import command
from benchtui.desk.core.desk import Desk, OpenLine, Page
from benchtui.desk.core.page_parts import Column, LazyRows, PageView, Row, Table, words
from benchtui.desk.core.pages import page
from benchtui.desk.line.lines import LINES, LineKind, close_line, marked_pick, open_line
from benchtui.desk.look.title_picks import picks_for
from benchtui.model.day_words import year_words
from benchtui.model.span import parse_edtf, years_text
from benchtui.model.title import Title


def _row(desk: Desk, title: Title, at: int, marked: int) -> Row:
    """Made when it is in sight: how well a title is known wants its pressings read."""
    told, filled = how_known(desk.library.title(title.id))
    cells = (
        words(_name(title), "bold" if at == marked else ""),
        words(title.catalogue),
        words(_years(title.first), "dim"),
        words(told),
        words(filled, "dim"),
    )
    return Row(f"title:{title.id}", cells, marked=at == marked)


def _years(edtf: str) -> str:
    """``1965-67`` of a span, ``about 1967``, else ``1964``: short for a column, the day is on its page."""
    try:
        span = parse_edtf(edtf)
    except ValueError:
        return edtf
    if edtf.startswith("["):
        return years_text(span)
    return year_words(edtf).removeprefix("in ") if edtf.endswith(("~", "?", "%")) else edtf[:4]


def _name(title: Title) -> str:
    return ", ".join(filter(None, (title.artist, title.title)))


def how_known(title: BookTitle | None) -> tuple[str, str]:
    """``("6, 1 from copies", "62%")``: pressings known of a title, and how much of their grid is filled."""
    if title is None or not title.pressings:
        return "none", ""
    grown = sum(map(is_grown, title.pressings))
    written = len(title.pressings) - grown
    told = ", ".join(filter(None, (written and str(written), grown and f"{grown} from copies")))  # type: ignore[arg-type]
    asked = {clue for one in title.pressings for clue in one.expect}
    cells = len(asked) * len(title.pressings)
    filled = sum(len(one.expect) for one in title.pressings)
    return told, f"{filled * 100 // cells}%" if cells else ""


def _titles(desk: Desk) -> list[Title]:
    """Titles of books and of the bench, in the order of the alphabet, each once however many were joined."""
    opened = desk.open.page
    if opened is None or "titles" not in opened.data or opened.data.get("library") is not desk.library:
        found = {one.id: one for one in desk.library.titles()}
        made = set(Title._fields)
        for doc in desk.shop.made_titles():
            found.setdefault(doc["id"], Title(**{key: value for key, value in doc.items() if key in made}))
        kept = {desk.library.one_id(one): row for one, row in reversed(found.items())}
        titles = [found.get(one, row) for one, row in kept.items()]
        titles.sort(key=lambda one: (one.artist.casefold(), one.title.casefold()))
        if opened is None:
            return titles
        opened.data |= {"titles": titles, "library": desk.library}
    known: list[Title] = opened.data["titles"]
    return known


@command(
    "book-page",
    "bench",
    "the book page: titles, their pressings and what to expect of them",
    short="book page",
    group="Look",
    also="book grid titles pressings card edit knowledge field",
    changes="nothing",
    offered=185,
    order=245,
)
def book_page(desk: Desk) -> None:
    """The title in the hand; without one, all titles."""
    record = desk.work.record
    if record is not None and record["title"] is not None:
        open_title(desk, record["title"]["id"])
        assert desk.open.page is not None
        desk.open.page.data["from_record"] = True
    else:
        desk.open.page = Page("book")
    desk.say("")
    desk.place()


@command(
    "book-titles",
    "bench",
    "all titles of the books, and how well each is known",
    short="book titles",
    group="Look",
    also="book list titles known pressings",
    changes="nothing",
    order=246,
)
def all_titles(desk: Desk) -> None:
    desk.open.page = Page("book")
    desk.say("")
    desk.place()


def leave_title(desk: Desk) -> None:
    """Back to where the page was opened from: the record, else all titles."""
    if desk.open.page is None or not desk.open.page.data.get("from_record"):
        all_titles(desk)
        return
    desk.open.page = None
    desk.say("")
    desk.place()


def open_title(desk: Desk, title_id: str) -> None:
    """The page of that title."""
    desk.open.page = Page("book-title", data={"title": title_id, "at": 0})


def marked_title(desk: Desk) -> Title | None:
    """The title marked on the page of all titles."""
    return desk.open.marked_of(_titles(desk))


def _enter_title(desk: Desk) -> None:
    title = marked_title(desk)
    if title is None:
        desk.refuse("no title is known yet: find one for a record, or take a table in")
        return
    open_title(desk, title.id)
    desk.place()


@page(
    "book",
    "All titles of the books and of the bench, and how well each is known. Enter opens one.",
    keys=("page-enter", "book-find", "book-add", "book-retire", "page-undo", "page-leave"),
    enter=_enter_title,
    count=lambda desk: len(_titles(desk)),
    place="on the page of all titles ({book-titles})",
    opener="book-titles",
    undo=OF_THE_BOOKS,
)
def book(desk: Desk) -> PageView:
    found = _titles(desk)
    at = desk.open.marked(len(found))
    columns = (
        Column("title", rank=1, least=20), Column("number"), Column("first", rank=5, least=7),
        Column("known", rank=4), Column("full", right=True, rank=3, least=4),
    )  # fmt: skip
    nothing = words("No title is known yet: add one here, find one for a record, or take a table in.", "dim")
    rows = LazyRows(
        len(found),
        at,
        lambda n: _row(desk, found[n], n, at),
        lambda n: words(f"{_name(found[n])}  {found[n].catalogue}"),
    )
    table = Table(columns, rows, empty=nothing, name="titles")
    return PageView((("Titles", "accent bold"), (f"  {len(found):,}", "dim")), sections=(table,))


@command(
    "book-find",
    "page",
    "find a title by a few letters and open its page; on a ladder: another company's",
    short="find another",
    also="search book title company",
    changes="nothing",
    on=("book", "book-title", "ladder"),
    order=1010,
)
def find(desk: Desk) -> None:
    if desk.open.page is not None and desk.open.page.name == "ladder":
        ask_company(desk)
        return
    open_line(
        desk, "book-find", "title", about="a few letters of artist, title or number; Enter opens its page"
    )


def _take_find(desk: Desk, line: OpenLine) -> None:
    pick = marked_pick(line)
    if pick is None or not pick.value.id:
        desk.refuse(f"no title fits '{line.text.strip()}'")
        return
    close_line(desk)
    open_title(desk, pick.value.id)
    desk.say("")
    desk.place()


LINES["book-find"] = LineKind(_take_find, lambda desk, line: picks_for(desk, line.text))
