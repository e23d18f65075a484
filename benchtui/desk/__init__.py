"""The desk: everything the bench does, without a screen.

``Desk`` holds what is open (parcel, record, part in the hand, question, text line, choices);
the modules beside it hold its verbs, a file for each kind of work. The app in bench/app.py
only brings keys here and draws what it finds.
"""
