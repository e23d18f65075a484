"""Playing a key script through the real app without a terminal, and timing it.

The time of a key is the app's own: from handing the key to the app's driver until no message waits
and nothing is left to paint. Textual's test pilot is not used: it sleeps about 60 ms a key.
"""

import asyncio
import re
import time
from dataclasses import dataclass, field
from pathlib import Path
from statistics import quantiles
from typing import Any

from textual import events

from benchtui.base.errors import BenchError
from benchtui.desk.keyboard.script import Script, Step
from benchtui.desk.queue.background import catch_up, load_on

LONGEST_KEY = 20.0
PATIENCE = 0.25
"""Seconds between two looks whether the app is still there."""
SETTLED = 3
"""So many times all is painted before a picture: a list fills and scrolls in messages of its own."""


@dataclass
class Played:
    """What a play came to. ``key_ms`` a time for each key, in order."""

    key_ms: list[float] = field(default_factory=list)
    seconds: float = 0.0
    shots: list[str] = field(default_factory=list)


async def rest(app: Any) -> float:
    """Wait until the app has done with what it was sent, and has painted it; that moment (perf_counter).

    What it works out ahead after that is waited for too: nobody's next key comes so soon.
    """
    await _painted(app)
    came_to_rest = time.perf_counter()
    started = came_to_rest
    while app.is_running and app.desk.background.is_busy:
        await asyncio.sleep(0)
        if not app.desk.background.is_asked:
            continue
        await _painted(app)
        came_to_rest = time.perf_counter()
        if came_to_rest - started > LONGEST_KEY:
            raise BenchError(f"the screen did not come to rest within {LONGEST_KEY:.0f} s")
    return came_to_rest


async def _painted(app: Any) -> None:
    """The app has handled every message sent to it so far, and its screen has painted what came of them."""
    done = asyncio.get_running_loop().create_future()

    def finish() -> None:
        if not done.done():
            done.set_result(None)

    app.call_later(lambda: app.screen.call_after_refresh(finish))
    waited = 0.0
    while not done.done() and app.is_running:
        await asyncio.wait({done}, timeout=PATIENCE)
        waited += PATIENCE
        if waited > LONGEST_KEY:
            raise BenchError(f"the screen did not come to rest within {LONGEST_KEY:.0f} s")


async def play(app: Any, script: Script, shots: Path | None, size: tuple[int, int]) -> Played:
    """Run the app headless and press every key. Raises BenchError naming the script's line."""
    played = Played()
    async with app.run_test(size=size, notifications=False, tooltips=False):
        # A script's keys must find what they found when it was written.
        while load_on(app.desk) or catch_up(app.desk):
            pass
        await rest(app)
        app.desk.burst.slow = True  # the keys come as fast as they are answered, and are meant
        started = time.perf_counter()
        for step in script.steps:
            if not app.is_running:
                raise BenchError(
                    "the bench was closed before the end of the script", script.path, line=step.line
                )
            try:
                await _step(app, step, played, shots)
            except BenchError as error:
                place = f"{error.where}: " if error.where else ""
                raise BenchError(place + error.what, script.path, error.right, line=step.line) from None
        played.seconds = time.perf_counter() - started
    return played


async def _step(app: Any, step: Step, played: Played, shots: Path | None) -> None:
    if step.kind == "shot":
        if shots is not None:
            for _ in range(SETTLED):
                await _painted(app)
            played.shots.append(str(take_shot(app, shots, step.name)))
        return
    event = events.Key(step.name, step.char)
    event.set_sender(app)
    started = time.perf_counter()
    app.post_message(event)
    ended = await rest(app)
    played.key_ms.append((ended - started) * 1000)


_TEXT = re.compile(r'x="([\d.]+)"( y="[\d.]+") textLength="([\d.]+)"([^>]*)>((?:&#160;)+)([^<]*)<')
_CELL = 12.2  # what Textual's own SVG gives a cell


def take_shot(app: Any, folder: Path, name: str) -> Path:
    """Write the screen as SVG without a web font; leading spaces become a place, since viewers drop them."""
    path = folder / f"{name}.svg"
    svg = app.export_screenshot(title="benchtui")
    svg = re.sub(r"@font-face\s*\{[^}]*\}", "", svg)
    svg = _TEXT.sub(_placed, svg)
    try:
        folder.mkdir(parents=True, exist_ok=True)
        path.write_text(svg, encoding="utf-8")
    except OSError as error:
        raise BenchError(f"cannot write the picture: {error.strerror or error}", path) from None
    return path


def _placed(match: re.Match[str]) -> str:
    spaces = len(match[5]) // len("&#160;")
    x, length = float(match[1]) + spaces * _CELL, float(match[3]) - spaces * _CELL
    return f'x="{x:.1f}"{match[2]} textLength="{length:.1f}"{match[4]}>{match[6]}<'


def report(app: Any, played: Played) -> dict[str, Any]:
    """The one JSON object at the end."""
    desk = app.desk
    records = desk.work.records
    times = sorted(played.key_ms)
    exports = sorted((desk.shop.path / "exports").glob("intake-*.csv"))
    found: dict[str, Any] = {
        "records": len(records),
        "taken_in": sum(record["state"] == "taken-in" for record in records),
        "keys": len(times),
        "keys_each": [desk.tally.keys_by_record.get(record["id"], 0) for record in records],
        "seconds": round(played.seconds, 3),
        "key_ms": {
            "p50": _at(times, 50),
            "p95": _at(times, 95),
            "max": round(times[-1], 2) if times else 0.0,
        },
    }
    if exports:
        found["export"] = str(exports[-1])
    if played.shots:
        found["shots"] = played.shots
    return found


def _at(times: list[float], percent: int) -> float:
    if len(times) < 2:
        return round(times[0], 2) if times else 0.0
    return round(quantiles(times, n=100, method="inclusive")[percent - 1], 2)
