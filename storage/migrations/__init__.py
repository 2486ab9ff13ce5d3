"""Alembic's scripts: one file a step in ``versions``, never changed once it was released."""
