"""The shell with a coach that only repeats: what delivery and storage cost by themselves."""

from __future__ import annotations

import asyncio
import os

from bot.channels.telegram.channel import TelegramChannel
from bot.channels.telegram.client import new_client
from bot.channels.telegram.poller import Poller
from bot.charts import paint_off_loop
from bot.delivery.ports import Pace
from bot.delivery.service import Service
from bot.delivery.ticker import SystemClock
from storage import open_store
from tests.parrot import PARROT


async def main() -> None:
    clock = SystemClock()
    client = new_client(
        os.environ["JARSIDE_TELEGRAM_TOKEN"], os.environ["JARSIDE_TELEGRAM_API_URL"]
    )
    await Service(
        store=await open_store(os.environ["JARSIDE_DATABASE_URL"]),
        coach=PARROT,
        channel=TelegramChannel(client.bot, paint_off_loop),
        source=Poller(client, clock=clock.now),
        clock=clock,
        pace=Pace(per_second=float(os.environ["JARSIDE_SEND_RATE"])),
    ).run()


if __name__ == "__main__":
    asyncio.run(main())
