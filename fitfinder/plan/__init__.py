"""The plan for a job: every way to hold it, compared on what this shop has.

`job.py` reads the question, `plans.py` answers it. One module for each family of ways; `support.py` holds up what is
long, `efforts.py` counts the minutes, `truth.py` says how far the work may run out between set-ups.
"""
