"""What a strip of photos shows: which photo stands for which day, ready to be painted by the shell."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class Snapshot:
    """One day's photo. ``file`` is the messaging service's name of it: the picture itself is fetched
    only to be painted. ``day`` and ``date`` are the words under it; ``day`` is empty before the
    first mix."""

    file: str
    day: str
    date: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Strip:
    """One culture's photos by day, oldest first. ``alt`` tells the same in words; ``missing`` stands
    where a photo can no longer be had."""

    culture: str
    alt: str
    title: str
    subtitle: str
    missing: str
    snapshots: tuple[Snapshot, ...]
