"""Sales seen, landed cost, shares, margin scheme, consignment. Pure functions over plain documents."""

from benchtui.money.book import bought_on, consignor, description
from benchtui.money.charges import Landed, landed, own_terms
from benchtui.money.check import check_money
from benchtui.money.command import spread_command, spread_json, spread_text
from benchtui.money.condition import Condition, condition_of, grades_in_words
from benchtui.money.consign import ConsignTerms, terms_of
from benchtui.money.handed_in import Account, statement_after
from benchtui.money.learnt import Learnt, learnt_factors, with_learnt
from benchtui.money.ledger import period_accounts, shop_entries
from benchtui.money.life import When
from benchtui.money.moved_cost import CostMove, cost_moves, moved_over
from benchtui.money.notice import ESTIMATE
from benchtui.money.policy import Policy, policy_of
from benchtui.money.result import ParcelResult, ResultRow, parcel_result
from benchtui.money.saleline import SaleLine, read_sale_line
from benchtui.money.sales import SalesRead, new_sale, read_sales
from benchtui.money.scheme import Margin, Period, eligibility, item_margin, over_limit, periods, vat_in
from benchtui.money.spreading import Share, Spread, changed, freeze, shares, spread, spread_over
from benchtui.money.standings import Standing, flows, standing
from benchtui.money.statements import Statement, consignors, split_payout, statement, statement_rows
from benchtui.money.stock import Entry, stockbook, stockbook_rows
from benchtui.money.worked import Worked, keep_or_work, worked_price

__all__ = [
    "ESTIMATE", "Account", "Condition", "ConsignTerms", "CostMove", "Entry", "Landed", "Learnt", "Margin",
    "ParcelResult", "Period", "Policy", "ResultRow", "SaleLine", "SalesRead", "Share", "Spread",
    "Standing", "Statement", "When", "Worked", "bought_on", "changed", "check_money", "condition_of",
    "consignor", "consignors", "cost_moves", "description", "eligibility", "flows", "freeze",
    "grades_in_words", "item_margin", "keep_or_work", "landed", "learnt_factors", "moved_over", "new_sale",
    "over_limit", "own_terms", "parcel_result", "period_accounts", "periods", "policy_of",
    "read_sale_line", "read_sales", "shares", "shop_entries", "split_payout", "spread",
    "spread_command", "spread_json",
    "spread_over", "spread_text", "standing", "statement", "statement_after", "statement_rows",
    "stockbook", "stockbook_rows", "terms_of", "vat_in", "with_learnt", "worked_price",
]  # fmt: skip
