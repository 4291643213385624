"""Measure: `python -m benchmarks.run [NAME]... [--quick]`.

Without a name every benchmark runs. The figures go to build/bench.json, beside
their goals. `--quick` runs the small sizes to try a benchmark out; it writes
nothing, for a figure that was left out would count as one that falls short.
"""

from __future__ import annotations

import sys
from collections.abc import Callable, Sequence

from benchmarks import (
    aircraft_bench,
    intake_bench,
    learning_bench,
    map_bench,
    order_bench,
    plan_bench,
    record_bench,
    squeeze_bench,
)
from benchmarks.report import Entry, write_entries

BENCHES: dict[str, Callable[[bool], list[Entry]]] = {
    "plan": plan_bench.measure,
    "map": map_bench.measure,
    "record": record_bench.measure,
    "squeeze": squeeze_bench.measure,
    "learning": learning_bench.measure,
    "order": order_bench.measure,
    "intake": intake_bench.measure,
    "aircraft": aircraft_bench.measure,
}
QUICK = "--quick"


def report(entries: Sequence[Entry]) -> bool:
    """Write the figures and print each beside its goal; whether all of them hold."""
    names = {entry.name for entry in entries}
    all_hold = True
    for figure in write_entries(entries):
        if figure["name"] in names:
            sign = "<=" if figure["comparison"] == "max" else ">="
            verdict = "holds" if figure["holds"] else "FALLS SHORT"
            value = figure["value"]
            shown = "not measured" if value is None else f"{value:.4g}"
            goal = f"goal {sign} {figure['goal']} {figure['unit']}"
            print(f"{figure['name']:36} {shown:>12}   {goal:24} {verdict}")
            all_hold &= figure["holds"]
    return all_hold


def main(arguments: Sequence[str]) -> int:
    """Run what is named; 0 all figures hold, 1 one falls short, 2 no such name."""
    is_quick = QUICK in arguments
    names = [word for word in arguments if word != QUICK] or list(BENCHES)
    for name in names:
        if name not in BENCHES:
            print(f"{name} is no benchmark. Allowed: {', '.join(BENCHES)}, {QUICK}.")
            return 2
    all_hold = True
    for name in names:
        entries = BENCHES[name](is_quick)
        if not is_quick:
            all_hold &= report(entries)
    return 0 if all_hold else 1


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
