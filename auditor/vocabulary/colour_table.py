"""Names of colours with the middles of their regions, as data.

All middles and radii are our choice, from memory; the tests hold that no region reaches into
another hue.
"""

from __future__ import annotations

from dataclasses import dataclass

from auditor.accepted import AcceptedColour

# What CSS calls by names of the table below; a test holds them to it. Its chocolate is left out, an
# orange (#d2691e): on a table it is a dark brown.
CSS_CODES = {
    "beige": "#f5f5dc",
    "black": "#000000",
    "blue": "#0000ff",
    "brown": "#a52a2a",
    "gold": "#ffd700",
    "gray": "#808080",
    "green": "#008000",
    "grey": "#808080",
    "indigo": "#4b0082",
    "ivory": "#fffff0",
    "lavender": "#e6e6fa",
    "linen": "#faf0e6",
    "maroon": "#800000",
    "navy": "#000080",
    "olive": "#808000",
    "orange": "#ffa500",
    "pink": "#ffc0cb",
    "plum": "#dda0dd",
    "purple": "#800080",
    "red": "#ff0000",
    "salmon": "#fa8072",
    "silver": "#c0c0c0",
    "tan": "#d2b48c",
    "teal": "#008080",
    "turquoise": "#40e0d0",
    "violet": "#ee82ee",
    "white": "#ffffff",
    "yellow": "#ffff00",
}


@dataclass(frozen=True, slots=True)
class NamedRegion:
    """A colour in words.

    Attributes
    ----------
    words : str
    middles : str
        ``#rrggbb`` of each, with blanks between; the first stands for all.
    radius : float
        CIEDE2000 around each.
    also : tuple of str
    """

    words: str
    middles: str
    radius: float
    also: tuple[str, ...] = ()

    def accepted(self, named: str) -> AcceptedColour:
        """What it means in a plan that names it so; a name of CSS means that colour, too."""
        first, *more = self.middles.split()
        css = CSS_CODES.get(named)
        return AcceptedColour(first, self.radius, named, (*more, *([css] if css else [])))


# From dark to light where several middles are given after the first.
_HUES = (
    NamedRegion("white", "#f4f2ee #ffffff #e9e6e0", 4, ("off white", "whites")),
    NamedRegion("grey", "#8c8c8c #5f5f5f #b5b5b5", 7, ("gray", "mid grey")),
    NamedRegion("black", "#151515 #262626", 7, ("jet",)),
    NamedRegion("red", "#b3261e #7e1a17 #d8392b", 8, ("reds",)),
    NamedRegion("orange", "#e07b1f #c4651a #f0973f", 7, ("bright orange", "tangerine")),
    NamedRegion("yellow", "#edc428 #d9ad1e #f5dc5c", 7, ("bright yellow", "lemon")),
    NamedRegion("green", "#4f8a43 #2f5a33 #6fa64a #3f6b3a", 9, ("greens", "leaf green")),
    NamedRegion("blue", "#2f62a8 #1f3f74 #5a8cc4", 8, ("blues",)),
    NamedRegion("plum", "#5b2a4a #734060 #45203a", 6, ("aubergine", "mulberry")),
    NamedRegion("purple", "#6f3f8c #4c2a60 #9466ad", 8, ("violet",)),
    NamedRegion("pink", "#e58fa0 #d9708a #f0b3bd", 8, ("pinks",)),
    NamedRegion("brown", "#74492a #4a2e1c #96663f", 8, ("browns", "chocolate brown")),
    NamedRegion("turquoise", "#3aa6a0 #2a827f #6cc4bd", 7, ("aqua green",)),
    NamedRegion("teal", "#1f6a6d #17494d", 6, ("petrol", "petrol blue")),
    NamedRegion("gold", "#c59a3d #a67c2b", 7, ("golden", "brass")),
    NamedRegion("silver", "#b9bcc0 #d0d2d5", 5, ("pewter", "steel", "tin")),
    NamedRegion("copper", "#b06a45 #8f5236", 6, ()),
)
_PHOTOGRAPHERS_OWN = (
    NamedRegion(
        "pale blue", "#b9cfe0 #cfdde8 #a6c1d6", 4, ("light blue", "powder blue", "sky blue")
    ),
    NamedRegion(
        "dark blue", "#1f3350 #17243a", 5, ("navy", "navy blue", "midnight blue", "indigo")
    ),
    NamedRegion(
        "grey blue",
        "#6f8496 #8b9dac",
        5,
        ("blue grey", "dusty blue", "steel blue", "muted blue", "muted blues"),
    ),
    NamedRegion("pale green", "#c3d3b5 #d3dfc8", 5, ("light green", "mint", "mint green")),
    NamedRegion("dark green", "#26402f #1c2f22 #34523b", 5, ("forest green", "bottle green")),
    NamedRegion(
        "sage",
        "#9caa8c #87977a #b4bfa6",
        4,
        ("sage green", "muted green", "muted greens", "dusty green", "grey green"),
    ),
    NamedRegion("olive", "#6e6b34 #565427 #868248", 5, ("olive green", "moss", "khaki green")),
    NamedRegion("terracotta", "#b8613f #a04f33 #cb7a58", 5, ("terra cotta", "brick", "clay")),
    NamedRegion("rust", "#9a4a22 #82401f", 5, ("burnt orange",)),
    NamedRegion("mustard", "#c99a2b #b3861f", 5, ("mustard yellow", "ochre", "ocher")),
    NamedRegion("pale yellow", "#f2e3a6 #f7edc4", 4, ("light yellow", "butter", "straw")),
    NamedRegion("blush", "#e6c4b8 #edd3c9 #dcb0a4", 4, ("pale pink", "light pink", "dusty pink")),
    NamedRegion("dusty rose", "#bd8a86 #a97571", 5, ("old rose", "rose", "muted pink")),
    NamedRegion("burgundy", "#5e1c27 #7a2633", 5, ("wine", "wine red", "dark red", "maroon")),
    NamedRegion("peach", "#efb992 #f4cbaa", 5, ("apricot", "salmon")),
    NamedRegion("lavender", "#b9aed0 #cbc2dd", 5, ("lilac", "pale purple")),
    NamedRegion("cream", "#f0e6d0 #f6eede #e6d9bf", 3, ("ivory", "eggshell", "vanilla")),
    NamedRegion("beige", "#d9c7aa #cbb694", 4, ("sand", "tan", "oatmeal", "camel", "nude")),
    NamedRegion(
        "linen", "#d8cfc0 #c9beab #e5ddd0", 4, ("natural linen", "light linen", "flax", "canvas")
    ),
    NamedRegion(
        "stone",
        "#b8b0a4 #a39b8f #cac3b8",
        5,
        ("limestone", "sandstone", "travertine", "light stone"),
    ),
    NamedRegion("taupe", "#8c7f72 #776a5e", 4, ("greige", "mushroom")),
    NamedRegion("concrete", "#9c9a96 #85837f #b3b1ac", 5, ("cement", "plaster", "zinc")),
    NamedRegion(
        "slate",
        "#4a4f54 #393d41 #5e6468",
        5,
        ("slate grey", "dark grey", "dark gray", "dark slate", "dark stone", "dark concrete"),
    ),
    NamedRegion("charcoal", "#33353a #26282b #414347", 4, ("anthracite", "graphite")),
    NamedRegion(
        "light grey",
        "#c9c9c9 #dadada",
        4,
        ("light gray", "pale grey", "pale gray", "light concrete"),
    ),
    NamedRegion(
        "marble", "#e6e4e1 #d6d4d1 #f1f0ee", 4, ("white marble", "porcelain", "light marble")
    ),
    NamedRegion("granite", "#7d7b79 #646260 #979593", 5, ()),
    NamedRegion(
        "light wood", "#c9a57a #d8ba93 #b8915f", 6, ("pine", "birch", "blond wood", "bamboo")
    ),
    NamedRegion("wood", "#9a6f45 #7e5633 #b88d5e", 7, ("wooden", "oak", "wooden board", "timber")),
    NamedRegion(
        "dark wood",
        "#4b3323 #362417 #63452f",
        6,
        ("walnut", "dark wooden", "dark brown", "espresso"),
    ),
    NamedRegion("rattan", "#b58f5c #9e7a4a", 5, ("wicker", "jute", "burlap", "kraft", "cork")),
    NamedRegion("cast iron", "#2b2a29 #3a3836", 4, ("iron",)),
    NamedRegion("honey", "#c6842a #d99f45", 5, ("amber", "caramel", "toffee")),
    NamedRegion("chocolate", "#46291b #33190f", 5, ("cocoa", "coffee", "dark chocolate")),
)
# Families of colours, and lightness alone: rows of middles along the neutral axis and, less
# saturated, round it.
FAMILIES = (
    NamedRegion(
        "earthy",
        "#8a5a3a #5a3d28 #a04f33 #6e6b34 #b89468 #6b6257",
        6,
        ("earth", "earth colours", "earthen"),
    ),
    NamedRegion(
        "pastel",
        "#e6c4b8 #b9cfe0 #c3d3b5 #f2e3a6 #cbc2dd #efcdb4",
        6,
        ("pastels",),
    ),
    NamedRegion(
        "dark",
        "#222222 #141414 #333333 #3a3029 #2a3138 #2c3329 #3a2a2c #3f3a33 #2a241c",
        7,
        ("dark and moody", "dark moody", "moody", "very dark", "deep"),
    ),
    NamedRegion(
        "light",
        "#eeeeec #ffffff #dcdad6 #efe6d6 #e3e8ee #e6ebe0 #f2e4e0",
        6,
        ("bright", "pale", "light and airy", "airy", "very light"),
    ),
    NamedRegion(
        "neutral",
        "#8f8c88 #1e1d1c #3a3836 #565451 #726f6c #aaa7a2 #c5c2bd #dedbd6 #f4f2ee",
        7,
        ("natural", "plain", "neutrals"),
    ),
)
REGIONS = (*_HUES, *_PHOTOGRAPHERS_OWN, *FAMILIES)
