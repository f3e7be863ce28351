"""Whole commands, against the bare import of the solver's Python layer."""

from __future__ import annotations

import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import Any

import yaml

from configurator import packaged


def command_times(repeats: int) -> Iterator[str]:
    """Lines for people: the import, and `solve` on the demonstration's largest stack and on all of it."""
    whole = packaged.demand_file()
    with tempfile.TemporaryDirectory() as folder:
        largest = Path(folder) / "largest.yaml"
        largest.write_text(yaml.safe_dump(_largest_stack(whole)), encoding="utf-8")
        commands = (
            ("import of ortools' cp_model", ("-c", "import ortools.sat.python.cp_model")),
            ("solve, the largest stack", ("-m", "configurator", "solve", str(largest))),
            ("solve, the whole demand", ("-m", "configurator", "solve", str(whole))),
        )
        medians: list[float] = []
        taken: list[list[float]] = [[] for _ in commands]
        for _ in range(repeats):  # in turns, so that a slow spell of the machine meets all alike
            for (_, arguments), seconds in zip(commands, taken, strict=True):
                seconds.append(_seconds(arguments))
        for (name, _), seconds in zip(commands, taken, strict=True):
            medians.append(statistics.median(seconds))
            yield f"{name:<34} median {medians[-1] * 1000:6.0f} ms, {medians[-1] / medians[0]:.2f} times the import"


def _seconds(arguments: Sequence[str]) -> float:
    start = time.perf_counter()
    done = subprocess.run([sys.executable, *arguments], capture_output=True, check=False, text=True)
    took = time.perf_counter() - start
    if done.returncode not in (0, 3):  # 3: some stack cannot be met
        raise SystemExit(f"{' '.join(arguments)} ended with {done.returncode}:\n{done.stderr}")
    return took


def _largest_stack(demand: Path) -> dict[str, Any]:
    """The demand with one stack left: the one that asks for most ports."""
    said: dict[str, Any] = yaml.safe_load(demand.read_text(encoding="utf-8"))

    def ports(stack: dict[str, Any]) -> int:
        return sum(_plain(one["count"]) for name in ("ports", "devices", "uplinks") for one in stack.get(name, ()))

    return {**said, "stacks": [max(said["stacks"], key=ports)]}


def _plain(value: Any) -> int:
    return int(value["value"] if isinstance(value, dict) else value)
