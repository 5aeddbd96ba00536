# How any command line is read, and what is said when it cannot be. The toy study stands for all studies.

# --- the program itself

$ beltwright
beltwright: no command given
  beltwright --help lists the commands
? 2

$ beltwright --version
beltwright 0.1.0
Licence GPL-3.0-or-later: free to use, to study, to change and to share. No warranty.
? 0

$ beltwright -V
beltwright 0.1.0
Licence GPL-3.0-or-later: free to use, to study, to change and to share. No warranty.
? 0

$ beltwright --help
Usage: beltwright COMMAND [OPTION]...

For people who service wide-belt sanding machines. Each command takes what was
measured and a description of the machine, and answers with the answer first,
the reason after it, and what to do next.

Values are written with their units, metric or US: 24 ft/min, 7.3 m/min, 103 in,
7 5/8 in, 14.6 mm ± 0.2. A value that is not known may be left out or written
unknown.

Commands
...
  table           print a table of the trade, with the source of every row
  selfcheck       run the published checks in this program
  schema          print the JSON Schema of an input, an answer or a document
  man             print a manual page
  completion      print a completion script for a shell
  help            say what a command does and takes
  version         say which version this is

beltwright help COMMAND says what a command takes.
? 0

$ beltwright help help
Usage: beltwright help [COMMAND] [OPTION]...

Explains one command: what it answers, what it takes, and one example.

Words
  COMMAND  the command to explain; without it, all commands are listed

Options
  -h, --help  say what the command does and takes

Example
  beltwright help table
? 0

$ beltwright nosuchthing
beltwright: there is no command of that name ("nosuchthing")
  beltwright --help lists the commands
? 2

$ beltwright tabel
beltwright: there is no command of that name ("tabel")
  did you mean table?
? 2

$ beltwright Table
beltwright: there is no command of that name ("Table")
  did you mean table?
? 2

$ beltwright --json table
beltwright: an option stands before the command ("--json")
  the command comes first: beltwright COMMAND [OPTION]...
? 2

$ beltwright ''
beltwright: no command given
  beltwright --help lists the commands
? 2

$ beltwright help nosuchthing
beltwright: there is no command of that name ("nosuchthing")
  beltwright --help lists the commands
? 2

$ beltwright version extra
beltwright: one word too many ("extra")
  beltwright version [OPTION]...; a value with spaces needs quotes
? 2

# --- options of any command

$ beltwright table --jsom
beltwright: table has no option --jsom
  did you mean --json?
? 2

$ beltwright table --json=yes
beltwright: --json takes no value ("--json=yes")
  leave the = and what follows out
? 2

$ beltwright table -x
beltwright: table has no option -x
  a word that begins with - must stand after --; beltwright table --help lists the options
? 2

$ beltwright table --json --json
beltwright: --json is given twice
  leave one out
? 2

$ beltwright table nosuchtable
beltwright: no table of that name ("nosuchtable")
  there are: backings, bearings, coats, contacts, cutting, elbows, finishes, gates, grits, hoods, joints, minerals, movement, removal, soils, woods
? 2

$ beltwright table grits P80 P81
beltwright: no row of this table has all these words
  leave words out; without any, the whole table is printed
? 2

$ beltwright table -- --json
beltwright: no table of that name ("--json")
  there are: backings, bearings, coats, contacts, cutting, elbows, finishes, gates, grits, hoods, joints, minerals, movement, removal, soils, woods
? 2

$ beltwright completion
beltwright: SHELL is missing
  beltwright completion SHELL [OPTION]...
? 2

$ beltwright completion tcsh
beltwright: there is no completion for that shell ("tcsh")
  SHELL is bash or zsh
? 2

$ beltwright schema nosuchthing
beltwright: there is no schema of that name ("nosuchthing")
  there are: source, marks, rates, listen, trace, thickness, sequence, belt, wear, airflow, ducts, shopair, machine, roughness, thickness-readings, belts, dust-system
? 2

$ beltwright schema
beltwright: NAME is missing
  beltwright schema NAME [DIRECTION] [OPTION]...
? 2

$ beltwright-toy schema toy sideways
beltwright: DIRECTION is in or out ("sideways")
  write in for what the study takes, out for what it answers
? 2

$ printf 'table\0--json\0gr\351ts' | xargs -0 beltwright
beltwright: word 3 of the command line is not UTF-8 text
  set the terminal to UTF-8, or rename the file
? 123

# --- a study: what is missing or too much

$ beltwright-toy toy
beltwright: STOCK is missing
  beltwright toy STOCK --length VALUE --width VALUE [OPTION]...
? 2

$ beltwright-toy toy tests/house/stock.yaml --length "2 m"
beltwright: --width is missing
  beltwright toy STOCK --length VALUE --width VALUE [OPTION]...
? 2

$ beltwright-toy toy tests/house/stock.yaml more words
beltwright: one word too many ("more")
  beltwright toy STOCK --length VALUE --width VALUE [OPTION]...; a value with spaces needs quotes
? 2

$ beltwright-toy toy --stock tests/house/stock.yaml --length "2 m" --width "1 m"
beltwright: --stock is no option
  give it without --stock: beltwright toy STOCK --length VALUE --width VALUE [OPTION]...
? 2

$ beltwright-toy toy tests/house/stock.yaml --lenght "2 m" --width "1 m"
beltwright: toy has no option --lenght
  did you mean --length?
? 2

$ beltwright-toy toy tests/house/stock.yaml --c "2 m" --width "1 m"
beltwright: --c may be --customer or --cut
  write it out
? 2

$ beltwright-toy toy tests/house/stock.yaml --width "1 m" --length
beltwright: --length needs a value
  write --length VALUE
? 2

$ beltwright-toy toy tests/house/stock.yaml --length "2 m" --length "3 m" --width "1 m"
beltwright: --length is given twice ("3 m")
  leave one out
? 2

# --- a study: values

$ beltwright-toy toy tests/house/stock.yaml --length "2 kg" --width "1 m"
beltwright: --length: needs a length such as 2.5 m or 8 ft, got a mass ("2 kg")
  units that fit: µm, mm, cm, m, in, ft, mil
? 2

$ beltwright-toy toy tests/house/stock.yaml --length 2 --width "1 m"
beltwright: --length: needs a length such as 2.5 m or 8 ft, got a number without a unit ("2")
  write 2 m or 2 ft, whichever is meant
? 2

$ beltwright-toy toy tests/house/stock.yaml --length "2 metres" --width "1 m"
The batch weighs 23.4 ± 0.7 kg.

part       mass
------  -------
panels  23.4 kg
? 0

$ beltwright-toy toy tests/house/stock.yaml --length "1,200 mm" --width "1 m"
beltwright: --length: needs a length such as 2.5 m or 8 ft, got a comma between digits ("1,200 mm")
  write 1200 mm or 1.200 mm, whichever is meant
? 2

$ beltwright-toy toy tests/house/stock.yaml --length "" --width "1 m"
beltwright: --length: needs a length such as 2.5 m or 8 ft, got nothing
  write it as 2.5 m or 8 ft
? 2

$ beltwright-toy toy tests/house/stock.yaml --length "200 m" --width "1 m"
beltwright: --length: is out of range, takes 0.05 to 10 m ("200 m")
  did you mean 200 mm or 200 in?
? 2

$ beltwright-toy toy tests/house/stock.yaml --length unknown --width "1 m"
beltwright: --length: cannot be unknown ("unknown")
  give length (length of one panel): a length, 0.05 to 10 m
? 2

$ beltwright-toy toy tests/house/stock.yaml --length "2 m" --width "1 m" --thickness "18 mm by eye"
beltwright: --thickness: needs a length such as 14.6 mm or 5/8 in, got the unknown way of measuring "eye" ("18 mm by eye")
  ways known here: rule, caliper
? 2

$ beltwright-toy toy tests/house/stock.yaml --length "2 m" --width "1 m" --panels many
beltwright: --panels: needs a whole number from 1 to 10000, got something else ("many")
  write a whole number from 1 to 10000
? 2

$ beltwright-toy toy tests/house/stock.yaml --length "2 m" --width "1 m" --panels 0
beltwright: --panels: needs a whole number from 1 to 10000, got one out of that range ("0")
  write a whole number from 1 to 10000
? 2

$ beltwright-toy toy tests/house/stock.yaml --length "2 m" --width "1 m" --panels 2.5
beltwright: --panels: needs a whole number from 1 to 10000, got one that is not whole ("2.5")
  write a whole number from 1 to 10000
? 2

$ beltwright-toy toy tests/house/stock.yaml --length "2 m" --width "1 m" --finish oilde
beltwright: --finish: is not one of the choices ("oilde")
  did you mean oiled?
? 2

$ beltwright-toy toy tests/house/stock.yaml --length "2 m" --width "1 m" --seed -1
beltwright: --seed: needs a whole number from 0 to 2147483647, got one out of that range ("-1")
  write a whole number from 0 to 2147483647
? 2

$ beltwright-toy toy tests/house/stock.yaml --length "2 m" --width "1 m" --units imperial
beltwright: --units: units are si or us ("imperial")
  write --units si or --units us
? 2

# --- a study: groups

$ beltwright-toy toy tests/house/stock.yaml --length "2 m" --width "1 m" --cut "2 kg"
beltwright: --cut, area: needs an area such as 0.5 m² or 5 ft², got a mass ("2 kg")
  units that fit: mm², cm², m², in², ft²
? 2

$ beltwright-toy toy tests/house/stock.yaml --length "2 m" --width "1 m" --cut "100 cm²" --cut "50 cm² deep 3 m/s"
beltwright: --cut 2, depth: needs a length such as 14.6 mm or 5/8 in, got a speed ("3 m/s")
  units that fit: µm, mm, cm, m, in, ft, mil
? 2

$ beltwright-toy toy tests/house/stock.yaml --length "2 m" --width "1 m" --cut "area=100 cm²,dept=3 mm"
beltwright: --cut, dept: is not a key of this cut ("area=100 cm²,dept=3 mm")
  did you mean depth?
? 2

$ beltwright-toy toy tests/house/stock.yaml --length "2 m" --width "1 m" --cut "depth=3 mm"
beltwright: --cut, area: is missing ("depth=3 mm")
  give area (area of the cut-out): an area, 1e-06 to 1 m²
? 2

$ beltwright-toy toy tests/house/stock.yaml --length "2 m" --width "1 m" --crate "20 kg"
beltwright: --crate: cannot be one text ("20 kg")
  keys here: mass, most
? 2

$ beltwright-toy toy tests/house/stock.yaml --length "2 m" --width "1 m" --crate "mass=20 kg,most=10 kg"
beltwright: --crate, most: the crate alone is heavier than what it may weigh ("10 kg")
  most: what crate and panels may weigh together
? 2

$ beltwright-toy toy tests/house/stock.yaml --length "2 m" --width "1 m" --cut "9000 cm²" --cut "9000 cm²" --cut "9000 cm²"
beltwright: --cut: the cut-outs are larger than the panel
  look at their area, depth and number
? 2

$ beltwright-toy toy tests/house/stock.yaml --length "2 m" --width "1 m" --cut "1 cm²" --cut "1 cm²" --cut "1 cm²" --cut "1 cm²" --cut "1 cm²"
beltwright: --cut: has 5 items, at most 4 are taken
  leave out 1
? 2

# --- files

$ beltwright-toy toy tests/house/nosuchfile.yaml --length "2 m" --width "1 m"
beltwright: STOCK: there is no such file ("tests/house/nosuchfile.yaml")
  looked for tests/house/nosuchfile.yaml; give the name of a stock file, with its folder
? 2

$ beltwright-toy toy tests/house --length "2 m" --width "1 m"
beltwright: STOCK: it is a folder, not a file ("tests/house")
  looked for tests/house; give the name of a stock file, with its folder
? 2

$ printf 'shape: stock/1\nname: air\ndensity: 1.2 kg/m³\n' | beltwright-toy toy - --length "2 m" --width "1 m"
beltwright: standard input:3:10: density: is out of range, takes 50 to 2000 kg/m³ ("1.2 kg/m³")
    density: 1.2 kg/m³
             ^
  write a density, 50 to 2000 kg/m³
? 2

$ printf 'shape: machine/1\ndensity: 700 kg/m³\n' | beltwright-toy toy - --length "2 m" --width "1 m"
beltwright: standard input:1:8: shape: is not stock/1 ("machine/1")
    shape: machine/1
           ^
  write shape: stock/1, or give a document of that shape
? 2

$ beltwright-toy toy --input tests/house/nosuchfile.json
beltwright: --input: there is no such file
  looked for tests/house/nosuchfile.json; give the name of a document, with its folder
? 2

$ echo '{"stock": "tests/house/stock.yaml", "length": "2 m", "width": "1 m"}' | beltwright-toy toy --input - --panels 3
beltwright: --panels cannot stand beside --input ("3")
  put it into the document, or leave --input out
? 2

$ echo '{"stock": "tests/house/stock.yaml", "length": "2 m", "width": "1 m"}' | beltwright-toy toy --input - tests/house/stock.yaml
beltwright: STOCK cannot stand beside --input ("tests/house/stock.yaml")
  put it into the document, or leave --input out
? 2

$ echo '{"stock": "tests/house/stock.yaml", "length": "2 m"' | beltwright-toy toy --input -
beltwright: standard input:2:1: the text ends before the document is complete
  close every { with } and every [ with ]
? 2

$ echo '{"stock": "tests/house/stock.yaml", "length": "2 m", "widht": "1 m"}' | beltwright-toy toy --input -
beltwright: standard input: widht: is not a key of this batch
  did you mean width?
? 2

$ echo '{"shape": "toy/1", "stock": "tests/house/stock.yaml", "length": "2 m", "width": "1 m"}' | beltwright-toy toy --input -
beltwright: standard input: shape: is not toy-input/1 ("toy/1")
  write shape: toy-input/1, or give a document of that shape
? 2

$ echo '[1, 2]' | beltwright-toy toy --input -
beltwright: standard input:1:1: needs the keys of this batch, got a list
    [1, 2]
    ^
  keys here: stock, length, width, thickness, panels, finish, customer, crate, cuts, photo, support, seed
? 2

# --- outputs

$ beltwright-toy toy tests/house/stock.yaml --length "2 m" --width "1 m" --json --findings -
beltwright: --json and --findings - both want standard output
  give --findings the name of a file
? 2

$ beltwright-toy toy tests/house/stock.yaml --length "2 m" --width "1 m" --findings /nosuchfolder/findings.json
beltwright: /nosuchfolder/findings.json: cannot be written: No such file or directory
? 1

$ beltwright-toy toy tests/house/stock.yaml --length "2 m" --width "1 m" --plot /dev/null
beltwright: /dev/null/mass-by-thickness.svg: cannot be written: Not a directory
? 1

$ beltwright table >/dev/full
beltwright: writing the answer failed
? 1
