# Plans as a technician asks for them; a set-up judged; what cannot be planned and why.

$ beltwright sequence examples/three-head.yaml --wood "hard maple" --finish stain --width "600 mm" --passes 1
Three-head line, Hollow Creek Doors (invented): P120 - P150 in 1 pass.

cheapest, fastest: P120 - P150
  pass  head             belt  by               takes, mm  at most, mm  feed, m/min  belt, m/s    motor
  ----  ---------------  ----  ---------------  ---------  -----------  -----------  ---------  -------
  1     head 1 (sizing)  P120  drum                  0.20         0.25           12         24  36-54 %
  1     head 3 (finish)  P150  drum and platen       0.10         0.10           12         18  49-73 %

  Output 274 m²/h with no gaps between parts, cost 1.00 times the cheapest's,
  reserve 2 %, 0.30 mm off.
  Lifted: head 2 (smoothing).

safest: P120 - P150 - P150
  pass  head                belt  by               takes, mm  at most, mm  feed, m/min  belt, m/s    motor
  ----  ------------------  ----  ---------------  ---------  -----------  -----------  ---------  -------
  1     head 1 (sizing)     P120  drum                 0.18          0.25           12         24  31-47 %
  1     head 2 (smoothing)  P150  drum                 0.10          0.15           12         18  33-50 %
  1     head 3 (finish)     P150  drum and platen      0.025         0.10           12         18  12-18 %

  Output 232 m²/h with no gaps between parts, cost 1.02 times the cheapest's,
  reserve 31 %, 0.30 mm off.

What binds
  - the stock to take off: A tenth less would save 3.3 %.
  - clearing the scratch before: A tenth more room would save 1.3 %.

Runner-up
  - P120 - P180 (does without P150), 0.0 % behind.

What would change the plan
  - energy to cut: cutting 1.6 times as hard it is P120 - P150 - P150.
  - what clears a scratch: needing a quarter more it is P120 - P150 - P150.
  - marks coming in: half as deep again it is P100 - P150 - P150.
  - belts' lives: a third shorter it is P120 - P150 - P150.
  - the hour's cost: a third cheaper it is P120 - P150 - P150.

At the machine
  - Motor: share of its power, belt sharp to about to be changed. Amps: what the
    machine's own meter should show, doubts of the tables included.
  - head 1 (sizing), P120: below 30 % load the meter cannot decide; above it
    counts.
  - head 3 (finish), P150: below 30 % load the meter cannot decide; above it
    counts.
  - Proven best among removals in steps of 0.0001 in (2.5 µm) and feeds 12 %
    apart; removals in between could save 0.3 % at most.

Taken for granted
  - spread: thickness varies by 0.2 mm; give spread.
  - length: all parts are as long as the machine asks for; give length.
  - marks: the planer's cusps are 8 µm; with torn grain and snipe 100 µm come
    in.
  - belts: any belt from P36 to P400 can be had.
  - cost: plans are compared by guessed costs, 60 an hour, 40 a belt, 1500 m² a
    belt where none is given: only their order is worth something. Give hour,
    and costs and lasts of each belt.
  - feed: at most 12 m/min on sugar maple, as is usual; give most_feed for
    another.
  - heat: heat limits nothing, for no good case of this shop is known: give
    good.
  - from memory or rule of thumb, to be replaced by your own trials: stock and
    scratch by grit, energy to cut, last grits, what drums and platens take.

  CAUTION  sugar maple scorches readily: at the first brown streak lighten the
           finest belt, clean it or change it; never let the feed stop under a
           running belt. After burn marks or sparks stop, and watch collector
           and ducts for smouldering for at least an hour.
  CAUTION  lock out power and air before hands go to a belt, wait until drums
           stand still, and nobody stands in line with the infeed. Wood dust
           harms lungs and burns: run with the extraction on.
? 0

$ beltwright sequence examples/one-head.yaml --wood "yellow poplar" --finish paint --width "20 in" --units us --hour 55 --belt "P100 on cloth costs 34 lasts 1400 m2" --belt "P150 on paper costs 29 lasts 900 m2"
Single-drum sander, Tern Lane Cabinets (invented): P100 / P150 in 2 passes.

cheapest, safest: P100 / P150
  pass  head    belt  by    takes, in  at most, in  feed, ft/min  belt, ft/min    motor
  ----  ------  ----  ----  ---------  -----------  ------------  ------------  -------
  1     head 1  P100  drum     0.0059       0.0149            30          3600  23-34 %
  2     head 1  P150  drum     0.0060       0.0060            30          3600  40-60 %

  Output 1265 ft²/h with no gaps between parts, cost 0.0543 a ft², reserve 0 %,
  0.0119 in off.

fastest: P150 / P150
  pass  head    belt  by    takes, in  at most, in  feed, ft/min  belt, ft/min    motor
  ----  ------  ----  ----  ---------  -----------  ------------  ------------  -------
  1     head 1  P150  drum     0.0060       0.0060            30          3600  40-60 %
  2     head 1  P150  drum     0.0059       0.0060            30          3600  39-59 %

  Output 1372 ft²/h with no gaps between parts, cost 0.0578 a ft², reserve 0 %,
  0.0119 in off.

What binds
  - clearing the scratch before: A tenth more room would save 1.6 %.
  - the stock to take off: A tenth less would save 0.6 %.

Runner-up
  - P150 / P150 (does without P100), 6.6 % behind.

What would change the plan
  - what grits take off: taking a fifth less it is P150 / P150 / P150.
  - what clears a scratch: needing a quarter more it is P150 / P150.

At the machine
  - Motor: share of its power, belt sharp to about to be changed. Amps: what the
    machine's own meter should show, doubts of the tables included.
  - head 1, P100: below 30 % load the meter cannot decide; above it counts.
  - Proven best among removals in steps of 0.0001 in (2.5 µm) and feeds 12 %
    apart; removals in between could save 0.1 % at most.

Taken for granted
  - spread: thickness varies by 0.2 mm; give spread.
  - length: all parts are as long as the machine asks for; give length.
  - marks: the planer's cusps are 4 µm; with torn grain and snipe 100 µm come
    in.
  - feed: at most 12 m/min on yellow poplar, as is usual; give most_feed for
    another.
  - heat: heat limits nothing, for no good case of this shop is known: give
    good.
  - from memory or rule of thumb, to be replaced by your own trials: stock and
    scratch by grit, energy to cut, last grits, what drums and platens take.

  CAUTION  lock out power and air before hands go to a belt, wait until drums
           stand still, and nobody stands in line with the infeed. Wood dust
           harms lungs and burns: run with the extraction on.
? 0

$ beltwright sequence examples/three-head.yaml --wood "hard maple" --passes 1 --setup "P120 on 1 takes 0.015 in" --setup "P180 on 2 takes 0.004 in" --setup "P220 on 3 takes 0.001 in"
Three-head line, Hollow Creek Doors (invented): P120 - P150 - P150 in 1 pass.

The set-up as it is
  - head 1: overloaded: takes 0.38 mm (0.0150 in), at most 0.25 mm (0.0100 in)
    by what the grits take off; it polishes and burns instead of cutting.
  - head 2: P180: nothing wrong.
  - head 3: P220 is finer than need be for stain: end between P150 and P180.

cheapest: P120 - P150 - P150
  pass  head                belt  by               takes, mm  at most, mm  feed, m/min  belt, m/s    motor
  ----  ------------------  ----  ---------------  ---------  -----------  -----------  ---------  -------
  1     head 1 (sizing)     P120  drum                 0.18         0.21            10         24  57-85 %
  1     head 2 (smoothing)  P150  drum                 0.10         0.11            10         18  60-90 %
  1     head 3 (finish)     P150  drum and platen      0.025        0.077           10         18  22-33 %

  Output 305 m²/h with no gaps between parts, cost 1.00 times the cheapest's,
  reserve 10 %, 0.30 mm off.

fastest: P120 - P150
  pass  head             belt  by               takes, mm  at most, mm  feed, m/min  belt, m/s    motor
  ----  ---------------  ----  ---------------  ---------  -----------  -----------  ---------  -------
  1     head 1 (sizing)  P120  drum                  0.20         0.25          7.1         24  46-69 %
  1     head 3 (finish)  P150  drum and platen       0.10         0.10          7.1         18  63-94 %

  Output 319 m²/h with no gaps between parts, cost 1.08 times the cheapest's,
  reserve 2 %, 0.30 mm off.
  Lifted: head 2 (smoothing).

safest: P120 - P150 - P150
  pass  head                belt  by               takes, mm  at most, mm  feed, m/min  belt, m/s    motor
  ----  ------------------  ----  ---------------  ---------  -----------  -----------  ---------  -------
  1     head 1 (sizing)     P120  drum                 0.18          0.25          7.1         24  40-60 %
  1     head 2 (smoothing)  P150  drum                 0.10          0.15          7.1         18  43-64 %
  1     head 3 (finish)     P150  drum and platen      0.025         0.10          7.1         18  16-24 %

  Output 263 m²/h with no gaps between parts, cost 1.10 times the cheapest's,
  reserve 31 %, 0.30 mm off.

What binds
  - motor power: A tenth more room would save 4.3 %.
  - the stock to take off: A tenth less would save 3.9 %.
  - clearing the scratch before: A tenth more room would save 3.4 %.

Runner-up
  - P100 - P150 - P150 (does without P120), 11.7 % behind.

What would change the plan
  - energy to cut: cutting 1.6 times as easily it is P120 - P150.

At the machine
  - Motor: share of its power, belt sharp to about to be changed. Amps: what the
    machine's own meter should show, doubts of the tables included.
  - head 1 (sizing), P120: the meter decides.
  - head 2 (smoothing), P150: the meter decides.
  - head 3 (finish), P150: below 30 % load the meter cannot decide; above it
    counts.
  - If the change is also to find a fault, change one thing at a time: belts
    first, then removals, then the feed, one panel after each.
  - Proven best among removals in steps of 0.0001 in (2.5 µm) and feeds 12 %
    apart; removals in between could save 3.1 % at most.

Taken for granted
  - spread: thickness varies by 0.2 mm; give spread.
  - length: all parts are as long as the machine asks for; give length.
  - width: the whole working width is sanded at a time.
  - marks: the planer's cusps are 8 µm; with torn grain and snipe 100 µm come
    in.
  - belts: any belt from P36 to P400 can be had.
  - cost: plans are compared by guessed costs, 60 an hour, 40 a belt, 1500 m² a
    belt where none is given: only their order is worth something. Give hour,
    and costs and lasts of each belt.
  - feed: at most 12 m/min on sugar maple, as is usual; give most_feed for
    another.
  - heat: heat limits nothing, for no good case of this shop is known: give
    good.
  - from memory or rule of thumb, to be replaced by your own trials: stock and
    scratch by grit, energy to cut, last grits, what drums and platens take.

  CAUTION  sugar maple scorches readily: at the first brown streak lighten the
           finest belt, clean it or change it; never let the feed stop under a
           running belt. After burn marks or sparks stop, and watch collector
           and ducts for smouldering for at least an hour.
  CAUTION  lock out power and air before hands go to a belt, wait until drums
           stand still, and nobody stands in line with the infeed. Wood dust
           harms lungs and burns: run with the extraction on.
? 0

$ beltwright sequence examples/three-head.yaml --wood "hard maple" --spread "0.6 mm" --passes 1 --belt P80 --belt P180
Three-head line, Hollow Creek Doors (invented): There is no plan that keeps all
limits.

These cannot all be kept
  - the largest grit step: loosening it alone does not help.
  - what drum or platen takes off: loosening it alone does not help.
  - the last grit: with another last grit: P80 - P80.
  - the stock to take off: a 80 % smaller cut would do: P180 - P180.
  - the number of passes: loosening it alone does not help.
  - one belt more: any one of these would do: P120.

Taken for granted
  - length: all parts are as long as the machine asks for; give length.
  - width: the whole working width is sanded at a time.
  - marks: the planer's cusps are 8 µm; with torn grain and snipe 100 µm come
    in.
  - cost: plans are compared by guessed costs, 60 an hour, 40 a belt, 1500 m² a
    belt where none is given: only their order is worth something. Give hour,
    and costs and lasts of each belt.
  - feed: at most 12 m/min on sugar maple, as is usual; give most_feed for
    another.
  - heat: heat limits nothing, for no good case of this shop is known: give
    good.
  - from memory or rule of thumb, to be replaced by your own trials: stock and
    scratch by grit, energy to cut, last grits, what drums and platens take.

  CAUTION  sugar maple scorches readily: at the first brown streak lighten the
           finest belt, clean it or change it; never let the feed stop under a
           running belt. After burn marks or sparks stop, and watch collector
           and ducts for smouldering for at least an hour.
  CAUTION  lock out power and air before hands go to a belt, wait until drums
           stand still, and nobody stands in line with the infeed. Wood dust
           harms lungs and burns: run with the extraction on.
? 0

$ beltwright sequence examples/three-head.yaml --wood "hard maple" --length "200 mm"
beltwright: --length: shorter than the shortest part this machine may be fed ("200.00 mm")
  the machine takes parts from 300.00 mm on; run longer blanks and cut them after, or sand these by other means
? 2

$ beltwright sequence examples/three-head.yaml --wood "hard mapel"
beltwright: --wood: not in the table of woods ("hard mapel")
  did you mean hard maple?
? 2

$ beltwright sequence examples/three-head.yaml --wood "hard maple" --belt 120
beltwright: --belt, grit: a bare number may be P120 (125 µm) or CAMI 120 (116 µm) ("120")
  look at the belt's back: with a P before the number write P120, else CAMI 120
? 2
