"""Four hundred made-up photographs of forty records: whose each is, what is asked, and that none is given away.

The pictures are drawn here: slips with the bars of our own Code 128, a little turned, blurred and unevenly
lit; some slips smeared so that their bars cannot be read, some so dark that no bars are seen at all.
"""

import random
from pathlib import Path
from typing import Any

import pytest
from PIL import Image, ImageDraw, ImageFilter

from benchtui.cli import main
from benchtui.export import code128
from benchtui.export.photographs import matched, pictures_in
from benchtui.model.record import new_part
from benchtui.store import Shop

RECORDS = 40
VIEWS = 9
"""Cover front, back, spine; inner; label and runout of two sides; an extra."""
SMEARED = {4, 11, 17, 23, 38}
UNSEEN = {2, 9, 20, 29, 35}


def picture_of(chance: random.Random, path: Path) -> None:
    """Something that is no slip: circles and stripes in greys, like a disc and a cover."""
    drawn = Image.new("L", (360, 270), chance.randrange(60, 200))
    pen = ImageDraw.Draw(drawn)
    for _ in range(12):
        x, y, size = chance.randrange(360), chance.randrange(270), chance.randrange(10, 90)
        pen.ellipse((x - size, y - size, x + size, y + size), outline=chance.randrange(256), width=3)
    drawn.save(path, quality=80)


def slip_of(text: str, chance: random.Random, path: Path, spoilt: str = "") -> None:
    paper = Image.new("L", (620, 260), 235)
    pen = ImageDraw.Draw(paper)
    bits = code128.modules(text)
    for at, bit in enumerate(bits):
        if bit == "1":
            pen.rectangle((60 + at * 4, 60, 63 + at * 4, 190), fill=25)
    pen.text((60, 205), text, fill=25)
    if spoilt == "smeared":  # a thumb over some of the bars
        pen.rectangle((60 + len(bits) * 2, 50, 60 + len(bits) * 3, 200), fill=180)
    if spoilt == "unseen":
        pen.rectangle((0, 0, 620, 260), fill=40)
    table = Image.new("L", (760, 480), chance.randrange(70, 120))
    turned = paper.rotate(chance.uniform(-6, 6), expand=True, fillcolor=100)
    table.paste(turned, (40, 60))
    table.filter(ImageFilter.GaussianBlur(chance.uniform(0.3, 0.9))).save(path, quality=82)


@pytest.fixture
def shop(tmp_path: Path) -> Path:
    """A shop with forty records in stock, each with cover, inner, disc and a poster."""
    made = Shop.create(tmp_path / "shop")
    parcel = made.new_parcel({}, RECORDS)
    with parcel.action("taken in") as change:
        for doc in parcel.records:
            record = change.record(doc["id"])
            kinds = ("cover", "inner", "disc")
            record["parts"] = [*(new_part(kind) for kind in kinds), new_part("extra", name="poster")]  # type: ignore[arg-type]
            record["state"], record["stock"] = "taken-in", made.reserve_stock(parcel.id, doc["id"])
            record["taken_in_at"] = "2026-11-25T10:00:00Z"
            chore: Any = {
                "id": "c-1",
                "what": "photograph",
                "part": "",
                "note": "",
                "by": "key",
                "at": "",
                "done": None,
            }
            record["chores"] = [chore]
    made.close()
    return tmp_path / "shop"


@pytest.fixture(scope="module")
def camera(tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, dict[str, str]]:
    """The folder, and whose each picture is."""
    folder, whose = tmp_path_factory.mktemp("camera"), {}
    chance, shot = random.Random(400), 9000
    for record in range(1, RECORDS + 1):
        spoilt = "smeared" if record in SMEARED else "unseen" if record in UNSEEN else ""
        slip_of(f"A{record:05}", chance, folder / f"IMG_{shot}.JPG", spoilt)
        for n in range(1, VIEWS + 1):
            picture_of(chance, folder / f"IMG_{shot + n}.JPG")
            whose[f"IMG_{shot + n}.JPG"] = f"A{record:05}"
        shot += VIEWS + 1
    return folder, whose


def kept(shop: Path) -> dict[str, list[str]]:
    opened = Shop.open(shop, read_only=True)
    (parcel,) = [opened.open_parcel(one, read_only=True) for one in opened.parcel_ids()]
    return {
        str(record["stock"]): [Path(one["file"]).name for one in record.get("photographs", [])]
        for record in parcel.records
    }


def test_four_hundred_pictures_with_ten_slips_that_cannot_be_read(
    shop: Path, camera: tuple[Path, dict[str, str]], capsys: pytest.CaptureFixture[str]
) -> None:
    folder, whose = camera
    assert len(pictures_in(folder)) == 400
    assert main(["photographs", str(folder), "--keep", "--missing", "--shop", str(shop)]) == 1
    told = capsys.readouterr().out
    found = kept(shop)
    assert f"{sum(not names for names in found.values())} records with photographs missing" in told
    given = {name: number for number, names in found.items() for name in names}
    assert [name for name, number in given.items() if whose[name] != number] == []  # none to another record
    # a slip not read costs its own record's pictures and those of the record before it, and no others
    assert len(given) >= (RECORDS - 2 * len(SMEARED | UNSEEN)) * VIEWS
    assert f"{len(given)} pictures of {len(given) // VIEWS} records" in told
    assert "say --first IMG_" in told


def test_what_was_asked_is_told_by_the_first_picture_of_each_record(
    shop: Path, camera: tuple[Path, dict[str, str]], capsys: pytest.CaptureFixture[str]
) -> None:
    folder, whose = camera
    firsts: dict[str, str] = {}
    for name, number in whose.items():
        firsts.setdefault(number, name)
    not_read = sorted(SMEARED | UNSEEN)
    said = [f"--first={firsts[f'A{n:05}']}=A{n:05}" for n in not_read]
    said += [f"--first=IMG_{9000 + (n - 1) * (VIEWS + 1)}.JPG=-" for n in not_read]
    main(["photographs", str(folder), "--keep", *said, "--shop", str(shop)])
    capsys.readouterr()
    found = kept(shop)
    given = {name: number for number, names in found.items() for name in names}
    assert given == whose


def test_twice_the_same_folder_keeps_each_picture_once_and_moves_none(
    shop: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    folder = tmp_path / "camera"
    folder.mkdir()
    chance = random.Random(1)
    slip_of("A00007", chance, folder / "P1.jpg")
    for n in range(2, 6):
        picture_of(chance, folder / f"P{n}.jpg")
    before = {path.name: path.read_bytes() for path in folder.iterdir()}
    for said in ("4 pictures saved, 0 were there", "0 pictures saved, 4 were there"):
        assert main(["photographs", str(folder), "--keep", "--shop", str(shop)]) == 0
        assert said in capsys.readouterr().out
    assert kept(shop)["A00007"] == ["P2.jpg", "P3.jpg", "P4.jpg", "P5.jpg"]
    assert {path.name: path.read_bytes() for path in folder.iterdir()} == before
    opened = Shop.open(shop, read_only=True)
    chores = {record["stock"]: record["chores"][0]["done"] for record in opened.open_parcel(
        opened.parcel_ids()[0], read_only=True).records}  # fmt: skip
    assert chores["A00007"]
    assert not chores["A00008"]


def test_without_keep_nothing_is_written_and_names_alone_may_tell(
    shop: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    folder = tmp_path / "camera"
    folder.mkdir()
    for name in ("A00003-00-number-slip.jpg", "A00003-01-cover-front.jpg", "A00010-01-cover-front.jpg"):
        picture_of(random.Random(2), folder / name)
    assert main(["photographs", str(folder), "--by-name", "--shop", str(shop)]) == 0
    assert "nothing is saved yet" in capsys.readouterr().out
    assert not any(kept(shop).values())
    assert main(["photographs", str(folder), "--by-name", "--keep", "--shop", str(shop)]) == 0
    assert kept(shop)["A00010"] == ["A00010-01-cover-front.jpg"]


@pytest.mark.parametrize("given", ["x", "=A00001", "IMG.JPG=", "IMG.JPG=Z99999"])
def test_a_first_picture_said_wrongly_is_one_line(
    shop: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str], given: str
) -> None:
    assert main(["photographs", str(tmp_path), f"--first={given}", "--shop", str(shop)]) == 2
    assert len(capsys.readouterr().err.splitlines()) == 1


def test_a_file_that_is_no_picture_is_one_line(
    shop: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    (tmp_path / "IMG_1.JPG").write_bytes(b"no picture")
    assert main(["photographs", str(tmp_path), "--shop", str(shop)]) == 2
    assert "IMG_1.JPG" in capsys.readouterr().err


def test_names_are_in_the_order_of_their_numbers(tmp_path: Path) -> None:
    for name in ("IMG_10.jpg", "IMG_9.jpg", "IMG_100.JPG", "notes.txt"):
        (tmp_path / name).write_bytes(b"")
    assert [path.name for path in pictures_in(tmp_path)] == ["IMG_9.jpg", "IMG_10.jpg", "IMG_100.JPG"]


def test_pictures_before_the_first_slip_are_asked_about(tmp_path: Path) -> None:
    files = [tmp_path / name for name in ("1.jpg", "2.jpg", "3.jpg")]
    groups = matched(files, lambda path: "A00001" if path.name == "2.jpg" else "", {"A00001": 5}, {})
    assert [(one.why, [path.name for path in one.pictures]) for one in groups] == [
        ("no slip before it", ["1.jpg"]), ("", ["3.jpg"]),
    ]  # fmt: skip
