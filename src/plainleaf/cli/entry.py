"""The program's door: starts the presses of a command that prints, then loads the rest.

Loading the program and warming up the presses take about half a second each, and there are two
cores: done at the same time they take that long once.
"""

from __future__ import annotations

import sys
from contextlib import ExitStack, suppress

from plainleaf.printing.fonts import default_cache, use_own_fonts
from plainleaf.printing.workers.pool import Presses
from plainleaf.vocabulary.errors import RenderError

# Commands that lay out pages.
PRINTING = ("build",)


def main() -> int:
    """Run the command of the command line."""
    with ExitStack() as stack:
        presses = Presses()
        if sys.argv[1:2] and sys.argv[1] in PRINTING:
            # Where the fonts cannot be made, the command says so when it comes to its pages.
            with suppress(RenderError):
                use_own_fonts(default_cache())
                stack.enter_context(presses)
        from plainleaf.cli.main import main as run

        return run(presses=presses)
