"""The work list: what is still to do, with what to mind; the shot list; chores by rule."""

import re
from types import SimpleNamespace
from typing import Any

import pytest

from benchtui.books.cautions import cautions, said
from benchtui.books.faults import load_faults
from benchtui.books.scales import load_scales
from benchtui.export.chores import by_rule, caution, chores
from benchtui.export.shots import shots
from benchtui.export.wording import Wording
from benchtui.model.grade import Fault

WORDS = Wording.of(load_scales(()), load_faults(()))


def chore(what: str, part: str = "", **fields: Any) -> Any:
    made = {"id": "h", "what": what, "part": part, "note": "", "by": "key", "at": "2026-11-25T11:00:00+00:00"}
    return made | {"done": None} | fields


def test_every_chore_not_done_is_listed_oldest_first(make: SimpleNamespace) -> None:
    first = make.record(chores=[chore("clean", "d1"), chore("repair", "c1", done="2026-11-25")])
    older = chore("photograph", at="2026-11-20T11:00:00+00:00")
    items = [make.item(first), make.item(make.record(2, "A00002", chores=[older]))]
    table = chores(items, WORDS)
    assert table.cells("chore_what") == ("photograph", "clean")
    assert table.cells("chore_since") == ("2026-11-20", "2026-11-25")
    assert table.cells("chore_part") == ("", "disc")
    assert table.names[0] == "stock_number"


def test_a_record_not_yet_taken_in_is_on_the_list_by_its_place(make: SimpleNamespace) -> None:
    record = make.record(7, None, state="started", chores=[chore("clean", "d1")])
    row = chores([make.item(record)], WORDS).dicts()[0]
    assert (row["stock_number"], row["parcel_id"], row["parcel_place"]) == ("", "2026-11-25-1", "7")


def test_what_is_set_apart_is_on_the_list_of_the_house_and_what_was_taken_out_is_not(
    make: SimpleNamespace,
) -> None:
    apart = {"why": "mould", "note": "", "at": ""}
    mouldy = make.record(set_apart=apart, chores=[chore("clean", "d1")])
    gone = make.record(2, state="withdrawn", chores=[chore("clean", "d1")])
    table = chores([make.item(mouldy), make.item(gone)], WORDS)
    assert table.cells("chore_apart") == ("mould",)
    assert table.cells("chore_caution")[0].startswith(said("mould"))


@pytest.mark.parametrize(
    ("what", "material", "minded"),
    [
        ("clean", "shellac", ("alcohol", "cleaning")),
        ("clean", "lacquer", ("alcohol", "lacquer", "cleaning")),
        ("clean", "styrene", ("polystyrene", "cleaning")),
        ("play-test", "styrene", ("polystyrene",)),
        ("clean", "vinyl", ("cleaning",)),
        ("repair", "vinyl", ("blades",)),
        ("photograph", "vinyl", ("evidence",)),
        ("play-test", "vinyl", ()),
    ],
)
def test_the_caution_stands_at_the_right_chore(
    make: SimpleNamespace, what: str, material: str, minded: tuple[str, ...]
) -> None:
    record = make.record()
    record["parts"][0]["material"] = material
    assert caution(record, chore(what, "d1"), WORDS) == "; ".join(map(said, minded))


@pytest.mark.parametrize(
    ("fault", "work", "minded"),
    [
        ("residue", "clean", ("alcohol", "solvents", "cleaning")),
        ("crack", "play-test", ("broken",)),
        ("edge-chip", "photograph", ("broken", "evidence")),
        ("warp", "play-test", ("warp",)),
        ("mould-disc", "clean", ("mould", "alcohol", "cleaning")),
        ("bloom", "clean", ("alcohol", "lacquer", "cleaning")),
        ("crazing", "play-test", ("lacquer",)),
    ],
)
def test_the_cautions_of_the_parts_faults_are_said_at_their_work(
    make: SimpleNamespace, fault: str, work: str, minded: tuple[str, ...]
) -> None:
    record = make.record()
    record["parts"][0]["faults"] = [make.fault(fault, "some")]
    assert caution(record, chore(work, "d1"), WORDS) == "; ".join(map(said, minded))


def test_what_a_shops_own_fault_says_of_its_chore_is_said_too(make: SimpleNamespace) -> None:
    record = make.record()
    record["parts"][0]["faults"] = [make.fault("own", "some")]
    own = Fault("own", "q", "own", ("disc",), (), chore="clean", handling="only with the left hand")
    words = Wording.of({}, [own])
    assert caution(record, chore("clean", "d1"), words) == f"{said('cleaning')}; only with the left hand"


def test_every_caution_is_reached(make: SimpleNamespace) -> None:
    named = {one for fault in load_faults(()) for one in fault.cautions}
    by_rule_alone = {"lifting", "claims", "rules"}  # said at the parcel, its deadline, and the foot
    for one in cautions().values():
        assert one.always or one.materials or one.apart or one.id in named | by_rule_alone, one.id


def test_faults_call_for_their_chores_once(make: SimpleNamespace) -> None:
    record = make.record()
    record["parts"][0]["faults"] = [make.fault("dust", "some"), make.fault("residue", "some")]
    record["parts"][1]["faults"] = [make.fault("hairlines", "light")]
    made = by_rule(record, WORDS, "2026-11-25T12:00:00+00:00")
    assert [(one["what"], one["part"], one["by"], one["done"]) for one in made] == [
        ("clean", "d1", "rule", None)
    ]
    assert made[0]["note"].startswith("dust")
    record["chores"] = [chore("clean", "d1", done="2026-11-25")]
    assert by_rule(record, WORDS, "") == []


def test_the_number_slip_comes_first_and_wraps_before_what_they_cover(make: SimpleNamespace) -> None:
    record = make.record()
    record["parts"].append(make.part("wrap", "w1"))
    record["parts"][1]["faults"] = [make.fault("sticker", "one", "front")]
    names = [shot.file for shot in shots(make.item(record), WORDS)]
    assert names[:3] == ["A00001-00-number-slip.jpg", "A00001-01-wrap.jpg", "A00001-02-cover-front.jpg"]
    assert any("cover-sticker-or-price-tag-front" in name for name in names)
    assert [name for name in names if "label-a" in name and "disc" in name]
    assert sorted(names) == names


def test_file_names_live_on_every_system(make: SimpleNamespace) -> None:
    record = make.record(3, None)
    record["parts"] = [make.part("extra", "e", name='po/ster: "\u00e9" \u05e9 [x]', state="present")]
    names = [shot.file for shot in shots(make.item(record), WORDS)]
    assert names[0] == f"2026-11-25-1-{record['id']}-00-number-slip.jpg"
    assert [one.file for one in shots(make.item({**record, "no": 2}), WORDS)] == names, "wherever it stands"
    assert all(re.fullmatch(r"[A-Za-z0-9-]+\.jpg", name) for name in names)


def test_a_photograph_chore_carries_its_shot_list(make: SimpleNamespace) -> None:
    table = chores([make.item(make.record(chores=[chore("photograph"), chore("clean", "d1")]))], WORDS)
    shot_cells = dict(zip(table.cells("chore_what"), table.cells("chore_shots"), strict=True))
    assert shot_cells["photograph"].startswith("A00001-00-number-slip.jpg | A00001-01-cover-front.jpg")
    assert shot_cells["clean"] == ""


def test_a_wrap_is_photographed_by_rule_before_anything_is_removed(make: SimpleNamespace) -> None:
    record = make.record(chores=[])
    record["parts"] = [make.part("wrap", "w1"), make.part("wrap", "w2", state="missing")]
    (chore,) = by_rule(record, make.words(), "2026-11-25T10:00:00Z")
    assert (chore["what"], chore["part"], chore["by"]) == ("photograph", "w1", "rule")
    assert chore["note"] == "before anything is removed"
    record["chores"] = [{**chore, "done": "2026-11-26"}]
    assert by_rule(record, make.words(), "2026-11-25T10:00:00Z") == [], "once done it is not asked for again"
