"""Which colour of another palette does each colour of this artwork become?

In: the artwork's palette, the palette to wear, and pairs that somebody asked for. Out: a target for
each colour of the artwork, for ``palette.choose.recolouring``.

Hues are matched, not single colours: light and dark tones of one hue become tones of one hue, and
two hues that are far apart become two, as long as there are enough. Within a hue, a tone becomes a
colour of the palette where one lies near in lightness and order; else a lighter or darker tone of
such a one. Over all, lightness keeps its order, and of each two colours' difference in lightness at
least ``KEPT_CONTRAST``.

Sources: hue and chroma are those of OKLab (``palette.space.oklab``); the order is kept by isotonic
regression (Barlow and others, "Statistical inference under order restrictions", 1972); hues are
matched by linear assignment, and exchanges from there. The costs are ours, judged by eye on artwork
drawn for that.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np

from palette.arrays import Floats, Indices
from palette.choose.recolouring import Pair
from palette.choose.swatch import Palette
from palette.errors import PaletteError
from palette.space import from_polar, hex_to_lab, lab_to_oklab, oklab_to_lab, to_polar

KEPT_CONTRAST = 0.6
HUE_DEGREES = 40.0  # the widest that one hue reaches: a leaf in the sun and in the shade
NEUTRAL_CHROMA = 9.0
PALE_LIGHTNESS, PALE_CHROMA = 86.0, 22.0  # creams and blushes are grounds, whatever their hue
OWN_TONE = 20.0  # L*: a palette's colour this near stands for a tone, else the tone is mixed
_HUE_LOST = 0.6  # what it costs, in half turns of hue, that a hue becomes a grey or a grey a hue
_LIGHTEST, _DARKEST = 98.0, 4.0


@dataclass(frozen=True, eq=False)
class _Hue:
    """The colours of one hue, or the pale and grey ones, of a palette.

    Attributes:
        at: their places in the palette.
        labs: (n, 3) CIELAB (D50).
        shares: (n,) of the area, 0 to 1.
        neutral: whether they are pale or grey.
    """

    at: tuple[int, ...]
    labs: Floats
    shares: Floats
    neutral: bool

    @property
    def key(self) -> int:
        """The place, within the hue, of the colour that covers most."""
        return int(self.shares.argmax())


def match_palettes(
    source: Palette, target: Palette, own: Sequence[tuple[str, str]] = ()
) -> tuple[Pair, ...]:
    """Match two palettes hue by hue, for ``recolour``.

    Args:
        source: the artwork's palette.
        target: the palette to wear.
        own: pairs of hex colours, old and new: what some colours of the source have to become,
            whatever its lightness. The other tones of such a colour's hue follow it.

    Returns:
        a pair for each colour of the source, in its order.

    Raises:
        PaletteError: one of them is empty.
    """
    if not len(source) or not len(target):
        raise PaletteError(
            "an empty palette cannot be matched", where="colourway", remedy="Give some colours."
        )
    fixed = {i: hex_to_lab(new) for i, new in _places(source, own)}
    hues, others = _hues(source), _hues(target)
    new = source.labs.copy()
    for hue, wears in _worn_together(hues, _assigned(hues, others)):
        asked = {place: fixed[i] for place, i in enumerate(hue.at) if i in fixed}
        new[list(hue.at)] = _tones(hue, wears, asked)
    # squared: what covers most is to have the palette's very colour
    weights = np.array([one.share for one in source.swatches]) ** 2 + 1e-6
    free = [i for i in range(len(source)) if i not in fixed]
    if free:
        light = _in_order(source.labs[free, 0], new[free, 0], weights[free])
        moved = np.abs(light - new[free, 0]) > 0.01
        at = np.array(free)[moved]
        new[at] = _with_lightness(new[at], light[moved])
    return tuple(zip(source.labs, new, strict=True))


def _places(source: Palette, own: Sequence[tuple[str, str]]) -> list[tuple[int, str]]:
    wanted = dict(own)
    return [(i, wanted[one.hex]) for i, one in enumerate(source.swatches) if one.hex in wanted]


def _hues(palette: Palette) -> list[_Hue]:
    """Put a palette's colours into hues: the nearest two join while they span few degrees."""
    labs = palette.labs
    polar = to_polar(lab_to_oklab(labs))
    chroma = np.hypot(labs[:, 1], labs[:, 2])
    grey = (chroma < NEUTRAL_CHROMA) | ((labs[:, 0] >= PALE_LIGHTNESS) & (chroma < PALE_CHROMA))
    groups = [[int(i)] for i in np.flatnonzero(~grey)]
    apart = np.degrees(_turn(polar[:, None, 2], polar[None, :, 2]))
    while len(groups) > 1:
        spans = [
            (max(apart[i, j] for i in one for j in other), first, second)
            for first, one in enumerate(groups)
            for second, other in enumerate(groups[:first])
        ]
        span, first, second = min(spans)
        if span > HUE_DEGREES:
            break
        groups[second] += groups.pop(first)
    shares = np.array([one.share for one in palette.swatches])
    found = [(sorted(one), False) for one in groups]
    if grey.any():
        found.append((np.flatnonzero(grey).tolist(), True))
    return [_Hue(tuple(at), labs[at], shares[at], neutral) for at, neutral in found]


def _turn(one: Floats, other: Floats) -> Floats:
    """Return the angle between hues in radians, 0 to pi."""
    turn: Floats = np.abs((one - other + np.pi) % (2.0 * np.pi) - np.pi)
    return turn


def _assigned(hues: Sequence[_Hue], others: Sequence[_Hue]) -> list[_Hue]:
    """Return for each hue the one to wear: the nearest, and not one for two that are far apart.

    From the best with one each, single hues are moved and two exchanged for as long as that helps.
    """
    from scipy.optimize import linear_sum_assignment

    weight = np.sqrt(np.array([one.shares.sum() + 1e-3 for one in hues]))
    cost = np.array([[_cost(one, other) for other in others] for one in hues]) * weight[:, None]
    apart = np.array([[_lost_if_one(one, other) for other in hues] for one in hues])
    apart *= np.minimum(weight[:, None], weight[None])

    def total(wears: Indices) -> float:
        shared = np.triu(wears[:, None] == wears[None], 1)
        return float(cost[np.arange(len(wears)), wears].sum() + apart[shared].sum())

    best = cost.argmin(axis=1)
    rows, columns = linear_sum_assignment(cost)
    best[rows] = columns
    while True:
        better = min(_neighbours(best, len(others)), key=total, default=best)
        if not total(better) < total(best) - 1e-12:
            return [others[i] for i in best]
        best = better


def _worn_together(hues: Sequence[_Hue], wears: Sequence[_Hue]) -> Iterator[tuple[_Hue, _Hue]]:
    """Return each hue that is worn, with all that wear it as one: their tones share its colours."""
    for other in dict.fromkeys(wears):
        same = [hue for hue, one in zip(hues, wears, strict=True) if one is other]
        at = tuple(place for hue in same for place in hue.at)
        labs = np.concatenate([hue.labs for hue in same])
        shares = np.concatenate([hue.shares for hue in same])
        yield _Hue(at, labs, shares, all(hue.neutral for hue in same)), other


def _neighbours(wears: Indices, count: int) -> list[Indices]:
    """Return the assignments that differ by one hue's or by an exchange of two."""
    found = []
    for i in range(len(wears)):
        for other in range(count):
            moved = wears.copy()
            moved[i] = other
            found.append(moved)
        for j in range(i):
            moved = wears.copy()
            moved[i], moved[j] = wears[j], wears[i]
            found.append(moved)
    return found


def _lost_if_one(one: _Hue, other: _Hue) -> float:
    """Return what it costs that two hues become one: little between greens, much from afar."""
    if one.neutral or other.neutral:
        return _HUE_LOST
    first, second = to_polar(lab_to_oklab(np.stack([one.labs[one.key], other.labs[other.key]])))
    return float(_turn(first[2], second[2]) / (np.pi / 2.0)) ** 2


def _cost(one: _Hue, other: _Hue) -> float:
    key = one.labs[one.key]
    apart = np.abs(other.labs[:, 0] - key[0])
    near = other.labs[int(apart.argmin())]
    if one.neutral and other.neutral:
        hue = 0.0
    elif one.neutral or other.neutral:
        hue = _HUE_LOST
    else:
        first, second = to_polar(lab_to_oklab(np.stack([key, near])))
        hue = float(_turn(first[2], second[2])) / np.pi
    chroma = abs(np.hypot(*key[1:]) - np.hypot(*near[1:]))
    return hue + float(apart.min()) / 100.0 + float(chroma) / 150.0


def _tones(hue: _Hue, wears: _Hue, asked: dict[int, Floats]) -> Floats:
    """Return what each tone of a hue becomes, (n, 3) CIELAB (D50)."""
    anchors = dict(asked) or {hue.key: _nearest_tone(wears.labs, hue.labs[hue.key])}
    free = [lab for lab in wears.labs if not asked]
    for place in np.argsort(-hue.shares, kind="stable").tolist():
        if place not in anchors:
            fitting = [lab for lab in free if _fits(hue.labs[place], lab, hue, anchors)]
            if fitting:
                anchors[place] = _nearest_tone(np.array(fitting), hue.labs[place])
    at = sorted(anchors, key=lambda place: hue.labs[place, 0])
    old_light = hue.labs[at, 0]
    new_labs = np.array([anchors[place] for place in at])
    result = np.empty_like(hue.labs)
    for place, lab in enumerate(hue.labs):
        if place in anchors:
            result[place] = anchors[place]
            continue
        beside = int(np.abs(old_light - lab[0]).argmin())
        light = new_labs[beside, 0] + lab[0] - old_light[beside]
        if old_light[0] < lab[0] < old_light[-1]:
            light = float(np.interp(lab[0], old_light, new_labs[:, 0]))
        light = min(max(light, _DARKEST), _LIGHTEST)
        result[place] = _mixed(new_labs[beside], light, _chroma_kept(lab, hue.labs[at[beside]]))
    return result


def _fits(lab: Floats, tone: Floats, hue: _Hue, anchors: dict[int, Floats]) -> bool:
    """Say whether a colour of the palette may stand for a tone: near, and in order with others."""
    near = abs(float(tone[0] - lab[0])) <= OWN_TONE
    return near and all(
        (lab[0] - hue.labs[place, 0]) * (tone[0] - taken[0]) > 0.0
        for place, taken in anchors.items()
    )


def _nearest_tone(labs: Floats, lab: Floats) -> Floats:
    nearest: Floats = labs[int(np.abs(labs[:, 0] - lab[0]).argmin())]
    return nearest


def _chroma_kept(lab: Floats, of: Floats) -> float:
    """Return how much of its neighbour's chroma a tone has, within bounds."""
    ratio = np.hypot(*lab[1:]) / max(float(np.hypot(*of[1:])), 1.0)
    return float(np.clip(ratio, 0.3, 1.3))


def _mixed(lab: Floats, light: float, chroma: float) -> Floats:
    """Return a tone of a colour with another lightness L* and so many times its chroma."""
    polar = to_polar(lab_to_oklab(lab))
    polar[1] *= chroma
    less = oklab_to_lab(from_polar(polar))
    tone: Floats = _with_lightness(less[None], np.array([light]))[0]
    return tone


def _with_lightness(labs: Floats, light: Floats) -> Floats:
    """Return colours, (n, 3) CIELAB, with other lightness L*, (n,): the same in OKLab's hue.

    Chroma shrinks towards black and white, as far as lightness goes on its way there.
    """
    polar = to_polar(lab_to_oklab(labs))
    room = np.minimum(labs[:, 0], 100.0 - labs[:, 0]) + 10.0
    left = np.minimum(light, 100.0 - light) + 10.0
    polar[:, 1] *= np.minimum(1.0, left / room)
    for _ in range(12):  # OKLab's lightness follows L* closely, so steps of the difference settle
        polar[:, 0] += 0.9 * (light - oklab_to_lab(from_polar(polar))[:, 0])
    return oklab_to_lab(from_polar(polar))


def _in_order(old: Floats, new: Floats, weights: Floats) -> Floats:
    """Return lightnesses nearest to ``new`` that keep the order of ``old`` and enough contrast."""
    from scipy.optimize import isotonic_regression

    order = np.lexsort((new, old))
    rising = new[order] - KEPT_CONTRAST * old[order]
    fitted = isotonic_regression(rising, weights=weights[order]).x
    result = np.empty_like(new)
    result[order] = fitted + KEPT_CONTRAST * old[order]
    # bounds that rise with the old lightness themselves, so that the ends keep their contrast too
    lowest = min(_DARKEST, float(new.min())) + KEPT_CONTRAST * (old - old.min())
    highest = max(_LIGHTEST, float(new.max())) - KEPT_CONTRAST * (old.max() - old)
    return np.clip(result, lowest, highest)
