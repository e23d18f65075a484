"""A sender's page: terms a line each, the account, payments shared out, statement and stock book as files."""

import csv
from pathlib import Path
from typing import Any, Literal

import pytest
from bench_hands import TODAY, Hands
from seen import middle_rows

from benchtui.bench.pieces import FANCY, text_of, width_of
from benchtui.cli import main
from benchtui.desk.line.fields import read_eligible
from benchtui.desk.people.sender_terms import TERMS, read_commission, show_commission
from benchtui.money.consign import terms_of
from benchtui.money.dated import as_on
from benchtui.money.notice import CONSIGNED_ESTIMATE
from benchtui.money.policy import policy_of
from benchtui.store import Shop

NAMES = [field.name for field in TERMS]


@pytest.fixture
def captain(demo: Hands) -> Hands:
    """The page of the captain, whose consigned parcel is closed."""
    demo.do("line-leave", "search").enter("A00003")
    return demo.do("parcel-page", "sender-page")


def at_field(hands: Hands, name: str) -> Hands:
    assert hands.desk.open.page is not None
    while (away := NAMES.index(name) - hands.desk.open.page.marked) != 0:
        hands.do("page-down" if away > 0 else "page-up")
    return hands.do("page-enter")


def sender(hands: Hands, sender_id: str = "s-sandever") -> dict[str, Any]:
    """As agreed today: terms hold from a day on."""
    return as_on(hands.desk.shop.senders[sender_id], hands.desk.today())


def drawn(hands: Hands, width: int = 80, height: int = 17) -> str:
    return text_of(middle_rows(hands.desk, width, height, FANCY))


def rows_of(path: Path) -> list[dict[str, str]]:
    with path.open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


@pytest.mark.parametrize(("width", "height"), [(80, 17), (120, 33)])
def test_the_page_shows_terms_account_and_what_the_figures_are(
    captain: Hands, width: int, height: int
) -> None:
    for n in range(len(TERMS)):
        lines = middle_rows(captain.desk, width, height, FANCY)
        assert all(width_of(line) <= width for line in lines)
        text = " ".join(text_of(lines).split())
        assert CONSIGNED_ESTIMATE in text
        assert "3 sold, 3 still in the shop" in text
        assert "due " in text
        assert TERMS[n].label in text
        captain.do("page-down")


@pytest.mark.parametrize(
    ("settings", "account"),
    [
        # sold 30.00, 13.00 and 22.00; a quarter each: 7.50, 3.25 and 5.50; 6.00 inbound; 20.48 paid out
        ({}, "sold 65.00 - commission 16.25 - charges 6.00 = net 42.75 GBP paid out 20.48, due 22.27 GBP"),
        # a fifth of each commission on top: 1.50, 0.65 and 1.10
        (
            {"commission_vat": "added", "vat_rate": "20"},
            "sold 65.00 - commission 16.25 - VAT on it 3.25 - charges 6.00 = net 39.50 GBP paid out 20.48, due"
            " 19.02 GBP",
        ),
    ],
)
def test_the_account_on_the_page_adds_up(demo: Hands, settings: dict[str, Any], account: str) -> None:
    """VAT on top of the commission was in the net and not in the sum that should make it."""
    demo.desk.shop.change_settings(**settings)
    demo.do("line-leave", "search").enter("A00003")
    assert account in " ".join(drawn(demo.do("parcel-page", "sender-page"), height=33).split())


def test_a_sale_that_never_was_is_counted_as_none(captain: Hands) -> None:
    """Seen on the page: "3 sold" while one of them was void and in the shop again."""
    captain.do("page-leave", "page-leave", "search").enter("A00003")
    sold = next(event for event in captain.record["life"] if event["what"] == "sold")
    captain.do("record-page", "record-correct").enter(f"{sold['n']}; another record was sold; void")
    assert "void" in captain.said
    page = drawn(captain.do("page-leave", "parcel-page", "sender-page"))
    assert "2 sold, 4 still in the shop" in " ".join(page.split())


def test_a_flat_commission_becomes_a_graduated_one_and_the_account_follows(captain: Hands) -> None:
    before = drawn(captain)
    at_field(captain, "commission").enter("50")
    assert "25 before / 50 from 2026-11-25" in drawn(captain, height=33)
    account = before.partition("Account")[2].splitlines()[1]
    assert account in drawn(captain), "what was sold before stays at what was agreed then"
    at_field(captain, "commission").enter("30 to 10; 20 always")
    assert sender(captain)["bands"] == [["10", "30"], [None, "20"]]
    assert "commission 30 % up to 10.00 GBP, then 20 %" in drawn(captain)
    assert drawn(captain) != before
    at_field(captain, "commission").enter("25 % always")
    assert (sender(captain)["commission"], sender(captain)["bands"]) == ("25", None)
    said = sender(captain)["noted"]["say"]
    assert said == "commission 25 %, was 30 to 10; 20", "the reason of a correction of closed days"
    at_field(captain, "inbound").enter("sh from today")
    said = sender(captain)["noted"]["say"]
    assert said.startswith("inbound postage shop from 2026-11-25, was "), "as it was read"


@pytest.mark.parametrize(
    ("text", "told"),
    [
        (
            "0.50",
            "0.50 GBP; {}; it holds always, since nothing was agreed before; only from now on: 0.50 from today",
        ),
        ("0.50 from 2026-12-01", "none before / 0.50 GBP from 2026-12-01; {}"),
        ("0.50 always", "0.50 GBP; {}; booked on 2026-11-25: the books are closed to 2026-11-20"),
        ("none", "none"),
        ("0.5x", "for each record sold, an amount; empty: none"),
    ],
)
def test_a_charge_per_sale_says_before_it_is_taken_of_which_sales_and_from_when(
    captain: Hands, text: str, told: str
) -> None:
    if "booked" in told:
        captain.desk.shop.change_settings(closed_through="2026-11-20")
    assert captain.desk.open.page is not None
    at_field(captain, "per_sale").type(text)
    of = "taken off every record sold, and given back where it comes back: each sale goes by what holds on its day"
    assert captain.desk.open.line is not None
    assert captain.desk.open.line.about.removeprefix("read as ") == told.format(of)


@pytest.mark.parametrize(
    ("name", "text", "kept"),
    [
        ("name", "Captain E. Sandever", "Captain E. Sandever"),
        ("terms", "b", "bought"),
        ("bands_over", "all", "statement"),
        ("minimum", "1.50", {"minor": 150, "currency": "GBP"}),
        ("per_sale", "0.30", {"minor": 30, "currency": "GBP"}),
        ("per_record", "", None),
        ("inbound", "sh", "shop"),
        ("reserve", "5", {"minor": 500, "currency": "GBP"}),
        ("charges", "cleaning cloths 5; table rent 12.50", [
            {"what": "cleaning cloths", "minor": 500, "currency": "GBP"},
            {"what": "table rent", "minor": 1250, "currency": "GBP"},
        ]),
    ],
)  # fmt: skip
def test_every_line_is_kept_as_it_is_typed(captain: Hands, name: str, text: str, kept: Any) -> None:
    if name == "per_record":
        at_field(captain, name).enter("1")
    at_field(captain, name)
    assert captain.desk.open.line is not None
    captain.desk.open.line.replace = True
    captain.enter(text) if text else captain.key("backspace").do("line-accept")
    assert captain.desk.open.tone == "done", captain.said
    assert sender(captain)[name] == kept
    field = next(one for one in TERMS if one.name == name)
    again = field.read(field.show(sender(captain)), "GBP")
    assert again[name] == kept, "what is shown can be typed"


@pytest.mark.parametrize(
    ("name", "text", "said"),
    [
        ("commission", "101", "enter 0 to 100 %"),
        ("commission", "-1", "plain number"),
        ("commission", "thirty", "thirty"),
        ("commission", "30 to 50", "open end"),
        ("commission", "30 to 50; 25 to 40; 20", "do not rise"),
        ("commission", "30 below 50; 20", "not a commission"),
        ("minimum", "1.0005", "decimals"),
        ("minimum", "-1", "below zero"),
        ("per_sale", "1 EUR", "not in GBP"),
        ("per_record", "1 QQQ", "QQQ"),
        ("charges", "5", "what it is for"),
        ("charges", "rent five", "not an amount"),
        ("inbound", "s", "not one of them"),
        ("bands_over", "x", "not one of them"),
        ("reserve", "999999999999", "too large"),
    ],
)
def test_terms_that_cannot_be_are_refused_in_one_sentence_with_the_text_kept(
    captain: Hands, name: str, text: str, said: str
) -> None:
    before = dict(sender(captain))
    at_field(captain, name).enter(text)
    assert captain.refused
    assert said in captain.said
    assert "\n" not in captain.said
    assert captain.desk.open.line is not None
    assert captain.desk.open.line.text == text
    assert sender(captain) == before


def test_a_commission_is_shown_as_it_is_typed() -> None:
    for text in ("25", "12.5", "30 to 50; 20", "30 to 50; 25 to 200; 12.5"):
        assert show_commission(read_commission(text)) == text
    terms = terms_of(read_commission("30 to 50; 25 to 200; 20"), policy_of({"currency": "GBP"}))
    assert terms.commission(25000) == 1500 + 3750 + 1000


def test_a_payment_of_what_is_due_is_shared_over_the_records_and_nothing_is_due_then(
    captain: Hands, demo_path: Path
) -> None:
    captain.do("sender-payout")
    assert captain.desk.open.line is not None
    assert captain.desk.open.line.text.endswith("; ")
    due = captain.desk.open.line.text.removesuffix("; ")
    captain.enter("transfer 9")
    assert captain.desk.open.tone == "done", captain.said
    assert f"{due} GBP paid to Captain Orlo Sandever" in captain.said
    assert "due 0.00 GBP" in drawn(captain)
    events = [
        event for record in captain.desk.work.records for event in record["life"] if event["at"] == TODAY
    ]
    assert {event["what"] for event in events} == {"paid out"}
    assert sum(event["minor"] for event in events) == int(due.replace(".", ""))
    assert {event["reference"] for event in events} == {"transfer 9"}
    captain.do("sender-payout").enter("1")
    assert captain.refused
    assert "0.00 GBP is due" in captain.said


def test_the_statement_is_written_and_adds_up_to_the_page(captain: Hands) -> None:
    captain.do("sender-statement")
    path = captain.desk.shop.path / "exports" / f"statement-Captain-Orlo-Sandever-{TODAY}.csv"
    assert str(path) in captain.said
    rows = rows_of(path)
    net = sum(int(row["net"].replace(".", "")) for row in rows)
    paid = sum(int(row["paid_out"].replace(".", "")) for row in rows)
    assert f"net {net // 100}.{net % 100:02} GBP" in drawn(captain)
    assert f"due {(net - paid) // 100}.{(net - paid) % 100:02} GBP" in drawn(captain)
    assert {row["basis"] for row in rows} == {CONSIGNED_ESTIMATE}


def test_the_stock_book_has_every_number_unbroken(captain: Hands) -> None:
    captain.do("sender-book")
    rows = rows_of(captain.desk.shop.path / "exports" / f"stockbook-{TODAY}.csv")
    assert list(dict.fromkeys(row["stock_number"] for row in rows)) == [f"A{n:05}" for n in range(1, 13)]


def test_a_neighbour_s_record_in_another_s_parcel_has_its_own_statement_end_to_end(
    demo: Hands, demo_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    demo.do("line-leave", "jump-record").enter("5")
    demo.do("terms").key("3")
    demo.enter("hes")
    demo.do("parcel-page").mark(5).do("sender-page")
    assert "Sender Hester Quillow" in drawn(demo)
    demo.do("page-leave", "sell").enter("a11; ; 70; N. Reed; 26-0380")
    assert demo.desk.open.tone == "done", demo.said
    demo.leave()
    capsys.readouterr()
    assert main(["export", "statement", "--sender", "Hester Quillow", "--shop", str(demo_path)]) == 0
    (row,) = csv.DictReader(capsys.readouterr().out.splitlines())
    # 30 % of the first 50.00, 20 % of the 20.00 above: 19.00; the shop bears her postage
    assert (row["stock_number"], row["price"], row["commission"], row["net"]) == (
        "A00011", "70.00", "19.00", "51.00"
    )  # fmt: skip
    assert main(["export", "statement", "--shop", str(demo_path)]) == 0
    everybody = csv.DictReader(capsys.readouterr().out.splitlines())
    assert {row["sender"] for row in everybody} == {"Captain Orlo Sandever", "Hester Quillow"}
    assert main(["export", "stockbook", "--shop", str(demo_path)]) == 0
    book = {row["stock_number"]: row for row in csv.DictReader(capsys.readouterr().out.splitlines())}
    assert (book["A00011"]["seller"], book["A00011"]["scheme"]) == ("Hester Quillow", "consigned")


def test_whose_the_record_is_stays_said_though_its_parts_came_later(parcel: Hands) -> None:
    parcel.do("line-leave", "terms").key("3")
    parcel.enter("Hester Quillow")
    parcel.find("baf")
    owners = {part["owner"] for part in parcel.record["parts"]}
    (quilter,) = [one for one, doc in parcel.desk.shop.senders.items() if doc["name"] == "Hester Quillow"]
    assert parcel.record["consignor"] == quilter
    assert owners == {quilter}


def test_the_sender_s_reserve_holds_where_the_record_has_none(demo: Hands) -> None:
    demo.desk.shop.change_sender("s-quillow", reserve={"minor": 6500, "currency": "GBP"})
    demo.do("line-leave", "jump-record").enter("5")
    demo.do("terms").key("3")
    demo.enter("hes")
    demo.do("sell").enter("a11; ; 60; N. Reed")
    assert demo.refused
    assert "65.00 GBP" in demo.said
    demo.do("line-leave", "record-page")
    assert "65.00 GBP, as agreed with the sender" in drawn(demo, height=80)


def test_the_margin_scheme_is_asked_and_the_record_s_own_answer_goes_before_the_parcel_s(demo: Hands) -> None:
    demo.do("line-leave", "jump-record").enter("5")
    demo.do("record-page")
    text = " ".join(drawn(demo, height=80).split())
    assert "not answered yet: does the purchase invoice show VAT?" in text
    assert "did the shop import it itself?" in text
    demo.do("record-eligible").enter("perhaps")
    assert demo.refused
    assert demo.desk.open.line is not None
    demo.do("line-leave", "record-eligible").enter("n; imported by the shop")
    assert (demo.record["margin_eligible"], demo.record["margin_why"]) == (False, "imported by the shop")
    assert "not for this one: imported by the shop" in drawn(demo, height=80)
    assert (
        read_eligible("y private seller") == read_eligible(" y ; private seller") == (True, "private seller")
    )
    assert read_eligible("?") == (None, "")
    with demo.desk.act("parcel: margin scheme") as change:
        change.head["margin_eligible"] = True
    demo.do("record-eligible").enter("?")
    assert demo.record["margin_eligible"] is None
    assert "(the parcel's answer)" in drawn(demo, height=80)


def test_a_shop_without_a_rate_ships_none(empty_path: Path) -> None:
    shop = Shop.create(empty_path.parent / "new")
    assert policy_of(shop.settings).vat_rate is None
    assert policy_of(shop.settings).scheme == "none"
    shop.close()


def test_a_parcel_without_a_sender_has_no_page_of_one(empty: Hands) -> None:
    empty.do("page-new").do("line-leave")
    empty.do("sender-page")
    assert empty.refused
    assert "no sender" in empty.said


def test_a_sender_of_bought_parcels_is_not_told_that_a_commission_is_lacking(demo: Hands) -> None:
    page = drawn(demo.do("line-leave", "parcel-page", "sender-page"))
    assert "No commission agreed yet" not in page
    assert "a commission is agreed only for what they consign" in page


def test_a_sender_of_both_kinds_reads_what_of_each_stands_on_the_account(demo: Hands) -> None:
    def page() -> str:
        return " ".join(drawn(demo.do("page-leave", "parcel-page", "sender-page")).split())

    def terms(said: Literal["bought", "consigned"]) -> None:
        with demo.desk.act("record 1: terms") as change:
            change.record(demo.desk.parcel.records[0]["id"])["terms"] = said

    demo.do("line-leave", "parcel-page", "sender-page", "sender-statement")
    assert demo.said == "no account: nothing of theirs is consigned"
    terms("consigned")
    assert "nothing they consigned can be accounted for. What was bought from them needs none." in page()
    at_field(demo, "commission").enter("25")
    assert "beginning. What was bought from them stands on no account." in page()
    assert "1 still in the shop" in page()
    here = demo.desk.parcel.id
    assert f"bought {here}; consigned {here}" in page(), "which parcel is which"
    terms("bought")
    assert "Nothing of theirs is consigned so far. What was bought from them stands on no account." in page()
