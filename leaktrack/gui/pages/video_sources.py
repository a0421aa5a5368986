"""Let people choose video files."""

from pathlib import Path

from PySide6.QtCore import QCoreApplication
from PySide6.QtWidgets import QFileDialog, QWidget

_PATTERNS = "*.mp4 *.mov *.m4v *.mkv *.avi *.webm *.mts *.3gp"


def ask_for_video(parent: QWidget) -> Path | None:
    """Let the person choose a video file; None if they change their mind."""
    translate = QCoreApplication.translate
    title = translate("video_sources", "Add footage")
    kinds = translate("video_sources", "Videos (%s);;All files (*)") % _PATTERNS
    name, _ = QFileDialog.getOpenFileName(parent, title, "", kinds)
    return Path(name) if name else None
