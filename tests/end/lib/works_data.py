"""A month and more of an invented farm: flow, oxygen, pump, feed and nutrients of one tank.

    python3 works_data.py FOLDER

Plain shapes, so that what the program answers can be worked out by hand.
"""
import sys
from datetime import datetime, timedelta

folder = sys.argv[1]
start = datetime(2026, 3, 1)
end = datetime(2026, 4, 1)
stops = [(datetime(2026, 3, 10, 1), datetime(2026, 3, 10, 3)),
         (datetime(2026, 3, 20, 1), datetime(2026, 3, 20, 4))]


def rows():
    at = start
    while at <= end:  # 400 L/min all month
        yield at, 'tank', 'flow', '400', 'L/min'
        yield at, 'tank', 'temperature', '16.0', 'degC'
        yield at, 'tank', 'chlorophyll', '5.0', 'ug/L'
        at += timedelta(hours=1)
    for hour in range(1, 49):  # then an hour off and an hour on
        yield end + timedelta(hours=hour), 'tank', 'flow', ('400', '0')[hour % 2], 'L/min'
    for off, on in stops:  # oxygen falls by 1.2 mg/L an hour, the probe wavers by 0.02
        at, n = off, 0
        while at <= on:
            fallen = 1.2 * (at - off).total_seconds() / 3600
            yield at, 'tank', 'oxygen', '%.2f' % (8.0 - fallen + (0.02, -0.02, 0.0)[n % 3]), 'mg/L'
            at += timedelta(minutes=10)
            n += 1
    for day in (3, 10, 17, 24):  # samples and counts, the same each week
        at = datetime(2026, 3, day, 9)
        yield at, 'intake', 'tn', '0.20', 'mg/L'
        yield at, 'outlet', 'tn', '0.25', 'mg/L'
        yield at, 'intake', 'tss', '10', 'mg/L'
        yield at, 'outlet', 'tss', '4', 'mg/L'
        yield at, 'outlet', 'tp', '0.03', 'mg/L'  # nobody measured it at the intake
        yield at, 'pond', 'algae', '60000', 'cells/mL'
        yield at, 'outlet', 'algae', '10000', 'cells/mL'
        for place, green, cloudy in (('pond', '8', '6'), ('outlet', '2', '1.5')):
            yield at, place, 'chlorophyll', green, 'ug/L'
            yield at, place, 'ntu', cloudy, 'NTU'
        yield at, 'pond', 'below 5', '20', '%'
        yield at, 'pond', 'below 40', '90', '%'
        yield at, 'outlet', 'below 5', '40', '%'
        yield at, 'outlet', 'below 40', '75', '%'
    for day, kwh in ((1, '1000'), (11, '1120'), (32, '1310')):  # 310 kWh in March
        yield start + timedelta(days=day - 1), 'pond', 'kwh', kwh, 'kWh'
    for minutes, psu in ((0, 33.0), (60, 31.5), (120, 29.5), (180, 29.4)):  # 3.5 within 2 hours
        yield datetime(2026, 3, 15, 6) + timedelta(minutes=minutes), 'intake', 'salinity', psu, 'PSU'


with open(folder + '/logger.csv', 'w') as out:
    out.write('Time,Station,Parameter,Value,Unit\n')
    for at, station, parameter, value, unit in rows():
        out.write('%s,%s,%s,%s,%s\n' % (at.strftime('%Y-%m-%d %H:%M'), station, parameter, value,
                                         unit))
with open(folder + '/pump.csv', 'w') as out:
    out.write('Time,Pump\n2026-03-01 00:00,on\n')
    for off, on in stops:
        out.write('%s,off\n%s,on\n' % (off.strftime('%Y-%m-%d %H:%M'),
                                       on.strftime('%Y-%m-%d %H:%M')))
    out.write('2026-04-01 00:00,on\n')
with open(folder + '/places.csv', 'w') as out:  # salt water washes out of four fifths of the tank
    out.write('Time,Ring (PSU),Centre (PSU),Algae in (cells/mL)\n')
    for n in range(13):
        at = datetime(2026, 3, 5, 8) + timedelta(minutes=30 * n)
        psu = 33 + 5 * 2.718281828 ** (-0.5 * n * 24 / 80)
        out.write('%s,%.3f,%.3f,50000\n' % (at.strftime('%Y-%m-%d %H:%M'), psu,
                                             psu - 0.4 if n == 0 else psu))
