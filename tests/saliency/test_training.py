"""Training data: composites with their truth, and the scores by which networks are compared."""

import json

import numpy as np
import pytest
from PIL import Image
from scipy import ndimage

from auditor.saliency.training.composites import SIDE_PX, compose
from auditor.saliency.training.dishes import Cutout
from auditor.saliency.training.marked import marked_names, read_marked
from auditor.saliency.training.objects import read_objects
from auditor.saliency.training.photographs import salient_names
from auditor.saliency.training.scores import centroid_error_fraction, f_measure, figures
from auditor.saliency.training.tables import read_tables, truth_planes

SUBJECT = 0  # index of the truth plane
ROUNDING_LEVELS = 1  # of 255: the planes are resized and rounded separately
RESIZED_PX = 1  # by which resizing can move a core's hard edge beyond a thing's soft one


def ingredients():
    rng = np.random.default_rng(0)
    rows, columns = np.mgrid[-1:1:40j, -1:1:40j]
    alpha = (np.hypot(rows, columns) < 0.9).astype(np.float32)
    foods = [
        Cutout(np.full((40, 40, 3), shade, np.float32) * [0.9, 0.6, 0.3], alpha)
        for shade in (0.4, 0.9)
    ]
    backgrounds = [rng.random((24, 24, 3)).astype(np.float32) for _ in range(2)]
    return foods, backgrounds


def scene(seed):
    return compose(np.random.default_rng(seed), *ingredients())


def test_a_seed_makes_the_same_scene_bit_for_bit():
    first, second = scene(5), scene(5)
    assert np.array_equal(first.picture, second.picture)
    assert np.array_equal(first.truth, second.truth)
    assert not np.array_equal(first.picture, scene(6).picture)


@pytest.mark.parametrize("seed", range(6))
def test_truth_planes_are_consistent(seed):
    example = scene(seed)
    assert example.picture.shape == example.truth.shape == (SIDE_PX, SIDE_PX, 3)
    assert example.picture.dtype == example.truth.dtype == np.uint8
    subject, things, cores = np.moveaxis(example.truth.astype(int), -1, 0)
    assert subject.max() > 127  # there is one
    assert (subject <= things + ROUNDING_LEVELS).all()
    near = ndimage.maximum_filter(things, 2 * RESIZED_PX + 1)
    assert (near[cores > 127] > 127).all()
    assert 0 < (cores > 127).sum() < (things > 127).sum()
    assert (things < 128).any()  # there is background too


def test_subjects_occur_all_over_the_frame():
    centroids = []
    for seed in range(8):
        rows, columns = np.nonzero(scene(100 + seed).truth[..., SUBJECT] > 127)
        centroids.append((rows.mean() / SIDE_PX, columns.mean() / SIDE_PX))
    assert np.ptp(np.array(centroids), axis=0).min() > 0.3


def marks(folder, subject):
    """One grey photograph with an outlined dish and a spoon beside it."""
    Image.new("RGB", (64, 48), "grey").save(folder / "a.jpg")
    things = [{"name": "spoon", "outline": [[0.75, 0.1], [0.85, 0.1], [0.85, 0.9], [0.75, 0.9]]}]
    file = folder / "marks.json"
    file.write_text(json.dumps({"a.jpg": {"subject": subject, "things": things}}))
    return file


DISH = [[0.25, 0.25], [0.5, 0.25], [0.5, 0.75], [0.25, 0.75]]


def test_outlines_become_truth_planes(tmp_path):
    marked = read_marked(tmp_path, marks(tmp_path, DISH))
    assert marked.has_subject.tolist() == [True]
    subject, things, inner = np.moveaxis(marked.truths[0], -1, 0)
    rows, columns = np.nonzero(subject)
    assert (columns.min(), rows.min()) == pytest.approx((SIDE_PX / 4, SIDE_PX / 4), abs=1)
    assert (columns.max(), rows.max()) == pytest.approx((SIDE_PX / 2, 3 * SIDE_PX / 4), abs=1)
    assert things[SIDE_PX // 2, round(0.8 * SIDE_PX)] == 255  # the spoon
    assert subject[SIDE_PX // 2, round(0.8 * SIDE_PX)] == 0
    assert (things[inner > 0] == 255).all()
    assert marked_names(tmp_path / "marks.json") == {"a"}


def test_photograph_without_one_subject_keeps_its_things(tmp_path):
    marked = read_marked(tmp_path, marks(tmp_path, None))
    assert marked.has_subject.tolist() == [False]
    assert marked.truths[0, ..., SUBJECT].max() == 0
    assert marked.truths[0, ..., 1].max() == 255


def test_only_photographed_objects_are_read(tmp_path):
    rng = np.random.default_rng(3)
    rows, columns = np.mgrid[-1:1:90j, -1:1:60j]
    opacity = 255 * (np.hypot(rows, columns) < 0.8)
    photographed = np.dstack([rng.integers(0, 256, (90, 60, 3)), opacity]).astype(np.uint8)
    drawn = np.dstack([np.full((90, 60, 3), 90), opacity]).astype(np.uint8)
    Image.fromarray(photographed).save(tmp_path / "photographed.png")
    Image.fromarray(drawn).save(tmp_path / "drawn.png")
    pictures, masks = read_objects(tmp_path)
    assert pictures.shape == (1, SIDE_PX, SIDE_PX, 3)
    rows, columns = np.nonzero(masks[0] > 127)
    assert np.ptp(columns) / np.ptp(rows) == pytest.approx(60 / 90, abs=0.03)  # as before
    assert rows.min() > 0  # whole
    assert rows.max() < SIDE_PX - 1


def test_training_validation_and_test_names_are_disjoint(tmp_path):
    (tmp_path / "images").mkdir()
    for number in range(23):
        (tmp_path / "images" / f"{number:02}.jpg").touch()
    parts = salient_names(tmp_path)
    together = [name for part in parts for name in part]
    assert len(together) == len(set(together)) == 23
    assert [len(part) for part in parts] == [13, 5, 5]


def square(shift=0):
    truth = np.zeros((30, 40), bool)
    truth[10:20, 10 + shift : 20 + shift] = True
    return truth


def test_scores_of_a_perfect_map():
    found = figures([square().astype(float)], [square()])
    assert found["centroid_mean"] == 0
    assert found["f_measure"] == pytest.approx(1)
    assert found["mean_absolute_error"] == 0


def test_scores_of_a_map_five_pixels_aside():
    found = square(5).astype(float)
    assert centroid_error_fraction(found, square()) == pytest.approx(5 / 50)  # 3-4-5 diagonal
    assert f_measure(found, square()) == pytest.approx(0.5)  # precision and recall are both half
    assert f_measure(square(15).astype(float), square()) == 0


def test_scores_can_be_written_as_json():
    assert json.loads(json.dumps(figures([square().astype(float)], [square()])))


def test_index_map_becomes_subject_things_and_cores():
    shown = np.zeros((60, 60), np.uint8)
    shown[10:30, 10:30] = 1  # the subject; an element touches it
    shown[10:30, 30:50] = 2
    subject, things, inner = np.moveaxis(truth_planes(shown) > 0, -1, 0)
    assert (subject == (shown == 1)).all()
    assert (things == (shown > 0)).all()
    _, n_parts = ndimage.label(inner)
    assert n_parts == 2  # separate although the things touch
    assert (things[inner]).all()


def test_rendered_tables_are_read_with_their_index_maps(tmp_path):
    shown = np.zeros((SIDE_PX, SIDE_PX), np.uint8)
    shown[:128, :128] = 1
    Image.new("RGB", (SIDE_PX, SIDE_PX), "grey").save(tmp_path / "7.jpg")
    Image.fromarray(shown).save(tmp_path / "7.png")
    pictures, truths = read_tables(tmp_path)
    assert pictures.shape == truths.shape == (1, SIDE_PX, SIDE_PX, 3)
    assert (truths[0, ..., SUBJECT] > 0).sum() == 128 * 128
    with pytest.raises(FileNotFoundError, match="no rendered tables"):
        read_tables(tmp_path / "empty")
