"""Names of colours against CSS Color Module Level 4 and colour-science."""

import warnings

import numpy as np
import pytest

from auditor.colorimetry import css_colours, hex_from_lab, lab_from_hex, nearest_named_colour

with warnings.catch_warnings():
    warnings.simplefilter("ignore")
    import colour


# CSS Color Module Level 4, section 6.1.
@pytest.mark.parametrize(
    ("value", "name"),
    [
        ("#ff6347", "tomato"),
        ("#d2b48c", "tan"),
        ("#663399", "rebeccapurple"),
        ("#808080", "grey"),
        ("#00ffff", "aqua"),
        ("#fffafa", "snow"),
    ],
)
def test_a_css_colour_has_its_own_name(value, name):
    named = nearest_named_colour(lab_from_hex(value))
    assert named.name == name
    assert named.difference == pytest.approx(0, abs=1e-9)


def test_every_colour_of_the_standard_is_listed_once():
    # 148 names: seven greys are spelt both ways, and two other colours have two names.
    names, labs = css_colours()
    assert len(names) == len(set(names)) == 148 - 7 - 2
    assert len({hex_from_lab(tuple(lab)) for lab in labs.tolist()}) == len(names)


@pytest.mark.parametrize("value", ["#e08a1e", "#2f4a3c", "#d8d2c4", "#6f6a63", "#123456"])
def test_the_name_is_the_nearest_according_to_colour_science(value):
    names, labs = css_colours()
    lab = lab_from_hex(value)
    apart = [float(colour.delta_E(np.array(lab), other, method="CIE 2000")) for other in labs]
    named = nearest_named_colour(lab)
    assert named.name == names[int(np.argmin(apart))]
    assert named.difference == pytest.approx(min(apart), abs=1e-6)
