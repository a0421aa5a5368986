"""Arguments that many commands have."""

import argparse

Commands = argparse._SubParsersAction  # argparse has no public name for what add_subparsers gives


def add_command(
    commands: "Commands[argparse.ArgumentParser]", name: str, run: str, text: str
) -> argparse.ArgumentParser:
    """Add a command; ``run`` is a module and function of cli, ``text`` what it does."""
    command = commands.add_parser(name, help=text, description=text[:1].upper() + text[1:] + ".")
    command.set_defaults(run=run)
    return command


def add_project(command: argparse.ArgumentParser) -> None:
    """Let a command take a project."""
    command.add_argument("project", metavar="PROJECT", help="folder of the project")


def add_engine(command: argparse.ArgumentParser) -> None:
    """Let a command choose one engine of a project."""
    command.add_argument(
        "--engine", metavar="NAME", help="which engine, where the project has several"
    )


def add_target_size(command: argparse.ArgumentParser, photo: str) -> None:
    """Let a command know how large a printed target in a photo is."""
    command.add_argument(
        "--target-mm",
        metavar="MM",
        type=float,
        default=30.0,
        help=f"side of the black square of a printed target in {photo} (default: %(default)g)",
    )


def add_json(command: argparse.ArgumentParser) -> None:
    """Let a command print JSON."""
    command.add_argument(
        "--json", action="store_true", help="print one JSON document and nothing else"
    )
