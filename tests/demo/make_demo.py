"""Makes demo/shop and the key scripts anew from the facts: python tests/demo/make_demo.py

Run it after a change to the demo's books, to the facts in demo/parcel.toml, or to the two-hands
keymap. What it writes is shipped: shop.json, titles.json, the title list, two parcels, and the
scripts fifteen, resume, left-hand and number-pad.
"""

import csv
import shutil
import sys
import tempfile
import tomllib
from collections.abc import Callable
from datetime import UTC, date, datetime, timedelta
from pathlib import Path
from typing import Any

sys.path.insert(0, str(Path(__file__).parent))

from facts_to_keys import Presser, press_end, press_parts, press_price, press_record, press_rest, press_title
from one_hand import both

from benchtui.bench.run import empty_demo
from benchtui.books.library import Library
from benchtui.desk.core.desk import Desk
from benchtui.desk.own_book.known_titles import known_titles
from benchtui.desk.parcel import parcel as parcel_page
from benchtui.desk.people.sender_terms import read_commission
from benchtui.desk.queue.background import load_on
from benchtui.desk.session.resume import resume
from benchtui.desk.session.start import open_desk
from benchtui.model.money import Money, parse_money
from benchtui.money import life
from benchtui.store import Shop
from benchtui.titles.build import build_piece
from benchtui.titles.command import run

DEMO = Path(__file__).resolve().parents[2] / "demo"
SHIPPED = DEMO / "shop"


class Clock:
    """A clock that goes on seven seconds a look, from the morning the demo plays on."""

    def __init__(self, start: datetime) -> None:
        self.time = start

    def __call__(self) -> datetime:
        self.time += timedelta(seconds=7)
        return self.time


def facts() -> list[dict[str, Any]]:
    with (DEMO / "parcel.toml").open("rb") as file:
        parcels: list[dict[str, Any]] = tomllib.load(file)["parcel"]
    return parcels


def settings() -> dict[str, Any]:
    with (DEMO / "settings.toml").open("rb") as file:
        found = tomllib.load(file)
    wage = parse_money(str(found.pop("hour_wage")), found["currency"])
    found["hour_wage"] = {"minor": wage.minor, "currency": wage.currency}
    found["price_steps"] = [[row.get("below"), row["step"]] for row in found.pop("price_step")]
    found["threshold"] = float(found["threshold"])
    return found


def seed(shop: Shop) -> None:
    """Settings, people and sales seen."""
    shop.change_settings(**settings())
    with (DEMO / "senders.toml").open("rb") as file:
        people = tomllib.load(file)["sender"]
    with shop.shared.change() as table:
        for sender in people:
            table("senders").put(sender["id"], _sender(sender))
    with (DEMO / "sales_seen.csv").open(encoding="utf-8", newline="") as file:
        rows = list(csv.DictReader(file))
    shop.add_sales([_sale(n, row) for n, row in enumerate(rows, 1)])


def _sender(fact: dict[str, Any]) -> dict[str, Any]:
    """The sender as the bench keeps one: terms read as they are typed there."""
    sender = dict(fact)
    if "commission" in fact:
        sender |= read_commission(fact["commission"])
    if "minimum" in fact:
        sender["minimum"] = dict(parse_money(fact["minimum"], "GBP").to_doc())
    return sender


def _sale(n: int, row: dict[str, str]) -> dict[str, Any]:
    price = parse_money(row["price"], row["currency"])
    return {
        "id": f"x-demo-{n:03}",
        "title": row["title_id"],
        "pressing": row["pressing_id"] or None,
        "date": row["date"],
        "minor": price.minor,
        "currency": price.currency,
        "scale": "american",
        "disc": row["disc_grade"],
        "cover": row["cover_grade"],
        "where": row["where"],
    }


def open_at(path: Path, when: datetime, keymap: str | None = None) -> tuple[Shop, Desk]:
    shop = Shop.open(path)
    desk, _ = open_desk(shop, keymap, now=Clock(when))
    while load_on(desk):
        pass
    resume(desk)
    return shop, desk


# -- the consigned parcel of October, sold from since ---------------------------------------------


def consigned(path: Path) -> None:
    """Six records of Captain Sandever's, four sold, one of them come back."""
    fact = facts()[1]
    shop, desk = open_at(path, datetime(2026, 10, 5, 9, 0, tzinfo=UTC))
    p = Presser(desk)
    p.key("n")
    p.field("sande")
    p.field("c")
    p.field(str(fact["expected"]))
    for text in ("", "", "", "", fact["charge"][0]["amount"].removesuffix(" GBP")):
        p.field(text)
    p.key("escape", "escape")
    for record in fact["record"]:
        press_record(p, record)
        p.key("k")
        p.type(record["price"].partition(".")[0])
        p.key("enter")
        p.key("\\")
        if (
            desk.work.record is not None
            and desk.work.record["no"] == record["no"]
            and desk.work.record["state"] != "taken-in"
        ):
            p.key("\\")
    p.key("home", "c", "1")
    assert desk.work.parcel is not None
    by_number = {record["no"]: record["id"] for record in desk.work.parcel.records}
    for record in fact["record"]:
        reserve = parse_money(record["reserve"], "GBP")
        with desk.work.parcel.correct(f"record {record['no']}: reserve {reserve.show()}") as change:
            change.record(by_number[record["no"]])["reserve"] = reserve.to_doc()
        for event in record.get("life", []):
            with desk.work.parcel.correct(f"record {record['no']}: {event['what']}") as change:
                copy = change.record(by_number[record["no"]])
                copy["life"].append(_event(copy, event))
    shop.close()


def _event(record: Any, event: dict[str, Any]) -> Any:
    when = life.When(str(event["on"]), date(2026, 11, 25), currency="GBP")
    price = parse_money(event["price"], "GBP") if event.get("price") else Money(0, "GBP")
    if event["what"] == "sold":
        return life.sell(record, when, price, buyer=event.get("buyer", ""), invoice=event.get("invoice", ""))
    if event["what"] == "returned":
        return life.take_back(record, when, note=event.get("note", ""), refund=price)
    if event["what"] == "shelved":
        return life.shelve(record, when, event["place"])
    if event["what"] == "held":
        return life.hold(record, when, event["who"], str(event["until"]))
    if event["what"] == "paid out":
        return life.pay_out(record, when, price, event["reference"])
    raise AssertionError(event["what"])


# -- the parcel of fifteen ------------------------------------------------------------------------


def press_head(p: Presser, sender: str) -> None:
    p.say("the parcel, a line each")
    p.key("n")
    for text in (
        sender, "b", "15", "480 EUR @ 0.8650 2026-11-16 invented", "38.50 EUR @ 0.8650 2026-11-16 invented",
        "", "89.70", "12", "Ulmary Mail Packet", "UMP 7731 4402 XV", "XV-26-118834", "480 EUR", "600 EUR",
        "2026-11-17", "yesterday", "today", "+14",
        "two cartons, one in the other; discs left in their covers",
    ):  # fmt: skip
        p.field(text)
        p.line()
    p.field("outer carton dented at one corner, nothing behind it")
    p.key("escape")
    p.say("the sender's own list, from its CSV file")
    p.key("l")
    p.field("dovrick-list.csv")
    p.key("escape")


def shot(p: Presser, name: str) -> None:
    p.line(f"shot {name}")


def press_extras(p: Presser, no: int) -> None:
    """Here and there what a plain run would never press."""
    if no == 4:
        p.key("w")
        shot(p, "why")
        p.key("escape", "u", "z")


def fifteen(path: Path) -> str:
    shop, desk = open_at(path, datetime(2026, 11, 25, 10, 0, tzinfo=UTC))
    p = Presser(desk)
    press_head(p, "Una Dovrick")
    for record in facts()[0]["record"]:
        press_record(p, record)
        if record["no"] in (1, 3, 7, 8):
            shot(p, f"record-{record['no']}")
        if record.get("set_apart"):
            if desk.work.record is not None and desk.work.record["set_apart"] is None:
                p.key("t", "u")
            shot(p, "set-apart")
            p.key("down")
            continue
        press_price(p, record)
        press_extras(p, record["no"])
        press_end(p)
    press_unlisted(p)
    press_handing_on(p)
    shop.close()
    return p.script(HEAD_FIFTEEN)


def press_unlisted(p: Presser) -> None:
    p.say("16: one more than expected, on no list: added to the queue, a new title from what is typed")
    p.key("home", "a")
    p.line()
    p.type("Ada Pellimore - Sluice Tales - OWN 1")
    p.key("insert")
    p.line()
    p.key("v", "/")
    p.line()
    p.key("v", "=", "/", "s")
    p.type('[ex "club"]')
    p.key("enter", "k")
    p.type("8")
    p.key("enter", "\\")
    p.say("jump to 9, the suspected copy, and take it out of the queue: it goes back to the sender")
    if p.desk.work.record is None or p.desk.work.record["no"] != 9:
        p.key("j")
        p.field("9")
    p.key("home")
    mark(p, 9)
    p.key("o")
    mark(p, 16)
    p.key("-", "=", "escape")


def mark(p: Presser, no: int) -> None:
    """Arrow keys until that record of the queue is marked on the parcel's page."""
    desk = p.desk
    assert desk.work.parcel is not None
    for _ in range(80):
        row = parcel_page.marked(desk)
        assert row is not None
        here = desk.work.parcel.record(row.id)["no"] if row.kind == "record" else 0
        if here == no:
            return
        p.key("up" if here > no else "down" if no - here < 4 else "pagedown")
    raise AssertionError(f"record {no} cannot be marked")


def press_handing_on(p: Presser) -> None:
    p.say("the day, handed on; the parcel looked at once more and closed")
    p.key("ctrl+e")
    shot(p, "exported")
    p.key("home")
    shot(p, "parcel")
    p.key("c", "1")


def half_done(path: Path) -> None:
    """Six taken in, the seventh half done: disc 1 in the hand, its runout in the middle of a word."""
    shop, desk = open_at(path, datetime(2026, 11, 25, 10, 0, tzinfo=UTC))
    p = Presser(desk)
    p.key("escape", "end")  # from the page of the closed parcel, which was open last
    press_head(p, "dovr")
    records = facts()[0]["record"]
    for record in records[:6]:
        press_record(p, record)
        press_price(p, record)
        press_end(p)
    seventh = records[6]
    press_title(p, seventh)
    press_parts(p, seventh, until="done")
    p.key("d", "r")
    p.type("5 1")
    shop.close()


def resumed(path: Path) -> str:
    """The rest of it, from where it was left."""
    shop, desk = open_at(path, datetime(2026, 11, 25, 11, 0, tzinfo=UTC))
    p = Presser(desk)
    shot(p, "resumed")
    records = facts()[0]["record"]
    seventh = records[6]
    for part in seventh["part"]:
        part["_pressed"] = bool(part.get("done"))
    disc = next(part for part in seventh["part"] if part.get("in_hand"))
    p.type(disc["sides"]["A"].removeprefix("5 1"))
    p.key("enter")
    p.field(disc["sides"]["B"])
    disc["sides"] = {}
    press_parts(p, seventh)
    press_rest(p, seventh)
    press_price(p, seventh)
    shot(p, "seven")
    press_end(p)
    for record in records[7:]:
        press_record(p, record)
        if record.get("set_apart"):
            if desk.work.record is not None and desk.work.record["set_apart"] is None:
                p.key("t", "u")
            p.key("down")
            continue
        press_price(p, record)
        press_end(p)
    p.say("the day, handed on")
    p.key("ctrl+e")
    shop.close()
    return p.script(HEAD_RESUME)


HEAD_FIFTEEN = """shop empty
# A whole parcel by keyboard alone: from an empty shop with the demo's books to the day's CSV.
# Fifteen records were expected; the ninth turns out to be a counterfeit, is set apart and goes
# back, and one came that is on no list. Press it with: benchtui play fifteen --shop NEW-FOLDER

"""
HEAD_RESUME = """shop demo
# Finishes the half-done parcel of the demo shop, from the middle of a word in the seventh record's runout.
# Press it with: benchtui play resume --shop NEW-FOLDER

"""


def in_folder(make: Callable[[Path], Any], folder: Path) -> Any:
    empty_demo(folder)
    return make(folder)


def take_in_titles(shop: Path) -> None:
    """The dealer's list, less what the books know already."""
    opened = Shop.open(shop)
    known = [build_piece(known_titles(opened, Library.open([shop / "books"])))]
    run(shop, str(DEMO / "titles.csv"), doubtful="skip", known=known, say=lambda text: None)
    opened.close()


def main() -> None:
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        shutil.rmtree(SHIPPED / "titles", ignore_errors=True)
        empty_demo(folder / "titles")
        take_in_titles(folder / "titles")
        (SHIPPED / "titles").mkdir()
        for path in (folder / "titles" / "titles").glob("*.csv"):
            shutil.copy(path, SHIPPED / "titles" / path.name)
        (DEMO / "fifteen.keys").write_text(in_folder(fifteen, folder / "fifteen"), encoding="utf-8")
        shop = folder / "shop"
        empty_demo(shop)
        opened = Shop.open(shop)
        seed(opened)
        opened.close()
        consigned(shop)
        half_done(shop)
        ship(shop)
        (DEMO / "resume.keys").write_text(resumed(shop), encoding="utf-8")
        for name, text in one_hand(folder).items():
            (DEMO / f"{name}.keys").write_text(text, encoding="utf-8")
    print("demo/shop and the key scripts are made anew")


def one_hand(folder: Path) -> dict[str, str]:
    """The scripts of one hand, each made in an empty shop of its own."""
    for name in ("left", "pad"):
        empty_demo(folder / name)
    return both(folder / "left", folder / "pad", open_at)


def ship(shop: Path) -> None:
    """What is shipped of the shop: no locks, no caches, nothing hidden."""
    shutil.rmtree(SHIPPED / "parcels", ignore_errors=True)
    (SHIPPED / "parcels").mkdir()
    for path in [shop / "shop.json", shop / "titles.json", *(shop / "parcels").glob("*.json")]:
        shutil.copy(path, SHIPPED / path.relative_to(shop))


if __name__ == "__main__":
    main()
