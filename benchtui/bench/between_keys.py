"""What goes on between the keys: searches, long work, title lists, saving what the disk did not take.

Each goes a few milliseconds at a time, so that neither a key nor a paint waits for it.
"""

import asyncio
import gc
import time
from collections.abc import Callable
from contextlib import suppress
from itertools import chain

from benchtui.base.errors import BenchError
from benchtui.bench import screens
from benchtui.desk.book.joining import say_open_joins
from benchtui.desk.core.desk import Desk
from benchtui.desk.core.keeping import save_again
from benchtui.desk.core.learn import learning
from benchtui.desk.line.lines import search_on
from benchtui.desk.look.title_picks import warm, warm_on
from benchtui.desk.queue.background import catch_up, load_on, work_on
from benchtui.desk.queue.foresight import foresee_on
from benchtui.desk.session.others import look_at_others
from benchtui.desk.session.versions import offer_meanwhile

SAVE_EVERY = 2.0
"""Seconds between two tries to save what the disk did not take."""
FIRST_KEY = 0.05
"""Seconds after the first screen in which keys pressed meanwhile are answered before anything else begins."""
LOOK_EVERY = 0.5
"""Seconds between two looks at what other machines changed, where the shop is on a server."""
BETWEEN_DRAWINGS = 0.1
"""Seconds: progress that nobody asked for is drawn so often, between the keys."""


class BetweenKeys:
    """The desk's work that waits for no key. ``show`` draws the desk; ``after`` does all that follows a key;
    ``begin`` starts a coroutine beside the app.
    """

    def __init__(
        self, desk: Desk, show: Callable[[], None], after: Callable[[], None], begin: Callable[..., object]
    ) -> None:
        self.desk, self._show, self._after, self._begin = desk, show, after, begin
        self._working = self._searching = self._saving = self._is_ready = False

    def follow(self) -> None:
        """After a key: begin what it asked for."""
        if self.desk.background.unsaved is not None and not self._saving:
            self._saving = True
            self._begin(self._save_until_done())
        wanted = self.desk.background.job or self.desk.background.checking
        if wanted is not None and not self._working:
            self._working = True
            self._begin(self._work())
        if not self._searching and (self._searches() or self._foresees()):
            self._searching = True
            self._begin(self._search_on())

    async def make_ready(self) -> None:
        """After the first screen: title lists, parcels, all that the keys and pages do."""
        await asyncio.sleep(FIRST_KEY)
        gc.enable()
        drawn = 0.0
        while load_on(self.desk) or catch_up(self.desk):
            if time.perf_counter() - drawn > BETWEEN_DRAWINGS:
                drawn = time.perf_counter()
                self._show()
            await asyncio.sleep(0)
        self._show()
        self.follow()  # an open title line is searched anew, now that all lists are there
        for _ in chain(learning(), learning(screens.__name__), warm(self.desk)):
            await asyncio.sleep(0)
        with suppress(BenchError):  # nobody asked for it
            say_open_joins(self.desk)
        self._show()
        self._is_ready = True
        self.follow()
        if self.desk.shop.home.calls_out:
            self._begin(self._see_others())

    async def _see_others(self) -> None:
        """What other machines change is here within a second, books and lists too; what was changed here is
        handed on.
        """
        while True:
            await asyncio.sleep(LOOK_EVERY)
            with suppress(BenchError):  # said where it is asked for; here it is only late
                await asyncio.to_thread(self.desk.shop.home.exchange)
                if look_at_others(self.desk):
                    self._after()

    def _searches(self) -> bool:
        return self.desk.background.search is not None or self.desk.background.warming is not None

    def _foresees(self) -> bool:
        """A step of what the next keys will want, once all is loaded; False where there is none."""
        return self._is_ready and foresee_on(self.desk)

    async def _search_on(self) -> None:
        """The search of the open line, then what taking its first title will want."""
        while self._searches() or self._foresees():
            if self._searches():
                await self._search()
            await asyncio.sleep(0)
        self._searching = False

    async def _search(self) -> None:
        shown = self.desk.background.found
        while search_on(self.desk) or warm_on(self.desk) or self.desk.background.search is not None:
            if self.desk.background.found != shown:
                shown = self.desk.background.found
                self._show()
            await asyncio.sleep(0)
        self._show()

    async def _work(self) -> None:
        """The desk's long work, a step at a time."""
        shown = None
        while work_on(self.desk):
            page = self.desk.open.page
            progress = (page, int(100 * page.data["done"])) if page and "done" in page.data else None
            if progress != shown:
                shown = progress
                self._show()
            await asyncio.sleep(0)
        self._working = False
        self._after()

    async def _save_until_done(self) -> None:
        """What is in memory only is tried again and again, also while nobody touches a key."""
        while self.desk.background.unsaved is not None:
            await asyncio.sleep(SAVE_EVERY)
            save_again(self.desk)
        self._saving = False
        offer_meanwhile(self.desk)
        self._after()
