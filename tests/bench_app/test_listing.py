"""A record's listing as dated states; once sold it waits on the work list to be taken down elsewhere."""

from typing import Any

from bench_hands import TODAY, Hands

from benchtui.desk.core.page_parts import Text
from benchtui.desk.core.pages import view_now
from benchtui.desk.keyboard.perform import run
from benchtui.desk.pages.chores import _by_day, _by_kind
from benchtui.desk.record.work import Work
from benchtui.model.chores import finish, must_come_down
from benchtui.model.listing import change_at, online_at
from benchtui.model.record import TAKE_DOWN, empty_record, work_left


def section(hands: Hands, name: str) -> str:
    view = view_now(hands.desk)
    assert view is not None
    texts = [one for one in view.sections if isinstance(one, Text) and one.name == name]
    return " ".join(text for one in texts for para in one.lines for text, _ in para.words)


def _in_stock(parcel: Hands) -> Hands:
    parcel.ready().do("take-in", "take-in")
    return parcel.do("line-leave", "previous-record", "record-page")


def test_what_a_place_shows_changes_only_where_it_differs() -> None:
    now = {"at": "", "what": "online", "place": "web", "minor": 1200, "currency": "GBP"}
    first = change_at([], now, "web", "2026-11-25")  # type: ignore[arg-type]
    assert first is not None
    assert (first["what"], first["at"]) == ("online", "2026-11-25")
    assert change_at([first], now, "web", "2026-11-26") is None  # type: ignore[arg-type]
    dearer = change_at([first], {**now, "minor": 1400}, "web", "2026-11-26")  # type: ignore[arg-type]
    assert dearer is not None
    assert dearer["what"] == "price"
    down = change_at([first, dearer], None, "web", "2026-11-27")
    assert down is not None
    assert online_at([first, dearer, down]) == {}
    assert change_at([first, dearer, down], None, "web", "2026-11-28") is None


def test_the_place_that_sold_it_takes_it_down_itself_the_others_wait() -> None:
    record = empty_record(1)
    record["listing"] = [{"at": TODAY, "what": "online", "place": place} for place in ("Web", "fair", "list")]
    assert must_come_down(record, f"{TODAY}T10:00:00Z", TODAY, "web") == ["fair", "list"]
    assert must_come_down(record, f"{TODAY}T10:00:00Z", TODAY, "web") == []
    assert work_left(record) == []
    assert list(online_at(record["listing"])) == ["fair", "list"]
    for chore in record["chores"]:
        finish(record, chore["id"], "2026-11-26")
    assert online_at(record["listing"]) == {}


def test_a_sale_says_where_it_must_come_down_and_one_key_does_it(parcel: Hands) -> None:
    _in_stock(parcel)
    parcel.do("record-listed").enter("fair; drafted").do("record-listed").enter("fair; ; 14; yesterday")
    parcel.do("record-listed").enter("web;")
    parcel.do("record-listed").enter("web; online; 11")
    said = section(parcel, "listing")
    assert "online at fair since 2026-11-24, web since 2026-11-25" in said
    assert "drafted for fair, 12.00 GBP" in said
    assert "price changed at web, 11.00 GBP" in said
    parcel.do("record-sell").enter("M. Larch; ; where web")
    assert "take it down at fair: on the work list" in parcel.said
    assert "sold, 12.00 GBP" in section(parcel, "listing")
    parcel.do("record-correct").enter("1; sold another one; void")
    assert parcel.desk.shop.waiting() == []  # it never went: nothing must come down
    parcel.do("record-sell").enter("M. Larch; ; where web")
    (waiting,) = parcel.desk.shop.waiting()
    assert (waiting.what, waiting.note) == (TAKE_DOWN, "fair")
    run(parcel.desk, "chores-page")
    parcel.do("page-done")
    assert parcel.desk.shop.waiting() == []
    assert online_at(parcel.record["listing"]) == {}
    parcel.do("page-leave", "record-page")
    told = section(parcel, "listing")
    with parcel.desk.act("held before it was listed") as change:
        held: Any = {"n": 90, "at": "2026-11-20", "what": "held", "who": "N. Reed", "until": "2026-11-21"}
        change.record(parcel.record["id"])["life"].insert(0, held)
    assert "held" not in section(parcel, "listing"), "before it was listed anywhere"
    assert told.count("sold, 12.00") == 1, "the one that is void never was"
    assert told.index("online at web, 12.00") < told.index("sold, 12.00") < told.index("taken down at fair")
    down = [one.strip() for one in told.split("2026") if "taken down" in one]
    assert down == [f"{TODAY[4:]}  taken down at {where}" for where in ("web", "fair")], "no amount"


def test_a_line_that_says_nothing_of_a_listing_is_refused(parcel: Hands) -> None:
    _in_stock(parcel)
    for text, why in (("; online", "write place"), ("web; gone", "write place"), ("web; down", "not online")):
        parcel.do("record-listed").enter(text)
        assert parcel.refused
        assert why in parcel.said
        parcel.do("line-leave")
    assert "listing" not in parcel.record


def test_the_work_list_stands_by_day_then_by_kind(parcel: Hands) -> None:
    def work(what: str, due: str) -> Work:
        return Work("c", "p", "r", "", what, "", "", "", "", due)

    found = [work("clean", ""), work("take down", "2026-11-30"), work("clean", "2026-11-26")]
    assert [one.due for one in sorted(found, key=_by_day)] == ["2026-11-26", "2026-11-30", ""]
    assert [one.what for one in sorted(found, key=_by_kind)] == ["clean", "clean", "take down"]
    parcel.do("line-leave", "chores-page").do("chores-sort")
    assert parcel.said == "by kind of work"
