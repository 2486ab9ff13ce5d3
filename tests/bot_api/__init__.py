"""A Bot API of the tests' own: a real HTTP server on the loopback, with the service's manners.

What it holds us to is what the service publishes (core.telegram.org/bots/api, read for the method
names, parameters, limits and the HTML style of formatting): offsets that confirm, long polling, 4,096
characters after parsing, 1 to 64 bytes behind a button, ``retry_after`` and ``migrate_to_chat_id``.
The wording of error descriptions and the flood limits (one a second to a chat, thirty a second
overall) follow the service's published guide and, where that is silent, memory.

- ``service``  the methods
- ``chats``    the chats and what was sent to them
- ``parameters`` what a method was called with
- ``people``   somebody with a phone: writes, edits, taps, blocks; a group of them
- ``inbox``    updates that wait to be fetched
- ``markup``   the HTML style, checked
- ``inline``   answers to inline queries, checked
- ``keyboard`` buttons, checked
- ``flood``    the limits on sending
- ``faults``   trouble to order
- ``wire``     HTTP
- ``pusher``   the service's half of a webhook
"""
