"""Words never overlap and never leave the frame, whatever they are."""

from random import Random

import pytest
from PIL import Image, ImageDraw

from auditor.plan_sheet import page
from auditor.plan_sheet.compose import draw_shot
from auditor.plan_sheet.drawing import box_of, common_area, holds, whole
from auditor.plan_sheet.lettering import (
    BROWSER_WIDENING,
    NO_SHAPE,
    OWN_FONT,
    Lettering,
    font_and_text,
    font_of,
    text_width,
)
from auditor.plan_sheet.write_sheet import PICTURE_TEXT_SIZE
from auditor.vocabulary.places import FRAME_WORDS, PLACE_WORDS, RELATION_WORDS
from auditor.vocabulary.techniques import TECHNIQUES

LETTERINGS = (Lettering(PICTURE_TEXT_SIZE), Lettering(page.TEXT_SIZE, BROWSER_WIDENING))
NAMES = (
    "jar",
    "hand-thrown tea bowl with a chipped rim",
    "Schokoladenkuchenstückchenverzierung",
    "linen",
    "salt",
    "a very long name of a very small thing that nobody would write but somebody may",
    "蜂蜜の瓶",
    "two forks",
    "ŕýž",
    "W" * 60,
    "lemon & lime <half>",
    "spoon",
)


def place(random, places):
    if random.random() < 0.6:
        return f'"{random.choice(places)}"'
    return [round(random.random(), 2), round(random.random(), 2)]


def crowded(seed):
    """A shot with up to twelve things, many of them in one place."""
    random = Random(seed)
    places = (*PLACE_WORDS, *FRAME_WORDS, *RELATION_WORDS)
    elements = ", ".join(
        f'{{ name = "{name}", at = {place(random, places)} }}'
        for name in random.sample(NAMES, random.randint(0, len(NAMES)))
    )
    side = random.choice(("left", "around", "top"))
    return (
        f'[[shot]]\nname = "one"\nfiles = ["*"]\ntechnique = "{random.choice(TECHNIQUES)}"\n'
        f'aspect_ratio = "{random.choice(("4:5", "1:1", "16:9", "2:3", "3:1"))}"\n'
        f"camera_elevation = {random.choice((0, 15, 45, 90))}\n"
        f'subject = {{ at = "{random.choice(PLACE_WORDS)}" }}\nsupporting = [ {elements} ]\n'
        f"light = {{ clock = {random.uniform(0.1, 12):.1f} }}\n"
        f'negative_space = {{ fraction = 0.5, side = "{side}" }}\n'
    )


@pytest.mark.parametrize("lettering", LETTERINGS, ids=["picture", "page"])
@pytest.mark.parametrize("seed", range(12))
def test_no_word_covers_another_or_leaves_the_frame(plan_of, seed, lettering):
    drawing = draw_shot(plan_of(crowded(seed)).shots[0], lettering)
    boxes = [word.box for word in drawing.words]
    assert boxes
    assert all(common_area(a, b) == 0 for i, a in enumerate(boxes) for b in boxes[:i])
    assert all(holds(whole(drawing.frame), box) for box in boxes)
    for word in drawing.words:
        room = word.box.right - word.box.left
        assert max(lettering.width(line) for line in word.lines) <= room + 1e-6


def test_no_word_covers_the_arrow(plan_of):
    for seed in range(12):
        drawing = draw_shot(plan_of(crowded(seed)).shots[0], LETTERINGS[0])
        if len(drawing.words) > 6:  # in a full frame a word may have no better place
            continue
        head = box_of([p for line in drawing.lines if line.role == "light" for p in line.points])
        covered = [common_area(word.box, head) for word in drawing.words]
        assert max(covered) < 0.3 * (head.right - head.left) * (head.bottom - head.top)


def test_a_word_stands_at_its_thing(plan_of):
    text = (
        '[[shot]]\nname = "one"\nfiles = ["*"]\naspect_ratio = "4:5"\n'
        "subject = { at = [0.5, 0.5], size = 0.2 }\n"
        'supporting = [ { name = "honey jar", at = [0.8, 0.9], size = 0.02 } ]'
    )
    drawing = draw_shot(plan_of(text).shots[0], LETTERINGS[0])
    words = {word.lines: word.box for word in drawing.words}
    subject, jar = (box_of(line.points) for line in drawing.lines if line.role != "grid")
    assert holds(subject, words[("subject",)])
    found = words[("honey jar",)]
    gap = max(jar.left - found.right, found.left - jar.right, jar.top - found.bottom)
    assert gap < 2 * drawing.text_size


@pytest.mark.parametrize("text", ["honey jar", "light 10:30", "85% empty", "Törtchen"])
def test_measured_widths_are_those_that_are_drawn(text):
    name, drawn = font_and_text(text)
    pen = ImageDraw.Draw(Image.new("L", (10, 10)))
    left, _, right, _ = pen.textbbox((0, 0), drawn, font_of(name, 60))
    assert right - left == pytest.approx(60 * text_width(text), rel=0.06)


def test_english_is_written_in_the_font_that_every_machine_has():
    assert font_and_text("honey jar, 85% (light)") == (OWN_FONT, "honey jar, 85% (light)")


def test_without_another_font_letters_lose_their_accents(monkeypatch):
    monkeypatch.setattr("auditor.plan_sheet.lettering.SYSTEM_FONTS", ("no such font.ttf",))
    find = font_and_text.__wrapped__  # nothing of this is remembered for other tests
    assert find("Törtchen à la crème") == (OWN_FONT, "Tortchen a la creme")
    assert find("蜜 jar") == (OWN_FONT, NO_SHAPE + " jar")
