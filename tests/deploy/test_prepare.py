"""The scripts say what is missing, install once, and mind no space in a folder's name.

What they install is tried by running them; here a stand-in plays Python and notes what is asked of
it, so that nothing is fetched.
"""

from __future__ import annotations

import os
import shutil
import subprocess
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]
TOOLS = ("sh", "env", "cat", "cmp", "dirname", "rm", "mkdir", "cp", "chmod")

FAKE_PYTHON = """#!/bin/sh
case "$*" in
    --version) echo "Python {version}" ;;
    *version_info*) exit {too_old} ;;
    *ensurepip*) exit {no_venv} ;;
    *"-m venv"*)
        for folder; do :; done
        rm -rf "$folder"
        mkdir -p "$folder/bin"
        cp "$0" "$folder/bin/python" ;;
    *"-m pip"*)
        echo "$*" >>"{log}"
        exit {no_network} ;;
    *"-m bot"*) echo "bot: $*" ;;
esac
"""


class Machine:
    """A clone in a folder with a space in its name, and a machine with one Python."""

    def __init__(self, folder: Path, **python: object) -> None:
        self.clone = folder / "my jars" / "jarside"
        self.log = folder / "pip.log"
        self.programs = folder / "bin"
        self.programs.mkdir()
        for tool in TOOLS:
            found = shutil.which(tool)
            assert found is not None
            (self.programs / tool).symlink_to(found)
        told = {"version": "3.12.1", "too_old": 0, "no_venv": 0, "no_network": 0, **python}
        self.write_python("python3", told)
        shutil.copytree(ROOT / "deploy", self.clone / "deploy")
        shutil.copy(ROOT / "pyproject.toml", self.clone)

    def write_python(self, name: str, told: dict[str, object]) -> None:
        script = self.programs / name
        script.write_text(FAKE_PYTHON.format(**told, log=self.log), encoding="utf-8")
        script.chmod(0o755)

    def run(self, script: str, *args: str) -> subprocess.CompletedProcess[str]:
        environ = {name: value for name, value in os.environ.items() if name != "PYTHON"}
        return subprocess.run(
            [str(self.clone / "deploy" / script), *args],
            capture_output=True,
            text=True,
            env={**environ, "PATH": str(self.programs)},
            cwd="/",
            timeout=30,
            check=False,
        )

    @property
    def installs(self) -> list[str]:
        return self.log.read_text(encoding="utf-8").splitlines() if self.log.exists() else []


def test_the_first_start_installs_and_the_second_does_not(tmp_path: Path) -> None:
    machine = Machine(tmp_path)

    first = machine.run("start")
    second = machine.run("start")

    assert first.returncode == second.returncode == 0, first.stderr
    assert "preparing .venv" in first.stderr
    assert second.stderr == ""
    assert len(machine.installs) == 2
    assert "setuptools" in machine.installs[0]
    assert "--editable" in machine.installs[1]
    assert all("--constraint deploy/constraints.txt" in line for line in machine.installs)


def test_what_follows_the_script_goes_to_the_talk(tmp_path: Path) -> None:
    done = Machine(tmp_path).run("start", "--file", "my jar.db")

    assert done.stdout == "bot: -m bot talk --file my jar.db\n"


def test_what_the_checks_need_is_enough_to_start(tmp_path: Path) -> None:
    machine = Machine(tmp_path)
    machine.run("prepare", "test")
    before = len(machine.installs)

    machine.run("start")

    assert "jarside[test]" in machine.installs[-1]
    assert len(machine.installs) == before


@pytest.mark.parametrize("changed", ["pyproject.toml", "deploy/constraints.txt"])
def test_a_new_pin_is_installed(tmp_path: Path, changed: str) -> None:
    machine = Machine(tmp_path)
    machine.run("prepare")
    before = len(machine.installs)

    with (machine.clone / changed).open("a", encoding="utf-8") as file:
        file.write("\n# another\n")
    machine.run("prepare")

    assert len(machine.installs) == 2 * before


def test_a_folder_that_was_moved_is_prepared_anew(tmp_path: Path) -> None:
    machine = Machine(tmp_path)
    machine.run("prepare")
    before = len(machine.installs)

    machine.clone = machine.clone.rename(tmp_path / "elsewhere")
    machine.run("prepare")

    assert len(machine.installs) == 2 * before
    assert (machine.clone / ".venv" / "made-in").read_text().strip() == str(machine.clone)


def test_an_install_that_failed_is_tried_again(tmp_path: Path) -> None:
    machine = Machine(tmp_path, no_network=1)

    first = machine.run("start")
    second = machine.run("start")

    assert first.returncode == second.returncode == 1
    assert "did not go through" in first.stderr
    assert first.stdout == second.stdout == ""
    assert len(machine.installs) == 2


def test_a_venv_that_somebody_made_by_hand_is_kept(tmp_path: Path) -> None:
    machine = Machine(tmp_path)
    machine.run("prepare")
    mine = machine.clone / ".venv" / "mine"
    mine.write_text("", encoding="utf-8")
    (machine.clone / ".venv" / "made-in").unlink()
    (machine.clone / ".venv" / "prepared-run").unlink()

    machine.run("prepare")

    assert mine.exists()


def test_an_old_python_is_named_with_what_is_wanted(tmp_path: Path) -> None:
    done = Machine(tmp_path, version="3.9.2", too_old=1).run("start")

    assert done.returncode == 1
    assert "Python 3.11 or later is needed" in done.stderr
    assert "Python 3.9.2" in done.stderr


def test_a_newer_python_beside_an_old_one_is_found(tmp_path: Path) -> None:
    machine = Machine(tmp_path, version="3.9.2", too_old=1)
    machine.write_python(
        "python3.13", {"version": "3.13.0", "too_old": 0, "no_venv": 0, "no_network": 0}
    )

    assert machine.run("start").returncode == 0


def test_no_python_at_all_is_said_plainly(tmp_path: Path) -> None:
    machine = Machine(tmp_path)
    (machine.programs / "python3").unlink()

    done = machine.run("start")

    assert done.returncode == 1
    assert "no Python" in done.stderr
    assert len(done.stderr.splitlines()) == 1


def test_a_python_without_venv_is_said_plainly(tmp_path: Path) -> None:
    done = Machine(tmp_path, no_venv=1).run("check")

    assert done.returncode == 1
    assert "python3-venv" in done.stderr
