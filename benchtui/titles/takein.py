"""Takes in a title list: reads it, says what is new, changed and doubtful, writes it down, and can undo it
as a whole.

A screen drives the three phases itself: ``reading`` to its end, ``decide`` for the doubtful, ``writing``
to its end; both are in steps of a few milliseconds. ``take_in`` does all three by a rule.
"""

from collections.abc import Callable, Collection, Generator, Iterable, Iterator, Mapping
from contextlib import closing, suppress
from pathlib import Path

from benchtui.base.errors import BenchError
from benchtui.model.title import Title
from benchtui.titles.alike import Likeness
from benchtui.titles.columns import (
    RefusedError,
    columns_of,
    has_own_id,
    identity,
    is_country_code,
    variant_id,
)
from benchtui.titles.lines import Row
from benchtui.titles.listfile import cells_of, fill, write_list
from benchtui.titles.lists import drop_indexes, load_list, load_steps, reserved_list
from benchtui.titles.piece import Piece, row_of, title_of
from benchtui.titles.report import CHOICES, Choice, Doubt, Noted, Report, change_of
from benchtui.titles.same import differ_in, differ_perhaps_in
from benchtui.titles.sheet import open_sheet

BREATH = 128
"""Rows between two breaths."""
SAMPLE = 6
"""Rows that are kept to be looked at."""


class TakeIn:
    """One list on its way in. ``known``: pieces of titles known besides the shop's lists (books, made on the
    bench). ``apart``: a large index is prepared in a process of its own (see ``lists.load_steps``).

    Raises BenchError at once where the file or its header cannot be read.
    """

    def __init__(
        self,
        path: Path,
        folder: Path,
        mapping: Mapping[str, str] | None = None,
        known: Iterable[Piece] = (),
        apart: bool = False,
        encoding: str | None = None,
    ) -> None:
        self.path, self.folder = path, folder
        self.encoding, self.mapping = encoding, dict(mapping or {})
        """As somebody says."""
        self.first_rows: list[tuple[int, list[str]]] = []
        """The first few lines with their cells, to be looked at before the list is taken in."""
        columns = {theirs: ours for theirs, ours in self.mapping.items() if not is_country_code(ours)}
        self._sheet = open_sheet(path, encoding, columns)
        try:
            self._columns = columns_of(self._sheet.header, mapping or {}, path)
        except BenchError:
            self._sheet.close()
            raise
        self._known, self._apart = list(known), apart
        self._rows: dict[str, tuple[int, str]] = {}
        self._alike: dict[str, list[str]] = {}
        """Ids of the rows that share words and number, by the id that these make."""
        self._changed: dict[str, str] = {}
        self._same: set[str] = set()
        self._choices: dict[int, Choice] = {}
        self._heading = ""
        """The company that a row above the ones read now names by itself."""
        self._elsewhere: dict[str, Title] = {}
        """Titles of books and of the bench by the id that their words and number make."""
        self.report = Report(
            str(path),
            unused=self._columns.unused,
            read_as=self._columns.read_as,
            said=tuple(self._sheet.said),
        )

    @property
    def columns(self) -> list[tuple[str, str]]:
        """Each of the list's columns with ours that is read from it, "" for none."""
        ours = {at: name for name, at in self._columns.at.items()}
        return [(theirs, ours.get(no, "")) for no, theirs in enumerate(self._sheet.header)]

    def first_titles(self) -> list[tuple[int, Title]]:
        """What is made of the first rows, with their lines; those that are refused are left out."""
        made: list[tuple[int, Title]] = []
        for line, cells in self.first_rows:
            with suppress(RefusedError):
                made.append((line, self._columns.title(cells)[0]))
        return made

    @property
    def doubts(self) -> list[Doubt]:
        """The doubtful, once ``reading`` has come to its end."""
        return self.report.doubts

    def decide(self, no: int, choice: Choice) -> None:
        """What is to be done with the doubt of that number; may be changed until ``writing``."""
        if choice not in CHOICES:
            raise BenchError(f"{choice} is not an answer", "doubtful", "use keep, merge or skip")
        self._choices[no] = choice

    def undecided(self) -> list[int]:
        """Numbers of the doubts that wait for an answer."""
        return [no for no in range(len(self.doubts)) if no not in self._choices]

    def reading(self) -> Generator[float]:
        """Reads and compares; yields how much is done, 0 to 1, every few milliseconds."""
        try:
            for no, row in enumerate(self._sheet.rows()):
                self._read(row)
                if no % BREATH == 0:
                    yield 0.4 * row.done
        finally:
            self._sheet.close()
        pieces = [*self._known]
        for step in load_steps(self.folder, self._apart):
            pieces += [step.piece] if step.piece is not None else []
            yield 0.4 + 0.1 * step.done
        yield from self._sort(pieces)
        yield from self._compare(pieces)

    def writing(self) -> Generator[float]:
        """Writes the list and its index; at its end ``report`` is complete. Undecided doubts are kept.

        Closed before its end it leaves no list. BenchError where the list cannot be written: then nothing of
        it is kept, and it may be tried again.
        """
        rows = self._settled()
        if rows:
            try:
                with reserved_list(self.folder, self.path.stem) as target:
                    for written in write_list(target, (title_of(row) for row in rows.values())):
                        yield 0.3 * written / len(rows)
            except OSError as error:
                said = f"the list cannot be written: {error.strerror or error}"
                raise BenchError(
                    said, self.folder, "free some space, and check that you may write there"
                ) from error
            try:
                for step in load_list(target, self._apart):
                    yield 0.3 + 0.7 * step.done
                yield 1.0
            except GeneratorExit:  # stopped: the list stands already, and goes again
                drop_indexes(target)
                target.unlink(missing_ok=True)
                raise
            self.report.path = target

    def _read(self, row: Row) -> None:
        self.report.lines += 1
        if row.refused:
            self.report.refused.append(Noted(row.line, row.refused))
            return
        if len(self.first_rows) < SAMPLE:
            self.first_rows.append((row.line, row.cells))
        try:
            title, left = self._columns.title(row.cells)
        except RefusedError as why:
            if not self._is_heading(row):
                self.report.refused.append(Noted(row.line, str(why)))
            return
        if self._heading and not title.company:
            title = title._replace(company=self._heading)
        self.report.left_out += [Noted(row.line, say) for say in left]
        if any(say.startswith("country") for say in left):
            self.report.countries[row.cells[self._columns.at["country"]].strip()] += 1
        self._enter(title, row.line)

    def _is_heading(self, row: Row) -> bool:
        """Whether the row only heads those after it: one cell, none where titles stand. A name in capitals is
        the company of those that say none themselves.
        """
        full = [cell.strip() for cell in row.cells if cell.strip()]
        if len(full) != 1 or self._columns.ours:
            return False
        name = full[0].rstrip(" .:")
        if any(map(str.isdigit, name)) or not (name.isupper() or full[0].endswith((":", "."))):
            return False
        self._heading = name.title() if name.isupper() and not full[0].endswith(":") else ""
        said = f"{full[0]}, the company of those below" if self._heading else full[0]
        self.report.headings.append(Noted(row.line, said))
        return True

    def _enter(self, title: Title, line: int) -> None:
        """Among the rows read so far: a repetition where nothing tells it apart, else a title of its own."""
        alike = self._alike.setdefault(title.id, [])
        for title_id in alike:
            first, text = self._rows[title_id]
            earlier = title_of(text)
            if _differ(title, earlier) and not has_own_id(title):
                continue
            self.report.repeats.append(Noted(line, f"the same as line {first}"))
            self._rows[title_id] = (first, row_of(fill(earlier, title, title_id)))
            return
        title_id = variant_id(title) if alike else title.id
        alike.append(title_id)
        self._rows[title_id] = (line, row_of(title._replace(id=title_id)))

    def _sort(self, pieces: list[Piece]) -> Iterator[float]:
        """Parts what is known already into changed and the same."""
        wanted = set(self._rows)
        for no, (_, text) in enumerate(self._rows.values()):
            wanted.add(variant_id(title_of(text)))
            if no % BREATH == 0:
                yield 0.5
        found: dict[str, Title] = {}
        for piece in pieces:
            for no, title in enumerate(_shared(piece, wanted)):
                found[title.id] = title
                if no % BREATH == 0:
                    yield 0.5
        for piece in self._known:
            for no, title in enumerate(piece.titles()):
                self._elsewhere[identity(title.artist, title.title, title.catalogue)] = title
                if no % BREATH == 0:
                    yield 0.5
        for title_id, (line, text) in list(self._rows.items()):
            self._place(title_of(text), line, title_id, found)
        self.report.changed, self.report.new = len(self._changed), len(self._rows)

    def _place(self, title: Title, line: int, title_id: str, found: dict[str, Title]) -> None:
        """The row with the title known already that it is, which is then taken; else as a new title."""
        variant, own = variant_id(title), has_own_id(title)
        plain = title_id if own else identity(title.artist, title.title, title.catalogue)
        known = next((one for one in (variant, plain) if one in found), None)
        del self._rows[title_id]
        old = found.get(known or "")
        mine = self._elsewhere.get(plain) if old is None and not own else None
        if mine is not None and not _differ(title, mine) and title.barcode in ("", mine.barcode):
            self.report.same += 1  # of a book, or made here, under an id of its own
            return
        if old is None or (known == plain and not own and _differ(title, old)):
            taken = known is not None or plain in self._changed or plain in self._same
            at = variant if taken else title_id
            self._rows[at] = (line, row_of(title._replace(id=at)))
            return
        del found[old.id]  # a second row that would fit it too is a title of its own
        new = fill(title, old, old.id)
        if cells_of(new) == cells_of(old):
            self._same.add(old.id)
            self.report.same += 1
        else:
            self._changed[old.id] = row_of(new)
            self.report.changes.append(Noted(line, change_of(old, new)))

    def _compare(self, pieces: list[Piece]) -> Iterator[float]:
        likeness = Likeness()
        for no, (_, row) in enumerate(self._rows.values()):
            likeness.enter(title_of(row))
            if no % BREATH == 0:
                yield 0.65
        for piece in pieces:
            others = (title for title in piece.titles() if title.id not in self._rows)
            for no, _ in enumerate(likeness.pass_by(others)):
                if no % BREATH == 0:
                    yield 0.7 + 0.1 * no / len(piece)
        for no, pair in enumerate(likeness.pairs()):
            if pair is not None:
                line, row = self._rows[pair.new]
                other = self._title(pair.old, pieces)
                self.report.doubts.append(Doubt(line, title_of(row), other, pair.alike, pair.why))
            if no % BREATH == 0:
                yield 0.8 + 0.2 * no / len(self._rows)

    def _title(self, title_id: str, pieces: list[Piece]) -> Title:
        if title_id in self._rows:
            return title_of(self._rows[title_id][1])
        docs = ((piece, piece.doc_of(title_id)) for piece in reversed(pieces))
        return next(piece.title(doc) for piece, doc in docs if doc is not None)

    def _settled(self) -> dict[str, str]:
        """The rows to be written, by id, once the doubts are answered."""
        rows = {title_id: row for title_id, (_, row) in self._rows.items()} | self._changed
        gone: dict[str, str | None] = {}
        for no, doubt in enumerate(self.doubts):
            choice = self._choices.get(no, "keep")
            other: str | None = gone.get(doubt.other.id, doubt.other.id)
            if choice == "keep":
                self.report.kept += 1
                continue
            mine = title_of(rows.pop(doubt.title.id))
            gone[doubt.title.id] = other if choice == "merge" else None
            if choice == "skip" or other is None:
                self.report.skipped += 1
                continue
            self.report.merged += 1
            known = title_of(rows[other]) if other in rows else doubt.other
            merged = fill(known, mine, other)
            if other in rows or cells_of(merged) != cells_of(known):
                rows[other] = row_of(merged)
        self.report.new = len(self._rows) - len(gone)
        return rows


def _differ(one: Title, other: Title) -> bool:
    return bool(differ_in(one, other) or differ_perhaps_in(one, other))


def _shared(piece: Piece, rows: Collection[str]) -> Iterator[Title]:
    """The piece's titles whose ids are among the rows, by whichever is the shorter way."""
    if len(rows) < len(piece) // 8:
        docs = [doc for title_id in rows if (doc := piece.doc_of(title_id)) is not None]
        return (piece.title(doc) for doc in docs)
    return (title for title in piece.titles() if title.id in rows)


def take_in(
    path: Path,
    folder: Path,
    mapping: Mapping[str, str] | None = None,
    doubtful: Choice = "keep",
    known: Iterable[Piece] = (),
    progress: Callable[[float], object] | None = None,
    stop: Callable[[], bool] | None = None,
    encoding: str | None = None,
) -> Report:
    """Takes the list in by a rule. ``stop`` is asked every few milliseconds; nothing is written once it
    says so. What ``progress`` raises ends it at any step, and no list is left.
    """
    taking = TakeIn(path, folder, mapping, known, encoding=encoding)
    for phase in (taking.reading, taking.writing):
        if phase == taking.writing:
            for no in taking.undecided():
                taking.decide(no, doubtful)
        with closing(phase()) as steps:
            for done in steps:
                if progress is not None:
                    progress(done / 2 if phase == taking.reading else 0.5 + done / 2)
                if phase == taking.reading and stop is not None and stop():
                    return taking.report
    return taking.report
