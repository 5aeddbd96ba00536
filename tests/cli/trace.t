# A tester's readings, a trace in columns; and what cannot be taken.

$ beltwright trace --reading "Ra 5.4 um Rz 41 um cut-off 2.5 mm after P120 on oak" --reading "Ra 6.1 um Rz 44 um cut-off 2.5 mm after P120 on oak" --record examples/roughness.csv
Ra 5.7 ± 0.4 µm: as P120 usually leaves here.

grit  on   cut-off  places  Ra            Rz             usually
----  ---  -------  ------  ------------  -------------  ------------
P120  oak  2.5 mm        2  5.7 ± 0.4 µm  42.5 ± 1.5 µm  5.7 ± 0.4 µm

- Fewer than five places were read; wood differs from place to place.
? 0

$ beltwright trace --reading "Ra 5.4 um Rz 90 um cut-off 0.8 mm over 2 mm measured along after P120"
Ra 5.4 µm: not calibrated: this shop's record has 0 of the three grits needed to
say what P120 should leave.

grit         cut-off  places  Ra      Rz
----  -----  -------  ------  ------  -----
P120  along  0.8 mm        1  5.4 µm  90 µm

- Ra 5.4 µm asks for a cut-off of 2.5 mm; at 0.8 mm longer waves are left out
  and it reads low.
- Measured over 2 mm, less than five cut-offs of 0.8 mm: such readings scatter
  more.
- Measured along the scratches: it reads low. Measure across them.
- Rz is over twelve times Ra: a few deep places decide it, pores or stray
  scratches; judge the sanding by Ra.
- Fewer than five places were read; wood differs from place to place.
? 0

$ beltwright trace
beltwright: --reading: needs readings, or the file of a trace
  readings: a reading, such as "Ra 5.2 um Rz 38 um cut-off 2.5 mm after P120 on oak"
? 2

$ beltwright trace --reading "cut-off 0.8 mm"
beltwright: --reading, ra: a reading needs Ra, Rz or both ("cut-off 0.8 mm")
  ra: mean roughness as the tester shows it
? 2

$ beltwright trace --reading "Ra 5 um after 320"
beltwright: --reading, grit: a bare number may be P320 (46.2 µm) or CAMI 320 (36 µm) ("320")
  look at the belt's back: with a P before the number write P320, else CAMI 320
? 2

$ beltwright trace --unjailed tests/fixtures/trace/panel.csv --surface plain
Ra 1.77 ± 0.07 µm.

           ISO 21920-2         ISO 4287
---  -----------------  ---------------  ----------------------------------
Ra    1.77 ± 0.07 µm                     mean height
Rq    2.24 ± 0.09 µm     2.22 ± 0.09 µm  root mean square
Rz   10.5 ± 0.4 µm                       peak to valley, mean of sections
Rt   14.4 µm                             peak to valley, all of it
Rp    5.5 ± 0.3 µm                       highest peak
Rv    5.0 ± 0.3 µm                       lowest valley
Rsk   0.06 ± 0.14        0.12 ± 0.14     skew: below 0 valleys, above peaks
Rku   3.05 ± 0.16        2.93 ± 0.16     3 is even, more is spiky
RSm   0.118 ± 0.005 mm                   width of a hill and its dale
Rdq   0.168 ± 0.006      0.167 ± 0.006   slope
Rk    5.682 µm           5.725 µm        core
Rpk   2.253 µm           2.235 µm        peaks above it
Rvk   2.159 µm           2.283 µm        valleys below it
Mr1  10.01 %             9.837 %         material above the core
Mr2  89.79 %            89.61 %          material above the valleys
Wa    1.246 µm                           waviness, mean height
Wq    1.4 µm                             waviness, root mean square

text, 2000 points, 5 µm apart; 12 sections of 0.8 mm.
± is from the differences between sections.

- Points are too far apart for the short cut-off that goes with this cut-off;
  nothing was smoothed, so slopes and peaks are the instrument's.
- No equally spaced marks stand out. A trace across the scratches runs along
  bars of chatter and cannot show them: for these, trace along the feed.
? 0

$ beltwright trace --unjailed tests/fixtures/trace/bare.txt
beltwright: tests/fixtures/trace/bare.txt: height_unit: the file does not tell this unit
  give it: um, mm, nm, m, in, mil or uin
? 2

$ beltwright trace --unjailed tests/fixtures/trace/bare.txt --height-unit um
beltwright: tests/fixtures/trace/bare.txt: spacing: the file does not tell how far its points are apart
  give it, such as 0.5 um
? 2

$ beltwright trace --unjailed tests/fixtures/trace/bare.txt --height-unit um --spacing "20 um" --cut-off "0.8 mm" --surface plain
Ra 1.43 ± 0.19 µm.

           ISO 21920-2           ISO 4287
---  -----------------  -----------------  ----------------------------------
Ra    1.43 ± 0.19 µm                       mean height
Rq    1.7 ± 0.2 µm                         root mean square
Rz    5.8 ± 0.6 µm                         peak to valley, mean of sections
Rt    8.742 µm                             peak to valley, all of it
Rp    2.8 ± 0.3 µm                         highest peak
Rv    3.0 ± 0.4 µm                         lowest valley
Rsk  -0.1 ± 0.2          0.0 ± 0.2         skew: below 0 valleys, above peaks
Rku   2.60 ± 0.16        2.19 ± 0.16       3 is even, more is spiky
RSm   0.377 ± 0.019 mm   0.354 ± 0.019 mm  width of a hill and its dale
Rdq   0.037 ± 0.005      0.035 ± 0.005     slope
Rk    4.541 µm           4.846 µm          core
Rpk   1.616 µm           1.142 µm          peaks above it
Rvk   1.66 µm            2.003 µm          valleys below it
Mr1   5.962 %            5.327 %           material above the core
Mr2  86.94 %            86.44 %            material above the valleys
Wa    1.11 µm                              waviness, mean height
Wq    1.298 µm                             waviness, root mean square

text, 300 points, 20 µm apart; 7 sections of 0.8 mm.
± is from the differences between sections.

- Points are too far apart for the short cut-off that goes with this cut-off;
  nothing was smoothed, so slopes and peaks are the instrument's.
- No equally spaced marks stand out. A trace across the scratches runs along
  bars of chatter and cannot show them: for these, trace along the feed.
? 0

$ beltwright trace --unjailed tests/fixtures/trace/comma.txt
beltwright: tests/fixtures/trace/comma.txt: line 1: a comma may be decimal or part two columns; write points in numbers, or ; between columns
? 2

$ beltwright trace --unjailed tests/fixtures/trace/backwards.csv
beltwright: tests/fixtures/trace/backwards.csv: point 3: the places do not rise from point to point
? 2

$ beltwright trace --unjailed tests/fixtures/trace/words.txt
beltwright: tests/fixtures/trace/words.txt: no rows of numbers; a trace is one column of heights, or two of places and heights
? 2

$ beltwright trace --unjailed tests/fixtures/trace/columns.csv
beltwright: tests/fixtures/trace/columns.csv: line 1: has more than two columns; leave the places and the heights, or name the columns x and z above them
? 2

$ beltwright trace --unjailed examples/three-head.yaml
beltwright: examples/three-head.yaml: no rows of numbers; a trace is one column of heights, or two of places and heights
? 2
