# A photo to a pitch, and what is said when that cannot be.

$ beltwright marks examples/photos/oak-nothing.jpg --unjailed
No repeating marks across the feed.

Picture: usable. Feed along x (as scratches or grain lie).

Next
  - if the eye sees marks: one torch lying on the panel, shining along the feed,
    the room dark; or drag a crayon flat over the face with a hard block, and
    photograph that.
? 0

$ beltwright marks examples/photos/two-head-two-sets.jpg --along x --unjailed
Several sets of repeating marks across the feed.

Picture: usable. Feed along x (as given).

Marks 1: every 16.4995 ± 0.0008 pixels
  waves that swell and fade; they lean -0.788 ± 0.005 deg from square to the
  feed; contrast 1.398 %.
  By thirds: 16.515 ± 0.005 pixels, 16.490 ± 0.003 pixels, 16.488 ± 0.004
  pixels: the same all along: a part that turns evenly.
  Chance that bare wood shows as much anywhere in such a picture: less than one
  in a million.

Marks 2: every 62.68 ± 0.12 pixels
  narrow marks with plain surface between; they lean -1.085 ± 0.006 deg from
  square to the feed; contrast 0.5341 %.
  By thirds: 62.812 ± 0.018 pixels, 62.788 ± 0.019 pixels, 62.80 ± 0.03 pixels:
  the same all along: a part that turns evenly.
  Chance that bare wood shows as much anywhere in such a picture: less than one
  in a million.

  Marks 2 against marks 1: they lean -0.297 ± 0.008 deg from each other: not the
  same kind of part.

Next
  - give a scale: two pencil lines square across the panel 500 mm apart, in the
    picture, then --line "x,y x,y is 500 mm".
  - give the machine file and the feed (--machine, --feed) and this goes on to
    the part.
  - a second shot of the same place with the phone turned a quarter turn
    (--turned) shows that these are the panel's marks and not the camera's.
? 0

$ beltwright marks examples/photos/oak-nothing.jpg --line "67,424 1568 is 500 mm"
beltwright: --line, ends: needs 2 points ("67,424 1568")
  write each as x,y in pixels from the top left, with spaces between, such as 120,340 3900,352
? 2

$ beltwright marks examples/photos/oak-nothing.jpg --line "67,424 1568,456 is 500 mm" --dpi 300
beltwright: --dpi: give one scale only: the best you have ("300")
  dpi: scale: dots per inch of a scan
? 2

$ beltwright marks examples/photos/oak-nothing.jpg --feed "24 ft/min"
beltwright: --feed: is of use only with a machine file ("24 ft/min")
  feed: feed the panel was sanded at, and how known
? 2

$ beltwright marks examples/photos/none.jpg
beltwright: PICTURE: there is no such file ("examples/photos/none.jpg")
  looked for examples/photos/none.jpg; give the name of a picture, with its folder
? 2
