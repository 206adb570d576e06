"""`python -m plainleaf`."""

import sys

from plainleaf.entry import main

sys.exit(main())
