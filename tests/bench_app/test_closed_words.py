"""What is entered of a closed day says on which open day the books have it."""

import pytest

from benchtui.desk.core.closed_books import booked_into, change_of_closed

TODAY = "2026-11-25"


@pytest.mark.parametrize(
    ("closed", "on", "said"),
    [
        ("", "2026-11-24", ""),
        ("2026-10-31", "2026-11-01", ""),
        ("2026-10-31", "", ""),
        ("some day", TODAY, ""),
        ("2026-10-31", "2026-10-31", "; booked on 2026-11-25: the books are closed to 2026-10-31"),
        (TODAY, TODAY, "; booked on 2026-11-26: the books are closed to 2026-11-25"),
    ],
)
def test_the_open_day_is_today_or_the_first_after_what_is_closed(closed: str, on: str, said: str) -> None:
    assert booked_into({"closed_through": closed}, TODAY, on) == said


def test_a_rule_that_holds_only_from_an_open_day_moves_no_closed_figure() -> None:
    shop, old = {"closed_through": "2026-10-31"}, {"vat_rate": "20", "half_life_days": "1", "insures": "shop"}
    said = "; booked on 2026-11-25: the books are closed to 2026-10-31"
    always = {"from": "", "value": "20"}
    later = [always, {"from": "2026-11-01", "value": "19"}]
    before = [always, {"from": "2026-10-31", "value": "19"}]
    assert change_of_closed(shop, TODAY, old, {"vat_rate": later}) == ""
    assert change_of_closed(shop, TODAY, old, {"vat_rate": before}) == said
    assert change_of_closed(shop, TODAY, old, {"half_life_days": "2", "insures": "sender"}) == ""
    assert change_of_closed({}, TODAY, old, {"vat_rate": "19"}) == ""
