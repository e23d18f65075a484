"""The tables on the server, and their versions.

``shop``: one row, the shop's mark and the tables' version. ``kept``: one row for each parcel and for what the
benches share, with the revision that every save counts up, the last revision that others were told of, and
the token of whoever holds it. ``docs``: one row a document, and one a history entry, its body the JSON text
as it is; ``action`` is the history entry's own id, which is there once, ``found`` and ``held`` what a look-up
looks at (``found.py``). ``benches``: how far each bench has got, so that a COMMIT nobody answered can be
looked up.
``files``: books, lists, keymaps, layouts and what was handed out.
"""

from typing import TYPE_CHECKING, Any

from benchtui.base.errors import BenchError
from benchtui.server.address import number_of
from benchtui.server.found import fill

if TYPE_CHECKING:
    import psycopg

OURS = "benchtui"
"""The schema where the address's ``search_path`` names no other: with it all of the shop goes."""
STEPS = (
    """
CREATE TABLE shop (
  one boolean PRIMARY KEY DEFAULT true CHECK (one), mark text NOT NULL, version integer NOT NULL);
CREATE TABLE kept (
  name text PRIMARY KEY, kind text NOT NULL, documents integer NOT NULL, revision bigint NOT NULL,
  shown bigint NOT NULL, dropped bigint NOT NULL DEFAULT 0, token bigint NOT NULL DEFAULT 0);
CREATE TABLE docs (
  name text NOT NULL REFERENCES kept ON DELETE CASCADE, tbl text NOT NULL, id text NOT NULL,
  body text NOT NULL, action uuid UNIQUE, revision bigint NOT NULL, place bigint GENERATED ALWAYS AS IDENTITY,
  PRIMARY KEY (name, tbl, id));
CREATE TABLE benches (
  bench text PRIMARY KEY, who text NOT NULL, since text NOT NULL, done bigint NOT NULL DEFAULT 0);
CREATE TABLE files (name text PRIMARY KEY, digest text NOT NULL, body bytea NOT NULL);
INSERT INTO kept (name, kind, documents, revision, shown) VALUES ('files', 'files', 0, 1, 1);
""",
    """
ALTER TABLE docs ADD COLUMN found text;
CREATE FUNCTION grams(line text) RETURNS text[] LANGUAGE sql IMMUTABLE STRICT PARALLEL SAFE COST 1000 AS
$$ SELECT array_agg(DISTINCT substr(line, at, 3)) FROM generate_series(1, length(line) - 2) AS at $$;
CREATE INDEX docs_found ON docs USING gin (grams(found)) WHERE tbl = 'records';
CREATE INDEX docs_sender ON docs (found) WHERE tbl = 'head';
""",
    """
ALTER TABLE docs ADD COLUMN held text;
CREATE INDEX docs_held ON docs (held) WHERE held IS NOT NULL;
""",
)
"""What leads from each version to the next; all of them make a new shop's tables."""
VERSION = len(STEPS)
FOUND = 3
"""The version from which on there are all columns for look-ups."""


def use_schema(session: "psycopg.Connection[Any]") -> str:
    """The schema that the tables are in; the session looks nowhere else."""
    row = session.execute("SELECT current_setting('search_path')").fetchone()
    first = str(row[0] if row else "").partition(",")[0].strip().strip('"')
    found = OURS if first in ("", "$user", "public") else first
    session.execute("SELECT set_config('search_path', quote_ident(%s), false)", (found,))
    return found


def version_of(session: "psycopg.Connection[Any]", schema: str) -> tuple[str, int] | None:
    """The shop's mark and the version of its tables; None where there is no shop."""
    there = session.execute("SELECT to_regclass(quote_ident(%s) || '.shop')", (schema,)).fetchone()
    if there is None or there[0] is None:
        return None
    row = session.execute("SELECT mark, version FROM shop").fetchone()
    return (str(row[0]), int(row[1])) if row else None


def at_work(session: "psycopg.Connection[Any]", schema: str, where: str) -> None:
    """As long as this session lasts, nobody changes the tables' version."""
    lock = number_of("version", schema)
    row = session.execute("SELECT pg_try_advisory_lock_shared(%s)", (lock,)).fetchone()
    if not row or not row[0]:
        raise BenchError(
            "the shop is being made or brought up to date just now", where, "try again in a minute"
        )


def make(session: "psycopg.Connection[Any]", schema: str, mark: str, where: str) -> None:
    """The tables of a new shop."""
    encoding = session.info.parameter_status("server_encoding")
    if encoding != "UTF8":
        right = "use a database that holds every sign: createdb -T template0 -E UTF8 NAME"
        raise BenchError(f"the database is in {encoding}", where, right)
    with session.transaction():
        _alone(session, schema, where)
        session.execute(f'CREATE SCHEMA IF NOT EXISTS "{schema}"'.encode())
        for step in STEPS:
            session.execute(step.encode())
        session.execute("INSERT INTO shop (mark, version) VALUES (%s, %s)", (mark, VERSION))


def bring_up_to_date(session: "psycopg.Connection[Any]", schema: str, version: int, where: str) -> None:
    """From an older version, in one transaction, while no bench is at work. BenchError for a newer one."""
    if version > VERSION:
        said = f"the shop is of a newer version ({version}) than this program knows ({VERSION})"
        raise BenchError(said, where, "install a newer benchtui")
    if version == VERSION:
        return
    with session.transaction():
        _alone(session, schema, where)
        for step in STEPS[version:]:
            session.execute(step.encode())
        if version < FOUND:
            fill(session)
        session.execute("UPDATE shop SET version = %s", (VERSION,))


def _alone(session: "psycopg.Connection[Any]", schema: str, where: str) -> None:
    row = session.execute("SELECT pg_try_advisory_xact_lock(%s)", (number_of("version", schema),)).fetchone()
    if not row or not row[0]:
        said = "benches are at work in this shop, and its tables must be made or changed first"
        raise BenchError(said, where, "close them all, then open it here again")
