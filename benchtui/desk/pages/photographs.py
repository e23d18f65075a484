"""The photographs of the record on the bench: a row a picture, and what it shows."""

from benchtui.desk.core.desk import Desk
from benchtui.desk.core.page_parts import Column, PageView, Row, Table, says, words
from benchtui.desk.core.pages import page
from benchtui.desk.record.pictures import (
    PAGE,
    back_to_record,
    pictures_here,
    show_picture,
    what_it_shows,
)
from benchtui.export.pictures import file_of


@page(
    PAGE,
    "The record's photographs. Enter shows the marked one, in the terminal where that can show pictures, else"
    " in the system's viewer; another key says what it shows.",
    keys=("page-enter", "photograph-shows", "page-leave"),
    enter=show_picture,
    count=lambda desk: len(pictures_here(desk)),
    leave=back_to_record,
    place="on the page of photographs",
    opener="record-page",
)
def photographs(desk: Desk) -> PageView:
    record, found = desk.work.record, pictures_here(desk)
    heading = (("Photographs", "accent bold"), (f"  {len(found)}", "dim"))
    if record is None:
        return PageView(heading)
    at = desk.open.marked(len(found))
    rows = []
    for n, one in enumerate(found):
        there = file_of(desk.shop.path, one) is not None
        name = one["file"].replace("\\", "/").rpartition("/")[2]
        cells = (
            words(name, "bold" if n == at else ""),
            words(what_it_shows(record, one)),
            words("" if there else "no longer there", "warn"),
            words(one["shot"], "dim"),
        )
        rows.append(Row(f"photograph:{one['digest']}", cells, marked=n == at))
    columns = (
        Column("file", rank=1, least=12),
        Column("shows", rank=2, least=10),
        Column(),
        Column("shot", rank=3, least=0),
    )
    empty = words("none known: benchtui photographs FOLDER finds whose they are", "dim")
    return PageView(
        heading,
        (says("Known by their content; none was moved or changed.", "dim"),),
        (Table(columns, rows, empty=empty, name=PAGE),),
    )
