"""The jar itself: vocabulary, journal, state, growth, rise, feeds, measures.

Pure. May import the handbook and the errors.
"""
