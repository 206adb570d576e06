"""`python -m plainleaf`, and the program's first door: nothing loads before it is guarded."""

from __future__ import annotations

import importlib
import sys

from plainleaf.cli.guard import guarded


def main() -> int:
    """Load the program and run the command of the command line; the exit status."""
    return guarded(lambda: int(importlib.import_module("plainleaf.cli.main").main()), sys.argv)


if __name__ == "__main__":
    sys.exit(main())
