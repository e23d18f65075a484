"""Out by post: packed, sent, arrived or lost and claimed; the packing slip; what came back beside what went."""

import pytest
from bench_hands import Hands
from test_listing import section

from benchtui.desk.keyboard.perform import run
from benchtui.desk.record.coming_back import LOOK_AGAIN
from benchtui.model.record import ARRIVED, CLAIM, PACK, work_left


@pytest.fixture
def sold(parcel: Hands) -> Hands:
    """A record sold with postage, on its page."""
    parcel.find("baf").take("cover")
    parcel.grade("VG")
    parcel.take("disc")
    parcel.grade("VG", "+").do("runout").enter("3 7q")
    parcel.enter("2 4").do("price-hand").enter("24").do("take-in", "take-in")
    parcel.do("line-leave", "previous-record", "record-page", "record-sell").enter("M. Larch; 41; post 4.50")
    return parcel


def _waiting(hands: Hands) -> list[tuple[str, str]]:
    return [(one.what, one.due) for one in hands.desk.shop.waiting()]


def _step(hands: Hands, no: int, text: str) -> Hands:
    return hands.do("record-post").key(str(no)).enter(text)


def test_it_goes_out_step_by_step_and_the_work_list_knows_what_comes_next(sold: Hands) -> None:
    assert _waiting(sold) == [(PACK, "")]
    _step(sold, 1, "two boards; y; 410 g; 30")
    _step(sold, 2, "Harbour Post; HP 118; +6")
    assert _waiting(sold) == [(ARRIVED, "2026-12-01")]
    assert sold.desk.shop.find("hp 118")
    said = section(sold, "post")
    assert "packed, two boards, disc outside its cover, 410 g, insured for 30.00 GBP" in said
    assert "sent, Harbour Post, tracking HP 118, should be there by 2026-12-01" in said
    sold.do("record-post").key("s")
    (path,) = (sold.desk.shop.path / "exports").glob("packing-*.html")
    slip = path.read_text(encoding="utf-8")
    assert "disc outside its cover, 410 g" in slip
    assert "M. Larch" in slip
    assert "24.00" not in slip  # no price on it
    assert path.stat().st_mode & 0o077 == 0
    _step(sold, 3, "arrived well")
    assert _waiting(sold) == []


def test_what_came_back_is_not_waited_for_at_the_buyers(sold: Hands) -> None:
    _step(sold, 2, "Harbour Post")
    sold.do("record-return").enter("clicks")
    assert _waiting(sold) == []


def test_lost_on_its_way_it_is_claimed_by_the_day_the_carrier_names(sold: Hands) -> None:
    _step(sold, 2, "Harbour Post")
    assert _waiting(sold) == [(ARRIVED, "2026-12-09")]
    _step(sold, 4, "not there; +10")
    assert _waiting(sold) == [(CLAIM, "2026-12-05")]
    _step(sold, 4, "no trace; +10; 2026-11-18")
    assert (CLAIM, "2026-11-28") in _waiting(sold), "from the day it was lost, whenever that is entered"
    sold.do("page-leave", "undo", "record-page")
    assert "the carrier's terms decide" in sold.desk.shop.waiting()[0].note
    _step(sold, 6, "claim 44-1")
    _step(sold, 7, "24; in full")
    assert _waiting(sold) == []
    assert "settled, in full, 24.00 GBP" in section(sold, "post")
    sold.do("page-leave", "undo")
    assert [step["what"] for step in sold.record["post"]] == ["sent", "lost", "claimed"]


REFUSED = (
    (1, "boards; perhaps", "y or n"),
    (1, "boards; y; heavy", "not a weight"),
    (1, ";;;", "how; disc outside"),
    (2, "; HP 1", "which carrier?"),
    (4, "; +10", "what is known"),
    (7, "; in full", "what did the carrier pay?"),
    (3, "well; +3", "has not come yet"),
    (3, "a; b; c; d", "too many"),
)


def test_a_step_that_says_too_little_is_refused_and_stays(breakwater: Hands) -> None:
    breakwater.do("record-page")
    for no, text, why in REFUSED:
        _step(breakwater, no, text)
        assert breakwater.refused, text
        assert why in breakwater.said
        assert breakwater.desk.open.line is not None
        breakwater.key(*["backspace"] * len(text)).do("line-leave")
    assert "post" not in breakwater.record
    breakwater.do("record-post").key("s")
    assert breakwater.said == "no packing slip: it is not sold"


def test_what_came_back_is_told_by_number_grades_and_photographs_too(sold: Hands) -> None:
    sold.do("record-compare").enter("3 7q | 2 4; tw-363; VG+/VG; -")
    assert sold.said == "the runouts are those that went out"
    sold.do("record-compare").enter("- | 2 4; TW 100; VG/VG; a corner is torn")
    assert sold.said.startswith("another disc came back: the number went out as TW 363, came back as TW 100")
    assert "the disc went out as VG+, came back as VG" in sold.said
    assert "not as photographed: a corner is torn" in sold.said
    assert [one.what for one in sold.desk.shop.waiting()] == [PACK, LOOK_AGAIN]
    assert [one["what"] for one in work_left(sold.record)] == [LOOK_AGAIN], "described as what went out"
    sold.do("record-compare").enter("3 7q | 2 4; TW 363; VG+/VG")
    assert work_left(sold.record) == [], "it was misread"
    sold.do("record-compare").enter("3 7q | 2 4; ; Q")
    assert sold.refused
    assert "not a grade" in sold.said


def test_the_sold_record_s_page_writes_its_invoice_to_be_printed(sold: Hands) -> None:
    sold.do("page-more").enter("invoice")
    (path,) = (sold.desk.shop.path / "exports").glob("invoice-*.html")
    paper = path.read_text(encoding="utf-8")
    assert "M. Larch" in paper
    assert "4.50" in paper
    assert sold.said.endswith(str(path)), "no tax stands on it"


def test_an_invoice_with_tax_on_it_tells_the_dealer_that_it_is_an_estimate(sold: Hands) -> None:
    sold.do("undo", "record-sell").enter("M. Larch; 42; tax 1.20").do("page-more").enter("invoice")
    assert not sold.refused
    assert sold.said.endswith("Figures of tax are estimates: the local tax and customs authority and a "
                              "licensed accountant decide.")  # fmt: skip


def test_what_is_refunded_whole_before_it_was_sent_is_packed_no_more(sold: Hands) -> None:
    sold.do("record-refund").enter("4; scratch")
    assert _waiting(sold) == [(PACK, "")], "the rest of it is paid"
    sold.do("record-refund").enter("all; asked not to send it")
    assert _waiting(sold) == []
    sold.do("record-correct").enter(f"{len(sold.record['life'])}; not so, the buyer wants it; void")
    assert _waiting(sold) == [(PACK, "")]
    sold.do("page-leave", "undo")
    assert _waiting(sold) == []


def _paper(hands: Hands, command: str, text: str) -> list[tuple[str, str]]:
    run(hands.desk, command)
    hands.enter(text)
    return [one for one in _waiting(hands) if one[0] == PACK]


def test_what_was_sold_together_is_packed_while_one_of_them_is_paid_for(demo: Hands) -> None:
    """The work went with the record that came back; refunded whole it stayed where that was of a parcel
    written before another.
    """
    demo.do("line-leave")
    assert _paper(demo, "sell", "A00007 + A00008; ; 60 + 60; M. Larch; 41; post 4.50") == [(PACK, "")]
    assert _paper(demo, "credit-note", "A00007; ; all; not this one") == [(PACK, "")]
    assert _paper(demo, "sell", "A00007 + A00005; ; 60 + 60; M. Larch; 42; post 4.50") == [(PACK, "")] * 2
    assert _paper(demo, "credit-note", "A00007 + A00005; ; all off; not to be sent") == [(PACK, "")]
