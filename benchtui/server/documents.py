"""A parcel, or what the benches share, on the server: one row a document; one save one transaction, one round
trip.

Memory may be ahead of the server; then a save holds all that is ahead. A save that nobody answered is looked
up before anything of it is sent again.
"""

import uuid
from collections.abc import Callable
from functools import partial
from typing import TYPE_CHECKING, Any

from benchtui.base.errors import BenchError
from benchtui.server.found import found_and_held
from benchtui.server.line import SILENT, NoLine
from benchtui.server.session import Session
from benchtui.store.codec import Doc, Tables, decode, encode, same
from benchtui.store.kept import Kept
from benchtui.store.migrate import SCHEMA, migrate
from benchtui.store.shape import check_parcel
from benchtui.store.versions import Version, Which, go_past, in_words

if TYPE_CHECKING:
    from concurrent.futures import Future

Key = tuple[str, str]
Texts = dict[Key, str | None]
"""Table and id -> the document's text, None where it is gone."""
_SAVE = """
WITH fence AS (
  UPDATE kept SET revision = revision + 1, documents = %(documents)s,
    shown = CASE WHEN %(show)s THEN revision + 1 ELSE shown END,
    dropped = CASE WHEN cardinality(%(gone_ids)b::text[]) > 0 THEN revision + 1 ELSE dropped END
  WHERE name = %(name)s AND revision = %(revision)s AND token = %(token)s RETURNING revision),
gone AS (
  DELETE FROM docs USING unnest(%(gone_tables)b::text[], %(gone_ids)b::text[]) AS g (tbl, id), fence
  WHERE docs.name = %(name)s AND docs.tbl = g.tbl AND docs.id = g.id),
put AS (
  INSERT INTO docs (name, tbl, id, body, found, held, action, revision)
  SELECT %(name)s, p.tbl, p.id, p.body, p.found, p.held, p.action, fence.revision
  FROM unnest(%(tables)b::text[], %(ids)b::text[], %(bodies)b::text[], %(found)b::text[], %(held)b::text[],
    %(actions)b::uuid[]) WITH ORDINALITY AS p (tbl, id, body, found, held, action, at), fence ORDER BY p.at
  ON CONFLICT (name, tbl, id) DO UPDATE SET body = excluded.body, found = excluded.found,
    held = excluded.held, action = excluded.action, revision = excluded.revision),
mark AS (UPDATE benches SET done = %(number)s FROM fence WHERE bench = %(bench)s)
SELECT revision, CASE WHEN %(tell)s THEN pg_notify(%(channel)s, %(call)s || revision) END FROM fence
"""  # lists go as they are (``b``): as text each quotation mark of the JSON costs an escape
_BEGIN = _SAVE.replace(
    _SAVE[_SAVE.index("  UPDATE kept") : _SAVE.index(" RETURNING")],
    "  INSERT INTO kept (name, kind, documents, revision, shown, token)"
    " VALUES (%(name)s, %(kind)s, %(documents)s, 1, 1, %(token)s) ON CONFLICT DO NOTHING",
)
_READ = """
SELECT kept.revision, kept.documents, docs.tbl, docs.id, docs.body FROM kept LEFT JOIN docs USING (name)
WHERE kept.name = %s ORDER BY docs.place"""
_NEWER = """
SELECT kept.revision, kept.dropped, docs.tbl, docs.id, docs.body
FROM kept LEFT JOIN docs ON docs.name = kept.name AND docs.revision > %s
WHERE kept.name = %s ORDER BY docs.place"""


class Overtaken(BenchError):  # noqa: N818  (named for what happened)
    """Another bench has saved something here since; nothing of ours was saved."""


class ServerDocuments(Kept):
    """``name``: a parcel's id, or ``shop`` or ``titles``."""

    def __init__(self, session: Session, kind: str, name: str, read_only: bool) -> None:
        where = session.line.where
        super().__init__(kind, f"{where} (parcel {name})" if kind == "parcel" else where, read_only)
        self._session = session
        self._name = name
        self._tables: Tables = {}
        self._revision = 0
        self._new = False
        self._ahead: Texts = {}
        self._actions: dict[str, uuid.UUID] = {}
        self._doubt: tuple[int, Texts] | None = None
        self._under_way: tuple[Texts, Future[None]] | None = None
        self._notice = self._unfit = ""
        self._saved: dict[Key, Doc | None] = {}
        self._must_load = self._overtaken = False

    @property
    def tables(self) -> Tables:
        """The documents by table and id."""
        return self._tables

    @property
    def notice(self) -> str:
        """What there is to say of it."""
        return self._notice

    @property
    def unfit(self) -> str:
        """Why somebody must choose between two versions of it."""
        return self._unfit

    # -- reading ---------------------------------------------------------------------------------------

    def exists(self) -> bool:
        """Whether the server has it, as far as was heard."""
        self._session.hear()
        return self._name in self._session.shown

    def load(self) -> None:
        """All of it, as it stands at one moment."""
        self.settle()
        rows = self._session.line.ask(_READ, (self._name,))
        if not rows:
            raise BenchError("it is not there", self.where, "one of this shop's parcels")
        tables = brought_forward(self.kind, rows[0][1], tables_of(rows, 2, str(self.where)), str(self.where))
        self._adopt(tables, rows[0][0])
        if rows[0][1] < SCHEMA:  # the next save writes all of it
            for table, docs in tables.items():
                for key, doc in docs.items():
                    self._set_ahead(table, key, encode(doc, str(self.where)))
            self._actions = {}
        if self.kind == "parcel":
            check_parcel(self._tables, self._name, self.where, whole=True)
            self._look_for_other()

    def _adopt(self, tables: Tables, revision: int) -> None:
        self._tables, self._revision = tables, revision
        self._new, self._doubt, self.trouble_so_far = False, None, None
        self._must_load = self._overtaken = False
        self._ahead, self._actions, self._before, self._saved = {}, {}, {}, {}
        self._session.note(self.kind, self._name, revision)

    def load_shared(self, known: bool) -> None:
        """The same; while there is no line, what was last known to be saved."""
        try:
            self.load()
        except NoLine:
            if not self._revision:
                raise
            for (table, key), doc in self._saved.items():
                if doc is None:
                    self._tables[table].pop(key, None)
                else:
                    self._tables[table][key] = doc
            self._adopt(self._tables, self._revision)
            self._must_load = True

    def catch_up(self) -> bool:
        """Only the documents that others have changed."""
        self.settle()
        if self._ahead or self._doubt or self._must_load or not self._revision:
            return False
        rows = self._session.line.ask(_NEWER, (self._revision, self._name))
        if not rows or rows[0][1] > self._revision:
            return False
        for table, docs in tables_of(rows, 2, str(self.where)).items():
            self._tables.setdefault(table, {}).update(docs)
        self._revision = rows[0][0]
        self._session.note(self.kind, self._name, self._revision)
        return True

    def stale(self) -> bool:
        """Whether the server called out, or a lock was given with, a later revision."""
        self.settle()
        self._session.hear()
        return self._must_load or self._session.shown.get(self._name, 0) > self._revision

    # -- saving ----------------------------------------------------------------------------------------

    def begin(self, tables: Tables) -> None:
        """With these tables; nothing is saved before `fold`."""
        self._adopt(tables, 0)
        self._new = True
        for table, docs in tables.items():
            for key, doc in docs.items():
                self._set_ahead(table, key, encode(doc, str(self.where)))

    def take_back(self) -> None:
        """Nothing is there unless all is, or nobody knows: then it is a parcel like any other."""

    def fold(self) -> None:
        """Saves what is not saved."""
        self.settle()
        if self._ahead and not self.read_only:
            self._save()

    def save_again(self) -> None:
        """Tries once more to save all that memory is ahead by; where another bench has changed the parcel
        meanwhile, it becomes a version beside that bench's, and somebody must choose.
        """
        self.settle()
        if self._overtaken:
            try:
                self.before_save()
                self._set_aside()
            except BenchError as error:
                self.trouble_so_far = error.one_line()
        elif self._ahead:
            self._save()

    def settle(self) -> None:
        """Waits for the save under way. One that is not answered soon stays under way, and counts as not
        saved so far; its thread finds out what comes of it.
        """
        if self._under_way is None:
            return
        sent, answered = self._under_way
        try:
            answered.result(self._session.line.soon())
        except TimeoutError:
            self._failed(NoLine(SILENT, self.where))
        except BenchError as error:
            self._no_save_under_way()
            self._failed(error)
        else:
            self._no_save_under_way()
            self._accepted(sent)

    def _no_save_under_way(self) -> None:
        self._under_way = None
        self.background_save.forget(self)

    def _commit(self) -> None:
        made: Texts = {}
        for (table, key), (old, new) in self.touched.items():
            if new is None or old is None or not same(old, new):
                made[table, key] = None if new is None else encode(new, str(self.where))
        for at, old in self._before.items():
            self._saved.setdefault(at, old)
        self._before = {}
        for (table, key), text in made.items():
            self._set_ahead(table, key, text)
        if made:
            self._save()

    def _set_ahead(self, table: str, key: str, text: str | None) -> None:
        self._ahead[table, key] = text
        if table == "history":
            self._actions[key] = uuid.uuid4()

    def _save(self) -> None:
        self.background_save.settle()
        try:
            if self.background_save.busy:
                raise NoLine(SILENT, self.where)
            self.before_save()
            if self._doubt and self._looked_up() and not self._ahead:
                return
            sent = dict(self._ahead)
            if self.background_save.wanted and not self.waits:
                self._under_way = sent, self.background_save.run(self, partial(self._send, sent))
                return
            self._send(sent)
            self._accepted(sent)
        except BenchError as error:
            self._failed(error)

    def _looked_up(self) -> bool:
        """Whether the save that nobody answered had come through; then it is not made again."""
        assert self._doubt is not None
        number, sent = self._doubt
        came = self._session.came_through(number)
        if came is None:
            raise NoLine(self._session.line.why, self.where)
        self._doubt = None
        if came:
            self._revision += 1
            self._accepted(sent)
        return came

    def _send(self, sent: Texts) -> None:
        """One statement; any thread may do it. BenchError where it is not known to be saved."""
        if not self._session.line.up:
            raise NoLine(self._session.line.why, self.where)
        number = self._session.next_save()
        try:
            rows = self._session.line.ask(_BEGIN if self._new else _SAVE, self._values(sent, number))
        except NoLine:
            self._doubt = number, sent
            raise
        except BenchError:
            self._session.answered()
            raise
        self._session.answered()
        if not rows:
            raise Overtaken("another bench has changed it meanwhile", self.where)
        self._revision = rows[0][0]

    def _shows(self, sent: Texts) -> bool:
        """Whether others are to hear of it: not of a cursor and a draft."""
        return self._new or self.kind != "parcel" or any(table != "head" for table, _ in sent)

    def _values(self, sent: Texts, number: int) -> dict[str, Any]:
        put = [(table, key, text) for (table, key), text in sent.items() if text is not None]
        found, held = found_and_held((table, text) for table, _, text in put)
        gone = [key for key, text in sent.items() if text is None]
        return {
            "name": self._name,
            "kind": self.kind,
            "documents": SCHEMA,
            "revision": self._revision,
            "token": self._session.tokens.get(self._name, 0) if self.kind == "parcel" else 0,
            "show": self._shows(sent),
            "tell": self.kind != "parcel" or self._new,
            "tables": [table for table, _, _ in put],
            "ids": [key for _, key, _ in put],
            "bodies": [text for _, _, text in put],
            "found": found,
            "held": held,
            "actions": [self._actions.get(key) if table == "history" else None for table, key, _ in put],
            "gone_tables": [table for table, _ in gone],
            "gone_ids": [key for _, key in gone],
            "number": number,
            "bench": self._session.bench,
            "channel": f"benchtui {self._session.mark}",
            "call": f"{self.kind} {self._name} ",
        }

    def _accepted(self, sent: Texts) -> None:
        if self.kind == "parcel" and not self._new and self._shows(sent):
            self._session.tell_soon(self._name, self._revision)
        for at, text in sent.items():
            if self._ahead.get(at, "") == text:
                del self._ahead[at]
                if at[0] == "history":
                    self._actions.pop(at[1], None)
        self._new = False
        self._session.note(self.kind, self._name, self._revision)
        if not self._ahead:
            self.trouble_so_far, self._saved = None, {}
            self.after_save()

    def _failed(self, error: BenchError) -> None:
        self.trouble_so_far = error.one_line()
        if isinstance(error, Overtaken) and self.kind == "parcel" and not self._new:
            self._overtaken = True  # answered by `save_again`, not in the midst of an action

    # -- two versions ----------------------------------------------------------------------------------

    def _set_aside(self) -> None:
        """What is in memory becomes a version beside the other bench's, and somebody is asked which holds."""
        other = _other(self._name)
        texts = {
            (table, key): encode(doc) for table, docs in self._tables.items() for key, doc in docs.items()
        }
        _put_whole(self._session, other, "other", texts)
        self.read_only = True
        self.load()
        self.replaced()

    def _look_for_other(self) -> None:
        self._unfit = self._notice = ""
        if self._session.line.ask("SELECT 1 FROM kept WHERE name = %s", (_other(self._name),)):
            self._unfit = "another bench worked on it while the server could not be reached from here"
            self._notice = f"{self._name}: {self._unfit}"

    def versions(self) -> tuple[Version, ...]:
        """As the server has it, and as it was in the memory of a bench that could not reach the server."""
        theirs = Version("file", f"as another bench saved it: {in_words(self._tables)}")
        other = self._other_tables()
        return (
            (theirs, Version("log", f"as made without the server: {in_words(other)}")) if other else (theirs,)
        )

    def choose(self, which: Which) -> None:
        """Goes on with that version; the other one stays on the server under a name of its own."""
        mine, other = self._tables, self._other_tables()
        if which == "log" and not other:
            raise BenchError("there is no other version of it left", self.where, "choose the parcel as it is")
        chosen, left = (other, mine) if which == "log" else (mine, other)
        number = self._session.line.ask(
            "SELECT count(*) + 1 FROM kept WHERE starts_with(name, %s)", (f"{self._name} kept ",)
        )[0][0]
        texts = {(table, key): encode(doc) for table, docs in left.items() for key, doc in docs.items()}
        _put_whole(self._session, f"{self._name} kept {number}", "kept", texts)
        go_past(chosen, left)
        with self.hold():
            for table, docs in mine.items():
                for key in [key for key in docs if key not in chosen.get(table, {})]:
                    self.drop(table, key)
            for table, docs in chosen.items():
                for key, doc in docs.items():
                    self.put(table, key, doc)
        if self.trouble_so_far:
            raise BenchError(self.trouble_so_far)
        self._session.line.ask("DELETE FROM kept WHERE name = %s", (_other(self._name),))
        self._unfit = self._notice = ""

    def _other_tables(self) -> Tables:
        rows = self._session.line.ask(_READ, (_other(self._name),))
        return tables_of(rows, 2, str(self.where))


def brought_forward(kind: str, schema: int, tables: Tables, where: str) -> Tables:
    """Documents of an older schema as those of this one. BenchError for those of a newer program."""
    if schema > SCHEMA:
        said = f"it was written by a newer program (schema {schema}, this one knows {SCHEMA})"
        raise BenchError(said, where, "install a newer benchtui")
    return migrate(kind, schema, tables, where) if schema < SCHEMA else tables


def _other(name: str) -> str:
    """Under this name stands the version of a bench that could not save it."""
    return f"{name} other"


def kind_aside(name: str) -> str:
    """Of a version set aside: whether somebody must still choose (``other``), or has chosen (``kept``)."""
    return "other" if name.endswith(" other") else "kept"


def _put_whole(session: Session, name: str, kind: str, texts: dict[Key, str]) -> None:
    """Documents that are there at once, all of them, in place of what has that name."""
    with session.line.together() as ask:
        ask("DELETE FROM kept WHERE name = %s", (name,))
        put_rows(ask, name, kind, texts)
    session.note(kind, name, 1)


def put_rows(ask: Callable[..., Any], name: str, kind: str, texts: dict[Key, str]) -> None:
    """What is kept under a new name, within a transaction."""
    ask(
        "INSERT INTO kept (name, kind, documents, revision, shown) VALUES (%s, %s, %s, 1, 1)",
        (name, kind, SCHEMA),
    )
    ask(
        "INSERT INTO docs (name, tbl, id, body, found, held, revision)"
        " SELECT %s, p.tbl, p.id, p.body, p.found, p.held, 1"
        " FROM unnest(%s::text[], %s::text[], %s::text[], %s::text[], %s::text[]) WITH ORDINALITY"
        " AS p (tbl, id, body, found, held, at) ORDER BY p.at",
        (
            name,
            [table for table, _ in texts],
            [key for _, key in texts],
            list(texts.values()),
            *found_and_held((table, text) for (table, _), text in texts.items()),
        ),
    )


def tables_of(rows: list[tuple[Any, ...]], at: int, where: str) -> Tables:
    """The documents in rows that hold table, id and text from column ``at`` on."""
    tables: Tables = {}
    for row in rows:
        table, key, text = row[at : at + 3]
        if table is None:
            continue
        try:
            tables.setdefault(table, {})[key] = decode(text)
        except ValueError as error:
            raise BenchError(
                f"{table} {key} cannot be read: {error}", where, "put it back from a backup"
            ) from error
    return tables
