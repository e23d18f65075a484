"""Self-contained HTML pages: one file, no script, nothing fetched, fit to be printed."""

import re
from html import escape, unescape

from benchtui.base.signs import obeyed_in, visible

STYLE = """
:root { color-scheme: light; }
* { box-sizing: border-box; }
body { font: 10.5pt/1.4 Georgia, "Times New Roman", serif; color: #111; background: #fff;
       margin: 0 auto; padding: 8mm; max-width: 200mm; }
h1 { font-size: 18pt; margin: 0 0 2mm; }
h2 { font-size: 13pt; margin: 7mm 0 2mm; border-bottom: 0.3mm solid #111; break-after: avoid; }
table { border-collapse: collapse; width: 100%; }
th, td { text-align: left; vertical-align: top; padding: 0.8mm 3mm 0.8mm 0; }
th { font-weight: normal; color: #555; width: 52mm; }
.num { text-align: right; font-variant-numeric: tabular-nums; }
.small { font-size: 9pt; color: #444; }
@page { size: auto; margin: 12mm; }
@media print { body { padding: 0; max-width: none; } }
"""
# The page may show its own style and pictures that stand in it: it opens without a network and runs nothing.
_POLICY = "default-src 'none'; style-src 'unsafe-inline'; img-src data:"


REPLACED = "signs that cannot be shown stand as escapes"
_BREAKS = "\n\r\t"


def page(title: str, body: str, style: str = "") -> bytes:
    """A whole page; ``body`` is HTML already, ``title`` is text."""
    text = (
        '<!doctype html>\n<html lang="en">\n<head>\n<meta charset="utf-8">\n'
        f'<meta http-equiv="Content-Security-Policy" content="{_POLICY}">\n'
        '<meta name="viewport" content="width=device-width, initial-scale=1">\n'
        f"<title>{escape(visible(title))}</title>\n<style>{STYLE}{style}</style>\n</head>\n<body>\n{body}\n</body>\n</html>\n"
    )
    return text.encode("utf-8", "replace")


def shown(text: object) -> str:
    """Text of the shop's, shown literally and in the direction it is written in; a sign that a browser obeys
    instead of showing stands as its escape, and the text says so.
    """
    if text in (None, ""):
        return ""
    said = f' title="{REPLACED}"' if obeyed_in(str(text), _BREAKS) else ""
    return f'<bdi dir="auto"{said}>{escape(visible(str(text), keep=_BREAKS))}</bdi>'


def tag(name: str, inner: str, css: str = "") -> str:
    """An element round HTML that is ready."""
    mark = f' class="{css}"' if css else ""
    return f"<{name}{mark}>{inner}</{name}>"


def aside(text: str) -> str:
    """What the shop's own file says and no paper that leaves it: neither shown nor printed."""
    return f"<!-- {escape(text).replace('--', '- -')} -->"


def asides(text: str) -> list[str]:
    """All that a page says so."""
    return [unescape(found) for found in re.findall(r"<!-- (.*?) -->", text, re.DOTALL)]
