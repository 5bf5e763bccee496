"""``twothirds mark``: mark one answer, or a table of a class's answers."""

from __future__ import annotations

import argparse
from typing import TYPE_CHECKING

from risk import actions
from risk.console.options import Command, Usage, file_name, whole_number
from risk.console.sources import read_cases, read_source, read_sources
from risk.console.streams import Streams
from risk.output import write_together
from risk.problems import InputError, Problem, shown_path
from risk.render.figure import check_ending, figure_bytes

if TYPE_CHECKING:
    from risk.teaching.case_names import Listed


def _options(options: argparse.ArgumentParser) -> None:
    options.add_argument(
        "cases",
        type=file_name,
        nargs="+",
        metavar="CASE",
        help="a case file; with --answers any number of them, also .jsonl files of one case a "
        "line; - is standard input",
    )
    options.add_argument("--answer", metavar="TEXT", help="the answer, as a student wrote it")
    options.add_argument(
        "--question",
        metavar="N",
        type=whole_number,
        default=None,
        help="which question: 0 (the default) for the first, which solve prints as 1., 1 for the "
        "second",
    )
    options.add_argument(
        "--reveal", action="store_true", help="also say the true answer (JSON always does)"
    )
    options.add_argument(
        "--answers",
        type=file_name,
        metavar="CLASS.csv",
        help="mark a class: a table with the columns student, case, question, answer; a case is "
        "called by its file name, its title or its number on a worksheet of the same files; a "
        "question by its number, from 0, or its letter there: a, (b). Or one student a row: "
        "student and a column for each question, called like 1 (a), 1 (b), 2 (a)",
    )
    options.add_argument(
        "--count-from",
        type=whole_number,
        choices=(0, 1),
        default=None,
        help="with --answers: the number that the table gives the first question (default 0)",
    )
    options.add_argument(
        "-o",
        type=file_name,
        dest="output",
        metavar="MARKS.csv",
        help="with --answers: write the marks of each row",
    )
    options.add_argument(
        "--chart",
        type=file_name,
        metavar="FIGURE",
        help="with --answers: draw the slips of the class, a .svg, .pdf or .png file",
    )
    options.add_argument(
        "--json", action="store_true", help="print JSON, and nothing else, on standard output"
    )


def _run(options: argparse.Namespace, streams: Streams) -> int:
    if options.answers is not None:
        _class(options, streams)
    else:
        _one(options, streams)
    return 0


def _one(options: argparse.Namespace, streams: Streams) -> None:
    if options.answer is None:
        raise Usage("missing: --answer TEXT or --answers CLASS.csv (see: twothirds mark --help)")
    if options.output or options.chart or options.count_from is not None:
        raise Usage("-o, --chart and --count-from belong to --answers")
    if len(options.cases) > 1:
        raise Usage("--answer marks one case; for many answers use --answers CLASS.csv")
    case = actions.load(read_source(options.cases[0], streams).read())
    mark = actions.mark(case, options.answer, options.question or 0)
    if options.json:
        from risk.render.json import to_page
        from risk.render.teaching_json import mark_json

        streams.stdout.write(f"{to_page(mark_json(mark))}\n")
    else:
        from risk.document.marks import mark_blocks
        from risk.render.text_blocks import blocks_to_text

        streams.stdout.write(blocks_to_text(mark_blocks(mark, case, reveal=options.reveal)))


def _class(options: argparse.Namespace, streams: Streams) -> None:
    from risk.teaching.case_names import names_of, problem_numbers

    if options.answer is not None or options.question is not None:
        raise Usage("--answers holds answers and questions; leave --answer and --question out")
    if options.output == "-":
        raise Usage("-o: the marks are written to a file beside the summary; name one")
    check_ending(options.chart)
    listed = _listed(options.cases, streams)
    cases = names_of(listed)
    table = read_source(options.answers, streams).read()
    try:
        marked, summary = actions.mark_class(
            table, cases, options.count_from or 0, from_one="--count-from 1"
        )
    except InputError as error:
        raise InputError(
            Problem(shown_path(options.answers), str(problem)) for problem in error.problems
        ) from None
    files: list[tuple[str, bytes]] = []
    if options.output:
        from risk.teaching.class_marks import marks_table

        # With a byte-order mark spreadsheets read the names right.
        files.append((options.output, ("\ufeff" + marks_table(marked)).encode("utf-8")))
    if options.chart:
        figure = figure_bytes(actions.slips_figure(summary), options.chart)
        files.append((options.chart, figure))
    write_together(files)
    if options.json:
        from risk.render.json import to_page
        from risk.render.teaching_json import summary_json

        streams.stdout.write(f"{to_page(summary_json(summary))}\n")
        for note in summary.notes:
            streams.say(f"{note}\n")
    else:
        from risk.document.marks import class_blocks
        from risk.render.text_blocks import blocks_to_text

        blocks = class_blocks(
            summary, marked, options.count_from or 0, problem_numbers(listed, cases)
        )
        streams.stdout.write(blocks_to_text(blocks))
    if missed := dict(summary.verdicts).get("not marked"):
        answers = "1 answer is" if missed == 1 else f"{missed:,} answers are"
        streams.say(f"{answers} not marked; the summary says why\n")


def _listed(paths: list[str], streams: Streams) -> list[Listed]:
    from risk.teaching.case_names import Listed

    found = read_cases(read_sources(paths, streams))
    return [Listed(source.file, source.line, case) for source, case in found]


COMMAND = Command(
    summary="Mark an answer and name the slip behind it; or mark a whole class.",
    options=_options,
    run=_run,
    examples="""\
examples:
  twothirds mark family.json --answer "1/2"
  twothirds mark family.json --question 1 --answer "66,7 %" --reveal
  twothirds mark *.json --answers class.csv -o marks.csv --chart slips.svg
""",
)
