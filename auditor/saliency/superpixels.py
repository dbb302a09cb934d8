"""Superpixels: small regions of one colour, their neighbours and the ways between them."""

from __future__ import annotations

from dataclasses import dataclass
from typing import cast

import numpy as np
from numpy.typing import NDArray
from PIL import Image
from scipy.ndimage import gaussian_filter, gaussian_gradient_magnitude
from scipy.sparse import coo_matrix, csr_matrix
from scipy.sparse.csgraph import breadth_first_order, dijkstra, minimum_spanning_tree
from scipy.spatial.distance import cdist
from skimage.segmentation import slic

from auditor.colorimetry import lab_from_pixels

Floats = NDArray[np.float64]

WORKING_SIDE_PX = 256  # a dish of a fifth of the frame is still 50 px wide; keeps a picture < 0.2 s
N_SUPERPIXELS = 400  # Zhu and others 2014 use about 200; food wants rims and handles kept apart
SLIC_COMPACTNESS = 15.0  # CIELAB units that a superpixel's width weighs: pale rims are still kept
SLIC_ITERATIONS = 5  # the outlines hardly move after the fifth
DETAIL_SIGMA_PX = 1.0  # what is finer than this blur counts as detail
EDGE_SIGMA_PX = 1.0  # a rim is sharper than this, the rim of a soft shadow is not
LEAST_STEP = 1e-9  # stands for zero where a sparse matrix would drop it
MIN_SIDE_PX = 16  # below this there is nothing to divide


@dataclass(frozen=True, slots=True)
class Superpixels:
    """A picture divided into n superpixels.

    Attributes
    ----------
    labels : (h, w) int array
        Number of the superpixel, from 0.
    lab : (n, 3) float array
        Mean CIELAB.
    spread : (n,) float array
        Standard deviation of the lightness within, CIELAB units.
    detail : (n,) float array
        Root mean square of what a small blur takes away, CIELAB units of lightness.
    position : (n, 2) float array
        Mean x and y, as fractions of the frame's longer side.
    area : (n,) float array
        Share of the frame.
    border : (n, 4) float array
        Length along the left, right, top and bottom edge, as a fraction of the longer side.
    neighbours : (m, 2) int array
        Pairs that touch, the smaller number first.
    contact : (m,) float array
        Length of the common outline of each pair, as a fraction of the longer side.
    edge : (m,) float array
        Mean colour gradient along the common outline, CIELAB units a pixel.
    """

    labels: NDArray[np.int64]
    lab: Floats
    spread: Floats
    detail: Floats
    position: Floats
    area: Floats
    border: Floats
    neighbours: NDArray[np.int64]
    contact: Floats
    edge: Floats

    @property
    def n(self) -> int:
        """How many there are."""
        return int(self.area.size)

    def paint(self, values: Floats) -> Floats:
        """Give every pixel the value of its superpixel: (n,) to (h, w)."""
        return cast("Floats", values[self.labels])


def shrink(pixels: NDArray[np.uint8], side_px: int = WORKING_SIDE_PX) -> NDArray[np.uint8]:
    """Average a picture down to a longest side of `side_px`; smaller ones are enlarged."""
    height, width = pixels.shape[:2]
    scale = side_px / max(height, width)
    size = (max(MIN_SIDE_PX, round(width * scale)), max(MIN_SIDE_PX, round(height * scale)))
    method = Image.Resampling.BOX if scale <= 1 else Image.Resampling.BILINEAR
    return np.asarray(Image.fromarray(pixels).resize(size, method))


def divide(pixels: NDArray[np.uint8], n_superpixels: int = N_SUPERPIXELS) -> Superpixels:
    """Divide a small sRGB picture (h, w, 3) by SLIC (Achanta and others 2012)."""
    lab = lab_from_pixels(pixels)
    labels = slic(
        lab,
        n_segments=n_superpixels,
        compactness=SLIC_COMPACTNESS / max(float(np.ptp(lab)), 1.0),  # slic scales to [0, 1]
        max_num_iter=SLIC_ITERATIONS,
        convert2lab=False,
        start_label=0,
        channel_axis=2,
    ).astype(np.int64)
    return _describe(np.unique(labels, return_inverse=True)[1].reshape(labels.shape), lab)


def _describe(labels: NDArray[np.int64], lab: Floats) -> Superpixels:
    height, width = labels.shape
    side = float(max(height, width))
    flat = labels.ravel()
    counts = np.bincount(flat).astype(np.float64)

    def mean(values: Floats) -> Floats:
        return cast("Floats", np.bincount(flat, weights=values.ravel()) / counts)

    rows, columns = np.mgrid[0:height, 0:width]
    lightness = lab[..., 0]
    residue = lightness - gaussian_filter(lightness, DETAIL_SIGMA_PX, mode="nearest")
    mean_lab = np.stack([mean(lab[..., channel]) for channel in range(3)], axis=1)
    variance = np.maximum(mean(lightness**2) - mean_lab[:, 0] ** 2, 0.0)
    edges = (labels[:, 0], labels[:, -1], labels[0], labels[-1])
    border = np.stack([np.bincount(e, minlength=counts.size) for e in edges], axis=1) / side
    gradients = [
        gaussian_gradient_magnitude(lab[..., channel], EDGE_SIGMA_PX, mode="nearest")
        for channel in range(3)
    ]
    neighbours, contact, edge = _touching(labels, np.sqrt(np.sum(np.square(gradients), axis=0)))
    return Superpixels(
        labels,
        mean_lab,
        np.sqrt(variance),
        np.sqrt(mean(residue**2)),
        np.stack([mean(columns + 0.5), mean(rows + 0.5)], axis=1) / side,
        counts / labels.size,
        border,
        neighbours,
        contact / side,
        edge,
    )


def _touching(
    labels: NDArray[np.int64], gradient: Floats
) -> tuple[NDArray[np.int64], Floats, Floats]:
    """Pairs that touch, the length of their common outline in pixels, the mean gradient on it."""
    first = np.concatenate([labels[:, :-1].ravel(), labels[:-1].ravel()])
    second = np.concatenate([labels[:, 1:].ravel(), labels[1:].ravel()])
    slope = np.concatenate(
        [
            np.maximum(gradient[:, :-1], gradient[:, 1:]).ravel(),
            np.maximum(gradient[:-1], gradient[1:]).ravel(),
        ]
    )
    differ = first != second
    pairs = np.sort(np.stack([first[differ], second[differ]], axis=1), axis=1)
    n = int(labels.max()) + 1
    codes, where = np.unique(pairs[:, 0] * n + pairs[:, 1], return_inverse=True)
    lengths = np.bincount(where).astype(np.float64)
    edges = np.bincount(where, weights=slope[differ]) / lengths
    return np.stack([codes // n, codes % n], axis=1), lengths, edges


def colour_distances(lab: Floats) -> Floats:
    """Euclidean CIELAB distances between all superpixels, (n, n)."""
    return cast("Floats", cdist(lab, lab))


def geodesic_distances(
    n: int, pairs: NDArray[np.int64], costs: Floats, *, start: int | None = None, limit: float = np.inf
) -> Floats:
    """Lengths of the cheapest ways over a graph, (n, n), or (n,) from the node `start`.

    Parameters
    ----------
    n : int
        Number of nodes.
    pairs : (m, 2) int array
        Which nodes are joined.
    costs : (m,) float array
        What a step costs; a free step counts as a tiny one, for a sparse matrix knows no zero.
    start : int, optional
        Node from which the ways are measured.
    limit : float
        Longer ways are not followed; their length is infinite.
    """
    return cast("Floats", dijkstra(_graph(n, pairs, costs), False, start, limit=limit))


def _graph(n: int, pairs: NDArray[np.int64], costs: Floats) -> csr_matrix:
    weights = np.maximum(costs, LEAST_STEP)
    return coo_matrix((weights, (pairs[:, 0], pairs[:, 1])), shape=(n, n)).tocsr()


def barriers(n: int, pairs: NDArray[np.int64], costs: Floats, start: int) -> Floats:
    """The least of the largest steps on any way from `start` to each node, (n,).

    The ways of a minimum spanning tree have the least largest step of all ways (Hu 1961).
    """
    tree = minimum_spanning_tree(_graph(n, pairs, costs))
    tree = tree + tree.T
    order, predecessors = breadth_first_order(tree, start, directed=False)
    before = predecessors[order[1:]]
    steps = np.asarray(tree[before, order[1:]]).ravel()
    highest = np.zeros(n)
    for node, parent, step in zip(order[1:], before, steps, strict=True):
        highest[node] = max(highest[parent], step)
    return highest
