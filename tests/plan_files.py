"""Plans that several tests read."""

# As published: this plan must load and mean what it says.
WINTER_CITRUS = """\
title = "Winter citrus at the hillside teahouse"

[series]                                   # holds for every shot that does not say otherwise
aspect_ratio = "4:5"
light = { from = "back left" }             # or { clock = 10.5 }
colour_temperature = { kelvin = 6000 }     # of the finished picture's neutrals
palette = ["#e08a1e", "#2f4a3c", "#d8d2c4"]
background = ["#cfc7b6"]                   # what stands behind
surface = ["#6f6a63"]                      # what the food stands on

[[shot]]
name = "kettle and clementines"
files = ["*kettle*"]
technique = "rule of thirds"
subject = { at = "upper right", size = 0.2 }
supporting = [ { name = "honey jar", at = [0.30, 0.70] }, { name = "cloth", at = "lower left" } ]
camera_elevation = 45
negative_space = { fraction = 0.45, side = "left" }
diagonal = "rising"

[tolerance]                                # optional: replaces the defaults
subject = 0.06
"""
