"""What ``benchtui check`` finds wrong with books, scales and faults, and where."""

from pathlib import Path

import pytest

from benchtui.books.check import check_books

CASES = [
    # what is changed in the book, into what, whose fault it is, what is said, what would be right
    (
        'looks_like = "silver"',
        'looks_like = "silvre"',
        "clue tw-label",
        "no answer is called 'silvre'",
        "'silver'",
    ),
    ('id = "silver"', 'id = "gold"', "answer gold", "two answers are called 'gold'", "use each id once"),
    (
        'id = "silver"',
        'id = "silver"\ndigit = 0',
        "answer unsure",
        "the digit 0 gives two",
        "each digit once",
    ),
    ('id = "silver"', 'id = "silver"\ndigit = 12', "answer silver", "digit would be 12", "0 to 9"),
    ('made = "[1972-04..1977-10-17]"', 'source = "x"', "answer gold", "without a bound", "write made"),
    (
        'made = "[1972-04..1977-10-17]"',
        'made = ["[1972-04..1977-10-17]", "[1973..1974]"]',
        "answer gold",
        "does not begin after",
        "in order with gaps",
    ),
    (
        'made = "[1972-04..1977-10-17]"',
        'made = "[1972-04..]"\nto_hardness = "soft"',
        "answer gold",
        "without a latest end",
        "write made",
    ),
    (
        "per_side = true",
        'expect = { gilt = "usually" }',
        "clue tw-label",
        "no answer is called 'gilt'",
        "one of",
    ),
    (
        'made = "[1972-04..1977-10-17]"',
        'made = "1972~"',
        "answer gold",
        "is an approximate or uncertain date, so it is soft",
        "leave out hardness",
    ),
    (
        "per_side = true",
        'instead_of = ["u-sund"]',
        "clue tw-label",
        "no book has a clue 'u-sund'",
        "'u-sound'",
    ),
    (
        "per_side = true",
        'instead_of = ["u-barcode"]',
        "clue tw-label",
        "another kind of part, 'cover'",
        "disc",
    ),
    ("per_side = true", "misread = 0", "clue tw-label", "nobody ever misreads", "leave it out"),
    ("per_side = true", "misread = 0.6", "clue tw-label", "misread more often than not", "below 0.5"),
    ("per_side = true", 'titles = ["t-ebb"]', "clue tw-label", "no book has a title", ""),
    (
        'letters = "DUNVERSHAL"',
        'letters = "DUNVERSHAD"',
        "cipher tw-stamper",
        "D stands for two",
        "ten different",
    ),
    (
        'letters = "DUNVERSHAL"',
        'letters = "DUNVERSHA"',
        "cipher tw-stamper",
        "not ten letters",
        "ten different",
    ),
    (
        'digits = "0123456789"',
        'digits = "0123456788"',
        "cipher tw-stamper",
        "not each digit once",
        "1234567890",
    ),
    ("high = 1099", "high = 99", "numbering TW", "low = 1000 is above high = 99", "smaller one first"),
    (
        'cipher = "tw-stamper"',
        'cipher = "tw-stampre"',
        "title t-tide",
        "no book has a cipher",
        "'tw-stamper'",
    ),
    ('stems = { A = "DV', 'stems = { C = "DV', "title t-tide", "no side 'C'", "A, B"),
    (
        'extras = ["poster"]',
        'barcode = "5000000000018"',
        "title t-tide",
        "not a barcode number",
        "correct check digit",
    ),
    (
        'period = "[1975-08..1979]"',
        'period = "[1970..1971]"',
        "t-tide/mono-2",
        "is over before",
        "in 1974-09 or later",
    ),
    (
        'period = "[1975-08..1979]"',
        'period = "[1971..1979]"',
        "t-tide/mono-2",
        "begins before",
        "in 1974-09 or later",
    ),
    ('id = "t-tide/mono-2"', 'id = "t-tide/mono-1"', "t-tide/mono-1", "is defined twice", "of its own"),
    ('silver = "usually" }', 'sliver = "usually" }', "t-tide/mono-2", "no answer 'sliver'", "'silver'"),
    (
        'tw-label = "gold"',
        'tw-lable = "gold"',
        "t-tide/mono-1",
        "no book has a clue 'tw-lable'",
        "'tw-label'",
    ),
    (
        'tw-label = "gold"',
        'tw-label = { gold = "always", silver = "always" }',
        "t-tide/mono-1",
        "always gold and always silver",
        "one answer only",
    ),
    (
        'tw-label = "gold"',
        'tw-label = { gold = "never", silver = "never", unsure = "never" }',
        "t-tide/mono-1",
        "nothing would be possible",
        "other than 'never'",
    ),
    (
        '["2", "1", "sometimes"]',
        '["1", "1", "sometimes"]',
        "t-tide/mono-1",
        "are listed twice",
        "write each pair once",
    ),
    (
        "share = 3",
        'share = 3\nimitates = "t-tide/mono-2"',
        "t-tide/mono-1",
        "cannot imitate another",
        "counterfeit",
    ),
    (
        "share = 3",
        'share = 3\nkind = "counterfeit"\nimitates = "t-tide/mono-9"',
        "t-tide/mono-1",
        "no pressing 't-tide/mono-9'",
        "did you mean",
    ),
]


def changed(books: Path, before: str, after: str) -> tuple[Path, int]:
    """Writes the book with one change; returns its path and the line of the change."""
    path = books / "tarrowick.toml"
    text = path.read_text(encoding="utf-8")
    assert before in text
    new = text.replace(before, after, 1)
    path.write_text(new, encoding="utf-8")
    return path, new[: text.index(before) + len(after)].count("\n") + 1


def test_the_shipped_book_scales_and_faults_have_no_fault() -> None:
    assert check_books() == []


def test_a_sound_book_has_no_fault(books: Path) -> None:
    assert check_books([books]) == []


@pytest.mark.parametrize(("before", "after", "where", "what", "right"), CASES)
def test_a_fault_is_told_with_its_file_place_and_what_would_be_right(
    books: Path, before: str, after: str, where: str, what: str, right: str
) -> None:
    path, line = changed(books, before, after)
    problems = check_books([books])
    said = [problem for problem in problems if what in problem.what]
    assert said, [problem.one_line() for problem in problems]
    assert said[0].file == str(path)
    assert where in said[0].where
    assert right in said[0].right
    assert said[0].line is not None
    assert abs(said[0].line - line) <= 5


@pytest.mark.parametrize(
    ("before", "after"),
    [
        ('looks_like = "silver"', 'looks_like = "silvre"'),
        ('letters = "DUNVERSHAL"', 'letters = "DUNVERSHAD"'),
        ('cipher = "tw-stamper"', 'cipher = "tw-stampre"'),
        ('period = "[1975-08..1979]"', 'period = "[1970..1971]"'),
        (
            'tw-label = { gold = "rarely", silver = "usually" }',
            'tw-label = { gold = "rarely", sliver = "usually" }',
        ),
        ('hardness = "firm"', 'hardness = "iron"'),
    ],
)
def test_the_line_is_the_very_line_of_the_fault(books: Path, before: str, after: str) -> None:
    path, line = changed(books, before, after)
    (problem,) = check_books([books])
    assert problem.one_line().startswith(f"{path}:{line}: ")


def test_every_fault_of_a_file_is_told_at_once_in_the_files_order(books: Path) -> None:
    changed(books, 'hardness = "firm"', 'hardness = "iron"')
    changed(books, 'letters = "DUNVERSHAL"', 'letters = "DUNVERSHAD"')
    changed(books, 'first = "1974-09"', 'first = "soon"')
    lines = [problem.line or 0 for problem in check_books([books])]
    assert len(lines) >= 3
    assert lines == sorted(lines)


def test_a_hard_bound_that_excludes_a_pressings_whole_time_is_told(books: Path) -> None:
    changed(books, 'hardness = "firm"', 'hardness = "hard"')
    changed(books, 'period = "[1974-09..1975-07]"', 'period = "[1978..1979]"')
    (problem,) = check_books([books])
    assert "tw-label = gold is bound to 1972-04..1977-10-17, outside the period 1978..1979" in problem.what


def test_a_soft_latest_end_excludes_no_later_pressing(books: Path) -> None:
    changed(books, 'hardness = "firm"', 'hardness = "hard"\nto_hardness = "soft"')
    changed(books, 'period = "[1974-09..1975-07]"', 'period = "[1978..1979]"')
    assert check_books([books]) == []


def test_a_pressing_between_two_times_of_a_hard_bound_is_told(books: Path) -> None:
    changed(books, 'hardness = "firm"', 'hardness = "hard"')
    changed(books, 'made = "[1972-04..1977-10-17]"', 'made = ["[1963..1966]", "[1971..1972]"]')
    (problem,) = check_books([books])
    assert "is bound to 1963..1966 or 1971..1972, outside the period 1974-09..1975-07" in problem.what


def test_brackets_of_a_number_clue_may_not_overlap_nor_lack_a_unit(books: Path) -> None:
    path = books / "tarrowick.toml"
    text = path.read_text(encoding="utf-8")
    number = """
[[clue]]
id = "tw-copy"
ask = "Number of the copy"
part = "cover"
place = "back"
form = "number"
answer = [
  { id = "low", text = "1 to 500", low = 1, high = 500 },
  { id = "high", text = "500 to 900", low = 500, high = 900 },
  { id = "odd", text = "odd", low = 9, high = 1 },
  { id = "none", text = "none", digit = 0, absent = true },
]
"""
    path.write_text(text + number, encoding="utf-8")
    problems = {problem.what: problem.line for problem in check_books([books])}
    whole = text + number
    line = whole[: whole.index("500 to 900")].count("\n") + 1
    assert problems["the brackets of low and high overlap"] == line
    assert "low and high are not a bracket" in problems
    assert "a number without a unit" in problems
    assert len(problems) == 3


def test_a_cut_the_companys_cut_clue_does_not_list_is_told(books: Path) -> None:
    path = books / "tarrowick.toml"
    text = path.read_text(encoding="utf-8")
    cut = (
        '[[clue]]\nid = "tw-cut"\nask = "Cut"\npart = "disc"\nplace = "runout"\nform = "cut"\n'
        'answer = [\n  { id = "1", text = "first" },\n]\n'
    )
    path.write_text(text + cut, encoding="utf-8")
    (problem,) = check_books([books])
    assert problem.what == "the clue tw-cut has no cut '2'"
    assert problem.line == text[: text.index("cuts = ")].count("\n") + 1


def test_two_books_with_one_title_or_one_clue_are_told(books: Path) -> None:
    text = (books / "tarrowick.toml").read_text(encoding="utf-8")
    (books / "wharf.toml").write_text(text, encoding="utf-8")
    said = [problem.what for problem in check_books([books]) if problem.file.endswith("wharf.toml")]
    assert "the clue 'tw-label' is defined twice, also in 'tarrowick'" in said
    assert "the title 't-tide' is defined twice, also in 'tarrowick'" in said


def test_a_book_that_is_no_toml_does_not_hide_the_faults_of_another(books: Path) -> None:
    changed(books, 'cipher = "tw-stamper"', 'cipher = "tw-stampre"')
    (books / "broken.toml").write_text("[book\n", encoding="utf-8")
    files = {Path(problem.file).name for problem in check_books([books])}
    assert files == {"tarrowick.toml", "broken.toml"}


def test_additions_to_what_no_book_has_are_told(books: Path) -> None:
    (books / "own.toml").write_text(
        '[[add]]\nclue = "tw-labl"\n[[add]]\ntitle = "t-none"\n[[add]]\n'
        '[[add]]\nclue = "tw-label"\n[[add.answer]]\nid = "gold"\ntext = "gold"\n',
        encoding="utf-8",
    )
    said = [(problem.line, problem.what) for problem in check_books([books])]
    assert (2, "no book has a clue 'tw-labl'") in said
    assert (4, "no book has a title 't-none'") in said
    assert (9, "the clue tw-label has an answer 'gold' already") in said
    assert any("either a clue or a title" in what for _, what in said)


def test_a_fault_on_the_key_of_a_shipped_one_is_told(tmp_path: Path) -> None:
    (tmp_path / "faults.toml").write_text(
        '[[fault]]\nid = "scribble"\nkey = "s"\nparts = ["cover"]\nseverity = [\n'
        '  { id = "a", text = "a", ceilings = { american = "VG" } },\n]\n',
        encoding="utf-8",
    )
    (problem,) = check_books([tmp_path])
    assert problem.line == 3
    assert "the key 's' gives both seam-split and scribble on a cover" in problem.what


def test_a_ceiling_of_no_known_grade_is_told_with_its_line(tmp_path: Path) -> None:
    (tmp_path / "faults.toml").write_text(
        '[[fault]]\nid = "seam-split"\nkey = "s"\nparts = ["cover"]\nseverity = [\n'
        '  { id = "a", text = "a", ceilings = { american = "EX" } },\n]\n',
        encoding="utf-8",
    )
    said = {(Path(problem.file).name, problem.line): problem.what for problem in check_books([tmp_path])}
    assert said[("faults.toml", 6)] == "american has no grade 'EX'"


def test_a_question_may_be_asked_of_a_title_that_only_the_shop_has(tmp_path: Path) -> None:
    (tmp_path / "own.toml").write_text(
        '[[clue]]\nid = "own-tint"\nask = "Tint"\npart = "disc"\nplace = "rim"\ntitles = ["t-made"]\n'
        '[[clue.answer]]\nid = "green"\ntext = "green"\n'
    )
    assert [one.what for one in check_books([tmp_path])] == ["no book has a title 't-made'"]
    assert check_books([tmp_path], {"t-made"}) == []
