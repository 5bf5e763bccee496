"""The parser of options, which says in our words what is wrong, and what a subcommand is."""

from __future__ import annotations

import argparse
import csv
import os
import re
import textwrap
from collections.abc import Callable
from typing import NamedTuple, NoReturn, TextIO

from risk.console.streams import Streams
from risk.problems import InputError, Problem, did_you_mean, shown


class Command(NamedTuple):
    """One subcommand: its help, its options, and what it does.

    `run` takes the parsed options and the streams and returns the exit status; it raises
    `risk.problems.RiskError` for what a user can mend.
    """

    summary: str
    options: Callable[[argparse.ArgumentParser], None]
    run: Callable[[argparse.Namespace, Streams], int]
    examples: str = ""


class Usage(InputError):
    """The command line itself is wrong."""

    def __init__(self, message: str) -> None:
        super().__init__([Problem("", message)])


class HelpShown(Exception):
    """``--help`` was asked for and printed; nothing is left to do."""


class Options(argparse.ArgumentParser):
    """A parser that raises `Usage` in our words, and prints help on the given stream."""

    def __init__(self, prog: str, description: str, epilog: str, stdout: TextIO) -> None:
        super().__init__(
            prog=prog,
            description=textwrap.fill(description, 80),
            epilog=epilog,
            formatter_class=_Help,
            allow_abbrev=False,
            add_help=False,
        )
        self._stdout = stdout
        # A value such as -1/2 is no option, so that its own reader can say what is wrong.
        self._negative_number_matcher = re.compile(r"-\.?\d")
        self.add_argument("-h", "--help", action="store_true", help="show this page and stop")

    def read(self, argv: list[str]) -> argparse.Namespace:
        """Parse `argv`; raises `HelpShown` or `Usage`."""
        if any(word in ("-h", "--help") for word in argv[: _options_end(argv)]):
            self._stdout.write(self.format_help())
            raise HelpShown
        needed = [action for action in self._actions if action.required]
        for action in needed:  # what is missing is told after what is not known
            action.required = False
        options, unknown = self.parse_known_args(argv)
        if unknown:
            word = unknown[0].split("=")[0]
            what = "option" if word.startswith("-") else "word"
            mend = did_you_mean(word, self.known())
            if what == "option" and os.path.exists(unknown[0]):
                word, mend = unknown[0], f"; the file of that name is written ./{unknown[0]}"
            self.error(f"unknown {what} {shown(word)}{mend}")
        missing = [action for action in needed if getattr(options, action.dest) is None]
        if missing:
            names = ["/".join(each.option_strings) or str(each.metavar) for each in missing]
            self.error(f"missing: {', '.join(names)}")
        return options

    def known(self) -> list[str]:
        """Return the names of all options: ``-h``, ``--help``, ``--json``."""
        return [name for action in self._actions for name in action.option_strings]

    def error(self, message: str) -> NoReturn:
        message = "".join(c if c.isprintable() else ascii(c)[1:-1] for c in message)
        for theirs, ours in (
            ("expected one argument", "needs a value"),
            ("expected at least one argument", "needs at least one value"),
            ("argument ", ""),
        ):
            message = message.replace(theirs, ours)
        raise Usage(f"{message} (see: {self.prog} --help)")


def listed(text: str) -> list[str]:
    """Return what a list with commas names; quotes hold together what has a comma of its own."""
    (row,) = csv.reader([text], skipinitialspace=True)
    return [part.strip() for part in row if part.strip()]


def file_name(text: str) -> str:
    """Read a file's name among the options; an unset variable of a shell leaves it empty."""
    if not text:
        raise argparse.ArgumentTypeError("no file is named: the name is empty")
    return text


def whole_number(text: str) -> int:
    """Read an option's whole number."""
    if not re.fullmatch(r"[+-]?[0-9]{1,300}", text):
        raise argparse.ArgumentTypeError(f"{shown(text)} is not a whole number")
    return int(text)


class _Help(argparse.RawDescriptionHelpFormatter):
    def __init__(self, prog: str) -> None:
        super().__init__(prog, max_help_position=26, width=80)

    def _format_action_invocation(self, action: argparse.Action) -> str:
        """Write ``-o, --output PATH`` in every version of Python, as those from 3.13 on do."""
        if not action.option_strings or action.nargs == 0:
            return super()._format_action_invocation(action)
        metavar = self._get_default_metavar_for_optional(action)
        return f"{', '.join(action.option_strings)} {self._format_args(action, metavar)}"


def _options_end(argv: list[str]) -> int:
    return argv.index("--") if "--" in argv else len(argv)
