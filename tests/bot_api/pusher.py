"""The service's half of a webhook: one update after another until each is answered with success."""

from __future__ import annotations

import asyncio
import json
from contextlib import suppress

import httpx

from tests.bot_api.refusals import Refusal
from tests.bot_api.service import BotApi

SECRET_HEADER = "X-Telegram-Bot-Api-Secret-Token"


async def push(api: BotApi, *, connections: int = 40, again_s: float = 0.1) -> None:
    """Deliver to the webhook that is set, until cancelled: up to ``connections`` at once, the same
    update again after a failure."""
    async with httpx.AsyncClient(timeout=10.0) as client, asyncio.TaskGroup() as group:
        in_hand: dict[int, asyncio.Task[None]] = {}
        while True:
            for update in api.inbox.waiting:
                number = update["update_id"]
                assert isinstance(number, int)
                if api.webhook is not None and number not in in_hand:
                    if len(in_hand) >= connections:
                        break
                    task = group.create_task(_one(api, client, update, again_s))
                    in_hand[number] = task
                    task.add_done_callback(lambda _, number=number: in_hand.pop(number))
            await asyncio.sleep(0.01)


async def _one(
    api: BotApi, client: httpx.AsyncClient, update: dict[str, object], again_s: float
) -> None:
    while (hook := api.webhook) is not None:
        headers = {SECRET_HEADER: hook.secret} if hook.secret else {}
        try:
            answer = await client.post(hook.url, json=update, headers=headers)
        except httpx.HTTPError:
            answer = None
        if answer is not None and answer.is_success:
            api.inbox.take(update)
            await _carry_out(api, answer)
            api.changed.set()
            return
        await asyncio.sleep(again_s)


async def _carry_out(api: BotApi, answer: httpx.Response) -> None:
    """A bot may name one method in its answer; what comes of it is not told."""
    if not answer.content:
        return
    told = answer.json()
    values = {
        name: value if isinstance(value, str) else json.dumps(value)
        for name, value in told.items()
        if name != "method"
    }
    with suppress(Refusal):
        await api.call(api.token, told["method"], values)
