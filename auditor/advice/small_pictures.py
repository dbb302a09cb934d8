"""Which small pictures show the corrections: one after each, and proofs of the advised versions."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from pathlib import Path

from auditor.advice.advice import Advice
from auditor.corrections import Change
from auditor.output.previews import PREVIEW_SIDE_PX, PROOF_SIDE_PX, after_name, preview_name
from auditor.runs.trying import SmallPicture


def with_previews(
    advice: Mapping[str, tuple[Advice, ...]],
    proofs: Mapping[str, Change],
    files: Sequence[str],
    pictures: Path,
    proofs_folder: Path | None,
) -> tuple[dict[str, tuple[Advice, ...]], dict[str, list[SmallPicture]]]:
    """The advice with the names of its pictures, and the pictures to write.

    Parameters
    ----------
    advice : mapping of str to tuple of Advice
        By file.
    proofs : mapping of str to Change
        The advised version of each picture.
    files : sequence of str
        All pictures of the record, in its order.
    pictures : Path
        Folder of the previews.
    proofs_folder : Path or None
        None if no proofs are wanted.
    """
    named: dict[str, tuple[Advice, ...]] = {}
    versions: dict[str, list[SmallPicture]] = {}
    for number, file in enumerate(files, start=1):
        own = preview_name(number, file)
        offered = advice.get(file, ())
        names = [after_name(own, place) for place in range(1, len(offered) + 1)]
        named[file] = tuple(
            replace(one, preview=name) for one, name in zip(offered, names, strict=True)
        )
        to_write = [
            SmallPicture(one.change, pictures / name, PREVIEW_SIDE_PX)
            for one, name in zip(offered, names, strict=True)
            if one.change is not None
        ]
        if proofs_folder is not None and file in proofs:
            to_write.append(SmallPicture(proofs[file], proofs_folder / own, PROOF_SIDE_PX))
        if to_write:
            versions[file] = to_write
    return named, versions


def only_written(
    advice: Mapping[str, tuple[Advice, ...]], pictures: Path
) -> dict[str, tuple[Advice, ...]]:
    """The advice without the names of pictures that could not be made."""
    return {
        file: tuple(
            one
            if one.preview is None or (pictures / one.preview).is_file()
            else replace(one, preview=None)
            for one in own
        )
        for file, own in advice.items()
    }
