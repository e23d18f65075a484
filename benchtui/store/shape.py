"""What a parcel's documents must look like: for files that somebody else wrote, or an older version."""

import copy
from pathlib import Path
from typing import Any

from benchtui.base.errors import BenchError
from benchtui.model.parcel import new_head
from benchtui.model.record import empty_record
from benchtui.store.codec import Doc, Tables
from benchtui.store.load import Damaged

# What each kind of document may hold: key:kind. "?" allows null; [kind] is a list, {kind} an object of them.
_RULES = {
    "money": "minor:whole currency:text",
    "title": "id:text artist:text title:text catalogue:text",
    "pressing": "id:text? how:text p:number? learn:yes catalogue:text",
    "event": "at:text",
    "grade": "when:text side:text grade:text shade:text scale:text at:text",
    "fault": "fault:text severity:text place:text at:text",
    "part": "id:text kind:text grades:[grade] faults:[fault] sides:{object} origin:object? gone:object? "
    "owner:text name:text number:whole",
    "answer": "part:text place:text clue:text answer:text how:text text:text book:text at:text also:[text]",
    "chore": "id:text what:text part:text note:text done:text? fault:text due:text",
    "opinion": "at:text side:text minute:text note:text against:text",
    "custody": "at:text what:text who:text note:text since:text document:text minor:whole currency:text",
    "posted": "at:text what:text note:text outside:yes weight_g:whole minor:whole currency:text carrier:text "
    "tracking:text until:text",
    "listed": "at:text what:text place:text minor:whole currency:text",
    "apart": "why:text note:text at:text clue:text fault:text",
    "charge": "what:text minor:whole currency:text rate:text?",
    "line": "line:text artist:text title:text catalogue:text record:text?",
    "record": "id:text no:whole state:text stock:text? terms:text? title:title? channels:text size_in:whole? "
    "anchor:text? parts:[part] answers:[answer] pressing:pressing rulings:{text} looked:[object] "
    "chores:[chore] set_apart:apart? price:money? note:text life:[event] waived:[list] "
    "cost_moved:[cost] dated:[dated] earlier:[earlier] listing:[listed] post:[posted] custody:[custody] "
    "listening:[opinion]",
    "dated": "part:text span:text sure:text why:text at:text",
    "cost": "at:text part:text minor:whole currency:text to:[text] from:[text]",
    "head": "id:text sender:text? terms:text carrier:text tracking:text customs:text declared:money? "
    "insured:money? dispatched:text delivered:text opened:text claim_deadline:text expected:whole "
    "charges:[charge] packing:text damage:text list:[line] state:text closed_at:text? note:text "
    "shares:{whole}? share_how:text cursor:object draft:object? undone:whole revision:whole "
    "sessions:[object] corrections:[object] begun:text earlier:[earlier] given_up:text",
    "earlier": "until:text was:object unset:[text] absent:yes record:object",
    "entry": "n:whole say:text at:text ops:[list] was:object?",
    "settings": "name:text currency:text currencies:{whole} scale:text letter:text hour_wage:money? "
    "threshold:number keymap:text theme:text last_parcel:text? last_parcels:{text} "
    "table_columns:{text} table_columns_before:{text} table_columns_of:text closed_at:text earlier:[earlier]",
    "shop": "id:text",
    "sender": "id:text name:text earlier:[earlier]",
    "sale": "id:text",
    "invoice": "deal:text at:text",
    "stock": "letter:text next:whole parcel:text numbers:{whole}",
    "move": "say:text part:text from:[text] to:[text] consent:text at:text cost:money?",
    "made": "id:text",
    "pick": "count:whole last:text senders:{whole}",
}
RULES = {name: dict(pair.split(":", 1) for pair in rule.split()) for name, rule in _RULES.items()}
_KINDS: dict[str, tuple[type, ...]] = {
    "text": (str,),
    "whole": (int,),
    "number": (int, float),
    "yes": (bool,),
    "object": (dict,),
    "list": (list,),
}
_NEEDED = {
    "record": ("id", "no"),
    "part": ("id", "kind"),
    "entry": ("n", "ops"),
    "grade": ("grade",),
    "answer": ("part", "place", "clue", "answer"),
    "charge": ("what", "minor", "currency"),
    "money": ("minor", "currency"),
    "cost": ("at", "part", "minor", "currency"),
    "title": ("id",),
    "dated": ("part", "span"),
    "earlier": ("until",),
    "fault": ("fault",),
    "chore": ("id", "what"),
    "opinion": ("at", "note"),
    "custody": ("at", "what"),
    "posted": ("at", "what"),
    "listed": ("at", "what", "place"),
    "shop": ("id",),
    "sender": ("id", "name"),
    "sale": ("id",),
    "stock": ("letter",),
    "move": ("say", "part", "from", "to", "consent", "at"),
    "made": ("id",),
    "pick": ("count", "last", "senders"),
}
_SHARED = {
    "shop": {
        "shop": "shop",
        "settings": "settings",
        "senders": "sender",
        "sales": "sale",
        "stock": "stock",
        "moves": "move",
        "invoices": "invoice",
        "credit_notes": "invoice",
    },
    "titles": {"titles": "made", "picks": "pick"},
}
# What a part, a grade, a fault may leave out, and what is then meant.
_BLANK: dict[str, Doc] = {
    "part": {"grades": [], "faults": []},
    "grade": {"when": "arrived", "side": "", "shade": "", "scale": "", "at": ""},
    "fault": {"severity": "", "place": "", "at": ""},
    "entry": {"say": "", "at": ""},
    "title": {"artist": "", "title": "", "catalogue": ""},
    "answer": {"how": "seen", "text": "", "book": "", "at": ""},
    "dated": {"sure": "firm", "why": "", "at": ""},
}


def check_parcel(tables: Tables, parcel_id: str, where: Path | str, whole: bool = False) -> None:
    """Fills in what an older or hand-written file left out; Damaged, naming the place, for a wrong type.

    ``whole``: a checksum vouches for the file, so its inside need not be walked through.
    """
    head = tables.get("head", {}).get("head")
    if head is None:
        raise Damaged("the parcel has no head", where, "a table head with the document head")
    if head.get("id") != parcel_id:
        said = f"the file says that it is parcel {str(head.get('id'))[:40]!r}"
        raise BenchError(said, where, f"name it {head.get('id')}.json, or put the parcel's own file there")
    tables["head"] = {"head": {**new_head(parcel_id), **head}}
    blank = {key: value for key, value in empty_record(0).items() if key not in ("id", "no")}
    tables["records"] = {key: {**blank, **doc} for key, doc in tables.get("records", {}).items()}
    tables.setdefault("history", {})
    if not whole:
        _check_all(tables, where)


def check_shared(kind: str, tables: Tables, where: Path | str) -> None:
    """Damaged, naming the place, for a wrong type in a shared file that no checksum vouches for."""
    for table, rule in _SHARED[kind].items():
        for key, doc in tables.get(table, {}).items():
            _check(doc, rule, f"{table} {key}", where)
    for key, doc in tables.get("stock", {}).items() if kind == "shop" else ():
        if ("numbers" in doc and "parcel" in doc) == ("next" in doc):
            raise Damaged(
                f"stock {key[:40]} is neither a series nor the numbers of a parcel", where, "one of the two"
            )


def _check_all(tables: Tables, where: Path | str) -> None:
    _check(tables["head"]["head"], "head", "head", where)
    for key, doc in tables["records"].items():
        _check(doc, "record", f"record {key}", where)
        if doc["id"] != key:
            raise Damaged(f"record {key} calls itself {doc['id'][:40]!r}", where, "the same id")
    for key, entry in tables["history"].items():
        _check(entry, "entry", f"history {key}", where)


def _check(doc: Doc, rule: str, at: str, where: Path | str) -> None:
    for key in _NEEDED.get(rule, ()):
        if key not in doc:
            raise Damaged(f"{at} lacks {key!r}", where, f"a {rule} with it")
    for key, value in _BLANK.get(rule, {}).items():
        doc.setdefault(key, copy.copy(value))
    for key, kind in RULES[rule].items():
        if key in doc:
            _check_value(doc[key], kind, f"{at}.{key}", where)


def _check_value(value: Any, kind: str, at: str, where: Path | str) -> None:
    if kind.endswith("?"):
        if value is None:
            return
        kind = kind[:-1]
    if kind[0] in "[{":
        want: tuple[type, ...] = (list,) if kind[0] == "[" else (dict,)
        _check_type(value, want, at, where)
        for key, item in enumerate(value) if kind[0] == "[" else value.items():
            _check_value(item, kind[1:-1], f"{at}.{key}", where)
        return
    _check_type(value, _KINDS.get(kind, (dict,)), at, where)
    if kind in RULES:
        _check(value, kind, at, where)


def _check_type(value: Any, want: tuple[type, ...], at: str, where: Path | str) -> None:
    if type(value) not in want:
        names = {str: "text", int: "a number", bool: "true or false", dict: "an object", list: "a list"}
        right = names[want[0]]
        raise Damaged(f"{at[:80]} is {str(value)[:20]!r}", where, right)


def in_order(records: dict[str, Doc]) -> list[str]:
    """The ids of the queue: by number, and by id where two say the same."""
    return sorted(records, key=lambda key: (records[key]["no"], key))
