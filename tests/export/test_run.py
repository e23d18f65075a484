"""Every export by its name, from a shop on the disk to a file."""

import argparse
from collections.abc import Iterator
from datetime import date
from pathlib import Path
from types import SimpleNamespace
from typing import Any

import pytest

from benchtui.base.errors import BenchError
from benchtui.export.command import add_options, run_command
from benchtui.export.csvfile import read_csv
from benchtui.export.intake import COLUMNS
from benchtui.export.layout import FOLDER
from benchtui.export.run import Ask, export, file_name, read_day
from benchtui.store.shop import Shop

TODAY = date(2026, 11, 25)
BOUGHT, CONSIGNED = "2026-11-24-1", "2026-11-25-1"


@pytest.fixture
def shop(tmp_path: Path, make: SimpleNamespace) -> Iterator[Shop]:
    """One bought and one consigned parcel of one sender, a record each, and one empty parcel."""
    made = Shop.create(tmp_path / "shop")
    sender = made.add_sender("A. Collector", commission="20")
    for at, terms in ((4, "bought"), (5, "consigned")):
        fields = {"sender": sender, "opened": f"2026-11-2{at}", "delivered": f"2026-11-2{at}", "terms": terms}
        parcel = made.new_parcel(fields, expected=1)
        record = make.record(1, f"A0000{at}", id=parcel.records[0]["id"])
        chore = {"id": "h", "what": "clean", "part": "d1", "note": "", "by": "key", "at": "", "done": None}
        record["chores"] = [chore]
        with parcel.action("taken in") as change:
            change.record(record["id"]).update(record)
        parcel.close()
    made.new_parcel({"opened": "2026-11-26"}, expected=0).close()
    yield made
    made.close()


def rows(shop: Shop, tmp_path: Path, kind: str, **ask: Any) -> list[dict[str, str]]:
    count = export(shop, Ask(kind, TODAY, **ask), tmp_path / "x.csv")
    table = read_csv(tmp_path / "x.csv")
    assert count == len(table.rows)
    return table.dicts()


def test_the_intake_has_its_columns_and_the_description(shop: Shop, tmp_path: Path) -> None:
    found = rows(shop, tmp_path, "intake")
    assert [row["stock_number"] for row in found] == ["A00004", "A00005"]
    names = [column.name for column, _ in COLUMNS]
    assert list(found[0]) == [*names, "text_title", "text_body", "text_state", "text_over"]
    assert found[0]["text_title"].startswith("The Lantern Quire: Moths at Noon")


def test_another_template_makes_another_text(shop: Shop, tmp_path: Path) -> None:
    long, bare = (rows(shop, tmp_path, "intake", template=name)[0]["text_body"] for name in ("long", "bare"))
    assert len(bare) < len(long)
    with pytest.raises(BenchError, match='there is no template "none"'):
        export(shop, Ask("intake", TODAY, template="none"), None)


def test_a_layout_takes_the_descriptions_too(shop: Shop, tmp_path: Path) -> None:
    (shop.path / FOLDER).mkdir(parents=True)
    text = (
        '[layout]\ndescription = "bare"\n[[column]]\nname = "No"\ntake = "stock_number"\n'
        '[[column]]\nname = "Text"\ntake = "text_body"\n'
    )
    (shop.path / FOLDER / "mine.toml").write_text(text, encoding="utf-8")
    found = rows(shop, tmp_path, "intake", layout="mine")
    assert list(found[0]) == ["No", "Text"]
    assert found[0]["Text"] == rows(shop, tmp_path, "intake", template="bare")[0]["text_body"]
    with pytest.raises(BenchError, match="a layout of the export intake; use benchtui export intake"):
        export(shop, Ask("chores", TODAY, layout="mine"), None)
    with pytest.raises(BenchError, match="the export report is not a table"):
        export(shop, Ask("report", TODAY, layout="mine"), None)


def test_what_a_layout_keeps_out_is_told(shop: Shop, tmp_path: Path) -> None:
    """Six of eleven records were in no file for the website, and nothing was said."""
    (shop.path / FOLDER).mkdir(parents=True)
    (shop.path / FOLDER / "shelf.toml").write_text(
        '[layout]\nof = "intake"\nonly = { stock_number = "A00004" }\n'
        '[[column]]\nname = "Number"\ntake = "stock_number"\n'
    )
    told: list[str] = []
    ask = Ask("intake", TODAY, layout="shelf")
    assert export(shop, ask, tmp_path / "x.csv", tell=told.append) == 1
    assert told == ["1 row left out: this layout keeps those of stock_number A00004"]


def test_stock_book_and_statement_stand_as_the_money_room_made_them(shop: Shop, tmp_path: Path) -> None:
    book = rows(shop, tmp_path, "stockbook")
    assert [row["stock_number"] for row in book][-2:] == ["A00004", "A00005"]
    account = rows(shop, tmp_path, "statement")
    assert [(row["sender"], row["stock_number"], row["state"]) for row in account] == [
        ("A. Collector", "A00005", "in the shop")
    ]
    assert rows(shop, tmp_path, "statement", sender="a. collector") == account
    assert rows(shop, tmp_path, "statement", parcel=CONSIGNED) == account
    with pytest.raises(BenchError, match=r"no sender 'Nobody'; one of: A\. Collector"):
        export(shop, Ask("statement", TODAY, sender="Nobody"), None)
    with pytest.raises(BenchError, match="has no sender"):
        export(shop, Ask("statement", TODAY, parcel="2026-11-26-1"), None)


def test_chores_slips_and_the_regrading_sheet(shop: Shop, tmp_path: Path) -> None:
    assert [row["chore_what"] for row in rows(shop, tmp_path, "chores")] == ["clean", "clean"]
    assert len(rows(shop, tmp_path, "slips", parcel=BOUGHT)) == 1
    assert export(shop, Ask("slips", TODAY), tmp_path / "x.html") == 2
    assert (tmp_path / "x.html").read_text(encoding="utf-8").count('class="code"') == 2
    assert len(rows(shop, tmp_path, "regrade", sample=4)) == 4


def test_reports_are_about_one_parcel_or_one_sender(shop: Shop, tmp_path: Path) -> None:
    out = tmp_path / "x.html"
    assert export(shop, Ask("report", TODAY, parcel=BOUGHT), out) == 1
    assert "A00004" in out.read_text(encoding="utf-8")
    export(shop, Ask("report", TODAY, sender="A. Collector"), out)
    page = out.read_text(encoding="utf-8")
    assert "A00005" in page
    assert "A00004" not in page
    export(shop, Ask("report", TODAY, parcel="2026-11-26-1"), out)
    assert "No record yet." in out.read_text(encoding="utf-8")
    neither_or_both: list[dict[str, Any]] = [{}, {"parcel": BOUGHT, "sender": "A. Collector"}]
    for both in neither_or_both:
        with pytest.raises(BenchError, match="one parcel or one sender"):
            export(shop, Ask("report", TODAY, **both), out)


def test_what_is_not_there_is_named(shop: Shop) -> None:
    with pytest.raises(BenchError, match="there is no export 'gossip'"):
        export(shop, Ask("gossip", TODAY), None)
    with pytest.raises(BenchError, match="there is no parcel"):
        export(shop, Ask("intake", TODAY, parcel="2020-01-01-1"), None)


@pytest.mark.parametrize(
    ("text", "day"), [("today", TODAY), ("yesterday", date(2026, 11, 24)), ("2026-01-02", date(2026, 1, 2))]
)
def test_days_by_name_and_by_date(text: str, day: date) -> None:
    assert read_day(text, TODAY) == day


@pytest.mark.parametrize("text", ["", "tomorow", "2026-02-30", "25.11.2026"])
def test_what_is_no_day_is_refused(text: str) -> None:
    with pytest.raises(BenchError, match="today, yesterday or a date"):
        read_day(text, TODAY)


def test_a_file_nobody_named_gets_a_name_every_system_takes() -> None:
    assert file_name(Ask("intake", TODAY)) == "intake-2026-11-25.csv"
    assert file_name(Ask("intake", TODAY, layout="mine", parcel=BOUGHT)) == "mine-2026-11-24-1.csv"
    assert file_name(Ask("report", TODAY, sender="A/B: C")) == "report-A-B--C.html"


def command(shop: Shop, *words: str) -> int:
    parser = argparse.ArgumentParser()
    add_options(parser)
    return run_command(parser.parse_args(words), shop.path, TODAY)


def test_the_command_weighs_and_writes_while_a_bench_has_the_parcel_open(shop: Shop, tmp_path: Path) -> None:
    bench = shop.open_parcel(BOUGHT)
    out = tmp_path / "x.csv"
    assert command(shop, "intake", "--day", "today", "--out", str(out)) == 0
    assert read_csv(out).cells("stock_number") == ("A00004", "A00005")
    bench.close()


def test_the_command_reads_a_regrading_back(
    shop: Shop, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    out = tmp_path / "sheet.csv"
    assert command(shop, "regrade", "--sample", "9", "--out", str(out)) == 0
    out.write_bytes(out.read_bytes().replace(b",\r\n", b",VG\r\n"))
    assert command(shop, "regrade", "--from", str(out)) == 0
    assert capsys.readouterr().out.startswith("American: 6 parts graded twice, weighted kappa 0.00")
