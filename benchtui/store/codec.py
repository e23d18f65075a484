"""JSON as the store keeps it: strict both ways, so that whatever is written can be read again."""

import json
import math
from typing import Any, NoReturn

from benchtui.base.errors import BenchError

Doc = dict[str, Any]
Tables = dict[str, dict[str, Doc]]
DEEPEST = 60
_NESTS = (dict, list, tuple)
# Made once: json.dumps makes one at every call.
_PLAIN = json.JSONEncoder(ensure_ascii=False, allow_nan=False, separators=(",", ":"))
_ESCAPED = json.JSONEncoder(allow_nan=False, separators=(",", ":"))


def encode(value: Any, where: str = "") -> str:
    """Compact JSON that encodes to UTF-8. BenchError for NaN, infinities and whatever JSON does not know."""
    try:
        text = text_of(value)
        too_deep(value)
    except (TypeError, ValueError, RecursionError) as error:
        raise BenchError(f"this cannot be saved: {error}", where, "use plain text, numbers, lists") from error
    return text


def text_of(value: Any) -> str:
    """The same for what is known to be good: no error, and no look at how deep it goes."""
    text = _PLAIN.encode(value)
    if not text.isascii():
        try:
            text.encode()
        except UnicodeEncodeError:  # half a surrogate pair: kept as an escape
            return _ESCAPED.encode(value)
    return text


def decode(raw: bytes | str) -> Any:
    """What the JSON says. ValueError (with a short reason) for anything that is not strict JSON in UTF-8."""
    try:
        text = raw if isinstance(raw, str) else raw.decode("utf-8-sig")
        return json.loads(text, parse_constant=_refuse, parse_float=_finite)
    except UnicodeDecodeError as error:
        raise ValueError(f"not UTF-8 at byte {error.start}") from error
    except RecursionError as error:
        raise ValueError("nested too deeply") from error
    except json.JSONDecodeError as error:
        raise ValueError(f"not JSON at line {error.lineno}, column {error.colno}") from error


def fresh(value: Any, where: str = "") -> Any:
    """A copy as it would be read back from the disk: tuples are lists, keys are text."""
    return json.loads(encode(value, where))


def same(one: Any, other: Any) -> bool:
    """Equal as JSON: ``1``, ``1.0`` and ``true`` are three different things."""
    if one is other:
        return True
    kind = type(one)
    if kind is not type(other):
        return False
    if kind is dict:
        return len(one) == len(other) and all(key in other and same(one[key], other[key]) for key in one)
    if kind is list:
        return len(one) == len(other) and all(map(same, one, other))
    return bool(one == other)


def canonical(value: Any) -> str:
    """One text for equal values, whatever the order of their keys."""
    return json.dumps(value, ensure_ascii=True, allow_nan=False, separators=(",", ":"), sort_keys=True)


def size_of(value: Any) -> int:
    """Length of the value's JSON text, for what is known to have one."""
    return len(_PLAIN.encode(value))


def too_deep(value: Any) -> None:
    """ValueError for what is nested so deeply that working on it could fail later."""
    level = [value] if isinstance(value, _NESTS) else []
    for _ in range(DEEPEST):
        if not level:
            return
        level = [inner for outer in level for inner in _inside(outer) if isinstance(inner, _NESTS)]
    raise ValueError(f"it is nested more than {DEEPEST} deep")


def _inside(outer: Any) -> Any:
    return outer.values() if isinstance(outer, dict) else outer


def _refuse(word: str) -> NoReturn:
    raise ValueError(f"{word} is not a number")


def _finite(text: str) -> float:
    number = float(text)
    if not math.isfinite(number):
        raise ValueError(f"the number {text[:20]} is too large")
    return number
