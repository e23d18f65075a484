"""The forms of clue, a file each: what a digit does, what is typed, what is shown (see ask/forms.py).

How an answer of each form weighs stands in evidence/seen.py and nextclue.py: that room knows no desk.
"""
