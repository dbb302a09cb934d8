"""What the README says can be done, can be done."""

import re
import tomllib

import pytest

from auditor.plan.reading import read_plan
from tests.conftest import ROOT

README = (ROOT / "README.md").read_text(encoding="utf-8")


def test_the_demo_command_does_what_it_says(run_auditor, tmp_path):
    command = re.search(r"<!-- demo command -->\n```sh\n(.*?)\n```", README, re.DOTALL)
    assert command is not None
    words = command[1].split(".venv/bin/auditor ")[1].split()
    (tmp_path / "fixtures").symlink_to(ROOT / "fixtures", target_is_directory=True)
    done = run_auditor(*words)
    assert done.returncode == 0, done.stderr
    assert (tmp_path / words[words.index("--out") + 1] / "index.html").is_file()


def test_the_plan_by_example_is_a_plan(tmp_path):
    text = re.search(r"```toml\n(.*?)```", README, re.DOTALL)
    assert text is not None
    (tmp_path / "plan.toml").write_text(text[1], encoding="utf-8")
    plan = read_plan(tmp_path / "plan.toml")
    assert plan.title == tomllib.loads(text[1])["title"]
    assert [shot.name for shot in plan.shots] == ["kettle and clementines"]


@pytest.mark.parametrize(
    "name", ["DEVELOPERS.md", "CHANGELOG.md", "LICENSE", "reports/teahouse.png"]
)
def test_what_is_pointed_at_is_there(name):
    assert (ROOT / name).is_file()
