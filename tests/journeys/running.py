"""The command as people run it: a process of its own, its output, its exit code."""

from __future__ import annotations

import os
import subprocess
import sys
from importlib import resources
from pathlib import Path

DEMO = Path(str(resources.files("configurator_demo") / "parts")).parent
TINY = DEMO / "tiny"
TINY_DAY = "2026-11-16"


def run(
    *arguments: str | Path, stdin: str = "", cwd: Path | None = None, **environment: str
) -> subprocess.CompletedProcess[str]:
    """`configurator` with these arguments, in this interpreter."""
    kept = {key: value for key, value in os.environ.items() if key not in ("NO_COLOR", "CONFIGURATOR_TRACE")}
    return subprocess.run(
        # -P: the folder that it runs in is no place to import from
        [sys.executable, "-P", "-m", "configurator", *map(str, arguments)],
        input=stdin,
        capture_output=True,
        text=True,
        encoding="utf-8",
        check=False,
        cwd=cwd,
        env={**kept, "COLUMNS": "100", **environment},
    )


def tiny(
    *arguments: str | Path, stdin: str = "", demand: str | Path = TINY / "demand.yaml"
) -> subprocess.CompletedProcess[str]:
    """A demand for the tiny catalog."""
    return run(
        "solve",
        demand,
        "--catalog",
        TINY / "parts",
        "--prices",
        TINY / "prices.csv",
        "--on",
        TINY_DAY,
        *arguments,
        stdin=stdin,
    )
