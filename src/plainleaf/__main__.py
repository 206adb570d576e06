"""`python -m plainleaf`."""

import sys

from plainleaf.cli.entry import main

sys.exit(main())
