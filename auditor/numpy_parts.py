"""Parts of numpy that SciPy would load at start, and that are loaded when they are first used.

SciPy copies every name of numpy into a module of its own (``scipy._lib.array_api_compat``), and
so loads numpy's compiler of Fortran and its test tools: a third of the time that a measuring
process takes to start. No setting of SciPy avoids it.
"""

import sys
from importlib.util import LazyLoader, find_spec, module_from_spec

import numpy as np

# All that numpy itself leaves out until it is used, and that takes more than a millisecond.
PARTS = ("ctypeslib", "f2py", "ma", "polynomial", "random", "testing")


def load_when_used() -> None:
    """Put a module that loads itself in place of each part that is not loaded yet.

    The standard library's `LazyLoader`: the first use of any name of the part loads it, so that
    nothing changes but the time. It must be called before anything of SciPy is imported.
    """
    for part in PARTS:
        name = f"numpy.{part}"
        spec = None if name in sys.modules else find_spec(name)
        if spec is None or spec.loader is None:
            continue
        spec.loader = LazyLoader(spec.loader)
        module = module_from_spec(spec)
        sys.modules[name] = module
        spec.loader.exec_module(module)
        setattr(np, part, module)
