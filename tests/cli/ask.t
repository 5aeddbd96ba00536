# An interview as it is typed, and for programs. The calls are written out in examples/calls.

$ beltwright ask --call examples/calls/splice-thump.yaml
What is wrong? Say it in your own words (list: what there is to choose from;
help: what can be typed).
> Evenly spaced marks across every panel since we put a new belt on, and it thumps
  Taken as (undo if not so):
  - it began with a belt change
  - on all of them
  - a new noise
  - marks side by side at one spacing, across the travel
Anything else wrong with panels, belts, dust or machine? Say it, or Enter if
not.
> (Enter)
3. With a belt known to be good on that head, same settings, is the fault still
   there?
   (about 12 min, locked out; how, why, ? are answers too)
   CAUTION  lock out power and air, bleed the air, wait until belts and drums
            stand still; then open
   y  still there
   n  gone
> no
4. Does the spacing of the marks fit the belt's joint?
   (about 4 min; how, why, ? are answers too)
   y  fits the joint, once per turn of the belt
   n  does not fit
> yes
Most likely: splice thicker or stiffer than the rest of the belt. So in
about 9 in 10 such calls.
The joint in the sanding belt stands up a little, so it thumps the panel once
per turn of the belt.

It could also be
  - belt thickness varies along its length, apart from the splice: about 1 in 20
  - splice opening, peeling or about to part: about 1 in 20

What speaks for it
  - Does the spacing of the marks fit the belt's joint? fits the joint, once per
    turn of the belt
  - With a belt known to be good on that head, same settings, is the fault still
    there? gone
  - Are there evenly spaced marks across the panel, like a washboard? marks side
    by side at one spacing, across the travel
  - Is there a new noise, a growl, a squeal or a thump? a new noise

Tonight, to keep running
  1. lift the head that marks, and finish with the others: ends it
     about 5 in 10; by the shop itself, about 5 min
     As the manual says, with the rest of the removal spread over the other
     heads. Costs: a coarser finish, or a second pass on another machine. May
     stand: until the head is mended, at most four weeks.
     CAUTION  Set heads only as the manual says; never stop the feed under
              running belts.
  2. feed slower until it is mended: ends it about 3 in 10; by the shop itself,
     about 3 min
     A third slower with a lighter cut. Where a rubber drum or a platen does the
     work, marks vanish at some feeds; try a few and keep the best. Watch for
     burning. Costs: a third fewer panels. May stand: until parts are there, at
     most six weeks; not with a bearing or a joint that is going.
     CAUTION  Slower feed heats the panel. Stop at the first brown mark.

For good, in this order
  1. fit a good belt: ends it about 8 in 10; by the shop itself, about 12 min
     CAUTION  Lock out and bleed the air first; drums coast and tension holds
              stored pressure.
5. Do now: fit a good belt. It ends the fault about 9 in 10.
   Lock out, bleed the tension, wait for the belt to stand. Wipe drum and platen
   while it is off. Fit by the arrow, tension, let it track, close up. Keep the
   old belt, marked.
   By the shop itself, about 12 min of work.
   Needs: one belt of the same kind, from another lot if the lot is in doubt.
   CAUTION  lock out power and air, bleed the air, wait until belts and drums
            stand still; then open
   CAUTION  Lock out and bleed the air first; drums coast and tension holds
            stored pressure.
   It is mended when: Two panels of the same stock at the same settings are free
   of the fault.
   Done? Is the fault gone? y gone, n as before, less, stop for later
> y
Mended by: fit a good belt.
It was, then: splice thicker or stiffer than the rest of the belt; so in
about 9 in 10 such calls.
To be sure of it: Two panels of the same stock at the same settings are free of
the fault.

Proof to keep
  - The last bad panel and the first good one, photographed in the same low
    light, with date, head, belt print and settings written beside them.
  - What was changed, and that nothing else was changed with it.
? 0

$ printf 'nothing of the kind\n1\n\nhow\nwhy\ny 9\nmaybe\ny\nundo\nstop\n' | beltwright ask examples/three-head.yaml --units si
What is wrong? Say it in your own words (list: what there is to choose from;
help: what can be typed).
> nothing of the kind
No symptom known here is in those words. Which of these is it nearest to? A
number, several, other words, or ? for none.
 1. Are there evenly spaced marks across the panel, like a washboard?
 2. Is there a line or streak along the way the panel travels?
 3. Is there one short tick or scratch that comes again and again at the same
    spacing?
 4. Are the front or back ends of the panels sanded deeper, or left unsanded?
 5. Are the long edges rounded over or sanded through?
 6. Is one side of the panel thinner than the other?
 7. Is the panel hollow or high in the middle, across its width?
 8. Are all panels too thick or too thin by the same amount?
 9. Does the thickness creep during the first half hour or so, and then stay?
10. Does the thickness jump, along one panel or from panel to panel?
11. Are there burn marks, or shiny brown streaks?
12. Is there a single burnt or dug band right across a panel, as wide as a
    finger or a hand?
13. Does the sanding belt fill up with dust or gum?
14. Are there fuzzy, woolly fibres left standing?
15. Are there odd deep scratches among the finer ones?
16. Do the scratches of the coarser belt still show after the last head?
17. Is the surface cloudy or blotchy, or does the finish come out uneven?
18. Are there soft cloudy bands across, a hand's width apart or more?
19. Are there several lines along the panel at one spacing across, a thumb's
    width or so apart?
20. Are there arcs or swirls, part of a circle?
21. Does the sanding belt run off to one side, hunt, or stand still instead of
    swinging?
22. Does the sanding belt fold or crease while it runs?
23. Does the sanding belt part at its joint?
24. Does the sanding belt lose its grain, leaving bare cloth or paper?
25. Do belts go dull sooner than they used to?
26. Do the edges of the sanding belt fray or tear?
27. Do panels slip, stall or come out crooked?
28. Does the feed belt (not the sanding belt) run to one side?
29. Does dust cling to the panels, the belt or the cabinet as if glued?
30. Is there more dust than usual left on the panels and in the cabinet?
31. Does a head motor overload or trip, or does its ammeter read high?
> 1
Anything else wrong with panels, belts, dust or machine? Say it, or Enter if
not.
> (Enter)
4. Feed a third slower, same cut, on scrap. Do the marks come a third closer
   together?
   (about 4 min; how, why, ? are answers too)
   CAUTION  doors shut, nobody in line with the infeed
   y  closer, in proportion
   n  same spacing as before
> how
   Down, not up: more speed loads the head. Not half, where a harmonic looks
   like the mark itself. What turns in time follows the feed; what sits in the
   feed drive, and marks that came in with the wood, keep their spacing.
> why
   Yes (about 6 in 10) would point to: splice thicker or stiffer than the rest
   of the belt.
   No would point to: marks already there from planer or moulder.
   Against repairing by trial from here it saves about 300 min on average.
   Next best: Run one head at a time. Does the fault come from one head only?
   Next best: With a belt known to be good on that head, same settings, is the
   fault still there?
> y 9
  this machine has no head 9
> maybe
  that is no answer to this: y, n, ? if you don't know; help says what else
> y
5. With a belt known to be good on that head, same settings, is the fault still
   there?
   (about 12 min, locked out; how, why, ? are answers too)
   CAUTION  lock out power and air, bleed the air, wait until belts and drums
            stand still; then open
   y  still there
   n  gone
> undo
4. Feed a third slower, same cut, on scrap. Do the marks come a third closer
   together?
   (about 4 min; how, why, ? are answers too)
   CAUTION  doors shut, nobody in line with the infeed
   y  closer, in proportion
   n  same spacing as before
> stop
Not clear yet; first of several: splice thicker or stiffer than the rest of the
belt. So in about 2 in 10 such calls.
The joint in the sanding belt stands up a little, so it thumps the panel once
per turn of the belt.

It could also be
  - marks already there from planer or moulder: about 1 in 10
  - contact drum bearing worn, loose or dry: about 1 in 20
  - flat or dent in the drum's rubber: about 1 in 20
  - contact drum out of round or running eccentric: about 1 in 20

What speaks for it
  - Are there evenly spaced marks across the panel, like a washboard? marks side
    by side at one spacing, across the travel

What would change this
  - Feed a third slower, same cut, on scrap. Do the marks come a third closer
    together? If no (about 4 min): marks already there from planer or moulder.
  - Run one head at a time. Does the fault come from one head only? If no (about
    10 min): marks already there from planer or moulder.
  - With a belt known to be good on that head, same settings, is the fault still
    there? If yes (about 20 min): marks already there from planer or moulder.
  - On a panel that never saw the planer (board, plywood, or one hand-planed
    smooth), are the marks there too? If no (about 8 min): marks already there
    from planer or moulder.

Tonight, to keep running
  1. feed slower until it is mended: ends it about 2 in 10; by the shop itself,
     about 3 min
     A third slower with a lighter cut. Where a rubber drum or a platen does the
     work, marks vanish at some feeds; try a few and keep the best. Watch for
     burning. Costs: a third fewer panels. May stand: until parts are there, at
     most six weeks; not with a bearing or a joint that is going.
     CAUTION  Slower feed heats the panel. Stop at the first brown mark.
  2. lift the head that marks, and finish with the others: ends it
     about 2 in 10; by the shop itself, about 5 min
     As the manual says, with the rest of the removal spread over the other
     heads. Costs: a coarser finish, or a second pass on another machine. May
     stand: until the head is mended, at most four weeks.
     CAUTION  Set heads only as the manual says; never stop the feed under
              running belts.

For good, in this order
  1. fit a good belt: ends it about 2 in 10; by the shop itself, about 12 min
     CAUTION  Lock out and bleed the air first; drums coast and tension holds
              stored pressure.
  2. have the drum reground, and the machine set to it: ends it about 1 in 10;
     by a specialist firm, about 480 min, not at once
     Needs: regrinding; a drum on loan if there is one; allow 21 days.
     CAUTION  Lock out and bleed the air. A drum is heavy; lifting gear, not two
              people.
  3. have the drum re-covered, and the machine set to it: ends it about 1 in 10;
     by a specialist firm, about 600 min, not at once
     Needs: new rubber of the right hardness; allow 28 days.
     CAUTION  Lock out and bleed the air. A drum is heavy; lifting gear, not two
              people.
Proof to keep
  - The last bad panel and the first good one, photographed in the same low
    light, with date, head, belt print and settings written beside them.
  - What was changed, and that nothing else was changed with it.
? 0

$ printf 'it is taper\n\n0.4 mm\nstop\n' | beltwright ask examples/two-head.yaml --json | cut -c1-120
{"shape": "ask-step/1","step": 1,"kind": "complaint","choices": [{"number": 1,"id": "chatter","question": "Are there eve
{"shape": "ask-step/1","step": 2,"heard": [{"id": "taper","answer": "yes"}],"kind": "more","choices": [{"number": 1,"id"
{"shape": "ask-step/1","step": 3,"kind": "measurement","id": "sides_differ","question": "By how much do the two sides of
{"shape": "ask-step/1","step": 4,"kind": "measurement","id": "all_heads_tilt","question": "With one head at a time, does
{"shape": "ask-step/1","step": 4,"kind": "end","ending": "stopped","causes": [{"id": "table_unparallel","name": "bed not
? 0

$ beltwright ask < /dev/null
What is wrong? Say it in your own words (list: what there is to choose from;
help: what can be typed).
> (end)
Nothing was said yet, so there is nothing to conclude.
? 0

$ beltwright ask nosuch.yaml
beltwright: there is no such file
  looked for nosuch.yaml; give the name of a machine file, with its folder
? 2

$ beltwright ask --finding examples/belts.csv < /dev/null
beltwright: examples/belts.csv:2:1: cannot be one text ("area [m2],kind,reason,stock 2723,P120 cloth,worn,oak and maple 3769,P120 cloth,loaded,oak and maple 2051,P120 cloth,worn,oak and maple 4107,P120 cloth,worn,…")
    area [m2],kind,reason,stock
    ^
  keys here: study, findings
? 2
