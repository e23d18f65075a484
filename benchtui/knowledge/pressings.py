"""The rows of one title of a table as pressings: new, changed or the same as what is known."""

from calendar import monthrange
from collections.abc import Iterable, Mapping, Sequence
from typing import Any

from benchtui.books.as_table import book_title_table, words_value
from benchtui.books.from_bench import new_id
from benchtui.books.ladder import is_grown
from benchtui.books.library import Library
from benchtui.books.shape import BookHead, BookTitle, Pressing, Word
from benchtui.knowledge.alike import Card
from benchtui.knowledge.cells import write_cell
from benchtui.knowledge.folded import fold
from benchtui.knowledge.one_pressing import looks_grown
from benchtui.knowledge.plan import Decisions, GrownAlike, Plan, PressingPlan, TitlePlan, Unplaced
from benchtui.knowledge.rows import Said, numbers_of
from benchtui.knowledge.values import (
    currency_in,
    cuts_of,
    kind_of,
    list_of,
    price_of,
    share_of,
    span_of,
    stems_of,
)
from benchtui.model.day_words import year_words
from benchtui.model.money import Money
from benchtui.model.span import Span, parse_edtf
from benchtui.model.when import read_span
from benchtui.titles.fold import number_form
from benchtui.titles.values import channels_of, date_of, is_empty

ENDS = ("from", "to", "made")
A_YEAR = 366
"""Days."""


class TitleRows:
    """The rows of one title."""

    def __init__(
        self, plan: Plan, title: TitlePlan, library: Library, decisions: Decisions, currency: str
    ) -> None:
        self.plan, self.title, self.decisions = plan, title, decisions
        self.group, self.known = title.group, title.known
        self.currency = (library.currency(self.known.book) if self.known else "") or currency
        self.left = list(self.known.pressings) if self.known else []
        self.taken = {one.id.removeprefix(f"{title.id}/") for one in self.left}
        self.several = len(self.group.card.numbers) > 1
        self.stems: dict[str, str] = {}
        self.new: list[tuple[PressingPlan, Pressing]] = []

    def read(self) -> None:
        """Each row as a pressing; then what the rows say of the title itself."""
        made = [self._pressing(row) for row in self.group.rows]
        self.plan.pressings += [one for one in made if one is not None]
        self._beside_grown()
        self._card()

    def _problem(self, row: Said, column: str, text: str, near: Iterable[str] = (), why: str = "") -> None:
        self.plan.unplaced.append(Unplaced(row.line, column, text, tuple(near), why=why))

    def _pressing(self, row: Said) -> PressingPlan | None:
        fields = self._fields(row)
        expect = self._expect(row)
        name = " ".join(row.fixed.get("pressing", "").split())
        known = self._find(name, fields)
        if known is None and not name and (fields or expect):
            name = self._made_name(row, fields.get("period", ""))
            known = self._find(name, fields)
        if known is None:
            if not (name or fields or expect):
                return None  # a row of the title alone
            return self._new(row, name, fields, expect)
        self.left.remove(known)
        one = PressingPlan(row.line, self.title, "same", known.id, known.name, {})
        self._compare(one, known, fields, expect)
        return one

    def _new(self, row: Said, name: str, fields: dict[str, Any], expect: dict[str, Any]) -> PressingPlan:
        slug = new_id(name, self.taken)
        self.taken.add(slug)
        own = {"id": f"{self.title.id}/{slug}", "name": name, **fields}
        if expect:
            own["expect"] = {clue: words_value(words) for clue, words in expect.items()}
        one = PressingPlan(row.line, self.title, "new", own["id"], name, own)
        period = parse_edtf(fields["period"]) if fields.get("period") else Span()
        kind, channels = fields.get("kind", "ordinary"), fields.get("channels", "")
        written = Pressing(one.id, name, period, kind, channels=channels, expect=expect)
        self.new.append((one, written))
        return one

    def _made_name(self, row: Said, period: str) -> str:
        """``made 1960 to 1961``; where several rows say the same time, with what tells them apart."""
        made = _about(row.fixed.get("made", "")) or period
        when = f"made {_years(made)}" if made else ""
        time = [row.fixed.get(end) for end in ENDS]
        alike = [
            one.clues
            for one in self.group.rows
            if not one.fixed.get("pressing") and time == [one.fixed.get(end) for end in ENDS]
        ]
        telling = next((said for at, said in row.clues.items() if said and _telling(at, alike)), "")
        return ", ".join(filter(None, (when, telling))) or f"pressing {len(self.taken) + 1}"

    def _beside_grown(self) -> None:
        """Each pressing grown here that no row names, beside the new row that it looks most like."""
        found = [
            (looks_grown(grown, written, written.expect), grown, one)
            for grown in self.left
            if is_grown(grown)
            for one, written in self.new
        ]
        used: set[str] = set()
        for score, grown, one in sorted(found, key=lambda each: -each[0]):
            if score and not used & {grown.id, one.id}:
                used |= {grown.id, one.id}
                said = self.decisions.grown.get(grown.id, self.decisions.every_grown)
                one.takes = grown.id if said else ""
                self.plan.alike.append(GrownAlike(grown, one, said))

    def _find(self, name: str, fields: dict[str, Any]) -> Pressing | None:
        """The first pressing not yet spoken of that has the name; without a name, that has the same facts."""
        if name:
            plain = fold(name)
            exact = [one for one in self.left if one.name == name]
            return next(iter(exact or [one for one in self.left if fold(one.name) == plain]), None)
        facts = {name: fields[name] for name in ("period", "catalogue", "kind") if name in fields}
        fits = [
            one for one in self.left if facts and all(self._known_text(one, k) == v for k, v in facts.items())
        ]
        return fits[0] if len(fits) == 1 else None

    # -- one row's cells

    def _fields(self, row: Said) -> dict[str, Any]:
        fields: dict[str, Any] = {}
        said = row.fixed
        readers = (
            ("period", ENDS, lambda: self._period(said).edtf()),
            ("share", ("share",), lambda: _plain_number(share_of(said["share"]))),
            ("price", ("price",), lambda: self._price(said["price"])),
            ("kind", ("kind",), lambda: kind_of(said["kind"]) or _refuse()),
            ("extras", ("extras",), lambda: list_of(said["extras"])),
            ("cuts", ("cuts",), lambda: cuts_of(said["cuts"])),
            ("source", ("source",), lambda: said["source"]),
            ("note", ("note",), lambda: said["note"]),
        )  # fmt: skip
        for name, columns, read in readers:
            here = [column for column in columns if said.get(column)]
            if not here:
                continue
            try:
                fields[name] = read()
                if name == "period":
                    self._read_otherwise(row, here)
            except ValueError as error:
                say = str(error) if name in ("period", "cuts") else ""
                self._problem(row, here[0], said[here[0]], why=say)
        self._numbers(row, fields)
        if "stems" in said:
            try:
                self.stems |= stems_of(said["stems"])
            except ValueError as error:
                self._problem(row, "stems", said["stems"], why=str(error))
        return fields

    def _period(self, said: dict[str, str]) -> Span:
        """The span of its cells; one that begins about a year not before its title's first issue."""
        span = _span(said)
        first = (self.known.first if self.known else self.group.card.first).earliest
        vague = _about(said.get("from", "") or said.get("made", ""))
        if not vague or first is None or span.earliest is None or span.earliest >= first:
            return span
        return span if span.latest is not None and span.latest < first else Span(first, span.latest)

    def _read_otherwise(self, row: Said, columns: Sequence[str]) -> None:
        """Dates that are not read just as they stand are reported, each text once."""
        told = {(column, text) for _, column, text, _ in self.plan.slips}
        for column in columns:
            text = row.fixed[column]
            read = "" if is_empty(text) or (column, text) in told else read_span(text)[1]
            if read:
                self.plan.slips.append((row.line, column, text, read))

    def _numbers(self, row: Said, fields: dict[str, Any]) -> None:
        """A number or sound that not all the title's pressings have is the pressing's own."""
        numbers = numbers_of(row.fixed.get("number", ""))
        whole = self.known.catalogues if self.known else self.group.card.numbers
        if len(numbers) == 1 and (len(whole) > 1 or self.several):
            fields["catalogue"] = numbers[0]
        channels = channels_of(row.fixed.get("channels", ""))[0]
        title = self.known.channels if self.known else self.group.card.channels
        if channels and channels != title and channels != "both":
            fields["channels"] = channels

    def _price(self, text: str) -> str:
        said = currency_in(text) or self._price_column()
        mine = self.currency or said or ""
        if said and mine and said != mine:
            raise ValueError(f"it is in {said}")
        if not mine:
            raise ValueError("no currency")
        return price_of(text, mine)

    def _price_column(self) -> str:
        return next((currency_in(one.full) for one in self.plan.table.headings if one.fixed == "price"), "")

    def _expect(self, row: Said) -> dict[str, dict[str, Word]]:
        expect: dict[str, dict[str, Word]] = {}
        for column in self.plan.columns:
            text = row.clues.get(column.heading.at, "")
            meant = column.of(self.title.company)
            if meant.clue is None or meant.how not in ("known", "new") or not text:
                continue
            words, told = meant.read(text)
            for part, how, near in told:
                if how:
                    self.plan.slips.append((row.line, column.heading.full, part, near[0]))
                elif self.decisions.answers.get((fold(column.heading.full), fold(part) or part)) != "-":
                    self._problem(row, column.heading.full, part, near)
            if words:
                expect[meant.clue.id] = words
        return expect

    # -- beside what is known

    def _compare(
        self, one: PressingPlan, known: Pressing, fields: dict[str, Any], expect: dict[str, dict[str, Word]]
    ) -> None:
        for name, value in fields.items():
            there = self._known_text(known, name)
            if value in (there, ""):
                continue
            self._note(one, name, there, value)
        clues = {one.clue.id: one.clue for one in self.plan.every_column if one.clue is not None}
        changed = {clue: words for clue, words in expect.items() if dict(known.expect.get(clue, {})) != words}
        kept = {clue: words_value(words) for clue, words in known.expect.items()}
        for clue, words in changed.items():
            there = known.expect.get(clue)
            told = write_cell(there, clues[clue]) if there else ""
            if there and self.decisions.keep:
                one.conflicts.append((clues[clue].ask, told, write_cell(words, clues[clue])))
                continue
            if there:
                one.conflicts.append((clues[clue].ask, told, write_cell(words, clues[clue])))
            else:
                one.filled.append(clues[clue].ask)
            kept[clue] = words_value(words)
            one.fields["expect"] = kept
        if is_grown(known) and "expect" in one.fields:
            one.fields["known"] = "written"  # a table speaks of it: what it shows is no chance any more
        one.how = "changed" if one.fields else "same"

    def _note(self, one: PressingPlan, name: str, there: Any, value: Any) -> None:
        if there in ("", None, [], 1, "ordinary"):
            one.filled.append(name)
        else:
            one.conflicts.append((name, _shown(there), _shown(value)))
            if self.decisions.keep:
                return
        one.fields[name] = value

    def _known_text(self, known: Pressing, name: str) -> Any:
        """What is known of a field, as a table's cell would be read."""
        if name == "period":
            return known.period.edtf()
        if name == "price":
            return "" if known.price is None else Money(known.price, self.currency).plain()
        if name == "cuts":
            return [[first, second, word] for (first, second), word in known.cuts]
        if name == "catalogue" and not known.catalogue and self.known and len(self.known.catalogues) == 1:
            return self.known.catalogues[0]
        if name == "channels" and not known.channels and self.known:
            return self.known.channels
        value = getattr(known, name)
        return list(value) if isinstance(value, tuple) else value

    # -- the title

    def _card(self) -> None:
        card, into = self.group.card, self.plan.into
        if self.known is None:
            self.plan.cards.append((self.title.id, self._new_card(card, into)))
            return
        if self.title.unwritten:
            self.plan.cards.append((self.title.id, self._made_card(self.known, card, into)))
            return
        fields: dict[str, Any] = {}
        numbers = [*self.known.catalogues]
        have = {number_form(one) for one in numbers}
        more = [one for one in card.numbers if number_form(one) not in have]
        if more:
            fields["catalogues"] = [*numbers, *more]
        missing = {side: stem for side, stem in self.stems.items() if side not in self.known.stems}
        if missing:
            fields["stems"] = self.known.stems | missing
        for side, stem in self.stems.items():
            if side not in missing and self.known.stems[side] != stem:
                self._problem(
                    self.group.rows[0], "stems", f"{side} = {stem}", [f"known: {self.known.stems[side]}"]
                )
        if fields:
            self.plan.cards.append((self.title.id, fields))

    def _new_card(self, card: Card, into: BookHead) -> dict[str, Any]:
        fields: dict[str, Any] = {"id": self.title.id, "artist": card.artist, "title": card.title}
        first, usual = card.first.edtf() or self._first(), self.title.usual
        country = card.country or usual.get("country", "")
        said = {
            "first": first or usual.get("first", ""),
            "company": "" if self.title.company == into.company else self.title.company,
            "country": "" if country == into.country else country,
            "catalogues": list(card.numbers),
            "channels": card.channels or usual.get("channels", ""),
            "stems": self.stems,
        }
        fields |= {name: value for name, value in said.items() if value}
        if card.size_in and card.size_in != 12:
            fields["size_in"] = card.size_in
        if self.group.discs and self.group.discs > 1:
            fields["discs"] = self.group.discs
        return fields

    def _made_card(self, known: BookTitle, card: Card, into: BookHead) -> dict[str, Any]:
        """What the bench knows of the title, the table's where that is silent, the numbers of both."""
        have = {number_form(one) for one in known.catalogues}
        numbers = [*known.catalogues, *(one for one in card.numbers if number_form(one) not in have)]
        fields = self._new_card(card, into) | book_title_table(known, into)
        return fields | ({"catalogues": numbers} if numbers else {})

    def _first(self) -> str:
        """A title without a date was first issued within the period of its first pressing: in all of it where
        that is a year or less, else in the year, month or on the day with which it begins.
        """
        found = []
        for row in self.group.rows:
            try:
                span = _span(row.fixed)
            except ValueError:
                continue
            if span.earliest:
                found.append(
                    (span.earliest, _about(row.fixed.get("from") or row.fixed.get("made", "")), span)
                )
        if not found:
            return ""
        early, about, span = min(found, key=lambda one: one[:2])
        if span.latest and (span.latest - early).days <= A_YEAR:
            return about or span.edtf()
        last = monthrange(early.year, early.month)[1] if early.day == 1 else early.day
        month = Span(early, early.replace(day=last))
        return about or (f"{early.year}" if (early.month, early.day) == (1, 1) else month.edtf())


def _years(made: str) -> str:
    """A date within a pressing's name: ``1960 to 1961``, ``about 1961``, ``1975 or later``."""
    words = year_words(made).removeprefix("in ")
    return words.removeprefix("between ").replace(" and ", " to ") if words.startswith("between ") else words


def _telling(at: int, alike: Sequence[Mapping[int, str]]) -> bool:
    """Whether each of several rows says something of its own in that column."""
    said = {fold(cells.get(at, "")) for cells in alike}
    return len(alike) > 1 and len(said - {""}) == len(alike)


def _about(text: str) -> str:
    """A year that is only about, as it is written; "" for any other text."""
    said = date_of(" ".join(text.split()))[0]
    return said if said.endswith("~") else ""


def _plain_number(number: float) -> float | int:
    return int(number) if float(number).is_integer() else number


def _refuse() -> str:
    raise ValueError("no such kind")


def _shown(value: Any) -> str:
    if isinstance(value, list):
        return "; ".join(" ".join(one) if isinstance(one, list) else str(one) for one in value)
    return f"{value:g}" if isinstance(value, float) else str(value)


def _span(said: dict[str, str]) -> Span:
    return span_of(said.get("from", ""), said.get("to", ""), said.get("made", ""))
