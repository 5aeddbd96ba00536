# The main job on the example shop, and what is said when it cannot be done.

$ beltwright rates examples/two-head.yaml --feed "6 m/min by film"
Two-head sander, Kestrel Yard Joinery (invented) at a feed of
6.000 ± 0.015 m/min

head  part                                Hz         pitch, mm  goes with  ridge, µm  passes
----  ----------------------------  --------  ----------------  ---------  ---------  ------
1     belt splice                    10.6        9.48 ± 0.17    time           110
1     contact drum                   32.5        3.07 ± 0.05    time            12
1     bearing cage, contact drum     13          7.71 ± 0.13    time            75
1     tension roll                   54.9        1.82 ± 0.03    time             4.2
1     motor                          48.8        2.05 ± 0.02    time             5.3
1     belt oscillation                0.25     400 ± 12         time
2     belt splice                     9.47      10.6 ± 0.5      time           170      29 %
2     contact drum                   36          2.78 ± 0.15    time            12     4.2 %
2     tension roll                   49.4        2.02 ± 0.10    time             6.3   1.1 %
2     motor                          24.3        4.11 ± 0.04    time            26     2.7 %
2     belt oscillation                0.25     400 ± 12         time
      feed belt joint                 0.0379  2640 ± 5          travel
      feed drive roll                 0.265    377.0 ± 0.8      travel
      chain link of the feed drive    5.25      19.050 ± 0.095  travel
      pressure rolls                  0.531    188.5 ± 0.4      travel
      planer                         41.7        2.4 ± 0.2      travel          12
      mains hum                     100          1.000 ± 0.003  time             1.3

Marks that go with time grow further apart as the feed rises; marks that go with
travel keep their pitch. "ridge" is the most a mark can stand up, "passes" the
share that the pressing part's length lets through.

Cannot be seen on the panel (ridge under 1 µm), for the ear only: bearing balls,
contact drum of head 1 0.652 ± 0.011 mm; bearing outer race, contact drum of
head 1 0.857 ± 0.015 mm; bearing inner race, contact drum of head 1
0.5674 ± 0.0097 mm.

Slow waves where two parts run close
  - waves of the belt splice of head 1 with the belt splice of head 2: every
    90 ± 60 mm
  - waves of the contact drum of head 1 with the contact drum of head 2: every
    30 ± 20 mm

Hard to tell apart on this machine
  - The 3rd harmonic of the belt splice of head 1 lies 2.8 % from the contact
    drum of head 1 (known to ± 0.4 %). What decides: the slant of the marks (the
    joint leans, the roll does not), or a chalked splice.
  - The 5th harmonic of the belt splice of head 1 lies 4.0 % from the tension
    roll of head 1 (known to ± 0.4 %). What decides: the slant of the marks (the
    joint leans, the roll does not), or a chalked splice.
  - The 5th harmonic of the belt splice of head 2 lies 4.4 % from the tension
    roll of head 2 (known to ± 0.4 %). What decides: the slant of the marks (the
    joint leans, the roll does not), or a chalked splice.
  - The 4th harmonic of the belt splice of head 2 lies 5.1 % from the contact
    drum of head 2 (known to ± 1.5 %). What decides: the slant of the marks (the
    joint leans, the roll does not), or a chalked splice.

What is not known, and what it costs
  - the drum of head 2 is known by its plate only and may have been reground (1
    to 4 % smaller): a tape round it, locked out, is five times sharper.

  CAUTION  hands go in only after lock-out: power and air off, tension released,
           drums at rest. The machine's manual comes first.
? 0

$ beltwright rates examples/one-head.yaml --feed "18 ft/min by watch" --units us
Single-drum sander, Tern Lane Cabinets (invented) at a feed of
18.00 ± 0.18 ft/min

head  part                             Hz         pitch, in  goes with  ridge, in  passes
----  --------------------------  -------  ----------------  ---------  ---------  ------
1     belt splice                  9.58     0.376 ± 0.009    time         0.0056     24 %
1     contact drum                36.7      0.0982 ± 0.0019  time         0.00038   1.8 %
1     bearing cage, contact drum  14.6      0.246 ± 0.005    time         0.0024     17 %
1     tension roll                50.3      0.0716 ± 0.0018  time         0.0002    4.3 %
1     motor                       29.3      0.1227 ± 0.0017  time         0.00059    13 %
1     drive belt                  10.4      0.346 ± 0.005    time         0.0047     15 %
1     belt oscillation             0.3     12.0 ± 0.4        time
      feed belt joint              0.0367  98.0 ± 0.2        travel
      feed drive roll              0.286   12.57 ± 0.03      travel
      worm gear wheel tooth        8.57     0.420 ± 0.002    travel
      infeed hold-down roll        0.458    7.854 ± 0.016    travel
      outfeed roll                 0.458    7.854 ± 0.016    travel
      planer                      67.5      0.053 ± 0.005    travel       0.00015

Marks that go with time grow further apart as the feed rises; marks that go with
travel keep their pitch. "ridge" is the most a mark can stand up, "passes" the
share that the pressing part's length lets through.

Cannot be seen on the panel (ridge under 3.937e-05 in), for the ear only:
bearing balls, contact drum of head 1 0.0208 ± 0.0004 in; bearing outer race,
contact drum of head 1 0.0274 ± 0.0005 in; bearing inner race, contact drum of
head 1 0.0181 ± 0.0004 in; mains hum 0.0300 ± 0.0003 in.

Hard to tell apart on this machine
  - The infeed hold-down roll and the outfeed roll have the same pitch. What
    decides: a look at both parts; marking one of them with chalk.
  - The 4th harmonic of the belt splice of head 1 lies 4.3 % from the contact
    drum of head 1 (known to ± 1.5 %). What decides: the slant of the marks (the
    joint leans, the roll does not), or a chalked splice.
  - The 5th harmonic of the belt splice of head 1 lies 5.1 % from the tension
    roll of head 1 (known to ± 1.0 %). What decides: the slant of the marks (the
    joint leans, the roll does not), or a chalked splice.

What is not known, and what it costs
  - the drum of head 1 is known by its plate only and may have been reground (1
    to 4 % smaller): a tape round it, locked out, is five times sharper.

  CAUTION  hands go in only after lock-out: power and air off, tension released,
           drums at rest. The machine's manual comes first.
? 0

$ beltwright source examples/three-head.yaml --mark "17.9 mm ± 0.2 at 24 ft/min by watch"
A belt splice; which head is not decided.

Mark 1: 17.9 ± 0.2 mm at 7.32 ± 0.07 m/min
  could be                         chance           expected, mm  then
  -------------------------------  ---------------  ------------  ----------------
  belt splice of head 2            about 5 in 10      17.7 ± 0.9  joint thick,
                                                                  stiff or lifting
  belt splice of head 3            about 4 in 10      17.7 ± 0.9  joint thick,
                                                                  stiff or lifting
  an unlisted part tied to travel  1 in 50 or less
  an unlisted part that turns      1 in 50 or less
  Something not in the machine file: about 1 in 40.

What would settle it

  1. Sand a scrap panel with only head 2 cutting. About 10 min; the best guess
     is then right: about 9 in 10.
     How: the other heads lifted clear, a light cut, same feed; then --trial
     "only head 2 mark stays" (or gone).
     - the mark is there: belt splice of head 2
     - no mark: belt splice of head 3
  CAUTION  doors shut, nobody in line with the infeed, no part under the
           machine's shortest length

  2. Chalk the splice of head 2 and sand a scrap panel slower, with this head
     alone (5.3 m/min). About 25 min; the best guess is then right: about 19 in
     20.
     How: locked out, chalk a line across the grain side beside the joint; set
     the slower feed, lift the other heads clear; on the panel measure the chalk
     marks and the mark itself, ten gaps each; then give --mark "PITCH at FEED
     is splice of head 2", --trial "only head 2 mark stays" (or gone) and, if
     the mark is there, --mark "PITCH at FEED same as mark 1".
     - the mark is there, 12.9 ± 0.3 mm if it is: belt splice of head 2
     - no mark if it is: belt splice of head 3
  CAUTION  lock out power and air, release the tension, wait until drums and
           belt stand still before a hand goes in; doors shut again before it
           runs

  3. Chalk the splice of head 2 and sand a scrap panel with it alone. About 20
     min; the best guess is then right: about 19 in 20.
     How: locked out, chalk a line across the grain side beside the joint; run
     one scrap panel at the same feed, the other heads lifted clear, and measure
     the chalk marks over ten gaps in its first metre; then give --mark "PITCH
     is splice of head 2" and --trial "only head 2 mark stays" (or gone): after
     that no speed is needed.
     - the mark is there, 17.9 ± 0.2 mm if it is: belt splice of head 2
     - no mark if it is: belt splice of head 3
  CAUTION  lock out power and air, release the tension, wait until drums and
           belt stand still before a hand goes in; doors shut again before it
           runs

For tonight, no cure
  - slow the feed: the marks move together and flatten: 4.9 m/min leaves at most
    about 44 % of the height. Costs 33 % less output; a slower feed heats more:
    watch woods that burn. May stand until the part can be seen to, days rather
    than weeks; it closes nothing, the fault grows on.

Taken for granted, and what is not known
  - the drum of head 1 is known by its plate only and may have been reground (1
    to 4 % smaller): a tape round it, locked out, is five times sharper.
  - the drum of head 2 is known by its plate only and may have been reground (1
    to 4 % smaller): a tape round it, locked out, is five times sharper.
  - the drum of head 3 has no diameter: put a tape round it, locked out.
? 0

$ beltwright source examples/three-head.yaml --mark "17.9 mm ± 0.2 at 24 ft/min by watch" --trial "only head 2 mark stays"
It is the belt splice of head 2: joint thick, stiff or lifting.

Mark 1: 17.9 ± 0.2 mm at 7.32 ± 0.07 m/min
  could be                         chance         expected, mm  then
  -------------------------------  -------------  ------------  ----------------
  belt splice of head 2            about 9 in 10    17.7 ± 0.9  joint thick,
                                                                stiff or lifting
  belt splice of head 3            about 1 in 40    17.7 ± 0.9  joint thick,
                                                                stiff or lifting
  an unlisted part tied to travel  about 1 in 40
  an unlisted part that turns      about 1 in 40
  Something not in the machine file: about 1 in 20.

To be sure of it
  - Put another belt of the same kind on that head and change nothing else; if
    the mark goes, put the old belt back: a mark that returns follows the belt,
    one that stays is the machine's.
  CAUTION  lock out power and air, release the tension, wait until drums and
           belt stand still before a hand goes in; stored pressure and coasting
           drums hurt too

For tonight, no cure
  - slow the feed: the marks move together and flatten: 4.9 m/min leaves at most
    about 44 % of the height. Costs 33 % less output; a slower feed heats more:
    watch woods that burn. May stand until the part can be seen to, days rather
    than weeks; it closes nothing, the fault grows on.

What the readings say of the speeds
  - belt of head 2: stated 18.0 ± 0.9 m/s, more likely 17.8 ± 0.4 m/s

Taken for granted, and what is not known
  - the drum of head 2 is known by its plate only and may have been reground (1
    to 4 % smaller): a tape round it, locked out, is five times sharper.
? 0

$ beltwright source examples/two-head.yaml --mark "10.6 mm is splice of head 2" --mark "2.81 mm ± 0.03"
Most likely the contact drum of head 2, but not decided: it may also be the
contact drum of head 1, the planer.

Mark 1: 10.6 mm
  Taken as the belt splice of head 2, as told.
  could be               chance          expected, mm  then
  ---------------------  --------------  ------------  -------------------------
  belt splice of head 2  nearly certain  10.60 ± 0.16  joint thick, stiff or
                                                       lifting
  Something not in the machine file: 1 in 50 or less.

Mark 2: 2.81 ± 0.03 mm
  Most likely the contact drum of head 2, but not decided: it may also be the
  contact drum of head 1, the planer.
  could be                     chance         expected, mm  then
  ---------------------------  -------------  ------------  --------------------
  contact drum of head 2       about 8 in 10   2.79 ± 0.06  out of round, bent
                                                            or with a flat
  contact drum of head 1       about 1 in 10   3.09 ± 0.17  out of round, bent
                                                            or with a flat
  planer                       about 1 in 20   2.4 ± 0.2    knife marks left by
                                                            the planer
  an unlisted part that turns  about 1 in 20
  Follows the feed (turns in time): about 19 in 20; keeps its pitch (tied to
  travel): about 1 in 20.
  Something not in the machine file: about 1 in 20.

What would settle it

  1. Chalk the splice of head 2 and sand a scrap panel slower, with this head
     alone (5 m/min). About 25 min; the best guess is then right: about 9 in 10.
     How: locked out, chalk a line across the grain side beside the joint; set
     the slower feed, lift the other heads clear; on the panel measure the chalk
     marks and the mark itself, ten gaps each; then give --mark "PITCH at FEED
     is splice of head 2", --trial "only head 2 mark stays" (or gone) and, if
     the mark is there, --mark "PITCH at FEED same as mark 1".
     - the mark is there, 2.02 ± 0.05 mm if it is: contact drum of head 2
     - no mark if it is: contact drum of head 1
     - the mark is there, 2.81 ± 0.04 mm if it is: planer
     - the mark is there, 2.02 ± 0.05 mm if it is: an unlisted part that turns
  CAUTION  lock out power and air, release the tension, wait until drums and
           belt stand still before a hand goes in; doors shut again before it
           runs

  2. Chalk the splice of head 2 and sand a scrap panel with it alone. About 20
     min; the best guess is then right: about 9 in 10.
     How: locked out, chalk a line across the grain side beside the joint; run
     one scrap panel at the same feed, the other heads lifted clear, and measure
     the chalk marks over ten gaps in its first metre; then give --mark "PITCH
     is splice of head 2" and --trial "only head 2 mark stays" (or gone): after
     that no speed is needed.
     - the mark is there, 10.63 ± 0.14 mm if it is: contact drum of head 2
     - no mark if it is: contact drum of head 1
     - the mark is there, 10.60 ± 0.17 mm if it is: planer
     - the mark is there, 10.60 ± 0.17 mm if it is: an unlisted part that turns
  CAUTION  lock out power and air, release the tension, wait until drums and
           belt stand still before a hand goes in; doors shut again before it
           runs

  3. Record head 2 running alone, and film a panel in cut. About 10 min; the
     best guess is then right: about 8 in 10.
     How: a phone against the cabinet for a minute, only head 2 running, not
     cutting: the thump of the splice gives its rate; give --rate "RATE by
     recording is splice of head 2"; the panel's length over the time between
     nose and tail at one post is the feed: give it as "at FEED by film".
     - 9.5 ± 0.5 Hz if it is: contact drum of head 2
     - 8.8 ± 0.3 Hz if it is: contact drum of head 1
     - 9.5 ± 0.5 Hz if it is: planer
     - 9.5 ± 0.5 Hz if it is: an unlisted part that turns
  CAUTION  doors shut, nobody in line with the infeed, no part under the
           machine's shortest length

For tonight, no cure
  - slow the feed so that the pressing part's length covers whole marks:
    6.6 m/min leaves at most about 20 % of the height. Costs 5 % less output; a
    slower feed heats more: watch woods that burn. May stand until the part can
    be seen to, days rather than weeks; it closes nothing, the fault grows on.
  - slow the feed: the marks move together and flatten: 4.6 m/min leaves at most
    about 44 % of the height. Costs 33 % less output; a slower feed heats more:
    watch woods that burn. May stand until the part can be seen to, days rather
    than weeks; it closes nothing, the fault grows on.

What the readings say of the speeds
  - feed: 6.0 ± 0.4 m/min

Taken for granted, and what is not known
  - no feed speed given: anywhere in the machine's range.
  - the pitch is taken as counted over ten to twenty marks, ± 1.5 %.
  - the drum of head 2 is known by its plate only and may have been reground (1
    to 4 % smaller): a tape round it, locked out, is five times sharper.
? 0

$ beltwright source examples/one-head.yaml --units us --mark "3/8 in at 18 ft/min" --rate "9.42 Hz by recording is splice"
It is the belt splice of head 1: joint thick, stiff or lifting.

Mark 1: 0.375 in at 18 ft/min
  could be                         chance            expected, in  then
  -------------------------------  ---------------  -------------  ----------------
  belt splice of head 1            about 19 in 20   0.382 ± 0.019  joint thick,
                                                                   stiff or lifting
  an unlisted part that turns      about 1 in 20
  an unlisted part tied to travel  1 in 50 or less
  drive belt of head 1             1 in 50 or less  0.347 ± 0.018  worn, cracked or
                                                                   lumpy
  Something not in the machine file: about 1 in 20.

To be sure of it
  - Put another belt of the same kind on that head and change nothing else; if
    the mark goes, put the old belt back: a mark that returns follows the belt,
    one that stays is the machine's.
  CAUTION  lock out power and air, release the tension, wait until drums and
           belt stand still before a hand goes in; stored pressure and coasting
           drums hurt too

For tonight, no cure
  - slow the feed so that the pressing part's length covers whole marks:
    14.4 ft/min leaves at most about 20 % of the height. Costs 20 % less output;
    a slower feed heats more: watch woods that burn. May stand until the part
    can be seen to, days rather than weeks; it closes nothing, the fault grows
    on.
  - slow the feed: the marks move together and flatten: 12 ft/min leaves at most
    about 44 % of the height. Costs 33 % less output; a slower feed heats more:
    watch woods that burn. May stand until the part can be seen to, days rather
    than weeks; it closes nothing, the fault grows on.

What the readings say of the speeds
  - belt of head 1: stated 3600 ± 180 ft/min, more likely 3534 ± 11 ft/min
  - feed: stated 18 ft/min, more likely 17.7 ± 0.4 ft/min

Taken for granted, and what is not known
  - the feed is taken as read off a dial or display, ± 5 %; say "by watch" (mark
    on the feed belt timed over 3 m) or "by film" (panel in cut) where it was
    measured.
  - the pitch is taken as counted over ten to twenty marks, ± 1.5 %.
  - the drum of head 1 is known by its plate only and may have been reground (1
    to 4 % smaller): a tape round it, locked out, is five times sharper.
? 0

$ beltwright source examples/one-head.yaml
beltwright: --mark is missing
  beltwright source MACHINE --mark MARK... [OPTION]...
? 2

$ beltwright source examples/one-head.yaml --mark "14.6"
beltwright: --mark, pitch: needs a length such as 14.6 mm or 5/8 in, got a number without a unit ("14.6")
  write 14.6 mm or 14.6 in, whichever is meant
? 2

$ beltwright source examples/one-head.yaml --mark "14.6 mm at 24 mm"
beltwright: --mark, feed: needs a feed speed such as 7.3 m/min or 24 ft/min, got a length ("24 mm")
  units that fit: mm/s, m/s, m/min, km/h, in/s, ft/s, ft/min
? 2

$ beltwright source examples/one-head.yaml --mark "14.6 mm at 24 ft/min at 12 ft/min"
beltwright: --mark: "at" is said twice ("14.6 mm at 24 ft/min at 12 ft/min")
  say it once
? 2

$ beltwright source examples/one-head.yaml --mark "14.6 mm lag 3 mm"
beltwright: --mark, lag: a lag needs the width it was measured over: lag 3.4 mm over 1.2 m ("3 mm")
  lag: how far the mark runs ahead or behind from one side to the other
? 2

$ beltwright source examples/one-head.yaml --mark "14.6 mm is drumm"
beltwright: --mark, is: no such part in this machine file ("drumm")
  name one of: belt splice of head 1, contact drum of head 1, tension roll of head 1, motor of head 1, drive belt of head 1, belt oscillation of head 1, feed belt joint, feed drive roll, worm gear wheel tooth, infeed hold-down roll, outfeed roll, planer, mains hum
? 2

$ beltwright source examples/one-head.yaml --mark "14.6 mm look blurry"
beltwright: --mark, look: is not one of the choices ("blurry")
  choose one of: smooth, narrow
? 2

$ beltwright source examples/one-head.yaml --mark "14.6 mm same as mark 2"
beltwright: --mark: "same as mark" must name an earlier mark
  marks: a set of marks, such as "14.6 mm ± 0.2 at 24 ft/min by watch"
? 2

$ beltwright source examples/one-head.yaml --mark "14.6 mm only head 0"
beltwright: --mark, only: needs a whole number from 1 to 12, got one out of that range ("0")
  write a whole number from 1 to 12
? 2

$ beltwright source examples/one-head.yaml --mark "14.6 mm" --trial "mark gone"
beltwright: --trial, only: a trial changes one thing: only head N, or new belt on head N ("mark gone")
  only: the one head left in cut
? 2

$ beltwright source examples/one-head.yaml --mark "14.6 mm" --trial "only head 1 new belt on head 1 mark gone"
beltwright: --trial, only: a trial changes one thing: only head N, or new belt on head N ("1")
  only: the one head left in cut
? 2

$ beltwright source examples/one-head.yaml --mark "14.6 mm" --rate "9 Hz"
beltwright: --rate, is: is missing ("9 Hz")
  give is (of what, such as splice of head 2): a text
? 2

$ beltwright source examples/one-head.yaml --mark "14.6 mm" --rate "9 mm is splice"
beltwright: --rate, rate: needs a rate such as 35.8 Hz or 2150 rpm, got a length ("9 mm")
  units that fit: Hz, kHz, rpm, 1/s, 1/min, strokes/min
? 2

$ beltwright source examples/one-head.yaml --mark "0 mm"
beltwright: --mark, pitch: is out of range, takes 0.1 to 30000 mm ("0 mm")
  write a length, 0.1 to 30000 mm
? 2

$ beltwright source examples/one-head.yaml --mark "14.6 mm at 400 m/min"
beltwright: --mark, feed: is out of range, takes 0.06 to 300 m/min ("400 m/min")
  did you mean 400 ft/min?
? 2

$ beltwright source examples/one-head.yaml --mark "14.6 mm" --depth "20 mm"
beltwright: --depth: is out of range, takes 0.01 to 5000 µm ("20 mm")
  did you mean 20 µm?
? 2

$ beltwright source --mark "14.6 mm"
beltwright: MACHINE is missing
  beltwright source MACHINE --mark MARK... [OPTION]...
? 2

$ beltwright source examples/one-head.yaml --marks "14.6 mm"
beltwright: source has no option --marks
  did you mean --mark?
? 2
