"""The TinyDB storage class: a main file that is replaced whole, and a log that takes each change at once.

What `write` or `commit` returned from is on the disk. The main file is written beside, synced, renamed over
the old one and the folder synced; the old one stays as the previous copy. Between two such folds a change
is one appended line and one sync. After any failure the next change folds the whole of memory anew, so a
line that may be torn is never followed by another.
"""

import contextlib
import zlib
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING

from benchtui.base.errors import BenchError
from benchtui.store.codec import Tables, encode
from benchtui.store.files import Files, as_bench_error
from benchtui.store.kept import Kept
from benchtui.store.load import Loaded, body_of, load, look_at, main_text
from benchtui.store.log import Header, Patch, Played, header_of, line_of, patch_of, play_lines
from benchtui.store.place import Place
from benchtui.store.saved_position import SavedPosition
from benchtui.store.shape import check_shared
from benchtui.store.versions import Version, Which, go_past, other_version, versions_of
from benchtui.store.writer import Append, Writer

if TYPE_CHECKING:
    from concurrent.futures import Future


class KeptStorage(Kept):
    """One kept file. ``files`` makes the system calls; ``read_only`` refuses every change."""

    def __init__(self, place: Place, kind: str, files: Files, read_only: bool = False) -> None:
        super().__init__(kind, place.main, read_only)
        self.place = place
        self.files = files
        self._under_way: tuple[Append, Future[None]] | None = None
        self._state = Loaded({})
        self._texts: dict[str, dict[str, str]] = {}
        self._own_log = False
        self._writer = Writer(place, kind, files)

    @property
    def tables(self) -> Tables:
        """The documents by table and id. Never to be changed but through `put` and `drop`."""
        return self._state.tables

    @property
    def whole(self) -> bool:
        """Whether a checksum vouches for the file as it was read."""
        return self._state.whole

    @property
    def notice(self) -> str:
        """What was wrong with the file when it was read."""
        return self._state.notice

    @property
    def saved_position(self) -> SavedPosition:
        """How far the file goes, as it was read or last saved."""
        led = self._state.led
        return SavedPosition(self._state.generation, self._state.count, led[0].name if led else "")

    @property
    def room(self) -> int:
        """Bytes that the disk must have free before what is in memory can be saved."""
        return self._writer.room if self.trouble is not None else 0

    def load(self) -> None:
        """Reads the file. BenchError where it cannot be used."""
        self.settle()
        self._state = load(self.files, self.place, self.kind)
        self._texts = {}
        self.trouble_so_far = None
        self._writer.adopt(self._state)

    @property
    def unfit(self) -> str:
        """Why main file, log and note are not of one piece as they were read, else ""."""
        return self._state.unfit

    def versions(self) -> tuple[Version, ...]:
        """The file as it stands, and what its logs give."""
        return versions_of(self._state, self.other())

    def other(self) -> Loaded | None:
        """The version that the logs give, where they do not fit the main file."""
        with as_bench_error(self.place.main):
            return other_version(self.files, self.place, self.kind, self._state)

    def begin_sitting(self) -> None:
        """The log of another sitting is not gone on with: two machines that both went on with a copy of it
        could not be told apart. The next change begins a log of its own, on a file that was written whole.
        """
        self._own_log = self._state.log_size > 0 and not self._writer.fold_next

    def choose(self, which: Which) -> None:
        """Goes on with that version, and keeps the other aside. BenchError where it cannot be had or kept."""
        other = self.other()
        if which == "log" and other is None:
            raise BenchError(
                "there is no other version of it left", self.place.main, "choose the file as it is"
            )
        mine, left = (other, self._state) if which == "log" and other else (self._state, other)
        mine.seen = self._state.seen
        if left is not None:
            self._keep_aside(left)
            go_past(mine.tables, left.tables)
        if mine is self._state and self.files.look(self.place.log) is not None:
            mine.aside[self.place.log] = "other"
        last = max(mine.count, left.count if left else 0, self._state.noted)
        self._take(mine, last + 1)
        self._save(b"")

    def load_shared(self, known: bool) -> None:
        """The file; where it goes back behind what is known of it, or behind its log, the newer holds."""
        before = self._state if known else None
        self.load()
        if not self.whole:
            check_shared(self.kind, self.tables, self.place.main)
        if before is not None and self._state.count < before.count and not self.read_only:
            self._stay(before)
        elif self.unfit:
            self._take_newer()
        if before is None:
            self.begin_sitting()

    def _take_newer(self) -> None:
        """For a shared file, which nobody opens: the version with more changes. The other is kept aside with
        the next save.
        """
        other = self.other()
        if other is not None and other.count > self._state.count:
            other.notice = f"{self.notice}; what was saved here last holds"
            other.aside[self.place.main] = "other"
            other.seen = self._state.seen
            self._take(other, other.count)
            return
        if other is not None and not self.read_only:
            self._keep_aside(other)
        if self.files.look(self.place.log) is not None:
            self._state.aside[self.place.log] = "other"
        self._writer.fold_next = True

    def _stay(self, known: Loaded) -> None:
        """Goes on with what was known before the file was read; what stands there is kept as foreign."""
        for path in (self.place.main, self.place.log):
            if self.files.look(path) is not None:
                known.aside[path] = "foreign"
        known.seen = self._state.seen
        known.log_open, known.log_size, known.log_good = False, 0, 0
        self._take(known, known.count)

    def _take(self, state: Loaded, count: int) -> None:
        state.unfit, state.count = "", count
        self._state, self._texts = state, {}
        self._writer.adopt(state)
        self._writer.fold_next = True

    def _keep_aside(self, left: Loaded) -> None:
        texts = {
            table: {key: encode(doc) for key, doc in docs.items()} for table, docs in left.tables.items()
        }
        header = Header(left.generation, left.before, left.count)
        try:
            self._writer.keep_aside(main_text(self.kind, header, body_of(left.tables, texts)), "other")
        except OSError as error:
            said = f"the other version cannot be kept: {error.strerror or error}"
            raise BenchError(
                said, self.place.main, "free some space, and check that you may write there"
            ) from error

    def news(self) -> list[str]:
        """What was found in the place of our files and put aside since this was asked last."""
        found, self._writer.set_aside = self._writer.set_aside, []
        return [
            f"{self.place.main.name} was changed from outside; what stood there is kept: .keep/{path.name}"
            for path in found
        ]

    def catch_up(self) -> bool:
        """Plays what another process has appended since; False where the file must be read anew instead."""
        self.settle()
        state, (main, log) = self._state, look_at(self.files, self.place)
        if state.seen is None or main != state.seen[0] or log is None or not state.whole or self._before:
            return False
        start = state.log_size if state.log_open else 0
        same_log = state.seen[1] is not None and state.seen[1].inode == log.inode and log.size >= start
        if not same_log if start else state.count != state.base_count:
            return False
        try:
            read = raw = self.files.read(self.place.log, log.size - start, start)
        except OSError:
            return False
        played = Played(count=state.count)
        if not start:
            header = header_of(raw)
            if header is None or header.generation != state.generation:
                return False
            raw = raw.partition(b"\n")[2]
            state.log_name = header.name
        play_lines(raw, state.tables, played)
        for table, doc_id in played.touched:
            self._texts.get(table, {}).pop(doc_id, None)
        state.count, state.seen, state.log_size = played.count, (main, log), log.size
        state.log_sum = zlib.crc32(read[: len(read) - len(raw) + played.good], state.log_sum)
        state.log_good = start + len(read) - len(raw) + played.good
        state.log_open = state.log_named = not played.torn
        return not played.torn

    def begin(self, tables: Tables) -> None:
        """A file that does not exist yet, with these tables; nothing is written before the first commit."""
        self._state = Loaded(tables)
        self._writer.adopt(self._state)
        self._writer.fold_next = True

    def take_back(self) -> None:
        """What was begun and could not be written: better no file than an empty one."""
        with contextlib.suppress(OSError):
            self.files.remove(self.place.main)

    def stale(self) -> bool:
        """Whether the files on the disk are no longer those that were read or written here."""
        self.settle()
        with as_bench_error(self.place.main):
            return look_at(self.files, self.place) != self._state.seen

    def exists(self) -> bool:
        """Whether there is such a file, or at least its previous copy."""
        with as_bench_error(self.place.main):
            return any(self.files.look(path) is not None for path in (self.place.main, self.place.previous))

    def close(self) -> None:
        """For TinyDB: everything is on the disk already."""
        self.release()

    def _make_ready(self) -> None:
        super()._make_ready()
        if self._own_log:
            self._own_log = False
            self._save(b"")

    def save_again(self) -> None:
        """Tries once more to save what memory is ahead by."""
        if self.trouble is not None:
            self._save(b"")

    def fold(self) -> None:
        """Writes the main file whole where the log holds changes, so that it can be read by itself."""
        if not self.read_only and self.unfolded:
            is_kept = self.trouble is None and self._state.seen is not None
            self._save(b"")
            if is_kept:
                self.trouble_so_far = None  # main file and log together have everything already

    def tidy(self) -> None:
        """Where a save would before long have to write the whole file, do that now, and begin the log for the
        next.
        """
        if not self.read_only and self.trouble is None and self._writer.fold_soon(self._state):
            self._save(b"")
            if self.trouble is None:
                self._save(b"", begin=True)

    @property
    def unfolded(self) -> bool:
        """Whether the log holds changes that the main file does not."""
        self.settle()
        return self._state.count != self._state.base_count or self._writer.fold_next

    def release(self) -> None:
        """Closes the log's handle; it is opened again when needed."""
        self.settle()
        self._writer.release()

    def _commit(self) -> None:
        patches: list[Patch] = []
        for (table, doc_id), old in self._before.items():
            patch = patch_of(table, doc_id, old, self.tables[table].get(doc_id))
            if patch is not None:
                patches.append(patch)
        line = line_of({"n": self._state.count + 1, "c": patches}) if patches else b""
        for table, doc_id in self._before:
            self._texts.get(table, {}).pop(doc_id, None)
        self._before = {}
        if line:
            self._state.count += 1
            self._save(line)

    def settle(self) -> None:
        """Waits for the save under way, and answers its failure as any other's."""
        if self._under_way is None:
            return
        (append, synced), self._under_way = self._under_way, None
        self.background_save.forget(self)
        try:
            synced.result()
            self._writer.accepted(self._state, append)
            self.trouble_so_far = None
            self.after_save()
        except OSError as error:
            self._failed(error)
            self._save(b"", attempts=1)
        except BaseException:
            self._writer.failed(self._state)
            raise

    def _save(self, line: bytes, attempts: int = 2, begin: bool = False) -> None:
        """One appended line; or a fold where that is due, or ``line`` empty. ``begin``: a log, no line.
        Failures end in ``trouble``.

        A first failure is answered by one fold at once: that mends whatever was amiss with this one call.
        """
        self.background_save.settle()
        for _ in range(attempts):
            try:
                self.before_save()
                if (line or begin) and not self._writer.fold_due(self._state):
                    if self._append(line):
                        return
                else:
                    self._writer.fold(self._state, self._texts)
                self.trouble_so_far = None
                self.after_save()
                return
            except (OSError, BenchError) as error:
                self._failed(error)
            except BaseException:
                self._writer.failed(self._state)
                raise

    def _append(self, line: bytes) -> bool:
        """Whether the line is still on its way to the disk; what follows is then done by `settle`."""
        append = self._writer.append(self._state, line)
        sync = partial(self._writer.sync, append)
        if self.background_save.wanted and not self.waits:
            self._under_way = append, self.background_save.run(self, sync)
            return True
        sync()
        self._writer.accepted(self._state, append)
        return False

    def _failed(self, error: OSError | BenchError) -> None:
        self._writer.failed(self._state)
        self.trouble_so_far = _in_words(error, self.place.main)


def _in_words(error: OSError | BenchError, where: Path) -> str:
    if isinstance(error, BenchError):
        return error.one_line()
    return f"not saved ({error.strerror or error}): {where}"
