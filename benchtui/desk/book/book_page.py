"""The book page: the shop's titles and how well each is known; a title's card and the grid of its pressings.

No copy need be in the hand. Every change is saved as it is made and can be taken back on the page.
"""

from collections.abc import Callable, Sequence
from typing import Any, overload

from benchtui.books.as_table import title_table
from benchtui.books.edit import BookEdit
from benchtui.books.from_bench import new_id
from benchtui.books.ladder import is_grown
from benchtui.books.shape import BookTitle, Clue, Pressing
from benchtui.desk.book.book_changes import change, home_of_pressing, home_of_title
from benchtui.desk.book.cells import (
    CARD,
    CELL_ABOUT,
    PRESSING,
    Field,
    clue_cell,
    put_expected,
    read_expected,
)
from benchtui.desk.book.growing import own_book
from benchtui.desk.core.command import command
from benchtui.desk.core.desk import Desk, OpenLine, Page, Pick
from benchtui.desk.core.needs import unless
from benchtui.desk.core.page_parts import Cell, Column, PageView, Row, Section, Table, says, words
from benchtui.desk.core.pages import page
from benchtui.desk.line.letters import fit
from benchtui.desk.line.lines import LINES, LineKind, close_line, marked_pick, open_line
from benchtui.desk.look.title_picks import picks_for
from benchtui.model.record import answer_ids
from benchtui.model.span import Span, parse_edtf
from benchtui.model.title import Title, title_ref

ACROSS = 4
"""So many columns beside the pressing's name are shown at once; the arrows bring the others."""


# -- the list of titles ------------------------------------------------------------------------------


class _Rows(Sequence[Row]):
    """One row a title, made when it is in sight: how well it is known wants its pressings read."""

    def __init__(self, desk: Desk, titles: list[Title], marked: int) -> None:
        self._desk, self._titles, self._marked = desk, titles, marked

    def __len__(self) -> int:
        return len(self._titles)

    @overload
    def __getitem__(self, at: int) -> Row: ...
    @overload
    def __getitem__(self, at: slice) -> list[Row]: ...
    def __getitem__(self, at: int | slice) -> Row | list[Row]:
        if isinstance(at, slice):
            return [self._row(one) for one in range(*at.indices(len(self._titles)))]
        return self._row(range(len(self._titles))[at])

    def _row(self, at: int) -> Row:
        title = self._titles[at]
        known = self._desk.library.title(title.id)
        cells = (
            words(", ".join(filter(None, (title.artist, title.title))), "bold" if at == self._marked else ""),
            words(title.catalogue),
            words(title.first, "dim"),
            words(how_known(known)),
        )
        return Row(f"title:{title.id}", cells, marked=at == self._marked)


def how_known(title: BookTitle | None) -> str:
    """``6 written, 1 grown; 62% of its cells``: how well the books know a title."""
    if title is None or not title.pressings:
        return "no pressing"
    grown = sum(map(is_grown, title.pressings))
    written = len(title.pressings) - grown
    told = ", ".join(filter(None, (written and f"{written} written", grown and f"{grown} grown")))  # type: ignore[arg-type]
    asked = {clue for one in title.pressings for clue in one.expect}
    cells = len(asked) * len(title.pressings)
    filled = sum(len(one.expect) for one in title.pressings)
    return f"{told}; {filled * 100 // cells}% of its cells" if cells else told


def _titles(desk: Desk) -> list[Title]:
    """Titles of books and of the bench, each once, in the order of the alphabet."""
    opened = desk.open.page
    if opened is None or "titles" not in opened.data or opened.data.get("library") is not desk.library:
        found = {one.id: one for one in desk.library.titles()}
        made = set(Title.__dataclass_fields__)
        for doc in desk.shop.made_titles():
            found.setdefault(doc["id"], Title(**{key: value for key, value in doc.items() if key in made}))
        titles = sorted(found.values(), key=lambda one: (one.artist.casefold(), one.title.casefold()))
        if opened is None:
            return titles
        opened.data |= {"titles": titles, "library": desk.library}
    kept: list[Title] = opened.data["titles"]
    return kept


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


def open_title(desk: Desk, title_id: str) -> None:
    """The page of that title."""
    desk.open.page = Page("book-title", data={"title": title_id, "at": 0})


def _enter_title(desk: Desk) -> None:
    found, opened = _titles(desk), desk.open.page
    if opened is None or not found:
        desk.refuse("no title is known yet: find one for a record, or take a table in")
        return
    open_title(desk, found[min(opened.marked, len(found) - 1)].id)
    desk.place()


@page(
    "book",
    "All titles of the books and of the bench, and how well each is known. Enter opens one.",
    keys=("page-enter", "book-find", "page-undo", "page-leave"),
    enter=_enter_title,
    count=lambda desk: len(_titles(desk)),
    opener="book-titles",
)
def book(desk: Desk) -> PageView:
    found = _titles(desk)
    at = max(0, min(desk.open.page.marked, len(found) - 1)) if desk.open.page is not None else 0
    columns = (Column("title", rank=1), Column("number"), Column("first", rank=3), Column("known", rank=2))
    nothing = words("No title is known yet: find one for a record, or take a table in.", "dim")
    table = Table(columns, _Rows(desk, found, at), empty=nothing, name="titles")
    return PageView((("Titles", "accent bold"), (f"  {len(found):,}", "dim")), sections=(table,))


@command(
    "book-find",
    "page",
    "find a title by a few letters and open its page",
    short="find title",
    also="search book",
    changes="nothing",
    on=("book", "book-title"),
    order=1010,
)
def find(desk: Desk) -> None:
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


# -- one title ---------------------------------------------------------------------------------------


def shown_title(desk: Desk) -> BookTitle | None:
    """The title of the page, as the books have it; a bare card of one that no book has."""
    opened = desk.open.page
    if opened is None:
        return None
    known = desk.library.title(opened.data["title"])
    if known is not None:
        return known
    listed = desk.finder.by_id(opened.data["title"])
    return _bare(listed) if listed is not None else None


def _bare(listed: Title) -> BookTitle:
    try:
        first = parse_edtf(listed.first)
    except ValueError:
        first = Span()
    return BookTitle(
        listed.id, listed.artist, listed.title, first, listed.company, listed.country,
        tuple(filter(None, [listed.catalogue])), listed.barcode, listed.size_in or 12, listed.discs,
        listed.channels,
    )  # fmt: skip


def grid_clues(desk: Desk, title: BookTitle) -> list[Clue]:
    """The clues that its pressings speak of, those seen on the copy in the hand, those added on the page."""
    opened, record = desk.open.page, desk.work.record
    ids = [clue for one in title.pressings for clue in one.expect]
    if record is not None and record["title"] is not None and record["title"]["id"] == title.id:
        ids += [one["clue"] for one in record["answers"] if one["how"] == "seen"]
    ids += opened.data.get("clues", []) if opened is not None else []
    found = [desk.library.clue(one) for one in dict.fromkeys(ids)]
    return [one for one in found if one is not None and one.form == "choice"]


def _columns(desk: Desk, title: BookTitle) -> list[Field | Clue]:
    return [*PRESSING, *grid_clues(desk, title)]


def _currency(desk: Desk, title: BookTitle) -> str:
    return desk.library.currency(title.book) or desk.currency


def _show(desk: Desk, title: BookTitle, pressing: Pressing, column: Field | Clue) -> str:
    if isinstance(column, Clue):
        return clue_cell(pressing, column)
    return column.show(pressing, _currency(desk, title))


def _label(column: Field | Clue) -> str:
    return column.ask if isinstance(column, Clue) else column.label


def _column_at(desk: Desk, title: BookTitle) -> int:
    opened = desk.open.page
    at = int(opened.data.get("at", 0)) if opened is not None else 0
    return max(0, min(at, len(_columns(desk, title)) - 1))


def _count(desk: Desk) -> int:
    title = shown_title(desk)
    return len(CARD) + len(title.pressings) if title is not None else 0


def _marked_pressing(desk: Desk) -> Pressing | None:
    """The pressing whose row is marked; None on the card's rows."""
    title, opened = shown_title(desk), desk.open.page
    if title is None or opened is None or not title.pressings:
        return None
    at = min(opened.marked, _count(desk) - 1) - len(CARD)
    return title.pressings[at] if at >= 0 else None


def _about(desk: Desk) -> tuple[str, str]:
    title, opened = shown_title(desk), desk.open.page
    if title is None or opened is None:
        return "", "book-cell"
    if _marked_pressing(desk) is None:
        return CARD[min(opened.marked, len(CARD) - 1)].label, "book-cell"
    return _label(_columns(desk, title)[_column_at(desk, title)]), "book-cell"


def _enter(desk: Desk) -> None:
    """Open the marked cell in a line."""
    title, opened, pressing = shown_title(desk), desk.open.page, _marked_pressing(desk)
    if title is None or opened is None:
        desk.refuse("no book or list has this title any more")
        return
    desk.say("")
    if pressing is None:
        field = CARD[min(opened.marked, len(CARD) - 1)]
        text = field.show(title, _currency(desk, title))
        open_line(
            desk, "book-cell", field.label, text, field.about, replace=True, title=title.id, key=field.key
        )
        return
    column = _columns(desk, title)[_column_at(desk, title)]
    about = CELL_ABOUT if isinstance(column, Clue) else column.about
    if isinstance(column, Clue):
        about = f"{about}. It has: {', '.join(one.text for one in column.answers)}"
    open_line(
        desk, "book-cell", f"{pressing.name}: {_label(column)}", _show(desk, title, pressing, column), about,
        replace=True, title=title.id, pressing=pressing.id,
        key=column.id if isinstance(column, Clue) else column.key, clue=isinstance(column, Clue),
    )  # fmt: skip


@page(
    "book-title",
    "A title's card, and its pressings with what to expect of them. Enter changes the marked cell.",
    keys=(
        "page-enter", "book-right", "book-add", "book-fill", "book-clue", "book-retire", "page-undo",
        "book-find", "page-leave",
    ),
    enter=_enter,
    count=_count,
    about=_about,
    leave=all_titles,
    place="on a title's page",
    opener="book-page",
)  # fmt: skip
def book_title(desk: Desk) -> PageView:
    title = shown_title(desk)
    if title is None:
        return PageView((("Title", "accent bold"),), (says("no book or list has this title any more"),))
    home = desk.library.title(title.id)
    book_name = f"in {home.book}" if home else "in no book yet: the first change puts it into the shop's own"
    name = ", ".join(filter(None, (title.artist, title.title)))
    heading = (("Title  ", "accent bold"), (name, "bold"), (f"  {book_name}", "dim"))
    return PageView(heading, (says(how_known(home), "dim"),), (_card(desk, title), *_grid(desk, title)))


def _card(desk: Desk, title: BookTitle) -> Table:
    opened = desk.open.page
    at = min(opened.marked, _count(desk) - 1) if opened is not None else 0
    rows = []
    for n, field in enumerate(CARD):
        text = field.show(title, _currency(desk, title))
        style = "accent bold" if n == at else ""
        cells = (words(field.label, "bold" if n == at else "dim"), words(text or "·", style))
        rows.append(Row(f"card:{field.key}", cells, marked=n == at))
    return Table((Column(), Column(rank=1)), rows, name="card")


def _grid(desk: Desk, title: BookTitle) -> list[Section]:
    """The pressings, the chosen column among the few that are shown, the copy in the hand above them."""
    columns, at = _columns(desk, title), _column_at(desk, title)
    first = max(1, min(at - 1, len(columns) - ACROSS)) if at > 0 else 1
    shown = [0, *range(first, min(first + ACROSS, len(columns)))]
    opened = desk.open.page
    row_at = (opened.marked if opened is not None else 0) - len(CARD)
    heads = tuple(
        Column(("› " if n == at else "") + _label(columns[n]), rank=1 if n in (0, at) else 2) for n in shown
    )
    rows: list[Row | None] = [_hand(desk, title, columns, shown)]
    for n, pressing in enumerate(title.pressings):
        cells: list[Cell] = []
        for column in shown:
            text = _show(desk, title, pressing, columns[column]) or "·"
            here = n == row_at
            cells.append(words(text, "accent bold" if here and column == at else "bold" if here else ""))
        rows.append(Row(f"pressing:{pressing.id}", tuple(cells), marked=n == row_at))
    more = f"column {at + 1} of {len(columns)}: {_label(columns[at])}"
    nothing = words("No pressing is written down yet: add one here, or from a copy in the hand.", "dim")
    heading = words(f"Pressings; {more}", "dim")
    found = [row for row in rows if row is not None]
    return [Table(heads, found, heading=heading, empty=nothing, name="pressings")]


def _hand(desk: Desk, title: BookTitle, columns: list[Field | Clue], shown: list[int]) -> Row | None:
    """What was seen on the copy in the hand, above its title's pressings."""
    record = desk.work.record
    if record is None or record["title"] is None or record["title"]["id"] != title.id:
        return None
    seen: dict[str, str] = {}
    for one in record["answers"]:
        clue = desk.library.clue(one["clue"])
        if clue is not None and one["how"] == "seen":
            found = [known.text for known in clue.answers if known.id in answer_ids(one)]
            seen.setdefault(clue.id, " or ".join(found))
    cells: list[Cell] = []
    for n in shown:
        column = columns[n]
        text = seen.get(column.id, "") if isinstance(column, Clue) else ""
        cells.append(words("this copy" if n == 0 else text, "good"))
    return Row("hand", tuple(cells), markable=False)


# -- changing ----------------------------------------------------------------------------------------


def _take_cell(desk: Desk, line: OpenLine) -> None:
    data = line.data
    title = desk.library.title(data["title"]) or shown_title(desk)
    if title is None or desk.open.page is None or desk.open.page.name != "book-title":
        close_line(desk)
        desk.refuse("that title's page is no longer open")
        return
    try:
        if data.get("pressing"):
            _put_cell(desk, title, line)
        else:
            _put_card(desk, title, line)
    except ValueError as error:
        desk.refuse(str(error))
        return
    if desk.open.line is line:
        close_line(desk)
    desk.place()


def _put_card(desk: Desk, title: BookTitle, line: OpenLine) -> None:
    field = next(one for one in CARD if one.key == line.data["key"])
    value = field.read(line.text, _currency(desk, title))
    _in_book(desk, title, f"{field.label}: {line.text.strip() or 'none'}",
             lambda book: book.change_title(title.id, {field.key: value}))  # fmt: skip


def _in_book(desk: Desk, title: BookTitle, say: str, edit: Callable[[BookEdit], object]) -> None:
    """Change the title where it stands; one that no book has is put into the shop's own first."""
    home = home_of_title(desk, title.id)

    def put(book: BookEdit) -> None:
        if home is None and book.title(title.id) is None:
            book.put_title(_card_table(desk, title))
        edit(book)

    if home is None and desk.library.title(title.id) is not None:
        desk.refuse(f"this title's card stands in the book '{title.book}', which is not the shop's own")
        return
    change(desk, f"{title.title}: {say}", home or own_book(desk), put, title.id)


def _card_table(desk: Desk, title: BookTitle) -> dict[str, Any]:
    """The card of a title that a list or the bench knows."""
    listed = desk.finder.by_id(title.id)
    table: dict[str, Any] = {"id": title.id, "title": title.title}
    table = title_table(title_ref(listed)) if listed else table
    table |= {"size_in": title.size_in} if title.size_in != 12 else {}
    table |= {"discs": title.discs} if title.discs != 1 else {}
    if title.channels in ("mono", "stereo"):
        table["channels"] = title.channels
    return table


def _put_cell(desk: Desk, title: BookTitle, line: OpenLine) -> None:
    data = line.data
    pressing = next((one for one in title.pressings if one.id == data["pressing"]), None)
    if pressing is None:
        raise ValueError("that pressing is no longer in the book")
    _set_cell(desk, title, pressing, str(data["key"]), bool(data.get("clue")), line.text)


def _set_cell(desk: Desk, title: BookTitle, pressing: Pressing, key: str, is_clue: bool, text: str) -> None:
    """Put a cell's text into the book that has the pressing. ValueError where the text says nothing."""
    path = home_of_pressing(desk, title.id, pressing.id)
    if path is None:
        raise ValueError(f"'{pressing.name}' stands in a book that is not the shop's own")
    if is_clue:
        clue = desk.library.clue(key)
        if clue is None:
            raise ValueError("the books have lost that question")
        said = read_expected(text, clue)
        told = f"{pressing.name}: {clue.ask}: {text.strip() or 'silent'}"
        change(desk, told, path, lambda book: put_expected(book, title, pressing.id, clue, said), title.id)
        return
    field = next(one for one in PRESSING if one.key == key)
    value = field.read(text, _currency(desk, title))
    if key == "name" and any(one.name == value and one.id != pressing.id for one in title.pressings):
        raise ValueError(f"this title has a pressing '{value}' already")
    told = f"{pressing.name}: {field.label}: {text.strip() or 'none'}"
    change(desk, told, path, lambda book: book.change_pressing(title.id, pressing.id, {key: value}), title.id)


def _move(desk: Desk, by: int) -> None:
    title, opened = shown_title(desk), desk.open.page
    if title is None or opened is None:
        return
    if opened.marked < len(CARD) and title.pressings:
        opened.marked = len(CARD)
    count = len(_columns(desk, title))
    opened.data["at"] = max(0, min(_column_at(desk, title) + by, count - 1))


def _pressing_marked(desk: Desk) -> str:
    return unless(_marked_pressing(desk), "mark a pressing first")


def go_left(desk: Desk) -> None:
    _move(desk, -1)


def go_right(desk: Desk) -> None:
    _move(desk, 1)


def add_pressing(desk: Desk) -> None:
    """A new pressing; a marked one is the pattern of it, so that it can be split."""
    title, pressing = shown_title(desk), _marked_pressing(desk)
    if title is None:
        desk.refuse("no book or list has this title any more")
        return
    like = f", as '{pressing.name}' to begin with" if pressing else ""
    desk.say("")
    open_line(
        desk, "book-new-pressing", "new pressing", about=f"its name: what sets it apart{like}",
        title=title.id, like=pressing.id if pressing else "",
    )  # fmt: skip


def _take_new(desk: Desk, line: OpenLine) -> None:
    title, name = shown_title(desk), " ".join(line.text.split())
    if title is None or title.id != line.data.get("title"):
        close_line(desk)
        desk.refuse("that title's page is no longer open")
        return
    if not name or any(one.name.casefold() == name.casefold() for one in title.pressings):
        desk.refuse(f"this title has a pressing '{name}' already" if name else "type a name for the pressing")
        return
    taken = [one.id.removeprefix(f"{title.id}/") for one in title.pressings]
    slug = new_id(name, taken)
    while home_of_pressing(desk, title.id, f"{title.id}/{slug}") is not None:  # retired: its id lives on
        taken.append(slug)
        slug = new_id(name, taken)
    table: dict[str, Any] = {"id": f"{title.id}/{slug}", "name": name, "source": "by the dealer"}
    like = line.data.get("like") or ""
    pattern = home_of_pressing(desk, title.id, like) if like else None

    def put(book: BookEdit) -> None:
        found = book.pressing(title.id, like) if pattern is not None and like else None
        book.put_pressing(title.id, {**(found or {}), **table})

    if pattern is not None:
        change(desk, f"{title.title}: new pressing '{name}'", pattern, put, title.id)
    elif home_of_title(desk, title.id) is None and desk.library.title(title.id) is not None:
        change(desk, f"{title.title}: new pressing '{name}'", own_book(desk), put, title.id)
    else:
        _in_book(desk, title, f"new pressing '{name}'", put)
    if desk.open.line is line:
        close_line(desk)
    fresh = shown_title(desk)
    if desk.open.page is not None and fresh is not None:
        ids = [one.id for one in fresh.pressings]
        desk.open.page.marked = len(CARD) + (ids.index(table["id"]) if table["id"] in ids else 0)
    desk.place()


def retire(desk: Desk) -> None:
    """No copy is weighed against it any more; records that were called so keep its name."""
    title, pressing = shown_title(desk), _marked_pressing(desk)
    path = home_of_pressing(desk, title.id, pressing.id) if title and pressing else None
    if title is None or pressing is None or path is None:
        desk.refuse("mark a pressing of the shop's own books first")
        return
    change(
        desk, f"{title.title}: '{pressing.name}' retired", path,
        lambda book: book.retire_pressing(title.id, pressing.id, "by the dealer"), title.id,
    )  # fmt: skip


def fill_down(desk: Desk) -> None:
    """The marked cell's text goes into the pressing below, which is marked then."""
    title, pressing, opened = shown_title(desk), _marked_pressing(desk), desk.open.page
    if title is None or pressing is None or opened is None:
        desk.refuse("mark a pressing first")
        return
    at = title.pressings.index(pressing) + 1
    column = _columns(desk, title)[_column_at(desk, title)]
    if at >= len(title.pressings) or (isinstance(column, Field) and column.key == "name"):
        desk.refuse("there is no pressing below" if at >= len(title.pressings) else "each has its own name")
        return
    text = _show(desk, title, pressing, column)
    key, is_clue = (column.id, True) if isinstance(column, Clue) else (column.key, False)
    try:
        _set_cell(desk, title, title.pressings[at], key, is_clue, text)
    except ValueError as error:
        desk.refuse(str(error))
        return
    opened.marked = len(CARD) + at


def add_clue(desk: Desk) -> None:
    """Another column: any clue that such a title may be asked."""
    open_line(
        desk, "book-clue", "column", about="a few letters of a question; it becomes a column of the grid"
    )


def _clue_picks(desk: Desk, line: OpenLine) -> list[Pick]:
    title = shown_title(desk)
    if title is None or not line.text.strip():
        return []
    ranked = []
    for clue in desk.library.clues():
        fits = fit(line.text, f"{clue.ask} {clue.part} {clue.place} {clue.id}")
        whose = not clue.companies or title.company in clue.companies
        where = not clue.countries or title.country in clue.countries
        if fits is not None and whose and where and clue.form == "choice":
            spans = ((clue.ask, ""), (f"  {clue.part}, {clue.place}", "dim"))
            ranked.append((fits, not clue.companies, Pick(spans, clue.id)))
    ranked.sort(key=lambda one: one[:2])
    return [pick for _, _, pick in ranked[:8]]


def _take_clue(desk: Desk, line: OpenLine) -> None:
    title, opened, pick = shown_title(desk), desk.open.page, marked_pick(line)
    if title is None or opened is None or pick is None:
        desk.refuse(f"no question fits '{line.text.strip()}'")
        return
    close_line(desk)
    opened.data.setdefault("clues", []).append(pick.value)
    ids = [one.id if isinstance(one, Clue) else one.key for one in _columns(desk, title)]
    opened.data["at"] = ids.index(pick.value) if pick.value in ids else 0
    if title.pressings:
        opened.marked = max(opened.marked, len(CARD))
    desk.say("")
    desk.place()


LINES["book-find"] = LineKind(_take_find, lambda desk, line: picks_for(desk, line.text))
LINES["book-cell"] = LineKind(_take_cell)
LINES["book-new-pressing"] = LineKind(_take_new)
LINES["book-clue"] = LineKind(_take_clue, _clue_picks)
