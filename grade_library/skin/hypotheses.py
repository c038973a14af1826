"""Every surface that a series of shots can have read, weighed against bare metal."""

import functools
import itertools
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from grade_library.bench.observations import BenchModel, bench_facts
from grade_library.facts import BenchFacts, Reading
from grade_library.matcher.hypotheses import Joint
from grade_library.matcher.likelihood import Observed
from grade_library.normal import FloatArray
from grade_library.reading import observed
from grade_library.skin.bench import coated_log_likelihood
from grade_library.skin.coating_sight import CoatingSight
from grade_library.skin.density import Fit, coated_log_density, stray_log_density
from grade_library.skin.series import Stage
from grade_library.skin.sight import Beneath, ShotView, Sight
from grade_library.skin.unmix import LEAST_SHARE, Before, Unmixed, unmix

BARE_AT_FIRST = 0.03
"""Chance that the first shot on a coated piece hits bare metal: worn through, a cut edge (memory)."""
BARE_WHEN_GROUND = 0.30
"""The same after a grind: sorters stop when the colour changes (memory)."""
BARE_ELSEWHERE = 0.10
"""The same when a later shot differs though nothing was ground: another place (memory)."""
STAYS_OVER_UM = 600.0
"""A skin t µm thick still covers the spot after a grind with chance t/(t + this): grinders take tenths of a
mm (memory)."""
STAYS_IN_PART = 0.03
"""Chance that a spot shows core and skin in the very same shares after a grind (memory)."""
OPAQUE = 0.97
FAR_BEHIND_NATS = 20.0
"""A coating this far behind the best one in the quick measure is not judged by the full likelihood."""
HOPELESS_NATS = 12.0
"""The same for one this far behind the bare metal of a grade."""
MOST_COATINGS = 3
"""So many coatings are judged by the full likelihood."""
HELD_OF_FALL = 0.6
"""A coating is tried where its elements hold this part of what fell along the series."""
N_EXACT = 12
"""So many grades beneath each coating are judged by the full likelihood; the others by a Gaussian one."""
LEAST_KEY_WT_PCT = 0.4
"""A coating none of whose main elements is read at this much [wt %] in any shot is not tried."""
DISAGREE_BY_CHANCE = 0.01
"""Share of elements that differ between two shots on the same metal far beyond the noise (memory)."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class StageView:
    """One stage of a series over the elements of the sight of its technique."""

    stage: Stage
    sight: Sight
    shot: ShotView
    clean: FloatArray
    """Density of its reading for every grade as bare metal [nats], shape (n_grades,)."""
    before: Before


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class CoatedPiece:
    """One coating that the series can be of, for the grades beneath it that come into question."""

    name: str
    rows: NDArray[np.int64]
    """Grades, shape (n,)."""
    log_joint: FloatArray
    """Prior and likelihood of coating, grade and all shots [nats], shape (n,)."""
    skinned: FloatArray
    """Chance that each stage shows the skin at all, shape (n_stages, n), or (n_stages, 1) for all alike."""
    shares: FloatArray
    """Share of the skin in each stage where it shows, same shape."""
    added: FloatArray
    """What the skin adds to the reading of the last stage [wt %], shape (n, n_elements)."""
    sight: CoatingSight | None = None
    """The coating over all grades that may carry it; None for a skin that is none of the list."""
    log_before: float = -np.inf
    """How well it explains the stages before the last, by the likeliest grade, its own frequency counted
    [nats]."""
    unlisted: Joint | None = None
    """The same for metals that the library does not list; None where only listed ones are judged."""
    core: Reading | None = None
    """The last reading with the skin taken out, where it is the same for every grade."""
    tell: str = ""
    """What splits it from the bare metal that reads the same, and what each answer means."""


def stage_view(stage: Stage, sight: Sight, as_metal: FloatArray, *, is_first: bool) -> StageView:
    """Return a stage laid out over the elements of its sight.

    Args:
        stage: The stage.
        sight: What its technique sees.
        as_metal: Density of its reading for every grade as bare metal, by the elements that grades name
            [nats], shape (n_grades,).
        is_first: Nothing was shot before.
    """
    laid_out: Observed = observed(stage.averaged, sight.elements)
    shot = ShotView(
        value=laid_out.value,
        sigma=laid_out.sigma,
        below=laid_out.below,
        gap=float(laid_out.gap),
        gap_sigma=float(laid_out.gap_sigma),
    )
    return StageView(
        stage=stage,
        sight=sight,
        shot=shot,
        clean=as_metal + stray_log_density(sight, shot),
        before=Before(is_ground=stage.is_ground_before, is_first=is_first),
    )


def coated_pieces(
    views: Sequence[StageView],
    bench: BenchFacts,
    model: BenchModel,
    claim: FloatArray,
    log_bare: float,
    likely: NDArray[np.int64],
) -> list[CoatedPiece]:
    """Return every coating that can explain the series, but none that is far behind another or bare metal.

    Args:
        views: The stages, in order.
        bench: Bench facts.
        model: The bench facts of the grades.
        claim: What a claim says of every grade [nats], shape (n_grades,).
        log_bare: Prior and likelihood of every shot having read the bare metal of a grade [nats].
        likely: Grades that may lie beneath, beside those that usually carry each coating.
    """
    by_hand = bench_facts(bench, model, {})
    alike: dict[tuple[int, ...], list[_Looked]] = {}
    for name in _names(views):
        sights = [view.sight.by_name.get(name) for view in views]
        seen = _seen(sights)
        at = seen.beneath(likely)
        rows = seen.rows[at]
        hand = (coated_log_likelihood(bench, by_hand, len(claim), seen.coating) + claim)[rows]
        look = _Looked(sights, at, rows, seen.usual_log_weight[at] + hand + np.log(seen.coating.met))
        alike.setdefault(look.shape, []).append(look)
    tries = [tried for together in alike.values() for tried in _fitted(views, together)]
    best = max((tried.best for tried in tries), default=0.0)
    least = max(best - FAR_BEHIND_NATS, log_bare - HOPELESS_NATS)
    leading = sorted((tried for tried in tries if tried.best > least), key=lambda tried: -tried.best)
    leading = leading[:MOST_COATINGS]
    exact = _exact(views, leading)
    return [_coated(tried, views, exact[k]) for k, tried in enumerate(leading)]


@dataclass(frozen=True, slots=True, eq=False)
class _Looked:
    """One coating over the grades that may lie beneath it."""

    sights: Sequence[CoatingSight | None]
    """For each stage, None where its technique does not see the coating; all with the same rows."""
    at: NDArray[np.int64]
    """Places of those grades among its rows, shape (n_rows,)."""
    rows: NDArray[np.int64]
    """The grades, same shape."""
    base: FloatArray
    """Prior and bench facts of coating and grade [nats], same shape."""

    @property
    def shape(self) -> tuple[int, ...]:
        """What coatings that are fitted together have in common."""
        return tuple(sight.n_scales if sight else 0 for sight in self.sights)


def _names(views: Sequence[StageView]) -> list[str]:
    """Return the coatings that can have added to some stage as much as a reading tells, and that hold most of
    what fell where there are several stages."""
    fell = fallen(views)
    names: dict[str, None] = {}
    for view in views:
        value, below = _or_none(view.shot.value), _or_none(view.shot.below)
        room = value + 3.0 * np.where(value > 0.0, view.shot.sigma, 0.0) + below
        is_there = (value * view.sight.is_key).max(axis=1) >= LEAST_KEY_WT_PCT
        is_there &= view.sight.most_shares(room) >= LEAST_SHARE
        for k in np.flatnonzero(is_there).tolist():
            coating = view.sight.coatings[k].coating
            if fell is None or sum(fell.get(s, 0.0) for s in coating.elements) >= HELD_OF_FALL:
                names[coating.name] = None
    return list(names)


def _or_none(values: FloatArray) -> FloatArray:
    """Return the values, 0 where there is none."""
    return np.where(np.isnan(values), 0.0, values)


def fallen(views: Sequence[StageView]) -> Mapping[str, float] | None:
    """Return the part of each element in all that fell toward the last stage, None for one stage; sums to 1
    or more."""
    if len(views) == 1:
        return None
    last = views[-1].stage.averaged.values
    fell: dict[str, float] = {}
    for view in views[:-1]:
        for symbol, x in view.stage.averaged.values.items():
            fell[symbol] = max(fell.get(symbol, 0.0), x - last.get(symbol, 0.0))
    total = max(sum(fell.values()), 1e-9)
    return {symbol: x / total for symbol, x in fell.items()}


def _seen(sights: Sequence[CoatingSight | None]) -> CoatingSight:
    """Return the coating as one of the techniques sees it: its grades are the same for all of them."""
    return next(sight for sight in sights if sight is not None)


@dataclass(frozen=True, kw_only=True, eq=False)
class _Tried:
    """One coating fitted to all stages in the quick, Gaussian measure."""

    look: _Looked
    solved: Sequence[Unmixed | None]
    quick: FloatArray
    """Prior and quick likelihood of all stages [nats], shape (n_rows,)."""

    @property
    def best(self) -> float:
        """The quick measure of the best grade [nats]."""
        return float(self.quick.max())

    @functools.cached_property
    def kept(self) -> NDArray[np.int64]:
        """Places of the grades that are judged by the full likelihood."""
        return np.argsort(-self.quick, kind="stable")[:N_EXACT]


def _fitted(views: Sequence[StageView], looks: Sequence[_Looked]) -> list[_Tried]:
    """Return the fit of coatings of one shape."""
    # Those of most layers first, as they are solved.
    looks = sorted(looks, key=lambda look: -len(_seen(look.sights).layers))
    counts = [len(look.base) for look in looks]
    rows = np.concatenate([look.rows for look in looks])
    thick = np.repeat([_seen(look.sights).coating.thickest_um for look in looks], counts)
    quick = np.concatenate([look.base for look in looks])
    solved: list[Unmixed | None] = []
    total: FloatArray | None = None
    for i, view in enumerate(views):
        # Coatings of one shape are seen in a stage all or none.
        sights = [sight for look in looks if (sight := look.sights[i]) is not None]
        unmixed: Unmixed | None = None
        if sights:
            before = Before(is_ground=view.before.is_ground, is_first=view.before.is_first, total=total)
            beneath = Beneath(together=view.sight.together, coatings=sights, at=[look.at for look in looks])
            unmixed = unmix(view.sight, beneath, view.shot, before)
            now = unmixed.total
            total = now if total is None else np.minimum(now, np.maximum(total, 0.02))
        solved.append(unmixed)
        fit = unmixed.log_fit if unmixed else None
        quick += _either(view, rows, thick, unmixed, fit)[0]
    ends = np.cumsum([0, *counts]).tolist()
    return [
        _Tried(
            look=look,
            solved=[unmixed and unmixed.part(slice(first, last)) for unmixed in solved],
            quick=quick[first:last],
        )
        for look, (first, last) in zip(looks, itertools.pairwise(ends), strict=True)
    ]


def _exact(views: Sequence[StageView], leading: Sequence[_Tried]) -> list[list[FloatArray | None]]:
    """Return the full likelihood of each stage beneath each coating [nats], for the grades that lead in the
    quick one, shape (n_kept,); None where the technique does not see the coating."""
    found: list[list[FloatArray | None]] = [[None] * len(views) for _ in leading]
    for sight in {id(view.sight): view.sight for view in views}.values():
        fits: dict[tuple[int, int], Fit] = {}
        for k, tried in enumerate(leading):
            for i, view in enumerate(views):
                coating, unmixed = tried.look.sights[i], tried.solved[i]
                if view.sight is sight and coating is not None and unmixed is not None:
                    at = tried.look.at[tried.kept]
                    fits[k, i] = Fit(shot=view.shot, coating=coating, at=at, unmixed=unmixed.part(tried.kept))
        judged = coated_log_density(sight, list(fits.values())) if fits else []
        for (k, i), log_density in zip(fits, judged, strict=True):
            found[k][i] = log_density
    return found


def _coated(tried: _Tried, views: Sequence[StageView], exact: Sequence[FloatArray | None]) -> CoatedPiece:
    """Return the coating judged by the full likelihood, for the grades that lead in the quick one."""
    kept, look = tried.kept, tried.look
    seen, rows = _seen(look.sights), look.rows[kept]
    joint, skinned, shares = look.base[kept], [], []
    before = np.full(len(kept), np.log(seen.coating.met))
    solved = [unmixed and unmixed.part(kept) for unmixed in tried.solved]
    for i, (view, unmixed) in enumerate(zip(views, solved, strict=True)):
        either, chance = _either(view, rows, seen.coating.thickest_um, unmixed, exact[i])
        joint = joint + either
        before = before + (either if i < len(views) - 1 else 0.0)
        skinned.append(chance)
        shares.append(unmixed.total if unmixed is not None else np.zeros(len(kept)))
    last_sight, last = look.sights[-1], solved[-1]
    added = np.zeros((len(kept), len(views[-1].sight.elements)))
    if last_sight is not None and last is not None:
        added = last.added(views[-1].sight, np.full(len(kept), last_sight.place))
    return CoatedPiece(
        name=seen.coating.name,
        rows=rows,
        log_joint=joint,
        skinned=np.array(skinned),
        shares=np.array(shares),
        added=added,
        sight=seen,
        log_before=float(before.max()),
    )


def _either(
    view: StageView,
    rows: NDArray[np.int64],
    thick_um: FloatArray | float,
    unmixed: Unmixed | None,
    coated: FloatArray | None,
) -> tuple[FloatArray, FloatArray]:
    """Return the density of a stage [nats] and the chance that it shows the skin, shape (n_rows,).

    Args:
        view: The stage.
        rows: Grades beneath a coating, shape (n_rows,).
        thick_um: The most that the coating comes to [µm].
        unmixed: Its shares in the stage; None where the technique does not see it.
        coated: Density of the stage beneath it [nats], shape (n_rows,).
    """
    bare = _chance_bare(view)
    clean = view.clean[rows]
    if unmixed is None or coated is None:
        return clean, np.zeros(len(rows))
    on_bare, on_skin = np.log(bare) + clean, np.log1p(-bare) + coated
    if view.stage.n_ground_within:
        stays = np.where(unmixed.total >= OPAQUE, thick_um / (thick_um + STAYS_OVER_UM), STAYS_IN_PART)
        on_skin = on_skin + view.stage.n_ground_within * np.log(stays)
    together = np.logaddexp(on_bare, on_skin)
    return together, np.where(unmixed.total >= LEAST_SHARE, np.exp(on_skin - together), 0.0)


def _chance_bare(view: StageView) -> float:
    if view.stage.is_ground_before:
        return BARE_WHEN_GROUND
    return BARE_AT_FIRST if view.before.is_first else BARE_ELSEWHERE


def agreement_log_density(view: StageView, last: StageView) -> float:
    """Return the density of a stage's reading if it is of the same metal as the last one's [nats]."""
    there = {symbol: k for k, symbol in enumerate(last.sight.elements)}
    pairs = [
        (j, there[view.sight.elements[j]])
        for j in np.flatnonzero(~np.isnan(view.shot.value)).tolist()
        if view.sight.elements[j] in there
    ]
    if not pairs:
        return 0.0
    here, other = np.array(pairs).T
    value, sigma = last.shot.value[other], last.shot.sigma[other]
    is_read = ~np.isnan(value)
    spread = np.hypot(view.shot.sigma[here], np.where(is_read, sigma, 0.0))
    z = (view.shot.value[here] - np.where(is_read, value, 0.0)) / spread
    near = (1.0 - DISAGREE_BY_CHANCE) * np.exp(-0.5 * z * z)
    near += DISAGREE_BY_CHANCE / 6.0 * np.exp(-0.5 * (z / 6.0) ** 2)
    return float(np.log(np.maximum(near, 1e-200) / (spread * np.sqrt(2.0 * np.pi))).sum())


def broad_log_density(view: StageView) -> float:
    """Return the density of a reading that can be of anything: log-uniform in every element [nats]."""
    value = view.shot.value[~np.isnan(view.shot.value)]
    return float(-np.log((value + 0.02) * np.log(100.0 / 0.02)).sum())
