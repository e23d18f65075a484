"""The one table of everything the bench can do: a name, its words, and where it works.

Keys are not here: they come from keymaps/*.toml (see keymap.py). Help, legend and the
command menu are made from this table and the map in use. Handlers are found by the same
names in desk/.
"""

from dataclasses import dataclass
from typing import Literal

Scope = Literal["any", "bench", "line", "menu", "page"]
SCOPES: tuple[Scope, ...] = ("any", "bench", "line", "menu", "page")


@dataclass(frozen=True, slots=True)
class Action:
    """``short`` is the legend's word, ``words`` the help's sentence, ``group`` its heading in the help."""

    id: str
    scope: Scope
    short: str
    words: str
    group: str


def _digits() -> tuple[Action, ...]:
    return tuple(
        Action(f"answer-{digit}", "bench", "", f"answer {digit} to the question shown", "Look")
        for digit in "1234567890"
    )


def _picks() -> tuple[Action, ...]:
    return tuple(
        Action(f"pick-{row}", "line", "", f"take line {row} of the list", "Text line") for row in range(1, 9)
    )


ACTIONS: tuple[Action, ...] = (
    Action(
        "record-page",
        "bench",
        "details",
        "the record in full: text, life, work",
        "Record",
    ),
    Action("find-title", "bench", "title", "which record is it? a few letters find it", "Record"),
    Action("next-part", "bench", "next part", "the next part, where it pays to look", "Hand"),
    Action("take-cover", "bench", "cover", "take the cover (or box, then wrap)", "Hand"),
    Action("take-disc", "bench", "disc", "take the disc; again: its sides, the next", "Hand"),
    Action("take-inner", "bench", "inner", "take the inner sleeve; again: the next one", "Hand"),
    Action("add-part", "bench", "add part", "add a disc, inner, wrap, box or extra", "Hand"),
    Action("not-here", "bench", "not there", "the part did not come with it; again: it did", "Hand"),
    *_digits(),
    Action("jump-clue", "bench", "any clue", "I just saw this: any clue by a few letters", "Look"),
    Action("previous-clue", "bench", "question before", "go back to the question before", "Look"),
    Action("next-clue", "bench", "next question", "leave this question open, go to the next", "Look"),
    Action(
        "ditto",
        "bench",
        "repeat",
        "yes, so it is; or repeat the last copy",
        "Look",
    ),
    Action("runout", "bench", "runout", "write down the runouts, side by side", "Look"),
    Action("why", "bench", "why", "what speaks for and against, clue by clue", "Look"),
    Action("looked", "bench", "looked again", "looked again, it is not so: ask no more", "Look"),
    Action("pressing", "bench", "pressing", "say by hand which pressing it is", "Look"),
    Action("ruling", "bench", "belongs?", "whether the part belongs to this copy", "Look"),
    Action("shade-up", "bench", "shade up", "shade the grade up", "Grade"),
    Action("shade-down", "bench", "shade down", "shade the grade down", "Grade"),
    Action("grade-ladder", "bench", "grades", "choose the grade from a list", "Grade"),
    Action("fault", "bench", "fault", "a fault of the part in the hand, how bad", "Grade"),
    Action("chore", "bench", "chore", "work still to do, or set it apart", "Grade"),
    Action("note", "bench", "note", "say something about the record", "Record"),
    Action("price-accept", "bench", "accept price", "accept the worked price", "Record"),
    Action("price-hand", "bench", "price", "set a price by hand", "Record"),
    Action("terms", "bench", "terms", "bought or consigned, unlike its parcel", "Record"),
    Action("sell", "bench", "sell", "sell in one line: number, day, price, buyer", "Record"),
    Action("sale-seen", "bench", "sale seen", "a sale of this title seen elsewhere", "Record"),
    Action("take-in", "bench", "taken in", "done: take it in, go on to the next", "Record"),
    Action("next-record", "bench", "next record", "the next record; this one is not taken in", "Queue"),
    Action("previous-record", "bench", "record before", "go back to the record before", "Queue"),
    Action("jump-record", "bench", "jump", "jump to a record by its number", "Queue"),
    Action("search", "bench", "search", "find a record, title, sender, stock number", "Queue"),
    Action("parcel-page", "bench", "parcel", "sender, cost, the sender's list, closing", "Queue"),
    Action("parcels-page", "bench", "parcels", "all parcels of the shop; open a new one", "Queue"),
    Action("chores-page", "bench", "work list", "the work list over all parcels", "Queue"),
    Action("rules-page", "bench", "reckoning", "how the shop reckons: VAT, rounding, steps", "Queue"),
    Action("regrade-page", "bench", "regrade", "grade a sample of the stock again, blind", "Queue"),
    Action("export-day", "bench", "export", "write the day's intake as CSV", "Queue"),
    Action("undo", "bench", "undo", "take back the last thing done", "Bench"),
    Action("redo", "bench", "redo", "do again what was taken back", "Bench"),
    Action("commands", "bench", "menu", "every command, found by letters or digits", "Bench"),
    Action("help", "bench", "keys", "every key and what it does", "Bench"),
    Action("explain", "bench", "help", "what is asked, what each answer means", "Bench"),
    Action("theme", "bench", "theme", "change between light and dark", "Bench"),
    Action("quit", "any", "leave", "leave the bench; everything is kept", "Bench"),
    Action("line-accept", "line", "take", "take what is typed, or the line marked in the list", "Text line"),
    Action("line-leave", "line", "leave", "leave the text line; nothing is changed", "Text line"),
    Action("line-up", "line", "", "mark the line above", "Text line"),
    Action("line-down", "line", "", "mark the line below", "Text line"),
    Action("line-new", "line", "new", "make a new title (or sender) from what is typed", "Text line"),
    *_picks(),
    Action(
        "line-help",
        "line",
        "help",
        "what the line is for; a sign only while it is empty",
        "Text line",
    ),
    Action("menu-leave", "menu", "leave", "leave the list of choices", "Choices"),
    Action(
        "menu-more", "menu", "more", "more of the choices, where the window does not hold them all", "Choices"
    ),
    Action("menu-help", "menu", "help", "what the choices are for", "Choices"),
    Action("page-leave", "page", "back to the record", "back to the record", "Page"),
    Action("page-parcel", "page", "parcel", "the parcel's own page", "Page"),
    Action("page-up", "page", "", "one line up", "Page"),
    Action("page-down", "page", "", "one line down", "Page"),
    Action("page-screen-up", "page", "", "one screen up", "Page"),
    Action("page-screen-down", "page", "", "one screen down", "Page"),
    Action("page-enter", "page", "open", "open the marked line", "Page"),
    Action("page-new", "page", "new parcel", "open a new parcel", "Page"),
    Action("page-add", "page", "add record", "add a record to the queue", "Page"),
    Action("page-out", "page", "take out", "take the marked record out of the queue", "Page"),
    Action("page-earlier", "page", "move up", "move the marked record up the queue", "Page"),
    Action("page-later", "page", "move down", "move the marked record down the queue", "Page"),
    Action("page-list", "page", "list", "read the sender's list from a CSV file, or paste it", "Page"),
    Action("page-close", "page", "close parcel", "close the parcel: what is short or over is said", "Page"),
    Action("page-undo", "page", "undo", "take back the last thing done", "Page"),
    Action("page-redo", "page", "redo", "do again what was taken back", "Page"),
    Action("page-done", "page", "done", "the marked chore is done today", "Page"),
    Action("page-help", "page", "help", "what the page and its marked line are for", "Page"),
    Action("page-more", "page", "more", "all this page can do, found by letters or digits", "Page"),
    Action("parcels-titles", "page", "title list", "take a title list in from a CSV file", "Page"),
    Action("parcels-undo-list", "page", "list out", "take the list taken in last out again", "Page"),
    Action("doubtful-merge", "page", "merge", "the two are one title: merge them", "Page"),
    Action("doubtful-keep", "page", "keep both", "the two are two titles: keep both", "Page"),
    Action("doubtful-skip", "page", "skip", "leave the list's title out", "Page"),
    Action("doubtful-rest", "page", "all the rest", "all the rest like the last one decided", "Page"),
    Action("why-pressing", "page", "new pressing", "add this copy to the shop's book as a pressing", "Page"),
    Action("why-answer", "page", "new answer", "add an answer to the clue asked, in the shop's book", "Page"),
    Action("record-edit", "page", "edit", "edit the record's description: title line, then text", "Page"),
    Action("record-template", "page", "template", "the description by the next template", "Page"),
    Action("record-drop", "page", "drop edit", "drop the edited description, make it from the facts", "Page"),
    Action("record-play", "page", "play test", "note a play test: what was heard, where on the side", "Page"),
    Action("record-grade", "page", "grade", "grade the part in the hand after cleaning or playing", "Page"),
    Action("record-move", "page", "move part", "move the part in the hand to another record", "Page"),
    Action("record-sell", "page", "sell", "sell a record in one line, from any page", "Page"),
    Action("record-shelf", "page", "shelf", "say where it stands on the shelf", "Page"),
    Action("record-hold", "page", "hold", "hold it for somebody until a day", "Page"),
    Action("record-release", "page", "release", "no longer held", "Page"),
    Action("record-price", "page", "price", "set another price, after the parcel was closed too", "Page"),
    Action("record-return", "page", "came back", "the buyer returned it, and was refunded", "Page"),
    Action("record-refund", "page", "part refund", "give part of the price back; the buyer keeps it", "Page"),
    Action("record-back", "page", "to sender", "handed back to the sender unsold", "Page"),
    Action("record-scrap", "page", "scrap", "scrapped: how else it left the shop", "Page"),
    Action("record-payout", "page", "payout", "paid to the sender on account of this record", "Page"),
    Action("record-correct", "page", "correct", "correct an event of its life, by an entry of today", "Page"),
    Action(
        "record-eligible", "page", "scheme", "answer whether the margin scheme may be used for it", "Page"
    ),
    Action("record-reserve", "page", "reserve", "the least price agreed with its sender", "Page"),
    Action("result-page", "page", "result", "paid, landed, asked, expected margin, as bars", "Page"),
    Action("result-how", "page", "shares", "share the cost by worked price, evenly or by hand", "Page"),
    Action("result-share", "page", "by hand", "set a record's share of the cost by hand", "Page"),
    Action(
        "result-rules", "page", "rules", "how the shop reckons: scheme, VAT rate, rounding, steps", "Page"
    ),
    Action("sender-page", "page", "sender", "the sender's terms, account and statement", "Page"),
    Action("sender-statement", "page", "statement", "write the sender's statement as CSV", "Page"),
    Action("sender-payout", "page", "pay out", "pay what is due to the sender", "Page"),
    Action("sender-book", "page", "stock book", "write the shop's stock book as CSV", "Page"),
)

BY_ID: dict[str, Action] = {action.id: action for action in ACTIONS}
