"""A dealer's own columns: picked, named, ordered and formatted by a TOML file."""

from decimal import Decimal
from pathlib import Path
from types import SimpleNamespace

import pytest

from benchtui.base.errors import BenchError
from benchtui.export.insured import COLUMNS
from benchtui.export.intake import intake
from benchtui.export.laying_out import lay_out, out_layout, stepped
from benchtui.export.layout import FOLDER, check_layouts, load_layout
from benchtui.export.table import Table

WHOLE = """
[layout]
about = "an invented shop window"
separator = ";"
encoding = "windows-1252"
only = { stock_ready = "yes" }

[[column]]
name = "Number"
take = "stock_number"

[[column]]
name = "Price"
take = "money_price"
step = "0.50"
round = "up"
point = ","

[[column]]
name = "Ready"
take = "stock_ready"
words = { yes = "1", no = "0" }

[[column]]
name = "Line"
template = "{artist}: {title}[ ({kind})]"

[[column]]
name = "Section"
fixed = "=records"

[[column]]
name = "Shelf"
take = "stock_shelf"
empty = "ask"
"""


def put(shop: Path, text: str, name: str = "window") -> None:
    (shop / FOLDER).mkdir(parents=True, exist_ok=True)
    (shop / FOLDER / f"{name}.toml").write_text(text, encoding="utf-8")


def known(make: SimpleNamespace) -> tuple[str, ...]:
    names: tuple[str, ...] = intake([], make.words()).names
    return names


def laid(make: SimpleNamespace, shop: Path, text: str) -> Table:
    put(shop, text)
    layout = load_layout(shop, "window", known(make))
    chore = {"id": "h", "what": "clean", "part": "", "note": "", "by": "key", "at": "", "done": None}
    dear = {"minor": 2410, "currency": "GBP", "how": "hand"}
    items = [make.item(make.record(price=dear)), make.item(make.record(2, "A00002", chores=[chore]))]
    return lay_out(layout, intake(items, make.words()), items, make.words())


def test_columns_are_picked_named_ordered_and_formatted(make: SimpleNamespace, tmp_path: Path) -> None:
    table = laid(make, tmp_path, WHOLE)
    assert table.names == ("Number", "Price", "Ready", "Line", "Section", "Shelf")
    assert table.rows == (("A00001", "24,50", "1", "The Lantern Quire: Moths at Noon", "=records", "ask"),)


def test_the_file_is_written_as_the_layout_wants_it(make: SimpleNamespace, tmp_path: Path) -> None:
    table = laid(make, tmp_path, WHOLE)
    layout = load_layout(tmp_path, "window", known(make))
    out_layout(layout, table, tmp_path / "x.csv")
    assert (tmp_path / "x.csv").read_bytes() == (
        b"Number;Price;Ready;Line;Section;Shelf\r\n"
        b"A00001;24,50;1;The Lantern Quire: Moths at Noon;'=records;ask\r\n"
    )


def test_header_and_guard_can_be_left_out(make: SimpleNamespace, tmp_path: Path) -> None:
    table = laid(
        make, tmp_path, WHOLE.replace('about = "an invented shop window"', "header = false\nguard = false")
    )
    out_layout(load_layout(tmp_path, "window", known(make)), table, tmp_path / "x.csv")
    assert (tmp_path / "x.csv").read_bytes().startswith(b"A00001;24,50;1;")
    assert b";=records;" in (tmp_path / "x.csv").read_bytes()


@pytest.mark.parametrize(
    ("price", "step", "rounding", "expected"),
    [
        ("24.10", "0.50", "nearest", "24.00"),
        ("24.25", "0.50", "nearest", "24.50"),
        ("24.10", "0.50", "up", "24.50"),
        ("24.49", "0.50", "down", "24.00"),
        ("24.00", "0.50", "up", "24.00"),
        ("2437", "50", "nearest", "2450"),
        ("2.345", "0.01", "up", "2.350"),
    ],
)
def test_a_price_in_steps(price: str, step: str, rounding: str, expected: str) -> None:
    assert stepped(price, Decimal(step), rounding) == expected


@pytest.mark.parametrize(
    ("old", "new", "said"),
    [
        ('take = "stock_number"', 'take = "stock_nummer"', "did you mean 'stock_number'?"),
        ('take = "stock_number"', 'take = "stock_number"\ncolour = "red"', "'colour' is not known here"),
        ('name = "Number"\n', "", "window.toml:8: column 1: name is missing"),
        ('fixed = "=records"', 'fixed = "x"\ntake = "note_text"', "2 of take, fixed and template are given"),
        ('fixed = "=records"', "", "0 of take, fixed and template are given"),
        (
            'step = "0.50"',
            'step = "much"',
            "window.toml:15: column 2: step = 'much' is no amount from 0.0001 to 1000000",
        ),
        ('step = "0.50"', 'step = "-1"', "is no amount from"),
        ('step = "0.50"', 'step = "1e-999999999"', "is no amount from"),
        ('step = "0.50"', 'step = "1e999999999"', "is no amount from"),
        ('step = "0.50"', 'step = "nan"', "is no amount from"),
        ('step = "0.50"', 'step = "1e400"', "is no amount from"),
        ('step = "0.50"', "step = 0.5", "step = 0.5 is of the wrong kind"),
        ('round = "up"', 'round = "sideways"', "round = 'sideways' is not known"),
        ('separator = ";"', 'separator = "ab"', "window.toml:4: 'ab' is not a separator"),
        ('encoding = "windows-1252"', 'encoding = "rot13"', "encoding = 'rot13' is not known"),
        ("{title}", "{tittle}", 'window.toml:26: column 4: template, column 11: there is no field "tittle"'),
        ("stock_ready = ", "stock_redy = ", "did you mean 'stock_ready'?"),
        ('name = "Ready"', 'name = "Price"', 'the column "Price" appears twice'),
        ('separator = ";"', "separator = ", "window.toml:4: is not TOML"),
    ],
)
def test_a_fault_in_a_layout_is_told_with_its_line(
    make: SimpleNamespace, tmp_path: Path, old: str, new: str, said: str
) -> None:
    assert old in WHOLE
    put(tmp_path, WHOLE.replace(old, new, 1))
    with pytest.raises(BenchError) as caught:
        load_layout(tmp_path, "window", known(make))
    assert said in caught.value.one_line()
    assert [one.what for one in check_layouts(tmp_path, {"intake": known(make)})]


def test_a_good_layout_passes_the_check_and_a_missing_one_is_named(
    make: SimpleNamespace, tmp_path: Path
) -> None:
    put(tmp_path, WHOLE)
    assert check_layouts(tmp_path, {"intake": known(make)}) == []
    with pytest.raises(BenchError, match='there is no layout "other"; one of window'):
        load_layout(tmp_path, "other", known(make))
    with pytest.raises(BenchError, match="write exports/layouts/other"):
        load_layout(tmp_path / "none", "other", known(make))


@pytest.mark.parametrize(
    "text",
    [
        '[[column]]\nname = "Where"\ntake = "lies"\n',
        '[[column]]\nname = "Where"\ntemplate = "at {lies}"\n',
        '[[column]]\nname = "Owner"\ntake = "owner"\n[layout]\nonly = { lies = "safe" }\nof = "insured"\n',
    ],
)
def test_a_column_of_an_older_name_is_told_by_the_new_one(tmp_path: Path, text: str) -> None:
    put(tmp_path, text if "[layout]" in text else f'[layout]\nof = "insured"\n{text}')
    with pytest.raises(BenchError, match='write "kept_at", as it is called now'):
        load_layout(tmp_path, "window", tuple(column.name for column in COLUMNS), "insured")


def test_a_layout_without_columns_is_refused(make: SimpleNamespace, tmp_path: Path) -> None:
    put(tmp_path, "[layout]\n")
    with pytest.raises(BenchError, match="has no column"):
        load_layout(tmp_path, "window", known(make))


def test_what_does_not_fit_is_named_by_its_stock_number(make: SimpleNamespace, tmp_path: Path) -> None:
    with pytest.raises(BenchError, match=r"column Number: A00001: 6 characters where 3 are allowed"):
        laid(make, tmp_path, WHOLE.replace('take = "stock_number"', 'take = "stock_number"\nlimit = 3', 1))
    with pytest.raises(BenchError, match=r"column Number: 'A00001' is not a price"):
        laid(make, tmp_path, WHOLE.replace('take = "stock_number"', 'take = "stock_number"\nstep = "1"', 1))


def test_a_sign_the_encoding_lacks_is_named(make: SimpleNamespace, tmp_path: Path) -> None:
    table = laid(make, tmp_path, WHOLE.replace('fixed = "=records"', 'fixed = "\u266a"'))
    with pytest.raises(BenchError, match=r"U\+266A"):
        out_layout(load_layout(tmp_path, "window", known(make)), table, tmp_path / "x.csv")


def test_a_step_that_would_make_a_price_nothing_is_refused_with_the_record(
    make: SimpleNamespace, tmp_path: Path
) -> None:
    with pytest.raises(BenchError, match=r"becomes 0\.00 by step = 1000") as refused:
        laid(make, tmp_path, WHOLE.replace('step = "0.50"', 'step = "1000"', 1).replace('"up"', '"down"'))
    assert refused.value.right == "give a smaller step"
