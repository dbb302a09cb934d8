"""What the README says can be done, can be done."""

import re
import tomllib

import pytest

from auditor.plan.reading import read_plan
from tests.conftest import README, ROOT


def test_the_demo_command_does_what_it_says(demo):
    assert f"`{demo.name}/index.html`" in README
    assert (demo / "index.html").is_file()


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
