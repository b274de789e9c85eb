"""Run the command as `python -m slopewright`."""

import sys

from slopewright.command import main

if __name__ == "__main__":
    sys.exit(main())
