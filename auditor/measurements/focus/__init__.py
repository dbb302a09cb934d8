"""Focus: sharpness on and off the subject, the sharpest part of the frame, and the cause.

`differences` computes differences between pixels, `sharpness` the sharpness of each tile, and
`motion_blur` whether the blur has a direction. `evidence` summarises these, `causes` finds the
cause, and `measure` combines everything.
"""

from auditor.measurements.focus.measure import Focus, measure_focus

__all__ = ["Focus", "measure_focus"]
