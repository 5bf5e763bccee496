"""``twothirds app``: starts Streamlit on this machine, telling nobody."""

from __future__ import annotations

import gc
import sys
from collections.abc import Sequence
from importlib.resources import files

NEEDED = "twothirds app needs Streamlit; install it with: pip install 'twothirds-risk[app]'"

#: Given as flags, which no configuration file of the folder overrides.
SETTINGS = (
    ("browser.gatherUsageStats", "false"),
    ("server.address", "127.0.0.1"),
    ("server.maxUploadSize", "1"),
    ("server.allowedHosts", "127.0.0.1"),
    ("server.allowedHosts", "localhost"),
    ("server.fileWatcherType", "none"),
    ("client.toolbarMode", "minimal"),
    ("client.showErrorDetails", "none"),
    # Its welcome asks a server on the internet for this machine's address; `twothirds app` says
    # itself where the app is.
    ("logger.hideWelcomeMessage", "true"),
    ("logger.level", "warning"),
    # A full garbage collection after each run of the script took two thirds of the time of a
    # server with thirty sessions; memory stays as flat without (tests/screens/load.py).
    ("runner.postScriptGC", "false"),
    ("theme.light.primaryColor", "#1d5fa8"),
    ("theme.dark.primaryColor", "#8ab8f0"),
)


def main(argv: Sequence[str] = ()) -> int:
    """Run the app until it is stopped; `argv` are further options of Streamlit.

    Returns the exit status: 1 where Streamlit is not installed.
    """
    try:
        from streamlit.web import cli
    except ImportError:
        print(NEEDED, file=sys.stderr)  # noqa: T201 - a command's message
        return 1
    # The command looks for cycles among objects seldom, for one large family; a server lives long.
    gc.set_threshold(700, 10, 10)
    # The script stands in a folder of its own: Streamlit puts that folder first on the path.
    entry = str(files("risk.screens") / "entry" / "run.py")
    flags = [f"--{key}={value}" for key, value in SETTINGS]
    sys.argv = ["streamlit", "run", entry, *flags, *argv]
    try:
        cli.main()
    except SystemExit as stop:
        return stop.code if isinstance(stop.code, int) else 0
    return 0


if __name__ == "__main__":
    raise SystemExit(main(sys.argv[1:]))
