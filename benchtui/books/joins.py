"""Titles of several sources that the dealer said are one: a setting of the shop; nothing is rewritten."""

from collections.abc import Mapping
from typing import Any

APART = "-"
"""Kept for two titles that look alike and are two."""


def joins_of(settings: Mapping[str, Any]) -> dict[str, str]:
    """Title id -> id of the title that it is, as decided."""
    kept = settings.get("joins")
    known = kept.items() if isinstance(kept, Mapping) else ()
    return {str(mine): str(other) for mine, other in known if other and other != APART}


def one_id(joins: Mapping[str, str], title_id: str) -> str:
    """The id under which all titles joined to this one are one; its own where it is joined to none."""
    seen = {title_id}
    while (to := joins.get(title_id, title_id)) not in seen:
        title_id = to
        seen.add(to)
    return title_id


def all_ids(joins: Mapping[str, str], title_id: str) -> list[str]:
    """Every id of that title, that under which all are one first."""
    one = one_id(joins, title_id)
    return list(dict.fromkeys([one, title_id, *(each for each in joins if one_id(joins, each) == one)]))
