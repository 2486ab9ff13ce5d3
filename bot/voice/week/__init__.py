"""The parts of a week's picture, each from the journal to values that can be painted.

Pure. May import culture, plan and the catalogue.
"""
