"""What a measured scale leaves with the photo: its source, the target's plane, a word if cut."""

from PIL import Image

from leaktrack.imaging.reading import read_upright
from leaktrack.model.photo import Photo
from leaktrack.model.shapes import PointPx
from leaktrack.places import demo_source
from leaktrack.workflows.add_photos import add_photos
from leaktrack.workflows.derive_scale import scale_by_length
from leaktrack.workflows.measure_scale import CUT_NOTE, measure_scale


def test_a_cut_photo_s_scale_says_so_and_a_whole_one_s_does_not(project, tmp_path):
    whole = demo_source() / "photos" / "bank1_cover_i0.jpg"
    cut = tmp_path / "cut.jpg"
    rgb = read_upright(whole)
    Image.fromarray(rgb[: len(rgb) // 2]).save(cut, quality=95)
    added = add_photos(project, [whole, cut])
    project.apply(added.edit)

    for photo in added.added:
        project.apply(measure_scale(project, photo.id))
    one, other = (project.get(Photo, photo.id) for photo in added.added)

    assert not one.scale_source.endswith(CUT_NOTE)
    assert other.scale_source.endswith(CUT_NOTE)


def test_the_target_s_plane_is_kept_and_a_length_measured_later_leaves_it(project):
    added = add_photos(project, [demo_source() / "photos" / "bank1_cover_i0.jpg"])
    project.apply(added.edit)
    (photo,) = added.added

    project.apply(measure_scale(project, photo.id))
    measured = project.get(Photo, photo.id)
    ends = (PointPx(100, 100), PointPx(700, 100))
    project.apply(scale_by_length(project, photo.id, ends, 90.0))

    assert photo.plane is None
    assert len(measured.plane) == 9
    assert project.get(Photo, photo.id).plane == measured.plane
