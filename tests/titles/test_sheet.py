"""Lists as dealers have them: untidy files of every kind, and what becomes of each."""

import gzip
import io
import json
import zipfile
from collections.abc import Callable
from pathlib import Path

import pytest
from found import load_lists

from benchtui.base.errors import BenchError
from benchtui.model.title import Title
from benchtui.titles.encoding import guess
from benchtui.titles.report import Report
from benchtui.titles.takein import take_in

ROWS = [["Odile Vance", "Harbour Slates", "TW 7", "1969"], ["Harriet Lang", "Slow Trawl", "TW 8", "1967"]]
WANTED = {("Odile Vance", "Harbour Slates", "TW 7", "1969"), ("Harriet Lang", "Slow Trawl", "TW 8", "1967")}


def text_of(header: str, sign: str = ",") -> str:
    return "\n".join([header, *(sign.join(row) for row in ROWS)]) + "\n"


def xlsx(rows: list[list[object]], *others: list[list[object]]) -> bytes:
    from openpyxl import Workbook

    book = Workbook()
    for no, table in enumerate((rows, *others)):
        sheet = book.active if no == 0 else book.create_sheet(f"more {no}")
        for row in table:
            sheet.append(row)
    whole = io.BytesIO()
    book.save(whole)
    return whole.getvalue()


def xls(rows: list[list[object]]) -> bytes:
    import xlwt

    book = xlwt.Workbook()
    sheet = book.add_sheet("list")
    for no, row in enumerate(rows):
        for at, value in enumerate(row):
            sheet.write(no, at, value)
    whole = io.BytesIO()
    book.save(whole)
    return whole.getvalue()


def ods(rows: list[list[object]]) -> bytes:
    """OpenDocument 1.3, part 3: a table of text cells in content.xml, nothing else."""
    cell = '<table:table-cell office:value-type="string"><text:p>{}</text:p></table:table-cell>'
    table = "".join(
        f"<table:table-row>{''.join(cell.format(value) for value in row)}</table:table-row>" for row in rows
    )
    names = " ".join(
        f'xmlns:{name}="urn:oasis:names:tc:opendocument:xmlns:{name}:1.0"'
        for name in ("office", "table", "text")
    )
    content = (
        f'<?xml version="1.0" encoding="UTF-8"?><office:document-content {names} office:version="1.3"><office:body>'
        f'<office:spreadsheet><table:table table:name="list">{table}</table:table></office:spreadsheet>'
        "</office:body></office:document-content>"
    )
    whole = io.BytesIO()
    with zipfile.ZipFile(whole, "w") as packed:
        packed.writestr("mimetype", "application/vnd.oasis.opendocument.spreadsheet")
        packed.writestr("content.xml", content)
        packed.writestr(
            "META-INF/manifest.xml",
            '<?xml version="1.0"?><manifest:manifest xmlns:manifest="urn:oasis:names:tc:opendocument:xmlns:manifest:1.0">'
            '<manifest:file-entry manifest:full-path="/" '
            'manifest:media-type="application/vnd.oasis.opendocument.spreadsheet"/></manifest:manifest>',
        )
    return whole.getvalue()


def zipped(*names: str, data: bytes) -> bytes:
    whole = io.BytesIO()
    with zipfile.ZipFile(whole, "w", zipfile.ZIP_DEFLATED) as packed:
        for name in names:
            packed.writestr(name, data)
    return whole.getvalue()


TABLE: list[list[object]] = [
    ["Artist", "Title", "Cat. No.", "Year"],
    *[[*row[:3], int(row[3])] for row in ROWS],
]
PLAIN = text_of("artist,title,catalogue,first").encode()
FILES: dict[str, Callable[[], bytes]] = {
    "our own names.csv": lambda: PLAIN,
    "english.csv": lambda: text_of("Performer,Album,Cat. #,Released").encode(),
    "german.csv": lambda: text_of("Künstler;Titel;Bestell-Nr.;Erscheinungsjahr", ";").encode("cp1252"),
    "french.txt": lambda: text_of("Interprète\tTitre\tRéférence\tAnnée", "\t").encode("cp1252"),
    "dutch.csv": lambda: text_of("Uitvoerende;Titel;Bestelnummer;Jaar", ";").encode(),
    "spanish.csv": lambda: text_of("Intérprete|Título|Nº de catálogo|Año", "|").encode(),
    "italian.csv": lambda: text_of("Interprete;Titolo;Numero di catalogo;Anno", ";").encode(),
    "japanese.csv": lambda: text_of("アーティスト,タイトル,品番,発売年").encode("cp932"),
    "utf-8 with a mark.csv": lambda: b"\xef\xbb\xbf" + PLAIN,
    "utf-16.csv": lambda: PLAIN.decode().encode("utf-16"),
    "big-endian utf-16.txt": lambda: b"\xfe\xff" + text_of("Artist\tTitle\tNo\tYear", "\t").encode("utf-16-be"),
    "sep line.csv": lambda: ("sep=;\n" + text_of("Artist;Title;Number;Year", ";")).encode(),
    "headings above.csv": lambda: ("Stock list of a shop\n\nAugust;;;\n" + text_of("Artist;Title;No.;Year", ";")).encode(),
    "quoted.csv": lambda: ('"Artist","Title","Number","Year"\n' + "\n".join(
        ",".join(f'"{cell}"' for cell in row) for row in ROWS)).encode(),
    "no header.csv": lambda: "\n".join(",".join(row) for row in ROWS).encode(),
    "no header, other order.csv": lambda: "\n".join(
        ";".join((row[2], row[3], row[0], row[1])) for row in ROWS).encode(),
    "mailed lines.txt": lambda: b"Odile Vance - Harbour Slates (TW 7) 1969\nHarriet Lang - Slow Trawl (TW 8) 1967\n",
    "numbered lines.txt": lambda: "1. Odile Vance – Harbour Slates, TW 7, 1969\n2. Harriet Lang – Slow Trawl, TW 8, 1967\n".encode(),
    "one cell for both.csv": lambda: b"Artist - Title;No;Year\nOdile Vance - Harbour Slates;TW 7;1969\n"
    b"Harriet Lang - Slow Trawl;TW 8;1967\n",
    "one cell for both, no header.txt": lambda: b"Odile Vance - Harbour Slates;TW 7;1969\n"
    b"Harriet Lang - Slow Trawl;TW 8;1967\n",
    "json lines.jsonl": lambda: "\n".join(
        json.dumps(dict(zip(("artist", "title", "number", "year"), row, strict=True))) for row in ROWS).encode(),
    "excel.xlsx": lambda: xlsx(TABLE),
    "excel under another name.csv": lambda: xlsx(TABLE),
    "excel with headings.xlsx": lambda: xlsx([["The shop"], [], *TABLE]),
    "excel with a second sheet.xlsx": lambda: xlsx([["notes"]], TABLE),
    "excel with years as decimals.xlsx": lambda: xlsx([TABLE[0], *[[*row[:3], float(row[3])] for row in ROWS]]),
    "old excel.xls": lambda: xls(TABLE),
    "open document.ods": lambda: ods(TABLE),
    "packed.csv.gz": lambda: gzip.compress(PLAIN),
    "packed.zip": lambda: zipped("list.csv", data=PLAIN),
    "packed tabs.zip": lambda: zipped("list.txt", data=text_of("Artist\tTitle\tNo\tYear", "\t").encode()),
    "windows line ends.csv": lambda: PLAIN.replace(b"\n", b"\r\n"),
    "empty lines.csv": lambda: PLAIN.replace(b"\n", b"\n\n,,,\n"),
    "trailing signs.csv": lambda: PLAIN.replace(b"\n", b",,\n"),
    "years about.csv": lambda: PLAIN.replace(b"1969", b"1969.0"),
    "quoted words that begin a cell.txt": lambda: text_of("Artist\tTitle\tNo\tYear", "\t").encode()
    + b'Lanes\t"Quoted" Song\tTW 9\t1970\n',
    "notes over two lines.csv": lambda: b'Artist,Title,Notes,Number,Year\nOdile Vance,Harbour Slates,"torn\nat the top",TW 7,1969\n'
    b"Harriet Lang,Slow Trawl,,TW 8,1967\n",
    "old mac line ends.csv": lambda: PLAIN.replace(b"\n", b"\r"),
    "spaces between.txt": lambda: "\n".join("      ".join(row) for row in ROWS).encode(),
    "array.json": lambda: json.dumps(
        [dict(zip(("artist", "title", "number", "year"), row, strict=True)) for row in ROWS], indent=1).encode(),
    "mailed offers.txt": lambda: "1x LP: Odile Vance – Harbour Slates (TW 7, D 1969) VG+/VG 15,- €\n"
    "2x 7\": Harriet Lang – Slow Trawl (TW 8) 1967 VG 4.00 EUR\n".encode(),
    "years in two figures.csv": lambda: PLAIN.replace(b"1969", b"'69").replace(b"1967", b"67"),
    "japanese eras.csv": lambda: text_of("アーティスト,曲名,規格番号,発売日").replace("1969", "昭和44年").replace(
        "1967", "1967年").encode("cp932"),
    "german abbreviations.csv": lambda: text_of("Künstler/in;Albumtitel;Label-Nr.;VÖ-Jahr", ";").encode("cp1252"),
    "english abbreviations.csv": lambda: text_of("Art.,Ttl.,Cat.No.,Yr.").encode(),
    "spanish abbreviations.csv": lambda: text_of("Artista;Título;Nº cat.;Año", ";").encode("cp1252"),
    "japanese names in full.csv": lambda: text_of("アーティスト名,アルバム名,型番,リリース年").encode("euc_jp"),
    "japanese mail.txt": lambda: text_of("アーティスト\tタイトル\t品番\t発売年", "\t").encode("iso2022_jp"),
    "utf-16 without a mark.txt": lambda: text_of("Artist\tTitle\tNo\tYear", "\t").encode("utf-16-le"),
    "excel packed.zip": lambda: zipped("list.xlsx", data=xlsx(TABLE)),
    "excel packed.xlsx.gz": lambda: gzip.compress(xlsx(TABLE)),
    "zip of another system.zip": lambda: zipped("list.csv", "__MACOSX/._list.csv", ".DS_Store", data=PLAIN),
    "empty cells by name.csv": lambda: PLAIN + b"\\N,Harbour Slates Two,NULL,-\n",
}  # fmt: skip
HOW_MANY = {"empty cells by name.csv": 3, "quoted words that begin a cell.txt": 3}


def taken(tmp_path: Path, name: str, data: bytes, **how: str) -> tuple[Report, list[Title]]:
    path = tmp_path / name
    path.write_bytes(data)
    report = take_in(path, tmp_path / "titles", **how)  # type: ignore[arg-type]
    return report, [title for piece in load_lists(tmp_path / "titles") for title in piece.titles()]


@pytest.mark.parametrize("name", FILES)
def test_the_list_is_read(name: str, tmp_path: Path) -> None:
    report, titles = taken(tmp_path, name, FILES[name]())
    assert {(one.artist, one.title, one.catalogue, one.first) for one in titles} >= WANTED
    assert report.refused == []
    assert report.lines == len(titles) == HOW_MANY.get(name, 2)


REFUSED: dict[str, tuple[bytes, str]] = {
    "nothing.csv": (b"", "nothing in this file"),
    "unknown names.csv": (b"who,what\nA,b\n", "no column artist or title"),
    "two files.zip": (zipped("a.csv", "b.csv", data=PLAIN), "the zip holds 2 files"),
    "broken.zip": (b"PK\x03\x04 and no more", "the zip cannot be read"),
    "broken.gz": (gzip.compress(PLAIN)[:20], "cannot be unpacked"),
    "a picture.png": (b"\x89PNG\r\n\x1a\n\x00\x00\x00\rIHDR", "no column"),
    "a web page.xls": (b"<html><body><table><tr><td>Artist</td></tr></table>", "this is a web page"),
    "a letter.docx": (zipped("[Content_Types].xml", data=b"<x/>"), "an office document, but no spreadsheet"),
    "half an array.json": (b'[{"artist": "A", "title"', "not whole JSON"),
    "half of a spreadsheet.xls": (b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1" + b"\0" * 600, "the spreadsheet cannot be read"),
}  # fmt: skip


@pytest.mark.parametrize("name", REFUSED)
def test_what_is_no_list_is_refused_in_one_line(name: str, tmp_path: Path) -> None:
    data, says = REFUSED[name]
    with pytest.raises(BenchError, match=says) as told:
        taken(tmp_path, name, data)
    assert "\n" not in told.value.one_line()


def test_a_packed_file_that_grows_without_end_is_stopped(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("benchtui.titles.sheet.MOST_BYTES", 100_000)
    with pytest.raises(BenchError, match="unpacked it has over 100,000 bytes"):
        taken(tmp_path, "long.csv.gz", gzip.compress(b"artist,title\n" + b"A,b\n" * 100_000))


def test_a_cell_over_several_rows_counts_in_each(tmp_path: Path) -> None:
    from openpyxl import Workbook

    book, whole = Workbook(), io.BytesIO()
    for row in (["Artist", "Title"], ["Odile Vance", "Harbour Slates"], [None, "Slow Trawl"]):
        book.active.append(row)
    book.active.merge_cells("A2:A3")
    book.active.merge_cells("H2:H9")  # beside the list, and empty
    book.save(whole)
    _, titles = taken(tmp_path, "list.xlsx", whole.getvalue())
    assert {(one.artist, one.title) for one in titles} == {
        ("Odile Vance", "Harbour Slates"),
        ("Odile Vance", "Slow Trawl"),
    }


def test_the_columns_names_on_each_page_make_no_title(tmp_path: Path) -> None:
    head = "Artist;Title;No.;Year\n"
    report, titles = taken(tmp_path, "list.csv", f"{head}A;Slates;1;1967\n{head}B;Trawl;2;1969\n".encode())
    assert {one.title for one in titles} == {"Slates", "Trawl"}
    assert [(note.line, note.say) for note in report.refused] == [(3, "the columns' names once more")]


def test_columns_without_names_may_be_named_by_their_place(tmp_path: Path) -> None:
    data = b"Slates;Odile Vance\nTrawl;Harriet Lang\n"
    with pytest.raises(BenchError, match=r"no column artist or title.*--map 1=artist"):
        taken(tmp_path, "list.csv", data)
    _, titles = taken(tmp_path, "list.csv", data, mapping={"1": "title", "2": "artist"})  # type: ignore[arg-type]
    assert {(one.artist, one.title) for one in titles} == {
        ("Odile Vance", "Slates"),
        ("Harriet Lang", "Trawl"),
    }


def test_a_column_of_countries_is_known_without_a_name(tmp_path: Path) -> None:
    data = b"TW 7;Odile Vance;Slates;1969;UK\nTW 8;Harriet Lang;Trawl;1967;West Germany\n"
    _, titles = taken(tmp_path, "list.csv", data)
    assert {one.country for one in titles} == {"GB", "DE"}


def test_a_letter_around_a_mailed_list_is_told_line_by_line(tmp_path: Path) -> None:
    text = "Hello,\n\nthese are for sale:\n\nOdile Vance - Harbour Slates (TW 7) 1969\nHarriet Lang - Slow Trawl (TW 8) 1967\nThe Weirmen - Quay (TW 9) 1968\n\nRegards\n"
    report, titles = taken(tmp_path, "letter.txt", text.encode())
    assert len(titles) == 3
    assert [(note.line, note.say) for note in report.refused] == [
        (line, "no ' - ' between artist and title") for line in (1, 3, 9)
    ]


MESSY = """artist,title,catalogue,year,country,size
A Lane,Slates,TW 7,1967,UK,12
A Lane,Slates,TW 7,1969,UK,12
A Lane,Slates,TW 7,1967,DE,12
A Lane,Slates,TW 7,1967,UK,7
a lane,SLATES!,tw-7,,,
A Lane,Slate,TW 7,1967,UK,12
,,,,,
A Lane,,TW 9,,,
A Lane,Trawl,TW 8,the sixties,Nowhere,big
"never closed,Title,AB 1
A Lane,Lantern,TW 10,1970,UK,12,more
Nan Orrick,Tide,NO 1,1970,UK,12
"""


def test_every_row_is_told_once_whatever_becomes_of_it(tmp_path: Path) -> None:
    """Rows in = rows told: each line with something in it is new, changed, the same, repeated or refused."""
    first, _ = taken(
        tmp_path, "first.csv", b"artist,title,catalogue,company\nNan Orrick,Tide,NO 1,Tarrowick\n"
    )
    report, titles = taken(tmp_path, "second.csv", MESSY.encode())
    assert report.lines == sum(1 for line in MESSY.splitlines()[1:] if line.strip(","))
    told = report.new + report.changed + report.same + len(report.repeats) + len(report.refused)
    assert told == report.lines
    assert (first.new, report.new, report.changed, len(report.repeats), len(report.refused)) == (
        1,
        6,
        1,
        1,
        3,
    )
    assert [note.line for note in report.refused] == [9, 11, 12]
    assert [note.line for note in report.changes] == [13]
    assert [note.line for note in report.repeats] == [6]
    assert {(one.first, one.country, one.size_in) for one in titles if one.title == "Slates"} == {
        ("1967", "GB", 12), ("1969", "GB", 12), ("1967", "DE", 12), ("1967", "GB", 7)}  # fmt: skip


# -- the encoding ----------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("encoding", "names"),
    [
        ("cp1252", ["Ærlig Ånd", "Größe und Güte", "Señor Muñoz", "Café à la crème"]),
        ("cp850", ["Ærlig Ånd", "Größe und Güte", "Señor Muñoz", "Café à la crème"]),
        ("cp1250", ["Žluťoučký kůň", "Świt nad Łodzią", "Ősz és tél"]),
        ("cp932", ["月光物語", "森の音", "さくらの歌"]),
        ("cp1251", ["Лунный свет", "Песня моря"]),
        ("mac_roman", ["Größe und Güte", "Señor Muñoz", "Jälleen yö"]),
    ],
)
def test_the_encoding_is_guessed_said_with_a_sample_and_right(
    encoding: str, names: list[str], tmp_path: Path
) -> None:
    text = "artist,title\n" + "".join(f"{name},Opus {no}\n" for no, name in enumerate(names * 3))
    report, titles = taken(tmp_path, "list.csv", text.encode(encoding))
    assert {title.artist for title in titles} == set(names)
    said = "\n".join(report.told())
    assert f"encoding guessed: {encoding}" in said
    assert f"{names[0]},Opus 0" in said


@pytest.mark.parametrize(
    ("encoding", "line"),
    [
        ("cp850", "Jörg Mall;Dahin"),
        ("cp1252", "Jörg Mall;Dahin"),
        ("cp1252", "Interprète;Titre de l'album;N° de catalogue;Année de parution"),
        ("cp1252", "Artista;Título;Nº cat.;Año;Sello;País"),
        ("cp1250", "Kő Ödön;Őszi szél"),
        ("cp1250", "Jiří Žlutý;Šedý kůň"),
        ("cp1251", "Луна Моря;Песня"),
        ("cp1253", "Ελένη Μάρα;Θάλασσα"),
        ("cp932", "月野光;ガラスの海"),
        ("euc_jp", "月野光;ガラスの海"),
    ],
)
def test_the_encoding_of_a_single_line_is_guessed(encoding: str, line: str) -> None:
    assert line.encode(encoding).decode(guess([b"Artist;Title", line.encode(encoding)])[0]) == line


def test_the_japanese_of_old_mail_is_no_ascii() -> None:
    """ISO-2022-JP (RFC 1468) is all below 128; its escape signs tell it."""
    assert guess(["月野光;ガラスの海".encode("iso2022_jp")]) == ("iso2022_jp", True)


def test_one_line_that_looks_like_utf_8_by_chance_does_not_make_the_list_so() -> None:
    lines = [name.encode("cp1252") for name in ("Ã¶ Ã¤", "Größe über Böen", "Süße Möwen", "Fünf Höfe")]
    assert guess(lines) == ("cp1252", False)


def test_a_wrong_guess_is_corrected_by_naming_the_encoding(tmp_path: Path) -> None:
    data = "artist,title\nLiberté,Opus\n".encode("cp852")
    report, titles = taken(tmp_path, "list.csv", data, encoding="cp852")
    assert titles[0].artist == "Liberté"
    assert "read as cp852" in "\n".join(report.told())


def test_an_encoding_nobody_knows_is_refused_with_those_there_are(tmp_path: Path) -> None:
    with pytest.raises(BenchError, match="cp9 is not an encoding"):
        taken(tmp_path, "list.csv", PLAIN, encoding="cp9")


@pytest.mark.parametrize(
    ("lines", "name", "certain"),
    [
        ([b"artist,title"], "utf-8", True),
        (["Ærlig Ånd".encode()], "utf-8", True),
        ([b"mixed", "Ærlig Ånd".encode(), b"\xc5nd"], "utf-8", True),
        ([b"Gr\xf6\xdfe"], "cp1252", False),
    ],
)
def test_utf_8_is_certain_and_nothing_else_is(lines: list[bytes], name: str, certain: bool) -> None:
    assert guess(lines) == (name, certain)
