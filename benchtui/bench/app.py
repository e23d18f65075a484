"""The Textual app: brings keys to the desk and shows what it finds there. It decides nothing.

All keys and pastes enter here, at the app's own event, and go to the desk one after another; a key has been
done with, and what it changed is on the disk, before any widget is touched or the next key is taken.
"""

import asyncio
import io
import os
import sys
from functools import cached_property
from pathlib import Path
from typing import Any, ClassVar

from rich.console import Console
from textual import events, on
from textual.app import App
from textual.driver import Driver
from textual.filter import LineFilter
from textual.screen import Screen

from benchtui.bench import screens
from benchtui.bench.between_keys import BetweenKeys
from benchtui.bench.looks import NO_THEME, OWN_THEMES, Styles, WithoutColour, bench_variables
from benchtui.bench.picture import Pictures
from benchtui.bench.pieces import FANCY, PLAIN, clean
from benchtui.bench.screens.base import SCREENS, DeskScreen
from benchtui.bench.screens.picture import PictureScreen
from benchtui.bench.screens.record import RecordScreen
from benchtui.bench.terminal import hardened, heed_signals
from benchtui.bench.tidy import Tidy
from benchtui.bench.widgets.rows import Rows
from benchtui.desk.book.outside import look_at_books
from benchtui.desk.core.desk import Desk, Theme
from benchtui.desk.core.keeping import save_again, saved
from benchtui.desk.core.keys import shown
from benchtui.desk.core.learn import learn
from benchtui.desk.keyboard.perform import write_now
from benchtui.desk.keyboard.typing import Typing
from benchtui.desk.line.lines import pick_row
from benchtui.desk.queue import queue
from benchtui.desk.session.start import prepare_first_screen

SOON = 0.005
"""Seconds after which what was put off is done: the terminal has the screen by then."""
SWITCH = 0.0005
"""Seconds after which a thread that waits for its turn gets it, so that a save begins at once."""


def plain_wanted(flag: bool = False) -> bool:
    """A plain ASCII look: by option, by BENCHTUI_PLAIN, or on a terminal that calls itself dumb."""
    return flag or bool(os.environ.get("BENCHTUI_PLAIN")) or os.environ.get("TERM") == "dumb"


class BenchApp(App[int], inherit_bindings=False):
    """The bench on a screen."""

    CSS_PATH: ClassVar = ["bench.tcss", "screens/record.tcss", "screens/page.tcss"]
    ENABLE_COMMAND_PALETTE = False
    TITLE = "benchtui"
    BINDINGS: ClassVar = []

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
        """``alone``: the process is this app's own, its memory may be laid out for it. ``ready``: the desk
        stands ready already; else it is made so at the start.
        """
        self.styles_now = Styles(NO_THEME)
        super().__init__()
        self.desk, self.plain = desk, plain_wanted(plain)
        self.typing = Typing(desk)
        self.between_keys = BetweenKeys(desk, self.show, self.after_key, self.run_worker)
        self.failure = io.StringIO()
        """What Textual tells of a failure; whoever runs the app passes its last line on."""
        if not os.environ.get("BENCHTUI_TRACE"):
            self.error_console = Console(file=self.failure, width=200)
        self._alone, self._tidy, self._left = alone, Tidy(self._at_rest) if alone else None, False
        self._opening = (first, error) if not ready else None
        for theme in OWN_THEMES.values():
            self.register_theme(theme)
        others = [one for name, one in sorted(self.available_themes.items()) if name not in OWN_THEMES]
        ours = [Theme(one.name, one.dark) for one in OWN_THEMES.values()]
        desk.themes = [*ours, *(Theme(one.name, one.dark, "of Textual") for one in others)]
        self.pictures = Pictures(self, self.plain)
        desk.show_here = self._show_picture
        self._worn = ""
        self._wear()
        self._signs = PLAIN if self.plain else FANCY
        self._record_screen = RecordScreen(desk, self.typing, self._signs, self.show)
        self.set_class(self.plain, "-plain")

    # -- looks ---------------------------------------------------------------------------------

    def get_theme_variable_defaults(self) -> dict[str, str]:
        theme = self.current_theme
        found = bench_variables(theme.to_color_system().generate(), theme.dark)
        return {**found, **theme.variables}

    def get_css_variables(self) -> dict[str, str]:
        variables = super().get_css_variables()
        self.styles_now = Styles(variables)
        return variables

    def get_line_filters(self) -> list[LineFilter]:
        filters = list(super().get_line_filters())
        return [*filters, WithoutColour()] if self.no_color else filters

    def _wear(self) -> None:
        """The theme that the shop's settings name; our own dark one where there is none of that name."""
        wanted = self.desk.theme_shown
        if wanted != self._worn:
            self._worn = wanted
            self.theme = wanted if wanted in self.available_themes else "dark"

    # -- from start to end ----------------------------------------------------------------------

    def get_default_screen(self) -> DeskScreen:
        return self._record_screen

    @cached_property
    def _page_screen(self) -> DeskScreen:
        """That of the pages, learnt and made with the first of them."""
        learn(screens.__name__)
        made = SCREENS[True](self.desk, self.typing, self._signs, self.show)
        self.install_screen(made, "page")  # kept when it is left
        return made

    def get_driver_class(self) -> type[Driver]:
        return hardened(super().get_driver_class(), self._end, lambda: self.message_queue_size)

    def on_load(self) -> None:
        if self._alone:
            heed_signals(self._end)
            sys.setswitchinterval(SWITCH)

    def on_mount(self) -> None:
        if self._opening is not None:
            prepare_first_screen(self.desk, *self._opening)
        self.call_after_refresh(self._begin)

    def _begin(self) -> None:
        self.after_key()
        self.run_worker(self.between_keys.make_ready())  # exclusive would end the search begun above

    def _end(self, code: int) -> None:
        """Leave at once, whatever is open: it is kept. What could not be saved is tried once more."""
        write_now(self.desk)
        self.desk.background.later.do()
        save_again(self.desk)
        self._leave(code)

    def _leave(self, code: int) -> None:
        self._left = True
        self.exit(code)

    def failed(self) -> str:
        """The last line of what Textual told of a failure; "" where there was none."""
        trace = [line.strip() for line in self.failure.getvalue().splitlines() if line.strip()]
        return trace[-1] if trace else ""

    # -- keys ------------------------------------------------------------------------------------

    async def on_event(self, event: events.Event) -> None:
        if isinstance(event, events.Key | events.Paste) and isinstance(self._top(), PictureScreen):
            self._leave_picture(event.key if isinstance(event, events.Key) else "")
        elif isinstance(event, events.Key) and not event.is_forwarded:
            self.app_focus = True
            self.desk.background.later.do()
            if self._tidy is not None:
                self._tidy.key_pressed()
            self.typing.key(event.key, event.character if event.is_printable else None, event.time)
            self.after_key()
        elif isinstance(event, events.Paste) and not event.is_forwarded:
            self.typing.paste(event.text)
            self.after_key()
        else:
            await super().on_event(event)

    def press_key(self, key: str) -> None:
        """A key that the mouse pressed."""
        self.typing.key(key, None)
        self.after_key()

    def after_key(self) -> None:
        """What follows a key: what it changed is saved, then shown; then what it asked for begins."""
        self._ring()
        if self.desk.open.leaving:
            self.desk.background.later.do()
            self._leave(0)
            return
        if not saved(self.desk):
            self._ring()
        self._wear()
        self.show()
        self.between_keys.follow()
        if self.desk.background.writing is not None:
            self.call_after_refresh(self._write)
        if self.desk.background.later:
            asyncio.get_running_loop().call_later(SOON, self.desk.background.later.do)

    def _write(self) -> None:
        """What is said to be written, now that this can be read."""
        if self.desk.background.writing is not None:
            write_now(self.desk)
            self.after_key()

    def _ring(self) -> None:
        if self.desk.open.bell:
            self.bell()
            self.desk.open.bell = False

    def show(self) -> None:
        """Everything as the desk is now, on the screen that it wants."""
        if self._left or not self.is_running or isinstance(self._top(), PictureScreen):
            return
        self.typing.follow()
        wanted: DeskScreen = self._record_screen if self.desk.open.page is None else self._page_screen
        if self.screen is not wanted:
            if wanted is self._record_screen:
                self.pop_screen()
            else:
                self.push_screen(wanted)
        self.desk.open.note_sight(wanted.show())

    # -- a picture over the page ---------------------------------------------------------------

    def _top(self) -> Screen[Any] | None:
        return self.screen_stack[-1] if self.screen_stack else None

    def _show_picture(self, path: Path) -> bool:
        picture = self.pictures.widget(path)
        if picture is not None:
            key = shown(self.desk.references.keymap.first_key("page-leave") or "escape")
            self.push_screen(PictureScreen(picture, f"{clean(path.name)}   {key} back to the list"))
        return picture is not None

    def _leave_picture(self, key: str) -> None:
        """By the keys that leave a page; any other does nothing, since nobody sees what it would change."""
        use = self.desk.references.keymap.use("page", key)
        if use not in ("page-leave", "page-enter", "quit"):
            self.bell()
            return
        self.pop_screen()
        self.show()
        if use == "quit":
            self.press_key(key)

    def _at_rest(self) -> None:
        """Nobody has pressed a key for a while."""
        if not self._left and look_at_books(self.desk):
            self.after_key()
        if self.desk.work.parcel is not None and not self._left:
            self.desk.work.parcel.tidy()
            self.desk.watch_trouble()
            if self.desk.background.unsaved is not None:
                self.after_key()

    # -- the mouse ----------------------------------------------------------------------------------

    @on(Rows.Clicked)
    def clicked(self, event: Rows.Clicked) -> None:
        what, _, name = event.target.partition(":")
        if what == "key":
            self.press_key(name)
        elif what == "record" and self.desk.work.parcel is not None:
            queue.arrive(self.desk, self.desk.work.parcel.record(name))
            self.after_key()
        elif what == "pick" and self.desk.open.line is not None:
            pick_row(self.desk, int(name) + 1)
            self.after_key()
        elif what == "row" and self.desk.open.scope == "page" and self.desk.open.page is not None:
            self.desk.open.page.marked = int(name)
            self.press_key(self.desk.references.keymap.first_key("page-enter") or "enter")
        elif what == "text":
            self.typing.place_at(event.x + int(name or 0))  # a long text has several rows
            self.show()
