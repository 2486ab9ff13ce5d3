"""What a day brings, when mornings come, what to feed now, and a bake planned backwards.

Pure. May import culture and the handbook.
"""
