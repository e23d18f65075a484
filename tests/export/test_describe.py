"""Descriptions: every claim stands on an entry, doubt has fixed words, edited text is kept and marked."""

from pathlib import Path
from types import SimpleNamespace

import pytest
from claimed import ANSWER, entry, said

from benchtui.base.errors import BenchError
from benchtui.evidence.results import Agreement, Fit, Likely, Surprise
from benchtui.export.claims import CLAIMS, say
from benchtui.export.describe import (
    check_templates,
    describe,
    description_columns,
    edit,
    load_templates,
    template_named,
)
from benchtui.export.intake import intake
from benchtui.export.slips import slip_sheet

TEMPLATES = load_templates()


def test_a_record_is_described_whole(make: SimpleNamespace) -> None:
    record = make.record(answers=[ANSWER, ANSWER | {"part": "i1", "place": "front", "clue": "advert"}])
    record["parts"][0]["faults"] = [make.fault("hairlines", "light", "side B")]
    told = describe(make.item(record, make.weighing()), make.words(), TEMPLATES["long"], "long")
    assert told.title == "The Lantern Quire: Moths at Noon, TW 1041, mono"
    assert told.text == (
        "Pressing: first mono, gold label. Company: Tarrowick. Title first issued in May 1967. "
        "The inner sleeve is probably from another copy. "
        "Disc probably made between May 1967 and February 1968. Runout A: DV 1041 A/1, B: 2u. "
        "Graded: disc VG+; cover VG; inner sleeve G (as arrived, American scale). "
        "Faults: disc: hairlines (light, side B); cover: seam split (4 cm, bottom). With poster."
    )


@pytest.mark.parametrize("name", ["long", "short", "bare"])
def test_every_claim_stands_on_an_entry_of_the_record(make: SimpleNamespace, name: str) -> None:
    record = make.record(answers=[ANSWER], rulings={"i1": "swapped"})
    record["parts"][0]["grades"].append(make.grade("VG", "B", when="played"))
    record["parts"][1]["origin"] = {"record": "r-9"}
    record["parts"].append(make.part("extra", "e2", name="insert", expected=True, state="missing"))
    item = make.item(record, make.weighing())
    claims = describe(item, make.words(), TEMPLATES[name], name).claims
    assert claims
    for claim in claims:
        assert claim.entries, claim.field
        assert all(entry(record, path) is not None for path in claim.entries)


def test_an_entry_that_is_not_there_is_not_taken_for_one(make: SimpleNamespace) -> None:
    for path in (
        "parts/d9/grades/0",
        "parts/d1/grades/7",
        "answers/d1/label A/tw-label",
        "rulings/i1",
        "stock/x",
    ):
        with pytest.raises(KeyError):
            entry(make.record(), path)


def test_a_record_of_which_nothing_is_known_claims_nothing(make: SimpleNamespace) -> None:
    record = make.record(title=None, parts=[], price=None, size_in=None, channels="")
    record["pressing"] = {"id": None, "how": "open", "p": None, "learn": False}
    texts = {field: say(field, make.item(record), make.words()) for field in CLAIMS}
    assert {field for field, one in texts.items() if one.text} == {"stock", "pressing"}
    assert texts["pressing"].text == "not established"
    assert describe(make.item(record), make.words(), TEMPLATES["long"]).text == "Pressing: not established."


@pytest.mark.parametrize(
    ("chance", "settled", "text"),
    [
        (0.97, True, "first mono"),
        (0.97, False, "probably first mono"),
        (0.80, False, "probably first mono"),
        (0.79, False, "consistent with first mono"),
        (0.50, False, "consistent with first mono"),
        (0.49, False, "not established"),
    ],
)
def test_how_sure_a_pressing_is_has_fixed_words(
    make: SimpleNamespace, chance: float, settled: bool, text: str
) -> None:
    record = make.record(pressing={"id": "q/1", "how": "leader", "p": chance, "learn": False})
    leader = Likely("q/1", "first mono", chance)
    assert said(make, "pressing", record, pressings=(leader,), settled=settled) == text
    if not settled:
        open_record = make.record(pressing={"id": None, "how": "open", "p": None, "learn": False})
        assert said(make, "pressing", open_record, pressings=(leader,), settled=settled) == text


def test_nothing_is_consistent_with_a_pressing_that_the_copy_is_unlike(make: SimpleNamespace) -> None:
    record = make.record(pressing={"id": None, "how": "open", "p": None, "learn": False})
    unlike = Fit(0.001, 0.01, (Surprise("d1", "label A", "tw-label", "Label paper", "reed", 30.0),))
    for chance in (0.97, 0.85, 0.6):
        leader = (Likely("q/1", "first mono", chance),)
        told = said(make, "pressing", record, pressings=leader, settled=False, find_fit=lambda: unlike)
        assert told == "not established"


def test_what_is_not_by_the_company_says_so_however_sure_it_is(make: SimpleNamespace) -> None:
    def told(chance: float, settled: bool = False, how: str = "leader") -> str:
        record = make.record(pressing={"id": "q/1", "how": how, "p": chance, "learn": False})
        false = (Likely("q/1", "imitation", chance, kind="counterfeit"),)
        return said(make, "pressing", record, pressings=false, settled=settled)

    assert told(0.97, settled=True) == told(0.97, how="hand") == "imitation (not by the company)"
    assert told(0.85) == "probably imitation; probably not by the company"
    assert told(0.6) == "consistent with imitation; not established whether it is by the company"
    assert told(0.4) == "not established"


@pytest.mark.parametrize("name", ["long", "short", "bare"])
def test_no_title_line_and_no_text_leaves_out_that_it_is_an_imitation(
    make: SimpleNamespace, name: str
) -> None:
    by_hand = make.record(pressing={"id": "q/1", "how": "hand", "p": None, "learn": False})
    doubtful = make.record(pressing={"id": None, "how": "open", "p": None, "learn": False})
    false = (Likely("q/1", "imitation", 0.6, kind="pirate"),)
    for record, weighed, told in (
        (by_hand, make.weighing(pressings=false), "not by the company"),
        (doubtful, make.weighing(pressings=false, settled=False), "not established whether it is by"),
        (doubtful, make.weighing(pressings=(), settled=False, suspect="pirate: x"), "whether it is by"),
    ):
        found = describe(make.item(record, weighed), make.words(), TEMPLATES[name])
        assert told in found.title
        assert told in found.text.lower()
        assert told in slip_sheet([make.item(record, weighed)], make.words()).decode()


def test_none_of_these_and_the_dealers_own_choice(make: SimpleNamespace) -> None:
    nothing = (Likely(None, "none of these", 0.9), Likely("q/1", "first mono", 0.1))
    record = make.record(pressing={"id": None, "how": "open", "p": None, "learn": False})
    assert said(make, "pressing", record, pressings=nothing, settled=False) == "not established"
    record = make.record(
        pressing={"id": "q/1", "how": "hand", "p": None, "learn": True, "name": "first mono"}
    )
    assert said(make, "pressing", record, pressings=nothing, settled=False) == "first mono"


def test_a_settled_pressing_brings_its_own_catalogue_number(make: SimpleNamespace) -> None:
    stereo = (Likely("q/1", "first stereo", 0.97, catalogue="TWD 1041"),)
    assert said(make, "catalogue", pressings=stereo) == "TWD 1041"
    assert said(make, "catalogue", pressings=stereo, settled=False) == "TW 1041"
    heard = make.record(answers=[ANSWER | {"clue": "word", "text": "Word for the sound: stereo"}])
    assert said(make, "catalogue", heard, pressings=stereo, settled=False) == "TWD 1041", "it says stereo"
    either = (*(one._replace(p=0.9) for one in stereo), Likely("q/2", "mono", 0.1, catalogue="TW 1041"))
    assert said(make, "catalogue", heard, pressings=either, settled=False) == "TW 1041"
    assert said(make, "catalogue", pressings=(Likely("q/1", "first", 0.97),)) == "TW 1041"
    assert said(make, "catalogue") == "TW 1041"
    row = intake([make.item(weighed=make.weighing(pressings=stereo))], make.words()).dicts()[0]
    assert (row["title_catalogue"], row["pressing_catalogue"]) == ("TW 1041", "TWD 1041")


def test_a_kind_is_claimed_only_of_a_settled_pressing(make: SimpleNamespace) -> None:
    promotional = (Likely("q/1", "white label", 0.97, kind="promotional"),)
    assert said(make, "kind", pressings=promotional) == "promotional copy"
    assert said(make, "kind", pressings=promotional, settled=False) == ""
    assert said(make, "kind", settled=True) == ""


@pytest.mark.parametrize(
    ("ruling", "p_swapped", "text"),
    [
        ("own", 0.99, "the inner sleeve belongs to it"),
        ("swapped", 0.01, "the inner sleeve is from another copy"),
        ("unsure", 0.5, "not established whether the inner sleeve belongs to it"),
        (None, 0.85, "the inner sleeve is probably from another copy"),
        (None, 0.6, "the inner sleeve is consistent with coming from another copy"),
        (None, 0.3, ""),
    ],
)
def test_the_dealers_ruling_goes_before_the_evidence(
    make: SimpleNamespace, ruling: str | None, p_swapped: float, text: str
) -> None:
    record = make.record(rulings={"i1": ruling} if ruling else {}, answers=[ANSWER | {"part": "i1"}])
    assert said(make, "agreement", record, agreement={"i1": Agreement(p_swapped, 0.0, "")}) == text


def test_what_was_seen_at_a_clue_can_be_named_by_a_template(make: SimpleNamespace) -> None:
    assert said(make, "answer:tw-label", make.record(answers=[ANSWER])) == "gold print on black"
    assert said(make, "answer:tw-label", make.record(answers=[ANSWER | {"how": "predicted"}])) == ""


def test_edited_words_are_kept_and_marked_once_the_facts_change(make: SimpleNamespace) -> None:
    record = make.record()
    item = make.item(record)
    record["description"] = edit(
        item, make.words(), "My title", "My words.", "long", "2026-11-25T12:00:00+00:00"
    )
    told = describe(item, make.words(), TEMPLATES["long"], "long")
    assert (told.title, told.text, told.edited, told.changed) == ("My title", "My words.", True, ())
    record["price"] = {"minor": 1, "currency": "GBP", "how": "hand"}
    record["shelf"] = "B 7"
    assert describe(item, make.words(), TEMPLATES["long"]).changed == ()
    record["parts"][0]["grades"].append(make.grade("G", when="played"))
    told = describe(item, make.words(), TEMPLATES["long"])
    assert told.text == "My words."
    assert told.changed == ("grades", "disc_grade", "play")


def test_nothing_is_cut_and_what_is_too_long_is_told(make: SimpleNamespace) -> None:
    record = make.record()
    record["parts"][1]["faults"] = [make.fault("seam-split", "cm", f"place {n}", "4") for n in range(40)]
    told = describe(make.item(record), make.words(), TEMPLATES["short"], "short")
    assert told.text.count("seam split") == 40
    assert told.over == len(told.text) - 300
    assert "With poster" not in told.text


def test_the_intake_gains_the_description_as_columns(make: SimpleNamespace) -> None:
    more = description_columns(TEMPLATES["short"], "short")
    row = intake([make.item()], make.words(), more=more).dicts()[0]
    assert row["text_title"] == "The Lantern Quire: Moths at Noon (TW 1041)"
    assert row["text_body"].startswith("Pressing: first mono, gold label.")
    assert (row["text_state"], row["text_over"]) == ("made", "0")


def test_the_shops_own_template_takes_the_place_of_one_shipped(tmp_path: Path) -> None:
    (tmp_path / "templates").mkdir()
    (tmp_path / "templates" / "bare.txt").write_text("{title}\n{grades}", encoding="utf-8")
    (tmp_path / "templates" / "mine.txt").write_text("{title}", encoding="utf-8")
    found = load_templates(tmp_path)
    assert set(found) == {"long", "short", "bare", "mine"}
    assert found["bare"] != TEMPLATES["bare"]
    (tmp_path / "templates" / "mine.txt").write_text("{title}\n\n  {colour}", encoding="utf-8")
    with pytest.raises(BenchError, match=r'mine\.txt:3: column 3: there is no field "colour"; did you mean'):
        load_templates(tmp_path)
    problems = check_templates(tmp_path)
    assert [(problem.line, problem.what) for problem in problems] == [
        (3, 'column 3: there is no field "colour"')
    ]
    with pytest.raises(BenchError, match="one of bare, long, short"):
        template_named(TEMPLATES, "none")


def test_the_three_templates_leave_no_loose_signs_behind(make: SimpleNamespace) -> None:
    bare = make.record(parts=[], price=None)
    for record in (make.record(), bare):
        for name, template in TEMPLATES.items():
            told = describe(make.item(record), make.words(), template, name)
            for loose in ("  ", "..", " .", " ,", ": .", "()", "[", "]", "{", "}"):
                assert loose not in told.text + "|" + told.title, (name, told)


def test_a_cover_alone_and_a_disc_alone_say_so_in_the_title_line(make: SimpleNamespace) -> None:
    record = make.record()
    whole = record["parts"]
    for template in TEMPLATES.values():
        cover = describe(make.item(record | {"parts": whole[1:3]}), make.words(), template)
        assert ", cover only" in cover.title
        whole[1]["state"] = "missing"
        assert (
            ", disc only" in describe(make.item(record | {"parts": whole[:2]}), make.words(), template).title
        )
        whole[1].pop("state")
        for parts in (whole, [whole[0], whole[2]]):
            assert "only" not in describe(make.item(record | {"parts": parts}), make.words(), template).title
    assert said(make, "only", record | {"parts": [make.part("box", "b")]}) == "box only"


def test_what_the_title_came_as_is_not_claimed_of_the_copy(make: SimpleNamespace) -> None:
    assert said(make, "channels", make.record(channels="both")) == ""
    assert said(make, "channels") == "mono"


def test_the_number_of_a_limited_cover_is_told_and_a_runout_is_no_number(make: SimpleNamespace) -> None:
    number = ANSWER | {
        "part": "c1",
        "clue": "tw-number",
        "value": 3417,
        "text": "Number of the limited cover: 3417",
    }
    cut = ANSWER | {"clue": "tw-cut", "value": "DV 1", "text": "Cut"}
    assert said(make, "numbers", make.record(answers=[number, cut])) == "Number of the limited cover: 3417"


def test_figures_of_several_parts_say_where_each_stands(make: SimpleNamespace) -> None:
    year = ANSWER | {"clue": "u-year", "value": 1972, "text": "Latest year: 1972"}
    later = year | {"value": 1974, "text": "Latest year: 1974"}
    cover, other_side = {"part": "c1", "place": "back"}, {"place": "label B"}
    assert said(make, "numbers", make.record(answers=[year, year | cover])) == "Latest year: 1972"
    assert said(make, "numbers", make.record(answers=[year, later | cover])) == (
        "Latest year: 1972 (disc); Latest year: 1974 (cover)"
    )
    assert said(make, "numbers", make.record(answers=[year, later | other_side])) == (
        "Latest year: 1972 (label A); Latest year: 1974 (label B)"
    )


def test_what_stood_on_a_part_that_left_is_not_told(make: SimpleNamespace) -> None:
    number = ANSWER | {"part": "c1", "clue": "n", "value": 3417, "text": "Number: 3417"}
    record = make.record(answers=[number])
    assert said(make, "numbers", record) == said(make, "answer:n", record) == "Number: 3417"
    record["parts"][1]["gone"] = {"to": "r-9"}
    assert said(make, "numbers", record) == said(make, "answer:n", record) == ""


def test_a_cover_alone_is_no_pressing_and_only_names_one(make: SimpleNamespace) -> None:
    record = make.record()
    record["parts"] = record["parts"][1:2]
    assert said(make, "pressing", record, settled=True) == "first mono, gold label (by the cover alone)"
    assert said(make, "pressing", record, settled=False) == (
        "probably first mono, gold label (by the cover alone)"
    )
    record["parts"] = [make.part("box", "b1")]
    assert said(make, "pressing", record, settled=True) == "first mono, gold label (by the box alone)"
