"""TinyDB over a kept storage: text ids, no query cache, and a write that costs what it changes.

Where TinyDB ends: it gives the shape of the files (tables of documents by id), the database and its tables,
and to whoever opens a shop's file from outside with `KeptDB` its verbs that read, `Query` too. The store
itself asks by id alone (`docs`, `put`, `drop`): a record is looked up at every key; a query looks at every
document. TinyDB's verbs that change hand over the whole store each time, so they are refused: the storage has
to hear which documents were touched, so that one of 500 records is one line in the log. What is durable,
shared, kept as history and found over all parcels is ours: `storage`, `log`, `lock`, `index`.
"""

from collections.abc import Callable
from typing import Any

from tinydb import TinyDB
from tinydb.table import Table

from benchtui.store.codec import Doc
from benchtui.store.kept import Kept


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

    def _update_table(self, updater: Callable[[Any], None]) -> None:
        raise TypeError(f"table {self.name!r} is changed by put and drop, within hold")


class KeptDB(TinyDB):
    """A TinyDB whose tables are KeptTables."""

    table_class = KeptTable  # type: ignore[assignment]

    def __init__(self, *given: Any, **named: Any) -> None:
        super().__init__(*given, **named)
        kept = super().storage
        assert isinstance(kept, Kept)
        self._kept = kept

    @property
    def storage(self) -> Kept:
        """What keeps the documents."""
        return self._kept

    def docs(self, name: str) -> dict[str, Doc]:
        """The documents of a table by id, as they are: never to be changed."""
        return self._kept.tables.get(name, {})

    def kept(self, name: str) -> KeptTable:
        """The table of that name."""
        table = self.table(name)
        assert isinstance(table, KeptTable)
        return table
