"""Where the files that ship beside the code are found: keymaps/ and demo/.

In a checkout they stand at the top of the repository; in an installed wheel
inside the package. Nothing else may depend on which of the two it is.
"""

from pathlib import Path

_PACKAGE = Path(__file__).resolve().parents[1]
_INSTALLED = _PACKAGE / "_shipped"


def shipped(folder: str) -> Path:
    """The shipped folder of that name (``keymaps`` or ``demo``)."""
    installed = _INSTALLED / folder
    return installed if installed.is_dir() else _PACKAGE.parent / folder
