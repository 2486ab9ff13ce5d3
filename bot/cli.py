"""The command line: arguments, help, and the one place where an error becomes a line and a code.

Exit codes: 0 done, 1 failed, 2 wrong usage, 130 interrupted. A command's module is imported only
when it is chosen, so that ``read`` waits for neither a database nor a chat library.
"""

from __future__ import annotations

import io
import os
import sys
import traceback
from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING

import click

from bot.errors import JarsideError

if TYPE_CHECKING:
    from bot.settings import Settings

DONE, FAILED, WRONG_USAGE, INTERRUPTED = 0, 1, 2, 130


@click.group(context_settings={"help_option_names": ["-h", "--help"], "max_content_width": 100})
@click.version_option(package_name="jarside", message="%(prog)s %(version)s")
def jarside() -> None:
    """Coach a sourdough starter from an empty jar to the first loaf."""


@jarside.command()
@click.option(
    "--file",
    type=click.Path(dir_okay=False, path_type=Path),
    help="Keep the talk in this SQLite file.",
)
@click.option("--fresh", is_flag=True, help="Begin anew, in a file that is gone when you leave.")
def talk(file: Path | None, fresh: bool) -> int:
    """Talk with the bot here, without an account or a network.

    The clock is yours to move on: type "next morning", "+8h" or "+2d".
    """
    if file is not None and fresh:
        raise click.UsageError("--file and --fresh do not go together.")
    settings = _settings()
    from bot.commands.talk import run

    return run(settings, file=file, fresh=fresh)


@jarside.command()
@click.option("--webhook", is_flag=True, help="Be called by the service instead of asking it.")
@click.option(
    "--public-url", metavar="URL", help="With --webhook: the https address that leads here."
)
@click.option(
    "--listen",
    metavar="HOST:PORT",
    default="127.0.0.1:8080",
    show_default=True,
    help="With --webhook: where its calls arrive.",
)
@click.option(
    "--monitor",
    metavar="HOST:PORT",
    help="Show /healthz, /readyz and /metrics there.  [default with --webhook: 127.0.0.1:9464]",
)
def serve(webhook: bool, public_url: str | None, listen: str, monitor: str | None) -> int:
    """Run the bot on the messaging service until it is told to stop.

    Wants JARSIDE_TELEGRAM_TOKEN.
    """
    if webhook is (public_url is None):
        raise click.UsageError("--webhook and --public-url go together.")
    settings = _settings()
    from bot.commands.serve import run

    if webhook and monitor is None:
        monitor = "127.0.0.1:9464"
    return run(settings, public_url=public_url, listen=listen, monitor=monitor)


@jarside.command()
def read() -> int:
    """Say what the bot understands of messages, as JSON lines.

    \b
    In: {"id": "r1", "text": "doubled, 21C", "at": "2026-03-02T08:15:00+01:00", "units": "metric"}
    """
    from bot.commands.read import run

    return run(sys.stdin, sys.stdout)


@jarside.command()
def replay() -> int:
    """Live a whole history with its own clock, as JSON lines.

    \b
    In: {"profile": {"zone": "Europe/Oslo", "started": "2026-03-02T09:00:00+01:00"}}
        {"at": "2026-03-03T08:20:00+01:00", "text": "doubled, 21C"}
    """
    from bot.commands.replay import run

    return run(sys.stdin, sys.stdout)


@jarside.command()
def reckon() -> int:
    """Do the culture's arithmetic, as JSON lines.

    \b
    In: {"ask": "feed", "ratio": [1, 2, 2], "starter_g": 20}
    """
    from bot.commands.reckon import run

    return run(sys.stdin, sys.stdout)


@jarside.command()
def doctor() -> int:
    """Check that everything here works, one line each.

    Settings, database, clock, fonts and, if a token is set, the messaging service.
    """
    from bot.commands.doctor import run

    return run(os.environ, sys.stdout)


@jarside.command()
@click.option("--again", metavar="KEY", help="Let the one of that key be handled once more.")
def aside(again: str | None) -> int:
    """List the messages that failed three times and were set aside."""
    from bot.commands.aside import run

    return run(_settings(), sys.stdout, again=again)


@jarside.command()
def rules() -> int:
    """Print the rule book as a page to review."""
    from bot.commands.rules import run

    return run(sys.stdout)


@jarside.command("feed-times")
def feed_times() -> int:
    """Print the trade's table of ratio, warmth and hours beside the model."""
    from bot.commands.feed_times import run

    return run(sys.stdout)


@jarside.command()
@click.option("--kitchens", type=click.IntRange(min=1), default=2000, show_default=True)
@click.option("--seed", type=int, default=1, show_default=True)
@click.option(
    "--picture",
    type=click.Path(dir_okay=False, path_type=Path),
    help="Draw coverage against nominal there, as PNG.",
)
def calibration(kitchens: int, seed: int, picture: Path | None) -> int:
    """Print how often a forecast's 80 % holds the truth, over invented kitchens."""
    from bot.commands.calibration import run

    return run(sys.stdout, kitchens=kitchens, seed=seed, picture=picture)


def main(args: Sequence[str] | None = None) -> int:
    """Run one command and return its exit code; every error becomes one line on standard error."""
    _speak_utf8()
    try:
        code = jarside.main(args, prog_name="jarside", standalone_mode=False)
        sys.stdout.flush()
        return code if isinstance(code, int) else DONE
    except click.exceptions.NoArgsIsHelpError as wrong:
        click.echo(wrong.format_message(), err=True)
        return WRONG_USAGE
    except click.ClickException as wrong:
        where = " Try 'jarside --help'." if isinstance(wrong, click.UsageError) else ""
        return _failed(wrong.format_message() + where, wrong.exit_code)
    except JarsideError as wrong:
        return _failed(str(wrong), FAILED)
    except (KeyboardInterrupt, click.Abort):
        return INTERRUPTED
    except BrokenPipeError:
        _leave_quietly()
        return FAILED
    except OSError as wrong:
        _leave_quietly()
        where = f": {wrong.filename}" if wrong.filename else ""
        return _failed(f"{wrong.strerror or wrong}{where}", FAILED)
    except Exception as wrong:  # noqa: BLE001  the last edge: a person gets a line, not a traceback
        if os.environ.get("JARSIDE_LOG_LEVEL", "").upper() == "DEBUG":
            traceback.print_exc()
        return _failed(
            f"a fault of ours, {type(wrong).__name__}: {wrong}"
            " (JARSIDE_LOG_LEVEL=DEBUG shows where)",
            FAILED,
        )


def _settings() -> Settings:
    from bot.settings import Settings

    return Settings.from_environ(os.environ, env_file=Path(".env"))


def _failed(message: str, code: int) -> int:
    line = " ".join(message.split())
    click.echo(f"jarside: {line}", err=True)
    return code


def _speak_utf8() -> None:
    """Whatever the machine's locale, lines are UTF-8, end in a newline, and no character breaks them.

    A stream that was closed beforehand is empty, or takes everything.
    """
    # They stay open as long as the process lives.
    sys.stdin = sys.stdin or Path(os.devnull).open(encoding="utf-8")  # noqa: SIM115
    sys.stdout = sys.stdout or Path(os.devnull).open("w", encoding="utf-8")  # noqa: SIM115
    if isinstance(sys.stdin, io.TextIOWrapper):
        sys.stdin.reconfigure(encoding="utf-8-sig", errors="replace", newline="\n")
    for stream in (sys.stdout, sys.stderr):
        if isinstance(stream, io.TextIOWrapper):
            stream.reconfigure(encoding="utf-8", errors="replace", newline="\n")


def _leave_quietly() -> None:
    """Nobody can read on: what is buffered goes nowhere, so that leaving raises nothing either."""
    nowhere = os.open(os.devnull, os.O_WRONLY)
    os.dup2(nowhere, sys.stdout.fileno())
    os.close(nowhere)
