"""From words to a reading: signs, acts, questions, and what was not understood. Never fails.

Pure. May import culture and the handbook.
"""
