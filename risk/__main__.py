"""The command ``twothirds``, which ``python -m risk`` is as well, from its first moment on.

All that is loaded before `main` runs is this file, so that Ctrl-C while the rest is being loaded
ends as it does later: in a line, with status 1.
"""

from __future__ import annotations

import gc
import sys


def main() -> int:
    """Run the command line of the process and return its exit status, as `risk.cli.main`."""
    # Cases and answers are many small objects without cycles; looking for cycles among them
    # after every 700 took a fifth of the time of a family of 100,000.
    gc.set_threshold(100_000, 20, 20)
    try:
        from risk import cli

        return cli.main()
    except KeyboardInterrupt:
        sys.stderr.write("twothirds: stopped\n")
        return 1
    finally:
        # The process ends here, and Python would look through all of it once more: a tenth of
        # the time of a small answer.
        gc.freeze()


if __name__ == "__main__":
    sys.exit(main())
