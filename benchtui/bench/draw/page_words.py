"""The description on the record's page: as it would go out, what is edited, and what changed under it."""

from benchtui.base.errors import BenchError
from benchtui.bench.pieces import Glyphs, Line, clean, wrap
from benchtui.desk.core import Desk
from benchtui.desk.describing import described, template_shown
from benchtui.desk.keys import shown
from benchtui.model.record import RecordDoc

PARTIAL = (("_grade", "grades"), ("_faults", "faults"))
"""Endings of fields that say of one kind of part what another field says of the whole."""


def description(desk: Desk, record: RecordDoc, width: int, glyphs: Glyphs) -> list[Line]:
    """The heading with the template, the title line, the text; a template that cannot be read is said."""
    try:
        return _description(desk, record, width, glyphs)
    except BenchError as error:
        return [[("Description", "bold")], *wrap(error.one_line(), width, "clash", "  ")]


def _description(desk: Desk, record: RecordDoc, width: int, glyphs: Glyphs) -> list[Line]:
    line = desk.line
    if line is not None and line.name == "description-text":  # the whole text while it is typed
        title = str(line.data.get("title", ""))
        return [[("Description", "bold"), ("  as typed", "warn")], *_text(title, line.text, width, glyphs)]
    name = template_shown(desk)
    now = described(desk, record, name)
    head: Line = [("Description", "bold"), (f"  {name} template", "dim")]
    if now.edited:
        day = str((record.get("description") or {}).get("at", ""))[:10]
        head = [("Description", "bold"), (f"  edited {day}, from the {clean(now.template)} template", "warn")]
    lines: list[Line] = [head, *_text(now.title, now.text, width, glyphs)]
    over = [("title line", now.title_over), ("text", now.over)]
    for what, by in over:
        if by:
            lines += wrap(f"{what}: {by} characters over the limit", width, "warn", "  ")
    if now.changed:
        lines += _changed(desk, record, name, now.changed, width, glyphs)
    return lines


def _text(title: str, text: str, width: int, glyphs: Glyphs) -> list[Line]:
    said: list[Line] = []
    for words, style in ((title, "bold"), (text, "")):
        said += wrap(words, width - 2, style)
    if not said:
        said = [[("nothing to say yet", "dim")]]
    return [[(f"{glyphs.split} ", "dim"), *line] for line in said]


def _is_part_of(field: str, changed: tuple[str, ...]) -> bool:
    """``disc_faults`` says nothing where ``faults`` is named already."""
    return any(field.endswith(ending) and whole in changed for ending, whole in PARTIAL)


def _changed(
    desk: Desk, record: RecordDoc, name: str, changed: tuple[str, ...], width: int, glyphs: Glyphs
) -> list[Line]:
    """The facts changed under the dealer's words: which, and how the text would read from them now."""
    fields = ", ".join(field.replace("_", " ") for field in changed if not _is_part_of(field, changed))
    keymap = desk.references.keymap
    edit, drop = (shown(keymap.first_key(verb) or "") for verb in ("record-edit", "record-drop"))
    keys = f" {edit} mends the words, {drop} drops them." if edit and drop else ""
    lines = wrap(f"{glyphs.apart} the facts changed under it: {fields}.{keys}", width, "clash", "  ")
    lines.append([(f"From the facts it would read now, {name} template:", "dim")])
    fresh = described(desk, record, name, made=True)
    return [*lines, *_text(fresh.title, fresh.text, width, glyphs)]
