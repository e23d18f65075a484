"""Books changed beside the bench, and books that are broken: the bench stays open and says so."""

from bench_hands import Hands, Sit

from benchtui.desk.book.outside import look_at_books

BOOK = '[book]\nname = "Mossgate"\ncompany = "Mossgate"\n\n[[title]]\nid = "ms-1"\nartist = "Osier Choir"\ntitle = "Crooked Weir"\n'


def test_a_book_written_beside_the_bench_is_read_while_it_is_open(empty: Hands) -> None:
    path = empty.desk.shop.path / "books" / "mossgate.toml"
    path.parent.mkdir(exist_ok=True)
    assert not look_at_books(empty.desk)
    path.write_text(BOOK)
    assert look_at_books(empty.desk)
    assert "read again" in empty.desk.open.message
    assert [hit.title.id for hit in [[], *empty.desk.finder.steps("crooked weir")][-1]] == ["ms-1"]
    assert not look_at_books(empty.desk)
    path.unlink()
    assert look_at_books(empty.desk)
    assert not [[], *empty.desk.finder.steps("crooked weir")][-1], "as after a restart"
    path.write_text(BOOK + '\n[[title]]\nid = "ms-2"\ntitle = "Late"\nfirst = "never"\n')
    assert look_at_books(empty.desk)
    assert "set aside" in empty.desk.open.message
    assert "mossgate.toml:13" in empty.desk.open.message


def test_a_shop_with_a_broken_book_opens_and_says_which(empty: Hands, sit: Sit) -> None:
    folder = empty.desk.shop.path
    empty.desk.shop.close()
    (folder / "books").mkdir(exist_ok=True)
    (folder / "books" / "broken.toml").write_text("[book\n")
    (folder / "books" / "mossgate.toml").write_text(BOOK)
    again = sit(folder)
    assert "broken.toml:1: is not TOML" in again.desk.open.message
    assert again.desk.library.title("ms-1") is not None


def test_a_title_taken_out_outside_is_not_offered_in_the_open_line(empty: Hands) -> None:
    path = empty.desk.shop.path / "books" / "mossgate.toml"
    path.parent.mkdir(exist_ok=True)
    path.write_text(BOOK)
    look_at_books(empty.desk)
    empty.new_parcel(1)
    if empty.desk.open.line is None:
        empty.do("find-title")
    line = empty.type("crooked weir").desk.open.line
    assert line is not None
    assert "ms-1" in str(line.picks)
    path.write_text(BOOK.replace("Crooked Weir", "Straight Furrow").replace("ms-1", "ms-2"))
    look_at_books(empty.desk)
    assert empty.desk.open.line is line
    assert line.text == "crooked weir"
    assert "ms-1" not in str(line.picks)


def test_enter_takes_no_title_that_was_taken_out_outside_a_moment_ago(empty: Hands) -> None:
    """The record became one of a title that no book has."""
    path = empty.desk.shop.path / "books" / "mossgate.toml"
    path.parent.mkdir(exist_ok=True)
    path.write_text(BOOK)
    look_at_books(empty.desk)
    empty.new_parcel(1)
    if empty.desk.open.line is None:
        empty.do("find-title")
    empty.type("crooked weir")
    path.unlink()
    empty.do("line-accept")
    assert empty.desk.open.line is not None
    assert "read again" in empty.said
    assert empty.record["title"] is None
    empty.do("line-accept")
    assert empty.refused
    assert "nothing fits" in empty.said
