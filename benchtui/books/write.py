"""Writes to the shop's own book: a pressing or an answer that was just seen, and a skeleton for a new book.

Only ever appended, so that comments and order of the file stay as somebody wrote them. The new text is read
back before it replaces the old, which is never left half written.
"""

import json
import os
import re
import tempfile
from collections.abc import Mapping
from dataclasses import replace
from pathlib import Path
from typing import Any

from benchtui.base.errors import BenchError
from benchtui.books.shape import Answer, Clue, Pressing
from benchtui.books.toml_file import parse_toml, read_bytes
from benchtui.books.whole import checked
from benchtui.model.money import Money
from benchtui.model.record import TitleRef

_BARE = re.compile(r"[A-Za-z0-9_-]+")


def add_pressing(
    path: Path, title_id: str, pressing: Pressing, *, title: TitleRef | None = None, currency: str = ""
) -> None:
    """Adds a pressing of a title to the book at ``path``, which is made where there is none.

    ``title``: of a title that no book has yet; it is written down with the pressing. ``currency``: of the
    price. BenchError where the book cannot be written, is in another currency, or has the id already.
    """
    table = _table(path)
    book_currency = table.get("book", {}).get("currency", "") if table else currency
    if pressing.price is not None and book_currency != currency:
        what = f"prices in this book are in {book_currency or 'no currency'}, not in {currency or 'none'}"
        raise BenchError(what, path, f'currency = "{currency}" under [book], or a book of its own')
    if pressing.id in _ids_of_pressings(table):
        raise BenchError(f"has a pressing {pressing.id!r} already", path, "another id")
    known = any(entry.get("id") == title_id for entry in table.get("title", []))
    fields = _pressing_fields(pressing, book_currency)
    if title is not None and not known:
        lines = ["[[title]]", *_lines(_title_fields(title)), "", "[[title.pressing]]", *_lines(fields)]
    else:
        lines = ["[[add]]", *_lines({"title": title_id}), "", "[[add.pressing]]", *_lines(fields)]
    _append(path, lines, currency)


def add_answer(path: Path, clue: Clue, answer: Answer) -> Answer:
    """Adds an answer to a clue (of whatever book) to the book at ``path``; returns it with its digit.

    The digit is the next one free, so that no other answer's digit changes. BenchError where the clue has
    the id already, has no digit left, or the book cannot be written.
    """
    if clue.answer(answer.id) is not None:
        raise BenchError(f"the clue {clue.id} has an answer {answer.id!r} already", path, "another id")
    taken = {other.digit for other in clue.answers}
    digit = next((number for number in range(1, 10) if number not in taken), None)
    if digit is None and clue.form == "choice":
        right = "a clue of its own for what is new"
        raise BenchError(f"the clue {clue.id} has no digit left from 1 to 9", path, right)
    fields: dict[str, Any] = {"id": answer.id, "text": answer.text}
    if digit is not None:
        fields["digit"] = digit
    fields |= _answer_fields(answer)
    _append(path, ["[[add]]", *_lines({"clue": clue.id}), "", "[[add.answer]]", *_lines(fields)], "")
    return answer if digit is None else replace(answer, digit=digit)


def _answer_fields(answer: Answer) -> dict[str, Any]:
    fields: dict[str, Any] = {}
    if answer.span is not None and answer.span.known:
        made = [span.edtf() for span in answer.spans]
        fields |= {"made": made if len(made) > 1 else made[0], "hardness": answer.hardness}
    for name in ("caps_sale", "absent", "neutral"):
        if getattr(answer, name):
            fields[name] = True
    for name in ("to_hardness", "looks_like", "tells", "low", "high", "source"):
        if (value := getattr(answer, name)) not in (None, ""):
            fields[name] = value
    return fields


def _title_fields(title: TitleRef) -> dict[str, Any]:
    fields: dict[str, Any] = {"id": title["id"], "artist": title["artist"], "title": title["title"]}
    for name, value in (
        ("first", title.get("first", "")),
        ("company", title.get("company", "")),
        ("country", title.get("country", "")),
    ):
        if value:
            fields[name] = value
    if title["catalogue"]:
        fields["catalogues"] = [title["catalogue"]]
    return fields


def _pressing_fields(pressing: Pressing, currency: str) -> dict[str, Any]:
    fields: dict[str, Any] = {"id": pressing.id, "name": pressing.name}
    if pressing.period.known:
        fields["period"] = pressing.period.edtf()
    if pressing.kind != "ordinary":
        fields["kind"] = pressing.kind
    if pressing.share != 1.0:
        fields["share"] = pressing.share
    for name in ("catalogue", "country", "channels", "imitates", "note", "source"):
        if value := getattr(pressing, name):
            fields[name] = value
    if pressing.extras:
        fields["extras"] = list(pressing.extras)
    if pressing.price is not None:
        fields["price"] = Money(pressing.price, currency).plain()
    if pressing.cuts:
        fields["cuts"] = [[first, second, word] for (first, second), word in pressing.cuts]
    if pressing.expect:
        fields["expect"] = {clue: dict(words) for clue, words in pressing.expect.items()}
    return fields


def _lines(fields: Mapping[str, Any]) -> list[str]:
    """One line a field; a table of tables (``expect``) becomes dotted keys, which need no header."""
    lines: list[str] = []
    for name, value in fields.items():
        if isinstance(value, dict):
            lines += [f"{name}.{_key(key)} = {_value(inner)}" for key, inner in value.items()]
        else:
            lines.append(f"{name} = {_value(value)}")
    return lines


def _key(name: str) -> str:
    return name if _BARE.fullmatch(name) else text_value(name)


def _value(value: Any) -> str:
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, dict):
        return "{ " + ", ".join(f"{_key(key)} = {_value(inner)}" for key, inner in value.items()) + " }"
    if isinstance(value, list):
        return "[" + ", ".join(_value(inner) for inner in value) + "]"
    if isinstance(value, (int, float)):
        return f"{value:g}" if float(value).is_integer() else repr(float(value))
    return text_value(str(value))


def text_value(text: str) -> str:
    """A TOML basic string: JSON's escapes are TOML's too, but for DEL, which TOML wants escaped."""
    return json.dumps(text, ensure_ascii=False).replace("\x7f", "\\u007f")


def _table(path: Path) -> dict[str, Any]:
    return parse_toml(read_bytes(path), path) if path.exists() else {}


def _ids_of_pressings(table: dict[str, Any]) -> set[str]:
    entries = [*table.get("title", []), *table.get("add", [])]
    return {str(pressing.get("id")) for entry in entries for pressing in entry.get("pressing", [])}


def _append(path: Path, lines: list[str], currency: str) -> None:
    """Puts lines at the end of the book, reads the whole back, and only then replaces the file."""
    if path.exists():
        old = read_bytes(path).decode("utf-8-sig")
    else:
        old = '[book]\nname = "The shop\'s own"\n' + (f'currency = "{currency}"\n' if currency else "")
    new = old.rstrip("\n") + "\n\n" + "\n".join(lines) + "\n"
    checked(new.encode("utf-8"), path)
    _replace_file(path, new)


def put_back(path: Path, data: bytes | None) -> None:
    """The book as it was: these bytes, or no file at all (None). BenchError where that cannot be written."""
    if data is not None:
        _replace_file(path, data.decode("utf-8"))
        return
    try:
        path.unlink(missing_ok=True)
    except OSError as error:
        raise BenchError(f"cannot be removed: {error.strerror or error}", path) from None


def _replace_file(path: Path, text: str) -> None:
    """Writes beside, flushes to the disk, renames over. BenchError where the folder cannot be written."""
    try:
        path.parent.mkdir(exist_ok=True)  # never the shop above it, which may have gone
        handle, name = tempfile.mkstemp(dir=path.parent, prefix=path.name, suffix=".new")
        try:
            with os.fdopen(handle, "w", encoding="utf-8", newline="\n") as stream:
                stream.write(text)
                stream.flush()
                os.fsync(stream.fileno())
            os.replace(name, path)
        except OSError:
            Path(name).unlink(missing_ok=True)
            raise
    except OSError as error:
        what = f"cannot be written: {error.strerror or error}"
        raise BenchError(what, path, "choose a folder you can write to") from None
