"""The durable side: SQLModel tables, Alembic migrations, the Store of ``bot/delivery/ports.py``.

May import ``bot.delivery`` and below, values only; nothing of the coach or the channels. Rows never
leave this package.
"""

from storage.open import open_store

__all__ = ["open_store"]
