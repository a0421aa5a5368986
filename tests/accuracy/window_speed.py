"""How fast the window is with thousands of photos and with large ones: prints figures.

Run by hand: ``python -m tests.accuracy.window_speed``. Each step is timed by the clock, which needs
an idle machine, and by the processor time of the window's thread, which does not.

Goals: no stall above 50 ms while scrolling through 5,000 photos of 12 megapixels whose thumbnails
are not made yet, first paint within 1 s, and a pan over 50 megapixels with 500 marks at 60 frames a
second (16.7 ms).
"""

import os
import resource
import tempfile
import time
from collections.abc import Callable
from pathlib import Path
from uuid import UUID

import numpy as np
from PySide6.QtCore import QPoint
from PySide6.QtWidgets import QApplication

from leaktrack.gui.background import Background
from leaktrack.gui.pages.photos_page import PhotosPage
from leaktrack.gui.photo_view import PhotoView
from leaktrack.gui.session import Session
from leaktrack.model.engine import JointLine, LinePoint
from leaktrack.model.identity import new_id
from leaktrack.model.leak import LeakMark, SeepageGrade
from leaktrack.model.photo import Photo
from leaktrack.model.record import added
from leaktrack.model.shapes import PointPx
from leaktrack.settings import Settings
from leaktrack.workflows.add_photos import add_photos
from leaktrack.workflows.project import Project, create_project
from tests.pictures import casting, write_photo

PHOTOS = 5000
FRAMES = 60
STEPS = 200
LARGE = (8160, 6120)


def main() -> None:
    os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")
    app = QApplication([])
    with tempfile.TemporaryDirectory() as folder:
        place = Path(folder)
        project = create_project(place / "project", place / "cache", Path("resources"))
        background = Background()
        session = Session(project, background, Settings())
        measure_view(app, session, place)
        measure_grid(app, session, place)
        background.close()
        project.close()
    peak_mb = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
    print(f"peak memory of the process: {peak_mb:.0f} MB")


def measure_view(app: QApplication, session: Session, place: Path) -> None:
    """Show a 50 megapixel photo and time its frames."""
    photo = taken_in(session.project, place / "large.jpg", *LARGE)
    view = PhotoView(session)
    view.resize(1280, 800)
    view.show()
    began = time.perf_counter()
    view.show_photo(photo.id)
    stall_ms = wait(app, lambda: view.shown_width_px > 0)
    print(f"50 MP: first picture after {since(began)} ms, longest stall {stall_ms:.0f} ms")
    began = time.perf_counter()
    view.center_on_point(PointPx(4000, 3000), zoom=2)
    stall_ms = wait(app, lambda: view.shown_width_px == LARGE[0])
    print(f"50 MP: full picture after {since(began)} ms, longest stall {stall_ms:.0f} ms")
    for number in (0, 20, 500):
        view.set_overlays(marks(number), [a_line()])
        view.center_on_point(PointPx(4000, 3000), zoom=2)
        app.processEvents()
        report(f"50 MP, {number} marks: pan", app, lambda step: view._navigation.pan_by(sway(step)))
        report(f"50 MP, {number} marks: zoom", app, lambda step: zoom(view, step))
    view.close()


def measure_grid(app: QApplication, session: Session, place: Path) -> None:
    """Scroll through thousands of photos whose thumbnails must be made first."""
    fill(session.project, place)
    began = time.perf_counter()
    page = PhotosPage(session)
    page.resize(1280, 800)
    page.show()
    app.processEvents()
    print(f"{PHOTOS} photos: page shown after {since(began)} ms")
    bar = page.grid.verticalScrollBar()
    what = f"{PHOTOS} photos: scroll step"
    report(what, app, lambda step: bar.setValue(bar.maximum() * step // STEPS), STEPS)
    began = time.perf_counter()
    last = page.model.index_of(page.model.rows[-1].photo.id)
    wait(app, lambda: last.data(1) is not None)  # 1: Qt.ItemDataRole.DecorationRole
    print(f"{PHOTOS} photos: last row has its picture {since(began)} ms after scrolling")
    page.close()


def fill(project: Project, place: Path) -> None:
    """Add records whose files are links to one real photo of 12 megapixels."""
    first = taken_in(project, place / "photo.jpg", 4000, 3000)
    photos = [
        Photo(
            id=UUID(int=number),
            sha256=f"{number:064x}",
            file_type="jpg",
            original_name=f"photo_{number}.jpg",
            size_bytes=first.size_bytes,
            width_px=4000,
            height_px=3000,
        )
        for number in range(1, PHOTOS)
    ]
    for photo in photos:
        path = project.photo_path(photo)
        path.parent.mkdir(exist_ok=True)
        path.hardlink_to(project.photo_path(first))
    project.apply(added(*photos))


def taken_in(project: Project, path: Path, width: int, height: int) -> Photo:
    rgb = np.ascontiguousarray(casting(width // 4, height // 4).repeat(4, 0).repeat(4, 1))
    outcome = add_photos(project, [write_photo(path, rgb, quality=90)])
    project.apply(outcome.edit)
    return outcome.added[0]


def marks(number: int) -> list[tuple[LeakMark, int]]:
    """Return marks with outlines of 60 corners, scattered over the large photo."""
    rng = np.random.default_rng(1)
    angles = np.linspace(0, 2 * np.pi, 60, endpoint=False)
    made = []
    for count in range(number):
        x, y = rng.uniform(300, 7800), rng.uniform(300, 5800)
        radii = 90 + 10 * rng.random(60)
        outline = tuple(
            PointPx(float(x + radius * np.cos(angle)), float(y + radius * np.sin(angle)))
            for radius, angle in zip(radii, angles, strict=True)
        )
        mark = LeakMark(
            leak_id=new_id(),
            photo_id=new_id(),
            grade=list(SeepageGrade)[count % 6],
            source_px=PointPx(x, y),
            outline_px=outline,
        )
        made.append((mark, count + 1))
    return made


def a_line() -> JointLine:
    points = tuple(LinePoint(PointPx(400.0 + 700 * bolt, 1500), bolt + 1) for bolt in range(11))
    return JointLine(joint_id=new_id(), photo_id=new_id(), points=points)


def sway(step: int) -> QPoint:
    return QPoint(9, 5) if step % 40 < 20 else QPoint(-9, -5)


def zoom(view: PhotoView, step: int) -> None:
    (view.zoom_in if step % 6 < 3 else view.zoom_out)()


def report(what: str, app: QApplication, act: Callable[[int], None], frames: int = FRAMES) -> None:
    clock, processor = [], []
    for step in range(1, frames + 1):
        tick, used = time.perf_counter(), time.thread_time()
        act(step)
        app.processEvents()
        clock.append((time.perf_counter() - tick) * 1000)
        processor.append((time.thread_time() - used) * 1000)
        time.sleep(0.005)
    print(f"{what}: processor {in_words(processor)}; clock {in_words(clock)}")


def wait(app: QApplication, is_done: Callable[[], bool]) -> float:
    """Run the window until something is so; return the longest time it stood still, in ms."""
    longest, tick = 0.0, time.perf_counter()
    while not is_done():
        app.processEvents()
        time.sleep(0.001)
        longest, tick = max(longest, time.perf_counter() - tick), time.perf_counter()
    return longest * 1000


def since(began: float) -> int:
    return round((time.perf_counter() - began) * 1000)


def in_words(times_ms: list[float]) -> str:
    middle, high = np.percentile(times_ms, [50, 95])
    return f"median {middle:.1f}, 95 % {high:.1f}, longest {max(times_ms):.1f} ms"


if __name__ == "__main__":
    main()
