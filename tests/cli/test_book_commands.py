"""``benchtui book``: a table in and out, undone; review, diff, merge, cite, and a book to give away."""

import shutil
import tomllib
from pathlib import Path

import pytest

from benchtui.books.check import check_books
from benchtui.cli import main

DEMO = Path(__file__).parents[2] / "demo" / "shop"


@pytest.fixture
def shop(tmp_path):
    shutil.copytree(DEMO, tmp_path / "shop")
    return tmp_path / "shop"


def texts(shop):
    return {path.name: path.read_bytes() for path in sorted((shop / "books").glob("*.toml"))}


def run(capsys, shop, *words):
    code = main(["book", *words, "--shop", str(shop)])
    return code, capsys.readouterr()


def test_a_table_out_and_in_again_and_one_row_more(shop, tmp_path, capsys):
    before, file = texts(shop), tmp_path / "out.csv"
    assert run(capsys, shop, "export", "tarrowick", str(file))[0] == 0
    code, said = run(capsys, shop, "take", str(file), "--into", "tarrowick", "--yes")
    assert (code, said.out.splitlines()[-1]) == (0, "nothing to write")
    assert texts(shop) == before

    lines = file.read_text("utf-8-sig").splitlines()
    wide = lines[0].count(",")
    file.write_text("\n".join([*lines, "New Hands,Unheard,NH 1,,,,first" + "," * (wide - 6)]), "utf-8")
    code, said = run(capsys, shop, "take", str(file), "--dry-run")
    assert "1 new" in said.out
    assert texts(shop) == before
    assert run(capsys, shop, "take", str(file), "--yes")[0] == 0
    assert texts(shop) != before
    assert check_books([shop / "books"]) == []
    assert run(capsys, shop, "undo")[0] == 0
    assert texts(shop) == before


def test_nobody_to_ask_is_said_and_nothing_is_written(shop, tmp_path, capsys):
    before, file = texts(shop), tmp_path / "t.csv"
    file.write_text("artist,title,pressing,share\nA,B,first,2\n")
    code, said = run(capsys, shop, "take", str(file))
    assert code == 2
    assert "--yes writes it" in said.err
    assert texts(shop) == before


def test_a_date_that_cannot_be_read_is_left_undecided_and_the_exit_code_says_so(
    shop: Path, capsys: pytest.CaptureFixture[str], tmp_path: Path
) -> None:
    file = tmp_path / "t.csv"
    file.write_text("artist,title,pressing,made\nOld Sallow,Wintering,first,the other day\n")
    for how in ("--dry-run", "--yes"):
        code, said = run(capsys, shop, "take", str(file), how)
        assert "the other day" in said.out
        assert code == 1


@pytest.mark.parametrize(
    ("words", "what"),
    [
        (["take", "missing.csv"], "cannot be read"),
        (["export", "nowhere", "x.csv"], "there is no book 'nowhere'"),
        (["undo"], "nothing was taken into a book"),
        (["cite", "nowhere"], "there is no book"),
        (["diff", "nowhere", "tarrowick"], "there is no book"),
        (["merge", "tarrowick"], "is one of the shop's books already"),
        (["review", "nowhere"], "there is no book"),
    ],
)
def test_bad_use_is_one_line(shop, capsys, words, what):
    code, said = run(capsys, shop, *words)
    assert code == 2
    assert what in said.err
    assert said.err.count("\n") == 1


def test_a_book_to_give_away_has_no_remarks_and_is_the_same_book(shop, tmp_path, capsys):
    file = tmp_path / "given.toml"
    own = shop / "books" / "tarrowick.toml"
    own.write_text(own.read_text() + "\n# paid 4.00 to the widow for all of them\n")
    assert run(capsys, shop, "export", "tarrowick", str(file), "--no-prices")[0] == 0
    text = file.read_text()
    assert "widow" not in text
    assert "\nprice =" not in text
    given, mine = tomllib.loads(text), tomllib.loads(own.read_text())
    assert [one["id"] for one in given["title"]] == [one["id"] for one in mine["title"]]
    assert given["clue"] == mine["clue"]
    assert not any("note" in one for title in given["title"] for one in title["pressing"])
    code, said = run(capsys, shop, "diff", "tarrowick", str(file))
    assert code == 0
    assert ": mine " not in said.out


def test_sources_are_listed(shop, capsys):
    code, said = run(capsys, shop, "cite", "tarrowick")
    assert code == 0
    assert "trust 4.0" in said.out


def test_what_a_merge_leaves_undecided_is_said_and_a_script_sees_it(shop, tmp_path, capsys):
    file = tmp_path / "theirs.toml"
    file.write_text(
        '[book]\nname = "Theirs"\n\n[[clue]]\nid = "their-word"\nask = "Word for a sound"\npart = "cover"\n'
        'place = "front"\n\n[[clue.answer]]\nid = "mono"\ntext = "mono"\n\n[[clue.answer]]\nid = "x"\n'
        'text = "TWO-EAR"\n\n[[clue.answer]]\nid = "y"\ntext = "ONE-EAR"\n'
    )
    code, said = run(capsys, shop, "merge", str(file), "--yes")
    assert code == 1
    assert "but their-word left out, undecided" in said.out
    assert "--same their-word=YOURS" in said.out
    code, said = run(capsys, shop, "merge", str(file), "--yes", "--same", "their-word=new")
    assert code == 0
    assert "left out" not in said.out


def test_a_merge_that_has_no_digit_for_an_answer_ends_with_another_exit_code(shop, tmp_path, capsys):
    def book(name, *texts):
        answers = "".join(f'[[clue.answer]]\nid = "{one}"\ntext = "{one}"\n' for one in texts)
        clue = f'[[clue]]\nid = "{name}-tint"\nask = "Tint of the rim"\npart = "disc"\nplace = "rim"\n'
        return f'[book]\nname = "{name}"\n{clue}{answers}'

    nine = ("amber", "blue", "coral", "dun", "ebony", "fawn", "green", "hazel", "ivory")
    (shop / "books" / "own.toml").write_text(book("own", *nine))
    file = tmp_path / "theirs.toml"
    file.write_text(book("theirs", *nine[:8], "khaki"))
    code, said = run(capsys, shop, "merge", str(file), "--yes")
    assert code == 1
    assert "left out, no digit is left: 'khaki' of 'Tint of the rim'" in said.out
