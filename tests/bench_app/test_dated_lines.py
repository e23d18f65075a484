"""A day that is typed with a rule or a term is kept: before it the rule is what it was, if it was none."""

from datetime import date
from types import SimpleNamespace
from typing import Any

import pytest

from benchtui.desk.people.reckoning import BY_NAME, _read, _since_ever, shown_rule
from benchtui.desk.people.sender_terms import BY_NAME as TERMS
from benchtui.desk.people.sender_terms import day_left_out, read_terms, show_terms
from benchtui.money.policy import policy_of

TODAY = "2026-11-25"


def rule_after(name: str, settings: dict[str, Any], *lines: str) -> dict[str, Any]:
    made = {"currency": "GBP", **settings}
    for line in lines:
        desk: Any = SimpleNamespace(settings=made, currency="GBP", today=lambda: TODAY)
        made = made | {name: _read(BY_NAME[name], line, desk)}
    return made


@pytest.mark.parametrize(
    ("before", "lines"),
    [
        ({}, ["added from 2026-11-01"]),
        ({"commission_vat": "none"}, ["added from 2026-11-01"]),
        ({"commission_vat": "added"}, ["none / added from 2026-11-01"]),
        ({"commission_vat": "added"}, ["none always", "added from 2026-11-01"]),
    ],
)
def test_vat_on_commission_from_a_day_is_none_before_it(before: dict[str, Any], lines: list[str]) -> None:
    made = rule_after("commission_vat", before, *lines)
    assert shown_rule(BY_NAME["commission_vat"], made) == "none before / added from 2026-11-01"
    assert [policy_of(made, on).commission_vat for on in ("2026-10-31", "2026-11-01")] == ["none", "added"]
    again = rule_after("commission_vat", made, "none before / added from 2026-11-02")
    assert policy_of(again, "2026-11-01").commission_vat == "none"


def test_what_comes_after_none_always_holds_from_its_day_and_not_always() -> None:
    """Nothing agreed is as good an answer as any: what was reckoned under it stays."""
    made = rule_after("commission_vat", {}, "none always")
    assert shown_rule(BY_NAME["commission_vat"], made) == "none always"
    made = rule_after("commission_vat", made, "added")
    assert shown_rule(BY_NAME["commission_vat"], made) == f"none before / added from {TODAY}"
    assert policy_of(made, "2026-11-24").commission_vat == "none"
    made = rule_after("commission_vat", made, "added always")
    assert made["commission_vat"] == "added", "what was wrong from the start is put right"
    assert rule_after("vat_rate", {"vat_rate": ""}, "none always", "20")["vat_rate"][1]["from"] == TODAY


@pytest.mark.parametrize(
    ("typed", "before", "now", "said"),
    [
        ("added", None, "added", " always, as nothing was set before; only from now on: added from today"),
        ("added always", "none", "added", ""),
        ("none", None, "none", ""),
        ("added", [{"from": "", "value": "none"}], [{"from": TODAY, "value": "added"}], ""),
    ],
)
def test_a_first_value_without_a_day_says_that_it_holds_always(
    typed: str, before: Any, now: Any, said: str
) -> None:
    assert _since_ever(BY_NAME["commission_vat"], typed, before, now) == said


@pytest.mark.parametrize(
    ("name", "line", "shown"),
    [
        ("vat_rate", "20 from 2026-11-01", "none before / 20 from 2026-11-01"),
        ("margin_scheme", "item from 2026-11-01", "none before / item from 2026-11-01"),
        ("late_cost", "expense from 2026-11-01", "unsold before / expense from 2026-11-01"),
        ("postage_in_margin", "no from 2026-11-01", "yes before / no from 2026-11-01"),
        ("vat_period", "month from 2026-11-01", "quarter before / month from 2026-11-01"),
        ("period_limit", "500 from 2026-11-01", "none before / 500 from 2026-11-01"),
    ],
)
def test_every_dated_rule_keeps_the_day_and_is_read_as_it_is_shown(name: str, line: str, shown: str) -> None:
    made = rule_after(name, {}, line)
    assert shown_rule(BY_NAME[name], made) == shown
    policy_of(made, "2026-10-31")
    assert shown_rule(BY_NAME[name], rule_after(name, {}, shown)) == shown
    assert rule_after(name, {}, line.split()[0])[name] == line.split()[0], "without a day it holds always"


@pytest.mark.parametrize(
    ("name", "line", "shown"),
    [
        ("per_sale", "2.00 from 2026-11-01", "none before / 2.00 GBP from 2026-11-01"),
        ("inbound", "sender from 2026-11-01", "none before / sender from 2026-11-01"),
        ("commission", "25 from 2026-11-01", "25"),
    ],
)
def test_terms_keep_the_day_but_for_the_first_commission_which_says_so(
    name: str, line: str, shown: str
) -> None:
    today = date.fromisoformat(TODAY)
    made = read_terms(TERMS[name], line, {}, "GBP", today)
    assert show_terms(TERMS[name], made) == shown
    again = read_terms(TERMS[name], shown, {}, "GBP", today)
    assert show_terms(TERMS[name], again) == shown
    assert bool(day_left_out(TERMS[name], line, {}, made)) == (name == "commission")
    bare = line.split()[0]
    always = read_terms(TERMS[name], bare, {}, "GBP", today)
    said = day_left_out(TERMS[name], bare, {}, always)
    assert (f"only from now on: {bare} from today" in said) == (name != "commission")
    assert ("from the beginning" in said) == (name == "commission"), "also where no day was typed"
