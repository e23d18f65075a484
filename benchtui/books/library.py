"""All books of a shop at once: what clue, title or cipher an id means, and which clues a part is asked."""

import re
from collections.abc import Iterable, Iterator, Mapping, Sequence
from contextlib import suppress
from copy import copy
from dataclasses import replace
from functools import cached_property
from pathlib import Path
from typing import Any, NamedTuple

from benchtui.base.errors import BenchError
from benchtui.books.joins import joins_of, one_id
from benchtui.books.passed_on import counts_now, expect_now, given_of, living, one_answer, pressing_of
from benchtui.books.prepared import Prepared, prepare
from benchtui.books.read import read_answers, read_cipher, read_numbering
from benchtui.books.read_titles import read_pressing, read_title
from benchtui.books.row import Row
from benchtui.books.shape import BookHead, BookTitle, Cipher, Clue, Numbering, Pressing
from benchtui.books.trust import trusted, worth_of
from benchtui.model.record import PartDoc, RecordDoc, TitleRef
from benchtui.model.span import Span
from benchtui.model.title import Title

UNIVERSAL = Path(__file__).parent / "universal.toml"
NOT_BOOKS = frozenset({"scales.toml", "faults.toml"})
_KEPT_TITLES = 512
_PEERS = 24
_YEAR = re.compile(r"\d{4}")


def book_files(folders: Sequence[Path]) -> list[Path]:
    """The universal book, then every ``*.toml`` of the folders; of one file name the last one counts."""
    found = {UNIVERSAL.name: UNIVERSAL}
    for folder in folders:
        if folder.is_dir():
            for path in sorted(folder.glob("*.toml")):
                if path.name not in NOT_BOOKS:
                    found[path.name] = path
    return list(found.values())


_Stamp = tuple[int, int, int]
_Stamps = dict[Path, _Stamp]


def _stamps(files: Sequence[Path]) -> _Stamps:
    """What changes of a file whenever somebody writes it."""
    found: _Stamps = {}
    for path in files:
        with suppress(OSError):
            seen = path.stat()
            found[path] = (seen.st_mtime_ns, seen.st_size, seen.st_ino)
    return found


def prefix_of(number: str) -> str:
    """The letters before the first figure of a catalogue number: ``TFS`` of ``TFS 12``."""
    return re.sub(r"[^A-Z]", "", re.split(r"\d", number.upper(), maxsplit=1)[0])


class Library:
    """The books that are open. Look-ups only; nothing here changes a file but the prepared copies."""

    def __init__(
        self,
        books: Sequence[Prepared],
        countries: Iterable[str] = (),
        cache: Path | None = None,
        folders: Sequence[Path] = (),
    ) -> None:
        self.joins: dict[str, str] = {}
        """Title id -> id of the title of another source that it is; an id that no book has joins nothing."""
        self._clues, self.aside = _all_clues(books)
        self._given = {clue.id: given for clue in self._clues.values() if (given := given_of(clue))}
        """``aside``: what could not be read of the books, a line each."""
        self._trusts: dict[str, float] = {}
        self._stamps: _Stamps | None = None
        self._books = list(books)
        self._countries = frozenset(countries)
        self._cache = cache
        self._folders = tuple(folders)
        self._ciphers = _all_ciphers(self._books)
        self._titles: dict[str, BookTitle | None] = {}
        self._clues_about: dict[tuple[_About, bool], tuple[Clue, ...]] = {}
        self._peers: dict[str, tuple[BookTitle, ...]] = {}

    @classmethod
    def open(
        cls, folders: Sequence[Path] = (), countries: Iterable[str] = (), *, cache: Path | None = None
    ) -> "Library":
        """Opens the universal book and the books of the folders (a folder that is not there holds none).

        ``countries``: whose clues are shown for a title of unknown country. ``cache``: where a book is
        prepared whose own folder cannot be written (default: the user's cache folder). What cannot be
        read, be it a book or a row of one, is left out and told in ``aside``.
        """
        return cls._opened(folders, countries, cache, {})

    @classmethod
    def of_shop(cls, shop: Path, settings: Mapping[str, Any]) -> "Library":
        """The books of the shop in that folder, with its titles joined as its settings say."""
        return cls.open([shop / "books"]).joined(joins_of(settings))

    @classmethod
    def _opened(
        cls,
        folders: Sequence[Path],
        countries: Iterable[str],
        cache: Path | None,
        known: Mapping[Path, tuple[_Stamp, Prepared]],
    ) -> "Library":
        """``known``: books that are open, each with what its file was like then."""
        books: list[Prepared] = []
        aside: list[str] = []
        files = book_files(folders)
        stamps = _stamps(files)  # before they are read: a change meanwhile is one to be seen
        for path in files:
            was, there = known.get(path, (None, None))
            try:
                same = there is not None and stamps.get(path) == was
                books.append(there if there is not None and same else prepare(path, cache))
                aside += books[-1].aside
            except BenchError as error:
                if path == UNIVERSAL:
                    raise
                aside.append(error.one_line())
        made = cls(books, countries, cache, folders)
        made.aside, made._stamps = (*aside, *made.aside), stamps
        return made

    def is_stale(self) -> bool:
        """Whether a book's file was changed, added or taken away since they were opened."""
        return self._stamps is not None and _stamps(book_files(self._folders)) != self._stamps

    def reopened(self) -> "Library":
        """The same books as they are now, after something was added to one of them."""
        stamps = self._stamps or {}
        paths = {Path(book.head.path): book for book in self._books}
        known = {path: (stamps[path], book) for path, book in paths.items() if path in stamps}
        again = Library._opened(self._folders, self._countries, self._cache, known)
        return again.joined(self.joins) if self.joins else again

    def joined(self, joins: Mapping[str, str]) -> "Library":
        """The same books, where titles of several sources are one title."""
        if joins == self.joins:
            return self
        made = copy(self)
        made.joins = dict(joins)
        made._titles, made._clues_about, made._peers = {}, {}, {}
        return made

    def trusts(self, counts: Mapping[str, Any]) -> dict[str, float]:
        """What each source's word is worth, by the shop's confirmed copies (``trust.py``)."""
        return worth_of(self._counted(counts), {name for head in self.books() for name in head.strangers})

    def _counted(self, counts: Mapping[str, Any]) -> Iterator[tuple[Pressing, Mapping[str, Any]]]:
        for pressing_id, its in counts.items():
            pressing = pressing_of(self.title(pressing_id.rpartition("/")[0]), pressing_id)
            if pressing is not None:
                yield pressing, its.get("clues", {})

    def trusting(self, trusts: Mapping[str, float]) -> "Library":
        """The same books, where the sources' words are worth that."""
        if trusts == self._trusts:
            return self
        made = copy(self)
        made._trusts, made._titles, made._peers = dict(trusts), {}, {}
        return made

    def books(self) -> tuple[BookHead, ...]:
        """What the books say of themselves, the universal one first."""
        return tuple(book.head for book in self._books)

    def clues(self) -> tuple[Clue, ...]:
        """Every clue of every book, in the books' order."""
        return tuple(self._clues.values())

    def clue(self, clue_id: str) -> Clue | None:
        """The clue of that id with all its answers, those added by other books included."""
        return self._clues.get(clue_id)

    def cipher(self, cipher_id: str) -> Cipher | None:
        """The stamper cipher of that id."""
        return self._ciphers.get(cipher_id)

    def digest(self, book: str) -> str:
        """Twelve hex digits of the book's text (by id or name), "" for a book that is not open."""
        head = self._head(book)
        return head.digest if head else ""

    def currency(self, book: str) -> str:
        """The currency of the book's prices (by id or name), "" where it has none."""
        head = self._head(book)
        return head.currency if head else ""

    def _head(self, book: str) -> BookHead | None:
        heads = self.books()
        by_id = (head for head in heads if head.id == book)
        return next(by_id, None) or next((head for head in heads if head.name == book), None)

    @cached_property
    def companies(self) -> tuple[str, ...]:
        """The companies that any title or question of the books names, by name."""
        asked = {one for clue in self.clues() for one in clue.companies}
        return tuple(sorted(asked.union(title.company for title in self.titles()) - {""}))

    @cached_property
    def company_by_prefix(self) -> dict[str, str]:
        """Letters that catalogue numbers begin with -> the company of the titles that have them, where those
        are one company's only.
        """
        found: dict[str, set[str]] = {}
        for title in self.titles():
            for number in (title.catalogue, *title.numbers.split("/")):
                found.setdefault(prefix_of(number), set()).add(title.company)
        return {prefix: min(whose) for prefix, whose in found.items() if prefix and len(whose) == 1}

    def titles(self) -> Iterator[Title]:
        """A row for each title of each book."""
        for book in self._books:
            yield from book.rows()

    def title(self, title_id: str) -> BookTitle | None:
        """The title with its pressings, those other books add last, no retired ones; None: no book has it."""
        if title_id not in self._titles:
            if len(self._titles) >= _KEPT_TITLES:
                self._titles.pop(next(iter(self._titles)))
            self._titles[title_id] = self._title_from_books(title_id)
        return self._titles[title_id]

    def _title_from_books(self, title_id: str) -> BookTitle | None:
        ids = self._ids_of(title_id)
        owned = ((book, book.title_table(one)) for one in ids for book in self._books)
        found = [(book, table) for book, table in owned if table is not None]
        if not found:
            return None
        owner = found[0][0]
        title, *others = (read_title(book.row(table), book.head) for book, table in found)
        pressings = list(title.pressings)
        for (book, _), other in zip(found[1:], others, strict=True):
            if other.id != title.id:
                pressings += _in_currency(other.pressings, book, owner)
        for book in self._books:
            for one in ids:
                read = [read_pressing(book.row(raw), book.head) for raw in book.added(one)]
                pressings += _in_currency(read, book, owner)
        if self._given:
            pressings = [self._as_now(one) for one in pressings]
        found_title = replace(title, pressings=living(pressings))
        return trusted(found_title, self._trusts) if self._trusts else found_title

    def _as_now(self, pressing: Pressing) -> Pressing:
        """The pressing, which expects no answer that passed to another."""
        said = tuple(replace(one, expect=expect_now(one.expect, self._given)) for one in pressing.said)
        return replace(pressing, expect=expect_now(pressing.expect, self._given), said=said)

    def counted_now(self, counts: dict[str, Any]) -> dict[str, Any]:
        """What confirmed copies taught, by the answers there are: some may have passed to others."""
        return counts_now(counts, self.clue) if self._given else counts

    def one_id(self, title_id: str) -> str:
        """The id under which all titles joined to this one are one; its own where it is joined to none."""
        return one_id(self.joins, title_id)

    def card_now(self, record: RecordDoc) -> RecordDoc:
        """The record, where its title was joined to another with that one's card; its own number stays."""
        ref = record["title"]
        known = self.title(self.one_id(ref["id"])) if ref and ref["id"] in self.joins else None
        if ref is None or known is None or known.id == ref["id"]:
            return record
        card: TitleRef = {**ref, "artist": known.artist, "title": known.title}
        card["catalogue"] = ref["catalogue"] or next(iter(known.catalogues), "")
        if known.first.known:
            card["first"] = known.first.edtf()
        if known.company:
            card["company"] = known.company
        if known.country:
            card["country"] = known.country
        return {**record, "title": card}

    def are_one(self, ref: TitleRef | None, other: TitleRef | None) -> bool:
        """Whether two records are of one title, whatever id either has it under."""
        return ref is not None and other is not None and self.one_id(ref["id"]) == self.one_id(other["id"])

    def _ids_of(self, title_id: str) -> list[str]:
        """All ids of that title: what it was joined to first, then those joined to the same."""
        to = self.joins.get(title_id) or title_id
        if to != title_id and not any(book.title_table(to) is not None for book in self._books):
            return [title_id]
        return list(dict.fromkeys([to, title_id, *(one for one, its in self.joins.items() if its == to)]))

    def peers(self, title: BookTitle) -> tuple[BookTitle, ...]:
        """Other titles of the company with pressings, those first issued nearest to this one: at most two
        dozen, nearest first; none for a title of no company.
        """
        if title.id not in self._peers:
            if len(self._peers) >= _KEPT_TITLES:
                self._peers.clear()
            year = title.first.earliest.year if title.first.earliest else None
            known = self._by_company.get(title.company, []) if title.company else []
            rows = [row for row in known if row[1] != title.id]
            rows.sort(key=lambda row: abs(row[0] - year) if year and row[0] else 99)
            found = (self.title(title_id) for _, title_id in rows[:_PEERS])
            self._peers[title.id] = tuple(one for one in found if one is not None)
        return self._peers[title.id]

    @cached_property
    def _by_company(self) -> dict[str, list[tuple[int, str]]]:
        """Company -> year of first issue (0: unknown) and id of each of its titles with pressings."""
        found: dict[str, list[tuple[int, str]]] = {}
        for row in self.titles():
            if row.pressings:
                year = _YEAR.search(row.first)
                found.setdefault(row.company, []).append((int(year[0]) if year else 0, row.id))
        return found

    def first_issued(self, catalogue: str, company: str = "") -> Span | None:
        """When a catalogue number was first issued by the books' numbering rules; None where none fits."""
        for book in self._books:
            for raw in book.tables["numbering"]:
                rule = read_numbering(book.row(raw), book.head)
                if company in ("", rule.company) and _in_rule(catalogue, rule):
                    return rule.first
        return None

    def clues_for(self, record: RecordDoc, part: PartDoc, *, volunteered: bool = False) -> tuple[Clue, ...]:
        """The clues that apply to that part of that record, in printed order, the company's book first.

        A box is asked a cover's clues too. ``volunteered``: also those that are asked only when the dealer
        jumps to them, and those that another of these asks instead. A title of a country sees that country's
        clues and those of no country.
        """
        about = _about(record, part, self.title(record["title"]["id"]) if record["title"] else None)
        kept = self._clues_about.get((about, volunteered))
        if kept is None:
            found = [clue for clue in self._clues.values() if volunteered or not clue.volunteer]
            found = [clue for clue in found if about.fits(clue, self._countries)]
            twice = {other for clue in found for other in clue.instead_of} if not volunteered else ()
            found = [clue for clue in found if clue.id not in twice]
            kept = tuple(sorted(found, key=lambda clue: (clue.book == UNIVERSAL.stem, not clue.companies)))
            if len(self._clues_about) >= _KEPT_TITLES:
                self._clues_about.clear()
            self._clues_about[about, volunteered] = kept
        return kept


class _About(NamedTuple):
    """What decides whether a clue applies: company, country, kind of part, size and material."""

    title: str
    company: str
    country: str
    size: float
    material: str
    kinds: tuple[str, ...]

    def fits(self, clue: Clue, countries: frozenset[str]) -> bool:
        """Whether the clue applies; ``countries`` stand in for a title's unknown country."""
        here = frozenset({self.country}) if self.country else countries
        return (
            clue.part in self.kinds
            and (not clue.companies or self.company in clue.companies)
            and (not clue.countries or not here.isdisjoint(clue.countries))
            and here.isdisjoint(clue.not_in)
            and (not clue.sizes or self.size in clue.sizes)
            and (not clue.materials or self.material in clue.materials)
            and (not clue.titles or self.title in clue.titles)
        )


def _about(record: RecordDoc, part: PartDoc, title: BookTitle | None) -> _About:
    reference = record["title"]
    return _About(
        title=reference["id"] if reference else "",
        company=title.company if title else reference.get("company", "") if reference else "",
        country=title.country if title else reference.get("country", "") if reference else "",
        # an unknown size or material is taken for what most records are
        size=record["size_in"] or (title.size_in if title else 12),
        material=part.get("material") or (title.material if title else "vinyl"),
        kinds=("box", "cover") if part["kind"] == "box" else (part["kind"],),
    )


def _in_currency(pressings: Iterable[Pressing], book: Prepared, owner: Prepared) -> list[Pressing]:
    """A price in another currency than the title's book is not a price in it: the rest still holds."""
    if book.head.currency in ("", owner.head.currency) or owner.head.currency == "":
        return list(pressings)
    return [replace(pressing, price=None) for pressing in pressings]


def _all_clues(books: Sequence[Prepared]) -> tuple[dict[str, Clue], tuple[str, ...]]:
    """Every clue by id, and a line for each that another book has too: an answer could mean either, so that
    the first keeps its meaning.
    """
    found: dict[str, Clue] = {}
    aside = []
    for book in books:
        for clue in book.clues:
            if clue.id in found:
                what = f"clue {clue.id} is also a clue of the book {found[clue.id].book!r}"
                right = "give it an id that begins with the book's own letters"
                aside.append(BenchError(what, book.head.path, right).one_line())
            else:
                found[clue.id] = clue
    for book in books:
        for raw in book.tables["answers"]:
            if clue_to := found.get(raw["clue"]):
                found[clue_to.id] = _with_answers(clue_to, book.row(raw))
    return {clue_id: one_answer(clue) for clue_id, clue in found.items()}, tuple(aside)


def _with_answers(clue: Clue, row: Row) -> Clue:
    """The clue with answers another book adds; an id it has already keeps its first meaning."""
    taken = {answer.id for answer in clue.answers}
    digits = {answer.digit for answer in clue.answers}
    answers = list(clue.answers)
    for answer in read_answers(row):
        if answer.id in taken:
            continue
        digit = answer.digit
        if digit in digits:
            digit = next(number for number in range(1, 1000) if number not in digits)
        digits.add(digit)
        answers.append(answer._replace(digit=digit))
    return clue._replace(answers=tuple(answers))


def _all_ciphers(books: Sequence[Prepared]) -> dict[str, Cipher]:
    found: dict[str, Cipher] = {}
    for book in books:
        for raw in book.tables["cipher"]:
            cipher = read_cipher(book.row(raw))
            found.setdefault(cipher.id, cipher)
    return found


def _in_rule(catalogue: str, rule: Numbering) -> bool:
    """Whether a catalogue number such as ``TW 341`` falls under the rule; only letters and digits count."""
    bare = "".join(letter for letter in catalogue.upper() if letter.isalnum())
    prefix = "".join(letter for letter in rule.prefix.upper() if letter.isalnum())
    number = bare.removeprefix(prefix)
    return bare.startswith(prefix) and number.isdecimal() and rule.low <= int(number) <= rule.high
