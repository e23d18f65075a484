"""For every test: a busy machine is no fault, and what does not change is not worked out twice."""

import gc
import pickle
import tomllib
from typing import Any

from hypothesis import HealthCheck, settings

settings.register_profile("whenever", deadline=None, suppress_health_check=[HealthCheck.too_slow])
settings.load_profile("whenever")

# The tests, the libraries and Textual stay in memory: a collector that walks them all every few hundred objects
# takes a tenth of the run.
gc.set_threshold(50_000, 20, 50)

_LONG = 1_000
_read_toml = tomllib.loads
_tables: dict[str, bytes] = {}


def _loads_once(text: str, /, **named: Any) -> dict[str, Any]:
    """The same few books, scales and keymaps are read by thousands of tests: each gets a table of its own."""
    if named or not isinstance(text, str) or len(text) < _LONG:
        return _read_toml(text, **named)
    if text not in _tables:
        if len(_tables) > 200:
            _tables.clear()
        _tables[text] = pickle.dumps(_read_toml(text))
    table: dict[str, Any] = pickle.loads(_tables[text])
    return table


tomllib.loads = _loads_once
