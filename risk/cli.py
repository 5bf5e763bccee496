"""The command ``twothirds``: finds the subcommand, runs it, maps outcomes to exit status.

Subcommands live in `risk.commands`, one module each holding a `Command` named `COMMAND`; only
the one that is asked for is imported, so that a small answer does not wait for large libraries.
"""

from __future__ import annotations

import importlib
import os
import signal
import sys
from argparse import Namespace
from collections.abc import Iterable
from contextlib import suppress
from textwrap import fill
from typing import TextIO

from risk.caution import CAUTION
from risk.console.options import Command, HelpShown, Options, Usage
from risk.console.streams import Streams, failed, report, standard_streams, unreadable
from risk.problems import OwnFault, RiskError, did_you_mean, shown, shown_path
from risk.version import __version__

#: Each subcommand and the line that the overview prints for it.
COMMANDS = {
    "solve": "answer a case's questions, exactly",
    "explain": "show the working of each question, step by step",
    "check": "find everything that is wrong with a case file",
    "vary": "show how each answer changes with one value of the case",
    "mark": "mark an answer, or a whole class, and name the slips",
    "draw": "draw the family tree as SVG, PDF or PNG",
    "practice": "make practice cases: invented families with their story",
    "report": "write the case summary as a PDF",
    "worksheet": "print problems, and the key with worked solutions",
    "app": "open the app in a browser on this machine",
    "cross": "Punnett squares, later generations and the test cross",
}

OVERVIEW = """\
usage: twothirds COMMAND ...

Exact genetic risks for family trees, with the working shown.
{caution}

commands:
{commands}

options:
  -h, --help     show this page and stop; twothirds COMMAND --help says more
  --version      show the version and stop

exit status: 0 done; 2 the input is wrong; 3 the evidence is impossible;
4 too large to solve exactly; 1 anything else
"""


#: Options and arguments, in any subcommand, that name files: those read, and those written.
_READ = ("case", "cases", "answers")
_WRITTEN = ("output", "key", "chart")


def main(argv: list[str] | None = None, streams: Streams | None = None) -> int:
    """Run the command line `argv` (default: the process's) and return its exit status.

    0 done; 2 the input is wrong; 3 the evidence is impossible under the model; 4 too large to
    solve exactly; 1 anything else.  `streams` stand in for the process's own.
    """
    own = streams is None
    streams = streams or standard_streams()
    if own:
        _stop_in_order()
    try:
        status = _run(sys.argv[1:] if argv is None else argv, streams)
        streams.stdout.flush()
    except BrokenPipeError:
        # The reader (``| head``) has seen enough: no message, but not "done" either.
        status = 1
    except RiskError as error:
        report(error, streams)
        status = error.status
    except KeyboardInterrupt:
        streams.say("twothirds: stopped\n")
        status = 1
    except MemoryError:
        streams.say("twothirds: out of memory\n")
        status = 1
    except OSError as error:
        streams.say(f"twothirds: {_trouble(error)}\n")
        status = 1
    except Exception as error:  # the last resort: a fault of ours, said in a line
        if os.environ.get("TWOTHIRDS_TRACEBACK"):
            raise
        streams.say(f"twothirds: {OwnFault(error)}\n")
        status = 1
    if own:
        _let_go(streams.stdout)
        _let_go(streams.stderr)
    return status


def command(name: str) -> Command:
    """Return the subcommand `name`, importing its module."""
    found = importlib.import_module(f"risk.commands.{name}").COMMAND
    assert isinstance(found, Command)
    return found


def parser(name: str, stdout: TextIO) -> Options:
    """Return the option parser of the subcommand `name`, which prints help on `stdout`."""
    subcommand = command(name)
    options = Options(f"twothirds {name}", subcommand.summary, _epilog(subcommand), stdout)
    subcommand.options(options)
    return options


def _run(argv: list[str], streams: Streams) -> int:
    if not argv:
        streams.say(_overview())
        return 2
    name, rest = argv[0], argv[1:]
    if name in ("-h", "--help", "help"):
        streams.stdout.write(_overview())
        return 0
    if name == "--version":
        streams.stdout.write(f"twothirds {__version__}\n")
        return 0
    if name not in COMMANDS:
        what = "option" if name.startswith("-") else "command"
        raise Usage(
            f"unknown {what} {shown(name)}{did_you_mean(name, COMMANDS)} (see: twothirds --help)"
        )
    words = parser(name, streams.stdout)
    try:
        options = words.read(rest)
        written = _paths(options, _WRITTEN)
        if written:
            from risk.output import keep_inputs  # only what writes files loads what that takes

            keep_inputs(written, _paths(options, _READ))
        return command(name).run(options, streams)
    except HelpShown:
        return 0
    except RiskError as error:
        report(error, streams)
        # Told by the word, since the options may be what is wrong.
        return failed(error, streams, as_json="--json" in rest and "--json" in words.known())


def _paths(options: Namespace, names: Iterable[str]) -> list[str]:
    """Return the paths that the options of these names hold, each once where it is given once."""
    given = (getattr(options, name, None) for name in names)
    return [path for each in given if each for path in (each if type(each) is list else [each])]


def _overview() -> str:
    lines = "\n".join(f"  {name:<12} {summary}" for name, summary in COMMANDS.items())
    return OVERVIEW.format(caution=fill(CAUTION, 79), commands=lines)


def _epilog(subcommand: Command) -> str:
    return f"{subcommand.examples.rstrip()}\n\n{fill(CAUTION, 79)}".lstrip()


def _trouble(error: OSError) -> str:
    """Say what could not be read or written, and why."""
    if not error.filename:
        return f"cannot write the answers: {unreadable(error)}"
    path = str(error.filename)
    ours = path.startswith(os.path.dirname(os.path.abspath(__file__)) + os.sep)
    mend = "; it is a part of Two-Thirds, so install it again" if ours else ""
    return f"{shown_path(path)}: {unreadable(error)}{mend}"


def _stop_in_order() -> None:
    """Let the signals that end a program clear away what is half-written, as Ctrl-C does."""
    for name in ("SIGTERM", "SIGHUP"):
        if number := getattr(signal, name, None):  # Windows has only the first
            with suppress(ValueError):  # not the main thread, to which alone signals come
                signal.signal(number, signal.default_int_handler)


def _let_go(stream: TextIO) -> None:
    """Keep the interpreter from failing again, at its exit, on a stream that cannot be written."""
    try:
        stream.flush()
    except (OSError, ValueError):
        null = os.open(os.devnull, os.O_WRONLY)
        os.dup2(null, stream.fileno())
