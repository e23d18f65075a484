"""A copy is not its own witness, and a doubted part teaches nothing."""

from benchtui.evidence.learn import counts_of, others
from benchtui.model.record import RecordDoc, empty_record, new_part


def taken_in(answer: str, **pressing: object) -> RecordDoc:
    record = empty_record(1)
    cover = new_part("cover")
    record["parts"].append(cover)
    record["answers"].append(
        {
            "part": cover["id"],
            "place": "front",
            "clue": "top",
            "answer": answer,
            "value": None,
            "how": "seen",
            "text": "",
            "book": "",
            "at": "",
        }
    )
    record["pressing"] = {"id": "x/1", "how": "leader", "p": 0.99, "learn": True}
    record["pressing"].update(pressing)  # type: ignore[typeddict-item]
    return record


def test_what_a_record_taught_is_left_out_where_it_is_weighed_itself() -> None:
    mine, other = taken_in("stereo"), taken_in("mono")
    counts = counts_of([mine, other])
    left = others(counts, mine, lambda clue: None)
    assert left["x/1"]["n"] == 1
    assert left["x/1"]["clues"]["top"] == {"stereo": 0, "mono": 1}
    assert counts["x/1"]["n"] == 2


def test_a_record_that_taught_nothing_changes_no_counts() -> None:
    counts = counts_of([taken_in("mono")])
    assert others(counts, taken_in("stereo", learn=False), lambda clue: None) == counts


def test_a_part_doubted_at_take_in_teaches_nothing() -> None:
    record = taken_in("stereo")
    record["pressing"]["doubted"] = [record["parts"][0]["id"]]
    assert counts_of([record])["x/1"]["clues"] == {}
    record["rulings"][record["parts"][0]["id"]] = "own"
    assert counts_of([record])["x/1"]["clues"] == {"top": {"stereo": 1}}
