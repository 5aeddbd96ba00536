# Orders as a technician asks for them, and what is refused.

$ beltwright belt examples/three-head.yaml --head 3 --grit P150 --wood "hard maple" --humidity "30 %" --fitted-joint "butt with tape, straight" --fitted-backing "X cloth"
P150 on F paper, aluminium oxide, joint: overlap, grain removed.

Order: 10 belts 1346 x 2616 mm (53.00 x 103.00 in), P150, F paper, closed coat,
aluminium oxide, resin over resin, antistatic, joint: overlap, grain removed.

Size 1346 mm x 2616 mm; a delivered belt may be off by 5 mm in length and 3 mm
in width (from memory, no standard could be read).

Property by property
  - backing: F paper - flatter than cloth, so the scratch is evener, and
    cheaper; heavy enough for a wide belt.
  - coat: closed - hardly loads: full cover lasts longest and scratches evenest.
  - mineral: aluminium oxide - tough: the usual grain on wood.
  - joint: overlap, grain removed - thin enough for a finishing belt, and paper
    keeps its strength.
  - bond: resin over resin - stands the heat and the moisture of a wide belt.
  - antistatic: yes - dust then falls into the hood instead of clinging to belt
    and panel; it does not replace the ground path.
  - topcoat: none - not needed on this stock.
  - direction: by the arrow - an overlap runs only the way of its arrow, which
    is printed inside.

Against what is fitted
  - P180 is fitted now, P150 is to come.
  - backing: X cloth now, F paper to come.
  - joint: butt with tape, straight now, overlap, grain removed to come.
  - more than one thing changes: if the new belt is also to find a fault, change
    one of them first, or the result tells nothing.

Keeping it
  - keep at 40 to 60 % humidity and 15 to 25 °C (makers' pages differ; this lies
    within nearly all), off concrete and away from walls and heaters.
  - unpack a day before use and hang beside the machine on a bar of 100 mm or
    more, 0.3 m off the floor; keep two days' belts there.
  - 30 % is too dry: belts cup and crack at the joint; make-up humidity or
    closed bags until use.

Label
  +--------------------------------------------------------------+
  | Three-head line, Hollow Creek Doors (invented), head 3 (finish)
  | P150   1346 x 2616 mm
  | F paper, aluminium oxide, closed coat
  | joint: overlap, grain removed; direction: by the arrow
  | lot ____________  hung since ____________
  | fitted __________  off __________  m2 ________
  | why off: worn  loaded  burning  finish  damaged
  +--------------------------------------------------------------+

  For the machine file: belt: {length: 2616 mm, width: 1346 mm, splices: 1,
  joint: overlap, grit: P150}
  Joints pass at 6.88 Hz, as the study rates reckons.

  CAUTION  lock out power and air before a belt is changed: tension, platen and
           bed hold pressure, and drums coast.
? 0

$ beltwright belt examples/one-head.yaml --grit P100 --wood "Scots pine" --units us --count 6
P100 on X cloth, aluminium oxide, joint: overlap, grain partly removed.

Order: 6 belts 940 x 1905 mm (37.00 x 75.00 in), P100, X cloth, open coat,
aluminium oxide, resin over resin, antistatic, joint: overlap, grain partly
removed.

Size 37 in x 75 in; a delivered belt may be off by 0.1969 in in length and
0.1181 in in width (from memory, no standard could be read).

Property by property
  - backing: X cloth - stands the stock a middle head takes.
  - coat: open - what this stock leaves on a belt needs room between the grains.
  - mineral: aluminium oxide - tough: the usual grain on wood.
  - joint: overlap, grain partly removed - strong on a drum with half of the
    step.
  - bond: resin over resin - stands the heat and the moisture of a wide belt.
  - antistatic: yes - dust then falls into the hood instead of clinging to belt
    and panel; it does not replace the ground path.
  - topcoat: none - not needed on this stock.
  - direction: by the arrow - an overlap runs only the way of its arrow, which
    is printed inside.

Mind
  - clean the belt early and often with the machine's own cleaner, or off the
    machine; never by hand at a running belt.

Keeping it
  - keep at 40 to 60 % humidity and 15 to 25 °C (makers' pages differ; this lies
    within nearly all), off concrete and away from walls and heaters.
  - unpack a day before use and hang beside the machine on a bar of 100 mm or
    more, 0.3 m off the floor; keep two days' belts there.

Label
  +--------------------------------------------------------------+
  | Single-drum sander, Tern Lane Cabinets (invented), head 1
  | P100   940 x 1905 mm
  | X cloth, aluminium oxide, open coat
  | joint: overlap, grain partly removed; direction: by the arrow
  | lot ____________  hung since ____________
  | fitted __________  off __________  m2 ________
  | why off: worn  loaded  burning  finish  damaged
  +--------------------------------------------------------------+

  For the machine file: belt: {length: 1905 mm, width: 940 mm, splices: 1,
  joint: overlap, grit: P100}
  Joints pass at 9.6 Hz, as the study rates reckons.

  CAUTION  lock out power and air before a belt is changed: tension, platen and
           bed hold pressure, and drums coast.
? 0

$ beltwright belt examples/three-head.yaml --grit P80 --wood MDF --width "2100 mm" --length "3250 mm"
P80 on X cloth, aluminium oxide, joint: segmented, strips on the bias.

Order: 10 belts 2100 x 3250 mm (82.68 x 127.95 in), P80, X cloth, closed coat,
aluminium oxide, resin over resin, antistatic, joint: segmented, strips on the
bias.

Size 2100 mm x 3250 mm; a delivered belt may be off by 10 mm in length and 3 mm
in width (from memory, no standard could be read).

Property by property
  - backing: X cloth - stands the stock a middle head takes.
  - coat: closed - hardly loads: full cover lasts longest and scratches evenest.
  - mineral: aluminium oxide - tough: the usual grain on wood.
  - joint: segmented, strips on the bias - wider than the roll it is cut from.
  - bond: resin over resin - stands the heat and the moisture of a wide belt.
  - antistatic: yes - dust then falls into the hood instead of clinging to belt
    and panel; it does not replace the ground path.
  - topcoat: none - not needed on this stock.
  - direction: either way - a butt joint has no direction; mark one all the
    same, and keep to it.

Against what is fitted
  - P60 is fitted now, P80 is to come.

Mind
  - 2 joints pass in a turn, not quite evenly spaced: marks come at the belt's
    own turn as well as 2 times it.

Keeping it
  - keep at 40 to 60 % humidity and 15 to 25 °C (makers' pages differ; this lies
    within nearly all), off concrete and away from walls and heaters.
  - unpack a day before use and hang beside the machine on a bar of 100 mm or
    more, 0.3 m off the floor; keep two days' belts there.

Label
  +--------------------------------------------------------------+
  | Three-head line, Hollow Creek Doors (invented), head 1 (sizing)
  | P80   2100 x 3250 mm
  | X cloth, aluminium oxide, closed coat
  | joint: segmented, strips on the bias; direction: either way
  | lot ____________  hung since ____________
  | fitted __________  off __________  m2 ________
  | why off: worn  loaded  burning  finish  damaged
  +--------------------------------------------------------------+

  For the machine file: belt: {length: 3250 mm, width: 2100 mm, splices: 2,
  joint: segmented, grit: P80}
  Joints pass at 14.77 Hz, as the study rates reckons.

  CAUTION  lock out power and air before a belt is changed: tension, platen and
           bed hold pressure, and drums coast.
? 0

$ beltwright belt examples/three-head.yaml --head 5 --grit P80 --wood MDF
beltwright: --head: the machine has 3 heads
? 2

$ beltwright belt examples/three-head.yaml --grit P80 --wood MDF --edge-left "2610 mm"
beltwright: --edge-right: give both edges
  edge_right: its right edge
? 2
