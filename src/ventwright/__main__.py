"""Run Ventwright as ``python -m ventwright``."""

import sys

from ventwright.cli import main

sys.exit(main())
