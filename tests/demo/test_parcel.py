"""The facts of the demo's two parcels agree with its books, scales and faults."""

import csv
from datetime import date
from decimal import Decimal
from pathlib import Path
from typing import Any

from benchtui.books.faults import load_faults
from benchtui.books.library import Library
from benchtui.books.scales import load_scales
from benchtui.books.shape import BookTitle
from benchtui.evidence import read_runout
from benchtui.model.money import parse_money
from benchtui.model.parcel import CHARGE_KINDS
from benchtui.model.record import PART_KINDS
from benchtui.titles.finder import Finder

Table = dict[str, Any]
TRAPS = [
    "plain", "dated by its inner sleeve", "mono disc in a stereo cover", "swapped inner", "promotional copy",
    "plain", "numbered two-disc set, chart missing", "late cover, early disc", "imitation of a rarity",
    "a true rarity", "a cover alone", "a disc alone", "a box set", "numbered limited cover", "a second copy",
]  # fmt: skip


def parts(parcels: list[Table]) -> list[tuple[Table, Table]]:
    return [(record, part) for parcel in parcels for record in parcel["record"] for part in record["part"]]


def money(text: str) -> int:
    return parse_money(text, "GBP").minor


def test_the_first_parcel_has_fifteen_records_each_with_its_trap(parcels: list[Table]) -> None:
    records = parcels[0]["record"]
    assert [record["trap"] for record in records] == TRAPS
    assert parcels[0]["expected"] == 15
    for parcel in parcels:
        assert [record["no"] for record in parcel["record"]] == list(range(1, parcel["expected"] + 1))


def test_six_are_taken_in_and_the_seventh_is_half_done(parcels: list[Table]) -> None:
    records = parcels[0]["record"]
    assert [record["stands"] for record in records] == ["taken-in"] * 6 + ["started"] + ["empty"] * 8
    assert [part.get("in_hand", False) for part in records[6]["part"]].count(True) == 1
    assert any(part.get("done") for part in records[6]["part"])


def test_the_second_parcel_is_consigned_and_mostly_sold_with_one_return(
    parcels: list[Table], senders: Table
) -> None:
    parcel = parcels[1]
    assert parcel["terms"] == senders[parcel["sender"]]["terms"] == "consigned"
    events = [event["what"] for record in parcel["record"] for event in record.get("life", [])]
    assert events.count("sold") == 4
    assert events.count("returned") == 1
    stock = [record["stock"] for record in parcel["record"]]
    assert stock == [f"A{n:05}" for n in range(1, 7)]


def test_nothing_is_sold_before_it_came_or_below_its_reserve(parcels: list[Table]) -> None:
    for record in parcels[1]["record"]:
        days = [date.fromisoformat(parcels[1]["delivered"])]
        for event in record.get("life", []):
            days.append(date.fromisoformat(event["on"]))
            if event["what"] == "sold":
                assert money(event["price"]) >= money(record["reserve"])
        assert days == sorted(days)


def test_titles_pressings_and_senders_of_the_parcels_are_known(
    parcels: list[Table], titles: Table, pressings: Table, senders: Table
) -> None:
    for parcel in parcels:
        assert parcel["sender"] in senders
        for record in parcel["record"]:
            assert record["title"] in titles
            assert record["expect"]["pressing"].startswith(record["title"] + "/")
            assert record["expect"]["pressing"] in pressings
            assert record.get("owner", parcel["sender"]) in senders


def test_a_record_is_called_by_letters_that_find_its_title(parcels: list[Table], library: Library) -> None:
    finder = Finder(library.titles())
    for parcel in parcels:
        for record in parcel["record"]:
            hits = [[], *finder.steps(record["search"])][-1]
            assert hits, record["search"]
            assert hits[0].title.id == record["title"], record["search"]


def test_the_parts_are_those_that_the_title_can_have(parcels: list[Table], titles: Table) -> None:
    for record, part in parts(parcels):
        title = titles[record["title"]]
        assert part["kind"] in PART_KINDS
        if part["kind"] == "disc":
            assert 1 <= part["number"] <= title.get("discs", 1)
        if part["kind"] == "inner":
            assert 1 <= part["number"] <= title.get("inners", 1)
        if part["kind"] == "extra":
            known = {*title.get("extras", []), *(e for p in title["pressing"] for e in p.get("extras", []))}
            assert part["name"] in known
            assert (part["state"] == "present") == ("grade" in part)


def test_what_the_expected_pressing_came_with_is_present_or_told_missing(
    parcels: list[Table], pressings: Table
) -> None:
    for parcel in parcels:
        for record in parcel["record"]:
            if {part["kind"] for part in record["part"]} <= {"cover"}:
                continue  # a cover alone has nothing else to miss
            has = {part["name"]: part["state"] for part in record["part"] if part["kind"] == "extra"}
            came = pressings[record["expect"]["pressing"]].get("extras", [])
            assert set(came) <= set(has), record["title"]
            missing = [name for name, state in has.items() if state == "missing"]
            assert missing == record["expect"].get("missing", []), record["title"]


def test_every_answer_exists_and_belongs_to_its_kind_of_part(
    parcels: list[Table], library: Library, build: Any
) -> None:
    for parcel in parcels:
        for facts in parcel["record"]:
            record = build(facts)
            for part, seen in zip(record["parts"], facts["part"], strict=True):
                asked = {clue.id: clue for clue in library.clues_for(record, part, volunteered=True)}
                for named, answer in seen.get("answers", {}).items():
                    assert named in asked, (facts["title"], named)
                    clue = asked[named]
                    if isinstance(answer, str):
                        assert clue.answer(answer) is not None, (named, answer)
                    elif clue.form == "number":
                        assert any(within(answer, a.low, a.high) for a in clue.answers), (named, answer)
                    else:
                        assert clue.form == "titles"
                        assert all(library.title(one) for one in answer), (named, answer)


def within(number: float, low: float | None, high: float | None) -> bool:
    return low is not None and high is not None and low <= number <= high


def test_the_shorthand_of_each_runout_reads_as_a_known_cut_and_a_stamper_of_the_cipher(
    parcels: list[Table], library: Library
) -> None:
    for record, part in parts(parcels):
        title = library.title(record["title"])
        assert title is not None
        cuts = {cut for pressing in title.pressings for pair, _ in pressing.cuts for cut in pair}
        for side, typed in part.get("sides", {}).items():
            read = read_runout(typed, side, title, library)
            assert side in sides_of(title, part["number"])
            assert read.cut in cuts, (record["title"], typed)
            assert read.full.startswith(title.stems[side])
            assert bool(read.stamper) == (read.number is not None), (record["title"], typed)


def sides_of(title: BookTitle, disc: int) -> str:
    return "".join(title.stems)[2 * disc - 2 : 2 * disc]


def test_grades_and_faults_are_those_of_the_scale_and_the_fault_list(parcels: list[Table]) -> None:
    scale = load_scales()["american"]
    faults = {fault.id: fault for fault in load_faults()}
    for record, part in parts(parcels):
        if part.get("state") != "missing":
            assert part["grade"] in {grade.id for grade in scale.grades}, record["title"]
        for entry in part.get("faults", []):
            fault = faults[entry["fault"]]
            assert part["kind"] in fault.parts, (record["title"], fault.id)
            assert entry["severity"] in {severity.id for severity in fault.severities}
            assert entry["place"]


def test_no_part_is_graded_above_what_its_faults_allow(parcels: list[Table]) -> None:
    scale = load_scales()["american"]
    order = {grade.id: grade.order for grade in scale.grades}
    faults = {fault.id: fault for fault in load_faults()}
    for record, part in parts(parcels):
        for entry in part.get("faults", []):
            severity = next(s for s in faults[entry["fault"]].severities if s.id == entry["severity"])
            ceiling = severity.ceilings["american"].removesuffix("-")
            assert order[part["grade"]] >= order[ceiling], (record["title"], entry["fault"])


def test_a_price_by_hand_stays_below_the_book_s_and_what_is_set_apart_has_none(
    parcels: list[Table], pressings: Table
) -> None:
    for parcel in parcels:
        for record in parcel["record"]:
            if "set_apart" in record:
                assert "price" not in record
                continue
            top = Decimal(pressings[record["expect"]["pressing"]]["price"])
            assert record["price"] == "worked" or 0 < Decimal(record["price"]) <= top


def test_the_head_s_money_and_dates_can_be_read(parcels: list[Table]) -> None:
    for parcel in parcels:
        kinds = [charge["what"] for charge in parcel["charge"]]
        assert set(kinds) <= set(CHARGE_KINDS)
        for charge in parcel["charge"]:
            amount = parse_money(charge["amount"], "GBP")
            assert amount.minor > 0
            assert (amount.currency == "GBP") == ("rate" not in charge)
        keys = ("dispatched", "delivered", "opened", "claim_deadline")
        dates = [parcel[key] for key in keys if parcel[key]]
        assert dates == sorted(dates)
        assert all(date.fromisoformat(each) for each in dates)


def test_the_sender_s_list_is_short_of_one_and_silent_about_some(parcels: list[Table]) -> None:
    lines = parcels[0]["list"]
    ticked = [line["record"] for line in lines if "record" in line]
    assert len(ticked) == len(set(ticked))
    assert len(lines) - len(ticked) == 1  # one that never came
    unlisted = set(range(1, 16)) - set(ticked)
    assert unlisted == {11, 15}
    assert all(line["line"] and line["title"] for line in lines)


def test_the_list_as_a_file_is_the_list_as_facts(parcels: list[Table], demo: Path) -> None:
    with (demo / "shop" / "dovrick-list.csv").open(newline="", encoding="utf-8") as file:
        rows = list(csv.DictReader(file))
    wanted = [[line[key] for key in ("artist", "title", "catalogue", "grade")] for line in parcels[0]["list"]]
    assert [[row[key] for key in ("artist", "title", "number", "grade")] for row in rows] == wanted
