"""Which readings of a flow or a meter count where some are in doubt: all of them, or those that bring
the water highest or lowest; rows set aside among them."""
from fractions import Fraction as F

import units
from evidence import US
from times import instant

DAY_US = 86400 * US
TRIED_MOST = 32  # meter readings that are each tried by itself


class Row:
    """A row set aside, in one unit that it may have."""

    doubt = True

    def __init__(self, told, unit):
        self.at = self.until = instant(told["at"])
        self.qualifier = told["qualifier"]
        self.text = told["reported"]
        self.unit = unit

    def value_in(self, unit):
        return units.convert(F(self.text), self.unit, unit)


class Unknown:
    """A flow that could not be worked out, though all that goes in was read."""

    doubt = False
    qualifier = "n"
    text = None

    def __init__(self, told):
        self.at = self.until = instant(told["at"])


class One:
    def __init__(self, reading, unit, is_meter, tried=False, farther=False):
        self.reading, self.tried, self.farther = reading, tried, farther
        self.at, self.doubt = reading.at, reading.doubt
        is_number = reading.qualifier == "=" or (reading.qualifier == "<" and not is_meter)
        self.value = reading.value_in(unit) if is_number else None


class Gathered:
    """Everything of one place's water."""

    def __init__(self, evidence, clause, place, days):
        self.evidence, self.clause, self.place = evidence, clause, place
        self.first, self.last = evidence.days.start(days[0]), evidence.days.end(days[-1])
        self.asked = days
        if clause.daily == "total":
            self.station, self.parameter = place.station, clause.parameter
        else:
            self.station, self.parameter = place.flow
        told = next((one for one in [evidence.told["parameter"]] + evidence.told["water"]
                     if one and one["key"] == self.parameter), None)
        self.units = told["units"] if told else []
        self.is_meter = told["kind"] == "counter" if told else self.parameter.endswith("-meter")
        self.unit = told["unit"] if self.is_meter else "m3/s"
        self.reach = clause.stands_s * US or DAY_US
        self.series = self.of_place()
        self.items, self.timeless, self.numberless = [], [], False
        for series in self.series:
            self.add_series(series)
        for row in evidence.told["set_aside"]:
            self.add_row(row)
        self.items.sort(key=lambda one: (one.at, F(one.reading.text or 0)))
        self.in_doubt = bool(self.timeless) or any(one.doubt for one in self.items)

    def of_place(self):
        evidence, clause = self.evidence, self.clause
        if clause.daily != "total":
            found = [one for one in evidence.series.values()
                     if (one.station, one.parameter) == self.place.flow]
        elif self.place is clause.places[0]:
            found = [one for one in evidence.series.values() if evidence.is_of_clause(one)]
        else:
            found = [one for one in evidence.series.values()
                     if one.parameter == clause.parameter and self.place.has(one.told)]
        derived = [one for one in found if one.kind == "derived"]
        return derived or found

    def one(self, reading, **more):
        return One(reading, self.unit, self.is_meter, **more)

    def add_series(self, series):
        usable = [one for one in series.readings if one.usable]
        self.items += [self.one(one) for one in usable if self.first <= one.at < self.last]
        before = [one for one in reversed(usable) if one.at < self.first]
        after = [one for one in usable if one.at >= self.last]
        for part, edge in ((before, self.first), (after, self.last)):
            for i, reading in enumerate(part):
                if i == 0 or not reading.doubt or abs(reading.at - edge) <= self.reach:
                    self.items.append(self.one(reading, farther=i > 0))
                if not reading.doubt:
                    break

    # --- rows ---------------------------------------------------------------------------------

    def is_of(self, row):
        clause = self.clause
        if row.get("station", self.station) != self.station or \
                row.get("parameter", self.parameter) != self.parameter:
            return False
        is_derived = "equation" in row.get("derived_by", {})
        if is_derived != any(one.kind == "derived" for one in self.series):
            return False
        kinds = {"derived"} if is_derived else {"probe"} if row.get("from_probe") \
            else {"grab", "composite", "by hand"}
        if clause.daily == "total" and clause.kinds and not kinds & set(clause.kinds):
            return False
        at = instant(row["at"])
        if at is not None and not self.first - self.reach <= at < self.last + self.reach:
            return False
        return "unit" not in row or "parameter" in row or \
            units.convert(F(1), row["unit"], self.unit) is not None

    def add_row(self, row):
        if not self.is_of(row):
            return
        if "reported" not in row:
            self.numberless = self.numberless or not row.get("from_probe")
            if row.get("all_read") and row.get("from_probe") and row["at"] and not self.is_meter:
                self.items.append(self.one(Unknown(row)))
            return
        read = "unit" in row and units.convert(F(1), row["unit"], self.unit) is not None
        for unit in [row["unit"]] if read else self.units:
            one = self.one(Row(row, unit), tried=not read)
            (self.timeless if one.at is None else self.items).append(one)


class Pick:
    """One version of a flow: in order of time, and of those of one instant one."""

    def __init__(self, gathered, version, highest):
        clause = gathered.clause
        self.gathered, self.version = gathered, version
        self.up = highest if version == "all" else version.endswith("highest")
        candidates = self.instants()
        whole = version in ("sound", "all")
        runs_on = bool(clause.stands_s) or clause.between_readings != "to the next"
        self.items = [one for one, _ in candidates] if whole or runs_on else self.chosen(candidates)
        self.sure = None  # by item, where it is open which of the others count
        if runs_on and not whole and not all(sure for _, sure in candidates):
            self.sure = [sure for _, sure in candidates]

    def takes(self, one):
        if self.version == "sound":
            return not one.doubt
        if self.version == "all":
            return not one.tried and not one.farther
        return not one.doubt or (one.value is not None and
                                 (not one.tried or self.version.startswith("try")))

    def instants(self):
        """(reading, whether one of its instant is sure to be there)."""
        groups = {}
        for one in self.gathered.items:
            if self.takes(one):
                groups.setdefault(one.at, []).append(one)
        found = []
        for group in groups.values():
            sure = any(not one.doubt for one in group)
            if any(one.doubt for one in group):
                numbers = [one for one in group if one.value is not None]
                best = (max if self.up else min)(numbers, key=lambda one: one.value) \
                    if numbers else group[0]
                group = [best]
            found += [(one, sure) for one in group]
        return found

    def more(self, value, than):
        return value > than if self.up else value < than

    def over(self, one, at):
        """Whether a reading that stands for its own day is of another day."""
        days = self.gathered.evidence.days
        return days.of(one.at) != days.of(at)

    def begins(self, one, after):
        sure = next((other for other, is_sure in after if is_sure), None)
        return sure is None or sure.value is None or self.over(sure, one.at) or \
            self.more(one.value, sure.value)

    def chosen(self, candidates):
        """Where each reading stands within its own day."""
        found = []
        for i, (one, sure) in enumerate(candidates):
            last = found[-1] if found else None
            if sure or (self.begins(one, candidates[i + 1:]) if last is None else
                        last.value is None or self.over(last, one.at) or
                        self.more(one.value, last.value)):
                found.append(one)
        return found


def parts_of(items):
    """Meter readings in doubt that are tried as one: lists of them."""
    doubts = [one for one in items if one.doubt]
    if len(doubts) <= TRIED_MOST:
        return [[one] for one in doubts]
    found, last = [], None
    for one in items:
        if not one.doubt:
            last = None
            continue
        if last is None or last[-1].tried != one.tried:
            last = []
            found.append(last)
        last.append(one)
    return found


def trials_of(items, everything):
    """(readings, whether a unit is tried) of each choice beside the sound ones and all."""
    parts = parts_of(items)
    found = []
    for part in parts[:TRIED_MOST]:
        instants = {one.at for one in part}
        alone = [one for one in items if one in part or (not one.doubt and one.at not in instants)]
        found.append((alone, any(one.tried for one in part)))
        if not part[0].tried and len(parts) > 2:
            found.append(([one for one in items
                           if not one.doubt or (not one.tried and one not in part)], False))
    return found, len(parts) > TRIED_MOST
