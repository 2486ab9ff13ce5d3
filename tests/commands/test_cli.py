"""The command line: help, exit codes, one clear line for every error, and nothing loaded in vain."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from pathlib import Path

import pytest

from bot.cli import jarside, main
from bot.settings import names

HEAVY = ("sqlmodel", "sqlalchemy", "telegram", "apscheduler", "alembic", "matplotlib")
READ = {"id": "r1", "text": "doubled", "at": "2026-03-02T08:15:00+01:00", "units": "metric"}
REPLAY = {"at": "2026-03-02T08:15:00+01:00", "text": None}
RECKON = {"ask": "feed", "ratio": [1, 2, 2], "starter_g": 20}


def run(
    *args: str, text: bytes = b"", environ: dict[str, str] | None = None, cwd: Path | None = None
) -> subprocess.CompletedProcess[bytes]:
    clean = {name: value for name, value in os.environ.items() if name not in names()}
    return subprocess.run(
        [sys.executable, "-m", "bot", *args],
        input=text,
        capture_output=True,
        env={**clean, **(environ or {})},
        cwd=cwd,
        timeout=60,
        check=False,
    )


def line(value: object) -> bytes:
    return json.dumps(value).encode() + b"\n"


def one_clear_line(told: str) -> bool:
    return (
        told.startswith("jarside: ")
        and len(told.strip().splitlines()) == 1
        and "Traceback" not in told
    )


@pytest.mark.parametrize("name", [None, *sorted(jarside.commands)])
def test_every_command_has_help(name: str | None, capsys: pytest.CaptureFixture[str]) -> None:
    code = main(["--help"] if name is None else [name, "--help"])

    assert code == 0
    assert "Usage: jarside" in capsys.readouterr().out


@pytest.mark.parametrize(
    "args",
    [
        ["brew"],
        ["read", "--brew"],
        ["read", "file.jsonl"],
        ["talk", "--file"],
        ["talk", "--file", "a.db", "--fresh"],
        ["talk", "--file", "."],
    ],
)
def test_wrong_usage_is_one_line_and_exit_code_2(
    args: list[str], capsys: pytest.CaptureFixture[str]
) -> None:
    code = main(args)

    told = capsys.readouterr()
    assert code == 2
    assert told.out == ""
    assert one_clear_line(told.err)


def test_no_command_shows_what_there_is_and_counts_as_wrong_usage(
    capsys: pytest.CaptureFixture[str],
) -> None:
    code = main([])

    assert code == 2
    assert "Commands:" in capsys.readouterr().err


@pytest.mark.parametrize("command", ["talk", "serve"])
def test_wrong_settings_are_one_line_and_exit_code_1(
    command: str, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setenv("JARSIDE_SEND_RATE", "never")
    monkeypatch.setenv("JARSIDE_LOG_LEVEL", "loud")

    code = main([command])

    told = capsys.readouterr()
    assert code == 1
    assert one_clear_line(told.err)
    assert "JARSIDE_SEND_RATE" in told.err
    assert "JARSIDE_LOG_LEVEL" in told.err


def test_a_history_that_makes_no_sense_is_one_line_and_exit_code_1() -> None:
    done = run("replay", text=b"not json\n")

    assert done.returncode == 1
    assert one_clear_line(done.stderr.decode())


@pytest.mark.parametrize(
    ("command", "text"),
    [("read", line(READ)), ("replay", line(REPLAY)), ("reckon", line(RECKON))],
)
def test_commands_that_only_reckon_load_no_database_and_no_chat_library(
    command: str, text: bytes
) -> None:
    look = (
        "import sys; from bot.cli import main; code = main(sys.argv[1:]);"
        f"print([name for name in {HEAVY!r} if name in sys.modules], file=sys.stderr);"
        "sys.exit(code)"
    )

    done = subprocess.run(
        [sys.executable, "-c", look, command], input=text, capture_output=True, check=False
    )

    assert done.returncode == 0, done.stderr.decode()
    assert done.stderr.decode().strip() == "[]"


def test_lines_are_utf8_whatever_the_locale() -> None:
    asked = json.dumps({**READ, "id": "泡"}, ensure_ascii=False).encode() + b"\n"

    done = run("read", text=asked, environ={"LC_ALL": "C", "PYTHONUTF8": "0"})

    assert done.returncode == 0
    assert json.loads(done.stdout.decode("utf-8"))["id"] == "泡"


@pytest.mark.parametrize(
    "noise",
    [
        b"\xff\xfe\x00 broken bytes\n",
        b"\n\n   \n",
        b'{"id": "r1", "text": "\\ud800", "at": "2026-03-02T08:15:00+01:00", "units": "us"}\n',
        b"\x00" * 4096 + b"\n",
        b"[" * 100_000 + b"\n",
    ],
)
def test_no_bytes_stop_the_reader(noise: bytes) -> None:
    done = run("read", text=noise + line(READ))

    assert done.returncode == 0, done.stderr.decode()
    assert done.stderr == b""
    assert json.loads(done.stdout.decode().splitlines()[-1])["id"] == "r1"


def test_a_byte_order_mark_before_the_first_line_is_no_fault() -> None:
    done = run("read", text=b"\xef\xbb\xbf" + line(READ))

    assert json.loads(done.stdout)["id"] == "r1"


def test_lines_may_end_as_they_do_elsewhere() -> None:
    done = run("read", text=line(READ).replace(b"\n", b"\r\n") * 2)

    assert [json.loads(row)["id"] for row in done.stdout.splitlines()] == ["r1", "r1"]


def test_a_reader_that_leaves_early_hears_no_complaint() -> None:
    command = subprocess.Popen(
        [sys.executable, "-m", "bot", "read"],
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
    )
    assert command.stdin and command.stdout and command.stderr
    command.stdin.write(line(READ))
    command.stdin.flush()
    command.stdout.readline()
    command.stdout.close()

    try:
        command.stdin.write(line(READ) * 100)
        command.stdin.close()
    except BrokenPipeError:
        pass
    told = command.stderr.read()
    command.stderr.close()

    assert command.wait(timeout=30) == 1
    assert told == b""


@pytest.mark.parametrize("command", ["read", "--help"])
def test_a_place_that_takes_no_writing_is_one_clear_line(command: str) -> None:
    with Path(os.devnull).open("rb") as unwritable:
        done = subprocess.run(
            [sys.executable, "-m", "bot", command],
            input=line(READ),
            stdout=unwritable,
            stderr=subprocess.PIPE,
            check=False,
        )

    assert done.returncode == 1
    assert one_clear_line(done.stderr.decode())


@pytest.mark.parametrize("command", ["read", "replay", "talk --fresh"])
def test_streams_that_were_closed_are_empty_or_take_everything(command: str) -> None:
    done = subprocess.run(
        f'"{sys.executable}" -m bot {command} <&- >&-',
        shell=True,
        stderr=subprocess.PIPE,
        check=False,
    )

    assert done.returncode == 0
    assert done.stderr == b""


def test_the_version_is_that_of_the_project(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["--version"]) == 0
    assert capsys.readouterr().out.startswith("jarside 0.")
