"""How long steps tell how far they are."""

from auditor.progress_calls import part_of
from auditor.record.filling import make_record
from auditor.series.series import describe_set
from auditor.wording.messages import with_messages
from tests.findings.audited import HEADING, audited
from tests.series.made_pictures import of_many_makers


def test_a_part_of_a_step_only_rises():
    told = []
    tell = part_of(lambda *call: told.append(call), 100, 0.5, 0.75)
    for n_done in (0, 1, 1, 20, 10, 40):
        tell(n_done, 40, "")
    assert told == [(51, 100, ""), (62, 100, ""), (75, 100, "")]


def test_comparing_tells_how_far_it_is_at_most_once_a_picture():
    told = []
    describe_set(of_many_makers(40), lambda *call: told.append(call[:2]))
    done = [n_done for n_done, _ in told]
    assert done == sorted(set(done))
    assert 10 < len(done) <= 40
    assert {total for _, total in told} == {40}
    assert done[-1] == 40


def test_record_and_sentences_tell_each_picture():
    told = []
    record = make_record(HEADING, audited(n=5), [], lambda *call: told.append(call))
    assert told == [(n, 5, f"{n - 1}.jpg") for n in range(1, 6)]
    again = []
    with_messages(record, lambda *call: again.append(call))
    assert again == told
