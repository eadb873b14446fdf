"""What a press can print: the protocol that every press keeps, and the register of presses.

A press turns the colour asked for into the colour that would be on paper. Everything is CIELAB
(D50), relative to the paper's white and with black point compensation on both sides, so that plain
white and plain black are never flagged: paper white is asked for as L* 100 and printed as L* 100.

A new press is a module beside this one with a class that keeps ``Press``. One for a surface has a
line in ``palette.surfaces``, one that a file describes a branch in ``open_press``.
"""

from __future__ import annotations

from importlib import import_module
from pathlib import Path

from palette.errors import ProfileError
from palette.press.protocol import Intent, Press
from palette.surfaces import DEFAULT_SURFACE, SURFACES


def open_press(
    surface: str = DEFAULT_SURFACE,
    profile: Path | None = None,
    *,
    intent: Intent = "relative",
    black_point_compensation: bool = True,
    chart: Path | None = None,
    convert: bool = False,
) -> Press:
    """Return the press that a recipe or an option names.

    Args:
        surface: a key of ``SURFACES``; used without a profile.
        profile: a printer's ICC profile.
        intent: with a profile, "perceptual", "relative", "saturation" or "absolute".
        black_point_compensation: with a profile, whether black is scaled to black on both sides.
        chart: a printer's file, measured from its own chart; it wins over the others.
        convert: whether the print is drawn in the printer's own numbers, through its chart or RGB
            profile; the press then is a ``SendingPress``.

    Raises:
        ProfileError: another surface, or a profile or chart that cannot be used.
    """
    if chart is not None:
        from palette.press.chart_press import open_chart
        from palette.press.chart_profile import converted_press

        measured = open_chart(chart)
        return converted_press(measured, str(chart)) if convert else measured
    if profile is not None:
        from palette.press.icc import open_profile

        own = open_profile(profile, intent, bpc=black_point_compensation)
        if convert:
            own.check_sends()
        return own
    if surface not in SURFACES:
        raise ProfileError(
            f'"{surface}" is not a surface',
            where="press.surface",
            remedy=f"Write one of {', '.join(SURFACES)}, or name a printer profile.",
        )
    module, function = SURFACES[surface].source.split(":")
    press: Press = getattr(import_module(module), function)(surface)
    return press
