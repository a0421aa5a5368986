"""What the command line understands of rings, removed seals, how long seals last, and drains."""

import argparse

from leaktrack.cli.usual_arguments import Commands, add_command, add_engine, add_json, add_project

_SIZES = (
    ("inner", "inner diameter of the ring"),
    ("cord", "diameter of the ring's cord"),
    ("seat", "diameter that the ring is drawn over"),
    ("depth", "room for the cord in the direction of the squeeze"),
    ("width", "width of the groove"),
)


def add_seals(commands: "Commands[argparse.ArgumentParser]") -> None:
    """Add the commands about seals."""
    ring = add_command(
        commands, "ring", "rings:ring", "work out squeeze, stretch and fill of a ring in its gland"
    )
    ring.add_argument("--size", metavar="NUMBER", help="standard size, such as 214")
    for name, text in _SIZES:
        ring.add_argument(f"--{name}-mm", metavar="MM", type=float, help=text)
        ring.add_argument(
            f"--{name}-tol-mm", metavar="MM", type=float, help="by how much that may be off"
        )
    ring.add_argument("--moves", action="store_true", help="one of the parts moves")
    add_json(ring)
    left = add_command(
        commands, "compression-set", "rings:compression_set", "work out a removed seal's set"
    )
    for name, text, is_needed in (
        ("new", "thickness when new", True),
        ("recovered", "thickness half an hour after it came out", True),
        ("squeezed", "thickness in the closed joint", False),
        ("caliper", "by how much each may be off (default: 0.02)", False),
    ):
        left.add_argument(f"--{name}-mm", metavar="MM", type=float, required=is_needed, help=text)
    add_json(left)
    seals = add_command(
        commands, "seals", "seals:seals", "tell how long seals last, and what came out of joints"
    )
    add_project(seals)
    add_json(seals)
    agreement = add_command(
        commands, "agreement", "seals:agreement", "tell how well people agree who graded blind"
    )
    add_project(agreement)
    add_engine(agreement)
    add_json(agreement)
    drains = add_command(
        commands, "drains", "drains:drains", "compare the debris of the drains of an engine"
    )
    add_project(drains)
    add_engine(drains)
    add_json(drains)
