# The published checks, and that a wrong one is found.

$ beltwright selfcheck | tail -n 1
[..] passed, 0 failed
? 0

$ beltwright selfcheck data/checks/grits.txt --all | head -n 3
ok    P12, the coarsest: expected 1815 µm ± 0.5 µm, got 1815 µm
ok    P40: expected 425 µm ± 0.5 µm, got 425 µm
ok    P80: expected 201 µm ± 0.5 µm, got 201 µm
? 0

$ beltwright selfcheck tests/fixtures/checks/wrong.txt
FAIL  tests/fixtures/checks/wrong.txt:3  a value just outside its tolerance
      expected 14.559 mm ± 0.001 mm, got 14.5560407569 mm
      source: invented, wrong on purpose (derived)
FAIL  tests/fixtures/checks/wrong.txt:9  this check cannot be run
      expect: needs a length such as 14.6 mm or 5/8 in, got a mass ("14.556 kg ±
      0.001 kg")
      units that fit: µm, mm, cm, m, in, ft, mil
FAIL  tests/fixtures/checks/wrong.txt:15  this check cannot be run
      expect: the value has no tolerance
      write a value ± its tolerance, a number exactly, "a word", unknown, or
      error KIND at FIELD
FAIL  tests/fixtures/checks/wrong.txt:21  this check cannot be run
      do: there is no probe of that name ("pitch_of_rat")
      did you mean pitch_of_rate?
FAIL  tests/fixtures/checks/wrong.txt:27  this check cannot be run
      do: the probe has no such input ("rat")
      write: name input="value" input="value"
FAIL  tests/fixtures/checks/wrong.txt:33  this check cannot be run
      do: an input is missing ("rate")
      write: name input="value" input="value"
FAIL  tests/fixtures/checks/wrong.txt:39  this check cannot be run
      do: a quote is not closed ("6 m/min rate=6.870")
      write: name input="value" input="value"
FAIL  tests/fixtures/checks/wrong.txt:45  an error expected where there is an
      answer
      expected error input, got 14.5560407569 mm
      source: invented, wrong on purpose (derived)
FAIL  tests/fixtures/checks/wrong.txt:51  unknown expected where there is an
      answer
      expected unknown, got 14.5560407569 mm
      source: invented, wrong on purpose (derived)
FAIL  tests/fixtures/checks/wrong.txt:57  this check cannot be run
      expect: there is no error of that kind
      write a value ± its tolerance, a number exactly, "a word", unknown, or
      error KIND at FIELD
FAIL  tests/fixtures/checks/wrong.txt:63  this check cannot be run
      source: is missing
      give source (where the expected value comes from): a text
FAIL  tests/fixtures/checks/wrong.txt:72  this check cannot be run
      origin: is not one of the choices ("hearsay")
      choose one of: read in, from memory, derived, common practice
FAIL  tests/fixtures/checks/wrong.txt:76  this check cannot be run
      expects: is not a key of this check
      did you mean expect?
FAIL  tests/fixtures/checks/wrong.txt:80  this check cannot be run
      study: a check needs either do or study, not both
      study: the study to run
tests/fixtures/checks/wrong.txt: 0 passed, 14 failed
0 passed, 14 failed
beltwright: 14 of 14 checks failed
? 1

$ beltwright-toy selfcheck tests/fixtures/checks/toy.txt --all
ok    mass of one panel: expected 21.06 kg ± 0.005 kg, got 21.06 kg
ok    number of parts, and one of them by its word: expected 0.36 kg ± 0.5 %,
      got 0.36 kg
ok    a list's own name stands for its length: expected 2 exactly, got 2
ok    a word: expected "panels", got "panels"
ok    what is not known: expected unknown, got unknown
ok    a refusal at its field: expected error input at width, got error input at
      width: needs a length such as 2.5 m or 8 ft, got a mass
ok    a refusal within the study: expected error input at cuts, got error input
      at cuts: the cut-outs are larger than the panel
FAIL  tests/fixtures/checks/toy.txt:59  a refusal at another field
      expected error input at length, got error input at width: needs a length
      such as 2.5 m or 8 ft, got a mass
      source: wrong on purpose (derived)
FAIL  tests/fixtures/checks/toy.txt:66  a wrong word
      expected "panel", got "panels"
      source: wrong on purpose (derived)
FAIL  tests/fixtures/checks/toy.txt:74  this check cannot be run
      at: the answer has nothing there (".mass")
      write field.field, list[0].field or list[key=word].field, as in the
      study's JSON
FAIL  tests/fixtures/checks/toy.txt:82  this check cannot be run
      at: the answer has no such field ("mas")
      write field.field, list[0].field or list[key=word].field, as in the
      study's JSON
FAIL  tests/fixtures/checks/toy.txt:90  a value expected where the input is
      refused
      expected 21.06 kg ± 0.005 kg, got error input at width: is missing
      source: wrong on purpose (derived)
FAIL  tests/fixtures/checks/toy.txt:98  a document the program does not carry
      expected 21.06 kg ± 0.005 kg, got error not-found: the program carries no
      document of that name
      source: wrong on purpose (derived)
FAIL  tests/fixtures/checks/toy.txt:106  this check cannot be run
      there is no study of that name ("tay")
      beltwright --help lists the studies
tests/fixtures/checks/toy.txt: 7 passed, 7 failed
7 passed, 7 failed
beltwright: 7 of 14 checks failed
? 1

$ beltwright selfcheck tests/fixtures/checks/empty.txt
FAIL  tests/fixtures/checks/empty.txt: there is no check in it
tests/fixtures/checks/empty.txt: 0 passed, 1 failed
0 passed, 1 failed
beltwright: 1 of 1 checks failed
? 1

$ printf 'check   x\351\n' | beltwright selfcheck -
FAIL  standard input:1  this check cannot be run
      check: holds characters that are no text ("x?")
      remove them, or save the text as UTF-8
standard input: 0 passed, 1 failed
0 passed, 1 failed
beltwright: 1 of 1 checks failed
? 1

$ beltwright selfcheck nosuchfile.txt
beltwright: there is no such file
  looked for nosuchfile.txt; give the name of a check file, with its folder
? 2
