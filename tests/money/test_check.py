"""What ``check`` finds in the money of a shop: all of it, each with its place."""

from collections.abc import Callable
from typing import Any

import pytest

from benchtui.model.parcel import HeadDoc, new_head
from benchtui.model.record import RecordDoc
from benchtui.money.check import check_money
from benchtui.money.ledger import shop_entries
from benchtui.money.standings import standing

Make = Callable[..., RecordDoc]
SOLD = {"n": 1, "at": "2026-11-10", "what": "sold", "minor": 2400, "currency": "GBP"}


def said(parcels: Any, senders: Any = None, **settings: Any) -> list[str]:
    return [str(fault) for fault in check_money(parcels, senders or {}, {"currency": "GBP"} | settings)]


def test_a_sound_shop_has_no_faults(head: HeadDoc, make_record: Make) -> None:
    same_day = make_record(3, 2400, life=[SOLD | {"at": head["delivered"]}])
    records = [make_record(1, 2400, life=[SOLD]), make_record(2), same_day]
    assert said([(head, records)], {"s-quill": {"name": "Mrs Quill"}}) == []


@pytest.mark.parametrize(
    ("life", "says"),
    [
        ([SOLD | {"at": "2026-11-01"}], "before it came on 2026-11-02"),
        ([SOLD, SOLD | {"n": 2}], "though it was sold"),
        ([SOLD | {"minor": 24.0}], "never float"),
        ([SOLD | {"at": "soon"}], "day of event 1"),
        ([SOLD | {"what": "returned"}], "than was taken"),
        ([SOLD, SOLD | {"n": 2, "what": "returned", "minor": 2401}], "than was taken"),
        ([{"what": "sold"}], "an event has the number None"),
        (
            [SOLD, SOLD | {"n": 2, "what": "lent"}],
            "event 2, 'lent', does to the money; use the newer version",
        ),
        ([{**SOLD, "currency": "QQQ"}], "how many decimals"),
        ([{**SOLD, "currency": "EUR"}], "in books that are in GBP"),
    ],
)
def test_a_life_that_cannot_be_is_told_with_its_place(
    head: HeadDoc, make_record: Make, life: Any, says: str
) -> None:
    (fault,) = said([(head, [make_record(3, life=life)])])
    assert fault.startswith("parcel 2026-11-25-1, record 3")
    assert says in fault


def test_what_came_in_exchange_stands_at_what_its_sale_says_or_it_is_told(
    head: HeadDoc, make_record: Make
) -> None:
    """10.00 in exchange for two records, 6.00 and 4.00 of it; the sale of the first is put right to 8.00."""
    deal = {"deal": "d-1", "invoice": "7"}
    records = [make_record(no, life=[SOLD | deal | {"traded": part}]) for no, part in ((1, 600), (2, 400))]
    came = new_head("2026-11-25-2") | {
        "came_as": "traded in",
        "traded": [head["id"], "r-1"],
        "delivered": "2026-11-10",
    }
    price: Any = {
        "what": "price",
        "minor": 1000,
        "currency": "GBP",
        "rate": None,
        "rate_date": "",
        "rate_from": "",
    }
    came["charges"] = [price]
    books = [(head, records), (came, [make_record(1, id="r-9", stock="A00009")])]
    assert said(books) == []
    fix = {"n": 2, "at": "2026-11-20", "what": "corrected", "of": 1, "now": {"traded": 800}, "why": "misread"}
    records[0]["life"].append(fix)
    (fault,) = said(books)
    assert fault.startswith(
        "parcel 2026-11-25-2: what came in exchange stands at 10.00 GBP, its sale says 12.00 GBP"
    )
    price["minor"] = 1200
    assert said(books) == []


def test_what_came_in_exchange_is_not_compared_where_an_amount_cannot_be_read(
    head: HeadDoc, make_record: Make
) -> None:
    records = [make_record(no, life=[SOLD | {"deal": "d-1", "traded": 500}]) for no in (1, 2)]
    price: Any = {"what": "price", "minor": 900, "rate": None, "rate_date": "", "rate_from": ""}
    came = new_head("2026-11-25-2") | {"traded": [head["id"], "r-1"], "delivered": "2026-11-10"}
    books = [(head, records), (came, [make_record(1, id="r-9", stock="A00009")])]
    came["charges"] = [price | {"currency": "QQQ"}]
    (fault,) = said(books)
    assert "how many decimals has the currency QQQ" in fault
    came["charges"] = [price | {"currency": "GBP"}]
    assert len(said(books)) == 1
    for code, kept in (("EUR", "x"), ("EUR", None), ("QQQ", 500)):
        abroad = {"currency": code, "rate": "0.86", "rate_date": "2026-11-20", "of": {"traded": kept}}
        records[1]["life"] = [
            SOLD | {"deal": "d-1", "traded": -1 if kept is None else 500, "paid_in": abroad}
        ]
        assert not any("came in exchange" in fault for fault in said(books))


def test_an_event_that_nobody_knows_is_left_out_of_every_day_once_it_is_void(
    head: HeadDoc, make_record: Make
) -> None:
    lent = {"n": 2, "at": "2026-11-12", "what": "lent", "who": "M. Larch"}
    void = {"n": 3, "at": "2026-11-20", "what": "corrected", "of": 2, "now": None, "why": "not known here"}
    plain, mended = make_record(3, life=[SOLD]), make_record(3, life=[SOLD, lent, void])
    assert said([(head, [mended])]) == []
    assert shop_entries([(head, [mended])], {}, {"currency": "GBP"}) == shop_entries(
        [(head, [plain])], {}, {"currency": "GBP"}
    )
    assert standing(mended, "2026-11-15").what == "sold", "on a day before it was void too"
    assert mended["life"][1] == lent
    back = void | {"n": 4, "now": {"at": "2026-11-13"}}
    assert said([(head, [make_record(3, life=[SOLD, lent, void, back])])]) != []


def test_every_fault_is_told_not_only_the_first(head: HeadDoc, make_record: Make) -> None:
    head["charges"] = [
        {"what": "price", "minor": 1, "currency": "EUR", "rate": None, "rate_date": "", "rate_from": ""}
    ]
    records = [make_record(1), make_record(2, stock="A00001"), make_record(3, life=[SOLD | {"minor": -1}])]
    found = said([(head, records)], {"s": {"name": "Mrs Quill", "commission": "120"}})
    assert len(found) == 4
    for words in ("sender Mrs Quill", "has no rate", "A00001 is used twice", "below zero"):
        assert any(words in fault for fault in found)


def test_a_sale_seen_that_cannot_be_is_named() -> None:
    good = {"id": "s-1", "date": "2026-11-01", "minor": 2400, "currency": "GBP", "rate": None}
    bad = [good | {"minor": 2400.0}, good | {"date": ""}, good | {"currency": "EUR", "rate": "0"}]
    faults = check_money([], {}, {"currency": "GBP"}, [good, *bad])
    assert [str(fault).split(": ")[0] for fault in faults] == ["sale seen s-1"] * 3


def test_settings_that_cannot_be_are_told_first() -> None:
    assert said([], vat_rate="200") == ["setting vat_rate: the VAT rate is 200 %; enter 0 to 100 %"]


@pytest.mark.parametrize(
    ("reserve", "says"),
    [
        ({"minor": -1, "currency": "GBP"}, "below zero"),
        ({"minor": 500, "currency": "EUR"}, "not in GBP"),
        ({"minor": 5.0, "currency": "GBP"}, "never float"),
        ({"currency": "GBP"}, "has no 'minor'"),
    ],
)
def test_a_reserve_that_cannot_be_is_named_with_whose_it_is(
    head: HeadDoc, make_record: Make, reserve: Any, says: str
) -> None:
    of_sender = said([], {"s": {"name": "Mrs Quill", "reserve": reserve}})
    of_record = said([(head, [make_record(3, reserve=reserve)])])
    assert [fault.startswith("sender Mrs Quill") for fault in of_sender] == [True]
    assert [fault.startswith("parcel 2026-11-25-1, record 3") for fault in of_record] == [True]
    assert says in of_sender[0]
    assert says in of_record[0]
