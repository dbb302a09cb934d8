"""No picture is measured for which a decoder reports an error in its pixels."""

import pytest

from auditor.errors import UnreadablePictureError
from auditor.reasons import RefusalReason
from tests.photograph.damaged_files import damaged_files, decoder_reports_an_error
from tests.photograph.pictures import read

# The decoder of AVIF seldom reports an error in what is damaged, so that to find some takes long.
N_OF_EACH = {"PNG": 100, "TIFF": 100, "WEBP": 100, "AVIF": 15}
# What a person is told: never that the picture is too large, or that its kind is not read.
_DAMAGE = {RefusalReason.DAMAGED, RefusalReason.TRUNCATED}


def _outcome(folder, data):
    try:
        read(folder, data, "picture")
    except UnreadablePictureError as error:
        return error.code
    return "read"


@pytest.mark.parametrize("kind", N_OF_EACH)
def test_none_is_read_of_many_with_an_error(tmp_path, kind, capfd):
    files = list(damaged_files(kind, N_OF_EACH[kind], seed=20))
    assert len(files) == N_OF_EACH[kind]
    assert all(decoder_reports_an_error(data) for data in files[::10])
    capfd.readouterr()
    outcomes = {_outcome(tmp_path, data) for data in files}
    assert outcomes <= _DAMAGE
    assert capfd.readouterr().err == ""
