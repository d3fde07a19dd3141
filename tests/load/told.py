"""The figures of a load run: ratios over its rounds, and a line for each."""

import statistics


def tell(what: str, measured: float, most: float | None = None, *, least: float | None = None) -> None:
    """One line: what, its ratio, the goal, met or not."""
    goal, met = "no goal", ""
    if most is not None:
        goal, met = f"at most {most:g}", "met" if measured <= most else "NOT MET"
    if least is not None:
        goal, met = f"at least {least:g}", "met" if measured >= least else "NOT MET"
    print(f"{what:<66} {measured:8.2f}  {goal:<13} {met}", flush=True)


def over(rounds: list[dict], these, those) -> float:
    """One figure over another of the same round: the median of the rounds."""
    return statistics.median(found[these] / found[those] for found in rounds)


def percentile(times: list[float], at: int) -> float:
    """The nearest rank: the p99 of a hundred is the last but one."""
    return sorted(times)[max(0, -(-len(times) * at // 100) - 1)]
