"""Signs that a terminal, a spreadsheet or a browser obeys instead of showing: seen as escapes everywhere."""

import re

_OBEYED = re.compile(
    "[\x00-\x1f\x7f-\x9f"  # C0, DEL and C1 controls: a cursor moved, a title set, a bell
    "\u061c\u200e\u200f\u2028-\u202e\u2066-\u2069"  # breaks of Unicode's own, what turns text round
    "\ufeff\ufff9-\ufffb\U000e0000-\U000e007f"  # marks and tags that nobody sees
    "\ud800-\udfff]"  # halves of a sign; bytes of a file's name that are no text are such halves in Python
)


def visible(text: str, keep: str = "") -> str:
    r"""``text`` with each such sign as its escape: ``\x1b``, ``\u202e``; a byte that is no text as ``\xff``.

    ``keep``: those that are wanted as they are, such as a line break in a text of several lines.
    """
    if text.isascii() and text.isprintable():
        return text
    return _OBEYED.sub(lambda found: found[0] if found[0] in keep else _escape(ord(found[0])), text)


def print_visible(text: object) -> None:
    """Prints lines of text, nothing in which a terminal obeys."""
    print(visible(str(text), keep="\n"))


def visible_json(text: str) -> str:
    """JSON in which such signs stand as JSON's own escapes: still the same value."""
    return _OBEYED.sub(lambda found: found[0] if found[0] == "\n" else _in_json(found[0]), text)


def _in_json(sign: str) -> str:
    halves = sign.encode("utf-16-be", "surrogatepass")
    return "".join(f"\\u{halves[at : at + 2].hex()}" for at in range(0, len(halves), 2))


def obeyed_in(text: str, keep: str = "") -> int:
    """How many signs of the text `visible` would show as escapes."""
    return sum(found[0] not in keep for found in _OBEYED.finditer(text))


def _escape(number: int) -> str:
    if 0xDC80 <= number <= 0xDCFF:  # how Python keeps a byte that is no text
        number -= 0xDC00
    return (
        f"\\x{number:02x}"
        if number < 0x100
        else f"\\u{number:04x}"
        if number < 0x10000
        else f"\\U{number:08x}"
    )
