"""The house keeps its own rules: layers, words, names, sizes, and docs that name everything."""

from __future__ import annotations

import ast
import re
import subprocess
import sys
import tomllib
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache
from importlib.metadata import packages_distributions
from pathlib import Path

import click
import pytest
from importlinter.cli import lint_imports

from bot.cli import jarside
from bot.settings import names
from bot.voice.catalogue import Line, lines

ROOT = Path(__file__).parents[1]
LONGEST_LINE_SAID = 600
LONGEST_MODULE = 400
REFUSED_NAMES = {"util", "utils", "helper", "helpers", "misc", "common", "const", "constants"}
NOT_SLOTS = {"vary"}


def modules() -> list[Path]:
    return sorted([*(ROOT / "bot").rglob("*.py"), *(ROOT / "storage").rglob("*.py")])


def tracked() -> list[Path]:
    """Every file of the project: what git knows, or all that is there in an unpacked archive."""
    listed = subprocess.run(
        ["git", "ls-files", "-z"], cwd=ROOT, capture_output=True, text=True, check=False
    )
    if listed.returncode == 0 and listed.stdout:
        found = [ROOT / name for name in listed.stdout.split("\0") if name]
    else:
        found = [path for path in ROOT.rglob("*") if not {".venv", ".git"} & set(path.parts)]
    return [path for path in found if path.is_file()]


def project() -> dict[str, object]:
    return tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))


def text_of(*names: str) -> str:
    return "\n".join((ROOT / name).read_text(encoding="utf-8") for name in names)


# Layers


def test_imports_point_down_only(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.chdir(ROOT)
    monkeypatch.setattr(sys, "path", list(sys.path))

    status = lint_imports(no_cache=True, no_logo=True)

    assert status == 0, capsys.readouterr().out


def test_every_room_has_its_place_in_the_layers() -> None:
    contracts = project()["tool"]["importlinter"]["contracts"]  # type: ignore[index]
    placed = {name for row in contracts[0]["layers"] for name in row.split(" | ")}
    rooms = {
        f"bot.{path.stem}"
        for path in (ROOT / "bot").iterdir()
        if path.suffix == ".py" or (path.is_dir() and (path / "__init__.py").exists())
    }

    assert rooms - placed <= {"bot.__init__", "bot.__main__"}
    assert placed - rooms == {"storage"}


def test_every_package_that_is_imported_is_declared() -> None:
    declared = {
        re.split(r"[\[<>=!~ ]", line)[0].casefold().replace("_", "-")
        for line in project()["project"]["dependencies"]  # type: ignore[index]
    }
    owners = packages_distributions()
    undeclared = {
        f"{path.relative_to(ROOT)}: {name}"
        for path in modules()
        for name in _imported(ast.parse(path.read_text(encoding="utf-8")))
        if name not in sys.stdlib_module_names
        and name not in {"bot", "storage"}
        and not {one.casefold().replace("_", "-") for one in owners.get(name, [name])} & declared
    }

    assert undeclared == set()


def _imported(tree: ast.AST) -> Iterator[str]:
    for node in ast.walk(tree):
        if isinstance(node, ast.Import):
            yield from (alias.name.partition(".")[0] for alias in node.names)
        elif isinstance(node, ast.ImportFrom) and node.module and not node.level:
            yield node.module.partition(".")[0]


def test_everything_declared_is_pinned_by_name_and_version_alone() -> None:
    pins = (ROOT / "deploy/constraints.txt").read_text(encoding="utf-8").splitlines()
    pinned = {line.partition("==")[0].casefold().replace("_", "-") for line in pins}
    declared = project()["project"]
    wanted = [*declared["dependencies"], *declared["optional-dependencies"]["test"]]  # type: ignore[index]

    assert all(re.fullmatch(r"[A-Za-z0-9._-]+==[A-Za-z0-9._+]+", line) for line in pins)
    assert {re.split(r"\[", name)[0].casefold() for name in wanted} | {"setuptools"} <= pinned
    assert len(pinned) == len(pins), "one pin for each"


# Words


@dataclass(frozen=True)
class Written:
    """A text written in code: ``f"coach.flour_{flour}"`` is the pattern ``coach\\.flour_.+``."""

    where: str
    pattern: str
    literal: int
    """How many of its characters stand fast: the more, the surer what it means."""


@cache
def _trees() -> dict[str, ast.Module]:
    return {
        str(path.relative_to(ROOT)): ast.parse(path.read_text(encoding="utf-8"))
        for path in modules()
    }


def _texts(node: ast.AST) -> Iterator[ast.Constant | ast.JoinedStr]:
    """Every whole text below a node: the pieces of an f-string are no texts of their own."""
    if isinstance(node, ast.JoinedStr) or (
        isinstance(node, ast.Constant) and isinstance(node.value, str)
    ):
        yield node
    for child in ast.iter_child_nodes(node):
        if not (isinstance(node, ast.JoinedStr) and isinstance(child, ast.Constant)):
            yield from _texts(child)


def _written(node: ast.expr, where: str) -> Written:
    parts = node.values if isinstance(node, ast.JoinedStr) else [node]
    fast = [str(part.value) if isinstance(part, ast.Constant) else None for part in parts]
    return Written(
        where=f"{where}:{node.lineno}",
        pattern="".join(".+" if text is None else re.escape(text) for text in fast),
        literal=sum(len(text or "") for text in fast),
    )


@cache
def _all_written() -> tuple[Written, ...]:
    return tuple(_written(text, where) for where, tree in _trees().items() for text in _texts(tree))


def _say_calls() -> Iterator[tuple[Written, set[str]]]:
    """Each text that a ``say`` may speak, and the slots it is given."""
    for where, tree in _trees().items():
        for call in ast.walk(tree):
            match call:
                case ast.Call(func=ast.Name(id="say"), args=[named, *_], keywords=keywords):
                    given = {str(word.arg) for word in keywords} - NOT_SLOTS
                    for text in _either(named):
                        yield _written(text, where), given


def _either(node: ast.expr) -> Iterator[ast.expr]:
    """The texts among which an expression chooses; a name may be any, and is not looked into."""
    match node:
        case ast.IfExp(body=one, orelse=other):
            yield from (*_either(one), *_either(other))
        case ast.Constant(value=str()) | ast.JoinedStr():
            yield node
        case _:
            return


def _rooms() -> set[str]:
    return {name.partition(".")[0] for name in lines()}


def _meant(written: Written) -> list[Line]:
    return [line for name, line in lines().items() if re.fullmatch(written.pattern, name)]


def test_every_sentence_that_code_names_is_in_the_catalogue() -> None:
    named = re.compile(rf"({'|'.join(_rooms())})\\\.[\w.+\\-]+")

    said = {written for written, _ in _say_calls()}
    missing = {
        f"{written.where} {written.pattern}"
        for written in _all_written()
        if (written in said or named.fullmatch(written.pattern))
        and not written.pattern.endswith((".py", ".toml", ".jsonl"))
        and not _meant(written)
    }

    assert missing == set()


def test_every_say_fills_exactly_the_slots_of_its_sentence() -> None:
    """A sentence belongs to the calls that name it most exactly."""
    calls: dict[str, list[tuple[Written, set[str]]]] = {}
    for written, given in _say_calls():
        for line in _meant(written):
            calls.setdefault(line.id, []).append((written, given))

    wrong = {
        f"{written.where} {name} wants {sorted(lines()[name].slots)}, is given {sorted(given)}"
        for name, callers in calls.items()
        for written, given in callers
        if written.literal == max(other.literal for other, _ in callers)
        and "None" not in given  # slots handed on as **slots
        and not _fits(lines()[name], written, given)
    }

    assert wrong == set()


def _fits(line: Line, written: Written, given: set[str]) -> bool:
    """A call for one sentence fills its slots; a call for one of several may offer more."""
    wanted = line.slots - {"count"}
    offered = given - {"count"}
    if line.plurals and "count" not in given:
        return False
    return offered >= wanted if ".+" in written.pattern else offered == wanted


def test_no_sentence_is_unused() -> None:
    patterns = {written.pattern for written in _all_written()}
    whole_rooms = {room for room in _rooms() if re.escape(f"{room}.") in patterns}
    spoken = re.compile("|".join(p for p in patterns if p.partition("\\.")[0] in _rooms()))

    unused = {
        name
        for name in lines()
        if name.partition(".")[0] not in whole_rooms and not spoken.fullmatch(name)
    }

    assert unused == set()


def test_no_sentence_is_too_long_or_shouts() -> None:
    for line in lines().values():
        for text in (*line.texts, *(text for _, text in line.plurals)):
            assert 0 < len(text) <= LONGEST_LINE_SAID, line.id
            assert "!!" not in text, line.id


# Names and sizes


@pytest.mark.parametrize("path", modules(), ids=lambda path: str(path.relative_to(ROOT)))
def test_every_module_says_what_it_is_for_and_stays_small(path: Path) -> None:
    text = path.read_text(encoding="utf-8")

    assert path.stem not in REFUSED_NAMES
    assert ast.get_docstring(ast.parse(text)), "wants a docstring"
    assert len(text.splitlines()) <= LONGEST_MODULE


def test_no_file_names_a_machine_or_a_package_host() -> None:
    machine = re.compile(r"(^|[^\w./-])/(work|root|home/[a-z]+|Users)/")
    host = re.compile(r"index-url|--find-links|pypi\.org|pythonhosted")
    here = Path(__file__)

    found = {
        f"{path.relative_to(ROOT)}:{number}"
        for path in tracked()
        if path != here and path.suffix not in {".png"}
        for number, line in enumerate(path.read_text(encoding="utf-8").splitlines(), 1)
        if machine.search(line) or host.search(line)
    }

    assert found == set()


# Docs


@pytest.mark.parametrize("name", sorted(jarside.commands))
def test_every_command_has_help_and_stands_in_the_docs(name: str) -> None:
    command = jarside.commands[name]

    assert isinstance(command, click.Command)
    assert command.help
    assert re.search(rf"\b{name}\b", text_of("README.md", "DEVELOPERS.md"))


@pytest.mark.parametrize("name", names())
def test_every_setting_stands_in_the_readme_and_in_the_example(name: str) -> None:
    assert name in text_of("README.md")
    assert name in text_of("deploy/env.example")


def test_the_readme_tells_its_story_in_order() -> None:
    headings = re.findall(r"^## (.+)$", text_of("README.md"), flags=re.MULTILINE)

    assert headings[:5] == [
        "A week with it",
        "Two commands",
        "On the messaging service",
        "Where the data lies",
        "What it will not do",
    ]


def test_the_scripts_that_the_readme_names_can_be_run() -> None:
    named = re.findall(r"^(deploy/\w+)$", text_of("README.md"), flags=re.MULTILINE)

    assert named == ["deploy/start", "deploy/check"]
    for script in (*named, ".ci/run"):
        assert (ROOT / script).stat().st_mode & 0o111, f"{script} wants its executable bit"
