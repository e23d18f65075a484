"""One reader of dates: what lists, tables, cells and typed lines all take."""

import pytest

from benchtui.model.span import parse_dated
from benchtui.model.when import as_read, read_time


@pytest.mark.parametrize(
    ("typed", "edtf"),
    [
        ("1962-66", "[1962..1966]"),
        ("1965-7", "[1965..1967]"),
        ("67-69", "[1967..1969]"),
        ("1925-30", "[1925..1930]"),
        ("1925-12", "1925-12"),
        ("c1966-c1969", "[1966~..1969~]"),
        ("1967?", "1967?"),
        ("1966?-68", "[1966?..1968]"),
        ("196x", "196X"),
        ("196x to 1972", "[196X..1972]"),
        ("early 1974", "1974-37"),
        ("mid-1974", "1974-38"),
        ("late 1960s", "[1967..1969]"),
        ("late '60s", "[1967..1969]"),
        ("early sixties", "[1960..1963]"),
        ("winter 1967", "1967-24"),
        ("winter 1920", "[1920-12..1921-02]"),
        ("Mar. '58", "1958-03"),
        ("März 1958", "1958-03"),
        ("Sept '74 to 12/77", "[1974-09..1977-12]"),
        ("before 1970", "[..1969]"),
        ("1958..", "[1958..]"),
        ("since about 1966", "[1966~..]"),
        ("'58-'60", "[1958..1960]"),
        ("the sixties", "[1960..1969]"),
        ("60s", "[1960..1969]"),
        ("May 61 or later", "[1961-05..]"),
        ("1964 or before", "[..1964]"),
        ("1963 or 64", "[1963,1964]"),
        ("1962 ff", "[1962..]"),
        ("never before 1971", "[1971..]"),
        ("pre-1965", "[..1964]"),
        ("post 1965", "[1966..]"),
        ("first half of 1962", "[1962-01..1962-06]"),
        ("after the summer of 1962", "[1962-09..]"),
        ("till end of 64", "[..1964-39]"),
        ("up to mid 1963", "[..1963-38]"),
        ("to 1963-07-02", "[..1963-07-02]"),
        ("from 1961 up to mid 1963", "[1961..1963-38]"),
        ("1961 till 1963-07-02", "[1961..1963-07-02]"),
        ("1961 through 1963", "[1961..1963]"),
        ("until July 2nd, 1963", "[..1963-07-02]"),
    ],
)
def test_what_people_write_is_edtf_and_means_the_same_when_read_again(typed: str, edtf: str) -> None:
    assert read_time(typed) == edtf
    assert parse_dated(read_time(edtf)) == parse_dated(edtf)


@pytest.mark.parametrize(
    "typed",
    [
        "",
        "140-150",
        "1968-66",
        "31/31/1967",
        "next spring",
        "TW 1967",
        "-",
        "early 60",
        "maroon '58-'60",
        "marbled 1958-60",
        "octagon 1961",
        "deco 1962",
        "sepia 1963..",
        "junk 1961",
    ],
)
def test_what_is_no_date_is_said_to_be_none(typed: str) -> None:
    with pytest.raises(ValueError, match=r"is not a date|reversed"):
        read_time(typed)


@pytest.mark.parametrize(
    ("edtf", "shown"),
    [("1967?", "perhaps 1967"), ("1967~", "about 1967, 1966-07..1968-06"),
     ("[1966?..1968]", "1966..1968, not sure"), ("[1962..1966]", "1962..1966"),
     ("[..1969]", "..1969"), ("[1967,1969]", "1967 or 1969")],
)  # fmt: skip
def test_a_date_is_shown_as_it_was_read(edtf: str, shown: str) -> None:
    assert as_read(edtf) == shown
