"""What a description may say: each field's words, and the entries of the record they rest on.

Nothing is said that was not entered or settled. Three phrases are fixed for what is short of settled:
"probably", "consistent with", "not established"; no other word for doubt is used. An entry is a path into
the record's document, such as ``parts/d1/grades/0`` or ``answers/d1/label A/tw-label``.
"""

from collections.abc import Mapping

from benchtui.books.row import one_of
from benchtui.books.shape import NOT_BY_THE_COMPANY
from benchtui.books.sound_words import sound_of
from benchtui.evidence.results import Surprise
from benchtui.export import claims_state as state
from benchtui.export import telling as tell
from benchtui.export import telling_pressing as pressing
from benchtui.export.claim import CONSISTENT, PROBABLY, Claim, Said
from benchtui.export.claims_dates import copy_dates, dates, first_issue
from benchtui.export.items import Item
from benchtui.export.wording import Wording, answer_words, is_number
from benchtui.model.money import Money
from benchtui.model.record import (
    NOT_BY_COMPANY,
    PART_KINDS,
    AnswerDoc,
    RecordDoc,
    is_here,
    part_of,
    parts_of,
)


def say(name: str, item: Item, words: Wording) -> Said:
    """What the field says of the record; KeyError for a field nobody knows."""
    if name.startswith("answer:"):
        return _answer(item, name.removeprefix("answer:"))
    return CLAIMS[name](item, words)


def known_field(name: str) -> str | None:
    """None where a template may name it, else what would be right. ``answer:CLUE`` is what was seen there."""
    return None if name in CLAIMS or name.startswith("answer:") else one_of(name, sorted(CLAIMS))


# Title ------------------------------------------------------------------------------------------


def _title(key: str) -> Claim:
    def claim(item: Item, words: Wording) -> Said:
        found = str(dict(item.record["title"] or {}).get(key) or "")
        return Said(found, (f"title/{key}",)) if found else Said()

    return claim


def _title_told(item: Item, words: Wording) -> Said:
    """With what may not be by the company, so that no title line leaves that out, whatever its template."""
    told, false = _title("title")(item, words), _imitation(item, words)
    return (
        Said(f"{told.text} ({false.text})", (*told.entries, *false.entries))
        if told.text and false.text
        else told
    )


def _catalogue(item: Item, words: Wording) -> Said:
    """The number of the pressing where that is settled, or of all that a copy may be whose disc says mono or
    stereo; the title's may be that of the other.
    """
    settled = pressing.sure(item, words) in pressing.NAMED
    of_all = pressing.number_of_all(item) if _seen_sound(item, ("disc",)).text else ""
    own = pressing.catalogue(item, words) if settled else of_all
    return Said(own, ("pressing",)) if own else _title("catalogue")(item, words)


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
    def claim(item: Item, words: Wording) -> Said:
        found = str(dict(item.record).get(key) or "")
        return Said(found, (key,)) if found else Said()

    return claim


def _channels(item: Item, words: Wording) -> Said:
    """Mono or stereo: as it was seen, on disc and cover where they differ, else as the record has it.

    "both" is the title's: it was issued so, which says nothing of this copy.
    """
    discs, covers = (_seen_sound(item, kinds) for kinds in (("disc",), ("cover", "box")))
    if discs.text and covers.text and discs.text != covers.text:
        return Said(f"{discs.text} disc, {covers.text} cover", (*discs.entries, *covers.entries))
    if discs.text:
        return discs
    found = item.record["channels"]
    return Said(found, ("channels",)) if found not in ("", "both") else Said()


def channels_of(item: Item, words: Wording) -> str:
    """The record's own; where its pressing is open and so says none, what its discs were seen to say."""
    return item.record["channels"] or _seen_sound(item, ("disc",)).text


def _seen_sound(item: Item, kinds: tuple[str, ...]) -> Said:
    """What the answers seen on such parts say of the channels; nothing where they differ or say none."""
    parts = {part["id"] for part in item.record["parts"] if part["kind"] in kinds}
    told: dict[str, list[str]] = {}
    for one in _seen_here(item.record):
        words = one["text"].partition(": ")[2]
        if one["part"] in parts and not one.get("also") and (sound := sound_of(words)):
            told.setdefault(sound, []).append(_path(one))
    ((sound, entries),) = told.items() if len(told) == 1 else (("", []),)
    return Said(sound, tuple(entries))


# Pressing and what was seen -----------------------------------------------------------------------------


def _pressing(item: Item, words: Wording) -> Said:
    """Bare where settled or the dealer's own word; else a fixed word for how sure it is. What may not be by
    the company says so.
    """
    named, alone = pressing.name(item, words), _alone(item, words)
    imitation = _imitation(item, words).text
    if pressing.sure(item, words) in pressing.NAMED:
        own = (
            " (our own judgement: what is seen on it speaks for another)" if pressing.is_against(item) else ""
        )
        otherwise = pressing.otherwise(item)
        but = f" (but {'; '.join(map(_seen_instead, otherwise))})" if otherwise else ""
        seen = (f"answers/{one.part}/{one.place}/{one.clue}" for one in otherwise)
        false = f" ({imitation})" if imitation else ""
        return Said(named + alone + false + own + but, ("pressing", *seen))
    name, chance = pressing.likeliest(item, named)
    false = f"; {imitation}" if imitation else ""
    if not name or chance < CONSISTENT or pressing.is_unlike(item):
        return Said(f"not established{false}", ("pressing",))
    sure = "probably" if chance >= PROBABLY else "consistent with"
    return Said(f"{sure} {name}{alone}{false}", ("pressing",))


def _imitation(item: Item, words: Wording) -> Said:
    """Whether it may be by somebody other than the company: of all such pressings together where none is
    settled, and of what was seen that gives one away; nothing where that is not likely.
    """
    if pressing.sure(item, words) in pressing.NAMED:
        false = pressing.kind(item, words) in NOT_BY_THE_COMPANY
        return Said(NOT_BY_COMPANY, ("pressing",)) if false else Said()
    weighed = item.weighed
    chance = sum(one.p for one in weighed.pressings if one.kind in NOT_BY_THE_COMPANY) if weighed else 0.0
    if chance >= PROBABLY:
        return Said(f"probably {NOT_BY_COMPANY}", ("pressing",))
    if chance >= CONSISTENT or (weighed and weighed.suspect):
        return Said("not established whether it is by the company", ("pressing",))
    return Said()


def _seen_instead(one: Surprise) -> str:
    """``label paper: rag paper``: within a sentence, so a first word of small letters begins with one."""
    ask = one.ask[:1].lower() + one.ask[1:] if one.ask[1:2].islower() else one.ask
    return f"{ask}: {one.text}"


def _alone(item: Item, words: Wording) -> str:
    """A cover or box without its discs names a pressing, but it is none."""
    only = state.only(item, words).text
    return f" (by the {only.removesuffix(' only')} alone)" if only and only != "disc only" else ""


def _kind(item: Item, words: Wording) -> Said:
    """Said only of a settled pressing that is not an ordinary one."""
    kind = pressing.kind(item, words)
    settled = pressing.sure(item, words) in pressing.NAMED
    return Said(f"{kind} copy", ("pressing",)) if settled and kind not in ("", "ordinary") else Said()


def _answer(item: Item, clue: str) -> Said:
    found = [one for one in _seen_here(item.record) if one["clue"] == clue]
    texts = dict.fromkeys(answer_words(one) for one in found if one["text"])
    return Said(", ".join(texts), tuple(_path(one) for one in found))


def _numbers(item: Item, words: Wording) -> Said:
    """What was counted or measured: the number of a limited cover, grams.

    Where one question has several answers, each says on which part, or at which place of it.
    """
    found = [one for one in _seen_here(item.record) if is_number(one["value"]) and one["text"]]
    texts = dict.fromkeys(answer_words(one) + _where(item.record, one, found) for one in found)
    return Said("; ".join(texts), tuple(_path(one) for one in found))


def _where(record: RecordDoc, answer: AnswerDoc, found: list[AnswerDoc]) -> str:
    alike = [one for one in found if one["clue"] == answer["clue"]]
    if len({answer_words(one) for one in alike}) < 2:
        return ""
    part = part_of(record, answer["part"])
    several = part is not None and len({one["part"] for one in alike}) > 1
    return f" ({state.own_name(record, part) if part and several else answer['place']})"


def _seen_here(record: RecordDoc) -> list[AnswerDoc]:
    """What was seen on the parts that are there: what is on a cover that left is no fact of this copy."""
    here = {part["id"] for part in record["parts"] if is_here(part)}
    return [one for one in record["answers"] if one["how"] == "seen" and one["part"] in here]


def _path(answer: AnswerDoc) -> str:
    return f"answers/{answer['part']}/{answer['place']}/{answer['clue']}"


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
    "title": _title_told,
    "catalogue": _catalogue,
    "company": _title("company"),
    "country": _title("country"),
    "first": first_issue,
    "channels": _channels,
    "only": state.only,
    "numbers": _numbers,
    "size": _size,
    "discs": _discs,
    "material": _material,
    "pressing": _pressing,
    "imitation": _imitation,
    "kind": _kind,
    "disc_dates": dates("disc"),
    "cover_dates": dates("cover"),
    "inner_dates": dates("inner"),
    "copy_dates": copy_dates,
    "runouts": _runouts,
    "grades": state.grades(PART_KINDS),
    "disc_grade": state.grades(("disc",)),
    "cover_grade": state.grades(("cover", "box")),
    "play": state.play,
    "faults": state.faults(PART_KINDS),
    "sound": state.sound,
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
