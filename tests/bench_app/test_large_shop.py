"""A shop of many parcels whose index is lost: the bench is at work at once, and reads them between its keys."""

from pathlib import Path

import pytest
from bench_hands import Hands, Sit
from seen import page_rows, queue_rows

from benchtui.base.errors import BenchError
from benchtui.bench.pieces import FANCY
from benchtui.desk.queue.background import catch_up
from benchtui.evidence import counts_of
from benchtui.store import Shop
from benchtui.store.watch import Watch

PARCELS = 40


@pytest.fixture
def large(demo_path: Path, sit: Sit) -> Hands:
    """At the demo's half-done parcel, forty others behind it."""
    shop = Shop.open(demo_path)
    last = shop.last_parcel()
    for _ in range(PARCELS):
        parcel = shop.new_parcel({"opened": "2026-11-24"}, 1)
        parcel.close()
    shop.open_parcel(str(last)).close()
    shop.close()
    for name in ("index.lines", "counts.json"):
        (demo_path / ".keep" / name).unlink(missing_ok=True)
    hands = sit(demo_path)
    hands.desk.shop.read_in_steps()
    hands.desk.weighings.forget_counts()
    return hands


def _strip(hands: Hands) -> str:
    return "".join(text for text, _ in queue_rows(hands.desk, 120, FANCY)[0])


def _listed(hands: Hands) -> list[str]:
    lines = page_rows(hands.desk, 120, 200, FANCY)
    return ["".join(text for text, _ in line) for line in lines[3:]]


def test_keys_work_and_every_parcel_is_listed_before_they_are_read(large: Hands) -> None:
    large.do("line-leave")
    assert large.desk.shop.still_reading
    large.do("parcels-page")
    rows = _listed(large)
    assert len(rows) == len(large.desk.shop.parcel_ids()) > PARCELS
    assert any("not read yet" in row for row in rows)
    large.do("page-enter")
    assert large.desk.work.parcel is not None


def test_the_strip_says_how_far_it_is_and_then_no_more(large: Hands) -> None:
    said = []
    while catch_up(large.desk):
        said.append(_strip(large))
    assert said
    assert all("loading parcels" in one for one in said)
    assert "loading" not in _strip(large)
    assert not any("not read yet" in row for row in _listed(large))


def test_what_was_learnt_counts_once_all_parcels_are_read(large: Hands, demo_path: Path) -> None:
    learnt = Shop.open(demo_path, read_only=True).counts(counts_of)
    assert learnt
    assert large.desk.weighings.counts() == {}
    while catch_up(large.desk):
        pass
    assert large.desk.weighings.counts() == learnt


def test_the_day_is_handed_on_whole_though_the_parcels_are_not_read_yet(large: Hands) -> None:
    large.do("line-leave", "export-day")
    written = list((large.desk.shop.path / "exports").glob("intake-*.csv"))
    assert large.desk.shop.still_reading
    assert len(written) == 1
    assert len(written[0].read_text("utf-8").splitlines()) == 1 + sum(
        record["state"] == "taken-in" for record in large.desk.work.records
    )


def test_a_search_that_finds_nothing_yet_says_so(large: Hands) -> None:
    large.do("line-leave", "search").enter("no such thing")
    assert (
        large.desk.open.message
        == "nothing in the shop matches 'no such thing' so far: wait until all parcels are read"
    )
    while catch_up(large.desk):
        pass
    large.do("line-accept")
    assert large.desk.open.message == "nothing in the shop matches 'no such thing'"


def test_parcels_that_cannot_be_looked_through_are_said_and_the_bench_goes_on(
    large: Hands, monkeypatch: pytest.MonkeyPatch
) -> None:
    def refuse(*_: object) -> None:
        raise BenchError("the folder cannot be read")

    with monkeypatch.context() as patch:
        patch.setattr(Watch, "look", refuse)
        while catch_up(large.desk):
            pass
        assert large.desk.open.message == "the folder cannot be read"
    assert not large.desk.shop.still_reading
    assert not any("not read yet" in row for row in _listed(large)), (
        "looked through at once when it is wanted"
    )
