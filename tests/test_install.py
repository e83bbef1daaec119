"""The library as a package: what it declares, and that it answers where nothing else of the project is."""

import json
import os
import re
import subprocess
import sys
import tomllib
from pathlib import Path

import pytest

import springpass

ROOT = Path(__file__).resolve().parents[1]
PROJECT = tomllib.loads((ROOT / "lib/pyproject.toml").read_text(encoding="utf-8"))["project"]
QUESTIONS = """
import json
from springpass import boring_bar, fits, job, part
from springpass.core import tables
print(json.dumps({
    "lower": fits.limits(20, "h6").lower,
    "verdict": boring_bar.check_stickout().verdict,
    "operations": len(job.plan(part.demo("drive_sleeve")).operations),
    "tables": str(tables.folder()),
}))
"""


def ranges(lines: list[str]) -> dict[str, str]:
    """Each package's range, from requirement lines."""
    found = (re.match(r"([\w-]+)([<>=].*)", line) for line in lines)
    return {match[1].lower(): match[2].strip() for match in found if match}


def test_the_package_says_who_it_is():
    assert {"readme", "license", "keywords", "classifiers", "requires-python"} <= set(PROJECT)
    assert f"## {springpass.__version__}\n" in (ROOT / "lib/CHANGELOG.md").read_text(encoding="utf-8")
    assert (ROOT / "lib" / PROJECT["readme"]).exists()


def test_a_package_has_one_range_wherever_it_is_named():
    declared = ranges(PROJECT["dependencies"])
    listed = ranges((ROOT / "requirements.txt").read_text(encoding="utf-8").splitlines())
    assert {name: span for name, span in listed.items() if name in declared} == {
        name: span for name, span in declared.items() if name in listed}
    assert all(">=" in span and "<" in span.replace(">=", "") for span in [*declared.values(), *listed.values()])


def test_it_installs_into_an_empty_environment_and_answers_from_another_folder(tmp_path):
    """Its tables and its dependencies come with it: nothing of this project, and nothing of this environment."""
    env = {name: value for name, value in os.environ.items()
           if name not in ("PYTHONPATH", "PYTHONHOME", "SPRINGPASS_DATA", "VIRTUAL_ENV")}
    subprocess.run([sys.executable, "-m", "venv", tmp_path / "empty"], check=True, env=env)
    python = tmp_path / "empty" / ("Scripts/python.exe" if sys.platform == "win32" else "bin/python")
    installed = subprocess.run([python, "-m", "pip", "install", "-q", "--disable-pip-version-check", ROOT / "lib"],
                               cwd=tmp_path, env=env, capture_output=True, encoding="utf-8")
    if installed.returncode and not os.environ.get("CI") and "Could not find a version" in installed.stderr:
        pytest.skip("no package index to be reached from here")
    assert installed.returncode == 0, installed.stderr
    done = subprocess.run([python, "-c", QUESTIONS], cwd=tmp_path, env=env, capture_output=True, text=True,
                          encoding="utf-8")
    assert done.returncode == 0, done.stderr
    said = json.loads(done.stdout)
    assert said["lower"] == -0.013
    assert said["verdict"] == "at the edge"
    assert said["operations"] >= 10
    assert Path(said["tables"]).is_relative_to(tmp_path / "empty")
