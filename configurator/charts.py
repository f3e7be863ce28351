"""Charts that read without colour: black on white, told apart by dashes, markers and words.

import configurator
from configurator import charts

charts.save(charts.chart_of(configurator.sweep(asked, catalog, ["ports=8..96:8"])), "ports.svg")

They need the library that the extra `charts` installs.  The same data makes the same bytes.
"""

from __future__ import annotations

import io
import warnings
from collections.abc import Iterable, Iterator, Sequence
from contextlib import contextmanager
from decimal import Decimal
from pathlib import Path
from typing import TYPE_CHECKING, Any

from configurator.errors import BadInput, Problem
from configurator.output import check_target, write_whole
from configurator.render.style import printable
from configurator.varying.sweep import Sweep, SweepPoint, VariedFigure, What

if TYPE_CHECKING:
    from os import PathLike

    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

MISSING = "charts need a library that is not installed"
INSTALL = "install the extra: pip install 'configurator[charts]'"
ENDINGS = (".svg", ".png")
BLACK, GREY, PALE = "#000000", "#555555", "#cccccc"
DASHES: tuple[Any, ...] = ("-", (0, (5, 2)), (0, (1, 1.5)), (0, (6, 2, 1, 2)), (0, (3, 1, 1, 1, 1, 1)), (0, (9, 3)))
SHAPES = ("o", "s", "^", "D", "v", "P", "X", "<", ">", "*")
MARKERS: dict[What, tuple[str, str]] = {
    "stack": ("D", "stack added"),
    "unit": ("s", "unit added"),
    "module": ("^", "module added"),
    "supply": ("o", "supply added"),
}
"""Shape and words of what was added; of several the first here is drawn."""
SOLVED = "solved; between these the steps may come earlier"
MOST_LABELS = 14  # of steps written beside a line
MOST_LINES = len(SHAPES)  # of a grid drawn as lines; a larger one is drawn as a field of figures
RC: dict[Any, Any] = {
    "svg.hashsalt": "configurator",
    "svg.fonttype": "none",  # text stays text: it can be read, searched and checked
    "font.family": "DejaVu Sans",
    "font.size": 9,
    "text.parse_math": False,  # what users wrote is no formula
    "text.usetex": False,
    "axes.formatter.use_mathtext": False,
    "path.simplify": False,
}


# --- what a chart is made on, and how it is kept ----------------------------------------------------------


@contextmanager
def _styled() -> Iterator[None]:
    """The library's own defaults with ours over them, whatever its user set; BadInput where it is missing."""
    try:
        import matplotlib as mpl
    except ImportError:
        raise BadInput([Problem("--chart", None, None, "", None, MISSING, INSTALL)]) from None
    with mpl.rc_context(), warnings.catch_warnings():
        warnings.filterwarnings("ignore", message="Glyph .* missing")  # text stays text; only its width is guessed
        mpl.rcdefaults()
        mpl.rcParams.update(RC)
        yield


def _figure(width: float = 8.0, height: float = 4.8) -> tuple[Figure, Axes]:
    """An empty chart."""
    from matplotlib.backends.backend_agg import FigureCanvasAgg
    from matplotlib.figure import Figure

    made = Figure(figsize=(width, height), dpi=120, facecolor="white", layout="constrained")
    FigureCanvasAgg(made)
    axes = made.add_subplot()
    axes.set_facecolor("white")
    axes.grid(visible=True, color=PALE, linewidth=0.5)
    axes.set_axisbelow(True)
    for side in ("top", "right"):
        axes.spines[side].set_visible(False)
    return made, axes


def check_chart(file: str | PathLike[str]) -> None:
    """Whether a chart can be written there and drawn at all, told before the work is done."""
    if Path(file).suffix.lower() not in ENDINGS:
        text, hint = "a chart is written as SVG or PNG", "name a file that ends in .svg or .png"
        raise BadInput([Problem("--chart", None, None, "", str(file), text, hint)])
    check_target(Path(file))
    with _styled():
        pass


def bytes_of(chart: Figure, ending: str) -> bytes:
    """The chart as SVG (`.svg`) or PNG (`.png`); no date in it, so the same data makes the same bytes."""
    out = io.BytesIO()
    kind = ending.removeprefix(".").lower()
    about = {"Date": None, "Creator": None} if kind == "svg" else {"Software": None}
    with _styled():
        chart.savefig(out, format=kind, metadata=about)
    return out.getvalue()


def save(chart: Figure, file: str | PathLike[str]) -> None:
    """Writes the chart, whole or not at all, as the name ends: .svg or .png."""
    check_chart(file)
    write_whole(Path(file), bytes_of(chart, Path(file).suffix))


# --- sweeps ---------------------------------------------------------------------------------------------


@_styled()
def chart_of(sweep: Sweep) -> Figure:
    """A sweep: a step line with markers where something is added; a grid as several lines, or a field of figures."""
    many = sweep.series()
    if len(many) > MOST_LINES:
        return _field(sweep)
    made, axes = _figure()
    _head(sweep, axes)
    drawn: set[str] = set()
    for place, series in enumerate(many):
        _line(axes, sweep, series, place, alone=len(many) == 1, drawn=drawn)
    _ends(axes, sweep, many)
    return made


def _head(sweep: Sweep, axes: Axes) -> None:
    one = sweep.varied[0]
    axes.set_xlabel(_axis(one))
    axes.set_ylabel(f"Price, {sweep.currency}")
    axes.set_title(printable(f"Cheapest price of {sweep.stack or 'the order'}"), loc="left")
    axes.yaxis.set_major_formatter(lambda value, _: f"{value:,.0f}".replace(",", " "))


def _axis(one: VariedFigure) -> str:
    """What an axis shows, with its unit."""
    return printable(f"{one.words}, {one.unit or 'number'}")


def _money(minor: int, sweep: Sweep) -> float:
    return float(Decimal(minor).scaleb(-sweep.decimals))


def _line(axes: Axes, sweep: Sweep, series: Sequence[SweepPoint], place: int, *, alone: bool, drawn: set[str]) -> None:
    """One line: flat up to the next value that was solved, each with a mark; broken where there is no price."""
    for run in _runs(series):
        xs = [float(point.at[0]) for point in run]
        ys = [_money(point.price_minor or 0, sweep) for point in run]
        axes.plot(xs, ys, drawstyle="steps-post", color=BLACK, linewidth=1.2, linestyle=DASHES[place % len(DASHES)])
        if not alone:
            axes.plot(xs, ys, linestyle="none", marker=SHAPES[place], color=BLACK, markerfacecolor="white",
                      markersize=5)  # fmt: skip
            continue
        axes.plot(xs, ys, linestyle="none", marker=".", color=BLACK, markersize=5,
                  label=None if SOLVED in drawn else SOLVED)  # fmt: skip
        drawn.add(SOLVED)
    labels = 0
    xs_start, xs_end = float(series[0].at[0]), float(series[-1].at[0])
    for point in series if alone else ():
        kind = next((what for what in MARKERS if any(a.what == what and a.count > 0 for a in point.added)), None)
        if kind is None or point.price_minor is None:
            continue
        shape, words = MARKERS[kind]
        at = (float(point.at[0]), _money(point.price_minor, sweep))
        axes.plot(*[[value] for value in at], marker=shape, linestyle="none", color=BLACK, markerfacecolor="white",
                  markersize=6.5, label=None if words in drawn else words)  # fmt: skip
        drawn.add(words)
        labels += 1
        if labels <= MOST_LABELS:
            late = at[0] > xs_end * 2 / 3 + xs_start / 3
            axes.annotate(_short(point), at, xytext=(-4, 6) if late else (6, -10), ha="right" if late else "left",
                          textcoords="offset points", fontsize=7)  # fmt: skip


def _runs(series: Sequence[SweepPoint]) -> Iterable[list[SweepPoint]]:
    """Points with a price that lie side by side."""
    run: list[SweepPoint] = []
    for point in series:
        if point.price_minor is not None:
            run.append(point)
        elif run:
            yield run
            run = []
    if run:
        yield run


def _short(point: SweepPoint) -> str:
    """What was added, in short."""
    return printable(", ".join(f"+{one.count} {one.part or one.what}" for one in point.added if one.count > 0))


def _ends(axes: Axes, sweep: Sweep, many: Sequence[Sequence[SweepPoint]]) -> None:
    """Names of lines at their ends, the first point that can't be met, and what the markers stand for."""
    if len(many) > 1:
        _name_lines(axes, sweep, many)
    else:
        _hatch(axes, many[0])
    if axes.get_legend_handles_labels()[1]:
        axes.legend(loc="upper left", frameon=False, fontsize=8)


def _name_lines(axes: Axes, sweep: Sweep, many: Sequence[Sequence[SweepPoint]]) -> None:
    """The name of each line at its end; lines that end at the same point share a label."""
    names: dict[tuple[float, float, bool], list[str]] = {}
    for series in many:
        last = next((point for point in reversed(series) if point.price_minor is not None), None)
        if last is not None:
            at = (float(last.at[0]), _money(last.price_minor or 0, sweep))
            ends = last is not series[-1] and series[-1].status == "cannot be met"
            names.setdefault((*at, ends), []).append(last.words[1])
    for (x, y, ends), values in names.items():
        told = printable(f"{sweep.varied[1].words} {', '.join(values)}") + "\nthen cannot be met" * ends
        axes.annotate(told, (x, y), xytext=(7, -3 - 6 * ends), textcoords="offset points", fontsize=8)
    left, right = axes.get_xlim()
    axes.set_xlim(left, right + 0.3 * (right - left))


def _hatch(axes: Axes, series: Sequence[SweepPoint]) -> None:
    """Where the demand can't be met, hatched from the first value to the last of each such stretch."""
    run: list[float] = []
    named = False
    for point in (*series, None):
        if point is not None and point.status == "cannot be met":
            run.append(float(point.at[0]))
        elif run:
            axes.axvspan(run[0], run[-1], facecolor="none", edgecolor=PALE, hatch="///", linewidth=0)
            axes.axvline(run[0], color=GREY, linewidth=0.8, linestyle=(0, (1, 3)))
            if not named:
                axes.annotate("cannot be met", (run[0], 1.0), xycoords=("data", "axes fraction"), xytext=(3, -8),
                              textcoords="offset points", fontsize=8, rotation=90, va="top")  # fmt: skip
            named, run = True, []


def _field(sweep: Sweep) -> Figure:
    """A grid as figures in cells, the second figure upwards; lines part cells that differ in price."""
    many, one, other = sweep.series(), sweep.varied[0], sweep.varied[1]
    made, axes = _figure(max(8.0, 1.0 + 0.75 * len(one.values)), max(4.8, 1.2 + 0.32 * len(many)))
    _head(sweep, axes)
    axes.set_ylabel(_axis(other))
    axes.set_title(printable(f"Cheapest price of {sweep.stack or 'the order'}, {sweep.currency}"), loc="left")
    axes.set_xticks(range(len(one.values)), [point.words[0] for point in many[0]], rotation=45, ha="right")
    axes.set_yticks(range(len(many)), [series[0].words[1] for series in many])
    axes.set_xlim(-0.5, len(one.values) - 0.5)
    axes.set_ylim(-0.5, len(many) - 0.5)
    axes.grid(visible=False)
    for y, series in enumerate(many):
        for x, point in enumerate(series):
            told = "-" if point.price_minor is None else f"{_money(point.price_minor, sweep):,.0f}".replace(",", " ")
            axes.text(x, y, told, ha="center", va="center", fontsize=7)
            if x and point.price_minor != series[x - 1].price_minor:
                axes.plot([x - 0.5] * 2, [y - 0.5, y + 0.5], color=BLACK, linewidth=1.0)
            if y and point.price_minor != many[y - 1][x].price_minor:
                axes.plot([x - 0.5, x + 0.5], [y - 0.5] * 2, color=BLACK, linewidth=1.0)
    return made


# --- other charts ---------------------------------------------------------------------------------------


@_styled()
def bars(
    labels: Sequence[str], values: Sequence[float], *, title: str = "", axis: str = "", hatches: Sequence[str] = ()
) -> Figure:
    """Bars to the right, each with its label and its figure behind it; `hatches` tell sorts apart."""
    made, axes = _figure(8.0, max(2.4, 1.2 + 0.36 * len(labels)))
    places = range(len(labels))
    drawn = axes.barh(places, values, color="white", edgecolor=BLACK, linewidth=1.0, height=0.62)
    for bar, hatch in zip(drawn, hatches, strict=False):
        bar.set_hatch(hatch)
    axes.bar_label(drawn, [f"{value:,.2f}".replace(",", " ") for value in values], padding=4, fontsize=8)
    axes.set_yticks(places, [printable(label) for label in labels])
    axes.invert_yaxis()
    axes.margins(x=0.15)
    axes.set_xlabel(printable(axis))
    axes.set_title(printable(title), loc="left")
    axes.grid(visible=False, axis="y")
    return made


@_styled()
def points(
    xs: Sequence[float],
    ys: Sequence[float],
    labels: Sequence[str] = (),
    *,
    title: str = "",
    axes_words: tuple[str, str] = ("", ""),
    frontier: bool = True,
    shapes: Sequence[str] = (),
) -> Figure:
    """Points with their labels; those that no other beats in both figures joined by a step line, less being better.

    shapes -- of each marker, from `SHAPES`; none: all alike
    """
    made, axes = _figure()
    best = unbeaten(xs, ys)
    if frontier and len(best) > 1:
        axes.plot([xs[n] for n in best], [ys[n] for n in best], drawstyle="steps-post", color=GREY, linewidth=1.0)
    for n, at in enumerate(zip(xs, ys, strict=True)):
        axes.plot(*[[value] for value in at], linestyle="none", marker=shapes[n] if n < len(shapes) else "o",
                  color=BLACK, markerfacecolor=BLACK if n in best else "white", markersize=6.5)  # fmt: skip
        if n < len(labels):
            axes.annotate(printable(labels[n]), at, xytext=(6, 5), textcoords="offset points", fontsize=8)
    axes.margins(x=0.18, y=0.12)
    axes.set_xlabel(printable(axes_words[0]))
    axes.set_ylabel(printable(axes_words[1]))
    axes.set_title(printable(title), loc="left")
    return made


def unbeaten(xs: Sequence[float], ys: Sequence[float]) -> list[int]:
    """Places of the points that no other beats: less in one figure, and no more in the other; by the first figure."""
    out: list[int] = []
    for n in sorted(range(len(xs)), key=lambda n: (xs[n], ys[n], n)):
        if not out or ys[n] < ys[out[-1]]:
            out.append(n)
    return out
