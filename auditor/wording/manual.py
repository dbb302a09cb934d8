"""How to read the page: what each quantity means and when not to trust it."""

from __future__ import annotations

from dataclasses import dataclass

from auditor.record.audit_record import AuditRecord


@dataclass(frozen=True, slots=True)
class Entry:
    """One quantity explained."""

    title: str
    meaning: str
    doubt: str


MANUAL = (
    Entry(
        "Subject",
        "What the picture is of: its middle (the balance point of its area), its box and its share "
        "of the frame. An area drawn in the file’s metadata has priority over what is found; an "
        "area written by a camera chooses among the things found. On a dish that nearly fills the "
        "frame, the food alone is the subject.",
        "Among several equal dishes any may be taken as the subject, or a place between them.",
    ),
    Entry(
        "Supporting elements",
        "The other things placed in the frame, largest first. The plan names them; the picture "
        "shows outlines, and long edges side by side for spoons and sticks. What lies at the "
        "planned place is taken to be the named thing if its shape and size fit the name; the "
        "name stands on the picture at what was taken. A place in words is an area: “left” is the "
        "left third at middle height, “behind” all that rises over the subject.",
        "A glass where a cup was planned counts as met. Small, pale or overlapping things can "
        "be missed or taken as one, and what lies on the food is not looked for. So a number of "
        "things is often undecided by one, and what was to be left out is called missed only by a "
        "shape that little else has.",
    ),
    Entry(
        "Technique",
        "How far the subject’s middle is from the nearest line or point of the rule of thirds, the "
        "golden ratio, the centre, the diagonals, the golden triangles, the golden spiral’s eye "
        "or the axis of symmetry. Symmetry is also seen in the picture itself, compared with its "
        "mirror image; so are a triangle arrangement and a frame within a frame. A technique is "
        "named where the subject is within 0.05 of the diagonal and at most 8% of the frame is as "
        "near. Diagonals are never named: every place in the frame is near one of them.",
        "About one place in six is near some technique by chance, and one place may be near "
        "several. Where the food fills the frame, its middle is near the centre whatever was "
        "intended.",
    ),
    Entry(
        "Empty space",
        "The share of the frame that no element occupies and that the eye finds quiet, and the "
        "side on which most of it lies. The hatched area is the largest part that hangs together.",
        "Clutter does not count as quiet. Granite, prints and grids do, though not everybody sees "
        "them as empty: where that makes a difference, the share without them stands beside.",
    ),
    Entry(
        "Diagonal",
        "The strongest slanted line, drawn by edges or by the arrangement of the elements. Rising "
        "runs from the lower left to the upper right.",
        "Where several lines compete, the second strongest may be the one you see.",
    ),
    Entry(
        "Leading lines",
        "Straight edges that point into the subject from outside and end at it, or supporting "
        "elements on an arc or an S-curve around or towards it. Most pictures have none.",
        "Faint, level and upright lines are left out, and so is a line among many others.",
    ),
    Entry(
        "Camera angle",
        "Degrees above the table, 0 level with it and 90 straight down, read from how round the "
        "rims of plates, bowls and cups appear, or, where there is none, from how the edges of "
        "boards, trays, mats and square dishes converge.",
        "Oval dishes, cut-off rims and very wide lenses mislead it. If the picture was cropped "
        "after exposure, its lens’s angle is less certain.",
    ),
    Entry(
        "Light",
        "Where the key light stands on a clock around the subject seen from above, the camera at "
        "6: 12 is back light, 9 comes from the left, 3 from the right.",
        "Even light, several lights or glossy dishes leave it uncertain.",
    ),
    Entry(
        "Tilt",
        "By how many degrees the picture is turned, clockwise or anticlockwise, read from long "
        "edges that should be level or upright and from the rims of dishes.",
        "From overhead nothing has to be level, and an oval dish laid at an angle looks like a "
        "tilt.",
    ),
    Entry(
        "Colour temperature",
        "Of the greys and whites in the finished picture as displayed; a neutral picture reads "
        "about 6500 K. Differences are in mired, where equal steps look about equal. Where the "
        "other pictures of the set give a better estimate than the picture alone, it is used. How "
        "a picture was developed is not known, so the example starts at 5000 K: a picture 33 mired "
        "too warm goes to about 4300 K (1,000,000 / (1,000,000 / 5000 + 33)). From another setting "
        "it moves by as many mired, not by as many kelvin: from 3200 K to about 2900 K. A higher "
        "setting makes a picture warmer. Under mixed light the marks show where each light falls.",
        "A picture without anything grey or white has nothing to measure it by; a cream plate "
        "looks like warm light. Two lights are seen where a border runs between them, not where "
        "they blend all over the frame; one in twenty frames under one light is taken for mixed.",
    ),
    Entry(
        "Palette, background, surface",
        "The main colours with their shares, each by a plain name (what a plan calls stone is a "
        "warm grey here), for the frame, the subject and what lies around; whether the subject’s "
        "colour returns elsewhere (echo); the colour of what stands behind and of what the food "
        "stands on. Differences are CIEDE2000 (ΔE₀₀): about 1 can just be seen side by side.",
        "From overhead there is only a surface, and a blurred background blends into it.",
    ),
    Entry(
        "Tone",
        "Lightness, contrast and exposure of the whole frame; its key (high where light tones fill "
        "more than half of it, low where dark ones do); where highlights are blown or shadows "
        "blocked (white and black on the small map); the subject against what surrounds it and "
        "its texture.",
        "A white dish on white ground is high key on purpose.",
    ),
    Entry(
        "Focus",
        "Sharpness on the subject beside the sharpest other part, and the cause: shallow or deep "
        "depth of field with the subject sharp; missed focus, with something else sharp; "
        "motion blur, softer in one direction than across it; or soft all over. Judged against "
        "the frame, not against the camera’s pixels.",
        "Smooth food such as cream or soup has little to be sharp in. Movement of less than about "
        "1/200 of the frame and a miss of less than about 1/500 are often not seen; stripes and "
        "weave can look like movement. Where two causes are near, none is named.",
    ),
    Entry(
        "Palette of the set",
        "How far each picture’s palette is from the others’: the mean ΔE₀₀ over which its colours "
        "must be matched to theirs. A picture leaves the set in it for a colour of which no "
        "other picture has a shade; in contrast and saturation only where it differs throughout.",
        "A colour that is meant as the accent of one picture is foreign too.",
    ),
    Entry(
        "Camera settings",
        "From the files’ EXIF. A picture is named where it alone was shot at another setting.",
        "Editing may remove EXIF; what it contains is not checked.",
    ),
    Entry(
        "The same picture",
        "Pictures that can hardly be distinguished are nearly the same. A picture that shows part "
        "of another one, at any size and a little lighter or darker, is the same picture cropped; "
        "so are two crops of one picture that share at least 60% of the smaller.",
        "A picture almost without detail, or retouched after it was cropped, may not be "
        "recognised. A crop of a second frame that differs from the first by nothing visible is "
        "taken for a crop of the first.",
    ),
    Entry(
        "The set",
        "Each picture beside all others: the centre is the median, the spread a robust standard "
        "deviation. A picture leaves the set when it is further off than chance and the variety of "
        "the set explain.",
        "Variety is often intended. In a set of fewer than five pictures only exposure, colour "
        "temperature and tint are judged, by what sets usually spread by; fewer than three are not "
        "judged at all.",
    ),
)


def manual_of(record: AuditRecord) -> tuple[Entry, ...]:
    """The entries that a page needs: of a picture alone nothing about the set."""
    is_alone = len(record.images) == 1
    return tuple(one for one in MANUAL if not (is_alone and one.title in OF_SEVERAL))


OF_SEVERAL = frozenset({"Palette of the set", "Camera settings", "The same picture", "The set"})
