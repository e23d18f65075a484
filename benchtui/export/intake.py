"""The intake: one row for each record taken in, for the shop's website or anything else that reads CSV.

The column names are our own and are grouped by part. Neither cost nor reserve is among them: the file
is made to leave the house.
"""

from collections.abc import Iterable
from datetime import date

from benchtui.evidence.results import PartSpan
from benchtui.export import telling as tell
from benchtui.export import telling_pressing as pressing
from benchtui.export.ceilings import all_too_high
from benchtui.export.claims import channels_of
from benchtui.export.items import Item, leaving
from benchtui.export.table import Column, Table, table_of
from benchtui.export.telling import Teller, of_parts, of_price, of_record, of_title
from benchtui.export.wording import Wording
from benchtui.model.record import RecordDoc, is_touched, parts_of
from benchtui.model.span import Span

Told = tuple[Column, Teller]


def intake(
    items: Iterable[Item],
    wording: Wording | None = None,
    day: date | None = None,
    parcel: str | None = None,
    more: Iterable[Told] = (),
) -> Table:
    """The rows of a day, a parcel or all, by stock number. ``more`` columns come last (descriptions)."""
    words = wording or Wording()
    columns = [*COLUMNS, *more]
    rows = [
        {column.name: teller(item, words) for column, teller in columns}
        for item in leaving(items, day, parcel)
    ]
    return table_of([column for column, _ in columns], rows)


def _text(name: str, teller: Teller, about: str) -> Told:
    return Column(name, "text", about), teller


def _number(name: str, teller: Teller, about: str) -> Told:
    return Column(name, "number", about), teller


def _amount(name: str, teller: Teller, about: str) -> Told:
    return Column(name, "number", about, True), teller


def _count(kind: str) -> Teller:
    return of_record(lambda record: len(parts_of(record, kind)))


def _inners(record: RecordDoc) -> int:
    """Every record has a place for one; nobody knows that it is there before something was said of it."""
    inners = parts_of(record, "inner")
    return sum(is_touched(record, inner) or inner["id"] in record["rulings"] for inner in inners)


_EVERY_FAULT = "every fault, with its measure and place"
_RULED = "your verdict: own, swapped, unsure; empty where you gave none"


def _likely(spans: PartSpan) -> Span | None:
    return spans.likely


_STOCK = (
    _text(
        "stock_number",
        lambda item, _: item.stock,
        "the shop's own number, without gaps for each bench letter",
    ),
    _text("stock_state", tell.life, "in the shop, held, sold, handed back or scrapped"),
    _text("stock_shelf", tell.shelf, "the shelf place"),
    _text("stock_taken_in", tell.taken_in, "the day it was taken in, local time"),
    _text(
        "stock_ready",
        tell.ready,
        "yes when it is in the shop with a price, and no chore, contradiction or verdict is left",
    ),
    _text("parcel_id", lambda item, _: item.head["id"], "the parcel it came in"),
    _number(
        "parcel_place",
        of_record(lambda record: record["no"]),
        "its place in that parcel's queue now; stock_number is what stays",
    ),
    _text("parcel_sender", lambda item, _: item.sender, "who the parcel came from"),
    _text("parcel_terms", lambda item, _: item.terms, "bought or consigned"),
    _text("parcel_delivered", lambda item, _: item.head["delivered"], "the day the parcel came"),
)
_TITLE = (
    _text("title_artist", of_title("artist"), "artist"),
    _text("title_name", of_title("title"), "title"),
    _text("title_catalogue", of_title("catalogue"), "catalogue number of the title"),
    _text("title_company", of_title("company"), "company"),
    _text("title_country", of_title("country"), "country, ISO 3166"),
    _text("title_first", of_title("first"), "first issued, EDTF"),
    _text(
        "title_channels",
        channels_of,
        "mono, stereo, as the title, the pressing or the disc says; both where the title came as both",
    ),
    _number("title_size_in", of_record(lambda record: record["size_in"]), "disc size in inches"),
    _text(
        "pressing_name",
        pressing.established,
        'the pressing; empty where the description says "not established"',
    ),
    _text(
        "pressing_sure",
        pressing.sure,
        "sure: by the evidence; by hand: your choice; not sure; empty where no book has the title",
    ),
    _number("pressing_chance", pressing.chance, "how likely the evidence made it then, 0 to 1"),
    _text(
        "pressing_kind",
        pressing.kind,
        "ordinary, promotional, test, lacquer, club, export, counterfeit, pirate",
    ),
    _text("pressing_catalogue", pressing.catalogue, "its own catalogue number, where the book has one"),
    _text("span_copy", tell.copy_span, "the whole copy was made between, EDTF"),
    _text("span_copy_90", tell.copy_date, "the months that hold nine tenths of the odds for it, EDTF"),
    _text("span_by_hand", tell.dated_by_hand, "your own dating of parts or copy, firm or soft, why"),
    _text(
        "span_disc",
        tell.span_of("disc", _likely),
        "the disc was made between, EDTF",
    ),
    _text(
        "span_disc_certain",
        tell.span_of("disc", lambda spans: spans.certain),
        "the same, from certain clues only",
    ),
    _text("span_cover", tell.span_of("cover", _likely), "the cover or box, EDTF"),
    _text(
        "span_cover_certain",
        tell.span_of("cover", lambda spans: spans.certain),
        "the same, from certain clues only",
    ),
    _text("span_inner", tell.span_of("inner", _likely), "the inner sleeve, EDTF"),
    _text("span_clash", tell.clashes, "clues that contradict each other"),
)
_PARTS = (
    _text("grade_scale", tell.scales, "the scale of all grades in the row"),
    _text("grade_above", all_too_high, "grades above what the faults allow, with the fault"),
    _number("disc_count", _count("disc"), "how many discs"),
    _text("disc_material", of_record(tell.material), "vinyl, shellac, ..."),
    _text("disc_grade", tell.lowest("disc"), "the lowest grade of all discs and sides"),
    _text("disc_arrived", tell.arrived("disc"), "the lowest grade as it arrived"),
    _text("disc_grades", of_parts("disc", tell.grades), "each disc and side where they differ"),
    _text("disc_graded", of_parts("disc", tell.graded), "when: arrived, cleaned or played"),
    _text("disc_faults", of_parts("disc", tell.faults), _EVERY_FAULT),
    _text("disc_runouts", of_parts("disc", tell.runouts), "the runout of each side"),
    _text("disc_ruling", of_parts("disc", tell.ruling), _RULED),
    _text(
        "cover_kind",
        of_record(lambda record: next((part["kind"] for part in tell.outer(record, "cover")), "none")),
        "cover, box or none",
    ),
    _text("cover_grade", tell.lowest("cover"), "the cover's grade; of a box the lower of base and lid"),
    _text("cover_arrived", tell.arrived("cover"), "the lowest grade as it arrived"),
    _text("cover_grades", of_parts("cover", tell.grades), "each where there are several"),
    _text("cover_faults", of_parts("cover", tell.faults), _EVERY_FAULT),
    _text("cover_ruling", of_parts("cover", tell.ruling), _RULED),
    _number("inner_count", of_record(_inners), "how many inner sleeves were looked at"),
    _text("inner_grade", tell.lowest("inner"), "the lowest grade of all inner sleeves"),
    _text("inner_faults", of_parts("inner", tell.faults), _EVERY_FAULT),
    _text("inner_ruling", of_parts("inner", tell.ruling), _RULED),
    _text("wrap_grade", tell.lowest("wrap"), "the wrap's or front sticker's grade"),
    _text("wrap_faults", of_parts("wrap", tell.faults), _EVERY_FAULT),
    _text("extras_present", tell.extras("present"), "what came with it"),
    _text("extras_missing", tell.extras("missing"), "what should have come with it and did not"),
    _text("extras_unknown", tell.extras("unknown"), "what was not looked for"),
    _text("extras_grades", of_parts("extra", tell.grades), "each of the extras"),
    _text("extras_faults", of_parts("extra", tell.faults), _EVERY_FAULT),
    _text("evidence_seen", tell.seen, "every answer seen, part by part, in the words shown"),
    _text("agreement_words", tell.agreement, "whether the parts belong together, by the evidence"),
    _text(
        "agreement_assembled",
        tell.assembled,
        "yes when a part came from another copy or was moved in, else no",
    ),
)
_REST = (
    _text("chores_open", tell.chores_open, "work still to do"),
    _text("chores_done", tell.chores_done, "work done, with the day"),
    _amount("money_price", tell.price, "asking price, plain decimal"),
    _text("money_currency", of_price("currency"), "ISO 4217"),
    _text("money_price_how", of_price("how"), "hand or worked"),
    _text("note_text", of_record(lambda record: record["note"]), "the dealer's note"),
    _text("photograph_files", of_record(tell.photographs), "its photographs in the order they were taken"),
)
COLUMNS: tuple[Told, ...] = _STOCK + _TITLE + _PARTS + _REST
"""Every column of the intake in its order; stock number first."""
