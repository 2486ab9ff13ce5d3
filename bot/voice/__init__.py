"""How things are said: messages, the catalogue of sentences, quantities and days in words.

Pure. May import advice and below.
"""
