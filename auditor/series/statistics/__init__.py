"""Robust statistics of a set, and the rule by which a picture is an outlier."""
