"""The plan for a job: every way to hold it, compared on what this shop has.

`job_texts.py` reads the question, `reader.py` the crib, `plan.py` asks each way of the table in `ways.py`. The ways
themselves are in `methods/`; `support.py` holds up what is long, `efforts.py` counts the minutes, `truth.py` says how
far the work may run out between set-ups.
"""
