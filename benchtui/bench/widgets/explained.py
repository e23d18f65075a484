"""The words of the help key over what they explain, which stays in sight where there is room."""

from benchtui.bench.pieces import Glyphs, Line, clean, cut, shed, wrap
from benchtui.desk.core.desk import Desk

KEY = 4


def draw_explained(desk: Desk, width: int, height: int, glyphs: Glyphs) -> tuple[list[Line], bool]:
    """A heading, the words, a row for each answer or form, the keys; cut to the height at the rows. Whether
    all rows are there.
    """
    explained = desk.open.explained
    if explained is None:
        return [], False
    lines: list[Line] = [cut([("? ", "key"), (clean(explained.title), "accent bold")], width)]
    for words in explained.words:
        lines += wrap(words, width)
    foot = wrap(explained.keys, width, "dim")[:2]
    rows = _rows(explained.rows, width)
    if len(lines) + len(rows) + len(foot) > height:  # a line each, so that the last is in sight too
        rows = [
            cut([(f" {key:<{KEY - 1}}", "key"), (clean(text), "")], width) for key, text in explained.rows
        ]
    room = max(0, height - len(lines) - len(foot))
    whole = len(rows) <= room
    if not whole:
        rows = [*rows[: max(0, room - 1)], [("    …", "dim")]]
    return shed([cut(line, width) for line in [*lines, *rows, *foot]], height, width), whole


def _rows(found: tuple[tuple[str, str], ...], width: int) -> list[Line]:
    lines: list[Line] = []
    for key, text in found:
        wide = max(KEY, len(key) + 2)
        for n, line in enumerate(wrap(text, width - wide)):
            lines.append([(f" {key if n == 0 else '':<{wide - 1}}", "key"), *line])
    return lines
