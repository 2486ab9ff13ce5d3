"""``jarside serve``: the whole bot on Telegram, until SIGTERM or SIGINT."""

from __future__ import annotations

import asyncio
import signal
from urllib.parse import urlsplit

from bot.assembly import opened, telegram_service
from bot.channels.telegram.webhook import Hook
from bot.channels.web import Address
from bot.errors import InputError, SettingsError
from bot.logs import log_to
from bot.settings import PUBLIC_API_URL, Settings


def run(
    settings: Settings,
    *,
    public_url: str | None,
    listen: str,
    monitor: str | None,
) -> int:
    """Serve; 0 after a clean stop. Raises JarsideError with one clear sentence when it cannot.

    With a ``public_url`` the service calls us there, and ``listen`` is where that call ends up;
    without one we poll. ``monitor`` is where health and metrics are to be had, None: nowhere.
    """
    if settings.telegram_token is None:
        raise SettingsError(
            "JARSIDE_TELEGRAM_TOKEN is not set: it is the token that Telegram gave you for this bot"
        )
    hook = None
    if public_url is not None:
        hook = Hook(public_url=_callable(public_url, settings), at=Address.parse(listen).bind())
    watched = None if monitor is None else Address.parse(monitor).bind()
    secrets = [
        settings.telegram_token.get_secret_value(),
        urlsplit(settings.database_url).password or "",
    ]
    log_to(None, level=settings.log_level, secrets=secrets)

    async def serve() -> None:
        store = await opened(settings.database_url)
        try:
            async with telegram_service(settings, store, hook=hook, monitor=watched) as service:
                loop = asyncio.get_running_loop()
                for stop in (signal.SIGTERM, signal.SIGINT):
                    loop.add_signal_handler(stop, service.request_stop)
                await service.run()
        finally:
            await store.close()

    asyncio.run(serve())
    return 0


def _callable(url: str, settings: Settings) -> str:
    """The address if the service would call it: Telegram's own calls over HTTPS alone."""
    parts = urlsplit(url)
    wants = ("https",) if settings.telegram_api_url == PUBLIC_API_URL else ("https", "http")
    if parts.scheme not in wants or not parts.hostname:
        raise InputError(f"{url!r} cannot be called by Telegram: it wants an https:// address")
    return url
