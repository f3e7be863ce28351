"""Runs every notebook from the top, in a kernel of its own: `python -m tests.notebooks`.

A notebook in the repository holds no outputs and no counts of runs, so that nothing in it is older than
the code; `--write FOLDER` keeps the executed ones, to be looked at.
"""

from __future__ import annotations

import argparse
import sys
import time
from pathlib import Path

import nbformat
from nbclient import NotebookClient
from nbclient.exceptions import CellExecutionError
from nbformat import NotebookNode

FOLDER = Path(__file__).resolve().parents[1] / "notebooks"
LONGEST_S = 300  # of one cell


def leftovers(notebook: NotebookNode) -> list[str]:
    """Cells that were saved with what an earlier run left in them."""
    return [
        f"cell {place} holds an output or a count of runs"
        for place, cell in enumerate(notebook.cells, start=1)
        if cell.cell_type == "code" and (cell.outputs or cell.execution_count is not None)
    ]


def main() -> int:
    """Runs all; tells what fails."""
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--write", type=Path, metavar="FOLDER", help="where to keep the executed notebooks")
    kept: Path | None = parser.parse_args().write
    found = sorted(FOLDER.glob("*.ipynb"))
    failed = not found
    for path in found:
        notebook = nbformat.read(path, as_version=4)
        faults = leftovers(notebook)
        start = time.monotonic()
        try:
            at_home = {"metadata": {"path": str(FOLDER)}}
            NotebookClient(notebook, timeout=LONGEST_S, resources=at_home).execute()
        except CellExecutionError as error:
            faults.append(str(error))
        if kept is not None:
            nbformat.write(notebook, kept / path.name)
        failed = failed or bool(faults)
        print(f"{path.name}: {'; '.join(faults) or f'{time.monotonic() - start:.0f} s'}", flush=True)
    if not found:
        print("no notebook was found")
    return int(failed)


if __name__ == "__main__":
    sys.exit(main())
