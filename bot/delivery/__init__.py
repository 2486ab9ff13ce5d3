"""The shell: load, decide, keep, send, and the one place that reads the clock.

No word about baking in it. May import coach and below; services and databases only as ports.
"""
