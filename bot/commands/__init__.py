"""One ``run()`` per command of the command line. May import everything but ``cli`` and storage."""
