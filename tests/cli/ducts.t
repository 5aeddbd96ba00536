# The dust system as a technician types it, and what is said when it cannot be.

$ beltwright ducts examples/ducts-three-machines.yaml
Three machines on one collector, Tern Lane Cabinets (invented): planer has 89 %
of the air it needs.

line                      flow, m³/h  least  port       speed, m/s
------------------------  ----------  -----  -------  ------------
collector                  2770 ± 80                  24.5 ± 0.7
| trunk after saw          2770 ± 80                  24.5 ± 0.7
| | trunk after planer     2250 ± 70                  19.9 ± 0.6
| | | trunk after sander   1360 ± 50                  21.3 ± 0.8
| | | | sander             1360 ± 50   1500  STARVED  21.3 ± 0.8
| | | planer                890 ± 40   1000  STARVED  20.21 ± 0.98
| | saw                     520 ± 30    550  unsure   18.46 ± 0.99

- Fan in collector: 2772 m³/h at 2077 Pa, 2.907 kW at its shaft; within its
  motor.

What would help, each solved again
  change                                          effort  worst port    has    slowest  enough
  ----------------------------------------------  ------  ----------  -----  ---------  ------
  shut the gate of saw                            none    planer      103 %  22.91 m/s  YES
  shut the gate of sander                         none    saw         124 %  12.57 m/s  no
  fan 25 % faster, by its sheave                  some    planer      115 %   23.7 m/s  no
  fan 20 % faster, by its sheave                  some    planer      110 %  22.65 m/s  no
  fan 15 % faster, by its sheave                  some    planer      104 %   21.6 m/s  no
  fan 10 % faster, by its sheave                  some    planer       99 %  20.55 m/s  no
  fan 5 % faster, by its sheave                   some    planer       94 %  19.51 m/s  no
  new filter media in collector                   some    planer       94 %  19.42 m/s  no
  collector in 225 mm instead of 200 mm           much    planer       92 %  18.97 m/s  no
  trunk after saw in 225 mm instead of 200 mm     much    planer       92 %  18.94 m/s  no
  trunk after planer in 225 mm instead of 200 mm  much    planer       90 %  15.89 m/s  no

  CAUTION  shut the gate of saw: only while its machine stands still; and look
           at the slowest line beside it: too little air in the trunk plugs it.
  CAUTION  fan 25 % faster, by its sheave: OVERLOADS the motor: not without a
           larger one.
  CAUTION  fan 10 % faster, by its sheave: the maker's top speed for this wheel
           must not be passed; guard back on before it runs.
  CAUTION  new filter media in collector: dust in the collector burns and harms:
           breathing protection, no sparks, locked out.
  CAUTION  collector in 225 mm instead of 200 mm: locked out; metal duct bonded,
           and the system's explosion protection kept as it was built.

May be open together (7 settings tried)
  worst port    has  slowest line               at  open, all others shut
  ----------  -----  ------------------  ---------  ---------------------
  planer      103 %  trunk after planer  22.91 m/s  sander + planer

  - A sketch: flanged hoods, galvanised duct of 0.15 mm, hose of 1.5 mm,
    five-piece elbows, branches at 30 deg, gates that leak 3 %. What that costs:
    flows are known to ± 5 % at the worst.

  CAUTION  dust systems explode. Changes to ducts, fan or collector keep
           isolation, venting, bonding and spark protection as the code and the
           maker asked; some codes size a wood system with all gates open.
           Shutting gates may leave too little air in the trunk: keep its
           velocity above 18 m/s.
? 0

$ beltwright ducts examples/ducts-three-machines.yaml --shut saw --settings no --draws 0
Three machines on one collector, Tern Lane Cabinets (invented): Every open port
has enough air; the least is planer with 103 % of what it needs.

line                      flow, m³/h  least  port    speed, m/s  dust
------------------------  ----------  -----  ------  ----------  ----
collector                    2603                       23.01
| trunk after saw            2603                       23.01
| | trunk after planer       2591                       22.91
| | | trunk after sander     1563                       24.56
| | | | sander               1563      1500  enough     24.56
| | | planer                 1028      1000  enough     23.27
| | saw                        11.93    550              0.4218  shut

- Fan in collector: 2603 m³/h at 2174 Pa, 2.858 kW at its shaft; within its
  motor.

- A sketch: flanged hoods, galvanised duct of 0.15 mm, hose of 1.5 mm,
  five-piece elbows, branches at 30 deg, gates that leak 3 %. What that costs:
  flows are known to ± 0 % at the worst.

CAUTION  dust systems explode. Changes to ducts, fan or collector keep
         isolation, venting, bonding and spark protection as the code and the
         maker asked; some codes size a wood system with all gates open.
         Shutting gates may leave too little air in the trunk: keep its velocity
         above 18 m/s.
? 0

$ beltwright ducts examples/ducts-one-man.yaml
Shed of a one-man shop, Plover Hill (invented): sander has 91 % of the air it
needs. Dust settles in trunk after sander.

line                    flow, m³/h  least  port       speed, m/s  dust
----------------------  ----------  -----  -------  ------------  -------
collector                1690 ± 60                  26.61 ± 0.95
| trunk after saw        1690 ± 60                  26.61 ± 0.95
| | trunk after sander   1000 ± 70                  15.8 ± 1.1    SETTLES
| | | sander             1000 ± 70   1100  STARVED  22.7 ± 1.5
| | saw                   690 ± 50    500  enough   24.4 ± 1.8

- Fan in collector: 1693 m³/h at 1956 Pa, 1.673 kW at its shaft; within its
  motor.

What would help, each solved again
  change                                       effort  worst port    has    slowest  enough
  -------------------------------------------  ------  ----------  -----  ---------  ------
  shut the gate of saw                         none    sander      116 %  20.14 m/s  YES
  halve the hose of sander                     little  sander      101 %   17.5 m/s  no
  fan 25 % faster, by its sheave               some    sander      116 %   20.1 m/s  no
  fan 20 % faster, by its sheave               some    sander      111 %  19.23 m/s  no
  fan 15 % faster, by its sheave               some    sander      106 %  18.36 m/s  no
  fan 10 % faster, by its sheave               some    sander      101 %  17.49 m/s  no
  fan 5 % faster, by its sheave                some    sander       96 %  16.62 m/s  no
  new filter media in collector                some    sander       95 %  16.39 m/s  no
  sander in 150 mm instead of 125 mm           much    sander      112 %  19.45 m/s  no
  collector in 175 mm instead of 150 mm        much    sander       95 %  16.45 m/s  no
  trunk after saw in 175 mm instead of 150 mm  much    sander       92 %  15.97 m/s  no

  CAUTION  shut the gate of saw: only while its machine stands still; and look
           at the slowest line beside it: too little air in the trunk plugs it.
  CAUTION  halve the hose of sander: locked out; metal duct bonded, and the
           system's explosion protection kept as it was built.
  CAUTION  fan 25 % faster, by its sheave: OVERLOADS the motor: not without a
           larger one.
  CAUTION  fan 20 % faster, by its sheave: the maker's top speed for this wheel
           must not be passed; guard back on before it runs.
  CAUTION  new filter media in collector: dust in the collector burns and harms:
           breathing protection, no sparks, locked out.
  CAUTION  sander in 150 mm instead of 125 mm: locked out; metal duct bonded,
           and the system's explosion protection kept as it was built.

May be open together (3 settings tried)
  worst port    has  slowest line               at  open, all others shut
  ----------  -----  ------------------  ---------  ---------------------
  sander      116 %  trunk after sander  20.14 m/s  sander

  - A sketch: flanged hoods, galvanised duct of 0.15 mm, hose of 1.5 mm,
    five-piece elbows, branches at 30 deg, gates that leak 3 %. What that costs:
    flows are known to ± 7 % at the worst.

  CAUTION  dust systems explode. Changes to ducts, fan or collector keep
           isolation, venting, bonding and spark protection as the code and the
           maker asked; some codes size a wood system with all gates open.
           Shutting gates may leave too little air in the trunk: keep its
           velocity above 20 m/s.
? 0

$ beltwright ducts examples/ducts-plant.yaml --units us
Dust system of the three-head line, Hollow Creek Doors (invented): head 1 right
has 84 % of the air it needs.

line                   flow, cfm  least  port     speed, ft/min
--------------------  ----------  -----  -------  -------------
collector             5330 ± 180                     4990 ± 170
| trunk 3             5330 ± 180                     4990 ± 170
| | trunk 2           3850 ± 150                     4900 ± 190
| | | trunk 1         1960 ± 110                     4400 ± 200
| | | | head 1 left   1120 ± 60    1000  enough      5700 ± 300
| | | | head 1 right   840 ± 100   1000  STARVED     4300 ± 500
| | | head 2          1888 ± 98    1500  enough      5400 ± 300
| | head 3            1490 ± 100   1500  unsure      4300 ± 300

- Fan in collector: 5334 cfm at 11.87 inH2O, 18.15 hp at its shaft; within its
  motor.

What would help, each solved again
  change                                                    effort  worst port      has      slowest  enough
  --------------------------------------------------------  ------  ------------  -----  -----------  ------
  shut the gate of head 3                                   none    head 1 right  104 %  4482 ft/min  YES
  shut the gate of head 2                                   none    head 1 right  112 %  3384 ft/min  no
  shut the gate of head 1 left                              none    head 1 right  109 %  2520 ft/min  no
  pull the hose of head 1 right straight, cut off the rest  little  head 3         97 %  4182 ft/min  no
  halve the hose of head 1 right                            little  head 1 right   93 %  4212 ft/min  no
  fan 25 % faster, by its sheave                            some    head 1 right  108 %  5477 ft/min  no
  fan 20 % faster, by its sheave                            some    head 1 right  104 %  5232 ft/min  no
  fan 15 % faster, by its sheave                            some    head 1 right   99 %  4988 ft/min  no
  fan 10 % faster, by its sheave                            some    head 1 right   94 %  4744 ft/min  no
  new filter media in collector                             some    head 1 right   89 %  4509 ft/min  no
  fan 5 % faster, by its sheave                             some    head 1 right   89 %  4500 ft/min  no
  head 1 right in 175 mm instead of 152 mm                  much    head 3         97 %  4035 ft/min  no

  CAUTION  shut the gate of head 3: only while its machine stands still; and
           look at the slowest line beside it: too little air in the trunk plugs
           it.
  CAUTION  pull the hose of head 1 right straight, cut off the rest: locked out;
           metal duct bonded, and the system's explosion protection kept as it
           was built.
  CAUTION  fan 25 % faster, by its sheave: OVERLOADS the motor: not without a
           larger one.
  CAUTION  new filter media in collector: dust in the collector burns and harms:
           breathing protection, no sparks, locked out.
  CAUTION  fan 5 % faster, by its sheave: OVERLOADS the motor: not without a
           larger one.
  CAUTION  head 1 right in 175 mm instead of 152 mm: locked out; metal duct
           bonded, and the system's explosion protection kept as it was built.

May be open together (15 settings tried)
  worst port      has  slowest line           at  open, all others shut
  ------------  -----  ------------  -----------  ------------------------------
  head 1 right  102 %  trunk 3       4599 ft/min  head 1 left + head 1 right +
                                                  head 2

  CAUTION  dust systems explode. Changes to ducts, fan or collector keep
           isolation, venting, bonding and spark protection as the code and the
           maker asked; some codes size a wood system with all gates open.
           Shutting gates may leave too little air in the trunk: keep its
           velocity above 3937 ft/min.
? 0

$ beltwright ducts examples/ducts-plant.yaml --settings no --measured "600 m³/h at head 1 right" --measured "2050 m³/h at head 1 left" --measured "3350 m³/h at head 2" --measured "2700 m³/h at head 3"
Dust system of the three-head line, Hollow Creek Doors (invented): head 1 right
has 84 % of the air it needs.

line                  flow, m³/h  least  port       speed, m/s
--------------------  ----------  -----  -------  ------------
collector             9100 ± 300                  25.3 ± 0.9
| trunk 3             9100 ± 300                  25.3 ± 0.9
| | trunk 2           6500 ± 300                  24.89 ± 0.96
| | | trunk 1         3330 ± 180                  22.5 ± 1.2
| | | | head 1 left   1902 ± 99    1699  enough   29.0 ± 1.5
| | | | head 1 right  1430 ± 180   1699  STARVED  22 ± 3
| | | head 2          3210 ± 170   2549  enough   27.5 ± 1.4
| | head 3            2520 ± 170   2549  unsure   21.6 ± 1.5

- Fan in collector: 9063 m³/h at 2956 Pa, 13.53 kW at its shaft; within its
  motor.

What would help, each solved again
  change                                                    effort  worst port      has    slowest  enough
  --------------------------------------------------------  ------  ------------  -----  ---------  ------
  shut the gate of head 3                                   none    head 1 right  104 %  22.77 m/s  YES
  shut the gate of head 2                                   none    head 1 right  112 %  17.19 m/s  no
  shut the gate of head 1 left                              none    head 1 right  109 %   12.8 m/s  no
  pull the hose of head 1 right straight, cut off the rest  little  head 3         97 %  21.25 m/s  no
  halve the hose of head 1 right                            little  head 1 right   93 %   21.4 m/s  no
  fan 25 % faster, by its sheave                            some    head 1 right  108 %  27.82 m/s  no
  fan 20 % faster, by its sheave                            some    head 1 right  104 %  26.58 m/s  no
  fan 15 % faster, by its sheave                            some    head 1 right   99 %  25.34 m/s  no
  fan 10 % faster, by its sheave                            some    head 1 right   94 %   24.1 m/s  no
  new filter media in collector                             some    head 1 right   89 %   22.9 m/s  no
  fan 5 % faster, by its sheave                             some    head 1 right   89 %  22.86 m/s  no
  head 1 right in 175 mm instead of 152 mm                  much    head 3         97 %   20.5 m/s  no

  CAUTION  shut the gate of head 3: only while its machine stands still; and
           look at the slowest line beside it: too little air in the trunk plugs
           it.
  CAUTION  pull the hose of head 1 right straight, cut off the rest: locked out;
           metal duct bonded, and the system's explosion protection kept as it
           was built.
  CAUTION  fan 25 % faster, by its sheave: OVERLOADS the motor: not without a
           larger one.
  CAUTION  new filter media in collector: dust in the collector burns and harms:
           breathing protection, no sparks, locked out.
  CAUTION  fan 5 % faster, by its sheave: OVERLOADS the motor: not without a
           larger one.
  CAUTION  head 1 right in 175 mm instead of 152 mm: locked out; metal duct
           bonded, and the system's explosion protection kept as it was built.

Measured against computed
  - head 1 right, 7.2 times its loss: loses more than its plate says: plugged,
    crushed hose, or a gate half shut. Misfit 0.4, before 23.5.

  CAUTION  dust systems explode. Changes to ducts, fan or collector keep
           isolation, venting, bonding and spark protection as the code and the
           maker asked; some codes size a wood system with all gates open.
           Shutting gates may leave too little air in the trunk: keep its
           velocity above 20 m/s.
? 0

$ beltwright ducts examples/ducts-plant.yaml --shut "head 9"
beltwright: --shut: no line has this name ("head 9")
  name a line of the network file that has a gate
? 2

$ beltwright ducts examples/ducts-plant.yaml --shut collector
beltwright: --shut: this line has no gate ("collector")
  name a line of the network file that has a gate
? 2

$ beltwright ducts tests/fixtures/ducts/no-fan.yaml
beltwright: tests/fixtures/ducts/no-fan.yaml: no path leads from this line to a fan ("a")
  a misspelt point? every line must hang on one system with a fan
? 2

$ beltwright ducts tests/fixtures/ducts/dead-end.yaml
beltwright: tests/fixtures/ducts/dead-end.yaml: only one line ends at this point: air cannot go on ("j2")
  a misspelt name? room and outdoors are open air
? 2

$ beltwright ducts tests/fixtures/ducts/not-meeting.yaml
beltwright: tests/fixtures/ducts/not-meeting.yaml: junctions[0]: its two lines do not both end at this point ("J")
  both must go to the point the junction is at
? 2

$ beltwright ducts tests/fixtures/ducts/no-fan-path.yaml
beltwright: tests/fixtures/ducts/no-fan-path.yaml: no path leads from this line to a fan ("c")
  a misspelt point? every line must hang on one system with a fan
? 2

$ beltwright ducts tests/fixtures/ducts/two-things.yaml
beltwright: tests/fixtures/ducts/two-things.yaml:4:59: lines[1].parts[0].straight: a part is one thing; give each part its own line ("5 m")
      - {name: b, to: J, diameter: 150 mm, parts: [{straight: 5 m, elbow: 90 deg}]}
                                                              ^
  straight: straight or spiral duct
? 2

$ beltwright ducts tests/fixtures/ducts/negative-length.yaml
beltwright: tests/fixtures/ducts/negative-length.yaml:3:76: lines[0].parts[1].straight.length: is out of range, takes 0.01 to 500 m ("-3 m")
      - {name: a, to: J, diameter: 150 mm, parts: [{hood: flanged}, {straight: -3 m}]}
                                                                               ^
  write a length, 0.01 to 500 m
? 2

$ beltwright ducts tests/fixtures/ducts/zero-diameter.yaml
beltwright: tests/fixtures/ducts/zero-diameter.yaml:3:32: lines[0].diameter: is out of range, takes 20 to 3000 mm ("0 mm")
      - {name: a, to: J, diameter: 0 mm, parts: [{hood: flanged}, {straight: 3 m}]}
                                   ^
  write a length, 20 to 3000 mm
? 2

$ beltwright ducts tests/fixtures/ducts/two-fans.yaml --draws 0
No line has a least flow to be judged by. Dust settles in b.

line  flow, m³/h  speed, m/s  dust
----  ----------  ----------  -------
out       2963         26.2
| a       1316         20.69
| b       1148         18.05  SETTLES
weak      -498.8        4.41

- Fan in out: 2963 m³/h at 645.7 Pa, 0.9661 kW at its shaft; its motor's power
  is not given.
- Fan in weak: -498.8 m³/h at 222.1 Pa, 0 kW at its shaft; air is driven
  BACKWARDS through it: another fan overpowers it. Shut a gate between them, or
  match the fans.

- a: no least flow known, so it is not judged. Take it from the machine's plate.
- b: no least flow known, so it is not judged. Take it from the machine's plate.

CAUTION  dust systems explode. Changes to ducts, fan or collector keep
         isolation, venting, bonding and spark protection as the code and the
         maker asked; some codes size a wood system with all gates open.
         Shutting gates may leave too little air in the trunk: keep its velocity
         above 20 m/s.
? 0

# Random systems against scipy's root finder, laws written anew (tests/oracle/ducts.py).
$ if /usr/bin/python3 -c 'import scipy' 2>/dev/null; then /usr/bin/python3 tests/oracle/ducts.py beltwright; else echo "no scipy: not compared"; fi
[..]
? 0
