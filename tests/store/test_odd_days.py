"""Clocks that run backwards, the hour that comes twice, 29 February, a number given again by the disk."""

from pathlib import Path

import pytest

from benchtui.store import Shop

TIMES = {
    "backwards": ["2026-11-25T10:00:00Z", "2026-11-25T09:00:00Z", "2019-01-01T00:00:00Z"],
    "the hour that comes twice": ["2026-10-25T00:30:00Z", "2026-10-25T01:30:00Z", "2026-10-25T00:31:00Z"],
    "29 February": ["2028-02-28T23:59:59Z", "2028-02-29T00:00:00Z", "2028-03-01T00:00:00Z"],
    "standing still": ["2026-11-25T10:00:00Z"] * 3,
    "before the epoch": ["1969-12-31T23:59:59Z", "1970-01-01T00:00:00Z", "1601-01-01T00:00:00Z"],
}


class Clock:
    """The given times, one for each sitting."""

    def __init__(self) -> None:
        self.now = ""

    def __call__(self) -> str:
        return self.now


@pytest.mark.parametrize("times", TIMES.values(), ids=TIMES)
def test_what_was_done_last_is_undone_first_whatever_the_clock_said(tmp_path, times):
    clock = Clock()
    clock.now = times[0]
    Shop.create(tmp_path / "shop", clock=clock).close()
    for at, clock.now in enumerate(times):
        shop = Shop.open(tmp_path / "shop", clock=clock)
        parcel = shop.new_parcel({}, 1) if at == 0 else shop.open_parcel(shop.parcel_ids()[0])
        with parcel.action(f"note {at}") as change:
            change.head["note"] = str(at)
        assert shop.reserve_stock(parcel.id, f"r-{at}") == f"A{at + 1:05d}"
        shop.close()
    shop = Shop.open(tmp_path / "shop", clock=clock)
    parcel = shop.open_parcel(shop.parcel_ids()[0])
    assert parcel.notice == ""
    assert [entry.at for entry in parcel.history] == times
    assert [parcel.undo() for _ in times] == ["note 2", "note 1", "note 0"]
    assert [parcel.redo() for _ in times] == ["note 0", "note 1", "note 2"]
    shop.close()


def test_a_parcel_opened_on_29_february_is_called_so_and_numbers_go_on(tmp_path):
    shop = Shop.create(tmp_path / "shop", clock=lambda: "2028-02-29T12:00:00Z")
    assert [shop.new_parcel({}).id for _ in range(2)] == ["2028-02-29-1", "2028-02-29-2"]
    assert shop.parcel_ids() == ["2028-02-29-1", "2028-02-29-2"]
    shop.close()


def test_a_clock_that_goes_back_gives_no_parcel_s_id_again(tmp_path):
    clock = Clock()
    clock.now = "2026-11-26T08:00:00Z"
    shop = Shop.create(tmp_path / "shop", clock=clock)
    shop.new_parcel({})
    clock.now = "2026-11-25T08:00:00Z"
    shop.new_parcel({})
    clock.now = "2026-11-26T08:00:00Z"
    assert shop.new_parcel({}).id == "2026-11-26-2"
    shop.close()


def write_in_place(path: Path, text: bytes) -> None:
    """The same file by its number on the disk, and of the same size, as where a freed number is given again."""
    with path.open("r+b") as stream:
        stream.write(text)


def test_an_older_file_of_the_same_size_under_the_same_number_is_not_taken_for_ours(tmp_path):
    shop = Shop.create(tmp_path / "shop")
    parcel, old = shop.new_parcel({}, 1), b""
    for text in ("one", "two"):
        with parcel.action("note") as change:
            change.head["note"] = text
        parcel.close()
        file = shop.path / "parcels" / f"{parcel.id}.json"
        old = file.read_bytes() if text == "one" else old
        parcel = shop.open_parcel(parcel.id)
    write_in_place(file, old.replace(b'"note":"one"', b'"note":"old"'))
    with parcel.action("note") as change:
        change.head["note"] = "new"
    assert parcel.trouble is None
    parcel.close()
    assert [line for line in parcel.news() if f"{parcel.id}.json.foreign-1" in line]
    again = shop.open_parcel(parcel.id)
    assert again.head["note"] == "new"
    assert again.notice == ""
    shop.close()


def test_a_shared_file_rewritten_in_place_by_another_is_read_again(tmp_path):
    mine = Shop.create(tmp_path / "shop")
    sender = mine.add_sender("Una Dovrick")
    other = Shop.open(tmp_path / "shop")
    other.change_sender(sender, name="Ada Dovrick")
    other.close()
    assert mine.senders[sender]["name"] == "Ada Dovrick"
    mine.close()
