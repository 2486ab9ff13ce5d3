"""A real picture over a real connection."""

from __future__ import annotations

import io

from PIL import Image

from bot.channels.telegram.channel import TelegramChannel
from bot.channels.telegram.client import Client
from bot.charts import paint_off_loop
from bot.voice.week_chart import week_message
from tests.bot_api.people import Person
from tests.charts.weeks import grown_week


async def test_the_week_of_a_grown_culture_goes_out_as_one_picture_with_its_words(
    client: Client, ada: Person
) -> None:
    kitchen = grown_week()
    message = week_message(kitchen.dossier, kitchen.jar, kitchen.at(30, "21:30"))

    await TelegramChannel(client.bot, paint_off_loop).send("tg:77", message, plain=False)

    (arrived,) = ada.received
    assert arrived.photo is not None
    assert Image.open(io.BytesIO(arrived.photo)).size[0] == 1080
    assert arrived.text == message.plain
    assert len(arrived.text) <= 1024
