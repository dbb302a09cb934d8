"""Put the sentences into a record that holds the data alone."""

from __future__ import annotations

from auditor.record.audit_record import AuditRecord
from auditor.record.series_records import (
    CameraSettingRecord,
    SeriesQuantityRecord,
    SeriesRecord,
)
from auditor.wording.camera_settings import setting_outlier_words
from auditor.wording.findings import finding_messages
from auditor.wording.set_outliers import outlier_words
from auditor.wording.set_summary import group_words


def with_messages(record: AuditRecord) -> AuditRecord:
    """The same record with the sentence of each finding, outlier and group.

    Parameters
    ----------
    record : AuditRecord
        Whatever its messages are, they are made anew from the data.
    """
    worded = record.model_copy(update={"series": _series(record.series)})
    findings = [
        finding.model_copy(update={"message": message})
        for finding, message in zip(record.findings, finding_messages(record), strict=True)
    ]
    return worded.model_copy(update={"findings": findings})


def _series(series: SeriesRecord) -> SeriesRecord:
    return series.model_copy(
        update={
            "quantities": [_quantity(quantity) for quantity in series.quantities],
            "groups": [
                group.model_copy(update={"shared": group_words(group)}) for group in series.groups
            ],
            "camera_settings": [_setting(setting) for setting in series.camera_settings],
        }
    )


def _quantity(quantity: SeriesQuantityRecord) -> SeriesQuantityRecord:
    outliers = [
        outlier.model_copy(update={"message": outlier_words(outlier, quantity)})
        for outlier in quantity.outliers
    ]
    return quantity.model_copy(update={"outliers": outliers})


def _setting(setting: CameraSettingRecord) -> CameraSettingRecord:
    outliers = [
        outlier.model_copy(update={"message": setting_outlier_words(outlier, setting)})
        for outlier in setting.outliers
    ]
    return setting.model_copy(update={"outliers": outliers})
