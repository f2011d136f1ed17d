"""Which readings a clause takes, and what each is: from what was reported, never from what the
program made of it."""
import bisect
from fractions import Fraction as F

import derived
import units
from times import ONE_DAY, US, Days, civil, instant

TIDE_STEP_MOST_US = 36 * 3600 * US


class Reading:
    def __init__(self, told, series, number):
        self.series = series
        self.number = number
        self.at = instant(told["at"])
        self.until = instant(told.get("until", told["at"]))
        self.qualifier = told["qualifier"]
        self.text = told.get("reported")
        self.unit = told.get("unit")
        self.sample = told.get("sample")
        self.told = told
        self.doubt = "doubt" in told
        self.left_out = "left_out" in told
        self.never_counts = told.get("never_counts", False)

    @property
    def usable(self):
        return not self.left_out and not self.never_counts

    def value_in(self, unit):
        if self.qualifier == "n" or self.text is None:
            return None
        return units.convert(F(self.text), self.unit, unit)


class Series:
    def __init__(self, told):
        self.told = told
        self.station = told["station"]
        self.parameter = told["parameter"]
        self.position = told.get("position")
        self.kind = told.get("kind")
        for one in told["readings"] if "derived_by" in told else []:
            derived.check(told["derived_by"], one)
        self.readings = [Reading(one, self, i) for i, one in enumerate(told["readings"])]
        self.times = [one.at for one in self.readings]
        self.longest = max((one.until - one.at for one in self.readings), default=0)

    def between(self, first, last):
        """Readings from one instant to another, both with it."""
        return self.readings[bisect.bisect_left(self.times, first):
                             bisect.bisect_right(self.times, last)]


class Use:
    """A reading, or a row set aside, on its way into a figure."""

    def __init__(self, at, until, qualifier, place):
        self.reading = None
        self.at = at
        self.until = until
        self.day = None
        self.qualifier = qualifier
        self.value = self.step = self.detection = self.quantitation = None
        self.trust = "sound"
        self.tried = None
        self.fit = None
        self.place = place
        self.bound = None  # its own; the clause's otherwise
        self.blocked = False
        self.why_not = None
        self.cannot_tell = False
        self.beside = None  # the use that this is another of, with the bound of a row
        self.passed_over = set()  # passes in which such another stands in its place


def natural(text):
    """A key by which S9 comes before S10."""
    if text is None:
        return ()
    parts, number = [], ""
    for letter in text + "\0":
        if letter.isdigit() and letter.isascii():
            number += letter
            continue
        if number:
            parts.append((1, int(number), ""))
            number = ""
        if letter != "\0":
            parts.append((2, 0, letter))
    return tuple(parts)


class StandIn:
    """What a row set aside may have been, were it another reading."""

    def __init__(self, row, value, known):
        self.row = row
        self.at = instant(row["at"])
        self.value = value  # None: any
        self.qualifier = row.get("qualifier", "=")
        self.known = known


def fits(row, station, parameter):
    return row.get("station", station) == station and row.get("parameter", parameter) == parameter


def stand_ins(told, station, parameter, unit):
    units_of = {one["key"]: one["units"] for one in told["others"] + [told["parameter"]] if one}
    for row in told["set_aside"]:
        if not fits(row, station, parameter):
            continue
        if "reported" not in row:
            if not (row.get("from_probe") and "derived_by" in row) or row.get("all_read"):
                yield StandIn(row, None, False)
            continue
        value = F(row["reported"])
        own = units.convert(value, row["unit"], unit) if row.get("unit") else None
        if own is not None:
            yield StandIn(row, own, True)
        elif not row.get("unit") or "parameter" in row:
            for other in units_of.get(parameter, []):
                tried = units.convert(value, other, unit)
                if tried is not None:
                    yield StandIn(row, tried, False)


class OutletRow:
    """A row that may have opened or shut the outlet, until the record says more."""

    def __init__(self, word, first, after):
        self.word, self.first, self.after = word, first, after  # word None: either


ALWAYS = 1 << 62


def outlet_rows(evidence):
    if not evidence.outlet:
        return
    place = (evidence.outlet.station, evidence.outlet.parameter)
    records = [one for one in evidence.series.values() if (one.station, one.parameter) == place]
    groups = [[one for one in records if (one.kind == "by hand") == by_hand]
              for by_hand in (False, True)]
    for row in evidence.told["set_aside"]:
        word = (row.get("unit") or "").lower()
        word = word if word in ("open", "shut") else None
        if not fits(row, *place) or ("parameter" not in row and "reported" in row and not word):
            continue
        at = instant(row["at"])
        if at is None:
            yield OutletRow(word, -ALWAYS, ALWAYS)
            continue
        ends = []
        for group in groups:
            sound = [one.at for series in group for one in series.readings
                     if one.usable and not one.doubt]
            if sound:
                ends.append(min((one for one in sound if one > at), default=ALWAYS))
        after = max(ends, default=ALWAYS)
        if evidence.state_holds_us:
            after = min(after, at + evidence.state_holds_us + 1)
        yield OutletRow(word, at, after)


def by_reading(said, value, qualifier):
    """Whether a clause applies by such a reading of its condition."""
    answers = []
    for key, side in (("above", 1), ("below", -1)):
        if key not in said:
            continue
        order = (value > F(said[key])) - (value < F(said[key]))
        if qualifier == "<" and order > 0 or qualifier == ">" and order < 0:
            answers.append("not told")
            continue
        order = {"<": -1, ">": 1}.get(qualifier, order)
        answers.append("yes" if order == side else "no")
    return "no" if "no" in answers else "not told" if "not told" in answers else "yes"


class Evidence:
    def __init__(self, told, clause):
        self.told = told
        self.clause = clause
        self.now = instant(told["period"]["now"])
        self.days = Days(told["period"]["zone"], clause.hour)
        self.midnight = Days(told["period"]["zone"], 0)
        self.series = {one["series"]: Series(one) for one in told["series"]}
        self.discharge = {civil(one["day"]): one["state"] for one in told["discharge"]}
        self.day_doubts = {civil(one["day"]) for one in told["discharge"] if "doubt" in one}
        self.tides = [(instant(one["at"]), one["water"]) for one in told["tides"]]
        self.outlet = None
        if told["outlet"]:
            self.outlet = self.series[told["outlet"]["series"]]
            self.state_holds_us = told["outlet"]["state_holds_s"] * US
        self.outlet_rows = list(outlet_rows(self))
        self.rows_kept = {}

    # --- days ---------------------------------------------------------------------------------

    def in_force(self, day):
        first, last = civil(self.clause.in_force_from), civil(self.clause.in_force_to)
        return (first is None or day >= first) and (last is None or day <= last)

    def in_season(self, day):
        season = self.clause.said.get("season")
        if not season:
            return True
        first, last = (int(season[key].replace("-", "")) for key in ("from", "to"))
        today = day.month * 100 + day.day
        return first <= today <= last if first <= last else today >= first or today <= last

    def why_day_not(self, day, in_full):
        if not in_full and not self.in_force(day):
            return "not in force"
        if not self.in_season(day):
            return "out of season"
        if self.clause.discharging and self.discharge.get(day, "unknown") == "none":
            return "no discharge"
        return None

    def begun(self, day):
        return self.days.start(day) < self.now

    def over(self, day):
        return self.days.end(day) <= self.now

    # --- partners -----------------------------------------------------------------------------

    def partners(self, place, parameter):
        return [one for one in self.series.values()
                if one.parameter == parameter and place.has(one.told)]

    def nearest(self, place, parameter, unit, at, until, within_s):
        """The nearest reading: a sound one first, then near, then early, then low."""
        found = []
        for series in self.partners(place, parameter):
            for one in series.between(at - within_s * US - series.longest, until + within_s * US):
                apart = max(at - one.until, one.at - until, 0)
                if one.usable and apart <= within_s * US:
                    value = one.value_in(unit)
                    found.append(((one.doubt, apart, one.at, value is None, value or F(0),
                                   one.qualifier), one))
        return min(found, key=lambda pair: pair[0])[1] if found else None

    def newest(self, place, parameter, unit, at, within_s):
        found = []
        for series in self.partners(place, parameter):
            for one in series.between(at - within_s * US - series.longest, at):
                if one.usable and at - one.until <= within_s * US:
                    value = one.value_in(unit)
                    found.append(((-one.at, not one.doubt, value is None, value or F(0),
                                   one.qualifier), one))
        return min(found, key=lambda pair: pair[0])[1] if found else None

    def stand_ins(self, station, parameter, unit):
        """Rows set aside that may be such a reading, one for each unit that they may be in."""
        key = (station, parameter, unit)
        if key not in self.rows_kept:
            self.rows_kept[key] = list(stand_ins(self.told, *key))
        return self.rows_kept[key]

    # --- when it applies ----------------------------------------------------------------------

    def applies(self, at, day):
        """(by what is on record "yes", "no" or "not told", what rows set aside do to that: "no"
        is nothing, "doubt" may turn it, "open" leaves it untold)."""
        by_other, rows = self.while_other(at)
        answers = [self.in_hours(at), self.in_tide(at), by_other]
        if not self.in_season(day):
            answers.append("no")
        if "no" in answers[:2] + answers[3:]:
            return "no", "no"
        if "not told" in answers[:2]:
            rows = "open" if rows != "no" else rows
        return ("no" if "no" in answers else "not told" if "not told" in answers else "yes"), rows

    def in_hours(self, at):
        hours = self.clause.said.get("hours")
        if not hours:
            return "yes"
        first, last = (int(text[:2]) * 60 + int(text[3:]) for text in hours.split(" to "))
        local = self.days.local(at)
        minute = local.hour * 60 + local.minute
        inside = first <= minute < last if first < last else minute >= first or minute < last
        return "yes" if inside else "no"

    def in_tide(self, at):
        said = self.clause.said.get("tide")
        if not said:
            return "yes"
        words = said.split()
        before = int(words[0]) * 3600 * US if words[1].startswith("hour") else int(words[0]) * 60 * US
        after = int(words[4]) * 3600 * US if words[5].startswith("hour") else int(words[4]) * 60 * US
        first, last = at - after, at + before
        if any(first <= tide <= last and water == words[7] for tide, water in self.tides):
            return "yes"
        return "no" if self.tides_cover(first, last) else "not told"

    def tides_cover(self, first, last):
        times = [tide for tide, _ in self.tides]
        if not times or times[0] > first or times[-1] < last:
            return False
        around = [max(t for t in times if t <= first)] + [t for t in times if first < t < last] + \
            [min(t for t in times if t >= last)]
        return all(b - a <= TIDE_STEP_MOST_US for a, b in zip(around, around[1:]))

    def while_other(self, at):
        said = self.clause.said.get("while")
        if not said:
            return "yes", "no"
        from clause import Place, seconds
        within = seconds(said["within"])
        one = self.newest(Place(said["station"], said.get("position")), said["parameter"],
                          said["unit"], at, within)
        value = one.value_in(said["unit"]) if one else None
        if one is None or one.doubt or value is None:
            return "not told", "no"
        answer, rows = by_reading(said, value, one.qualifier), "no"
        for row in self.stand_ins(said["station"], said["parameter"], said["unit"]):
            if answer == "not told":
                break
            if row.at is not None and not one.at <= row.at <= at:
                continue
            other = "not told" if row.value is None else \
                by_reading(said, row.value, row.qualifier)
            if other == answer:
                continue
            if not row.known or other == "not told":
                return answer, "open"
            rows = "doubt"
        return answer, rows

    # --- which count --------------------------------------------------------------------------

    def is_shut(self, at):
        if not self.outlet:
            return False
        before = self.outlet.readings[:bisect.bisect_right(self.outlet.times, at)]
        last = next((one for one in reversed(before) if not one.left_out), None)
        if last is None or (self.state_holds_us and at - last.at > self.state_holds_us):
            return False
        return not last.doubt and last.unit.lower() == "shut"

    def may_turn(self, at):
        """Whether a row set aside, or the day's other records, may say otherwise of the outlet than
        its record does."""
        said = "shut" if self.is_shut(at) else "open"
        if said == "shut" and self.discharge.get(self.days.of(at)) == "disagrees":
            return True
        return any(row.first <= at < row.after and row.word in (None, "open" if said == "shut"
                                                                else "shut")
                   for row in self.outlet_rows)

    def is_of_discharge(self, series):
        """Whether a shut outlet makes its readings no samples of the discharge."""
        clause = self.clause
        return (clause.daily != "total" and series.station == clause.places[0].station and
                clause.discharging)

    def accepts(self, series, reading):
        """(why it does not count, whether it is in doubt for this clause)."""
        why_not, doubt = None, False
        for asked, name in ((self.clause.methods, series.told.get("method")),
                            (self.clause.instruments, series.told.get("made_by")),
                            (self.clause.takers, reading.told.get("taken_by"))):
            if not asked or name in asked:
                continue
            if name is None:
                doubt = True
            else:
                why_not = "not one that the clause takes"
        if (self.clause.said.get("samples that look for a cause") == "left out" and
                reading.told.get("looks_for_cause")):
            why_not = "looks for a cause"
        if self.clause.said.get("accredited laboratory") == "yes" and not self.accredited(
                series, self.midnight.of(reading.at)):
            doubt = True
        return why_not, doubt

    def accredited(self, series, day):
        return any(one["made_by"] == series.told.get("made_by") and
                   one.get("parameter") in (None, series.parameter) and
                   one.get("method") in (None, series.told.get("method")) and
                   civil(one["from"]) <= day and
                   (one["to"] is None or day <= civil(one["to"]))
                   for one in self.told["accreditations"])

    def day_of(self, reading):
        if reading.until == reading.at or self.clause.span_belongs == "where it began":
            return self.days.of(reading.at)
        if self.clause.span_belongs == "where it ended":
            return self.days.of(reading.until - 1)
        best, longest = None, 0
        day = self.days.of(reading.at)
        while self.days.start(day) < reading.until:
            part = min(self.days.end(day), reading.until) - max(self.days.start(day), reading.at)
            if part > longest:
                best, longest = day, part
            day += ONE_DAY
        return best

    def place_of(self, series):
        if series.parameter != self.clause.parameter:
            return None
        if self.clause.kinds and series.kind not in self.clause.kinds:
            return None
        for i, place in enumerate(self.clause.places):
            if place.has(series.told):
                return i
        return None

    def is_of_clause(self, series):
        """Of the clause's own place, and on record as by a method and instrument it takes."""
        return (self.place_of(series) == 0 and
                (not self.clause.methods or series.told.get("method") in self.clause.methods) and
                (not self.clause.instruments or
                 series.told.get("made_by") in self.clause.instruments))

    def use_of(self, series, reading, place, in_full):
        clause = self.clause
        use = Use(reading.at, reading.until, reading.qualifier, place)
        use.reading = reading
        use.day = self.day_of(reading)
        why_not, doubt = self.accepts(series, reading)
        if reading.doubt or doubt:
            use.trust = "doubt"
        self.fill_value(use, reading)
        if reading.left_out or reading.never_counts:
            use.why_not = "left out" if reading.left_out else "never counts"
        elif self.why_day_not(use.day, in_full):
            use.why_not = self.why_day_not(use.day, in_full)
        elif why_not:
            use.why_not = why_not
        elif self.is_of_discharge(series) and self.is_shut(reading.at) and \
                not self.may_turn(reading.at):
            use.why_not = "the outlet was shut"
        else:
            self.hold_conditions(use)
        if not use.why_not and use.trust == "sound" and (
                (self.clause.discharging and use.day in self.day_doubts) or
                (self.is_of_discharge(series) and self.may_turn(reading.at))):
            use.trust = "doubt"
        return use

    def hold_conditions(self, use):
        answer, rows = self.applies(use.at, use.day)
        of_time = self.clause.statistic in ("time outside", "longest time outside")
        if rows == "doubt" and not of_time:
            use.trust = "doubt" if use.trust == "sound" else use.trust
            return
        use.cannot_tell = rows != "no"
        if answer != "yes":
            use.why_not = "the clause did not apply"
            use.cannot_tell = use.cannot_tell or answer == "not told"

    def fill_value(self, use, reading):
        clause = self.clause
        if clause.state:
            is_it = reading.unit.lower() == clause.state.lower()
            use.value = F(int(is_it == clause.state_is_outside))
            return
        unit = concentration_unit(clause, self.told)
        if reading.qualifier != "n" and reading.text is not None:
            use.value = reading.value_in(unit)
            use.step = units.step(last_step(reading.text), reading.unit, unit)
        for name in ("detection", "quantitation"):
            if name in reading.told:
                setattr(use, name, units.convert(F(reading.told[name]), reading.unit, unit))

    def uses(self, first, last, in_full):
        found = []
        for series in self.series.values():
            place = self.place_of(series)
            if place is None:
                continue
            for reading in series.readings:
                use = self.use_of(series, reading, place, in_full)
                if first <= use.day <= last:
                    found.append(use)
        return found


def last_step(text):
    return F(1, 10 ** len(text.split(".")[1])) if "." in text else F(1)


def concentration_unit(clause, told):
    """The unit in which readings are held: of a load the concentration's."""
    if clause.daily != "load":
        return clause.unit
    return clause.said.get("load concentration unit") or told["parameter"]["unit"]


def in_order(use):
    """By day, instant, sample, portion and value."""
    told = use.reading.told if use.reading else {}
    day = use.day.toordinal() if use.day else -1
    return (day, use.at if use.at is not None else -1, use.reading is not None,
            natural(told.get("sample")) if use.reading else (), natural(told.get("replicate")),
            use.value is not None, use.value if use.value is not None else F(0))
