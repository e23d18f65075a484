"""What the bench says of a paper that left the shop, when something of it is put right."""

from typing import Any

from benchtui.desk.sale.on_paper import corrected_on_paper, vat_on_paper
from benchtui.model.record import RecordDoc, empty_record

SOLD: dict[str, Any] = {
    "n": 1, "at": "2026-11-02", "what": "sold", "minor": 900, "currency": "GBP", "invoice": "7",
}  # fmt: skip


def _sold(**fields: Any) -> RecordDoc:
    return {**empty_record(1), "life": [SOLD | fields]}


def test_of_what_stands_on_no_paper_nothing_is_said() -> None:
    given = {"what": "returned", "credit_note": "C0001"}
    said = "; credit note C0001 stays as issued, its correction is a page of today's credit notes"
    assert corrected_on_paper(given, {"minor": 100}) == said
    assert corrected_on_paper(given, None) == said
    assert corrected_on_paper({"what": "returned"}, None) == ""
    assert corrected_on_paper(SOLD, {"selling_fee": 10}) == ""
    assert corrected_on_paper(SOLD, {"buyer": "N"}).startswith("; invoice 7 stays as issued")


def test_the_answer_about_the_scheme_moves_only_an_invoice_of_an_earlier_day_under_a_scheme() -> None:
    scheme = {"currency": "GBP", "margin_scheme": "item"}
    assert "invoice 7 stays as issued" in vat_on_paper(_sold(), scheme, "2026-11-03")
    assert vat_on_paper(_sold(), {"currency": "GBP"}, "2026-11-03") == ""
    assert vat_on_paper(_sold(), scheme, "2026-11-02") == ""
    assert vat_on_paper(_sold(booked="2026-11-03"), scheme, "2026-11-03") == ""
    assert vat_on_paper(_sold(invoice=""), scheme, "2026-11-03") == ""
