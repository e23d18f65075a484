"""The record's photographs: shown by the system's viewer, each said to show a part, a side, an answer."""

from pathlib import Path

from benchtui.base.errors import BenchError
from benchtui.base.viewer import open_outside
from benchtui.desk.core.command import command
from benchtui.desk.core.desk import Desk, OpenLine, Page, Pick
from benchtui.desk.core.late_change import dated
from benchtui.desk.core.needs import unless
from benchtui.desk.core.page_parts import Column, words
from benchtui.desk.core.shapes import pick_of
from benchtui.desk.hand import hand
from benchtui.desk.line.letters import fit
from benchtui.desk.line.lines import LINES, LineKind, close_line, marked_pick, open_line
from benchtui.desk.record.record_page import same_record
from benchtui.export.pictures import file_of
from benchtui.model.record import PhotographDoc, RecordDoc, half_words, halves_of, is_here, part_of

Shown = tuple[str, str, str, str]
"""What a picture shows: part, side, place and clue; "" for none."""
PAGE = "photographs"


def _there_are(desk: Desk) -> str:
    return unless(desk.record.get("photographs"), "none yet: benchtui photographs FOLDER")


@command(
    "record-photographs",
    "page",
    "its photographs: open one, say what it shows",
    short="photographs",
    also="pictures photos images camera show view",
    needs=[_there_are],
    changes="nothing",
    on=("record",),
    order=1182,
)
def open_photographs(desk: Desk) -> None:
    desk.open.page = Page(PAGE)


def pictures_here(desk: Desk) -> list[PhotographDoc]:
    """Those of the record on the bench."""
    return desk.work.record.get("photographs", []) if desk.work.record is not None else []


def marked_picture(desk: Desk) -> PhotographDoc | None:
    """The one marked on their page."""
    return desk.open.marked_of(pictures_here(desk))


def back_to_record(desk: Desk) -> None:
    """Leaves the page for the record's."""
    desk.open.page = Page("record")


def show_picture(desk: Desk) -> None:
    """Shows the marked picture on the bench, else in the system's viewer, or says that it is gone or that
    there is none.
    """
    picture = marked_picture(desk)
    if picture is None:
        return
    path = file_of(desk.shop.path, picture)
    name = Path(picture["file"]).name
    if path is None:
        desk.refuse(f"{name} is no longer where it was: {picture['file']}; match its folder again to find it")
        return
    if desk.show_here(path):
        return
    try:
        open_outside(path)
    except BenchError as error:
        desk.refuse(error.one_line())
        return
    desk.say(f"{name} opened", "done")


@command(
    "photograph-shows",
    "page",
    "say what the marked photograph shows: a part, a side, an answer",
    short="shows",
    also="this is the mark picture photo what tag",
    on=(PAGE,),
    order=1184,
)
def open_shows(desk: Desk) -> None:
    record, picture = desk.work.record, marked_picture(desk)
    if record is None or picture is None or desk.open.page is None or desk.open.page.name != PAGE:
        desk.refuse(f"do this on the page of photographs, which {desk.key('record-photographs')} opens")
        return
    about = "letters of the part, the side or the answer that it shows; Enter takes the marked line"
    open_line(
        desk, "photograph-shows", "it shows", about=about, record=record["id"], digest=picture["digest"]
    )


def _shown(record: RecordDoc) -> list[tuple[str, Shown]]:
    """All that a picture may show: each part, each side, each answer seen."""
    found: list[tuple[str, Shown]] = []
    for part in filter(is_here, record["parts"]):
        name = hand.part_name(record, part)
        found.append((name, (part["id"], "", "", "")))
        found += [(f"{name} {half_words(half)}", (part["id"], half, "", "")) for half in halves_of(part)]
    for answer in record["answers"]:
        owner = part_of(record, answer["part"])
        if owner is not None and answer["how"] == "seen":
            side = answer["place"][-1] if answer["place"][-1:] in halves_of(owner) else ""
            where = f"{hand.part_name(record, owner)}, {answer['place']}: {answer['text']}"
            found.append((where, (owner["id"], side, answer["place"], answer["clue"])))
    return found


def _suggest(desk: Desk, line: OpenLine) -> list[Pick]:
    record = desk.work.record
    if record is None:
        return []
    ranked = [(fit(line.text, text), text, shows) for text, shows in _shown(record)]
    found = sorted((one for one in ranked if one[0] is not None), key=lambda one: one[0] or 0)
    return [pick_of((words(text),), list(shows)) for _, text, shows in found[:8]]


def _take(desk: Desk, line: OpenLine) -> None:
    record, pick = same_record(desk, line), marked_pick(line)
    if record is None:
        return
    if pick is None:
        desk.refuse(f"no part, side or answer of the record fits '{line.text.strip()}'")
        return
    close_line(desk)
    said = "".join(text for text, _ in pick.spans)
    with dated(desk, f"record {record['no']}: a photograph shows {said}") as change:
        for one in desk.changed(change).get("photographs", []):
            if one["digest"] == line.data["digest"]:
                _say(one, pick.value)


def _say(picture: PhotographDoc, shows: Shown) -> None:
    for name, value in zip(("part", "side", "place", "clue"), shows, strict=True):
        picture.pop(name, None)  # type: ignore[misc]
        if value:
            picture[name] = value  # type: ignore[literal-required]


def what_it_shows(record: RecordDoc, picture: PhotographDoc) -> str:
    """``disc, label A: Label print?: plain`` of a picture that shows an answer; its part and side else."""
    part = part_of(record, picture.get("part"))
    if part is None:
        return ""
    name = hand.part_name(record, part)
    wanted = (part["id"], picture.get("place"), picture.get("clue"))
    for answer in record["answers"]:
        if (answer["part"], answer["place"], answer["clue"]) == wanted:
            return f"{name}, {answer['place']}: {answer['text']}"
    return " ".join(filter(None, (name, half_words(picture.get("side", "")))))


LINES["photograph-shows"] = LineKind(_take, _suggest, columns=(Column(key="shows", rank=1),))
