"""The Textual app: brings keys to the desk and draws what it finds there. It decides nothing."""

import asyncio
import gc
import os
import sys
import time
from functools import partial

from textual import events, on
from textual.app import App, ComposeResult
from textual.containers import Horizontal
from textual.driver import Driver

from benchtui.bench.draw.room import Room
from benchtui.bench.draw.whole import draw_whole
from benchtui.bench.paint import paint
from benchtui.bench.pieces import FANCY, PLAIN, Glyphs
from benchtui.bench.terminal import hardened, heed_signals
from benchtui.bench.themes import LINE_STYLES, THEMES, WithoutColour
from benchtui.bench.tidy import Tidy
from benchtui.bench.widgets import Lines, TextLine
from benchtui.desk import queue
from benchtui.desk.background import catch_up, load_on, work_on
from benchtui.desk.core import Desk, OpenLine
from benchtui.desk.foresight import foresee_on
from benchtui.desk.keeping import save_again, saved
from benchtui.desk.lines import LINES, refuses_paste, search_on, type_text
from benchtui.desk.press import press
from benchtui.desk.start import prepare_first_screen
from benchtui.desk.title_picks import warm, warm_on

SAVE_EVERY = 2.0
"""Seconds between two tries to save what the disk did not take."""


def plain_wanted(flag: bool = False) -> bool:
    """A plain ASCII look: by option, by BENCHTUI_PLAIN, or on a terminal that calls itself dumb."""
    return flag or bool(os.environ.get("BENCHTUI_PLAIN")) or os.environ.get("TERM") == "dumb"


BETWEEN_DRAWINGS = 0.1
"""Seconds: progress that nobody asked for is drawn so often, between the keys."""
SOON = 0.005
"""Seconds after which what was put off is done: the terminal has the screen by then."""
SWITCH = 0.0005
"""Seconds after which a thread that waits for its turn gets it, so that a save begins at once."""
_BLOCKS = ("strip", "middle", "message", "label", "legend")


class BenchApp(App[int], inherit_bindings=False):
    """The bench on a screen."""

    CSS_PATH = "bench.tcss"
    ENABLE_COMMAND_PALETTE = False
    TITLE = "benchtui"
    BINDINGS = []

    def __init__(
        self,
        desk: Desk,
        *,
        plain: bool = False,
        error: str = "",
        first: bool = False,
        alone: bool = False,
        ready: bool = False,
    ) -> None:
        """``alone``: the process is this app's own, and its memory may be laid out for it. ``ready``: the
        desk is prepared for its first screen.
        """
        super().__init__()
        self._ready_made = ready
        self._alone = alone
        if self.no_color:
            self._filters.append(WithoutColour())
        self.desk = desk
        self.glyphs: Glyphs = PLAIN if plain_wanted(plain) else FANCY
        self._opening_error = error
        self._first = first
        for theme, _ in THEMES.values():
            self.register_theme(theme)
        # Worn before the stylesheet is read, which would else be read twice.
        self.set_reactive(App.theme, THEMES[self._theme_wanted()][0].name)
        self.stylesheet.set_variables(self.get_css_variables())
        self._theme_worn = ""
        self._at_work = self._searching = self._saving = False
        self._line_drawn: OpenLine | None = None
        self._blocks: tuple[Lines, Lines, Lines, Lines, TextLine, Lines] | tuple[()] = ()
        self._text: TextLine
        self._tidy: Tidy | None = None
        self._typing: Horizontal
        self._laid_out: tuple[Room, bool] | None = None
        self._first_screen = asyncio.Event()

    def compose(self) -> ComposeResult:
        strip, middle, message, label, legend = (Lines(id=name) for name in _BLOCKS)
        text = TextLine(
            press=self.press_key,
            typed=self._typed,
            moved=partial(self.draw, only_line=True),
            pasted=self._pasted,
            empty_backspace=self._empty_backspace,
        )
        self._text = text
        self._blocks = (strip, middle, message, label, text, legend)
        self._typing = Horizontal(label, text, id="typing")
        yield from (strip, middle, message, self._typing, legend)

    def on_load(self) -> None:
        if self._alone:
            heed_signals(self._end)
            sys.setswitchinterval(SWITCH)

    def _end(self, code: int) -> None:
        """Leave at once, whatever is open: it is kept. What could not be saved is tried once more."""
        self.desk.background.later.do()
        save_again(self.desk)
        self.exit(code)

    def _fatal_error(self) -> None:
        """A failure of the program is told in one line, by whoever runs the app; its trace on request."""
        if os.environ.get("BENCHTUI_TRACE"):
            super()._fatal_error()
        else:
            self._close_messages_no_wait()

    def get_driver_class(self) -> type[Driver]:
        return hardened(super().get_driver_class(), self._end, lambda: self.message_queue_size)

    def on_mount(self) -> None:
        self._wear()
        for block in self._blocks:
            block.plain = self.glyphs is PLAIN
        self.screen.can_focus = False
        if not self._ready_made:
            prepare_first_screen(self.desk, self._first, self._opening_error)
        self._show()  # what Textual paints first, though blocks have no size yet, is the whole screen
        self.call_after_refresh(self._open)
        self.run_worker(self._make_ready(), exclusive=True)

    def _open(self) -> None:
        """The first screen; all that can wait for it begins once it is painted."""
        self._save_on()
        self.draw()
        self.call_after_refresh(self._first_screen.set)

    async def _make_ready(self) -> None:
        """Title lists, parcels, what the keys do: a step at a time, so that typing never waits for them."""
        await self._first_screen.wait()
        gc.enable()
        drawn = 0.0
        while load_on(self.desk) or catch_up(self.desk):
            if time.perf_counter() - drawn > BETWEEN_DRAWINGS:
                drawn = time.perf_counter()
                self.draw()
            await asyncio.sleep(0)
        self.draw()
        for _ in warm(self.desk):
            await asyncio.sleep(0)
        if self._alone:
            self._tidy = Tidy(self._at_rest)

    async def _search_on(self) -> None:
        """The search of the open line, a few milliseconds at a time, then what taking its first title will
        want: neither keys nor paints wait for it.
        """
        while self._searches() or foresee_on(self.desk):
            if self._searches():
                await self._search()
            await asyncio.sleep(0)
        self._searching = False

    async def _search(self) -> None:
        shown = self.desk.background.found
        while search_on(self.desk) or warm_on(self.desk) or self.desk.background.search is not None:
            if self.desk.background.found != shown:
                shown = self.desk.background.found
                self.draw()
            await asyncio.sleep(0)
        self.draw()

    def _searches(self) -> bool:
        return self.desk.background.search is not None or self.desk.background.warming is not None

    async def _work(self) -> None:
        """The desk's long work, a step at a time between the keys, so that typing never waits for it."""
        shown = None
        while work_on(self.desk):
            page = self.desk.open.page
            progress = (page, int(100 * page.data["done"])) if page and "done" in page.data else None
            if progress != shown:
                shown = progress
                self.draw()
            await asyncio.sleep(0)
        self._at_work = False
        self._after()

    def _save_on(self) -> None:
        """What is in memory only is tried again and again, also while nobody touches a key."""
        if self.desk.background.unsaved is not None and not self._saving:
            self._saving = True
            self.run_worker(self._save_until_done())

    async def _save_until_done(self) -> None:
        while self.desk.background.unsaved is not None:
            await asyncio.sleep(SAVE_EVERY)
            save_again(self.desk)
        self._saving = False
        self._after()

    # -- keys ------------------------------------------------------------------------------

    async def on_event(self, event: events.Event) -> None:
        """Keys and pastes are taken here, each done with before the next. Textual hands them to whatever has
        the focus when they come; of keys typed ahead, some would miss the line that an earlier one opens.
        """
        if isinstance(event, events.Key) and not event.is_forwarded:
            self.app_focus = True
            self.desk.background.later.do()
            if self._tidy is not None:
                self._tidy.key_pressed()
            if self.desk.open.scope != "line":
                self.press_key(event.key, event.time)
            else:
                self._text.take(event)
        elif isinstance(event, events.Paste) and not event.is_forwarded and self.desk.open.scope == "line":
            if refuses_paste(self.desk, event.text):
                self._after()
            else:
                self._text.paste(event.text)
        else:
            await super().on_event(event)

    def press_key(self, key: str, at: float | None = None) -> bool:
        """A key for the bench, and when it came. False where the text line should have it."""
        taken = press(self.desk, key, at)
        if taken:
            self._after()
        return taken

    def _after(self, later: bool = False) -> None:
        """What follows a key; ``later``: the search that is at work draws the rest once it has something."""
        self._ring()
        if self.desk.open.leaving:
            self.desk.background.later.do()
            self.exit(0)
            return
        self._wear()
        self._save_on()
        self.draw(only_line=later)
        if self.desk.background.job is not None and not self._at_work:
            self._at_work = True
            self.run_worker(self._work())
        if not self._searching and (self._searches() or foresee_on(self.desk)):
            self._searching = True
            self.run_worker(self._search_on())

    def _ring(self) -> None:
        if self.desk.open.bell:
            self.bell()
            self.desk.open.bell = False

    def _typed(self, text: str) -> None:
        """The editor's text changed: kept first, then shown."""
        self.desk.count_key()
        type_text(self.desk, text)
        self._after(later=self.desk.background.search is not None)

    def _pasted(self, text: str) -> bool:
        """Lines that take a paste of several lines as it is take it here."""
        line = self.desk.open.line
        if line is None or line.name != "sender-list" or "\n" not in text.strip():
            return False
        line.text = text
        LINES[line.name].accept(self.desk, line)
        self._after()
        return True

    def _empty_backspace(self) -> bool:
        line = self.desk.open.line
        kind = LINES[line.name] if line else None
        if line is None or kind is None or kind.backspace is None:
            return False
        kind.backspace(self.desk, line)
        self._after()
        return True

    def on_paste(self, event: events.Paste) -> None:
        """A paste while no line is open is not typed as commands."""
        event.stop()
        self.desk.refuse("open a line before you paste")
        self._after()

    # -- the mouse, which nobody needs ---------------------------------------------------------

    @on(Lines.Clicked)
    def clicked(self, event: Lines.Clicked) -> None:
        what, _, name = event.target.partition(":")
        if what == "key":
            self.press_key(name)
        elif what == "record" and self.desk.work.parcel is not None:
            queue.arrive(self.desk, self.desk.work.parcel.record(name))
            self._after()
        elif what == "row" and self.desk.open.page is not None:
            self.desk.open.page.marked = int(name)
            self.press_key(self.desk.references.keymap.first_key("page-enter") or "enter")

    # -- drawing -------------------------------------------------------------------------------

    def on_resize(self) -> None:
        # This runs before Textual's own handler has taken the new size.
        self.call_after_refresh(self.draw)

    def _theme_wanted(self) -> str:
        return "light" if self.desk.settings.get("theme") == "light" else "dark"

    def _wear(self) -> None:
        wanted = self._theme_wanted()
        if wanted == self._theme_worn:
            return
        self._theme_worn = wanted
        theme, styles = THEMES[wanted]
        self.theme = theme.name
        for block in self._blocks:
            block.wear({**styles, **LINE_STYLES[wanted]})

    def draw(self, only_line: bool = False) -> None:
        """Draw everything, or the text line only; what differs is painted. Nothing once the bench is left.

        What a key changed is still on its way to the disk while this is worked out, and is there before any
        of it is shown.
        """
        if self._exit or not self._blocks:
            return
        if only_line:
            self._draw_line(self._text)
        else:
            self._show()
        if not saved(self.desk):
            self._ring()
            self._show()
        paint(self, self._blocks, self._first_screen.is_set())
        if self.desk.background.later:
            asyncio.get_running_loop().call_later(SOON, self.desk.background.later.do)

    def _at_rest(self) -> None:
        """Nobody has pressed a key for a while."""
        if self.desk.work.parcel is not None and not self._exit:
            self.desk.work.parcel.tidy()
            self.desk.watch_trouble()
            if self.desk.background.unsaved is not None:
                self._after()

    def _show(self) -> None:
        """Every block gets its rows as the desk is now."""
        assert self._blocks
        drawn = draw_whole(self.desk, *self.size, self.glyphs)
        self._lay_out(drawn.room)
        strip, middle, message, label, text, legend = self._blocks
        for block, rows in (
            (strip, drawn.strip),
            (middle, drawn.middle),
            (message, drawn.message),
            (label, drawn.label),
            (legend, drawn.legend),
        ):
            block.show(rows)
        self._draw_line(text)

    def _lay_out(self, room: Room) -> None:
        """Give every block its rows where they have changed; the text line draws itself in its own."""
        is_open = self.desk.open.line is not None
        if (room, is_open and room.shared) == self._laid_out:
            return
        self._laid_out = (room, is_open and room.shared)
        assert self._blocks
        strip, _, message, label, _, legend = self._blocks
        strip.styles.height, legend.styles.height, label.styles.width = room.strip, room.legend, room.label
        strip.display = room.strip > 0
        message.display = not (room.shared and is_open)
        self._typing.display = is_open or not room.shared

    def _draw_line(self, text: TextLine) -> None:
        line = self.desk.open.line
        text.is_open = line is not None
        if line is None:
            text.put("")
        elif text.value != line.text or line is not self._line_drawn:
            text.put(line.text, whole=line.replace)  # a new line is marked even where it holds the same text
        self._line_drawn = line
        text.show_text()
