"""The line to the server drops: nothing is lost, nothing is written twice, and somebody is asked where two worked."""

import contextlib
import os
import signal
import socket
import sys
import time
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
from postgres import ask
from same_parcel import canonical
from silent_line import WAYS, SilentLine

from benchtui.server import ServerHome
from benchtui.server.line import NoLine
from benchtui.store import Parcel, ParcelHeld, Shop, TwoVersions


def note(parcel: Parcel, text: str) -> None:
    with parcel.action(f"note {text}") as change:
        change.record(parcel.records[0]["id"])["note"] = text


def until(done: Callable[[], object], seconds: float = 20.0) -> None:
    """Waits for what another thread or the server brings about."""
    end = time.monotonic() + seconds
    while not done() and time.monotonic() < end:
        time.sleep(0.01)
    assert done(), "it did not come about"


def line_of(shop: Shop):  # type: ignore[no-untyped-def]
    return shop.home.session.line  # type: ignore[attr-defined]


def away(shop: Shop, monkeypatch: pytest.MonkeyPatch) -> Callable[[], None]:
    """The line drops and nobody answers; what is given back brings it back."""
    line = line_of(shop)
    called = line._called

    def nobody() -> None:
        raise NoLine("nobody answers", "here")

    monkeypatch.setattr(line, "_called", nobody)
    monkeypatch.setattr("benchtui.server.line.PAUSE", 0.01)
    with line._turn:  # as if the cable had been pulled
        assert line._session is not None
        line._session.close()
        line._lost("dropped")

    def back() -> None:
        line._called = called
        until(line.bring_back)

    return back


def test_work_goes_on_in_memory_and_saves_itself_when_the_line_is_back(shop, parcel, bench, monkeypatch):
    back = away(shop, monkeypatch)
    note(parcel, "one")
    parcel.place(cursor={"record": "r"})
    note(parcel, "two")
    assert "the server cannot be reached: NOT SAVED" in parcel.trouble
    assert (shop.unsaved().short(), shop.unsaved().gone) == ("2 changes", True)
    assert (shop.settings["letter"], shop.parcel_ids()) == ("A", [parcel.id])
    back()
    shop.save_again()
    assert shop.unsaved() is None
    other = bench().open_parcel(parcel.id, read_only=True)
    assert canonical(other) == canonical(parcel)
    assert [entry.say for entry in other.history] == ["note one", "note two"]


def test_a_shared_change_waits_too_and_is_made_once(shop, parcel, bench, monkeypatch):
    shop.may_keep_pending = True
    back = away(shop, monkeypatch)
    sender = shop.add_sender("Ada Quill")
    number = shop.reserve_stock(parcel.id, parcel.records[0]["id"])
    assert (list(shop.senders), shop.unsaved().shared) == ([sender], 1)
    back()
    shop.save_again()
    note(parcel, "refers to both")
    assert shop.unsaved() is None
    other = bench()
    assert list(other.senders) == [sender]
    assert other.stock_numbers() == {number: (parcel.id, parcel.records[0]["id"])}


@pytest.mark.parametrize("arrived", [True, False])
def test_a_commit_that_nobody_answered_is_looked_up_before_it_is_repeated(
    shop, parcel, bench, monkeypatch, arrived
):
    line, asked = line_of(shop), line_of(shop).ask
    back = []

    def cut(statement, values=()):
        if "fence" in statement:
            monkeypatch.setattr(line, "ask", asked)
            if arrived:
                asked(statement, values)
            back.append(away(shop, monkeypatch))
            raise NoLine("cut", "here")
        return asked(statement, values)

    monkeypatch.setattr(line, "ask", cut)
    note(parcel, "once")
    assert parcel.trouble
    note(parcel, "after")
    back[0]()
    shop.save_again()
    assert parcel.trouble is None
    other = bench().open_parcel(parcel.id, read_only=True)
    assert canonical(other) == canonical(parcel)
    assert [entry.say for entry in other.history] == ["note once", "note after"]
    note(parcel, "goes on")
    assert parcel.trouble is None


def test_a_session_that_the_server_ends_is_begun_anew(shop, parcel, address):
    note(parcel, "before")
    ask(address, "SELECT pg_terminate_backend(pid) FROM pg_stat_activity WHERE application_name = %s",
        f"benchtui {shop.home.session.bench}")  # fmt: skip
    note(parcel, "after")
    until(lambda: line_of(shop).up)
    shop.save_again()
    assert parcel.trouble is None
    with pytest.raises(ParcelHeld):
        shop.open_parcel(parcel.id)


def test_another_bench_that_took_the_parcel_meanwhile_is_waited_for_then_somebody_is_asked(
    shop, parcel, bench, monkeypatch
):
    note(parcel, "both know this")
    back = away(shop, monkeypatch)
    note(parcel, "made without the server")
    other = bench()
    theirs = other.open_parcel(parcel.id)
    note(theirs, "made meanwhile")
    back()
    shop.save_again()
    assert "is open on another bench" in parcel.trouble
    theirs.close()
    shop.save_again()
    assert "changed it meanwhile" in parcel.trouble
    shop.save_again()
    assert parcel.trouble is None
    assert parcel.read_only
    assert parcel.has_two_versions
    assert parcel.records[0]["note"] == "made meanwhile"
    assert [version.which for version in parcel.versions] == ["file", "log"]
    with pytest.raises(TwoVersions):
        other.open_parcel(parcel.id)
    chosen = shop.open_parcel(parcel.id, version="log")
    assert chosen.records[0]["note"] == "made without the server"
    assert not chosen.has_two_versions
    note(chosen, "goes on")
    chosen.close()
    assert other.open_parcel(parcel.id).records[0]["note"] == "goes on"
    kept = ask(shop.home.address, "SELECT body FROM docs WHERE name LIKE '%% kept 1' AND tbl = 'records'")
    assert any("made meanwhile" in body for (body,) in kept)


@contextlib.contextmanager
def hung(shop: Shop) -> Iterator[None]:
    """The server's process for this bench stands still, and keeps the connection."""
    pid = line_of(shop)._session.info.backend_pid
    os.kill(pid, signal.SIGSTOP)
    try:
        yield
    finally:
        os.kill(pid, signal.SIGCONT)


def told(shop: Shop, parcel: Parcel, bench: Callable[..., Shop]) -> list[str]:
    """What the server has of the parcel's history, which is all of it."""

    def all_saved() -> bool:
        shop.save_again()
        return shop.unsaved() is None

    until(all_saved)
    other = bench(read_only=True).open_parcel(parcel.id, read_only=True)
    assert canonical(other) == canonical(parcel)
    return [entry.say for entry in other.history]


def test_the_screen_does_not_wait_for_a_server_that_hangs_and_takes_its_answer_when_it_comes(
    shop, parcel, bench, monkeypatch
):
    monkeypatch.setattr("benchtui.server.line.SAVE_WAITS", 0.05)
    shop.save_in_background()
    sessions = line_of(shop).sessions
    with hung(shop):
        note(parcel, "sent")
        shop.background_save.settle()
        note(parcel, "in memory")
        assert (shop.unsaved().short(), shop.unsaved().gone) == ("2 changes", True)
        assert "NOT SAVED (the server does not answer)" in parcel.trouble
    assert told(shop, parcel, bench) == ["note sent", "note in memory"]
    assert line_of(shop).sessions == sessions


@pytest.mark.parametrize("in_background", [True, False])
def test_a_server_silent_for_too_long_is_a_line_that_dropped(shop, parcel, bench, monkeypatch, in_background):
    for waits in ("SAVE_WAITS", "SCREEN_WAITS", "ANSWERED_WITHIN"):
        monkeypatch.setattr(f"benchtui.server.line.{waits}", 0.15)
    monkeypatch.setattr("benchtui.server.line.PAUSE", 0.01)
    if in_background:
        shop.save_in_background()
    sessions = line_of(shop).sessions
    with hung(shop):
        note(parcel, "sent")
        until(lambda: parcel.trouble and line_of(shop)._session is None)
        note(parcel, "in memory")
        assert shop.unsaved().short() == "2 changes"
    monkeypatch.setattr("benchtui.server.line.ANSWERED_WITHIN", 5.0)
    assert told(shop, parcel, bench) == ["note sent", "note in memory"]
    assert line_of(shop).sessions == sessions + 1


@pytest.fixture
def far(address: str, shop: Shop, tmp_path: Path) -> Iterator[tuple[SilentLine, Shop]]:
    """A bench behind a line over TCP."""
    line = SilentLine(address)
    there = Shop.open(ServerHome(line.address, tmp_path / "far"))
    yield line, there
    there.close()
    line.close()


@pytest.mark.parametrize("way", WAYS)
def test_a_pulled_cable_loses_nothing_and_writes_nothing_twice(far, bench, monkeypatch, way):
    line, there = far
    parcel = there.new_parcel({"opened": "2026-11-25"}, 1)
    note(parcel, "before")
    for waits in ("SAVE_WAITS", "SCREEN_WAITS", "ANSWERED_WITHIN"):
        monkeypatch.setattr(f"benchtui.server.line.{waits}", 0.15)
    monkeypatch.setattr("benchtui.server.line.PAUSE", 0.01)
    line.cut(way)
    note(parcel, "sent")
    assert "NOT SAVED" in parcel.trouble
    note(parcel, "in memory")
    monkeypatch.setattr("benchtui.server.line.ANSWERED_WITHIN", 5.0)
    assert told(there, parcel, bench) == ["note before", "note sent", "note in memory"]
    with pytest.raises(ParcelHeld):
        bench().open_parcel(parcel.id)


@pytest.mark.skipif(sys.platform != "linux", reason="only Linux tells")
def test_this_end_of_the_line_notices_a_pulled_cable_within_ten_seconds(far):
    with socket.socket(fileno=os.dup(line_of(far[1])._session.fileno())) as end:
        assert end.getsockopt(socket.SOL_SOCKET, socket.SO_KEEPALIVE) == 1
        told_of = [end.getsockopt(socket.IPPROTO_TCP, getattr(socket, name))
                   for name in ("TCP_USER_TIMEOUT", "TCP_KEEPIDLE", "TCP_KEEPINTVL", "TCP_KEEPCNT")]  # fmt: skip
    assert told_of == [10_000, 5, 2, 3]
