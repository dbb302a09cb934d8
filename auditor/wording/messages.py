"""Put the sentences into a record that holds the data alone."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from auditor.progress_calls import Progress, silent
from auditor.record.audit_record import AuditRecord
from auditor.record.picture_record import (
    MeasuredPictureRecord,
    PictureRecord,
    RefusedPictureRecord,
)
from auditor.record.plan_records import ItemRecord
from auditor.record.series_records import (
    CameraSettingRecord,
    SeriesQuantityRecord,
    SeriesRecord,
    SetTemperatureClusterRecord,
)
from auditor.safe_text import one_line
from auditor.wording.advice import advice_words
from auditor.wording.attention import with_to_do
from auditor.wording.camera_settings import setting_outlier_words
from auditor.wording.critique import critique
from auditor.wording.delivery import delivery_message
from auditor.wording.findings import finding_messages
from auditor.wording.headline import headline
from auditor.wording.kinds import kind_words
from auditor.wording.matches import match_messages
from auditor.wording.misses import miss_sentence
from auditor.wording.on_purpose import MIRRORED, reason_sentence
from auditor.wording.plan_items import why_undecided
from auditor.wording.portfolio import with_portfolio_messages
from auditor.wording.set_outliers import farthest_words, outlier_words
from auditor.wording.set_rules import rule_message
from auditor.wording.set_summary import crop_words, group_words
from auditor.wording.temperature_groups import group_difference_words, rest_words


def with_messages(record: AuditRecord, progress: Progress = silent) -> AuditRecord:
    """The same record with the sentences of its findings, outliers, groups, items and advice.

    Each is one line, whatever stands in the names of files, shots and things that it has.

    Parameters
    ----------
    record : AuditRecord
        Whatever its messages are, they are made anew from the data.
    progress : callable
        Called after each picture.
    """
    findings = [
        finding.model_copy(update={"message": one_line(message)})
        for finding, message in zip(record.findings, finding_messages(record), strict=True)
    ]
    numbers = {picture.file: number for number, picture in enumerate(record.images, start=1)}
    assumed_of = {shot.name: shot.assumed for shot in record.shots}
    images = []
    for picture in record.images:
        images.append(_picture(picture, assumed_of))
        progress(len(images), len(record.images), picture.file)
    worded = record.model_copy(
        update={
            "images": images,
            "series": _series(record.series),
            "findings": findings,
            "set_rules": [
                rule.model_copy(update={"message": one_line(rule_message(rule))})
                for rule in record.set_rules
            ],
            "headline": [one_line(sentence) for sentence in headline(record)],
            "delivery": None
            if record.delivery is None
            else [
                one.model_copy(update={"message": one_line(delivery_message(one))})
                for one in record.delivery
            ],
            "kind": None
            if record.kind is None
            else record.kind.model_copy(update={"message": kind_words(record.kind)}),
            "portfolio": None
            if record.portfolio is None
            else with_portfolio_messages(record.portfolio, numbers),
        }
    )
    return with_to_do(worded)


def _picture(picture: PictureRecord, assumed_of: Mapping[str, Sequence[str]]) -> PictureRecord:
    if isinstance(picture, RefusedPictureRecord):
        return picture
    advice = [one.model_copy(update={"message": advice_words(one)}) for one in picture.advice]
    picture = picture.model_copy(update=_reading(picture))
    if picture.plan is None:
        return picture.model_copy(update={"advice": advice})
    items = [
        item.model_copy(update={"message": one_line(_item_message(item, picture))})
        for item in picture.plan.items
    ]
    said = MIRRORED if picture.plan.mirrored else ""
    update = {"items": items, "message": said, **match_messages(picture, assumed_of)}
    plan = picture.plan.model_copy(update=update)
    return picture.model_copy(update={"advice": advice, "plan": plan})


def _reading(picture: MeasuredPictureRecord) -> dict[str, list[str]]:
    """What is seen in the picture, and the figures behind each sentence."""
    said = critique(picture)
    return {
        "reading": [one.sentence for one in said],
        "reading_figures": [one.figures for one in said],
    }


def _item_message(item: ItemRecord, picture: MeasuredPictureRecord) -> str:
    """What is not as planned and why that was meant, or why that could not be decided."""
    if item.verdict == "missed":
        return f"{miss_sentence(item, picture)} {reason_sentence(item)}".strip()
    return reason_sentence(item) or why_undecided(item, picture)


def _series(series: SeriesRecord) -> SeriesRecord:
    return series.model_copy(
        update={
            "quantities": [_quantity(quantity) for quantity in series.quantities],
            "colour_temperature_clusters": _clusters(series),
            "groups": [
                group.model_copy(update={"shared": group_words(group)}) for group in series.groups
            ],
            "crops": [
                crop.model_copy(update={"message": crop_words(crop)}) for crop in series.crops
            ],
            "camera_settings": [_setting(setting) for setting in series.camera_settings],
        }
    )


def _quantity(quantity: SeriesQuantityRecord) -> SeriesQuantityRecord:
    outliers = [
        outlier.model_copy(update={"message": outlier_words(outlier, quantity)})
        for outlier in quantity.outliers
    ]
    farthest = quantity.farthest
    if farthest is not None:
        farthest = farthest.model_copy(update={"message": farthest_words(farthest, quantity)})
    return quantity.model_copy(update={"outliers": outliers, "farthest": farthest})


def _clusters(series: SeriesRecord) -> list[SetTemperatureClusterRecord]:
    """The groups with what is said of them; an outlier alone has its own sentence."""
    if not series.colour_temperature_clusters:
        return []
    most, *others = series.colour_temperature_clusters
    alone = [
        [outlier.file]
        for quantity in series.quantities
        for outlier in quantity.outliers
        if quantity.quantity == "colour_temperature"
    ]
    rest = rest_words(len(most.files), is_only_rest=len(others) == 1)
    return [
        most,
        *(
            cluster.model_copy(update={"message": _cluster_message(cluster, rest)})
            if cluster.files not in alone
            else cluster
            for cluster in others
        ),
    ]


def _cluster_message(cluster: SetTemperatureClusterRecord, rest: str) -> str:
    return group_difference_words(-cluster.shift_mired, rest, len(cluster.files))


def _setting(setting: CameraSettingRecord) -> CameraSettingRecord:
    outliers = [
        outlier.model_copy(update={"message": setting_outlier_words(outlier, setting)})
        for outlier in setting.outliers
    ]
    return setting.model_copy(update={"outliers": outliers})
