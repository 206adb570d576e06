"""`python -m plainleaf`."""

import sys

from plainleaf.cli import main

sys.exit(main())
