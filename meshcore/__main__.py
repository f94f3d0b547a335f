"""Run the command line with ``python -m meshcore``."""

import sys

from meshcore.cli import main

sys.exit(main())
