"""``benchtui export KIND``: any file that leaves the shop."""

import argparse

from benchtui.base.longwork import long_work
from benchtui.cli.declare import command
from benchtui.cli.options import shop_path
from benchtui.export.command import add_options, run_command


@command("write out the intake, stock book, statement, sales, VAT figures, slips and more", add_options)
def export(args: argparse.Namespace) -> int:
    with long_work("export", "nothing is written") as progress:
        return run_command(args, shop_path(args), progress=progress)
