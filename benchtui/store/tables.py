"""TinyDB over a kept storage: text ids, no query cache, and a write that costs what it changes.

TinyDB's own tables hand the storage the whole store at every change; here the storage hears which
documents were touched, so that one of 500 records is one line in the log.

Where TinyDB ends: it gives the shape of the files (tables of documents by id), the database and its tables,
and to whoever opens a shop's file from outside with `KeptDB` all its own verbs, `Query` too. The store itself
asks by id alone (`docs`, `put`, `drop`): a record is looked up at every key, and a query looks at every
document. What is durable, shared, kept as history and found over all parcels is ours: `storage`, `log`,
`lock`, `index`.
"""

import copy
import secrets
from collections.abc import Callable, Iterator, MutableMapping
from typing import Any

from tinydb import TinyDB
from tinydb.table import Table

from benchtui.store.codec import Doc
from benchtui.store.kept import Kept


class _Touched(MutableMapping[str, Doc]):
    """A table as an updater sees it: documents are copies, and what was taken out of it may have changed."""

    def __init__(self, docs: dict[str, Doc]) -> None:
        self._docs = docs
        self.taken: dict[str, Doc | None] = {}

    def __getitem__(self, key: str) -> Doc:
        if key not in self.taken:
            self.taken[key] = copy.deepcopy(self._docs[key])
        doc = self.taken[key]
        if doc is None:
            raise KeyError(key)
        return doc

    def __setitem__(self, key: str, doc: Doc) -> None:
        self.taken[key] = doc

    def __delitem__(self, key: str) -> None:
        if key not in self:
            raise KeyError(key)
        self.taken[key] = None

    def __contains__(self, key: object) -> bool:
        return self.taken[key] is not None if key in self.taken else key in self._docs

    def __iter__(self) -> Iterator[str]:
        yield from [key for key in self._docs if key in self]
        yield from [key for key in self.taken if key not in self._docs and key in self]

    def __len__(self) -> int:
        return sum(1 for _ in self)


class KeptTable(Table):
    """A TinyDB table whose ids are text."""

    document_id_class = str  # type: ignore[assignment]
    default_query_cache_capacity = 0

    def __init__(self, storage: Kept, name: str, **settings: Any) -> None:
        super().__init__(storage, name, cache_size=0, **settings)
        self._kept = storage

    def put(self, doc_id: str, doc: Doc) -> None:
        """Sets the whole document of that id."""
        with self._kept.hold():
            self._kept.put(self.name, doc_id, doc)

    def drop(self, doc_id: str) -> None:
        """Removes the document of that id, if there is one."""
        with self._kept.hold():
            self._kept.drop(self.name, doc_id)

    def _get_next_id(self) -> Any:
        return secrets.token_hex(4)

    def _read_table(self) -> Any:
        return self._kept.tables.get(self.name, {})

    def _update_table(self, updater: Callable[[Any], None]) -> None:
        view = _Touched(self._read_table())
        updater(view)
        with self._kept.hold():
            for doc_id, doc in view.taken.items():
                if doc is None:
                    self._kept.drop(self.name, doc_id)
                else:
                    self._kept.put(self.name, doc_id, doc)
        self.clear_cache()


class KeptDB(TinyDB):
    """A TinyDB whose tables are KeptTables."""

    table_class = KeptTable  # type: ignore[assignment]

    @property
    def storage(self) -> Kept:
        """What keeps the documents."""
        kept = super().storage
        assert isinstance(kept, Kept)
        return kept

    def docs(self, name: str) -> dict[str, Doc]:
        """The documents of a table by id, as they are: never to be changed."""
        return self.storage.tables.get(name, {})

    def kept(self, name: str) -> KeptTable:
        """The table of that name."""
        table = self.table(name)
        assert isinstance(table, KeptTable)
        return table
