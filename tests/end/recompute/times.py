"""Instants in microseconds, and the civil days of a place."""
import functools
from datetime import date, datetime, timedelta, timezone
from zoneinfo import ZoneInfo

UTC = timezone.utc
EPOCH = datetime(1970, 1, 1, tzinfo=UTC)
ONE_DAY = timedelta(days=1)
US = 10 ** 6


def instant(text):
    if text is None:
        return None
    at = datetime.fromisoformat(text.replace("Z", "+00:00"))
    return (at - EPOCH) // timedelta(microseconds=1)


def civil(text):
    return None if text is None else date.fromisoformat(text)


class Days:
    """Civil days of the farm's zone, from the hour that the clause lets a day start."""

    def __init__(self, zone, hour):
        self.zone = ZoneInfo(zone)
        self.hour = hour

    def local(self, at):
        return (EPOCH + timedelta(microseconds=at)).astimezone(self.zone)

    @functools.lru_cache(maxsize=None)
    def start(self, day):
        wanted = datetime(day.year, day.month, day.day, self.hour)
        at = wanted.replace(tzinfo=self.zone)
        shown = at.astimezone(UTC).astimezone(self.zone).replace(tzinfo=None)
        if shown != wanted:  # the hour that is jumped over: at the jump
            at = wanted.replace(tzinfo=self.zone, fold=0)
            before = at.astimezone(UTC) - timedelta(hours=3)
            while before.astimezone(self.zone).replace(tzinfo=None) < wanted:
                before += timedelta(minutes=1)
            at = before
        return (at.astimezone(UTC) - EPOCH) // timedelta(microseconds=1)

    def end(self, day):
        return self.start(day + ONE_DAY)

    @functools.lru_cache(maxsize=None)
    def of(self, at):
        day = self.local(at).date()
        while self.start(day) > at:
            day -= ONE_DAY
        while self.end(day) <= at:
            day += ONE_DAY
        return day
