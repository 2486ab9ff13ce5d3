"""Photos fetched from the service, only to be painted: nothing of them is kept."""

from __future__ import annotations

import asyncio
from collections.abc import Sequence
from typing import Final

from telegram import Bot
from telegram.constants import FileSizeLimit

from bot.channels.telegram.faults import mapped
from bot.channels.telegram.patience import LOG
from bot.charts import snapshot_off_loop
from bot.errors import ChannelError

LARGEST_B: Final = int(FileSizeLimit.FILESIZE_DOWNLOAD)
"""The service hands out no larger file."""
FETCH_WITHIN_S: Final = 10.0
"""For all of them: sending must be over before another process would take the message."""
AT_ONCE: Final = 3


async def fetched(bot: Bot, files: Sequence[str]) -> tuple[bytes | None, ...]:
    """Each photo as a small picture; None for one that cannot be had in time, or is no picture."""
    free = asyncio.Semaphore(AT_ONCE)
    fetching = [asyncio.create_task(_one(bot, file, free)) for file in files]
    try:
        done, late = await asyncio.wait(fetching, timeout=FETCH_WITHIN_S)
    finally:
        for task in fetching:
            task.cancel()
    if late:
        LOG.warning("photos-late", extra={"action": "send", "count": len(late)})
    return tuple(task.result() if task in done else None for task in fetching)


async def _one(bot: Bot, file_id: str, free: asyncio.Semaphore) -> bytes | None:
    try:
        async with free, mapped(within_s=FETCH_WITHIN_S):
            file = await bot.get_file(file_id)
            if not file.file_path or (file.file_size or 0) > LARGEST_B:
                return None
            data = bytes(await file.download_as_bytearray())
            return await snapshot_off_loop(data)
    except ChannelError as error:
        LOG.warning("photo-not-fetched", extra={"action": "send", "why": str(error)})
        return None
