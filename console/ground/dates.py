"""Days and times as people read them, in the yard's own time zone; the rows are stamped in UTC."""

from datetime import UTC, date, datetime, time, timedelta, tzinfo


class MachineZone(tzinfo):
    """The zone that this computer is set to, with the offset it had or will have at each moment."""

    def utcoffset(self, at: datetime | None) -> timedelta | None:
        """Return how far the zone is before UTC at a moment."""
        return None if at is None else at.replace(tzinfo=None).astimezone().utcoffset()

    def dst(self, at: datetime | None) -> timedelta | None:
        """Return None: the computer does not say how much of the offset is summer time."""
        return None

    def tzname(self, at: datetime | None) -> str | None:
        """Return the zone's name at a moment, such as "CET"."""
        return None if at is None else at.replace(tzinfo=None).astimezone().tzname()

    def fromutc(self, at: datetime) -> datetime:
        """Return a moment of UTC in this zone; the hour that comes twice is told apart by its fold."""
        wall = at.replace(tzinfo=UTC).astimezone()
        there = wall.replace(tzinfo=self)
        return there if there.utcoffset() == wall.utcoffset() else there.replace(fold=1)


MACHINE = MachineZone()
_zone: tzinfo = MACHINE


def use_zone(name: str) -> None:
    """Read and write every date in a zone from now on.

    Args:
        name: Of the public time zone database, such as "Europe/Stockholm"; empty for the computer's own zone.

    Raises:
        ValueError: There is no such zone on this computer.
    """
    global _zone
    _zone = zone_named(name) if name else MACHINE


def zone_named(name: str) -> tzinfo:
    """Return a zone by its name in the public time zone database.

    Raises:
        ValueError: There is no such zone on this computer.
    """
    from zoneinfo import ZoneInfo  # a hundredth of a second, for yards that name their zone

    try:
        return ZoneInfo(name)
    except (OSError, LookupError, ValueError) as error:  # a folder of zones, such as "Europe", is an OSError
        raise ValueError(f'"{name}" is no time zone on this computer') from error


def local(at: datetime) -> datetime:
    """Return a moment in the yard's zone."""
    return at.astimezone(_zone)


def midnight(day: date) -> datetime:
    """Return the moment at which a day of the yard begins, aware; a day may last 23 or 25 hours."""
    return datetime.combine(day, time(), tzinfo=_zone)


def of_the_yard(wall: datetime) -> datetime:
    """Return the moment of a wall time in the yard's zone; one that names its own zone stays what it is."""
    return wall if wall.tzinfo else wall.replace(tzinfo=_zone)


def local_time(at: datetime) -> str:
    """Return the wall time of a moment: "14:05"."""
    return f"{local(at):%H:%M}"


def local_day_and_time(at: datetime) -> str:
    """Return the date and wall time of a moment: "2026-03-14 14:05"."""
    return f"{local(at):%Y-%m-%d %H:%M}"
