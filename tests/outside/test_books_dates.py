"""The universal book against the facts it was made from, and against published tables of money and countries.

``dating_facts.json`` beside this file holds the facts with their published sources (``basis`` "memory"
where there is none), the hardness of each end (``to_hardness`` of the latest where it differs), and for each
fact the answers that use it or why it was left out.
"""

import json
import re
import tomllib
from datetime import date, timedelta
from itertools import pairwise
from pathlib import Path

import pycountry
import pytest
from babel.numbers import get_territory_currencies
from edtf import parse_edtf as edtf_parse
from edtf import struct_time_to_date
from stdnum import ean

from benchtui.books.check_titles import _is_ean
from benchtui.books.library import UNIVERSAL, Library
from benchtui.books.shape import Answer
from benchtui.model.span import Span, hull, parse_edtf

FACTS = json.loads((Path(__file__).parent / "dating_facts.json").read_text(encoding="utf-8"))
LIBRARY = Library.open()
HARD = ("none", "soft", "firm", "hard")
# One fact, several answers: each answer's bound lies within the fact's.
DIVIDED = ("uk-pt-letters", "gost-7x", "br-cruzeiro-series", "il-lira-shekel")
# A sticker says nothing of the earliest, so that only the latest end of the fact is used there.
ONLY_LATEST = {"gb-sticker/new-pence"}
# A weight is never a bound by itself, as the fact's own note says; a year in a notice is its own bound.
NO_BOUND = ("mass-lp", "p-c-year", "latest-advertised", "uk-postal-district", "hole-small")


def answer_of(use: str) -> Answer | None:
    clue_id, _, answer_id = use.partition("/")
    clue = LIBRARY.clue(clue_id)
    assert clue is not None, use
    return clue.answer(answer_id) if answer_id else None


USES: dict[str, list[dict[str, str]]] = {}
for _fact in FACTS:
    for _use in _fact.get("used", []):
        USES.setdefault(_use, []).append(_fact)


def span_of(fact: dict[str, str]) -> Span:
    return parse_edtf(f"[{fact['earliest'] or ''}..{fact['latest'] or ''}]") if bounded(fact) else Span()


def bounded(fact: dict[str, str]) -> bool:
    return bool(fact["earliest"] or fact["latest"])


def test_every_fact_is_used_or_left_out_with_its_reason_in_the_book() -> None:
    text = UNIVERSAL.read_text(encoding="utf-8")
    assert len({fact["id"] for fact in FACTS}) == len(FACTS) >= 162
    for fact in FACTS:
        assert ("used" in fact) != ("left_out" in fact), fact["id"]
        if "left_out" in fact:
            line = next(line for line in text.splitlines() if line.startswith(f"#   {fact['id']} "))
            assert fact["left_out"] in line


@pytest.mark.parametrize("use", USES, ids=str)
def test_a_bound_is_the_facts_own_and_no_harder(use: str) -> None:
    facts, answer = USES[use], answer_of(use)
    if answer is None:
        return
    start, end = answer.ends
    assert HARD.index(start) <= min(HARD.index(fact["hardness"]) for fact in facts)
    open_end = answer.span is None or answer.span.latest is None
    assert open_end or HARD.index(end) <= min(
        HARD.index(fact.get("to_hardness", fact["hardness"])) for fact in facts
    )
    wanted = sorted((span_of(fact) for fact in facts), key=lambda span: span.earliest or date.min)
    if use in ONLY_LATEST:
        wanted = [Span(None, span.latest) for span in wanted]
    if any(fact["id"] in NO_BOUND for fact in facts):
        assert answer.span is None or [answer.span] == wanted
    elif any(fact["id"] in DIVIDED for fact in facts):
        assert answer.span is not None
        assert answer.span.meet(hull(wanted)) == answer.span
    else:
        assert list(answer.spans) == wanted


def test_an_answer_names_the_source_of_its_fact_or_says_from_memory() -> None:
    for use, facts in USES.items():
        answer, clue = answer_of(use), LIBRARY.clue(use.partition("/")[0])
        assert clue is not None
        source = (answer.source if answer else "") or clue.source
        for fact in facts:
            named = "from memory" in source if fact["basis"] == "memory" else fact["source"] in source
            assert named, (use, fact["id"])
            assert "memory" in source or fact["basis"] == "source", (use, fact["id"])


def test_every_answer_that_bounds_a_date_says_where_it_is_from() -> None:
    for clue in LIBRARY.clues():
        for answer in clue.answers:
            assert answer.span is None or answer.source, (clue.id, answer.id)


@pytest.mark.parametrize(
    ("letters", "first", "last"),
    [
        # H. C. Deb. 9 Apr 1962 (45 % from 10 April); letters: collectors' pages named in dating_facts.json.
        ("ZT", date(1962, 4, 10), date(1962, 11, 25)),
        # KT ran from July 1963 to November 1968 over three rates.
        ("KT", date(1963, 7, 1), date(1968, 11, 22)),
        ("JT", date(1968, 11, 23), date(1969, 12, 31)),
    ],
)
def test_the_letters_of_the_british_tax_follow_one_another(letters: str, first: date, last: date) -> None:
    answer = answer_of(f"gb-tax-letters/{letters}")
    assert answer is not None
    assert answer.span == Span(first, last)
    assert answer.hardness == "soft"


# CLDR 47 as packaged in babel: which money is in use in a country on a day.
FIRST_DAYS = [
    ("au-price/new", "AU", "AUD"),
    ("nz-price/new", "NZ", "NZD"),
    ("za-price/new", "ZA", "ZAR"),
    ("jm-price/new", "JM", "JMD"),
    ("ng-price/new", "NG", "NGN"),
    ("zm-price/new", "ZM", "ZMK"),
    ("fj-price/new", "FJ", "FJD"),
    ("bs-price/new", "BS", "BSD"),
    ("tt-price/new", "TT", "TTD"),
    ("sg-price/new", "SG", "SGD"),
    ("fi-price/new", "FI", "FIM"),
    ("fr-price/new", "FR", "FRF"),
    ("fr-price/euro", "FR", "EUR"),
    ("nl-price/euro", "NL", "EUR"),
    ("pl-price/new", "PL", "PLN"),
    ("yu-price/new", "YU", "YUD"),
    ("su-price/new", "SU", "SUR"),
    ("zw-price/new", "ZW", "RHD"),
    ("br-price/ncr", "BR", "BRB"),
    ("br-price/cz", "BR", "BRC"),
    ("br-price/ncz", "BR", "BRN"),
    ("br-price/crr", "BR", "BRR"),
    ("br-price/real", "BR", "BRL"),
    ("il-price/old", "IL", "ILR"),
    ("il-price/new", "IL", "ILS"),
]


def used_on(country: str, day: date) -> list[str]:
    return list(get_territory_currencies(country, day, day, tender=True, non_tender=True))


@pytest.mark.parametrize(("country", "money"), [("AU", "AUD"), ("NZ", "NZD"), ("ZA", "ZAR")])
def test_a_shops_price_in_the_old_money_caps_the_sale_at_its_last_day(country: str, money: str) -> None:
    answer = answer_of(f"{country.lower()}-sticker/old")
    assert answer is not None
    assert answer.span is not None
    assert answer.span.latest is not None
    assert money not in used_on(country, answer.span.latest)
    assert money in used_on(country, answer.span.latest + timedelta(days=1))


@pytest.mark.parametrize(("use", "country", "money"), FIRST_DAYS, ids=lambda value: str(value))
def test_a_price_in_a_money_is_bound_to_the_day_the_money_began(use: str, country: str, money: str) -> None:
    answer = answer_of(use)
    assert answer is not None
    assert answer.span is not None
    assert answer.span.earliest is not None
    assert money in used_on(country, answer.span.earliest)
    assert money not in used_on(country, answer.span.earliest - timedelta(days=1))


@pytest.mark.parametrize(
    ("use", "country", "money"),
    [
        ("fr-price/new", "FR", "FRF"),
        ("fi-price/new", "FI", "FIM"),
        ("nl-price/guilder", "NL", "NLG"),
        ("zw-price/new", "ZW", "RHD"),
        ("su-price/new", "SU", "SUR"),
        ("il-price/lira", "IL", "ILP"),
    ],
)
def test_a_price_in_a_money_that_ended_is_bound_to_its_end(use: str, country: str, money: str) -> None:
    answer = answer_of(use)
    assert answer is not None
    assert answer.span is not None
    assert answer.span.latest is not None
    # CLDR's last day, or the day before a change that CLDR counts to both
    assert money in used_on(country, answer.span.latest)
    assert money not in used_on(country, answer.span.latest + timedelta(days=2))


@pytest.mark.parametrize(
    ("use", "code", "withdrawn"),
    [
        # ISO 3166-3 as packaged in pycountry; the withdrawal of a code never comes before the political end.
        ("de-made/gdr", "DDDE", "1990-10-30"),
        ("su-country/ussr", "SUHH", "1992-08-30"),
        ("cs-country/czech", "CSHH", "1993-06-15"),
        ("yu-country/yugo", "YUCS", "2003-07-23"),
        ("zw-country/rhodesia", "RHZW", "1980"),
        ("mm-country/old", "BUMM", "1989-12-05"),
        ("cd-country/old", "ZRCD", "1997-07-14"),
        ("bj-country/old", "DYBJ", "1977"),
        ("bf-country/old", "HVBF", "1984"),
    ],
)
def test_a_country_name_ends_no_later_than_its_code_was_withdrawn(
    use: str, code: str, withdrawn: str
) -> None:
    entry = pycountry.historic_countries.get(alpha_4=code)
    assert entry is not None
    assert entry.withdrawal_date == withdrawn
    answer = answer_of(use)
    assert answer is not None
    assert answer.span is not None
    assert answer.span.latest is not None
    assert answer.span.latest.isoformat()[: len(withdrawn)] <= withdrawn


def test_a_hard_end_never_rests_on_memory() -> None:
    for clue in LIBRARY.clues():
        for answer in clue.answers:
            if answer.span is not None and answer.ends[0] == "hard":
                source = answer.source or clue.source
                assert "memory" not in source, (clue.id, answer.id)
                assert "no source" not in source, (clue.id, answer.id)


def test_no_latest_end_is_hard_but_what_caps_the_sale() -> None:
    # Old plates and stock: htsev.de/lexikon/made-in-u-s-zone-germany (wording used at least six years late).
    for clue in LIBRARY.clues():
        for answer in clue.answers:
            if answer.span is not None and answer.span.latest is not None and not answer.caps_sale:
                assert answer.ends[1] != "hard", (clue.id, answer.id)


@pytest.mark.parametrize("words", ["as above", "same ", "withheld", "fan page", "allmystery", "profilbaru"])
def test_a_source_stands_alone(words: str) -> None:
    for clue in LIBRARY.clues():
        for source in {clue.source, *(answer.source for answer in clue.answers)}:
            assert words not in source.casefold(), (clue.id, source)


def test_of_late_marks_none_is_softer_or_older_than_one_before() -> None:
    asked = [clue for clue in LIBRARY.clues() if "the latest of" in clue.ask]
    assert len(asked) >= 8
    for clue in asked:
        dated = [answer for answer in clue.answers if answer.span is not None]
        for one, two in pairwise(dated):
            assert one.span is not None
            assert two.span is not None
            assert str(one.span.earliest) <= str(two.span.earliest), (clue.id, two.id)
            assert HARD.index(one.hardness) <= HARD.index(two.hardness), (clue.id, two.id)


@pytest.mark.parametrize("clue_id", ["u-year", "u-year-cover", "u-year-insert", "u-dated", "u-postmark"])
def test_a_year_may_be_any_from_1895_to_this_one(clue_id: str) -> None:
    clue = LIBRARY.clue(clue_id)
    assert clue is not None
    years = [int(answer.low) for answer in clue.answers if answer.low is not None]
    assert years == list(range(1895, date.today().year + 1))


def spans_written() -> list[str]:
    found = []
    for clue in tomllib.loads(UNIVERSAL.read_text("utf-8"))["clue"]:
        for answer in clue.get("answer", []):
            made = answer.get("made", [])
            found += made if isinstance(made, list) else [made]
    return sorted(set(found))


def test_spans_of_the_book_of_every_form_are_edtf_as_the_edtf_package_reads_them() -> None:
    """The package takes a tenth of a second for one: of each form a few are read, whatever their figures."""
    forms: dict[str, list[str]] = {}
    for text in spans_written():
        forms.setdefault(re.sub(r"\d", "9", text), []).append(text)
    assert len(forms) >= 9
    for text in (one for alike in forms.values() for one in alike[:: max(1, len(alike) // 4)]):
        parsed, ours = edtf_parse(text), parse_edtf(text)
        if ours.earliest is not None:
            assert struct_time_to_date(parsed.lower_strict()) == ours.earliest, text
        if ours.latest is not None:
            assert struct_time_to_date(parsed.upper_strict()) == ours.latest, text


def test_the_check_digit_of_a_barcode_is_the_one_python_stdnum_computes() -> None:
    for stem in ("500000000001", "761234567890", "030123456789", "978000000000", "000000000000"):
        for digit in "0123456789":
            assert _is_ean(stem + digit) == ean.is_valid(stem + digit)
    for stem in ("03600029145", "4012345"):
        for digit in "0123456789":
            assert _is_ean(stem + digit) == ean.is_valid(stem + digit)
