"""Options of the commands that plan a teardown."""

import argparse


def add_plan_options(plan: argparse.ArgumentParser) -> None:
    """Add what can be told of terms, decisions and work done."""
    for name, kind, words in (
        ("hour-rate", "MONEY", "of an hour of labour"),
        ("mess", "MONEY", "what a leak costs beside the work on it"),
        ("day-hours", "H", "hours that one person works in a day"),
        ("hours-budget", "H", "most labour there may be"),
        ("money-budget", "MONEY", "most parts may cost"),
    ):
        told = f"{words} (default: as settled for the engine)"
        plan.add_argument(f"--{name}", metavar=kind, type=float, help=told)
    plan.add_argument(
        "--workers", metavar="N", type=int, help="people at hand (default: as settled)"
    )
    plan.add_argument(
        "--settle", action="store_true", help="settle these terms for the engine from now on"
    )
    for name, words in (
        ("must", "this task must be done"),
        ("never", "this task is never done"),
        ("decide", "whether this task is done is weighed"),
    ):
        told = f"{words}; kept, may be given several times"
        plan.add_argument(f"--{name}", metavar="TASK", action="append", default=[], help=told)
    for name, words in (
        ("done", "this task is done, or this step is off"),
        ("refitted", "this step is on again"),
    ):
        told = f"{words}, in so many hours; kept, may be given several times"
        plan.add_argument(f"--{name}", metavar="NAME[=H]", action="append", default=[], help=told)
    plan.add_argument("--sheet", action="store_true", help="tell what to do day by day")
    plan.add_argument("--factors", action="store_true", help="tell each number behind each worth")
    plan.add_argument("--keep", metavar="NOTE", help="keep what is worth it as a plan")


def add_library_options(library: argparse.ArgumentParser) -> None:
    """Add what can be taken from the library."""
    library.add_argument(
        "--add",
        metavar="ID",
        action="append",
        default=[],
        help="add this step or task, with the steps it needs; may be given several times",
    )
    library.add_argument(
        "--fitting", action="store_true", help="add every task that fits a joint of the engine"
    )
