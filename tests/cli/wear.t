# How long belts last; and records that cannot be taken.

$ beltwright wear --file examples/belts.csv --kind "P120 cloth costs 48" --kind "P120 paper costs 31" --failure 120 --area-a-day "300 m2"
P120 cloth: 14 belts, 12 worn out, 2 running or off for another reason
  - Half of them reach 2520 m² (95 %: 2080 m² to 3060 m²); one in ten ends
    before 1670 m²; mean 2650 m².
  - Weibull shape 3.39 (2.12 to 4.99): they wear out: lives lie close together,
    so a planned change can pay.
  - Taken as log-normal (the other law fits as well); the record agrees with it.
  - Run to its end it costs 0.0634 a m².
  - Changed at 1590 m² it costs 43 % less.
  - Hold 3 of them: nineteen orders in twenty then come in time.

P120 paper: 12 belts, 9 worn out, 3 running or off for another reason
  - Half of them reach 1340 m² (95 %: 1080 m² to 1680 m²); one in ten ends
    before 903 m²; mean 1410 m².
  - Weibull shape 3.47 (2.02 to 5.33): they wear out: lives lie close together,
    so a planned change can pay.
  - Taken as log-normal (the other law fits as well); the record agrees with it.
  - Run to its end it costs 0.107 a m².
  - Changed at 786 m² it costs 57 % less.
  - Hold 4 of them: nineteen orders in twenty then come in time.

Compared
  - P120 paper against P120 cloth: 0.53 times the life (95 %: 0.40 to 0.71);
    P120 cloth lasts longer.
? 0

$ beltwright wear --belt "100 m2 of a" --belt "90 m2 of a removed worn"
a: 2 belts, 1 worn out, 1 running or off for another reason

  - a: needs at least two ended lives of different length, has 1; keep the
    record going.
? 0

$ beltwright wear
beltwright: --belt: needs belts, one by one or in a file
  belts: a belt's life, such as "5200 m2 of P120 cloth removed worn"
? 2

$ beltwright wear --file tests/fixtures/belts/column-twice.csv
beltwright: tests/fixtures/belts/column-twice.csv:1:11: two columns have the same name ("area")
    area [m2],area [m2]
              ^
  keep one of the two
? 2

$ beltwright wear --file tests/fixtures/belts/comma.csv
beltwright: tests/fixtures/belts/comma.csv:2:1: belts[0].area: needs an area such as 0.5 m² or 5 ft², got a comma between digits ("5,200 m2")
    "5,200",P120
    ^
  write 5200 m2 or 5.200 m2, whichever is meant
? 2

$ beltwright wear --file tests/fixtures/belts/misspelt-column.csv
beltwright: tests/fixtures/belts/misspelt-column.csv:1:11: belts[0].kinds: is not a key of this belt
    area [m2],kinds
              ^
  did you mean kind?
? 2

$ beltwright wear --file tests/fixtures/belts/misspelt-reason.csv
beltwright: tests/fixtures/belts/misspelt-reason.csv:2:11: belts[0].reason: is not one of the choices ("tired")
    5200,P120,tired
              ^
  choose one of: worn, loaded, burning, finish, damaged, planned
? 2

$ beltwright wear --file tests/fixtures/belts/negative.csv
beltwright: tests/fixtures/belts/negative.csv:2:1: belts[0].area: is out of range, takes 0.01 to 10000000 m² ("-4 m2")
    -4,P120
    ^
  write an area, 0.01 to 10000000 m²
? 2

$ beltwright wear --file tests/fixtures/belts/no-area.csv
beltwright: tests/fixtures/belts/no-area.csv:2:1: belts[0].area: is missing
    ,P120
    ^
  give area (area sanded with it until now): an area, 0.01 to 10000000 m²
? 2

$ beltwright wear --file tests/fixtures/belts/no-rows.csv
beltwright: tests/fixtures/belts/no-rows.csv: the file holds no rows
? 2

$ beltwright wear --file tests/fixtures/belts/no-unit.csv
beltwright: tests/fixtures/belts/no-unit.csv:2:1: belts[0].area: needs an area such as 0.5 m² or 5 ft², got a number without a unit ("5200")
    5200,P120
    ^
  write 5200 m² or 5200 ft², whichever is meant
? 2

$ beltwright wear --file tests/fixtures/belts/too-many-cells.csv
beltwright: tests/fixtures/belts/too-many-cells.csv:2:1: this row has 3 cells, the first row 2
    5200,P120,worn
    ^
  give one cell a column; leave it empty where nothing is known
? 2

$ beltwright wear --file tests/fixtures/belts/wrong-unit.csv
beltwright: tests/fixtures/belts/wrong-unit.csv:2:1: belts[0].area: needs an area such as 0.5 m² or 5 ft², got a mass ("4 kg")
    4,P120
    ^
  units that fit: mm², cm², m², in², ft²
? 2

