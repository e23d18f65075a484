"""The first start: three questions, each with a default, then an empty parcel."""

from benchtui.base.errors import BenchError
from benchtui.base.shipped import shipped
from benchtui.books.cautions import said
from benchtui.desk.core.desk import Desk, OpenLine, Pick
from benchtui.desk.keyboard.keymap_file import find_keymap, load_keymap
from benchtui.desk.line.lines import LINES, LineKind, close_line, marked_pick, open_line
from benchtui.desk.parcel.parcel import new_parcel
from benchtui.model.currencies import decimals_of, read_currencies
from benchtui.model.money import ask_decimals


def begin(desk: Desk) -> None:
    """Ask the first question; Enter takes what stands there."""
    about = "1 of 3: the money you price in, an ISO 4217 code such as GBP, EUR, JPY"
    open_line(desk, "setup-currency", "currency", desk.currency, about, replace=True)


def _take_currency(desk: Desk, line: OpenLine) -> None:
    code, _, decimals = line.text.strip().upper().partition(" ")
    try:
        given = read_currencies(line.text) if decimals else {}
    except ValueError as error:
        desk.refuse(str(error))
        return
    if code not in given and decimals_of(code) is None:
        desk.refuse(ask_decimals(code, "here"))
        return
    desk.shop.change_settings(currency=code, **({"currencies": given} if given else {}))
    about = "2 of 3: the grading scale you grade by; down chooses another"
    open_line(desk, "setup-scale", "grading scale", "", about)


def _scale_picks(desk: Desk, line: OpenLine) -> list[Pick]:
    typed = line.text.casefold().strip()
    scales = sorted(desk.references.scales.values(), key=lambda scale: scale.id != desk.settings["scale"])
    found = []
    for scale in scales:
        if typed in scale.id.casefold() or typed in scale.name.casefold():
            steps = " ".join(grade.id for grade in scale.grades)
            found.append(Pick(((scale.name, ""), (f"  {steps}", "dim")), scale.id))
    return found


def _take_scale(desk: Desk, line: OpenLine) -> None:
    pick = marked_pick(line)
    if pick is None:
        desk.refuse("no such scale: empty the line to see the list")
        return
    _use_scale(desk, str(pick.value))
    about = "3 of 3: this bench's letter; its stock numbers begin with it (A00001)"
    open_line(desk, "setup-letter", "bench letter", str(desk.settings["letter"]), about, replace=True)


def _use_scale(desk: Desk, scale_id: str) -> None:
    """Grade by this scale from now on; its letters must be free in the keymap."""
    scale = desk.references.scales[scale_id]
    folders = [desk.shop.path / "keymaps", shipped("keymaps")]
    try:
        keymap = load_keymap(find_keymap(desk.references.keymap.stem, folders), scale)
    except BenchError as error:
        desk.refuse(error.one_line())
        return
    desk.shop.change_settings(scale=scale_id)
    desk.references = desk.references._replace(keymap=keymap)


def _take_letter(desk: Desk, line: OpenLine) -> None:
    letter = line.text.strip().upper()
    if not (len(letter) == 1 and "A" <= letter <= "Z"):
        desk.refuse(f"'{line.text.strip()}' is not a bench letter: type one letter from A to Z")
        return
    desk.shop.change_settings(letter=letter)
    close_line(desk)
    new_parcel(desk)
    field = f"{desk.key('line-leave')}, then {desk.key('commands')} and 'your field'"
    desk.say(f"the first parcel: Enter goes on. Your own field: {field}. Caution: {said('lifting')}")


LINES["setup-currency"] = LineKind(_take_currency)
LINES["setup-scale"] = LineKind(_take_scale, _scale_picks)
LINES["setup-letter"] = LineKind(_take_letter)
