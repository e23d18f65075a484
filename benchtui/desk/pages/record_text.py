"""The description on the record's page: as it would go out, what is edited, and what changed under it."""

from benchtui.base.errors import BenchError
from benchtui.desk.core.desk import Desk
from benchtui.desk.core.keys import shown
from benchtui.desk.core.page_parts import SIGNS, Para, Section, Text, says, words
from benchtui.desk.record.describing import described, template_shown
from benchtui.model.earlier import local_day
from benchtui.model.record import RecordDoc

PARTIAL = (("_grade", "grades"), ("_faults", "faults"))
"""Endings of fields that say of one kind of part what another field says of the whole."""
RULE = "│ "
"""What stands before each line of a text that goes out."""


def description(desk: Desk, record: RecordDoc) -> list[Section]:
    """The heading with the template, the title line, the text; a template that cannot be read is said."""
    try:
        return [_description(desk, record)]
    except BenchError as error:
        return [Text((says(error.one_line(), "clash", 0, 2),), words("Description", "bold"), "description")]


def _description(desk: Desk, record: RecordDoc) -> Section:
    line = desk.open.line
    if line is not None and line.name == "description-text":  # the whole text while it is typed
        title = str(line.data.get("title", ""))
        heading = (("Description", "bold"), ("  as typed", "warn"))
        return Text(tuple(_text(title, line.text)), heading, "description")
    name = template_shown(desk)
    now = described(desk, record, name)
    heading = (("Description", "bold"), (f"  {name} template", "dim"))
    if now.edited:
        day = local_day(str((record.get("description") or {}).get("at", "")))
        heading = (("Description", "bold"), (f"  edited {day}, from the {now.template} template", "warn"))
    lines = _text(now.title, now.text)
    for what, by in (("title line", now.title_over), ("text", now.over)):
        if by:
            lines.append(says(f"{what}: {by} characters over the limit", "warn", 0, 2))
    if now.changed:
        lines += _changed(desk, record, name, now.changed)
    return Text(tuple(lines), heading, "description")


def _text(title: str, text: str) -> list[Para]:
    said = [
        Para(words(one, style), ruled=RULE) for one, style in ((title, "bold"), (text, "")) if one.strip()
    ]
    return said or [Para(words("nothing to say yet", "dim"), ruled=RULE)]


def _is_part_of(field: str, changed: tuple[str, ...]) -> bool:
    """``disc_faults`` says nothing where ``faults`` is named already."""
    return any(field.endswith(ending) and whole in changed for ending, whole in PARTIAL)


def _changed(desk: Desk, record: RecordDoc, name: str, changed: tuple[str, ...]) -> list[Para]:
    """The facts changed under the dealer's words: which, and how the text would read from them now."""
    fields = ", ".join(field.replace("_", " ") for field in changed if not _is_part_of(field, changed))
    keymap = desk.references.keymap
    edit, drop = (shown(keymap.first_key(verb) or "") for verb in ("record-edit", "record-drop"))
    keys = f" {edit} edits the text, {drop} drops your edit." if edit and drop else ""
    fresh = described(desk, record, name, made=True)
    return [
        says(f"{SIGNS['apart']} facts have changed since: {fields}.{keys}", "clash", 0, 2),
        says(f"From today's facts, {name} template:", "dim"),
        *_text(fresh.title, fresh.text),
    ]
