# The photo card, and a scale tried on a board of known pitch.

$ beltwright marks --card
Take the photo by this card.

Photo card
  Panel ______  feed ____________  heads in cut ____________  last head ______
  lane ______  grit ______
  1. Mark the panel: two pencil lines square across it, 500 mm apart by a steel
     rule, near both ends of the picture; an arrow along the feed; L and R as
     the feeder sees them; the panel's number, the feed setting, the heads that
     cut, last one last.
  2. Darken the place. Lamps flicker, and through a phone's shutter a flicker
     looks like chatter.
  3. One torch lying low, shining along the feed from one side; for lines along
     the feed, across it. No flash.
  4. Phone square above, 40 to 60 cm, no zoom, focus held on the face; both
     lines in the picture, nothing else on the panel.
  5. A second shot with the phone turned a quarter turn: what turns with the
     phone is the camera's.
  6. Then rub a crayon or soft pencil, flat on a hard block, lightly over the
     face: it inks the high spots and beats any light. Photograph that too, in
     plain light.
  7. Send the file itself, by cable or as a document: messengers shrink photos,
     and fine marks fold into coarse ones.
  8. Film a panel of known length in cut, its nose and its tail past one post of
     the machine: that gives the feed.
  CAUTION  the panel is photographed beside the machine; no hand or phone goes
           into it, and its doors stay shut while anything turns
? 0

$ beltwright marks --known-pitch "4 mm"
beltwright: PICTURE: is missing: give the photo these are for
  give its name first: JPEG, PNG, TIFF or HEIC
? 2

# Without a photo it is the card as well; the flag takes no value.
$ beltwright marks | head -1
Take the photo by this card.
? 0
$ beltwright marks --card=yes
beltwright: --card takes no value ("--card=yes")
  leave the = and what follows out
? 2

# The lines stand 500 mm apart.
$ beltwright marks examples/photos/planed-board.jpg --unjailed --line "68,440 1568,440 is 500 mm" --known-pitch "4.0104 mm ± 0.1 %" | sed -n '/scale, tried/,/^$/p'
The scale, tried on a board of known pitch
  - it reads 0.09 % ± 0.11 % too long, within its own ±: it is good as it is
  - photos from the same distance need no scale of their own: --dpi
    "76.27 ± 0.08"

? 0

# Taken for 490 mm, the board finds it out; what it showed, taken out, mends it.
$ beltwright marks examples/photos/planed-board.jpg --unjailed --line "68,440 1568,440 is 490 mm" --known-pitch "4.0104 mm ± 0.1 %" | sed -n '/scale, tried/,/^$/p'
The scale, tried on a board of known pitch
  - it reads 1.91 % ± 0.11 % too short, more than its own ± allows: give
    --scale-off "-1.91 % ± 0.11 %" with photos whose scale is taken the same
    way, or find what is wrong with it
  - photos from the same distance need no scale of their own: --dpi
    "76.27 ± 0.08"

? 0
$ beltwright marks examples/photos/planed-board.jpg --unjailed --line "68,440 1568,440 is 490 mm" --known-pitch "4.0104 mm ± 0.1 %" --scale-off "-1.92 % ± 0.1 %" | sed -n '/scale, tried/,/^$/p'
The scale, tried on a board of known pitch
  - it reads 0.01 % ± 0.11 % too long, within its own ±: it is good as it is
  - photos from the same distance need no scale of their own: --dpi
    "76.27 ± 0.08"

? 0
