"""The baseline: the least that a bot of the same library can do."""

from __future__ import annotations

import os

from telegram import Update
from telegram.ext import Application, ContextTypes, MessageHandler, filters


async def echo(update: Update, context: ContextTypes.DEFAULT_TYPE) -> None:
    assert update.message is not None
    await update.message.reply_text(update.message.text or "")


def main() -> None:
    address = os.environ["JARSIDE_TELEGRAM_API_URL"]
    application = (
        Application.builder()
        .token(os.environ["JARSIDE_TELEGRAM_TOKEN"])
        .base_url(f"{address}/bot")
        .connection_pool_size(64)
        .concurrent_updates(True)
        .build()
    )
    application.add_handler(MessageHandler(filters.TEXT, echo))
    application.run_polling(stop_signals=None)


if __name__ == "__main__":
    main()
