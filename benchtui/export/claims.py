"""What a description may say: each field's words, and the entries of the record they rest on.

Nothing is said that was not entered or settled. Three phrases are fixed for what is short of settled:
"probably", "consistent with", "not established"; no other word for doubt is used. An entry is a path into
the record's document, such as ``parts/d1/grades/0`` or ``answers/d1/label A/qm-label``.
"""

from collections.abc import Mapping

from benchtui.books.row import one_of
from benchtui.evidence.results import Likely, PartSpan
from benchtui.export import claims_state as state
from benchtui.export import telling as tell
from benchtui.export.dates import span_words, year_words
from benchtui.export.items import Item
from benchtui.export.said import CONSISTENT, PROBABLY, Claim, Said, seen_at
from benchtui.export.wording import Wording
from benchtui.model.money import Money
from benchtui.model.record import RecordDoc, is_here, parts_of


def say(name: str, item: Item, words: Wording) -> Said:
    """What the field says of the record; KeyError for a field nobody knows."""
    if name.startswith("answer:"):
        return _answer(item.record, name.removeprefix("answer:"))
    return CLAIMS[name](item, words)


def known_field(name: str) -> str | None:
    """None where a template may name it, else what would be right. ``answer:CLUE`` is what was seen there."""
    return None if name in CLAIMS or name.startswith("answer:") else one_of(name, sorted(CLAIMS))


# Title ------------------------------------------------------------------------------------------


def _title(key: str) -> Claim:
    def told(item: Item, words: Wording) -> Said:
        found = str(dict(item.record["title"] or {}).get(key) or "")
        return Said(found, (f"title/{key}",)) if found else Said()

    return told


def _first(item: Item, words: Wording) -> Said:
    said = _title("first")(item, words)
    return Said(year_words(said.text), said.entries) if said.text else said


def _size(item: Item, words: Wording) -> Said:
    size = item.record["size_in"]
    return Said(f"{size}-inch", ("size_in",)) if size else Said()


def _discs(item: Item, words: Wording) -> Said:
    discs = parts_of(item.record, "disc")
    return (
        Said(f"{len(discs)} discs", tuple(f"parts/{disc['id']}" for disc in discs))
        if len(discs) > 1
        else Said()
    )


def _material(item: Item, words: Wording) -> Said:
    discs = [disc for disc in parts_of(item.record, "disc") if disc.get("material")]
    return Said(tell.material(item.record), tuple(f"parts/{disc['id']}/material" for disc in discs))


def _field(key: str) -> Claim:
    def told(item: Item, words: Wording) -> Said:
        found = str(dict(item.record).get(key) or "")
        return Said(found, (key,)) if found else Said()

    return told


def _channels(item: Item, words: Wording) -> Said:
    """Mono or stereo. "both" is the title's: it was issued so, which says nothing of this copy."""
    found = item.record["channels"]
    return Said(found, ("channels",)) if found not in ("", "both") else Said()


# Pressing and dates -----------------------------------------------------------------------------


def _pressing(item: Item, words: Wording) -> Said:
    """Bare where settled or the dealer's own word; else a fixed word for how sure it is."""
    sure, named = tell.pressing_sure(item, words), tell.pressing_name(item, words)
    if sure != "not settled":
        return Said(named, ("pressing",))
    name, chance = _leading(item, named)
    if not name or chance < CONSISTENT:
        return Said("not established", ("pressing",))
    return Said(f"{'probably' if chance >= PROBABLY else 'consistent with'} {name}", ("pressing",))


def _leading(item: Item, named: str) -> tuple[str, float]:
    """The name and the chance of what the record would be called; "" for none of these."""
    leader: Likely | None = item.weighed.leader if item.weighed else None
    if leader is not None:
        return (leader.name, leader.p) if leader.id else ("", leader.p)
    return named, item.record["pressing"]["p"] or 0.0


def _kind(item: Item, words: Wording) -> Said:
    """Said only of a settled pressing that is not an ordinary one."""
    kind = tell.pressing_kind(item, words)
    settled = tell.pressing_sure(item, words) != "not settled"
    return Said(f"{kind} copy", ("pressing",)) if settled and kind not in ("", "ordinary") else Said()


def _dates(kind: str) -> Claim:
    """``disc probably made in ...``, each part that differs by its name."""

    def told(item: Item, words: Wording) -> Said:
        known = item.weighed.parts if item.weighed else {}
        parts = [part for part in tell.outer(item.record, kind) if part["id"] in known]
        made = [(part, _made(item.record, known[part["id"]], [part["id"]])) for part in parts]
        entries = tuple(path for _, said in made for path in said.entries)
        texts = {said.text for _, said in made}
        if len(made) > 1 and len(texts) == 1 and texts != {""}:
            return Said(f"{state.plural(made[0][0])} {texts.pop()}", entries)
        return Said(
            "; ".join(f"{state.own_name(item.record, p)} {s.text}" for p, s in made if s.text), entries
        )

    return told


def _copy_dates(item: Item, words: Wording) -> Said:
    parts = [part["id"] for part in item.record["parts"] if is_here(part)]
    return _made(item.record, item.weighed.copy_span, parts) if item.weighed else Said()


def _made(record: RecordDoc, spans: PartSpan, parts: list[str]) -> Said:
    """Bare where law and physics alone say it, else probably; nothing without an answer behind it."""
    seen = seen_at(record, parts)
    if spans.likely is None or not spans.likely.known or not seen:
        return Said()
    if spans.likely == spans.certain:
        return Said(f"made {span_words(spans.likely)}", seen)
    return Said(f"probably made {span_words(spans.likely, whole_months=True)}", seen)


def _answer(record: RecordDoc, clue: str) -> Said:
    found = [one for one in record["answers"] if one["clue"] == clue and one["how"] == "seen"]
    texts = dict.fromkeys(one["text"] for one in found if one["text"])
    return Said(", ".join(texts), tuple(f"answers/{one['part']}/{one['place']}/{clue}" for one in found))


def _numbers(item: Item, words: Wording) -> Said:
    """What was counted or measured: the number of a limited cover, grams."""
    found = [
        one for one in item.record["answers"] if one["how"] == "seen" and type(one["value"]) in (int, float)
    ]
    texts = dict.fromkeys(one["text"] for one in found if one["text"])
    return Said(
        "; ".join(texts), tuple(f"answers/{one['part']}/{one['place']}/{one['clue']}" for one in found)
    )


def _runouts(item: Item, words: Wording) -> Said:
    discs = [disc for disc in parts_of(item.record, "disc") if tell.runouts(item, words, disc)]
    text = "; ".join(tell.runouts(item, words, disc).replace(tell.BETWEEN, ", ") for disc in discs)
    return Said(text, tuple(f"parts/{disc['id']}/sides" for disc in discs))


def _shelf(item: Item, words: Wording) -> Said:
    place = tell.shelf(item, words)
    return Said(place, ("life",) if item.record["life"] else ("shelf",)) if place else Said()


def _price(item: Item, words: Wording) -> Said:
    price = item.record["price"]
    return Said(Money(price["minor"], price["currency"]).show(), ("price",)) if price else Said()


CLAIMS: Mapping[str, Claim] = {
    "stock": _field("stock"),
    "artist": _title("artist"),
    "title": _title("title"),
    "catalogue": _title("catalogue"),
    "company": _title("company"),
    "country": _title("country"),
    "first": _first,
    "channels": _channels,
    "only": state.only,
    "numbers": _numbers,
    "size": _size,
    "discs": _discs,
    "material": _material,
    "pressing": _pressing,
    "kind": _kind,
    "disc_dates": _dates("disc"),
    "cover_dates": _dates("cover"),
    "inner_dates": _dates("inner"),
    "copy_dates": _copy_dates,
    "runouts": _runouts,
    "grades": state.grades(state.ALL_KINDS),
    "disc_grade": state.grades(("disc",)),
    "cover_grade": state.grades(("cover", "box")),
    "play": state.play,
    "faults": state.faults(state.ALL_KINDS),
    "disc_faults": state.faults(("disc",)),
    "cover_faults": state.faults(("cover", "box")),
    "inner_faults": state.faults(("inner",)),
    "extras_faults": state.faults(("extra", "wrap")),
    "extras": state.extras("present"),
    "missing": state.extras("missing"),
    "unlooked": state.extras("unknown"),
    "agreement": state.agreement,
    "assembled": state.assembled,
    "signed": state.signed,
    "price": _price,
    "shelf": _shelf,
    "note": _field("note"),
}
NO_FACTS = ("stock", "price", "shelf", "note")
"""Fields that say nothing about the record itself: a new price does not make a description untrue."""
