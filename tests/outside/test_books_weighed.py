"""Invented titles weighed with the universal book: what a true copy shows must not exclude its own pressing.

Each case names the published fact that it turns on; the pressings, their periods and their shares are invented.
"""

import json
from typing import Any

import pytest

from benchtui.books.library import Library
from benchtui.evidence.command import run_weigh

BOOK = """
[book]
name = "Invented titles"

[[title]]
id = "mono"
artist = "The Ferry Lights"
title = "Slack Water"
first = "1962-03"
country = "GB"
[[title.pressing]]
id = "mono/1"
name = "first"
period = "[1962-03..1966]"
share = 3
[[title.pressing]]
id = "mono/2"
name = "mono again"
period = "[1985..1987]"

[[title]]
id = "cruzeiro"
artist = "Trio Quelmora"
title = "Sal e Corda"
first = "1974-03"
country = "BR"
[[title.pressing]]
id = "cruzeiro/1"
name = "first"
period = "[1974-03..1976]"
share = 3
[[title.pressing]]
id = "cruzeiro/2"
name = "again"
period = "[1991..1992]"

[[title]]
id = "plates"
artist = "Kapelle Nordwind"
title = "Hafenball"
first = "1984-05"
country = "DD"
[[title.pressing]]
id = "plates/1"
name = "first"
period = "[1984-05..1987]"
[[title.pressing]]
id = "plates/2"
name = "from old plates"
period = "[1990-11..1991]"

[[title]]
id = "now"
artist = "The Ferry Lights"
title = "Lock Gates"
first = "2016-02"
country = "GB"
[[title.pressing]]
id = "now/1"
name = "first"
period = "[2016-02..2017]"
[[title.pressing]]
id = "now/2"
name = "again"
period = "[2019..2020]"

[[title]]
id = "shellac"
artist = "The Ferry Lights"
title = "Evensong Waltz"
first = "1934-02"
country = "GB"
[[title.pressing]]
id = "shellac/1"
name = "first"
period = "[1934-02..1938]"

[[title]]
id = "mail"
artist = "Signal Box"
title = "Carrier"
first = "1989-04"
country = "US"
[[title.pressing]]
id = "mail/1"
name = "first"
period = "[1989-04..1990]"
share = 3
[[title.pressing]]
id = "mail/2"
name = "again"
period = "[1995..1998]"

[[title]]
id = "phone"
artist = "Signal Box"
title = "Estuary"
first = "1990-02"
country = "GB"
[[title.pressing]]
id = "phone/1"
name = "first"
period = "[1990-02..1990-04]"
share = 3
[[title.pressing]]
id = "phone/2"
name = "again"
period = "[1990-06..1991]"
"""


@pytest.fixture(scope="module")
def library(tmp_path_factory: pytest.TempPathFactory) -> Library:
    folder = tmp_path_factory.mktemp("books")
    (folder / "invented.toml").write_text(BOOK, encoding="utf-8")
    return Library.open([folder])


def weighed(library: Library, title: str, *answers: str) -> dict[str, Any]:
    found: dict[str, Any] = json.loads(run_weigh(library, title, answers, json_out=True))
    return found


def odds(found: dict[str, Any], pressing: str) -> float:
    return float(next(one["p"] for one in found["pressings"] if one["id"] == pressing))


@pytest.mark.parametrize(
    ("title", "answers", "pressing", "least"),
    [
        # Mono music is pressed again in mono: no source ends it. Before: 0.6 %.
        ("mono", ["gb-sound=mono"], "mono/2", 0.15),
        # EAN association founded 1977 (GS1 historical timeline): a bar code is no copy of 1966. Before: a clash.
        ("mono", ["gb-sound=mono", "u-barcode-europe=13"], "mono/2", 0.8),
        # Cr$ again from 15 May 1970: Banco Central do Brasil, Resolution 144. Before: a clash.
        ("cruzeiro", ["br-price=cr-1942"], "cruzeiro/1", 0.6),
        # Old wording stays six years on plates: htsev.de/lexikon/made-in-u-s-zone-germany. Before: 1.7 %.
        ("plates", ["de-made=gdr"], "plates/2", 0.3),
        # A year after 2015 and before 1940 can be entered. Before: no such answer.
        ("now", ["u-year=2019"], "now/2", 0.8),
        ("now", ["u-dated=2016"], "now/1", 0.8),
        ("shellac", ["u-dated=1936"], "shellac/1", 0.9),
        # First .com name 15 March 1985 (historyofdomains.com): an e-mail address of 1989 is no web address. Before: 16 %.
        ("mail", ["u-late-cover=email"], "mail/1", 0.6),
        # The split of 6 May 1990 was announced in April 1989 (New Scientist, 12 Jan 1991). Before: 20 %.
        ("phone", ["gb-phone=071"], "phone/1", 0.5),
    ],
)
def test_a_true_copy_keeps_its_pressing(
    library: Library, title: str, answers: list[str], pressing: str, least: float
) -> None:
    found = weighed(library, title, *answers)
    assert odds(found, pressing) >= least
    assert found["clashes"] == []


def test_the_name_of_a_money_that_came_back_is_bound_to_each_of_its_times(library: Library) -> None:
    (bound,) = weighed(library, "cruzeiro", "br-price=cr-1942")["dates"]
    assert bound["spans"] == [
        "[1942-11-01..1967-02-12]",
        "[1970-05-15..1986-02-27]",
        "[1990-03-16..1993-07-31]",
    ]
    assert (bound["hardness"], bound["to_hardness"]) == ("hard", "soft")


def test_a_price_of_the_years_between_still_clashes(library: Library) -> None:
    # NCr$ from 13 Feb 1967 (Resolution 47) to 14 May 1970 (Resolution 144): not on a cover of 1974.
    found = weighed(library, "cruzeiro", "br-price=ncr")
    assert ["first", "br-price"] in [clash["clues"] for clash in found["clashes"]]


def test_only_a_postmark_or_receipt_caps_the_sale_for_certain(library: Library) -> None:
    # A written year may be the music's: common practice, no source; a postmark is the day of mailing.
    written = weighed(library, "shellac", "u-dated=1936")["copy"]
    posted = weighed(library, "shellac", "u-postmark=1936")["copy"]
    assert (written["certain"], posted["certain"]) == ("", "[..1936]")


def test_a_rate_in_force_twice_is_bound_to_both_times(library: Library) -> None:
    # 66 2/3 %: 15 Apr 1942 to 13 Apr 1943 and 9 Apr 1948 to 14 Apr 1953 (78rpm.nz/mechcopy; HC Deb 14 Apr 1953).
    found = weighed(library, "mono", "gb-tax-rate=66")
    (bound,) = found["dates"]
    assert bound["spans"] == ["[1942-04-15..1943-04-13]", "[1948-04-09..1953-04-14]"]
    assert found["clashes"]  # a title of 1962 shows no rate that ended in 1953
    # A year in a notice leaves the second time alone.
    later = weighed(library, "shellac", "gb-tax-rate=66", "u-year-cover=1946")["spans"]["cover"]
    assert later["likely"].startswith("[1948-04-09..")
