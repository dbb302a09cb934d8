"""Pictures that are no one set: their variety, what they repeat, the weakest, an order.

Nothing is an outlier here: a portfolio has no centre that a picture could leave (`no_set`).
"""

from auditor.series.portfolio.describe import Portfolio, describe_portfolio
from auditor.series.portfolio.no_set import describe_changed_no_set, describe_no_set

__all__ = ["Portfolio", "describe_changed_no_set", "describe_no_set", "describe_portfolio"]
