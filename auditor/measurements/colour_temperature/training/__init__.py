"""Training of the networks that estimate the neutral; needs torch, never imported at run time.

``python -m auditor.measurements.colour_temperature.training OUT --tables DIR… --photographs DIR…``
"""
