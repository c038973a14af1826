"""One reading of a date: the yard's own zone, on screen, in reports and on the command line."""

import argparse
import json
import time
from collections.abc import Iterator
from datetime import UTC, date, datetime, timedelta
from pathlib import Path
from zoneinfo import ZoneInfo

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from console.cli import main
from console.commands.days import stretch_of
from console.ground.dates import MACHINE, local, local_day_and_time, midnight, use_zone
from console.ledger.rows.queries import LedgerReader
from console.ledger.views.piece_state import piece_states

STOCKHOLM = "Europe/Stockholm"
CLOCKS_GO_BACK = date(2026, 10, 25)
CLOCKS_GO_FORWARD = date(2026, 3, 29)
EPOCH = datetime(2020, 1, 1, tzinfo=UTC)
Capture = pytest.CaptureFixture[str]


@pytest.fixture(autouse=True)
def zone() -> Iterator[None]:
    """Leave the zone as it was found."""
    yield
    use_zone("")


@pytest.fixture
def machine_in_stockholm(monkeypatch: pytest.MonkeyPatch) -> Iterator[None]:
    """A computer that is set to Stockholm."""
    monkeypatch.setenv("TZ", STOCKHOLM)
    time.tzset()
    yield
    monkeypatch.undo()
    time.tzset()


@pytest.mark.parametrize(
    ("day", "hours"), [(CLOCKS_GO_BACK, 25), (CLOCKS_GO_FORWARD, 23), (date(2026, 6, 1), 24)]
)
@pytest.mark.parametrize("zone_name", [STOCKHOLM, ""])
def test_a_day_lasts_as_long_as_it_does_there(
    machine_in_stockholm: None, zone_name: str, day: date, hours: int
) -> None:
    """From midnight to midnight are 25 hours when the clocks go back, 23 when they go forward."""
    use_zone(zone_name)

    begins, ends = (midnight(one).astimezone(UTC) for one in (day, day + timedelta(days=1)))

    assert ends - begins == timedelta(hours=hours)


@given(minutes=st.integers(0, 15 * 366 * 24 * 60))
@example(minutes=(datetime(2026, 10, 25, 1, 30, tzinfo=UTC) - EPOCH) // timedelta(minutes=1))
def test_the_computers_zone_is_the_zone_it_is_set_to(minutes: int) -> None:
    """At any moment the computer's zone shows what the named one shows, also in the hour that comes twice."""
    at = EPOCH + timedelta(minutes=minutes)
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("TZ", STOCKHOLM)
        time.tzset()
        here, there = at.astimezone(MACHINE), at.astimezone(ZoneInfo(STOCKHOLM))
        assert (here.replace(tzinfo=None), here.fold, here.utcoffset()) == (
            there.replace(tzinfo=None),
            there.fold,
            there.utcoffset(),
        )
        assert here.astimezone(UTC) == at
    time.tzset()


def test_the_hour_that_comes_twice_is_two_hours(machine_in_stockholm: None) -> None:
    """Half past two comes twice when the clocks go back, and each is told from the other."""
    for name in ("", STOCKHOLM):
        use_zone(name)
        first, second = (datetime(2026, 10, 25, hour, 30, tzinfo=UTC) for hour in (0, 1))

        assert local_day_and_time(first) == local_day_and_time(second) == "2026-10-25 02:30"
        assert (local(first).fold, local(second).fold) == (0, 1)
        assert local(second).astimezone(UTC) - local(first).astimezone(UTC) == timedelta(hours=1)


def test_a_winter_time_is_told_in_summer_as_it_was(machine_in_stockholm: None) -> None:
    """Noon in January is noon in a report that is made in July: the zone is kept, not today's offset."""
    made_at = local(datetime(2026, 7, 1, 10, 0, tzinfo=UTC))

    assert f"{datetime(2026, 1, 15, 11, 0, tzinfo=UTC).astimezone(made_at.tzinfo):%H:%M}" == "12:00"


def test_every_date_on_the_command_line_means_the_yards_midnight(yard_folder: Path, capsys: Capture) -> None:
    """`tally --from` and `outcomes --since` count from the midnight of the yard on, and not before."""
    toml = yard_folder / "yard.toml"
    far_east = "Pacific/Kiritimati"  # 14 hours before UTC all year round
    toml.write_text(f'time_zone = "{far_east}"\n' + toml.read_text(encoding="utf-8"), encoding="utf-8")
    (yard_folder / "lines.txt").write_text("12.4 304\n", encoding="utf-8")
    assert main(["enter", str(yard_folder / "lines.txt"), "--yard", str(yard_folder)]) == 0
    with LedgerReader.open(yard_folder / "yard.sqlite3") as reader:
        (piece,) = piece_states(reader, "T1-0001")
    today = piece.at_utc.astimezone(ZoneInfo(far_east)).date()
    capsys.readouterr()

    counted = []
    for day in (today, today + timedelta(days=1)):
        main(["tally", "--json", "--from", day.isoformat(), "--yard", str(yard_folder)])
        sums = json.loads(capsys.readouterr().out)
        main(["outcomes", "--json", "--since", day.isoformat(), "--yard", str(yard_folder)])
        record = json.loads(capsys.readouterr().out)
        counted.append((len(sums["sums"]) if "sums" in sums else sums, record["placed"]["entries"]))

    assert [entries for _, entries in counted] == [1, 0]
    assert counted[0][0] != counted[1][0]


def test_a_zone_that_is_none_is_told(yard_folder: Path, capsys: Capture) -> None:
    """A slip in the name of the zone is said with what would be right."""
    toml = yard_folder / "yard.toml"
    toml.write_text('time_zone = "Europe/Stokholm"\n' + toml.read_text(encoding="utf-8"), encoding="utf-8")

    assert main(["tally", "--yard", str(yard_folder)]) == 2
    assert '"Europe/Stokholm" is no time zone' in capsys.readouterr().err


def test_the_last_day_of_a_report_belongs_to_it() -> None:
    """From a day to the same day is that whole day: 24 hours where no clock is set forward."""
    day = date(2026, 3, 2)

    begin, end = stretch_of(argparse.Namespace(first=day, last=day))

    assert begin is not None and end is not None
    assert end - begin == timedelta(hours=24)
    assert stretch_of(argparse.Namespace(first=None, last=None)) == (None, None)


def test_the_computers_zone_has_the_name_of_the_season(machine_in_stockholm: None) -> None:
    """CEST in June, CET in December, and no name without a moment."""
    names = [datetime(2026, month, 1, 12, tzinfo=MACHINE).tzname() for month in (6, 12)]

    assert names == ["CEST", "CET"]
    assert MACHINE.tzname(None) is None
