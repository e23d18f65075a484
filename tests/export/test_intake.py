"""One row a record: what stands in it, and which records never leave."""

from datetime import date
from pathlib import Path
from types import SimpleNamespace
from typing import Any

import pytest
from claimed import ANSWER

from benchtui.books.ladder import MARK
from benchtui.evidence.results import Agreement, Likely
from benchtui.export.csvfile import out_csv, read_csv
from benchtui.export.intake import COLUMNS, intake

HELD = {"n": 1, "what": "held", "at": "2026-11-25", "who": "a regular", "until": "2099-01-01"}
SOLD = {"n": 1, "what": "sold", "at": "2026-11-25", "minor": 2400, "currency": "GBP"}
SHELVED = {"n": 2, "what": "shelved", "at": "2026-11-25", "place": "B 7"}


def row(make: SimpleNamespace, item: Any) -> dict[str, str]:
    table = intake([item], make.words())
    assert len(table.rows) == 1
    return table.dicts()[0]


def test_the_stock_number_comes_first_and_columns_stand_grouped_by_part(make: SimpleNamespace) -> None:
    names = intake([], make.words()).names
    assert names[0] == "stock_number"
    groups = [name.split("_")[0] for name in names]
    assert len(set(groups)) == sum(1 for at, group in enumerate(groups) if at == 0 or groups[at - 1] != group)


def test_every_column_says_what_it_is() -> None:
    assert all(column.about for column, _ in COLUMNS)


def test_a_plain_record_is_told_whole(make: SimpleNamespace) -> None:
    told = row(make, make.item(weighed=make.weighing()))
    expected = {
        "stock_number": "A00001",
        "stock_state": "in the shop",
        "stock_ready": "yes",
        "parcel_id": "2026-11-25-1",
        "parcel_sender": "A. Collector",
        "parcel_terms": "bought",
        "title_artist": "The Lantern Quire",
        "title_name": "Moths at Noon",
        "title_catalogue": "TW 1041",
        "pressing_name": "first mono, gold label",
        "pressing_sure": "sure",
        "pressing_chance": "0.9700",
        "span_copy": "[1967-05..]",
        "span_disc": "[1967-05..1968-02]",
        "span_disc_certain": "[1963..]",
        "grade_scale": "American",
        "disc_grade": "VG+",
        "disc_graded": "arrived",
        "disc_faults": "",
        "disc_runouts": "A: DV 1041 A/1 | B: 2u",
        "cover_grade": "VG",
        "cover_faults": "seam split, 4 cm, bottom",
        "inner_grade": "G",
        "extras_present": "poster",
        "extras_missing": "",
        "agreement_words": "inner: probably from another copy",
        "agreement_assembled": "no",
        "money_price": "24.00",
        "money_currency": "GBP",
        "money_price_how": "hand",
    }
    assert {name: told[name] for name in expected} == expected


@pytest.mark.parametrize(
    "fields",
    [
        {"state": "withdrawn"},
        {"state": "started"},
        {"state": "empty"},
        {"stock": None},
        {"set_apart": {"why": "mould", "note": "", "at": "2026-11-25T12:00:00+00:00"}},
    ],
)
def test_what_is_set_apart_withdrawn_or_not_taken_in_never_leaves(
    make: SimpleNamespace, fields: dict[str, Any]
) -> None:
    assert intake([make.item(make.record(**fields))], make.words()).rows == ()


def test_a_day_is_the_day_on_the_dealers_own_clock(
    make: SimpleNamespace, monkeypatch: pytest.MonkeyPatch
) -> None:
    import time

    if not hasattr(time, "tzset"):
        pytest.skip("this system cannot change its zone for one process")
    monkeypatch.setenv("TZ", "XXX-10")  # ten hours ahead of UTC
    time.tzset()
    try:
        item = make.item(make.record(taken_in_at="2026-11-24T16:00:00+00:00"))
        assert len(intake([item], day=date(2026, 11, 25)).rows) == 1
        assert intake([item], day=date(2026, 11, 24)).rows == ()
    finally:
        monkeypatch.undo()
        time.tzset()


def test_one_parcel_may_be_named_and_rows_stand_by_stock_number(make: SimpleNamespace) -> None:
    items = [make.item(make.record(no, f"A{9 - no:05}")) for no in (1, 2, 3)]
    items.append(make.item(make.record(4, "B00001"), id="2026-11-26-1"))
    assert intake(items, parcel="2026-11-25-1").cells("stock_number") == ("A00006", "A00007", "A00008")
    assert len(intake(items).rows) == 4


def test_a_set_is_as_good_as_its_worst_side(make: SimpleNamespace) -> None:
    record = make.record()
    first = make.part("disc", "d1", make.grade("VG+"), make.grade("NM", "A"), number=1)
    second = make.part("disc", "d2", make.grade("NM", "C"), make.grade("G", "D"), number=2)
    record["parts"] = [first, second]
    told = row(make, make.item(record))
    assert told["disc_grade"] == "G"
    assert told["disc_grades"] == "disc 1: A NM, B VG+; disc 2: C NM, D G"
    assert told["disc_count"] == "2"


def test_the_grade_that_counts_is_the_last_one_given(make: SimpleNamespace) -> None:
    record = make.record()
    record["parts"][0]["grades"].append(make.grade("NM", when="cleaned"))
    told = row(make, make.item(record))
    assert (told["disc_grade"], told["disc_graded"]) == ("NM", "cleaned")


def test_a_cover_alone_and_a_disc_alone_are_legal(make: SimpleNamespace) -> None:
    record = make.record()
    whole = record["parts"]
    told = row(make, make.item(record | {"parts": whole[1:2]}))
    assert (told["disc_count"], told["disc_grade"], told["cover_grade"]) == ("0", "", "VG")
    told = row(make, make.item(record | {"parts": whole[:1]}))
    assert (told["cover_kind"], told["cover_grade"], told["disc_grade"]) == ("none", "", "VG+")


def test_a_box_stands_where_the_cover_would(make: SimpleNamespace) -> None:
    record = make.record()
    record["parts"] = [
        make.part("box", "b1", make.grade("VG+"), name="base"),
        make.part("box", "b2", make.grade("G"), name="lid"),
    ]
    told = row(make, make.item(record))
    assert (told["cover_kind"], told["cover_grade"]) == ("box", "G")
    assert told["cover_grades"] == "box base: VG+; box lid: G"


def test_what_should_have_come_and_did_not_is_told_and_not_counted(make: SimpleNamespace) -> None:
    record = make.record()
    record["parts"][2]["state"] = "missing"
    record["parts"][3]["state"] = "missing"
    record["parts"].append(make.part("extra", "e2", name="booklet", state="unknown"))
    told = row(make, make.item(record))
    assert (told["extras_missing"], told["extras_present"], told["extras_unknown"]) == (
        "inner | poster",
        "",
        "booklet",
    )
    assert told["inner_count"] == "0"


def test_an_inner_that_nobody_looked_at_is_not_counted(make: SimpleNamespace) -> None:
    record = make.record()
    assert row(make, make.item(record))["inner_count"] == "1"
    record["parts"][2]["grades"] = []
    assert row(make, make.item(record))["inner_count"] == "0"


def test_a_part_that_left_for_another_record_is_not_told(make: SimpleNamespace) -> None:
    record = make.record()
    record["parts"][2]["gone"] = {"to": "r-9"}
    assert row(make, make.item(record))["inner_count"] == "0"


def test_a_copy_put_together_is_told_as_that(make: SimpleNamespace) -> None:
    record = make.record(rulings={"i1": "swapped"})
    told = row(make, make.item(record))
    assert (told["inner_ruling"], told["agreement_assembled"]) == ("swapped", "yes")
    moved = make.record()
    moved["parts"][1]["origin"] = {"record": "r-8"}
    assert row(make, make.item(moved))["agreement_assembled"] == "yes"


@pytest.mark.parametrize(
    ("pressing", "settled", "sure"),
    [
        ({"id": "q/1", "how": "leader", "p": 0.97}, True, "sure"),
        ({"id": "q/1", "how": "leader", "p": 0.97}, False, "not sure"),
        ({"id": "q/2", "how": "leader", "p": 0.97}, True, "not sure"),
        ({"id": "q/1", "how": "leader", "p": 0.97}, None, "sure"),
        ({"id": "q/1", "how": "leader", "p": 0.90}, None, "not sure"),
        ({"id": "q/1", "how": "hand", "p": None}, False, "by hand"),
        ({"id": None, "how": "open", "p": None}, True, "not sure"),
    ],
)
def test_a_pressing_is_settled_only_where_it_was_established(
    make: SimpleNamespace, pressing: dict[str, Any], settled: bool | None, sure: str
) -> None:
    weighed = None if settled is None else make.weighing(settled=settled)
    assert row(make, make.item(make.record(pressing=pressing), weighed))["pressing_sure"] == sure


def test_a_pressing_no_book_knows_is_neither_settled_nor_unsettled(make: SimpleNamespace) -> None:
    open_record = make.record(pressing={"id": None, "how": "open", "p": 0.62, "learn": False})
    nothing, one = Likely(None, "none of these", 1.0), Likely("q/1", "first mono", 0.4)
    for pressings, sure in [((nothing,), ""), ((), ""), ((nothing, one), "not sure")]:
        told = row(make, make.item(open_record, make.weighing(pressings=pressings, settled=False)))
        assert (told["pressing_name"], told["pressing_sure"], told["pressing_chance"]) == ("", sure, "")


def test_what_the_evidence_says_of_a_part_names_it_once(make: SimpleNamespace) -> None:
    record = make.record()
    record["parts"][0]["number"] = 1
    record["parts"].append(make.part("disc", "d2", number=2))
    said = {
        "c1": Agreement(0.01, -9.0, "cover: consistent with the disc 1"),
        "d2": Agreement(0.01, -9.0, "disc 2: consistent with the disc 1"),
        "i1": Agreement(0.01, -9.0, "inner: consistent with the disc"),
        "e1": Agreement(0.1, 0.0, "poster: not established, nothing conclusive seen"),
    }
    assert row(make, make.item(record, make.weighing(agreement=said)))["agreement_words"] == (
        "cover: consistent with disc 1 | inner: consistent with the disc"
        " | poster: not established, nothing conclusive seen | disc 2: consistent with disc 1"
    )


@pytest.mark.parametrize(
    ("value", "kept", "shown"),
    [
        (1972, "Latest year: 1972 in year", "Latest year: 1972"),
        (128, "Weight: 128 in g", "Weight: 128 g"),
        (128.5, "Weight: 128.5 g", "Weight: 128.5 g"),
        (41, "Number inked inside the flap: 41", "Number inked inside the flap: 41"),
        (7, "Printed in 7 in a row", "Printed in 7 in a row"),
        (None, "Latest year: 1972 in year", "Latest year: 1972 in year"),
    ],
)
def test_a_figure_kept_in_older_words_reads_well(
    make: SimpleNamespace, value: float | None, kept: str, shown: str
) -> None:
    answer = {"part": "c1", "place": "back", "clue": "u-year", "answer": "y", "value": value, "how": "seen"}
    record = make.record(answers=[answer | {"text": kept, "book": "u@1", "at": ""}])
    assert row(make, make.item(record))["evidence_seen"] == f"cover, back: {shown}"


def test_a_lost_scale_and_a_lost_fault_are_shown_by_their_ids(make: SimpleNamespace) -> None:
    record = make.record()
    record["parts"][0]["grades"] = [make.grade("VG", scale="gone")]
    record["parts"][0]["faults"] = [make.fault("nibbled", "much", "edge")]
    told = row(make, make.item(record))
    assert told["disc_grade"] == "VG"
    assert told["grade_scale"] == "gone, American"
    assert told["disc_faults"] == "nibbled, much, edge"


@pytest.mark.parametrize(
    ("minor", "currency", "price"), [(2400, "JPY", "2400"), (2400, "KWD", "2.400"), (5, "EUR", "0.05")]
)
def test_money_is_a_plain_decimal_of_its_currency(
    make: SimpleNamespace, minor: int, currency: str, price: str
) -> None:
    record = make.record(price={"minor": minor, "currency": currency, "how": "worked"})
    told = row(make, make.item(record))
    assert (told["money_price"], told["money_currency"]) == (price, currency)


def test_a_record_of_which_little_is_known_leaves_empty_cells(make: SimpleNamespace) -> None:
    bare = make.record(title=None, price=None, parts=[], size_in=None, channels="")
    bare["pressing"] = {"id": None, "how": "open", "p": None, "learn": False}
    told = row(make, make.item(bare, sender=""))
    filled = {name for name, cell in told.items() if cell}
    assert filled == {
        "stock_number", "stock_state", "stock_taken_in", "stock_ready", "parcel_id", "parcel_place",
        "parcel_terms", "parcel_delivered", "disc_count", "inner_count", "cover_kind",
        "agreement_assembled",
    }  # fmt: skip


def test_chores_and_life_are_told(make: SimpleNamespace) -> None:
    clean = {
        "id": "h1",
        "what": "clean",
        "part": "d1",
        "note": "",
        "by": "key",
        "at": "",
        "done": "2026-11-25",
    }
    photo = dict(clean, what="photograph", done=None)
    record = make.record(chores=[clean, photo], life=[HELD, SHELVED])
    told = row(make, make.item(record))
    assert (told["chores_open"], told["chores_done"]) == ("photograph", "clean 2026-11-25")
    assert (told["stock_ready"], told["stock_state"], told["stock_shelf"]) == ("no", "held", "B 7")


@pytest.mark.parametrize(
    "fields",
    [{"price": None}, {"life": [HELD]}, {"life": [SOLD]}],
    ids=["no price", "held", "sold"],
)
def test_what_nobody_can_buy_now_is_not_ready(make: SimpleNamespace, fields: dict[str, Any]) -> None:
    assert row(make, make.item(make.record(**fields), make.weighing()))["stock_ready"] == "no"


def test_a_part_probably_of_another_copy_waits_for_a_verdict(make: SimpleNamespace) -> None:
    weighed = make.weighing(elsewhere=frozenset({"i1"}))
    assert row(make, make.item(weighed=weighed))["stock_ready"] == "no"
    assert row(make, make.item(make.record(rulings={"i1": "own"}), weighed))["stock_ready"] == "yes"


def test_the_file_is_read_back_to_the_same_cells(make: SimpleNamespace, tmp_path: Path) -> None:
    record = make.record(note='=HYPERLINK("x")\r\n[/b] "quoted", \u05e9\u05dc\u05d5\u05dd')
    record["parts"][0]["sides"] = {"A": {"typed": "-1n 3gr"}}
    record["title"]["title"] = "'Tis the Bellows"
    table = intake([make.item(record, make.weighing())], make.words())
    out_csv(table, tmp_path / "x.csv")
    back = read_csv(tmp_path / "x.csv", {column.name: column.kind for column in table.columns})
    assert back.rows == table.rows
    assert [column.kind for column in back.columns] == [column.kind for column in table.columns]


@pytest.mark.parametrize("count", [0, 1, 15, 500])
def test_parcels_of_any_size(make: SimpleNamespace, count: int) -> None:
    items = [make.item(make.record(no, f"A{no:05}")) for no in range(1, count + 1)]
    assert len(intake(items, make.words()).rows) == count


def test_a_pressing_is_named_where_the_description_names_one_and_nowhere_else(make: SimpleNamespace) -> None:
    """What leads by little, or follows from a ladder only, is no pressing of the copy yet."""
    for pressing_id, p, named in [("q/1", 0.4, ""), ("q/1", 0.7, "first mono"), (f"q/1{MARK}", 0.7, "")]:
        weighing = make.weighing(pressings=(Likely(pressing_id, "first mono", p),), settled=False)
        record = make.record(pressing={"id": pressing_id, "how": "leader", "p": p, "name": "first mono"})
        told = row(make, make.item(record, weighing))
        assert told["pressing_name"] == named
        assert bool(told["pressing_chance"]) == bool(named)


@pytest.mark.parametrize(
    ("record_says", "how", "told"), [("", "seen", "stereo"), ("", "copied", ""), ("both", "seen", "both")]
)
def test_channels_of_a_copy_whose_pressing_is_open_are_what_its_disc_was_seen_to_say(
    make: SimpleNamespace, record_says: str, how: str, told: str
) -> None:
    answer = ANSWER | {"clue": "word", "text": "Word for the sound: stereo", "how": how}
    record = make.record(answers=[answer], channels=record_says)
    assert row(make, make.item(record))["title_channels"] == told
