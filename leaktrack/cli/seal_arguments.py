"""What the command line understands of rings, removed seals, how long seals last, and drains."""

import argparse

_Commands = argparse._SubParsersAction  # argparse has no public name for what add_subparsers gives

_SIZES = (
    ("inner", "inner diameter of the ring"),
    ("cord", "diameter of the ring's cord"),
    ("seat", "diameter that the ring is drawn over"),
    ("depth", "room for the cord in the direction of the squeeze"),
    ("width", "width of the groove"),
)


def add_seals(commands: "_Commands[argparse.ArgumentParser]") -> None:
    """Add the commands about seals."""
    ring = _command(
        commands, "ring", "rings:ring", "work out squeeze, stretch and fill of a ring in its gland"
    )
    ring.add_argument("--size", metavar="NUMBER", help="standard size, such as 214")
    for name, text in _SIZES:
        ring.add_argument(f"--{name}-mm", metavar="MM", type=float, help=text)
        ring.add_argument(
            f"--{name}-tol-mm", metavar="MM", type=float, help="by how much that may be off"
        )
    ring.add_argument("--moves", action="store_true", help="one of the parts moves")
    _json(ring)
    left = _command(
        commands, "compression-set", "rings:compression_set", "work out a removed seal's set"
    )
    for name, text, is_needed in (
        ("new", "thickness when new", True),
        ("recovered", "thickness half an hour after it came out", True),
        ("squeezed", "thickness in the closed joint", False),
        ("caliper", "by how much each may be off (default: 0.02)", False),
    ):
        left.add_argument(f"--{name}-mm", metavar="MM", type=float, required=is_needed, help=text)
    _json(left)
    seals = _command(
        commands, "seals", "seals:seals", "tell how long seals last, and what came out of joints"
    )
    _project(seals)
    _json(seals)
    agreement = _command(
        commands, "agreement", "seals:agreement", "tell how well people agree who graded blind"
    )
    _project(agreement)
    _engine(agreement)
    _json(agreement)
    drains = _command(
        commands, "drains", "drains:drains", "compare the debris of the drains of an engine"
    )
    _project(drains)
    _engine(drains)
    _json(drains)


def _command(
    commands: "_Commands[argparse.ArgumentParser]", name: str, run: str, text: str
) -> argparse.ArgumentParser:
    command = commands.add_parser(name, help=text, description=text[:1].upper() + text[1:] + ".")
    command.set_defaults(run=run)
    return command


def _project(command: argparse.ArgumentParser) -> None:
    command.add_argument("project", metavar="PROJECT", help="folder of the project")


def _engine(command: argparse.ArgumentParser) -> None:
    command.add_argument(
        "--engine", metavar="NAME", help="which engine, where the project has several"
    )


def _json(command: argparse.ArgumentParser) -> None:
    command.add_argument(
        "--json", action="store_true", help="print one JSON document and nothing else"
    )
