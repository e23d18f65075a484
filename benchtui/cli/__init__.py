"""The command line, a file a command."""

from benchtui.cli.program import _parser as _parser
from benchtui.cli.program import main as main
