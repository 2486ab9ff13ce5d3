"""The whole bot in the terminal: piped in, on a file of its own, with a clock that is moved on."""

from __future__ import annotations

import io
import logging
import os
import re
import select
import signal
import sqlite3
import subprocess
import sys
from collections.abc import Iterator
from contextlib import closing
from dataclasses import dataclass
from pathlib import Path

import pytest

from bot.cli import main
from bot.commands.talk import talk_url
from bot.settings import Settings, sqlite_url

SET_UP = "begin\nwhite\n21\ngrams\n8, Oslo\nJuniper\n"


@dataclass(frozen=True)
class Done:
    code: int
    out: str
    err: str


class Kitchen:
    """A home folder, and talks in it that are piped in."""

    def __init__(
        self, home: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
    ) -> None:
        self.home = home
        self._monkeypatch = monkeypatch
        self._capsys = capsys
        home.mkdir()
        monkeypatch.setenv("XDG_DATA_HOME", str(home))
        monkeypatch.chdir(home)

    def talk(self, said: str, *args: str) -> Done:
        self._monkeypatch.setattr(sys, "stdin", io.StringIO(said))
        code = main(["talk", *args])
        told = self._capsys.readouterr()
        return Done(code=code, out=told.out, err=told.err)


@pytest.fixture
def home(tmp_path: Path) -> Path:
    return tmp_path / "a home"


@pytest.fixture
def kitchen(
    home: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> Iterator[Kitchen]:
    """A command owns its process, logs and interrupts included; here they are given back."""
    root = logging.getLogger()
    handlers, level = list(root.handlers), root.level
    interrupt = signal.getsignal(signal.SIGINT)
    yield Kitchen(home, monkeypatch, capsys)
    root.handlers[:] = handlers
    root.setLevel(level)
    signal.signal(signal.SIGINT, interrupt)


def the_day_lines(told: str) -> list[str]:
    return [line.strip("- ") for line in told.splitlines() if line.startswith("-- ")]


def test_a_piped_word_is_answered_and_the_end_of_the_pipe_ends_the_talk(kitchen: Kitchen) -> None:
    done = kitchen.talk("is it normal that nothing happens on day 4?\n")

    assert done.code == 0
    assert done.err == ""
    heard, answer = done.out.split("> is it normal")
    assert heard.strip()
    assert "normal" in answer.casefold()


def test_nothing_said_is_welcomed_and_let_go(kitchen: Kitchen) -> None:
    done = kitchen.talk("")

    assert done.code == 0
    assert "next morning" in done.out
    assert done.err == ""


def test_the_talk_is_kept_in_the_users_data_folder(kitchen: Kitchen) -> None:
    kitchen.talk("hi\n")

    assert (kitchen.home / "jarside" / "talk.db").exists()


def test_a_fresh_talk_leaves_nothing_behind(kitchen: Kitchen) -> None:
    kitchen.talk("hi\n", "--fresh")

    assert list(kitchen.home.iterdir()) == []


def test_a_talk_can_be_kept_in_any_file(kitchen: Kitchen) -> None:
    kitchen.talk("hi\n", "--file", "my jars/100%.db")

    assert [path.name for path in (kitchen.home / "my jars").glob("*.db")] == ["100%.db"]


def test_the_morning_comes_when_the_clock_is_moved_on(kitchen: Kitchen) -> None:
    done = kitchen.talk(f"{SET_UP}mixed it, 50 g flour and 50 g water\nnext morning\n")

    morning = done.out.split("> next morning\n")[1]
    assert "08:00 --" in morning.splitlines()[0]
    assert "Juniper" in morning


def test_all_mornings_on_the_way_come_in_order_each_at_its_own_hour(kitchen: Kitchen) -> None:
    done = kitchen.talk(f"{SET_UP}mixed it, 50 g flour and 50 g water\n+3d\n")

    on_the_way = the_day_lines(done.out.split("> +3d\n")[1])
    assert [line.split(", ")[1] for line in on_the_way[:3]] == ["08:00"] * 3
    assert len(set(on_the_way[:3])) == 3


def test_the_clock_goes_on_where_it_was_left(kitchen: Kitchen) -> None:
    first = kitchen.talk(f"{SET_UP}+20d\nhello again\n")
    second = kitchen.talk("")

    assert the_day_lines(second.out)[0] == the_day_lines(first.out)[-1]


def test_the_clock_does_not_move_by_a_year_and_more_at_once(kitchen: Kitchen) -> None:
    done = kitchen.talk("+400d\n")

    assert len(the_day_lines(done.out)) == 1
    assert "366" in done.out


def test_an_edit_corrects_the_last_message(kitchen: Kitchen) -> None:
    done = kitchen.talk(f"{SET_UP}mixed it\n34 C in here\n/edit 24 C in here\n")

    assert "24" in done.out.split("> /edit")[1].split("\n", 1)[1]


def test_an_edit_of_nothing_is_said_to_be_one(kitchen: Kitchen) -> None:
    done = kitchen.talk("/edit oops\n")

    assert "no message" in done.out


def test_quit_leaves_at_once(kitchen: Kitchen) -> None:
    done = kitchen.talk("/quit\nmixed it\n")

    assert done.code == 0
    assert "mixed" not in done.out


def test_an_interrupted_talk_ends_without_a_word(home: Path) -> None:
    home.mkdir()
    waiting = subprocess.Popen(
        [sys.executable, "-m", "bot", "talk", "--fresh"],
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        cwd=home,
    )
    assert waiting.stdout and waiting.stdin and waiting.stderr
    while b"-- " not in waiting.stdout.readline():
        pass
    waiting.stdout.readline()

    waiting.send_signal(signal.SIGINT)

    assert waiting.wait(timeout=20) == 130
    assert waiting.stderr.read().strip() == b""
    for pipe in (waiting.stdin, waiting.stdout, waiting.stderr):
        pipe.close()


PROMPT = r"\w{3} \d\d:\d\d >"


class Screen:
    """A terminal with a person before it."""

    def __init__(self, home: Path, *args: str) -> None:
        home.mkdir(exist_ok=True)
        self._person, program = os.openpty()
        environ = {"XDG_DATA_HOME": str(home), "TERM": "xterm", "PROMPT_TOOLKIT_NO_CPR": "1"}
        self.talk = subprocess.Popen(
            [sys.executable, "-m", "bot", "talk", *args],
            stdin=program,
            stdout=program,
            stderr=program,
            env={**os.environ, **environ},
            start_new_session=True,
        )
        os.close(program)

    def types(self, text: str) -> None:
        os.write(self._person, f"{text}\r".encode())

    def shows(self, pattern: str) -> str:
        """What came on it by the time it shows something of that form."""
        seen = ""
        while not re.search(pattern, seen):
            ready, _, _ = select.select([self._person], [], [], 20)
            if not ready:
                self.talk.kill()
                self.talk.wait()
                raise AssertionError(f"still no {pattern} after {seen!r}")
            seen += os.read(self._person, 65536).decode("utf-8", "replace")
        return seen

    def leaves(self) -> int:
        code = self.talk.wait(timeout=30)
        os.close(self._person)
        return code


def test_a_person_at_a_screen_has_a_prompt_with_the_clock_and_emphasis(home: Path) -> None:
    screen = Screen(home, "--fresh")

    greeting = screen.shows(PROMPT)
    screen.types("+8h")
    screen.shows(r"\x1b\[2m-- .+ --\x1b\[0m")
    screen.types("/quit")

    assert "\x1b[2m" in greeting
    assert screen.leaves() == 0


@pytest.mark.parametrize("key", ["\x03", "\x04"])
def test_both_keys_that_close_a_program_leave_the_talk(home: Path, key: str) -> None:
    screen = Screen(home, "--fresh")
    screen.shows(PROMPT)

    screen.types(key)

    screen.shows("Until next time")
    assert screen.leaves() == 0


def test_any_text_gets_an_answer_or_quiet_and_never_a_fault(kitchen: Kitchen) -> None:
    noise = ["\x1b[2J\x07", "<b>&amp;</b>", "泡" * 4096, "  ", "/start@else", "🫙", "\ufffd"]

    done = kitchen.talk("\n".join(noise))

    assert done.code == 0
    assert done.err == ""
    assert "\x1b" not in done.out


def test_a_file_of_a_newer_version_is_one_clear_line(kitchen: Kitchen) -> None:
    kitchen.talk("")
    with closing(sqlite3.connect(kitchen.home / "jarside" / "talk.db")) as connection, connection:
        connection.execute("UPDATE alembic_version SET version_num = 'of-next-year'")

    done = kitchen.talk("hi\n")

    assert done.code == 1
    assert done.out == ""
    assert len(done.err.splitlines()) == 1
    assert "update" in done.err


def test_a_file_that_cannot_be_made_is_one_clear_line(kitchen: Kitchen) -> None:
    (kitchen.home / "jarside").write_text("a file where a folder should be", encoding="utf-8")

    done = kitchen.talk("hi\n")

    assert done.code == 1
    assert done.out == ""
    assert len(done.err.splitlines()) == 1


def test_a_sqlite_file_that_is_set_is_used_while_there_is_no_service(tmp_path: Path) -> None:
    url = sqlite_url(tmp_path / "jars.db")

    assert talk_url(Settings.from_environ({"JARSIDE_DATABASE_URL": url})) == url


@pytest.mark.parametrize(
    "environ",
    [
        {"JARSIDE_DATABASE_URL": "sqlite:///jars.db", "JARSIDE_TELEGRAM_TOKEN": "12:ab"},
        {"JARSIDE_DATABASE_URL": "postgresql://db/jars"},
        {},
    ],
)
def test_a_talk_never_moves_the_clock_of_people_on_the_service(environ: dict[str, str]) -> None:
    assert talk_url(Settings.from_environ(environ)).endswith("/jarside/talk.db")
