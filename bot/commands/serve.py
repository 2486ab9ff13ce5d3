"""``jarside serve``: the whole bot on Telegram, until SIGTERM or SIGINT."""

from __future__ import annotations

import asyncio
import signal

from bot.assembly import opened, telegram_service
from bot.errors import SettingsError
from bot.logs import log_to
from bot.settings import Settings


def run(settings: Settings, *, webhook: bool) -> int:
    """Serve; 0 after a clean stop. Raises JarsideError with one clear sentence when it cannot."""
    if settings.telegram_token is None:
        raise SettingsError(
            "JARSIDE_TELEGRAM_TOKEN is not set: it is the token that Telegram gave you for this bot"
        )
    log_to(None, level=settings.log_level, secrets=[settings.telegram_token.get_secret_value()])
    asyncio.run(_serve(settings))
    return 0


async def _serve(settings: Settings) -> None:
    store = await opened(settings.database_url)
    try:
        async with telegram_service(settings, store) as service:
            loop = asyncio.get_running_loop()
            for stop in (signal.SIGTERM, signal.SIGINT):
                loop.add_signal_handler(stop, service.request_stop)
            await service.run()
    finally:
        await store.close()
