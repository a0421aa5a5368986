"""How fluid an hour of 1080p footage is to scrub: prints figures.

Run by hand: ``python -m tests.accuracy.scrub_speed [VIDEO]``. Without a video, one is made with
PyAV: a minute of moving noise and shapes in H.264, 1920 x 1080, 30 frames a second, a key frame
every 250 frames (x264's own choice; telephones write one a second, which is easier), repeated
to an hour without being encoded again. It takes a minute and about 3 GB of the temporary folder.

Goals, own judgement: while the playhead is dragged, a picture within 50 ms (95 %), the window's
thread never busy for longer than 50 ms; at rest the frame itself within 1.5 s.
"""

import os
import random
import sys
import tempfile
import time
from collections.abc import Callable
from fractions import Fraction
from pathlib import Path

import av
import numpy as np
from PySide6.QtCore import QPoint, Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication

from leaktrack.gui.background import Background
from leaktrack.gui.footage.player import Player
from leaktrack.gui.session import Session
from leaktrack.settings import Settings
from leaktrack.workflows.clips import add_clip
from leaktrack.workflows.project import create_project

MINUTES, RATE, SIZE = 60, 30, (1920, 1080)
DRAGS, MOVES, MOVE_MS = 12, 60, 16
HOVERS = 60


def main() -> None:
    os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")
    app = QApplication([])
    with tempfile.TemporaryDirectory() as folder:
        place = Path(folder)
        video = Path(sys.argv[1]) if len(sys.argv) > 1 else long_video(place / "hour.mp4")
        project = create_project(place / "project", place / "cache", Path("resources"))
        background = Background()
        session = Session(project, background, Settings())
        clip, edit = add_clip(project, video)
        session.do("Add footage", edit)
        print(f"{clip.duration_ms / 60_000:.1f} min, {clip.width_px} x {clip.height_px}")
        player = Player(session)
        player.resize(1000, 760)
        player.show()
        began = time.perf_counter()
        player.open_clip(clip.id)
        wait(app, lambda: player.is_exact)
        print(f"first frame after {(time.perf_counter() - began) * 1000:.0f} ms")
        measure_drags(app, player)
        measure_steps(app, player)
        measure_hovering(app, player)
        player.close()
        background.close()
        project.close()


def measure_drags(app: QApplication, player: Player) -> None:
    """Drag the playhead to and fro as a hand does, then let it rest."""
    rng = random.Random(4)
    timeline = player.slider
    shown: list[float] = []
    player.loader.skimmed.connect(lambda *_: shown.append(time.perf_counter()))
    delays, rests, rates, stalls = [], [], [], []
    for _ in range(DRAGS):
        start, end = rng.random(), rng.random()
        middle = timeline.height() // 4
        wait(app, lambda: not player.loader.is_busy)
        at = QPoint(round(timeline.x_of(round(start * timeline.maximum()))), middle)
        QTest.mousePress(timeline, Qt.MouseButton.LeftButton, pos=at)
        shown.clear()
        began = time.perf_counter()
        wanted = []
        for move in range(MOVES):
            share = start + (end - start) * move / MOVES
            at = QPoint(round(timeline.x_of(round(share * timeline.maximum()))), middle)
            wanted.append(time.perf_counter())
            QTest.mouseMove(timeline, at)
            stalls.append(wait(app, lambda: False, MOVE_MS / 1000))
        rates.append(len(shown) / (time.perf_counter() - began))
        for each in wanted:
            later = [moment for moment in shown if moment >= each]
            if later:
                delays.append((later[0] - each) * 1000)
        let_go = time.perf_counter()
        QTest.mouseRelease(timeline, Qt.MouseButton.LeftButton, pos=at)
        stalls.append(wait(app, lambda: player.is_exact and not player.loader.is_busy))
        rests.append((time.perf_counter() - let_go) * 1000)
    print(f"dragging: a picture after {in_words(delays)}; {np.median(rates):.0f} pictures a second")
    print(f"at rest: the frame itself after {in_words(rests)}")
    print(f"the window's thread stood still for {in_words(stalls)}")


def measure_steps(app: QApplication, player: Player) -> None:
    """Step frame by frame."""
    times = []
    for _ in range(60):
        began, before = time.perf_counter(), player.at_ms
        player.step(1)
        wait(app, lambda before=before: player.at_ms != before, 5.0)
        times.append((time.perf_counter() - began) * 1000)
    print(f"a step of one frame: {in_words(times)}")


def measure_hovering(app: QApplication, player: Player) -> None:
    """Hover over places that were never shown."""
    rng = random.Random(5)
    wait(app, lambda: not player.pictures.is_busy)
    times = []
    for _ in range(HOVERS):
        ms = rng.randrange(player.slider.maximum())
        clip, at_ms = player.slider.sequence.at(ms)
        began, held = time.perf_counter(), player.pictures.held
        player.pictures.get(clip, at_ms)
        wait(app, lambda held=held: player.pictures.held > held, 1.0)
        if player.pictures.held > held:
            times.append((time.perf_counter() - began) * 1000)
    print(f"a small picture on hovering: {in_words(times)}")


def long_video(path: Path) -> Path:
    """Write a minute of video and repeat it to an hour."""
    minute = path.with_name("minute.mp4")
    with av.open(str(minute), "w") as made:
        stream = made.add_stream("libx264", rate=RATE)
        stream.width, stream.height = SIZE
        stream.pix_fmt = "yuv420p"
        stream.options = {"preset": "ultrafast", "crf": "32", "g": "250"}
        for index in range(60 * RATE):
            frame = av.VideoFrame.from_ndarray(picture(index), format="gray").reformat(
                format="yuv420p"
            )
            frame.pts, frame.time_base = index, Fraction(1, RATE)
            made.mux(stream.encode(frame))
        made.mux(stream.encode(None))
    with av.open(str(path), "w") as made:
        for turn in range(MINUTES):
            with av.open(str(minute)) as source:
                origin = source.streams.video[0]
                if turn == 0:
                    stream = made.add_stream_from_template(origin)
                whole = round(60 / origin.time_base)
                for packet in source.demux(origin):
                    if packet.dts is not None:
                        packet.pts, packet.dts = (
                            packet.pts + turn * whole,
                            packet.dts + turn * whole,
                        )
                        packet.stream = stream
                        made.mux(packet)
    minute.unlink()
    return path


def picture(index: int) -> np.ndarray:
    """Return a grey picture with a slow drift, grain and a bright bar, so that frames differ."""
    height, width = SIZE[1], SIZE[0]
    grain = np.random.default_rng(index % 7).integers(0, 24, (height // 4, width // 4), np.uint8)
    rows = np.arange(height, dtype=np.uint16)[:, None]
    columns = np.arange(width, dtype=np.uint16)[None, :]
    ground = ((rows // 3 + columns // 5 + index) % 200).astype(np.uint8)
    ground += grain.repeat(4, 0).repeat(4, 1)
    ground[:, index % width : index % width + 40] = 250
    return ground


def wait(app: QApplication, is_done: Callable[[], bool], most_s: float = 30.0) -> float:
    """Run the window until something is so; return the longest time it stood still, in ms."""
    longest, began = 0.0, time.perf_counter()
    tick = began
    while not is_done() and time.perf_counter() - began < most_s:
        app.processEvents()
        now = time.perf_counter()
        longest, tick = max(longest, now - tick), now
        time.sleep(0.001)
    return longest * 1000


def in_words(times_ms: list[float]) -> str:
    middle, high = np.percentile(times_ms, [50, 95])
    return f"median {middle:.1f}, 95 % {high:.1f}, longest {max(times_ms):.1f} ms"


if __name__ == "__main__":
    main()
