"""What is seen in one picture, in three to six sentences, with the figures behind each.

`subject`, `division`, `camera_and_light` and `colours` say what is there; `strengths` and
`weaknesses` say what is strong and what works against the picture; `compose` chooses and orders.
Each takes the record of a picture and gives a statement, or none where nothing is sure enough.
"""

from auditor.wording.critique.compose import critique

__all__ = ["critique"]
