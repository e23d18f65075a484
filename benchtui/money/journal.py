"""The shop's entries as plain text that Beancount reads (version 3, its language reference).

Accounts are named in the shop's setting ``accounts`` (role -> account); a role that it does not name has the
name in ``entries.ROLES``.
"""

import re
from collections.abc import Iterable, Iterator, Mapping, Sequence
from typing import Any

from benchtui.base.errors import BenchError
from benchtui.base.signs import visible
from benchtui.model.money import Money
from benchtui.money.entries import ROLES, Entry, Leg
from benchtui.money.notice import ESTIMATE

_TYPES = ("Assets", "Liabilities", "Equity", "Income", "Expenses")
_ACCOUNT = re.compile(rf"(?:{'|'.join(_TYPES)})(?::[A-Z0-9][A-Za-z0-9-]*)+", re.ASCII)


def account_names(settings: Mapping[str, Any]) -> dict[str, str]:
    """Role -> account. BenchError for a role there is not, or a name that Beancount would refuse."""
    own = settings.get("accounts") or {}
    if not isinstance(own, Mapping):
        raise BenchError(f"{own!r} is not a table of accounts", "setting accounts", "write role and account")
    for role, name in own.items():
        if role not in ROLES:
            raise BenchError(f"there is no role {role!r}", "setting accounts", "one of " + ", ".join(ROLES))
        if not isinstance(name, str) or not _ACCOUNT.fullmatch(name):
            right = f"write for example {ROLES[role]}, beginning with one of {', '.join(_TYPES)}"
            raise BenchError(f"{name!r} is not an account", "setting accounts", right)
    return {role: str(own.get(role, name)) for role, name in ROLES.items()}


def journal(
    entries: Sequence[Entry], settings: Mapping[str, Any], currency: str, title: str = ""
) -> Iterator[str]:
    """The lines of the file: options, the accounts that occur, then every entry that moves one."""
    names = account_names(settings)
    moving = [entry for entry in entries if entry.legs]
    first = min((entry.day for entry in moving), default="1970-01-01")
    yield f";; {ESTIMATE}"
    yield f'option "title" {_text(title or "shop")}'
    yield f'option "operating_currency" "{currency}"'
    yield ""
    for account in sorted({names[leg.role] for entry in moving for leg in entry.legs}):
        yield f"{first} open {account}"
    for entry in moving:
        yield ""
        yield from _transaction(entry, names, currency)


def _transaction(entry: Entry, names: Mapping[str, str], currency: str) -> Iterator[str]:
    payee = entry.words.get("buyer") or entry.words.get("seller") or ""
    said = ", ".join(filter(None, (entry.kind, entry.stock, entry.words.get("description") or entry.parcel)))
    yield f"{entry.day} * {_text(payee)} {_text(said)}"
    about = {"key": entry.key, "booked": entry.booked if entry.booked != entry.day else ""}
    about |= {
        name: entry.words.get(name, "")
        for name in ("invoice", "credit_note", "why", "of", "about", "where", "paid_in")
    }
    for name, value in about.items():
        if value:
            yield f"  {name.replace('_', '-')}: {_text(value)}"
    for leg in _merged(entry.legs, names):
        yield f"  {names[leg.role]}  {_amount(leg, currency)}"


def _merged(legs: Iterable[Leg], names: Mapping[str, str]) -> list[Leg]:
    """Two roles on one account are one posting where both are in the shop's currency."""
    found: dict[tuple[str, str], Leg] = {}
    for leg in legs:
        key = names[leg.role], leg.foreign[1] if leg.foreign else ""
        known = found.get(key)
        if known and not leg.foreign:
            leg = Leg(known.role, known.minor + leg.minor)
        found[key] = leg
    return list(found.values())


def _amount(leg: Leg, currency: str) -> str:
    """``24.00 GBP``; of another currency with the whole price: ``-145.00 EUR @@ 124.70 GBP``."""
    own = Money(leg.minor, currency)
    if leg.foreign is None:
        return own.show()
    other = Money(*leg.foreign)
    if not other.minor or (other.minor < 0) != (own.minor < 0):
        return own.show()  # what is left of a rate that was corrected is a difference in our own money
    return f"{other.show()} @@ {Money(abs(own.minor), currency).show()}"


def _text(text: str) -> str:
    """A string of the language: quotes and backslashes escaped, one line."""
    shown = visible(" ".join(text.split()))
    return '"' + shown.replace("\\", "\\\\").replace('"', '\\"') + '"'
