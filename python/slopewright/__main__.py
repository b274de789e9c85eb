"""Run the command as `python -m slopewright`."""

import sys

from slopewright.command import main

sys.exit(main())
