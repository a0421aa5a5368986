"""Arguments that many commands have."""

import argparse
import errno
import os
from typing import Any

Commands = argparse._SubParsersAction  # argparse has no public name for what add_subparsers gives


def add_command(
    commands: "Commands[argparse.ArgumentParser]", name: str, run: str, text: str
) -> argparse.ArgumentParser:
    """Add a command; ``run`` is a module and function of cli, ``text`` what it does."""
    command = commands.add_parser(name, help=text, description=text[:1].upper() + text[1:] + ".")
    command.set_defaults(run=run)
    return command


def add_path(
    command: argparse.ArgumentParser, name: str, metavar: str, text: str, **more: Any
) -> None:
    """Let a command take the name of a file or folder; ``more`` as for ``add_argument``."""
    command.add_argument(name, metavar=metavar, type=path_name, help=text, **more)


def path_name(text: str) -> str:
    """Return the name of a file or folder as it was typed.

    An empty one would mean the folder one is in: a script whose variable is empty would add or
    write there without a word.

    Raises:
        argparse.ArgumentTypeError: It is empty, or longer than the disk allows.
    """
    if not text.strip():
        raise argparse.ArgumentTypeError("the name of a file or folder is missing: it is empty")
    try:
        os.lstat(text)
    except OSError as error:  # all else is told, with better words, by who opens it
        if error.errno == errno.ENAMETOOLONG:
            raise argparse.ArgumentTypeError(
                f"this name is longer than the disk allows: {text[:40]}..."
            ) from error
    return text


def add_project(command: argparse.ArgumentParser) -> None:
    """Let a command take a project."""
    command.add_argument("project", metavar="PROJECT", type=path_name, help="folder of the project")


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
