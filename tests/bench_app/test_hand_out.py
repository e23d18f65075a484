"""What changed since the last hand-out, from the bench in a few keys."""

from pathlib import Path

from bench_hands import Hands

from benchtui.export.csvfile import read_csv


def _written(hands: Hands, name: str) -> list[str]:
    (path,) = (hands.desk.shop.path / "exports").glob(f"{name}-changes-*.csv")
    return [row[0] for row in read_csv(path).rows]


def test_in_two_keys_what_changed_is_written(demo: Hands) -> None:
    for path in (demo.desk.shop.path / "exports" / "layouts").glob("*.toml"):
        Path(path).unlink()
    if demo.desk.open.line:
        demo.do("line-leave")
    demo.do("parcels-page", "parcels-hand-out")
    assert "export 1 of intake" in demo.said
    assert set(_written(demo, "intake")) == {"new"}


def test_where_there_are_layouts_the_place_is_asked(demo: Hands) -> None:
    if demo.desk.open.line:
        demo.do("line-leave")
    demo.do("parcels-page", "parcels-hand-out")
    assert demo.desk.open.menu is not None
    demo.key("2")  # three keys, however many changed
    assert "export 1 of web" in demo.said
    assert demo.desk.open.menu is None
    listed = [one["listing"] for one in demo.desk.work.records if one.get("listing")]
    assert listed
    assert all([event["what"] for event in events] == ["online"] for events in listed)
