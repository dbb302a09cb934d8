"""How the network that finds the neutral is taught; needs torch, and is never imported at run time.

``python -m auditor.measurements.colour_temperature.training OUT --tables DIR… --photographs DIR…``
"""
