"""What changed between two JSON documents, as operations that can be played both ways.

An operation is ``[path, before, after]``. Before and after are lists: in an object ``[]`` says that the key
was not there and ``[value]`` that it was; in an array they are the items that stood, or then stand, at the
index that ends the path. Turning the two round undoes it.
"""

import copy
from typing import Any

from benchtui.store.codec import same

Op = list[Any]
Path = list[str | int]


def diff(old: Any, new: Any, path: Path) -> list[Op]:
    """The operations that lead from ``old`` to ``new``, small for small changes."""
    if same(old, new):
        return []
    if type(old) is dict and type(new) is dict:
        return _diff_objects(old, new, path)
    if type(old) is list and type(new) is list:
        return _diff_lists(old, new, path)
    return [[path, [old], [new]]]


def _diff_objects(old: dict[str, Any], new: dict[str, Any], path: Path) -> list[Op]:
    ops: list[Op] = []
    for key in [*old, *(key for key in new if key not in old)]:
        here = [*path, key]
        if key in old and key in new:
            ops += diff(old[key], new[key], here)
        else:
            ops.append([here, [old[key]] if key in old else [], [new[key]] if key in new else []])
    return ops


def _diff_lists(old: list[Any], new: list[Any], path: Path) -> list[Op]:
    if len(old) == len(new):
        return [op for at, pair in enumerate(zip(old, new, strict=True)) for op in diff(*pair, [*path, at])]
    shortest = min(len(old), len(new))
    head = next((at for at in range(shortest) if not same(old[at], new[at])), shortest)
    left = shortest - head
    tail = next((at for at in range(left) if not same(old[-1 - at], new[-1 - at])), left)
    return [[[*path, head], old[head : len(old) - tail], new[head : len(new) - tail]]]


def play(tree: Any, ops: list[Op], back: bool = False) -> None:
    """Plays operations into ``tree``, which must be a private copy; ``back`` undoes them, last one first.

    Values are copied in, since a later operation may change them while the history still needs them.
    """
    for path, before, after in reversed(ops) if back else ops:
        if back:
            before, after = after, before
        after = copy.deepcopy(after)
        inner = tree
        for step in path[:-1]:
            inner = inner[step]
        last = path[-1]
        if isinstance(inner, list):
            inner[last : last + len(before)] = after
        elif after:
            inner[last] = after[0]
        else:
            inner.pop(last, None)
