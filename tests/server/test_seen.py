"""What the desk shows of other benches, and what it asks."""

import time

from test_line import away, note

from benchtui.desk.core.keeping import save_again
from benchtui.desk.session.others import look_at_others
from benchtui.desk.session.start import open_desk
from benchtui.desk.session.versions import offer_meanwhile


def test_who_reads_along_sees_what_the_other_bench_does(shop, parcel, bench) -> None:
    desk, said = open_desk(bench())
    assert "is open on another bench" in said
    look_at_others(desk)
    note(parcel, "typed there")
    end = time.monotonic() + 1
    while not look_at_others(desk) and time.monotonic() < end:
        time.sleep(0.01)
    reading = desk.work.parcel
    assert reading is not None
    assert reading.records[0]["note"] == "typed there"
    assert not look_at_others(desk)


def test_the_bench_says_that_the_line_is_down_and_asks_where_another_took_the_parcel(
    shop, parcel, bench, monkeypatch
) -> None:
    parcel.close()
    desk, _ = open_desk(shop)
    desk.shop.may_keep_pending = True
    back = away(shop, monkeypatch)
    mine = desk.work.parcel
    assert mine is not None
    note(mine, "made here")
    desk.watch_trouble()
    assert "the server cannot be reached: NOT SAVED" in desk.open.message
    assert "Work on: it is kept in memory" in desk.open.message
    theirs = bench().open_parcel(parcel.id)
    note(theirs, "made there")
    theirs.close()
    back()
    assert not save_again(desk)
    assert save_again(desk)
    assert f"another bench changed parcel {mine.id} meanwhile: 1 action" in desk.open.message
    assert "are kept, in a second version. Choose which of the two holds" in desk.open.message
    assert "saved again" not in desk.open.message
    offer_meanwhile(desk)
    assert desk.open.menu is not None
    choices = desk.open.menu.choices
    assert [choice.words for choice in choices[:2]] == [version.words for version in mine.versions]
    choices[1].act()
    chosen = desk.work.parcel
    assert chosen is not None
    assert chosen.records[0]["note"] == "made here"
    assert not chosen.read_only
