"""Key names, spelled as Textual spells them, without importing Textual (so that ``check`` stays quick).

A keymap may write a sign as itself (``/``) or by its name (``slash``); both become the name.
"""

import unicodedata

# The names Textual shortens; everything else is the Unicode name in snake case.
_SHORT = {
    "solidus": "slash",
    "reverse_solidus": "backslash",
    "commercial_at": "at",
    "hyphen_minus": "minus",
    "plus_sign": "plus",
    "low_line": "underscore",
}
SIGNS = {
    "slash": "/",
    "backslash": "\\",
    "minus": "-",
    "plus": "+",
    "equals_sign": "=",
    "semicolon": ";",
    "apostrophe": "'",
    "comma": ",",
    "full_stop": ".",
    "asterisk": "*",
    "question_mark": "?",
    "left_square_bracket": "[",
    "right_square_bracket": "]",
    "grave_accent": "`",
    "number_sign": "#",
    "vertical_line": "|",
}
"""Signs a keymap may use, by name: what they type is also how a legend shows them."""
_SHOWN = SIGNS | {
    "pagedown": "PgDn",
    "pageup": "PgUp",
    "escape": "Esc",
    "enter": "Enter",
    "tab": "Tab",
    "delete": "Del",
    "insert": "Ins",
    "backspace": "Bksp",
    "left": "←",
    "right": "→",
    "up": "↑",
    "down": "↓",
    "home": "Home",
    "end": "End",
}
_NAMED = frozenset(
    [
        "space",
        "pagedown",
        "pageup",
        "escape",
        "enter",
        "tab",
        "delete",
        "insert",
        "backspace",
        "left",
        "right",
        "up",
        "down",
        "home",
        "end",
    ]
)
# ctrl with these is another key on the wire, taken by the terminal, or pasted line breaks (ctrl+j).
_LOST_WITH_CTRL = frozenset("cihjmqsz")


def key_name(key: str) -> str:
    """Textual's name of a key written as a sign or already as a name."""
    if len(key) == 1 and not key.isalnum():
        if key == " ":
            return "space"
        try:
            name = unicodedata.name(key).lower().replace("-", "_").replace(" ", "_")
        except ValueError:
            return key
        return _SHORT.get(name, name)
    return key


def is_deliverable(name: str) -> bool:
    """Whether a plain terminal can send this key and nothing else claims it."""
    if len(name) == 1:
        return name.isalnum() and name == name.lower()
    if name in _NAMED:
        return True
    if name.startswith("f") and name[1:].isdigit():
        return 1 <= int(name[1:]) <= 12
    if name.startswith("ctrl+") and len(name) == 6:
        return "a" <= name[5] <= "z" and name[5] not in _LOST_WITH_CTRL
    return name in SIGNS


def is_printable(name: str) -> bool:
    """Whether an open text line needs this key for itself."""
    if len(name) == 1 or name == "space":
        return True
    return name in SIGNS


def shown(name: str) -> str:
    """The key as a legend shows it: ``\\``, ``PgDn``, ``^E``, ``F3``."""
    if name.startswith("ctrl+"):
        return "^" + name[5:].upper()
    if name.startswith("f") and name[1:].isdigit():
        return name.upper()
    return _SHOWN.get(name, name)
