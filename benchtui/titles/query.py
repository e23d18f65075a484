"""What was typed, read once for all pieces."""

from typing import NamedTuple

from benchtui.titles.barcode import Barcode, barcode_key, read_barcode
from benchtui.titles.fold import ARTICLES, article_length, look_up, number_form, without_zeros, word_starts
from benchtui.titles.spelling import with_umlauts

LONGEST = 200
"""Letters of a query that are looked at; nobody types more, but a paste may bring more."""


class Query(NamedTuple):
    """``text``: folded; ``bare``: without its leading article. ``needles``: what stands in a row that has
    a word beginning so. ``number``: compact, as numbers are looked up (``fold.number_form``). ``barcode``: as
    read, where it is digits only.
    """

    text: str
    bare: str
    words: tuple[str, ...]
    joined: str
    number: str
    barcode: Barcode | None

    @property
    def numbers(self) -> tuple[str, ...]:
        """The number as typed, and without the zeros that fill it up."""
        return tuple(dict.fromkeys(filter(None, (self.number, without_zeros(self.number)))))

    @property
    def has_digit(self) -> bool:
        """Whether a figure was typed; a number of letters alone is only looked for whole."""
        return any(char.isdigit() for char in self.text)

    @property
    def is_whole_barcode(self) -> bool:
        """Whether it is as many digits as a barcode has, checked already."""
        return self.barcode is not None and self.barcode.valid is not None

    @property
    def last_letter(self) -> str:
        """A single letter typed after other words, as of ``Weir C``; "" where there is none."""
        last = self.words[-1] if len(self.words) > 1 else ""
        return last if len(last) == 1 and last.isalpha() else ""

    @property
    def starts(self) -> tuple[str, ...]:
        """The beginnings looked for, as typed and without the article."""
        return (self.text,) if self.bare == self.text else (self.text, self.bare)

    @property
    def content(self) -> tuple[str, ...]:
        """The words that are not articles; all of them where nothing else is left."""
        return tuple(word for word in self.words if word not in ARTICLES) or self.words


def needle(word: str) -> bytes:
    """What a row with a space before it contains if one of its words begins so."""
    parted = word.isascii() or len(word_starts(word)) == 1
    return (" " + word if parted else word).encode()


def readings(typed: str) -> tuple[Query, ...]:
    """The query as typed and, where it has letters like an u with points, with ue for it too."""
    spelt = with_umlauts(typed[:LONGEST])
    return (read_query(typed),) if spelt == typed[:LONGEST] else (read_query(typed), read_query(spelt))


def read_query(typed: str) -> Query:
    """Reads what was typed; never raises, whatever it is."""
    text = look_up(typed[:LONGEST])
    bare = text[article_length(text) :]
    barcode = read_barcode(typed[:LONGEST])
    number = number_form(typed[:LONGEST]) if text else ""
    if barcode is not None and barcode.valid is not None:
        number = barcode_key(barcode.digits)
    return Query(text, bare, tuple(text.split()), text.replace(" ", ""), number, barcode)
