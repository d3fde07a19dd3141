"""Changes each figure of the tables, one at a time, and tells which of them no outside check notices.

    python -m tests.witness               all figures
    python -m tests.witness --sample 40   a fixed sample of so many, as .ci/run has it
    python -m tests.witness --table bars  one table

A check is a test in `tests/outside/`. Each is watched for the tables that it reads, and for a figure only those that
read its table are run, until one fails. A figure is noticed where every lie about it makes a check fail. Of common
practice only gross lies count: all that can be said of it is the range that the trade would accept. The few figures of
trade that stand in the code of `fitfinder` are tried alike (`constants.py`).

Figures that nothing can vouch for stand in `inventory/reference/data/unwitnessed.csv` with the reason, and so on the
page “Where our numbers come from”. Exit 1 where a figure is unnoticed and not listed, or listed and noticed.
"""
