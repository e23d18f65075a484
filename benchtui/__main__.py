"""Runs benchtui by ``python -m benchtui``."""

import sys

from benchtui.cli import main

sys.exit(main())
