# Panels out of size; the plan and its card; settings; and tables that cannot be taken.

$ beltwright thickness --file examples/thickness.csv --panel-length "900 mm" --panel-width "600 mm" --target "18 mm" --tolerance "0.15 mm" --adjuster-span "1500 mm" --thread "2 mm"
Thicker on the right: drum and table stand further apart there.

                                    after, mm   came in, mm  shown
-----------------------------  --------------  ------------  -----
right against left              0.112 ± 0.005  -0.02 ± 0.02  yes
middle against edges            0.002 ± 0.004   0.00 ± 0.02  no
leading end against the rest   -0.088 ± 0.004  -0.06 ± 0.02  yes
trailing end against the rest  -0.002 ± 0.004   0.02 ± 0.02  no

- right against left 0.112 ± 0.005 mm: thicker on the right: drum and table
  stand further apart there.
- leading end against the rest -0.088 ± 0.004 mm: leading end dips: hold-downs
  before the head too high or too soft, or the pressing part sets down early.
- From 49 readings; right against left is told over 600 mm. One reading lies
  within 0.011 mm of the fit.

Left out: read these again
  - panel 3 at RM: 17.57 mm, 0.52 mm thinner than its neighbours say

To take the taper out, one of these
  - right adjuster: drum and table 0.281 ± 0.012 mm closer (0.140 ± 0.006 turns)
  - left adjuster: drum and table 0.281 ± 0.012 mm further apart (0.140 ± 0.006
    turns)
  - half of it on one side and half, the other way, on the other: thickness in
    the middle stays
  Move against the slack, read again, and only then lock it.
  CAUTION  lock out power and air, wait until drums and belts stand still:
           adjusters are never moved with a hand near a running belt

Panel by panel
  panel        mean, mm        step, mm
  -----  --------------  --------------
  1      18.110 ± 0.004   0.058 ± 0.004
  2      18.061 ± 0.004   0.009 ± 0.004
  3      18.037 ± 0.004  -0.015 ± 0.004
  4      18.019 ± 0.004  -0.033 ± 0.004
  5      18.032 ± 0.004  -0.020 ± 0.004

The gauge
  - One person reading one place again: ± 0.014 mm.
  - It takes 28 % of the tolerance: just good enough.
  - It tells 3 kinds of place apart; five are good.

Against the tolerance
  - Cp 0.74 (95 %: 0.55 to 0.93): panels are too uneven for this tolerance.
  - Cpk 0.62 (95 %: 0.40 to 0.85).
  - By these readings 3.6 % of places are out of tolerance.

Display and warming up
  - P150 paper (5 panels): panels are 0.022 ± 0.005 mm thicker than the display
    says; enter it as this belt's correction
  - Started cold, panels come out 0.120 ± 0.013 mm thicker than when warm; let
    it run half an hour before the first good panel.
? 0

$ beltwright thickness --file examples/thickness.csv --panel-length "900 mm" --panel-width "600 mm" --units us
Thicker on the right: drum and table stand further apart there.

                                        after, in       came in, in  shown
-----------------------------  ------------------  ----------------  -----
right against left              0.00442 ± 0.00018  -0.0008 ± 0.0009  yes
middle against edges            0.00006 ± 0.00016   0.0002 ± 0.0008  no
leading end against the rest   -0.00348 ± 0.00015  -0.0023 ± 0.0008  yes
trailing end against the rest  -0.00006 ± 0.00015   0.0007 ± 0.0008  no

- right against left 0.00442 ± 0.00018 in: thicker on the right: drum and table
  stand further apart there.
- leading end against the rest -0.00348 ± 0.00015 in: leading end dips:
  hold-downs before the head too high or too soft, or the pressing part sets
  down early.
- From 49 readings; right against left is told over 23.62 in. One reading lies
  within 0.00044 in of the fit.

Left out: read these again
  - panel 3 at RM: 0.6917 in, 0.02 in thinner than its neighbours say

Panel by panel
  panel           mean, in            step, in
  -----  -----------------  ------------------
  1      0.71300 ± 0.00016   0.00229 ± 0.00016
  2      0.71107 ± 0.00016   0.00036 ± 0.00016
  3      0.71011 ± 0.00017  -0.00059 ± 0.00017
  4      0.70942 ± 0.00016  -0.00129 ± 0.00016
  5      0.70993 ± 0.00016  -0.00078 ± 0.00016

The gauge
  - One person reading one place again: ± 0.00054 in.
  - It tells 3 kinds of place apart; five are good.

Display and warming up
  - P150 paper (5 panels): panels are 0.00085 ± 0.00018 in thicker than the
    display says; enter it as this belt's correction
  - Started cold, panels come out 0.0047 ± 0.0005 in thicker than when warm; let
    it run half an hour before the first good panel.

  - Give --adjuster-span, the distance between the left and the right adjuster,
    to have the taper in adjuster moves.
? 0

$ beltwright thickness --panel-length "900 mm" --panel-width "600 mm" --gauge "0.05 mm"
Nothing was read yet: measure by this plan.

- 4 panels of one stack, 12 places on each: right against left, crown and ends
  then come to ± 0.02 mm.
- Mark each panel: its number, an arrow along the feed, L and R as the feeder
  sees them. The end that goes in first is the front.
- Read each panel before and after; wipe dust off, same hand, same gauge; one
  place of each panel twice.
- Feed all in one lane, the machine warm, nothing changed between.

Card, one a panel
  Panel ______  lane ______  display ______  minutes since start ______  belt
  ____________  read by ____________

  place  from the left, mm  from the front, mm  before     after
  -----  -----------------  ------------------  ---------  ---------
  A1                    30                  30  _________  _________
  B1                   300                  30  _________  _________
  C1                   570                  30  _________  _________
  A2                    30                 310  _________  _________
  B2                   300                 310  _________  _________
  C2                   570                 310  _________  _________
  A3                    30                 590  _________  _________
  B3                   300                 590  _________  _________
  C3                   570                 590  _________  _________
  A4                    30                 870  _________  _________
  B4                   300                 870  _________  _________
  C4                   570                 870  _________  _________
? 0

$ beltwright thickness --timing "6 mm of lead at 6 m/min" --timing "9 mm of lead at 12 m/min" --stroke 'left="4.2 4.1 4.3 4.2 s",right="3.6 3.7 3.6 3.5 s"'
Settings, as below.

Sectional platen
  - leading edge: late by 0.030 ± 0.014 s, sensor off by 3 ± 2 mm: set down
    30 ms earlier.

Tracking
  - A stroke to the left takes 4.20 ± 0.04 s, to the right 3.60 ± 0.04 s:
    strokes are unequal: time them once more with the belt turned round, if its
    joint allows it (a lap joint peels when it runs backwards: never turn such a
    belt).
  CAUTION  strokes are timed through the window, doors shut; rolls, sensor and
           valve are touched with power and air locked out
? 0

# Two strips, swapped and run again; what each head takes.
$ beltwright thickness --panel-width "100 mm" --panel-length "500 mm" --machine-width "1100 mm" --adjuster-span "1.4 m" --reading "value=20.10 mm,panel=A,run=1,lane=left" --reading "value=20.25 mm,panel=B,run=1,lane=right" --reading "value=20.06 mm,panel=A,run=2,lane=right" --reading "value=19.94 mm,panel=B,run=2,lane=left"
Thicker on the right: drum and table stand further apart there.

                      after, mm  shown
------------------  -----------  -----
right against left  0.13 ± 0.02  yes

- right against left 0.13 ± 0.02 mm: thicker on the right: drum and table stand
  further apart there.
- From 4 readings; right against left is told over 1000 mm. One reading lies
  within 0.02 mm of the fit.

To take the taper out, one of these
  - right adjuster: drum and table 0.19 ± 0.03 mm closer
  - left adjuster: drum and table 0.19 ± 0.03 mm further apart
  - half of it on one side and half, the other way, on the other: thickness in
    the middle stays
  Move against the slack, read again, and only then lock it.
  CAUTION  lock out power and air, wait until drums and belts stand still:
           adjusters are never moved with a hand near a running belt

Panel by panel
  panel        mean, mm        step, mm
  -----  --------------  --------------
  A      20.080 ± 0.014  -0.008 ± 0.014
  B      20.095 ± 0.014   0.008 ± 0.014
? 0

$ beltwright thickness --panel-width "24 in" --panel-length "36 in" --units us --reading "value=3/4 in,place=CM,when=before" --reading "value=0.735 in,place=CM,upto=1" --reading "value=0.730 in,place=CM,upto=2"
Head by head, as below.

Head by head
  head          takes, in
  ------  ---------------
  head 1  0.0150 ± 0.0011
  head 2  0.0050 ± 0.0011
? 0

$ beltwright thickness --reading "18.02 mm at left front" --reading "18.10 mm at RX"
beltwright: --reading 2, place: is no place: write left, centre or right and front, middle or back, such as LF, CM, RB or "left front" ("RX")
  place: where on the panel: left, centre or right, then front, middle or back, as LF, CM, "right back"; the front goes in first, left is the feeder's left
? 2

$ beltwright thickness --file tests/fixtures/thickness/bad-place.csv
beltwright: tests/fixtures/thickness/bad-place.csv:3:7: readings[1].place: is no place: write left, centre or right and front, middle or back, such as LF, CM, RB or "left front" ("XX")
    18.05,XX,1
          ^
  place: where on the panel: left, centre or right, then front, middle or back, as LF, CM, "right back"; the front goes in first, left is the feeder's left
? 2

$ beltwright thickness --file tests/fixtures/thickness/bad-when.csv
beltwright: tests/fixtures/thickness/bad-when.csv:2:10: readings[0].when: is not one of the choices ("later")
    18.02,LF,later
             ^
  choose one of: before, after
? 2

$ beltwright thickness --file tests/fixtures/thickness/comma.csv
beltwright: tests/fixtures/thickness/comma.csv:2:1: readings[0].value: needs a length such as 14.6 mm or 5/8 in, got a comma between digits ("18,02 mm")
    "18,02",LF
    ^
  write 18.02 mm, without the comma
? 2

$ beltwright thickness --file tests/fixtures/thickness/misspelt-column.csv
beltwright: tests/fixtures/thickness/misspelt-column.csv:1:12: readings[0].plaice: is not a key of this reading
    value [mm],plaice
               ^
  did you mean place?
? 2

$ beltwright thickness --file tests/fixtures/thickness/no-unit.csv
beltwright: tests/fixtures/thickness/no-unit.csv:2:1: readings[0].value: needs a length such as 14.6 mm or 5/8 in, got a number without a unit ("18.02")
    18.02,LF
    ^
  write 18.02 mm or 18.02 in, whichever is meant
? 2

$ beltwright thickness --file tests/fixtures/thickness/no-value.csv
beltwright: tests/fixtures/thickness/no-value.csv:2:1: readings[0].value: is missing
    LF,1
    ^
  give value (the thickness read): a length, 0.1 to 500 mm
? 2

$ beltwright thickness --file tests/fixtures/thickness/too-thick.csv
beltwright: tests/fixtures/thickness/too-thick.csv:2:1: readings[0].value: is out of range, takes 0.1 to 500 mm ("1802 mm")
    1802,LF
    ^
  did you mean 1802 µm?
? 2

$ beltwright thickness --file tests/fixtures/thickness/wrong-unit.csv
beltwright: tests/fixtures/thickness/wrong-unit.csv:2:1: readings[0].value: needs a length such as 14.6 mm or 5/8 in, got a mass ("18.02 kg")
    18.02,LF
    ^
  units that fit: µm, mm, cm, m, in, ft, mil
? 2

# Random panels against numpy's and scipy's least squares (tests/oracle/thickness.py).
$ if /usr/bin/python3 -c 'import scipy' 2>/dev/null; then /usr/bin/python3 tests/oracle/thickness.py beltwright; else echo "no scipy: not compared"; fi
30 sets of panels, 94 slips: every slip found by scipy's robust fit is left out: yes; values and ± of numpy's least squares within a millionth of a ±: yes
? 0
