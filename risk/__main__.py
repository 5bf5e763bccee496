"""``python -m risk`` is the same as the command ``twothirds``."""

from __future__ import annotations

import sys

from risk.cli import main

if __name__ == "__main__":
    sys.exit(main())
