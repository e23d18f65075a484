"""The cells of a title's card and of its grid of pressings: how each is shown, typed, put in the book."""

from collections.abc import Callable
from typing import Any, NamedTuple

from benchtui.books.as_table import answer_table, words_value
from benchtui.books.dated_words import dated_answer, read_dated
from benchtui.books.edit import BookEdit
from benchtui.books.shape import BookTitle, Clue, Pressing, Word
from benchtui.knowledge.alike import brackets_over, place_answer
from benchtui.knowledge.cells import read_cell, write_cell
from benchtui.knowledge.values import (
    cuts_of,
    cuts_text,
    list_of,
    list_text,
    price_of,
    share_of,
)
from benchtui.model.money import Money
from benchtui.model.span import dots_text
from benchtui.model.when import read_span
from benchtui.titles.values import channels_of

CHANNELS = ("mono", "stereo", "both")


class Field(NamedTuple):
    """``key`` as the book's file calls it; ``read`` gives its value, None to take it out, or ValueError."""

    key: str
    label: str
    about: str
    show: Callable[[Any, str], str]
    read: Callable[[str, str], Any]


def _plain(text: str, currency: str) -> Any:
    return " ".join(text.split()) or None


def _needed(text: str, currency: str) -> Any:
    if not text.strip():
        raise ValueError("it cannot be empty")
    return " ".join(text.split())


def edtf_of(text: str) -> str | None:
    """EDTF of ``1968..1970``, ``1968-1970``, ``Sept 1974``; None of nothing."""
    if not text.strip():
        return None
    return read_span(text)[0].edtf()


def _span(text: str, currency: str) -> Any:
    return edtf_of(text)


def _country(text: str, currency: str) -> Any:
    code = text.strip().upper()
    if code and not (len(code) == 2 and code.isalpha()):
        raise ValueError("type the country's two letters, such as GB, DE or XV")
    return code or None


def _whole(low: int, high: int) -> Callable[[str, str], Any]:
    def read(text: str, currency: str) -> Any:
        if not text.strip().isdigit() or not low <= int(text) <= high:
            raise ValueError(f"type a whole number, {low} to {high}")
        return int(text)

    return read


def _sound(text: str, currency: str) -> Any:
    if not text.strip():
        return None
    found = channels_of(text)[0]
    if found not in CHANNELS:
        raise ValueError("type mono, stereo or both, or nothing")
    return found


def _complete(text: str, currency: str) -> Any:
    word = text.strip().casefold()
    if word and word not in ("all", "most", "some"):
        raise ValueError("how many pressings the book has: all, most or some; empty if you cannot say")
    return word or None


def _list(text: str, currency: str) -> Any:
    return list_of(text) or None


def _share(text: str, currency: str) -> Any:
    try:
        return share_of(text) if text.strip() else None
    except ValueError:
        raise ValueError("type how many of ten copies are this one: 3, or 30 %") from None


def _price(text: str, currency: str) -> Any:
    if not text.strip():
        return None
    if not currency:
        raise ValueError("the book names no currency: set currency under [book] in its file first")
    return price_of(text, currency)


def _cuts(text: str, currency: str) -> Any:
    return cuts_of(text) or None


def _of(name: str) -> Callable[[Any, str], str]:
    def show(thing: Any, currency: str) -> str:
        value = getattr(thing, name)
        return str(value) if value else ""

    return show


CARD: tuple[Field, ...] = (
    Field("artist", "artist", "as the label has it", _of("artist"), _plain),
    Field("title", "title", "as the label has it", _of("title"), _needed),
    Field("company", "company", "its questions are asked and its ladder dates it", _of("company"), _plain),
    Field("country", "country", "two letters, such as GB, DE, XV", _of("country"), _country),
    Field("first", "first issued", "1968, 1968-05 or 1968..1970", lambda one, _: dots_text(one.first), _span),
    Field(
        "catalogues", "numbers", "with semicolons between", lambda one, _: list_text(one.catalogues), _list
    ),
    Field("channels", "channels", "mono or stereo; nothing where both", _of("channels"), _sound),
    Field("size_in", "size, inches", "12, 10 or 7", _of("size_in"), _whole(1, 20)),
    Field("discs", "discs", "how many", _of("discs"), _whole(1, 60)),
    Field("inners", "inners", "how many inner sleeves came with it", _of("inners"), _whole(0, 60)),
    Field("extras", "extras", "with semicolons between", lambda one, _: list_text(one.extras), _list),
    Field(
        "complete", "complete", "how many pressings the book has: all, most, some", _of("complete"), _complete
    ),
)
PRESSING: tuple[Field, ...] = (
    Field("name", "pressing", "what sets it apart", _of("name"), _needed),
    Field("period", "made", "1968..1970, 1968.. or 1968-05", lambda one, _: dots_text(one.period), _span),
    Field("share", "share", "how many of ten copies", lambda one, _: f"{one.share:g}", _share),
    Field(
        "price", "price", "at the best grade",
        lambda one, currency: Money(one.price, currency).plain() if one.price is not None else "", _price,
    ),
    Field("channels", "channels", "mono or stereo", _of("channels"), _sound),
    Field("catalogue", "number", "where not all have the same", _of("catalogue"), _plain),
    Field("extras", "extras", "with semicolons between", lambda one, _: list_text(one.extras), _list),
    Field("cuts", "cuts", "1/1 usually; 2/1 sometimes", lambda one, _: cuts_text(one.cuts), _cuts),
    Field("source", "source", "who says so", _of("source"), _plain),
)  # fmt: skip
CELL_ABOUT = "an answer; a / b either; a, rarely b; not a; - not there; +words a new answer; empty: not known"


def clue_cell(pressing: Pressing, clue: Clue) -> str:
    """What the pressing's book expects of the clue, "" where it is silent."""
    words = pressing.expect.get(clue.id)
    return write_cell(words, clue) if words else ""


class Expected(NamedTuple):
    """``words`` per answer, None where the cell is silent; ``fresh``: answers that the clue gets for it."""

    words: dict[str, Word] | None
    fresh: tuple[dict[str, Any], ...] = ()


def read_expected(text: str, clue: Clue) -> Expected:
    """What a cell says of the clue. ValueError, naming its answers, for one that is none of them."""
    taken = [one.id for one in clue.answers]
    if text.strip().startswith("+"):
        digits = {one.digit for one in clue.answers}
        digit = next((number for number in range(1, 10) if number not in digits), 0)
        if not digit:
            raise ValueError(f"'{clue.ask}' has no digit left: make a new question instead")
        said = read_dated(text.strip()[1:])
        if not said.words:
            raise ValueError("type the new answer after the +")
        made = dated_answer(said, taken, digit)
        return Expected({made.id: "always"}, (answer_table(made),))
    cell = read_cell(text, lambda one: place_answer(one, clue).how == "same")
    if cell.kind in ("silent", "unknown"):
        return Expected(None)
    if cell.kind == "absent":
        absent = next((one.id for one in clue.answers if one.absent), None)
        if absent is None:
            raise ValueError(f"'{clue.ask}' has no answer for 'not there'")
        return Expected({absent: "always"})
    words: dict[str, Word] = {}
    for name, word in cell.words:
        if over := brackets_over(name, clue):
            words |= {one.id: "usually" if word == "always" else word for one in over}
            continue
        answer = place_answer(name, clue).answer
        if answer is None:
            there = ", ".join(one.text for one in clue.answers)
            raise ValueError(f"'{name}' is not an answer of '{clue.ask}': {there}; +{name} makes it one")
        words[answer.id] = word
    return Expected(words)


def put_expected(book: BookEdit, title: BookTitle, pressing_id: str, clue: Clue, said: Expected) -> None:
    """Put what a cell says into the book that has the pressing."""
    for answer in said.fresh:
        book.put_answer(clue.id, answer)
    table = book.pressing(title.id, pressing_id) or {}
    expect = {key: value for key, value in table.get("expect", {}).items() if key != clue.id}
    if said.words is not None:
        expect[clue.id] = words_value(said.words)
    book.change_pressing(title.id, pressing_id, {"expect": expect or None})
