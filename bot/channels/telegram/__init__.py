"""The bot on Telegram, through python-telegram-bot.

- ``client``  the library's Bot, tuned and kept from writing the token into logs
- ``lanes``   its connections, in several pools
- ``updates`` an update of the service becomes an Inbound, or nothing
- ``groups``  what is said in a group, if it is said to us
- ``inline``  a quick question in any chat, answered while it is typed
- ``markup``  a Message becomes what the service shows
- ``channel`` sends a Message
- ``photos``  people's photos, fetched only to be painted
- ``poller``  fetches updates and confirms them only when they are kept
- ``webhook`` is called with updates, and says "done" only when they are kept
- ``menu``    the commands shown beside the text field
- ``faults``  every error of the library becomes one of ours
- ``patience`` how long to wait for the service, and how to come back to it

Nothing of the library leaves this package.
"""
