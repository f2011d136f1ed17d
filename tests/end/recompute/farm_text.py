"""The farm file of the made-up farm, but for its limits."""

FARM = """# INVENTED: a farm made up by a program, for working its verdicts out again. No number in it is
# anybody's limit.
farm: {key: made-up, name: A made-up farm, time zone: Europe/Dublin, a state holds: 2000 hours, invented: yes}
people:
  - {key: wren, name: Wren Tidewell (invented), position: manager, may: [read, sample, calibrate, correct, sign], since: 2025-01-01, on the word of: holder}
  - {key: ash, name: Ash Fenmoor (invented), position: watch, may: [read, sample, correct], since: 2025-01-01, on the word of: wren}
authorities:
  - {key: board, name: Made-up Board (invented), decides: discharge, call: telephone 000 0000}
stations:
  - {key: intake, name: Intake, kind: intake}
  - {key: pond, name: Pond, kind: pond, positions: [{key: ring, name: Ring}, {key: centre, name: Centre}]}
  - {key: outlet, name: Outlet, kind: discharge}
  - {key: outlet-2, name: Second outlet, kind: discharge, positions: [{key: pipe, name: Pipe}]}
  - {key: gauge, name: Gauge, kind: rain-gauge}
STATIONSPARAMETERSlicences:
  - key: invented
    number: NONE 1 (invented)
    title: A made-up permit
    holder: A made-up farm
    authority: board
    version: 2025-01-01
    anniversary: 03-15
    signer: wren
    certification: Made up.
    points:
      - {station: intake, called: I}
      - {station: outlet, called: A, outlet: {station: outlet, parameter: outlet}, meter: {station: outlet, parameter: discharge-meter}}
      - {station: outlet-2, called: B}
  - key: ended
    number: NONE 2 (invented)
    title: A made-up permit that ended
    holder: A made-up farm
    authority: board
    version: 2025-01-01
    ends: 2026-03-20
    signer: wren
    certification: Made up.
    points:
      - {station: pond, called: P}
laboratories:
  - key: lab-a
    name: Laboratory A
    written as: [Laboratory A]
    accreditations:
      - {number: EX 1, by: Made-up Body, parameters: [suspended-solids], from: 2025-01-01, to: 2026-03-20}
tide tables:
  - key: harbour
    place: a made-up harbour
    from: drawn by a program
    clock: +00:00
    tides:
TIDES
meters:
  - {station: outlet, parameter: discharge-meter, size: 100000, multiplier: 1, most per day: 900, share over days: no}
DERIVEDsources:
SOURCES  - key: grabs
SHEET
    kind: grab
    instrument: Laboratory A
    ignored columns: [Until date, Until time]
  - key: other-grabs
SHEET
    kind: grab
    instrument: Laboratory B
    ignored columns: [Until date, Until time]
  - key: composites
SHEET
    until: {columns: [Until date, Until time]}
    kind: composite
    instrument: Laboratory A
  - key: logger
    name: Logger
    shape: wide
    separator: comma
    decimal mark: point
    clock: +00:00
    time: {columns: Time, format: "YYYY-MM-DD hh:mm"}
    station: outlet
    columns:
      - {header: Flow, parameter: flow, unit: L/s, flag: Flow flag}
      - {header: Temp, parameter: temperature, unit: degC}
      - {header: Salinity, parameter: salinity, unit: PSU}
      - {header: Oxygen, parameter: oxygen, unit: mg/L, flag: Oxygen flag}
      - {header: pH, parameter: ph, unit: pH, flag: pH flag}
      - {header: Intake flow, parameter: flow, unit: m3/h, station: intake}
      - {header: Flow 2, parameter: flow, unit: L/min, station: outlet-2, position: pipe}
      - {header: Ring, parameter: oxygen, unit: mg/L, station: pond, position: ring}
      - {header: Centre, parameter: oxygen, unit: ug/L, station: pond, position: centre}
      - {header: Rain, parameter: rain, unit: mm, station: gauge}
    flag words: {ok: use, odd: doubt}
    kind: probe
    instrument: logger 1
  - key: second-logger
    name: A second probe beside the first
    shape: wide
    separator: comma
    decimal mark: point
    clock: +00:00
    time: {columns: Time, format: "YYYY-MM-DD hh:mm"}
    station: outlet
    columns:
      - {header: Oxygen, parameter: oxygen, unit: mg/L}
    kind: probe
    instrument: logger 2
  - key: meter
    name: Meter
    shape: long
    separator: comma
    decimal mark: point
    clock: local
    time: {columns: [Date, Time], format: "YYYY-MM-DD hh:mm"}
    station: outlet
    parameter: discharge-meter
    value column: Reading
    unit: m3
    kind: by hand
  - key: flow-sheet
    name: Flows and meters read beside the logger
    shape: long
    separator: comma
    decimal mark: point
    clock: +00:00
    time: {columns: [Date, Time], format: "YYYY-MM-DD hh:mm"}
    station column: Site
    parameter column: Analyte
    value column: Result
    unit column: Unit
    kind: probe
    instrument: logger 3
  - key: beside-sheet
    name: Other things read beside the logger
    shape: long
    separator: comma
    decimal mark: point
    clock: +00:00
    time: {columns: [Date, Time], format: "YYYY-MM-DD hh:mm"}
    station column: Site
    parameter column: Analyte
    value column: Result
    unit column: Unit
    kind: by hand
    instrument: a thermometer
  - key: flow-by-hand
    name: Flows written down by hand
    shape: long
    separator: comma
    decimal mark: point
    clock: +00:00
    time: {columns: [Date, Time], format: "YYYY-MM-DD hh:mm"}
    station column: Site
    parameter column: Analyte
    value column: Result
    unit column: Unit
    kind: by hand
  - key: outlet-sheet
    name: Outlet, opened and shut
    shape: long
    separator: comma
    decimal mark: point
    clock: local
    time: {columns: [Date, Time], format: "YYYY-MM-DD hh:mm"}
    station: outlet
    parameter: outlet
    value column: Outlet
    state words: {opened: open, closed: shut}
    kind: by hand
  - key: looks
    name: A look at the outlet each day
    shape: long
    separator: comma
    decimal mark: point
    clock: local
    time: {columns: [Date, Time], format: "YYYY-MM-DD hh:mm"}
    station: outlet
    parameter: scum
    value column: Scum
    state words: {"yes": seen, "no": not seen}
    kind: by hand
"""

SHEET_KEYS = """    name: More sheets
    shape: long
    separator: comma
    decimal mark: point
    clock: local
    time: {columns: [Date, Time], format: "YYYY-MM-DD hh:mm"}
    station column: Site
    parameter column: Analyte
    value column: Result
    qualifier column: Sign
    unit column: Unit
    detection limit column: LOD
    quantitation limit column: LOQ
    sample column: Sample
    replicate column: Rep
    method column: Method
    taken by column: By
    purpose column: Purpose"""
