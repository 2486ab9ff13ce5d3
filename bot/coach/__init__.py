"""The core's two doors: ``hear`` what a person said, ``speak`` when the time has come.

Pure functions of a dossier and a moment. May import voice, advice, plan, reading, culture and the
handbook; nothing of the shell.
"""

from bot.coach.hearing import hear
from bot.coach.speaking import next_prompt_at, speak

__all__ = ["hear", "next_prompt_at", "speak"]
