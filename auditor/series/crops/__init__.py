"""Crops: pictures that show the same photograph in another framing.

`matching` finds the keypoints that pictures may share, `framing` the scale and offset that lays one
picture on another, `overlap` whether both show the same there, and `find` combines everything.
"""

from auditor.series.crops.find import CroppedPicture, find_crops

__all__ = ["CroppedPicture", "find_crops"]
