"""``twothirds app``: the app in a browser, served on this machine."""

from __future__ import annotations

import argparse

from risk.console import Command, Streams, Usage
from risk.problems import shown, shown_path

_LOCAL = ("127.0.0.1", "localhost", "::1")
_PORTS = range(1, 65536)


def _options(options: argparse.ArgumentParser) -> None:
    options.add_argument("--port", help="the port to listen on (default: 8501, or the next free)")
    options.add_argument(
        "--address",
        default="127.0.0.1",
        help="the address to listen on (default: 127.0.0.1, this machine only); any other lets "
        "the whole network in, for a classroom",
    )
    options.add_argument(
        "--no-browser", action="store_true", help="do not open a browser; only say where it is"
    )


def _run(options: argparse.Namespace, streams: Streams) -> int:
    from risk.screens.serve import main

    further = []
    if options.port is not None:
        if not options.port.isdecimal() or int(options.port[:9]) not in _PORTS:
            raise Usage(f"--port: {shown(options.port, 20)} is not a port (1 to 65535)")
        further.append(f"--server.port={int(options.port)}")
    if options.address not in _LOCAL:
        place = shown_path(options.address)
        streams.stderr.write(
            f"twothirds: anyone who can reach {place} can use this app: there is no log-in and no "
            "encryption. Enter no real people.\n"
        )
        streams.stderr.flush()
        further += [f"--server.address={options.address}", "--server.allowedHosts=*"]
    if options.no_browser:
        further.append("--server.headless=true")
    return main(further)


COMMAND = Command(
    summary="Open the app in a browser. It runs on this machine and sends nothing anywhere; "
    "Ctrl-C stops it.",
    options=_options,
    run=_run,
    examples="examples:\n  twothirds app\n  twothirds app --port 8600 --no-browser\n",
)
