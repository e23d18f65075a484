"""Sales seen, landed cost, shares, margin scheme, consignment. Pure functions over plain documents."""

from benchtui.money.condition import Condition, condition_of
from benchtui.money.landed import Landed, landed, own_terms
from benchtui.money.notice import ESTIMATE
from benchtui.money.policy import Policy, policy_of
from benchtui.money.shares import Share, Spread, changed, freeze, shares, spread, spread_over
from benchtui.money.worked import Worked, keep_or_work, worked_price

__all__ = [
    "ESTIMATE",
    "Condition",
    "Landed",
    "Policy",
    "Share",
    "Spread",
    "Worked",
    "changed",
    "condition_of",
    "freeze",
    "keep_or_work",
    "landed",
    "own_terms",
    "policy_of",
    "shares",
    "spread",
    "spread_over",
    "worked_price",
]
