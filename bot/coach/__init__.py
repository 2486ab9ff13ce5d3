"""The core's doors: ``hear`` what a person said, ``speak`` when the time has come.

A third one, ``answer``, is for who passes by: it knows of nobody.

Pure functions of a dossier and a moment. May import voice, advice, plan, reading, culture and the
handbook; nothing of the shell.
"""

from bot.coach.hearing import hear
from bot.coach.passing_by import answer
from bot.coach.speaking import next_prompt_at, speak

__all__ = ["answer", "hear", "next_prompt_at", "speak"]
