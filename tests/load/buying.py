"""How long it takes to choose what to buy, how often that is proved, and what buying one by one would cost or lack.

Run by hand: `python tests/load/buying.py [--puzzles 5]`. It needs no database: the demand is invented, and some lathes
take only some of the series, which is the harder case (tests/outside/covering_puzzles.py).
"""

from __future__ import annotations

import argparse
import platform
import statistics
import sys
from pathlib import Path
from time import perf_counter

ROOT = Path(__file__).resolve().parent.parent.parent
SIZES = ((60, 600), (500, 1500), (500, 3000))
BUDGETS = (10, 30)
"""In percent of what all of it costs."""
SECONDS = 60


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__.partition("\n")[0])
    parser.add_argument("--puzzles", type=int, default=5)
    count = parser.parse_args().puzzles
    sys.path[:0] = [str(ROOT)]
    import scipy
    import scipy.optimize  # loading it is paid once after a start, and says nothing of a list

    from tests.outside.covering_puzzles import puzzle

    print(f"Python {platform.python_version()}, scipy {scipy.__version__}, {count} puzzles of each size")
    print(f"{'demand x sizes':>16} {'budget':>8} {'median':>9} {'slowest':>9} {'proved':>7}  one by one")
    for demands, candidates in SIZES:
        puzzles = [puzzle(seed, demands=demands, candidates=candidates, reach=4) for seed in range(count)]
        for percent in (None, *BUDGETS):
            _tell(f"{demands} x {candidates}", percent, [_run(*one, percent) for one in puzzles])


def _run(candidates, weights, percent: int | None) -> tuple[float, bool, float]:
    """Seconds, whether it is proved to the last cent, and the share that buying one by one costs more or meets less."""
    from fitfinder.buying.choosing import cents_of, choose, met_by, one_by_one

    budget = None
    if percent is not None:
        budget = choose(candidates, weights, seconds=SECONDS).cents * percent // 100
    began = perf_counter()
    choice = choose(candidates, weights, budget, seconds=SECONDS)
    seconds = perf_counter() - began
    rough = one_by_one(candidates, weights, budget)
    is_proved = choice.met == choice.met_bound and choice.cents == choice.bound
    if budget is None:
        return seconds, is_proved, cents_of(candidates, rough) / choice.cents - 1
    return seconds, is_proved, 1 - met_by(candidates, rough, weights) / choice.met


def _tell(name: str, percent: int | None, runs: list[tuple[float, bool, float]]) -> None:
    times, proved, worse = zip(*runs, strict=True)
    words = (
        f"costs {statistics.median(worse):.1%} more"
        if percent is None
        else f"meets {statistics.median(worse):.1%} less"
    )
    print(
        f"{name:>16} {'none' if percent is None else f'{percent} %':>8} {statistics.median(times):8.2f}s "
        f"{max(times):8.2f}s {sum(proved):>3}/{len(proved):<3}  {words}",
        flush=True,
    )


if __name__ == "__main__":
    main()
