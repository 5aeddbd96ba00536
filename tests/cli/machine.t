# Machine files that cannot be taken: each says where, what and the mend, and exits with 2.

$ beltwright rates tests/fixtures/machines/anchor.yaml --feed "6 m/min"
beltwright: tests/fixtures/machines/anchor.yaml:2:5: anchors (&) are not taken
      - &a {contact: platen}
        ^
  write the value out where it is used
? 2

$ beltwright rates tests/fixtures/machines/bare-grit.yaml --feed "6 m/min"
beltwright: tests/fixtures/machines/bare-grit.yaml: heads[0].belt.grit: a bare number may be P240 (58.5 µm) or CAMI 240 (53.5 µm) ("240")
  look at the belt's back: with a P before the number write P240, else CAMI 240
? 2

$ beltwright rates tests/fixtures/machines/bearing-unknown.yaml --feed "6 m/min"
beltwright: tests/fixtures/machines/bearing-unknown.yaml: heads[0].drum.bearing: the geometry of this bearing is not known here ("6299")
  count and measure: "9 balls of 7.94 mm on 38.5 mm" (the pitch circle is about half of bore plus outside diameter); or reckon with 0.4 x balls a turn for the outer race, 0.6 x balls for the inner, 0.4 for the cage (common practice, no source)
? 2

$ beltwright rates tests/fixtures/machines/brush-speed-on-drum.yaml --feed "6 m/min"
beltwright: tests/fixtures/machines/brush-speed-on-drum.yaml:3:18: heads[0].brush_speed: only a head whose contact is brush has a brush speed ("600 rpm")
        brush speed: 600 rpm
                     ^
  brush_speed: speed of a brush roller
? 2

$ beltwright rates tests/fixtures/machines/brush-with-belt.yaml --feed "6 m/min"
beltwright: tests/fixtures/machines/brush-with-belt.yaml:3:11: heads[0].belt: a brush has no sanding belt
        belt: {length: 2 m}
              ^
  belt: the sanding belt
? 2

$ beltwright rates tests/fixtures/machines/comma.yaml --feed "6 m/min"
beltwright: tests/fixtures/machines/comma.yaml:3:20: heads[0].belt.length: needs a length such as 14.6 mm or 5/8 in, got a comma between digits ("1,900 mm")
        belt: {length: "1,900 mm"}
                       ^
  write 1900 mm or 1.900 mm, whichever is meant
? 2

$ beltwright rates tests/fixtures/machines/direct-with-pulleys.yaml --feed "6 m/min"
beltwright: tests/fixtures/machines/direct-with-pulleys.yaml:3:51: heads[0].motor.pulley: a direct drive has no pulleys ("7 in")
        motor: {speed: 1760 rpm, direct: yes, pulley: 7 in, driven pulley: 6 in}
                                                      ^
  pulley: effective diameter of the motor's pulley
? 2

$ beltwright rates tests/fixtures/machines/duplicate-key.yaml --feed "6 m/min"
beltwright: tests/fixtures/machines/duplicate-key.yaml:3:5: "contact" is given twice, first in line 2
        contact: platen
        ^
  keep one of the two
? 2

$ beltwright rates tests/fixtures/machines/duplicate.json --feed "6 m/min"
beltwright: tests/fixtures/machines/duplicate.json:1:36: a key is given twice
    {"heads": [{"contact": "platen"}], "heads": []}
                                       ^
  keep one of the two
? 2

$ beltwright rates tests/fixtures/machines/empty-heads.yaml --feed "6 m/min"
beltwright: tests/fixtures/machines/empty-heads.yaml:1:8: heads: is an empty list
    heads: []
           ^
  give at least one head
? 2

$ beltwright rates tests/fixtures/machines/empty.yaml --feed "6 m/min"
beltwright: tests/fixtures/machines/empty.yaml:1:1: the document is empty
  write key: value lines
? 2

$ beltwright rates tests/fixtures/machines/feed-range-upside-down.yaml --feed "6 m/min"
beltwright: tests/fixtures/machines/feed-range-upside-down.yaml:1:11: feed_min: the slowest feed is faster than the fastest ("12 m/min")
    feed min: 12 m/min
              ^
  feed_min: slowest feed
? 2

$ beltwright rates tests/fixtures/machines/key-in-wrong-room.yaml --feed "6 m/min"
beltwright: tests/fixtures/machines/key-in-wrong-room.yaml:3:5: heads[0].diameter: is not a key of this head
        diameter: 160 mm
        ^
  it belongs under drum
? 2

$ beltwright rates tests/fixtures/machines/list-for-map.yaml --feed "6 m/min"
beltwright: tests/fixtures/machines/list-for-map.yaml:3:11: heads[0].belt: needs the keys of this belt, got a list
        belt: [2 m]
              ^
  keys here: length, width, thickness, speed, splices, joint, joint_angle, grit
? 2

$ beltwright rates tests/fixtures/machines/misspelt-choice.yaml --feed "6 m/min"
beltwright: tests/fixtures/machines/misspelt-choice.yaml:2:14: heads[0].contact: is not one of the choices ("rubber dram")
      - contact: rubber dram
                 ^
  did you mean rubber drum?
? 2

$ beltwright rates tests/fixtures/machines/misspelt-key.yaml --feed "6 m/min"
beltwright: tests/fixtures/machines/misspelt-key.yaml:3:12: heads[0].belt.lenght: is not a key of this belt
        belt: {lenght: 103 in}
               ^
  did you mean length?
? 2

$ beltwright rates tests/fixtures/machines/negative-sd.yaml --feed "6 m/min"
beltwright: tests/fixtures/machines/negative-sd.yaml:3:22: heads[0].drum.diameter: needs a length such as 14.6 mm or 5/8 in, got a ± below 0 ("160 mm ± -1 mm")
        drum: {diameter: 160 mm ± -1 mm}
                         ^
  write how far it may well be off (one standard deviation), or leave the ± out
? 2

$ beltwright rates tests/fixtures/machines/no-contact.yaml --feed "6 m/min"
beltwright: tests/fixtures/machines/no-contact.yaml:2:5: heads[0].contact: is missing
      - name: first
        ^
  give contact (what presses the belt on the panel): one of: steel drum, rubber drum, platen, sectional platen, combination, brush, cross belt
? 2

$ beltwright rates tests/fixtures/machines/no-heads.yaml --feed "6 m/min"
beltwright: tests/fixtures/machines/no-heads.yaml:1:1: heads: is missing
    name: nothing
    ^
  give heads (the heads in feed order): a list, each item with keys: name, contact, direction, belt, drum, platen, motor, rollers, oscillation, brush_speed, ports
? 2

$ beltwright rates tests/fixtures/machines/no-unit.yaml --feed "6 m/min"
beltwright: tests/fixtures/machines/no-unit.yaml:4:17: heads[0].drum.diameter: needs a length such as 14.6 mm or 5/8 in, got a number without a unit ("160")
          diameter: 160
                    ^
  write 160 mm or 160 in, whichever is meant
? 2

$ beltwright rates tests/fixtures/machines/not-a-map.yaml --feed "6 m/min"
beltwright: tests/fixtures/machines/not-a-map.yaml:1:1: holds no keys
  write the keys of a machine file, one a line, each with a colon
? 2

$ beltwright rates tests/fixtures/machines/not-utf8.yaml --feed "6 m/min"
beltwright: tests/fixtures/machines/not-utf8.yaml:1:8: this is not UTF-8 text
  save the file as UTF-8
? 2

$ beltwright rates tests/fixtures/machines/one-pulley.yaml --feed "6 m/min"
beltwright: tests/fixtures/machines/one-pulley.yaml:3:38: heads[0].motor.pulley: needs both pulleys, or neither ("7 in")
        motor: {speed: 1760 rpm, pulley: 7 in}
                                         ^
  pulley: effective diameter of the motor's pulley
? 2

$ beltwright rates tests/fixtures/machines/pitch-and-diameter.yaml --feed "6 m/min"
beltwright: tests/fixtures/machines/pitch-and-diameter.yaml:4:33: conveyor.parts[0].pitch: give the pitch or the diameter, not both ("400 mm")
        - {name: drive roll, pitch: 400 mm, diameter: 120 mm}
                                    ^
  pitch: panel travel from one event to the next
? 2

$ beltwright rates tests/fixtures/machines/platen-with-drum.yaml --feed "6 m/min"
beltwright: tests/fixtures/machines/platen-with-drum.yaml:3:11: heads[0].drum: a head with this contact has no contact drum; list its rolls under rollers
        drum: {diameter: 160 mm}
              ^
  drum: the contact drum
? 2

$ beltwright rates tests/fixtures/machines/splices-fraction.yaml --feed "6 m/min"
beltwright: tests/fixtures/machines/splices-fraction.yaml:3:21: heads[0].belt.splices: needs a whole number from 1 to 12, got one that is not whole ("2.5")
        belt: {splices: 2.5}
                        ^
  write a whole number from 1 to 12
? 2

$ beltwright rates tests/fixtures/machines/steep-joint.yaml --feed "6 m/min"
beltwright: tests/fixtures/machines/steep-joint.yaml:3:25: heads[0].belt.joint_angle: is out of range, takes 0 to 80 deg ("95 deg")
        belt: {joint angle: 95 deg}
                            ^
  write an angle, 0 to 80 deg
? 2

$ beltwright rates tests/fixtures/machines/tab.yaml --feed "6 m/min"
beltwright: tests/fixtures/machines/tab.yaml:3:1: this line is indented with a tab
     belt: {length: 2 m}
    ^
  indent with spaces
? 2

$ beltwright rates tests/fixtures/machines/teeth-alone.yaml --feed "6 m/min"
beltwright: tests/fixtures/machines/teeth-alone.yaml:3:29: hold_downs[0].teeth: teeth need the diameter of the roll they turn ("20")
      - {name: sprocket, teeth: 20}
                                ^
  teeth: events per turn of that roll: teeth of its sprocket
? 2

$ beltwright rates tests/fixtures/machines/text-for-hardness.yaml --feed "6 m/min"
beltwright: tests/fixtures/machines/text-for-hardness.yaml:3:22: heads[0].drum.hardness: needs a Shore A hardness such as 40 Shore A or 40, got a text that does not begin with a number ("soft")
        drum: {hardness: soft}
                         ^
  begin with the number; how far it may be off goes behind a ±
? 2

$ beltwright rates tests/fixtures/machines/too-many-knives.yaml --feed "6 m/min"
beltwright: tests/fixtures/machines/too-many-knives.yaml:2:30: planer.showing: more knives show than are fitted ("4")
    planer: {knives: 2, showing: 4}
                                 ^
  showing: knives that leave their own mark: 1 where one stands high, all where jointed
? 2

$ beltwright rates tests/fixtures/machines/two-documents.yaml --feed "6 m/min"
beltwright: tests/fixtures/machines/two-documents.yaml:2:1: a second document begins here
    ---
    ^
  keep one document in a file
? 2

$ beltwright rates tests/fixtures/machines/unclosed.yaml --feed "6 m/min"
beltwright: tests/fixtures/machines/unclosed.yaml:2:1: a comma or a closing bracket is missing before this
  separate items with commas and close what was opened
? 2

$ beltwright rates tests/fixtures/machines/unit-object.json --feed "6 m/min"
beltwright: tests/fixtures/machines/unit-object.json: heads[0].belt.length: needs a length such as 14.6 mm or 5/8 in, got a mass ("2 kg")
  units that fit: µm, mm, cm, m, in, ft, mil
? 2

$ beltwright rates tests/fixtures/machines/unit-slip.yaml --feed "6 m/min"
beltwright: tests/fixtures/machines/unit-slip.yaml:3:20: heads[0].belt.length: is out of range, takes 300 to 20000 mm ("1900 m")
        belt: {length: 1900 m}
                       ^
  did you mean 1900 mm?
? 2

$ beltwright rates tests/fixtures/machines/unknown-way.yaml --feed "6 m/min"
beltwright: tests/fixtures/machines/unknown-way.yaml:3:19: heads[0].belt.speed: needs a speed such as 18 m/s or 3500 ft/min, got the unknown way of measuring "guess" ("18 m/s by guess")
        belt: {speed: 18 m/s by guess}
                      ^
  ways known here: plate, motor, display, tachometer, recording
? 2

$ beltwright rates tests/fixtures/machines/wrong-dimension.yaml --feed "6 m/min"
beltwright: tests/fixtures/machines/wrong-dimension.yaml:3:22: heads[0].drum.diameter: needs a length such as 14.6 mm or 5/8 in, got a speed ("12 m/s")
        drum: {diameter: 12 m/s}
                         ^
  units that fit: µm, mm, cm, m, in, ft, mil
? 2

$ beltwright rates tests/fixtures/machines/wrong-shape.yaml --feed "6 m/min"
beltwright: tests/fixtures/machines/wrong-shape.yaml:1:8: shape: is not machine/1 ("machine/9")
    shape: machine/9
           ^
  write shape: machine/1, or give a document of that shape
? 2

$ beltwright rates tests/fixtures/machines/nowhere.yaml --feed "6 m/min"
beltwright: MACHINE: there is no such file ("tests/fixtures/machines/nowhere.yaml")
  looked for tests/fixtures/machines/nowhere.yaml; give the name of a machine file, with its folder
? 2

$ beltwright rates tests/fixtures --feed "6 m/min"
beltwright: MACHINE: it is a folder, not a file ("tests/fixtures")
  looked for tests/fixtures; give the name of a machine file, with its folder
? 2
