"""Every error a person may be shown, in one tree. A class docstring is the default message.

JarsideError
|-- SettingsError        settings that cannot work
|-- DatabaseError        the database cannot be used as it is
|   |-- DatabaseAway     locked, full, gone or restarting: a later try may work
|   |-- SchemaTooNew     a newer Jarside has been here
|-- HandbookError        a data file of the handbook is wrong
|-- InputError           a question or an argument makes no sense
|-- ChannelError         the messaging service did not take a message
    |-- TryLater         it may take it later
    |-- GoneForGood      this chat will not take any message
    |-- ChatMoved        the chat has another address now
    |-- Malformed        the service finds the message itself at fault
    |-- Refused          the service does not know us (a wrong token) or another bot polls
"""

from __future__ import annotations


class JarsideError(Exception):
    """Something went wrong."""

    def __init__(self, message: str | None = None) -> None:
        super().__init__(message or (type(self).__doc__ or "").strip().splitlines()[0])


class SettingsError(JarsideError):
    """The settings cannot work as they are."""


class DatabaseError(JarsideError):
    """The database cannot be used."""


class DatabaseAway(DatabaseError):
    """The database does not answer just now."""


class SchemaTooNew(DatabaseError):
    """The database was written by a newer Jarside: update this one first."""


class HandbookError(JarsideError):
    """A file of the handbook is wrong."""


class InputError(JarsideError):
    """That question makes no sense."""


class ChannelError(JarsideError):
    """The messaging service did not take the message."""


class TryLater(ChannelError):
    """The messaging service cannot take it now.

    ``after_s`` are the seconds it asked to wait, None when it named none. ``maybe_arrived`` is true
    when the answer was lost on the way, so that the message may have been taken all the same.
    ``everyone`` is true when the wait holds for the whole bot, not for this chat alone.
    """

    def __init__(
        self,
        message: str | None = None,
        *,
        after_s: float | None = None,
        maybe_arrived: bool = False,
        everyone: bool = False,
    ) -> None:
        super().__init__(message)
        self.after_s = after_s
        self.maybe_arrived = maybe_arrived
        self.everyone = everyone


class GoneForGood(ChannelError):
    """This chat does not take our messages any more."""


class ChatMoved(ChannelError):
    """The chat has another address now."""

    def __init__(self, new_chat: str) -> None:
        super().__init__()
        self.new_chat = new_chat


class Malformed(ChannelError):
    """The messaging service finds fault with the message itself."""


class Refused(ChannelError):
    """The messaging service refuses us: look at the token."""
