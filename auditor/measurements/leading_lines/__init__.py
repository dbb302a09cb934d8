"""Leading lines: edges, or a curve of things, that lead the eye to the subject."""

from auditor.measurements.leading_lines.leading import LeadingLines
from auditor.measurements.leading_lines.measure import measure_leading_lines

__all__ = ["LeadingLines", "measure_leading_lines"]
