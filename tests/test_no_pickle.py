"""Nothing in the package reads a file in a way that could run what is in it."""

import ast
from pathlib import Path

import pytest

AUDITOR = Path(__file__).parent.parent / "auditor"
MODULES = {"pickle", "cPickle", "cloudpickle", "dill", "joblib", "marshal", "shelve", "yaml"}
CALLS = {"eval", "exec", "compile", "torch.load", "yaml.load", "pickle.load", "pickle.loads"}
LOADERS = {"np.load", "numpy.load"}


def dangers(tree):
    """What in a module could run what it reads, as lines of code."""
    for node in ast.walk(tree):
        if isinstance(node, ast.Import):
            names = [alias.name for alias in node.names]
        elif isinstance(node, ast.ImportFrom):
            names = [node.module or ""]
            if node.module == "numpy" and any(alias.name == "load" for alias in node.names):
                yield ast.unparse(node)
        elif isinstance(node, ast.Call):
            names = []
            if dangerous_call(node):
                yield ast.unparse(node)
        else:
            continue
        if any(name.partition(".")[0] in MODULES for name in names):
            yield ast.unparse(node)


def dangerous_call(call):
    """Of arrays with objects too, if it is not refused in so many words."""
    name = ast.unparse(call.func)
    if name in CALLS:  # a text that stands in the code comes from nobody else
        return not (call.args and isinstance(call.args[0], ast.Constant))
    refused = [one for one in call.keywords if one.arg == "allow_pickle"]
    if name in LOADERS:
        return [ast.unparse(one.value) for one in refused] != ["False"]
    return any(ast.unparse(one.value) != "False" for one in refused)


def modules():
    return [path for path in sorted(AUDITOR.rglob("*.py")) if "training" not in path.parts]


def test_no_module_reads_what_could_run():
    found = {
        path.relative_to(AUDITOR).as_posix(): lines
        for path in modules()
        if (lines := list(dangers(ast.parse(path.read_text(encoding="utf-8")))))
    }
    assert found == {}


def test_weights_are_read_at_all():
    read = [path for path in modules() if "np.load(" in path.read_text(encoding="utf-8")]
    assert len(read) == len(list(AUDITOR.rglob("*.npz")))


@pytest.mark.parametrize(
    "code",
    [
        "import pickle",
        "import os, marshal",
        "from shelve import open",
        "import yaml.loader",
        "from numpy import load",
        "np.load(file)",
        "np.load(file, allow_pickle=True)",
        "np.load(file, allow_pickle=choice)",
        "numpy.load(file)",
        "NpzFile(file, allow_pickle=True)",
        "torch.load(file)",
        "def f(text):\n    return eval(text)",
        "exec(text)",
        "eval(f'{text}')",
    ],
)
def test_a_danger_would_be_found(code):
    assert list(dangers(ast.parse(code)))


@pytest.mark.parametrize(
    "code",
    [
        "np.load(file, allow_pickle=False)",
        "network.eval()",
        "eval('None')",
        "json.load(file)",
        "re.compile(text)",
        "import re",
    ],
)
def test_what_is_safe_is_not_found(code):
    assert not list(dangers(ast.parse(code)))
