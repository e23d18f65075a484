"""The colours of the two themes, and those behind the style names of bench/draw/sheet.py.

One accent (a warm paper-bag brown), two signal colours kept apart in lightness as well as hue;
everything they say is also said by a sign or a word.
"""

DARK_COLOURS = {
    "primary": "#d9a066",
    "secondary": "#8fb8c9",
    "accent": "#d9a066",
    "foreground": "#e6e1d8",
    "background": "#1b1a18",
    "surface": "#1b1a18",
    "panel": "#262421",
    "success": "#9cc48a",
    "warning": "#e5c07b",
    "error": "#f0907f",
}
LIGHT_COLOURS = {
    "primary": "#7a4a12",
    "secondary": "#1f5a73",
    "accent": "#7a4a12",
    "foreground": "#24211c",
    "background": "#f6f2ea",
    "surface": "#f6f2ea",
    "panel": "#ebe4d6",
    "success": "#2f6123",
    "warning": "#6d4c00",
    "error": "#a3231a",
}

DARK_STYLES = {
    "": "",
    "dim": "#a59d90",
    "bold": "bold",
    "accent": "#d9a066",
    "match": "underline #d9a066",
    "good": "#9cc48a",
    "warn": "#e5c07b",
    "clash": "bold #f0907f",
    "hand": "bold #8fb8c9",
    "cell": "",
    "bar": "#968f83",
    "key": "bold #d9a066",
    "mark": "reverse",
}
LIGHT_STYLES = {
    "": "",
    "dim": "#5f584c",
    "bold": "bold",
    "accent": "#7a4a12",
    "match": "underline #7a4a12",
    "good": "#2f6123",
    "warn": "#6d4c00",
    "clash": "bold #a3231a",
    "hand": "bold #1f5a73",
    "cell": "",
    "bar": "#6b6253",
    "key": "bold #7a4a12",
    "mark": "reverse",
}
# The open text line, seen without colours too: the cursor by its reversal, what typing replaces by its line.
DARK_LINE = {"line": "on #262421", "cursor": "reverse #e6e1d8 on #1b1a18", "chosen": "underline on #4a3d2f"}
LIGHT_LINE = {"line": "on #ebe4d6", "cursor": "reverse #24211c on #f6f2ea", "chosen": "underline on #d4c5af"}
LINE_STYLES = {"dark": DARK_LINE, "light": LIGHT_LINE}
COLOURS = {"dark": DARK_COLOURS, "light": LIGHT_COLOURS}
STYLES = {"dark": DARK_STYLES, "light": LIGHT_STYLES}


def style_for(name: str, styles: dict[str, str]) -> str:
    """The colours of a style name; several names in one are put together."""
    return " ".join(dict.fromkeys(styles.get(word, "") for word in name.split())).strip() if name else ""
