"""A consignment as its rows leave it: parts, weights, criteria ticked, sealed, sent, what the buyer found."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from enum import StrEnum
from typing import Any

from console.ground.dates import local_day_and_time
from console.ground.scanned import bare_tag
from console.ledger.rows.rows import Row
from console.yard.loads.load_sheet import SheetRadiation, SheetTick

TAG = "consignment"
"""Key of a row's body: which consignment it is about."""
ACT = "act"
"""Key of a row's body: what was done to it."""
SHEET = "sheet"
"""Key of the body of a seal: everything that the papers say."""


class Act(StrEnum):
    """What a row of a consignment did."""

    BEGIN = "begin"
    PUT = "put"
    TAKE = "take"
    WEIGH = "weigh"
    FOREIGN = "foreign"
    """Foreign material was weighed out of a sample."""
    TICK = "tick"
    """A named person says how it stands with a criterion that the program cannot know."""
    RADIATION = "radiation"
    """Radiation was measured round it."""
    SEAL = "seal"
    SEND = "send"
    FOUND = "found"
    """What the buyer found."""


FIXED_BY_THE_SEAL = frozenset(Act) - {Act.SEND, Act.FOUND}
"""What nobody takes back once it is sealed, the seal itself among it."""


class State(StrEnum):
    """How far a consignment is."""

    OPEN = "open"
    SEALED = "sealed"
    SENT = "sent"


@dataclass(frozen=True, slots=True, kw_only=True)
class Part:
    """A bale or box, or a loose amount of a bay that leaves it when the consignment is sealed."""

    key: str
    """Row that put it in, and its number in that row, from 0."""
    draw_down_id: str
    """row_id of the draw-down; empty for a loose amount before the seal."""
    name: str
    """The tag; of a loose amount the bay, before the seal."""
    bay: str
    mass_g: int
    despite: str = ""
    """Why it goes there though the order refuses what may lie in its bay; empty where it does not."""

    @property
    def is_loose(self) -> bool:
        """Whether it still lies in its bay."""
        return not self.draw_down_id

    def drawn(self, draw_down_id: str, tag: str) -> "Part":
        """Return a loose part as the bale that it became at the seal."""
        return replace(self, draw_down_id=draw_down_id, name=tag)


@dataclass(frozen=True, slots=True, kw_only=True)
class Consignment:
    """What goes to one buyer at one time."""

    tag: str
    begun: Row
    buyer: str
    """Code, as yard.toml had it."""
    order: str
    parts: tuple[Part, ...] = ()
    """In the order in which they were put in."""
    gross_g: int | None = None
    """On the truck scale [g]; None where it was not weighed as a whole."""
    tare_g: int = 0
    foreign: tuple[int, int] | None = None
    """Foreign material and the sample that it was weighed out of [g]; None where nobody weighed."""
    radiation: tuple[SheetRadiation, ...] = ()
    """Every measurement, oldest first."""
    ticks: tuple[SheetTick, ...] = ()
    """The last word on each criterion."""
    sealed: Row | None = None
    sent: Row | None = None
    found: tuple[Row, ...] = ()
    """Rows with what the buyer found, oldest first; the last one counts."""

    @property
    def state(self) -> State:
        """How far it is."""
        if self.sent is not None:
            return State.SENT
        return State.OPEN if self.sealed is None else State.SEALED

    @property
    def parts_g(self) -> int:
        """Sum of the weights of its parts [g]."""
        return sum(part.mass_g for part in self.parts)

    @property
    def net_g(self) -> int:
        """Its weight: by the truck scale where it was weighed as a whole, else by its parts [g]."""
        return self.parts_g if self.gross_g is None else self.gross_g - self.tare_g

    @property
    def foreign_wt_pct(self) -> float | None:
        """Foreign material [wt %]; None where nobody weighed it."""
        return None if self.foreign is None else 100.0 * self.foreign[0] / self.foreign[1]

    @property
    def sheet(self) -> Mapping[str, Any] | None:
        """What the papers of a sealed one say, as it was written at the seal; None for an open one."""
        return None if self.sealed is None else self.sealed.body[SHEET]

    def part_named(self, words: str, besides: Sequence[Part] = ()) -> Part | None:
        """Return the part with a tag or a bay, typed or scanned; the newest of several loose ones of a bay.

        Args:
            words: Its name.
            besides: Parts that are not meant.
        """
        asked = bare_tag(words)
        left = (part for part in reversed(self.parts) if part not in besides)
        return next((part for part in left if bare_tag(part.name) == asked), None)


def folded(rows: Iterable[Row]) -> dict[str, Consignment]:
    """Return every consignment by its tag, oldest first.

    Args:
        rows: Those of consignments that stand, oldest first.
    """
    by_tag: dict[str, dict[str, Any]] = {}
    for row in rows:
        tag = str(row.body[TAG])
        if row.body[ACT] == Act.BEGIN:
            buyer, order = str(row.body["buyer"]), str(row.body["order"])
            by_tag[tag] = {"tag": tag, "begun": row, "buyer": buyer, "order": order}
        elif tag in by_tag:
            _fold(by_tag[tag], row)
    return {
        tag: Consignment(
            **{
                **known,
                "parts": tuple(known.get("parts", {}).values()),
                "ticks": tuple(known.get("ticks", {}).values()),
            }
        )
        for tag, known in by_tag.items()
    }


def _fold(known: dict[str, Any], row: Row) -> None:
    body = row.body
    match Act(body[ACT]):
        case Act.PUT:
            known.setdefault("parts", {}).update({part.key: part for part in parts_put(row)})
        case Act.TAKE:
            for key in body["taken"]:
                known.get("parts", {}).pop(str(key), None)
        case Act.WEIGH:
            known["gross_g"], known["tare_g"] = int(body["gross_g"]), int(body["tare_g"])
        case Act.FOREIGN:
            known["foreign"] = (int(body["foreign_g"]), int(body["of_g"]))
        case Act.TICK:
            said = str(body["criterion"])
            known.setdefault("ticks", {})[said] = SheetTick(
                criterion=said, is_met=bool(body["is_met"]), person=row.person, words=str(body["words"])
            )
        case Act.RADIATION:
            known["radiation"] = (*known.get("radiation", ()), _radiation(row))
        case Act.SEAL:
            known["sealed"] = row
            for key, (draw_down_id, tag) in body["drawn"].items():
                known["parts"][key] = known["parts"][key].drawn(draw_down_id, tag)
        case Act.SEND:
            known["sent"] = row
        case Act.FOUND:
            known["found"] = (*known.get("found", ()), row)


def _radiation(row: Row) -> SheetRadiation:
    said = {key: str(row.body[key]) for key in ("instrument", "background", "highest", "unit")}
    return SheetRadiation(**said, person=row.person, at=local_day_and_time(row.at_utc))


def parts_put(row: Row) -> list[Part]:
    """Return the parts that a row put in; a reason stands with those that needed it."""
    despite, of = str(row.body.get("despite", "")), row.body.get("despite_of")
    return [
        Part(
            key=f"{row.row_id}/{number}",
            draw_down_id=str(one.get("draw_down", "")),
            name=str(one["name"]),
            bay=str(one["bay"]),
            mass_g=int(one["mass_g"]),
            # A row of an earlier program does not say which part needed it.
            despite=despite if of is None or one["bay"] in of else "",
        )
        for number, one in enumerate(row.body["parts"])
    ]
