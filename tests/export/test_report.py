"""The parcel report: what came and how each record stands, in one file that fetches nothing."""

from datetime import date
from html.parser import HTMLParser
from types import SimpleNamespace
from typing import Any

import pytest

from benchtui.books.faults import load_faults
from benchtui.books.scales import load_scales
from benchtui.evidence.results import PartSpan
from benchtui.export.report import count_of, parcel_report, sender_report
from benchtui.export.spanbar import axis_of, span_bars
from benchtui.export.wording import Wording
from benchtui.model.span import parse_edtf

WORDS = Wording.of(load_scales(()), load_faults(()))
VOID = {"meta", "br", "line", "rect", "path"}


class Page(HTMLParser):
    """Text of a page and the attributes that could fetch something; checks that tags are closed in order."""

    def __init__(self, html: str) -> None:
        super().__init__()
        self.open: list[str] = []
        self.words: list[str] = []
        self.fetched: list[str] = []
        self.feed(html)
        self.text = " ".join("".join(self.words).split())

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.fetched += [name for name, _ in attrs if name in ("src", "href", "srcset", "action", "data")]
        if tag in ("script", "iframe", "object", "link", "img"):
            self.fetched.append(tag)
        if tag not in VOID:
            self.open.append(tag)
        if tag not in ("bdi", "span"):
            self.words.append(" ")

    def handle_endtag(self, tag: str) -> None:
        if tag not in VOID:
            assert self.open.pop() == tag

    def handle_data(self, data: str) -> None:
        if "style" not in self.open:
            self.words.append(data)


def report(make: SimpleNamespace, *items: Any, **head: Any) -> Page:
    own = items or (make.item(make.record(), make.weighing(), **head),)
    return Page(parcel_report(own[0].head, own, WORDS, "A. Collector", date(2026, 11, 25)).decode())


def test_the_page_is_whole_and_fetches_nothing(make: SimpleNamespace) -> None:
    page = report(make)
    assert page.open == []
    assert page.fetched == []


def test_it_says_what_came_and_how_it_was_packed(make: SimpleNamespace) -> None:
    text = report(
        make,
        expected=3,
        carrier="Dray & Sons",
        tracking="XY 1",
        packing="double box, no stiffeners",
        damage="corner of the box crushed",
        claim_deadline="2026-12-01",
        declared={"minor": 9000, "currency": "EUR"},
    ).text
    for said in (
        "Parcel 2026-11-25-1",
        "From A. Collector",
        "Carrier Dray & Sons XY 1",
        "Declared value 90.00 EUR",
        "Delivered 24 November 2026",
        "3 announced, 1 came: 2 short",
        "Packing double box, no stiffeners",
        "Damage in transit corner of the box crushed",
        "Claim from the carrier by 1 December 2026",
        "Made on 25 November 2026. Prices are asking prices, not what was paid. An estimate: the local tax and customs authority",
    ):
        assert said in text, said


def test_what_is_still_in_the_box_of_an_open_parcel_is_not_short(make: SimpleNamespace) -> None:
    """With eight of fifteen still to come out, the report said "8 short"."""
    waiting = make.item(make.record(2, None, state="empty"), expected=3)
    text = report(make, make.item(make.record(), expected=3), waiting).text
    assert "3 announced, 1 out of the box so far" in text


def test_each_record_stands_there_with_grades_faults_span_price_and_chores(make: SimpleNamespace) -> None:
    chore = {"id": "h", "what": "clean", "part": "d1", "note": "", "by": "key", "at": "", "done": None}
    record = make.record(chores=[chore])
    record["parts"][1]["faults"][0]["severity"] = WORDS.faults["seam-split"].severities[0].id
    page = report(make, make.item(record, make.weighing()))
    for said in (
        "1. A00001 The Lantern Quire: Moths at Noon",
        "Pressing: first mono, gold label",
        "Grades: disc VG+; cover VG; inner G (American scale)",
        "Faults: cover: seam split (4 cm, bottom)",
        "Still to do: clean",
        "24.00 GBP",
        "disc",
    ):
        assert said in page.text, said


def test_a_record_bears_its_pressing_s_own_number_as_everywhere_else(make: SimpleNamespace) -> None:
    record = make.record()
    record["pressing"] = {"id": "x/1", "how": "hand", "p": None, "learn": True, "catalogue": "TWD 528"}
    assert "TWD 528" in report(make, make.item(record, make.weighing())).text


def test_a_grade_above_what_the_faults_allow_is_marked_with_the_fault(make: SimpleNamespace) -> None:
    record = make.record()
    record["parts"][1]["grades"] = [make.grade("NM")]
    split = next(fault for fault in WORDS.faults.values() if fault.id == "seam-split")
    record["parts"][1]["faults"] = [make.fault("seam-split", split.severities[-1].id, amount="20")]
    text = report(make, make.item(record)).text
    assert "cover NM (!! NM is above" in text
    assert "the best that 'seam split" in text
    assert "!!" not in report(make, make.item(make.record())).text


def test_the_senders_list_and_grades_stand_beside_ours(make: SimpleNamespace) -> None:
    line = {
        "line": "Moths at Noon, mint!",
        "artist": "",
        "title": "",
        "catalogue": "",
        "grade": "Mint",
        "record": "r-1",
    }
    absent = line | {"line": "Something never sent", "record": None}
    items = [make.item(make.record(no, f"A{no:05}"), list=[line, absent]) for no in (1, 2)]
    text = report(make, *items).text
    assert "On the sender's list: Mint" in text
    assert "On the list, not found yet Something never sent" in text
    closed = [item._replace(head={**item.head, "state": "closed"}) for item in items]
    assert "On the list, not found Something never sent" in report(make, *closed).text
    assert "Here, not on the list no. 2" in text


def test_what_is_set_apart_or_taken_out_is_counted_and_nothing_else_is_said_of_it(
    make: SimpleNamespace,
) -> None:
    apart = make.record(2, "A00002", set_apart={"why": "mould", "note": "secret note", "at": ""})
    out = make.record(3, "A00003", state="withdrawn")
    items = [
        make.item(one, expected=2) for one in (make.record(), apart, out, make.record(4, None, state="empty"))
    ]
    text = report(make, *items).text
    assert "2 announced, 2 came: complete" in text
    assert "Set apart no. 2 (mould)" in text
    assert "Taken out of the queue 1" in text
    assert "A00002" not in text
    assert "A00003" not in text
    assert "secret" not in text


@pytest.mark.parametrize(
    ("expected", "came", "verdict"), [(0, 0, "complete"), (1, 3, "2 over"), (3, 1, "2 short")]
)
def test_short_and_over_are_counted(make: SimpleNamespace, expected: int, came: int, verdict: str) -> None:
    item = make.item(expected=expected)
    assert count_of(item.head, [make.record(no) for no in range(came)]).say.endswith(verdict)


def test_a_parcel_without_records_has_a_report_and_another_parcels_records_stay_out(
    make: SimpleNamespace,
) -> None:
    other = make.item(make.record(9, "A00009"), id="2026-11-26-1")
    page = Page(parcel_report(make.item().head, [other], WORDS).decode())
    assert "No record yet." in page.text
    assert "A00009" not in page.text


def test_neither_cost_nor_reserve_nor_note_is_in_it(make: SimpleNamespace) -> None:
    charge = {
        "what": "price",
        "minor": 77777,
        "currency": "GBP",
        "rate": None,
        "rate_date": "",
        "rate_from": "",
    }
    record = make.record(note="bought cheaply", reserve={"minor": 55555, "currency": "GBP"})
    text = report(make, make.item(record, charges=[charge], shares={"r-1": 33333}, note="inside")).text
    for secret in ("777.77", "555.55", "333.33", "cheaply", "inside"):
        assert secret not in text


def test_text_of_the_shop_is_shown_literally_and_in_its_own_direction(make: SimpleNamespace) -> None:
    record = make.record()
    record["title"] |= {"title": "<img src=x onerror=y>", "artist": "\u05e9\u05dc\u05d5\u05dd"}
    page = report(make, make.item(record, packing="[/b] <b>&amp;</b>"))
    assert page.fetched == []
    assert "<img src=x onerror=y>" in page.text
    assert "[/b] <b>&amp;</b>" in page.text


def test_a_sender_gets_the_consigned_records_of_all_parcels_and_no_bought_ones(make: SimpleNamespace) -> None:
    items = [
        make.item(make.record(1, "A00001", terms="consigned")),
        make.item(make.record(2, "A00002")),
        make.item(make.record(3, "A00003"), id="2026-11-26-1", terms="consigned"),
    ]
    page = Page(sender_report("A. Collector", items, WORDS).decode())
    assert page.open == []
    assert "Parcel 2026-11-25-1" in page.text
    assert "Parcel 2026-11-26-1" in page.text
    assert "A00001" in page.text
    assert "A00003" in page.text
    assert "A00002" not in page.text
    assert "Nothing is consigned." in Page(sender_report("A. Collector", [], WORDS).decode()).text


def test_all_bars_of_a_page_share_one_line_and_lie_in_the_order_of_time(make: SimpleNamespace) -> None:
    early = PartSpan(parse_edtf("[1963..]"), parse_edtf("[1963..1964]"))
    late = PartSpan(parse_edtf("[1971..]"), parse_edtf("[1971..1972]"))
    item = make.item(make.record(), make.weighing(parts={"d1": early, "c1": late}))
    axis = axis_of([item])
    assert axis is not None
    assert (axis.first, axis.last) == (1962, 1973)
    days = [date(1962, 1, 1), date(1963, 6, 1), date(1971, 1, 1), date(1973, 12, 31)]
    assert sorted({axis.at(day) for day in days}) == [axis.at(day) for day in days]
    drawn = span_bars(item, axis)
    assert drawn.count('class="likely"') == drawn.count('class="certain"') == 2
    assert drawn.count('class="open"') == 2  # the certain spans have no later end
    assert "disc [1963..1964]; cover [1971..1972]" in drawn


def test_a_clash_is_written_out_and_nothing_known_draws_nothing(make: SimpleNamespace) -> None:
    item = make.item(make.record(), make.weighing(parts={"d1": PartSpan(parse_edtf("[1963..]"), None)}))
    assert "!! clues contradict each other" in span_bars(item, axis_of([item]))
    nothing = make.item(make.record(), make.weighing(parts={"d1": PartSpan()}))
    assert axis_of([nothing]) is None
    assert span_bars(nothing, axis_of([item])) == ""
    assert span_bars(make.item(), axis_of([item])) == ""


@pytest.mark.parametrize(("first", "last"), [(1962, 1965), (1950, 1990), (1900, 2026), (1967, 1969)])
def test_three_to_seven_years_are_written_under_the_line(
    make: SimpleNamespace, first: int, last: int
) -> None:
    span = PartSpan(parse_edtf(f"[{first + 1}..{last - 1}]"), parse_edtf(f"[{first + 1}..{last - 1}]"))
    axis = axis_of([make.item(make.record(), make.weighing(parts={"d1": span}))])
    assert axis is not None
    assert 3 <= len(axis.ticks()) <= 7
