"""Lines of styled pieces, cut and padded by terminal cells, never by ``len``.

A style is one of the names in STYLES; bench/widgets.py turns names into the theme's colours.
Text a person typed is only ever a piece of a line, so nothing in it is read as markup.
"""

from collections.abc import Iterable, Sequence
from typing import NamedTuple

from rich.cells import cell_len, set_cell_size

from benchtui.base.signs import visible

Piece = tuple[str, str]
Line = list[Piece]

STYLES = (
    "",
    "dim",
    "bold",
    "accent",
    "accent bold",
    "match",
    "good",
    "warn",
    "clash",
    "hand",
    "cell",
    "bar",
    "key",
    "mark",
)


class Glyphs(NamedTuple):
    """The signs of the screen; a plain look has letters and punctuation only."""

    bar: str = "█"
    half: str = "▌"
    eighths: str = "▏▎▍▌▋▊▉"
    rest: str = "·"
    axis: str = "─"
    tick: str = "┴"
    left: str = "◂"
    right: str = "▸"
    done: str = "✓"
    begun: str = "…"
    empty: str = "·"
    apart: str = "!"
    open: str = "?"
    here: str = "▶"
    hand: str = "▌"
    money: str = "¤"
    split: str = "│"


PLAIN = Glyphs(
    bar="#",
    half="=",
    eighths="---====",
    rest=".",
    axis="-",
    tick="+",
    left="<",
    right=">",
    done="x",
    begun="~",
    empty=".",
    apart="!",
    open="?",
    here=">",
    hand="|",
    money="$",
    split="|",
)
FANCY = Glyphs()
_PLAIN_SIGNS = str.maketrans("…•⏎␣�←→↑↓" + "".join(FANCY), "~*/_?<>^v" + "".join(PLAIN))


def plain(text: str) -> str:
    """A piece of the screen with our own signs in ASCII; letters that a person typed stay what they are."""
    return text if text.isascii() else text.translate(_PLAIN_SIGNS)


def clean(text: str) -> str:
    """A person's text on one line of the screen: control characters shown as escapes, nothing swallowed."""
    return text if text.isprintable() else visible(text.replace("\n", "⏎").replace("\t", "␣"))


def width_of(line: Iterable[Piece]) -> int:
    """Cells of the line; plain text, nearly all of it, is as wide as it is long."""
    texts = [text for text, _ in line]
    whole = "".join(texts)
    return len(whole) if whole.isascii() and whole.isprintable() else sum(map(cell_len, texts))


def joined(pieces: Sequence[tuple[str, str]]) -> Line:
    """Neighbours of one style as one piece."""
    line: Line = []
    for text, style in pieces:
        if line and line[-1][1] == style:
            line[-1] = (line[-1][0] + text, style)
        else:
            line.append((text, style))
    return line


def cut(line: Line, width: int, more: str = "…") -> Line:
    """The line in at most ``width`` cells; what does not fit ends in ``…``."""
    if width_of(line) <= width:
        return line
    kept: Line = []
    room = max(0, width - cell_len(more))
    for text, style in line:
        size = cell_len(text)
        if size > room:
            kept.append((set_cell_size(text, room), style))
            break
        kept.append((text, style))
        room -= size
    return [*kept, (more, "dim")] if width > 0 else []


def shed(lines: list[Line], height: int, width: int) -> list[Line]:
    """At most ``height`` rows; where some are left out the last one ends in ``…``."""
    if len(lines) <= height:
        return lines
    kept = lines[: max(0, height)]
    if kept and width > 2:
        kept[-1] = [*fill(kept[-1], width - 2), (" …", "dim")]
    return kept


def fill(line: Line, width: int) -> Line:
    """Exactly ``width`` cells."""
    short = cut(line, width)
    return [*short, (" " * (width - width_of(short)), "")]


def wrap(text: str, width: int, style: str = "", indent: str = "") -> list[Line]:
    """Words on as many lines as they need; a word longer than a line is broken."""
    width = max(width, len(indent) + 4)  # a screen may be made narrower than any word
    lines: list[Line] = []
    current = ""
    for word in clean(text).split():
        while cell_len(word) > width - len(indent):
            if current.strip():
                lines.append([(current, style)])
                current = ""
            head = set_cell_size(word, width - len(indent)).rstrip() or word[0]
            lines.append([(indent + head if lines else head, style)])
            word = word[len(head) :]
        candidate = f"{current} {word}" if current.strip() else (indent if lines else "") + word
        if cell_len(candidate) > width:
            lines.append([(current, style)])
            current = indent + word
        else:
            current = candidate
    if current.strip():
        lines.append([(current, style)])
    return lines


def bar(share: float, width: int, glyphs: Glyphs) -> str:
    """A bar for a share of one in eighths of a cell, never empty for something that is not nothing."""
    full, more = divmod(max(round(share * width * 8), share > 0.005), 8)
    drawn = glyphs.bar * full + (glyphs.eighths[more - 1] if more else "")
    return drawn + glyphs.rest * (width - len(drawn))


def text_of(lines: Iterable[Line]) -> str:
    """The bare text, for tests and for reading aloud."""
    return "\n".join("".join(text for text, _ in line).rstrip() for line in lines)


def style_for(name: str, styles: dict[str, str]) -> str:
    """The words of a style name; several names in one are put together."""
    return " ".join(dict.fromkeys(styles.get(word, "") for word in name.split())).strip() if name else ""
