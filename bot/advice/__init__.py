"""What a finding means and what to do: facts, rules from the handbook, the judge, answers.

Pure. May import plan, reading, culture and the handbook.
"""
