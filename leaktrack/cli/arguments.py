"""What the command line understands: commands with their arguments, and who carries them out."""

import argparse

from leaktrack import __version__
from leaktrack.cli.plan_options import add_library_options, add_plan_options
from leaktrack.cli.seal_arguments import add_seals
from leaktrack.cli.sum_arguments import add_sums
from leaktrack.cli.usual_arguments import (
    Commands,
    add_command,
    add_engine,
    add_json,
    add_path,
    add_project,
    add_target_size,
)

_DESCRIPTION = (
    "Find where a rebuilt engine leaks, which sealing job caused it, and what to redo. "
    "Without a command, the window opens."
)
_EPILOG = "Exit status: 0 done, 1 it could not be done (the message says why), 2 wrong usage."


def parser() -> argparse.ArgumentParser:
    """Return the parser; ``run`` in what it gives is "window" or a module and function of cli."""
    top = argparse.ArgumentParser(prog="leaktrack", description=_DESCRIPTION, epilog=_EPILOG)
    top.add_argument("--version", action="version", version=f"leaktrack {__version__}")
    commands = top.add_subparsers(title="commands", metavar="COMMAND")
    _add_starting(commands)
    _add_photos(commands)
    _add_looking(commands)
    _add_files(commands)
    _add_footage(commands)
    _add_planning(commands)
    _add_printing(commands)
    add_seals(commands)
    add_sums(commands)
    return top


def _add_starting(commands: "Commands[argparse.ArgumentParser]") -> None:
    demo = add_command(
        commands, "demo", "demo:demo", "copy the demo engine and do the whole job on it"
    )
    add_path(
        demo,
        "folder",
        "FOLDER",
        "where to (default: %(default)s); nothing is overwritten",
        nargs="?",
        default="leaktrack-demo",
    )
    window = add_command(commands, "open", "window", "open the window")
    add_path(window, "project", "PROJECT", "folder of a project", nargs="?")
    new = add_command(commands, "new", "starting:new", "make a new project")
    add_path(new, "folder", "FOLDER", "where to; nothing is overwritten")
    new.add_argument("--engine", metavar="NAME", help="set up an engine of this name in it")


def _add_photos(commands: "Commands[argparse.ArgumentParser]") -> None:
    photos = add_command(
        commands, "add-photos", "adding:add", "copy photos, or folders of them, into a project"
    )
    add_project(photos)
    add_path(photos, "files", "FILE", "photos or folders", nargs="+")
    photos.add_argument("--zone", metavar="NAME", help="the zone that all of them show")
    photos.add_argument(
        "--inspection",
        metavar="WHICH",
        help="the inspection they belong to: its number, its date (2026-04-04) or 'newest'",
    )
    add_engine(photos)
    add_json(photos)


def _add_looking(commands: "Commands[argparse.ArgumentParser]") -> None:
    show = add_command(commands, "show", "looking:show", "tell what a project holds")
    add_project(show)
    add_json(show)
    compare = add_command(
        commands, "compare", "looking:compare", "tell how each leak fared between two inspections"
    )
    add_project(compare)
    for name, default in (("--before", "the one before the last"), ("--after", "the last one")):
        compare.add_argument(
            name,
            metavar="WHICH",
            help=f"an inspection: its number, its date or 'newest' (default: {default})",
        )
    compare.add_argument("--zone", metavar="NAME", help="only the leaks of this zone")
    add_engine(compare)
    add_json(compare)
    trace = add_command(
        commands, "trace", "looking:trace", "tell which sealing jobs may have caused a leak"
    )
    add_project(trace)
    trace.add_argument(
        "--leak", metavar="N", type=int, help="only the leak of this number (default: all leaks)"
    )
    add_engine(trace)
    add_json(trace)
    figures = add_command(
        commands,
        "figures",
        "figuring:figures",
        "tell grades with their rules, what drops add up to, the oil account, the pressure",
    )
    add_project(figures)
    figures.add_argument(
        "--inspection",
        metavar="WHICH",
        help="its number, its date or 'newest' (default: newest)",
    )
    add_engine(figures)
    add_json(figures)
    report = add_command(commands, "report", "reporting:report", "write the report, page and PDF")
    add_project(report)
    add_path(report, "--out", "FOLDER", "where to (default: the project's report folder)")
    report.add_argument(
        "--paper", choices=("A4", "Letter"), help="of the PDF (default: as in the settings)"
    )
    add_engine(report)
    add_json(report)
    check = add_command(
        commands,
        "check",
        "looking:check",
        "compare the database and every photo file with each other",
    )
    add_project(check)
    add_json(check)


def _add_files(commands: "Commands[argparse.ArgumentParser]") -> None:
    align = add_command(
        commands, "align", "aligning:align", "tell where places of one photo lie in another"
    )
    add_path(align, "reference", "REFERENCE", "the photo that the places are in")
    add_path(align, "new", "NEW", "the photo to find them in")
    add_path(
        align,
        "--points",
        "POINTS.csv",
        "table of the places: id,x,y in pixels of REFERENCE seen upright",
        required=True,
    )
    add_path(
        align,
        "--through",
        "PHOTO",
        "more photos of the same zone, which help where a place is not sure by the two alone",
        nargs="+",
        default=[],
    )
    add_json(align)
    wet = add_command(
        commands, "wet", "wetting:wet", "tell which areas of a photo became wet since earlier ones"
    )
    add_path(wet, "before", "BEFORE", "earlier photos, oldest first", nargs="+")
    add_path(wet, "after", "AFTER", "the photo to search")
    add_path(wet, "--mask", "OUT.png", "write a picture of them; nothing is overwritten")
    add_target_size(wet, "AFTER")
    add_json(wet)
    bead = add_command(
        commands, "bead", "beading:bead", "tell how wide a bead of sealant is, and where it breaks"
    )
    add_path(bead, "photo", "PHOTO", "the photo of the bare flange with its bead")
    add_path(
        bead,
        "--path",
        "PATH.csv",
        "table of points along the bead: x,y or x,y,s_mm in pixels of PHOTO seen upright",
        required=True,
    )
    bead.add_argument(
        "--follow",
        action="store_true",
        help="the points are only clicks on the bead, such as its ends: follow it between them",
    )
    add_path(
        bead,
        "--holes",
        "HOLES.csv",
        "table of bolt holes: id,x,y and perhaps radius; tells on which side the bead passes",
    )
    bead.add_argument(
        "--inside",
        choices=("left", "right"),
        help="which side of the path is the joint's inner one (default: by how the path bends)",
    )
    bead.add_argument(
        "--bead-mm",
        metavar="MM",
        type=float,
        help="width that was asked for (default: what the bead typically is)",
    )
    add_target_size(bead, "PHOTO")
    add_json(bead)
    debris = add_command(
        commands, "debris", "debris:debris", "count and measure particles on a strainer's paper"
    )
    add_path(debris, "photo", "PHOTO", "the photo of the paper with the debris")
    add_path(debris, "--earlier", "PHOTO", "photo of an earlier drain, to compare with")
    add_target_size(debris, "PHOTO")
    add_json(debris)


def _add_planning(commands: "Commands[argparse.ArgumentParser]") -> None:
    plan = add_command(commands, "plan", "planning:plan", "tell what to redo, and what it costs")
    add_project(plan)
    add_plan_options(plan)
    add_engine(plan)
    add_json(plan)
    library = add_command(
        commands, "library", "librarying:library", "take access steps and tasks from the library"
    )
    add_project(library)
    add_library_options(library)
    add_engine(library)
    add_json(library)
    redo = add_command(
        commands, "redo", "redoing:redo", "tell what is worth doing in one teardown, by a file"
    )
    add_path(redo, "problem", "PROBLEM.json", "steps, tasks, rates and budgets")
    add_json(redo)


def _add_footage(commands: "Commands[argparse.ArgumentParser]") -> None:
    footage = commands.add_parser(
        "footage",
        help="index videos, and find when they show what a photo shows",
        description="Index videos, and find when they show what a photo shows.",
    )
    ways = footage.add_subparsers(title="commands", metavar="COMMAND", required=True)
    index = add_command(
        ways, "index", "footage:index", "look through videos once and keep an index"
    )
    add_path(index, "videos", "VIDEO", "video files", nargs="+")
    add_json(index)
    find = add_command(ways, "find", "footage:find", "tell when videos show what a photo shows")
    add_path(find, "query", "QUERY", "the photo")
    add_path(find, "videos", "VIDEO", "video files; indexed first where they are not", nargs="+")
    find.add_argument(
        "--box",
        metavar="X,Y,W,H",
        help="the part of QUERY that must be in sight: left, top, width and height in pixels of "
        "the photo seen upright (default: the whole photo)",
    )
    add_json(find)


def _add_printing(commands: "Commands[argparse.ArgumentParser]") -> None:
    targets = add_command(
        commands,
        "targets",
        "printing_targets:targets",
        "make a page of square targets to print, which give photos their scale",
    )
    add_path(targets, "out", "OUT.pdf", "where to")
    targets.add_argument(
        "--paper", choices=("A4", "Letter"), help="of the page (default: as in the settings)"
    )
    targets.add_argument(
        "--side-mm",
        metavar="MM",
        type=float,
        default=30.0,
        help="side of the largest black squares (default: 30)",
    )
    targets.add_argument(
        "--overwrite", action="store_true", help="replace a file that is there already"
    )
    add_json(targets)
