"""Each test runs in a process of its own: here the parts are long since loaded."""

import subprocess
import sys

import pytest

from auditor.numpy_parts import PARTS


def answer_of(code):
    done = subprocess.run(
        [sys.executable, "-W", "error", "-c", code], capture_output=True, text=True, check=True
    )
    return done.stdout.strip()


PREPARED = "from auditor.numpy_parts import load_when_used; load_when_used(); "


def test_scipy_then_loads_neither_the_compiler_nor_the_test_tools():
    inside = "{'numpy.f2py.f2py2e', 'numpy.testing._private', 'numpy.ma.core'}"
    asked = f"import sys, scipy.ndimage; print(len({inside} & set(sys.modules)))"
    assert answer_of(asked) == "3"  # else the module has no purpose any more
    assert answer_of(PREPARED + asked) == "0"


@pytest.mark.parametrize("import_first", ["", "import scipy.ndimage; "])
@pytest.mark.parametrize(
    ("use", "expected"),
    [
        ("import numpy as np; print(np.ma.masked_array([1, 2], [True, False]).sum())", "2"),
        ("import numpy as np; print(np.random.default_rng(1).integers(5, 6))", "5"),
        ("from numpy.polynomial import Polynomial; print(Polynomial([1, 2])(3))", "7.0"),
        ("from numpy.testing import assert_array_equal as same; print(same([1], [1]))", "None"),
        ("import numpy.f2py; print(callable(numpy.f2py.get_include))", "True"),
        ("from numpy import ctypeslib; print(ctypeslib.as_array((1, 2)).sum())", "3"),
        ("import numpy.testing as t; t.assert_equal(1, 1); print(t.__name__)", "numpy.testing"),
    ],
)
def test_parts_work_when_they_are_used(import_first, use, expected):
    assert answer_of(PREPARED + import_first + use) == expected


def test_every_part_is_one_that_numpy_has_and_does_not_load_itself():
    asked = f"import sys, numpy; print([p for p in {PARTS} if 'numpy.' + p in sys.modules])"
    assert answer_of(asked) == "[]"


def test_a_loaded_part_stays_as_it_is():
    asked = "import numpy.ma as before; " + PREPARED + "import numpy; print(numpy.ma is before)"
    assert answer_of(asked) == "True"
