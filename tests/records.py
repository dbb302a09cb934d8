"""Records for tests: four drawn pictures, a plan, a set, and the previews that go with them."""

from hashlib import sha256
from pathlib import Path

import numpy as np
from numpy.typing import NDArray
from skimage.draw import disk

from auditor.output.previews import (
    PICTURES_FOLDER,
    Preview,
    encode_preview,
    preview_name,
    write_preview,
)
from auditor.quantities import QUANTITIES
from auditor.record.advice_record import AdviceRecord
from auditor.record.audit_record import AuditRecord, ShotRecord
from auditor.record.base import (
    ReasonRecord,
)
from auditor.record.by_picture import with_attention
from auditor.record.colour_records import (
    ClippedRegionRecord,
    ClippingRecord,
    ColourTemperatureRecord,
    EchoPlaceRecord,
    EchoRecord,
    GroundRecord,
    PaletteRecord,
    SaturationRecord,
    SubjectToneRecord,
    TemperatureClusterRecord,
    ToneRecord,
)
from auditor.record.finding_record import FindingRecord
from auditor.record.picture_record import (
    CameraElevationRecord,
    CameraRecord,
    DiagonalRecord,
    ElementRecord,
    EllipseRecord,
    FocusRecord,
    LargestRegionRecord,
    LeadingLinesRecord,
    LightRecord,
    MeasuredPictureRecord,
    NegativeSpaceRecord,
    RefusedPictureRecord,
    RollRecord,
    SubjectRecord,
    TechniqueFitRecord,
)
from auditor.record.plan_records import (
    ItemRecord,
    PicturePlanRecord,
    SetRuleRecord,
)
from auditor.record.series_records import (
    AlikeRecord,
    CropRecord,
    GroupRecord,
    OutlierRecord,
    SeriesQuantityRecord,
    SeriesRecord,
    SetTemperatureClusterRecord,
)
from auditor.values import ValueKind
from auditor.vocabulary.techniques import TECHNIQUES
from auditor.wording.messages import with_messages

HOSTILE = 'b/<script>alert("1")</script> 100% #2?\'&é.jpg'
NAMES = ("a/kettle.jpg", HOSTILE, "c/=cmd.jpg", "d/bowl.jpg")
CAMERA = CameraRecord(
    make="Maker",
    model="Body 1",
    lens=None,
    focal_length_mm=50.0,
    focal_length_35mm=75.0,
    exposure_time_s=1 / 60,
    f_number=4.0,
    iso=200,
    taken="2026-11-20T10:30:00",
    has_gps=False,
)


def item(quantity, planned, measured, difference, tolerance, unit, verdict, element=None):
    """One planned item; its kind follows from the quantity."""
    kinds = QUANTITIES[quantity].planned_as
    is_word = isinstance(planned, str) and ValueKind.WORDS in kinds
    return ItemRecord(
        quantity=quantity,
        element=element,
        kind=ValueKind.WORDS if is_word else next(k for k in kinds if k is not ValueKind.WORDS),
        planned=planned,
        measured=measured,
        difference=difference,
        tolerance=tolerance,
        unit=unit,
        verdict=verdict,
    )


def items():
    """One item of every kind and every verdict, for a subject at (0.25, 0.5)."""
    return [
        item("subject", [0.65, 0.35], [0.25, 0.5], 0.36, 0.08, "fraction of diagonal", "missed"),
        item("subject_size", 0.2, 0.21, 0.01, 0.08, "fraction of frame", "met"),
        item(
            "supporting",
            [0.3, 0.7],
            [0.7, 0.75],
            0.39,
            0.12,
            "fraction of diagonal",
            "missed",
            "honey <jar>",
        ),
        item(
            "technique",
            "rule of thirds",
            "golden ratio",
            0.1,
            0.05,
            "fraction of diagonal",
            "missed",
        ),
        item("camera_elevation", 70.0, 46.0, -24.0, 10.0, "deg", "missed"),
        item("light", 10.5, 3.0, 4.5, 1.0, "h", "missed"),
        item("diagonal", "rising", "falling", None, None, "", "missed"),
        item("negative_space", 0.45, 0.5, 0.05, 0.1, "fraction of frame", "met"),
        item("negative_space_side", "left", "right", None, None, "", "missed"),
        item("colour_temperature", 166.7, 204.7, 38.0, 20.0, "mired", "missed"),
        item("palette", ["#e08a1e", "#2f4a3c"], ["#e08a20"], 4.0, 10.0, "CIEDE2000", "met"),
        item("background", ["#cfc7b6"], None, None, 10.0, "CIEDE2000", "undecided"),
        item("surface", ["#6f6a63"], ["#7f7a73"], 8.6, 8.0, "CIEDE2000", "close"),
        item("aspect_ratio", 0.8, 1.5, 0.7, 0.01, "ratio", "missed"),
    ]


def measured(file="a/kettle.jpg", **changes):
    """A measured picture of 600 by 400 pixels; any field can be replaced."""
    fields = {
        "file": file,
        "status": "measured",
        "reason": None,
        "width": 600,
        "height": 400,
        "sha256": sha256(file.encode("utf-8", "surrogateescape")).hexdigest(),
        "colour_profile": "sRGB (assumed)",
        "creator": None,
        "copyright": None,
        "camera": CAMERA,
        "subject": SubjectRecord(
            centroid=(0.25, 0.5),
            bbox=(0.15, 0.35, 0.35, 0.65),
            area_fraction=0.21,
            source="estimated",
            confidence=0.8,
            tolerance=0.06,
        ),
        "elements": [
            ElementRecord(
                centroid=(0.7, 0.75),
                bbox=(0.65, 0.7, 0.75, 0.8),
                area_fraction=0.01,
                confidence=0.6,
                tolerance=0.06,
            )
        ],
        "negative_space": NegativeSpaceRecord(
            fraction=0.5,
            largest_region=LargestRegionRecord(bbox=(0.5, 0.0, 1.0, 0.6), fraction=0.3),
            side="right",
            sides=["right"],
            confidence=0.7,
            tolerance=0.1,
        ),
        "diagonal": DiagonalRecord(
            angle_deg=-32.0,
            ends=((0.1, 0.2), (0.9, 0.8)),
            strength=0.4,
            drawn_by="arrangement",
            confidence=0.6,
            tolerance=10.0,
        ),
        "leading_lines": LeadingLinesRecord(
            kind="lines",
            leads_to=(0.3, 0.5),
            distance=0.04,
            strength=0.6,
            paths=[[(0.9, 0.9), (0.4, 0.55)], [(0.8, 0.1), (0.4, 0.42)]],
            confidence=0.5,
            tolerance=0.06,
        ),
        "technique_fit": {
            name: TechniqueFitRecord(
                distance=0.02 * place,
                point=(1 / 3, 1 / 3),
                chance=0.04 * place,
                near_rank=place if place < 3 else None,
                confidence=0.9,
                tolerance=0.05,
            )
            for place, name in enumerate(TECHNIQUES, start=1)
        },
        "camera_elevation": CameraElevationRecord(
            deg=46.0,
            ellipses=[EllipseRecord(centre=(0.25, 0.5), semi_axes=(0.1, 0.07), angle_deg=0.0)],
            confidence=0.7,
            tolerance=5.0,
        ),
        "light": LightRecord(
            clock=3.0, name="side light", side="right", confidence=0.6, tolerance=1.0
        ),
        "roll": RollRecord(deg=1.4, confidence=0.7, tolerance=0.5),
        "colour_temperature": ColourTemperatureRecord(
            cct_k=4885.0,
            duv=0.004,
            mired=204.7,
            clusters=[TemperatureClusterRecord(cct_k=4885.0, duv=0.004, share=1.0)],
            confidence=0.6,
            tolerance=15.0,
        ),
        "palette": [
            PaletteRecord(
                hex="#c8c4bc", lab=(79.0, 0.5, 4.6), share=0.6, name="silver", name_distance=4.1
            ),
            PaletteRecord(
                hex="#b0521f", lab=(46.0, 35.0, 46.0), share=0.4, name="sienna", name_distance=4.8
            ),
        ],
        "subject_palette": [
            PaletteRecord(
                hex="#b0521f", lab=(46.0, 35.0, 46.0), share=0.21, name="sienna", name_distance=4.8
            )
        ],
        "ground_palette": [
            PaletteRecord(
                hex="#c8c4bc", lab=(79.0, 0.5, 4.6), share=0.55, name="silver", name_distance=4.1
            )
        ],
        "echo": EchoRecord(
            hex="#b0521f",
            lab=(46.0, 35.0, 46.0),
            name="sienna",
            name_distance=4.8,
            share=0.03,
            places=[EchoPlaceRecord(centroid=(0.7, 0.8), bbox=(0.6, 0.7, 0.8, 0.9), share=0.03)],
            confidence=0.8,
        ),
        "saturation": SaturationRecord(mean_chroma=24.0, median_chroma=11.0, high_chroma=62.0),
        "background": None,
        "surface": GroundRecord(
            hex="#7f7a73", lab=(51.3, 0.8, 4.4), share=0.6, confidence=0.8, tolerance=5.0
        ),
        "tone": ToneRecord(
            mean_lightness=72.0,
            contrast=41.0,
            exposure_ev=1.2,
            clipped_highlights=0.001,
            clipped_shadows=0.0,
            midtone_contrast=18.0,
            midtone_ev=1.0,
            key="high",
            clipping=ClippingRecord(
                highlights=(0.001, 0.0, 0.0),
                shadows=(0.0, 0.0, 0.0),
                regions=[
                    ClippedRegionRecord(kind="highlights", bbox=(0.8, 0.1, 0.9, 0.2), share=0.008)
                ],
            ),
        ),
        "subject_tone": SubjectToneRecord(
            lightness=46.0,
            lightness_difference=-33.0,
            colour_difference=38.0,
            texture=3.2,
            confidence=0.8,
        ),
        "focus": FocusRecord(
            subject_sharpness=0.7, sharpest_at=(0.3, 0.5), subject_in_focus=True, confidence=0.9
        ),
        "reasons": {
            "background": ReasonRecord(code="only_surface", message="There is a surface only.")
        },
        "plan": None,
        "advice": [],
    }
    return MeasuredPictureRecord.model_validate({**fields, **changes})


def mixed_light(rows, kelvins=(5200.0, 3100.0), shares=(0.7, 0.3)):
    """Two or more lights, which fall where the rows of the map say."""
    clusters = [
        TemperatureClusterRecord(cct_k=k, duv=0.004, share=s)
        for k, s in zip(kelvins, shares, strict=True)
    ]
    return ColourTemperatureRecord(
        cct_k=kelvins[0],
        duv=0.004,
        mired=round(1e6 / kelvins[0], 1),
        clusters=clusters,
        light_map=rows,
        confidence=0.6,
        tolerance=15.0,
    )


def advice():
    return [
        AdviceRecord(
            kind="crop",
            amount=0.72,
            unit="fraction of frame",
            crop=(0.0, 0.1, 0.8, 1.0),
            reaches=["subject", "negative_space"],
        ),
        AdviceRecord(kind="rotate", amount=1.4, unit="deg", crop=None, reaches=[]),
        AdviceRecord(
            kind="colour temperature",
            amount=-38.0,
            unit="mired",
            crop=None,
            reaches=["colour_temperature"],
            rejoins=["colour_temperature"],
        ),
        AdviceRecord(kind="exposure", amount=0.4, unit="EV", crop=None, reaches=[]),
    ]


def crop(whole, part, box=(0.1, 0.0, 0.9, 0.6), crop_box=(0.0, 0.0, 1.0, 1.0)):
    """A picture and its crop."""
    return CropRecord(whole=whole, crop=part, box=box, crop_box=crop_box)


def series(files):
    mired = [*(150.0 + 2 * place for place in range(len(files) - 1)), 210.0]
    return SeriesRecord(
        quantities=[
            SeriesQuantityRecord(
                quantity="colour_temperature",
                unit="mired",
                centre=153.0,
                spread=3.0,
                values=list(zip(files, mired, strict=True)),
                outliers=[
                    OutlierRecord(
                        file=files[-1],
                        value=210.0,
                        deviation=57.0,
                    )
                ],
            ),
            SeriesQuantityRecord(
                quantity="light",
                unit="h",
                centre=10.5,
                spread=0.7,
                values=[(file, 9.5 + 0.5 * place) for place, file in enumerate(files)],
                outliers=[],
            ),
            SeriesQuantityRecord(
                quantity="roll", unit="deg", centre=None, spread=None, values=[], outliers=[]
            ),
        ],
        colour_temperature_clusters=[
            SetTemperatureClusterRecord(cct_k=6579.0, mired=152.0, files=list(files[:-1])),
            SetTemperatureClusterRecord(cct_k=4762.0, mired=210.0, files=list(files[-1:])),
        ],
        duplicates=[(files[0], files[1])] if len(files) > 1 else [],
        alike=[AlikeRecord(files=list(files[:2]), same_file=False)] if len(files) > 1 else [],
        crops=[crop(files[2], files[3])] if len(files) > 3 else [],
        groups=[GroupRecord(files=list(files[:2]), surface="#6f6a63")],
    )


def audit(*, with_plan=True, refused=True, **changes):
    """Four pictures; with a plan the first two are planned and one shot has no picture.

    The series and the findings follow the pictures, also where these are replaced.
    """
    plan = PicturePlanRecord(shot="kettle & <clementines>", items=items()) if with_plan else None
    images = [
        measured(
            NAMES[0],
            plan=plan,
            advice=advice() if with_plan else [],
            colour_temperature=mixed_light(["00.1"] * 3, (4885.0, 3100.0)),
        ),
        measured(NAMES[1], plan=plan),
        measured(NAMES[2]),
        measured(NAMES[3]),
    ]
    if refused:
        reason = ReasonRecord(code="empty_file", message="The file is empty.")
        images.append(RefusedPictureRecord(file="e/empty.jpg", status="refused", reason=reason))
    shots = [
        ShotRecord(name="kettle & <clementines>", files=list(NAMES[:2]), missing=False),
        ShotRecord(name="tea from above", files=[], missing=True),
    ]
    images = changes.pop("images", images)
    files = [image.file for image in images if image.status == "measured"]
    nothing = SeriesRecord(quantities=[], colour_temperature_clusters=[], duplicates=[], groups=[])
    fields = {
        "schema_version": 2,
        "auditor_version": "0.1.0",
        "created": "2026-11-25T09:36:00+00:00",
        "libraries": {},
        "folder": "/home/somebody/Client Name/teahouse",
        "plan": "/home/somebody/winter.toml" if with_plan else None,
        "title": None,
        "images": images,
        "shots": shots if with_plan else [],
        "series": series(files) if files else nothing,
        "delivery": None,
        "findings": findings(images, with_plan=with_plan),
    }
    return with_messages(with_attention(AuditRecord.model_validate({**fields, **changes})))


def set_rules():
    """A rule of each verdict, and one about neighbours."""
    return [
        SetRuleRecord(rule="pictures", asked="4", verdict="met", files=list(NAMES)),
        SetRuleRecord(
            rule="overhead",
            asked="at least 2",
            verdict="missed",
            files=[NAMES[3]],
            open_files=[NAMES[0]],
        ),
        SetRuleRecord(rule="hero", asked="1", verdict="undecided", files=[], open_files=[NAMES[2]]),
        SetRuleRecord(
            rule="neighbours",
            asked="different angles",
            verdict="missed",
            files=list(NAMES[:2]),
            pairs=[(NAMES[0], NAMES[1])],
        ),
    ]


def richer_audit():
    """`audit` with rules for the set, a mirrored composition and misses on purpose."""
    record = audit(set_rules=set_rules())
    first, *others = record.images
    meant = [
        one.model_copy(update={"on_purpose": "the window needed it"})
        if one.quantity in {"camera_elevation", "surface"}
        else one
        for one in first.plan.items
    ]
    plan = first.plan.model_copy(update={"items": meant, "mirrored": True})
    images = [first.model_copy(update={"plan": plan}), *others]
    return with_messages(with_attention(record.model_copy(update={"images": images})))


def findings(images, *, with_plan):
    """What needs attention in `audit`: the location, the refused file, the plan, the outlier."""
    files = [image.file for image in images if image.status == "measured"]
    found = [
        *(finding("location", file) for file in files[-1:]),
        *(finding("refused", image.file) for image in images if image.status == "refused"),
        *([finding("missing_shot", shot="tea from above")] if with_plan else []),
        *(
            finding(
                "missed",
                image.file,
                quantity=item.quantity,
                element=item.element,
                kind=item.kind,
                value=item.measured,
                expected=item.planned,
            )
            for image in images
            if image.status == "measured" and image.plan is not None
            for item in image.plan.items
            if item.verdict == "missed"
        ),
        *(
            finding("set_outlier", file, quantity="colour_temperature", difference=57.0)
            for file in files[-1:]
        ),
        *([finding("nearly_the_same", *files[:2])] if len(files) > 1 else []),
        *([finding("cropped", files[3], files[2])] if len(files) > 3 else []),
    ]
    return [one.model_copy(update={"rank": rank}) for rank, one in enumerate(found, start=1)]


def finding(code, *files, **fields):
    """One finding, without its sentence."""
    return FindingRecord(code=code, rank=1, files=list(files), **fields)


def drawn_picture(seed=0, width=600, height=400) -> NDArray[np.uint8]:
    """A pale table with a dark round dish at (0.25, 0.5)."""
    noise = np.random.default_rng(seed).integers(0, 8, (height, width, 1), dtype=np.uint8)
    pixels = np.full((height, width, 3), (200, 196, 188), dtype=np.uint8) + noise
    pixels[disk((height * 0.5, width * 0.25), height * 0.22, shape=(height, width))] = (
        176,
        82,
        31,
    )
    return pixels


def make_preview(pixels, path: Path) -> Preview:
    """Make and write a picture's two previews."""
    return write_preview(encode_preview(pixels), path)


def make_previews(record: AuditRecord, directory: Path) -> dict[str, Preview]:
    """Previews of all measured pictures of a record, in its report's folder."""
    return {
        image.file: make_preview(
            drawn_picture(number), directory / PICTURES_FOLDER / preview_name(number, image.file)
        )
        for number, image in enumerate(record.images, start=1)
        if isinstance(image, MeasuredPictureRecord)
    }
