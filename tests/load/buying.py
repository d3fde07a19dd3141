"""How long it takes to choose what to buy, told as ratios of one run.

Run by hand: `python tests/load/buying.py [--rounds 3]`. Candidates take turns within a round; each figure is the median
of the rounds. It needs no database: the puzzles are invented (tests/outside/covering_puzzles.py).
"""

from __future__ import annotations

import argparse
import platform
import statistics
import sys
from pathlib import Path
from time import monotonic, perf_counter

ROOT = Path(__file__).resolve().parent.parent.parent
SIZES = ((500, 1500), (500, 3000), (5000, 3000))
SECONDS = 60


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__.partition("\n")[0])
    parser.add_argument("--rounds", type=int, default=3)
    rounds = parser.parse_args().rounds
    sys.path[:0] = [str(ROOT)]
    import scipy

    from tests.outside import covering_puzzles

    print(f"Python {platform.python_version()}, scipy {scipy.__version__}, {rounds} rounds")
    print(
        f"{'demand x sizes':>16} {'lathes':>10} {'whole':>9} {'ours':>9} {'whole/ours':>10} {'greedy':>9} "
        f"{'pays more':>9}"
    )
    for rows, count in SIZES:
        for holes in (False, True):
            columns, weights = covering_puzzles.puzzle(rows, rows=rows, columns=count, reach=4, holes=holes)
            _cheapest(columns, weights, rounds, f"{rows} x {count}", "some" if holes else "all")
    print(
        f"\n{'demand x sizes':>16} {'budget':>10} {'whole':>9} {'ours':>9} {'whole/ours':>10} "
        f"{'greedy':>9} {'falls short':>11}"
    )
    for rows, count in SIZES[:2]:
        columns, weights = covering_puzzles.puzzle(rows, rows=rows, columns=count, reach=4)
        for percent in (10, 30):
            _most(columns, weights, rounds, f"{rows} x {count}", percent)


def _whole(columns, weights):
    """The puzzle as it is, nothing left out before it is solved."""
    from fitfinder.buying.covering import all_covered
    from fitfinder.buying.reducing import VALUES, bits
    from fitfinder.buying.solving import Puzzle

    numbers = {row: number for number, row in enumerate(bits(all_covered(columns)))}
    return Puzzle(
        covers=[[numbers[row] for row in bits(column.covers)] for column in columns],
        values={what: [getattr(column, what) for column in columns] for what in VALUES},
        weights=[weights[row] for row in numbers],
    )


def _cheapest(columns, weights, rounds, name, lathes) -> None:
    """HiGHS on the whole matrix, for the cost alone, against our whole answer: cost, then pieces, then nearness."""
    from fitfinder.buying.covering import cheapest, greedy
    from fitfinder.buying.solving import least

    whole = _whole(columns, weights)
    times = _timed(
        rounds,
        whole=lambda: least(whole, "cents", until=monotonic() + SECONDS),
        ours=lambda: cheapest(columns, weights, seconds=SECONDS),
        greedy=lambda: greedy(columns, weights),
    )
    choice = cheapest(columns, weights, seconds=SECONDS)
    found = least(whole, "cents", until=monotonic() + SECONDS)
    assert not found.is_done or choice.cents == sum(columns[place].cents for place in found.picked)
    rough = sum(columns[place].cents for place in greedy(columns, weights))
    _tell(name, lathes, times, f"{100 * (rough - choice.cents) / choice.cents:8.1f}%", choice)


def _most(columns, weights, rounds, name, percent) -> None:
    from fitfinder.buying.covering import cheapest, covered_weight, greedy, most_for
    from fitfinder.buying.solving import Limit, most

    whole = _whole(columns, weights)
    budget = cheapest(columns, weights, seconds=SECONDS).cents * percent // 100
    within = Limit(dict(enumerate(whole.values["cents"])), budget)
    times = _timed(
        rounds,
        whole=lambda: most(whole, limits=[within], until=monotonic() + SECONDS),
        ours=lambda: most_for(columns, weights, budget, seconds=SECONDS),
        greedy=lambda: greedy(columns, weights, budget),
    )
    choice = most_for(columns, weights, budget, seconds=SECONDS)
    rough = covered_weight(columns, greedy(columns, weights, budget), weights)
    _tell(name, f"{percent} %", times, f"{100 * (choice.met - rough) / choice.met:10.1f}%", choice)


def _timed(rounds, **candidates) -> dict[str, float]:
    """Milliseconds, the median of rounds in which the candidates take turns."""
    taken: dict[str, list[float]] = {name: [] for name in candidates}
    for _ in range(rounds):
        for name, run in candidates.items():
            began = perf_counter()
            run()
            taken[name].append(1000 * (perf_counter() - began))
    return {name: statistics.median(times) for name, times in taken.items()}


def _tell(name, second, times, last, choice) -> None:
    proof = "" if choice.is_proved and not choice.is_tied else "  tie open" if choice.is_proved else "  not proved"
    print(
        f"{name:>16} {second:>10} {times['whole']:7.1f}ms {times['ours']:7.1f}ms "
        f"{times['whole'] / times['ours']:10.2f} {times['greedy']:7.1f}ms {last}{proof}"
    )


if __name__ == "__main__":
    main()
