"""Every surface that a series of shots can have read, weighed against bare metal."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from grade_library.bench.observations import BenchModel, bench_facts
from grade_library.facts import BenchFacts
from grade_library.matcher.likelihood import Observed
from grade_library.normal import FloatArray
from grade_library.reading import observed
from grade_library.skin.bench import coated_log_likelihood
from grade_library.skin.density import clean_log_density, coated_log_density
from grade_library.skin.screen import Screen, screen_of, screened
from grade_library.skin.series import Stage
from grade_library.skin.sight import CoatingSight, Sight
from grade_library.skin.unmix import LEAST_SHARE, Before, ShotView, Unmixed, shape_of, unmix

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
UNPROMISING_NATS = 60.0
"""A coating this far behind the best one in the quick look is not fitted."""
N_WELL = 250
"""So many grades beneath each coating are fitted; the others only looked at."""
N_EXACT = 30
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
    """Chance that each stage shows the skin at all, shape (n_stages, n)."""
    shares: FloatArray
    """Share of the skin in each stage where it shows, shape (n_stages, n)."""
    added: FloatArray
    """What the skin adds to the reading of the last stage [wt %], shape (n, n_elements)."""


def stage_view(stage: Stage, sight: Sight, *, is_first: bool) -> StageView:
    """Return a stage laid out over the elements of its sight, with its density as bare metal."""
    laid_out: Observed = observed(stage.averaged, sight.elements)
    shot = ShotView(value=laid_out.value, sigma=laid_out.sigma, below=laid_out.below, gap=laid_out.gap)
    return StageView(
        stage=stage,
        sight=sight,
        shot=shot,
        clean=clean_log_density(sight, shot),
        before=Before(is_ground=stage.is_ground_before, is_first=is_first),
    )


def coated_pieces(
    views: Sequence[StageView], bench: BenchFacts, model: BenchModel, claim: FloatArray, log_bare: float
) -> list[CoatedPiece]:
    """Return every coating that can explain the series, but none that is far behind another or bare metal.

    Args:
        views: The stages, in order.
        bench: Bench facts.
        model: The bench facts of the grades.
        claim: What a claim says of every grade [nats], shape (n_grades,).
        log_bare: Prior and likelihood of every shot having read the bare metal of a grade [nats].
    """
    screens = [screen_of(view.sight, view.shot) for view in views]
    by_hand = bench_facts(bench, model, {})
    looks = []
    for name in _names(views):
        sights = [_coating_of(view.sight, name) for view in views]
        if any(sights):
            seen = _seen(sights)
            hand = (coated_log_likelihood(bench, by_hand, len(claim), seen.coating) + claim)[seen.rows]
            base = seen.log_weight + hand + np.log(seen.coating.met)
            looks.append(_Screened(sights, base, _looked_at(views, screens, sights, base)))
    best = max((look.best for look in looks), default=0.0)
    alike: dict[tuple[object, ...], list[_Screened]] = {}
    for look in looks:
        if look.best > best - UNPROMISING_NATS:
            alike.setdefault(look.shape, []).append(look)
    tries = [tried for together in alike.values() for tried in _fitted(views, together)]
    best = max((tried.best for tried in tries), default=0.0)
    least = max(best - FAR_BEHIND_NATS, log_bare - HOPELESS_NATS)
    return [_coated(tried, views) for tried in tries if tried.best > least]


@dataclass(frozen=True, slots=True, eq=False)
class _Screened:
    """One coating after the quick look at all grades beneath it."""

    sights: Sequence[CoatingSight | None]
    """For each stage, None where its technique does not see the coating; all with the same rows."""
    base: FloatArray
    """Prior and bench facts of coating and grade [nats], shape (n_rows,)."""
    quick: FloatArray
    """Prior and quick look at all stages [nats], shape (n_rows,)."""

    @property
    def best(self) -> float:
        """The quick look of the best grade [nats]."""
        return float(self.quick.max())

    @property
    def shape(self) -> tuple[object, ...]:
        """What coatings that are fitted together have in common."""
        return tuple(sight and shape_of(sight) for sight in self.sights)

    def leading(self) -> "_Screened":
        """Return the same for the grades that lead, at most `N_WELL` of them."""
        kept = np.arange(len(self.base))
        if len(kept) > N_WELL:
            kept = np.sort(np.argpartition(-self.quick, N_WELL)[:N_WELL])
        parts = [sight.part(np.arange(len(sight.fading)), kept) if sight else None for sight in self.sights]
        return _Screened(parts, self.base[kept], self.quick[kept])


def _looked_at(
    views: Sequence[StageView],
    screens: Sequence[Screen],
    sights: Sequence[CoatingSight | None],
    base: FloatArray,
) -> FloatArray:
    """Return prior and likelihood of all stages where at least one shows the skin [nats], shape (n_rows,)."""
    if len(views) == 1:
        only: FloatArray = base + np.log1p(-_chance_bare(views[0])) + screened(screens[0], _seen(sights))
        return only
    rows = _seen(sights).rows
    quick, bare_throughout = base.copy(), base.copy()
    for view, screen, sight in zip(views, screens, sights, strict=True):
        bare, clean = _chance_bare(view), view.clean[rows]
        on_bare = clean if sight is None else np.log(bare) + clean
        bare_throughout += on_bare
        quick += (
            on_bare if sight is None else np.logaddexp(on_bare, np.log1p(-bare) + screened(screen, sight))
        )
    with np.errstate(divide="ignore"):
        found: FloatArray = quick + np.log(-np.expm1(np.minimum(bare_throughout - quick, 0.0)))
    return found


def _names(views: Sequence[StageView]) -> list[str]:
    """Return the coatings that can have added to some stage as much as a reading tells."""
    names: dict[str, None] = {}
    for view in views:
        value = np.nan_to_num(view.shot.value)
        room = value + 3.0 * np.where(value > 0.0, view.shot.sigma, 0.0) + np.nan_to_num(view.shot.below)
        for sight in view.sight.coatings:
            if (
                sight.keys.size
                and value[sight.keys].max() >= LEAST_KEY_WT_PCT
                and _most(sight, room) >= LEAST_SHARE
            ):
                names[sight.coating.name] = None
    return list(names)


def _most(sight: CoatingSight, room: FloatArray) -> float:
    """Return the largest share of a one-layer coating that the reading leaves room for, 0..1."""
    if len(sight.layers) > 1:
        return 1.0
    least = (sight.layers[0] - 2.5 * sight.spread[0]).min(axis=0)
    certain = least > 1.0
    return float(np.min(room[certain] / least[certain], initial=1.0))


def _seen(sights: Sequence[CoatingSight | None]) -> CoatingSight:
    """Return the coating as one of the techniques sees it: its grades are the same for all of them."""
    return next(sight for sight in sights if sight is not None)


def _coating_of(sight: Sight, name: str) -> CoatingSight | None:
    return next((found for found in sight.coatings if found.coating.name == name), None)


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class _Tried:
    """One coating fitted to all stages in the quick, Gaussian measure."""

    base: FloatArray
    """Prior and bench facts of coating and grade [nats], shape (n_rows,)."""
    sights: Sequence[CoatingSight | None]
    """For each stage, None where its technique does not see the coating; all with the same rows."""
    solved: Sequence[Unmixed | None]
    quick: FloatArray
    """Prior and quick likelihood of all stages [nats], shape (n_rows,)."""

    @property
    def best(self) -> float:
        """The quick measure of the best grade [nats]."""
        return float(self.quick.max())


def _fitted(views: Sequence[StageView], screened: Sequence[_Screened]) -> list[_Tried]:
    """Return the fit of coatings of one shape, each for the grades that lead after the quick look."""
    leading = [look.leading() for look in screened]
    quick = [look.base.copy() for look in leading]
    solved: list[list[Unmixed | None]] = [[] for _ in leading]
    total: FloatArray | None = None
    for i, view in enumerate(views):
        sights = [sight for look in leading if (sight := look.sights[i]) is not None]
        found: list[Unmixed] = []
        if sights:
            before = Before(is_ground=view.before.is_ground, is_first=view.before.is_first, total=total)
            found = unmix(view.sight, sights, view.shot, before)
            now = np.concatenate([unmixed.total for unmixed in found])
            total = now if total is None else np.minimum(now, np.maximum(total, 0.02))
        for k, look in enumerate(leading):
            unmixed = found[k] if found else None
            solved[k].append(unmixed)
            fit = unmixed.log_fit if unmixed else None
            quick[k] += _either(view, _seen(look.sights), unmixed, fit)[0]
    return [
        _Tried(base=look.base, sights=look.sights, solved=its_solved, quick=its_quick)
        for look, its_solved, its_quick in zip(leading, solved, quick, strict=True)
    ]


def _coated(tried: _Tried, views: Sequence[StageView]) -> CoatedPiece:
    """Return the coating judged by the full likelihood, for the grades that lead in the quick one."""
    kept = np.argsort(-tried.quick, kind="stable")[:N_EXACT]
    seen = _seen(tried.sights)
    joint, skinned, shares = tried.base[kept], [], []
    for view, sight, unmixed in zip(views, tried.sights, tried.solved, strict=True):
        exact = None
        if sight is not None and unmixed is not None:
            exact = np.full(len(seen.rows), -np.inf)
            exact[kept] = coated_log_density(view.sight, sight, view.shot, unmixed, kept)
        either, chance = _either(view, seen, unmixed, exact)
        joint = joint + either[kept]
        skinned.append(chance[kept])
        shares.append(unmixed.total[kept] if unmixed is not None else np.zeros(len(kept)))
    last_sight, last = tried.sights[-1], tried.solved[-1]
    added = np.zeros((len(kept), len(views[-1].sight.elements)))
    if last_sight is not None and last is not None:
        added = np.einsum("nl,lne->ne", last.shares[kept], last_sight.layers[:, last.scale[kept]])
    return CoatedPiece(
        name=seen.coating.name,
        rows=seen.rows[kept],
        log_joint=joint,
        skinned=np.array(skinned),
        shares=np.array(shares),
        added=added,
    )


def _either(
    view: StageView, coating: CoatingSight, unmixed: Unmixed | None, coated: FloatArray | None
) -> tuple[FloatArray, FloatArray]:
    """Return the density of a stage [nats] and the chance that it shows the skin, shape (n_rows,)."""
    bare = _chance_bare(view)
    on_bare = np.log(bare) + view.clean[coating.rows]
    if unmixed is None or coated is None:
        return view.clean[coating.rows], np.zeros(len(coating.rows))
    on_skin = np.log1p(-bare) + coated
    if view.stage.n_ground_within:
        thick = coating.coating.thickest_um
        stays = np.where(unmixed.total >= OPAQUE, thick / (thick + STAYS_OVER_UM), STAYS_IN_PART)
        on_skin = on_skin + view.stage.n_ground_within * np.log(stays)
    together = np.logaddexp(on_bare, on_skin)
    return together, np.where(unmixed.total >= LEAST_SHARE, np.exp(on_skin - together), 0.0)


def _chance_bare(view: StageView) -> float:
    if view.stage.is_ground_before:
        return BARE_WHEN_GROUND
    return BARE_AT_FIRST if view.before.is_first else BARE_ELSEWHERE


def agreement_log_density(view: StageView, last: StageView) -> float:
    """Return the density of a stage's reading if it is of the same metal as the last one's [nats]."""
    column = {symbol: j for j, symbol in enumerate(last.sight.elements)}
    total = 0.0
    for j in np.flatnonzero(~np.isnan(view.shot.value)):
        k = column.get(view.sight.elements[j])
        if k is None:
            continue
        other = last.shot.value[k]
        sigma = float(np.hypot(view.shot.sigma[j], 0.0 if np.isnan(other) else last.shot.sigma[k]))
        z = (view.shot.value[j] - np.nan_to_num(other)) / sigma
        near = (1.0 - DISAGREE_BY_CHANCE) * np.exp(-0.5 * z * z) + DISAGREE_BY_CHANCE / 6.0 * np.exp(
            -0.5 * (z / 6.0) ** 2
        )
        total += float(np.log(max(near, 1e-200) / (sigma * np.sqrt(2.0 * np.pi))))
    return total


def broad_log_density(view: StageView) -> float:
    """Return the density of a reading that can be of anything: log-uniform in every element [nats]."""
    value = view.shot.value[~np.isnan(view.shot.value)]
    return float(-np.log((value + 0.02) * np.log(100.0 / 0.02)).sum())
