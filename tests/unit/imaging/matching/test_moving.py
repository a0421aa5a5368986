"""The motions that explain matches, also where OpenCV finds none."""

import cv2
import numpy as np

from leaktrack.imaging.matching.moving import epipolar


def test_where_opencv_refuses_its_own_model_two_photos_have_no_geometry(monkeypatch):
    def refuse(*_, **__):
        raise cv2.error("(-215:Assertion failed) !model.empty() in function 'setModelParameters'")

    monkeypatch.setattr(cv2, "findFundamentalMat", refuse)

    assert epipolar(np.zeros((20, 2)), np.ones((20, 2)), 1.0, 0.99, 100) is None


def test_two_photos_from_aside_explain_all_but_wrong_matches():
    """A camera moved along its rows keeps every place in its row."""
    rng = np.random.default_rng(4)
    here = rng.uniform(0, 1000, (60, 2))
    there = here + np.stack([rng.uniform(5, 60, 60), np.zeros(60)], axis=1)
    there[:10] += (0, 40)

    _, inside = epipolar(here, there, 1.0, 0.999, 2000)

    assert inside[10:].all()
    assert inside[:10].sum() <= 2
