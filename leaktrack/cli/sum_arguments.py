"""What ``leaktrack sums`` understands. A new sum is one more entry of ``SUMS``.

Nothing is imported here that the sums themselves need, so that the program starts at once.
"""

import argparse
from collections.abc import Callable
from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class SumCommand:
    """One sum of the trade.

    Attributes:
        name: As it is typed after ``leaktrack sums``.
        run: Module and function of cli that do it, such as "summing_flow:viscosity".
        text: What it tells, without a full stop.
        add_arguments: Gives its parser what it understands, without ``--json``.
    """

    name: str
    run: str
    text: str
    add_arguments: Callable[[argparse.ArgumentParser], None]


def add_sums(commands: "argparse._SubParsersAction[argparse.ArgumentParser]") -> None:
    """Add the command ``sums`` with all that are known."""
    text = "do the trade's sums without a project"
    sums = commands.add_parser("sums", help=text, description=text[:1].upper() + text[1:] + ".")
    ways = sums.add_subparsers(title="sums", metavar="SUM", required=True)
    for one in SUMS:
        description = one.text[:1].upper() + one.text[1:] + "."
        command = ways.add_parser(one.name, help=one.text, description=description)
        command.set_defaults(run=one.run)
        one.add_arguments(command)
        command.add_argument(
            "--json", action="store_true", help="print one JSON document and nothing else"
        )


def number(
    command: argparse.ArgumentParser, name: str, metavar: str, text: str, *, is_needed: bool = False
) -> None:
    """Let a sum understand one more number."""
    command.add_argument(name, metavar=metavar, type=float, help=text, required=is_needed)


def _viscosity(command: argparse.ArgumentParser) -> None:
    _oil(command)
    command.add_argument(
        "--at-c",
        metavar="C",
        type=float,
        nargs="+",
        required=True,
        help="oil temperatures; the first is what the others are compared with",
    )


def _index(command: argparse.ArgumentParser) -> None:
    number(command, "--cold", "CST", "viscosity at 40 C", is_needed=True)
    number(command, "--hot", "CST", "viscosity at 100 C", is_needed=True)
    number(command, "--low", "CST", "L of ASTM D2270 for it; not needed above 70 cSt at 100 C")
    number(command, "--high", "CST", "H of ASTM D2270 for it; likewise")


def _gap(command: argparse.ArgumentParser) -> None:
    number(command, "--width-mm", "MM", "of a slot, across the flow")
    number(command, "--shaft-mm", "MM", "diameter, for the ring gap around a shaft")
    number(command, "--off-centre", "E", "of the shaft: 0 in the middle, 1 where it touches")
    number(command, "--length-mm", "MM", "of the gap, along the flow", is_needed=True)
    number(command, "--gap-mm", "MM", "its height; tells the flow")
    number(command, "--ml-per-day", "ML", "what flows; tells the gap")
    number(command, "--pressure-kpa", "KPA", "that drives it")
    number(command, "--head-mm", "MM", "height of oil above it that drives it")
    number(command, "--mpa-s", "MPAS", "the oil's viscosity, instead of an oil and temperature")
    _oil(command)
    number(command, "--at-c", "C", "the oil's temperature")


def _bead(command: argparse.ArgumentParser) -> None:
    number(command, "--bead-mm", "MM", "width of the bead as laid")
    number(command, "--gap-mm", "MM", "of the closed joint")
    number(command, "--width-mm", "MM", "that the film shall have; tells the bead")
    number(command, "--length-mm", "MM", "of the joint")
    number(command, "--tolerance-mm", "MM", "of the bead, either way; tells the sealant")
    number(command, "--time-h", "H", "open or cure time of the maker; with --air-c")
    number(command, "--air-c", "C", "temperature of air and parts")
    number(command, "--humidity", "PERCENT", "of the air")


def _oil(command: argparse.ArgumentParser) -> None:
    command.add_argument("--oil", metavar="GRADE", help="its grade of SAE J300, such as 5W-30")
    command.add_argument(
        "--point",
        metavar=("C", "CST"),
        type=float,
        nargs=2,
        action="append",
        default=[],
        help="instead of a grade: a temperature and the viscosity there; give two",
    )


SUMS: tuple[SumCommand, ...] = (
    SumCommand(
        "viscosity",
        "summing_flow:viscosity",
        "tell how thick an oil is when hot and cold, and how much faster it leaks",
        _viscosity,
    ),
    SumCommand(
        "index",
        "summing_flow:index",
        "tell how little an oil thins out when it warms: its viscosity index",
        _index,
    ),
    SumCommand(
        "gap",
        "summing_flow:gap",
        "tell how much oil a thin gap lets through, or which gap lets so much through",
        _gap,
    ),
    SumCommand(
        "bead",
        "summing_beads:bead",
        "tell how wide a bead of sealant spreads, how much it takes and how long it needs",
        _bead,
    ),
)
"""All sums, in the order in which the help lists them."""
