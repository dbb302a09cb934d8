from auditor.page.links import link_pictures
from auditor.page.set_view import set_view
from auditor.series.statistics.robust import centre_and_spread, circular_centre_and_spread
from auditor.wording.messages import with_messages
from auditor.wording.set_summary import quantity_summary
from tests.page.drawing.test_charts import quantity
from tests.records import audit, crop, measured


def followed(name, unit, values, *, is_several=False):
    summary = circular_centre_and_spread if unit == "h" else centre_and_spread
    centre, spread = summary(values)
    return quantity(values, unit, name, centre=centre, spread=spread, is_several=is_several)


THREE_ANGLES = [14.0, 14.0, 41.0, 40.0, 45.0, 46.0, 72.0, 89.0, 89.0, 90.0, 90.0, 90.0]


def test_several_angles_have_no_line():
    angles = followed("camera_elevation", "deg", THREE_ANGLES, is_several=True)
    assert quantity_summary(angles, 12) == "Several angles, 14° to 90°; all 12 pictures"
    assert (drawn(angles).strip.centre, drawn(angles).strip.band) == ("", "")
    lights = followed("light", "h", [9.0, 9.0, 3.0, 3.0, 6.0, 12.0], is_several=True)
    assert (drawn(lights).dial.centre, drawn(lights).dial.band) == ("", "")
    one = followed("camera_elevation", "deg", [44.0, 45.0, 45.0, 46.0])
    assert drawn(one).strip.centre


def drawn(record):
    """The chart of one quantity."""
    images = [measured(file) for file, _ in record.values]
    whole = audit(with_plan=False, images=images)
    series = whole.series.model_copy(update={"quantities": [record]})
    whole = whole.model_copy(update={"series": series})
    return set_view(whole, link_pictures(whole.images)).quantities[0]


def test_a_picture_stands_with_all_its_crops_and_how_they_were_cropped():
    names = ("wide.jpg", "square.jpg", "upright.jpg")
    wide, square, upright = names
    whole = audit(with_plan=False, images=[measured(name) for name in names])
    crops = [crop(wide, square), crop(square, upright, crop_box=(0.0, 0.1, 1.0, 0.9))]
    crops.append(crop(wide, upright, box=(0.2, 0.0, 0.5, 1.0)))
    series = whole.series.model_copy(update={"crops": crops})
    whole = with_messages(whole.model_copy(update={"series": series}))
    shown = [
        (view.link.name, [(part.link.name, part.how) for part in view.crops])
        for view in set_view(whole, link_pictures(whole.images)).wholes
    ]
    assert shown == [
        (wide, [(square, "cropped to 48% of it"), (upright, "cropped to 30% of it")]),
        (square, [(upright, "cropped differently")]),
    ]
