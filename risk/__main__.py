"""The command ``twothirds``, which ``python -m risk`` is as well, from its first moment on.

All that is loaded before `main` runs is this file, so that Ctrl-C while the rest is being loaded
ends as it does later: in a line, with status 1.
"""

from __future__ import annotations

import sys


def main() -> int:
    """Run the command line of the process and return its exit status, as `risk.cli.main`."""
    try:
        from risk import cli

        return cli.main()
    except KeyboardInterrupt:
        sys.stderr.write("twothirds: stopped\n")
        return 1


if __name__ == "__main__":
    sys.exit(main())
