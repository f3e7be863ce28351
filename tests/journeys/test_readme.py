"""What the README shows is what the commands print."""

from __future__ import annotations

import re
import shlex
import shutil
from pathlib import Path

import pytest

from configurator.render.formats import EXAMPLE
from tests.journeys.running import run

ROOT = Path(__file__).parents[2]
README = (ROOT / "README.md").read_text(encoding="utf-8")
SHOWN = re.findall(r"```console\n\$ configurator (.*)\n([\s\S]*?)\n```", README)


def test_the_readme_shows_something() -> None:
    assert len(SHOWN) == 17


@pytest.mark.parametrize(("command", "shown"), SHOWN, ids=[command for command, _ in SHOWN])
def test_the_readme_shows_what_is_printed(command: str, shown: str, tmp_path: Path) -> None:
    """Each stretch between two `…` is in the output as it stands, in order."""
    for folder in (Path("demo_catalog"), EXAMPLE.relative_to(ROOT)):
        shutil.copytree(ROOT / folder, tmp_path / folder)
    example = re.search(r"Of this `demand.yaml`\n\n```yaml\n([\s\S]*?)```", README)
    assert example is not None
    (tmp_path / "demand.yaml").write_text(example[1], encoding="utf-8")
    done = run(*shlex.split(command), cwd=tmp_path)
    printed = done.stdout + done.stderr
    at = 0
    for stretch in filter(None, (part.strip("\n") for part in shown.split("…"))):
        assert stretch in printed[at:]
        at = printed.index(stretch, at)
