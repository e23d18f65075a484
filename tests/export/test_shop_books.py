"""What leaves for the books: ranges, encodings, totals; sales, stock, VAT, journal, invoices, receipts."""

from collections.abc import Iterator
from datetime import date
from pathlib import Path
from types import SimpleNamespace
from typing import Any

import pytest
from beancount import loader

from benchtui.base.errors import BenchError
from benchtui.cli import main
from benchtui.export.ask import KINDS, TABLES
from benchtui.export.csvfile import read_csv
from benchtui.export.describe import DEFAULT, load_templates
from benchtui.export.known_columns import known_columns
from benchtui.export.layout import FOLDER, check_layouts
from benchtui.export.run import PAPERS, Ask, export, file_name
from benchtui.model.money import Money
from benchtui.model.record import empty_record
from benchtui.money import life
from benchtui.money.closing import close_books
from benchtui.money.deal import Extras, deal_fields
from benchtui.money.life import When
from benchtui.money.notice import (
    CONSIGNED_ESTIMATE,
    ESTIMATE,
    RECEIPT_ESTIMATE,
    STATEMENT_ESTIMATE,
    TAX_ESTIMATE,
)
from benchtui.store import split_record
from benchtui.store.shop import Shop

TODAY = date(2026, 11, 25)
PARCEL = "2026-01-10-1"


@pytest.fixture
def shop(tmp_path: Path, make: SimpleNamespace) -> Iterator[Shop]:
    """Three records for 30.00 and 3.00 of postage; one sold with postage and fees, one sold and returned."""
    made = Shop.create(tmp_path / "shop", name="The Test Shop", clock=lambda: "2026-01-10T12:00:00Z")
    made.change_settings(margin_scheme="item", vat_rate="20")
    sender = made.add_sender("Mrs Quill")
    charge = {"currency": "GBP", "rate": None, "rate_date": "", "rate_from": ""}
    parcel = made.new_parcel(
        {
            "sender": sender, "opened": "2026-01-10", "delivered": "2026-01-10", "margin_eligible": True,
            "charges": [charge | {"what": "price", "minor": 3000}, charge | {"what": "postage", "minor": 300}],
            "seller": {"name": "Mrs Quill", "address": "3 Dock Row", "identity": "passport", "checked": "2026-01-10"},
        },
        expected=3,
    )  # fmt: skip
    with parcel.action("taken in") as change:
        for no, empty in enumerate(parcel.records, 1):
            record = make.record(no, f"A0000{no}", id=empty["id"])
            record["taken_in_at"] = "2026-01-10T12:00:00Z"
            record["price"] = {"minor": 2000, "currency": "GBP", "how": "hand"}
            change.record(empty["id"]).update(record)
    one, two, _ = parcel.records
    with parcel.action("sold") as change:
        first, second = change.record(one["id"]), change.record(two["id"])
        extras = Extras(postage=300, selling_fee=200, postage_paid=250, where="fair")
        deals = deal_fields([Money(2000, "GBP")], extras, "GBP", "d-1")
        sold = life.sell(
            first, When("2026-02-03", TODAY), Money(2000, "GBP"), buyer="M. Larch", invoice="7", deal=deals[0]
        )
        first["life"].append(sold)
        second["life"].append(life.sell(second, When("2026-05-03", TODAY), Money(2400, "GBP"), invoice="8"))
        second["life"].append(life.take_back(second, When("2026-06-01", TODAY), "", Money(2000, "GBP")))
    parcel.close()
    yield made
    made.close()


def rows(shop: Shop, tmp_path: Path, kind: str, **ask: Any) -> list[dict[str, str]]:
    export(shop, Ask(kind, TODAY, **ask), tmp_path / "x.csv")
    return read_csv(tmp_path / "x.csv").dicts()


def test_sales_are_signed_and_add_up_with_the_profit_of_each(shop: Shop, tmp_path: Path) -> None:
    sold, again, back, total = rows(shop, tmp_path, "sales")
    # 20.00 + 3.00 - fee 2.00 - sent 2.50 - cost 11.00 - VAT of the margin (23.00 - 10.00) / 6 = 2.17
    named = ("price", "postage_charged", "fees", "postage_and_packing", "cost", "vat", "profit")
    assert [sold[name] for name in named] == ["20.00", "3.00", "2.00", "2.50", "11.00", "2.17", "5.33"]
    assert (sold["invoice"], sold["buyer"], sold["where"], sold["sender"]) == (
        "7",
        "M. Larch",
        "fair",
        "Mrs Quill",
    )
    assert (again["profit"], back["price"], back["what"]) == ("10.67", "-20.00", "returned")
    # kept 4.00 holds VAT of 0.67; what the sale had made is taken off
    assert back["profit"] == "-7.34"
    assert (total["price"], total["profit"]) == ("24.00", "8.66")
    by_month = rows(shop, tmp_path, "sales", by="month")
    assert [(row["month"], row["sales"]) for row in by_month][:-1] == [
        ("2026-02", "1"),
        ("2026-05", "1"),
        ("2026-06", "0"),
    ]
    assert by_month[-1]["profit"] == "8.66"
    assert len(rows(shop, tmp_path, "sales", start=date(2026, 5, 1), end=date(2026, 5, 31))) == 2
    with pytest.raises(BenchError, match="only sales can be added up"):
        rows(shop, tmp_path, "stock", by="month")


def test_stock_on_a_day_is_what_was_there_at_cost(shop: Shop, tmp_path: Path) -> None:
    for day, count, cost in (
        (date(2026, 1, 31), "3", "33.00"),
        (date(2026, 5, 31), "1", "11.00"),
        (TODAY, "2", "22.00"),
    ):
        (row, total) = rows(shop, tmp_path, "stock", day=day)
        assert (row["in_stock"], row["cost"], total["cost"], row["basis"]) == (count, cost, cost, ESTIMATE)
    assert rows(shop, tmp_path, "stock", day=date(2025, 12, 31)) == []


def test_the_cost_of_records_still_in_their_box_is_not_that_of_the_stock(shop: Shop, tmp_path: Path) -> None:
    charge = {
        "what": "price",
        "minor": 1000,
        "currency": "GBP",
        "rate": None,
        "rate_date": "",
        "rate_from": "",
    }
    shop.new_parcel({"opened": "2026-02-10", "delivered": "2026-02-10", "charges": [charge]}, expected=4)
    box = next(row for row in rows(shop, tmp_path, "stock") if row["in_stock"] == "0")
    assert (box["cost"], box["not_shared_out"]) == ("0.00", "10.00"), "none of the four is out of it yet"


def test_the_vat_of_a_period_names_the_rule_of_each_figure(shop: Shop, tmp_path: Path) -> None:
    found = rows(shop, tmp_path, "vat", start=date(2026, 1, 1), end=date(2026, 3, 31))
    by_name = {row["figure"]: row["amount"] for row in found}
    assert by_name == {
        "item by item: takings": "23.00",
        "item by item: VAT": "2.17",
        "VAT on sales in all": "2.17",
    }
    assert all("2006/112/EC" in row["source"] for row in found[:-1])
    with pytest.raises(BenchError, match="a VAT return is for a period"):
        rows(shop, tmp_path, "vat")


def test_the_journal_of_the_shop_loads_in_beancount_under_the_shops_own_names(
    shop: Shop, tmp_path: Path
) -> None:
    shop.change_settings(accounts={"bank": "Assets:Till"})
    assert export(shop, Ask("journal", TODAY), tmp_path / "x.beancount") > 5
    text = (tmp_path / "x.beancount").read_text(encoding="utf-8")
    entries, errors, _ = loader.load_string(text)
    assert (errors, bool(entries)) == ([], True)
    assert ESTIMATE in text
    assert "Assets:Till" in text
    assert "Assets:Bank" not in text
    shop.change_settings(accounts={"bank": "Till"})
    with pytest.raises(BenchError, match="'Till' is not an account"):
        export(shop, Ask("journal", TODAY), tmp_path / "x.beancount")


def test_an_invoice_says_the_words_of_the_scheme_and_no_vat(shop: Shop, tmp_path: Path) -> None:
    assert export(shop, Ask("invoices", TODAY), tmp_path / "x.html") == 2
    text = (tmp_path / "x.html").read_text(encoding="utf-8")
    assert text.count("Margin scheme - Second-hand goods") == 2
    assert "VAT" not in text
    assert all(word in text for word in ("Invoice 7", "M. Larch", "23.00", "to pay, in GBP", "The Test Shop"))
    assert "estimate" not in text
    with pytest.raises(BenchError, match="no sale in these days"):
        export(shop, Ask("invoices", TODAY, day=TODAY), None)


def test_a_credit_note_names_its_invoice_and_what_was_given_back(shop: Shop, tmp_path: Path) -> None:
    parcel = shop.open_parcel(PARCEL)
    with parcel.action("refund") as change:
        first = change.record(parcel.records[0]["id"])
        refund = life.refund_part(first, When("2026-06-02", TODAY), Money(400, "GBP"), "scratch on <B2>")
        first["life"].append(refund | {"credit_note": "C0001"})
    parcel.close()
    assert export(shop, Ask("credit-notes", TODAY), tmp_path / "x.html") == 2
    text = (tmp_path / "x.html").read_text(encoding="utf-8")
    old, new = text.split("<section>")[1:]
    assert all(
        word in new
        for word in ("Credit note C0001", "7 of 2026-02-03", "M. Larch", "4.00", "given back, in GBP")
    )
    assert "estimate" not in text
    assert "scratch on &lt;B2&gt;" in new
    assert "Margin scheme - Second-hand goods" in new
    assert "Credit note without a number" in old
    assert "8 of 2026-05-03" in old
    with pytest.raises(BenchError, match="no return or price reduction"):
        export(shop, Ask("credit-notes", TODAY, day=TODAY), None)


NO_ESTIMATE = {
    "intake": "asking prices", "chores": "work", "slips": "asking prices", "regrade": "grades", "packing": "no price",
    "insured": "agreed values, of which the policy decides", "receipts": "what was paid",
    "invoices": "what was agreed, here without VAT", "credit-notes": "what was given back, here without VAT",
}  # fmt: skip
"""Exports without a figure of cost, tax or commission, and what they have instead."""
CONSIGNED = {
    ("statement", "csv"): CONSIGNED_ESTIMATE,
    ("statement", "html"): STATEMENT_ESTIMATE,
    ("consignment", "csv"): RECEIPT_ESTIMATE,
}
"""What the dealer reads, and what the consignor does."""


def test_every_export_with_a_figure_of_the_books_says_that_it_is_an_estimate(
    shop: Shop, tmp_path: Path, make: SimpleNamespace
) -> None:
    sender = shop.add_sender("Orra Finn", commission="20", address="1 Kiln Yard")
    parcel = shop.new_parcel({"sender": sender, "terms": "consigned", "delivered": "2026-02-01"}, expected=1)
    with parcel.action("taken in") as change:
        record = make.record(1, "B00001", id=parcel.records[0]["id"])
        change.record(record["id"]).update(record)
        when = When("2026-03-01", TODAY)
        sold = life.sell(change.record(record["id"]), when, Money(1500, "GBP"), buyer="M. Larch")
        change.record(record["id"])["life"].append(sold)
    parcel.close()
    for kind in KINDS:
        ask = {"parcel": PARCEL} if kind == "report" else {"start": date(2026, 1, 1)} if kind == "vat" else {}
        for ending in ("csv", "html") if kind == "statement" else ("html",) if kind in PAPERS else ("csv",):
            out = tmp_path / f"{kind}.{ending}"
            export(shop, Ask(kind, TODAY, **ask), out)  # type: ignore[arg-type]
            said = CONSIGNED.get((kind, ending), ESTIMATE)
            text = out.read_text(encoding="utf-8")
            assert (said in text) is (kind not in NO_ESTIMATE), (kind, ending)
            assert (TAX_ESTIMATE in text) is False
    printed = (tmp_path / "statement.html").read_text(encoding="utf-8")
    assert all(
        word in printed for word in ("Orra Finn", "1 Kiln Yard", "15.00", "3.00", "due to you: 12.00 GBP")
    )
    export(shop, Ask("statement", TODAY, day=date(2026, 6, 1)), tmp_path / "day.html")
    on_a_day = (tmp_path / "day.html").read_text(encoding="utf-8")
    assert all(word in on_a_day for word in ("up to 2026-06-01", "due to you: 12.00 GBP"))
    assert not any(word in on_a_day for word in ("2026-06-01 to", "due before"))
    export(shop, Ask("statement", TODAY, start=date(2026, 3, 1)), tmp_path / "march.html")
    march = (tmp_path / "march.html").read_text(encoding="utf-8")
    assert all(word in march for word in ("2026-03-01 to 2026-11-25", "due before", "due to you: 12.00 GBP"))
    export(shop, Ask("statement", TODAY, start=date(2026, 6, 1)), tmp_path / "late.html")
    assert "Nothing to account for" in (tmp_path / "late.html").read_text(encoding="utf-8")


def test_a_receipt_is_for_what_was_bought_not_for_what_was_split_off_or_found(
    shop: Shop, tmp_path: Path
) -> None:
    parcel = shop.open_parcel(PARCEL)
    with parcel.action("split") as change:
        whole = change.record(parcel.records[2]["id"])
        cover = next(part["id"] for part in whole["parts"] if part["kind"] == "cover")
        new = empty_record(4)
        new["id"], new["state"], new["stock"] = "r-split", "taken-in", "A00004"
        split_record(change, PARCEL, whole["id"], new, [cover], "2026-03-01T12:00:00Z")
    seller = parcel.head.get("seller")
    parcel.close()
    shop.new_parcel({"came_as": "find", "seller": seller, "delivered": "2026-03-01"}, expected=1).close()
    assert export(shop, Ask("receipts", TODAY), tmp_path / "x.html") == 1
    text = (tmp_path / "x.html").read_text(encoding="utf-8")
    assert ("A00003" in text, "A00004" in text) == (True, False)


def test_a_private_sellers_identity_is_on_the_receipt_and_in_no_other_file_unless_asked_for(
    shop: Shop, tmp_path: Path
) -> None:
    assert export(shop, Ask("receipts", TODAY), tmp_path / "receipt.html") == 1
    receipt = (tmp_path / "receipt.html").read_text(encoding="utf-8")
    assert all(
        word in receipt for word in ("3 Dock Row", "passport", "30.00 GBP", "as long as the law of the place")
    )
    for kind in (kind for kind in KINDS if kind not in ("receipts", "report", "consignment")):
        start = date(2026, 1, 1) if kind == "vat" else None
        export(shop, Ask(kind, TODAY, start=start), tmp_path / "x")
        assert "Dock Row" not in (tmp_path / "x").read_text(encoding="utf-8"), kind
    (row, *_) = rows(shop, tmp_path, "stockbook", private=True)
    assert (row["seller_address"], row["seller_identity"], row["seller_checked"]) == (
        "3 Dock Row",
        "passport",
        "2026-01-10",
    )
    assert "law of the place" in row["keep"]


def test_the_stock_book_takes_ranges_parcels_and_totals(shop: Shop, tmp_path: Path) -> None:
    whole = rows(shop, tmp_path, "stockbook", totals=True)
    assert [row["stock_number"] for row in whole] == [
        "A00001",
        "A00002",
        "A00002",
        "A00002",
        "A00003",
        "total",
    ]
    assert [whole[-1][name] for name in ("purchase_price", "selling_price", "kept")] == [
        "30.00",
        "23.00",
        "4.00",
    ]
    in_february = rows(shop, tmp_path, "stockbook", start=date(2026, 2, 1), end=date(2026, 2, 28))
    assert [row["stock_number"] for row in in_february] == ["A00001"]
    assert len(rows(shop, tmp_path, "stockbook", parcel=PARCEL)) == 5
    assert rows(shop, tmp_path, "stockbook", day=date(2025, 12, 31)) == []
    with pytest.raises(BenchError, match="there is no parcel"):
        rows(shop, tmp_path, "stockbook", parcel="2020-01-01-1")


def test_a_closed_day_prints_the_same_whatever_is_changed_afterwards(shop: Shop, tmp_path: Path) -> None:
    parcels = [shop.read_parcel(one) for one in shop.parcel_ids()]
    shop.close_through(close_books(parcels, shop.senders, shop.settings, [], "2026-03-31", "2026-04-02"))
    kinds = [("stockbook", {"day": date(2026, 3, 31)}), ("stockbook", {"day": date(2026, 2, 3), "private": True}),
             ("stockbook", {"day": date(2026, 2, 2), "parcel": PARCEL}), ("stock", {"day": date(2026, 3, 31)}),
             ("sales", {"end": date(2026, 3, 31)}), ("journal", {"end": date(2026, 3, 31)}),
             ("vat", {"start": date(2026, 1, 1), "end": date(2026, 3, 31)})]  # fmt: skip

    def printed() -> list[bytes]:
        made = []
        for kind, ask in kinds:
            export(shop, Ask(kind, TODAY, **ask), tmp_path / "x")  # type: ignore[arg-type]
            made.append((tmp_path / "x").read_bytes())
        return made

    before = printed()
    parcel = shop.open_parcel(PARCEL)
    with parcel.action("price paid was wrong") as change:
        change.head["charges"][0]["minor"] = 6000
        change.head["margin_eligible"] = False
    parcel.close()
    stated = next(row for row in rows(shop, tmp_path, "stockbook", day=date(2026, 3, 31)) if row["sold_on"])
    shop.change_settings(vat_rate="19")
    assert printed() == before
    sales = rows(shop, tmp_path, "sales", start=date(2026, 4, 1))
    assert [row["what"] for row in sales if row["what"] == "correction"], (
        "the difference is in the open period"
    )
    book = rows(shop, tmp_path, "stockbook")
    now, corrected = [row for row in book if row["stock_number"] == stated["stock_number"]]
    assert {name: now[name] for name in stated if name != "remark"} == {
        name: stated[name] for name in stated if name != "remark"
    }
    assert (corrected["left_how"], bool(corrected["purchase_price"])) == ("correction", True)
    late = rows(shop, tmp_path, "stockbook", start=date(2026, 4, 1))
    assert corrected in late, "in the days it was entered, not in those that were handed in"


LAYOUTS = {
    "sales": ("price", "{day}: {stock_number}"), "stockbook": ("selling_price", "{stock_number} {left_how}"),
    "stock": ("cost", "{parcel}"), "vat": ("amount", "{figure}"), "statement": ("net", "{sender}: {state}"),
    "chores": ("parcel_place", "{chore_what}"), "regrade": ("stock_number", "{part_name}"), "insured": ("value", "{owner}"),
    "slips": ("money_price", "{stock_number}"), "intake": ("money_price", "{artist}: {title}"),
}  # fmt: skip


def test_what_was_stated_stays_in_the_book_of_days_before_a_purchase_day_that_was_moved_on(
    shop: Shop, tmp_path: Path
) -> None:
    """The last numbers were taken for bought later, and with them all their rows were gone."""
    parcels = [shop.read_parcel(one) for one in shop.parcel_ids()]
    shop.close_through(close_books(parcels, shop.senders, shop.settings, [], "2026-03-31", "2026-04-02"))
    stated = rows(shop, tmp_path, "stockbook", day=date(2026, 3, 31))
    assert len(stated) == 3
    parcel = shop.open_parcel(PARCEL)
    with parcel.action("delivered") as change:
        change.head["delivered"] = "2026-04-20"
    parcel.close()
    after = rows(shop, tmp_path, "stockbook", day=date(2026, 4, 10))
    assert [row for row in after if row["left_how"] != "correction"] == stated


@pytest.mark.parametrize("kind", TABLES)
def test_every_table_takes_a_layout_of_the_shops_own(shop: Shop, tmp_path: Path, kind: str) -> None:
    take, template = LAYOUTS[kind]
    text = (
        f'[layout]\nof = "{kind}"\nseparator = ";"\nencoding = "utf-8-sig"\n'
        f'[[column]]\nname = "What"\ntemplate = "{template}"\n'
        f'[[column]]\nname = "Figure"\ntake = "{take}"\npoint = ","\n'
    )
    (shop.path / FOLDER).mkdir(parents=True)
    (shop.path / FOLDER / "own.toml").write_text(text, encoding="utf-8")
    assert check_layouts(shop.path, known_columns(load_templates(None)[DEFAULT]), ["long"]) == []
    range_of = {"start": date(2026, 1, 1), "end": date(2026, 6, 30)} if kind in ("vat", "sales") else {}
    export(shop, Ask(kind, TODAY, layout="own", **range_of), tmp_path / "x.csv")  # type: ignore[arg-type]
    export(shop, Ask(kind, TODAY, **range_of), tmp_path / "plain.csv")  # type: ignore[arg-type]
    data = (tmp_path / "x.csv").read_bytes()
    assert data.startswith(b"\xef\xbb\xbfWhat;Figure\r\n")
    plain = [row for row in read_csv(tmp_path / "plain.csv").dicts() if "total" not in row.values()]
    lines = data.decode("utf-8-sig").splitlines()[1:]
    assert [line.split(";")[1] for line in lines] == [row[take].replace(".", ",") for row in plain]


def test_a_layout_has_totals_other_encodings_and_only_some_rows(shop: Shop, tmp_path: Path) -> None:
    text = (
        '[layout]\nof = "{kind}"\ntotals = true\nencoding = "utf-16"\nonly = {{ {only} }}\n'
        '[[column]]\nname = "No"\ntake = "stock_number"\n[[column]]\nname = "Sold"\ntake = "{take}"\n'
    )
    (shop.path / FOLDER).mkdir(parents=True)
    for kind, only, take in (
        ("sales", 'what = "sold"', "price"),
        ("stockbook", 'left_how = "sold"', "selling_price"),
    ):
        (shop.path / FOLDER / "own.toml").write_text(
            text.format(kind=kind, only=only, take=take), encoding="utf-8"
        )
        export(shop, Ask(kind, TODAY, layout="own", encoding="utf-8"), tmp_path / "x.csv")
        lines = (tmp_path / "x.csv").read_text(encoding="utf-8").splitlines()
        sold = {
            "sales": ["A00001,20.00", "A00002,24.00", "total,44.00"],
            "stockbook": ["A00001,23.00", "A00002,24.00", "total,47.00"],
        }
        assert lines == ["No,Sold", *sold[kind]]
        export(shop, Ask(kind, TODAY, layout="own"), tmp_path / "x.csv")
        assert (tmp_path / "x.csv").read_bytes()[:2] == b"\xff\xfe"


def test_a_column_that_another_table_has_is_refused_with_its_line(shop: Shop, tmp_path: Path) -> None:
    (shop.path / FOLDER).mkdir(parents=True)
    text = '[layout]\nof = "sales"\n[[column]]\nname = "N"\ntake = "selling_price"\n'
    (shop.path / FOLDER / "own.toml").write_text(text, encoding="utf-8")
    with pytest.raises(BenchError, match='the export sales has no column "selling_price"'):
        export(shop, Ask("sales", TODAY, layout="own"), tmp_path / "x.csv")


@pytest.mark.parametrize("kind", ["intake", "stockbook", "sales", "stock", "chores", "slips"])
def test_a_day_and_a_parcel_may_be_asked_for_together(shop: Shop, tmp_path: Path, kind: str) -> None:
    day = "2026-02-03" if kind == "sales" else "2026-01-10"
    out = tmp_path / "x.csv"
    assert (
        main(["export", kind, "--day", day, "--parcel", PARCEL, "--shop", str(shop.path), "--out", str(out)])
        == 0
    )
    whole = rows(shop, tmp_path, kind, day=date.fromisoformat(day))
    assert read_csv(out).dicts() == whole, "there is one parcel"
    assert (
        file_name(Ask(kind, TODAY, day=date.fromisoformat(day), parcel=PARCEL))
        == f"{kind}-{PARCEL}-{day}.csv"
    )


@pytest.mark.parametrize(
    ("encoding", "first"), [("utf-8", b"day"), ("utf-8-sig", b"\xef\xbb\xbf"), ("utf-16", b"\xff\xfe")]
)
def test_every_csv_takes_an_encoding(
    shop: Shop, tmp_path: Path, encoding: str, first: bytes, capsys: pytest.CaptureFixture[str]
) -> None:
    out = tmp_path / "x.csv"
    path = str(shop.path)
    assert main(["export", "sales", "--encoding", encoding, "--shop", path, "--out", str(out)]) == 0
    assert out.read_bytes().startswith(first)
    assert main(["export", "stockbook", "--encoding", encoding, "--shop", path, "--out", str(out)]) == 0
    assert "A00001" in out.read_bytes().decode(encoding)


@pytest.mark.parametrize(
    ("options", "said"),
    [
        (["sales", "--from", "2026-05-01", "--to", "2026-04-01"], "the earlier day first"),
        (["sales", "--day", "2026-05-01", "--to", "2026-04-01"], "a day and a range"),
        (["vat", "--period", "2026-Q5"], "there is no period '2026-Q5'"),
        (["vat", "--period", "2026-Q1", "--to", "2026-04-01"], "a period is a range already"),
        (["sales", "--from", "soon"], "'soon' is not a day"),
    ],
)
def test_what_does_not_go_together_is_said_in_one_line(
    shop: Shop, options: list[str], said: str, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["export", *options, "--shop", str(shop.path)]) == 2
    assert said in capsys.readouterr().err


def test_one_consignor_without_terms_does_not_stop_the_others(
    shop: Shop, tmp_path: Path, make: SimpleNamespace
) -> None:
    for name, terms in (("With", {"commission": "20"}), ("Without", {})):
        sender = shop.add_sender(name, **terms)
        parcel = shop.new_parcel(
            {"sender": sender, "terms": "consigned", "delivered": "2026-02-01"}, expected=1
        )
        record = make.record(1, f"B0000{len(shop.parcel_ids())}", id=parcel.records[0]["id"])
        with parcel.action("taken in") as change:
            change.record(record["id"]).update(record)
        parcel.close()
    told: list[str] = []
    export(shop, Ask("statement", TODAY), tmp_path / "x.csv", tell=told.append)
    assert {row["sender"] for row in read_csv(tmp_path / "x.csv").dicts()} == {"With"}
    assert any("Without" in said and "No commission agreed yet" in said for said in told)
    with pytest.raises(BenchError, match="No commission agreed yet"):
        export(shop, Ask("statement", TODAY, sender="Without"), None)
