"""The house rules that a program can check."""

import subprocess
import sys
from pathlib import Path

ROOT = Path(__file__).parent.parent


def run(*command: str) -> None:
    done = subprocess.run(command, cwd=ROOT, capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stdout + done.stderr


def tool(name: str) -> str:
    return str(Path(sys.executable).parent / name)


def test_data_flows_one_way():
    run(tool("lint-imports"), "--no-cache")


def test_types_are_strict():
    run(sys.executable, "-m", "mypy")


def test_lint_is_clean():
    run(sys.executable, "-m", "ruff", "check", "--no-cache", ".")


def test_format_is_the_formatters():
    run(sys.executable, "-m", "ruff", "format", "--no-cache", "--check", ".")


def test_no_module_is_longer_than_300_lines():
    long = {
        str(path.relative_to(ROOT)): length
        for path in sorted((ROOT / "auditor").rglob("*.py"))
        if (length := len(path.read_text(encoding="utf-8").splitlines())) > 300
    }
    assert long == {}
