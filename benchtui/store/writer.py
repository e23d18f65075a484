"""Puts a kept file on the disk: one appended line a change, or the whole file anew."""

import contextlib
import secrets
import zlib
from pathlib import Path
from typing import NamedTuple

from benchtui.store.codec import encode, text_of
from benchtui.store.files import Files, Stamp, write_all, write_new
from benchtui.store.load import Led, Loaded, after, body_of, look_at, main_text
from benchtui.store.log import HEADER_SIZE, Header, header_of
from benchtui.store.migrate import SCHEMA
from benchtui.store.place import Place

# Below this the log is never folded in; above it, when it has half the size of the main file.
SMALL_LOG = 96 * 1024

Texts = dict[str, dict[str, str]]


class Append(NamedTuple):
    """Bytes written at the end of a log; ``sum`` of all of it then; ``begun`` where they are its first."""

    handle: int
    size: int
    sum: int
    begun: bool


class Writer:
    """The writing half of a storage. Every method may raise OSError; then `failed` must be called."""

    def __init__(self, place: Place, kind: str, files: Files) -> None:
        self.fold_next = False
        self.room = 0
        """Bytes that the last whole writing wanted."""
        self._place = place
        self._kind = kind
        self._files = files
        self.set_aside: list[Path] = []
        """Files that somebody else had put in the place of ours, kept under these names."""
        self._log: int | None = None
        self._main_size = 0
        self._seen: tuple[Stamp | None, Stamp | None] = (None, None)
        self._tried = ""
        self._log_end = 0

    def adopt(self, state: Loaded) -> None:
        """A file that was just read."""
        self.release()
        self._seen = state.seen or (None, None)
        self._main_size = self._seen[0].size if self._seen[0] else 0
        self._tried, self._log_end = "", state.log_size
        unusable_log = state.log_size > 0 and not state.log_open
        self.fold_next = bool(state.schema < SCHEMA or state.rescued or state.aside or unusable_log)

    def fold_due(self, state: Loaded) -> bool:
        """Whether the next save must write the whole file: also when somebody changed it from outside."""
        if self.fold_next or state.seen is None:
            return True
        main, log = look_at(self._files, self._place)
        log_same = log.same_file(state.seen[1]) if log is not None else state.seen[1] is None
        return main is None or not main.same_file(state.seen[0]) or not log_same

    def fold_soon(self, state: Loaded) -> bool:
        """Whether half of what makes a save a fold is there already."""
        return self.fold_next or state.log_size > max(SMALL_LOG, self._main_size // 2) // 2

    def append(self, state: Loaded, line: bytes) -> "Append":
        """One change at the end of the log; on the disk once what this gives was synced and accepted."""
        begun = self._log is None and not state.log_open
        if self._log is None:
            self._log = self._start_log(state) if begun else self._files.extend(self._place.log)
        if begun:
            header = Header(state.generation, state.before, state.base_count, secrets.token_hex(4))
            state.led = after(state.led, Led(header.name, 0, 0))
            state.log_name = header.name
            line = header.line() + line
        self._log_end = (0 if begun else state.log_size) + len(line)
        write_all(self._files, self._log, line)
        return Append(self._log, len(line), zlib.crc32(line, 0 if begun else state.log_sum), begun)

    def sync(self, append: "Append") -> None:
        """The bytes on the disk. Touches nothing but the file, so any thread may do it."""
        self._files.sync(append.handle)
        if append.begun:
            self._files.sync_folder(self._place.keep)

    def accepted(self, state: Loaded, append: "Append") -> None:
        """What was synced belongs to the file from now on."""
        state.log_open = state.log_named = True
        state.log_size, state.log_sum = state.log_size + append.size, append.sum
        state.log_good = state.log_size
        state.seen = self._seen = look_at(self._files, self._place)
        self.fold_next = state.log_size > max(SMALL_LOG, self._main_size // 2)

    def fold(self, state: Loaded, texts: Texts) -> None:
        """The whole file anew, the one before it kept."""
        self.release()
        self._fill_texts(state, texts)
        header = Header(secrets.token_hex(4), state.generation, state.count)
        if state.log_good:
            state.led = after(state.led, Led(state.log_name, state.log_good, state.log_sum))
        whole = main_text(self._kind, header, body_of(state.tables, texts), state.led)
        self.room = len(whole)
        self._files.make_folder(self._place.keep)
        write_new(self._files, self._place.new, whole)
        self._keep_old(state)
        self._tried = header.generation
        self._files.replace(self._place.new, self._place.main)
        state.generation, state.before = header.generation, header.before
        state.base_count, state.schema, state.rescued = state.count, SCHEMA, False
        state.log_open, state.log_size, state.log_good, state.log_sum = False, 0, 0, 0
        self._files.sync_folder(self._place.folder)
        state.seen = self._seen = look_at(self._files, self._place)
        self._main_size = len(whole)
        self.fold_next = False

    def failed(self, state: Loaded) -> None:
        """After any exception: nothing may be appended to what may be torn, so the next save is a fold.

        What went into the log without being accepted is cut off again, as far as that can be done now.
        """
        if self._log is not None:
            with contextlib.suppress(OSError):
                self._files.cut(self._log, state.log_size if state.log_open else 0)
        self.release()
        self.fold_next = True
        state.seen = None
        with contextlib.suppress(OSError):
            self._files.remove(self._place.new)

    def release(self) -> None:
        """Closes the log's handle."""
        if self._log is not None:
            handle, self._log = self._log, None
            with contextlib.suppress(OSError):
                self._files.close(handle)

    def _fill_texts(self, state: Loaded, texts: Texts) -> None:
        for table, docs in state.tables.items():
            mine = texts.setdefault(table, {})
            for doc_id, doc in docs.items():
                if doc_id not in mine:
                    mine[doc_id] = text_of(doc)

    def _start_log(self, state: Loaded) -> int:
        """A new log for this generation; the one before leads from the previous copy to the main file."""
        if state.log_named:
            self._files.replace(self._place.log, self._place.old_log)
            state.log_named = False
        else:
            self._files.remove(self._place.log)
        return self._files.create(self._place.log)

    def _keep_old(self, state: Loaded) -> None:
        """The present main file becomes the previous copy; damaged or foreign files are set aside."""
        main, log = look_at(self._files, self._place)
        if log is not None and self._place.log not in state.aside and not self._is_our_log(state, log):
            self._set_aside(self._place.log, "foreign", move=True)
        for path, why in state.aside.items():
            self._set_aside(path, why, move=path != self._place.main)
        if main is not None and self._place.main not in state.aside:
            if state.schema < SCHEMA:
                self._set_aside(self._place.main, f"schema-{state.schema}")
            elif not self._is_ours(state, main):
                self._set_aside(self._place.main, "foreign")
            self._second_name(self._place.main, self._place.previous)
        state.aside = {}

    def _is_ours(self, state: Loaded, main: Stamp) -> bool:
        """Whether the main file is of the generation that was last written or read here, or tried to be.

        A file's number and size alone do not tell: a disk gives freed numbers again.
        """
        if state.rescued or not state.generation:
            return main.same_file(self._seen[0])
        start = self._files.read(self._place.main, 4 * HEADER_SIZE)
        ours = [one for one in (state.generation, self._tried) if one]
        return any(f'"generation":{encode(one)}'.encode() in start for one in ours)

    def _is_our_log(self, state: Loaded, log: Stamp) -> bool:
        """Whether the log is as we left it, or at most as long as a change that failed has made it."""
        if log.same_file(self._seen[1]):
            return True
        header = header_of(self._files.read(self._place.log, HEADER_SIZE))
        return log.size <= self._log_end and (header is None or header.generation == state.generation)

    def keep_aside(self, whole: bytes, why: str) -> None:
        """A version of the file that is not gone on with, under a name of its own."""
        self._files.make_folder(self._place.keep)
        write_new(self._files, self._place.keep / self._free_name(self._place.main, why), whole)

    def _free_name(self, path: Path, why: str) -> str:
        taken = self._files.names(self._place.keep)
        stem = self._place.side(why).name if path == self._place.main else f"{path.name}.{why}"
        return next(name for name in (f"{stem}-{n}" for n in range(1, 10_000)) if name not in taken)

    def _set_aside(self, path: Path, why: str, move: bool = False) -> None:
        name = self._free_name(path, why)
        if move:
            self._files.replace(path, self._place.keep / name)
        else:
            self._second_name(path, self._place.keep / name)
        if why == "foreign":
            self.set_aside.append(self._place.keep / name)

    def _second_name(self, path: Path, target: Path) -> None:
        """A hard link, or a copy where links fail, put over ``target`` in one step."""
        beside = target.with_name(target.name + ".new")
        self._files.remove(beside)
        try:
            self._files.link(path, beside)
        except OSError:
            write_new(self._files, beside, self._files.read(path))
        self._files.replace(beside, target)
