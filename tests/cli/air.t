# The air studies as a technician types them, and what is said when they cannot be done.

$ beltwright airflow examples/three-head.yaml --tap "1.9 inH2O at head 2 was 3.1 inH2O coefficient 0.8"
Three-head line, Hollow Creek Doors (invented): The port has enough air, but
head 2 has lost 22 % since its good day.

port    flow, m³/h  least  by    speed, m/s  dust     verdict
------  ----------  -----  ----  ----------  -------  -------
head 2  2620 ± 100   1869  rule  22.5 ± 0.9  carries  enough

rule: 1100 cfm at every port of a wide-belt machine, common practice without a
source.

- head 2: enough. Its least flow means 16.01 m/s there.

Together 2620 ± 100 m³/h, needed 1869 m³/h. Air density 1.199 ± 0.007 kg/m³.

Then and now
  - head 2: flow 78.3 % ± 1.7 % of what it was; less suction than then: the
    trouble lies behind the tap - a blinded filter, gates open elsewhere, a
    plugged main, a leak - or the hose before the tap came off.

Where the ± comes from
  port    from                 % of flow
  ------  -------------------  ---------
  head 2  hood coefficient           3.0
  head 2  reading the suction        1.5
  head 2  diameter                   2.0
  head 2  air density                0.3

  CAUTION  no hole is drilled into a dust duct while it runs, nor without the
           owner's hot-work rule: a hot chip sets dust alight, and the collector
           with it. Belts stopped and locked out before a hose comes off a port.
? 0

$ beltwright airflow examples/three-head.yaml --section "at=head 1 left,readings=150 185 205 212 190 155 | 148 - 203 210 188 152 Pa" --units us
Three-head line, Hollow Creek Doors (invented): head 1 left is starved, at 61 %
of what it needs.

port         flow, cfm  least  by    speed, ft/min  dust     verdict
-----------  ---------  -----  ----  -------------  -------  -------
head 1 left   670 ± 15   1100  rule      3410 ± 80  SETTLES  STARVED

rule: 1100 cfm at every port of a wide-belt machine, common practice without a
source.

- head 1 left: starved, and dust settles on the way: look for open gates, a
  blinded filter, a plugged or leaking hose, in that order. Its least flow means
  5602 ft/min there.

Together 670 ± 15 cfm, needed 1100 cfm. Air density 0.0748 ± 0.0005 lb/ft³.

Where the ± comes from
  port         from                                        % of flow
  -----------  ------------------------------------------  ---------
  head 1 left  area                                              1.0
  head 1 left  instrument scale                                  0.5
  head 1 left  pitot coefficient                                 0.5
  head 1 left  pitot in turbulence and not quite straight        0.5
  head 1 left  air density                                       0.3
  head 1 left  rule of averaging                                 0.5
  head 1 left  slow swings of the flow                           0.3
  head 1 left  rows that differ                                  0.5
  head 1 left  readings made up                                  1.7

  - head 1 left: 1 reading missing, made from the neighbours.

  CAUTION  no hole is drilled into a dust duct while it runs, nor without the
           owner's hot-work rule: a hot chip sets dust alight, and the collector
           with it. Belts stopped and locked out before a hose comes off a port.
? 0

$ beltwright airflow --section "at=main,diameter=10 in"
Nothing was read yet: drill and read by the card.

Card for main
  two holes a quarter turn apart, with a straight run of 7 to 8 diameters before
  and 2 to 3 behind if there is one. One row of readings through each hole; mark
  these depths on the tube, from the inside of the wall.
  point    from the wall, mm  reading 1  reading 2
  -------  -----------------  ---------  ---------
  point 1                6.1  _________  _________
  point 2               25.4  _________  _________
  point 3               49.3  _________  _________
  point 4               84.8  _________  _________
  point 5              169.2  _________  _________
  point 6              204.7  _________  _________
  point 7              228.6  _________  _________
  point 8              247.9  _________  _________

  CAUTION  no hole is drilled into a dust duct while it runs, nor without the
           owner's hot-work rule: a hot chip sets dust alight, and the collector
           with it. Belts stopped and locked out before a hose comes off a port.
? 0

$ beltwright airflow --section "at=main,width=400 mm,height=300 mm"
Nothing was read yet: drill and read by the card.

Card for main
  one hole for each line across, the depths marked on the tube from the inside
  of the wall. One row of readings through each hole.
  point    from the wall, mm  reading 1  reading 2
  -------  -----------------  ---------  ---------
  line 1                22.2  _________  _________
  line 2                86.4  _________  _________
  line 3               150.0  _________  _________
  line 4               213.6  _________  _________
  line 5               277.8  _________  _________
  depth 1               29.6  _________  _________
  depth 2              115.2  _________  _________
  depth 3              200.0  _________  _________
  depth 4              284.8  _________  _________
  depth 5              370.4  _________  _________

  CAUTION  no hole is drilled into a dust duct while it runs, nor without the
           owner's hot-work rule: a hot chip sets dust alight, and the collector
           with it. Belts stopped and locked out before a hose comes off a port.
? 0

$ beltwright airflow
beltwright: --tap: needs a tap, or a section to read or to print a card for
  taps: the quick method: static suction near the hoods
? 2

$ beltwright airflow --tap "1.9 inH2O at head 2"
beltwright: --tap: the diameter at "head 2" is not known
  give diameter=, or name the port as the machine file does
? 2

$ beltwright airflow --section "at=main,diameter=10 in,readings=5 6 7 m/s"
beltwright: --section, readings: needs a pressure such as 300 Pa or 1.2 inH2O, got a speed ("m/s")
  units that fit: Pa, kPa, mbar, bar, psi, inH2O, mmH2O, inHg
? 2

$ beltwright airflow --section "at=main,diameter=10 in,readings=5 6 7 8 9 5 m/s,instrument=vane" --units si
main is starved, at 65 % of what it needs.

port  flow, m³/h  least  by    speed, m/s  dust     verdict
----  ----------  -----  ----  ----------  -------  -------
main   1220 ± 70   1869  rule   6.7 ± 0.4  SETTLES  STARVED

rule: 1100 cfm at every port of a wide-belt machine, common practice without a
source.

- main: starved, and dust settles on the way: look for open gates, a blinded
  filter, a plugged or leaking hose, in that order. Its least flow means
  10.25 m/s there.

Together 1220 ± 70 m³/h, needed 1869 m³/h. Air density 1.199 ± 0.007 kg/m³.

Where the ± comes from
  port  from                     % of flow
  ----  -----------------------  ---------
  main  area                           1.0
  main  instrument scale               2.0
  main  rule of averaging              0.5
  main  slow swings of the flow        0.3
  main  one row alone                  5.0

  CAUTION  no hole is drilled into a dust duct while it runs, nor without the
           owner's hot-work rule: a hot chip sets dust alight, and the collector
           with it. Belts stopped and locked out before a hose comes off a port.
? 0

$ beltwright shopair --temperature "20 °C" --humidity "28 % by meter" --outdoor-temperature "-5 °C" --extraction "3300 cfm" --ground "0.4 ohm at bed" --wood "sugar maple" --soil "clay or loam"
Expect static in this air.

The air
  20 °C, 28 % ± 3 %; wet bulb 10.5 ± 0.5 °C, dew point 1.0 ± 1.4 °C.
  Outdoor air of -5 °C and 80 %, warmed to this with nothing added, has 14 %.

Static: risk HIGH
  Not sure: within the ± of the humidity it may be raised to HIGH.
  - below about 30 % wood, belts and dust insulate and hold charge

Means against it, in this order
  1. antistatic belts: carry the belt's charge to the rolls; nothing where the
     rolls are not grounded, and little for charge on panels.
  2. a brush or tinsel near the belt, bonded: takes high charge off without
     power; leaves some hundred to a few thousand volts; wears and clogs with
     dust. Mind: fit it locked out, clear of the belt; not in reach of panels.
  3. an ionising bar: brings belt or panel near zero where it stands; acts over
     some centimetres only, and only while clean. Mind: high voltage: in dusty
     places only a type certified for combustible dust.
  4. damper air: makes all surfaces carry charge away; some plastics hold charge
     even then; wood swells, and it takes water all winter. Mind: no mist near
     switchgear, bare iron or stacked panels.

  CAUTION  a spark sets off wood dust in air. Where sparks are seen, stop, and
           have ducts, hoses and collector bonded before running on.

Ground path
  - bed, 0.4 ohm: drains static; too much for a protective conductor (order of
    0.1 ohm): have an electrician test that one with a proper instrument.

  CAUTION  power locked out before probes or hands touch anything; the grounding
           conductor is a licensed electrician's work under the local code.

Ground rods, for the electrician
  rods   ohm  best soil of the kind  worst
  ----  ----  ---------------------  -----
     1  16.2                    1.4   65.0
     2   9.4                    0.8   37.7
     3   7.0                    0.6   28.0
     4   5.5                    0.5   22.1

  Frost and drought raise these severalfold. NEC: rods of 8 ft at least, 6 ft
  apart; a single one above 25 ohm needs a second as the service's electrode
  (250.53), not where it only stands beside a machine (250.54); its copper need
  be no larger than 6 AWG. Elsewhere the local code.

  CAUTION  earth is no path for a fault: a rod never replaces the equipment
           grounding conductor and must be bonded to it (NEC 250.4(A)(5),
           250.54). A rod that cures static mostly shows that the bond was
           broken.

What outdoor air costs
  - 5607 m³/h goes outdoors and comes back in cold and dry.
  - Holding the humidity wanted takes 30.4 kg of water an hour. Evaporating it
    takes 21.4 kW of heat, by steam or by spray alike; warming the air another
    46.8 kW.
  - An evaporative cooler reaches 42 % at the most in this make-up air; in the
    air of now it would give 12.0 ± 0.4 °C at 84.4 % ± 0.9 %.

  returned  outdoors, m³/h  water, kg/h     heat
  --------  --------------  -----------  -------
       0 %            5607         30.4  68.3 kW
      50 %            2803         15.2  34.1 kW
     100 %               0          0.0   0.0 kW

  CAUTION  returned air carries the finest wood dust back to people; hardwood
           dust causes cancer. Local law may limit or forbid it, and asks for
           filters, monitoring and explosion isolation. Ask before you return
           any.

Wood and belts
  - In this air wood comes to 5.9 % ± 0.5 % moisture in some weeks; at the
    humidity wanted to 8.5 %; in outdoor air warmed to 3.3 %.
  - sugar maple of that width swells by 2.8 ± 0.6 mm at the humidity wanted: let
    it take the water on before it is sized.
  - Left in the dry air it shrinks by 2.7 ± 0.5 mm.
  - Too dry for belts: they cup and turn brittle. Keep them wrapped until a day
    before use, at 40 to 60 %.
? 0

$ beltwright shopair --temperature "68 °F" --wet-bulb "57 °F" --units us --climate tests/fixtures/climate/invented.epw --extraction "2000 cfm"
Static is not a likely cause in this air.

The air
  68 °F, 51 %; wet bulb 57 °F, dew point 49.09 °F.

Static: risk low
  - from 50 % on charge seldom builds up (common practice)
  - the ground path was not measured

Wood and belts
  - In this air wood comes to 9.4 % moisture in some weeks; at the humidity
    wanted to 8.5 %.
  - Belts keep in this air. Hang them a day beside the machine before use.

Through the year, nothing added
  month        °F  outdoors  in the shop  water, lb/h    wood  static
  ---------  ----  --------  -----------  -----------  ------  ------
  January    24.3      87 %         16 %         37.9   3.7 %  HIGH
  February   27.7      85 %         18 %         34.8   4.2 %  HIGH
  March      35.6      81 %         24 %         26.9   5.3 %  HIGH
  April      46.4      76 %         35 %         13.4   6.9 %  raised
  May        57.2      71 %         48 %          0.0   9.0 %  raised
  June       65.1      67 %         60 %          0.0  11.0 %  low
  July       68.0      66 %         66 %          0.0  12.1 %  low
  August     65.1      67 %         60 %          0.0  11.0 %  low
  September  57.2      71 %         48 %          0.0   9.0 %  raised
  October    46.4      76 %         35 %         13.4   6.9 %  raised
  November   35.6      81 %         24 %         26.9   5.3 %  HIGH
  December   27.7      85 %         18 %         34.8   4.2 %  HIGH
? 0

$ beltwright shopair --temperature "20 °C" --humidity "45 %" --climate tests/fixtures/climate/broken.epw
beltwright: tests/fixtures/climate/broken.epw:12:1: not a line of an EPW weather file
  after eight header lines each line holds year, month, day, hour, minute, source, dry bulb, dew point, humidity and more
? 2

$ beltwright shopair --temperature "20 °C" --humidity "45 %" --climate tests/fixtures/climate/half-year.epw
beltwright: tests/fixtures/climate/half-year.epw: the weather file has no readings for month 7
  take a file of a whole year, or give the months
? 2

$ beltwright shopair --temperature "20 °C" --wet-bulb "25 °C"
beltwright: the wet bulb lies above the temperature
  read both again at the same place and time, wick wet, out of the sun
? 2

$ beltwright shopair --temperature "20 °C"
beltwright: --humidity: needs two of temperature, humidity, wet bulb and dew point
  humidity: shop relative humidity
? 2

$ beltwright shopair --temperature "20 °C" --humidity "45 %" --wood "sugar mapel"
beltwright: --wood: not in the table of wood movement ("sugar mapel")
  did you mean sugar maple?
? 2
