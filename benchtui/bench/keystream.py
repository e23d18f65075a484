"""What a terminal sends, made safe before Textual reads it.

Textual's own reader ends, and the bench is deaf, at a report of a key that cannot be; it waits for ever for
the end of a paste; it types the terminal's answers to questions that nobody asked into the open line. So only
what it is known to take is let through: text, keys, the mouse, a paste that is whole.
"""

import re

ESCAPE_AFTER = 0.1
"""Seconds after which a lone escape sign was the Escape key."""
STRING_AFTER = 0.5
"""Seconds after which an answer of the terminal that has begun is given up."""
KEY_AFTER, KEY_BYTES = 0.03, 4
"""So few bytes, so long after such an answer broke off: a key, which waits for what becomes of the answer."""
PASTE_AFTER = 1.0
"""Seconds of silence after which a paste that was never closed is."""
HAND_AFTER, HAND_BYTES = 0.25, 16
"""So few bytes, so long after the last: pressed by a hand, not part of a paste."""
LONGEST_CSI = 64
LONGEST_HELD = 4096
"""Bytes of an answer without end that are kept; enough to know its end when it comes."""
MOST_PASTED = 8 << 20
"""Bytes of one paste that are kept."""
MOST_SIGNS = 2_000_001
"""Signs of one paste that are passed on: one more than the bench takes, so that it refuses the paste."""

PASTE_BEGIN, PASTE_END = b"\x1b[200~", b"\x1b[201~"
_ESCAPE_KEY = b"\x1b[27u"  # says at once what a bare escape sign says only after a wait
_CSI = re.compile(rb"\x1b\[([0-?]*)([ -/]*)([@-~])")
_CSI_BEGUN = re.compile(rb"\x1b\[[0-?]*[ -/]*")
_STRING = re.compile(rb"\x1b(?:\][0-9lLI]|P[0-9>!$+|]|_G|\^|X)")
_STRING_END = re.compile(rb"\x07|\x1b\\|[\x18\x1a\x1b]")
_MOUSE = re.compile(rb"<\d{1,4};\d{1,5};\d{1,5}")
_SIZE = re.compile(rb"48;[1-9]\d{0,4};[1-9]\d{0,4};[1-9]\d{0,4};[1-9]\d{0,4}")
_KEY = re.compile(rb"(\d{0,7})(?:;(\d{0,3}))?(?:;((?:\d{1,7})(?::\d{1,7})*)?)?")
_TILDE = {*range(1, 9), *range(11, 16), *range(17, 22), *range(23, 27), 28, 29, *range(31, 35)}
_CONTROLS = re.compile("[\x00-\x08\x0b\x0c\x0e-\x1f\x7f-\x9f]")


class KeyStream:
    """Bytes in, units out: a unit is one sign, one key or mouse report, or one whole paste."""

    def __init__(self, escape: bytes = _ESCAPE_KEY) -> None:
        """``escape``: what is passed on for the Escape key alone."""
        self._escape = escape
        self._held = b""
        self._pasted: bytearray | None = None
        self._last = 0.0
        self._apart = False
        self._typed = b""
        """Keys pressed while an answer of the terminal was without its end."""

    @property
    def is_waiting(self) -> bool:
        """Whether something has begun that `settle` may end."""
        return bool(self._held) or self._pasted is not None

    def feed(self, data: bytes, now: float, apart: bool = False) -> list[bytes]:
        """The units that end within ``data``, read at ``now`` (seconds).

        ``apart``: it has piled up while nobody read; an escape sign before a letter was Escape, not Alt.
        """
        units = self.settle(now)
        self._apart = apart
        by_hand = len(data) <= HAND_BYTES and now - self._last >= HAND_AFTER
        if self._pasted is not None and by_hand and PASTE_END not in self._held + data:
            units += self._close_paste()
        if self._broke_off(data, now):
            self._typed += data
            return units
        self._last = now
        buffer, at = self._held + self._typed + data, 0
        self._held = self._typed = b""
        while at < len(buffer):
            if self._pasted is not None:
                at = self._paste(buffer, at, units)
                continue
            end, unit = self._next(buffer, at)
            if end is None:
                self._held = buffer[at:] if len(buffer) - at <= LONGEST_HELD else buffer[at : at + 3]
                break
            if unit == PASTE_BEGIN:
                self._pasted = bytearray()
            elif unit:
                units.append(unit)
            at = end
        return units

    def settle(self, now: float) -> list[bytes]:
        """What has waited too long for its end: it is what it is, or dropped."""
        waited = now - self._last
        if self._pasted is not None:
            return self._close_paste() if waited >= PASTE_AFTER else []
        if not self._held or waited < (STRING_AFTER if _STRING.match(self._held) else ESCAPE_AFTER):
            return []
        held, self._held = self._held, b""
        typed, self._typed = self._typed, b""
        return [self._escape] if held == b"\x1b" else self.feed(typed, now) if typed else []

    def _broke_off(self, data: bytes, now: float) -> bool:
        """Whether an answer of the terminal lacks its end, and these are keys and no more of it."""
        if self._pasted is not None or not _STRING.match(self._held):
            return False
        key = len(data) <= KEY_BYTES and now - self._last >= KEY_AFTER
        return key and _STRING_END.search(data) is None

    def _paste(self, buffer: bytes, at: int, units: list[bytes]) -> int:
        """Takes what belongs to the paste; gives where the rest begins."""
        assert self._pasted is not None
        end = buffer.find(PASTE_END, at)
        if end < 0:  # its end may be cut in two by the reading
            keep = next((n for n in range(5, 0, -1) if buffer.endswith(PASTE_END[:n])), 0)
            keep = min(keep, len(buffer) - at)
            self._held = buffer[len(buffer) - keep :]
            end = len(buffer) - keep
        self._pasted += buffer[at : min(end, at + MOST_PASTED + 1 - len(self._pasted))]
        if self._held:
            return len(buffer)
        if end < len(buffer):
            units += self._close_paste()
            return end + len(PASTE_END)
        return end

    def _close_paste(self) -> list[bytes]:
        text, self._pasted, self._held = bytes(self._pasted or b""), None, b""
        return [paste_of(text)] if text else []

    def _next(self, buffer: bytes, at: int) -> tuple[int | None, bytes]:
        """Where the next unit ends (None: not yet), and what of it is passed on."""
        first = buffer[at]
        if first == 0x1B:
            return self._sequence(buffer, at)
        if first < 0x80:
            return at + 1, buffer[at : at + 1]
        size = 2 if 0xC2 <= first < 0xE0 else 3 if 0xE0 <= first < 0xF0 else 4 if 0xF0 <= first < 0xF5 else 1
        sign = buffer[at : at + size]
        if size > 1 and len(sign) < size and all(0x80 <= byte < 0xC0 for byte in sign[1:]):
            return None, b""
        text = sign.decode(errors="ignore")
        if len(text) != 1 or len(sign) != size or "\x80" <= text < "\xa0":
            return at + 1, b""
        return at + size, sign

    def _sequence(self, buffer: bytes, at: int) -> tuple[int | None, bytes]:
        if at + 1 == len(buffer):
            return None, b""
        second = buffer[at + 1 : at + 2]
        if second == b"\x1b":
            return at + 1, self._escape
        if second == b"[":
            return _csi(buffer, at)
        if second in b"]P_^X" and at + 2 == len(buffer):
            return None, b""
        if _STRING.match(buffer, at):
            return _string(buffer, at)
        if second == b"O":
            third = buffer[at + 2 : at + 3]
            return (at + 3, buffer[at : at + 3]) if third.isalpha() else (at + 2 if third else None, b"")
        if self._apart:
            return at + 1, self._escape
        end, sign = self._next(buffer, at + 1)
        return end, b"\x1b" + sign if sign else b""  # a key with Alt


def paste_of(data: bytes) -> bytes:
    """The unit of a paste: text without the signs that would end it or be taken for keys."""
    text = _CONTROLS.sub("", data.decode(errors="ignore"))[:MOST_SIGNS]
    return PASTE_BEGIN + text.encode() + PASTE_END


def _csi(buffer: bytes, at: int) -> tuple[int | None, bytes]:
    found = _CSI.match(buffer, at)
    if found is None:
        begun = _CSI_BEGUN.match(buffer, at)
        assert begun is not None
        is_open = begun.end() == len(buffer) and begun.end() - at < LONGEST_CSI
        return (None, b"") if is_open else (begun.end(), b"")
    whole, more = found[0], {b"M": 3, b"[": 1}.get(found[3], 0) if not found[1] else 0
    if more:  # an old mouse report, a function key of a Linux console
        end = found.end() + more
        whole = buffer[at:end]
        return (end, whole if whole.isascii() else b"") if end <= len(buffer) else (None, b"")
    return found.end(), whole if _is_known(*found.groups()) else b""


def _is_known(params: bytes, between: bytes, final: bytes) -> bool:
    """Whether it is a report that Textual takes for what it is."""
    if final in b"IO":
        return not params and not between
    if final in b"mM":
        return bool(_MOUSE.fullmatch(params))
    if between == b"$" and final == b"y":
        return params.partition(b";")[0] in (b"?2026", b"?2048") and len(params) == 7
    if final == b"t":
        return bool(_SIZE.fullmatch(params))
    key = _KEY.fullmatch(params)
    if key is None or between:
        return False
    code, modifiers, text = key.groups()
    number = int(code or b"1")
    if int(modifiers or b"1") not in range(1, 257) or not all(map(_is_sign, (text or b"32").split(b":"))):
        return False
    if final == b"u":
        return bool(code) and (_is_sign(code) or number in (9, 13, 27, 127))
    if final == b"~":
        return number in _TILDE or params in (b"200", b"201")
    return final in b"ABCDEFHPQRSZ" and number == 1


def _is_sign(code: bytes) -> bool:
    """Whether the number is that of a sign that can be typed."""
    number = int(code)
    return 32 <= number < 0x110000 and not 0x7F <= number < 0xA0 and not 0xD800 <= number < 0xE000


def _string(buffer: bytes, at: int) -> tuple[int | None, bytes]:
    """An answer of the terminal, which nobody asked for: dropped. A new sequence or Ctrl-X ends it, too."""
    end = _STRING_END.search(buffer, at + 2)
    if end is None or (end[0] == b"\x1b" and end.end() == len(buffer)):
        return None, b""
    return (end.start() if end[0] in (b"\x18", b"\x1a", b"\x1b") else end.end()), b""
