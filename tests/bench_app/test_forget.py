"""At the bench a person is forgotten by one key, after what goes and what stays was said."""

from bench_hands import Hands

from benchtui.desk.keyboard.perform import run


def test_a_person_is_forgotten_on_the_open_parcel_too(parcel: Hands) -> None:
    parcel.ready().do("take-in", "take-in").do("line-leave", "previous-record", "record-page")
    parcel.do("record-question").enter("M. Larch; how heavy is it?").do("record-hold").enter("M. Larch; +7")
    parcel.do("page-leave")
    run(parcel.desk, "forget")
    parcel.enter("m. larch")
    menu = parcel.desk.open.menu
    assert menu is not None
    assert "law of your place" in menu.about
    parcel.key("1")
    assert "removed in 1 parcel" in parcel.said
    assert parcel.record["questions"] == []
    assert parcel.record["life"][0]["who"] == "(forgotten)"
    parcel.do("undo")
    assert parcel.record["questions"] == []
    run(parcel.desk, "forget")
    parcel.enter("m. larch")
    assert parcel.desk.open.menu is None
    assert "nobody has that name" in parcel.said or "decides" in parcel.said
