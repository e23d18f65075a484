"""The dealer's own columns: a TOML layout picks, names, orders and formats columns of an export.

Its ``of`` says of which one, the intake unless said. Templates speak of the record in the intake's, and of
the table's own columns in any other.

No layout is shipped: every shop's website takes its own. The file stands in ``exports/layouts`` of the
shop; what is wrong in it is told with its line, by ``benchtui check`` too.
"""

from collections.abc import Collection, Mapping
from dataclasses import dataclass, field
from decimal import Decimal, InvalidOperation
from os.path import lexists
from pathlib import Path
from typing import Literal

from benchtui.base.errors import BenchError
from benchtui.books.row import Faults, Problem, Row, one_of
from benchtui.books.scales import open_rows
from benchtui.export.ask import ENCODINGS as ENCODINGS
from benchtui.export.ask import TABLES
from benchtui.export.claims import known_field
from benchtui.export.template import Template, parse_template

FOLDER = Path("exports") / "layouts"
SEPARATORS = (",", ";", "\t", "|")
ROUNDING = ("nearest", "up", "down")
Rounding = Literal["nearest", "up", "down"]
RENAMED = {"lies": "kept_at"}
"""Columns of older versions -> what they are called now: a shop's layout may name them still."""
LEAST_STEP, MOST_STEP = Decimal("0.0001"), Decimal("1000000")
"""The smallest unit that any currency has, and more than any record is rounded to."""


@dataclass(frozen=True, slots=True)
class Shape:
    """One column of a layout: exactly one of ``take`` (an intake column), ``fixed`` and ``template``.

    ``words`` replaces whole cells, ``empty`` stands where nothing is known, ``step`` rounds a price to a
    multiple, ``point`` is the decimal sign, ``limit`` the most characters before the export is refused.
    """

    name: str
    take: str = ""
    fixed: str | None = None
    template: Template | None = None
    words: dict[str, str] = field(default_factory=dict)
    empty: str = ""
    step: Decimal | None = None
    rounding: Rounding = "nearest"
    point: str = "."
    limit: int | None = None


@dataclass(frozen=True, slots=True)
class Layout:
    """A whole layout of the export ``of``. ``only`` keeps the rows that have those words in those columns.
    ``totals`` adds the row that adds up; ``guard`` False writes text cells as they are, for a reader that is
    no spreadsheet.
    """

    name: str
    columns: tuple[Shape, ...]
    separator: str = ","
    encoding: str = "utf-8"
    header: bool = True
    guard: bool = True
    description: str = "long"
    only: dict[str, str] = field(default_factory=dict)
    of: str = "intake"
    totals: bool = False


def load_layout(shop: Path, name: str, known: tuple[str, ...], kind: str = "intake") -> Layout:
    """The layout of that name; ``known`` are the columns of that export. BenchError for the first fault in
    it, and where it is of another export."""
    path = shop / FOLDER / f"{name}.toml"
    if Path(name).name != name or not lexists(path):
        there = ", ".join(sorted(file.stem for file in (shop / FOLDER).glob("*.toml")))
        right = f"one of {there}" if there else f"write {FOLDER.as_posix()}/{name}.toml"
        raise BenchError(f'there is no layout "{name}"', shop / FOLDER, right)
    layout, faults = read_layout(path, {kind: known})
    if layout.of != kind:
        right = f"use benchtui export {layout.of} --layout {name}"
        raise BenchError(f"it is a layout of the export {layout.of}", path, right)
    faults.raise_first()
    return layout


def layouts_of(shop: Path, kind: str) -> list[str]:
    """The names of the shop's layouts of that export; one that cannot be read counts as the intake's."""
    found = []
    for path in sorted((shop / FOLDER).glob("*.toml")):
        try:
            layout, _ = read_layout(path, {})
        except BenchError:
            layout = Layout(path.stem, ())
        if layout.of == kind:
            found.append(path.stem)
    return found


def check_layouts(
    shop: Path, known: Mapping[str, tuple[str, ...]], templates: Collection[str] = ()
) -> list[Problem]:
    """Everything wrong with the shop's layouts, for ``benchtui check``; ``known``: export -> its columns,
    ``templates``: those there are."""
    problems: list[Problem] = []
    for path in sorted((shop / FOLDER).glob("*.toml")):
        try:
            problems.extend(read_layout(path, known, templates)[1].problems())
        except BenchError as error:
            problems.append(Problem(error.where, error.line, "", error.what, error.right))
    return problems


def read_layout(
    path: Path, known: Mapping[str, tuple[str, ...]], templates: Collection[str] = ()
) -> tuple[Layout, Faults]:
    """The layout of a file, and what is wrong with it by the columns of its export. BenchError where it is no
    TOML at all."""
    top, faults = open_rows(path)
    head = top.one("layout")
    of = head.choice("of", TABLES, "intake")
    columns = known.get(of, ())
    separator = head.text("separator", ",") if head.table.get("separator") != "\t" else "\t"
    if separator not in SEPARATORS:
        head.wrong(
            "separator", f"{separator!r} is not a separator", 'write one of "," ";" "|" and a tab, "\\t"'
        )
    layout = Layout(
        name=path.stem,
        columns=tuple(_shape(row, of, columns, path) for row in top.rows("column")),
        separator=separator,
        encoding=head.choice("encoding", ENCODINGS, "utf-8"),
        header=head.flag("header") if head.has("header") else True,
        guard=head.flag("guard") if head.has("guard") else True,
        description=head.text("description", "long"),
        only=_only(head, of, columns),
        of=of,
        totals=head.flag("totals"),
    )
    if templates and layout.description not in templates:
        what = f'there is no template "{layout.description}"'
        head.wrong("description", what, one_of(layout.description, sorted(templates)))
    head.text("about")
    head.flag("header"), head.flag("guard"), head.text("separator")
    head.done()
    _names_once(layout, top)
    top.done()
    return layout, faults


def _names_once(layout: Layout, top: Row) -> None:
    names = [column.name for column in layout.columns]
    if not names:
        top.wrong("column", "the layout has no column", "write [[column]] with name and take")
    for name in {name for name in names if names.count(name) > 1}:
        top.wrong("column", f'the column "{name}" appears twice', "give each column a name of its own")


def _only(head: Row, of: str, known: tuple[str, ...]) -> dict[str, str]:
    only = head.map("only")
    for name, wanted in only.items():
        if name not in known:
            head.wrong("only", f'the export {of} has no column "{name}"', _right(name, known), at=(name,))
        if not isinstance(wanted, str):
            head.wrong("only", f"{name} = {wanted!r} is not text", f'write {name} = "yes"', at=(name,))
    return {name: str(wanted) for name, wanted in only.items()}


def _shape(row: Row, of: str, known: tuple[str, ...], path: Path) -> Shape:
    given = [key for key in ("take", "fixed", "template") if row.has(key)]
    if len(given) != 1:
        row.wrong("name", f"{len(given)} of take, fixed and template are given", "give exactly one of them")
    take = row.text("take")
    if take and take not in known:
        row.wrong("take", f'the export {of} has no column "{take}"', _right(take, known))
    shape = Shape(
        name=row.need("name"),
        take=take,
        fixed=row.text("fixed") if row.has("fixed") else None,
        template=_template(row, path, None if of == "intake" else known),
        words=_words(row),
        empty=row.text("empty"),
        step=_step(row),
        rounding=_rounding(row),
        point=row.choice("point", (".", ","), "."),
        limit=row.whole("limit", 1, low=1) if row.has("limit") else None,
    )
    row.text("fixed"), row.whole("limit", 1, low=1)
    row.done()
    return shape


def _template(row: Row, path: Path, columns: tuple[str, ...] | None) -> Template | None:
    """It speaks of the record, or (``columns``) of the table's own cells."""

    def cell(name: str) -> str | None:
        return None if columns is None or name in columns else _right(name, columns)

    text = row.text("template")
    if not text:
        return None
    try:
        return parse_template(text, path, known_field if columns is None else cell)
    except BenchError as error:
        row.wrong("template", f"template, {error.what}", error.right)
        return None


def _right(name: str, known: tuple[str, ...]) -> str:
    """What would be right for a column that the export does not have."""
    now = RENAMED.get(name)
    return f'write "{now}", as it is called now' if now in known else one_of(name, known)


def _words(row: Row) -> dict[str, str]:
    words = row.map("words")
    if not all(isinstance(word, str) for word in words.values()):
        row.wrong("words", "words holds something that is not text", 'write words = { yes = "in stock" }')
        return {}
    return words


def _rounding(row: Row) -> Rounding:
    chosen = row.choice("round", ROUNDING, "nearest")
    return "up" if chosen == "up" else "down" if chosen == "down" else "nearest"


def _step(row: Row) -> Decimal | None:
    text = row.text("step")
    if not text:
        return None
    try:
        step = Decimal(text)
    except InvalidOperation:
        step = Decimal(0)
    if not step.is_finite() or not LEAST_STEP <= step <= MOST_STEP:
        what = f"step = {text[:40]!r} is no amount from {LEAST_STEP} to {MOST_STEP}"
        row.wrong("step", what, 'write step = "0.50"')
        return None
    return step
