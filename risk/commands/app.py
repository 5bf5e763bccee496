"""``twothirds app``: the app in a browser, served on this machine."""

from __future__ import annotations

import argparse
import errno
import socket
from importlib.util import find_spec

from risk.console.options import Command, Usage
from risk.console.streams import Streams
from risk.problems import RiskError, shown, shown_path

_LOCAL = ("127.0.0.1", "localhost", "::1")
_EVERY = ("0.0.0.0", "::")
_PORTS = range(1, 65536)
_USUAL = range(8501, 8600)


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
    from risk.screens.serve import NEEDED, main

    if find_spec("streamlit") is None:
        raise RiskError(NEEDED)
    wanted = None
    if options.port is not None:
        if not options.port.isdecimal() or int(options.port[:9]) not in _PORTS:
            raise Usage(f"--port: {shown(options.port, 20)} is not a port (1 to 65535)")
        wanted = int(options.port)
    port = free_port(options.address, wanted)
    further = [f"--server.port={port}"]
    say = streams.say
    if options.address not in _LOCAL:
        place = shown_path(options.address)
        say(
            f"twothirds: anyone who can reach {place} can use this app: there is no log-in and no "
            "encryption. Enter no real people.\n"
        )
        further += [f"--server.address={options.address}", "--server.allowedHosts=*"]
    if options.address in _EVERY:
        say(f"twothirds: others on this network open http://{socket.gethostname()}:{port}\n")
    here = "127.0.0.1" if options.address in _EVERY else options.address
    say(f"twothirds: the app is at http://{_in_address(here)}:{port} (Ctrl-C stops it)\n")
    if options.no_browser:
        further.append("--server.headless=true")
    return main(further)


def free_port(address: str, wanted: int | None) -> int:
    """Return the port to listen on: the one wanted, or else the first that is free from 8501 on.

    Raises `Usage` for an address that this machine does not have, and `RiskError` where the port
    is taken or nobody but the administrator may use it.
    """
    for port in (wanted,) if wanted is not None else _USUAL:
        try:
            (family, kind, protocol, _, place), *_ = socket.getaddrinfo(
                address, port, type=socket.SOCK_STREAM, flags=socket.AI_PASSIVE
            )
            with socket.socket(family, kind, protocol) as trial:
                trial.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
                trial.bind(place)
                return port
        except (socket.gaierror, UnicodeError):
            raise Usage(f"--address: {shown(address, 60)} is not known here") from None
        except PermissionError:
            message = f"--port: port {port} is not open to you; choose one from 1024 on"
            raise RiskError(message) from None
        except OSError as error:
            if error.errno != errno.EADDRINUSE:
                message = f"{shown(address, 60)} is not an address of this machine"
                raise Usage(f"--address: {message}") from None
    taken = f"port {wanted} is" if wanted is not None else "ports 8501 to 8599 are all"
    raise RiskError(f"--port: {taken} taken by another program; choose another")


def _in_address(host: str) -> str:
    return f"[{host}]" if ":" in host else host


COMMAND = Command(
    summary="Open the app in a browser. It runs on this machine and sends nothing anywhere; "
    "Ctrl-C stops it.",
    options=_options,
    run=_run,
    examples="examples:\n  twothirds app\n  twothirds app --port 8600 --no-browser\n",
)
