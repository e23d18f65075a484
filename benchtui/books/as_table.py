"""Clues, titles and pressings as the plain tables of a book's file: what is usual is left out."""

from collections.abc import Mapping
from typing import Any

from benchtui.books.shape import Answer, BookHead, BookTitle, Clue, Pressing, Said
from benchtui.model.money import Money
from benchtui.model.record import TitleRef


def answer_table(answer: Answer) -> dict[str, Any]:
    """A ``[[clue.answer]]``; without its digit where that is not one of a key."""
    fields: dict[str, Any] = {"id": answer.id, "text": answer.text}
    if 0 <= answer.digit <= 9:
        fields["digit"] = answer.digit
    if answer.span is not None and answer.span.known:
        made = [span.edtf() for span in answer.spans]
        fields |= {"made": made if len(made) > 1 else made[0], "hardness": answer.hardness}
    for name in ("caps_sale", "absent", "neutral"):
        if getattr(answer, name):
            fields[name] = True
    for name in ("to_hardness", "looks_like", "tells", "low", "high", "source", "passes_to"):
        if (value := getattr(answer, name)) not in (None, ""):
            fields[name] = value
    if answer.slips:
        fields["slips"] = list(answer.slips)
    return fields


def title_table(title: TitleRef) -> dict[str, Any]:
    """A ``[[title]]`` of what a record knows of its title."""
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


def pressing_table(pressing: Pressing, currency: str) -> dict[str, Any]:
    """A ``[[title.pressing]]``; its price in the book's currency."""
    fields: dict[str, Any] = {"id": pressing.id, "name": pressing.name}
    if pressing.period.known:
        fields["period"] = pressing.period.edtf()
    if pressing.kind != "ordinary":
        fields["kind"] = pressing.kind
    if pressing.share != 1.0:
        fields["share"] = pressing.share
    for name in ("catalogue", "country", "channels", "imitates", "note", "source", "retired", "passes_to"):
        if value := getattr(pressing, name):
            fields[name] = value
    if pressing.known != "written":
        fields["known"] = pressing.known
    if pressing.differs:
        fields["differs"] = list(pressing.differs)
    if pressing.extras:
        fields["extras"] = list(pressing.extras)
    if pressing.price is not None:
        fields["price"] = Money(pressing.price, currency).plain()
    if pressing.cuts:
        fields["cuts"] = [[first, second, word] for (first, second), word in pressing.cuts]
    if pressing.said:
        fields["said"] = [_said_table(said) for said in pressing.said]
    if pressing.expect:
        fields["expect"] = {clue: words_value(words) for clue, words in pressing.expect.items()}
    return fields


def _said_table(said: Said) -> dict[str, Any]:
    texts = {"source": said.source, "name": said.name, "period": said.period, "price": said.price}
    expect = {clue: words_value(words) for clue, words in said.expect.items()}
    return {name: value for name, value in texts.items() if value} | ({"expect": expect} if expect else {})


def book_title_table(title: BookTitle, head: BookHead | None = None) -> dict[str, Any]:
    """A ``[[title]]`` without its pressings, for a book of that ``head``: what that says is left out."""
    fields: dict[str, Any] = {"id": title.id, "artist": title.artist, "title": title.title}
    texts = {
        "first": title.first.edtf(),
        "company": "" if head and title.company == head.company else title.company,
        "country": "" if head and title.country == head.country else title.country,
        "barcode": title.barcode,
        "channels": title.channels,
        "material": "" if title.material == "vinyl" else title.material,
        "cipher": title.cipher,
        "complete": title.complete,
    }
    fields |= {name: value for name, value in texts.items() if value}
    for name, usual in (("size_in", 12), ("discs", 1), ("inners", 1)):
        if (value := getattr(title, name)) != usual:
            fields[name] = value
    for name in ("catalogues", "extras", "clues"):
        if value := getattr(title, name):
            fields[name] = list(value)
    return fields | ({"stems": dict(title.stems)} if title.stems else {})


def words_value(words: Mapping[str, str]) -> dict[str, str] | str:
    """What to expect of a clue, an answer alone for one that is always so."""
    return next(iter(words)) if list(words.values()) == ["always"] else dict(words)


def clue_table(clue: Clue, head: BookHead | None = None) -> dict[str, Any]:
    """A ``[[clue]]`` with its answers, for a book whose head is ``head``: what that says is left out.

    A clue of neither company nor country, in a book of one, says ``countries = ["any"]``.
    """
    fields: dict[str, Any] = {"id": clue.id, "ask": clue.ask, "part": clue.part, "place": clue.place}
    for name in ("per_side", "volunteer"):
        if getattr(clue, name):
            fields[name] = True
    for name, usual in (("form", "choice"), ("unit", ""), ("error", 0.0), ("seconds", 3.0), ("group", "")):
        if (value := getattr(clue, name)) != usual:
            fields[name] = value
    if clue.misread is not None:
        fields["misread"] = clue.misread
    fields |= _whose(clue, head)
    for name in ("sizes", "materials", "titles", "not_in", "instead_of", "slips"):
        if value := getattr(clue, name):
            fields[name] = list(value)
    for name in ("help", "source"):
        if value := getattr(clue, name):
            fields[name] = value
    if clue.expect:
        fields["expect"] = dict(clue.expect)
    fields["answer"] = [answer_table(answer) for answer in clue.answers]
    return fields


def _whose(clue: Clue, head: BookHead | None) -> dict[str, Any]:
    company, country = (head.company, head.country) if head else ("", "")
    usual = ((company,), ()) if company else ((), (country,) if country else ())
    if (clue.companies, clue.countries) == usual:
        return {}
    if not clue.companies and not clue.countries:
        return {"countries": ["any"]}
    said = {"companies": list(clue.companies), "countries": list(clue.countries)}
    return {name: value for name, value in said.items() if value}
