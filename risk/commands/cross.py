"""``twothirds cross``: Punnett squares, later generations, the test cross, counted offspring."""

from __future__ import annotations

import argparse
from typing import Any

from risk import actions
from risk.console.options import Command, Usage, file_name, whole_number
from risk.console.streams import Streams, failed, report
from risk.output import write_whole
from risk.problems import ImpossibleEvidence, InputError
from risk.render.figure import check_ending, figure_bytes


def _options(options: argparse.ArgumentParser) -> None:
    options.add_argument("mother", nargs="?", metavar="MOTHER", help="genotype, like Aa or XAXa")
    options.add_argument("father", nargs="?", metavar="FATHER", help="genotype, like Aa or XAY")
    options.add_argument(
        "--then",
        metavar="SCHEME",
        help="go on from F1: F2 (mated at random), backcross:AA:3, selfing:5 or sibs:5",
    )
    options.add_argument(
        "--offspring",
        type=whole_number,
        metavar="N",
        help="draw N offspring of the last generation",
    )
    options.add_argument(
        "--seed",
        type=whole_number,
        default=0,
        metavar="S",
        help="same seed, same offspring (default 0)",
    )
    options.add_argument(
        "--observed",
        metavar="D:R",
        help="test dominant:recessive counts for goodness of fit (of a gene on the X four: "
        "daughters D:R, then sons)",
    )
    options.add_argument(
        "--affected",
        metavar="TRAIT",
        choices=("recessive", "dominant"),
        help="of a gene on the X: which trait is the condition, recessive (default) or dominant",
    )
    options.add_argument(
        "--test",
        metavar="D:R",
        help="test cross of a dominant parent: the dominant:recessive offspring seen",
    )
    options.add_argument(
        "--prior", metavar="P", help="with --test: prior that it is heterozygous (default 1/2)"
    )
    options.add_argument(
        "--json", action="store_true", help="print JSON, and nothing else, on standard output"
    )
    options.add_argument(
        "-o",
        type=file_name,
        dest="output",
        metavar="FIGURE",
        help="also draw the square, or the offspring as they are born: a .svg, .pdf or .png file",
    )


def _run(options: argparse.Namespace, streams: Streams) -> int:
    _agree(options)
    try:
        value, page = _test(options) if options.test is not None else _cross(options)
    except ImpossibleEvidence as error:
        # The facts in conflict are the arguments, which the message has named.
        report(InputError(error.problems), streams)
        return failed(error, streams, as_json=options.json)
    streams.stdout.write(page if value is None else f"{_json(value)}\n")
    return 0


def _cross(options: argparse.Namespace) -> tuple[dict[str, Any] | None, str]:
    names = ("affected", "then", "offspring", "seed", "observed")
    follow = {name: getattr(options, name) for name in names}
    crossed = actions.cross(options.mother, options.father, **follow)
    if options.output:
        write_whole(options.output, figure_bytes(actions.cross_figure(crossed), options.output))
    if options.json:
        from risk.render.cross_json import cross_json

        return cross_json(crossed), ""
    from risk.render.cross_text import cross_text

    return None, cross_text(crossed)


def _test(options: argparse.Namespace) -> tuple[dict[str, Any] | None, str]:
    chances = actions.infer_parent(options.test, "1/2" if options.prior is None else options.prior)
    if options.json:
        from risk.render.cross_json import parent_json

        return parent_json(chances), ""
    from risk.document.crosses import parent_blocks
    from risk.render.text_blocks import blocks_to_text

    return None, blocks_to_text(parent_blocks(chances))


def _agree(options: argparse.Namespace) -> None:
    """Refuse options that do not go together, before anything is worked out."""
    given = [n for n in ("then", "offspring", "observed") if getattr(options, n) is not None]
    if options.test is not None:
        alone = [name for name in ("mother", "father") if getattr(options, name)]
        given += ["affected"] if options.affected else []
        beside = [*alone, *(f"--{name}" for name in given), *(["-o"] if options.output else [])]
        if beside:
            raise Usage(f"--test is a cross of its own; leave out {' and '.join(beside)}")
        return
    if options.prior is not None:
        raise Usage("--prior belongs to --test")
    missing = [name.upper() for name in ("mother", "father") if getattr(options, name) is None]
    if missing:
        raise Usage(
            f"missing: {', '.join(missing)}; give two genotypes, like twothirds cross Aa Aa, or "
            "--test 8:0"
        )
    if options.affected:
        from risk.teaching.gene import written_on_x

        if not written_on_x(options.mother, options.father):
            raise Usage("--affected belongs to a gene on the X, like twothirds cross XAXa XAY")
    check_ending(options.output)


def _json(value: dict[str, Any]) -> str:
    from risk.render.json import to_page

    return to_page(value)


COMMAND = Command(
    summary="Cross two genotypes: the Punnett square, what follows, and what was counted.",
    options=_options,
    run=_run,
    examples="""\
examples:
  twothirds cross Aa Aa
  twothirds cross AA aa --then F2 --observed 5474:1850
  twothirds cross AA aa --then backcross:AA:3
  twothirds cross Aa Aa --offspring 400 --seed 7
  twothirds cross --test 8:0 --prior 1/2
  twothirds cross XAXa XAY
  twothirds cross XAXA XaY --then F2 --observed 420:0:205:198
""",
)
