"""Every number of a title finds it: the title's further ones, and those of its pressings."""

import pytest
from bench_hands import Hands


@pytest.mark.parametrize("number", ["BM 118", "BMD 118", "bmd118"])
def test_a_title_is_found_by_each_of_its_numbers(parcel: Hands, number: str) -> None:
    parcel.find(number)
    record = parcel.record
    assert record["title"] is not None
    title = parcel.desk.library.title(record["title"]["id"])
    assert title is not None
    assert "BMD 118" in title.catalogues
