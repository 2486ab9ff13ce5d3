"""Messaging services: their updates become ``Heard``, our messages become their markup.

May import delivery and below; nothing of storage.
"""
