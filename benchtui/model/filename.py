"""Names for files that a shop may take to another machine: what one system refuses is made on none."""

import re

LONGEST = 200
"""Bytes of a name; the common limit is 255, and side files add their endings."""
_REFUSED = re.compile(r'[<>:"/\\|?*\x00-\x1f]')
# Kept by Windows for devices, with whatever ending (the superscript digits count as digits there).
_DEVICE = re.compile(r"(?:con|prn|aux|nul|conin\$|conout\$|(?:com|lpt)[0-9¹²³])\s*(?:\..*)?", re.IGNORECASE)


def name_fault(name: str) -> str:
    """Why no file should be called so, as a clause such as ``'con' is the name of a device on Windows``; ""
    for a name that every system takes.
    """
    if not name or name in (".", ".."):
        return "a file needs a name"
    if _REFUSED.search(name):
        return f"'{name}' holds a character that Windows forbids in file names"
    if name != name.strip() or name.endswith("."):
        return f"'{name}' begins or ends with a space, or ends with a dot; Windows drops those"
    if _DEVICE.fullmatch(name):
        return f"'{name.partition('.')[0]}' is the name of a device on Windows"
    if len(name.encode("utf-8", "replace")) > LONGEST:
        return f"the name has more than {LONGEST} bytes"
    return ""


def plain_name(text: str, most: int = 60) -> str:
    """The text as part of a file's name: letters, digits, dashes, dots and underlines; not too long."""
    plain = "".join(sign if sign.isalnum() or sign in "-_." else "-" for sign in text)
    return plain.encode("utf-8")[:most].decode("utf-8", "ignore").strip(".") or "-"
