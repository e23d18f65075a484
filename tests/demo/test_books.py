"""The demo's books taken as they stand: one coherent invented country, without a slip in its figures."""

from datetime import date
from decimal import Decimal
from itertools import pairwise
from pathlib import Path
from statistics import median
from typing import Any

import pytest

from benchtui.books.check import check_books
from benchtui.books.library import Library
from benchtui.model.span import Span, parse_edtf

Table = dict[str, Any]
MONO = {"TWD": "TW", "BMD": "BM", "FDD": "FD"}


def words_of(expected: Any) -> dict[str, str]:
    return {expected: "always"} if isinstance(expected, str) else expected


def test_no_book_is_too_long_to_read(demo: Path) -> None:
    for path in demo.glob("shop/books/*.toml"):
        assert len(path.read_text("utf-8").splitlines()) <= 1500, path.name


def test_every_file_says_at_its_head_what_it_is_and_that_it_is_invented(demo: Path) -> None:
    for path in demo.rglob("*.toml"):
        head = path.read_text("utf-8").partition("\n\n[")[0]
        assert head.startswith("# "), path.name
        assert "nvented" in head, path.name


def test_the_world_is_large_enough(books: dict[str, Table], titles: Table, pressings: Table) -> None:
    assert {book["book"]["company"] for book in books.values() if "company" in book["book"]} == {
        "Tarrowick", "Bellmarrow", "Fandrigal",
    }  # fmt: skip
    assert {book["book"]["country"] for book in books.values()} == {"XV"}
    assert len(titles) >= 60
    assert len(pressings) >= 200


def test_every_id_is_used_once(books: dict[str, Table]) -> None:
    kinds = ("clue", "title", "cipher")
    rows = [row for book in books.values() for kind in kinds for row in book.get(kind, [])]
    ids = [row["id"] for row in rows] + [p["id"] for row in rows for p in row.get("pressing", [])]
    assert sorted(ids) == sorted(set(ids))
    for row in rows:
        answers = [answer["id"] for answer in row.get("answer", [])]
        assert len(answers) == len(set(answers)), row["id"]


def test_a_pressing_is_named_after_its_title_and_no_two_of_a_title_alike(titles: Table) -> None:
    for title in titles.values():
        assert len(title["pressing"]) >= 2, title["id"]
        assert all(p["id"].startswith(title["id"] + "/") for p in title["pressing"])
        names = [p["name"] for p in title["pressing"]]
        assert len(names) == len(set(names)), title["id"]


def test_no_pressing_is_older_than_its_title_or_younger_than_the_world(titles: Table) -> None:
    for title in titles.values():
        first = parse_edtf(title["first"]).earliest
        assert first is not None
        assert date(1962, 1, 1) <= first
        for pressing in title["pressing"]:
            period = parse_edtf(pressing["period"])
            assert first <= (period.earliest or date.min), pressing["id"]
            if pressing.get("kind") == "counterfeit":
                assert period.latest is None, pressing["id"]
            else:
                assert (period.latest or date.max) <= date(1991, 6, 30), pressing["id"]


def test_a_title_is_first_issued_with_its_first_pressing(titles: Table) -> None:
    for title in titles.values():
        first = parse_edtf(title["first"]).earliest
        assert first in {parse_edtf(p["period"]).earliest for p in title["pressing"]}, title["id"]


def test_every_expectation_names_a_clue_of_its_book_or_country_and_one_of_its_answers(
    books: dict[str, Table], clues: Table
) -> None:
    for book in books.values():
        own = {c["id"][:3] for b in books.values() for c in b.get("clue", []) if b["book"].get("company") in (
            None, book["book"].get("company"))}  # fmt: skip
        for title in book.get("title", []):
            for pressing in title["pressing"]:
                for clue, expected in pressing["expect"].items():
                    assert clue[:3] in own, (pressing["id"], clue)
                    known = {answer["id"] for answer in clues[clue]["answer"]}
                    assert words_of(expected).keys() <= known, (pressing["id"], clue)
                    assert title["id"] in clues[clue].get("titles", [title["id"]]), (pressing["id"], clue)


def test_what_is_expected_of_a_pressing_was_made_in_its_time(pressings: Table, clues: Table) -> None:
    """A copy imitates what is older than itself; everything else can only show what its own time had."""
    for pressing in pressings.values():
        if pressing.get("kind") == "counterfeit":
            continue
        period = parse_edtf(pressing["period"])
        for clue, expected in pressing["expect"].items():
            for answer, word in words_of(expected).items():
                made = next(a for a in clues[clue]["answer"] if a["id"] == answer).get("made")
                if made and word != "rarely":
                    assert meets(period, parse_edtf(made)), (pressing["id"], clue, answer)


def meets(one: Span, other: Span) -> bool:
    return one.meet(other) is not None


def test_words_leave_room_for_one_another(pressings: Table) -> None:
    for pressing in pressings.values():
        for clue, expected in pressing["expect"].items():
            words = list(words_of(expected).values())
            assert words.count("always") + words.count("usually") <= 1, (pressing["id"], clue)


def test_catalogue_numbers_follow_each_company_s_numbering(books: dict[str, Table], titles: Table) -> None:
    rules = [rule for book in books.values() for rule in book.get("numbering", [])]
    for title in titles.values():
        for catalogue in title["catalogues"]:
            prefix, number = catalogue.split(" ")
            if prefix in ("TB", "TBD"):  # the boxes are too few to have a rule
                continue
            within = [rule for rule in rules if rule["low"] <= int(number) <= rule["high"]]
            fits = [rule for rule in within if rule["prefix"] == prefix]
            if not fits:  # a stereo twin shares the number of the mono issue
                fits = [rule for rule in within if rule["prefix"] == MONO[prefix]]
            assert len(fits) == 1, catalogue
            assert meets(parse_edtf(fits[0]["first"]), parse_edtf(title["first"])), catalogue


def test_each_pressing_has_a_number_of_its_title(titles: Table) -> None:
    for title in titles.values():
        for pressing in title["pressing"]:
            assert pressing["catalogue"] in title["catalogues"], pressing["id"]
            assert pressing.get("channels", title["channels"]) in ("mono", "stereo"), pressing["id"]
            # the private seventy-two of one title had a twist of bell rope, which no later copy had
            came = {*title.get("extras", []), "twist of bell rope"}
            assert set(pressing.get("extras", [])) <= came, pressing["id"]


def test_a_stamper_cipher_has_ten_different_letters(books: dict[str, Table]) -> None:
    ciphers = [cipher for book in books.values() for cipher in book.get("cipher", [])]
    assert len(ciphers) == 3
    for cipher in ciphers:
        assert len(cipher["letters"]) == len(set(cipher["letters"])) == 10
        assert sorted(cipher["digits"]) == list("0123456789")


def test_matrix_stems_name_every_side_and_no_two_titles_share_one(titles: Table) -> None:
    stems = [stem for title in titles.values() for stem in title["stems"].values()]
    assert len(stems) == len(set(stems))
    for title in titles.values():
        assert "".join(title["stems"]) == "ABCDEF"[: 2 * title.get("discs", 1)], title["id"]


def test_cuts_are_answers_of_the_book_and_stereo_cuts_begin_at_five(titles: Table, clues: Table) -> None:
    for title in titles.values():
        known = {answer["id"] for answer in clues[title["id"][:3] + "cut"]["answer"]}
        for pressing in title["pressing"]:
            for first, second, _ in pressing["cuts"]:
                assert {first, second} <= known, pressing["id"]
                stereo = title["channels"] == "both" and pressing["channels"] == "stereo"
                assert (int(first) >= 5) == stereo, pressing["id"]
                assert (int(second) >= 5) == stereo, pressing["id"]


def test_most_records_are_cheap_and_a_few_are_dear(pressings: Table) -> None:
    prices = [Decimal(pressing["price"]) for pressing in pressings.values()]
    assert min(prices) == 4
    assert max(prices) == 900
    assert median(prices) <= 30
    assert 10 <= sum(price >= 150 for price in prices) <= 30


def test_an_imitation_is_cheap_and_gives_itself_away_on_disc_and_cover(
    pressings: Table, clues: Table
) -> None:
    copies = [pressing for pressing in pressings.values() if pressing.get("kind") == "counterfeit"]
    assert len(copies) >= 5
    for copy in copies:
        true = pressings[copy["imitates"]]
        assert Decimal(copy["price"]) * 10 < Decimal(true["price"]), copy["id"]
        telling = [clue for clue in copy["expect"] if words_of(copy["expect"][clue]).keys().isdisjoint(
            words_of(true["expect"].get(clue, {})))]  # fmt: skip
        parts = {clues[clue]["part"] for clue in telling}
        assert {"disc", "cover"} <= parts, copy["id"]


def test_every_kind_and_size_that_the_demo_shows_is_there(titles: Table, pressings: Table) -> None:
    kinds = {pressing.get("kind", "ordinary") for pressing in pressings.values()}
    assert kinds == {"ordinary", "promotional", "test", "club", "export", "counterfeit"}
    assert {title.get("size_in", 12) for title in titles.values()} == {7, 10, 12}
    assert {title.get("discs", 1) for title in titles.values()} == {1, 2, 3}


def test_number_brackets_follow_on_without_overlap(clues: Table) -> None:
    for clue in clues.values():
        if clue.get("form") == "number":
            rows = sorted((a["low"], a["high"]) for a in clue["answer"] if "low" in a)
            assert all(low <= high for low, high in rows), clue["id"]
            assert all(one[1] < two[0] for one, two in pairwise(rows)), clue["id"]


def test_each_company_asks_of_disc_cover_and_inner(clues: Table) -> None:
    for prefix in ("tw-", "bm-", "fd-"):
        own = [clue for clue in clues.values() if clue["id"].startswith(prefix)]
        assert 8 <= len(own) <= 17
        assert {"disc", "cover", "inner"} <= {clue["part"] for clue in own}
        assert {"choice", "number", "cut"} == {clue.get("form", "choice") for clue in own}


def test_check_finds_nothing_wrong_with_the_books(demo: Path) -> None:
    assert [problem.one_line() for problem in check_books([demo / "shop" / "books"])] == []


@pytest.mark.parametrize(("catalogue", "year"), [("TW 438", 1972), ("FDD 228", 1979), ("BM 76", 1967)])
def test_a_number_alone_dates_a_title_roughly(library: Library, catalogue: str, year: int) -> None:
    first = library.first_issued(catalogue)
    assert first is not None
    assert first.meet(Span(date(year, 7, 1), date(year, 7, 1)))


def test_the_library_reads_every_title_and_pressing_of_the_books(library: Library, titles: Table) -> None:
    rows = {row.id: row for row in library.titles() if row.id in titles}
    assert rows.keys() == titles.keys()
    for title_id, title in titles.items():
        read = library.title(title_id)
        assert read is not None
        assert [p.id for p in read.pressings] == [p["id"] for p in title["pressing"]]
        assert rows[title_id].pressings == len(title["pressing"])
