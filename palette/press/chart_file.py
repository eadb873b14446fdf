"""A printer measured by its chart, as a small text file that a recipe names.

In and out: TOML. It holds the patches' colours as sent and as read, how they are fitted, the error
of left-out patches, and what else the print showed: scale and margins. The fit is solved again on
reading, so that there is nothing in the file that a person cannot read. This module reads files;
writing is the front door's.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from pathlib import Path
from typing import Any, Literal, get_args

import numpy as np

from palette.arrays import Floats, Pixels
from palette.errors import ProfileError
from palette.file_bytes import read_bytes
from palette.press.chart_fit import LIKE, NOISES, FitChoice, FitError
from palette.space import triple_of
from palette.toml_text import parse_toml

Source = Literal["instrument", "scan"]
# of a scan: by the scanner's profile, by a program that delivers what it says, or guessed from the
# patches, where the guess held and where it did not
Scanner = Literal["profile", "managed", "fitted", "doubtful"]

MOST_BYTES = 1_000_000
_MOST_BLACK = 60.0  # a print lighter than that is no black
LEAST_PATCHES, MOST_PATCHES = 16, 5_000


@dataclass(frozen=True, slots=True, eq=False)
class ChartRecord:
    """What is known of a printer.

    Attributes:
        chart_id: the chart's number, or empty.
        source: what read it; a scan supports relative colours only.
        rgb: (n, 3) uint8 sent to the printer.
        lab: (n, 3) CIELAB (D50) relative to paper and printed black.
        choice: how it is fitted.
        error: of left-out patches.
        reading_de2000: what the reading itself is uncertain by, a common tone or cast apart.
        paper_lab: the paper, absolute; None from a scan.
        black_lab: the printed black, absolute; None from a scan.
        scale_error: printed over meant less 1, across and down; None where not measured.
        margins_mm: the white left along each edge; edges that were not seen are missing.
        scanner: how a scan's colours were found; None from an instrument.
        black_l: L* of the black beside the paper's 100, where a scan can say it.
    """

    chart_id: str
    source: Source
    rgb: Pixels
    lab: Floats
    choice: FitChoice
    error: FitError
    reading_de2000: float
    paper_lab: tuple[float, float, float] | None = None
    black_lab: tuple[float, float, float] | None = None
    scale_error: tuple[float, float] | None = None
    margins_mm: dict[str, float] = field(default_factory=dict)
    scanner: Scanner | None = None
    black_l: float | None = None

    @property
    def trusted(self) -> bool:
        """Whether a common tone, tint or vividness of the print is the printer's own."""
        return self.source == "instrument" or self.scanner in ("profile", "managed")

    def __post_init__(self) -> None:
        self.rgb.setflags(write=False)
        self.lab.setflags(write=False)


def to_toml(record: ChartRecord) -> bytes:
    """Return the record as TOML, UTF-8."""
    lines = [
        "# What this printer really prints on this paper, measured by kitloom's colour chart.",
        '# A recipe names it: [press] chart = "this-file.toml"',
        "",
        "[chart]",
        f'id = "{record.chart_id}"',
        f'source = "{record.source}"',
        f'reading = "{"absolute" if record.paper_lab else "relative"}"',
        *([f'scanner = "{record.scanner}"'] if record.scanner else []),
        "",
        "[error]  # CIEDE2000",
        f"left_out_mean = {record.error.mean_de2000:.2f}",
        f"left_out_95_percent = {record.error.p95_de2000:.2f}",
        f"reading = {record.reading_de2000:.2f}",
        "",
        "[fit]",
        f'like = "{record.choice.like}"',
        f"length = {record.choice.length:g}",
        f"noise = {record.choice.noise:g}",
        "",
    ]
    if record.paper_lab and record.black_lab:
        lines += [
            "[absolute]  # CIELAB, D50",
            f"paper = [{_numbers(record.paper_lab)}]",
            f"black = [{_numbers(record.black_lab)}]",
            "",
        ]
    if record.black_l is not None:
        lines += ["[black]  # L* beside the paper's 100", f"L = {record.black_l:.2f}", ""]
    if record.scale_error:
        x, y = record.scale_error
        lines += [
            "[scale]  # printed over meant; lay a ruler on to confirm",
            f"x = {1.0 + x:.5f}",
            f"y = {1.0 + y:.5f}",
            "",
        ]
    if record.margins_mm:
        lines += ["[margins]  # white that the printer left, in mm"]
        lines += [f"{edge} = {mm:.1f}" for edge, mm in sorted(record.margins_mm.items())] + [""]
    lines += ["[patches]", "# red, green, blue as sent; L, a, b as printed, relative to the paper"]
    lines += ["rgb_lab = ["]
    lines += [
        f"  [{', '.join(str(v) for v in rgb)}, {_numbers(lab)}],"
        for rgb, lab in zip(record.rgb.tolist(), record.lab.tolist(), strict=True)
    ]
    return "\n".join([*lines, "]", ""]).encode("utf-8")


def _numbers(values: Any) -> str:
    # + 0.0 turns -0.00 into 0.00
    return ", ".join(f"{round(float(v), 2) + 0.0:.2f}" for v in values)


class _RecordError(ValueError):
    """A value of a printer's file is out of range."""


def read_record(path: Path) -> ChartRecord:
    """Read a printer's file.

    Raises:
        ProfileError: missing, too large, not TOML, or not such a file.
    """
    where = str(path)
    data = read_bytes(
        path,
        MOST_BYTES,
        ProfileError,
        noun="measured printer",
        remedy="Check the name and the folder, or make it with kitloom proof --chart-read.",
    )
    try:
        return _record(parse_toml(data.decode("utf-8")))
    except _RecordError as error:
        raise _unusable(where, str(error)) from error
    except KeyError as error:
        raise _unusable(where, f"{error.args[0]} is missing") from error
    except (ValueError, TypeError, AttributeError, OverflowError) as error:
        raise _unusable(where, "its text is not as it was written") from error


def _unusable(where: str, why: str) -> ProfileError:
    return ProfileError(
        "is not a measured printer",
        where=where,
        why=" ".join(why.split())[:160],
        remedy="Make it again with kitloom proof --chart-read.",
    )


def _record(data: dict[str, Any]) -> ChartRecord:
    table = np.array(data["patches"]["rgb_lab"], dtype=np.float64)
    if table.ndim != 2 or table.shape[1] != 6 or not np.isfinite(table).all():
        raise _RecordError("patches.rgb_lab needs rows of six numbers")
    if not LEAST_PATCHES <= len(table) <= MOST_PATCHES:
        raise _RecordError(f"it needs {LEAST_PATCHES} to {MOST_PATCHES} patches")
    rgb, lab = table[:, :3], table[:, 3:]
    if (rgb != np.rint(rgb)).any() or rgb.min() < 0 or rgb.max() > 255 or np.abs(lab).max() > 200:
        raise _RecordError("patches.rgb_lab is out of range")
    fit, error, source = data["fit"], data["error"], data["chart"]["source"]
    choice = FitChoice(fit["like"], float(fit["length"]), float(fit["noise"]))
    if choice.like not in LIKE or not 0.05 <= choice.length <= 50.0:
        raise _RecordError("fit.like or fit.length is out of range")
    if not min(NOISES) <= choice.noise <= 10.0 or source not in {"instrument", "scan"}:
        raise _RecordError("fit.noise or chart.source is out of range")
    scanner = data["chart"].get("scanner", "fitted" if source == "scan" else None)
    if scanner is not None and scanner not in get_args(Scanner):
        raise _RecordError("chart.scanner is not one that is known")
    absolute, scale, black = data.get("absolute"), data.get("scale"), data.get("black")
    black_l = float(black["L"]) if black else None
    if black_l is not None and not 0.0 <= black_l <= _MOST_BLACK:
        raise _RecordError("black.L is out of range")
    return ChartRecord(
        chart_id=str(data["chart"].get("id", "")),
        source=source,
        rgb=rgb.astype(np.uint8),
        lab=lab,
        choice=choice,
        error=FitError(float(error["left_out_mean"]), float(error["left_out_95_percent"])),
        reading_de2000=float(error["reading"]),
        paper_lab=triple_of(absolute["paper"]) if absolute else None,
        black_lab=triple_of(absolute["black"]) if absolute else None,
        scale_error=(float(scale["x"]) - 1.0, float(scale["y"]) - 1.0) if scale else None,
        margins_mm={str(k): float(v) for k, v in data.get("margins", {}).items()},
        scanner=scanner,
        black_l=black_l,
    )
