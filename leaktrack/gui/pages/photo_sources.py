"""What somebody drops, pastes or chooses, as photos to be added."""

from collections.abc import Sequence
from datetime import datetime
from pathlib import Path

from PySide6.QtCore import QBuffer, QByteArray, QCoreApplication, QIODevice, QMimeData
from PySide6.QtGui import QImage
from PySide6.QtWidgets import QFileDialog, QWidget

from leaktrack.workflows.add_photos import Source

_PATTERNS = "*.jpg *.jpeg *.png *.heic *.heif *.tif *.tiff *.webp *.bmp"


def sources_in(mime: QMimeData) -> tuple[Source, ...]:
    """Return the files and folders that are dropped or pasted, else the picture; or nothing."""
    paths = [Path(url.toLocalFile()) for url in mime.urls() if url.isLocalFile()]
    if paths:
        return tuple(paths)
    if mime.hasImage():
        image = mime.imageData()
        if isinstance(image, QImage) and not image.isNull():
            return (_pasted(image),)
    return ()


def offers_photos(mime: QMimeData) -> bool:
    """Return whether there is anything to be added, without reading it."""
    return mime.hasImage() or any(url.isLocalFile() for url in mime.urls())


def count_words(sources: Sequence[Source]) -> str:
    """Return how much is offered: "12 photos", "1 folder and 2 photos"."""
    folders = sum(1 for source in sources if isinstance(source, Path) and source.is_dir())
    photos = len(sources) - folders
    parts = [_counted(folders, "folder", "folders"), _counted(photos, "photo", "photos")]
    joined = QCoreApplication.translate("photo_sources", " and ")
    return joined.join(part for part in parts if part)


def ask_for_photos(parent: QWidget) -> tuple[Source, ...]:
    """Let the person choose photo files; nothing if they change their mind."""
    translate = QCoreApplication.translate
    title = translate("photo_sources", "Add photos")
    kinds = translate("photo_sources", "Photos (%s);;All files (*)") % _PATTERNS
    names, _ = QFileDialog.getOpenFileNames(parent, title, "", kinds)
    return tuple(Path(name) for name in names)


def ask_for_folder(parent: QWidget) -> tuple[Source, ...]:
    """Let the person choose a folder of photos; nothing if they change their mind."""
    title = QCoreApplication.translate("photo_sources", "Add all photos of a folder")
    name = QFileDialog.getExistingDirectory(parent, title)
    return (Path(name),) if name else ()


def _counted(number: int, one: str, many: str) -> str:
    if number == 0:
        return ""
    return f"{number} {QCoreApplication.translate('photo_sources', one if number == 1 else many)}"


def _pasted(image: QImage) -> Source:
    content = QByteArray()
    buffer = QBuffer(content)
    buffer.open(QIODevice.OpenModeFlag.WriteOnly)
    image.save(buffer, "PNG")  # type: ignore[call-overload]
    buffer.close()
    name = f"pasted {datetime.now().astimezone():%Y-%m-%d %H.%M.%S}.png"
    return name, bytes(content.data())
