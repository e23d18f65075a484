"""Money: integer minor units with an ISO 4217 code; never a float."""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Money:
    """An amount in minor units (pence, cents) of one currency."""

    minor: int
    currency: str
