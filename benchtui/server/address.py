"""The address of a shop on a server, as PostgreSQL itself writes it: ``postgresql://host/database``."""

import hashlib
from collections.abc import Mapping
from urllib.parse import parse_qsl, urlsplit

from benchtui.base.errors import BenchError

_STARTS = ("postgresql://", "postgres://")
_RIGHT = (
    "use a password file (PGPASSFILE, or ~/.pgpass with mode 600), a service file (?service=NAME), or a "
    "server that knows you by your login"
)


def is_address(given: str) -> bool:
    """Whether the shop is named by an address, and not by a folder."""
    return given.casefold().startswith(_STARTS)


def checked(given: str) -> str:
    """The address. BenchError for one with a password in it: a command line is seen by everyone on the
    machine, and kept in its history.
    """
    try:
        parts = urlsplit(given)
        named = {name.casefold() for name, _ in parse_qsl(parts.query, keep_blank_values=True)}
        password = parts.password
    except ValueError as error:
        raise BenchError(
            f"this is not an address ({error})", "--shop", "write postgresql://host/database"
        ) from error
    if password or named & {"password", "sslpassword"}:
        raise BenchError("a password does not belong in an address", "--shop", _RIGHT)
    return given


def told(given: str) -> str:
    """The address as it may be shown: whatever stands before the machine's name is left out but the role."""
    parts = urlsplit(given)
    role = f"{parts.username}@" if parts.username else ""
    host = dict(parse_qsl(parts.query)).get("host", "")
    place = parts.netloc.rpartition("@")[2] or (host if "/" not in host else "")
    return f"postgresql://{role}{place}{parts.path}"


def number_of(*names: str) -> int:
    """The number of an advisory lock: 63 bits that two different names do not share by accident."""
    return int.from_bytes(hashlib.blake2b("\n".join(names).encode(), digest_size=8).digest()) >> 1


WATCHFUL: Mapping[str, str] = {
    "connect_timeout": "5",
    "keepalives": "1",
    "keepalives_idle": "5",
    "keepalives_interval": "2",
    "keepalives_count": "3",
    "tcp_user_timeout": "10000",
}
"""What this end is told, where the address says nothing else: a pulled cable shows within 10 s."""
AT_THE_OTHER_END: Mapping[str, str] = {
    "tcp_keepalives_idle": "5",
    "tcp_keepalives_interval": "2",
    "tcp_keepalives_count": "3",
    "tcp_user_timeout": "10000",
    "synchronous_commit": "on",
    "lock_timeout": "2s",
    "client_min_messages": "warning",
    "statement_timeout": "60s",
    "idle_in_transaction_session_timeout": "60s",
}
"""The same at the server's end, else a bench that is gone holds its parcel on for hours; and that what is
answered is on the server's disk.
"""
