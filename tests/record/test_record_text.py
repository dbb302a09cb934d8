"""The record as text: numbers and layout as Python's own writer has them."""

import json

import pytest

from auditor.record.json_file import record_text
from auditor.safe_text import for_json
from tests.records import audit

SMALL = (1e-5, 1.2345e-5, 0.00012345, -3e-07, 1e16, 123456.0, 0.0, 1e-300)


@pytest.mark.parametrize("number", SMALL)
def test_it_is_what_the_standard_library_writes(number):
    record = audit()
    quantity = record.series.quantities[0].model_copy(
        update={"centre": number, "values": [("1e-5, \u00e9\u2028.jpg", number)]}
    )
    series = record.series.model_copy(update={"quantities": [quantity]})
    record = record.model_copy(update={"series": series, "title": 'a "title" 0.00001'})
    plain = json.dumps(record.model_dump(mode="json"), indent=1, ensure_ascii=False) + "\n"
    assert record_text(record) == for_json(plain)
    assert json.loads(record_text(record)) == json.loads(plain)
