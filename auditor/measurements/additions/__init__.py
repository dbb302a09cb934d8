"""What was put onto a picture after it was taken: borders, captions, signatures, watermarks.

`border` finds borders of one colour. `strokes` finds narrow shapes, `letters` measures them, `rows`
joins them to rows, `candidates` does so in several sizes, `row_features` describes a row and
`row_network` says how probable it is that somebody wrote it onto the picture. `written_lines` finds
the horizontal lines, `slanted` other directions, `writing` both; `fill` takes pixels out of a
picture, and `measure` combines everything.
"""

from auditor.measurements.additions.border import Border
from auditor.measurements.additions.fill import filled
from auditor.measurements.additions.measure import Additions, measure_additions
from auditor.measurements.additions.writing import Writing

__all__ = ["Additions", "Border", "Writing", "filled", "measure_additions"]
