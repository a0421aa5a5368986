"""A program that works on a project as fast as it can, until it is killed.

It reads folders from its standard input, one a line, and begins one life for each: a fork of
itself, so that fifty lives need the libraries loaded only once. A life says its process number,
then the key of each photo whose edit has been saved. When it has died, the program says so.
"""

import os
import random
import sys
from dataclasses import replace
from pathlib import Path

from leaktrack.model.engine import Engine
from leaktrack.model.photo import Photo
from leaktrack.model.record import added, replaced
from leaktrack.store.project_folder import OpenFolder, open_folder

ENDED = "ended"


def say(line: str) -> None:
    """Write a line at once and whole; what is in a buffer would die with us."""
    os.write(sys.stdout.fileno(), f"{line}\n".encode())


def work_on(folder: Path) -> None:
    """Add photos for ever; each edit adds one and counts it on the engine."""
    opened = open_folder(folder)
    while True:
        say(str(_one_edit(opened).id))


def _one_edit(opened: OpenFolder) -> Photo:
    content = random.randbytes(random.randrange(1, 80_000))
    photo = Photo(
        sha256=opened.photo_files.put(content, "jpg"),
        file_type="jpg",
        original_name="photo.jpg",
        size_bytes=len(content),
        width_px=1,
        height_px=1,
    )
    with opened.transaction() as records:
        (engine,) = records.all(Engine)
        counted = replace(engine, description=str(int(engine.description) + 1))
        records.apply(added(photo).then(replaced(engine, counted)))
    return photo


def main() -> None:
    """Live a life for each line."""
    for line in sys.stdin:
        life = os.fork()
        if life == 0:
            random.seed()
            say(str(os.getpid()))
            work_on(Path(line.strip()))
        os.waitpid(life, 0)
        say(ENDED)


if __name__ == "__main__":
    main()
