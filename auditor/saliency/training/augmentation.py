"""Augmentation on the device: moved, mirrored, relit, and subjects on other backgrounds."""

from __future__ import annotations

from dataclasses import dataclass

import torch
from torch import Tensor
from torch.nn import functional


@dataclass(frozen=True, slots=True)
class Batch:
    """Pictures in [0, 1], truth maps in [0, 1] and the weight of each of their pixels."""

    pictures: Tensor
    truths: Tensor
    weights: Tensor


@dataclass(frozen=True, slots=True)
class Subjects:
    """Photographs, each with the mask of one thing, to be placed on another background.

    Attributes
    ----------
    pictures : (n, 3, h, w) uint8 tensor
    masks : (n, 1, h, w) uint8 tensor
        0 to 255.
    centres : (n, 2) tensor
        Of the masks, (x, y) in [-1, 1].
    shares : (n,) tensor
        Of the frame that the masks cover.
    """

    pictures: Tensor
    masks: Tensor
    centres: Tensor
    shares: Tensor


def subjects(pictures: Tensor, masks: Tensor) -> Subjects:
    """Compute the centres and shares of masks."""
    across = torch.linspace(-1, 1, masks.shape[3], device=masks.device)
    down = torch.linspace(-1, 1, masks.shape[2], device=masks.device)
    weight = masks[:, 0].float() / 255
    total = weight.sum(dim=(1, 2)).clamp(min=1)
    x = (weight.sum(dim=1) * across).sum(dim=1) / total
    y = (weight.sum(dim=2) * down).sum(dim=1) / total
    return Subjects(pictures, masks, torch.stack([x, y], 1), weight.mean(dim=(1, 2)))


def without_subject(pictures: Tensor, masks: Tensor) -> Tensor:
    """Remove the subject from photographs: fill it smoothly from its surroundings, coarse to fine.

    Push-pull over a pyramid of weighted means; uint8 in and out.
    """
    known = 1 - functional.max_pool2d(masks.float() / 255, 9, 1, 4)
    levels = [(pictures.float() / 255 * known, known)]
    while levels[-1][0].shape[-1] > 2:
        colour, weight = levels[-1]
        levels.append((functional.avg_pool2d(colour, 2), functional.avg_pool2d(weight, 2)))
    filled = levels[-1][0] / levels[-1][1].clamp(min=1e-3)
    for colour, weight in reversed(levels[:-1]):
        above = functional.interpolate(filled, scale_factor=2, mode="bilinear")
        filled = colour + (1 - weight) * above
    return (filled.clamp(0, 1) * 255).round().to(torch.uint8)


def affine(zoom: Tensor, angle: Tensor, stretch: Tensor, shift: Tensor) -> Tensor:
    """Affine maps (n, 2, 3) from the new picture to the old one, mirrored at random."""
    mirror = torch.where(torch.rand_like(zoom) < 0.5, -1.0, 1.0)
    cosine, sine = torch.cos(angle), torch.sin(angle)
    return torch.stack(
        [
            torch.stack([mirror * cosine * zoom * stretch, -sine * zoom, shift[:, 0]], 1),
            torch.stack([mirror * sine * zoom, cosine * zoom / stretch, shift[:, 1]], 1),
        ],
        1,
    )


def moved(planes: Tensor, maps: Tensor, padding: str) -> Tensor:
    """Resample planes (n, c, h, w) through maps of `affine`."""
    grid = functional.affine_grid(maps, list(planes.shape), align_corners=False)
    return functional.grid_sample(planes, grid, padding_mode=padding, align_corners=False)


def relit(pictures: Tensor, strength: float) -> Tensor:
    """Change gamma, gain, colour cast and saturation; sometimes the hue, or remove all colour."""

    def spread(channels: int = 1) -> Tensor:
        return strength * torch.randn(len(pictures), channels, 1, 1, device=pictures.device)

    changed = pictures.clamp(1e-4, 1) ** torch.exp(0.25 * spread())
    changed = changed * torch.exp(0.15 * spread()) * torch.exp(0.06 * spread(3))
    chance = torch.rand(len(pictures), 1, 1, 1, device=pictures.device)
    changed = torch.where(chance < 0.08 * strength, changed.roll(1, 1), changed)
    changed = torch.where(chance > 1 - 0.08 * strength, changed.flip(1), changed)
    grey = changed.mean(1, keepdim=True)
    saturation = (1 + 0.35 * spread()).clamp(0, 2)
    drained = torch.rand_like(chance) < 0.05 * strength
    saturation = torch.where(drained, torch.zeros_like(saturation), saturation)
    return (grey + saturation * (changed - grey)).clamp(0, 1)


def on_backgrounds(
    available: Subjects, places: Tensor, backgrounds: Tensor
) -> tuple[Tensor, Tensor]:
    """Place subjects on the backgrounds of other photographs, at any position and size.

    Parameters
    ----------
    available : Subjects
    places : (n,) tensor
        Indices of the subjects to use.
    backgrounds : (n, 3, h, w) tensor
        In [0, 1].

    Returns
    -------
    pictures : (n, 3, h, w) tensor
    masks : (n, 1, h, w) tensor
    """
    n, device = len(places), backgrounds.device
    wanted = torch.exp(torch.empty(n, device=device).uniform_(-3.2, -0.7))  # 4 % to 50 %
    zoom = (available.shares[places] / wanted).sqrt().clamp(0.45, 2.5)
    angle = 0.25 * torch.randn(n, device=device)
    spot = (0.33 * torch.randn(n, 2, device=device)).clamp(-0.75, 0.75)
    maps = affine(
        zoom, angle, torch.exp(0.1 * torch.randn(n, device=device)), torch.zeros_like(spot)
    )
    shift = available.centres[places] - torch.bmm(maps[:, :, :2], spot[..., None])[..., 0]
    maps = torch.cat([maps[:, :, :2], shift[..., None]], 2)
    both = torch.cat([available.pictures[places], available.masks[places]], 1).float() / 255
    both = moved(both, maps, "zeros")
    # A soft edge one pixel inside the mask, where little of the old background is mixed in.
    alpha = 1 - functional.max_pool2d(1 - both[:, 3:], 3, 1, 1)
    alpha = functional.avg_pool2d(alpha, 3, 1, 1)
    blurred = functional.interpolate(
        functional.avg_pool2d(backgrounds, 8), scale_factor=8, mode="bilinear"
    )
    share = torch.rand(n, 1, 1, 1, device=device)
    share = torch.where(share < 0.5, torch.zeros_like(share), 2 * share - 1)
    backgrounds = torch.lerp(relit(backgrounds, 0.7), blurred, share)
    return backgrounds * (1 - alpha) + relit(both[:, :3], 0.5) * alpha, alpha


def augmented(batch: Batch) -> Batch:
    """Augment a batch: each picture moved, mirrored, and changed in tone and colour."""
    n, device = len(batch.pictures), batch.pictures.device
    zoom = torch.exp(0.22 * torch.randn(n, device=device) - 0.1).clamp(0.5, 1.25)
    stretch = torch.exp(0.1 * torch.randn(n, device=device))
    angle = 0.12 * torch.randn(n, device=device)
    maps = affine(zoom, angle, stretch, 0.12 * torch.randn(n, 2, device=device))
    planes = torch.cat([batch.pictures, batch.truths, batch.weights], 1)
    # Outside the picture, both the picture and its truth are reflected.
    planes = moved(planes, maps, "reflection")
    pictures, truths, weights = planes[:, :3], planes[:, 3:6], planes[:, 6:]
    coarse = functional.interpolate(
        functional.avg_pool2d(pictures, 2), scale_factor=2, mode="bilinear"
    )
    soft = torch.rand(n, 1, 1, 1, device=device) < 0.15
    pictures = relit(torch.where(soft, coarse, pictures), 1.0)
    noisy = pictures + 0.03 * torch.rand(n, 1, 1, 1, device=device) * torch.randn_like(pictures)
    return Batch(noisy.clamp(0, 1), truths, weights)
