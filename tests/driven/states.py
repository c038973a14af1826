"""The main states of the console, and the keys that lead there; pictures are drawn from them and compared."""

from dataclasses import dataclass

from tests.driven.driving import Driver


@dataclass(frozen=True, slots=True, kw_only=True)
class State:
    """One state at one size."""

    name: str
    size: tuple[int, int]
    typed: str = ""
    """Left on the entry line."""
    keys: tuple[str, ...] = ()
    """Pressed after it."""
    has_shift: bool = True
    """A few pieces were tallied before."""

    async def reach(self, driver: Driver) -> None:
        """Press what leads there."""
        if self.has_shift:
            for line in SHIFT:
                driver.app.sorting.entering.enter(line)
        await driver.type(self.typed)
        await driver.press(*self.keys)
        await driver.threads_done()


SHIFT = (
    "18.6 304 sheet m0 cr18.2 ni8.1 mn1.5 fe71.3",
    "4.2 316 pipe m0 cr16.8 ni10.2 mo2.1 fe68.4",
    "12.4 6063 ext",
    "6.3 356 cast",
    "25 c11000 bus",
    "2.1 yellow brass fitting m0",
    "45.2 m2 s235 structural ; beam ends",
    "2.6 ? ; grey, dense, stamp reads 27",
    "3.2 x4 304 m0 cr18.4 ni8.2 mn1.6 fe71.2",
    "8.6 lead sheet h5",
)
READ = "8.05 cr18.2 ni8.1 fe71.4 m0"
OUTSIDE = "3.1 304 cr18.3 ni6.1 mn1.4 cu0.3 fe73.5"
STATES = (
    State(name="empty-80x24", size=(80, 24), has_shift=False),
    State(name="sorting-80x24", size=(80, 24), typed=READ),
    State(name="sorting-110x30", size=(110, 30), typed=READ),
    State(name="sorting-160x45", size=(160, 45), typed=READ),
    State(name="outside-110x30", size=(110, 30), typed=OUTSIDE),
    State(name="stop-80x24", size=(80, 24), typed="1.4 becu spring"),
    State(name="not-understood-80x24", size=(80, 24), typed="2.2 304 qqqqzz"),
    State(name="bays-80x24", size=(80, 24), typed="2.2 304", keys=("f2",)),
    State(name="review-110x30", size=(110, 30), keys=("f6",)),
    State(name="close-out-110x30", size=(110, 30), keys=("f8",)),
    State(name="grade-card-110x30", size=(110, 30), typed=READ, keys=("ctrl+g",)),
)
