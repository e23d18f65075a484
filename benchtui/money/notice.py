"""The cautions: which figures are estimates, and who decides of them. Each stands where its figures do."""

_DECIDE = "the local tax and customs authority and a licensed accountant decide."
ESTIMATE = f"An estimate: {_DECIDE}"
"""Of pages and files whose every figure is one: cost, result, VAT of a period, the journal."""
TAX_ESTIMATE = f"Figures of tax are estimates: {_DECIDE}"
"""Of a buyer's papers that show tax: told to the dealer as they are made, and kept in the file unseen: a bill
that goes out is what was agreed, and no estimate."""
CONSIGNED_ESTIMATE = f"Commission, charges and tax are estimates: {_DECIDE}"
"""Of a consignor's figures, for the dealer: what a buyer paid and what was paid out are none."""
STATEMENT_ESTIMATE = (
    "Commission and charges follow the terms agreed with you. With the tax in them they are estimates: "
    f"{_DECIDE} If a line looks wrong to you, please ask us."
)
"""The same on the statement that the consignor gets."""
RECEIPT_ESTIMATE = (
    "What a sale brings you follows the terms above. Values, and any tax on a sale, are estimates: " + _DECIDE
)
"""On the receipt for what the consignor brought, where nothing is sold yet."""
REPORT_ESTIMATE = (
    "What a sale brings you follows the terms agreed; until then it is an estimate, and so is any tax: "
    + _DECIDE
)
"""On the report that a consignor gets of what is theirs."""
