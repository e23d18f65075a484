"""Puts a kept file on the disk: one appended line a change, or the whole file anew."""

import contextlib
import secrets
from dataclasses import dataclass
from pathlib import Path

from benchtui.store.codec import encode, text_of
from benchtui.store.files import Files, write_all, write_new
from benchtui.store.load import Loaded, body_of, look_at, main_text
from benchtui.store.log import HEADER_SIZE, Header
from benchtui.store.migrate import SCHEMA
from benchtui.store.place import Place

# Below this the log is never folded in; above it, when it has half the size of the main file.
SMALL_LOG = 96 * 1024

Texts = dict[str, dict[str, str]]


@dataclass(frozen=True, slots=True)
class Append:
    """Bytes written at the end of a log; ``begun`` where they are its first."""

    handle: int
    size: int
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
        self._log: int | None = None
        self._main_size = 0

    def adopt(self, state: Loaded) -> None:
        """A file that was just read."""
        self.release()
        main = state.seen[0] if state.seen else None
        self._main_size = main.size if main else 0
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
            line = Header(state.generation, state.before, state.base_count).line() + line
        write_all(self._files, self._log, line)
        return Append(self._log, len(line), begun)

    def sync(self, append: "Append") -> None:
        """The bytes on the disk. Touches nothing but the file, so any thread may do it."""
        self._files.sync(append.handle)
        if append.begun:
            self._files.sync_folder(self._place.keep)

    def accepted(self, state: Loaded, append: "Append") -> None:
        """What was synced belongs to the file from now on."""
        state.log_open = state.log_named = True
        state.log_size += append.size
        state.seen = look_at(self._files, self._place)
        self.fold_next = state.log_size > max(SMALL_LOG, self._main_size // 2)

    def fold(self, state: Loaded, texts: Texts) -> None:
        """The whole file anew, the one before it kept."""
        self.release()
        self._fill_texts(state, texts)
        header = Header(secrets.token_hex(4), state.generation, state.count)
        whole = main_text(self._kind, header, body_of(state.tables, texts))
        self.room = len(whole)
        self._files.make_folder(self._place.keep)
        write_new(self._files, self._place.new, whole)
        self._keep_old(state)
        self._files.replace(self._place.new, self._place.main)
        state.generation, state.before = header.generation, header.before
        state.base_count, state.schema, state.rescued = state.count, SCHEMA, False
        state.log_open, state.log_size = False, 0
        self._files.sync_folder(self._place.folder)
        state.seen = look_at(self._files, self._place)
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
        main, _ = look_at(self._files, self._place)
        for path in state.aside:
            self._set_aside(path, "damaged", move=path != self._place.main)
        if main is not None and self._place.main not in state.aside:
            if state.schema < SCHEMA:
                self._set_aside(self._place.main, f"schema-{state.schema}")
            elif state.seen is not None and not main.same_file(state.seen[0]) and not self._is_ours(state):
                self._set_aside(self._place.main, "foreign")
            self._second_name(self._place.main, self._place.previous)
        state.aside = []

    def _is_ours(self, state: Loaded) -> bool:
        """Whether the main file is of the generation that was last written or read here."""
        start = self._files.read(self._place.main, 4 * HEADER_SIZE)
        return f'"generation":{encode(state.generation)}'.encode() in start

    def _set_aside(self, path: Path, why: str, move: bool = False) -> None:
        taken = self._files.names(self._place.keep)
        stem = self._place.side(why).name if path == self._place.main else f"{path.name}.{why}"
        name = next(name for name in (f"{stem}-{n}" for n in range(1, 10_000)) if name not in taken)
        if move:
            self._files.replace(path, self._place.keep / name)
        else:
            self._second_name(path, self._place.keep / name)

    def _second_name(self, path: Path, target: Path) -> None:
        """A hard link, or a copy where links fail, put over ``target`` in one step."""
        beside = target.with_name(target.name + ".new")
        self._files.remove(beside)
        try:
            self._files.link(path, beside)
        except OSError:
            write_new(self._files, beside, self._files.read(path))
        self._files.replace(beside, target)
