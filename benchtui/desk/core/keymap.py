"""A keymap as the desk uses it: which key does what, wherever one stands."""

from collections.abc import Callable
from dataclasses import dataclass, field

from benchtui.desk.core.keys import shown


@dataclass(frozen=True)
class Keymap:
    """``uses[scope][key]`` is an action id, or ``grade:ID`` for a letter of the scale."""

    name: str
    about: str
    uses: dict[str, dict[str, str]]
    keys: dict[str, tuple[str, ...]] = field(default_factory=dict)
    short: Callable[[str], str] = str
    """The word of a command in the list of all, for those that no key does."""
    stem: str = ""
    """The name it is found by: its file's, without the ending."""
    one_hand: bool = False
    """Every choice goes by a digit, and an open line gives + and * up to the map."""

    def digit(self, key: str) -> str | None:
        """The digit that a key answers with."""
        use = self.uses["bench"].get(key, "")
        return use.removeprefix("answer-") if use.startswith("answer-") else None

    def use(self, scope: str, key: str) -> str | None:
        """What the key does in that scope; ``any`` stands behind every scope."""
        return self.uses[scope].get(key) or self.uses["any"].get(key)

    def first_key(self, action: str) -> str | None:
        """The key a legend shows for an action."""
        keys = self.keys.get(action)
        return keys[0] if keys else None

    def named(self, action: str) -> str:
        """The key that does it, as messages name it; where there is none, its word in the list of all."""
        key = self.first_key(action)
        if key:
            return shown(key)
        return f"{shown(self.first_key('commands') or '')} '{self.short(action)}'"
