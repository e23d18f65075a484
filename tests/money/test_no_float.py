"""No float in money: not in the code, not through any door, not out of any."""

import ast
import copy
import dataclasses
from collections.abc import Callable, Iterator
from datetime import date
from pathlib import Path
from typing import Any

import pytest

import benchtui.money
from benchtui.base.errors import BenchError
from benchtui.model.money import Money, parse_money
from benchtui.model.parcel import HeadDoc
from benchtui.model.record import RecordDoc
from benchtui.money import life
from benchtui.money.accounts import periods_of
from benchtui.money.apportion import largest_remainder
from benchtui.money.charges import landed
from benchtui.money.command import spread_json
from benchtui.money.ledger import shop_entries
from benchtui.money.life import When
from benchtui.money.policy import Rates
from benchtui.money.result import parcel_result
from benchtui.money.sales import new_sale
from benchtui.money.spreading import freeze, spread
from benchtui.money.statement_rows import statement_rows
from benchtui.money.statements import statement
from benchtui.money.stock import stockbook
from benchtui.money.worked import worked_price

TODAY = date(2026, 11, 25)
ROOM = Path(benchtui.money.__file__).parent
SOURCES = [*sorted(ROOM.glob("*.py")), ROOM.parent / "model" / "money.py"]
Make = Callable[..., RecordDoc]


@pytest.mark.parametrize("source", SOURCES, ids=lambda path: path.name)
def test_no_source_of_the_room_writes_or_makes_a_float(source: Path) -> None:
    for node in ast.walk(ast.parse(source.read_text(encoding="utf-8"))):
        assert not (isinstance(node, ast.Constant) and isinstance(node.value, float)), node.lineno
        assert not (isinstance(node, ast.Name) and node.id == "float"), node.lineno


@pytest.fixture
def shop(head: HeadDoc, make_record: Make) -> tuple[HeadDoc, list[RecordDoc], dict[str, Any]]:
    """A parcel with everything in it that holds money."""
    head["charges"] = [
        {"what": "price", "minor": 4000, "currency": "EUR", "rate": "0.9", "rate_date": "", "rate_from": ""},
        {"what": "postage", "minor": 500, "currency": "GBP", "rate": None, "rate_date": "", "rate_from": ""},
    ]
    head["margin_eligible"] = True
    money = {"currency": "GBP"}
    records = [
        make_record(1, 6000, cost_by_hand={"minor": 900, **money}),
        make_record(2, 2000, terms="consigned", reserve={"minor": 1000, **money}),
        make_record(3, 1500),
    ]
    head["share_how"] = "hand"
    for record, price in ((records[0], 6000), (records[1], 2000)):
        record["life"].append(life.sell(record, When("2026-11-10", TODAY), Money(price, "GBP")))
    records[0]["life"].append(life.refund_part(records[0], When("2026-11-11", TODAY), Money(300, "GBP")))
    records[1]["life"].append(life.pay_out(records[1], When("2026-11-12", TODAY), Money(300, "GBP")))
    sender: Any = {"name": "Mrs Quill", "commission": "30", "minimum": {"minor": 100, **money}}
    sender["charges"] = [{"what": "photographs", "minor": 50, **money}]  # type: ignore[assignment]
    return head, records, sender


def everything(head: HeadDoc, records: list[RecordDoc], sender: dict[str, Any]) -> list[Any]:
    """What every way out of the room gives for that parcel."""
    settings = {"currency": "GBP", "margin_scheme": "item", "vat_rate": "20", "scale": "plain"}
    parcels = [(head, records)]
    result = parcel_result(head, records, settings, senders={"s-quill": sender})
    made = statement("s-quill", sender, parcels, settings, "2026-11-25")
    book = stockbook(parcels, {"s-quill": sender}, settings)
    period = settings | {"margin_scheme": "period"}
    by_period = periods_of(shop_entries(parcels, {"s-quill": sender}, period), Rates(period))
    frozen = freeze(spread(head, landed(head, "GBP"), records))
    rows = [statement_rows(made), [entry.row("GBP") for entry in book]]
    return [result, spread_json(result), made, book, by_period, frozen, rows]


def walk(thing: Any, at: str = "") -> Iterator[tuple[str, Any]]:
    """Every value inside documents and dataclasses, with its path."""
    if dataclasses.is_dataclass(thing):
        thing = {field.name: getattr(thing, field.name) for field in dataclasses.fields(thing)}
    if isinstance(thing, dict):
        for key, value in thing.items():
            yield from walk(value, f"{at}.{key}")
    elif isinstance(thing, list | tuple):
        for number, value in enumerate(thing):
            yield from walk(value, f"{at}[{number}]")
    else:
        yield at, thing


def test_no_float_comes_out(shop: Any) -> None:
    found = list(walk(everything(*shop)))
    assert len(found) > 300
    assert [path for path, value in found if isinstance(value, float)] == []


def minors(thing: Any, path: tuple[Any, ...] = ()) -> Iterator[tuple[Any, ...]]:
    """The path of every ``minor`` in the documents."""
    items = (
        thing.items()
        if isinstance(thing, dict)
        else enumerate(thing)
        if isinstance(thing, list | tuple)
        else ()
    )
    for key, value in items:
        if key == "minor":
            yield (*path, key)
        yield from minors(value, (*path, key))


def test_a_float_is_refused_at_every_door_of_the_documents(shop: Any) -> None:
    doors = list(minors(list(shop)))
    assert len(doors) == 13
    let_in = []
    for path in doors:
        docs = copy.deepcopy(list(shop))
        holder: Any = docs
        for step in path[:-1]:
            holder = holder[step]
        holder["minor"] = float(holder["minor"])
        try:
            everything(docs[0], docs[1], docs[2])
        except BenchError as refusal:
            assert "never float" in str(refusal)  # noqa: PT017
        else:
            let_in.append(path)
    # The reserve is read when a record is sold, not when it is shown.
    assert [path for path in let_in if "reserve" not in path] == []


@pytest.mark.parametrize(
    "door",
    [
        lambda: Money(1.0, "GBP"),  # type: ignore[arg-type]
        lambda: largest_remainder(10.0, [1, 2]),  # type: ignore[arg-type]
        lambda: largest_remainder(10, [1, 2.0]),  # type: ignore[list-item]
        lambda: worked_price("t", [], (0.5, 0.5), Money(100, "GBP"), {}, TODAY),
        lambda: worked_price("t", [], (1, 1), Money(100, "EUR"), {"rates": {"EUR": 0.9}}, TODAY),
    ],
)
def test_a_float_is_refused_at_every_door_of_the_functions(door: Callable[[], Any]) -> None:
    with pytest.raises((TypeError, BenchError), match=r"float|as text"):
        door()


def test_a_frozen_or_given_share_that_is_a_float_is_refused(shop: Any) -> None:
    head, records, _ = shop
    cost = landed(head, "GBP")
    with pytest.raises((TypeError, BenchError)):
        spread(head | {"share_how": "worked"}, cost, records, weights={"r-1": 10.5})  # type: ignore[dict-item]
    with pytest.raises((TypeError, BenchError)):
        spread(head | {"state": "closed", "shares": {"r-1": 10.5, "r-3": 5.5}}, cost, records)  # type: ignore[dict-item]


def test_reading_what_is_typed_never_makes_one() -> None:
    sale = new_sale({"title": "t", "date": "2026-11-01", "price": "0.1", "disc": "VG"}, {}, TODAY)
    assert sale["minor"] == parse_money("0.1", "GBP").minor == 10
    assert [path for path, value in walk(sale) if isinstance(value, float)] == []
